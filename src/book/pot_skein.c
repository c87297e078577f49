/* The skeins of a pot, found or made. See book/pot.h. */
#include "book/pot_work.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "book/face.h"
#include "dye/share.h"

void pot_call_skein(const struct work *w, size_t i, char out[80])
{
    const struct pot_skein *s = w->skein[i].said, *first = w->pot->skein;
    bool listed = first && s >= first && s < first + w->pot->skein_count;

    if (w->skein[i].of_several && w->skein[i].label)
        snprintf(out, 80, "skein %.60s", w->skein[i].label);
    else if (said(s->which))
        snprintf(out, 80, "skein \"%.60s\"", s->which);
    else if (said(s->number))
        snprintf(out, 80, "skein %.60s", s->number);
    else if (said(s->name))
        snprintf(out, 80, "skein \"%.60s\"", s->name);
    else if (said(s->code))
        snprintf(out, 80, "skein \"%.60s\"", s->code);
    else
        snprintf(out, 80, "skein %zu of this pot",
                 listed ? (size_t)(s - first) + 1 : i + 1);
}

/* ---- skeins in the book -----------------------------------------------------
 */

/* A number of the pot's dyer: its id, or 0. */
static bool find_number(struct work *w, long long number, int64_t *id,
                        struct error *err)
{
    struct stmt q;
    bool row;

    if (!stmt_begin(w->book, STMT_SKEIN_NUMBERED, &q, err))
        return false;
    stmt_int(&q, ":number", number);
    stmt_int(&q, ":owner", w->dyer_id);
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

/* "8-6" and "3 skeins of 20 g" are no names, unless they are said to be. */
static bool may_be_name(const char *words, struct error *err)
{
    size_t a = strspn(words, "0123456789"), b;

    if (share_counts(words))
        return error_set(err, ERR_INPUT,
                         "how many there were is said with %s; if it is called "
                         "so, name=%s",
                         face_says("--skeins 3 --weight \"20 g\"",
                                   "\"How many in all\" and \"Each weighs\""),
                         words);
    if (!a || words[a] != '-')
        return true;
    b = strspn(words + a + 1, "0123456789");
    if (!b || words[a + 1 + b])
        return true;
    return error_set(err, ERR_INPUT,
                     "say the lower number first, %s-%.*s; if it is called so, "
                     "name=%s",
                     words + a + 1, (int)a, words, words);
}

/* Which records are meant, as many as there are; none: a new skein. */
static bool find_which(struct work *w, const struct pot_skein *s, int64_t **ids,
                       size_t *count, struct error *err)
{
    struct error why;
    long long n;
    bool meant;

    if (record_skeins(w->book, w->dyer_id, s->which, ids, count, &meant, &why))
        return true;
    if (why.kind != ERR_MISSING || s->known || meant)
        return *err = why, false;
    if (!may_be_name(s->which, err))
        return false;
    return s->new_number || !is_number(s->which, &n) ||
           error_set(err, ERR_MISSING,
                     "there is none of that number; write number=%lld to give "
                     "it to a new one",
                     n);
}

/* The number said for this skein, of one that is there or of a new one. */
static bool find_by_number(struct work *w, const char *words, int64_t *id,
                           struct error *err)
{
    long long n;

