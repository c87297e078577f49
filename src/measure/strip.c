/* Swatches and words below a picture. See the header. */
#include "measure/strip.h"

#include <math.h>

static const char words[] = "corrected by grey card";

/* In units. The words and their margins take 140 across, a third of a cell
 * more than a name of nine letters. */
enum {
    MARGIN = 5,
    WORDS = 138, /* across, margins too */
    HEAD = 18,   /* the words, down */
    CELL = 44,   /* a swatch and what is right of it */
    SWATCH = 40, /* across */
    TALL = 26,   /* down */
    NAME = 10,   /* the name below it */
    GAP = 4,
};
#define NAME_SIZE 0.72 /* of the words' letters */

static uint32_t rows_of(const struct strip *s, size_t swatches)
{
    return (uint32_t)((swatches + s->columns - 1) / s->columns);
}

static void plan(struct strip *s, double unit, size_t swatches)
{
    const double across = s->width / unit - 2 * MARGIN + CELL - SWATCH;

    s->unit = unit;
    s->columns = across > CELL ? (size_t)(across / CELL) : 1;
    s->height = (uint32_t)ceil(
        unit * (HEAD + (double)rows_of(s, swatches) * (TALL + NAME + GAP)));
}

struct strip strip_plan(uint32_t width, uint32_t height, size_t swatches)
{
    struct strip s = {.width = width};
    double unit = fmax(fmin(width / (double)WORDS, height / 130.0), 1);

    plan(&s, unit, swatches);
    while (s.height > height / 2 && unit > 1) {
        unit = fmax(unit * 0.9, 1);
        plan(&s, unit, swatches);
    }
    return s;
}

static int64_t pixels(const struct strip *s, double units)
{
    return (int64_t)floor(units * s->unit + 0.5);
}

struct box strip_swatch(const struct strip *s, size_t nth)
{
    const size_t row = nth / s->columns, column = nth % s->columns;
    const double x = MARGIN + (double)column * CELL;
    const double y = HEAD + (double)row * (TALL + NAME + GAP);

    return (struct box){pixels(s, x), pixels(s, y), pixels(s, SWATCH),
                        pixels(s, TALL)};
}

void strip_draw(const struct strip *s, const struct canvas *canvas,
                const char *const *name, const unsigned char *rgb,
                size_t swatches)
{
    static const unsigned char paper[3] = {238, 238, 238},
                               ink[3] = {40, 40, 40};

    canvas_fill(canvas, 0, 0, s->width, s->height, paper);
    letters_draw(canvas, MARGIN * s->unit, 6 * s->unit, s->unit,
                 s->width - 2 * MARGIN * s->unit, words, ink);
    for (size_t i = 0; i < swatches; i++) {
        const struct box b = strip_swatch(s, i);

        canvas_fill(canvas, b.x, b.y, b.w, b.h, rgb + 3 * i);
        letters_draw(canvas, (double)b.x, (double)(b.y + b.h) + 2 * s->unit,
                     NAME_SIZE * s->unit, (CELL - 1) * s->unit, name[i], ink);
    }
}
