/* Projects of other dyers, which are looked at and not worked by. See
 * project_work.h. */
#include "book/project_work.h"

#include <stdlib.h>
#include <string.h>

bool project_dyer(struct book *book, int64_t owner, struct project *p,
                  struct error *err)
{
    struct text name = {0};

    if (owner == book_dyer(book))
        return true;
    if (!record_label(book, NOUN_DYER, owner, &name, err))
        return false;
    p->dyer = text_take(&name);
    return true;
}

/* "16, 18 to 20" of Aino is "Aino/16, Aino/18 to 20" here. */
static void say_whose(char **skeins, const char *dyer)
{
    struct text out = {0};

    for (const char *at = *skeins; at && *at;) {
        const size_t n = strcspn(at, ",");
        const bool said = memchr(at, '/', n) != NULL;
        text_addf(&out, "%s%s%s%.*s", out.len ? ", " : "", said ? "" : dyer,
                  said ? "" : "/", (int)n, at);
        at += n + strspn(at + n, ", ");
    }
    if (out.len) {
        free(*skeins);
        *skeins = text_take(&out);
    }
    text_clear(&out);
}

void project_say_whose(struct project *p)
{
    for (size_t i = 0; p->dyer && i < p->wishes; i++)
        say_whose(&p->wish[i].skeins, p->dyer);
    for (size_t i = 0; p->dyer && i < p->tasks; i++)
        say_whose(&p->task[i].skeins, p->dyer);
}

bool project_own(struct book *book, int64_t id, struct error *err)
{
    struct project p = {0};
    struct record r;
    bool ok;

    if (!record_read(book, NOUN_PROJECT, id, &r, err))
        return false;
    ok = project_dyer(book, r.owner_id, &p, err) &&
         (!p.dyer || error_set(err, ERR_INPUT,
                               "\"%s\" is a plan of %s's, for skeins of hers: "
                               "plan one of your own for yours",
                               r.label, p.dyer));
    record_clear(&r);
    project_clear(&p);
    return ok;
}
