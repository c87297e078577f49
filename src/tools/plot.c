/*
 * plot: reads points from standard input and draws them as lines in SVG, both
 * ways in decades, for docs/performance.md.
 *
 *     title TEXT
 *     along TEXT                 what is counted at the bottom
 *     X Y LOW HIGH NAME          a point of the line NAME, and its spread
 */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"

enum { LINES = 8, POINTS = 32 };

/* In pixels: the picture, and what is left free around the lines. */
enum { WIDTH = 640, HEIGHT = 400, LEFT = 64, RIGHT = 150, TOP = 40, FOOT = 48 };

struct line {
    char name[64];
    size_t count;
    struct point {
        double x, y, low, high;
    } at[POINTS];
};

static char title[200], along[100];
static struct line line[LINES];
static size_t lines;

/* Paul Tol's "bright" scheme, told apart by the colour-blind (personal.sron.nl
 * /~pault, Introduction to colour schemes). */
static const char *const colours[LINES] = {"#4477aa", "#ee6677", "#228833",
                                           "#aa3377", "#66ccee", "#ccbb44",
                                           "#000000", "#888888"};

static void die(const char *what)
{
    fprintf(stderr, "plot: %s\n", what);
    exit(1);
}

static struct line *line_of(const char *name)
{
    for (size_t i = 0; i < lines; i++)
        if (!strcmp(line[i].name, name))
            return &line[i];
    if (lines == LINES)
        die("more than 8 lines");
    snprintf(line[lines].name, sizeof line[lines].name, "%s", name);
    return &line[lines++];
}

static void read_point(char *words)
{
    double v[4];
    struct line *l;

    for (size_t i = 0; i < ARRAY_LEN(v); i++)
        v[i] = strtod(words, &words);
    words += *words == ' ';
    words[strcspn(words, "\n")] = '\0';
    if (!(v[0] > 0) || !(v[1] > 0) || !(v[2] > 0) || !*words)
        die("a point is X Y LOW HIGH NAME, the numbers above 0");
    l = line_of(words);
    if (l->count == POINTS)
        die("more than 32 points in a line");
    l->at[l->count++] = (struct point){v[0], v[1], v[2], v[3]};
}

static void read_all(void)
{
    char words[300];

    while (fgets(words, sizeof words, stdin))
        if (sscanf(words, "title %199[^\n]", title) != 1 &&
            sscanf(words, "along %99[^\n]", along) != 1)
            read_point(words);
    if (!lines)
        die("no points");
}

/* ---- drawing ------------------------------------------------------------- */

/* Decades, whole ones upwards. */
static double x_low, x_high, y_low, y_high;

static void span(void)
{
    x_low = y_low = HUGE_VAL;
    x_high = y_high = -HUGE_VAL;
    for (size_t i = 0; i < lines; i++)
        for (size_t k = 0; k < line[i].count; k++) {
            x_low = fmin(x_low, log10(line[i].at[k].x));
            x_high = fmax(x_high, log10(line[i].at[k].x));
            y_low = fmin(y_low, log10(line[i].at[k].low));
            y_high = fmax(y_high, log10(line[i].at[k].high));
        }
    y_low = floor(y_low);
    y_high = fmax(ceil(y_high), y_low + 1);
    if (x_high <= x_low)
        x_high = x_low + 1;
}

static double across(double x)
{
    return LEFT +
           (log10(x) - x_low) / (x_high - x_low) * (WIDTH - LEFT - RIGHT);
}

static double down(double y)
{
    return HEIGHT - FOOT -
           (log10(y) - y_low) / (y_high - y_low) * (HEIGHT - TOP - FOOT);
}

static void draw_decades(void)
{
    for (int i = 0; i <= (int)(y_high - y_low); i++) {
        const double e = y_low + i, y = down(pow(10, e));

        printf("<path class=\"grid\" d=\"M%d %.1fH%d\"/>"
               "<text x=\"%d\" y=\"%.1f\" text-anchor=\"end\">%g</text>\n",
               LEFT, y, WIDTH - RIGHT, LEFT - 6, y + 4, pow(10, e));
    }
}

/* Each place at the bottom where a line has a point, once. */
static void draw_places(void)
{
    double last = 0;

    for (size_t k = 0; k < line[0].count; k++) {
        const double x = line[0].at[k].x;

        if (across(x) - last < 36)
            continue;
        last = across(x);
        printf(
            "<path class=\"grid\" d=\"M%.1f %dV%d\"/>"
            "<text x=\"%.1f\" y=\"%d\" text-anchor=\"middle\">%.10g</text>\n",
            last, TOP, HEIGHT - FOOT, last, HEIGHT - FOOT + 18, x);
    }
    printf("<text x=\"%d\" y=\"%d\" text-anchor=\"middle\">%s</text>\n",
           (LEFT + WIDTH - RIGHT) / 2, HEIGHT - 10, along);
}

static void draw_line(const struct line *l, const char *colour, double name_y)
{
    const size_t last = l->count - 1;

    printf("<g stroke=\"%s\" fill=\"none\"><path stroke-width=\"2\" d=\"",
           colour);
    for (size_t k = 0; k < l->count; k++)
        printf("%s%.1f %.1f", k ? "L" : "M", across(l->at[k].x),
               down(l->at[k].y));
    printf("\"/><path d=\"");
    for (size_t k = 0; k < l->count; k++)
        printf("M%.1f %.1fV%.1f", across(l->at[k].x), down(l->at[k].low),
               down(l->at[k].high));
    printf("\"/></g>\n<path stroke=\"%s\" opacity=\".5\" d=\"M%.1f %.1fL%d "
           "%.1f\"/><text x=\"%d\" y=\"%.1f\" fill=\"%s\">%s</text>\n",
           colour, across(l->at[last].x) + 2, down(l->at[last].y),
           WIDTH - RIGHT + 12, name_y, WIDTH - RIGHT + 16, name_y + 4, colour,
           l->name);
}

static int by_end(const void *a, const void *b)
{
    const struct line *const *x = a, *const *y = b;
    const double p = (*x)->at[(*x)->count - 1].y,
                 q = (*y)->at[(*y)->count - 1].y;

    return (q > p) - (q < p);
}

/* Names stand at the ends of their lines, a row apart at least. */
static void draw_lines(void)
{
    struct line *order[LINES] = {0};
    double free_from = TOP;

    for (size_t i = 0; i < lines; i++)
        order[i] = &line[i];
    qsort(order, lines, sizeof(struct line *), by_end);
    for (size_t i = 0; i < lines; i++) {
        const double end = down(order[i]->at[order[i]->count - 1].y),
                     y = fmax(end, free_from);

        draw_line(order[i], colours[order[i] - line], y);
        free_from = y + 16;
    }
}

int main(void)
{
    read_all();
    span();
    printf("<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 %d %d\" "
           "font-family=\"sans-serif\" font-size=\"12\">\n"
           "<style>.grid{stroke:#ddd}</style>\n"
           "<rect width=\"%d\" height=\"%d\" fill=\"#fff\"/>\n"
           "<text x=\"%d\" y=\"20\" font-size=\"13\">%s</text>\n",
           WIDTH, HEIGHT, WIDTH, HEIGHT, 12, title);
    draw_decades();
    draw_places();
    draw_lines();
    puts("</svg>");
    return 0;
}
