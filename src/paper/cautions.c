/* The cautions of what a paper names. See cautions.h. */
#include "cautions.h"

#include <stdlib.h>
#include <string.h>

#include "base/html.h"
#include "base/mem.h"
#include "book/beware.h"

static void add(void *self, const char *of, const struct caution *c)
{
    struct cautions *all = self;
    size_t i = 0;

    while (i < all->count && all->row[i].caution != c)
        i++;
    if (i == all->count) {
        all->row = mem_room(all->row, all->count, sizeof *all->row);
        all->row[all->count++] = (struct cautions_row){.caution = c};
    }
    if (!text_contains(text_str(&all->row[i].of), of))
        text_addf(&all->row[i].of, "%s%s", all->row[i].of.len ? ", " : "", of);
}

bool cautions_of(struct book *book, const char *names, struct cautions *all,
                 struct error *err)
{
    return beware_names(book, names, add, all, err);
}

size_t cautions_length(const struct cautions *all)
{
    size_t n = all->count ? strlen(caution_closing) : 0;

    for (size_t i = 0; i < all->count; i++)
        n += all->row[i].of.len + 3 + strlen(all->row[i].caution->text);
    return n;
}

void cautions_write(struct cautions *all, struct text *out)
{
    if (all->count) {
        text_add(out, "<p class=\"beware\">");
        for (size_t i = 0; i < all->count; i++) {
            html_addf(out, "<b>%s:</b> %s ", text_str(&all->row[i].of),
                      all->row[i].caution->text);
            text_clear(&all->row[i].of);
        }
        html_addf(out, "<i>%s</i></p>\n", caution_closing);
    }
    free(all->row);
    *all = (struct cautions){0};
}