    if (!is_number(words, &n) || n > 1000000000)
        return error_set(err, ERR_INPUT,
                         "number: \"%s\" is not a whole number from 1", words);
    return find_number(w, n, id, err);
}

/* Skein i, or several that take its place. */
static bool resolve(struct work *w, size_t i, struct error *err)
{
    const struct pot_skein *s = w->skein[i].said;
    int64_t *ids = NULL;
    size_t n = 0;
    long long number;

    if (said(s->which) && said(s->number))
        return error_set(err, ERR_INPUT, "say its number once");
    w->skein[i].own_number = s->number;
    if (said(s->number))
        return find_by_number(w, s->number, &w->skein[i].id, err);
    if (!said(s->which))
        return !s->known || error_set(err, ERR_INPUT, "say which one it is");
    if (!find_which(w, s, &ids, &n, err))
        return false;
    if (!n && s->new_number && is_number(s->which, &number))
        w->skein[i].own_number = s->which;
    if (n > 1) {
        w->skein = mem_resize(w->skein, w->skeins + n - 1, sizeof *w->skein);
        memmove(w->skein + i + n, w->skein + i + 1,
                (w->skeins - i - 1) * sizeof *w->skein);
        w->skeins += n - 1;
    }
    for (size_t k = 0; k < n; k++)
        w->skein[i + k] =
            (struct pot_one){.id = ids[k], .said = s, .of_several = n > 1};
    free(ids);
    return true;
}

/* Its number and label, now that it is known. */
static bool call(struct work *w, struct pot_one *one, struct error *err)
{
    struct text label = {0};
    int64_t number;
    bool is_null;

    if (!pot_ask(w->book, STMT_SKEIN_NUMBER, one->id, &number, &is_null, err) ||
        !record_label(w->book, NOUN_SKEIN, one->id, &label, err))
        return false;
    one->number = number;
    one->label = text_take(&label);
    return true;
}

/* What was understood of one skein. */
static void echo_of(struct work *w, const struct pot_one *one,
                    struct text *echo)
{
    struct text prefix = {0};

    text_addf(&prefix, "skein %s: ", one->label);
    pot_echo_lines(w, text_str(&prefix), echo);
    text_clear(&prefix);
    text_clear(echo);
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
    struct text how = {0};

