/* One pot, many skeins, one go, in one act. See book/pot.h. */
#include "book/pot.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "book/field.h"
#include "book/pot_work.h"
#include "dye/caution.h"

/* ---- the round --------------------------------------------------------------
 */

static bool read_round(struct work *w, const char *words, int *out,
                       struct error *err)
{
    struct cells *cells = mem_new(1, sizeof *cells);
    struct text echo = {0};
    bool ok = field_read(w->book, noun_field(&nouns[NOUN_TREATMENT], "round"),
                         words, cells, &echo, err);

    pot_echo_lines(w, "", &echo);
    text_clear(&echo);
    if (ok)
        *out = (int)cells_get(cells, "round")->whole;
    cells_clear(cells);
    free(cells);
    return ok;
}

/* "the first bath", "exhaust 2" */
static const char *round_words(int round, char out[24])
{
    if (round <= 0)
        return "the first bath";
    snprintf(out, 24, "exhaust %d", round);
    return out;
}

/* How often the bath was used before. */
bool pot_next_time(struct work *w, struct error *err)
{
    int64_t last;
    bool none;

    if (!pot_ask(w->book, STMT_ROUND_LAST, w->result->bath_id, &last, &none,
                 err))
        return false;
    w->time = none ? 0 : (int)last + 1;
    return true;
}

static bool find_round(struct work *w, struct error *err)
{
    struct pot_result *r = w->result;
    int64_t last, empty;
    bool none, is_null;
    char words[24];

    if (w->vat) {
        if (said(w->pot->round))
            return error_set(err, ERR_INPUT,
                             "round: a vat has no first bath and no exhausts; "
                             "it is fed");
        return pot_next_time(w, err);
    }
    if (said(w->pot->round))
        return read_round(w, w->pot->round, &w->time, err);
    if (r->new_bath)
        return true;
    if (!pot_ask(w->book, STMT_ROUND_LAST, r->bath_id, &last, &none, err) ||
        !pot_ask(w->book, STMT_ROUND_EMPTY, r->bath_id, &empty, &is_null, err))
        return false;
    w->time = none ? 0 : (int)last + 1;
    if (!none && !is_null && empty == last)
        pot_note(w,
                 "%s of bath %lld has no skein recorded; to fill it in, say "
                 "--round \"%s\"",
                 round_words((int)last, words), r->bath_number,
                 last ? words : "first");
    return true;
}

void pot_fact(struct facts *f, const char *field, const char *words)
{
    if (said(words))
        f->v[f->count++] = (struct record_value){field, words};
}

/* What belongs to the treatment, beside its bath and round. */
struct facts pot_facts(const struct pot_entry *p)
{
    struct facts f = {0};

    pot_fact(&f, "on", p->on);
    pot_fact(&f, "vessel", p->vessel);
    pot_fact(&f, "temperature", p->temperature);
    pot_fact(&f, "minutes", p->minutes);
    pot_fact(&f, "cooled", p->cooled);
    pot_fact(&f, "dips", p->vat_dips);
    pot_fact(&f, "airing", p->airing);
    return f;
}

/* A round that was logged before, when nothing contradicts it; else 0. Facts
 * it has already are taken out of f. */
static bool joined_round(struct work *w, struct facts *f, struct text *note,
                         int64_t *id, struct error *err)
{
    const struct record_field *have;
    struct facts left = {0};
    struct stmt q;
    struct record r;
    bool row, fits = true;

    *id = 0;
    if (w->vat || w->result->new_bath)
        return true;
    if (!stmt_begin(w->book, STMT_ROUND_FIND, &q, err))
        return false;
    stmt_int(&q, ":bath", w->result->bath_id);
    stmt_int(&q, ":round", w->result->round);
    if (!stmt_step(&q, &row, err))
        return false;
    *id = row ? stmt_get_int(&q, 0) : 0;
    stmt_done(&q);
    if (!*id)
        return true;
    if (!record_read(w->book, NOUN_TREATMENT, *id, &r, err))
        return false;
    for (size_t i = 0; i < f->count; i++) {
        have = record_get(&r, f->v[i].field);
        if (!have)
            left.v[left.count++] = f->v[i];
        else if (!text_same(have->words, f->v[i].words))
            fits = false;
    }
    have = record_get(&r, "note");
    if (fits && have && note->len) {
        struct text both = {0};
        text_addf(&both, "%s\n%s", have->words, text_str(note));
        text_clear(note);
        *note = both;
    }
    record_clear(&r);
    if (fits)
        *f = left;
    else
        *id = 0;
    return true;
}

/* The day's field is called "on", which is not what anybody types. */
void pot_echo_facts(struct work *w, struct text *echo)
{
    const char *s = text_str(echo);

    if (!strncmp(s, "on: ", 4)) {
        struct text date = {0};
        text_addf(&date, "date%s", s + 2);
        text_clear(echo);
        *echo = date;
    }
    pot_echo_lines(w, "", echo);
}

void pot_call_it_date(struct error *err)
{
    struct error inner = *err;

    if (!strncmp(inner.text, "on: ", 4))
        error_set(err, inner.kind, "date%s", inner.text + 2);
}

