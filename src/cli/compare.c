/* hanklab compare: whether skeins match, in words and numbers. */
#include "cli/commands.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "colour/range.h"
#include "base/mem.h"
#include "book/record.h"
#include "cli/ask.h"

/* Of one skein alone, after a light test. */
static const char *const test_parts[] = {"covered", "exposed"};

/* Up to so many are compared each with each; more with the first, unless
 * --all. */
#define EACH_WITH_EACH 4

struct pair {
    size_t a, b; /* b is held against a */
    struct comparison c;
    double cmc, de76;
    bool same_setup;
};

struct job {
    struct ask_filter filter;
    struct ask_skein *skein;
    size_t count;
    bool parts; /* they are test_parts of one */
    struct pair *pair;
    size_t pairs;
    double tolerance;
};

static void job_clear(struct job *job)
{
    for (size_t i = 0; i < job->count; i++)
        ask_skein_clear(&job->skein[i]);
    free(job->skein);
    free(job->pair);
}

/* A part of a skein is called by it: "26 covered". */
static void add_part(struct ask_skein *s, const char *part)
{
    struct text label = {0};

    text_addf(&label, "%s %s", s->label, part);
    free(s->label);
    s->label = text_take(&label);
}

/* Reads every skein under the light of the filter. */
static bool load(struct cli *cli, const int64_t *id, struct job *job,
                 struct error *err)
{
    struct ask_filter filter = job->filter;

    for (size_t i = 0; i < job->count; i++) {
        ask_skein_clear(&job->skein[i]);
        if (job->parts)
            snprintf(filter.part, sizeof filter.part, "%s", test_parts[i]);
        if (!ask_skein(cli->book, id[i], &filter, &job->skein[i], err))
            return false;
        if (job->parts)
            add_part(&job->skein[i], test_parts[i]);
    }
    return true;
}

static const struct ask_skein *first_lacking(const struct job *job)
{
    for (size_t i = 0; i < job->count; i++)
        if (job->skein[i].lack != ASK_HAS_COLOUR)
            return &job->skein[i];
    return NULL;
}

static bool lacks(const struct job *job, const struct ask_skein *s,
                  struct error *err)
{
    const char *words = ask_lack_words(s->lack, job->filter.wet);

    if (job->parts && (s->lack == ASK_OTHER_PART || s->lack == ASK_NEVER))
        return error_set(err, ERR_INPUT,
                         "skein %s: not measured; name another skein to "
                         "compare it with, measure its two parts, with --part "
                         "covered and --part exposed, or hold its readings "
                         "against each other with --readings",
                         s->label);
    if (s->lack == ASK_WETNESS && !job->filter.wet)
        return error_set(err, ERR_INPUT,
                         "skein %s: %s; measure it dry, or compare all of "
                         "them wet with --wet",
                         s->label, words);
    if (s->lack == ASK_OTHER_PART)
        return error_set(err, ERR_INPUT,
                         "skein %s: %s; go by one part of all with --part "
                         "exposed, or name this one alone for its two",
                         s->label, words);
    return error_set(err, ERR_INPUT, "skein %s: %s", s->label, words);
}

/*
 * Colours for different lights are never compared. When one skein was read for
 * another light than D50, 2 degree, all of them are taken for that light if
 * they can be, and it is said.
 */
static bool load_under_one_light(struct cli *cli, const int64_t *id,
                                 struct job *job, struct error *err)
{
    const struct ask_skein *s;
    char *label;
    bool ok;

    if (!load(cli, id, job, err))
        return false;
    s = first_lacking(job);
    if (!s || s->lack != ASK_OTHER_LIGHT)
        return !s || lacks(job, s, err);
    label = mem_text(s->label);
    memcpy(job->filter.illuminant, s->reading.illuminant,
           sizeof job->filter.illuminant);
    job->filter.observer_deg = s->reading.observer_deg;
    ok = load(cli, id, job, err);
    s = ok ? first_lacking(job) : NULL;
    if (s && s->lack != ASK_OTHER_LIGHT)
        ok = lacks(job, s, err);
    else if (s)
        ok =
            error_set(err, ERR_INPUT,
                      "skein %s was read for %s, %d degree, skein %s for %s, "
                      "%d degree: colours for different lights cannot be "
                      "compared; read one again",
                      label, job->filter.illuminant, job->filter.observer_deg,
                      s->label, s->reading.illuminant, s->reading.observer_deg);
    else if (ok)
        cli_note("all were read for %s, %d degree: compared under that light",
                 job->filter.illuminant, job->filter.observer_deg);
    free(label);
    return ok;
}