    for (size_t i = 0; i < ARRAY_LEN(wish); i++) {
        const struct record_field *f = record_get(r, wish[i].field);
        if (!said(wish[i].words) || (f && text_same(f->words, wish[i].words)))
            continue;
        if (f && !wish[i].may_change) {
            face_edit(NOUN_SKEIN, one->label, wish[i].field, NULL, &how);
            error_set(err, ERR_INPUT,
                      "its %s is recorded as \"%s\"; to change that: %s",
                      wish[i].field, f->words, text_str(&how));
            text_clear(&how);
            return false;
        }
        if (f)
            pot_echo(w, "skein %s: %s was \"%s\", is now \"%s\"", one->label,
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

/* Takes a weight that was said of count skeins as that of one of them. */
static bool share(struct pot_one *one, const char *words, size_t count,
                  struct error *err)
{
    struct text t = {0};
    bool ok = !said(words) || share_weight(words, count, &t, err);

    free(one->share);
    one->share = text_take(&t);
    return ok || pot_blame(err, "weight");
}

/* What the skein's own words say of its weight. */
static bool own_weight(const struct work *w, struct pot_one *one,
                       struct error *err)
{
    size_t alike = 0;

    for (size_t i = 0; i < w->skeins; i++)
        alike += w->skein[i].said == one->said;
    return share(one, one->said->weight, alike, err);
}

/* What is said of the pot's skeins; a sum is shared by all of them. */
static bool pot_weight(const struct work *w, struct pot_one *one,
                       struct error *err)
{
    const char *words = w->pot->weight;
    size_t all = w->skeins;
    long long n;

    if (said(w->pot->skeins) && is_number(w->pot->skeins, &n))
        all = (size_t)n;
    if (!share(one, words, all, err))
        return false;
    if (!said(words) || !strcmp(one->share, words) || share_counts(words))
        return true;
    for (size_t i = 0; i < w->skeins; i++)
        if (said(w->skein[i].said->weight))
            return error_set(err, ERR_INPUT,
                             "weight: \"%s\", but one of them has a weight of "
                             "its own; say that of each",
                             words);
    return true;
}

/* Its dry weight: recorded if it was not, else of this dyeing. */
static bool fill_weight(const struct work *w, struct pot_one *one,
                        struct record *r, struct record_value *v, size_t *n,
                        struct error *err)
{
    const struct pot_skein *s = one->said;
    const struct record_field *f = record_get(r, "weight");
    bool wet = says_wet(s->weight);
    bool dry = !wet && (!said(s->weighed) || text_same(s->weighed, "dry"));

    if (!own_weight(w, one, err))
        return false;
    if (said(s->weight) && !f) {
        v[(*n)++] = (struct record_value){"weight", one->share};
    } else if (said(s->weight) && !same_weight(one->share, f->words)) {
        if (!dry)
            return error_set(err, ERR_INPUT,
                             "it weighs %s by the book; a weight taken %s is "
                             "not kept beside that",
                             f->words, wet ? "wet" : s->weighed);
        one->then_weight = one->share;
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
    bool ok = false;

    for (struct pot_one *o = w->skein; o < w->skein + w->skeins; o++)
        if (o != one && o->id == one->id)
            return error_set(err, ERR_INPUT, "it is named twice in this pot");
    if (!call(w, one, err) ||
        !record_read(w->book, NOUN_SKEIN, one->id, &r, err))
        return false;
    if (r.withdrawn) {
        error_set(err, ERR_INPUT,
                  "it was withdrawn; bring it back before it is dyed");
        goto done;
    }
    one->then_note = one->said->note;
    if (said(one->said->which) && !one->of_several &&
        !(is_number(one->said->which, &own) && own == one->number) &&
        !text_same(one->said->which, one->label))
        pot_echo(w, "\"%s\" is skein %s of the book", one->said->which,
                 one->label);
    ok = fill_in(w, one, &r, v, &n, err) &&
         fill_weight(w, one, &r, v, &n, err) &&
         (!n || record_edit(w->book, NOUN_SKEIN, one->id, v, n, &echo, err));
    echo_of(w, one, &echo);

done:
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
    struct text label = {0};
    struct stmt q;
    bool row, ok;

    if (!key)
        return true;
    ok = stmt_begin(w->book, STMT_SKEIN_NAMESAKE, &q, err);

    if (ok) {
        stmt_text(&q, ":key", key);
        stmt_int(&q, ":owner", w->dyer_id);
        stmt_int(&q, ":of", one->id);
        ok = stmt_step(&q, &row, err);
    }
    free(key);
    if (!ok)
        return false;
    ok = !row ||
         record_label(w->book, NOUN_SKEIN, stmt_get_int(&q, 0), &label, err);
    if (ok && row)
        pot_note(w,
                 "skein %s is a new one called \"%s\"; skein %s is called "
                 "so too. To mean that one, say its number.",
                 one->label, name, text_str(&label));
    stmt_done(&q);
    text_clear(&label);
    return ok;
}

static bool make_skein(struct work *w, struct pot_one *one, struct error *err)
{
    const struct pot_skein *s = one->said;
    const char *which = one->own_number ? NULL : s->which;
    const char *name = said(s->name) ? s->name : which;
    const char *fibre = said(s->fibre) ? s->fibre : w->pot->fibre;
    const bool weighed =
        said(s->weight) ? own_weight(w, one, err) : pot_weight(w, one, err);
    const struct record_value v[] = {
        {"dyer", w->pot->dyer},
        {"name", name},
        {"number", one->own_number},
        {"code", s->code},
        {"fibre", fibre},
        {"weight", one->share},
        {"weighed", s->weighed},
        {"length", s->length},
        {"colour", s->colour},
        {"place", s->place},
        {"finished", s->finished},
        {"note", s->note},
    };
    struct text echo = {0};

    if (!weighed)
        return false;
    if (said(s->name) && said(which))
        return error_set(err, ERR_INPUT, "say its name once");
    if (!record_add(w->book, NOUN_SKEIN, v, ARRAY_LEN(v), &one->id, &echo,
                    err)) {
        text_clear(&echo);
        return false;
    }
    if (!call(w, one, err)) {
        text_clear(&echo);
        return false;
    }
    one->is_new = true;
    if (said(which))
        pot_echo(w, "skein %s \"%s\" is new", one->label, which);
    echo_of(w, one, &echo);
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
        bool numbered = said(one->own_number);
        char who[80];
        bool ok = true;

        if (pass == 0) {
            ok = one->id || resolve(w, i, err);
            one = &w->skein[i]; /* they may have become more */
            ok = ok && (!one->id || use_skein(w, one, err));
        } else if (!one->id && numbered == (pass == 1)) {
            int64_t taken = 0;
            ok = !numbered || find_by_number(w, one->own_number, &taken, err);
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

/* The yarn and the weight said of the pot's skeins, where they were not
 * recorded; what is not used is said. */
static bool fill_from_pot(struct work *w, struct pot_one *one,
                          struct error *err)
{
    struct record_value v[2];
    struct text echo = {0};
    struct record r;
    size_t n = 0;
    bool own = said(one->said->weight);
    bool ok = own || pot_weight(w, one, err);
    const struct record_value wish[] = {
        {"fibre", said(one->said->fibre) ? NULL : w->pot->fibre},
        {"weight", own ? NULL : one->share}};

    if (!ok || !record_read(w->book, NOUN_SKEIN, one->id, &r, err))
        return false;
    for (size_t i = 0; i < ARRAY_LEN(wish); i++) {
        const struct record_field *f = record_get(&r, wish[i].field);
        if (!said(wish[i].words))
            continue;
        if (!f)
            v[n++] = wish[i];
        else if (!same_weight(wish[i].words, f->words))
            pot_echo(w, "%s %s: not used, skein %s %s %s already",
                     wish[i].field, wish[i].words, one->label,
                     i ? "weighs" : "is", f->words);
    }
    ok = !n || record_edit(w->book, NOUN_SKEIN, one->id, v, n, &echo, err);
    echo_of(w, one, &echo);
    record_clear(&r);
    return ok || pot_blame(err, "skein %s", one->label);
}

/* The same of all that are in the book. */
static bool fill_all(struct work *w, struct error *err)
{
    for (size_t i = 0; i < w->skeins; i++)
        if (!w->skein[i].is_new && !fill_from_pot(w, &w->skein[i], err))
            return false;
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
    w->described = w->skeins;
    if (!fill_all(w, err))
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
            *one = (struct pot_one){.id = id, .said = &plain, .adopted = true};
            ++*adopted;
        }
        one->there = stmt_get_int(&q, 0);
    }
    stmt_done(&q);
    for (size_t i = described; ok && i < w->skeins; i++)
        ok = call(w, &w->skein[i], err);
    for (size_t i = 0; ok && i < w->skeins; i++)
        ok = !w->skein[i].adopted || fill_from_pot(w, &w->skein[i], err);
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

enum { HOW_MANY_AT_MOST = 30 }; /* skeins in one pot, hardly more */

bool pot_ask_over(struct work *w, struct error *err)
{
    const struct pot_one *one = w->skein;
    int64_t layers;
    long long n;
    bool is_null;

    if (w->skeins != 1 || w->pot->skein_count != 1 || one->is_new ||
        !w->result->new_bath || said(w->pot->before) ||
        !pot_skein_bare(one->said) || !said(one->said->which) ||
        !is_number(one->said->which, &n) || n > HOW_MANY_AT_MOST)
        return true;
    if (!pot_ask(w->book, STMT_SKEIN_LAYERS, one->id, &layers, &is_null, err))
        return false;
    if (layers > 0)
        pot_note(w,
                 "skein %s was dyed before: this goes over it. Where %s is how "
                 "many new ones there were, %s %s",
                 one->label, one->said->which,
                 face_says("say --skeins", "say how many in all:"),
                 one->said->which);
    return true;
}
