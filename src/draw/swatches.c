/* Flat colours side by side and in a table. See draw/picture.h. */
#include <math.h>

#include "base/mem.h"
#include "frame.h"

#define WIDE 112
#define HIGH 84
#define GREY 40
#define HEAD 112 /* of a row's name */
#define LOW 59   /* a swatch of a table */
#define LINES 6  /* of a swatch's words, at most */
#define CUT 14   /* px of a corner: what no screen can show */

static bool is_outside(const struct lab *c)
{
    int outside = 0;

    if (!isnan(c->L))
        srgb8_from_lab(*c, &outside);
    return outside;
}

#define STRIPE 9 /* px from one to the next */
#define PALE 75  /* L* from which a white stripe would not be seen */

/* Slanting lines over what is not dyed yet, cut off at its edges. */
static void add_stripes(double L, double x, double y, double w, double h,
                        struct text *out)
{
    text_addf(out, "<path stroke=\"%s\" stroke-width=\"2.5\" d=\"",
              L < PALE ? "#fff" : "#555");
    for (int i = 1; i * STRIPE - h < w; i++) {
        const double from = i * STRIPE - h;
        const double a = fmax(from, 0), b = fmin(from + h, w);
        text_addf(out, "M%.1f %.1fL%.1f %.1f", x + a, y + h - (a - from), x + b,
                  y + h - (b - from));
    }
    text_add(out, "\"/>");
}

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
    if (s->foretold)
        add_stripes(c.L, x, y, w, h, out);
    if (is_outside(&c))
        text_addf(out, "<path fill=\"#fff\" d=\"M%.1f %.1fh%dv%dz\"/>",
                  x + w - CUT, y, CUT, CUT);
}

/* Below a swatch; how many lines there were. */
static size_t add_words(const struct picture_swatch *s, double x, double y,
                        double w, struct text *out)
{
    const char *const words[] = {s->name, s->line, s->more,
                                 is_outside(&s->lab) ? "outside sRGB" : NULL};
    size_t lines = 0;

    for (size_t i = 0; i < ARRAY_LEN(words); i++)
        if (words[i])
            lines += frame_lines(x, y + FRAME_LINE * (double)lines, w,
                                 i ? LINES : 1, words[i], out);
    return lines;
}

/* Room for the words of a row of swatches. */
static double words_high(const struct picture_swatch *s, size_t n, double w)
{
    size_t most = 1;

    for (size_t i = 0; i < n; i++) {
        struct text t = {0};
        const size_t lines = add_words(&s[i], 0, 0, w, &t);
        most = lines > most ? lines : most;
        text_clear(&t);
    }
    return FRAME_LINE * ((double)most + 0.6);
}

void picture_strip(const struct picture *p, const struct picture_swatch *swatch,
                   size_t n, struct text *out)
{
    const double wide = fmax(76, fmin(128, 380 / fmax(1, (double)n)));
    const double words = words_high(swatch, n, wide - 4);

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

/* How high a row is, with its own name and the words below it. */
static double row_high(const char *name, const struct picture_swatch *s,
                       size_t columns)
{
    struct text t = {0};
    const size_t lines = frame_lines(0, 0, HEAD - 10, 4, name, &t);

    text_clear(&t);
    return fmax(FRAME_LINE * ((double)lines + 1),
                LOW + 8 + words_high(s, columns, WIDE - 8));
}

static void add_row(const char *name, const struct picture_swatch *s,
                    size_t columns, double y, struct text *out)
{
    text_add(out, "<g font-weight=\"bold\">");
    frame_lines(0, y + FRAME_LINE, HEAD - 10, 4, name, out);
    text_add(out, "</g>\n");
    for (size_t i = 0; i < columns; i++) {
        const double x = HEAD + (double)i * WIDE;
        if (is_empty(&s[i]))
            continue;
        add_colour(&s[i], x, y, WIDE, LOW, false, out);
        add_words(&s[i], x + 2, y + LOW + FRAME_LINE, WIDE - 8, out);
        text_add(out, "\n");
    }
}

void picture_table(const struct picture *p, char *const *row,
                   char *const *column, size_t rows, size_t columns,
                   const struct picture_swatch *swatch, struct text *out)
{
    const double top = column ? FRAME_LINE * 2 + 6 : 0;
    double high = top;

    for (size_t i = 0; i < rows; i++)
        high += row_high(row[i], &swatch[i * columns], columns);
    frame_begin(p, HEAD + fmax(2, (double)columns) * WIDE, high, out);
    for (size_t k = 0; column && k < columns; k++)
        frame_lines(HEAD + (double)k * WIDE + 2, FRAME_LINE, WIDE - 8, 2,
                    column[k], out);
    high = top;
    for (size_t i = 0; i < rows; i++) {
        add_row(row[i], &swatch[i * columns], columns, high, out);
        high += row_high(row[i], &swatch[i * columns], columns);
    }
    frame_end(out);
}
