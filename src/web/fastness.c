/* How well colours last: what is due, the grades in order, and starting a test.
 * The words are those of "hanklab fastness" and "hanklab test add". */
#include "fastness.h"

#include <stdlib.h>
#include <string.h>

#include "base/html.h"
#include "base/mem.h"
#include "book/picture.h"
#include "book/record.h"
#include "colour/grade.h"
#include "form.h"
#include "narrow.h"
#include "page.h"
#include "routes.h"

#define LIGHT_DAYS 56 /* of a light test, unless said: common practice */

/* ---- what is due -----------------------------------------------------------
 */

static bool ask_due(struct request *r, struct fast_answer *out,
                    struct error *err)
{
    const struct fast_request due = {
        .filter = ask_filter_any(), .only_due = true, .today = day_today()};

    return ask_fastness(r->book, &due, out, err);
}

bool fastness_remind(struct request *r, struct error *err)
{
    struct fast_answer a;

    if (!ask_due(r, &a, err))
        return false;
    if (a.count == 1) {
        struct text state = {0};

        fast_state_words(&a.test[0], &state);
        html_addf(&r->out,
                  "<p class=\"quiet remind\">The %s test of skein %s: %s. <a "
                  "href=\"/fastness/%lld\">Look at it</a></p>\n",
                  fast_kind_names[a.test[0].kind], a.test[0].label,
                  text_str(&state), (long long)a.test[0].id);
        text_clear(&state);
    } else if (a.count) {
        html_addf(&r->out,
                  "<p class=\"quiet remind\">%zu tests of skeins are to be "
                  "looked at this week. <a href=\"/fastness\">See which</a>"
                  "</p>\n",
                  a.count);
    }
    fast_answer_clear(&a);
    return true;
}

/* Whatever the list is narrowed to. */
static bool add_due(struct request *r, struct error *err)
{
    struct fast_answer a;

    if (!ask_due(r, &a, err))
        return false;
    if (a.count)
        text_add(&r->out, "<section class=\"apart\" "
                          "aria-labelledby=\"h-due\"><h2 id=\"h-due\">"
                          "To be looked at this week</h2>\n<ol class=\"hits "
                          "lasts\">\n");
    for (size_t i = 0; i < a.count; i++)
        fastness_row(&r->out, &a.test[i]);
    text_add(&r->out, a.count ? "</ol></section>\n" : "");
    fast_answer_clear(&a);
    return true;
}

/* ---- the answer ------------------------------------------------------------
 */

void fastness_pair(struct text *o, const struct fast_test *t)
{
    const struct lab lab[] = {t->original.colour.lab, t->tested.colour.lab};

    html_addf(o,
              "<svg class=\"halves\" viewBox=\"0 0 20 10\" "
              "preserveAspectRatio=\"none\" shape-rendering=\"crispEdges\" "
              "role=\"img\" aria-label=\"Left %s, right %s\">",
              t->covered ? "covered" : "before",
              t->exposed ? "exposed" : "after");
    for (int i = 0; i < 2; i++) {
        html_addf(o, "<rect x=\"%d\" width=\"10\" height=\"10\" fill=\"",
                  10 * i);
        page_colour(o, lab[i]);
        text_add(o, "\"/>");
    }
    text_add(o, "</svg>");
}

/* The grade on a scale from 1, left, to 5, with how far it may be off. */
static void add_bar(struct text *o, const struct fast_test *t)
{
    narrow_bar(o, grade_decimal(t->de_f) - 1, grade_decimal(t->de_f_high) - 1,
               grade_decimal(t->de_f_low) - 1, 4);
}

void fastness_row(struct text *o, const struct fast_test *t)
{
    const bool graded = t->lack == FAST_GRADED;
    struct text words = {0};

    html_addf(o, "<li><a class=\"hs\" href=\"/fastness/%lld\">",
              (long long)t->id);
    if (graded)
        fastness_pair(o, t);
    html_addf(o, "<span class=\"tag\">%s</span></a><div><h3>%s, ", t->label,
              fast_kind_names[t->kind]);
    fast_dye_words(t->dyestuffs, t->mordants, t->dips, t->no_mordant, &words);
    html_addf(o, "%s</h3><p>", text_str(&words));
    text_reset(&words);
    fast_state_words(t, &words);
    html_addf(o, "%s%s%s</p>", text_str(&words), t->exposure ? "; " : "",
              t->exposure);
    text_reset(&words);
    fast_lack_words(t, &words);
    if (!graded)
        html_addf(o, "<p>No grade: %s</p>", text_str(&words));
    else if (t->compared.de00 <= t->compared.T)
        text_add(o, "<p>the readings cannot tell it from no change</p>");
    if (graded && t->changed)
        text_add(o, "<p>as it was then; more was done to it since</p>");
    text_add(o, "</div>");
    text_reset(&words);
    if (graded) {
        fast_grade_words(t, &words);
        html_addf(o, "<p class=\"num d\"><b>%s</b></p>", text_str(&words));
        add_bar(o, t);
    }
    text_add(o, "</li>\n");
    text_clear(&words);
}

