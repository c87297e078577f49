/* One pot, many skeins, one go, in one act. See book/pot.h. */
#include "book/pot.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "book/field.h"
#include "book/pot_work.h"
#include "dye/caution.h"

/* ---- the bath ---------------------------------------------------------------
 */

static bool add_pour(struct work *w, const char *words, struct error *err)
{
    char *pot = mem_text(words), *colon = strchr(pot, ':');
    struct id_words bath = id_words(w->result->bath_id), parent;
    int64_t id;
    bool ok;

    if (colon)
        *colon = '\0';
    ok = record_find(w->book, NOUN_BATH, pot, &id, err);
    parent = id_words(id);
    struct record_value v[] = {
        {"bath", bath.s},
        {"parent", parent.s},
        {"volume", colon ? colon + 1 : NULL},
        {"on", w->pot->on},
    };
    ok = ok && record_add(w->book, NOUN_POUR, v, ARRAY_LEN(v), &id, NULL, err);
    free(pot);
    return ok || pot_blame(err, "poured");
}

static bool extraction_keys(const struct parts *p, struct error *err)
{
    for (size_t i = 0; i < p->count; i++)
        if (!text_same(p->key[i], "date") &&
            !noun_field(&nouns[NOUN_EXTRACTION], p->key[i]))
            return error_set(err, ERR_INPUT,
                             "there is no \"%s\"; say minutes, temperature, "
                             "pulls, straining, date or note",
                             p->key[i]);
    return true;
}

static bool add_extraction(struct work *w, struct error *err)
{
    struct id_words bath = id_words(w->result->bath_id);
    struct record_value v[PARTS_MAX + 2] = {{"bath", bath.s}};
    struct text echo = {0};
    struct parts p;
    size_t n = 1;
    int64_t id;
    bool ok;

    if (!said(w->pot->extraction))
        return true;
    if (!parts_read(w->pot->extraction, "extraction", &p, err))
        return false;
    if (p.first)
        v[n++] = (struct record_value){"minutes", p.first};
    for (size_t i = 0; i < p.count; i++)
        v[n++] = (struct record_value){
            text_same(p.key[i], "date") ? "on" : p.key[i], p.value[i]};
    ok = extraction_keys(&p, err) &&
         record_add(w->book, NOUN_EXTRACTION, v, n, &id, &echo, err);
    pot_echo_lines(w, "extraction ", &echo);
    text_clear(&echo);
    free(p.bytes);
    return ok || pot_blame(err, "extraction");
}

/* A new pot that is called as an older one: perhaps that one was meant. */
static bool ask_namesake(struct work *w, struct error *err)
{
    char *key = text_fold(w->pot->name);
    struct stmt q;
    bool row, ok = stmt_begin(w->book, STMT_BATH_NAMESAKE, &q, err);

    if (ok) {
        stmt_text(&q, ":key", key);
        stmt_int(&q, ":owner", book_dyer(w->book));
        stmt_int(&q, ":of", w->result->bath_id);
        ok = stmt_step(&q, &row, err);
    }
    if (ok && row) {
        long long n = stmt_get_int(&q, 0);
        pot_note(w,
                 "bath %lld is called \"%s\" too; to add to that one, say "
                 "--of %lld instead of the name",
                 n, w->pot->name, n);
    }
    if (ok)
        stmt_done(&q);
    free(key);
    return ok;
}

static bool new_bath(struct work *w, struct error *err)
{
    const struct pot_entry *p = w->pot;
    const char *kind = said(p->kind) ? p->kind : "dye";
    const struct record_value v[] = {
        {"name", p->name},
        {"kind", kind},
        {"water", p->water},
        {"volume", p->volume},
    };
    struct text echo = {0};

    w->vat = text_same(kind, "vat");
    if (!w->vat && !text_same(kind, "dye"))
        return error_set(err, ERR_INPUT,
                         "kind: \"%s\" is none: a pot is dye or vat", kind);
    if (!record_add(w->book, NOUN_BATH, v, ARRAY_LEN(v), &w->result->bath_id,
                    &echo, err)) {
        text_clear(&echo);
        return false;
    }
    w->result->new_bath = true;
    pot_echo_lines(w, "", &echo);
    text_clear(&echo);
    for (size_t i = 0; i < p->poured.count; i++)
        if (said(p->poured.word[i]) && !add_pour(w, p->poured.word[i], err))
            return false;
    return ask_namesake(w, err);
}

