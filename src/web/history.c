/* What was done, what became of one record, and bringing a past state back. */
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "base/html.h"
#include "base/mem.h"
#include "book/history.h"
#include "page.h"
#include "routes.h"

#define ACTS 100

/* "2026-05-03 14:05", as it was at the place. */
static void add_moment(struct text *o, const struct history_act *a)
{
    time_t at = (time_t)(a->at / 1000 + (int64_t)a->offset_min * 60);
    char words[24] = "?";
    struct tm parts;

    if (gmtime_r(&at, &parts))
        strftime(words, sizeof words, "%Y-%m-%d %H:%M", &parts);
    text_add(o, words);
}

/* Where it was done, unless here. */
static const char *from(const char *device)
{
    if (!device)
        return "command line";
    return strcmp(device, "page") != 0 ? device : "";
}

/* "card add" as a dyer says it. */
static void add_what(struct text *o, const char *what)
{
    static const struct {
        const char *what, *words;
    } known[] = {{"init", "the book begun"}, {"log", "logged"},
                 {"treat", "treated"},       {"measure", "measured"},
                 {"photo", "photo kept"},    {"cut", "cut"},
                 {"ply", "plied"},           {"withdraw", "put away"},
                 {"back", "brought back"},   {"bring back", "brought back"},
                 {"undo", "taken back"}};
    const char *verb = strchr(what, ' ');

    for (size_t i = 0; i < ARRAY_LEN(known); i++)
        if (!strcmp(what, known[i].what)) {
            text_add(o, known[i].words);
            return;
        }
    if (verb && !strcmp(verb, " add"))
        html_addf(o, "new");
    else if (verb && !strcmp(verb, " edit"))
        html_addf(o, "changed");
    else
        html_addf(o, "%s", what);
}

/* acts: the ones that are listed, for what one of them took back. */
static void add_act(struct request *r, const struct history_act *acts, size_t n,
                    const struct history_act *a)
{
    struct text *o = &r->out;
    bool begins = !strcmp(a->what, "init");

    text_add(o, "<tr><td class=\"num\">");
    add_moment(o, a);
    text_add(o, "</td><td>");
    add_what(o, a->what);
    for (size_t i = 0; i < n; i++)
        if (acts[i].id == a->undoes) {
            text_add(o, ": ");
            add_what(o, acts[i].what);
        }
    html_addf(o, "</td><td>%s</td><td class=\"quiet\">%s</td><td>",
              begins ? "" : a->about, from(a->device));
    if (a->undone) {
        text_add(o, "taken back");
    } else if (!begins) {
        page_form(r, "/undo", NULL);
        html_addf(o,
                  "<input type=\"hidden\" name=\"act\" value=\"%lld\">"
                  "<button type=\"submit\">Undo</button></form>",
                  (long long)a->id);
    }
    text_add(o, "</td></tr>\n");
}

static bool all_acts(struct request *r, struct error *err)
{
    struct history_act *acts;
    size_t n;

    if (!history_acts(r->book, ACTS, &acts, &n, err))
        return false;
    text_add(&r->out, "<div class=\"head\"><h1>History</h1><p>What was done, "
                      "the newest first. Nothing is ever lost.</p></div>\n"
                      "<table class=\"acts-done acts-each\"><thead><tr><th>"
                      "when</th><th>what</th><th>about</th><th>from</th><th>"
                      "take it back</th></tr></thead><tbody>\n");
    for (size_t i = 0; i < n; i++)
        add_act(r, acts, n, &acts[i]);
    text_add(&r->out, "</tbody></table>\n");
    history_acts_free(acts, n);
    return true;
}

static bool of_record(struct request *r, const struct noun *noun, int64_t id,
                      struct error *err)
{
    struct history_change *c;
    struct text *o = &r->out, said = {0};
    int64_t told = 0; /* the act of the row above */
    size_t n;

    if (!history_changes(r->book, 0, noun, id, &c, &n, err))
        return false;
    record_said(noun, n ? c[0].label : "", &said);
    html_addf(
        o,
        "<div class=\"head\"><h1>History of %s</h1></div>\n"
        "<table class=\"acts-done\"><thead><tr><th>act</th><th>what</th>"
        "<th>was</th><th>is</th><th>bring back</th></tr></thead><tbody>\n",
        text_str(&said));
    text_clear(&said);
    for (size_t i = 0; i < n; i++) {
        const bool own = c[i].noun == noun && c[i].record == id;
        struct text what = {0};
        if (c[i].field && !c[i].what)
            continue;
        if (!own && c[i].noun) {
            record_said(c[i].noun, c[i].label, &what);
            text_add(&what, ": ");
        }
        text_add(&what, c[i].what ? c[i].what : "began");
        html_addf(o,
                  "<tr><td class=\"num\">%lld</td><td>%s</td><td>%s</td><td>"
                  "%s</td><td>",
                  (long long)c[i].act, text_str(&what), c[i].was, c[i].is);
        text_clear(&what);
        if (own && c[i].act != told) {
            told = c[i].act;
            page_form(r, "/back-to", NULL);
            html_addf(o,
                      "<input type=\"hidden\" name=\"noun\" value=\"%s\">"
                      "<input type=\"hidden\" name=\"id\" value=\"%lld\">"
                      "<input type=\"hidden\" name=\"act\" value=\"%lld\">"
                      "<button type=\"submit\">As it was after this</button>"
                      "</form>",
                      noun->name, (long long)id, (long long)c[i].act);
        }
        text_add(o, "</td></tr>\n");
    }
    text_add(o, "</tbody></table>\n");
    history_changes_free(c, n);
    return true;
}

/* The record that noun= and id= name; NULL when they name none. */
static const struct noun *named(const struct request *r, long long *id)
{
    const char *name = request_value(r, "noun"),
               *words = request_value(r, "id");
    const struct noun *noun = name ? noun_find(name) : NULL;

    return noun && words && text_whole(words, id) ? noun : NULL;
}

bool history_page(struct request *r, struct error *err)
{
    long long id = 0;
    const struct noun *noun = named(r, &id);
    bool ok;

    page_begin(r, "History", "History");
    ok = noun ? of_record(r, noun, id, err) : all_acts(r, err);
    page_end(r);
    return ok;
}

bool back_to_do(struct request *r, struct error *err)
{
    long long id = 0, act = 0;
    const struct noun *noun = named(r, &id);
    const char *words = pairs_get(&r->form, "act");

    if (!noun || !words || !text_whole(words, &act))
        return error_set(err, ERR_INPUT, "say which record, and which state");
    if (!history_bring_back(r->book, noun, id, act, err))
        return false;
    request_go(r, "/record/%s/%lld?saved=%lld", noun->name, id,
               (long long)book_act(r->book));
    return true;
}