static void add_groups(struct text *o, const struct fast_answer *a)
{
    text_add(o, "<section class=\"apart\" aria-labelledby=\"h-dye\"><h2 "
                "id=\"h-dye\">By dye "
                "and mordant</h2>\n<table class=\"near ranks\"><thead><tr><th>"
                "dye</th><th>test</th><th>tests</th><th>grade</th><th>best to "
                "worst</th></tr></thead><tbody>\n");
    for (size_t i = 0; i < a->groups; i++) {
        const struct fast_group *g = &a->group[i];
        struct text dye = {0};

        fast_dye_words(g->dyestuffs, g->mordants, g->dips, g->no_mordant, &dye);
        html_addf(o,
                  "<tr><td>%s</td><td>%s</td><td class=\"num\">%zu</td><td "
                  "class=\"num\"><b>%s</b></td><td class=\"num\">",
                  text_str(&dye), fast_kind_names[g->kind], g->tests,
                  grade_step(g->de_f));
        if (g->tests > 1)
            html_addf(o, "%s to %s", grade_step(g->best), grade_step(g->worst));
        text_add(o, "</td></tr>\n");
        text_clear(&dye);
    }
    text_add(o, "</tbody></table></section>\n");
}

static bool is_listed(const struct fast_test *t, bool graded)
{
    return graded ? t->lack == FAST_GRADED
                  : t->lack != FAST_GRADED && t->state != FAST_DUE &&
                        t->state != FAST_LATE;
}

/* Those with a grade, or those without; what is due stands above. */
static void add_tests(struct text *o, const struct fast_answer *a, bool graded,
                      const char *title)
{
    const char *id = graded ? "h-graded" : "h-rest";
    size_t shown = 0;

    for (size_t i = 0; i < a->count; i++)
        shown += is_listed(&a->test[i], graded);
    if (!shown)
        return;
    html_addf(o,
              "<section class=\"apart\" aria-labelledby=\"%s\"><h2 "
              "id=\"%s\">%s</h2>\n<ol "
              "class=\"hits lasts\">\n",
              id, id, title);
    for (size_t i = 0; i < a->count; i++)
        if (is_listed(&a->test[i], graded))
            fastness_row(o, &a->test[i]);
    text_add(o, "</ol></section>\n");
}

static void add_answer(struct request *r, const struct fast_answer *a)
{
    if (!a->count) {
        text_add(&r->out, "<p>No test of such a skein yet.</p>\n");
        return;
    }
    if (a->groups)
        add_groups(&r->out, a);
    add_tests(&r->out, a, true, "Each test");
    add_tests(&r->out, a, false, "Without a grade");
    if (a->graded)
        html_addf(
            &r->out,
            "<p class=\"say plain apart\"><b>5 is no change, 1 a great one</b>"
            "For D50, 2&deg;; in brackets how far a grade may be from "
            "it. %s</p>\n",
            fast_caution);
}

static void add_narrow(struct request *r)
{
    text_add(&r->out, "<form action=\"/fastness\" method=\"get\">\n");
    narrow_fields(r);
    text_add(&r->out, "</form>\n");
    narrow_chips(r);
}

/* ---- starting a test -------------------------------------------------------
 */

/* What was typed, what the address presets, or what is usual. */
static const char *words_of(const struct request *r, const char *name,
                            const char *usual)
{
    const char *words =
        r->post ? pairs_nth(&r->form, name, 0) : pairs_get(&r->query, name);

    return words ? words : usual;
}

static void add_kinds(struct request *r)
{
    const char *now = words_of(r, "kind", fast_kind_names[FAST_LIGHT]);

    text_add(&r->out, "<p class=\"f\"><label for=\"kind\">Test</label><select "
                      "id=\"kind\" name=\"kind\">");
    for (int k = 0; k < FAST_KINDS; k++) {
        html_addf(&r->out, "<option value=\"%s\"", fast_kind_names[k]);
        text_add(&r->out, strcmp(now, fast_kind_names[k]) ? ">" : " selected>");
        html_addf(&r->out, "%s</option>", fast_kind_names[k]);
    }
    text_add(&r->out, "</select></p>\n");
}

