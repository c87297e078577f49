/* One project: its page, its steps as they are done, and what is left planned
 * anew. */
#include <stddef.h>
#include <stdlib.h>
#include <string.h>

#include "base/html.h"
#include "base/mem.h"
#include "base/parts.h"
#include "book/record.h"
#include "form.h"
#include "page.h"
#include "plan.h"
#include "routes.h"

/* ---- a project -------------------------------------------------------------
 */

static const struct question when_asked[] = {
    {"ready", "Ready by", "Sunday evening", 0, false},
    {"pots", "Pots", "3 x 8 l", 0, false},
    {"burners", "Burners", "2", 0, false},
    {"jars", "Jars", "in a water bath: 4 x 1 l", 0, false},
    {"hours", "Up", "8-22", 0, false},
};

void plan_when(struct request *r, const struct project *p, const char *address,
               const struct error *why)
{
    struct text *o = &r->out;

    text_add(o, why ? "<details class=\"narrow anew\" open>"
                    : "<details class=\"narrow anew\">");
    text_add(o, "<summary>Another time, other pots</summary>\n");
    page_form(r, address, "class=\"log\"");
    if (why)
        form_why(r, why);
    html_addf(o,
              "<p class=\"quiet\">Now %s; up %s. What is left of the steps is "
              "planned anew from this hour on; what is left empty stays as it "
              "is.</p>\n",
              p->pots ? p->pots : "with any pots", p->hours);
    for (size_t i = 0; i < ARRAY_LEN(when_asked); i++)
        form_question(r, &when_asked[i], why);
    text_add(o, "<p class=\"acts\"><button type=\"submit\" name=\"do\" "
                "value=\"when\">Plan anew</button></p></form></details>\n");
}

/* Those of its colours, and tests: all that are soaked. */
static void all_skeins(const struct project *p, struct text *out)
{
    for (size_t i = 0; i < p->tasks; i++)
        if (!strcmp(p->task[i].kind, "soak") && p->task[i].skeins) {
            text_add(out, p->task[i].skeins);
            return;
        }
    for (size_t i = 0; i < p->wishes; i++)
        if (p->wish[i].skeins)
            text_addf(out, "%s%s", out->len ? ", " : "", p->wish[i].skeins);
}

static void add_head(struct request *r, const struct project *p,
                     const char *name)
{
    struct text *o = &r->out, skeins = {0};

    all_skeins(p, &skeins);
    html_addf(o,
              "<div class=\"head\"><h1>%s</h1><p class=\"end\"><a "
              "class=\"btn\" href=\"/print/tags?which=",
              p->name);
    html_url(o, text_str(&skeins));
    text_add(o, "\">Tags</a> <a class=\"btn\" href=\"/print/plan?which=");
    html_url(o, name);
    text_add(o, "\">Print the plan</a></p></div>\n<p class=\"sumup\">");
    plan_sum(p, o);
    html_addf(
        o,
        "%s%s%s%s%sWith %s%sup %s. <a href=\"/record/project/%lld\">Change "
        "its name, or withdraw it</a></p>\n",
        p->yarn || p->hank ? " Of " : "", p->yarn,
        !p->hank  ? ""
        : p->yarn ? ", a hank "
                  : "a hank ",
        p->hank, p->yarn || p->hank ? ". " : " ", p->pots, p->pots ? "; " : "",
        p->hours, (long long)p->id);
    if (p->dyer)
        html_addf(o,
                  "<p class=\"wait\"><b>This is a plan of %s's</b>, to look "
                  "at: its steps are about skeins of hers. <a "
                  "href=\"/plan?new=yes\">Plan one of your own</a></p>\n",
                  p->dyer);
    text_clear(&skeins);
}

static bool show(struct request *r, int64_t id, const struct error *why,
                 struct error *err)
{
    struct text address = {0}, name = {0};
    struct project p;
    bool ok;

    if (!project_read(r->book, id, &p, err))
        return false;
    ok = plan_address(r->book, id, &address, err) &&
         plan_called(r->book, id, &name, err);
    if (ok) {
        page_begin(r, p.name, "Plan");
        page_style(r, "plan.css");
        add_head(r, &p, text_str(&name));
        ok = plan_show(r, &p, text_str(&address), why, err);
        page_end(r);
    }
    if (why)
        r->status = 400;
    project_clear(&p);
    text_clear(&address);
    text_clear(&name);
    return ok;
}

/* ---- a step that was done otherwise ----------------------------------------
 */

enum kinds {
    SOAK = 1,
    MORDANT = 2,
    EXTRACT = 4,
    DYE = 8,
    DIP = 16,
    RINSE = 32
};

static const struct {
    const char *word;
    unsigned kind;
} kinds[] = {{"soak", SOAK}, {"mordant", MORDANT}, {"extract", EXTRACT},
             {"dye", DYE},   {"dip", DIP},         {"rinse", RINSE}};

