/* Answers as pictures. See book/picture.h. */
#include "book/picture.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "colour/grade.h"
#include "draw/picture.h"

static const struct lab none = {(double)NAN, (double)NAN, (double)NAN};

/* ---- texts that live as long as the picture is made ------------------------
 */

struct words {
    char **text;
    size_t count;
};

/* Takes the text over; borrowed until words_clear. */
static const char *keep(struct words *w, struct text *t)
{
    w->text = mem_room(w->text, w->count, sizeof *w->text);
    w->text[w->count] = text_take(t);
    return w->text[w->count++];
}

static void words_clear(struct words *w)
{
    for (size_t i = 0; i < w->count; i++)
        free(w->text[i]);
    free(w->text);
}

static struct lab colour_of(const struct ask_skein *s)
{
    const struct lab *c = ask_skein_colour(s);

    return c ? *c : none;
}

static const char *name_of(struct lab c)
{
    return isnan(c.L) ? "not measured" : colour_name_nearest(c)->name;
}

/* "L 42 a 45 b 28", never -0; appended. */
static void add_lab(struct lab c, struct text *out)
{
    text_addf(out, "L %.0f a %.0f b %.0f", text_round(c.L, 0) + 0.0,
              text_round(c.a, 0) + 0.0, text_round(c.b, 0) + 0.0);
}

/* ---- find ------------------------------------------------------------------
 */

void picture_of_find(const struct find_answer *a, const struct ask_skeins *all,
                     const struct lab *target, struct text *out)
{
    const size_t rest = all ? all->count : 0;
    struct picture_dot *dot = mem_new(a->count + rest + 1, sizeof *dot);
    struct text words = {0};
    struct picture p = {"Where they lie: a* across, b* up, L* beside it (D50, "
                        "2 degree)",
                        NULL};
    size_t n = 0;

    for (size_t i = 0; i < rest; i++)
        dot[n++] = (struct picture_dot){colour_of(&all->skein[i]), NULL};
    text_add(&words, "Map of colours.");
    if (target) {
        text_add(&words, " The cross is what was asked for, ");
        add_lab(*target, &words);
        text_add(&words, ".");
    }
    text_add(&words, " Named, the nearest first:");
    for (size_t i = 0; i < a->count; i++) {
        const struct ask_skein *s = &a->row[i].skein;
        if (s->lack != ASK_HAS_COLOUR)
            continue;
        dot[n++] = (struct picture_dot){s->reading.colour.lab, s->label};
        if (n - rest <= PICTURE_NAMED) {
            text_addf(&words, "%s skein %s, %s, ", n - rest > 1 ? ";" : "",
                      s->label, name_of(s->reading.colour.lab));
            add_lab(s->reading.colour.lab, &words);
        }
    }
    text_add(&words, n > rest ? "." : " none.");
    p.words = text_str(&words);
    picture_map(&p, dot, n, target, out);
    text_clear(&words);
    free(dot);
}

/* ---- grid ------------------------------------------------------------------
 */

static struct picture_swatch cell_of(struct words *w, const struct grid *g,
                                     size_t i)
{
    const struct grid_place *p = &g->place[i];
    struct picture_swatch s = {.lab = none};
    struct text t = {0};

    if (!p->measured) {
        if (*grid_state(g, i))
            s.name = grid_state(g, i);
        return s;
    }
    s.lab = p->mean.lab;
    text_addf(&t, "%zu %s", p->measured, p->measured == 1 ? "skein" : "skeins");
    s.name = keep(w, &t);
    s.line = name_of(s.lab);
    if (g->has_pin && i == g->pin)
        text_add(&t, "pinned");
    else if (g->has_pin)
        text_addf(&t,
                  "\xCE\x94"
                  "E00 %.1f",
                  p->pinned.de00);
    else if (p->measured > 1)
        text_addf(&t, "spread %.1f", p->spread);
    else
        return s;
    s.more = keep(w, &t);
    return s;
}

