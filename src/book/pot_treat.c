/* What is done to skeins beside dyeing: scoured, mordanted, dipped, washed. See
 * book/pot.h. */
#include "book/pot_work.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"

/* Each kind, the kind of bath it may be done in, and what its doses are read
 * as. */
static const struct {
    const char *kind, *liquor, *with;
} kinds[] = {
    {"scour", NULL, "wash"},    {"mordant", "mordant", "mordanting"},
    {"dip", "modifier", "dip"}, {"wash", NULL, "wash"},
    {"other", NULL, "wash"},
};

static const char *words_or(const char *words, const char *otherwise)
{
    return said(words) ? words : otherwise;
}

static bool read_kind(struct work *w, size_t *out, struct error *err)
{
    const char *kind = words_or(w->pot->kind, "");

    for (*out = 0; *out < ARRAY_LEN(kinds); ++*out)
        if (text_same(kinds[*out].kind, kind))
            return true;
    return error_set(err, ERR_INPUT,
                     "\"%s\" is not done to a skein: scour, mordant, dip, wash "
                     "or other; dyeing is logged as a pot",
                     kind);
}

/* The liquor, when it is kept for another time or was. */
static bool open_liquor(struct work *w, size_t k, struct text *aside,
                        struct error *err)
{
    w->result->round = -1;
    w->liquor = kinds[k].liquor;
    if (!said(w->pot->name) && !said(w->pot->of))
        return true;
    if (!w->liquor)
        return error_set(err, ERR_INPUT,
                         "the liquor of a mordant or of a dip can be kept, "
                         "that of a %s is none",
                         kinds[k].kind);
    return pot_bath_open(w, aside, err) && pot_next_time(w, err) &&
           pot_bath_fill(w, err);
}

static bool make_treatment(struct work *w, size_t k, const struct text *aside,
                           struct error *err)
{
    struct pot_result *r = w->result;
    struct facts f = pot_facts(w->pot);
    struct id_words bath = id_words(r->bath_id);
    struct text note = {0}, echo = {0};
    char time[24];
    bool ok;

    text_add(&note, words_or(w->pot->note, ""));
    if (aside->len)
        text_addf(&note, "%s%s", note.len ? "\n" : "", text_str(aside));
    snprintf(time, sizeof time, "exhaust %d", w->time);
    pot_fact(&f, "note", text_str(&note));
    pot_fact(&f, "dyer", w->pot->dyer);
    pot_fact(&f, "kind", kinds[k].kind);
    pot_fact(&f, "bath", r->bath_id ? bath.s : NULL);
    pot_fact(&f, "round", !r->bath_id ? NULL : w->time ? time : "first");
    ok = record_add(w->book, NOUN_TREATMENT, f.v, f.count, &r->treatment_id,
                    &echo, err);
    if (ok)
        pot_echo_facts(w, &echo);
    else
        pot_call_it_date(err);
    text_clear(&note);
    text_clear(&echo);
    return ok;
}

static bool add_with(struct work *w, const struct dose_list *with,
                     struct error *err)
{
    struct pot_result *r = w->result;
    struct pot_fibre fibre;

    if (!pot_fibre_of(w->book, r->treatment_id, &fibre, err))
        return false;
    if (r->bath_id)
        return pot_add_list(w, with, w->time, &fibre, err);
    for (size_t i = 0; i < with->count; i++)
        if (!pot_dose_add(w, with->dose[i], 0, r->treatment_id, -1, &fibre, "",
                          err))
            return false;
    return true;
}

static bool treat_all(struct work *w, struct error *err)
{
    struct text aside = {0};
    struct dose_list with = {0};
    size_t k;
    bool ok = read_kind(w, &k, err) && open_liquor(w, k, &aside, err) &&
              pot_doses_read(w, w->pot->with, kinds[k].with, &with, err) &&
              pot_skeins_open(w, err) && pot_skeins_of_round(w, err) &&
              pot_before(w, err);

    if (ok && !w->skeins && !w->result->new_bath)
        ok = error_set(err, ERR_INPUT, "say which skeins");
    ok = ok && make_treatment(w, k, &aside, err);
    for (size_t i = 0; ok && i < w->skeins; i++)
        ok = pot_enter(w, i, err);
    ok = ok && add_with(w, &with, err) && pot_ph(w, err) &&
         pot_look_around(w, err);
    free(with.dose);
    text_clear(&aside);
    return ok;
}

bool pot_treat(struct book *book, const struct pot_entry *pot,
               struct pot_result *result, struct text *echo, struct error *err)
{
    struct work w = {.book = book, .pot = pot, .result = result, .echo = echo};

    return pot_act(&w, "treat", treat_all, err);
}
