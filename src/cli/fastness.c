/* hanklab fastness: how well colours last, and which tests are due. */
#include "cli/commands.h"

#include <math.h>

#include "base/mem.h"
#include "book/picture.h"
#include "book/record.h"
#include "cli/ask.h"
#include "colour/grade.h"

#define DEF "\u0394E_F"

static bool read_request(struct cli *cli, struct fast_request *r,
                         struct error *err)
{
    const char *kind;

    r->today = day_today();
    if (!cli_filter(cli, &r->filter, err))
        return false;
    r->only_due = cli_has(cli, "due");
    kind = cli_value(cli, "kind");
    r->has_kind = kind != NULL;
    if (kind && !fast_kind_find(kind, &r->kind))
        return error_set(err, ERR_INPUT,
                         "kind: write light, wash or rub, not \"%s\"", kind);
    return !cli->word_count ||
           record_find(cli->book, NOUN_SKEIN, cli->word[0], &r->skein, err);
}

static bool is_due(const struct fast_test *t)
{
    return t->state == FAST_DUE || t->state == FAST_LATE;
}

/* ---- as tables ----------------------------------------------------------- */

static void add_heads(struct text_table *t, const char *const *heads, size_t n)
{
    t->columns = n;
    for (size_t i = 0; i < n; i++)
        table_add(t, heads[i]);
}

static void dye_cell(struct text_table *t, const char *dyestuffs,
                     const char *mordants, const char *dips, bool no_mordant)
{
    struct text words = {0};

    fast_dye_words(dyestuffs, mordants, dips, no_mordant, &words);
    table_add(t, text_str(&words));
    text_clear(&words);
}

/* The two colours touch, as the parts of a card do. */
static void graded_table(struct cli *cli, const struct fast_answer *a)
{
    static const char *const heads[] = {"skein", "test", "grade", DEF,  DE76,
                                        "was",   "is",   "dye",   "how"};
    struct text_table t = {0};
    struct text grade = {0};

    add_heads(&t, heads, ARRAY_LEN(heads));
    for (size_t i = 0; i < a->graded; i++) {
        const struct fast_test *x = &a->test[i];
        const struct lab was = x->original.colour.lab;
        const struct lab is = x->tested.colour.lab;

        table_add(&t, x->label);
        table_add(&t, fast_kind_names[x->kind]);
        fast_grade_words(x, &grade);
        table_add(&t, text_str(&grade));
        text_reset(&grade);
        cli_real_cell(&t, x->de_f, 1);
        cli_real_cell(&t, x->de76, 1);
        table_add_colour(&t, was, x->covered ? "covered" : "before");
        table_add_colour(&t, is, x->exposed ? "exposed" : "after");
        dye_cell(&t, x->dyestuffs, x->mordants, x->dips, x->no_mordant);
        table_add(&t, x->exposure);
    }
    table_write(&t, cli->colour, cli->columns, &cli->out);
    text_clear(&grade);
}

static void group_table(struct cli *cli, const struct fast_answer *a)
{
    static const char *const heads[] = {"dye",   "test", "tests",
                                        "grade", "best", "worst"};
    struct text_table t = {0};

    add_heads(&t, heads, ARRAY_LEN(heads));
    for (size_t i = 0; i < a->groups; i++) {
        const struct fast_group *g = &a->group[i];

        dye_cell(&t, g->dyestuffs, g->mordants, g->dips, g->no_mordant);
        table_add(&t, fast_kind_names[g->kind]);
        table_addf(&t, "%zu", g->tests);
        table_add(&t, grade_step(g->de_f));
        table_add(&t, grade_step(g->best));
        table_add(&t, grade_step(g->worst));
    }
    table_write(&t, cli->colour, cli->columns, &cli->out);
}

/* Those without a grade, and why; or those that are due. */
static void rest_table(struct cli *cli, const struct fast_answer *a, bool due)
{
    static const char *const heads[] = {"skein", "test", "when",
                                        "grade", "dye",  "how"};
    struct text_table t = {0};
    struct text why = {0}, state = {0};

    add_heads(&t, heads, ARRAY_LEN(heads));
    for (size_t i = 0; i < a->count; i++) {
        const struct fast_test *x = &a->test[i];

        if (due ? !is_due(x) : x->lack == FAST_GRADED)
            continue;
        fast_state_words(x, &state);
        table_add(&t, x->label);
        table_add(&t, fast_kind_names[x->kind]);
        table_add(&t, text_str(&state));
        text_reset(&state);
        if (x->lack == FAST_GRADED)
            fast_grade_words(x, &why);
        else
            fast_lack_words(x, &why);
        table_add(&t, text_str(&why));
        text_reset(&why);
        dye_cell(&t, x->dyestuffs, x->mordants, x->dips, x->no_mordant);
        table_add(&t, x->exposure);
    }
    table_write(&t, cli->colour, cli->columns, &cli->out);
    text_clear(&why);
    text_clear(&state);
}

