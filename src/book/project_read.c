/* A project as it stands: wishes, steps planned and done, what to weigh and
 * what the cupboard has of it. See book/project.h. */
#include "book/project_work.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "base/parts.h"
#include "book/sheet_part.h"
#include "book/supply_left.h"
#include "dye/amount.h"
#include "dye/reckon.h"

/* What a kitchen scale shows. */
enum { SCALE_G = 1 };

/* Below this a salt is measured as a solution rather than weighed. */
#define SOLVED_G 1.0

static char *words_of(const struct record *r, const char *field)
{
    const struct record_field *f = record_get(r, field);

    return mem_text(f ? f->words : NULL);
}

/* "today" is another day tomorrow. */
static char *day_of(const struct record *r, const char *field)
{
    const struct record_field *f = record_get(r, field);

    return mem_text(f ? record_shown(f) : NULL);
}

static double middle(const struct record *r, const char *field)
{
    const struct record_field *f = record_get(r, field);

    return f ? (f->low + f->high) / 2 : (double)NAN;
}

int project_whole(const struct record *r, const char *field, int none)
{
    const struct record_field *f = record_get(r, field);

    return f && !isnan(f->low) ? (int)f->low : none;
}

static bool moment_of(const struct record *r, const char *field,
                      struct moment *out)
{
    const struct record_field *f = record_get(r, field);

    return f && moment_from_iso(f->words, out);
}

bool project_tasks(struct book *book, int64_t project, int64_t **ids,
                   size_t *count, struct error *err)
{
    return record_children(book, NOUN_TASK, "project", project, ids, count,
                           err);
}

/* ---- wishes -----------------------------------------------------------------
 */

static void add_doses(struct text *t, const char *before,
                      const struct plan_doses *d)
{
    if (!d->count)
        return;
    text_add(t, before);
    plan_doses_words(d, t);
}

/* The recipe as a phrase; one that was changed by hand to what is none stays
 * as it is. */
static void tell_how(struct book *book, struct project_wish *w)
{
    struct text how = {0}, aside = {0};
    struct recipe r;
    struct error none;

    if (!w->recipe || !recipe_read(book, w->recipe, &r, &aside, &none)) {
        w->how = mem_text(w->recipe);
        text_clear(&aside);
        return;
    }
    add_doses(&how, "", &r.plan.dyestuffs);
    add_doses(&how, " on ", &r.plan.mordants);
    add_doses(&how, ", ", &r.plan.assists);
    if (r.plan.round)
        text_addf(&how, ", exhaust %d", r.plan.round);
    add_doses(&how, ", dipped in ", &r.plan.dips);
    w->how = text_take(&how);
    recipe_clear(&r);
    text_clear(&aside);
}

static bool read_wish(struct book *book, int64_t id, struct project_wish *w,
                      struct error *err)
{
    const struct record_field *g, *m;
    struct text amount = {0};
    struct record r;

    if (!record_read(book, NOUN_WISH, id, &r, err))
        return false;
    g = record_get(&r, "weight");
    m = record_get(&r, "length");
    if (m)
        text_add(&amount, m->words);
    if (g)
        text_addf(&amount, "%s%s", m ? " = " : "", g->words);
    *w = (struct project_wish){
        .id = id,
        .name = words_of(&r, "name"),
        .recipe = words_of(&r, "recipe"),
        .amount = amount.len ? text_take(&amount) : NULL,
        .skeins = words_of(&r, "skeins"),
        .like = words_of(&r, "like"),
        .g = middle(&r, "weight"),
    };
    record_clear(&r);
    tell_how(book, w);
    return project_expect(book, w, err);
}

static bool read_wishes(struct book *book, struct project *p, struct error *err)
{
    int64_t *ids;
    size_t n;
    bool ok = record_children(book, NOUN_WISH, "project", p->id, &ids, &n, err);

    p->wish = mem_new(ok ? n : 0, sizeof *p->wish);
    for (size_t i = 0; ok && i < n; i++)
        ok = read_wish(book, ids[i], &p->wish[p->wishes++], err);
    free(ids);
    return ok;
}

/* ---- steps ------------------------------------------------------------------
 */

/* Grams of all skeins named; NaN when one has none. */
static bool weigh_skeins(struct book *book, int64_t owner, const char *words,
                         double *g, struct error *err)
{
    int64_t *ids = NULL;
    size_t n = 0;
    bool ok = true;

    *g = (double)NAN;
    if (!words || !record_skeins(book, owner, words, &ids, &n, NULL, err)) {
        free(ids);
        return !words || err->kind == ERR_MISSING || err->kind == ERR_INPUT;
    }
    *g = 0;
    for (size_t i = 0; ok && i < n; i++) {
        struct record r;
        ok = record_read(book, NOUN_SKEIN, ids[i], &r, err);
        if (ok)
            *g += middle(&r, "weight");
        if (ok)
            record_clear(&r);
    }
    free(ids);
    return ok;
}

