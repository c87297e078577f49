/* Where colours lie: a* and b*, and lightness beside it. */
#include <math.h>
#include <stdlib.h>

#include "frame.h"

/* 4 px a unit; a* from -50 to 80, b* from -40 to 100; L* at the right. */
#define WIDTH 620
#define HEIGHT 560
#define SCALE_AT 580 /* L* */

static double at_a(double a)
{
    return 4 * (fmin(80, fmax(-50, a)) + 50);
}

static double at_b(double b)
{
    return 4 * (100 - fmin(100, fmax(-40, b)));
}

static double at_L(double L)
{
    return 5.6 * (100 - fmin(100, fmax(0, L)));
}

static void add_axes(struct text *out)
{
    text_addf(out,
              "<svg width=\"520\" height=\"%d\" fill=\"none\" "
              "stroke=\"#bbb\">",
              HEIGHT);
    for (int c = 20; c <= 80; c += 20)
        text_addf(out, "<circle cx=\"200\" cy=\"400\" r=\"%d\"/>", 4 * c);
    text_addf(out,
              "</svg><path stroke=\"#777\" "
              "d=\"M0 400H520M200 0V560M%d 0V560\"/>\n",
              SCALE_AT);
    text_add(out, "<g fill=\"#555\" font-size=\"12\">");
    for (int c = 20; c <= 80; c += 20)
        text_addf(out, "<text x=\"204\" y=\"%d\">%d</text>", 396 - 4 * c, c);
    for (int L = 0; L <= 100; L += 20)
        text_addf(out,
                  "<text x=\"%d\" y=\"%.0f\" text-anchor=\"end\">%d</text>",
                  SCALE_AT - 6, at_L(L) + (L == 100 ? 12 : 4), L);
    text_add(out,
             "<text x=\"208\" y=\"12\">b* yellower &#8593;</text>"
             "<text x=\"208\" y=\"556\">bluer &#8595;</text>"
             "<text x=\"520\" y=\"556\" text-anchor=\"end\">a* redder "
             "&#8594;</text><text x=\"0\" y=\"556\">&#8592; greener</text>");
    text_addf(out,
              "<text x=\"%d\" y=\"28\" text-anchor=\"end\">L* lighter &#8593;"
              "</text></g>\n",
              SCALE_AT - 6);
}

static void add_dot(struct lab c, double r, struct text *out)
{
    text_addf(out,
              "<circle cx=\"%.1f\" cy=\"%.1f\" r=\"%.1f\" stroke=\"#222\" "
              "stroke-width=\"0.8\" fill=\"",
              at_a(c.a), at_b(c.b), r);
    frame_colour(c, out);
    text_add(out, "\"/>");
}

/* A name beside the map, moved until it is clear of the others. */
struct named {
    const struct picture_dot *dot;
    double y;
};

static int from_top(const void *a, const void *b)
{
    const struct named *x = a, *y = b;

    return (x->y > y->y) - (x->y < y->y);
}

/* Down from the top, then up from the bottom. */
static void clear_names(struct named *named, size_t n)
{
    double clear = 20, floor = 560;

    qsort(named, n, sizeof *named, from_top);
    for (size_t i = 0; i < n; i++)
        named[i].y = clear = fmax(named[i].y, clear + 20);
    for (size_t i = n; i-- > 0;)
        named[i].y = floor = fmin(named[i].y, floor - 20);
}

static void add_named(struct named *named, size_t n, bool right,
                      struct text *out)
{
    const double edge = right ? 440 : 60;

    clear_names(named, n);
    for (size_t i = 0; i < n; i++) {
        const struct lab c = named[i].dot->lab;
        text_addf(out, "<path stroke=\"#777\" d=\"M%.1f %.1fL%.0f %.1f\"/>",
                  at_a(c.a), at_b(c.b), edge, named[i].y - 5);
        add_dot(c, 8, out);
        text_addf(out,
                  "<rect x=\"%d\" y=\"%.1f\" width=\"16\" height=\"7\" "
                  "stroke=\"#222\" stroke-width=\"0.8\" fill=\"",
                  SCALE_AT, at_L(c.L) - 3.5);
        frame_colour(c, out);
        text_add(out, "\"/>\n");
    }
    text_add(out, "<g paint-order=\"stroke\" stroke=\"#fff\" "
                  "stroke-width=\"4\">");
    for (size_t i = 0; i < n; i++)
        frame_text(edge + (right ? 4 : -4), named[i].y, right ? "start" : "end",
                   70, named[i].dot->name, out);
    text_add(out, "</g>\n");
}

/* With words, so that it is no dot. */
static void add_target(struct lab c, struct text *out)
{
    text_addf(out,
              "<path stroke=\"#222\" stroke-width=\"2\" d=\"M%.1f "
              "%.1fh24m-12-12v24M%d %.1fh26\"/><text paint-order=\"stroke\" "
              "stroke=\"#fff\" stroke-width=\"4\" x=\"%.1f\" y=\"%.1f\">asked "
              "for</text>\n",
              at_a(c.a) - 12, at_b(c.b), SCALE_AT - 5, at_L(c.L),
              at_a(c.a) + 14, at_b(c.b) + 5);
}

void picture_map(const struct picture *p, const struct picture_dot *dot,
                 size_t n, const struct lab *target, struct text *out)
{
    struct named side[2][PICTURE_NAMED];
    size_t names[2] = {0, 0}, all = 0;

    frame_begin(p, WIDTH, HEIGHT, out);
    add_axes(out);
    for (size_t i = 0; i < n; i++) {
        const bool right = dot[i].lab.a > 0;
        if (isnan(dot[i].lab.L))
            continue;
        if (dot[i].name && all < PICTURE_NAMED) {
            all++;
            side[right][names[right]++] =
                (struct named){&dot[i], at_b(dot[i].lab.b)};
        } else {
            add_dot(dot[i].lab, 3.5, out);
        }
    }
    text_add(out, "\n");
    add_named(side[0], names[0], false, out);
    add_named(side[1], names[1], true, out);
    if (target)
        add_target(*target, out);
    frame_end(out);
}