/* Those that would have a grade under the light they were read for. */
static void add_light_note(const struct fast_answer *a, struct text *out)
{
    size_t n = 0;

    for (size_t i = 0; i < a->count; i++)
        n +=
            a->test[i].lack != FAST_GRADED && a->test[i].why == ASK_OTHER_LIGHT;
    if (n)
        text_addf(out,
                  "%zu read under another light: --light D65/10, or whichever "
                  "it was, goes by that\n",
                  n);
}

static void add_notes(struct cli *cli, const struct fast_request *r,
                      const struct fast_answer *a)
{
    struct text t = {0};

    text_add(&t, "Colours for ");
    cli_light_words(&r->filter, &t);
    text_addf(&t,
              "; 5 is no change, 1 a great one; in brackets how far a grade "
              "may be from it. %s",
              fast_caution);
    lines_add(&cli->out, text_str(&t), cli->columns, 0);
    text_reset(&t);
    add_light_note(a, &t);
    for (size_t i = 0; i < a->graded; i++) {
        const struct fast_test *x = &a->test[i];

        if (x->state != FAST_ENDED)
            text_addf(&t, "skein %s, %s: so far, it has not ended\n", x->label,
                      fast_kind_names[x->kind]);
        if (x->changed)
            text_addf(&t,
                      "skein %s, %s: as it was then; more was done to it "
                      "since\n",
                      x->label, fast_kind_names[x->kind]);
        if (x->compared.de00 <= x->compared.T)
            text_addf(&t,
                      "skein %s, %s: the readings cannot tell it from no "
                      "change\n",
                      x->label, fast_kind_names[x->kind]);
    }
    text_add(&cli->out, text_str(&t));
    text_clear(&t);
}

static void as_text(struct cli *cli, const struct fast_request *r,
                    const struct fast_answer *a)
{
    if (a->due) {
        text_add(&cli->out, "To be looked at this week:\n");
        rest_table(cli, a, true);
    }
    if (r->only_due) {
        if (!a->due)
            text_add(&cli->out, "No test is due within a week.\n");
        return;
    }
    if (!a->count) {
        text_add(&cli->out, "There is no test yet: hanklab test add SKEIN "
                            "--start today --due DAY\n");
        return;
    }
    if (a->graded) {
        text_add(&cli->out, a->due ? "\n" : "");
        graded_table(cli, a);
        text_add(&cli->out, "\nBy dye and mordant:\n");
        group_table(cli, a);
    }
    if (a->count > a->graded) {
        text_addf(&cli->out, "%sWithout a grade:\n",
                  a->graded || a->due ? "\n" : "");
        rest_table(cli, a, false);
    }
    if (a->graded) {
        text_add(&cli->out, "\n");
        add_notes(cli, r, a);
    }
}

/* ---- for programs -------------------------------------------------------- */

static const char *state_key(enum fast_state state)
{
    static const char *const keys[] = {[FAST_PLANNED] = "planned",
                                       [FAST_RUNNING] = "running",
                                       [FAST_DUE] = "due",
                                       [FAST_LATE] = "late",
                                       [FAST_ENDED] = "ended"};

    return keys[state];
}

static void as_csv(struct cli *cli, const struct fast_answer *a)
{
    static const char *const heads[] = {
        "id",         "skein",    "test",     "dyestuffs", "mordants",
        "dips",       "start",    "due",      "end",       "state",
        "exposure",   "before_L", "before_a", "before_b",  "after_L",
        "after_a",    "after_b",  "de76",     "de_f",      "grade",
        "grade_from", "grade_to", "no_grade"};
    struct text_table t = {0};
    struct text why = {0};
    const struct lab none = {(double)NAN, (double)NAN, (double)NAN};

    add_heads(&t, heads, ARRAY_LEN(heads));
    for (size_t i = 0; i < a->count; i++) {
        const struct fast_test *x = &a->test[i];
        const bool has = x->lack == FAST_GRADED;

        table_addf(&t, "%lld", (long long)x->id);
        table_add(&t, x->label);
        table_add(&t, fast_kind_names[x->kind]);
        table_add(&t, x->dyestuffs);
        table_add(&t, x->mordants);
        table_add(&t, x->dips);
        table_add(&t, x->start);
        table_add(&t, x->due);
        table_add(&t, x->end);
        table_add(&t, state_key(x->state));
        table_add(&t, x->exposure);
        cli_lab_cells(&t, has ? x->original.colour.lab : none, 4);
        cli_lab_cells(&t, has ? x->tested.colour.lab : none, 4);
        cli_real_cell(&t, has ? x->de76 : (double)NAN, 4);
        cli_real_cell(&t, has ? x->de_f : (double)NAN, 4);
        table_add(&t, has ? grade_step(x->de_f) : NULL);
        table_add(&t, has ? grade_step(x->de_f_high) : NULL);
        table_add(&t, has ? grade_step(x->de_f_low) : NULL);
        fast_lack_words(x, &why);
        table_add(&t, text_str(&why));
        text_reset(&why);
    }
    table_write_csv(&t, &cli->out);
    text_clear(&why);
}

