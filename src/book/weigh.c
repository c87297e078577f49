/* How much dyestuff a dye had for its fibre. See weigh.h. */
#include "book/weigh.h"

#include <math.h>
#include <string.h>

#include "dye/amount.h"

static bool was_poured(struct book *book, int64_t treatment, bool *poured,
                       struct error *err)
{
    struct stmt q;

    if (!stmt_begin(book, STMT_ASK_POURED, &q, err))
        return false;
    stmt_int(&q, ":treatment", treatment);
    if (!stmt_step(&q, poured, err))
        return false;
    stmt_done(&q);
    return true;
}

static enum amount_unit unit_of(const char *s)
{
    if (!s)
        return AMOUNT_NONE;
    return !strcmp(s, "g")           ? AMOUNT_G
           : !strcmp(s, "ml")        ? AMOUNT_ML
           : !strcmp(s, "wof_pct")   ? AMOUNT_WOF_PCT
           : !strcmp(s, "per_fibre") ? AMOUNT_PER_FIBRE
                                     : AMOUNT_NONE;
}

/* Adds up the dyestuff doses, each on the fibre it was weighed for. */
bool weigh_dyestuff(struct book *book, int64_t treatment, struct ask_range *out,
                    struct error *err)
{
    struct stmt q;
    bool row, ok, poured = false, any = false;

    *out = (struct ask_range){(double)NAN, (double)NAN};
    if (!treatment)
        return true;
    if (!was_poured(book, treatment, &poured, err) ||
        !stmt_begin(book, STMT_ASK_DYESTUFF, &q, err))
        return false;
    stmt_int(&q, ":treatment", treatment);
    *out = (struct ask_range){0, 0};
    while ((ok = stmt_step(&q, &row, err)) && row) {
        struct amount a = {.unit = unit_of(stmt_get_text(&q, 0)),
                           .low = stmt_get_real(&q, 1),
                           .high = stmt_get_real(&q, 2)};
        double low = (double)NAN, high = (double)NAN;
        if (!amount_wof_pct(&a, stmt_get_real(&q, 3), &low, &high))
            low = high = (double)NAN;
        out->low += low;
        out->high += high;
        any = true;
    }
    stmt_done(&q);
    if (!any || poured)
        *out = (struct ask_range){(double)NAN, (double)NAN};
    return ok;
}
