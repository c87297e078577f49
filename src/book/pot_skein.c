/* The skeins of a pot, found or made. See book/pot.h. */
#include "book/pot_work.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"

void pot_call_skein(const struct work *w, size_t i, char out[80])
{
    const struct pot_skein *s = w->skein[i].said;

    if (said(s->which))
        snprintf(out, 80, "skein \"%.60s\"", s->which);
    else if (said(s->number))
        snprintf(out, 80, "skein %.60s", s->number);
    else if (said(s->name))
        snprintf(out, 80, "skein \"%.60s\"", s->name);
    else if (said(s->code))
        snprintf(out, 80, "skein \"%.60s\"", s->code);
    else
        snprintf(out, 80, "skein %zu of this pot", i + 1);
}

/* ---- skeins in the book -----------------------------------------------------
 */

/* A number of mine: its id, or 0. */
static bool find_number(struct book *book, long long number, int64_t *id,
                        struct error *err)
{
    struct stmt q;
    bool row;

    if (!stmt_begin(book, STMT_SKEIN_NUMBERED, &q, err))
        return false;
    stmt_int(&q, ":number", number);
    stmt_int(&q, ":owner", book_dyer(book));
    if (!stmt_step(&q, &row, err))
        return false;
    *id = row ? stmt_get_int(&q, 0) : 0;
    stmt_done(&q);
    return true;
}

static bool is_number(const char *words, long long *out)
{
    char *s = text_trim(words);
    bool ok = text_whole(s, out) && *out > 0;

    free(s);
    return ok;
}

/* Which record is meant; *id stays 0 for a new skein. */
static bool resolve(struct work *w, const struct pot_skein *s, int64_t *id,
                    struct error *err)
{
    long long n;
    struct error why;

    *id = 0;
    if (said(s->which) && said(s->number))
        return error_set(err, ERR_INPUT, "say its number once");
    if (said(s->number)) {
        if (!is_number(s->number, &n) || n > 1000000000)
            return error_set(err, ERR_INPUT,
                             "number: \"%s\" is not a whole number from 1",
                             s->number);
        return find_number(w->book, n, id, err);
    }
    if (!said(s->which))
        return true;
    if (is_number(s->which, &n)) {
        if (!find_number(w->book, n, id, err))
            return false;
        return *id || error_set(err, ERR_MISSING,
                                "there is none of that number; write "
                                "number=%lld to give it to a new one",
                                n);
    }
    if (record_find(w->book, NOUN_SKEIN, s->which, id, &why))
        return true;
    *id = 0;
    return (why.kind == ERR_MISSING && s->which[0] != '#') ||
           (*err = why, false);
}

static bool same_weight(const char *x, const char *y)
{
    struct amount_context ctx = {AMOUNT_G, false};
    struct amount a, b;
    struct error none;

    if (text_same(x, y))
        return true;
    return amount_read(x, ctx, &a, &none) && amount_read(y, ctx, &b, &none) &&
           a.unit == b.unit && a.low == b.low && a.high == b.high;
}

struct wish {
    const char *field, *words;
    bool may_change; /* said anew; else a difference is refused */
};

/* What an existing skein gets: facts it did not have, and its new colour. */
static bool fill_in(struct work *w, struct pot_one *one, struct record *r,
                    struct record_value *v, size_t *n, struct error *err)
{
    const struct pot_skein *s = one->said;
    const struct wish wish[] = {
        {"name", s->name, false},        {"code", s->code, false},
        {"length", s->length, false},    {"fibre", s->fibre, false},
        {"colour", s->colour, true},     {"place", s->place, true},
        {"finished", s->finished, true},
    };

    for (size_t i = 0; i < ARRAY_LEN(wish); i++) {
        const struct record_field *f = record_get(r, wish[i].field);
        if (!said(wish[i].words) || (f && text_same(f->words, wish[i].words)))
            continue;
        if (f && !wish[i].may_change)
            return error_set(err, ERR_INPUT,
                             "its %s is recorded as \"%s\"; to change that: "
                             "hanklab skein edit %lld --%s ...",
                             wish[i].field, f->words, one->number,
                             wish[i].field);
        if (f)
            pot_echo(w, "skein %lld: %s was \"%s\", is now \"%s\"", one->number,
                     wish[i].field, f->words, wish[i].words);
        v[(*n)++] = (struct record_value){wish[i].field, wish[i].words};
    }
    return true;
}