/* The skein once for each reading of its state, the one it goes by first: a
 * reading is called by its skein and day, "26 on 2026-10-05". */
static bool load_readings(struct cli *cli, const int64_t *id, struct job *job,
                          struct error *err)
{
    const struct ask_skein *now = &job->skein[0];
    struct ask_reading *reading = NULL;
    int64_t skein = 0;
    size_t n = 0;
    bool ok = load_under_one_light(cli, id, job, err) &&
              ask_readings(cli->book, now, &job->filter, &reading, &n, err);

    if (ok && n < 2)
        ok = error_set(err, ERR_INPUT,
                       "skein %s was measured once since it was last treated; "
                       "measure it again, and both are kept",
                       now->label);
    if (ok) {
        skein = now->id;
        job->skein = mem_resize(job->skein, n, sizeof *job->skein);
    }
    for (size_t i = 0; ok && i < n; i++) {
        struct ask_skein *s = &job->skein[i];
        char called[32];
        if (i && !ask_skein(cli->book, skein, &job->filter, s, err)) {
            ok = false;
            break;
        }
        job->count = i + 1;
        s->reading = reading[i];
        if (*reading[i].day)
            snprintf(called, sizeof called, "on %s", reading[i].day);
        else
            snprintf(called, sizeof called, "reading #%lld",
                     (long long)reading[i].id);
        add_part(s, called);
    }
    free(reading);
    return ok;
}

static bool compare_all(struct cli *cli, struct job *job, struct error *err)
{
    bool each = job->count <= EACH_WITH_EACH || cli_has(cli, "all");

    job->pair = mem_new(job->count * job->count, sizeof *job->pair);
    for (size_t a = 0; a < (each ? job->count : 1); a++)
        for (size_t b = a + 1; b < job->count; b++) {
            struct pair *p = &job->pair[job->pairs++];
            const struct ask_skein *x = &job->skein[a], *y = &job->skein[b];
            *p = (struct pair){.a = a, .b = b};
            p->de76 = lab_de76(x->reading.colour.lab, y->reading.colour.lab);
            p->cmc =
                lab_cmc(x->reading.colour.lab, y->reading.colour.lab, 2, 1);
            if (!ask_compare(cli->book, x, y, job->tolerance, &p->c,
                             &p->same_setup, err))
                return false;
        }
    return true;
}

/* "different: 141 is darker and redder" */
static void answer(const struct job *job, const struct pair *p,
                   struct text *out)
{
    const struct ask_skein *x = &job->skein[p->a], *y = &job->skein[p->b];
    char how[80];

    if (x->id == y->id && !job->parts && p->c.verdict == VERDICT_CANNOT_TELL) {
        text_add(out, "whether it changed cannot be told from these readings");
        return;
    }
    cli_verdict_words(p->c, x->reading.photo && y->reading.photo, out);
    if (p->c.verdict != VERDICT_DIFFERENT)
        return;
    difference_words(x->reading.colour.lab, y->reading.colour.lab, how,
                     sizeof how);
    if (*how)
        text_addf(out, ": %s is %s", y->label, how);
}

/* ---- as a table -----------------------------------------------------------
 */

static void pair_table(struct cli *cli, const struct job *job)
{
    static const char *const heads[] = {
        "skein", "with", DE00, DE76, "at most (U)", "same up to (T)", "answer"};
    struct text_table t = {.columns = ARRAY_LEN(heads) - !job->parts};
    struct text words = {0};

    for (size_t i = 0; i < ARRAY_LEN(heads); i++)
        if (job->parts || strcmp(heads[i], DE76) != 0)
            table_add(&t, heads[i]);
    for (size_t i = 0; i < job->pairs; i++) {
        const struct pair *p = &job->pair[i];
        const struct ask_skein *x = &job->skein[p->a], *y = &job->skein[p->b];
        table_add_colour(&t, x->reading.colour.lab, x->label);
        table_add_colour(&t, y->reading.colour.lab, y->label);
        cli_real_cell(&t, p->c.de00, 1);
        if (job->parts)
            cli_real_cell(&t, p->de76, 1);
        cli_real_cell(&t, p->c.U, 1);
        cli_real_cell(&t, p->c.T, 1);
        answer(job, p, &words);
        table_add(&t, text_str(&words));
        text_reset(&words);
    }
    table_write(&t, cli->colour, cli->columns, &cli->out);
    text_clear(&words);
}

