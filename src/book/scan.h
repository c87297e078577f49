/* Private to the book: one pass over the shelf, for skeins that pass a filter.
 */
#ifndef HANKLAB_BOOK_SCAN_H
#define HANKLAB_BOOK_SCAN_H

#include "book/ask.h"
#include "book/pack.h"
#include "book/sieve.h"
#include "book/store.h"

/* As little of a skein as a question to all of them needs. */
struct scan_row {
    int64_t id, recipe;
    enum ask_lack lack;
    const struct colour_name *name; /* of the colour, or NULL */
    /* If asked for: */
    struct lab lab; /* NaN without a colour */
    int64_t number;
    size_t dyer; /* place in scan.dyer: the book's own is 0 */
    int64_t pot; /* see pack.h */
};

/* A part more is time. */
enum scan_wants { SCAN_COLOUR = 1, SCAN_WHO = 2, SCAN_POT = 4 };

struct scan {
    struct book *book;
    const struct ask_filter *filter;
    unsigned wants;
    bool usual; /* its colours are those that the shelf keeps */
    struct sieve sieve;
    bool begun;    /* the dyers are there, and pages come */
    struct stmt q; /* pages */
    bool needs[PACK_PARTS];
    const unsigned char *cells[PACK_PARTS];
    int64_t first; /* skein of the page at hand */
    size_t at;     /* the next one in it */
    /* Those that are looked at, in order, where not all are. */
    struct scan_only {
        bool is;
        int64_t *id;
        size_t count, next;
    } only;
    struct scan_dyer {
        int64_t id;
        char *prefix; /* "Aino/", "" for the book's own */
    } * dyer;
    size_t dyers;
    struct id_map dyer_at; /* their places */
    int64_t weighed;       /* the pot that per_fibre is of */
    struct ask_range per_fibre;
};

/* Begins a pass in the order of the ids, which means nothing.
 *
 * wants  of enum scan_wants */
bool scan_begin(struct book *book, const struct ask_filter *filter,
                unsigned wants, struct scan *out, struct error *err);

/* Called before the first scan_next: no others than these are answers, so that
 * few need be looked at.
 *
 * id  rising; it becomes the scan's */
void scan_only(struct scan *scan, int64_t *id, size_t count);

/* Looks up one skein by itself, in place of a pass; *fits false when it does
 * not pass. */
bool scan_one(struct scan *scan, int64_t id, struct scan_row *row, bool *fits,
              struct error *err);

/* Whether every skein passes, with the colour that the shelf keeps. */
bool scan_is_whole(const struct scan *scan);

/* How many skeins pass, by what they lack of a colour; *known false when only a
 * pass can tell. */
bool scan_tally(struct scan *scan, size_t by_lack[ASK_LACKS], bool *known,
                struct error *err);

/* The first of those that pass, in their order, and how many pass.
 *
 * limit  at least 1
 * row    *count of them; release with free()
 * done   false when a pass is as good; there are none then */
bool scan_first(struct scan *scan, size_t limit, struct scan_row **row,
                size_t *count, size_t by_lack[ASK_LACKS], bool *done,
                struct error *err);

/* How many skeins there are of each face (pack.h), whether they pass or not.
 *
 * id   so many rising ones; of_id counts these, too
 * all  NULL when the others are not asked for */
bool scan_faces(struct book *book, const int64_t *id, size_t count,
                size_t of_id[PACK_FACE_KINDS], size_t all[PACK_FACE_KINDS],
                struct error *err);

/* The next skein that passes; *there false at the end. */
bool scan_next(struct scan *scan, struct scan_row *row, bool *there,
               struct error *err);

/* "137", "Aino/137"; release with free(). */
char *scan_label(const struct scan *scan, const struct scan_row *row);

/* Allowed on a zeroed one. */
void scan_end(struct scan *scan);

/* By dyer and number, for qsort: struct scan_row, or what begins with one. */
int scan_order(const void *x, const void *y);

#endif
