/* One test of a skein: its two colours, and how it is ended; and the tests of a
 * skein on its own page. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/html.h"
#include "base/mem.h"
#include "book/record.h"
#include "fastness.h"
#include "form.h"
#include "page.h"
#include "routes.h"

static bool ask_of(struct request *r, int64_t skein, struct fast_answer *out,
                   struct error *err)
{
    const struct fast_request q = {
        .filter = ask_filter_any(), .skein = skein, .today = day_today()};

    return ask_fastness(r->book, &q, out, err);
}

bool fastness_of_skein(struct request *r, int64_t skein, struct error *err)
{
    struct fast_answer a;

    if (!ask_of(r, skein, &a, err))
        return false;
    if (a.count)
        text_add(&r->out,
                 "<section class=\"apart\" aria-labelledby=\"h-fast\"><h2 "
                 "id=\"h-fast\">How well it lasts</h2>\n<ol "
                 "class=\"hits lasts\">\n");
    for (size_t i = 0; i < a.count; i++)
        fastness_row(&r->out, &a.test[i]);
    text_add(&r->out, a.count ? "</ol></section>\n" : "");
    fast_answer_clear(&a);
    return true;
}

/* ---- the two colours -------------------------------------------------------
 */

static void add_colour(struct text *o, const char *what,
                       const struct ask_reading *q)
{
    html_addf(o, "<div><b>%s</b><br>", what);
    page_lab(o, q->colour.lab);
    html_addf(o, "<br><span class=\"quiet\">%s%s%s</span></div>",
              q->photo ? "by photo" : "by instrument", *q->day ? ", " : "",
              q->day);
}

static void add_grade(struct text *o, const struct fast_test *t)
{
    struct text grade = {0};

    fast_grade_words(t, &grade);
    html_addf(o,
              "<div class=\"say\"><b>Grade %s</b>&Delta;E_F %.1f, "
              "&Delta;E*ab %.1f, &Delta;E00 %.1f.%s%s%s</div>\n",
              text_str(&grade), t->de_f, t->de76, t->compared.de00,
              t->compared.de00 <= t->compared.T
                  ? " The readings cannot tell it from no change."
                  : "",
              t->state != FAST_ENDED ? " So far: it has not ended." : "",
              t->changed ? " As it was then: more was done to it since." : "");
    text_clear(&grade);
    text_add(o, "<figure class=\"touching\">");
    fastness_pair(o, t);
    text_add(o, "<figcaption>");
    add_colour(o, t->covered ? "Covered" : "Before", &t->original);
    add_colour(o, t->exposed ? "Exposed" : "After", &t->tested);
    html_addf(o,
              "</figcaption></figure>\n<p class=\"small quiet\">For D50, "
              "2&deg;; 5 is no change, 1 a great one. %s</p>\n",
              fast_caution);
}

static void add_answer(struct text *o, const struct fast_test *t)
{
    struct text why = {0};

    if (t->lack == FAST_GRADED) {
        add_grade(o, t);
        return;
    }
    fast_lack_words(t, &why);
    html_addf(o, "<div class=\"say plain\"><b>No grade yet</b>%s</div>\n",
              text_str(&why));
    text_clear(&why);
}

/* ---- ending it -------------------------------------------------------------
 */

/* "#12", the reading that a test names, or "". */
static void named(const struct record *test, const char *field, char out[24])
{
    const struct record_field *f = record_get(test, field);

    *out = '\0';
    if (f)
        snprintf(out, 24, "#%lld", (long long)f->ref_id);
}

/* "covered, 2026-11-15, L 31 a 12 b 9.8" */
static bool add_reading(struct request *r, int64_t id, const char *now,
                        struct error *err)
{
    struct record q;
    struct text words = {0};
    const struct record_field *f;
    char name[24];

