/* Which two readings of a skein a test goes by. See fast_pair.h. */
#include "book/fast_pair.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "book/shelf.h"

/* ---- one skein's life and readings -------------------------------------- */

char *fast_text_at(struct stmt *q, int column)
{
    return stmt_is_null(q, column) ? NULL : mem_text(stmt_get_text(q, column));
}

void fast_copy_at(struct stmt *q, int column, char out[11])
{
    const char *s = stmt_get_text(q, column);

    snprintf(out, 11, "%s", s ? s : "");
}

static bool load_steps(struct book *book, int64_t skein, struct fast_past *out,
                       struct error *err)
{
    struct stmt q;
    bool row, ok;

    if (!stmt_begin(book, STMT_FAST_STEPS, &q, err))
        return false;
    stmt_int(&q, ":skein", skein);
    while ((ok = stmt_step(&q, &row, err)) && row) {
        const char *kind = stmt_get_text(&q, 2);

        out->step = mem_room(out->step, out->steps, sizeof *out->step);
        out->step[out->steps++] =
            (struct fast_step){.entry = stmt_get_int(&q, 1),
                               .wash = kind && !strcmp(kind, "wash"),
                               .dyestuffs = fast_text_at(&q, 3),
                               .mordants = fast_text_at(&q, 4),
                               .dips = fast_text_at(&q, 5)};
    }
    stmt_done(&q);
    return ok;
}

/* Columns of STMT_FAST_READINGS. */
static void take_seen(struct stmt *q, const struct ask_filter *f,
                      const struct fast_past *past, struct fast_seen *out)
{
    const int64_t entry = stmt_get_int(q, 1);

    *out = (struct fast_seen){.step = SIZE_MAX, .lack = ASK_HAS_COLOUR};
    shelf_take(q, &out->reading);
    snprintf(out->part, sizeof out->part, "%s", stmt_get_text(q, 2));
    fast_copy_at(q, 26, out->from);
    fast_copy_at(q, 27, out->to);
    for (size_t i = 0; i < past->steps; i++)
        if (past->step[i].entry == entry)
            out->step = i;
    if ((stmt_get_int(q, 3) != 0) != f->wet)
        out->lack = ASK_WETNESS;
    else if (!strcmp(stmt_get_text(q, 9), "eye"))
        out->lack = ASK_BY_EYE;
    else if (strcmp(out->reading.illuminant, f->illuminant) != 0 ||
             out->reading.observer_deg != f->observer_deg)
        out->lack = ASK_OTHER_LIGHT;
}

bool fast_past_load(struct book *book, int64_t skein,
                    const struct ask_filter *filter, struct fast_past *out,
                    struct error *err)
{
    struct stmt q;
    bool row, ok;

    *out = (struct fast_past){0};
    if (!load_steps(book, skein, out, err) ||
        !stmt_begin(book, STMT_FAST_READINGS, &q, err))
        return false;
    stmt_int(&q, ":skein", skein);
    while ((ok = stmt_step(&q, &row, err)) && row) {
        out->seen = mem_room(out->seen, out->count, sizeof *out->seen);
        take_seen(&q, filter, out, &out->seen[out->count++]);
    }
    stmt_done(&q);
    return ok;
}

void fast_past_clear(struct fast_past *past)
{
    for (size_t i = 0; i < past->steps; i++) {
        free(past->step[i].dyestuffs);
        free(past->step[i].mordants);
        free(past->step[i].dips);
    }
    free(past->step);
    free(past->seen);
    *past = (struct fast_past){0};
}

/* ---- which two readings -------------------------------------------------- */

/* Which readings may be one side of a test. */
enum side { BEFORE, COVERED, EXPOSED, AFTER };

static bool is_part(const struct fast_seen *s, enum side side)
{
    return !strcmp(s->part, side == COVERED   ? "covered"
                            : side == EXPOSED ? "exposed"
                                              : "whole");
}

/* Whether its days are those of a side. Parts are covered and exposed by the
 * test itself; the whole of a skein has to be told by its day, which has to be
 * known for that. */
