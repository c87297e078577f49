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

static void add_copy(const struct book *book, struct text *key)
{
    struct backup_last copy;

    backup_last(book, &copy);
    text_add(key, copy.ever ? copy.on : "never");
    free(copy.to);
}

/* All that a page tells or shows beside what is in the book. */
static char *key_of(const struct request *r, bool tells_copy)
{
    const char *ground =
        MHD_lookup_connection_value(r->connection, MHD_COOKIE_KIND, "ground");
    struct text key = {0};
    char today[11];

    day_iso(day_today(), today);
    text_add(&key, r->mark);
    text_add(&key, r->home ? " home " : " away ");
    text_add(&key, gzip_accepted(r) ? "packed " : "plain ");
    text_add(&key, today);
    text_add(&key, " ");
    if (tells_copy)
        add_copy(r->book, &key);
    text_add(&key, " ");
    text_add(&key, ground);
    text_add(&key, " ");
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

bool kept_answer(struct request *r, bool tells_copy)
{
    struct kept *kept = &r->web->kept;

    r->key = key_of(r, tells_copy);
    look_for_changes(kept, r->book);
    for (size_t i = 0; i < KEPT_PAGES; i++)
        if (kept->page[i].key && !strcmp(kept->page[i].key, r->key))
            r->kept = kept->page[i].answer;
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
    *to = (struct kept_page){r->key, r->kept};
    r->key = NULL;
    kept->next = (kept->next + 1) % KEPT_PAGES;
}

const struct rack *kept_rack(struct request *r, struct error *err)
{
    struct kept *kept = &r->web->kept;

    look_for_changes(kept, r->book);
    kept->has_rack = kept->has_rack || rack_of(r->book, &kept->rack, err);
    return kept->has_rack ? &kept->rack : NULL;
}