void picture_of_grid(const struct grid *g, enum grid_axis rows,
                     enum grid_axis columns, struct text *out)
{
    const size_t n = g->rows * g->columns;
    struct picture_swatch *s = mem_new(n + 1, sizeof *s);
    struct words w = {0};
    struct text title = {0}, words = {0};
    struct picture p;
    size_t measured = 0;

    for (size_t i = 0; i < n; i++) {
        s[i] = cell_of(&w, g, i);
        measured += g->place[i].measured > 0;
    }
    text_addf(&title, "%s down, %s across: mean colours", grid_axis_names[rows],
              grid_axis_names[columns]);
    text_addf(&words,
              "Table of %zu rows and %zu columns; %zu cells have a "
              "colour.",
              g->rows, g->columns, measured);
    for (size_t i = 0; i < n; i++)
        if (g->place[i].measured)
            text_addf(&words, " %s, %s: %s.", g->row[i / g->columns],
                      g->column[i % g->columns], s[i].line);
    p = (struct picture){text_str(&title), text_str(&words)};
    picture_table(&p, g->row, g->column, g->rows, g->columns, s, out);
    text_clear(&title);
    text_clear(&words);
    words_clear(&w);
    free(s);
}

/* ---- palette ---------------------------------------------------------------
 */

void picture_of_palette(const struct palette_answer *a, struct text *out)
{
    struct picture_swatch s[PALETTE_MOST];
    struct words w = {0};
    struct text words = {0};
    struct picture p = {"Colours that go together, and how light they are", ""};
    const size_t n = a->palette.members;

    text_add(&words, "Swatches that touch, and below them the same in grey:");
    for (size_t i = 0; i < n; i++) {
        const struct lab c = a->skein[i].reading.colour.lab;
        struct text t = {0};
        text_addf(&t, "L* %.0f%s", c.L, a->foretold[i] ? ", foretold" : "");
        s[i] = (struct picture_swatch){.lab = c,
                                       .name = a->skein[i].label,
                                       .line = name_of(c),
                                       .more = keep(&w, &t),
                                       .foretold = a->foretold[i]};
        text_addf(&words, "%s %s%s, %s, L* %.0f%s", i ? ";" : "",
                  a->foretold[i] ? "" : "skein ", a->skein[i].label, name_of(c),
                  c.L, a->foretold[i] ? ", striped, not dyed yet" : "");
        if (i + 1 < n && a->step[i] < PALETTE_ALIKE_L)
            text_add(&words, ", nearly as light as the next");
    }
    text_add(&words, ".");
    p.words = text_str(&words);
    picture_strip(&p, s, n, out);
    text_clear(&words);
    words_clear(&w);
}

/* ---- match -----------------------------------------------------------------
 */

void picture_of_match(const struct match_answer *a, struct lab target,
                      struct text *out)
{
    struct picture_swatch *s = mem_new(a->count + 1, sizeof *s);
    struct words w = {0};
    struct text words = {0};
    struct picture p = {"The colour that is wanted, then what comes near it, "
                        "the nearest first (D50, 2 degree)",
                        ""};

    s[0] = (struct picture_swatch){
        .lab = target, .name = "wanted", .line = name_of(target)};
    text_addf(&words, "Swatches that touch: wanted is %s, ", name_of(target));
    add_lab(target, &words);
    for (size_t i = 0; i < a->count; i++) {
        const struct match_row *row = &a->row[i];
        const struct lab c = match_row_lab(row);
        struct text t = {0};
        text_addf(&t,
                  "\xCE\x94"
                  "E00 %.1f%s: ",
                  row->de00, row->reckoned ? ", reckoned" : "");
        match_row_words(row, &t);
        text_addf(&words, "; %s, %s%s", name_of(c), text_str(&t),
                  row->reckoned ? ", striped, not dyed yet" : "");
        s[i + 1] = (struct picture_swatch){
            .lab = c,
            .name = row->reckoned ? "?" : row->skein.label,
            .line = name_of(c),
            .more = keep(&w, &t),
            .foretold = row->reckoned};
    }
    text_add(&words, ".");
    p.words = text_str(&words);
    picture_strip(&p, s, a->count + 1, out);
    text_clear(&words);
    words_clear(&w);
    free(s);
}

