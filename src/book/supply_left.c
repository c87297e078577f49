/* What is left in the cupboard. See supply_left.h. */
#include "book/supply_left.h"

#include <math.h>
#include <stdlib.h>

#include "base/mem.h"
#include "book/sheet_part.h"

bool supply_left(struct book *book, int64_t supply, struct supply_left *out,
                 struct error *err)
{
    struct record r;
    struct sheet_doses used;
    const struct record_field *had, *state, *fresh;
    bool ok;

    *out = (struct supply_left){.left_g = (double)NAN, .known = true};
    if (!record_read(book, NOUN_SUPPLY, supply, &r, err))
        return false;
    had = record_get(&r, "amount");
    state = record_get(&r, "state");
    fresh = record_get(&r, "fresh-per-dry");
    out->left_g = had ? had->high : (double)NAN;
    out->state = mem_text(state ? state->words : NULL);
    out->fresh_per_dry = fresh ? fresh->low : (double)NAN;
    ok = sheet_doses_of_supply(book, supply, &used, err);
    for (size_t i = 0; ok && i < used.count; i++) {
        const struct sheet_dose *d = &used.dose[i];

        if (isnan(d->low_g) || !text_same(d->state, out->state))
            out->known = false;
        else
            out->left_g -= d->low_g;
    }
    record_clear(&r);
    sheet_doses_clear(&used);
    if (isnan(out->left_g))
        out->known = false;
    out->over_g = fmax(0, -out->left_g); /* 0 of NaN */
    if (out->over_g > 0)
        out->left_g = 0;
    return ok;
}

void supply_left_clear(struct supply_left *left)
{
    free(left->state);
    *left = (struct supply_left){.left_g = (double)NAN};
}
