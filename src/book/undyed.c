/* Wool before the dye. See undyed.h. */
#include "book/undyed.h"

#include <stdlib.h>
#include <string.h>

#include "base/mem.h"

/* Columns of STMT_UNDYED after those of a reading. */
enum { LABEL = 26, FIBRE, MORDANTS };

bool undyed_load(struct book *book, const struct ask_filter *filter,
                 struct undyed *out, struct error *err)
{
    struct stmt q = {0};
    bool row, ok;

    *out = (struct undyed){0};
    ok = names_load(book, &out->names, err) &&
         stmt_begin(book, STMT_UNDYED, &q, err);
    if (ok) {
        stmt_int(&q, ":wet", filter->wet);
        stmt_text(&q, ":illuminant", filter->illuminant);
        stmt_int(&q, ":observer", filter->observer_deg);
    }
    while (ok && (ok = stmt_step(&q, &row, err)) && row) {
        struct ask_reading r;

        shelf_take(&q, &r);
        out->one = mem_room(out->one, out->count, sizeof *out->one);
        out->one[out->count++] = (struct undyed_one){
            .fibre = stmt_get_int(&q, FIBRE),
            .mordants = stmt_is_null(&q, MORDANTS)
                            ? NULL
                            : mem_text(stmt_get_text(&q, MORDANTS)),
            .label = mem_text(stmt_get_text(&q, LABEL)),
            .colour = r.colour};
    }
    stmt_done(&q);
    return ok;
}

void undyed_free(struct undyed *undyed)
{
    names_free(&undyed->names);
    for (size_t i = 0; i < undyed->count; i++) {
        free(undyed->one[i].mordants);
        free(undyed->one[i].label);
    }
    free(undyed->one);
    *undyed = (struct undyed){0};
}

bool undyed_is_alum(const char *mordants)
{
    return text_contains(mordants, "alum") && !text_contains(mordants, "+");
}

/* plain  wool without a mordant will do, too */
static bool is_of(const struct undyed_one *one, const struct fade_lane *lane,
                  bool plain)
{
    const char *has = one->mordants;

    return one->fibre == lane->fibre_id &&
           ((plain && (!has || !*has)) ||
            (has && !strcmp(has, lane->mordant_set)));
}

static void find(const struct undyed *undyed, bool plain,
                 struct fade_lane *lane)
{
    for (size_t i = 0; i < undyed->count; i++) {
        const struct undyed_one *one = &undyed->one[i];

        if (is_of(one, lane, plain)) {
            lane->undyed = plain ? FADE_PLAIN : FADE_UNDYED;
            lane->undyed_colour = one->colour;
            lane->undyed_label = mem_text(one->label);
            return;
        }
    }
}

void undyed_of(const struct undyed *undyed, struct fade_lane *lane)
{
    bool none;

    if (!lane->mordants || lane->dips || !lane->fibre_id)
        return;
    none = names_are_none(&undyed->names, lane->mordant_set);
    find(undyed, none, lane);
    if (none && lane->undyed)
        lane->undyed = FADE_UNDYED;
    if (!lane->undyed && undyed_is_alum(lane->mordants))
        find(undyed, true, lane);
}
