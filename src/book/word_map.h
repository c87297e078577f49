/* Private to the book: a number for each of many words. */
#ifndef HANKLAB_BOOK_WORD_MAP_H
#define HANKLAB_BOOK_WORD_MAP_H

#include "book/id_map.h"

/* All zero is an empty one. */
struct word_map {
    struct id_map map;
    char **word;
    size_t count;
};

/* The place of the words, from 0 in the order they first came; *is_new: they
 * have just come. */
size_t word_map_at(struct word_map *map, const char *words, bool *is_new);

/* The same of words that came already; false: they did not. */
bool word_map_find(const struct word_map *map, const char *words, size_t *at);

void word_map_clear(struct word_map *map);

#endif
