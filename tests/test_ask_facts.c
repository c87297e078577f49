/*
 * Filters by what is not a step: owner, fibre, day, water, pH, supply, dyestuff
 * per fibre, glow, unfinished; on random books written row by row, against the
 * same reckoned the slow way from what was written.
 */
#include "support.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "book/ask.h"
#include "book/store.h"
#include "shelf_support.h"

#define BOOKS 4
#define N_SKEINS 90
#define N_BATHS 10
#define N_TREATMENTS 45
#define N_DOSES 40
#define N_PH 40
#define N_SIGHTS 40
#define N_POURS 3
#define LIFE 64

/* Indices from 0, -1 for none; ids in the book are one more. */
struct f_skein {
    int owner, fibre, finished, weight, parent, after; /* after: entries */
    int treatment[4], entries;
    bool withdrawn;
};
struct f_treatment {
    bool dye, withdrawn;
    int bath, round;
    const char *from, *to; /* NULL: not known */
};
struct f_dose {
    int bath, treatment, supply, before;
    bool percent, withdrawn; /* else grams */
    int low, high;           /* -1 not known */
};
struct f_ph {
    int bath, treatment;
    double low, high; /* NaN: words without a number */
    bool stored, withdrawn;
};
struct f_sight {
    int skein, photo; /* photo 1 is withdrawn; -1: seen by eye */
    const char *glow;
    bool withdrawn;
};

static struct facts {
    struct f_skein skein[N_SKEINS];
    struct f_treatment treatment[N_TREATMENTS];
    struct f_dose dose[N_DOSES];
    struct f_ph ph[N_PH];
    struct f_sight sight[N_SIGHTS];
    int water[N_BATHS], pour[N_POURS][2]; /* from, into */
    struct book *book;
} books[BOOKS];

/* ---- making one -----------------------------------------------------------
 */

static const char *const spans[][2] = {
    {"2019-06-01", "2019-08-31"}, {"2019-07-15", "2019-07-15"},
    {"2019-08-31", "2019-08-31"}, {"2019-09-01", "2019-09-01"},
    {"2019-01-01", "2019-12-31"}, {"2026-05-03", "2026-05-03"},
    {"2026-05-01", "2026-05-31"}};

static void draw(struct facts *f, uint64_t *d)
{
    for (int i = 0; i < N_SKEINS; i++) {
        struct f_skein *s = &f->skein[i];
        *s = (struct f_skein){dice(d, 4) == 0,
                              dice(d, 4) - 1,
                              dice(d, 3) - 1,
                              dice(d, 9) ? 5 + dice(d, 40) : -1,
                              -1,
                              0,
                              {0},
                              dice(d, 5) % 4,
                              dice(d, 12) == 0};
        for (int k = 0; k < s->entries; k++)
            s->treatment[k] = dice(d, N_TREATMENTS);
        if (i > 10 && dice(d, 4) == 0) {
            s->parent = dice(d, i);
            s->after = dice(d, f->skein[s->parent].entries + 1);
        }
    }
    for (int i = 0; i < N_TREATMENTS; i++) {
        int span = dice(d, 9);
        bool dye = dice(d, 4) != 0;
        f->treatment[i] =
            (struct f_treatment){dye,
                                 dice(d, 15) == 0,
                                 dice(d, N_BATHS + 2) - 2,
                                 dye ? dice(d, 4) - 1 : -1,
                                 span < 7 ? spans[span][0] : NULL,
                                 span < 7 ? spans[span][1] : NULL};
        if (f->treatment[i].bath < 0)
            f->treatment[i].bath = -1;
    }
    for (int i = 0; i < N_DOSES; i++) {
        bool in_bath = dice(d, 3) != 0;
        int low = dice(d, 12) ? dice(d, 30) * 5 : -1;
        f->dose[i] = (struct f_dose){in_bath ? dice(d, N_BATHS) : -1,
                                     in_bath ? -1 : dice(d, N_TREATMENTS),
                                     dice(d, 5) - 1,
                                     in_bath ? dice(d, 4) - 1 : -1,
                                     dice(d, 2) == 0,
                                     dice(d, 8) == 0,
                                     low,
                                     low < 0 ? -1 : low + dice(d, 3) * 10};
    }
    for (int i = 0; i < N_PH; i++) {
        int of = dice(d, 3); /* a bath, a treatment, both */
        double low = dice(d, 8) ? 3 + 0.5 * dice(d, 16) : (double)NAN;
        f->ph[i] = (struct f_ph){of != 1 ? dice(d, N_BATHS) : -1,
                                 of ? dice(d, N_TREATMENTS) : -1,
                                 low,
                                 low + 0.5 * dice(d, 4),
                                 dice(d, 4) == 0,
                                 dice(d, 6) == 0};
    }
    for (int i = 0; i < N_SIGHTS; i++) {
        static const char *const glows[] = {"none", "faint", "strong", NULL};
        const char *glow = glows[dice(d, 4)];
        f->sight[i] = (struct f_sight){
            dice(d, N_SKEINS), glow && dice(d, 4) == 0 ? -1 : dice(d, 4) == 0,
            glow, dice(d, 6) == 0};
    }
    for (int i = 0; i < N_BATHS; i++)
        f->water[i] = dice(d, 4) - 1;
    for (int i = 0; i < N_POURS; i++) { /* never in a circle */
        f->pour[i][0] = dice(d, N_BATHS - 1);
        f->pour[i][1] =
            f->pour[i][0] + 1 + dice(d, N_BATHS - 1 - f->pour[i][0]);
    }
}

