/* What takes no page of its own: the ground, undo; and what did not fit the
 * thumb bar. */
#include <stdlib.h>
#include <string.h>

#include "base/html.h"
#include "base/mem.h"
#include "book/history.h"
#include "book/record.h"
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

/* Of an act that was taken back: had it taken one back, had it made a plan. */
static bool what_was_it(struct book *book, int64_t act, bool *again,
                        bool *planned, struct error *err)
{
    struct history_act *acts;
    size_t n;

    *again = *planned = false;
    if (!history_acts_all(book, &acts, &n, err))
        return false;
    for (size_t i = 0; i < n; i++) {
        if (acts[i].id != act)
            continue;
        *again = acts[i].undoes != 0;
        *planned = !strcmp(acts[i].what, "plan make");
    }
    history_acts_free(acts, n);
    return true;
}

/* Whether what a page shows is still in the book. */
static bool still_there(struct request *r, const char *to)
{
    static const struct {
        const char *place, *which;
        enum noun_id noun;
    } pages[] = {{"/skein/", "", NOUN_SKEIN},
                 {"/bath/", "", NOUN_BATH},
                 {"/fastness/", "#", NOUN_TEST}};
    bool there = true;

    for (size_t i = 0; i < ARRAY_LEN(pages); i++) {
        const size_t skip = strlen(pages[i].place);
        struct text which = {0};
        struct record rec;
        struct error none;
        int64_t id;

        if (strncmp(to, pages[i].place, skip) != 0)
            continue;
        const char *part = to + skip;
        const size_t digits = strspn(part, "0123456789");
        text_add(&which, pages[i].which);
        text_add_n(&which, part, digits);
        there =
            !digits || (record_find(r->book, pages[i].noun, text_str(&which),
                                    &id, &none) &&
                        record_read(r->book, pages[i].noun, id, &rec, &none));
        text_clear(&which);
        if (digits && there) {
            there = !rec.withdrawn;
            record_clear(&rec);
        }
        break;
    }
    return there;
}

bool undo_do(struct request *r, struct error *err)
{
    const char *words = pairs_get(&r->form, "act"), *to = way_back(r);
    long long act = 0;
    int64_t done;
    bool again, planned;

    if (words && !text_whole(words, &act))
        return error_set(err, ERR_INPUT, "\"%s\" is not the number of an act",
                         words);
    if (!history_undo(r->book, act, &done, err) ||
        !what_was_it(r->book, done, &again, &planned, err))
        return false;
    if (planned)
        to = "/plan";
    else if (!still_there(r, to))
        to = "/";
    request_go(r, "%s%c%s=%lld", to, strchr(to, '?') ? '&' : '?',
               again ? "redone" : "undone", (long long)done);
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