/* "mordant alum: 12 %": role, name and how much. */
static void read_dose(char *line, double fibre_g, struct project_dose *d)
{
    const struct amount_context ctx = {AMOUNT_G, false};
    char *name = strchr(line, ' '), *much;
    struct amount a;
    struct error none;
    double low, high;

    *d = (struct project_dose){.pct = (double)NAN, .g = (double)NAN};
    if (!name)
        name = line + strlen(line);
    else
        *name++ = '\0';
    much = strchr(name, ':');
    if (much)
        *much++ = '\0';
    d->role = mem_text(line);
    d->name = mem_text(parts_trim(name));
    d->words = mem_text(much ? parts_trim(much) : NULL);
    if (!much || !amount_read(d->words, ctx, &a, &none))
        return;
    if (amount_grams(&a, fibre_g, &low, &high))
        d->g = (low + high) / 2;
    if (amount_wof_pct(&a, fibre_g, &low, &high))
        d->pct = (low + high) / 2;
}

static void read_doses(const char *words, struct project_task *t)
{
    while (words && *words) {
        size_t n = strcspn(words, ";");
        char *one = mem_text_n(words, n);

        if (parts_said(one)) {
            t->dose = mem_room(t->dose, t->doses, sizeof *t->dose);
            read_dose(parts_trim(one), t->fibre_g, &t->dose[t->doses++]);
        }
        free(one);
        words += n + (words[n] == ';');
    }
}

static bool same_heat(const char *x, const char *y)
{
    struct temperature a, b;
    struct error none;

    return temperature_read(x, &a, &none) && temperature_read(y, &b, &none) &&
           a.known && b.known && a.low_c == b.low_c && a.high_c == b.high_c;
}

static bool same_time(const char *x, const char *y)
{
    struct minutes a, b;
    struct error none;

    return minutes_read(x, &a, &none) && minutes_read(y, &b, &none) &&
           a.known && b.known && a.low == b.low && a.high == b.high;
}

static void differ(struct text *out, const char *what, const char *done,
                   const char *planned,
                   bool (*same)(const char *, const char *))
{
    if (!done || text_same(done, planned) || (planned && same(done, planned)))
        return;
    text_addf(out, "%s%s %s, planned %s", out->len ? "; " : "", what, done,
              planned ? planned : "none");
}

/* As it was said, or as many grams. */
static bool same_dose(const struct sheet_dose *used,
                      const struct project_dose *planned)
{
    return text_same(used->words, planned->words) ||
           (fabs(used->low_g - planned->g) < 0.005 &&
            fabs(used->high_g - planned->g) < 0.005);
}

/* By any name that either has, or had. */
static bool same_material(struct book *book, const char *used,
                          const char *planned)
{
    struct error none;
    int64_t a, b;

    return text_same(used, planned) ||
           (record_find(book, NOUN_MATERIAL, used, &a, &none) &&
            record_find(book, NOUN_MATERIAL, planned, &b, &none) && a == b);
}

/* What was said of a step when it was done; r: what it became. A soak becomes
 * nothing and keeps it itself. */
static void take_note(struct project_task *t, const struct record *r)
{
    const struct record_field *note = record_get(r, "note");

    if (!note)
        return;
    free(t->note);
    t->note = mem_text(note->words);
}

/* What was put in otherwise than planned. */
static bool compare_doses(struct book *book, struct project_task *t,
                          struct text *out, struct error *err)
{
    struct sheet_doses used;
    bool ok = t->treatment_id
                  ? sheet_doses_of(book, t->treatment_id, &used, err)
                  : sheet_doses_of_bath(book, t->bath_id, &used, err);

    for (size_t i = 0; ok && i < t->doses; i++) {
        const struct project_dose *d = &t->dose[i];
        const struct sheet_dose *u = NULL;
        for (size_t k = 0; k < used.count; k++)
            if (same_material(book, used.dose[k].what, d->name))
                u = &used.dose[k];
        if (!u)
            text_addf(out, "%sno %s", out->len ? "; " : "", d->name);
        else if (!same_dose(u, d))
            text_addf(out, "%s%s %s, planned %s", out->len ? "; " : "", d->name,
                      u->words ? u->words : "of unknown weight",
                      d->words ? d->words : "unknown");
    }
    sheet_doses_clear(&used);
    return ok;
}

