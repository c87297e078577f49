/* One pot, many skeins, one go, in one act. See book/pot.h. */
#include "book/pot.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/day.h"
#include "base/mem.h"
#include "book/cut.h"
#include "book/face.h"
#include "book/pot_work.h"
#include "book/project_work.h"
#include "dye/caution.h"

/* ---- the round --------------------------------------------------------------
 */

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

/* A round has one day; another one is a slip, or another round. */
static bool same_day(struct work *w, int64_t treatment, const char *have,
                     const char *now, bool *fill, struct error *err)
{
    struct pot_result *r = w->result;
    struct day_range a, b;
    struct text how = {0};
    char round[24], id[24];

    if (!day_read(now, day_today(), &b, err))
        return pot_blame(err, "date");
    *fill = !day_read(have, day_today(), &a, err) || !a.known;
    if (*fill || (b.known && !memcmp(&a.from, &b.from, sizeof a.from) &&
                  !memcmp(&a.to, &b.to, sizeof a.to)))
        return true;
    snprintf(id, sizeof id, "%lld", (long long)treatment);
    face_edit(NOUN_TREATMENT, id, "on", now, &how);
    error_set(err, ERR_INPUT,
              "date: %s of bath %s has the day %s by the book. Another day is "
              "another round; a slip is mended so: %s",
              pot_round_words(r->round, round), r->bath, have, text_str(&how));
    text_clear(&how);
    return false;
}

/* Takes the facts a round has already out of the list. What contradicts them
 * makes it another lift of the same round: *fits is false. */
static bool compare_facts(struct work *w, const struct record *r, bool *fits,
                          struct error *err)
{
    struct facts left = {0};
    char words[24];

    *fits = true;
    for (size_t i = 0; i < w->facts.count; i++) {
        const struct record_value *v = &w->facts.v[i];
        const struct record_field *have = record_get(r, v->field);
        bool fill = !have;
        if (have && !strcmp(v->field, "on")) {
            if (!same_day(w, r->id,
                          have->understood ? have->understood : have->words,
                          v->words, &fill, err))
                return false;
        } else if (have && !text_same(have->words, v->words)) {
            if (*fits)
                pot_echo(w,
                         "%s of bath %s has %s: %s by the book; this is a "
                         "go of its own in it",
                         pot_round_words(w->result->round, words),
                         w->result->bath, v->field, have->words);
            *fits = false;
        }
        if (fill)
            left.v[left.count++] = *v;
    }
    if (*fits)
        w->facts = left;
    return true;
}