static bool says_wet(const char *weight)
{
    struct amount_context ctx = {AMOUNT_G, false};
    struct amount a;
    struct error none;

    return said(weight) && amount_read(weight, ctx, &a, &none) &&
           a.state == AMOUNT_WET;
}

/* Its dry weight: recorded if it was not, else of this dyeing. */
static bool fill_weight(struct pot_one *one, struct record *r,
                        struct record_value *v, size_t *n, struct error *err)
{
    const struct pot_skein *s = one->said;
    const struct record_field *f = record_get(r, "weight");
    bool wet = says_wet(s->weight);
    bool dry = !wet && (!said(s->weighed) || text_same(s->weighed, "dry"));

    if (said(s->weight) && !f) {
        v[(*n)++] = (struct record_value){"weight", s->weight};
    } else if (said(s->weight) && !same_weight(s->weight, f->words)) {
        if (!dry)
            return error_set(err, ERR_INPUT,
                             "it weighs %s by the book; a weight taken %s is "
                             "not kept beside that",
                             f->words, wet ? "wet" : s->weighed);
        one->then_weight = s->weight;
        return true;
    }
    if (said(s->weighed))
        v[(*n)++] = (struct record_value){"weighed", s->weighed};
    return true;
}

static bool use_skein(struct work *w, struct pot_one *one, struct error *err)
{
    struct record_value v[16];
    struct text echo = {0};
    struct record r;
    size_t n = 0;
    long long own;
    char prefix[48];
    bool ok = false;

    for (struct pot_one *o = w->skein; o < w->skein + w->skeins; o++)
        if (o != one && o->id == one->id)
            return error_set(err, ERR_INPUT, "it is named twice in this pot");
    if (!record_read(w->book, NOUN_SKEIN, one->id, &r, err))
        return false;
    one->number = (long long)record_get(&r, "number")->low;
    if (r.withdrawn) {
        error_set(err, ERR_INPUT,
                  "it was withdrawn; bring it back before it is dyed");
        goto done;
    }
    one->then_note = one->said->note;
    if (said(one->said->which) && !is_number(one->said->which, &own))
        pot_echo(w, "\"%s\" is skein %lld of the book", one->said->which,
                 one->number);
    ok = fill_in(w, one, &r, v, &n, err) && fill_weight(one, &r, v, &n, err) &&
         (!n || record_edit(w->book, NOUN_SKEIN, one->id, v, n, &echo, err));
    snprintf(prefix, sizeof prefix, "skein %lld: ", one->number);
    pot_echo_lines(w, prefix, &echo);

done:
    text_clear(&echo);
    record_clear(&r);
    return ok;
}

/* ---- new skeins -------------------------------------------------------------
 */

/* A new skein that is called as another: perhaps that one was meant. */
static bool ask_same_name(struct work *w, const struct pot_one *one,
                          const char *name, struct error *err)
{
    char *key = text_fold(name);
    struct stmt q;
    bool row, ok;

    if (!key)
        return true;
    ok = stmt_begin(w->book, STMT_SKEIN_NAMESAKE, &q, err);

    if (ok) {
        stmt_text(&q, ":key", key);
        stmt_int(&q, ":owner", book_dyer(w->book));
        stmt_int(&q, ":of", one->id);
        ok = stmt_step(&q, &row, err);
    }
    if (ok && row)
        pot_note(w,
                 "skein %lld is a new one called \"%s\"; skein %lld is called "
                 "so too. To mean that one, say its number.",
                 one->number, name, (long long)stmt_get_int(&q, 0));
    if (ok)
        stmt_done(&q);
    free(key);
    return ok;
}

