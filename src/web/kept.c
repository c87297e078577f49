/* Pages as they were made last. See kept.h. */
#include "kept.h"

#include <microhttpd.h>
#include <stdlib.h>
#include <string.h>

#include "base/day.h"
#include "base/html.h"
#include "base/mem.h"
#include "book/backup.h"
#include "gzip.h"
#include "send.h"
#include "server.h"

void kept_clear(struct kept *kept)
{
    for (size_t i = 0; i < KEPT_PAGES; i++) {
        if (kept->page[i].answer)
            MHD_destroy_response(kept->page[i].answer);
        free(kept->page[i].key);
    }
    rack_clear(&kept->rack);
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
    text_addf(&key, "%s %d %d %s %d %s %s ", r->mark, r->home, gzip_accepted(r),
              today, copy.ever, copy.on, ground ? ground : "");
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

    look_for_changes(kept, r->book);
    for (size_t i = 0; i < KEPT_PAGES; i++)
        if (kept->page[i].key && !strcmp(kept->page[i].key, key))
            r->kept = kept->page[i].answer;
    free(key);
    return r->kept != NULL;
}

void kept_take(struct request *r)
{
    struct kept *kept = &r->web->kept;
    struct kept_page *to = &kept->page[kept->next];

    if (r->child || r->go || r->file || r->cookie || *r->save_as ||
        r->status != 200 || r->out.len > KEPT_MAX_BYTES || r->web->ending ||
        book_own_changes(r->book) != kept->changes)
        return;
    r->kept = send_make(r);
    if (!r->kept)
        return;
    if (to->answer)
        MHD_destroy_response(to->answer);
    free(to->key);
    *to = (struct kept_page){key_of(r), r->kept};
    kept->next = (kept->next + 1) % KEPT_PAGES;
}

const struct rack *kept_rack(struct request *r, struct error *err)
{
    struct kept *kept = &r->web->kept;

    look_for_changes(kept, r->book);
    kept->has_rack = kept->has_rack || rack_of(r->book, &kept->rack, err);
    return kept->has_rack ? &kept->rack : NULL;
}