static bool compare(struct book *book, struct project_task *t,
                    struct error *err)
{
    struct record r;
    struct text out = {0};
    int64_t id = t->treatment_id, *ids = NULL;
    enum noun_id noun = NOUN_TREATMENT;
    size_t n = 0;
    bool ok = true;

    if (!strcmp(t->kind, "extract") && t->bath_id) {
        ok = record_children(book, NOUN_EXTRACTION, "bath", t->bath_id, &ids,
                             &n, err);
        id = n ? ids[0] : 0;
        noun = NOUN_EXTRACTION;
        free(ids);
    }
    if (!ok || !id)
        return ok;
    ok = (strcmp(t->kind, "dye") == 0 || compare_doses(book, t, &out, err)) &&
         record_read(book, noun, id, &r, err);
    if (ok) {
        const struct record_field *heat = record_get(&r, "temperature");
        const struct record_field *time = record_get(&r, "minutes");
        differ(&out, "heat", heat ? heat->words : NULL, t->heat, same_heat);
        if (strcmp(t->kind, "rinse") != 0)
            differ(&out, "time", time ? time->words : NULL, t->minutes,
                   same_time);
        take_note(t, &r);
        record_clear(&r);
    }
    t->differed = ok && out.len ? text_take(&out) : NULL;
    text_clear(&out);
    return ok;
}

static bool name_record(struct book *book, struct project_task *t,
                        struct error *err)
{
    struct text label = {0};
    bool ok = true;

    if (t->bath_id) {
        text_add(&label, "bath ");
        ok = record_label(book, NOUN_BATH, t->bath_id, &label, err);
    } else if (t->treatment_id) {
        text_add(&label, "treatment ");
        ok = record_label(book, NOUN_TREATMENT, t->treatment_id, &label, err);
    }
    t->record = ok && label.len ? text_take(&label) : NULL;
    text_clear(&label);
    return ok;
}

/* "jar in pot 2, burner 1": the number behind the word, 0 without it. */
static int place_of(const char *vessel, const char *word)
{
    const char *at = vessel ? strstr(vessel, word) : NULL;

    return at ? (int)strtol(at + strlen(word), NULL, 10) : 0;
}

static bool read_task(struct book *book, int64_t owner, int64_t id,
                      struct project_task *t, struct error *err)
{
    const struct record_field *bath, *treatment;
    char *doses;
    struct record r;
    bool ok;

    if (!record_read(book, NOUN_TASK, id, &r, err))
        return false;
    bath = record_get(&r, "bath");
    treatment = record_get(&r, "treatment");
    *t = (struct project_task){
        .id = id,
        .number = project_whole(&r, "number", 0),
        .kind = words_of(&r, "kind"),
        .name = words_of(&r, "name"),
        .skeins = words_of(&r, "skeins"),
        .water = words_of(&r, "volume"),
        .heat = words_of(&r, "temperature"),
        .minutes = words_of(&r, "minutes"),
        .source = words_of(&r, "source"),
        .liquor = words_of(&r, "liquor"),
        .vessel = words_of(&r, "vessel"),
        .after = words_of(&r, "after"),
        .round = project_whole(&r, "round", -1),
        .takes_min = project_whole(&r, "takes", 0),
        .attended_min = project_whole(&r, "attended", 0),
        .burner_min = project_whole(&r, "burner", 0),
        .in_pot_min = project_whole(&r, "in-pot", 0),
        .done = project_whole(&r, "done", 0) == 1,
        .done_on = day_of(&r, "done-on"),
        .note = words_of(&r, "note"),
        .bath_id = bath ? bath->ref_id : 0,
        .treatment_id = treatment ? treatment->ref_id : 0,
    };
    t->pot = place_of(t->vessel, "pot ");
    t->burner = place_of(t->vessel, "burner ");
    t->has_begin = moment_of(&r, "begins", &t->begins);
    doses = words_of(&r, "doses");
    record_clear(&r);
    ok = weigh_skeins(book, owner, t->skeins, &t->fibre_g, err);
    if (ok)
        read_doses(doses, t);
    free(doses);
    return ok && name_record(book, t, err) &&
           (!t->done || compare(book, t, err));
}

/* In the order of their beginnings, then of their numbers. */
static int by_time(const void *x, const void *y)
{
    const struct project_task *a = x, *b = y;
    int apart =
        a->has_begin && b->has_begin ? moment_between(b->begins, a->begins) : 0;

    return apart ? apart : a->number - b->number;
}

