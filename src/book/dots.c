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

/* Those that a walk finds, or all that pass. */
static bool find_first(struct scan *scan, struct first *f, struct error *err)
{
    size_t by_lack[ASK_LACKS];
    bool done;

    return scan_first(scan, f->limit, &f->row, &f->count, by_lack, &done,
                      err) &&
           (done || add_all(scan, f, err));
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
    ok = book_look(book, err) &&
         scan_begin(book, filter, SCAN_WHO | SCAN_COLOUR, &scan, err) &&
         find_first(&scan, &first, err);
    if (ok)
        *out = take(&first);
    scan_end(&scan);
    book_look_end(book);
    free(first.row);
    return ok;
}

void dots_free(struct dots *dots)
{
    free(dots->lab);
    *dots = (struct dots){0};
}
