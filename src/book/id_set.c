/* Bits by blocks. See id_set.h. */
#include "book/id_set.h"

#include <stdlib.h>

#include "base/mem.h"

enum { BLOCK_IDS = 64 * 64 };

/* What an id's block goes by, never 0. */
static int64_t key_of(int64_t id)
{
    return (int64_t)((uint64_t)id / BLOCK_IDS) + 1;
}

static struct id_block *block_of(const struct id_set *set, int64_t key)
{
    const int64_t *at = id_map_at(&set->at, key);

    return at ? &set->block[*at] : NULL;
}

static uint64_t *word_of(struct id_block *block, int64_t id)
{
    return &block->bits[(uint64_t)id / 64 % 64];
}

static uint64_t bit_of(int64_t id)
{
    return (uint64_t)1 << (uint64_t)id % 64;
}

void id_set_put(struct id_set *set, int64_t id)
{
    struct id_block *block = block_of(set, key_of(id));
    uint64_t *word;

    if (!block) {
        set->block = mem_room(set->block, set->blocks, sizeof *set->block);
        id_map_put(&set->at, key_of(id), (int64_t)set->blocks);
        block = &set->block[set->blocks++];
        *block = (struct id_block){{0}};
    }
    word = word_of(block, id);
    set->count += !(*word & bit_of(id));
    *word |= bit_of(id);
}

bool id_set_has(const struct id_set *set, int64_t id)
{
    struct id_block *block = block_of(set, key_of(id));

    return block && *word_of(block, id) & bit_of(id);
}

static void add_word(uint64_t word, int64_t first, int64_t *ids, size_t *n)
{
    for (int64_t i = first; word; i++, word >>= 1)
        if (word & 1)
            ids[(*n)++] = i;
}

int64_t *id_set_ids(const struct id_set *one, const struct id_set *other,
                    size_t *count)
{
    int64_t *ids = mem_new(one->count + other->count, sizeof *ids);
    size_t blocks, n = 0;
    int64_t *key = id_map_ids(&one->at, &other->at, &blocks);

    for (size_t k = 0; k < blocks; k++) {
        const struct id_block *a = block_of(one, key[k]);
        const struct id_block *b = block_of(other, key[k]);

        for (int64_t w = 0; w < 64; w++)
            add_word((a ? a->bits[w] : 0) | (b ? b->bits[w] : 0),
                     (key[k] - 1) * BLOCK_IDS + w * 64, ids, &n);
    }
    free(key);
    *count = n;
    return ids;
}

void id_set_clear(struct id_set *set)
{
    id_map_clear(&set->at);
    free(set->block);
    *set = (struct id_set){0};
}
