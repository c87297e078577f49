/* A planned step done: it becomes what it was planned for. See book/project.h.
 */
#include "book/project_work.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "book/pot_work.h"
#include "dye/amount.h"

bool project_mark(struct book *book, int64_t task,
                  const struct pot_result *result, const char *on,
                  struct error *err)
{
    struct id_words bath = id_words(result->bath_id);
    struct id_words treatment = id_words(result->treatment_id);
    const struct record_value v[] = {
        {"done", "yes"},
        {"done-on", on},
        {"bath", result->bath_id ? bath.s : NULL},
        {"treatment", result->treatment_id ? treatment.s : NULL},
    };

    return record_edit(book, NOUN_TASK, task, v, ARRAY_LEN(v), NULL, err);
}

/* What was said, over what was planned. */
static const char * or (const char *changed, const char *planned)
{
    return said(changed) ? changed : planned;
}

/* The only supply of a material, which it is taken from; 0: none, or which one
 * is not known. *otherwise: it is not dry. */
static bool only_supply(struct book *book, const char *name, int64_t *supply,
                        bool *otherwise, struct error *err)
{
    const struct record_field *state;
    struct record r;
    struct error none;
    struct stmt q;
    int64_t material;
    size_t n = 0;
    bool row, ok;

    *supply = 0;
    *otherwise = false;
    if (!record_find(book, NOUN_MATERIAL, name, &material, &none))
        return true;
    if (!stmt_begin(book, STMT_SUPPLIES_OF, &q, err))
        return false;
    stmt_int(&q, ":of", material);
    while ((ok = stmt_step(&q, &row, err)) && row) {
        *supply = n ? 0 : stmt_get_int(&q, 0);
        n++;
    }
    stmt_done(&q);
    if (!ok || !*supply)
        return ok;
    if (!record_read(book, NOUN_SUPPLY, *supply, &r, err))
        return false;
    state = record_get(&r, "state");
    *otherwise = state && strcmp(state->words, "dry") != 0;
    record_clear(&r);
    return true;
}

/* "50 g fresh" says its state itself. */
static bool says_state(const char *words)
{
    const struct amount_context ctx = {AMOUNT_G, false};
    const char *much = strchr(words, ':');
    struct amount a;
    struct error none;

    return much && amount_read(much + 1, ctx, &a, &none) &&
           a.state != AMOUNT_AS_SAID;
}

/* One dose as a pot reads it: of the only supply, unless more is said of it or
 * of several. Weights of a plan are dry, whatever the supply is. */
static bool add_dose(struct book *book, const char *words, struct text *out,
                     struct error *err)
{
    char *name = mem_text_n(words, strcspn(words, ":"));
    int64_t supply = 0;
    bool otherwise = false,
         ok = strchr(words, ';') || strstr(words + strcspn(words, ":"), ", ") ||
              only_supply(book, parts_trim(name), &supply, &otherwise, err);

    text_add(out, words);
    if (ok && supply)
        text_addf(out, "; supply=#%lld%s", (long long)supply,
                  otherwise && !says_state(words) ? "; state=dry" : "");
    free(name);
    return ok;
}

/* A dose as it was planned. What is drawn out stays as many grams, whatever
 * fibre comes into it. */
static void planned_words(const struct project_task *t, size_t i,
                          struct text *out)
{
    const struct project_dose *d = &t->dose[i];

    text_add(out, d->name);
    if (!strcmp(t->kind, "extract") && !isnan(d->g)) {
        text_add(out, ": ");
        text_add_real(out, d->g, 2);
        text_add(out, " g");
    } else if (d->words) {
        text_addf(out, ": %s", d->words);
    }
}

/* What goes into a step: what was said, else what was planned. Release each,
 * and the list. */
static bool dose_words(struct book *book, const struct project_task *t,
                       struct pot_words typed, char ***words, size_t *count,
                       struct error *err)
{
    bool ok = true;

    *count = typed.count ? typed.count : t->doses;
    *words = mem_new(*count, sizeof **words);
    for (size_t i = 0; ok && i < *count; i++) {
        struct text planned = {0}, one = {0};
        if (!typed.count)
            planned_words(t, i, &planned);
        ok = add_dose(book, typed.count ? typed.word[i] : text_str(&planned),
                      &one, err);
        (*words)[i] = text_take(&one);
        text_clear(&planned);
    }
    return ok;
}

static void dose_words_free(char **words, size_t n)
{
    for (size_t i = 0; i < n; i++)
        free(words[i]);
    free(words);
}

/* What a step of that kind has no place for is said, never dropped. */
static bool has_place(const struct pot_entry *c, bool soak, struct error *err)
{
    const struct {
        bool said, only_soak;
        const char *option, *how;
    } lost[] = {
        {c->skein_count > 0, false, "skein", "hanklab skein edit"},
        {said(c->ph), false, "ph", "hanklab ph add"},
        {said(c->vessel), false, "vessel", "the note"},
        {said(c->cooled), false, "cooled", "the note"},
        {said(c->temperature), true, "temperature", "the note"},
        {said(c->minutes), true, "minutes", "the note"},
        {said(c->volume), true, "volume", "the note"},
        {c->with.count > 0, true, "with", "the note"},
    };

    for (size_t i = 0; i < ARRAY_LEN(lost); i++)
        if (lost[i].said && (soak || !lost[i].only_soak))
            return error_set(err, ERR_INPUT, "--%s has no place in %s: use %s",
                             lost[i].option, soak ? "a soak" : "an extraction",
                             lost[i].how);
    return true;
}

