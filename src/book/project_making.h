/* Private to the book: a project while it is being made. */
#ifndef HANKLAB_BOOK_PROJECT_MAKING_H
#define HANKLAB_BOOK_PROJECT_MAKING_H

#include "book/project_work.h"

/* A wish, and the skeins that it becomes. */
struct wanted {
    char *name, *amount; /* amount NULL: of skeins in the book */
    struct recipe recipe;
    double g, m;  /* of each skein; m NaN: not known */
    size_t count; /* skeins */
    int64_t *ids; /* of those in the book; NULL: new ones */
};

/* A skein that a project still has to dye. */
struct planned {
    int64_t skein, project;
};

/* What is being made; texts of the plan's skeins are in wanted and extra. */
struct making {
    struct book *book;
    const struct project_words *words;
    struct plan_ways ways;
    double hank_g, hank_m, m_per_g; /* NaN: not known */
    struct wanted *wanted;
    size_t wishes;
    struct plan_skein skein[PLAN_SKEINS];
    size_t of_wish[PLAN_SKEINS]; /* SIZE_MAX: a test */
    int64_t id[PLAN_SKEINS];     /* in the book, 0: new */
    size_t skeins;
    char *owned[PLAN_SKEINS * PLAN_DOSES]; /* names of spares' mordants */
    size_t owns;
    struct planned *planned; /* what other projects are to dye */
    size_t planneds;
    struct habits habits;
    struct plan plan;
    struct moment now, ready;
    bool late;
    struct text said; /* a line each */
    struct text *echo;
    int64_t project;
};

/* Reads the hank and what the book knows of the yarn, and the wishes.
 * src/book/project_wish.c */
bool making_read(struct making *k, struct error *err);

/* Reads what other projects are to dye. src/book/project_spare.c, as the next
 * two. */
bool making_read_planned(struct making *k, struct error *err);

/* Sets the weight and the mordants of a skein of the book that shall take that
 * colour; says where it is other than what is wanted.
 *
 * err  ERR_INPUT  dyed already, or not weighed, mordanted with something else,
 *                 or another plan's
 */
bool making_take_spare(struct making *k, int64_t id, struct plan_skein *skein,
                       const char *wish, struct error *err);

/* A mordanted skein of the cupboard that would do; 0: none. What is not
 * recorded of it is no hindrance. */
bool making_find_spare(struct making *k, const struct plan_skein *skein,
                       int64_t *id, struct error *err);

/* The rounds behind the last that a first plan found become skeins like the
 * others, spare ones where there are some; then it is planned again. */
bool making_add_tests(struct making *k, struct error *err);

#endif