/* ---- writing it -----------------------------------------------------------
 */

/* An id, or NULL for none. */
static const char *id(int i)
{
    static char out[8][16];
    static int at;

    at = (at + 1) % 8;
    if (i < 0)
        return "NULL";
    snprintf(out[at], sizeof out[at], "%d", i + 1);
    return out[at];
}

static const char *quoted(const char *s)
{
    static char out[2][32];
    static int at;

    at = !at;
    snprintf(out[at], sizeof out[at], s ? "'%s'" : "NULL", s ? s : "");
    return out[at];
}

static void write_lives(const struct facts *f, struct text *t)
{
    int entry = 0, first[N_SKEINS];

    for (int i = 0; i < N_TREATMENTS; i++) {
        const struct f_treatment *a = &f->treatment[i];
        char round[16];
        snprintf(round, sizeof round, "%d", a->round);
        text_addf(t,
                  "INSERT INTO treatment (dyer_id, kind, bath_id, round,"
                  " on_from, on_to, withdrawn) VALUES (1, '%s', %s, %s, %s,"
                  " %s, %d);",
                  a->dye ? "dye" : "wash", id(a->bath),
                  a->round < 0 ? "NULL" : round, quoted(a->from), quoted(a->to),
                  a->withdrawn);
    }
    for (int i = 0; i < N_SKEINS; i++) {
        const struct f_skein *s = &f->skein[i];
        char grams[16];
        snprintf(grams, sizeof grams, "%d", s->weight);
        text_addf(t,
                  "INSERT INTO skein (dyer_id, number, fibre_id, weight_low_g,"
                  " weight_high_g, finished, withdrawn) VALUES (%d, %d, %s, %s,"
                  " %s, %s, %d);",
                  s->owner + 1, i + 1, id(s->fibre),
                  s->weight < 0 ? "NULL" : grams,
                  s->weight < 0 ? "NULL" : grams,
                  s->finished < 0 ? "NULL"
                  : s->finished   ? "1"
                                  : "0",
                  s->withdrawn);
        first[i] = entry;
        for (int k = 0; k < s->entries; k++, entry++)
            text_addf(t,
                      "INSERT INTO entry (skein_id, treatment_id, place)"
                      " VALUES (%d, %d, %d);",
                      i + 1, s->treatment[k] + 1, k + 1);
        if (s->parent >= 0)
            text_addf(t,
                      "INSERT INTO origin (child_id, parent_id,"
                      " after_entry_id) VALUES (%d, %d, %s);",
                      i + 1, s->parent + 1,
                      id(s->after ? first[s->parent] + s->after - 1 : -1));
    }
}