/* Water and volume of a bath that was there: filled in, else kept as words of
 * this round. */
static bool fill_bath(struct work *w, const struct record *r,
                      struct text *aside, struct error *err)
{
    const struct record_value wish[] = {{"water", w->pot->water},
                                        {"volume", w->pot->volume}};
    struct text echo = {0};

    for (size_t i = 0; i < ARRAY_LEN(wish); i++) {
        const struct record_field *f = record_get(r, wish[i].field);
        if (!said(wish[i].words) || (f && text_same(f->words, wish[i].words)))
            continue;
        if (f) {
            pot_echo(w,
                     "%s: %s by the book; \"%s\" is kept as a note of this "
                     "round",
                     wish[i].field, f->words, wish[i].words);
            text_addf(aside, "%s%s: %s", aside->len ? "; " : "", wish[i].field,
                      wish[i].words);
        } else if (!record_edit(w->book, NOUN_BATH, r->id, &wish[i], 1, &echo,
                                err)) {
            text_clear(&echo);
            return false;
        }
    }
    pot_echo_lines(w, "", &echo);
    text_clear(&echo);
    return true;
}

/* Names the pots whose names have those words in them. Always false. */
static bool suggest_bath(struct work *w, struct error *err)
{
    char *key = text_fold(w->pot->of);
    struct error none;
    struct text like = {0};
    struct stmt q;
    bool row = true;

    if (*key && stmt_begin(w->book, STMT_BATH_LIKE, &q, &none)) {
        stmt_text(&q, ":key", key);
        stmt_int(&q, ":owner", book_dyer(w->book));
        while (stmt_step(&q, &row, &none) && row)
            text_addf(&like, "%s%lld \"%s\"", like.len ? ", " : "",
                      (long long)stmt_get_int(&q, 0), stmt_get_text(&q, 1));
        stmt_done(&q);
    }
    if (like.len)
        error_set(err, ERR_MISSING,
                  "there is no bath \"%s\"; say the number of the one you "
                  "mean: %s",
                  w->pot->of, text_str(&like));
    text_clear(&like);
    free(key);
    return false;
}

static bool old_bath(struct work *w, struct text *aside, struct error *err)
{
    struct pot_result *res = w->result;
    const struct record_field *f;
    struct record r;
    bool ok = false;

    if (!record_find(w->book, NOUN_BATH, w->pot->of, &res->bath_id, err))
        return err->kind == ERR_MISSING ? suggest_bath(w, err) : false;
    if (!record_read(w->book, NOUN_BATH, res->bath_id, &r, err))
        return false;
    f = record_get(&r, "kind");
    w->vat = !strcmp(f->words, "vat");
    if (r.withdrawn)
        error_set(err, ERR_INPUT,
                  "bath %s was withdrawn; bring it back before more is dyed "
                  "in it",
                  r.label);
    else if (r.owner_id != book_dyer(w->book))
        error_set(err, ERR_INPUT,
                  "bath %s is another dyer's: make a pot of your own, with "
                  "what was poured from it",
                  r.label);
    else if (!w->vat && strcmp(f->words, "dye"))
        error_set(err, ERR_INPUT,
                  "bath %s is a %s bath; a pot is logged in a dye bath or a "
                  "vat",
                  r.label, f->words);
    else if (said(w->pot->kind) && !text_same(w->pot->kind, f->words))
        error_set(err, ERR_INPUT, "bath %s is a %s bath by the book, not a %s",
                  r.label, f->words, w->pot->kind);
    else if (w->pot->poured.count)
        error_set(err, ERR_INPUT,
                  "what was poured together is a new pot: give it a name");
    else
        ok = fill_bath(w, &r, aside, err);
    if (ok && record_get(&r, "storage"))
        pot_caution(w, "a stored bath", caution_general("stored bath")->text);
    record_clear(&r);
    return ok;
}

