/* A file is chosen that shall come into the book. See import.h. */
#include "import.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "base/html.h"
#include "base/mem.h"
#include "base/random.h"
#include "book/ledger.h"
#include "page.h"
#include "routes.h"
#include "sweep.h"

static char *path_of(const struct request *r, const char *name)
{
    struct text path = {0};

    text_addf(&path, "%s/cache/" SWEEP_WAITING "%s", book_folder(r->book),
              name);
    return text_take(&path);
}

bool import_keep(struct request *r, char name[33], struct error *err)
{
    unsigned char bytes[16];
    char *path;
    bool ok;

    if (!r->upload.path || !r->upload.size)
        return error_set(err, ERR_INPUT, "choose a file first");
    sweep_cache(r->book);
    if (!random_fill(bytes, sizeof bytes, err))
        return false;
    hex_of(bytes, sizeof bytes, name);
    path = path_of(r, name);
    ok = rename(r->upload.path, path) == 0 ||
         error_set(err, ERR_STORE, "the file cannot be put aside");
    free(path);
    if (ok) {
        free(r->upload.path);
        r->upload.path = NULL;
    }
    return ok;
}

bool import_path(struct request *r, const char *name, char **path,
                 struct error *err)
{
    bool ok =
        name && strlen(name) == 32 && strspn(name, "0123456789abcdef") == 32;

    *path = ok ? path_of(r, name) : NULL;
    if (ok && access(*path, R_OK) == 0)
        return true;
    free(*path);
    *path = NULL;
    return error_set(err, ERR_MISSING,
                     "that file is not here any more: choose it again");
}

void import_begin(struct request *r, const struct error *why)
{
    page_begin(r, "Take in", NULL);
    text_add(&r->out, "<div class=\"head\"><h1>Take in</h1></div>\n");
    if (why)
        html_addf(&r->out,
                  "<div class=\"say\" role=\"alert\"><b>Nothing was taken "
                  "in</b>%s</div>\n",
                  why->text);
}

void import_form(struct request *r, const char *look)
{
    struct text more = {0};

    text_addf(&more,
              "%s enctype=\"multipart/form-data\" "
              "data-most=\"%u\"",
              look, UPLOAD_MAX_BYTES);
    page_form(r, "/import", text_str(&more));
    text_clear(&more);
}

static void choose(struct request *r, const struct error *why)
{
    import_begin(r, why);
    import_form(r, "class=\"log one\"");
    html_addf(
        &r->out,
        "<p class=\"f\"><label for=\"file\">File</label><input id=\"file\" "
        "name=\"file\" type=\"file\" accept=\".csv,.tsv,.txt,.zip\" required "
        "aria-describedby=\"file-how\"></p>\n<p class=\"small quiet\" "
        "id=\"file-how\">Your own list from a spreadsheet, saved as CSV: the "
        "first row has headings, each other row is a skein with what was done "
        "to it. Or the zip file that another dyer handed on. At most %d MiB. "
        "It is shown first; nothing is taken in unseen.</p>\n<p "
        "class=\"acts\"><button class=\"main\" type=\"submit\">Look at it"
        "</button></p>\n</form>\n",
        (int)(UPLOAD_MAX_BYTES >> 20));
    page_end(r);
}

bool import_page(struct request *r, struct error *err)
{
    (void)err;
    choose(r, NULL);
    return true;
}

/* Which kind of file it is decides who goes on. */
static bool go_on(struct request *r, const char *name, struct error *err)
{
    char *path;
    bool zip, ok = import_path(r, name, &path, err);

    if (!ok)
        return false;
    ok = ledger_is_zip(path, &zip, err);
    free(path);
    if (!ok)
        return false;
    return zip ? import_zip(r, name, err) : import_list(r, name, err);
}

bool import_do(struct request *r, struct error *err)
{
    const char *name = pairs_get(&r->form, "kept");
    struct error why;
    char fresh[33];

    (void)err;
    if (r->upload.size) /* also the same one, put right */
        name = NULL;
    if ((name || import_keep(r, fresh, &why)) &&
        go_on(r, name ? name : fresh, &why))
        return true;
    choose(r, &why);
    return true;
}