static bool make_skein(struct work *w, struct pot_one *one, struct error *err)
{
    const struct pot_skein *s = one->said;
    const char *name = said(s->name) ? s->name : s->which;
    const char *fibre = said(s->fibre) ? s->fibre : w->pot->fibre;
    const char *weight = said(s->weight) ? s->weight : w->pot->weight;
    const struct record_value v[] = {
        {"name", name},        {"number", s->number},
        {"code", s->code},     {"fibre", fibre},
        {"weight", weight},    {"weighed", s->weighed},
        {"length", s->length}, {"colour", s->colour},
        {"place", s->place},   {"finished", s->finished},
        {"note", s->note},
    };
    struct text echo = {0};
    struct stmt q;
    char prefix[48];
    bool row;

    if (said(s->name) && said(s->which))
        return error_set(err, ERR_INPUT, "say its name once");
    if (!record_add(w->book, NOUN_SKEIN, v, ARRAY_LEN(v), &one->id, &echo,
                    err)) {
        text_clear(&echo);
        return false;
    }
    if (!stmt_begin(w->book, STMT_SKEIN_NUMBER, &q, err) ||
        (stmt_int(&q, ":of", one->id), !stmt_step(&q, &row, err))) {
        text_clear(&echo);
        return false;
    }
    one->number = row ? stmt_get_int(&q, 0) : 0;
    stmt_done(&q);
    one->is_new = true;
    if (said(s->which))
        pot_echo(w, "skein %lld \"%s\" is new", one->number, s->which);
    snprintf(prefix, sizeof prefix, "skein %lld: ", one->number);
    pot_echo_lines(w, prefix, &echo);
    text_clear(&echo);
    return true;
}

/* ---- all of them ------------------------------------------------------------
 */

/* One pass over the skeins: those in the book first, then new ones with a
 * number, then the others, so that none takes another's number. */
static bool open_pass(struct work *w, int pass, struct error *err)
{
    for (size_t i = 0; i < w->skeins; i++) {
        struct pot_one *one = &w->skein[i];
        bool numbered = said(one->said->number);
        char who[80];
        bool ok = true;

        if (pass == 0) {
            ok = resolve(w, one->said, &one->id, err) &&
                 (!one->id || use_skein(w, one, err));
        } else if (!one->id && numbered == (pass == 1)) {
            int64_t taken = 0;
            ok = !numbered || resolve(w, one->said, &taken, err);
            if (ok && taken)
                ok = error_set(err, ERR_INPUT, "it is named twice in this pot");
            ok = ok && make_skein(w, one, err);
        }
        if (!ok) {
            pot_call_skein(w, i, who);
            return pot_blame(err, "%s", who);
        }
    }
    return true;
}

bool pot_skeins_open(struct work *w, struct error *err)
{
    w->skeins = w->pot->skein_count;
    w->skein = mem_new(w->skeins, sizeof *w->skein);
    for (size_t i = 0; i < w->skeins; i++)
        w->skein[i].said = &w->pot->skein[i];
    for (int pass = 0; pass < 3; pass++)
        if (!open_pass(w, pass, err))
            return false;
    for (size_t i = 0; i < w->skeins; i++) {
        const struct pot_one *one = &w->skein[i];
        const char *name =
            said(one->said->which) ? one->said->which : one->said->name;
        if (one->is_new && (!ask_same_name(w, one, name, err) ||
                            !ask_same_name(w, one, one->said->code, err)))
            return false;
    }
    return true;
}

/* ---- those of the round -----------------------------------------------------
 */

bool pot_wants_skein(const struct pot_entry *p)
{
    return p->mordants.count || p->dips.count || said(p->fibre) ||
           said(p->weight);
}

static struct pot_one *append(struct work *w, const struct pot_skein *words)
{
    w->skein = mem_resize(w->skein, w->skeins + 1, sizeof *w->skein);
    w->skein[w->skeins] = (struct pot_one){.said = words};
    return &w->skein[w->skeins++];
}

