/*
 * Pages as they were made last, and the order of the rack, for as long as
 * nothing has changed: who looks again at the rack or goes along it, or a
 * second device at the same book, waits for no question to the book.
 */
#ifndef HANKLAB_WEB_KEPT_H
#define HANKLAB_WEB_KEPT_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/error.h"
#include "book/rack.h"

struct MHD_Response;
struct request;

#define KEPT_PAGES 16
#define KEPT_MAX_BYTES                                                         \
    (1u << 20) /* of a page; a longer one is made each time */

struct kept {
    int64_t version, changes; /* of the book, when they were made */
    size_t next;              /* the place of the next one, the oldest's */
    struct kept_page {
        char *key; /* NULL: none */
        struct MHD_Response *answer;
    } page[KEPT_PAGES];
    bool has_rack;
    struct rack rack;
};

/* Answers with the page of before, if there is one and the book, the day, the
 * ground, whose page it is, whether it may be packed and, of a page that tells
 * of it, the last copy are the same. */
bool kept_answer(struct request *r, bool tells_copy);

/* Keeps the answer just made, after kept_answer had none. */
void kept_take(struct request *r);

/* The rack of before, or made anew where the book has changed since; borrowed
 * for this request. NULL: err says why. */
const struct rack *kept_rack(struct request *r, struct error *err);

void kept_clear(struct kept *kept);

#endif
