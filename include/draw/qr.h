/* Words as a QR code, for a camera. */
#ifndef HANKLAB_DRAW_QR_H
#define HANKLAB_DRAW_QR_H

#include <stdbool.h>

#include "base/text.h"

/* Appends an SVG, black on white with the margin that the standard asks for
 * (ISO/IEC 18004: four modules); label is what it says to those who cannot see
 * it, and is written as it is: plain letters only. False, and nothing added,
 * when the words are too many. */
bool qr_svg(const char *words, const char *label, struct text *out);

/* The same in lines of half blocks, black on white whatever the terminal's
 * colours are. */
bool qr_terminal(const char *words, struct text *out);

#endif
