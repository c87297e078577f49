/* Private to the page: what src/web/plan*.c share. */
#ifndef HANKLAB_WEB_PLAN_H
#define HANKLAB_WEB_PLAN_H

#include "book/project.h"
#include "request.h"

/* All of a project below its heading. address: of its page; NULL: it was only
 * tried, and nothing of it is in the book. why: it could not be planned anew,
 * or NULL. */
bool plan_show(struct request *r, const struct project *p, const char *address,
               const struct error *why, struct error *err);

/* The fields by which what is left of it is planned anew. */
void plan_when(struct request *r, const struct project *p, const char *address,
               const struct error *why);

/* Its steps as a picture: pots and burners from the left to the right. */
void plan_picture(const struct project *p, struct text *out);

/* The first step that is to be done; NULL: none. */
const struct project_task *plan_next(const struct project *p);

/* "5 colours, 15 steps, 3 done. Begins Sat 28 Nov 08:00 ..." */
void plan_sum(const struct project *p, struct text *out);

/* What shall be done and with what, a list; and how hot, how long, where. */
void plan_weigh_list(const struct project_task *k, struct text *out);
void plan_ways_words(const struct project_task *k, struct text *out);

/* Skeins as the book writes them, "42, 44 to 46", each as a tag. */
void plan_tags(const char *skeins, struct text *out);

/* Takes each of them; borrowed for the call only. */
typedef void plan_take(void *self, const char *label);
void plan_each(const char *skeins, plan_take *take, void *self);

/* "c-name=rust&amp;c-like=31 ...&amp;": a colour for the form, in an address
 * that begins "/plan?"; like: the skein whose way is taken; round, dyestuff:
 * instead of its, or NULL. */
void plan_row(struct text *out, const char *name, const char *like,
              const char *round, const char *dyestuff);

/* The words that find a project: its name; of another dyer,
 * who may have one of that name, "#3". */
bool plan_called(struct book *book, int64_t id, struct text *out,
                 struct error *err);

/* The page of a project: "/plan/blanket%20stripe". */
bool plan_address(struct book *book, int64_t id, struct text *out,
                  struct error *err);

#endif
