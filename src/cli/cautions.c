/* The cautions of what a new record names, on standard error. */
#include "book/beware.h"
#include "cli/sheet.h"

#include <string.h>

static void tell(const char *who, const char *text)
{
    cli_note("%s: %s", who, text);
}

/* Which material is new, or has a new name; 0 for none. What is poured out of
 * it later does not say it again. */
static int64_t material_of(const struct record *r)
{
    const struct record_field *f = NULL;

    if (r->noun->id == NOUN_MATERIAL)
        return r->id;
    if (r->noun->id == NOUN_ALIAS)
        f = record_get(r, "material");
    return f ? f->ref_id : 0;
}

static bool tell_material(struct cli *cli, int64_t material, bool *any,
                          struct error *err)
{
    const struct caution *c[CAUTION_MAX];
    struct text name = {0};
    size_t n;
    bool ok = beware_of(cli->book, material, c, &n, NULL, err) &&
              record_label(cli->book, NOUN_MATERIAL, material, &name, err);

    for (size_t i = 0; ok && i < n; i++)
        tell(text_str(&name), c[i]->text);
    *any = *any || (ok && n > 0);
    text_clear(&name);
    return ok;
}

/* What belongs to the doing: gathering wild, a lamp, a jar. */
static void tell_work(const struct record *r, bool *any)
{
    const struct record_field *f;

    if (r->noun->id == NOUN_SUPPLY && (f = record_get(r, "source")) &&
        !strcmp(f->words, "gathered")) {
        tell("gathering", caution_general("gathering")->text);
        *any = true;
    }
    if (r->noun->id == NOUN_SIGHT && record_get(r, "glow")) {
        tell("ultraviolet lamp", caution_general("ultraviolet lamp")->text);
        *any = true;
    }
    if (r->noun->id == NOUN_TREATMENT && (f = record_get(r, "vessel")) &&
        text_contains(f->words, "jar")) {
        tell("a jar in a water bath", caution_general("glass jar")->text);
        *any = true;
    }
}

bool cli_cautions(struct cli *cli, const struct noun *noun, int64_t id,
                  struct error *err)
{
    struct record r;
    int64_t material;
    bool any = false, ok = true;

    if (!record_read(cli->book, noun->id, id, &r, err))
        return false;
    material = material_of(&r);
    if (material)
        ok = tell_material(cli, material, &any, err);
    tell_work(&r, &any);
    record_clear(&r);
    if (any)
        cli_note("%s", caution_closing);
    return ok;
}
