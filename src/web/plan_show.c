/* A project as it is looked at: what is next, what shares a liquor, its steps
 * in time with what to weigh, and what the cupboard has of it. */
#include "plan.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/html.h"
#include "base/mem.h"
#include "book/ask.h"
#include "book/record.h"
#include "form.h"
#include "page.h"

#define FEW 4 /* hanks on a rod that leave room for one beside it */

/* ---- colours --------------------------------------------------------------
 */

struct sought {
    const char *label;
    bool found;
};

static void seek(void *self, const char *label)
{
    struct sought *s = self;

    s->found = s->found || !strcmp(s->label, label);
}

static bool is_among(const char *label, const char *skeins)
{
    struct sought s = {label, false};

    plan_each(skeins, seek, &s);
    return s.found;
}

static const struct project_wish *wish_of(const struct project *p,
                                          const char *label)
{
    for (size_t i = 0; i < p->wishes; i++)
        if (is_among(label, p->wish[i].skeins))
            return &p->wish[i];
    return NULL;
}

/* "alum + iron", as far as the plan mordants it. */
static void mordant_words(const struct project *p, const char *label,
                          struct text *out)
{
    for (size_t i = 0; i < p->tasks; i++) {
        const struct project_task *k = &p->task[i];

        if (strcmp(k->kind, "mordant") != 0 || !is_among(label, k->skeins))
            continue;
        for (size_t d = 0; d < k->doses; d++)
            if (!strcmp(k->dose[d].role, "mordant"))
                text_addf(out, "%s%s", out->len ? " + " : "", k->dose[d].name);
    }
}

/* What a rod of skeins is being written with. */
struct rod {
    struct request *r;
    const struct project *p;
    bool kept; /* its skeins are in the book */
    bool ok;
    struct error *err;
};

/* The colour a skein of the book has already. */
static bool came_out(struct rod *rod, const char *label, bool *has,
                     struct lab *lab)
{
    const struct ask_filter any = ask_filter_any();
    struct ask_skein s;
    struct error none;
    int64_t id;

    *has = false;
    if (!rod->kept || !record_find(rod->r->book, NOUN_SKEIN, label, &id, &none))
        return true;
    if (!ask_skein(rod->r->book, id, &any, &s, rod->err))
        return false;
    *has = s.lack == ASK_HAS_COLOUR;
    if (*has)
        *lab = s.reading.colour.lab;
    ask_skein_clear(&s);
    return true;
}

/* A skein as it came out; not dyed yet, hatched in what is expected. */
static void add_hank(void *self, const char *label)
{
    struct rod *rod = self;
    struct text *o = &rod->r->out, mordant = {0};
    const struct project_wish *w = wish_of(rod->p, label);
    const bool told = w && w->expected;
    struct lab lab = told ? w->lab : (struct lab){0};
    bool has;

    if (!rod->ok)
        return;
    rod->ok = came_out(rod, label, &has, &lab);
    mordant_words(rod->p, label, &mordant);
    text_add(o, has || !told ? "<li>" : "<li class=\"told\">");
    if (rod->kept)
        html_addf(o, "<a href=\"/skein/%-s\" title=\"Skein %s, %s\">", label,
                  label,
                  has    ? "measured"
                  : told ? "expected so"
                         : "not dyed");
    page_hank(o, HANK_HUNG, has || told ? &lab : NULL);
    text_add(o, "<span class=\"string\"></span>");
    page_tag(o, "", label, NULL);
    html_addf(o, "<span class=\"lane\"><b>%s</b> %s</span>",
              w ? w->name : "a test", text_str(&mordant));
    text_add(o, rod->kept ? "</a></li>\n" : "</li>\n");
    text_clear(&mordant);
}

static bool is_dyeing(const struct project_task *k, const char *liquor)
{
    return !strcmp(k->kind, "dye") && text_same(k->liquor, liquor);
}