static void as_csv(struct cli *cli, const struct job *job)
{
    static const char *const heads[] = {"skein",   "with", "de00", "cmc_2_1",
                                        "X",       "U",    "T",    "same_setup",
                                        "verdict", "de76"};
    struct text_table t = {.columns = ARRAY_LEN(heads)};

    for (size_t i = 0; i < ARRAY_LEN(heads); i++)
        table_add(&t, heads[i]);
    for (size_t i = 0; i < job->pairs; i++) {
        const struct pair *p = &job->pair[i];
        table_add(&t, job->skein[p->a].label);
        table_add(&t, job->skein[p->b].label);
        cli_real_cell(&t, p->c.de00, 4);
        cli_real_cell(&t, p->cmc, 4);
        cli_real_cell(&t, p->c.X, 4);
        cli_real_cell(&t, p->c.U, 4);
        cli_real_cell(&t, p->c.T, 4);
        table_add(&t, p->same_setup ? "yes" : "no");
        table_add(&t, cli_verdict_key(p->c.verdict));
        cli_real_cell(&t, p->de76, 4);
    }
    table_write_csv(&t, &cli->out);
}

/* "even, varies by 0.8 dE00 (L 0.6, a 0.3, b 0.4)" */
static void even_cell(const struct ask_reading *r, struct text_table *t)
{
    double uneven = ask_unevenness(r);

    if (isnan(uneven))
        table_add(t, "not known");
    else
        table_addf(t, "%s, varies by %.1f " DE00 " (L %.1f, a %.1f, b %.1f)",
                   range_even_words(uneven), uneven, r->level.L, r->level.a,
                   r->level.b);
}

static void skein_table(struct cli *cli, const struct job *job)
{
    static const char *const heads[] = {"skein", "colour",   "L",       "a",
                                        "b",     "\xC2\xB1", "how even"};
    struct text_table t = {.columns = ARRAY_LEN(heads)};

    for (size_t i = 0; i < ARRAY_LEN(heads); i++)
        table_add(&t, heads[i]);
    for (size_t i = 0; i < job->count; i++) {
        const struct ask_reading *r = &job->skein[i].reading;
        const struct colour_name *name = colour_name_nearest(r->colour.lab);
        table_add(&t, job->skein[i].label);
        table_add_colour(&t, r->colour.lab, name ? name->name : "");
        cli_lab_cells(&t, r->colour.lab, 1);
        table_addf(&t, "%.1f, %.1f, %.1f", 2 * sqrt(r->colour.abs.LL),
                   2 * sqrt(r->colour.abs.aa), 2 * sqrt(r->colour.abs.bb));
        even_cell(r, &t);
    }
    table_write(&t, cli->colour, cli->columns, &cli->out);
}

static void add_legend(const struct job *job, int width, struct text *out)
{
    struct text t = {0};

    text_add(&t, "Tolerance (X): ");
    text_add_real(&t, job->tolerance, 2);
    text_add(&t, ". At most: the true difference is no larger. Same up to: "
                 "equal colours may come out so far apart. Both are right "
                 "about 95 times in 100, in " DE00 ".");
    lines_add(out, text_str(&t), width, 0);
    text_clear(&t);
    for (size_t i = 0; i < job->count; i++)
        if (job->skein[i].reading.assumed_u)
            text_addf(out,
                      "%s: no uncertainty recorded; that of one reading of "
                      "yarn taken.\n",
                      job->skein[i].label);
}

static void as_text(struct cli *cli, const struct job *job)
{
    struct text t = {0};

    text_add(&t, "Colours for ");
    cli_light_words(&job->filter, &t);
    text_add(&t, "; \xC2\xB1 is right about 95 times in 100. How even: how far "
                 "parts of the skein usually lie from its mean.");
    lines_add(&cli->out, text_str(&t), cli->columns, 0);
    text_clear(&t);
    skein_table(cli, job);
    text_add(&cli->out, "\n");
    pair_table(cli, job);
    text_add(&cli->out, "\n");
    add_legend(job, cli->columns, &cli->out);
}

/* ---- as JSON --------------------------------------------------------------
 */

static void skein_json(struct json *j, const struct ask_skein *s, bool wet)
{
    const struct colour_name *name = colour_name_nearest(s->reading.colour.lab);

    json_add_object(j, NULL);
    cli_json_skein(j, s, wet);
    json_add_string(j, "colour", name ? name->name : NULL);
    json_add_bool(j, "photo", s->reading.photo);
    json_add_bool(j, "uncertainty_assumed", s->reading.assumed_u);
    json_add_real(j, "level_L", s->reading.level.L, 4);
    json_add_real(j, "level_a", s->reading.level.a, 4);
    json_add_real(j, "level_b", s->reading.level.b, 4);
    json_add_real(j, "unevenness_de00", ask_unevenness(&s->reading), 4);
    json_end(j);
}

