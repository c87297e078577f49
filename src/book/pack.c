/* The packed shelf. See pack.h. */
#include "book/pack.h"

#include <stdlib.h>

#include "base/mem.h"

/* Of a cell, and how many a page has. */
static const struct {
    size_t bytes, skeins;
} parts[PACK_PARTS] = {[PACK_WHAT] = {8, PACK_SKEINS},
                       [PACK_POT] = {8, PACK_SKEINS},
                       [PACK_COLOUR] = {24, PACK_SKEINS},
                       [PACK_WHO] = {16, PACK_SKEINS},
                       [PACK_FACE] = {2, PACK_FACES}};

static size_t size_of(enum pack_part part)
{
    return parts[part].bytes * parts[part].skeins;
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

static bool read_page(struct pack_page *page, struct book *book,
                      enum pack_part part, struct error *err)
{
    struct stmt q;
    bool row;
    const unsigned char *cells = NULL;

    if (!stmt_begin(book, STMT_SHELF_PAGE, &q, err))
        return false;
    stmt_int(&q, ":id", PACK_FIRST(part) + page->number);
    if (!stmt_step(&q, &row, err))
        return false;
    cells = row ? pack_cells(&q, 0, part, err) : NULL;
    if (!page->cells)
        page->cells = mem_new(size_of(part), 1);
    if (cells)
        memcpy(page->cells, cells, size_of(part));
    else
        memset(page->cells, 0, size_of(part));
    stmt_done(&q);
    return cells || !row;
}

static bool write_page(struct pack_page *page, struct book *book,
                       enum pack_part part, struct error *err)
{
    struct stmt q;

    if (!page->open)
        return true;
    if (!stmt_begin(book, STMT_SHELF_PUT, &q, err))
        return false;
    stmt_int(&q, ":id", PACK_FIRST(part) + page->number);
    stmt_blob(&q, ":cells", page->cells, size_of(part));
    page->open = false;
    return stmt_run(&q, err);
}

/* Has the page with a skein at hand, where its cell of each part is. */
static bool turn_to(struct pack *pack, struct book *book, int64_t skein,
                    unsigned char *cell[PACK_PARTS], struct error *err)
{
    for (int i = 0; i < PACK_PARTS; i++) {
        const enum pack_part part = (enum pack_part)i;
        struct pack_page *page = &pack->page[part];
        const int64_t skeins = (int64_t)parts[part].skeins;

        if (!page->open || page->number != skein / skeins) {
            if (!write_page(page, book, part, err))
                return false;
            page->number = skein / skeins;
            page->open = read_page(page, book, part, err);
            if (!page->open)
                return false;
        }
        cell[part] = page->cells + (size_t)(skein % skeins) * parts[part].bytes;
    }
    return true;
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
    struct pack_skein was;
    unsigned char *cell[PACK_PARTS];
    unsigned face = 0;

    if (!turn_to(pack, book, skein, cell, err))
        return false;
    pack_what(cell[PACK_WHAT], 0, &was);
    count(pack, &was, -1);
    count(pack, is, 1);
    put_u64(cell[PACK_WHAT], (uint64_t)is->recipe | (uint64_t)is->name << 32 |
                                 (uint64_t)is->lack << 48);
    put_u64(cell[PACK_POT], (uint64_t)is->pot);
    put_real(cell[PACK_COLOUR], is->lab.L);
    put_real(cell[PACK_COLOUR] + 8, is->lab.a);
    put_real(cell[PACK_COLOUR] + 16, is->lab.b);
    put_u64(cell[PACK_WHO], (uint64_t)is->number);
    put_u64(cell[PACK_WHO] + 8, (uint64_t)is->dyer);
    if (is->recipe)
        face = PACK_FACE_NAMES * ((unsigned)is->lack + 1) + (unsigned)is->name;
    cell[PACK_FACE][0] = (unsigned char)face;
    cell[PACK_FACE][1] = (unsigned char)(face >> 8);
    return true;
}

bool pack_flush(struct pack *pack, struct book *book, struct error *err)
{
    for (int part = 0; part < PACK_PARTS; part++)
        if (!write_page(&pack->page[part], book, (enum pack_part)part, err))
            return false;
    return write_tally(pack, book, err);
}

void pack_clear(struct pack *pack)
{
    for (int part = 0; part < PACK_PARTS; part++)
        free(pack->page[part].cells);
    id_map_clear(&pack->tally);
    *pack = (struct pack){0};
}