/* Its rounds in order, the skeins of each hanging. */
static bool add_rounds(struct rod *rod, const char *liquor)
{
    const struct project *p = rod->p;
    struct text *o = &rod->r->out;
    int most = 0;

    for (size_t i = 0; i < p->tasks; i++)
        if (is_dyeing(&p->task[i], liquor) && p->task[i].round > most)
            most = p->task[i].round;
    text_add(o, "<div class=\"rods\">\n");
    for (int round = 0; rod->ok && round <= most; round++) {
        struct text words = {0};
        bool any = false;

        ask_round_words(round, &words);
        for (size_t i = 0; i < p->tasks; i++) {
            const struct project_task *k = &p->task[i];
            if (!is_dyeing(k, liquor) || k->round != round)
                continue;
            if (!any)
                html_addf(o,
                          "<section class=\"round\"><h3>%s</h3><ul "
                          "class=\"hanks\">\n",
                          text_str(&words));
            any = true;
            plan_each(k->skeins, add_hank, rod);
        }
        text_add(o, any ? "</ul></section>\n" : "");
        text_clear(&words);
    }
    text_add(o, "</div>\n");
    return rod->ok;
}

static void liquor_facts(const struct project *p, const char *liquor,
                         struct text *o)
{
    for (size_t i = 0; i < p->tasks; i++) {
        const struct project_task *k = &p->task[i];

        if (strcmp(k->kind, "extract") != 0 || !text_same(k->liquor, liquor))
            continue;
        for (size_t d = 0; d < k->doses; d++)
            html_addf(o, "<span>%s %s</span> ", k->dose[d].name,
                      k->dose[d].words);
        if (k->bath_id && k->record)
            html_addf(o, "<span><a href=\"/bath/%lld\">%s</a></span> ",
                      (long long)k->bath_id, k->record);
    }
}

/* "madder" of "blanket stripe, madder". */
static const char *short_name(const struct project *p, const char *liquor)
{
    const size_t n = strlen(p->name);

    return !strncmp(liquor, p->name, n) && !strncmp(liquor + n, ", ", 2)
               ? liquor + n + 2
               : liquor;
}

static void count_one(void *self, const char *label)
{
    size_t *n = self;

    (void)label;
    ++*n;
}

/* Whether each rod has so few hanks that two go abreast. */
static bool are_few(const struct project *p)
{
    for (size_t i = 0; i < p->tasks; i++) {
        size_t hanks = 0;
        for (size_t k = 0; k < p->tasks; k++)
            if (is_dyeing(&p->task[k], p->task[i].liquor))
                plan_each(p->task[k].skeins, count_one, &hanks);
        if (hanks > FEW)
            return false;
    }
    return true;
}

/* A rod for each liquor, as on the rack. */
static bool add_liquors(struct request *r, const struct project *p, bool kept,
                        struct error *err)
{
    struct rod rod = {r, p, kept, true, err};
    struct text *o = &r->out;

    text_add(o, "<section class=\"liquors\" aria-labelledby=\"h-l\"><h2 "
                "id=\"h-l\">What shares a liquor</h2>\n");
    text_add(o, are_few(p) ? "<div class=\"abreast\">\n" : "<div>\n");
    for (size_t i = 0; rod.ok && i < p->tasks; i++) {
        const struct project_task *k = &p->task[i];
        bool before = strcmp(k->kind, "dye") != 0 || !k->liquor;

        for (size_t n = 0; !before && n < i; n++)
            before = is_dyeing(&p->task[n], k->liquor);
        if (before)
            continue;
        html_addf(o, "<section class=\"bath\"><header><h3>%s</h3><p>",
                  short_name(p, k->liquor));
        liquor_facts(p, k->liquor, o);
        text_add(o, "</p></header>\n");
        add_rounds(&rod, k->liquor);
        text_add(o, "</section>\n");
    }
    text_add(o, "</div></section>\n");
    return rod.ok;
}

