/* Private to the book: a number for each id, and sets of ids. */
#ifndef HANKLAB_BOOK_ID_MAP_H
#define HANKLAB_BOOK_ID_MAP_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* All zero is an empty one. */
struct id_map {
    struct id_slot {
        int64_t id, value;
    } * slot; /* id 0: free */
    size_t slots, count;
};

/* Gives an id (never 0) its number, in place of one it had. */
void id_map_put(struct id_map *map, int64_t id, int64_t value);

/* Where the number of an id is, until the next put; NULL: it has none. */
int64_t *id_map_at(const struct id_map *map, int64_t id);

/* The ids that are in one or the other, rising; release with free(). */
int64_t *id_map_ids(const struct id_map *one, const struct id_map *other,
                    size_t *count);

void id_map_clear(struct id_map *map);

#endif
