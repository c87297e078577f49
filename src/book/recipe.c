/* How a skein shall be dyed, from words or from a skein that was. See
 * project_work.h. */
#include "book/project_work.h"

#include <assert.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "base/parts.h"
#include "book/field.h"
#include "book/sheet.h"
#include "dye/amount.h"
#include "dye/dose.h"

const char *recipe_own(struct recipe *recipe, const char *text)
{
    assert(recipe->owns < ARRAY_LEN(recipe->owned));
    return recipe->owned[recipe->owns++] = mem_text(text);
}

void recipe_clear(struct recipe *recipe)
{
    for (size_t i = 0; i < recipe->owns; i++)
        free(recipe->owned[i]);
    free(recipe->on);
    free(recipe->note);
    *recipe = (struct recipe){.like = 0};
}

static const char *const roles[] = {"dyestuff", "mordant", "assist", "dip"};

static struct plan_doses *doses_of(struct plan_skein *s, size_t role)
{
    struct plan_doses *const doses[] = {&s->dyestuffs, &s->mordants,
                                        &s->assists, &s->dips};

    return doses[role];
}

static bool add_dose(struct recipe *r, size_t role, const char *name,
                     double pct, struct error *err)
{
    struct plan_doses *d = doses_of(&r->plan, role);

    if (d->count == PLAN_DOSES)
        return error_set(err, ERR_LIMIT, "%s: at most %d for one skein",
                         roles[role], PLAN_DOSES);
    d->dose[d->count++] = (struct plan_dose){recipe_own(r, name), pct};
    return true;
}

/* ---- from words -------------------------------------------------------------
 */

/* The name that the book has for it, else the typed one. */
static bool book_name(struct book *book, const char *name, struct text *out,
                      struct error *err)
{
    struct error none;
    int64_t id;

    if (record_find(book, NOUN_MATERIAL, name, &id, &none))
        return record_label(book, NOUN_MATERIAL, id, out, err);
    text_add(out, name);
    return true;
}

/* A plan has one weight of a stuff, the dry one. ERR_INPUT, always false. */
static bool not_dry(const char *name, struct error *err)
{
    return error_set(err, ERR_INPUT,
                     "a plan weighs %s dry: say how much that is when it is "
                     "dry (\"hanklab reckon\" turns fresh into dry)",
                     name);
}

static bool read_pct(const char *role, const char *name, const char *amount,
                     double *pct, struct error *err)
{
    const struct amount_context ctx = {AMOUNT_COUNT, false};
    struct amount a;
    double low, high;

    *pct = (double)NAN;
    if (!amount)
        return true;
    if (!amount_read(amount, ctx, &a, err))
        return false;
    if (a.state != AMOUNT_AS_SAID && a.state != AMOUNT_DRIED)
        return not_dry(name, err);
    if ((a.unit != AMOUNT_WOF_PCT && a.unit != AMOUNT_PER_FIBRE) ||
        !amount_wof_pct(&a, (double)NAN, &low, &high))
        return error_set(err, ERR_INPUT,
                         "%s: a plan needs \"%s: %s\" as a part of the fibre, "
                         "such as \"%s: 12 %%\" or \"2:1\"",
                         role, name, amount, name);
    *pct = (low + high) / 2;
    return true;
}

static bool read_dose(struct book *book, struct recipe *r, size_t role,
                      const char *words, struct error *err)
{
    char *said = mem_text(words), *name, *amount;
    struct text called = {0};
    double pct;
    bool ok = true;

    if (!text_same(said, "none"))
        ok = dose_split(said, roles[role], NULL, NULL, &name, &amount, err) &&
             read_pct(roles[role], name, amount, &pct, err) &&
             book_name(book, name, &called, err) &&
             add_dose(r, role, text_str(&called), pct, err);
    text_clear(&called);
    free(said);
    return ok;
}

static bool read_round(struct book *book, const char *words, int *round,
                       struct error *err)
{
    struct cells *cells = mem_new(1, sizeof *cells);
    bool ok = field_read(book, noun_field(&nouns[NOUN_TREATMENT], "round"),
                         words, cells, NULL, err);

    if (ok)
        *round = (int)cells_get(cells, "round")->whole;
    cells_clear(cells);
    free(cells);
    return ok;
}

struct said {
    bool role[ARRAY_LEN(roles)], round;
};

static bool read_part(struct book *book, struct recipe *r, const char *key,
                      const char *value, struct said *said, struct error *err)
{
    for (size_t i = 0; i < ARRAY_LEN(roles); i++)
        if (text_same(key, roles[i])) {
            said->role[i] = true;
            return read_dose(book, r, i, value, err);
        }
    if (text_same(key, "round")) {
        said->round = true;
        return read_round(book, value, &r->plan.round, err);
    }
    if (text_same(key, "like"))
        return record_find(book, NOUN_SKEIN, value, &r->like, err);
    if (text_same(key, "on") || text_same(key, "note")) {
        char **to = text_same(key, "on") ? &r->on : &r->note;
        free(*to);
        *to = mem_text(value);
        return true;
    }
    return error_set(err, ERR_INPUT,
                     "there is no \"%s\": say dyestuff, mordant, assist, dip, "
                     "round, like, on or note",
                     key);
}