/* ---- repeat ----------------------------------------------------------------
 */

/* A skein of a dyeing, and how far it lies from the mean of all. */
static struct picture_swatch gone(struct words *w, const struct repeat_row *r)
{
    struct text t = {0};

    if (!isnan(r->from_mean))
        text_addf(&t,
                  "\xCE\x94"
                  "E00 %.1f from the mean",
                  r->from_mean);
    return (struct picture_swatch){.lab = colour_of(&r->skein),
                                   .name = r->skein.label,
                                   .line = name_of(colour_of(&r->skein)),
                                   .more = t.len ? keep(w, &t) : NULL};
}

static void dyeing_words(const struct ask_skein *s, struct text *out)
{
    text_addf(out, "%s%s%s%s", s->bath ? "bath " : "", s->bath ? s->bath : "",
              s->bath && s->on_words ? ", " : "",
              s->on_words ? s->on_words : "");
}

/* In which row of the table its dyeing is: a new one, or that of another. */
static size_t row_of(const struct repeat_answer *a, size_t i,
                     const size_t *row_at, size_t rows)
{
    for (size_t k = 0; k < i; k++)
        if (a->row[k].skein.dye_id == a->row[i].skein.dye_id)
            return row_at[k];
    return rows;
}

void picture_of_repeat(const struct repeat_answer *a, struct text *out)
{
    size_t *row_at = mem_new(a->alike + 1, sizeof *row_at);
    size_t *in_row = mem_new(a->alike + 1, sizeof *in_row);
    char **row = mem_new(a->alike + 1, sizeof *row);
    struct picture_swatch *s;
    struct words w = {0};
    struct text title = {0}, words = {0}, t = {0};
    struct picture p;
    size_t rows = 0, columns = 1;

    for (size_t i = 0; i < a->alike; i++) {
        row_at[i] = row_of(a, i, row_at, rows);
        if (row_at[i] == rows) {
            dyeing_words(&a->row[i].skein, &t);
            row[rows++] = text_take(&t);
        }
        if (++in_row[row_at[i]] > columns)
            columns = in_row[row_at[i]];
    }
    s = mem_new(rows * columns + 1, sizeof *s);
    for (size_t i = 0; i < rows * columns; i++)
        s[i] = (struct picture_swatch){.lab = none};
    for (size_t i = a->alike; i-- > 0;)
        s[row_at[i] * columns + --in_row[row_at[i]]] = gone(&w, &a->row[i]);
    text_add(&title, "Made as one, a dyeing a row: ");
    ask_recipe_words(&a->row[0].skein, &title);
    for (size_t i = 0; i < rows * columns; i++)
        if (s[i].name)
            text_addf(&words, "%s%s: skein %s, %s%s%s.", words.len ? " " : "",
                      row[i / columns], s[i].name, s[i].line,
                      s[i].more ? ", " : "", s[i].more ? s[i].more : "");
    p = (struct picture){text_str(&title), text_str(&words)};
    picture_table(&p, row, NULL, rows, columns, s, out);
    for (size_t i = 0; i < rows; i++)
        free(row[i]);
    free(row);
    free(row_at);
    free(in_row);
    free(s);
    text_clear(&title);
    text_clear(&words);
    words_clear(&w);
}

/* ---- fade ------------------------------------------------------------------
 */

static void lane_words(const struct fade *f, const struct fade_lane *lane,
                       bool bath, struct text *out)
{
    if (bath)
        text_addf(out, "bath %s, ", f->bath);
    text_add(out, lane->mordants ? lane->mordants : "mordant not recorded");
    if (lane->dips)
        text_addf(out, ", dipped in %s", lane->dips);
    if (f->fibres)
        text_addf(out, ", %s", lane->fibre ? lane->fibre : "yarn not recorded");
}