static void add_wish(struct text *o, const struct project_wish *w)
{
    const char *name =
        w->expected ? colour_name_nearest(w->lab)->name : "not known";

    text_add(o, w->foretold ? "<li class=\"hatched\">" : "<li>");
    page_swatch_fill(o, w->expected ? &w->lab : NULL, name);
    html_addf(o, "<div><h3>%s</h3>", w->name);
    plan_tags(w->skeins, o);
    html_addf(o, "<p>%s%s%s</p><p class=\"quiet\">", w->amount,
              w->amount ? "; " : "", w->how);
    if (w->expected)
        html_addf(o, "Expect %s, %s.</p></div></li>\n", name, w->by);
    else
        text_add(o, "Not known yet: nothing in the book was dyed so and "
                    "measured.</p></div></li>\n");
}

static void add_wishes(struct text *o, const struct project *p)
{
    text_add(o, "<section aria-labelledby=\"h-c\"><h2 id=\"h-c\">Colours</h2>"
                "\n<ol class=\"wishes\">\n");
    for (size_t i = 0; i < p->wishes; i++)
        add_wish(o, &p->wish[i]);
    text_add(o, "</ol></section>\n");
}

/* ---- steps ------------------------------------------------------------------
 */

static void add_buttons(struct request *r, const struct project_task *k,
                        const char *address, bool next)
{
    struct text *o = &r->out;

    page_form(r, address, "class=\"acts\"");
    html_addf(o,
              "<input type=\"hidden\" name=\"step\" value=\"%d\"><button "
              "class=\"%s\" type=\"submit\" name=\"do\" value=\"planned\">As "
              "planned<span class=\"hide\">, step %d</span></button> <a "
              "class=\"%s\" href=\"%s?step=%d\">Changed<span class=\"hide\">, "
              "step %d</span></a></form>\n",
              k->number, next ? "main" : "low", k->number,
              next ? "btn" : "btn low", address, k->number, k->number);
}

static void add_done(struct text *o, const struct project_task *k)
{
    html_addf(o, "<p><b>Done</b>%s%s", k->done_on ? " on " : "", k->done_on);
    if (k->bath_id)
        html_addf(o, ", <a href=\"/bath/%lld\">%s</a>", (long long)k->bath_id,
                  k->record);
    else if (k->treatment_id)
        html_addf(o, ", <a href=\"/record/treatment/%lld\">its record</a>",
                  (long long)k->treatment_id);
    text_add(o, ".</p>");
    if (k->differed)
        html_addf(o, "<p>%s.</p>", k->differed);
    if (k->note)
        html_addf(o, "<p class=\"own\">%s</p>", k->note);
}

/* What a step is, below its name. */
static void add_what(struct text *o, const struct project_task *k)
{
    plan_tags(k->skeins, o);
    plan_weigh_list(k, o);
    text_add(o, "<p class=\"quiet\">");
    plan_ways_words(k, o);
    text_add(o, "</p>");
}

static void add_step(struct request *r, const struct project_task *k,
                     const char *address)
{
    struct text *o = &r->out;
    char at[24] = "";

    if (k->has_begin)
        moment_words(k->begins, at);
    text_add(o, k->done ? "<li class=\"done\">" : "<li>");
    html_addf(o,
              "<p class=\"at num\">%s</p><div><h4><span class=\"no\">%d"
              "</span> %s</h4>",
              k->has_begin ? at + 11 : "", k->number, k->name);
    add_what(o, k);
    if (k->done)
        add_done(o, k);
    text_add(o, "</div>");
    if (address && !k->done)
        add_buttons(r, k, address, false);
    text_add(o, "</li>\n");
}

/* Nobody has to be up until the next step begins. */
static void add_wait(struct text *o, int minutes)
{
    struct text words = {0};

    if (minutes < 30)
        return;
    moment_duration(minutes, &words);
    html_addf(o,
              "<li class=\"free\"><p class=\"at\"></p><p class=\"quiet\">%s "
              "with nothing to do</p></li>\n",
              text_str(&words));
    text_clear(&words);
}

