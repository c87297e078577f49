/*
 * A project's steps in time, without colour: a row for each pot, each burner
 * and for what needs neither; filled while somebody has to be up, open while
 * it goes by itself. A stretch in which nothing begins or ends is cut short.
 */
#include "plan.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/html.h"
#include "base/mem.h"

enum {
    CUT_FROM_MIN = 150, /* such a stretch is cut short ... */
    CUT_TO_MIN = 75,    /* ... to so much of the width */
    LEFT = 86,          /* of it the names of the rows stand */
    TOP = 46,           /* above it days and hours */
    ROW = 34,
    BAR = 24,
    LOW = 10,   /* less, of a row of the same name */
    LANES = 40, /* rows at most */
};

/* A row: a pot, a burner, or what needs neither and is called so. */
struct lane {
    char name[24];
    enum { IN_POT, ON_BURNER, BESIDE } kind;
    int nth;      /* pot or burner */
    int free_min; /* of those beside: when the last one there has ended */
    bool again;   /* of the name of the one above */
};

struct scale {
    int *at; /* minutes from the first beginning: all beginnings and ends */
    double *x;
    size_t count;
    double px_per_min;
};

struct picture {
    const struct project *p;
    struct lane lane[LANES];
    size_t lanes;
    struct scale scale;
};

static int begin_of(const struct project *p, const struct project_task *k)
{
    return moment_between(p->task[0].begins, k->begins);
}

/* ---- minutes to pixels ----------------------------------------------------
 */

static int by_minute(const void *a, const void *b)
{
    return *(const int *)a - *(const int *)b;
}

static double width_of(int minutes)
{
    return minutes > CUT_FROM_MIN ? CUT_TO_MIN : minutes;
}

static void make_scale(struct picture *pic)
{
    const struct project *p = pic->p;
    struct scale *s = &pic->scale;
    double sum = 0;

    s->at = mem_new(p->tasks * 5, sizeof *s->at);
    for (size_t i = 0; i < p->tasks; i++) {
        const struct project_task *k = &p->task[i];
        const int from = begin_of(p, k);
        s->at[s->count++] = from;
        s->at[s->count++] = from + k->attended_min;
        s->at[s->count++] = from + k->burner_min;
        s->at[s->count++] = from + k->in_pot_min;
        s->at[s->count++] = from + k->takes_min;
    }
    qsort(s->at, s->count, sizeof *s->at, by_minute);
    s->x = mem_new(s->count, sizeof *s->x);
    for (size_t i = 1; i < s->count; i++)
        s->x[i] = sum += width_of(s->at[i] - s->at[i - 1]);
    s->px_per_min = fmin(2.4, fmax(0.9, 1230 / sum));
}

static double x_of(const struct scale *s, int minute)
{
    size_t i = 0;

    while (i + 1 < s->count && s->at[i] < minute)
        i++;
    return LEFT + s->x[i] * s->px_per_min;
}

/* ---- rows ------------------------------------------------------------------
 */

static void add_lanes(struct picture *pic, int kind, const char *word, int most)
{
    for (int i = 1; i <= most && pic->lanes < LANES; i++) {
        struct lane *l = &pic->lane[pic->lanes++];
        struct text name = {0};

        *l = (struct lane){.kind = kind, .nth = i};
        text_addf(&name, "%s %d", word, i);
        memcpy(l->name, text_str(&name), name.len < 23 ? name.len : 23);
        text_clear(&name);
    }
}

static void make_lanes(struct picture *pic)
{
    int pots = 0, burners = 0;

    for (size_t i = 0; i < pic->p->tasks; i++) {
        const struct project_task *k = &pic->p->task[i];
        pots = k->pot > pots ? k->pot : pots;
        burners = k->burner > burners ? k->burner : burners;
    }
    add_lanes(pic, IN_POT, "pot", pots < 20 ? pots : 20);
    add_lanes(pic, ON_BURNER, "burner", burners < 10 ? burners : 10);
}

static size_t lane_of(const struct picture *pic, int kind, int nth)
{
    for (size_t i = 0; i < pic->lanes; i++)
        if ((int)pic->lane[i].kind == kind && pic->lane[i].nth == nth)
            return i;
    return SIZE_MAX;
}

/* A row for what needs no pot: one of that name that is free, or a new one. */
static size_t lane_beside(struct picture *pic, const struct project_task *k)
{
    const char *name = !strcmp(k->kind, "soak")    ? "in water"
                       : !strcmp(k->kind, "rinse") ? "on the line"
                                                   : "in a bucket";
    const int from = begin_of(pic->p, k), to = from + k->takes_min;

    for (size_t i = 0; i < pic->lanes; i++) {
        struct lane *l = &pic->lane[i];
        if (l->kind != BESIDE || strcmp(l->name, name) != 0 ||
            l->free_min > from)
            continue;
        l->free_min = to;
        return i;
    }
    if (pic->lanes == LANES)
        return SIZE_MAX;
    pic->lane[pic->lanes] = (struct lane){
        .kind = BESIDE,
        .free_min = to,
        .again = pic->lanes && !strcmp(pic->lane[pic->lanes - 1].name, name)};
    memcpy(pic->lane[pic->lanes].name, name, strlen(name));
    return pic->lanes++;
}

/* ---- drawing ---------------------------------------------------------------
 */

static double y_of(const struct picture *pic, size_t lane)
{
    double y = TOP;

    for (size_t i = 1; i <= lane; i++)
        y += i < pic->lanes && pic->lane[i].again ? ROW - LOW : ROW;
    return y;
}

