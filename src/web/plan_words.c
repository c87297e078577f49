/* What the pages of a project say in more than one place. See plan.h. */
#include "plan.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/html.h"
#include "base/mem.h"
#include "book/record.h"
#include "page.h"

bool plan_called(struct book *book, int64_t id, struct text *out,
                 struct error *err)
{
    struct record r;

    if (!record_read(book, NOUN_PROJECT, id, &r, err))
        return false;
    if (r.owner_id == book_dyer(book))
        text_add(out, r.label);
    else
        text_addf(out, "#%lld", (long long)id);
    record_clear(&r);
    return true;
}

bool plan_address(struct book *book, int64_t id, struct text *out,
                  struct error *err)
{
    struct text name = {0};
    bool ok = plan_called(book, id, &name, err);

    html_addf(out, "/plan/%-s", text_str(&name));
    text_clear(&name);
    return ok;
}

void plan_row(struct text *out, const char *name, const char *like,
              const char *round, const char *dyestuff)
{
    const struct {
        const char *field, *words;
    } said[] = {{"c-name", name},
                {"c-like", like},
                {"c-round", round},
                {"c-dyestuff", dyestuff}};

    for (size_t i = 0; i < ARRAY_LEN(said); i++) {
        text_addf(out, "%s=", said[i].field);
        html_url(out, said[i].words ? said[i].words : "");
        text_add(out, "&amp;");
    }
}

const struct project_task *plan_next(const struct project *p)
{
    for (size_t i = 0; i < p->tasks; i++)
        if (!p->task[i].done)
            return &p->task[i];
    return NULL;
}

void plan_sum(const struct project *p, struct text *out)
{
    char at[24];

    html_addf(out, "%zu colour%s", p->wishes, p->wishes == 1 ? "" : "s");
    project_extra_words(p, out);
    html_addf(out, ", %zu steps, %zu done", p->tasks, p->done);
    if (p->tasks && p->task[0].has_begin) {
        moment_words(p->task[0].begins, at);
        html_addf(out, "; begins %s", at);
        moment_words(p->ends, at);
        html_addf(out, ", ends %s", at);
    }
    if (p->has_ready && !p->late) {
        moment_words(p->ready, at);
        html_addf(out, ", ready by %s", at);
    }
    text_add(out, ".");
}

/* ---- skeins ---------------------------------------------------------------
 */

/* "44 to 46", "Aino/3 to 5": the number behind the last stroke. */
static bool read_range(const char *one, int *prefix, long long *from,
                       long long *to)
{
    const char *stroke = strrchr(one, '/'), *word = strstr(one, " to ");
    char *first;
    bool ok;

    *prefix = stroke ? (int)(stroke + 1 - one) : 0;
    if (!word || (stroke && word < stroke))
        return false;
    first = mem_text_n(one + *prefix, (size_t)(word - one) - (size_t)*prefix);
    ok = text_whole(first, from) && text_whole(word + 4, to) && *from <= *to &&
         *to - *from < 1000;
    free(first);
    return ok;
}

void plan_each(const char *skeins, plan_take *take, void *self)
{
    while (skeins && *skeins) {
        const size_t n = strcspn(skeins, ",");
        char *part = mem_text_n(skeins, n), *one = text_trim(part);
        long long from, to;
        int prefix;

        if (read_range(one, &prefix, &from, &to))
            for (; from <= to; from++) {
                struct text label = {0};
                text_addf(&label, "%.*s%lld", prefix, one, from);
                take(self, text_str(&label));
                text_clear(&label);
            }
        else if (*one)
            take(self, one);
        free(one);
        free(part);
        skeins += n + (skeins[n] == ',');
    }
}

static void add_tag(void *self, const char *label)
{
    page_tag(self, "", label, NULL);
    text_add(self, " ");
}

void plan_tags(const char *skeins, struct text *out)
{
    if (!skeins)
        return;
    text_add(out, "<p class=\"tags\"><span class=\"hide\">Skeins </span>");
    plan_each(skeins, add_tag, out);
    text_add(out, "</p>");
}

/* ---- a step ---------------------------------------------------------------
 */

void plan_weigh_list(const struct project_task *k, struct text *out)
{
    if (!k->doses && !k->water)
        return;
    text_add(out, "<ul class=\"weigh\">");
    for (size_t i = 0; i < k->doses; i++) {
        const struct project_dose *d = &k->dose[i];

        text_add(out, "<li>");
        if (isnan(d->g)) {
            text_add(out, "some");
        } else {
            text_add(out, "<b class=\"num\">");
            text_add_real(out, d->g, d->g < 10 ? 2 : 1);
            text_add(out, " g</b>");
        }
        html_addf(out, " %s", d->name);
        if (!isnan(d->pct)) {
            text_add(out, " <span class=\"quiet\">");
            text_add_real(out, d->pct, 1);
            text_add(out, " %</span>");
        }
        text_add(out, "</li>");
    }
    if (k->water)
        html_addf(out, "<li><b class=\"num\">%s</b> water</li>", k->water);
    text_add(out, "</ul>");
}

void plan_ways_words(const struct project_task *k, struct text *out)
{
    const bool dries = !strcmp(k->kind, "rinse");

    if (k->minutes)
        html_addf(out, dries ? "%s to dry" : "%s", k->minutes);
    if (k->heat)
        html_addf(out, "%s%s", k->minutes ? " at " : "", k->heat);
    if (k->heat && k->minutes) {
        text_add(out, "; ");
        moment_duration(k->takes_min, out);
        text_add(out, " in all");
    }
    html_addf(out, "%s%s", k->vessel && *k->vessel ? "; " : "", k->vessel);
}