static bool open_bath(struct work *w, struct text *aside, struct error *err)
{
    const struct pot_entry *p = w->pot;
    int64_t n;
    bool is_null;

    if (said(p->name) && said(p->of))
        return error_set(err, ERR_INPUT,
                         "say the name of a new pot, or which pot of the "
                         "book, not both");
    if (!said(p->name) && !said(p->of))
        return error_set(err, ERR_INPUT,
                         "say what you call the pot, or which pot of the book "
                         "it is");
    if (!(said(p->name) ? new_bath(w, err) : old_bath(w, aside, err)))
        return false;
    if (!pot_ask(w->book, STMT_BATH_NUMBER, w->result->bath_id, &n, &is_null,
                 err))
        return false;
    w->result->bath_number = n;
    return add_extraction(w, err);
}

/* ---- the round --------------------------------------------------------------
 */

static bool read_round(struct work *w, const char *words, int *out,
                       struct error *err)
{
    struct cells *cells = mem_new(1, sizeof *cells);
    bool ok = field_read(w->book, noun_field(&nouns[NOUN_TREATMENT], "round"),
                         words, cells, NULL, err);

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

static bool find_round(struct work *w, struct error *err)
{
    struct pot_result *r = w->result;
    int64_t last, empty;
    bool none, is_null;
    char words[24];

    r->round = w->vat ? -1 : 0;
    if (w->vat)
        return !said(w->pot->round) ||
               error_set(err, ERR_INPUT,
                         "round: a vat has no first bath and no exhausts; it "
                         "is fed");
    if (said(w->pot->round))
        return read_round(w, w->pot->round, &r->round, err);
    if (r->new_bath)
        return true;
    if (!pot_ask(w->book, STMT_ROUND_LAST, r->bath_id, &last, &none, err) ||
        !pot_ask(w->book, STMT_ROUND_EMPTY, r->bath_id, &empty, &is_null, err))
        return false;
    r->round = none ? 0 : (int)last + 1;
    if (!none && !is_null && empty == last)
        pot_note(w,
                 "%s of bath %lld has no skein recorded; to fill it in, say "
                 "--round \"%s\"",
                 round_words((int)last, words), r->bath_number,
                 last ? words : "first");
    return true;
}

struct facts {
    struct record_value v[16];
    size_t count;
};

static void add_fact(struct facts *f, const char *field, const char *words)
{
    if (said(words))
        f->v[f->count++] = (struct record_value){field, words};
}

/* What belongs to the treatment, beside its bath and round. */
static struct facts facts_of(const struct pot_entry *p)
{
    struct facts f = {0};

    add_fact(&f, "on", p->on);
    add_fact(&f, "vessel", p->vessel);
    add_fact(&f, "temperature", p->temperature);
    add_fact(&f, "minutes", p->minutes);
    add_fact(&f, "cooled", p->cooled);
    add_fact(&f, "dips", p->vat_dips);
    add_fact(&f, "airing", p->airing);
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
static void echo_facts(struct work *w, struct text *echo)
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

static void call_it_date(struct error *err)
{
    struct error inner = *err;

    if (!strncmp(inner.text, "on: ", 4))
        error_set(err, inner.kind, "date%s", inner.text + 2);
}

static bool open_treatment(struct work *w, struct text *aside,
                           struct error *err)
{
    struct pot_result *r = w->result;
    struct facts f = facts_of(w->pot);
    struct id_words bath = id_words(r->bath_id);
    struct text note = {0}, echo = {0};
    char round[16], words[24];
    bool ok;

