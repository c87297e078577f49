/* Pages as they were made last. See kept.h. */
#include "kept.h"

#include <microhttpd.h>
#include <stdlib.h>
#include <string.h>

#include "base/day.h"
#include "base/html.h"
#include "base/mem.h"
#include "book/backup.h"
#include "server.h"

void kept_clear(struct kept *kept)
{
    for (size_t i = 0; i < KEPT_PAGES; i++) {
        free(kept->page[i].key);
        text_clear(&kept->page[i].out);
    }
    *kept = (struct kept){0};
}

/* All that a page tells or shows beside what is in the book. */
static char *key_of(const struct request *r)
{
    const char *ground =
        MHD_lookup_connection_value(r->connection, MHD_COOKIE_KIND, "ground");
    struct backup_last copy;
    struct text key = {0};
    char today[11];

    day_iso(day_today(), today);
    backup_last(r->book, &copy);
    text_addf(&key, "%s %d %s %d %s %s ", r->mark, r->home, today, copy.ever,
              copy.on, ground ? ground : "");
    free(copy.to);
    html_url(&key, r->path);
    for (size_t i = 0; i < r->query.count; i++) {
        text_add(&key, "&");
        html_url(&key, r->query.pair[i].name);
        text_add(&key, "=");
        html_url(&key, r->query.pair[i].value);
    }
    return text_take(&key);
}

/* Nothing is kept of a book as it was. */
static void look_for_changes(struct kept *kept, struct book *book)
{
    const int64_t version = book_data_version(book),
                  changes = book_own_changes(book);

    if (version == kept->version && changes == kept->changes)
        return;
    kept_clear(kept);
    kept->version = version;
    kept->changes = changes;
}

bool kept_answer(struct request *r)
{
    struct kept *kept = &r->web->kept;
    char *key = key_of(r);
    const struct kept_page *is = NULL;

    look_for_changes(kept, r->book);
    for (size_t i = 0; i < KEPT_PAGES; i++)
        if (kept->page[i].key && !strcmp(kept->page[i].key, key))
            is = &kept->page[i];
    free(key);
    if (!is)
        return false;
    text_add_n(&r->out, is->out.s, is->out.len);
    r->type = is->type;
    return true;
}

void kept_take(struct request *r)
{
    struct kept *kept = &r->web->kept;
    struct kept_page *to = &kept->page[kept->next];

    if (r->child || r->go || r->file || r->cookie || *r->save_as ||
        r->status != 200 || r->out.len > KEPT_MAX_BYTES ||
        book_own_changes(r->book) != kept->changes)
        return;
    free(to->key);
    text_clear(&to->out);
    *to = (struct kept_page){.key = key_of(r), .type = r->type};
    text_add_n(&to->out, r->out.s, r->out.len);
    kept->next = (kept->next + 1) % KEPT_PAGES;
}