/* The colour a lane had in a round of that number. */
static struct lab lane_colour(const struct fade *f,
                              const struct fade_lane *lane, int64_t round)
{
    for (size_t i = 0; i < f->rounds; i++)
        if (f->round[i].known && f->round[i].round == round &&
            lane->cell[i].measured)
            return lane->cell[i].mean.lab;
    return none;
}

/* The rounds of a stretch, and the one that is foretold. */
static struct picture_point *points_of(const struct fade *f,
                                       const struct fade_lane *lane,
                                       const struct fade_stretch *s)
{
    const struct exhaust *e = &s->fit;
    const double whole = exhaust_strength(e, 0);
    struct picture_point *p = mem_new(e->rounds + 1, sizeof *p);

    for (size_t i = 0; i <= e->rounds; i++) {
        const double line = exhaust_strength(e, i) / whole;
        const bool told = i == e->rounds;
        const double seen = told ? (double)NAN : e->strength[i] / whole;
        p[i] = (struct picture_point){
            .seen = seen,
            .line = line,
            .low = line * exp(-1.96 * e->u_line[i]),
            .high = line * exp(1.96 * e->u_line[i]),
            .lab = told ? e->next
                        : lane_colour(f, lane,
                                      f->round[s->from].round + (int64_t)i),
            .foretold = told};
    }
    return p;
}

/* What can be drawn, and the words that say it. */
struct curves {
    struct picture_curve curve[PICTURE_CURVES];
    size_t count, more; /* drawn; left out as too many */
    struct words names;
    struct text words;
    struct text none; /* lanes of which no strength is told */
};

static void add_curve(const struct fade *f, const struct fade_lane *lane,
                      const struct fade_stretch *s, bool bath, struct curves *c)
{
    struct text name = {0}, line = {0};
    char how[80];

    if (c->count == PICTURE_CURVES) {
        c->more++;
        return;
    }
    lane_words(f, lane, bath, &name);
    exhaust_words(&s->fit, how, sizeof how);
    text_addf(&c->words, "%s%s: %s.", c->words.len ? " " : "", text_str(&name),
              how);
    text_add(&line, how);
    c->curve[c->count++] =
        (struct picture_curve){.name = keep(&c->names, &name),
                               .line = keep(&c->names, &line),
                               .first = (size_t)f->round[s->from].round,
                               .points = s->fit.rounds + 1,
                               .point = points_of(f, lane, s)};
}

static void add_lane(const struct fade *f, const struct fade_lane *lane,
                     bool bath, struct curves *c)
{
    bool any = false;

    for (size_t i = 0; i < lane->stretches; i++)
        if (lane->stretch[i].fit.state == EXHAUST_FITTED) {
            any = true;
            add_curve(f, lane, &lane->stretch[i], bath, c);
        }
    if (any)
        return;
    text_add(&c->none, c->none.len ? "; " : "");
    lane_words(f, lane, bath, &c->none);
}

/* A round of a lane; what it says is added to the words. */
static struct picture_swatch round_of(const struct fade *f,
                                      const struct fade_lane *lane, size_t r,
                                      struct words *w, struct text *words)
{
    const struct fade_cell *c = &lane->cell[r];
    struct picture_swatch s = {.lab = none};
    struct text t = {0};

    if (f->round[r].known)
        ask_round_words(f->round[r].round, &t);
    else
        text_add(&t, "round not recorded");
    s.name = keep(w, &t);
    if (c->measured) {
        s.lab = c->mean.lab;
        s.line = name_of(s.lab);
        add_lab(s.lab, &t);
        s.more = keep(w, &t);
    } else {
        s.line = c->lacking ? "not measured" : "no skein";
    }
    text_addf(words, ", %s %s", s.name, s.line);
    return s;
}