static void write_pots(const struct facts *f, struct text *t)
{
    for (int i = 0; i < N_BATHS; i++)
        text_addf(t,
                  "INSERT INTO bath (dyer_id, number, kind, water_id) VALUES"
                  " (1, %d, 'dye', %s);",
                  i + 1, id(f->water[i]));
    for (int i = 0; i < N_POURS; i++)
        text_addf(t, "INSERT INTO pour (parent_id, bath_id) VALUES (%d, %d);",
                  f->pour[i][0] + 1, f->pour[i][1] + 1);
}

static void write_facts(const struct facts *f, struct text *t)
{
    for (int i = 0; i < N_DOSES; i++) {
        const struct f_dose *x = &f->dose[i];
        char before[16], amount[64] = "NULL, NULL, NULL";
        snprintf(before, sizeof before, "%d", x->before);
        if (x->low >= 0)
            snprintf(amount, sizeof amount, "'%s', %d, %d",
                     x->percent ? "wof_pct" : "g", x->low, x->high);
        text_addf(t,
                  "INSERT INTO dose (bath_id, treatment_id, material_id,"
                  " supply_id, role, before_round, withdrawn, amount_unit,"
                  " amount_low, amount_high) VALUES (%s, %s, 2, %s,"
                  " 'dyestuff', %s, %d, %s);",
                  id(x->bath), id(x->treatment), id(x->supply),
                  x->before < 0 ? "NULL" : before, x->withdrawn, amount);
    }
    for (int i = 0; i < N_PH; i++) {
        const struct f_ph *p = &f->ph[i];
        char range[64] = "NULL, NULL";
        if (!isnan(p->low))
            snprintf(range, sizeof range, "%g, %g", p->low, p->high);
        text_addf(t,
                  "INSERT INTO ph (bath_id, treatment_id, moment, withdrawn,"
                  " ph_words, ph_low, ph_high) VALUES (%s, %s, %s, %d, 'x',"
                  " %s);",
                  id(p->bath), id(p->treatment),
                  quoted(p->stored ? "stored" : NULL), p->withdrawn, range);
    }
    for (int i = 0; i < N_SIGHTS; i++)
        text_addf(t,
                  "INSERT INTO sight (photo_id, skein_id, glow, withdrawn)"
                  " VALUES (%s, %d, %s, %d);",
                  id(f->sight[i].photo), f->sight[i].skein + 1,
                  quoted(f->sight[i].glow), f->sight[i].withdrawn);
}

static void write_book(struct facts *f)
{
    struct text t = {0};
    struct error err;

    text_add(&t,
             "INSERT INTO dyer (name) VALUES ('Aino');"
             "INSERT INTO material (kind, name, name_key) VALUES ('dyestuff',"
             " 'madder', 'madder');"
             "INSERT INTO fibre (dyer_id, name, name_key) VALUES (1, 'f1',"
             " 'f1'), (1, 'f2', 'f2'), (1, 'f3', 'f3');"
             "INSERT INTO water (dyer_id, name, name_key) VALUES (1, 'w1',"
             " 'w1'), (1, 'w2', 'w2'), (1, 'w3', 'w3');"
             "INSERT INTO supply (dyer_id, material_id, name, name_key) VALUES"
             " (1, 2, 's1', 's1'), (1, 2, 's2', 's2'), (1, 2, 's3', 's3'),"
             " (1, 2, 's4', 's4');"
             "INSERT INTO photo (dyer_id, sha256, bytes, withdrawn) VALUES"
             " (1, zeroblob(32), 1, 0), (1, randomblob(32), 1, 1);");
    write_pots(f, &t);
    write_lives(f, &t);
    write_facts(f, &t);
    check_ok(book_open(":memory:", &f->book, &err), &err);
    check_ok(book_act_begin(f->book, "test", &err), &err);
    check_ok(store_exec(f->book, text_str(&t), &err), &err);
    check_ok(book_act_end(f->book, &err), &err);
    text_clear(&t);
}

