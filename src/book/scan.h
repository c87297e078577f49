/* Private to the book: one pass over the shelf, for skeins that pass a filter.
 */
#ifndef HANKLAB_BOOK_SCAN_H
#define HANKLAB_BOOK_SCAN_H

#include "book/ask.h"
#include "book/store.h"

/* As little of a skein as a question to all of them needs. */
struct scan_row {
    enum ask_lack lack;
    struct lab lab; /* NaN without a colour */
    /* If asked for: */
    int64_t id, number;
    size_t dyer; /* place in scan.dyer: the book's own is 0 */
    const struct colour_name *name; /* of the colour, or NULL */
};

/* A column more is time. */
enum scan_wants { SCAN_LITTLE, SCAN_WHO, SCAN_WHO_AND_NAME };

struct scan {
    struct book *book;
    const struct ask_filter *filter;
    enum scan_wants wants;
    bool usual; /* its colours are those that the shelf keeps */
    struct stmt q;
    struct {
        int id, dyer, number, name, entry, dye; /* columns, -1: not asked for */
        int more;                               /* the first of the caller's */
    } at;
    struct scan_dyer {
        int64_t id;
        char *prefix; /* "Aino/", "" for the book's own */
    } * dyer;
    size_t dyers;
    int64_t weighed; /* the treatment that per_fibre is of */
    struct ask_range per_fibre;
};

/*
 * Begins a pass in no order.
 *
 * wants SCAN_WHO: id, number and dyer too; SCAN_WHO_AND_NAME: the colour's name
 * more  columns wanted besides, ", h.round", over the tables of join; never
 *       from input
 * join  " JOIN skein s ON s.id = h.skein_id" or ""; h is the shelf
 */
bool scan_begin(struct book *book, const struct ask_filter *filter,
                enum scan_wants wants, const char *more, const char *join,
                struct scan *out, struct error *err);

/* The next skein that passes; *there false at the end. */
bool scan_next(struct scan *scan, struct scan_row *row, bool *there,
               struct error *err);

/* "137", "Aino/137"; release with free(). */
char *scan_label(const struct scan *scan, const struct scan_row *row);

/* Allowed on a zeroed one. */
void scan_end(struct scan *scan);

/* By dyer and number, for qsort: struct scan_row, or what begins with one. */
int scan_order(const void *x, const void *y);

/* The dyestuff of a dye treatment in percent of its fibre, NaN when one dose
 * is not known or other liquor was poured in. */
bool scan_weigh(struct book *book, int64_t treatment, struct ask_range *out,
                struct error *err);

/* The treatment that gives a skein of the shelf its day. */
#define SCAN_THEN                                                              \
    "coalesce(h.dye_treatment_id, (SELECT e.treatment_id FROM entry e WHERE"   \
    " e.id = h.entry_id))"

#endif