static void json_reading(struct json *j, const char *name,
                         const struct ask_reading *r, const char *part)
{
    json_add_object(j, name);
    json_add_whole(j, "reading", r->id);
    json_add_string(j, "part", part);
    json_add_string(j, "day", *r->day ? r->day : NULL);
    json_add_bool(j, "photo", r->photo);
    cli_json_lab(j, r->colour.lab);
    json_end(j);
}

static void json_grade(struct json *j, const struct fast_test *x)
{
    json_reading(j, "before", &x->original, x->covered ? "covered" : "whole");
    json_reading(j, "after", &x->tested, x->exposed ? "exposed" : "whole");
    json_add_bool(j, "same_setup", x->same_setup);
    json_add_real(j, "de76", x->de76, 4);
    json_add_real(j, "de_f", x->de_f, 4);
    json_add_real(j, "de_f_low", x->de_f_low, 4);
    json_add_real(j, "de_f_high", x->de_f_high, 4);
    json_add_string(j, "grade", grade_step(x->de_f));
    json_add_string(j, "grade_from", grade_step(x->de_f_high));
    json_add_string(j, "grade_to", grade_step(x->de_f_low));
    json_add_real(j, "grade_decimal", grade_decimal(x->de_f), 4);
    json_add_real(j, "de00", x->compared.de00, 4);
    json_add_real(j, "T", x->compared.T, 4);
    json_add_bool(j, "changed_since", x->changed);
}

static void json_test(struct json *j, const struct fast_test *x)
{
    struct text why = {0};

    json_add_object(j, NULL);
    json_add_whole(j, "id", x->id);
    json_add_string(j, "skein", x->label);
    json_add_string(j, "test", fast_kind_names[x->kind]);
    json_add_string(j, "dyestuffs", x->dyestuffs);
    json_add_string(j, "mordants", x->mordants);
    json_add_string(j, "dips", x->dips);
    json_add_string(j, "start", x->start);
    json_add_string(j, "due", x->due);
    json_add_string(j, "end", x->end);
    json_add_string(j, "state", state_key(x->state));
    json_add_string(j, "exposure", x->exposure);
    if (x->lack == FAST_GRADED)
        json_grade(j, x);
    fast_lack_words(x, &why);
    json_add_string(j, "no_grade", why.len ? text_str(&why) : NULL);
    json_end(j);
    text_clear(&why);
}

static void as_json(struct cli *cli, const struct fast_request *r,
                    const struct fast_answer *a)
{
    struct json j = json_to(&cli->out);

    json_add_object(&j, NULL);
    cli_json_light(&j, &r->filter);
    json_add_string(&j, "caution", fast_caution);
    json_add_array(&j, "tests");
    for (size_t i = 0; i < a->count; i++)
        json_test(&j, &a->test[i]);
    json_end(&j);
    json_add_array(&j, "groups");
    for (size_t i = 0; i < a->groups && !r->only_due; i++) {
        const struct fast_group *g = &a->group[i];

        json_add_object(&j, NULL);
        json_add_string(&j, "test", fast_kind_names[g->kind]);
        json_add_string(&j, "dyestuffs", g->dyestuffs);
        json_add_string(&j, "mordants", g->mordants);
        json_add_string(&j, "dips", g->dips);
        json_add_whole(&j, "tests", (int64_t)g->tests);
        json_add_real(&j, "de_f", g->de_f, 4);
        json_add_string(&j, "grade", grade_step(g->de_f));
        json_add_string(&j, "best", grade_step(g->best));
        json_add_string(&j, "worst", grade_step(g->worst));
        json_end(&j);
    }
    json_end(&j);
    json_end(&j);
}

static bool run(struct cli *cli, struct error *err)
{
    struct fast_request r = {.has_kind = false};
    struct fast_answer a;
    bool ok;

    if (!read_request(cli, &r, err) || !ask_fastness(cli->book, &r, &a, err))
        return false;
    if (cli->json)
        as_json(cli, &r, &a);
    else if (cli->csv)
        as_csv(cli, &a);
    else
        as_text(cli, &r, &a);
    ok = cli_flush(cli, err);
    if (ok && cli_has(cli, "svg")) {
        struct text picture = {0};
        picture_of_fastness(&a, &picture);
        ok = cli_svg(cli, &picture, err);
        text_clear(&picture);
    }
    fast_answer_clear(&a);
    return ok;
}

static const struct cli_option options[] = {
    {"due", NULL, "only what is due within a week, or late"},
    {"kind", "KIND", "of one kind: light, wash or rub"},
    CLI_SVG_OPTION,
    CLI_WHICH_OPTIONS,
    {"wet", NULL, "go by readings of the wet yarn"},
    {"light", "LIGHT", "go by an instrument's readings, such as D65/10"},
};

const struct cli_command command_fastness = {
    "fastness",
    "[SKEIN]",
    "tell how well colours last, and which tests are due",
    "A grade for every light, wash and rub test, from its readings before and\n"
    "after, or of the covered and the exposed part; the dyes and mordants in\n"
    "the order of their grades; and the tests that are due. A test is a "
    "record:\n"
    "\"hanklab test add 12 --start today --due 2027-01-31\".",
    options,
    ARRAY_LEN(options),
    0,
    1,
    run,
};