static void add_steps(struct request *r, const struct project *p,
                      const char *address, const struct error *why)
{
    struct text *o = &r->out;
    int free_from = 0;

    text_add(o, "<section aria-labelledby=\"h-s\"><h2 id=\"h-s\">Step by step"
                "</h2>\n");
    plan_picture(p, o);
    text_add(o,
             "<p class=\"small quiet timekey\">Filled: somebody is up. Open: "
             "it goes by itself. Numbers are those of the steps below; long "
             "stretches are cut short, and say how long they are.</p>\n");
    if (address && plan_next(p))
        plan_when(r, p, address, why);
    for (size_t i = 0; i < p->tasks; i++) {
        const struct project_task *k = &p->task[i];
        const int at = moment_between(p->task[0].begins, k->begins);
        char words[24];

        if (i)
            add_wait(o, at - free_from);
        if (!i || day_between(p->task[i - 1].begins.day, k->begins.day)) {
            moment_words(k->begins, words);
            words[10] = '\0';
            text_add(o, i ? "</ol>\n" : "");
            html_addf(o, "<h3>%s</h3><ol class=\"steps\">\n", words);
        }
        add_step(r, k, address);
        if (at + k->attended_min > free_from)
            free_from = at + k->attended_min;
    }
    text_add(o, p->tasks ? "</ol></section>\n" : "</section>\n");
}

/* To weigh out by, on paper. */
static void add_sheet(struct text *o, const struct project_task *k)
{
    struct text weight = {0};

    if (!k->doses || isnan(k->fibre_g))
        return;
    text_add_real(&weight, k->fibre_g, 2);
    html_addf(o, "<p><a href=\"/print/weigh?weight=%s+g", text_str(&weight));
    text_clear(&weight);
    for (size_t i = 0; i < k->doses; i++) {
        const struct project_dose *d = &k->dose[i];
        struct text words = {0};

        text_addf(&words, "%s%s%s", d->name, d->words ? ": " : "",
                  d->words ? d->words : "");
        html_addf(o, "&amp;%s=", strcmp(d->role, "modifier") ? d->role : "dip");
        html_url(o, text_str(&words));
        text_clear(&words);
    }
    if (k->water) {
        text_add(o, "&amp;water=");
        html_url(o, k->water);
    }
    text_add(o, "\">Weigh-out sheet</a></p>\n");
}

static bool begins_together(const struct project_task *a,
                            const struct project_task *b)
{
    return a->has_begin && b->has_begin &&
           moment_between(a->begins, b->begins) == 0;
}

static void add_next(struct request *r, const struct project *p,
                     const char *address)
{
    const struct project_task *k = plan_next(p);
    struct text *o = &r->out;
    char at[24] = "";

    if (!k) {
        text_add(o, "<p class=\"wait\"><b>All its steps are done.</b></p>\n");
        return;
    }
    if (k->has_begin)
        moment_words(k->begins, at);
    html_addf(o,
              "<section class=\"next\" aria-labelledby=\"h-n\"><p "
              "class=\"quiet\">Next, %s</p><h2 id=\"h-n\"><span class=\"no\">"
              "%d</span> %s</h2>\n",
              at, k->number, k->name);
    add_what(o, k);
    add_buttons(r, k, address, true);
    add_sheet(o, k);
    for (size_t i = 0; i < p->tasks; i++)
        if (&p->task[i] != k && !p->task[i].done &&
            begins_together(k, &p->task[i]))
            html_addf(o,
                      "<p class=\"quiet\">At the same time: step %d, %s.</p>\n",
                      p->task[i].number, p->task[i].name);
    text_add(o, "</section>\n");
}

/* ---- what to weigh --------------------------------------------------------
 */

static void add_grams(struct text *o, double g)
{
    if (isnan(g)) {
        text_add(o, "not known");
        return;
    }
    text_add_real(o, g, g < 10 ? 2 : 1);
    text_add(o, " g");
}

