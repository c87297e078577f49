/* What takes no page of its own: the ground, undo; and what did not fit the
 * thumb bar. */
#include <stdlib.h>
#include <string.h>

#include "base/html.h"
#include "base/mem.h"
#include "book/history.h"
#include "page.h"
#include "routes.h"

/* An address inside this book only. */
static const char *way_back(const struct request *r)
{
    const char *to = pairs_get(&r->form, "to");

    return to && *to == '/' && to[1] != '/' && !strpbrk(to, "\\\r\n\t") ? to
                                                                        : "/";
}

bool ground_set(struct request *r, struct error *err)
{
    static const char *const grounds[] = {"light", "mid", "dark"};
    const char *ground = pairs_get(&r->form, "ground");

    (void)err;
    for (size_t i = 0; ground && i < ARRAY_LEN(grounds); i++)
        if (!strcmp(grounds[i], ground))
            request_cookie(r,
                           "ground=%s; Path=/; Max-Age=31536000; SameSite=Lax; "
                           "HttpOnly",
                           grounds[i]);
    request_go(r, "%s", way_back(r));
    return true;
}

/* Whether the act had itself taken one back. */
static bool took_back(struct book *book, int64_t act, bool *is,
                      struct error *err)
{
    struct history_act *acts;
    size_t n;

    *is = false;
    if (!history_acts_all(book, &acts, &n, err))
        return false;
    for (size_t i = 0; i < n; i++)
        *is = *is || (acts[i].id == act && acts[i].undoes);
    history_acts_free(acts, n);
    return true;
}

bool undo_do(struct request *r, struct error *err)
{
    const char *words = pairs_get(&r->form, "act");
    long long act = 0;
    int64_t done;
    bool again;

    if (words && !text_whole(words, &act))
        return error_set(err, ERR_INPUT, "\"%s\" is not the number of an act",
                         words);
    if (!history_undo(r->book, act, &done, err) ||
        !took_back(r->book, done, &again, err))
        return false;
    request_go(r, "/?%s=%lld", again ? "redone" : "undone", (long long)done);
    return true;
}

bool more_page(struct request *r, struct error *err)
{
    static const struct {
        const char *address, *word, *what;
        bool home;
    } rows[] = {
        {"/compare", "Compare", "two skeins side by side"},
        {"/grid", "Grid", "mean colours by two things"},
        {"/fade", "Fade", "how the exhausts of a bath fade"},
        {"/match", "Match", "which recipe comes near a colour"},
        {"/palette", "Palette", "colours that go together"},
        {"/fastness", "Fastness", "how well colours last; what is due"},
        {"/plan", "Plan", "wanted colours: what goes together, and when"},
        {"/reckon", "Reckon", "what to weigh before the pot is lit"},
        {"/split", "Split", "a hank into pieces, by metres and grams"},
        {"/print", "Print", "tags to tie on, and other papers"},
        {"/cupboard", "Cupboard", "materials, supplies, yarns, waters, cards"},
        {"/history", "History", "what was done, and taking it back"},
        {"/export", "Hand on", "results for another dyer, in one file"},
        {"/import", "Take in", "your own list from a spreadsheet"},
        {"/devices", "Devices", "a phone or tablet that may open the book"},
        {"/copies", "Copies", "a copy of the whole book on another disk", true},
        {"/withdrawn", "Withdrawn", "what was put away, and bringing it back"},
    };

    (void)err;
    page_begin(r, "More", "More");
    text_add(&r->out, "<div class=\"head\"><h1>More</h1></div>\n"
                      "<ul class=\"ways whole\">\n");
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        if (rows[i].home && !r->home)
            continue;
        html_addf(&r->out,
                  "<li><a href=\"%s\">%s</a> <span class=\"quiet\">%s</span>"
                  "</li>\n",
                  rows[i].address, rows[i].word, rows[i].what);
    }
    text_add(&r->out, "</ul>\n");
    page_end(r);
    return true;
}