/* The yarn and the weight of the pot's skeins, where they were not recorded. */
static bool fill_from_pot(struct work *w, const struct pot_one *one,
                          struct error *err)
{
    const struct record_value wish[] = {{"fibre", w->pot->fibre},
                                        {"weight", w->pot->weight}};
    struct record_value v[ARRAY_LEN(wish)];
    struct text echo = {0};
    struct record r;
    char prefix[48];
    size_t n = 0;
    bool ok;

    if (!record_read(w->book, NOUN_SKEIN, one->id, &r, err))
        return false;
    for (size_t i = 0; i < ARRAY_LEN(wish); i++)
        if (said(wish[i].words) && !record_get(&r, wish[i].field))
            v[n++] = wish[i];
    ok = !n || record_edit(w->book, NOUN_SKEIN, one->id, v, n, &echo, err);
    snprintf(prefix, sizeof prefix, "skein %lld: ", one->number);
    pot_echo_lines(w, prefix, &echo);
    text_clear(&echo);
    record_clear(&r);
    return ok || pot_blame(err, "skein %lld", one->number);
}

/* Finds the skeins that were in the round, and takes up those not described
 * when the pot as a whole is spoken of. */
static bool take_up(struct work *w, size_t *adopted, struct error *err)
{
    static const struct pot_skein plain;
    const struct pot_entry *p = w->pot;
    bool all = said(p->skeins) || (!p->skein_count && pot_wants_skein(p));
    size_t described = w->skeins;
    struct stmt q;
    bool row, ok;

    if (!stmt_begin(w->book, STMT_ROUND_ENTRIES, &q, err))
        return false;
    stmt_int(&q, ":of", w->result->treatment_id);
    while ((ok = stmt_step(&q, &row, err)) && row) {
        int64_t id = stmt_get_int(&q, 1);
        struct pot_one *one = w->skein, *end = w->skein + described;
        while (one < end && one->id != id)
            one++;
        if (one == end) {
            if (!all)
                continue;
            one = append(w, &plain);
            *one = (struct pot_one){.id = id,
                                    .number = stmt_get_int(&q, 2),
                                    .said = &plain,
                                    .adopted = true};
            ++*adopted;
        }
        one->there = stmt_get_int(&q, 0);
    }
    stmt_done(&q);
    for (size_t i = 0; ok && i < w->skeins; i++)
        ok = !w->skein[i].there || fill_from_pot(w, &w->skein[i], err);
    return ok;
}

/* New skeins, up to as many as there were in all. */
static bool make_others(struct work *w, size_t adopted, struct error *err)
{
    static const struct pot_skein plain;
    const struct pot_entry *p = w->pot;
    char *s = text_trim(p->skeins), who[80];
    long long n;
    bool ok = text_whole(s, &n) && n >= 0 && n <= 1000;

    free(s);
    if (!ok)
        return error_set(err, ERR_INPUT,
                         "skeins: \"%s\" is not a whole number from 0 to 1000",
                         p->skeins);
    if (n < (long long)w->skeins && adopted)
        return error_set(err, ERR_INPUT,
                         "skeins: %lld in all, but with those logged before "
                         "there are %zu; say how many in all",
                         n, w->skeins);
    if (n < (long long)w->skeins)
        return error_set(err, ERR_INPUT,
                         "skeins: %lld in all, but %zu are described", n,
                         w->skeins);
    while ((long long)w->skeins < n) {
        if (!make_skein(w, append(w, &plain), err)) {
            pot_call_skein(w, w->skeins - 1, who);
            return pot_blame(err, "%s", who);
        }
    }
    return true;
}

bool pot_skeins_of_round(struct work *w, struct error *err)
{
    static const struct pot_skein unfinished = {.finished = "no"};
    size_t adopted = 0;

    if (w->result->treatment_id && !take_up(w, &adopted, err))
        return false;
    if (said(w->pot->skeins))
        return make_others(w, adopted, err);
    if (w->skeins || !pot_wants_skein(w->pot))
        return true;
    pot_echo(w, "no skein was said: one unfinished skein stands for what was "
                "in the pot");
    return make_skein(w, append(w, &unfinished), err) ||
           pot_blame(err, "skein 1 of this pot");
}
