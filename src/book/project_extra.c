/* Skeins of a project that are of none of its colours: tests, and what goes
 * into a round that has to come before a wanted one. See project_work.h. */
#include "book/project_work.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "dye/amount.h"

/* Of the ids those that none of the words names; words that name a skein that
 * is there no longer name none. */
static size_t without(struct book *book, int64_t owner, const char *words,
                      int64_t *ids, size_t n)
{
    struct error none;
    int64_t *of = NULL;
    size_t count = 0, left = 0;

    if (!words || !record_skeins(book, owner, words, &of, &count, NULL, &none))
        return n;
    for (size_t i = 0; i < n; i++) {
        bool found = false;
        for (size_t k = 0; k < count; k++)
            found = found || of[k] == ids[i];
        if (!found)
            ids[left++] = ids[i];
    }
    free(of);
    return left;
}

static bool weigh(struct book *book, int64_t skein, double *g,
                  struct error *err)
{
    const struct record_field *f;
    struct record r;

    if (!record_read(book, NOUN_SKEIN, skein, &r, err))
        return false;
    f = record_get(&r, "weight");
    *g += f ? (f->low + f->high) / 2 : (double)NAN;
    record_clear(&r);
    return true;
}

/* All skeins of a project are soaked. */
static const char *all_skeins(const struct project *p)
{
    for (size_t i = 0; i < p->tasks; i++)
        if (!strcmp(p->task[i].kind, "soak"))
            return p->task[i].skeins;
    return NULL;
}

bool project_extra(struct book *book, int64_t owner, struct project *p,
                   struct error *err)
{
    const char *all = all_skeins(p);
    struct error none;
    int64_t *ids = NULL;
    size_t n = 0;
    bool ok = true;

    if (!all || !record_skeins(book, owner, all, &ids, &n, NULL, &none))
        return true;
    for (size_t i = 0; i < p->wishes; i++)
        n = without(book, owner, p->wish[i].skeins, ids, n);
    for (size_t i = 0; ok && i < n; i++)
        ok = weigh(book, ids[i], &p->extra_g, err);
    p->extras = n;
    free(ids);
    return ok;
}

void project_extra_words(const struct project *p, struct text *out)
{
    if (!p->extras)
        return;
    text_addf(out, " and %zu test skein%s (", p->extras,
              p->extras == 1 ? "" : "s");
    amount_add_grams(out, p->extra_g, p->extra_g);
    text_add(out, ")");
}
