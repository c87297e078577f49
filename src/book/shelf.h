/* Private to the book: what the questions of book/ask.h share. */
#ifndef HANKLAB_BOOK_SHELF_H
#define HANKLAB_BOOK_SHELF_H

#include "book/ask.h"
#include "book/id_set.h"
#include "book/store.h"

/* The names of all materials, by rising id. */
struct names {
    int64_t *id;
    char **name;
    bool *none; /* "no mordant" */
    size_t count;
};

bool names_load(struct book *book, struct names *out, struct error *err);
void names_free(struct names *names);

/* ",3,17," as "alum + iron", in alphabetical order; "no mordant" only when it
 * stands alone. NULL for an empty set; release with free(). */
char *names_of_set(const struct names *names, const char *set);

/* Whether there is nothing but "no mordant" in a set. */
bool names_are_none(const struct names *names, const char *set);

/* Orders texts as a dyer would look for them: by their keys. */
int text_order(const char *a, const char *b);

/* Texts in order with a separator between them, each once; NULL for none. The
 * array is put in order; release the result with free(). */
char *texts_join(char **text, size_t count, const char *separator);

/* What many skeins share, each in words once it was met. */
struct lore {
    struct names names;
    struct id_map recipe, pot; /* places in the two */
    struct lore_recipe {
        char *last_dyestuffs, *dyestuffs, *under, *mordants, *dips;
        bool no_mordant, has_round;
        int64_t layers, round;
    } * recipes;
    struct lore_pot {
        char *on_words, *from, *to, *bath, *bath_name;
    } * pots;
};

bool lore_load(struct book *book, struct lore *out, struct error *err);
void lore_free(struct lore *lore); /* allowed on a zeroed one */

/* The words of a recipe, and of a pot as pack.h has it; borrowed until another
 * is asked for, NULL for an error. */
const struct lore_recipe *lore_recipe_of(struct book *book, struct lore *lore,
                                         int64_t id, struct error *err);
const struct lore_pot *lore_pot_of(struct book *book, struct lore *lore,
                                   int64_t pot, struct error *err);

/* ask_skein, with what is known already. */
bool shelf_skein(struct book *book, struct lore *lore, int64_t id,
                 const struct ask_filter *filter, struct ask_skein *out,
                 struct error *err);

/* What it takes to be read. */
struct shelf_if {
    const struct id_set *recipe; /* made by one of these; NULL: by any */
    struct lab lab;              /* goes by just this colour */
};

/* The same of one that is not withdrawn and passes the rest too; *fits false
 * when it does not, and nothing is read. */
bool shelf_skein_if(struct book *book, struct lore *lore, int64_t id,
                    const struct ask_filter *filter, const struct shelf_if *as,
                    struct ask_skein *out, bool *fits, struct error *err);

/* A reading that many are held against, and those on its photos: of others,
 * only one of the same day can be of its set-up. */
struct setup {
    const struct ask_reading *of; /* borrowed */
    struct id_map same_photo;
};

bool setup_load(struct book *book, const struct ask_reading *of,
                struct setup *out, struct error *err);

/* ask_same_setup, which is asked only where it may be. */
bool setup_is_same(struct book *book, const struct setup *setup,
                   const struct ask_reading *other, bool *same,
                   struct error *err);
void setup_clear(struct setup *setup); /* allowed on a zeroed one */

/* The colour a skein had after one entry of its life (0: before any); *lack
 * says why there is none. Steps later than that one are not looked at, so
 * ASK_EARLIER means: not read after that step. */
bool shelf_reading(struct book *book, int64_t skein, int64_t entry,
                   const struct ask_filter *filter, struct ask_reading *out,
                   enum ask_lack *lack, struct error *err);

/* The same after its last step. */
bool shelf_reading_now(struct book *book, int64_t skein,
                       const struct ask_filter *filter, struct ask_reading *out,
                       enum ask_lack *lack, struct error *err);

/* The present row of STMT_ASK_READINGS, or of one that begins as that does. */
void shelf_take(struct stmt *q, struct ask_reading *out);

/* Makes the sums of n readings' covariances those of their mean: what is each
 * one's own shrinks with n, what they share does not. */
void shelf_mean_uncertainty(size_t n, struct colour_reading *sum);

/* Mean of n readings' colours, with its uncertainty. */
struct colour_reading shelf_mean(const struct ask_reading *const *readings,
                                 size_t n, double *spread);

#endif