/* A round that was logged before is added to when nothing contradicts it. */
static bool join_round(struct work *w, struct text *note, struct error *err)
{
    const struct record_field *have;
    struct record r;
    int64_t id;
    bool ok, fits;

    if (w->vat || w->result->new_bath)
        return true;
    if (!pot_round_find(w->book, w->result->bath_id, w->result->round, &id,
                        err))
        return false;
    if (!id)
        return true;
    if (!record_read(w->book, NOUN_TREATMENT, id, &r, err))
        return false;
    ok = compare_facts(w, &r, &fits, err);
    have = record_get(&r, "note");
    if (ok && fits && have && note->len) {
        struct text both = {0};
        text_addf(&both, "%s\n%s", have->words, text_str(note));
        text_clear(note);
        *note = both;
    }
    if (ok && fits)
        w->result->treatment_id = id;
    record_clear(&r);
    return ok;
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

static bool open_treatment(struct work *w, const struct text *note,
                           struct error *err)
{
    struct pot_result *r = w->result;
    struct facts f;
    struct id_words bath = id_words(r->bath_id);
    struct text echo = {0};
    char words[24];
    bool ok;

    pot_fact(&w->facts, "note", text_str(note));
    f = w->facts;
    if (r->treatment_id) {
        r->joined = true;
        pot_echo(w, "%s of bath %s was logged before; this is added to it",
                 pot_round_words(r->round, words), r->bath);
        ok = !f.count || record_edit(w->book, NOUN_TREATMENT, r->treatment_id,
                                     f.v, f.count, &echo, err);
    } else {
        pot_fact(&f, "dyer", w->pot->dyer);
        pot_fact(&f, "kind", w->vat ? "vat" : "dye");
        pot_fact(&f, "bath", bath.s);
        pot_fact(&f, "round",
                 w->time > 0 ? pot_round_words(w->time, words) : "first");
        ok = record_add(w->book, NOUN_TREATMENT, f.v, f.count, &r->treatment_id,
                        &echo, err);
    }
    if (ok)
        pot_echo_facts(w, &echo);
    else
        pot_call_it_date(err);
    text_clear(&echo);
    return ok;
}

/* A dyeing of which another thing is recorded. Always false. */
static bool refuse_other(const struct record *entry,
                         const struct record_field *have, struct error *err)
{
    struct text how = {0};
    char id[24];

    snprintf(id, sizeof id, "%lld", (long long)entry->id);
    face_edit(NOUN_ENTRY, id, have->field->name, NULL, &how);
    error_set(err, ERR_INPUT,
              "%s: that dyeing has \"%s\" by the book; to change that: %s",
              have->field->name, have->words, text_str(&how));
    text_clear(&how);
    return false;
}

/* A skein that was in this round: what was not recorded of that is filled in.
 */
static bool fill_entry(struct work *w, const struct pot_one *one,
                       const struct record_value *wish, size_t wishes,
                       struct error *err)
{
    struct record_value v[4];
    struct record r;
    size_t n = 0;
    bool ok = true;
    char words[24];

    if (pot_skein_bare(one->said) && !one->adopted &&
        !pot_wants_skein(w->pot) && !w->pot->dyestuffs.count && !w->facts.count)
        return error_set(err, ERR_INPUT, "it is in %s of bath %s already",
                         pot_round_words(w->result->round, words),
                         w->result->bath);
    if (!record_read(w->book, NOUN_ENTRY, one->there, &r, err))
        return false;
    for (size_t i = 0; ok && i < wishes; i++) {
        const struct record_field *have = record_get(&r, wish[i].field);
        if (!said(wish[i].words) ||
            (have && text_same(have->words, wish[i].words)))
            continue;
        if (have)
            ok = refuse_other(&r, have, err);
        else
            v[n++] = wish[i];
    }
    ok = ok &&
         (!n || record_edit(w->book, NOUN_ENTRY, one->there, v, n, NULL, err));
    record_clear(&r);
    return ok;
}

bool pot_enter(struct work *w, size_t i, struct error *err)
{
    struct pot_one *one = &w->skein[i];
    struct id_words in = id_words(w->result->treatment_id);
    struct id_words skein = id_words(one->id);
    char place[40] = "";
    struct record_value v[] = {
        {"weight", one->then_weight}, {"dipped", one->said->dipped},
        {"note", one->then_note},     {"treatment", in.s},
        {"skein", skein.s},           {"place", place},
    };
    char who[80];

    if (!one->before && !one->there && !one->is_new &&
        !cut_is_left(w->book, one->id, err))
        return false;
    if (one->before && !one->there && !pot_place(w, one, false, place, err))
        return false;
    if (one->there ? fill_entry(w, one, v, 3, err)
                   : record_add(w->book, NOUN_ENTRY, v, ARRAY_LEN(v),
                                &one->there, NULL, err))
        return true;
    pot_call_skein(w, i, who);
    return pot_blame(err, "%s", who);
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

/* What was said of the pot and of no skein in it is not silently lost: the
 * step that records it. */
static void look_unused(struct work *w, const struct dose_list *list,
                        const char *step, const char *who, const char *before)
{
    for (size_t i = 0; i < list->count; i++) {
        const struct pot_dose *d = list->dose[i];
        const char *amount = d->value[DOSE_AMOUNT];
        struct text how = {0};
        if (d->used)
            continue;
        text_addf(&how, "hanklab treat %s \"%s\" --with \"%s%s%s\" --before %s",
                  step, who, d->material, amount ? ": " : "",
                  amount ? amount : "", before);
        pot_note(w,
                 "%s: no skein of this pot took it as %s; it is not "
                 "recorded%s%s",
                 d->material, d->role, *who && !d->none ? ". To add it: " : "",
                 *who && !d->none
                     ? face_says(text_str(&how), "\"Dip, wash or mordant\"")
                     : "");
        text_clear(&how);
    }
}

static bool all_used(const struct dose_list *list)
{
    for (size_t i = 0; i < list->count; i++)
        if (!list->dose[i]->used)
            return false;
    return true;
}

static bool look_at_unused(struct work *w, struct error *err)
{
    const char **label;
    struct text who = {0};
    char *before;

    if (all_used(&w->mordants) && all_used(&w->assists) && all_used(&w->dips))
        return true;
    if (!pot_before_this(w, &before, err))
        return false;
    label = mem_new(w->skeins + 1, sizeof *label);
    for (size_t i = 0; i < w->skeins; i++)
        label[i] = w->skein[i].label;
    if (before)
        pot_labels(label, w->skeins, &who);
    look_unused(w, &w->mordants, "mordant", text_str(&who), before);
    look_unused(w, &w->assists, "mordant", text_str(&who), before);
    look_unused(w, &w->dips, "dip", text_str(&who), before);
    text_clear(&who);
    free(label);
    free(before);
    return true;
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
    if (!look_at_unused(w, err))
        return false;
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

/* A later dip of skeins of this bath is all there is: no round. */
static bool log_dip(struct work *w, struct error *err)
{
    w->result->round = -1;
    w->result->dipped = true;
    w->facts = pot_facts(w->pot);
    pot_fact(&w->facts, "note", w->pot->note);
    return pot_before(w, err) && pot_dips(w, err) && pot_look_around(w, err);
}

static bool log_round(struct work *w, const struct text *aside,
                      struct error *err)
{
    const struct pot_entry *p = w->pot;
    struct text note = {0};
    bool ok;

    if (!w->vat && (said(p->vat_dips) || said(p->airing)))
        return error_set(err, ERR_INPUT,
                         "only a vat has a number of dips and airing; what a "
                         "skein was dipped in afterwards is a dip. A new vat "
                         "is said with the kind \"vat\"");
    text_add(&note, said(p->note) ? p->note : "");
    if (aside->len)
        text_addf(&note, "%s%s", note.len ? "\n" : "", text_str(aside));
    w->facts = pot_facts(p);
    ok = pot_round_next(w, err);
    w->result->round = w->vat ? -1 : w->time;
    ok = ok && pot_bath_fill(w, err) && join_round(w, &note, err) &&
         pot_skeins_of_round(w, err) && pot_ask_over(w, err) &&
         pot_before(w, err) && pot_mordants(w, err) &&
         pot_ask_mordants(w, err) && open_treatment(w, &note, err);
    for (size_t i = 0; ok && i < w->skeins; i++)
        ok = pot_enter(w, i, err);
    text_clear(&note);
    if (!ok || !add_doses(w, err) || !pot_ph(w, err) || !pot_dips(w, err) ||
        !pot_look_around(w, err))
        return false;
    pot_look_unfilled(w);
    return true;
}

static bool log_all(struct work *w, struct error *err)
{
    struct text aside = {0};
    bool alone, ok = pot_bath_open(w, &aside, err) && read_doses(w, err) &&
                     pot_skeins_open(w, err) && pot_dip_alone(w, &alone, err);

    if (ok)
        ok = alone ? log_dip(w, err) : log_round(w, &aside, err);
    text_clear(&aside);
    return ok;
}

/* Whether what was done has no day, now or from before. */
static bool look_for_day(struct work *w, struct error *err)
{
    struct pot_result *r = w->result;
    struct record treatment;

    if (!r->treatment_id || said(w->pot->on))
        return true;
    if (!record_read(w->book, NOUN_TREATMENT, r->treatment_id, &treatment, err))
        return false;
    r->undated = !record_get(&treatment, "on");
    record_clear(&treatment);
    return true;
}

/* Hands over what the caller wants to know. */
static void tell(struct work *w)
{
    struct pot_result *r = w->result;

    r->skein = mem_new(w->skeins, sizeof *r->skein);
    r->skeins = w->skeins;
    r->described = w->described;
    r->time = w->time;
    for (size_t i = 0; i < w->skeins; i++) {
        struct pot_one *one = &w->skein[i];
        r->skein[i] = (struct pot_result_skein){one->id, one->number,
                                                one->label, one->is_new};
        one->label = NULL;
    }
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
    for (size_t i = 0; i < w->skeins; i++) {
        free(w->skein[i].label);
        free(w->skein[i].share);
    }
    free(w->skein);
}

/* Whose it all is. */
static bool find_dyer(struct work *w, struct error *err)
{
    const char *dyer = w->pot->dyer;

    w->dyer_id = book_dyer(w->book);
    if (!said(dyer) || record_find(w->book, NOUN_DYER, dyer, &w->dyer_id, err))
        return true;
    return err->kind == ERR_MISSING
               ? error_set(err, ERR_MISSING,
                           "dyer: there is no dyer \"%s\" in the book; if the "
                           "name is right, add it with %s",
                           dyer,
                           face_says("hanklab dyer add",
                                     "\"New dyer\" in the cupboard"))
               : false;
}

bool pot_act(struct work *w, const char *what,
             bool (*all)(struct work *, struct error *), struct error *err)
{
    bool ok;

    *w->result = (struct pot_result){0};
    if (!book_act_begin(w->book, w->pot->task ? "plan done" : what, err))
        return false;
    ok = find_dyer(w, err) && all(w, err) && look_for_day(w, err) &&
         pot_look_at_days(w, err) &&
         (!w->pot->task ||
          project_mark(w->book, w->pot->task, w->result, w->pot->on, err));
    if (ok)
        tell(w);
    if (ok && w->pot->also.keep && !w->pot->only_try)
        ok = w->pot->also.keep(w->pot->also.with, w->result, err);
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
    for (size_t i = 0; i < result->skeins; i++)
        free(result->skein[i].label);
    free(result->note);
    free(result->caution);
    free(result->skein);
    free(result->bath);
    *result = (struct pot_result){0};
}

/* Where the number in a label begins, and which it is. */
static size_t number_in(const char *label, long long *number)
{
    const char *slash = strrchr(label, '/');

    text_whole(slash ? slash + 1 : label, number);
    return slash ? (size_t)(slash + 1 - label) : 0;
}

/* Whether y is the next number of the same dyer. */
static bool follows(const char *x, const char *y)
{
    long long a = 0, b = 0;
    size_t n = number_in(x, &a);

    return number_in(y, &b) == n && !strncmp(x, y, n) && b == a + 1;
}

void pot_labels(const char *const *label, size_t count, struct text *out)
{
    for (size_t i = 0, k; i < count; i = k) {
        for (k = i + 1; k < count && follows(label[k - 1], label[k]); k++)
            ;
        text_addf(out, "%s%s", i ? ", " : "", label[i]);
        if (k > i + 1)
            text_addf(out, "%s%s", k > i + 2 ? " to " : ", ", label[k - 1]);
    }
}
