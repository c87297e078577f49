/* Comparing the colours of two skeins. See book/ask.h. */
#include "book/shelf.h"

#include <assert.h>
#include <string.h>

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

bool setup_load(struct book *book, const struct ask_reading *of,
                struct setup *out, struct error *err)
{
    struct stmt q;
    bool row, ok;

    *out = (struct setup){.of = of};
    if (!of->photo)
        return true;
    if (!stmt_begin(book, STMT_ASK_SAME_PHOTO, &q, err))
        return false;
    stmt_int(&q, ":of", of->id);
    while ((ok = stmt_step(&q, &row, err)) && row)
        id_map_put(&out->same_photo, stmt_get_int(&q, 0), 0);
    stmt_done(&q);
    return ok;
}

bool setup_is_same(struct book *book, const struct setup *setup,
                   const struct ask_reading *other, bool *same,
                   struct error *err)
{
    const struct ask_reading *of = setup->of;

    *same = false;
    if (of->photo != other->photo)
        return true;
    if (of->photo && !id_map_at(&setup->same_photo, other->id) &&
        (!*of->day || strcmp(of->day, other->day) != 0))
        return true;
    return ask_same_setup(book, of->id, other->id, same, err);
}

void setup_clear(struct setup *setup)
{
    id_map_clear(&setup->same_photo);
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
