/* The packed shelf. See pack.h. */
#include "book/pack.h"

#include <stdlib.h>

#include "base/mem.h"

const size_t pack_bytes[PACK_PARTS] = {
    [PACK_WHAT] = 8, [PACK_POT] = 8, [PACK_COLOUR] = 24, [PACK_WHO] = 16};

static size_t size_of(enum pack_part part)
{
    return PACK_SKEINS * pack_bytes[part];
}

const unsigned char *pack_cells(struct stmt *q, int column, enum pack_part part,
                                struct error *err)
{
    size_t size;
    const unsigned char *cells = stmt_get_blob(q, column, &size);

    if (size == size_of(part))
        return cells;
    error_set(err, ERR_STORE,
              "%s/book.db is damaged; \"hanklab check --mend\" mends what is "
              "kept for looking up",
              q->book->dir);
    return NULL;
}

static void put_u64(unsigned char *p, uint64_t v)
{
    for (int i = 0; i < 8; i++)
        p[i] = (unsigned char)(v >> 8 * i);
}

static void put_real(unsigned char *p, double x)
{
    uint64_t bits;

    memcpy(&bits, &x, sizeof bits);
    put_u64(p, bits);
}

static bool read_part(struct pack *pack, struct book *book, enum pack_part part,
                      struct error *err)
{
    struct stmt q;
    bool row;
    const unsigned char *cells = NULL;

    if (!stmt_begin(book, STMT_SHELF_PAGE, &q, err))
        return false;
    stmt_int(&q, ":id", PACK_FIRST(part) + pack->page);
    if (!stmt_step(&q, &row, err))
        return false;
    cells = row ? pack_cells(&q, 0, part, err) : NULL;
    if (!pack->cells[part])
        pack->cells[part] = mem_new(size_of(part), 1);
    if (cells)
        memcpy(pack->cells[part], cells, size_of(part));
    else
        memset(pack->cells[part], 0, size_of(part));
    stmt_done(&q);
    return cells || !row;
}

static bool write_page(struct pack *pack, struct book *book, struct error *err)
{
    struct stmt q;

    for (int part = 0; pack->open && part < PACK_PARTS; part++) {
        if (!stmt_begin(book, STMT_SHELF_PUT, &q, err))
            return false;
        stmt_int(&q, ":id", PACK_FIRST(part) + pack->page);
        stmt_blob(&q, ":cells", pack->cells[part],
                  size_of((enum pack_part)part));
        if (!stmt_run(&q, err))
            return false;
    }
    pack->open = false;
    return true;
}

static bool turn_to(struct pack *pack, struct book *book, int64_t page,
                    struct error *err)
{
    bool ok = true;

    if (pack->open && pack->page == page)
        return true;
    if (!write_page(pack, book, err))
        return false;
    pack->page = page;
    for (int part = 0; ok && part < PACK_PARTS; part++)
        ok = read_part(pack, book, (enum pack_part)part, err);
    pack->open = ok;
    return ok;
}

/* One more or fewer of a recipe and lack, and of all; recipe 0 is none. */
static void count(struct pack *pack, const struct pack_skein *is, int64_t more)
{
    const int64_t of[] = {0, is->recipe};

    for (size_t i = 0; is->recipe && i < ARRAY_LEN(of); i++) {
        const int64_t key = of[i] * ASK_LACKS + (int64_t)is->lack + 1;
        const int64_t *n = id_map_at(&pack->tally, key);

        id_map_put(&pack->tally, key, (n ? *n : 0) + more);
    }
}

static bool write_tally(struct pack *pack, struct book *book, struct error *err)
{
    struct stmt q;

    for (size_t i = 0; i < pack->tally.slots; i++) {
        const struct id_slot *s = &pack->tally.slot[i];

        if (!s->id || !s->value)
            continue;
        if (!stmt_begin(book, STMT_TALLY_ADD, &q, err))
            return false;
        stmt_int(&q, ":recipe", (s->id - 1) / ASK_LACKS);
        stmt_int(&q, ":lack", (s->id - 1) % ASK_LACKS);
        stmt_int(&q, ":skeins", s->value);
        if (!stmt_run(&q, err))
            return false;
    }
    id_map_clear(&pack->tally);
    return true;
}

bool pack_put(struct pack *pack, struct book *book, int64_t skein,
              const struct pack_skein *is, struct error *err)
{
    const size_t i = (size_t)(skein % PACK_SKEINS);
    struct pack_skein was;
    unsigned char *p;

    if (!turn_to(pack, book, skein / PACK_SKEINS, err))
        return false;
    pack_what(pack->cells[PACK_WHAT], i, &was);
    count(pack, &was, -1);
    count(pack, is, 1);
    put_u64(pack->cells[PACK_WHAT] + 8 * i, (uint64_t)is->recipe |
                                                (uint64_t)is->name << 32 |
                                                (uint64_t)is->lack << 48);
    put_u64(pack->cells[PACK_POT] + 8 * i, (uint64_t)is->pot);
    p = pack->cells[PACK_COLOUR] + 24 * i;
    put_real(p, is->lab.L);
    put_real(p + 8, is->lab.a);
    put_real(p + 16, is->lab.b);
    p = pack->cells[PACK_WHO] + 16 * i;
    put_u64(p, (uint64_t)is->number);
    put_u64(p + 8, (uint64_t)is->dyer);
    return true;
}

bool pack_flush(struct pack *pack, struct book *book, struct error *err)
{
    return write_page(pack, book, err) && write_tally(pack, book, err);
}

void pack_clear(struct pack *pack)
{
    for (int part = 0; part < PACK_PARTS; part++)
        free(pack->cells[part]);
    id_map_clear(&pack->tally);
    *pack = (struct pack){0};
}
