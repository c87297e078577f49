/* What was said in pots before. See book/pot.h. */
#include "book/pot.h"

#include <string.h>

#include "book/store.h"

bool pot_said_before(struct book *book, const char *what, pot_said *said,
                     void *self, struct error *err)
{
    const bool fibre = !strcmp(what, "fibre"), water = !strcmp(what, "water");
    struct stmt q;
    bool row, ok;

    if (!stmt_begin(book,
                    fibre   ? STMT_SAID_FIBRES
                    : water ? STMT_SAID_WATERS
                            : STMT_SAID_DOSES,
                    &q, err))
        return false;
    if (!fibre && !water)
        stmt_text(&q, ":what", what);
    while ((ok = stmt_step(&q, &row, err)) && row)
        said(self, stmt_get_text(&q, 0));
    stmt_done(&q);
    return ok;
}