static bool open_treatment(struct work *w, struct text *aside,
                           struct error *err)
{
    struct pot_result *r = w->result;
    struct facts f = pot_facts(w->pot);
    struct id_words bath = id_words(r->bath_id);
    struct text note = {0}, echo = {0};
    char words[24];
    bool ok;

    if (!w->vat && (said(w->pot->vat_dips) || said(w->pot->airing)))
        return error_set(err, ERR_INPUT,
                         "only a vat has a number of dips and airing; what a "
                         "skein was dipped in afterwards is a dip");
    text_add(&note, said(w->pot->note) ? w->pot->note : "");
    if (aside->len)
        text_addf(&note, "%s%s", note.len ? "\n" : "", text_str(aside));
    ok = joined_round(w, &f, &note, &r->treatment_id, err);
    pot_fact(&f, "note", text_str(&note));
    if (ok && r->treatment_id) {
        r->joined = true;
        pot_echo(w, "%s of bath %lld was logged before; this is added to it",
                 round_words(r->round, words), r->bath_number);
        ok = !f.count || record_edit(w->book, NOUN_TREATMENT, r->treatment_id,
                                     f.v, f.count, &echo, err);
    } else if (ok) {
        pot_fact(&f, "kind", w->vat ? "vat" : "dye");
        pot_fact(&f, "bath", bath.s);
        pot_fact(&f, "round",
                 w->time > 0 ? round_words(w->time, words) : "first");
        ok = record_add(w->book, NOUN_TREATMENT, f.v, f.count, &r->treatment_id,
                        &echo, err);
    }
    if (ok)
        pot_echo_facts(w, &echo);
    else
        pot_call_it_date(err);
    text_clear(&note);
    text_clear(&echo);
    return ok;
}

bool pot_enter(struct work *w, size_t i, struct error *err)
{
    struct pot_one *one = &w->skein[i];
    struct id_words in = id_words(w->result->treatment_id);
    struct id_words skein = id_words(one->id);
    struct record_value v[] = {
        {"treatment", in.s},          {"skein", skein.s},
        {"weight", one->then_weight}, {"dipped", one->said->dipped},
        {"note", one->then_note},
    };
    char who[80], words[24];
    struct stmt q;
    int64_t id;
    bool row;

    if (!stmt_begin(w->book, STMT_ENTRY_THERE, &q, err))
        return false;
    stmt_int(&q, ":treatment", w->result->treatment_id);
    stmt_int(&q, ":skein", one->id);
    if (!stmt_step(&q, &row, err))
        return false;
    stmt_done(&q);
    pot_call_skein(w, i, who);
    if (row)
        return error_set(err, ERR_INPUT, "%s: it is in %s of bath %lld already",
                         who, round_words(w->result->round, words),
                         w->result->bath_number);
    return record_add(w->book, NOUN_ENTRY, v, ARRAY_LEN(v), &id, NULL, err) ||
           pot_blame(err, "%s", who);
}

/* ---- what went into it ------------------------------------------------------
 */

bool pot_add_list(struct work *w, const struct dose_list *list, int round,
                  const struct pot_fibre *fibre, struct error *err)
{
    for (size_t i = 0; i < list->count; i++)
        if (!pot_dose_add(w, list->dose[i], w->result->bath_id, 0, round, fibre,
                          "", err))
            return false;
    return true;
}

/*
 * Doses into the bath. A bath that is new has its dyestuff from its first
 * bath, even when only an exhaust of it is recorded; what is added to a bath
 * in the book goes in before this round.
 */
static bool add_doses(struct work *w, struct error *err)
{
    struct pot_result *r = w->result;
    int made = r->new_bath ? 0 : w->time;
    struct pot_fibre now, first;

    if (!pot_fibre_of_round(w->book, r->bath_id, w->time, &now, err) ||
        !pot_fibre_of_round(w->book, r->bath_id, made, &first, err))
        return false;
    return pot_add_list(w, &w->dyestuffs, made, &first, err) &&
           (w->mordants.count ||
            pot_add_list(w, &w->assists, w->time, &now, err)) &&
           pot_add_list(w, &w->acids, w->time, &now, err) &&
           pot_add_list(w, &w->alkalis, w->time, &now, err);
}

bool pot_ph(struct work *w, struct error *err)
{
    struct id_words bath = id_words(w->result->bath_id);
    struct id_words in = id_words(w->result->treatment_id);
    const struct record_value v[] = {
        {"ph", w->pot->ph},
        {"bath", w->result->bath_id ? bath.s : NULL},
        {"treatment", in.s}};
    struct text echo = {0};
    int64_t id;
    bool ok;

    if (!said(w->pot->ph))
        return true;
    ok = record_add(w->book, NOUN_PH, v, ARRAY_LEN(v), &id, &echo, err);
    pot_echo_lines(w, "", &echo);
    text_clear(&echo);
    return ok;
}