static int make_books(void **state)
{
    uint64_t seed = 20190715;

    (void)state;
    for (int i = 0; i < BOOKS; i++) {
        draw(&books[i], &seed);
        write_book(&books[i]);
    }
    return 0;
}

static int close_books(void **state)
{
    (void)state;
    for (int i = 0; i < BOOKS; i++)
        book_close(books[i].book);
    return 0;
}

/* ---- the slow way ---------------------------------------------------------
 */

/* The standing treatments of a skein's first entries, what it was cut off
 * before its own; returns how many. */
static int life_of(const struct facts *f, int skein, int entries,
                   int life[LIFE])
{
    const struct f_skein *s = &f->skein[skein];
    int n = 0;

    if (s->parent >= 0) {
        /* Cut off after a step that does not stand: as after none. */
        bool stands = s->after &&
                      !f->treatment[f->skein[s->parent].treatment[s->after - 1]]
                           .withdrawn;
        n = life_of(f, s->parent, stands ? s->after : 0, life);
    }
    for (int k = 0; k < entries; k++)
        if (!f->treatment[s->treatment[k]].withdrawn && n < LIFE)
            life[n++] = s->treatment[k];
    return n;
}

static int last_dye(const struct facts *f, int skein)
{
    int life[LIFE], n = life_of(f, skein, f->skein[skein].entries, life);

    while (n-- > 0)
        if (f->treatment[life[n]].dye)
            return life[n];
    return -1;
}

static bool is_of_day(const struct facts *f, int skein, const char *from,
                      const char *to)
{
    const struct f_skein *s = &f->skein[skein];
    int then = last_dye(f, skein);

    for (int k = 0; k < s->entries && last_dye(f, skein) < 0; k++)
        if (!f->treatment[s->treatment[k]].withdrawn)
            then = s->treatment[k];
    return then >= 0 && f->treatment[then].from &&
           strcmp(f->treatment[then].from, to) <= 0 &&
           strcmp(f->treatment[then].to, from) >= 0;
}

static bool has_water(const struct facts *f, int skein, int water)
{
    int dye = last_dye(f, skein);

    return dye >= 0 && f->treatment[dye].bath >= 0 &&
           f->water[f->treatment[dye].bath] == water;
}

static bool has_ph(const struct facts *f, int skein, double low, double high)
{
    int dye = last_dye(f, skein);
    bool own = false, hit[2] = {false, false};

    for (int i = 0; dye >= 0 && i < N_PH; i++) {
        const struct f_ph *p = &f->ph[i];
        bool fits = p->low <= high && p->high >= low;
        if (p->withdrawn || isnan(p->low))
            continue;
        if (p->treatment == dye) {
            own = true;
            hit[0] = hit[0] || fits;
        } else if (p->treatment < 0 && !p->stored &&
                   p->bath == f->treatment[dye].bath) {
            hit[1] = hit[1] || fits;
        }
    }
    return hit[!own];
}

/* Whether liquor of one bath came into another. */
static bool flowed(const struct facts *f, int from, int into)
{
    for (int i = 0; i < N_POURS; i++)
        if (f->pour[i][1] == into &&
            (f->pour[i][0] == from || flowed(f, from, f->pour[i][0])))
            return true;
    return false;
}

static bool is_in(const struct f_treatment *a, int treatment,
                  const struct f_dose *x)
{
    return x->treatment == treatment ||
           (x->bath >= 0 && x->bath == a->bath &&
            (a->round < 0 || x->before <= a->round));
}

static bool has_supply(const struct facts *f, int skein, int supply)
{
    int life[LIFE], n = life_of(f, skein, f->skein[skein].entries, life);

    for (int k = 0; k < n; k++)
        for (int i = 0; i < N_DOSES; i++) {
            const struct f_treatment *a = &f->treatment[life[k]];
            const struct f_dose *x = &f->dose[i];
            if (x->supply == supply && !x->withdrawn &&
                (is_in(a, life[k], x) ||
                 (x->bath >= 0 && a->bath >= 0 && flowed(f, x->bath, a->bath))))
                return true;
        }
    return false;
}

