/* What a skein of a plan takes: told, compared, refused. See dye/plan.h. */
#include "dye/plan_work.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "dye/substance.h"

static bool same_pct(double x, double y)
{
    return (isnan(x) && isnan(y)) || fabs(x - y) < 0.005;
}

bool plan_dose_same(const struct plan_dose *x, const struct plan_dose *y)
{
    return text_same(x->name, y->name) && same_pct(x->pct, y->pct);
}

bool plan_doses_same(const struct plan_doses *x, const struct plan_doses *y)
{
    if (x->count != y->count)
        return false;
    for (size_t i = 0; i < x->count; i++)
        if (!plan_dose_same(&x->dose[i], &y->dose[i]))
            return false;
    return true;
}

/* Whether all that `some` says is so of `all`, which says every strength. */
static bool says_less(const struct plan_doses *some,
                      const struct plan_doses *all)
{
    if (some->count != all->count)
        return false;
    for (size_t i = 0; i < all->count; i++)
        if (isnan(all->dose[i].pct) ||
            !text_same(some->dose[i].name, all->dose[i].name) ||
            !(isnan(some->dose[i].pct) ||
              plan_dose_same(&some->dose[i], &all->dose[i])))
            return false;
    return true;
}

/* Nothing new goes into an exhaust, so that its dyer need not say how much. */
void plan_join_later_rounds(struct plan *p)
{
    for (size_t i = 0; i < p->skeins; i++) {
        struct plan_doses *d = &p->skein[i].dyestuffs;
        const struct plan_doses *join = NULL;
        bool other = false;
        if (p->skein[i].round == 0)
            continue;
        for (size_t k = 0; k < p->skeins; k++) {
            const struct plan_doses *o = &p->skein[k].dyestuffs;
            if (k == i || !says_less(d, o))
                continue;
            other = other || (join && !plan_doses_same(join, o));
            join = join ? join : o;
        }
        if (!join || plan_doses_same(d, join))
            continue;
        *d = *join;
        if (!other)
            continue;
        plan_doses_names(d, &p->notes);
        text_addf(&p->notes, ", exhaust %d, without an amount: taken for ",
                  p->skein[i].round);
        plan_doses_words(d, &p->notes);
        text_add(&p->notes, ", which was said first\n");
    }
}

static bool goes_before(const struct plan_dose *a, const struct plan_dose *b)
{
    char *x = text_fold(a->name), *y = text_fold(b->name);
    int order = strcmp(x, y);

    free(x);
    free(y);
    return order < 0 || (order == 0 && a->pct < b->pct);
}

void plan_doses_sort(struct plan_doses *d)
{
    for (size_t i = 1; i < d->count; i++)
        for (size_t k = i; k && goes_before(&d->dose[k], &d->dose[k - 1]);
             k--) {
            struct plan_dose swap = d->dose[k];
            d->dose[k] = d->dose[k - 1];
            d->dose[k - 1] = swap;
        }
}

void plan_doses_sadden_last(struct plan_doses *d)
{
    struct plan_doses sorted = {.count = 0};

    for (int saddens = 0; saddens < 2; saddens++)
        for (size_t i = 0; i < d->count; i++)
            if (substance_saddens(d->dose[i].name) == saddens)
                sorted.dose[sorted.count++] = d->dose[i];
    *d = sorted;
}

bool plan_doses_sadden(const struct plan_doses *d)
{
    for (size_t i = 0; i < d->count; i++)
        if (substance_saddens(d->dose[i].name))
            return true;
    return false;
}

bool plan_doses_may_be(const struct plan_doses *d, struct error *err)
{
    for (size_t i = 0; i < d->count; i++) {
        const char *name = d->dose[i].name, *way = substance_other_way(name);
        if (way || substance_record_only(name, NULL))
            return error_set(err, ERR_INPUT, "%s %s, and never planned", name,
                             way ? way : "is recorded where it was used");
    }
    return true;
}

void plan_doses_words(const struct plan_doses *d, struct text *out)
{
    for (size_t i = 0; i < d->count; i++) {
        text_addf(out, "%s%s", i ? " + " : "", d->dose[i].name);
        if (isnan(d->dose[i].pct))
            continue;
        text_add(out, " ");
        text_add_real(out, d->dose[i].pct, 1);
        text_add(out, " %");
    }
}

void plan_doses_names(const struct plan_doses *d, struct text *out)
{
    for (size_t i = 0; i < d->count; i++)
        text_addf(out, "%s%s", i ? " + " : "", d->dose[i].name);
}
