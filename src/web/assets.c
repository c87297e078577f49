/* Style, scripts and drawings. See assets.h. */
#include "assets.h"

#include <assert.h>
#include <inttypes.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include "base/embedded.h"
#include "base/mem.h"
#include "gzip.h"

extern const struct embedded embed_assets[];
extern const size_t embed_assets_count;

#define MAX_ASSETS 16

static const char *type_of(const char *name)
{
    static const struct {
        const char *ending, *type;
    } types[] = {{".css", "text/css; charset=utf-8"},
                 {".js", "text/javascript; charset=utf-8"},
                 {".svg", "image/svg+xml"}};
    const char *dot = strrchr(name, '.');

    for (size_t i = 0; dot && i < ARRAY_LEN(types); i++)
        if (!strcmp(dot, types[i].ending))
            return types[i].type;
    assert(0 && "an asset of a kind that is not in the table");
    return NULL;
}

/* FNV-1a: only tells one build's bytes from another's. */
static uint32_t mark_of(const unsigned char *data, size_t size)
{
    uint32_t h = 2166136261u;

    for (size_t i = 0; i < size; i++)
        h = (h ^ data[i]) * 16777619u;
    return h;
}

static struct asset *all(void)
{
    static struct asset assets[MAX_ASSETS];

    assert(embed_assets_count <= MAX_ASSETS);
    for (size_t i = 0; !assets[i].name && i < embed_assets_count; i++) {
        const struct embedded *e = &embed_assets[i];
        assets[i] = (struct asset){.name = e->name,
                                   .type = type_of(e->name),
                                   .data = (const char *)e->data,
                                   .size = e->size};
        snprintf(assets[i].address, sizeof assets[i].address,
                 "/a/%08" PRIx32 "/%s", mark_of(e->data, e->size), e->name);
    }
    return assets;
}

const struct asset *asset_find(const char *name)
{
    const struct asset *a = all();

    while (strcmp(a->name, name)) {
        a++;
        assert(a < all() + embed_assets_count);
    }
    return a;
}

static void answer(struct request *r, struct asset *a)
{
    r->type = a->type;
    r->lasting = true;
    r->packed =
        gzip_pays(a->type, a->size) && gzip_accepted(r) &&
        (a->packed.len || gzip_bytes(a->data, a->size, GZIP_SMALL, &a->packed));
    if (r->packed)
        text_add_n(&r->out, a->packed.s, a->packed.len);
    else
        text_add_n(&r->out, a->data, a->size);
}

bool asset_answer(struct request *r, struct error *err)
{
    struct asset *a = all();

    for (size_t i = 0; i < embed_assets_count; i++)
        if (!strcmp(a[i].address, r->path)) {
            answer(r, &a[i]);
            return true;
        }
    return error_set(err, ERR_MISSING, "there is no such page");
}
