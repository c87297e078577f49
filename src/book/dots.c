/* Colours of the first skeins. See book/dots.h. */
#include "book/dots.h"

#include <assert.h>
#include <stdlib.h>

#include "base/mem.h"
#include "book/scan.h"

/* The first `limit` by dyer and number. */
struct first {
    struct scan_row *row;
    size_t count, limit;
    bool cut; /* the limit'th is in its place: nothing after it matters */
};

static void cut(struct first *f)
{
    if (f->count)
        qsort(f->row, f->count, sizeof *f->row, scan_order);
    f->cut = f->count >= f->limit;
    if (f->cut)
        f->count = f->limit;
}

/* Sorts now and then, so that few are kept however many come. */
static void add(struct first *f, const struct scan_row *row)
{
    if (f->cut && scan_order(row, &f->row[f->limit - 1]) > 0)
        return;
    f->row = mem_room(f->row, f->count, sizeof *f->row);
    f->row[f->count++] = *row;
    if (f->count / 2 > f->limit)
        cut(f);
}

static bool add_all(struct scan *scan, struct first *f, struct error *err)
{
    struct scan_row row;
    bool there, ok;

    while ((ok = scan_next(scan, &row, &there, err)) && there)
        add(f, &row);
    cut(f);
    return ok;
}

/* One dyer's by their numbers, and no more of them than are wanted. */
static bool add_dyer(struct scan *scan, int64_t dyer, struct first *f,
                     struct error *err)
{
    struct scan_row row;
    struct stmt q;
    bool there, fits, ok = true;

    if (!stmt_begin(scan->book, STMT_SKEINS_NUMBERED, &q, err))
        return false;
    stmt_int(&q, ":dyer", dyer);
    while (ok && f->count < f->limit && (ok = stmt_step(&q, &there, err)) &&
           there) {
        ok = scan_one(scan, stmt_get_int(&q, 0), &row, &fits, err);
        if (ok && fits)
            add(f, &row);
    }
    stmt_done(&q);
    return ok;
}

/* Where all pass, in the order of the dyers. */
static bool add_numbered(struct scan *scan, struct first *f, struct error *err)
{
    int64_t *dyer = NULL;
    size_t n = 0;
    struct stmt q;
    bool there, ok = stmt_begin(scan->book, STMT_ASK_DYERS, &q, err);

    while (ok && (ok = stmt_step(&q, &there, err)) && there) {
        dyer = mem_room(dyer, n, sizeof *dyer);
        dyer[n++] = stmt_get_int(&q, 0);
    }
    stmt_done(&q);
    for (size_t i = 0; ok && i < n && f->count < f->limit; i++)
        ok = add_dyer(scan, dyer[i], f, err);
    free(dyer);
    return ok;
}

static struct dots take(const struct first *f)
{
    struct dots d = {.lab = mem_new(f->count, sizeof *d.lab)};

    for (size_t i = 0; i < f->count; i++)
        if (f->row[i].lack == ASK_HAS_COLOUR)
            d.lab[d.count++] = f->row[i].lab;
    return d;
}

bool dots_of(struct book *book, const struct ask_filter *filter, size_t limit,
             struct dots *out, struct error *err)
{
    struct first first = {.limit = limit};
    struct scan scan = {0};
    bool ok;

    assert(limit);
    *out = (struct dots){0};
    ok = store_look(book, err) &&
         scan_begin(book, filter, SCAN_WHO | SCAN_COLOUR, &scan, err) &&
         (scan_is_whole(&scan) ? add_numbered(&scan, &first, err)
                               : add_all(&scan, &first, err));
    if (ok)
        *out = take(&first);
    scan_end(&scan);
    store_look_end(book);
    free(first.row);
    return ok;
}

void dots_free(struct dots *dots)
{
    free(dots->lab);
    *dots = (struct dots){0};
}