/* Colours alone, a lane a row. */
static void swatches_of(const struct fade *fade, size_t n, const char *title,
                        struct text *out)
{
    struct words w = {0};
    struct picture_swatch *s;
    char **row;
    struct text words = {0};
    struct picture p = {title, ""};
    size_t rows = 0, columns = 0, at = 0;

    for (size_t i = 0; i < n; i++) {
        rows += fade[i].lanes;
        columns = fade[i].rounds > columns ? fade[i].rounds : columns;
    }
    s = mem_new(rows * columns + 1, sizeof *s);
    row = mem_new(rows + 1, sizeof *row);
    for (size_t i = 0; i < n; i++)
        for (size_t k = 0; k < fade[i].lanes; k++, at++) {
            struct text t = {0};
            lane_words(&fade[i], &fade[i].lane[k], n > 1, &t);
            row[at] = text_take(&t);
            text_addf(&words, "%s%s", words.len ? "; " : "", row[at]);
            for (size_t r = 0; r < columns; r++)
                s[at * columns + r] =
                    r < fade[i].rounds
                        ? round_of(&fade[i], &fade[i].lane[k], r, &w, &words)
                        : (struct picture_swatch){.lab = none};
        }
    p.words = text_str(&words);
    picture_table(&p, row, NULL, rows, columns, s, out);
    for (size_t i = 0; i < rows; i++)
        free(row[i]);
    free(row);
    free(s);
    text_clear(&words);
    words_clear(&w);
}

void picture_of_fades(const struct fade *fade, size_t n, struct text *out)
{
    struct curves c = {.count = 0};
    struct text title = {0};
    struct picture p;

    for (size_t i = 0; i < n; i++)
        for (size_t k = 0; k < fade[i].lanes; k++)
            add_lane(&fade[i], &fade[i].lane[k], n > 1, &c);
    text_add(&title, "How the exhausts fade: ");
    for (size_t i = 0; i < n; i++)
        text_addf(&title, "%sbath %s", i ? ", " : "", fade[i].bath);
    if (c.count) {
        if (c.more)
            text_addf(&c.words, " %zu more are not drawn.", c.more);
        if (c.none.len)
            text_addf(&c.words, " Without a line: %s.", text_str(&c.none));
        p = (struct picture){text_str(&title), text_str(&c.words)};
        picture_curves(&p, c.curve, c.count, out);
    } else {
        text_add(&title, "; colours alone, for want of undyed wool with the "
                         "same mordant");
        swatches_of(fade, n, text_str(&title), out);
    }
    for (size_t i = 0; i < c.count; i++)
        free((void *)c.curve[i].point);
    words_clear(&c.names);
    text_clear(&c.words);
    text_clear(&c.none);
    text_clear(&title);
}

/* ---- rack ------------------------------------------------------------------
 */

int picture_rack_order(const void *a, const void *b)
{
    const struct ask_skein *x = *(struct ask_skein *const *)a;
    const struct ask_skein *y = *(struct ask_skein *const *)b;
    int64_t rx = x->has_round ? x->round : INT64_MAX;
    int64_t ry = y->has_round ? y->round : INT64_MAX;

    if (x->bath_id != y->bath_id)
        return x->bath_id > y->bath_id ? -1 : 1;
    if (rx != ry)
        return rx < ry ? -1 : 1;
    return (x->number > y->number) - (x->number < y->number);
}

#define RACK_WIDE 8 /* skeins in a row; a bath with more has more rows */

static struct picture_swatch hung(struct words *w, const struct ask_skein *s)
{
    struct picture_swatch to = {.lab = colour_of(s), .name = s->label};
    struct text t = {0};

    if (s->has_round)
        ask_round_words(s->round, &t);
    if (s->mordants)
        text_addf(&t, "%s%s", t.len ? ", " : "", s->mordants);
    if (s->dips)
        text_addf(&t, "%sdipped in %s", t.len ? ", " : "", s->dips);
    text_addf(&t, "%s%s", t.len ? ", " : "", name_of(to.lab));
    to.line = keep(w, &t);
    return to;
}

