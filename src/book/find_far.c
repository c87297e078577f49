/* An area of colours, and what is said when nothing is near. See book/ask.h. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "book/ask.h"

/* ---- an area ---------------------------------------------------------------
 */

/* "10..30", from the lower end to the upper. */
static bool read_ends(const char *s, double *low, double *high)
{
    const char *dots = strstr(s, "..");
    char *first;
    bool ok;

    if (!dots)
        return false;
    first = mem_text_n(s, (size_t)(dots - s));
    ok = text_real(first, low) && text_real(dots + 2, high) && *low <= *high;
    free(first);
    return ok;
}

bool find_area_read(const char *words, struct find_area *out, struct error *err)
{
    double low[3] = {0}, high[3] = {0};
    char *all = mem_text(words), *part = all;
    size_t n = 0;
    bool ok = true;

    for (; ok && part && n < 3; n++) {
        char *comma = strchr(part, ',');
        if (comma)
            *comma++ = '\0';
        ok = read_ends(part, &low[n], &high[n]);
        part = comma;
    }
    free(all);
    if (!ok || part || n < 2)
        return error_set(err, ERR_INPUT,
                         "\"%s\" is no area: write a* and b*, such as "
                         "10..30,20..40, and L* as well if it matters, "
                         "10..30,20..40,50..70",
                         words);
    *out = (struct find_area){.L_low = n == 3 ? low[2] : -(double)INFINITY,
                              .L_high = n == 3 ? high[2] : (double)INFINITY,
                              .a_low = low[0],
                              .a_high = high[0],
                              .b_low = low[1],
                              .b_high = high[1]};
    return true;
}

void find_area_words(const struct find_area *at, struct text *out)
{
    text_addf(out, "a* %g to %g, b* %g to %g", at->a_low, at->a_high, at->b_low,
              at->b_high);
    if (isfinite(at->L_low))
        text_addf(out, ", L* %g to %g", at->L_low, at->L_high);
}

/* ---- nothing is near -------------------------------------------------------
 */

/* The nearest, where none is what was asked for. */
static const struct find_row *nearest_of(const struct find_request *request,
                                         const struct find_answer *a)
{
    if (a->has_near)
        return &a->near;
    return request->has_target && a->count &&
                   a->row[0].skein.lack == ASK_HAS_COLOUR &&
                   a->row[0].compared.verdict == VERDICT_DIFFERENT
               ? &a->row[0]
               : NULL;
}

bool ask_find_far(struct book *book, const struct find_request *request,
                  const struct find_answer *answer, struct find_far *out,
                  struct error *err)
{
    struct match_request q = {
        .filter = request->filter, .tolerance = request->tolerance, .limit = 1};

    *out = (struct find_far){.nearest = nearest_of(request, answer)};
    if (!out->nearest)
        return true;
    out->is = true;
    out->match = mem_new(1, sizeof *out->match);
    q.target = out->nearest->target;
    if (!ask_match(book, &q, out->match, err)) {
        free(out->match);
        *out = (struct find_far){0};
        return false;
    }
    out->leads = out->match->count && out->match->row[0].reckoned &&
                 out->match->row[0].de00 < out->nearest->de00;
    return true;
}

void find_far_clear(struct find_far *far)
{
    if (far->match)
        match_answer_clear(far->match);
    free(far->match);
    *far = (struct find_far){0};
}

void find_far_words(const struct find_far *far, struct text *out)
{
    const struct find_row *row = far->nearest;
    const struct lab c = row->skein.reading.colour.lab;
    char differs[80];

    difference_words(row->target, c, differs, sizeof differs);
    text_addf(out, "nearest is skein %s, %s: %.1f off, at most %.1f",
              row->skein.label, row->name->name, row->de00, row->at_most);
    if (*differs)
        text_addf(out, "; it is %s", differs);
}

void find_lead_words(const struct find_far *far, struct text *out)
{
    const struct match_row *row = far->leads ? &far->match->row[0] : NULL;

    if (row)
        text_addf(out,
                  "%s on %s, %.3g %% of the fibre, would come nearer, as "
                  "reckoned: %.1f off",
                  row->skein.last_dyestuffs,
                  row->skein.mordants ? row->skein.mordants
                                      : "an unknown mordant",
                  row->aim.wof_pct, row->de00);
    else
        text_add(out, "no weight of a dyestuff that can be reckoned comes "
                      "nearer");
}
