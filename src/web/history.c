/* What was done, the newest first; and one act with all that it changed. */
#include "history.h"

#include <stdlib.h>
#include <string.h>

#include "base/html.h"
#include "base/mem.h"
#include "page.h"
#include "routes.h"

enum {
    ACTS = 100,     /* on one page */
    EDITS = 4,      /* fields told in the list of acts */
    EDIT_ROWS = 60, /* looked at for them; some only follow from others */
    CHANGES = 400,  /* told of one act */
    STATES = 20,    /* new records told whole */
};

/* ---- in words -------------------------------------------------------------
 */

void history_by(struct text *out, const struct history_act *act)
{
    const char *by = history_act_by(act);

    html_addf(out, "on %s%s",
              act->device && strcmp(by, "page") != 0 ? "" : "the ", by);
}

/* A field's words; there may have been none. */
static void add_words(struct text *o, const char *tag, const char *words)
{
    text_addf(o, words ? "<%s>" : "<%s class=\"none\">", tag);
    html_addf(o, "%s", words ? words : "not recorded");
    text_addf(o, "</%s>", tag);
}

void history_diff(struct text *out, const struct history_change *c)
{
    const struct field *f = c->what ? noun_field(c->noun, c->what) : NULL;

    if (!c->what)
        return;
    if (!strcmp(c->field, "withdrawn")) {
        text_add(out, strcmp(c->is, "yes") ? "<li>brought back</li>\n"
                                           : "<li>put away</li>\n");
        return;
    }
    html_addf(out, "<li><span>%s</span> ", f ? f->title : c->what);
    add_words(out, "del", c->was);
    text_add(out, " <span aria-hidden=\"true\">\xE2\x86\x92</span> ");
    add_words(out, "ins", c->is);
    text_add(out, "</li>\n");
}

static void add_undo(struct request *r, int64_t act)
{
    page_form(r, "/undo", NULL);
    page_way_back(r);
    html_addf(&r->out,
              "<input type=\"hidden\" name=\"act\" value=\"%lld\">"
              "<button type=\"submit\">Undo</button></form>",
              (long long)act);
}

/* ---- the list -------------------------------------------------------------
 */

/* The first fields that it changed of what was there before. */
static bool add_edits(struct request *r, const struct history_act *a,
                      struct error *err)
{
    struct text *o = &r->out;
    struct history_change *c;
    size_t n, told = 0;
    bool more;

    if (!history_changes_first(r->book, a->id, true, EDIT_ROWS, &c, &n, &more,
                               err))
        return false;
    for (size_t i = 0; i < n; i++) {
        if (!c[i].noun || !c[i].what)
            continue;
        if (told++ == EDITS) {
            html_addf(o,
                      "<li><a href=\"/history?act=%lld\">and more</a></li>\n",
                      (long long)a->id);
            break;
        }
        text_add(o, told == 1 ? "<ul class=\"diff\">\n" : "");
        history_diff(o, &c[i]);
    }
    text_add(o, told ? "</ul>\n" : "");
    history_changes_free(c, n);
    return true;
}

/* acts: the ones that are listed, for what one of them took back. */
static bool add_act(struct request *r, const struct history_act *acts, size_t n,
                    const struct history_act *a, struct error *err)
{
    const bool begins = !strcmp(a->what, "init");
    struct text *o = &r->out;
    char when[24];

    history_act_when(a, when);
    html_addf(o,
              "<li class=\"%s\"><span class=\"num\">%s</span><div><p><a "
              "href=\"/history?act=%lld\">%s",
              a->undone ? "undone" : "stands", when + 11, (long long)a->id,
              history_act_words(a));
    for (size_t i = 0; i < n; i++)
        if (acts[i].id == a->undoes)
            html_addf(o, ": %s", history_act_words(&acts[i]));
    html_addf(o, "</a> %s</p>\n", begins ? "" : a->about);
    if (!add_edits(r, a, err))
        return false;
    text_add(o, "<p class=\"quiet small\">");
    history_by(o, a);
    text_add(o, a->undone ? "; taken back</p></div>" : "</p></div>");
    if (a->later && !a->undone)
        html_addf(o,
                  "<p class=\"small\"><a href=\"/history?act=%lld\">changed "
                  "since</a></p>",
                  (long long)a->later);
    else if (!a->undone && !begins)
        add_undo(r, a->id);
    text_add(o, "</li>\n");
    return true;
}

static bool all_acts(struct request *r, int64_t before, struct error *err)
{
    struct text *o = &r->out;
    struct history_act *acts;
    char day[11] = "", when[24];
    size_t n;
    bool ok = true;

    if (!history_acts(r->book, before, ACTS, &acts, &n, err))
        return false;
    text_add(o, "<div class=\"head\"><h1>History</h1><p>What was done, the "
                "newest first. Nothing is ever lost.</p></div>\n");
    for (size_t i = 0; ok && i < n; i++) {
        history_act_when(&acts[i], when);
        if (strncmp(when, day, 10) != 0) {
            memcpy(day, when, 10);
            text_add(o, i ? "</ol>\n" : "");
            html_addf(o, "<h2>%s</h2>\n<ol class=\"tale\">\n", day);
        }
        ok = add_act(r, acts, n, &acts[i], err);
    }
    text_add(o, n ? "</ol>\n" : "");
    if (n == ACTS && acts[n - 1].id > 1)
        html_addf(o,
                  "<p class=\"more\"><a href=\"/history?before=%lld\">What was "
                  "done before</a></p>\n",
                  (long long)acts[n - 1].id);
    history_acts_free(acts, n);
    return ok;
}