static bool read_tasks(struct book *book, int64_t owner, struct project *p,
                       struct error *err)
{
    int64_t *ids;
    size_t n;
    bool ok = project_tasks(book, p->id, &ids, &n, err), any = false;

    p->task = mem_new(ok ? n : 0, sizeof *p->task);
    for (size_t i = 0; ok && i < n; i++) {
        struct project_task *t = &p->task[p->tasks++];
        ok = read_task(book, owner, ids[i], t, err);
        p->done += ok && t->done;
        if (ok && t->has_begin) {
            struct moment end = moment_add(t->begins, t->takes_min);
            if (!any || moment_between(p->ends, end) > 0)
                p->ends = end;
            any = true;
        }
    }
    qsort(p->task, p->tasks, sizeof *p->task, by_time);
    free(ids);
    return ok;
}

/* ---- what to weigh --------------------------------------------------------
 */

/* All of a material that the cupboard has, as if dry. */
static bool look_in_cupboard(struct book *book, struct project_need *need,
                             struct error *err)
{
    int64_t material, *supply = NULL;
    struct error none;
    struct stmt q;
    size_t n = 0;
    bool row, ok;

    if (!record_find(book, NOUN_MATERIAL, need->name, &material, &none))
        return true;
    if (!stmt_begin(book, STMT_SUPPLIES_OF, &q, err))
        return false;
    stmt_int(&q, ":of", material);
    while ((ok = stmt_step(&q, &row, err)) && row) {
        supply = mem_room(supply, n, sizeof *supply);
        supply[n++] = stmt_get_int(&q, 0);
    }
    stmt_done(&q);
    for (size_t i = 0; ok && i < n; i++) {
        struct supply_left s;
        ok = supply_left(book, supply[i], &s, err);
        if (!ok)
            break;
        need->stocked = true;
        need->left_known = need->left_known && s.known;
        if (s.state && strcmp(s.state, "dry") != 0) {
            free(need->state);
            need->state = mem_text(s.state);
            s.left_g /= s.fresh_per_dry; /* NaN: how much dry is not known */
        }
        if (isnan(s.left_g))
            need->more = true;
        else
            need->left_g = s.left_g + (isnan(need->left_g) ? 0 : need->left_g);
        supply_left_clear(&s);
    }
    free(supply);
    return ok;
}

static struct project_need *need_of(struct project *p, const char *name)
{
    for (size_t i = 0; i < p->needs; i++)
        if (text_same(p->need[i].name, name))
            return &p->need[i];
    p->need = mem_room(p->need, p->needs, sizeof *p->need);
    p->need[p->needs] = (struct project_need){.name = mem_text(name),
                                              .left_g = (double)NAN,
                                              .left_known = true,
                                              .stock_ml = (double)NAN};
    return &p->need[p->needs++];
}

static bool reckon_needs(struct book *book, struct project *p,
                         struct error *err)
{
    bool ok = true;

    for (size_t i = 0; i < p->tasks; i++)
        for (size_t k = 0; !p->task[i].done && k < p->task[i].doses; k++) {
            const struct project_dose *d = &p->task[i].dose[k];
            struct project_need *need = need_of(p, d->name);
            need->g += d->g;
            if (isnan(d->g) || !scale_too_coarse(d->g, SCALE_G))
                continue;
            need->fine = true;
            if (strcmp(d->role, "dyestuff") != 0 && d->g < SOLVED_G &&
                !(need->stock_ml < stock_ml(d->g, 1)))
                need->stock_ml = stock_ml(d->g, 1);
        }
    for (size_t i = 0; ok && i < p->needs; i++) {
        struct project_need *need = &p->need[i];
        ok = look_in_cupboard(book, need, err);
        if (!need->stocked)
            need->short_g = need->g;
        else if (isnan(need->left_g))
            need->short_g = (double)NAN;
        else if (need->g > need->left_g)
            need->short_g = need->more ? (double)NAN : need->g - need->left_g;
    }
    return ok;
}

/* ---- the whole --------------------------------------------------------------
 */