/* ---- an extraction ----------------------------------------------------------
 */

/* "minutes=60 min; temperature=65 C; ...", as a pot reads it. */
static void extraction_words(const struct project_task *t,
                             const struct pot_entry *c, struct text *out)
{
    const char *heat = or (c->temperature, t->heat);
    const char *time = or (c->minutes, t->minutes);

    text_addf(out, "on=%s; straining=strained", c->on);
    if (said(heat))
        text_addf(out, "; temperature=%s", heat);
    if (said(time))
        text_addf(out, "; minutes=%s", time);
    if (said(c->note))
        text_addf(out, "; note=%s", c->note);
}

/* "extraction: on: ..." is "date: ..." of the step, as it is asked for. */
static bool blame_step(struct error *err)
{
    static const char begin[] = "extraction: ";
    const struct error why = *err;
    const char *field = why.text + strlen(begin);
    const bool day = !strncmp(field, "on:", 3);

    if (!strncmp(why.text, begin, strlen(begin)))
        error_set(err, why.kind, "%s%s", day ? "date" : "",
                  field + (day ? strlen("on") : 0));
    return false;
}

static bool extract(struct book *book, const struct project_task *t,
                    const struct pot_entry *c, struct pot_result *r,
                    struct text *echo, struct error *err)
{
    struct pot_fibre fibre = {.g = t->fibre_g};
    struct pot_entry pot = *c;
    struct text how = {0};
    char **planned;
    size_t n;
    bool ok = dose_words(book, t, c->dyestuffs.count ? c->dyestuffs : c->with,
                         &planned, &n, err) &&
              has_place(c, false, err);

    extraction_words(t, c, &how);
    pot.task = t->id;
    pot.name = or (c->name, t->liquor);
    pot.volume = or (c->volume, t->water);
    pot.extraction = text_str(&how);
    pot.dyestuffs = (struct pot_words){(const char *const *)planned, n};
    ok =
        ok && (pot_extract(book, &pot, fibre, r, echo, err) || blame_step(err));
    text_clear(&how);
    dose_words_free(planned, n);
    return ok;
}

/* ---- what is done to skeins ---------------------------------------------- */

/* The bath of the extraction whose liquor this step shares. */
static bool find_bath(const struct project *p, const struct project_task *t,
                      int64_t *bath, struct error *err)
{
    for (size_t i = 0; i < p->tasks; i++) {
        const struct project_task *o = &p->task[i];
        if (strcmp(o->kind, "extract") != 0 || !text_same(o->liquor, t->liquor))
            continue;
        *bath = o->bath_id;
        return o->done ||
               error_set(err, ERR_INPUT,
                         "step %d, \"%s\", comes first: its liquor is dyed in",
                         o->number, o->name);
    }
    return error_set(err, ERR_INPUT,
                     "the plan does not say in which liquor step %d is done; "
                     "log it as a pot",
                     t->number);
}

static void take_plan(const struct project_task *t, const struct pot_entry *c,
                      struct pot_skein *skein, struct pot_entry *out)
{
    *out = *c;
    out->task = t->id;
    out->vessel = or (c->vessel, t->vessel);
    if (strcmp(t->kind, "rinse") != 0) {
        out->temperature = or (c->temperature, t->heat);
        out->minutes = or (c->minutes, t->minutes);
    }
    if (c->skein_count)
        return;
    *skein = (struct pot_skein){.which = t->skeins, .known = true};
    out->skein = skein;
    out->skein_count = 1;
}

static bool dye(struct book *book, const struct project *p,
                const struct project_task *t, const struct pot_entry *c,
                struct pot_result *r, struct text *echo, struct error *err)
{
    struct pot_skein skein;
    struct pot_entry pot;
    struct id_words of;
    char round[24];
    int64_t bath = 0;

    if (c->with.count || c->dyestuffs.count)
        return error_set(err, ERR_INPUT,
                         "what goes into a liquor is said where it is drawn "
                         "out; what is added to it later is logged as a round "
                         "of its bath");
    if (!find_bath(p, t, &bath, err))
        return false;
    take_plan(t, c, &skein, &pot);
    of = id_words(bath);
    snprintf(round, sizeof round, "exhaust %d", t->round);
    pot.of = of.s;
    pot.round = or (c->round, t->round > 0 ? round : "first");
    return pot_log(book, &pot, r, echo, err);
}

static bool treat(struct book *book, const struct project_task *t,
                  const struct pot_entry *c, struct pot_result *r,
                  struct text *echo, struct error *err)
{
    char **planned;
    struct pot_skein skein;
    struct pot_entry pot;
    size_t n;
    bool ok = dose_words(book, t, c->with, &planned, &n, err);

