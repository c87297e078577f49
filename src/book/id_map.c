/* A hash table of ids. See id_map.h. */
#include "book/id_map.h"

#include <assert.h>
#include <stdlib.h>

#include "base/mem.h"

/* The slot an id is in, or belongs into; slots is a power of two. */
static size_t slot_of(const struct id_map *map, int64_t id)
{
    /* Fibonacci hashing: ids that follow each other spread over the slots. */
    uint64_t h = (uint64_t)id * UINT64_C(0x9E3779B97F4A7C15);
    size_t at = (size_t)(h >> 32) & (map->slots - 1);

    while (map->slot[at].id && map->slot[at].id != id)
        at = (at + 1) & (map->slots - 1);
    return at;
}

/* At least twice as many slots as ids. */
static void make_room(struct id_map *map)
{
    struct id_map old = *map;

    if (map->slots > 2 * map->count)
        return;
    map->slots = map->slots ? map->slots * 2 : 64;
    map->slot = mem_new(map->slots, sizeof *map->slot);
    for (size_t i = 0; i < old.slots; i++)
        if (old.slot[i].id)
            map->slot[slot_of(map, old.slot[i].id)] = old.slot[i];
    free(old.slot);
}

void id_map_put(struct id_map *map, int64_t id, int64_t value)
{
    struct id_slot *s;

    assert(id);
    make_room(map);
    s = &map->slot[slot_of(map, id)];
    map->count += !s->id;
    *s = (struct id_slot){id, value};
}

int64_t *id_map_at(const struct id_map *map, int64_t id)
{
    struct id_slot *s = map->slots && id ? &map->slot[slot_of(map, id)] : NULL;

    return s && s->id ? &s->value : NULL;
}

static int by_number(const void *x, const void *y)
{
    const int64_t *a = x, *b = y;

    return (*a > *b) - (*a < *b);
}

int64_t *id_map_ids(const struct id_map *one, const struct id_map *other,
                    size_t *count)
{
    int64_t *ids = mem_new(one->count + other->count, sizeof *ids);
    size_t n = 0;

    for (size_t i = 0; i < one->slots; i++)
        if (one->slot[i].id)
            ids[n++] = one->slot[i].id;
    for (size_t i = 0; i < other->slots; i++)
        if (other->slot[i].id && !id_map_at(one, other->slot[i].id))
            ids[n++] = other->slot[i].id;
    if (n)
        qsort(ids, n, sizeof *ids, by_number);
    *count = n;
    return ids;
}

void id_map_clear(struct id_map *map)
{
    free(map->slot);
    *map = (struct id_map){0};
}
