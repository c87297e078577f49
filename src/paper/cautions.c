/* The cautions of what a paper names. See cautions.h. */
#include "cautions.h"

#include <stdlib.h>
#include <string.h>

#include "base/html.h"
#include "base/mem.h"
#include "book/beware.h"
#include "book/record.h"

static void add(struct cautions *all, const struct caution *c, const char *of)
{
    size_t i = 0;

    while (i < all->count && all->row[i] != c)
        i++;
    if (i == CAUTIONS_MOST)
        return;
    if (i == all->count)
        all->row[all->count++] = c;
    if (!text_contains(text_str(&all->of[i]), of))
        text_addf(&all->of[i], "%s%s", all->of[i].len ? ", " : "", of);
}

static bool add_material(struct book *book, const char *name,
                         struct cautions *all, struct error *err)
{
    const struct caution *c[CAUTION_MAX];
    size_t n;
    int64_t id;

    if (record_find(book, NOUN_MATERIAL, name, &id, err)) {
        if (!beware_of(book, id, c, &n, NULL, err))
            return false;
    } else if (err->kind == ERR_STORE) {
        return false;
    } else {
        n = caution_for(name, NULL, c);
    }
    for (size_t i = 0; i < n; i++)
        add(all, c[i], name);
    return true;
}

bool cautions_of(struct book *book, const char *names, struct cautions *all,
                 struct error *err)
{
    bool ok = true;

    while (ok && names && *names) {
        const char *plus = strstr(names, " + "), *comma = strstr(names, ", ");
        const char *end = plus && (!comma || plus < comma) ? plus : comma;
        size_t n = end ? (size_t)(end - names) : strlen(names);
        char *name = mem_text_n(names, n);

        ok = add_material(book, name, all, err);
        free(name);
        names += n + (end ? strspn(end, " +,") : 0);
    }
    return ok;
}

void cautions_write(struct cautions *all, struct text *out)
{
    if (all->count) {
        text_add(out, "<p class=\"beware\">");
        for (size_t i = 0; i < all->count; i++)
            html_addf(out, "<b>%s:</b> %s ", text_str(&all->of[i]),
                      all->row[i]->text);
        html_addf(out, "<i>%s</i></p>\n", caution_closing);
    }
    cautions_clear(all);
}

void cautions_clear(struct cautions *all)
{
    for (size_t i = 0; i < all->count; i++)
        text_clear(&all->of[i]);
    *all = (struct cautions){0};
}