    take_plan(t, c, &skein, &pot);
    pot.kind = !strcmp(t->kind, "rinse") ? "wash" : t->kind;
    pot.with = (struct pot_words){(const char *const *)planned, n};
    ok = ok && pot_treat(book, &pot, r, echo, err);
    dose_words_free(planned, n);
    return ok;
}

static bool soak(struct book *book, const struct project_task *t,
                 const struct pot_entry *c, const struct pot_result *r,
                 struct error *err)
{
    const struct record_value note = {"note", c->note};
    bool ok = has_place(c, true, err) &&
              book_act_begin(book, "plan done", err) &&
              project_mark(book, t->id, r, c->on, err) &&
              (!said(c->note) ||
               record_edit(book, NOUN_TASK, t->id, &note, 1, NULL, err));

    ok = ok && !c->only_try ? book_act_end(book, err) : ok;
    book_act_cancel(book);
    return ok;
}

static bool do_step(struct book *book, const struct project *p,
                    const struct project_task *t, const struct pot_entry *c,
                    struct pot_result *r, struct text *echo, struct error *err)
{
    if (!strcmp(t->kind, "soak"))
        return soak(book, t, c, r, err);
    if (!strcmp(t->kind, "extract"))
        return extract(book, t, c, r, echo, err);
    return !strcmp(t->kind, "dye") ? dye(book, p, t, c, r, echo, err)
                                   : treat(book, t, c, r, echo, err);
}

static void add_note(struct pot_result *r, struct text *line)
{
    r->note = mem_resize(r->note, r->notes + 1, sizeof *r->note);
    r->note[r->notes++] = text_take(line);
}

/* Planned, and not among those it was done to. */
static bool look_for_rest(struct book *book, int64_t owner,
                          const struct project_task *t, struct pot_result *r,
                          struct error *err)
{
    struct text rest = {0};
    int64_t *ids = NULL;
    size_t n = 0;
    bool ok = true;

    if (!t->skeins || !r->skeins ||
        !record_skeins(book, owner, t->skeins, &ids, &n, NULL, err))
        return !t->skeins || !r->skeins || err->kind == ERR_MISSING ||
               err->kind == ERR_INPUT; /* one was withdrawn */
    for (size_t i = 0; ok && i < n; i++) {
        bool done = false;
        for (size_t k = 0; k < r->skeins; k++)
            done = done || r->skein[k].id == ids[i];
        if (done)
            continue;
        text_add(&rest, rest.len ? ", " : "planned as well, and not in it: ");
        ok = record_label(book, NOUN_SKEIN, ids[i], &rest, err);
    }
    if (rest.len)
        add_note(r, &rest);
    text_clear(&rest);
    free(ids);
    return ok;
}

/* Steps that should come before and are not done. */
static void look_before(const struct project *p, const struct project_task *t,
                        struct pot_result *r)
{
    for (size_t i = 0; i < p->tasks; i++) {
        const struct project_task *o = &p->task[i];
        struct text line = {0};
        const char *at = t->after;
        bool before = false;

        while (at && *at) {
            before = before || strtol(at, NULL, 10) == o->number;
            at = strchr(at, ',');
            at = at ? at + 1 : NULL;
        }
        if (!before || o->done)
            continue;
        text_addf(&line,
                  "step %d, \"%s\", comes before and is not marked as done",
                  o->number, o->name);
        add_note(r, &line);
    }
}

static const struct project_task *find_step(const struct project *p, int step,
                                            struct error *err)
{
    for (size_t i = 0; i < p->tasks; i++) {
        const struct project_task *t = &p->task[i];
        if (t->number != step)
            continue;
        if (!t->done)
            return t;
        error_set(err, ERR_INPUT, "step %d of \"%s\" is done already%s%s%s%s",
                  step, p->name, t->done_on ? ", on " : "",
                  t->done_on ? t->done_on : "", t->record ? ": " : "",
                  t->record ? t->record : "");
        return NULL;
    }
    error_set(err, ERR_MISSING, "\"%s\" has no step %d", p->name, step);
    return NULL;
}

bool project_done(struct book *book, int64_t id, int step,
                  const struct pot_entry *changed, struct pot_result *result,
                  struct text *echo, struct error *err)
{
    const struct project_task *t;
    struct pot_entry c = *changed;
    struct project p;
    char today[11];
    bool ok;

    *result = (struct pot_result){.round = -1};
    if (!project_own(book, id, err) || !project_read(book, id, &p, err))
        return false;
    day_iso(day_today(), today);
    c.on = or (c.on, today);
    t = find_step(&p, step, err);
    ok = t && do_step(book, &p, t, &c, result, echo, err);
    if (ok)
        look_before(&p, t, result);
    ok = ok && look_for_rest(book, book_dyer(book), t, result, err);
    if (!ok)
        pot_result_clear(result);
    project_clear(&p);
    return ok;
}
