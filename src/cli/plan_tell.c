/* How a project is told: its colours, its steps in time, what to weigh. */
#include "cli/plan.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/json.h"
#include "base/mem.h"
#include "cli/ask.h"
#include "dye/amount.h"
#include "dye/caution.h"

void plan_tell_head(const struct project *p, struct cli *cli)
{
    struct text *out = &cli->out, line = {0};
    char begin[24], end[24];

    text_addf(out, "%s: %zu colour%s", p->name, p->wishes,
              p->wishes == 1 ? "" : "s");
    project_extra_words(p, out);
    text_addf(out, ", %zu steps, %zu done\n", p->tasks, p->done);
    if (p->yarn)
        text_addf(&line, "%s; ", p->yarn);
    if (p->hank)
        text_addf(&line, "a hank %s; ", p->hank);
    text_addf(&line, "%s; up %s", p->pots ? p->pots : "", p->hours);
    lines_add(out, text_str(&line), cli->columns, 0);
    text_clear(&line);
    if (p->tasks && p->task[0].has_begin) {
        moment_words(p->task[0].begins, begin);
        moment_words(p->ends, end);
        text_addf(out, "begins %s, ends %s", begin, end);
        if (p->has_ready) {
            moment_words(p->ready, begin);
            text_addf(out, p->late ? ": too late for %s" : "; ready by %s",
                      begin);
        }
        text_add(out, p->shortest ? "; none for that time takes less\n" : "\n");
    }
}

static void expect_words(const struct project_wish *w, struct text *out)
{
    if (w->expected)
        text_addf(out, "%s, %s", colour_name_nearest(w->lab)->name, w->by);
    else
        text_add(out, "not known");
}

void plan_tell_wishes(const struct project *p, struct cli *cli)
{
    struct text_table t = {.columns = 5};
    static const char *const heads[] = {"colour", "skeins", "amount", "how",
                                        "to expect"};

    for (size_t i = 0; i < ARRAY_LEN(heads); i++)
        table_add(&t, heads[i]);
    for (size_t i = 0; i < p->wishes; i++) {
        const struct project_wish *w = &p->wish[i];
        struct text expect = {0};
        expect_words(w, &expect);
        table_add(&t, w->name);
        table_add(&t, w->skeins);
        table_add(&t, w->amount);
        table_add(&t, w->how);
        if (w->expected)
            table_add_colour(&t, w->lab, text_str(&expect));
        else
            table_add(&t, text_str(&expect));
        text_clear(&expect);
    }
    table_write(&t, cli->colour, cli->columns, &cli->out);
}

/* "85 C, 60 min", "1 day" */
static void heat_words(const struct project_task *k, struct text *out)
{
    if (k->heat)
        text_addf(out, "%s, ", k->heat);
    text_add(out, k->minutes ? k->minutes : "");
}

static void state_words(const struct project_task *k, struct text *out)
{
    if (!k->done)
        return;
    text_add(out, k->done_on ? k->done_on : "yes");
    if (k->record)
        text_addf(out, ", %s", k->record);
    if (k->differed)
        text_addf(out, ": %s", k->differed);
    if (k->note)
        text_addf(out, "; %s", k->note);
}

void plan_tell_steps(const struct project *p, struct cli *cli)
{
    struct text_table t = {.columns = 8};
    static const char *const heads[] = {"step",  "begins", "takes",
                                        "what",  "skeins", "heat, time",
                                        "where", "done"};

    for (size_t i = 0; i < ARRAY_LEN(heads); i++)
        table_add(&t, heads[i]);
    for (size_t i = 0; i < p->tasks; i++) {
        const struct project_task *k = &p->task[i];
        struct text takes = {0}, heat = {0}, state = {0};
        char begins[24] = "";
        if (k->has_begin)
            moment_words(k->begins, begins);
        moment_duration(k->takes_min, &takes);
        heat_words(k, &heat);
        state_words(k, &state);
        table_addf(&t, "%d", k->number);
        table_add(&t, begins);
        table_add(&t, text_str(&takes));
        table_add(&t, k->name);
        table_add(&t, k->skeins);
        table_add(&t, text_str(&heat));
        table_add(&t, k->vessel);
        table_add(&t, text_str(&state));
        text_clear(&takes);
        text_clear(&heat);
        text_clear(&state);
    }
    table_write(&t, cli->colour, cli->columns, &cli->out);
}

static void dose_words(const struct project_dose *d, struct text *out)
{
    text_addf(out, "%s ", d->name);
    amount_add_grams(out, d->g, d->g);
    if (isnan(d->pct))
        return;
    text_add(out, " (");
    text_add_real(out, d->pct, 1);
    text_add(out, " %)");
}

