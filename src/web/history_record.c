/* The past of one record: what became of it, act by act, and its state after
 * each, which can be brought back. */
#include "history.h"

#include <stdlib.h>

#include "base/html.h"
#include "page.h"

#define STATES 50 /* shown whole, the newest */

struct past {
    const struct noun *noun;
    int64_t id;
    struct history_change *change;
    size_t count;
    struct history_act *acts;
    size_t act_count;
    size_t states; /* told so far */
};

static const struct history_act *act_of(const struct past *p, int64_t id)
{
    for (size_t i = 0; i < p->act_count; i++)
        if (p->acts[i].id == id)
            return &p->acts[i];
    return NULL; /* every change has its act: a foreign key */
}

static bool is_own(const struct past *p, const struct history_change *c)
{
    return c->noun == p->noun && c->record == p->id;
}

/* What was changed: of the record itself, or of what was done to it. */
static void add_change(struct request *r, const struct past *p,
                       const struct history_change *c)
{
    struct text *o = &r->out, said = {0};
    const bool own = is_own(p, c);

    if (!c->noun || (c->field && !c->what))
        return;
    record_said(c->noun, c->label, &said);
    if (!c->field && own)
        text_add(o, "<li>new in the book</li>\n");
    else if (!c->field)
        html_addf(o, "<li>new: %s</li>\n", text_str(&said));
    else if (own)
        history_diff(o, c);
    else {
        html_addf(o, "<li>%s<ul class=\"diff\">\n", text_str(&said));
        history_diff(o, c);
        text_add(o, "</ul></li>\n");
    }
    text_clear(&said);
}

static void add_back(struct request *r, const struct past *p, int64_t act)
{
    page_form(r, "/back-to", NULL);
    html_addf(&r->out,
              "<input type=\"hidden\" name=\"noun\" value=\"%s\">"
              "<input type=\"hidden\" name=\"id\" value=\"%lld\">"
              "<input type=\"hidden\" name=\"act\" value=\"%lld\">"
              "<button type=\"submit\">Bring this state back</button></form>\n",
              p->noun->name, (long long)p->id, (long long)act);
}

/* The record after an act; the newest state is what it is now. */
static bool add_state(struct request *r, struct past *p, int64_t act,
                      struct error *err)
{
    const bool now = p->states++ == 0;
    struct record rec;

    if (p->states <= STATES) {
        if (!history_record_at(r->book, p->noun, p->id, act, &rec, err))
            return false;
        html_addf(&r->out, "<details%s><summary>%s</summary>\n",
                  now ? " open" : "", now ? "As it is now" : "As it was then");
        if (rec.withdrawn)
            text_add(&r->out, "<p>Put away.</p>\n");
        page_facts(&r->out, &rec, NULL, 0);
        text_add(&r->out, "</details>\n");
        record_clear(&rec);
    }
    if (!now)
        add_back(r, p, act);
    return true;
}

/* What one act changed: c[0] to c[n - 1]. */
static bool add_act(struct request *r, struct past *p,
                    const struct history_change *c, size_t n, struct error *err)
{
    const struct history_act *a = act_of(p, c->act);
    struct text *o = &r->out;
    bool own = false;
    char when[24] = "";

    if (a)
        history_act_when(a, when);
    html_addf(o,
              "<li><h2>%s <a href=\"/history?act=%lld\">%s</a></h2>\n"
              "<p class=\"quiet small\">",
              when, (long long)c->act, a ? history_act_words(a) : "changed");
    if (a)
        history_by(o, a);
    text_add(o, "</p>\n<ul class=\"diff\">\n");
    for (size_t i = 0; i < n; i++) {
        add_change(r, p, &c[i]);
        own = own || is_own(p, &c[i]);
    }
    text_add(o, "</ul>\n");
    if (own && !add_state(r, p, c->act, err))
        return false;
    text_add(o, "</li>\n");
    return true;
}

static bool add_acts(struct request *r, struct past *p, struct error *err)
{
    bool ok = true;

    /* From the newest act back. */
    for (size_t end = p->count, begin; ok && end; end = begin) {
        for (begin = end - 1;
             begin && p->change[begin - 1].act == p->change[end - 1].act;)
            begin--;
        ok = add_act(r, p, &p->change[begin], end - begin, err);
    }
    return ok;
}

bool history_of_record(struct request *r, const struct noun *noun, int64_t id,
                       struct error *err)
{
    struct past p = {.noun = noun, .id = id};
    struct text said = {0}, label = {0};
    bool ok = record_label(r->book, noun->id, id, &label, err) &&
              history_changes(r->book, 0, noun, id, &p.change, &p.count, err) &&
              history_acts_all(r->book, &p.acts, &p.act_count, err);

    if (ok) {
        record_said(noun, text_str(&label), &said);
        html_addf(&r->out,
                  "<div class=\"head\"><h1>The past of %s</h1><p>Every state "
                  "it had, the newest first. <a href=\"/record/%s/%lld\">"
                  "Change it</a></p></div>\n<ol class=\"past\">\n",
                  text_str(&said), noun->name, (long long)id);
        ok = add_acts(r, &p, err);
        text_add(&r->out, "</ol>\n");
    }
    text_clear(&said);
    text_clear(&label);
    history_changes_free(p.change, p.count);
    history_acts_free(p.acts, p.act_count);
    return ok;
}