/* What was said of the pot and of no skein in it is not silently lost. */
static void look_unused(struct work *w, const struct dose_list *list)
{
    for (size_t i = 0; i < list->count; i++)
        if (!list->dose[i]->used)
            pot_note(w,
                     "%s: no skein of this pot took it as %s; it is not "
                     "recorded",
                     list->dose[i]->material, list->dose[i]->role);
}

/* Cautions that come from the pot as a whole. */
bool pot_look_around(struct work *w, struct error *err)
{
    bool alum = false, saddening = false, is_null = true;
    int64_t id;

    for (size_t i = 0; i < w->skeins; i++) {
        alum = alum || w->skein[i].alum;
        saddening = saddening || w->skein[i].saddening;
    }
    if (alum && saddening)
        pot_note(w, "%s", caution_general("saddening")->text);
    look_unused(w, &w->mordants);
    look_unused(w, &w->assists);
    look_unused(w, &w->dips);
    if (!said(w->pot->vessel) || !text_contains(w->pot->vessel, "jar"))
        return true;
    if (!pot_ask(w->book, STMT_JAR_USED, w->result->treatment_id, &id, &is_null,
                 err))
        return false;
    if (is_null)
        pot_caution(w, "a jar in a water bath",
                    caution_general("glass jar")->text);
    return true;
}

/* ---- the whole --------------------------------------------------------------
 */

static bool read_doses(struct work *w, struct error *err)
{
    const struct pot_entry *p = w->pot;
    bool no_dips = p->dips.count == 1 && text_same(p->dips.word[0], "none");

    return pot_doses_read(w, p->dyestuffs, "dyestuff", &w->dyestuffs, err) &&
           pot_doses_read(w, p->mordants, "mordant", &w->mordants, err) &&
           pot_doses_read(w, p->assists, "assist", &w->assists, err) &&
           pot_doses_read(w, p->acids, "acid", &w->acids, err) &&
           pot_doses_read(w, p->alkalis, "alkali", &w->alkalis, err) &&
           (no_dips || pot_doses_read(w, p->dips, "dip", &w->dips, err));
}

static bool log_all(struct work *w, struct error *err)
{
    struct text aside = {0};
    bool ok = pot_bath_open(w, &aside, err) && find_round(w, err);

    w->result->round = w->vat ? -1 : w->time;
    ok = ok && pot_bath_fill(w, err) && read_doses(w, err) &&
         pot_skeins_open(w, err) && pot_mordants(w, err) &&
         open_treatment(w, &aside, err);

    for (size_t i = 0; ok && i < w->skeins; i++)
        ok = pot_enter(w, i, err);
    ok = ok && add_doses(w, err) && pot_ph(w, err) && pot_dips(w, err) &&
         pot_look_around(w, err);
    text_clear(&aside);
    return ok;
}

/* Hands over what the caller wants to know. */
static void tell(struct work *w)
{
    struct pot_result *r = w->result;

    r->skein = mem_new(w->skeins, sizeof *r->skein);
    r->skeins = w->skeins;
    r->time = w->time;
    for (size_t i = 0; i < w->skeins; i++)
        r->skein[i] = (struct pot_result_skein){
            w->skein[i].id, w->skein[i].number, w->skein[i].is_new};
}

static void work_clear(struct work *w)
{
    for (size_t i = 0; i < w->doses; i++)
        pot_dose_free(w->dose[i]);
    free(w->dose);
    free(w->dyestuffs.dose);
    free(w->mordants.dose);
    free(w->assists.dose);
    free(w->acids.dose);
    free(w->alkalis.dose);
    free(w->dips.dose);
    free(w->warned);
    free(w->skein);
}

bool pot_act(struct work *w, const char *what,
             bool (*all)(struct work *, struct error *), struct error *err)
{
    bool ok;

    *w->result = (struct pot_result){0};
    if (!book_act_begin(w->book, what, err))
        return false;
    ok = all(w, err);
    if (ok)
        tell(w);
    if (ok && !w->pot->only_try)
        ok = book_act_end(w->book, err);
    else
        book_act_cancel(w->book);
    work_clear(w);
    if (!ok)
        pot_result_clear(w->result);
    return ok;
}

bool pot_log(struct book *book, const struct pot_entry *pot,
             struct pot_result *result, struct text *echo, struct error *err)
{
    struct work w = {.book = book, .pot = pot, .result = result, .echo = echo};

    return pot_act(&w, "log", log_all, err);
}

void pot_result_clear(struct pot_result *result)
{
    for (size_t i = 0; i < result->notes; i++)
        free(result->note[i]);
    for (size_t i = 0; i < result->cautions; i++)
        free(result->caution[i]);
    free(result->note);
    free(result->caution);
    free(result->skein);
    *result = (struct pot_result){0};
}

void pot_numbers(const long long *number, size_t count, struct text *out)
{
    for (size_t i = 0, k; i < count; i = k) {
        for (k = i + 1; k < count && number[k] == number[k - 1] + 1; k++)
            ;
        text_addf(out, "%s%lld", i ? ", " : "", number[i]);
        if (k > i + 1)
            text_addf(out, "%s%lld", k > i + 2 ? " to " : ", ", number[k - 1]);
    }
}