/* ---- one act --------------------------------------------------------------
 */

/* All that is recorded of it after the act that began it. */
static bool add_state(struct request *r, const struct history_change *c,
                      struct error *err)
{
    struct record rec;

    if (!history_record_at(r->book, c->noun, c->record, c->act, &rec, err))
        return false;
    page_facts(&r->out, &rec, NULL, 0);
    record_clear(&rec);
    return true;
}

static bool is_same(const struct history_change *a,
                    const struct history_change *b)
{
    return a->noun == b->noun && a->record == b->record;
}

/* What one record of it was, and is; c[0] to c[n - 1] are of that one. */
static bool add_one(struct request *r, const struct history_change *c, size_t n,
                    size_t *states, struct error *err)
{
    struct text *o = &r->out, said = {0};
    const bool began = !c->field;

    record_said(c->noun, c->label, &said);
    html_addf(o, "<li><h2><a href=\"/history?noun=%s&amp;id=%lld\">%s</a>",
              c->noun->name, (long long)c->record, text_str(&said));
    text_add(o, began ? " <small>new</small></h2>\n" : "</h2>\n");
    text_clear(&said);
    if (began && (*states)++ < STATES && !add_state(r, c, err))
        return false;
    text_add(o, n > began ? "<ul class=\"diff\">\n" : "");
    for (size_t i = began; i < n; i++)
        history_diff(o, &c[i]);
    text_add(o, n > began ? "</ul>\n</li>\n" : "</li>\n");
    return true;
}

static bool add_changes(struct request *r, int64_t act, struct error *err)
{
    struct history_change *c;
    size_t n, of, states = 0;
    bool more, ok = true;

    if (!history_changes_first(r->book, act, false, CHANGES, &c, &n, &more,
                               err))
        return false;
    text_add(&r->out, "<ul class=\"did\">\n");
    for (size_t i = 0; ok && i < n; i += of) {
        for (of = 1; i + of < n && is_same(&c[i], &c[i + of]);)
            of++;
        ok = !c[i].noun || add_one(r, &c[i], of, &states, err);
    }
    text_add(&r->out, "</ul>\n");
    if (more)
        html_addf(
            &r->out,
            "<p>These are the first %d; <code>hanklab history %lld</code> "
            "lists them all.</p>\n",
            CHANGES, (long long)act);
    history_changes_free(c, n);
    return ok;
}

/* The way back, or what stands in it. */
static void add_way_back(struct request *r, const struct history_act *a,
                         const struct history_act *later)
{
    char when[24];

    if (a->undone) {
        text_add(&r->out, "<p><b>This was taken back.</b></p>\n");
    } else if (later) {
        history_act_when(later, when);
        html_addf(&r->out,
                  "<p>To undo it, first undo what <a href=\"/history?act="
                  "%lld\">was done on %s</a> (%s), which changed the same "
                  "later.</p>\n",
                  (long long)later->id, when, history_act_words(later));
    } else if (strcmp(a->what, "init") != 0) {
        add_undo(r, a->id);
    }
}

static const struct history_act *act_in(const struct history_act *acts,
                                        size_t n, int64_t id)
{
    for (size_t i = 0; i < n; i++)
        if (acts[i].id == id)
            return &acts[i];
    return NULL;
}

static bool one_act(struct request *r, int64_t act, struct error *err)
{
    const struct history_act *a;
    struct history_act *acts, *told = NULL;
    struct text *o = &r->out;
    size_t all, n = 0;
    char when[24];
    bool ok;

    if (!history_act_there(r->book, act, err) ||
        !history_acts_all(r->book, &acts, &all, err))
        return false;
    ok = history_acts(r->book, act + 1, 1, &told, &n, err);
    if (ok) {
        a = &told[0];
        history_act_when(a, when);
        html_addf(o, "<div class=\"head\"><h1>%s</h1><p>%s</p><p>%s, ",
                  history_act_words(a), a->about, when);
        history_by(o, a);
        text_add(o, "</p></div>\n");
        add_way_back(r, a, act_in(acts, all, a->later));
        ok = add_changes(r, act, err);
    }
    history_acts_free(told, n);
    history_acts_free(acts, all);
    return ok;
}

/* ---- pages ----------------------------------------------------------------
 */

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
    const char *act_words = request_value(r, "act"),
               *before_words = request_value(r, "before");
    long long id = 0, act = 0, before = 0;
    const struct noun *noun = named(r, &id);
    bool ok;

    if (before_words && (!text_whole(before_words, &before) || before < 1))
        before = 0;
    page_begin(r, "History", "History");
    page_style(r, "history.css");
    if (act_words)
        ok = text_whole(act_words, &act) ? one_act(r, act, err)
                                         : history_act_there(r->book, 0, err);
    else
        ok = noun ? history_of_record(r, noun, id, err)
                  : all_acts(r, before, err);
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
