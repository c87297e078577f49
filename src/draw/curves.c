/* How strength falls from round to round. See draw/picture.h. */
#include <assert.h>
#include <math.h>

#include "frame.h"

#define LEFT 60
#define STEP 72 /* px a round */
#define HIGH 320
#define KEY 46
#define NOTE 50 /* below the axes */
#define ASIDE 9 /* px a curve, so that no mark hides another */

static const char *const dashes[PICTURE_CURVES] = {"none",     "8 4", "2 4",
                                                   "12 3 2 3", "5 2", "1 2"};
/* Marks around 0, 0. */
static const char *const marks[PICTURE_CURVES] = {
    "M-7 0a7 7 0 1 0 14 0a7 7 0 1 0-14 0", /* circle */
    "M-6-6h12v12h-12z",
    "M0-8L8 6H-8z",
    "M0-8L8 0L0 8L-8 0z",
    "M-3-8h6v5h5v6h-5v5h-6v-5h-5v-6h5z", /* cross */
    "M0 8L8-6H-8z",
};

struct scale {
    double least; /* part of the strength at the bottom */
    size_t rounds;
};

static double at_x(double round)
{
    return LEFT + 30 + STEP * round;
}

/* Of a point of the curve that is `which`. */
static double point_x(const struct picture_curve *c, size_t point, size_t which)
{
    return at_x((double)(c->first + point)) + ASIDE * (double)which;
}

/* Halving is the same step everywhere. */
static double at_y(const struct scale *s, double part)
{
    return HIGH * log2(fmax(part, s->least) / 1.25) / log2(s->least / 1.25);
}

static struct scale scale_of(const struct picture_curve *curve, size_t n)
{
    struct scale s = {0.5, 1};

    for (size_t i = 0; i < n; i++)
        for (size_t k = 0; k < curve[i].points; k++) {
            const struct picture_point *p = &curve[i].point[k];
            const double low =
                fmin(p->line, isnan(p->seen) ? p->line : p->seen);
            while (s.least > 1.0 / 256 && s.least > 0.8 * low)
                s.least /= 2;
            if (curve[i].first + k + 1 > s.rounds)
                s.rounds = curve[i].first + k + 1;
        }
    return s;
}

static void add_axes(const struct scale *s, struct text *out)
{
    const double right = at_x((double)s->rounds - 1) + 30;

    text_add(out, "<g stroke=\"#ccc\">");
    for (int i = 0; ldexp(1, -i) >= s->least; i++)
        text_addf(out, "<path d=\"M%d %.1fH%.1f\"/>", LEFT,
                  at_y(s, ldexp(1, -i)), right);
    text_add(out, "</g>\n<g fill=\"#555\">");
    for (int i = 0; ldexp(1, -i) >= s->least; i++) {
        const double part = ldexp(1, -i);
        struct text t = {0};
        text_add_real(&t, 100 * part, 1);
        text_add(&t, " %");
        frame_text(LEFT - 6, at_y(s, part) + 5, "end", 0, text_str(&t), out);
        text_clear(&t);
    }
    for (size_t i = 0; i < s->rounds; i++) {
        struct text t = {0};
        if (i)
            text_addf(&t, "exhaust %zu", i);
        else
            text_add(&t, "first bath");
        frame_text(at_x((double)i), HIGH + 24, "middle", 0, text_str(&t), out);
        text_clear(&t);
    }
    text_add(out, "</g>\n");
}

static void add_band(const struct scale *s, const struct picture_curve *c,
                     size_t which, struct text *out)
{
    text_add(out, "<path fill=\"#888\" fill-opacity=\"0.22\" d=\"");
    for (size_t k = 0; k < c->points; k++)
        text_addf(out, "%s%.1f %.1f", k ? "L" : "M", point_x(c, k, which),
                  at_y(s, c->point[k].high));
    for (size_t k = c->points; k-- > 0;)
        text_addf(out, "L%.1f %.1f", point_x(c, k, which),
                  at_y(s, c->point[k].low));
    text_add(out, "z\"/>\n");
}

static void add_line(const struct scale *s, const struct picture_curve *c,
                     size_t which, struct text *out)
{
    text_addf(out,
              "<path fill=\"none\" stroke=\"#222\" stroke-width=\"1.6\" "
              "stroke-dasharray=\"%s\" d=\"",
              dashes[which]);
    for (size_t k = 0; k < c->points; k++)
        text_addf(out, "%s%.1f %.1f", k ? "L" : "M", point_x(c, k, which),
                  at_y(s, c->point[k].line));
    text_add(out, "\"/>\n");
}

/* What is foretold is a bare mark. */
static void add_mark(double x, double y, size_t which, const struct lab *lab,
                     struct text *out)
{
    text_addf(out,
              "<path transform=\"translate(%.1f %.1f)\" d=\"%s\" "
              "stroke=\"#222\" stroke-width=\"1.4\" fill=\"",
              x, y, marks[which]);
    if (lab)
        frame_colour(*lab, out);
    else
        text_add(out, "#fff");
    text_add(out, "\"/>");
}

static void add_marks(const struct scale *s, const struct picture_curve *c,
                      size_t which, struct text *out)
{
    for (size_t k = 0; k < c->points; k++) {
        const struct picture_point *p = &c->point[k];
        const double x = point_x(c, k, which);
        if (p->foretold)
            add_mark(x, at_y(s, p->line), which, NULL, out);
        else if (!isnan(p->seen))
            add_mark(x, at_y(s, p->seen), which, &p->lab, out);
    }
    text_add(out, "\n");
}

/* Which mark is which, below the picture. */
static void add_key(const struct picture_curve *curve, size_t n, double wide,
                    struct text *out)
{
    for (size_t i = 0; i < n; i++) {
        const double y = HIGH + NOTE + 48 + KEY * (double)i;
        text_addf(out,
                  "<path stroke=\"#222\" stroke-width=\"1.6\" "
                  "stroke-dasharray=\"%s\" d=\"M0 %.1fh48\"/>",
                  dashes[i], y);
        add_mark(24, y, i, &curve[i].point[0].lab, out);
        frame_text(58, y + 5, "start", wide - 58, curve[i].name, out);
        frame_text(58, y + 5 + FRAME_LINE, "start", wide - 58, curve[i].line,
                   out);
        text_add(out, "\n");
    }
}

void picture_curves(const struct picture *p, const struct picture_curve *curve,
                    size_t n, struct text *out)
{
    const struct scale s = scale_of(curve, n);
    const double wide = fmax(400, at_x((double)s.rounds - 1) + 40);

    assert(n <= PICTURE_CURVES);
    frame_begin(p, wide, HIGH + NOTE + 42 + KEY * (double)n, out);
    add_axes(&s, out);
    frame_lines(0, HIGH + NOTE + 4, wide, 2,
                "How strong the dye was, in percent of the first, and each "
                "line's 95 % band. A white mark is foretold.",
                out);
    for (size_t i = 0; i < n; i++)
        add_band(&s, &curve[i], i, out);
    for (size_t i = 0; i < n; i++)
        add_line(&s, &curve[i], i, out);
    for (size_t i = 0; i < n; i++)
        add_marks(&s, &curve[i], i, out);
    add_key(curve, n, wide, out);
    frame_end(out);
}
