/* Private to the book: what a filter lets through, found before any skein is
 * looked at. */
#ifndef HANKLAB_BOOK_SIEVE_H
#define HANKLAB_BOOK_SIEVE_H

#include "book/ask.h"
#include "book/id_set.h"
#include "book/store.h"

/* Recipes, pots and sets of skeins, each from its own side. */
struct sieve {
    bool by_recipe, by_pot;
    struct id_set recipe, pot; /* that pass, when asked for */
    /* How many skeins have come to these recipes, by what they lack of the
     * colour that the shelf keeps; all there are when it is not asked for. */
    size_t by_lack[ASK_LACKS];
    bool dyed; /* a pot only as that of a dye */
    struct sieve_set {
        struct id_map skein; /* with the step by which each came in */
        bool without;        /* those that are not in it pass */
    } * set;
    size_t sets;
    int64_t owner; /* or 0 */
};

bool sieve_make(struct book *book, const struct ask_filter *filter,
                struct sieve *out, struct error *err);
void sieve_clear(struct sieve *sieve); /* allowed on a zeroed one */

/* Whether a pot passes, as pack.h has it. */
bool sieve_pot(const struct sieve *sieve, int64_t pot);

/* Whether a skein is in each of the sets. */
bool sieve_skein(const struct sieve *sieve, int64_t skein);

#endif