static void pair_json(struct json *j, const struct job *job,
                      const struct pair *p)
{
    struct text words = {0};

    answer(job, p, &words);
    json_add_object(j, NULL);
    json_add_string(j, "skein", job->skein[p->a].label);
    json_add_string(j, "with", job->skein[p->b].label);
    json_add_real(j, "de00", p->c.de00, 4);
    json_add_real(j, "cmc_2_1", p->cmc, 4);
    json_add_real(j, "de76", p->de76, 4);
    json_add_real(j, "X", p->c.X, 4);
    json_add_real(j, "U", p->c.U, 4);
    json_add_real(j, "T", p->c.T, 4);
    json_add_bool(j, "same_setup", p->same_setup);
    json_add_string(j, "verdict", cli_verdict_key(p->c.verdict));
    json_add_string(j, "answer", text_str(&words));
    json_end(j);
    text_clear(&words);
}

static void as_json(struct cli *cli, const struct job *job)
{
    struct json j = json_to(&cli->out);

    json_add_object(&j, NULL);
    cli_json_light(&j, &job->filter);
    json_add_string(&j, "part", job->parts ? NULL : job->filter.part);
    json_add_array(&j, "skeins");
    for (size_t i = 0; i < job->count; i++)
        skein_json(&j, &job->skein[i], job->filter.wet);
    json_end(&j);
    json_add_array(&j, "pairs");
    for (size_t i = 0; i < job->pairs; i++)
        pair_json(&j, job, &job->pair[i]);
    json_end(&j);
    json_end(&j);
}

/* Each word is a skein or several, "6-8". */
static bool find_skeins(struct cli *cli, int64_t **id, size_t *count,
                        struct error *err)
{
    bool ok = true;

    *id = NULL;
    *count = 0;
    for (size_t i = 0; ok && i < cli->word_count; i++) {
        int64_t *more;
        size_t n;

        if (!record_skeins(cli->book, book_dyer(cli->book), cli->word[i], &more,
                           &n, NULL, err))
            return false;
        *id = mem_resize(*id, *count + n, sizeof **id);
        for (size_t k = 0; ok && k < n; k++) {
            for (size_t was = 0; was < *count; was++)
                if ((*id)[was] == more[k])
                    ok = error_set(err, ERR_INPUT, "skein %s is named twice",
                                   cli->word[i]);
            (*id)[(*count)++] = more[k];
        }
        free(more);
    }
    return ok;
}

static bool run(struct cli *cli, struct error *err)
{
    struct job job = {.count = 0};
    const bool readings = cli_has(cli, "readings");
    int64_t *id = NULL;
    bool ok = cli_tolerance(cli, &job.tolerance, err) &&
              cli_filter(cli, &job.filter, err) &&
              find_skeins(cli, &id, &job.count, err);

    job.parts = job.count == 1 && !readings;
    if (ok && readings && job.count != 1)
        ok = cli_usage(cli, err,
                       "--readings goes with one skein: its readings are held "
                       "against each other");
    if (ok && job.parts && cli_has(cli, "part"))
        ok = cli_usage(cli, err,
                       "--part goes with several skeins; of one alone the "
                       "covered part is held against the exposed one");
    if (ok && job.parts) {
        job.count = ARRAY_LEN(test_parts);
        id = mem_resize(id, job.count, sizeof *id);
        id[1] = id[0];
    }
    job.skein = mem_new(job.count, sizeof *job.skein);
    ok = ok &&
         (readings ? load_readings(cli, id, &job, err)
                   : load_under_one_light(cli, id, &job, err)) &&
         compare_all(cli, &job, err);
    if (ok && cli->json)
        as_json(cli, &job);
    else if (ok && cli->csv)
        as_csv(cli, &job);
    else if (ok)
        as_text(cli, &job);
    job_clear(&job);
    free(id);
    return ok;
}

static const struct cli_option options[] = {
    {"tolerance", "X", "what still is a match, in " DE00 "; 2 if not said"},
    {"all", NULL, "each with each; else more than four go with the first"},
    {"readings", NULL, "of one skein: those since it was last treated"},
    CLI_READING_OPTIONS,
};

const struct cli_command command_compare = {
    "compare",
    "SKEIN...",
    "say whether skeins match, and how even each is",
    "Three answers: match within your tolerance; different; this photo cannot\n"
    "tell, and then the skeins are laid together. Where card, camera and day\n"
    "are the same, or the photo, what two readings share does not count\n"
    "against them. Of one skein alone the covered part of a light test is "
    "held\n"
    "against the exposed one, or with --readings each reading against the\n"
    "others.",
    options,
    ARRAY_LEN(options),
    1,
    SIZE_MAX,
    run,
};