void picture_of_rack(const struct ask_skeins *all, struct text *out)
{
    struct ask_skein **s = mem_new(all->count + 1, sizeof *s);
    struct picture_swatch *to = mem_new(all->count * RACK_WIDE + 1, sizeof *to);
    char **row = mem_new(all->count + 1, sizeof *row);
    struct words w = {0};
    struct text words = {0};
    struct picture p = {"The rack: each bath's skeins, round by round", ""};
    size_t rows = 0, in_row = 0, measured = 0;

    for (size_t i = 0; i < all->count; i++)
        s[i] = &all->skein[i];
    if (all->count)
        qsort(s, all->count, sizeof(struct ask_skein *), picture_rack_order);
    for (size_t i = 0; i < all->count; i++) {
        const bool other = !i || s[i]->bath_id != s[i - 1]->bath_id;
        if (other || in_row == RACK_WIDE) {
            struct text t = {0};
            if (other && s[i]->bath)
                text_addf(&t, "bath %s %s", s[i]->bath,
                          s[i]->bath_name ? s[i]->bath_name : "");
            else if (other)
                text_add(&t, "in no bath");
            row[rows] = text_take(&t);
            for (in_row = 0; in_row < RACK_WIDE; in_row++)
                to[rows * RACK_WIDE + in_row] =
                    (struct picture_swatch){.lab = none};
            rows++;
            in_row = 0;
        }
        to[(rows - 1) * RACK_WIDE + in_row++] = hung(&w, s[i]);
        measured += s[i]->lack == ASK_HAS_COLOUR;
        text_addf(&words, "%s%s: %s.", words.len ? " " : "", s[i]->label,
                  name_of(colour_of(s[i])));
    }
    if (!measured)
        text_add(&words, " None is measured.");
    p.words = text_str(&words);
    picture_table(&p, row, NULL, rows, RACK_WIDE, to, out);
    for (size_t i = 0; i < rows; i++)
        free(row[i]);
    free(row);
    free(to);
    free(s);
    words_clear(&w);
    text_clear(&words);
}

/* ---- fastness --------------------------------------------------------------
 */

/* "33, light: 3-4 (3 to 4)"; "madder on iron; south window" */
static struct picture_change change_of(struct words *w,
                                       const struct fast_test *x)
{
    struct picture_change c = {.was = x->original.colour.lab,
                               .is = x->tested.colour.lab,
                               .at = grade_decimal(x->de_f),
                               .low = grade_decimal(x->de_f_high),
                               .high = grade_decimal(x->de_f_low)};
    struct text t = {0};

    text_addf(&t, "%s, %s: ", x->label, fast_kind_names[x->kind]);
    fast_grade_words(x, &t);
    c.name = keep(w, &t);
    fast_dye_words(x->dyestuffs, x->mordants, x->dips, x->no_mordant, &t);
    if (x->exposure)
        text_addf(&t, "; %s", x->exposure);
    c.line = keep(w, &t);
    return c;
}

void picture_of_fastness(const struct fast_answer *a, struct text *out)
{
    struct picture_change *c = mem_new(a->graded, sizeof *c);
    struct picture p = {
        "How well they last: left as it was, right after the test; grade 5 is "
        "no change, 1 a great one (D50, 2 degree; an indication)",
        NULL};
    struct words w = {0};
    struct text t = {0};

    text_add(&t, "Colours before and after tests, the fastest first:");
    for (size_t i = 0; i < a->graded; i++) {
        c[i] = change_of(&w, &a->test[i]);
        text_addf(&t, "%s skein %s, %s, was ", i ? ";" : "", c[i].name,
                  c[i].line);
        add_lab(c[i].was, &t);
        text_add(&t, ", is ");
        add_lab(c[i].is, &t);
    }
    text_add(&t, a->graded ? "." : " none.");
    p.words = text_str(&t);
    picture_changes(&p, c, a->graded, out);
    text_clear(&t);
    words_clear(&w);
    free(c);
}