static void read_means(const struct record *r, struct project *p)
{
    const struct record_field *pots = record_get(r, "pots");
    const struct record_field *pot = record_get(r, "pot");
    const struct record_field *burners = record_get(r, "burners");
    const struct record_field *metres = record_get(r, "metres");
    const struct record_field *hank = record_get(r, "hank");
    int jars = project_whole(r, "jars", 0), up = project_whole(r, "up", 0);
    int bed = project_whole(r, "to-bed", 1440);
    struct text t = {0};

    if (hank)
        text_addf(&t, "%s%s%s", hank->words, metres ? " = " : "",
                  metres ? metres->words : "");
    p->hank = t.len ? text_take(&t) : NULL;
    if (pots)
        text_addf(&t, "%s pot%s", pots->words,
                  strcmp(pots->words, "1") ? "s" : "");
    if (pots && pot)
        text_addf(&t, " of %s", pot->words);
    if (burners)
        text_addf(&t, ", %s burner%s", burners->words,
                  strcmp(burners->words, "1") ? "s" : "");
    if (jars)
        text_addf(&t, ", %d jars in a water bath", jars);
    p->pots = t.len ? text_take(&t) : NULL;
    text_addf(&t, "%02d:%02d to %02d:%02d", up / 60, up % 60, bed / 60,
              bed % 60);
    p->hours = text_take(&t);
}

/* Told of the times as they are now, and not kept. */
static void say_how_short(struct project *p)
{
    struct text t = {0};

    if (p->shortest || !p->has_soonest || p->done == p->tasks)
        return;
    text_addf(&t,
              "%sthe plan may not be the shortest: none ends more than %d min "
              "sooner\n",
              p->said ? p->said : "", moment_between(p->soonest, p->ends));
    free(p->said);
    p->said = text_take(&t);
}

bool project_read(struct book *book, int64_t id, struct project *out,
                  struct error *err)
{
    struct record r;
    int64_t owner;
    bool ok;

    *out = (struct project){.id = id};
    if (!record_read(book, NOUN_PROJECT, id, &r, err))
        return false;
    owner = r.owner_id;
    out->name = words_of(&r, "name");
    out->yarn = words_of(&r, "fibre");
    out->said = words_of(&r, "notes");
    out->has_ready = moment_of(&r, "ready", &out->ready);
    out->has_soonest = moment_of(&r, "soonest", &out->soonest);
    read_means(&r, out);
    record_clear(&r);
    ok = project_dyer(book, owner, out, err) && read_wishes(book, out, err) &&
         read_tasks(book, owner, out, err) &&
         project_extra(book, owner, out, err) && reckon_needs(book, out, err) &&
         project_beware(book, owner, out, err);
    project_say_whose(out);
    out->late = out->has_ready && out->tasks &&
                moment_between(out->ready, out->ends) > 0;
    out->shortest = out->has_soonest && out->tasks &&
                    moment_between(out->soonest, out->ends) <= 0;
    say_how_short(out);
    if (!ok)
        project_clear(out);
    return ok;
}

bool project_find(struct book *book, const char *words, int64_t *id,
                  struct error *err)
{
    struct stmt q;
    bool row;

    if (parts_said(words))
        return record_find(book, NOUN_PROJECT, words, id, err);
    if (!stmt_begin(book, STMT_PROJECT_OPEN, &q, err) ||
        !stmt_step(&q, &row, err))
        return false;
    *id = row ? stmt_get_int(&q, 0) : 0;
    stmt_done(&q);
    return row || error_set(err, ERR_MISSING, "there is no project yet");
}

static void task_clear(struct project_task *t)
{
    char *const owned[] = {t->kind,     t->name,    t->skeins,  t->water,
                           t->heat,     t->minutes, t->source,  t->liquor,
                           t->vessel,   t->after,   t->done_on, t->record,
                           t->differed, t->note};

    for (size_t i = 0; i < ARRAY_LEN(owned); i++)
        free(owned[i]);
    for (size_t i = 0; i < t->doses; i++) {
        free(t->dose[i].role);
        free(t->dose[i].name);
        free(t->dose[i].words);
    }
    free(t->dose);
}

void project_clear(struct project *p)
{
    for (size_t i = 0; i < p->wishes; i++) {
        struct project_wish *w = &p->wish[i];
        char *const owned[] = {w->name, w->recipe, w->amount, w->skeins,
                               w->like, w->by,     w->how};
        for (size_t k = 0; k < ARRAY_LEN(owned); k++)
            free(owned[k]);
    }
    for (size_t i = 0; i < p->tasks; i++)
        task_clear(&p->task[i]);
    for (size_t i = 0; i < p->needs; i++) {
        free(p->need[i].name);
        free(p->need[i].state);
    }
    free(p->wish);
    free(p->task);
    free(p->need);
    free(p->name);
    free(p->yarn);
    free(p->hank);
    free(p->pots);
    free(p->hours);
    free(p->dyer);
    free(p->said);
    text_clear(&p->caution);
    *p = (struct project){.id = 0};
}
