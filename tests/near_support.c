/* The nearest the slow way. See near_support.h. */
#include "support.h"

#include <stdlib.h>

#include "near_support.h"

static int by_distance(const void *x, const void *y)
{
    const struct distance *a = x, *b = y;

    if (a->de00 != b->de00)
        return a->de00 < b->de00 ? -1 : 1;
    if (a->dyer != b->dyer)
        return a->dyer < b->dyer ? -1 : 1;
    return (a->number > b->number) - (a->number < b->number);
}

size_t near_slowly(struct book *book, const struct ask_filter *filter,
                   struct lab target, int64_t without, struct distance *out,
                   size_t lacking[ASK_LACKS])
{
    struct scan scan;
    struct scan_row row;
    struct error err;
    bool there;
    size_t n = 0;

    check_ok(scan_begin(book, filter, SCAN_COLOUR | SCAN_WHO, &scan, &err),
             &err);
    for (;;) {
        check_ok(scan_next(&scan, &row, &there, &err), &err);
        if (!there)
            break;
        if (row.lack == ASK_HAS_COLOUR && row.id != without)
            out[n++] = (struct distance){lab_de00(target, row.lab), row.dyer,
                                         row.number, row.id};
        else if (row.lack != ASK_HAS_COLOUR && lacking)
            lacking[row.lack]++;
    }
    scan_end(&scan);
    qsort(out, n, sizeof *out, by_distance);
    return n;
}