static void add_rect(struct text *o, const char *class, double x, double to,
                     double y, int high)
{
    html_addf(o,
              "<rect class=\"%s\" x=\"%.1f\" y=\"%.1f\" width=\"%.1f\" "
              "height=\"%d\"/>",
              class, x, y, fmax(0, to - x), high);
}

/* From a step's beginning for so long; filled as long as somebody is up. */
static void add_bar(const struct picture *pic, const struct project_task *k,
                    size_t lane, int minutes, struct text *o)
{
    const int from = begin_of(pic->p, k);
    const int up = k->attended_min < minutes ? k->attended_min : minutes;
    const double x = x_of(&pic->scale, from),
                 mid = x_of(&pic->scale, from + up),
                 to = x_of(&pic->scale, from + minutes);
    double y;
    int high;

    if (lane == SIZE_MAX || minutes <= 0)
        return;
    y = y_of(pic, lane);
    high = pic->lane[lane].kind == BESIDE ? BAR - LOW + 4 : BAR;
    if (up)
        add_rect(o, k->done ? "up done" : "up", x, mid, y, high);
    if (up < minutes)
        add_rect(o, "alone", mid, to, y, high);
    html_addf(o, "<text class=\"%s\" x=\"%.1f\" y=\"%.1f\">%d</text>\n",
              k->done && mid - x >= 24 ? "step done" : "step",
              up && mid - x < 24 ? mid + 5 : x + 7, y + high / 2.0 + 4.5,
              k->number);
}

static void add_steps(struct picture *pic, struct text *o)
{
    for (size_t i = 0; i < pic->p->tasks; i++) {
        const struct project_task *k = &pic->p->task[i];

        if (k->pot)
            add_bar(pic, k, lane_of(pic, IN_POT, k->pot), k->in_pot_min, o);
        if (k->burner)
            add_bar(pic, k, lane_of(pic, ON_BURNER, k->burner), k->burner_min,
                    o);
        if (!k->pot && !k->burner)
            add_bar(pic, k, lane_beside(pic, k), k->takes_min, o);
    }
}

/* Stretches that were cut short, and how long they are. */
static void add_cuts(const struct picture *pic, double bottom, struct text *o)
{
    const struct scale *s = &pic->scale;

    for (size_t i = 1; i < s->count; i++) {
        const int minutes = s->at[i] - s->at[i - 1];
        const double x = LEFT + s->x[i - 1] * s->px_per_min,
                     to = LEFT + s->x[i] * s->px_per_min;
        struct text words = {0};

        if (minutes <= CUT_FROM_MIN)
            continue;
        moment_duration(minutes, &words);
        html_addf(o,
                  "<rect class=\"cut\" x=\"%.1f\" y=\"%d\" width=\"%.1f\" "
                  "height=\"%.1f\"/><text class=\"cut\" x=\"%.1f\" "
                  "y=\"%.1f\">%s</text>\n",
                  x, TOP - 8, to - x, bottom - TOP + 8, (x + to) / 2,
                  bottom + 15, text_str(&words));
        text_clear(&words);
    }
}

/* The days, and the hours at which something begins. */
static void add_hours(const struct picture *pic, double bottom, struct text *o)
{
    const struct project *p = pic->p;
    double last = -100;

    for (size_t i = 0; i < p->tasks; i++) {
        const struct project_task *k = &p->task[i];
        const double x = x_of(&pic->scale, begin_of(p, k));
        const bool new_day =
            !i || day_between(p->task[i - 1].begins.day, k->begins.day) != 0;
        char words[24];

        moment_words(k->begins, words);
        words[10] = '\0'; /* "Sun 29 Nov", "18:00" */
        if (new_day)
            html_addf(o, "<text class=\"day\" x=\"%.1f\" y=\"13\">%s</text>", x,
                      words);
        if (x == last || (x - last < 44 && !new_day))
            continue;
        html_addf(o,
                  "<text class=\"hour\" x=\"%.1f\" y=\"31\">%s</text><path "
                  "class=\"hour\" d=\"M%.1f %dV%.1f\"/>\n",
                  x, words + 11, x, TOP - 10, bottom);
        last = x;
    }
}

void plan_picture(const struct project *p, struct text *out)
{
    struct picture pic = {.p = p};
    struct text bars = {0};
    double bottom, right;

    for (size_t i = 0; i < p->tasks; i++)
        if (!p->task[i].has_begin)
            return;
    if (!p->tasks)
        return;
    make_scale(&pic);
    make_lanes(&pic);
    add_steps(&pic, &bars);
    bottom = y_of(&pic, pic.lanes);
    right = LEFT + pic.scale.x[pic.scale.count - 1] * pic.scale.px_per_min + 40;
    html_addf(out,
              "<div class=\"times\" tabindex=\"0\" role=\"region\" "
              "aria-label=\"The steps in time\"><svg width=\"%.0f\" "
              "height=\"%.0f\" role=\"img\" aria-label=\"Pots and burners from "
              "the first step to the last, as the list below has them\">\n",
              right, bottom + 24);
    add_cuts(&pic, bottom, out);
    add_hours(&pic, bottom, out);
    for (size_t i = 0; i < pic.lanes; i++)
        if (!pic.lane[i].again)
            html_addf(out,
                      "<text class=\"lane\" x=\"0\" y=\"%.1f\">%s</text>"
                      "<path class=\"lane\" d=\"M0 %.1fH%.1f\"/>\n",
                      y_of(&pic, i) + BAR - 8, pic.lane[i].name,
                      y_of(&pic, i) - 5, right - 40);
    text_add_n(out, text_str(&bars), bars.len);
    text_add(out, "</svg></div>\n");
    text_clear(&bars);
    free(pic.scale.at);
    free(pic.scale.x);
}