/* Grams of fibre that a dose was for; NaN: not known. */
static double fibre_of(const struct facts *f, const struct f_dose *x)
{
    double sum = 0;
    bool any = false;

    for (int i = 0; i < N_SKEINS; i++)
        for (int k = 0; k < f->skein[i].entries; k++) {
            int t = f->skein[i].treatment[k];
            const struct f_treatment *a = &f->treatment[t];
            int round = a->round < 0 ? 0 : a->round,
                before = x->before < 0 ? 0 : x->before;
            if (a->withdrawn ||
                !(x->treatment == t || (x->bath >= 0 && x->bath == a->bath &&
                                        a->dye && round == before)))
                continue;
            any = true;
            sum += f->skein[i].weight < 0 ? (double)NAN : f->skein[i].weight;
        }
    return any ? sum : (double)NAN;
}

static bool has_dyestuff(const struct facts *f, int skein, double low,
                         double high)
{
    int dye = last_dye(f, skein);
    double sum[2] = {0, 0};
    bool any = false;

    if (dye < 0)
        return false;
    for (int i = 0; i < N_POURS; i++)
        if (f->pour[i][1] == f->treatment[dye].bath)
            return false;
    for (int i = 0; i < N_DOSES; i++) {
        const struct f_dose *x = &f->dose[i];
        double scale = x->percent ? 1 : 100 / fibre_of(f, x);
        if (x->withdrawn || !is_in(&f->treatment[dye], dye, x))
            continue;
        any = true;
        sum[0] += x->low < 0 ? (double)NAN : x->low * scale;
        sum[1] += x->low < 0 ? (double)NAN : x->high * scale;
    }
    return any && sum[0] <= high && sum[1] >= low;
}

static bool glows(const struct facts *f, int skein, const char *how)
{
    for (int i = 0; i < N_SIGHTS; i++) {
        const struct f_sight *g = &f->sight[i];
        if (g->skein == skein && !g->withdrawn && g->photo != 1 && g->glow &&
            (!strcmp(g->glow, how) ||
             (!strcmp(how, "any") && strcmp(g->glow, "none") != 0)))
            return true;
    }
    return false;
}

/* ---- asking ---------------------------------------------------------------
 */

/* One thing asked for, in words, and what they stand for. */
static const struct ask {
    const char *name, *words;
    int index;
    double low, high;
    const char *from, *to;
} asks[] = {
    {"owner", "me", 0, 0, 0, NULL, NULL},
    {"owner", "Aino", 1, 0, 0, NULL, NULL},
    {"fibre", "f2", 1, 0, 0, NULL, NULL},
    {"unfinished", "", 0, 0, 0, NULL, NULL},
    {"date", "summer 2019", 0, 0, 0, "2019-06-01", "2019-08-31"},
    {"date", "September 2019", 0, 0, 0, "2019-09-01", "2019-09-30"},
    {"date", "2026-05-03", 0, 0, 0, "2026-05-03", "2026-05-03"},
    {"date", "2019", 0, 0, 0, "2019-01-01", "2019-12-31"},
    {"water", "w1", 0, 0, 0, NULL, NULL},
    {"water", "w3", 2, 0, 0, NULL, NULL},
    {"ph", "5..6.5", 0, 5, 6.5, NULL, NULL},
    {"ph", "7", 0, 7, 7, NULL, NULL},
    {"ph", "8..", 0, 8, 14, NULL, NULL},
    {"supply", "s1", 0, 0, 0, NULL, NULL},
    {"supply", "s4", 3, 0, 0, NULL, NULL},
    {"per-fibre", "50..120", 0, 50, 120, NULL, NULL},
    {"per-fibre", "..40", 0, 0, 40, NULL, NULL},
    {"per-fibre", "300..", 0, 300, 1e6, NULL, NULL},
    {"glow", "any", 0, 0, 0, NULL, NULL},
    {"glow", "none", 0, 0, 0, NULL, NULL},
    {"glow", "strong", 0, 0, 0, NULL, NULL},
};