/* ---- from a skein ---------------------------------------------------------
 */

static size_t role_of(const struct sheet_dose *d, const char *kind)
{
    if (!strcmp(kind, "dip"))
        return 3;
    for (size_t i = 0; i < 3; i++)
        if (!strcmp(d->role, roles[i]))
            return i;
    return SIZE_MAX;
}

static bool take_doses(struct recipe *r, const struct sheet_step *s,
                       const char *kind, const struct said *said,
                       struct text *aside, struct error *err)
{
    bool ok = true;

    for (size_t i = 0; ok && i < s->doses.count; i++) {
        const struct sheet_dose *d = &s->doses.dose[i];
        size_t role = role_of(d, kind);
        if (d->none)
            continue;
        if (role == SIZE_MAX) {
            text_addf(aside,
                      "skein %s had %s%s%s as well, which is not "
                      "planned: put it in at the pot\n",
                      s->event.skein, d->what, d->words ? ": " : "",
                      d->words ? d->words : "");
            continue;
        }
        if (said->role[role])
            continue;
        ok = (d->state && strcmp(d->state, "dry") != 0)
                 ? not_dry(d->what, err)
                 : add_dose(r, role, d->what, (d->low_pct + d->high_pct) / 2,
                            err);
    }
    return ok;
}

static bool take_step(struct recipe *r, const struct sheet_step *s,
                      const struct said *said, bool *dyed, struct text *aside,
                      struct error *err)
{
    const struct record_field *f = record_get(&s->treatment, "kind");
    const char *kind = f ? f->words : "";

    if (!strcmp(kind, "vat") || (!strcmp(kind, "dye") && *dyed))
        return error_set(err, ERR_INPUT,
                         "skein %s was dyed %s: such a way is not planned; say "
                         "dyestuff and mordant in words",
                         s->event.skein, *dyed ? "more than once" : "in a vat");
    if (strcmp(kind, "dye") != 0 && strcmp(kind, "mordant") != 0 &&
        strcmp(kind, "dip") != 0)
        return true;
    if (!strcmp(kind, "dye")) {
        *dyed = true;
        if (!said->round && s->event.has_round)
            r->plan.round = (int)s->event.round;
    }
    return take_doses(r, s, kind, said, aside, err);
}

static bool take_like(struct book *book, struct recipe *r,
                      const struct said *said, struct text *aside,
                      struct error *err)
{
    struct skein_sheet sheet;
    bool dyed = false, ok = true;

    if (!sheet_of_skein(book, r->like, &sheet, err))
        return false;
    for (size_t i = 0; ok && i < sheet.steps; i++)
        if (sheet.step[i].event.kind == LIFE_STEP)
            ok = take_step(r, &sheet.step[i], said, &dyed, aside, err);
    if (ok && !dyed && !said->role[0])
        ok = error_set(err, ERR_INPUT,
                       "skein %s was not dyed: there is no recipe to follow",
                       sheet.now.label);
    skein_sheet_clear(&sheet);
    return ok;
}

bool recipe_read(struct book *book, const char *words, struct recipe *out,
                 struct text *aside, struct error *err)
{
    struct said said = {.round = false};
    struct parts p;
    bool ok = true;

    *out = (struct recipe){.like = 0};
    if (!parts_read(words, "recipe", NULL, &p, err))
        return false;
    if (p.first)
        ok = error_set(err, ERR_INPUT,
                       "\"%s\" does not say what it is: dyestuff=%s, "
                       "mordant=%s ...",
                       p.first, p.first, p.first);
    for (size_t i = 0; ok && i < p.count; i++)
        ok = read_part(book, out, p.key[i], p.value[i], &said, err);
    ok = ok && (!out->like || take_like(book, out, &said, aside, err));
    free(p.bytes);
    if (!ok)
        recipe_clear(out);
    return ok;
}

void recipe_words(const struct plan_skein *plan, struct text *out)
{
    struct plan_skein s = *plan;

    for (size_t role = 0; role < ARRAY_LEN(roles); role++) {
        const struct plan_doses *d = doses_of(&s, role);
        for (size_t i = 0; i < d->count; i++) {
            text_addf(out, "%s%s=%s", out->len ? "; " : "", roles[role],
                      d->dose[i].name);
            if (isnan(d->dose[i].pct))
                continue;
            text_add(out, ": ");
            text_add_real(out, d->dose[i].pct, 2);
            text_add(out, " %");
        }
    }
    if (s.round == 0)
        text_add(out, "; round=first");
    else
        text_addf(out, "; round=exhaust %d", s.round);
}
