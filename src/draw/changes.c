/* Colours before and after, and their grades. See draw/picture.h. */
#include "base/mem.h"
#include "frame.h"

#define WIDE 64 /* a colour */
#define HIGH 52
#define WORDS 210 /* beside the two */
#define SCALE 200 /* from 1 to 5 */
#define GAP 16
#define HEAD 30 /* room for the numbers of the scale */
#define LINES 4 /* of a row's second words, at most */

static const double scale_x = 2 * WIDE + GAP + WORDS + GAP;

static double place(double grade)
{
    return scale_x + SCALE * (grade - 1) / 4;
}

/* No gap between two colours, so that they can be compared. */
static void add_colour(struct lab lab, double x, double y, struct text *out)
{
    text_addf(out,
              "<rect x=\"%.1f\" y=\"%.1f\" width=\"%d\" height=\"%d\" "
              "shape-rendering=\"crispEdges\" fill=\"",
              x, y, WIDE, HIGH);
    frame_colour(lab, out);
    text_add(out, "\"/>");
}

/* The grade as a diamond on the band that it may lie in. */
static void add_grade(const struct picture_change *c, double y,
                      struct text *out)
{
    const double x = place(c->at);

    text_addf(out,
              "<path stroke=\"#777\" d=\"M%.1f %.1fh%d\"/><rect x=\"%.1f\" "
              "y=\"%.1f\" width=\"%.1f\" height=\"12\" fill=\"#ccc\"/>",
              scale_x, y, SCALE, place(c->low), y - 6,
              place(c->high) - place(c->low));
    text_addf(out, "<path d=\"M%.1f %.1fl6 8l-6 8l-6-8z\"/>", x, y - 8);
}

/* Numbers above, a line down from each. */
static void add_scale(double high, struct text *out)
{
    for (int grade = 1; grade <= 5; grade++) {
        const char number[] = {(char)('0' + grade), '\0'};

        frame_text(place(grade), 12, "middle", 0, number, out);
        text_addf(out, "<path stroke=\"#ccc\" d=\"M%.1f 18V%.1f\"/>",
                  place(grade), high);
    }
    text_add(out, "\n");
}

/* How many lines of words there are. */
static size_t add_words(const struct picture_change *c, double y,
                        struct text *out)
{
    const double x = 2 * WIDE + GAP;
    size_t lines;

    text_add(out, "<g font-weight=\"bold\">");
    lines = frame_lines(x, y + FRAME_LINE - 3, WORDS, 2, c->name, out);
    text_add(out, "</g>");
    return lines + frame_lines(x, y + FRAME_LINE * (double)(lines + 1) - 3,
                               WORDS, LINES, c->line, out);
}

static double row_high(const struct picture_change *c)
{
    struct text t = {0};
    const size_t lines = add_words(c, 0, &t);

    text_clear(&t);
    return (lines > 2 ? FRAME_LINE * (double)lines : HIGH) + 10;
}

void picture_changes(const struct picture *p,
                     const struct picture_change *change, size_t n,
                     struct text *out)
{
    double y = HEAD;

    for (size_t i = 0; i < n; i++)
        y += row_high(&change[i]);
    frame_begin(p, scale_x + SCALE + 8, y, out);
    add_scale(y, out);
    y = HEAD;
    for (size_t i = 0; i < n; i++) {
        add_colour(change[i].was, 0, y, out);
        add_colour(change[i].is, WIDE, y, out);
        add_words(&change[i], y, out);
        add_grade(&change[i], y + HIGH / 2.0, out);
        text_add(out, "\n");
        y += row_high(&change[i]);
    }
    frame_end(out);
}
