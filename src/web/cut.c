/* Pieces cut off a skein. The words are those of "hanklab cut". */
#include "book/cut.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/html.h"
#include "base/mem.h"
#include "base/parts.h"
#include "form.h"
#include "page.h"
#include "routes.h"

#define ROWS 3
#define MAX_ROWS 40

static const struct {
    const char *name, *label, *hint, *key; /* key: of a piece's words */
} row_asked[] = {
    {"p-weight", "weight", "20 g", "weight"},
    {"p-number", "number", "next", "number"},
    {"p-code", "code on tag", "29", "code"},
    {"p-note", "note", "", "note"},
};

struct entry {
    int64_t skein;
    char *piece[MAX_ROWS];
    size_t count, row_of[MAX_ROWS];
};

static size_t rows_of(const struct request *r)
{
    size_t n = 0;

    while (n < MAX_ROWS && pairs_nth(&r->form, "p-weight", n))
        n++;
    return n;
}

/* Row i as the words of a piece: "weight=20 g; code=A3b"; NULL: empty. */
static char *read_piece(const struct request *r, size_t i)
{
    struct text piece = {0};

    for (size_t k = 0; k < ARRAY_LEN(row_asked); k++) {
        const char *words = pairs_nth(&r->form, row_asked[k].name, i);
        if (parts_said(words))
            text_addf(&piece, "%s%s=%s", piece.len ? "; " : "",
                      row_asked[k].key, words);
    }
    return piece.len ? text_take(&piece) : NULL;
}

static bool read_entry(struct request *r, struct entry *e, struct error *err)
{
    const char *which = request_value(r, "skein");
    struct error why;

    if (!which)
        return error_set(err, ERR_INPUT, "skein: say which is cut");
    if (!record_find(r->book, NOUN_SKEIN, which, &e->skein, &why))
        return error_set(err, why.kind, "skein: %s", why.text);
    for (size_t i = 0, n = rows_of(r); i < n; i++) {
        char *piece = read_piece(r, i);
        if (!piece)
            continue;
        e->row_of[e->count] = i;
        e->piece[e->count++] = piece;
    }
    return e->count || error_set(err, ERR_INPUT,
                                 "say a piece: its weight, a number or a code");
}

/* ---- the form --------------------------------------------------------------
 */

/* Whether why is about the piece of row i. */
static bool is_of(const struct error *why, const struct entry *e, size_t i)
{
    for (size_t k = 0; why && e && k < e->count; k++) {
        struct text begin = {0};
        bool same;
        text_addf(&begin, "piece \"%s\"", e->piece[k]);
        same = e->row_of[k] == i &&
               !strncmp(why->text, text_str(&begin), begin.len);
        text_clear(&begin);
        if (same)
            return true;
    }
    return false;
}

static void add_row(struct request *r, size_t i, const struct error *why)
{
    text_add(&r->out, "<li>");
    for (size_t k = 0; k < ARRAY_LEN(row_asked); k++) {
        html_addf(
            &r->out,
            "<p><label for=\"%s-%zu\"><span class=\"hide\">Piece %zu: "
            "</span>%s</label><input id=\"%s-%zu\" name=\"%s\" value=\"%s\" "
            "placeholder=\"%s\" autocomplete=\"off\"",
            row_asked[k].name, i, i + 1, row_asked[k].label, row_asked[k].name,
            i, row_asked[k].name, pairs_nth(&r->form, row_asked[k].name, i),
            row_asked[k].hint);
        if (why && !k)
            form_mark(&r->out);
        text_add(&r->out, "></p>");
    }
    if (why)
        form_mark_why(&r->out, why->text);
    text_add(&r->out, "</li>\n");
}

