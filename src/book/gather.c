/* Many records put in by one statement a kind. See gather.h. */
#include "book/gather.h"

#include <stdlib.h>

#include "base/mem.h"
#include "book/id_map.h"
#include "book/rows.h"
#include "book/sheaf.h"

/* More would only take more memory. */
enum { GATHERED_MOST = 16384 };

struct gather {
    struct sheaf of[NOUN_COUNT], history, came;
    int64_t next_id[NOUN_COUNT]; /* 0: the book is to be asked */
    struct id_map next_number[NOUN_COUNT];
    enum noun_id order[NOUN_COUNT];
    /* A put that failed: some of what was gathered is in the book and the rest
     * is forgotten, so that no other put may follow. */
    bool failed, refused;
    struct error why;
};

void gather_begin(struct book *book)
{
    book->gather = mem_new(1, sizeof *book->gather);
    rows_order(book->gather->order);
}

static bool next_id(struct book *book, enum noun_id noun, int64_t *out,
                    struct error *err)
{
    int64_t *next = &book->gather->next_id[noun];
    struct text sql = {0};
    struct stmt q = {0};
    bool row = false, ok = true;

    if (!*next) {
        text_addf(&sql, "SELECT coalesce(max(id), 0) + 1 FROM %s",
                  nouns[noun].name);
        ok = stmt_prepare(book, text_str(&sql), &q, err) &&
             stmt_step(&q, &row, err);
        *next = ok ? stmt_get_int(&q, 0) : 0;
        stmt_done(&q);
        text_clear(&sql);
    }
    *out = ok ? (*next)++ : 0;
    return ok;
}

static void add_history(struct book *book, enum noun_id noun, int64_t id)
{
    struct sheaf *s = &book->gather->history;

    sheaf_row(s);
    sheaf_int(s, "act_id", book->act_id);
    sheaf_text(s, "of_table", nouns[noun].name);
    sheaf_int(s, "row_id", id);
}

bool gather_record(struct book *book, enum noun_id noun,
                   const struct cells *cells, int64_t *id, struct error *err)
{
    struct sheaf *s = &book->gather->of[noun];

    if (book->gather->failed)
        return *err = book->gather->why, false;
    if ((book->gather->history.rows == GATHERED_MOST &&
         !gather_put(book, err)) ||
        !next_id(book, noun, id, err))
        return false;
    sheaf_row(s);
    sheaf_int(s, "id", *id);
    for (size_t i = 0; i < cells->count; i++) {
        const struct cell *c = &cells->cell[i];
        if (c->kind == CELL_INT)
            sheaf_int(s, c->column, c->whole);
        else if (c->kind == CELL_REAL)
            sheaf_real(s, c->column, c->real);
        else if (c->kind == CELL_TEXT)
            sheaf_text(s, c->column, c->text);
    }
    add_history(book, noun, *id);
    return true;
}

void gather_came(struct book *book, const unsigned char uid[16],
                 enum noun_id noun, int64_t id)
{
    struct sheaf *s = &book->gather->came;

    sheaf_row(s);
    sheaf_blob(s, "of_uid", uid, 16);
    sheaf_text(s, "of_table", nouns[noun].name);
    sheaf_int(s, "row_id", id);
    sheaf_int(s, "changed_at", 0);
}

bool gather_number(struct book *book, enum noun_id noun, int64_t dyer,
                   int64_t given, int64_t *next, struct error *err)
{
    struct id_map *numbers = &book->gather->next_number[noun];
    const int64_t *free = id_map_at(numbers, dyer);
    struct stmt q;
    bool row = false;

    if (free) {
        *next = *free;
    } else {
        if (!stmt_begin(book,
                        noun == NOUN_SKEIN ? STMT_SKEIN_NEXT : STMT_BATH_NEXT,
                        &q, err))
            return false;
        stmt_int(&q, ":of", dyer);
        if (!stmt_step(&q, &row, err))
            return false;
        *next = row ? stmt_get_int(&q, 0) : 1;
        stmt_done(&q);
    }
    if (!given)
        given = *next;
    id_map_put(numbers, dyer, given >= *next ? given + 1 : *next);
    return true;
}

/* Triggers would write the history of a kind after that of another, not as the
 * records came. */
static bool put_all(struct book *book, struct error *err)
{
    struct gather *g = book->gather;
    bool ok = true;

    sqlite3_db_config(book->db, SQLITE_DBCONFIG_ENABLE_TRIGGER, 0, (int *)NULL);
    for (size_t i = 0; ok && i < NOUN_COUNT; i++)
        ok = sheaf_put(&g->of[g->order[i]], book, nouns[g->order[i]].name, "",
                       err);
    ok = ok && sheaf_put(&g->history, book, "history", "", err) &&
         sheaf_put(&g->came, book, "came",
                   " ON CONFLICT (of_uid) DO UPDATE SET row_id ="
                   " excluded.row_id, changed_at = excluded.changed_at",
                   err);
    if (!ok) {
        g->failed = true;
        g->refused = store_code(book->db) == SQLITE_CONSTRAINT;
        g->why = *err;
    }
    sqlite3_db_config(book->db, SQLITE_DBCONFIG_ENABLE_TRIGGER, 1, (int *)NULL);
    return ok;
}

bool gather_put(struct book *book, struct error *err)
{
    struct gather *g = book->gather;

    if (g->failed)
        return *err = g->why, false;
    if (!g->history.rows && !g->came.rows)
        return true;
    for (size_t i = 0; i < NOUN_COUNT; i++)
        g->next_id[i] = 0;
    return put_all(book, err);
}

bool gather_end(struct book *book, bool *refused, struct error *err)
{
    struct gather *g = book->gather;
    bool ok = !g || !g->failed;

    *refused = g && g->refused;
    if (!g)
        return true;
    if (!ok)
        *err = g->why;
    for (size_t i = 0; i < NOUN_COUNT; i++) {
        sheaf_clear(&g->of[i]);
        id_map_clear(&g->next_number[i]);
    }
    sheaf_clear(&g->history);
    sheaf_clear(&g->came);
    free(g);
    book->gather = NULL;
    return ok;
}
