/* Small letters drawn with strokes, for what is written on a picture. */
#ifndef HANKLAB_MEASURE_LETTERS_H
#define HANKLAB_MEASURE_LETTERS_H

#include <stddef.h>
#include <stdint.h>

/* Pixels of 8-bit RGB, owned by whoever made them. */
struct canvas {
    uint32_t width, height;
    unsigned char *rgb;
};

void canvas_fill(const struct canvas *canvas, int64_t x, int64_t y, int64_t w,
                 int64_t h, const unsigned char rgb[3]);

/* Letters are 6 units high and LETTER_UNITS apart; capitals look like small
 * ones, and what is not ASCII is "?". */
#define LETTER_UNITS 5.8

/* Writes text with its upper left corner at x, y; what does not fit into
 * `room` pixels is left off. unit is in pixels. */
void letters_draw(const struct canvas *canvas, double x, double y, double unit,
                  double room, const char *text, const unsigned char rgb[3]);

#endif