static void add_fields(struct request *r, const struct entry *e, size_t more,
                       const struct error *why)
{
    size_t n = r->post ? rows_of(r) + more : ROWS;

    text_add(&r->out, "<fieldset class=\"shared\"><legend><h2>The skein</h2>"
                      "</legend>\n");
    form_field(r, "skein", "Skein", "number, code or name",
               request_value(r, "skein"), why);
    text_add(&r->out, "</fieldset>\n<fieldset class=\"rows four\"><legend><h2>"
                      "Pieces</h2></legend>\n<p class=\"echo\">A row left "
                      "empty is no piece; numbers are handed out.</p>\n<ol>\n");
    for (size_t i = 0; i < n && i < MAX_ROWS; i++)
        add_row(r, i, is_of(why, e, i) ? why : NULL);
    text_add(&r->out,
             "</ol>\n<p class=\"sum\"><button type=\"submit\" name=\"do\" "
             "value=\"more\">More rows</button></p>\n</fieldset>\n");
}

static bool add_read(struct request *r, const struct entry *e,
                     const struct text *echo, struct error *err)
{
    struct text skein = {0};
    bool ok = form_skein(r, e->skein, &skein, err);
    struct pot_result none = {0};
    struct text all = {0};

    text_addf(&all, "skein %s is cut: %zu piece%s\n%s", text_str(&skein),
              e->count, e->count == 1 ? "" : "s", text_str(echo));
    ok = ok && form_echo(r, &all, &none, "", err);
    text_clear(&skein);
    text_clear(&all);
    return ok;
}

/* e: of the form that was sent, to say how it is read unless refused. */
static bool show(struct request *r, const struct entry *e, size_t more,
                 const struct error *refused, struct error *err)
{
    struct text echo = {0};
    struct error why;
    bool ok = true;

    if (refused)
        why = *refused;
    else if (e &&
             !skein_cut_try(r->book, e->skein, (const char *const *)e->piece,
                            e->count, &echo, &why))
        refused = &why;
    page_begin(r, "Cut", "Log");
    text_add(&r->out,
             "<div class=\"logtop\"><h1>Cut a skein</h1><p "
             "class=\"quiet\">Each piece is a new skein with the whole "
             "life of the old one before its own. What is not cut off "
             "stays under the old number.</p></div>\n");
    page_form(r, "/cut", "class=\"log\"");
    if (refused)
        form_why(r, &why);
    else if (e)
        ok = add_read(r, e, &echo, err);
    add_fields(r, e, more, refused ? &why : NULL);
    form_buttons(r, "Save");
    text_add(&r->out, "</form>\n");
    page_end(r);
    if (refused)
        r->status = 400;
    text_clear(&echo);
    return ok;
}

bool cut_page(struct request *r, struct error *err)
{
    return show(r, NULL, 0, NULL, err);
}

static bool save(struct request *r, const struct entry *e, struct error *err)
{
    int64_t ids[MAX_ROWS];
    struct error why;
    struct text label = {0}, to = {0};

    if (skein_cut(r->book, e->skein, (const char *const *)e->piece, e->count,
                  ids, NULL, &why)) {
        bool ok = record_label(r->book, NOUN_SKEIN, e->skein, &label, err);
        html_addf(&to, "/skein/%-s", text_str(&label));
        page_saved(r, text_str(&to));
        text_clear(&label);
        text_clear(&to);
        return ok;
    }
    if (why.kind == ERR_STORE) {
        *err = why;
        return false;
    }
    return show(r, e, 0, &why, err);
}

bool cut_save(struct request *r, struct error *err)
{
    struct entry e = {0};
    const char *what = request_value(r, "do");
    struct error why;
    bool ok = read_entry(r, &e, &why);

    if (what && !strcmp(what, "more"))
        ok = show(r, NULL, ROWS, NULL, err);
    else if (!ok)
        ok = show(r, &e, 0, &why, err);
    else if (what && !strcmp(what, "try"))
        ok = show(r, &e, 0, NULL, err);
    else
        ok = save(r, &e, err);
    for (size_t i = 0; i < e.count; i++)
        free(e.piece[i]);
    return ok;
}