void plan_tell_pots(const struct project *p, struct cli *cli)
{
    struct text_table t = {.columns = 5};
    static const char *const heads[] = {"step", "what", "fibre", "water",
                                        "to weigh"};

    for (size_t i = 0; i < ARRAY_LEN(heads); i++)
        table_add(&t, heads[i]);
    for (size_t i = 0; i < p->tasks; i++) {
        const struct project_task *k = &p->task[i];
        struct text fibre = {0}, weigh = {0};
        if (!k->water && !k->doses)
            continue;
        amount_add_grams(&fibre, k->fibre_g, k->fibre_g);
        for (size_t d = 0; d < k->doses; d++) {
            text_add(&weigh, d ? ", " : "");
            dose_words(&k->dose[d], &weigh);
        }
        table_addf(&t, "%d", k->number);
        table_add(&t, k->name);
        table_add(&t, text_str(&fibre));
        table_add(&t, k->water);
        table_add(&t, text_str(&weigh));
        text_clear(&fibre);
        text_clear(&weigh);
    }
    table_write(&t, cli->colour, cli->columns, &cli->out);
}

/* What the cupboard has: "120 g", "at most 120 g", "not in the cupboard". */
static void left_words(const struct project_need *n, struct text *out)
{
    if (!n->stocked) {
        text_add(out, "not in the cupboard");
        return;
    }
    if (!isnan(n->left_g))
        text_add(out, n->more ? "at least " : !n->left_known ? "at most " : "");
    amount_add_grams(out, n->left_g, n->left_g);
    if (n->state)
        text_addf(out, ", %s reckoned as dry", n->state);
}

/* Weights that a scale of whole grams cannot show. */
static void tell_fine(const struct project_need *n, struct cli *cli)
{
    struct text line = {0};

    text_addf(&line, "%s: too little for a scale that shows whole grams: use ",
              n->name);
    if (isnan(n->stock_ml)) {
        text_add(&line, "a finer one");
    } else {
        text_add(&line, "a solution; the smallest weight is ");
        text_add_real(&line, n->stock_ml, 1);
        text_add(&line, " ml of a 1 % one (1 g made up to 100 ml)");
    }
    lines_add(&cli->out, text_str(&line), cli->columns, 2);
    text_clear(&line);
}

void plan_tell_needs(const struct project *p, struct cli *cli)
{
    struct text_table t = {.columns = 4};
    static const char *const heads[] = {"still to weigh", "needed", "there is",
                                        "missing"};

    if (!p->needs)
        return;
    for (size_t i = 0; i < ARRAY_LEN(heads); i++)
        table_add(&t, heads[i]);
    for (size_t i = 0; i < p->needs; i++) {
        const struct project_need *n = &p->need[i];
        struct text need = {0}, left = {0}, lack = {0};
        amount_add_grams(&need, n->g, n->g);
        left_words(n, &left);
        if (n->short_g > 0 || isnan(n->short_g))
            amount_add_grams(&lack, n->short_g, n->short_g);
        table_add(&t, n->name);
        table_add(&t, text_str(&need));
        table_add(&t, text_str(&left));
        table_add(&t, text_str(&lack));
        text_clear(&need);
        text_clear(&left);
        text_clear(&lack);
    }
    table_write(&t, cli->colour, cli->columns, &cli->out);
    for (size_t i = 0; i < p->needs; i++)
        if (p->need[i].fine)
            tell_fine(&p->need[i], cli);
}

static void each_line(const char *lines, void (*take)(void *, const char *),
                      void *self)
{
    while (lines && *lines) {
        size_t n = strcspn(lines, "\n");
        char *line = mem_text_n(lines, n);
        take(self, line);
        free(line);
        lines += n + (lines[n] == '\n');
    }
}

static void take_said(void *self, const char *line)
{
    struct cli *cli = self;

    lines_add(&cli->out, line, cli->columns, 2);
}

void plan_tell_said(const struct project *p, struct cli *cli)
{
    each_line(p->said, take_said, cli);
}

static void take_caution(void *self, const char *line)
{
    (void)self;
    cli_note("%s", line);
}

void plan_tell_cautions(const struct project *p)
{
    each_line(text_str(&p->caution), take_caution, NULL);
    if (p->caution.len)
        cli_note("%s", caution_closing);
}

/* ---- JSON -----------------------------------------------------------------
 */

static void add_moment(struct json *j, const char *name, bool has,
                       struct moment m)
{
    char iso[17];

