/* Private to the book: what src/book/project*.c share. */
#ifndef HANKLAB_BOOK_PROJECT_WORK_H
#define HANKLAB_BOOK_PROJECT_WORK_H

#include "book/project.h"
#include "book/record.h"
#include "book/store.h"
#include "dye/plan.h"

/* How a skein shall be dyed; what plan points to is in owned. */
struct recipe {
    struct plan_skein plan;
    int64_t like; /* a skein, or 0 */
    char *on;     /* skeins that take it, as typed, or NULL */
    char *note;   /* or NULL */
    char *owned[64];
    size_t owns;
};

/* Reads "dyestuff=madder: 60 %; mordant=alum: 12 %; round=exhaust 1";
 * materials get the names they have in the book. Of a skein it is to be like,
 * what is not said is taken. aside: what is known of that skein and is not
 * planned; appended. Release with recipe_clear. */
bool recipe_read(struct book *book, const char *words, struct recipe *out,
                 struct text *aside, struct error *err);
void recipe_clear(struct recipe *recipe);
/* The same words back; appended. */
void recipe_words(const struct plan_skein *plan, struct text *out);
/* A copy that lives as long as the recipe. */
const char *recipe_own(struct recipe *recipe, const char *text);

/* Pots, burners, hours ... over what they are already. */
bool project_ways(const struct project_words *words, struct plan_ways *ways,
                  struct error *err);
/* By when it shall be done, later than now. */
bool project_ready(const char *words, struct moment now, struct moment *out,
                   struct error *err);

/* What the dyer said of times, then what she did before with these materials;
 * release with habits_clear. */
struct habits {
    struct plan_habit *habit;
    char **owned;
    size_t count, owns;
};
bool habits_read(struct book *book, struct pot_words times,
                 const struct plan_skein *skein, size_t skeins,
                 struct habits *out, struct error *err);
void habits_clear(struct habits *habits);

/* A planned step became what the result says, on that day. In an open act. */
bool project_mark(struct book *book, int64_t task,
                  const struct pot_result *result, const char *on,
                  struct error *err);

/* A whole number of a record, or none. */
int project_whole(const struct record *record, const char *field, int none);

/* Ids of the steps, in their order; release with free(). */
bool project_tasks(struct book *book, int64_t project, int64_t **ids,
                   size_t *count, struct error *err);

/* The cautions of every material that is named, of what is on the skeins, and
 * of what is done; its steps are read. src/book/project_beware.c */
bool project_beware(struct book *book, int64_t owner, struct project *project,
                    struct error *err);

/* Counts and weighs the skeins that are of no colour; its steps are read.
 * src/book/project_extra.c */
bool project_extra(struct book *book, int64_t owner, struct project *project,
                   struct error *err);

/* Whose it is, if not this book's own; and her skeins called so: "Aino/16".
 * src/book/project_whose.c */
bool project_dyer(struct book *book, int64_t owner, struct project *project,
                  struct error *err);
void project_say_whose(struct project *project);

/* What colour dyeing so gave, or may give. */
bool project_expect(struct book *book, struct project_wish *wish,
                    struct error *err);

#endif