static bool passes(const struct facts *f, int skein, const struct ask *a)
{
    const struct f_skein *s = &f->skein[skein];

    if (!strcmp(a->name, "owner"))
        return s->owner == a->index;
    if (!strcmp(a->name, "fibre"))
        return s->fibre == a->index;
    if (!strcmp(a->name, "unfinished"))
        return s->finished == 0;
    if (!strcmp(a->name, "date"))
        return is_of_day(f, skein, a->from, a->to);
    if (!strcmp(a->name, "water"))
        return has_water(f, skein, a->index);
    if (!strcmp(a->name, "ph"))
        return has_ph(f, skein, a->low, a->high);
    if (!strcmp(a->name, "supply"))
        return has_supply(f, skein, a->index);
    if (!strcmp(a->name, "per-fibre"))
        return has_dyestuff(f, skein, a->low, a->high);
    return glows(f, skein, a->words);
}

/* Asks for all of these at once: skeins, a find and a grid of them. */
static size_t check_asked(const struct facts *f, const struct ask *const *ask,
                          size_t n)
{
    struct find_request r = {.filter = ask_filter_any(), .tolerance = 2};
    struct grid_request g = {
        .rows = GRID_DYESTUFF, .columns = GRID_YEAR, .tolerance = 2};
    struct ask_skeins got;
    struct find_answer found;
    struct grid grid;
    struct error err;
    size_t at = 0, in_grid = 0;

    for (size_t i = 0; i < n; i++)
        check_ok(ask_filter_read(f->book, &r.filter, ask[i]->name,
                                 ask[i]->words, &err),
                 &err);
    g.filter = r.filter;
    check_ok(ask_skeins(f->book, &r.filter, 0, &got, &err), &err);
    check_ok(ask_find(f->book, &r, &found, &err), &err);
    check_ok(ask_grid(f->book, &g, &grid, &err), &err);
    for (int owner = 0; owner < 2; owner++)
        for (int i = 0; i < N_SKEINS; i++) {
            bool in = !f->skein[i].withdrawn && f->skein[i].owner == owner;
            for (size_t k = 0; k < n; k++)
                in = in && passes(f, i, ask[k]);
            if (!in)
                continue;
            if (at == got.count || got.skein[at].number != i + 1)
                fail_msg("%s %s: skein %d is missing, or one before it is too "
                         "many",
                         ask[0]->name, ask[0]->words, i + 1);
            assert_int_equal(found.row[at].skein.id, got.skein[at].id);
            at++;
        }
    assert_int_equal(got.count, at);
    assert_int_equal(got.found, at);
    assert_int_equal(found.count, at);
    for (size_t i = 0; i < grid.rows * grid.columns; i++)
        in_grid += grid.place[i].skeins;
    assert_int_equal(in_grid, at);
    ask_skeins_free(&got);
    find_answer_clear(&found);
    grid_clear(&grid);
    return at;
}

static void each_fact_is_found_as_reckoned_slowly(void **state)
{
    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(asks); i++) {
        const struct ask *one = &asks[i];
        size_t found = 0;
        for (int b = 0; b < BOOKS; b++)
            found += check_asked(&books[b], &one, 1);
        if (!found || found == (size_t)BOOKS * N_SKEINS)
            fail_msg("%s %s tells nothing apart", one->name, one->words);
    }
}

static void facts_together_are_found_as_reckoned_slowly(void **state)
{
    size_t found = 0;

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(asks); i++)
        for (size_t k = 0; k < ARRAY_LEN(asks); k++) {
            const struct ask *two[] = {&asks[i], &asks[k]};
            if (strcmp(asks[i].name, asks[k].name) != 0)
                found += check_asked(&books[(i + k) % BOOKS], two, 2);
        }
    assert_true(found > 200);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_fact_is_found_as_reckoned_slowly),
        cmocka_unit_test(facts_together_are_found_as_reckoned_slowly),
    };

    return cmocka_run_group_tests(tests, make_books, close_books);
}
