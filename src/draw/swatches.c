/* Flat colours side by side and in a table. See draw/picture.h. */
#include <math.h>

#include "frame.h"

#define WIDE 112
#define HIGH 84
#define GREY 40
#define HEAD 112 /* of a row's name */
#define LINES 3  /* of a swatch's words */

/* No gap and no line between two colours, so that they can be compared. */
static void add_colour(const struct picture_swatch *s, double x, double y,
                       double w, double h, bool grey, struct text *out)
{
    struct lab c = s->lab;

    if (isnan(c.L)) {
        text_addf(out,
                  "<rect x=\"%.1f\" y=\"%.1f\" width=\"%.1f\" height=\"%.1f\" "
                  "fill=\"none\" stroke=\"#777\" stroke-dasharray=\"4 3\"/>",
                  x + 1, y + 1, w - 2, h - 2);
        return;
    }
    if (grey)
        c.a = c.b = 0;
    text_addf(out,
              "<rect x=\"%.1f\" y=\"%.1f\" width=\"%.1f\" height=\"%.1f\" "
              "shape-rendering=\"crispEdges\" fill=\"",
              x, y, w, h);
    frame_colour(c, out);
    text_add(out, "\"/>");
}

static void add_words(const struct picture_swatch *s, double x, double y,
                      double w, struct text *out)
{
    size_t lines = 0;

    if (s->name)
        lines += frame_lines(x, y, w, 1, s->name, out);
    if (s->line)
        lines += frame_lines(x, y + FRAME_LINE * (double)lines, w, LINES,
                             s->line, out);
    if (s->more)
        frame_lines(x, y + FRAME_LINE * (double)lines, w, 1, s->more, out);
}

void picture_strip(const struct picture *p, const struct picture_swatch *swatch,
                   size_t n, struct text *out)
{
    const double wide = fmax(76, fmin(128, 380 / fmax(1, (double)n)));
    const double words = FRAME_LINE * (LINES + 2);

    frame_begin(p, fmax(380, (double)n * wide), HIGH + GREY + words, out);
    for (size_t i = 0; i < n; i++) {
        const double x = (double)i * wide;
        add_colour(&swatch[i], x, 0, wide, HIGH, false, out);
        add_colour(&swatch[i], x, HIGH, wide, GREY, true, out);
        add_words(&swatch[i], x + 2, HIGH + GREY + FRAME_LINE, wide - 4, out);
        text_add(out, "\n");
    }
    frame_end(out);
}

static bool is_empty(const struct picture_swatch *s)
{
    return isnan(s->lab.L) && !s->name && !s->line && !s->more;
}

void picture_table(const struct picture *p, char *const *row,
                   char *const *column, size_t rows, size_t columns,
                   const struct picture_swatch *swatch, struct text *out)
{
    const double high = HIGH * 0.7 + FRAME_LINE * (LINES + 2.5);
    const double top = column ? FRAME_LINE * 2 + 6 : 0;

    frame_begin(p, HEAD + fmax(2, (double)columns) * WIDE,
                top + (double)rows * high, out);
    for (size_t k = 0; column && k < columns; k++)
        frame_lines(HEAD + (double)k * WIDE + 2, FRAME_LINE, WIDE - 8, 2,
                    column[k], out);
    for (size_t i = 0; i < rows; i++) {
        const double y = top + (double)i * high;
        text_add(out, "<g font-weight=\"bold\">");
        frame_lines(0, y + FRAME_LINE, HEAD - 10, 4, row[i], out);
        text_add(out, "</g>\n");
        for (size_t k = 0; k < columns; k++) {
            const struct picture_swatch *s = &swatch[i * columns + k];
            const double x = HEAD + (double)k * WIDE;
            if (is_empty(s))
                continue;
            add_colour(s, x, y, WIDE, HIGH * 0.7, false, out);
            add_words(s, x + 2, y + HIGH * 0.7 + FRAME_LINE, WIDE - 8, out);
            text_add(out, "\n");
        }
    }
    frame_end(out);
}