/* What is asked of which kinds. */
static const struct {
    struct question ask;
    unsigned of;
} done_asked[] = {
    {ASK_MANY("with", "What went in", "alum: 10 %", with),
     MORDANT | EXTRACT | DIP | RINSE},
    {ASK_ONE("date", "Day", "e.g. today, or 3 May", on),
     SOAK | MORDANT | EXTRACT | DYE | DIP | RINSE},
    {ASK_ONE("temperature", "Heat", "highest: 80, 180 F", temperature),
     MORDANT | EXTRACT | DYE | DIP | RINSE},
    {ASK_ONE("minutes", "Time", "at that heat: 1 h", minutes),
     MORDANT | EXTRACT | DYE | DIP | RINSE},
    {ASK_ONE("ph", "pH", "7, 7-8, about 9", ph), MORDANT | DYE | DIP | RINSE},
    {ASK_ONE("volume", "Liquor", "3 l, 1 gallon", volume), EXTRACT},
    {ASK_ONE("cooled", "Cooled in it", "yes or no", cooled),
     MORDANT | DYE | DIP},
    {ASK_ONE("vessel", "Vessel", "pot, jar ...", vessel),
     MORDANT | DYE | DIP | RINSE},
    {ASK_ONE("note", "Note", "anything else", note),
     SOAK | MORDANT | EXTRACT | DYE | DIP | RINSE},
};
#define WITH_SKEINS (MORDANT | DYE | DIP | RINSE)

static unsigned kind_of(const struct project_task *k)
{
    for (size_t i = 0; i < ARRAY_LEN(kinds); i++)
        if (!strcmp(k->kind, kinds[i].word))
            return kinds[i].kind;
    return 0;
}

static void dose_words(const struct project_dose *d, struct text *out)
{
    text_addf(out, "%s%s%s", d->name, d->words ? ": " : "",
              d->words ? d->words : "");
}

/* Puts what was planned into the fields. */
static void preset(struct request *r, const struct project_task *k)
{
    const struct {
        const char *name, *words;
    } planned[] = {{"temperature", k->heat}, {"minutes", k->minutes},
                   {"volume", k->water},     {"vessel", k->vessel},
                   {"skein", k->skeins},     {"date", "today"}};

    for (size_t i = 0; i < ARRAY_LEN(planned); i++)
        if (planned[i].words && !(kind_of(k) == RINSE && i < 2))
            pairs_set(&r->query, planned[i].name, planned[i].words);
    for (size_t i = 0; i < k->doses; i++) {
        struct text words = {0};
        dose_words(&k->dose[i], &words);
        pairs_add(&r->query, "with", text_str(&words));
        text_clear(&words);
    }
}

struct changed {
    struct pot_entry pot;
    struct pot_skein skein;
    const char *words[ARRAY_LEN(done_asked)][FORM_WORDS];
};

/* All that was to go in, in the same words. */
static bool as_planned(const struct pot_words *with,
                       const struct project_task *k)
{
    bool same = with->count == k->doses;

    for (size_t i = 0; same && i < k->doses; i++) {
        struct text words = {0};
        dose_words(&k->dose[i], &words);
        same = text_same(with->word[i], text_str(&words));
        text_clear(&words);
    }
    return same;
}

static bool read_changed(struct request *r, const struct project_task *k,
                         struct changed *c, struct error *err)
{
    const char *skeins = request_value(r, "skein");

    for (size_t i = 0; i < ARRAY_LEN(done_asked); i++)
        if (done_asked[i].of & kind_of(k))
            form_read(r, &done_asked[i].ask, c->words[i], &c->pot);
    if (as_planned(&c->pot.with, k))
        c->pot.with.count = 0;
    if (!(kind_of(k) & WITH_SKEINS) || !skeins || text_same(skeins, k->skeins))
        return true;
    c->pot.skein = &c->skein;
    c->pot.skein_count = 1;
    return form_which(skeins, false, &c->skein, err);
}

static bool add_fields(struct request *r, const struct project_task *k,
                       const struct error *why, struct error *err)
{
    if (!form_lists(r, err))
        return false;
    text_add(&r->out, "<fieldset class=\"shared\"><legend><h2>What was done"
                      "</h2></legend>\n");
    if (kind_of(k) & WITH_SKEINS)
        form_field(r, "skein", "Skeins", "6, 7, A3 or 6-8",
                   request_value(r, "skein"), why);
    for (size_t i = 0; i < ARRAY_LEN(done_asked); i++)
        if (done_asked[i].of & kind_of(k))
            form_question(r, &done_asked[i].ask, why);
    text_add(&r->out, "</fieldset>\n");
    return true;
}

/* A record calls the day "on", the form "date". */
static void name_day(struct error *why)
{
    const struct error was = *why;

    if (!strncmp(was.text, "on: ", 4))
        error_set(why, was.kind, "date%s", was.text + 2);
}

