/* What still names a record. See book/record.h. */
#include "book/record.h"

#include "base/mem.h"
#include "book/store.h"

/* Each statement answers with a noun and how many of it, row by row. */
static const struct {
    enum noun_id noun;
    enum stmt_id users;
} ways[] = {
    {NOUN_DYER, STMT_USED_DYER},           {NOUN_MATERIAL, STMT_USED_MATERIAL},
    {NOUN_SUPPLY, STMT_USED_SUPPLY},       {NOUN_FIBRE, STMT_USED_FIBRE},
    {NOUN_WATER, STMT_USED_WATER},         {NOUN_SKEIN, STMT_USED_SKEIN},
    {NOUN_BATH, STMT_USED_BATH},           {NOUN_PHOTO, STMT_USED_PHOTO},
    {NOUN_TREATMENT, STMT_USED_TREATMENT}, {NOUN_CARD, STMT_USED_CARD},
    {NOUN_READING, STMT_USED_READING},
};

bool record_used(struct book *book, enum noun_id noun, int64_t id,
                 struct text *out, struct error *err)
{
    struct stmt q;
    const char *comma = "";
    bool row, ok = true;
    size_t i = 0;

    while (i < ARRAY_LEN(ways) && ways[i].noun != noun)
        i++;
    if (i == ARRAY_LEN(ways))
        return true;
    if (!stmt_begin(book, ways[i].users, &q, err))
        return false;
    stmt_int(&q, ":of", id);
    while ((ok = stmt_step(&q, &row, err)) && row) {
        const struct noun *user = noun_find(stmt_get_text(&q, 0));
        const int64_t n = stmt_get_int(&q, 1);
        if (!n)
            continue;
        text_addf(out, "%s%lld %s", comma, (long long)n,
                  n == 1 ? user->name : user->plural);
        comma = ", ";
    }
    stmt_done(&q);
    return ok;
}
