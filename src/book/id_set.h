/* Private to the book: sets of ids, small where ids follow each other. */
#ifndef HANKLAB_BOOK_ID_SET_H
#define HANKLAB_BOOK_ID_SET_H

#include "book/id_map.h"

/* All zero is an empty one. */
struct id_set {
    struct id_map at; /* blocks by what their ids begin with */
    struct id_block {
        uint64_t bits[64]; /* one an id */
    } * block;
    size_t blocks, count;
};

void id_set_put(struct id_set *set, int64_t id);

bool id_set_has(const struct id_set *set, int64_t id);

/* The ids that are in one or the other, rising; release with free(). None is
 * below 0. */
int64_t *id_set_ids(const struct id_set *one, const struct id_set *other,
                    size_t *count);

void id_set_clear(struct id_set *set);

#endif
