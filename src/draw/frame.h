/* Private to draw: what every picture begins and ends with. */
#ifndef HANKLAB_DRAW_FRAME_H
#define HANKLAB_DRAW_FRAME_H

#include "draw/picture.h"

#define FRAME_LINE 18 /* from one line of text to the next */

/* Begins it, w wide and h high below the title, which is wrapped above. */
void frame_begin(const struct picture *p, double w, double h, struct text *out);
void frame_end(struct text *out);

/* Text in an element or between double quotes. */
void frame_escaped(const char *s, struct text *out);

/* "#6c3b36" */
void frame_colour(struct lab lab, struct text *out);

/* One line; anchor is start, middle or end. Cut off with a mark where it is
 * wider than `wide`, 0: never. */
void frame_text(double x, double y, const char *anchor, double wide,
                const char *s, struct text *out);

/* Lines of words, at most `most`; how many there were. */
size_t frame_lines(double x, double y, double wide, size_t most, const char *s,
                   struct text *out);

#endif