/* Step k as a form; with c how it is read, or why it is refused. */
static bool show_step(struct request *r, int64_t id,
                      const struct project_task *k, struct changed *c,
                      const struct error *refused, struct error *err)
{
    struct text address = {0}, echo = {0};
    struct pot_result result = {0};
    struct error why = {0};
    bool ok = plan_address(r->book, id, &address, err);

    if (refused) {
        why = *refused;
    } else if (c) {
        c->pot.only_try = true;
        if (!project_done(r->book, id, k->number, &c->pot, &result, &echo,
                          &why))
            refused = &why;
    }
    if (refused)
        name_day(&why);
    page_begin(r, k->name, "Plan");
    page_style(r, "plan.css");
    html_addf(&r->out,
              "<div class=\"logtop\"><h1><span class=\"no\">%d</span> %s</h1>"
              "<p class=\"quiet\">Say what was other than planned; what was "
              "planned stays beside it. <a href=\"%s\">Back to the project</a>"
              "</p></div>\n",
              k->number, k->name, text_str(&address));
    page_form(r, text_str(&address), "class=\"log\"");
    html_addf(&r->out, "<input type=\"hidden\" name=\"step\" value=\"%d\">\n",
              k->number);
    if (refused)
        form_why(r, &why);
    else if (c)
        ok = ok && form_echo(r, &echo, &result, "in it", err);
    ok = ok && add_fields(r, k, refused ? &why : NULL, err);
    form_buttons(r, "Save");
    text_add(&r->out, "</form>\n");
    page_end(r);
    if (refused)
        r->status = 400;
    pot_result_clear(&result);
    text_clear(&echo);
    text_clear(&address);
    return ok;
}

/* ---- what the addresses do -------------------------------------------------
 */

static const struct project_task *
step_of(const struct request *r, const struct project *p, struct error *err)
{
    const char *words = request_value(r, "step");
    long long number;

    if (words && text_whole(words, &number))
        for (size_t i = 0; i < p->tasks; i++)
            if (p->task[i].number == number)
                return &p->task[i];
    error_set(err, ERR_MISSING, "\"%s\" has no step %s", p->name,
              words ? words : "");
    return NULL;
}

bool plan_page(struct request *r, struct error *err)
{
    const struct project_task *k;
    struct project p;
    int64_t id;
    bool ok;

    if (!project_find(r->book, request_part(r, "/plan/"), &id, err))
        return false;
    if (!pairs_get(&r->query, "step"))
        return show(r, id, NULL, err);
    if (!project_read(r->book, id, &p, err))
        return false;
    k = step_of(r, &p, err);
    ok = k != NULL;
    if (ok && !k->done && !p.dyer) {
        preset(r, k);
        ok = show_step(r, id, k, NULL, NULL, err);
    } else if (ok) {
        ok = show(r, id, NULL, err);
    }
    project_clear(&p);
    return ok;
}

static bool go_back(struct request *r, int64_t id, struct error *err)
{
    struct text to = {0};
    bool ok = plan_address(r->book, id, &to, err);

    if (ok)
        page_saved(r, text_str(&to));
    text_clear(&to);
    return ok;
}

static bool do_when(struct request *r, int64_t id, struct error *err)
{
    const struct project_words words = {
        .ready = request_value(r, "ready"),
        .pots = request_value(r, "pots"),
        .burners = request_value(r, "burners"),
        .jars = request_value(r, "jars"),
        .hours = request_value(r, "hours"),
    };
    struct error why;

    if (project_when(r->book, id, &words, &why))
        return go_back(r, id, err);
    if (why.kind != ERR_STORE)
        return show(r, id, &why, err);
    *err = why;
    return false;
}

static bool do_step(struct request *r, const struct project *p,
                    const struct project_task *k, struct error *err)
{
    struct changed *c = mem_new(1, sizeof *c);
    struct pot_result result = {0};
    const char *what = request_value(r, "do");
    struct error why;
    bool ok = (what && !strcmp(what, "planned")) || read_changed(r, k, c, &why);

    if (!ok)
        ok = show_step(r, p->id, k, c, &why, err);
    else if (what && !strcmp(what, "try"))
        ok = show_step(r, p->id, k, c, NULL, err);
    else if (project_done(r->book, p->id, k->number, &c->pot, &result, NULL,
                          &why))
        ok = go_back(r, p->id, err);
    else
        ok = why.kind == ERR_STORE ? (*err = why, false)
                                   : show_step(r, p->id, k, c, &why, err);
    pot_result_clear(&result);
    pot_skein_clear(&c->skein);
    free(c);
    return ok;
}

bool plan_do(struct request *r, struct error *err)
{
    const char *what = request_value(r, "do");
    const struct project_task *k;
    struct project p;
    int64_t id;
    bool ok;

    if (!project_find(r->book, request_part(r, "/plan/"), &id, err))
        return false;
    if (!project_own(r->book, id, err))
        return false;
    if (what && !strcmp(what, "when"))
        return do_when(r, id, err);
    if (!project_read(r->book, id, &p, err))
        return false;
    k = step_of(r, &p, err);
    ok = k && do_step(r, &p, k, err);
    project_clear(&p);
    return ok;
}
