/* A hash table of words. See word_map.h. */
#include "book/word_map.h"

#include <stdlib.h>
#include <string.h>

#include "base/mem.h"

/* FNV-1a (Fowler, Noll, Vo), 64 bit; never 0. */
static int64_t hash_of(const char *words)
{
    uint64_t h = UINT64_C(14695981039346656037);

    for (const char *p = words; *p; p++)
        h = (h ^ (unsigned char)*p) * UINT64_C(1099511628211);
    return (int64_t)(h ? h : 1);
}

/* Where the words are; NULL: nowhere, and their hash is free. */
static const int64_t *look(const struct word_map *map, const char *words,
                           int64_t *hash)
{
    const int64_t *at;

    *hash = hash_of(words);
    while ((at = id_map_at(&map->map, *hash)) &&
           strcmp(map->word[*at], words) != 0)
        *hash = *hash == -1 ? 1 : *hash + 1; /* other words have that hash */
    return at;
}

bool word_map_find(const struct word_map *map, const char *words, size_t *at)
{
    int64_t hash;
    const int64_t *there = look(map, words, &hash);

    *at = there ? (size_t)*there : 0;
    return there != NULL;
}

size_t word_map_at(struct word_map *map, const char *words, bool *is_new)
{
    int64_t hash;
    const int64_t *there = look(map, words, &hash);

    *is_new = !there;
    if (there)
        return (size_t)*there;
    id_map_put(&map->map, hash, (int64_t)map->count);
    map->word = mem_room(map->word, map->count, sizeof *map->word);
    map->word[map->count] = mem_text(words);
    return map->count++;
}

void word_map_clear(struct word_map *map)
{
    for (size_t i = 0; i < map->count; i++)
        free(map->word[i]);
    free(map->word);
    id_map_clear(&map->map);
    *map = (struct word_map){0};
}