/* What the cupboard has. */
static void add_left(struct text *o, const struct project_need *n)
{
    if (!n->stocked) {
        text_add(o, "none in the cupboard");
        return;
    }
    if (!isnan(n->left_g))
        text_add(o, n->more ? "at least " : !n->left_known ? "at most " : "");
    add_grams(o, n->left_g);
    if (n->state)
        html_addf(o, ", %s reckoned as dry", n->state);
}

/* "24 g in step 3, 4 g in step 9" */
static void add_uses(struct text *o, const struct project *p, const char *name)
{
    bool any = false;

    for (size_t i = 0; i < p->tasks; i++)
        for (size_t d = 0; d < p->task[i].doses; d++) {
            const struct project_dose *dose = &p->task[i].dose[d];
            if (p->task[i].done || !text_same(dose->name, name))
                continue;
            text_add(o, any ? ", " : "");
            add_grams(o, dose->g);
            html_addf(o, " in step %d", p->task[i].number);
            any = true;
        }
}

static void add_fine(struct text *o, const struct project_need *n)
{
    html_addf(o,
              "<p class=\"small\">%s: too little for a scale that shows whole "
              "grams: use ",
              n->name);
    if (isnan(n->stock_ml)) {
        text_add(o, "a finer one.</p>\n");
        return;
    }
    text_add(o, "a solution; the smallest weight is ");
    text_add_real(o, n->stock_ml, 1);
    text_add(o, " ml of a 1 % one (1 g made up to 100 ml).</p>\n");
}

static void add_needs(struct text *o, const struct project *p)
{
    if (!p->needs)
        return;
    text_add(o, "<section aria-labelledby=\"h-w\"><h2 id=\"h-w\">Still to weigh"
                "</h2>\n<table class=\"pieces needs\"><thead><tr><th "
                "scope=\"col\">what</th><th class=\"num\" scope=\"col\">in all"
                "</th><th scope=\"col\">for</th><th scope=\"col\">there is</th>"
                "<th class=\"num\" scope=\"col\">missing</th></tr></thead>"
                "<tbody>\n");
    for (size_t i = 0; i < p->needs; i++) {
        const struct project_need *n = &p->need[i];

        html_addf(o, "<tr><th scope=\"row\">%s</th><td class=\"num\"><b>",
                  n->name);
        add_grams(o, n->g);
        text_add(o, "</b></td><td class=\"quiet\">");
        add_uses(o, p, n->name);
        text_add(o, "</td><td>");
        add_left(o, n);
        text_add(o, "</td><td class=\"num\"><b>");
        if (n->short_g > 0 || isnan(n->short_g))
            add_grams(o, n->short_g);
        text_add(o, "</b></td></tr>\n");
    }
    text_add(o, "</tbody></table>\n");
    for (size_t i = 0; i < p->needs; i++)
        if (p->need[i].fine)
            add_fine(o, &p->need[i]);
    text_add(o, "</section>\n");
}

/* ---- the whole --------------------------------------------------------------
 */

static void add_late(struct text *o, const struct project *p)
{
    char at[24];

    if (!p->late)
        return;
    moment_words(p->ready, at);
    html_addf(o, "<div class=\"say\" role=\"alert\"><b>Too late for %s</b>",
              at);
    moment_words(p->ends, at);
    html_addf(o, "It ends %s.</div>\n", at);
}

bool plan_show(struct request *r, const struct project *p, const char *address,
               const struct error *why, struct error *err)
{
    const char *own = p->dyer ? NULL : address; /* where its steps are done */
    struct text *o = &r->out;

    add_late(o, p);
    if (own)
        add_next(r, p, own);
    if (!add_liquors(r, p, address != NULL, err))
        return false;
    add_wishes(o, p);
    add_steps(r, p, own, why);
    add_needs(o, p);
    if (p->said) {
        text_add(o, "<section aria-labelledby=\"h-m\"><h2 id=\"h-m\">Said by "
                    "the plan</h2>\n<ul class=\"unk\">");
        form_lines(o, "li", p->said);
        text_add(o, "</ul></section>\n");
    }
    form_caution(o, text_str(&p->caution));
    return true;
}