static void add_start(struct request *r, const struct error *why)
{
    char today[11], due[11];

    day_iso(day_today(), today);
    day_iso(day_add(day_today(), LIGHT_DAYS), due);
    text_add(&r->out,
             "<section class=\"apart\" aria-labelledby=\"start\"><h2 "
             "id=\"start\">Start a test</h2>\n<p class=\"quiet\">Wind yarn of "
             "the skein on a card, cover half of it and put it into a window; "
             "wash it; or rub it on white cloth.</p>\n");
    page_form(r, "/fastness", "class=\"log\"");
    if (why)
        form_why(r, why);
    form_field(r, "skein", "Skeins", "12, or 6-8", words_of(r, "skein", ""),
               NULL);
    add_kinds(r);
    form_field(r, "start", "Begun on", "a day, or today",
               words_of(r, "start", today), NULL);
    form_field(r, "due", "Look at it on", "a day, with its year",
               words_of(r, "due", due), NULL);
    form_field(r, "exposure", "How", "south window, half covered",
               words_of(r, "exposure", ""), NULL);
    text_add(&r->out, "<p class=\"acts\"><button class=\"main\" "
                      "type=\"submit\">Start it</button></p></form></section>"
                      "\n");
}

/* One test of each skein, in one act; *id the last. */
static bool start(struct request *r, const char *skeins, size_t *count,
                  int64_t *id, struct error *err)
{
    static const char *const names[] = {"kind", "start", "due", "exposure"};
    struct record_value v[ARRAY_LEN(names) + 1];
    int64_t *skein;
    size_t n = 1;
    bool ok = record_skeins(r->book, book_dyer(r->book), skeins, &skein, count,
                            NULL, err);

    for (size_t i = 0; i < ARRAY_LEN(names); i++)
        if (pairs_get(&r->form, names[i]))
            v[n++] =
                (struct record_value){names[i], pairs_get(&r->form, names[i])};
    for (size_t i = 0; ok && i < *count; i++) {
        struct text which = {0};

        text_addf(&which, "#%lld", (long long)skein[i]);
        v[0] = (struct record_value){"skein", text_str(&which)};
        ok = record_add(r->book, NOUN_TEST, v, n, id, NULL, err);
        text_clear(&which);
    }
    free(skein);
    return ok;
}

/* ---- the page --------------------------------------------------------------
 */

/* refused: why no test was started, or NULL. */
static bool show(struct request *r, const struct error *refused,
                 struct error *err)
{
    struct fast_request q = {.today = day_today()};
    struct fast_answer a = {.count = 0};
    const bool meant = pairs_get(&r->query, "skein") != NULL; /* to be tested */

    if (!narrow_read(r, &q.filter, err) || !ask_fastness(r->book, &q, &a, err))
        return false;
    if (narrow_picture(r, "fastness")) {
        picture_of_fastness(&a, &r->out);
        fast_answer_clear(&a);
        return true;
    }
    page_begin(r, "Fastness", NULL);
    html_addf(&r->out,
              "<div class=\"head\"><h1>How well it lasts</h1><p>%zu test%s, "
              "%zu with a grade. <a href=\"#start\">Start a test</a></p>"
              "</div>\n",
              a.count, a.count == 1 ? "" : "s", a.graded);
    if (refused) {
        add_start(r, refused);
        r->status = 400;
    } else {
        if (meant)
            add_start(r, NULL);
        add_narrow(r);
        if (!add_due(r, err)) {
            fast_answer_clear(&a);
            return false;
        }
        add_answer(r, &a);
        if (!meant)
            add_start(r, NULL);
        if (a.graded)
            narrow_picture_link(r);
    }
    page_end(r);
    fast_answer_clear(&a);
    return true;
}

bool fastness_page(struct request *r, struct error *err)
{
    return show(r, NULL, err);
}

bool fastness_do(struct request *r, struct error *err)
{
    const char *skeins = pairs_get(&r->form, "skein");
    struct error why;
    size_t count = 0;
    int64_t id = 0;
    bool ok;

    if (!skeins) {
        error_set(&why, ERR_INPUT, "skein: say which is tested");
        return show(r, &why, err);
    }
    ok = book_act_begin(r->book, "test add", &why) &&
         start(r, skeins, &count, &id, &why) && book_act_end(r->book, &why);
    if (!ok) {
        book_act_cancel(r->book);
        return why.kind == ERR_STORE ? (*err = why, false) : show(r, &why, err);
    }
    if (count == 1) {
        struct text to = {0};

        text_addf(&to, "/fastness/%lld", (long long)id);
        page_saved(r, text_str(&to));
        text_clear(&to);
    } else {
        page_saved(r, "/fastness");
    }
    return true;
}