    if (!record_read(r->book, NOUN_READING, id, &q, err))
        return false;
    snprintf(name, sizeof name, "#%lld", (long long)id);
    for (size_t i = 0; i < q.noun->field_count; i++) {
        static const char *const told[] = {"part", "on", "lab", "source"};

        f = &q.field[i];
        for (size_t k = 0; k < ARRAY_LEN(told); k++)
            if (f->words && !strcmp(f->field->name, told[k]))
                text_addf(&words, "%s%s", words.len ? ", " : "",
                          record_shown(f));
    }
    f = record_get(&q, "wet");
    if (f && !strcmp(f->words, "yes"))
        text_add(&words, ", wet");
    html_addf(&r->out, "<option value=\"%s\"", name);
    text_add(&r->out, now && !strcmp(now, name) ? " selected>" : ">");
    html_addf(&r->out, "%s</option>", text_str(&words));
    text_clear(&words);
    record_clear(&q);
    return true;
}

/* One of the skein's readings, or the one that the days tell. */
static bool add_choice(struct request *r, const struct record *test,
                       const char *name, const char *label, struct error *err)
{
    char recorded[24];
    const char *now = r->post ? pairs_get(&r->form, name) : recorded;
    int64_t *ids;
    size_t n;
    bool ok = record_children(r->book, NOUN_READING, "skein",
                              record_get(test, "skein")->ref_id, &ids, &n, err);

    named(test, name, recorded);
    html_addf(&r->out,
              "<p class=\"f\"><label for=\"%s\">%s</label><select id=\"%s\" "
              "name=\"%s\"><option value=\"\">the one its days tell</option>",
              name, label, name, name);
    for (size_t i = 0; ok && i < n; i++)
        ok = add_reading(r, ids[i], now, err);
    text_add(&r->out, "</select></p>\n");
    free(ids);
    return ok;
}

static bool add_end(struct request *r, const struct record *test,
                    const struct fast_test *t, const struct error *why,
                    struct error *err)
{
    struct text to = {0};
    char today[11];
    const char *end = r->post ? pairs_get(&r->form, "end") : t->end;
    bool ok;

    day_iso(day_today(), today);
    html_addf(&r->out,
              "<section class=\"apart\" aria-labelledby=\"h-end\"><h2 "
              "id=\"h-end\">%s</h2>\n"
              "<p class=\"acts\"><a class=\"btn\" href=\"/measure?skein=%-s\">"
              "Measure a photo</a> <a class=\"btn\" "
              "href=\"/record/reading?skein=%-s&amp;part=%s\">Enter a "
              "reading</a></p>\n",
              t->state == FAST_ENDED ? "Its end" : "End it", t->label, t->label,
              t->kind == FAST_LIGHT ? "exposed" : "whole");
    if (t->kind == FAST_LIGHT)
        text_add(&r->out, "<p class=\"quiet\">Read the covered part and the "
                          "exposed one in the same light: &ldquo;part&rdquo; "
                          "of each reading says which it is.</p>\n");
    text_addf(&to, "/fastness/%lld", (long long)t->id);
    page_form(r, text_str(&to), "class=\"log\"");
    if (why)
        form_why(r, why);
    form_field(r, "end", "Ended on", "a day, or today",
               end || r->post ? end : today, NULL);
    ok = add_choice(r, test, "before", "Before", err) &&
         add_choice(r, test, "after", "After", err);
    text_add(&r->out, "<p class=\"acts\"><button class=\"main\" "
                      "type=\"submit\">Save</button></p></form></section>\n");
    text_clear(&to);
    return ok;
}

/* ---- the page --------------------------------------------------------------
 */

static bool add_test(struct request *r, const struct record *test,
                     const struct fast_test *t, const struct error *why,
                     struct error *err)
{
    static const char *const skipped[] = {"skein", "kind", "before", "after"};
    struct text words = {0};
    bool ok;

