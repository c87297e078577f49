/* Copies of the whole book: when the last was made, and making one. */
#include "book/backup.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/html.h"
#include "base/mem.h"
#include "child.h"
#include "page.h"
#include "routes.h"

struct job {
    char *book, *to;
};

struct copied {
    size_t photos, fresh, unsound;
    char told[2000];
};

static void job_clear(void *job)
{
    struct job *j = job;

    free(j->book);
    free(j->to);
    free(j);
}

/* "on 2026-05-03, 12 days ago, into /media/stick/book" */
static void add_last(struct text *o, const struct backup_last *last)
{
    if (!last->ever)
        text_add(o, "<p>No copy was made yet.</p>\n");
    else if (last->days > 0)
        html_addf(o,
                  "<p>The last copy was made on %s, %d day%s ago, into "
                  "<b>%s</b>.</p>\n",
                  last->on, last->days, last->days == 1 ? "" : "s", last->to);
    else
        html_addf(o, "<p>The last copy was made today, into <b>%s</b>.</p>\n",
                  last->to);
}

/* done, why: what came of a copy just now, or NULL. */
static bool show(struct request *r, const char *to, const struct copied *done,
                 const struct error *why)
{
    struct text *o = &r->out;
    struct backup_last last;

    backup_last(r->book, &last);
    page_begin(r, "Copies", NULL);
    text_add(o, "<div class=\"head\"><h1>Copies of the book</h1></div>\n");
    if (why)
        html_addf(o,
                  "<div class=\"say\" role=\"alert\"><b>No copy was made</b>%s"
                  "</div>\n",
                  why->text);
    if (done)
        html_addf(o,
                  "<div class=\"say plain\" role=\"status\"><b>Copied</b>All "
                  "records and %zu photo%s, %zu of them new.%s%s</div>\n",
                  done->photos, done->photos == 1 ? "" : "s", done->fresh,
                  done->unsound ? " Not copied, for they are not sound: " : "",
                  done->told);
    add_last(o, &last);
    page_form(r, "/copies", "");
    html_addf(o,
              "<div class=\"gridset\"><p class=\"all\"><label for=\"to\">Into "
              "the folder, of the computer that runs hanklab</label><input "
              "class=\"long\" id=\"to\" name=\"to\" "
              "value=\"%s\" placeholder=\"/media/stick/hanklab\" required></p>"
              "<p><button class=\"main\" type=\"submit\">Copy now</button></p>"
              "</div></form>\n",
              to          ? to
              : last.ever ? last.to
                          : "");
    text_add(
        o, "<p class=\"quiet\">Best on another disk: a stick that lies in "
           "another house. The copy is a book itself; into an earlier copy "
           "goes what is new. No other book is ever written over, and what "
           "was cut off is gone on with by copying again. To bring one back, "
           "type there <code>hanklab restore</code> and the copy\xE2\x80\x99s "
           "folder.</p>\n");
    page_end(r);
    free(last.to);
    return true;
}

bool copies_page(struct request *r, struct error *err)
{
    (void)err;
    return show(r, NULL, NULL, NULL);
}

/* In the child, with a connection of its own. */
static bool copy(const void *from, const int *photo, void *result,
                 struct error *err)
{
    const struct job *job = from;
    struct copied *out = result;
    struct backup_done done;
    struct book *book;
    bool ok;

    (void)photo;
    if (!book_open(job->book, &book, err))
        return false;
    ok = backup_copy(book, job->to, NULL, &done, err);
    *out = (struct copied){done.photos, done.fresh, done.unsound, ""};
    snprintf(out->told, sizeof out->told, "%s", text_str(&done.told));
    backup_done_clear(&done);
    book_close(book);
    return ok;
}

static bool copied(struct request *r, struct error *err)
{
    const struct job *job = r->job;
    struct error why;
    const struct copied *done = child_result(r->child, &why);

    (void)err;
    return show(r, job->to, done, done ? NULL : &why);
}

bool copies_do(struct request *r, struct error *err)
{
    const char *to = pairs_get(&r->form, "to");
    struct error why;
    struct job *job;

    if (!to || *to != '/') {
        error_set(&why, ERR_INPUT,
                  "say the whole name of a folder, from / on: "
                  "/media/stick/hanklab");
        return show(r, to, NULL, &why);
    }
    job = mem_new(1, sizeof *job);
    *job = (struct job){mem_text(book_folder(r->book)), mem_text(to)};
    r->job = job;
    r->job_clear = job_clear;
    return child_start(r,
                       &(struct child_task){.work = copy,
                                            .job = job,
                                            .size = sizeof(struct copied),
                                            .ours = true},
                       copied, err);
}

/* Lines on the rack: that the book is on a network, and when there is much to
 * lose and no copy of late. */
void copies_remind(struct request *r, size_t skeins)
{
    const char *mind = book_warning(book_folder(r->book));
    struct backup_last last;

    if (r->home && mind)
        html_addf(&r->out, "<p class=\"quiet remind\">Mind: %s.</p>\n", mind);
    if (skeins < 20 || !r->home)
        return;
    backup_last(r->book, &last);
    if (!last.ever || last.days > 30)
        html_addf(
            &r->out,
            "<p class=\"quiet remind\">%s <a href=\"/copies\">Copy the book</a>"
            "</p>\n",
            last.ever ? "The last copy of the book is over a month old."
                      : "There is no copy of this book.");
    free(last.to);
}