    if (!w->vat && (said(w->pot->vat_dips) || said(w->pot->airing)))
        return error_set(err, ERR_INPUT,
                         "only a vat has a number of dips and airing; what a "
                         "skein was dipped in afterwards is a dip");
    text_add(&note, said(w->pot->note) ? w->pot->note : "");
    if (aside->len)
        text_addf(&note, "%s%s", note.len ? "\n" : "", text_str(aside));
    ok = joined_round(w, &f, &note, &r->treatment_id, err);
    add_fact(&f, "note", text_str(&note));
    snprintf(round, sizeof round, "%d", r->round);
    if (ok && r->treatment_id) {
        r->joined = true;
        pot_echo(w, "%s of bath %lld was logged before; this is added to it",
                 round_words(r->round, words), r->bath_number);
        ok = !f.count || record_edit(w->book, NOUN_TREATMENT, r->treatment_id,
                                     f.v, f.count, &echo, err);
    } else if (ok) {
        add_fact(&f, "kind", w->vat ? "vat" : "dye");
        add_fact(&f, "bath", bath.s);
        add_fact(&f, "round", w->vat ? NULL : round);
        ok = record_add(w->book, NOUN_TREATMENT, f.v, f.count, &r->treatment_id,
                        &echo, err);
    }
    if (ok)
        echo_facts(w, &echo);
    else
        call_it_date(err);
    text_clear(&note);
    text_clear(&echo);
    return ok;
}

static bool enter(struct work *w, size_t i, struct error *err)
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

static bool add_list(struct work *w, const struct dose_list *list, int round,
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
    int made = r->new_bath && r->round > 0 ? 0 : r->round;
    struct pot_fibre now, first;

    if (!pot_fibre_of_round(w->book, r->bath_id, r->round, &now, err) ||
        !pot_fibre_of_round(w->book, r->bath_id, made, &first, err))
        return false;
    return add_list(w, &w->dyestuffs, made, &first, err) &&
           (w->mordants.count ||
            add_list(w, &w->assists, r->round, &now, err)) &&
           add_list(w, &w->acids, r->round, &now, err) &&
           add_list(w, &w->alkalis, r->round, &now, err);
}

static bool add_ph(struct work *w, struct error *err)
{
    struct id_words bath = id_words(w->result->bath_id);
    struct id_words in = id_words(w->result->treatment_id);
    const struct record_value v[] = {
        {"ph", w->pot->ph}, {"bath", bath.s}, {"treatment", in.s}};
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
static bool look_around(struct work *w, struct error *err)
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
    bool ok = open_bath(w, &aside, err) && find_round(w, err) &&
              read_doses(w, err) && pot_skeins_open(w, err) &&
              pot_mordants(w, err) && open_treatment(w, &aside, err);

    for (size_t i = 0; ok && i < w->skeins; i++)
        ok = enter(w, i, err);
    ok = ok && add_doses(w, err) && add_ph(w, err) && pot_dips(w, err) &&
         look_around(w, err);
    text_clear(&aside);
    return ok;
}

/* Hands over what the caller wants to know. */
static void tell(struct work *w)
{
    struct pot_result *r = w->result;

    r->skein = mem_new(w->skeins, sizeof *r->skein);
    r->skeins = w->skeins;
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

bool pot_log(struct book *book, const struct pot_entry *pot,
             struct pot_result *result, struct text *echo, struct error *err)
{
    struct work w = {.book = book, .pot = pot, .result = result, .echo = echo};
    bool ok;

    *result = (struct pot_result){0};
    if (!book_act_begin(book, "log", err))
        return false;
    ok = log_all(&w, err);
    if (ok)
        tell(&w);
    if (ok && !pot->only_try)
        ok = book_act_end(book, err);
    else
        book_act_cancel(book);
    work_clear(&w);
    if (!ok)
        pot_result_clear(result);
    return ok;
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