    html_addf(&r->out,
              "<div class=\"head\"><h1>%s test of skein <a href=\"/skein/%-s\">"
              "%s</a></h1><p>",
              fast_kind_names[t->kind], t->label, t->label);
    fast_dye_words(t->dyestuffs, t->mordants, t->dips, t->no_mordant, &words);
    text_add(&words, "; ");
    fast_state_words(t, &words);
    html_addf(&r->out, "%s</p></div>\n", text_str(&words));
    text_clear(&words);
    add_answer(&r->out, t);
    text_add(&r->out, "<div class=\"apart\">");
    page_facts(&r->out, test, skipped, ARRAY_LEN(skipped));
    text_add(&r->out, "</div>\n");
    ok = add_end(r, test, t, why, err);
    html_addf(&r->out,
              "<p class=\"more\"><a href=\"/record/test/%lld\">Change or "
              "withdraw it</a> &middot; <a href=\"/fastness\">All tests</a>"
              "</p>\n",
              (long long)t->id);
    return ok;
}

/* The test of the address. */
static bool which(struct request *r, struct record *out, struct error *err)
{
    long long id;

    return (text_whole(request_part(r, "/fastness/"), &id) && id > 0) ||
                   error_set(err, ERR_MISSING, "there is no such test")
               ? record_read(r->book, NOUN_TEST, id, out, err)
               : false;
}

static bool show(struct request *r, const struct record *test,
                 const struct error *why, struct error *err)
{
    struct fast_answer a;
    const struct fast_test *t = NULL;
    bool ok;

    if (!ask_of(r, record_get(test, "skein")->ref_id, &a, err))
        return false;
    for (size_t i = 0; i < a.count; i++)
        if (a.test[i].id == test->id)
            t = &a.test[i];
    if (t) {
        page_begin(r, "Test", NULL);
        ok = add_test(r, test, t, why, err);
        page_end(r);
        if (why)
            r->status = 400;
    } else { /* withdrawn, or its skein is */
        request_go(r, "/record/test/%lld", (long long)test->id);
        ok = true;
    }
    fast_answer_clear(&a);
    return ok;
}

bool fast_test_page(struct request *r, struct error *err)
{
    struct record test;
    bool ok;

    if (!which(r, &test, err))
        return false;
    ok = show(r, &test, NULL, err);
    record_clear(&test);
    return ok;
}

/* What was said of its end that is not recorded yet. */
static size_t changed(const struct request *r, const struct record *test,
                      struct record_value v[3])
{
    static const char *const readings[] = {"before", "after"};
    const struct record_field *end = record_get(test, "end");
    const char *typed = pairs_nth(&r->form, "end", 0);
    size_t n = 0;

    if (typed && strcmp(typed, end ? end->words : "") != 0)
        v[n++] = (struct record_value){"end", typed};
    for (size_t i = 0; i < ARRAY_LEN(readings); i++) {
        char now[24];

        named(test, readings[i], now);
        typed = pairs_nth(&r->form, readings[i], 0);
        if (typed && strcmp(typed, now) != 0)
            v[n++] = (struct record_value){readings[i], typed};
    }
    return n;
}

bool fast_test_do(struct request *r, struct error *err)
{
    struct record test;
    struct record_value v[3];
    struct error why;
    struct text to = {0};
    size_t n;
    bool ok;

    if (!which(r, &test, err))
        return false;
    text_addf(&to, "/fastness/%lld", (long long)test.id);
    n = changed(r, &test, v);
    if (!n) {
        request_go(r, "%s", text_str(&to));
        ok = true;
    } else if (book_act_begin(r->book, "test edit", &why) &&
               record_edit(r->book, NOUN_TEST, test.id, v, n, NULL, &why) &&
               book_act_end(r->book, &why)) {
        page_saved(r, text_str(&to));
        ok = true;
    } else {
        book_act_cancel(r->book);
        ok = why.kind == ERR_STORE ? (*err = why, false)
                                   : show(r, &test, &why, err);
    }
    text_clear(&to);
    record_clear(&test);
    return ok;
}
