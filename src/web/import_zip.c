/*
 * What another dyer handed on: what would come in, and what differs, hers and
 * one's own side by side. The work is done in a process of its own, which makes
 * this part of the page too; a second one, that is shut, unpacks the file.
 */
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "base/html.h"
#include "base/mem.h"
#include "book/exchange.h"
#include "child.h"
#include "form.h"
#include "import.h"
#include "page.h"
#include "unpack.h"

#define PAGE_MAX (4u << 20) /* of the file's part of the page */

struct job {
    char *book, *face, *path, *name;
    bool look, own;
};

struct shown {
    int64_t act; /* that took it in */
    bool cut;    /* the page is longer than there is room for */
    char page[PAGE_MAX];
};

static void job_clear(void *job)
{
    struct job *j = job;

    free(j->book);
    free(j->face);
    free(j->path);
    free(j->name);
    free(j);
}

/* ---- the page, in the child -----------------------------------------------
 */

static void add_item(struct text *o, const struct exchange_item *item)
{
    html_addf(o, "<tr><th scope=\"row\">%s %s", item->noun->name, item->label);
    if (item->what == EXCHANGE_ADDS)
        text_add(o, "</th></tr>\n");
    else
        html_addf(o, " <small>%s</small></th><td>%s</td><td>%s</td></tr>\n",
                  item->field, item->here ? item->here : "not recorded",
                  item->there ? item->there : "not recorded");
}

/* Here and in the file, side by side. */
static void add_items(struct text *o, const struct exchange_taken *taken,
                      enum exchange_what what)
{
    bool any = false;

    for (size_t i = 0; i < taken->items; i++) {
        if (taken->item[i].what != what)
            continue;
        if (!any) {
            html_addf(o,
                      "<h2>%s <small class=\"num\">%zu</small></h2>\n<table "
                      "class=\"acts-done beside\"><thead><tr><th "
                      "scope=\"col\">Record</th>",
                      exchange_what_words(what), taken->count[what]);
            text_add(o, what == EXCHANGE_ADDS
                            ? "</tr></thead><tbody>\n"
                            : "<th scope=\"col\">Here</th><th scope=\"col\">"
                              "In the file</th></tr></thead><tbody>\n");
        }
        any = true;
        add_item(o, &taken->item[i]);
    }
    text_add(o, any ? "</tbody></table>\n" : "");
}

static void add_own(struct text *o, const struct job *job,
                    const struct exchange_taken *taken)
{
    if (!job->own && !taken->count[EXCHANGE_ADDS])
        return;
    text_add(o, "<p class=\"tick\"><input type=\"checkbox\" id=\"own\" "
                "name=\"own\" value=\"yes\"");
    text_add(o, job->own ? " checked>" : ">");
    text_add(o, "<label for=\"own\">Also what adds to my own records: it comes "
                "from another book of mine</label></p>\n<p class=\"acts\">"
                "<button name=\"do\" value=\"look\" type=\"submit\">Look at it "
                "so</button></p>\n");
}

static void add_page(struct text *o, const struct job *job,
                     const struct exchange_taken *taken)
{
    struct text words = {0};

    exchange_taken_words(taken, &words);
    text_add(o, "<div class=\"read\">");
    form_lines(o, "p", text_str(&words));
    text_add(o, "</div>\n");
    text_clear(&words);
    html_addf(o,
              "<input type=\"hidden\" name=\"kept\" value=\"%s\"><input "
              "type=\"hidden\" name=\"seen\" value=\"%s\">\n",
              job->name, job->own ? "own" : "others");
    if (exchange_news(taken))
        text_add(o, "<p class=\"acts\"><button class=\"main\" name=\"do\" "
                    "value=\"take\" type=\"submit\">Take it in</button></p>\n");
    else
        text_add(o, "<p><b>There is nothing new in it.</b></p>\n");
    add_own(o, job, taken);
    for (int what = 0; what < EXCHANGE_WHATS; what++)
        add_items(o, taken, (enum exchange_what)what);
    if (taken->items == EXCHANGE_ITEMS)
        html_addf(o, "<p class=\"quiet\">%d shown of all these.</p>\n",
                  EXCHANGE_ITEMS);
}

static bool take(const void *from, const int *files, void *result,
                 struct error *err)
{
    const struct job *job = from;
    struct unpacker unpacker; /* before the book is open, so that it has none */
    struct shown *out = result;
    struct exchange_taken taken = {0};
    struct book *book = NULL;
    struct text page = {0};
    bool ok = unpack_start(job->path, &unpacker, err) &&
              book_open(job->book, &book, err);

    (void)files;
    if (ok) {
        book_acts_from(book, job->face);
        ok = exchange_take(book, &unpacker.file, job->look, job->own, &taken,
                           err);
    }
    if (ok) {
        out->act = taken.act;
        add_page(&page, job, &taken);
        out->cut = page.len >= sizeof out->page;
        if (!out->cut)
            memcpy(out->page, text_str(&page), page.len);
    }
    text_clear(&page);
    exchange_taken_clear(&taken);
    book_close(book);
    unpack_end(&unpacker);
    return ok;
}

/* ---- the request ----------------------------------------------------------
 */

static bool show(struct request *r, struct error *err)
{
    const struct job *job = r->job;
    struct error why;
    const struct shown *done = child_result(r->child, &why);

    if (done && done->act) {
        unlink(job->path);
        request_go(r, "/?saved=%lld", (long long)done->act);
        return true;
    }
    if (done && done->cut)
        return error_set(err, ERR_LIMIT,
                         "it has too much for a page: take it in with "
                         "\"hanklab import\"");
    import_begin(r, done ? NULL : &why);
    page_style(r, "exchange.css");
    if (done) {
        page_form(r, "/import", "");
        text_add(&r->out, done->page);
        text_add(&r->out, "</form>\n");
    }
    text_add(&r->out, "<p class=\"more\"><a href=\"/import\">Choose another "
                      "file</a></p>\n");
    page_end(r);
    return true;
}

bool import_zip(struct request *r, const char *name, struct error *err)
{
    const char *what = pairs_get(&r->form, "do"),
               *seen = pairs_get(&r->form, "seen");
    struct job *job = mem_new(1, sizeof *job);

    *job = (struct job){
        .book = mem_text(book_folder(r->book)),
        .face = mem_text(r->device ? r->device : "page"),
        .name = mem_text(name),
        .own = pairs_get(&r->form, "own") != NULL,
    };
    /* Nothing is taken in otherwise than it was seen. */
    job->look = !what || strcmp(what, "take") != 0 || !seen ||
                strcmp(seen, job->own ? "own" : "others") != 0;
    r->job = job;
    r->job_clear = job_clear;
    return import_path(r, name, &job->path, err) &&
           child_start(r,
                       &(struct child_task){.work = take,
                                            .job = job,
                                            .size = sizeof(struct shown),
                                            .ours = true},
                       show, err);
}
