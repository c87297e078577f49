/* Comparing the colours of two skeins. See book/ask.h. */
#include "book/shelf.h"

#include <assert.h>

bool ask_same_setup(struct book *book, int64_t reading, int64_t other,
                    bool *same, struct error *err)
{
    struct stmt q;
    bool row;

    if (!stmt_begin(book, STMT_ASK_SAME_SETUP, &q, err))
        return false;
    stmt_int(&q, ":a", reading);
    stmt_int(&q, ":b", other);
    if (!stmt_step(&q, &row, err))
        return false;
    *same = row && stmt_get_int(&q, 0);
    stmt_done(&q);
    return true;
}

bool ask_differ(struct book *book, const struct ask_skein *x,
                const struct ask_skein *y, double tolerance, bool *differ,
                struct error *err)
{
    bool same = false, is[2];

    assert(x->lack == ASK_HAS_COLOUR && y->lack == ASK_HAS_COLOUR);
    readings_differ(x->reading.colour, y->reading.colour, tolerance, is);
    if (is[0] != is[1] &&
        !ask_same_setup(book, x->reading.id, y->reading.id, &same, err))
        return false;
    *differ = is[same];
    return true;
}

bool ask_compare(struct book *book, const struct ask_skein *x,
                 const struct ask_skein *y, double tolerance,
                 struct comparison *out, bool *same_setup, struct error *err)
{
    bool same;

    assert(x->lack == ASK_HAS_COLOUR && y->lack == ASK_HAS_COLOUR);
    if (!ask_same_setup(book, x->reading.id, y->reading.id, &same, err))
        return false;
    *out =
        compare_readings(x->reading.colour, y->reading.colour, same, tolerance);
    if (same_setup)
        *same_setup = same;
    return true;
}