    moment_iso(m, iso);
    json_add_string(j, name, has ? iso : NULL);
}

static void json_wish(struct json *j, const struct project_wish *w)
{
    json_add_object(j, NULL);
    json_add_string(j, "name", w->name);
    json_add_string(j, "amount", w->amount);
    json_add_real(j, "g", w->g, 2);
    json_add_string(j, "how", w->how);
    json_add_string(j, "recipe", w->recipe);
    json_add_string(j, "like", w->like);
    json_add_string(j, "skeins", w->skeins);
    if (w->expected) {
        json_add_object(j, "expected");
        cli_json_lab(j, w->lab);
        json_add_string(j, "colour", colour_name_nearest(w->lab)->name);
        json_add_string(j, "by", w->by);
        json_add_bool(j, "foretold", w->foretold);
        json_end(j);
    } else {
        json_add_null(j, "expected");
    }
    json_end(j);
}

static void json_task(struct json *j, const struct project_task *k)
{
    json_add_object(j, NULL);
    json_add_whole(j, "step", k->number);
    json_add_string(j, "kind", k->kind);
    json_add_string(j, "name", k->name);
    json_add_string(j, "skeins", k->skeins);
    json_add_real(j, "fibre_g", k->fibre_g, 2);
    json_add_string(j, "water", k->water);
    json_add_string(j, "heat", k->heat);
    json_add_string(j, "time", k->minutes);
    json_add_string(j, "source", k->source);
    json_add_string(j, "vessel", k->vessel);
    json_add_string(j, "after", k->after);
    add_moment(j, "begins", k->has_begin, k->begins);
    json_add_whole(j, "takes_min", k->takes_min);
    json_add_array(j, "weigh");
    for (size_t i = 0; i < k->doses; i++) {
        json_add_object(j, NULL);
        json_add_string(j, "role", k->dose[i].role);
        json_add_string(j, "material", k->dose[i].name);
        json_add_string(j, "amount", k->dose[i].words);
        json_add_real(j, "wof_pct", k->dose[i].pct, 3);
        json_add_real(j, "g", k->dose[i].g, 3);
        json_end(j);
    }
    json_end(j);
    json_add_bool(j, "done", k->done);
    json_add_string(j, "done_on", k->done_on);
    json_add_string(j, "became", k->record);
    json_add_string(j, "otherwise", k->differed);
    json_add_string(j, "note", k->note);
    json_end(j);
}

static void take_json(void *self, const char *line)
{
    json_add_string(self, NULL, line);
}

void plan_tell_json(const struct project *p, struct cli *cli)
{
    struct json j = json_to(&cli->out);

    json_add_object(&j, NULL);
    json_add_string(&j, "project", p->name);
    json_add_string(&j, "yarn", p->yarn);
    json_add_string(&j, "hank", p->hank);
    json_add_string(&j, "pots", p->pots);
    add_moment(&j, "ready", p->has_ready, p->ready);
    add_moment(&j, "ends", p->tasks > 0, p->ends);
    add_moment(&j, "soonest", p->has_soonest, p->soonest);
    json_add_bool(&j, "late", p->late);
    json_add_bool(&j, "shortest", p->shortest);
    json_add_array(&j, "colours");
    for (size_t i = 0; i < p->wishes; i++)
        json_wish(&j, &p->wish[i]);
    json_end(&j);
    json_add_whole(&j, "test_skeins", (int64_t)p->extras);
    json_add_real(&j, "test_g", p->extra_g, 2);
    json_add_array(&j, "steps");
    for (size_t i = 0; i < p->tasks; i++)
        json_task(&j, &p->task[i]);
    json_end(&j);
    json_add_array(&j, "needs");
    for (size_t i = 0; i < p->needs; i++) {
        const struct project_need *n = &p->need[i];
        json_add_object(&j, NULL);
        json_add_string(&j, "material", n->name);
        json_add_real(&j, "g", n->g, 3);
        json_add_bool(&j, "stocked", n->stocked);
        json_add_real(&j, "left_g", n->left_g, 2);
        json_add_bool(&j, "left_known", n->left_known);
        json_add_real(&j, "missing_g", n->short_g, 3);
        json_end(&j);
    }
    json_end(&j);
    json_add_array(&j, "notes");
    each_line(p->said, take_json, &j);
    json_end(&j);
    json_add_array(&j, "cautions");
    each_line(text_str(&p->caution), take_json, &j);
    json_end(&j);
    json_add_string(&j, "caution", p->caution.len ? caution_closing : NULL);
    json_end(&j);
}
