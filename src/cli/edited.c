/* What another weight of a skein does to what was weighed for it. See noun.h.
 */
#include "cli/noun.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "book/sheet.h"
#include "dye/amount.h"

struct cli_weighed {
    struct skein_sheet *sheet;
    const int64_t *id;
    size_t count;
};

static bool read_sheets(struct cli *cli, const int64_t *id, size_t count,
                        struct cli_weighed *out, struct error *err)
{
    *out = (struct cli_weighed){mem_new(count, sizeof *out->sheet), id, 0};
    for (; out->count < count; out->count++)
        if (!sheet_of_skein(cli->book, id[out->count], &out->sheet[out->count],
                            err))
            return false;
    return true;
}

static void clear(struct cli_weighed *w)
{
    for (size_t i = 0; i < w->count; i++)
        skein_sheet_clear(&w->sheet[i]);
    free(w->sheet);
    *w = (struct cli_weighed){0};
}

bool cli_weighed_before(struct cli *cli, const int64_t *id, size_t count,
                        struct cli_weighed **out, struct error *err)
{
    *out = mem_new(1, sizeof **out);
    return read_sheets(cli, id, count, *out, err);
}

void cli_weighed_free(struct cli_weighed *w)
{
    if (!w)
        return;
    clear(w);
    free(w);
}

static bool differs(double x, double y)
{
    return isnan(x) != isnan(y) || fabs(x - y) > 1e-9 * fabs(x);
}

static void add_pct(double pct, const char *of, struct text *out)
{
    if (isnan(pct)) {
        text_add(out, "not known");
        return;
    }
    text_add_real(out, pct, 1);
    text_addf(out, " %%%s", of);
}

/* "alum, 12 %: 3 g now, 2.4 g before", "weld, 100 g: as weighed; 400 % of the
 * fibre now, 500 % before" */
static void tell_dose(const struct sheet_dose *was, const struct sheet_dose *is,
                      struct text *out)
{
    const bool weighed = !differs(was->low_g, is->low_g);

    if (weighed && (isnan(is->low_g) || !differs(was->low_pct, is->low_pct)))
        return;
    text_addf(out, "%s, %s: ", is->what, is->words);
    if (weighed) {
        text_add(out, "as weighed; ");
        add_pct(is->low_pct, " of the fibre", out);
        text_add(out, " now, ");
        add_pct(was->low_pct, "", out);
        text_add(out, " before\n");
        return;
    }
    amount_add_grams(out, is->low_g, is->high_g);
    text_add(out, " now, ");
    amount_add_grams(out, was->low_g, was->high_g);
    text_add(out, " before\n");
}

/* Several skeins of one pot have the same doses. */
static bool is_told(int64_t **told, size_t *n, int64_t dose)
{
    for (size_t i = 0; i < *n; i++)
        if ((*told)[i] == dose)
            return true;
    *told = mem_resize(*told, *n + 1, sizeof **told);
    (*told)[(*n)++] = dose;
    return false;
}

bool cli_weighed_tell(struct cli *cli, const struct cli_weighed *before,
                      struct text *out, struct error *err)
{
    struct cli_weighed now;
    int64_t *told = NULL;
    size_t n = 0;
    bool ok = read_sheets(cli, before->id, before->count, &now, err);

    for (size_t i = 0; ok && i < now.count; i++) {
        const struct skein_sheet *was = &before->sheet[i];
        for (size_t k = 0; k < now.sheet[i].steps && k < was->steps; k++) {
            const struct sheet_doses *is = &now.sheet[i].step[k].doses;
            const struct sheet_doses *old = &was->step[k].doses;
            /* Another hand may have been in the book meanwhile. */
            for (size_t d = 0; d < is->count && d < old->count; d++)
                if (is->dose[d].words && is->dose[d].id == old->dose[d].id &&
                    !is_told(&told, &n, is->dose[d].id))
                    tell_dose(&old->dose[d], &is->dose[d], out);
        }
    }
    free(told);
    clear(&now);
    return ok;
}