static bool is_then(const struct fast_held *h, const struct fast_seen *s,
                    enum side side)
{
    const bool over = *h->next && strcmp(s->to, h->next) >= 0;

    if (side == COVERED || side == EXPOSED)
        return !over && (!*h->from || strcmp(s->to, h->from) >= 0);
    if (!*h->from)
        return false;
    return side == BEFORE ? strcmp(s->to, h->to) <= 0
                          : !over && strcmp(s->from, h->to) > 0;
}

static bool fits(const struct fast_held *h, const struct fast_seen *s,
                 enum side side)
{
    const int64_t named =
        side == AFTER || side == EXPOSED ? h->after : h->before;

    if (named) /* on its own account, whatever its part and its day */
        return s->reading.id == named && (side == AFTER || side == BEFORE);
    return is_part(s, side) && is_then(h, s, side);
}

/* Whether nothing but what the test is of was done between two readings. */
static bool is_one_state(const struct fast_past *past, enum fast_kind kind,
                         const struct fast_seen *original,
                         const struct fast_seen *tested)
{
    if (original->step == SIZE_MAX || tested->step == SIZE_MAX ||
        original->step > tested->step)
        return false;
    for (size_t i = original->step + 1; i <= tested->step; i++)
        if (kind != FAST_WASH || !past->step[i].wash)
            return false;
    return true;
}

/* The latest pair of two sides; what is missing otherwise goes to the test. */
static bool pair_of(const struct fast_past *past, const struct fast_held *h,
                    enum side original, enum side tested,
                    const struct fast_seen **o, const struct fast_seen **t)
{
    for (size_t i = past->count; i-- > 0;) {
        *t = &past->seen[i];
        if ((*t)->lack != ASK_HAS_COLOUR || !fits(h, *t, tested))
            continue;
        for (size_t k = past->count; k-- > 0;) {
            *o = &past->seen[k];
            if (*o != *t && (*o)->lack == ASK_HAS_COLOUR &&
                fits(h, *o, original) &&
                is_one_state(past, h->test.kind, *o, *t))
                return true;
        }
    }
    return false;
}

/* The nearest to a reading that there is for a side. */
static enum ask_lack nearest(const struct fast_past *past,
                             const struct fast_held *h, enum side side)
{
    enum ask_lack lack = ASK_NEVER;

    for (size_t i = 0; i < past->count; i++)
        if (fits(h, &past->seen[i], side) && past->seen[i].lack < lack)
            lack = past->seen[i].lack;
    return lack;
}

static enum ask_lack nearer(enum ask_lack x, enum ask_lack y)
{
    return x < y ? x : y;
}

void fast_tell_lack(const struct fast_past *past, struct fast_held *h)
{
    struct fast_test *t = &h->test;
    const bool light = t->kind == FAST_LIGHT;
    const enum ask_lack exposed = light ? nearest(past, h, EXPOSED) : ASK_NEVER;
    const enum ask_lack covered =
        light && (exposed == ASK_HAS_COLOUR || h->after)
            ? nearest(past, h, COVERED)
            : ASK_NEVER;
    const enum ask_lack after = nearer(nearest(past, h, AFTER), exposed);
    const enum ask_lack before = nearer(nearest(past, h, BEFORE), covered);

    t->lack = after != ASK_HAS_COLOUR    ? FAST_NO_AFTER
              : before != ASK_HAS_COLOUR ? FAST_NO_BEFORE
                                         : FAST_OTHER_STEP;
    t->why = t->lack == FAST_NO_AFTER ? after : before;
}

bool fast_find_pair(const struct fast_past *past, const struct fast_held *h,
                    const struct fast_seen **o, const struct fast_seen **t)
{
    const bool light = h->test.kind == FAST_LIGHT;

    return (light && (pair_of(past, h, COVERED, EXPOSED, o, t) ||
                      pair_of(past, h, BEFORE, EXPOSED, o, t))) ||
           (light && h->after && pair_of(past, h, COVERED, AFTER, o, t)) ||
           pair_of(past, h, BEFORE, AFTER, o, t);
}
