/* What "hanklab measure" says of a photo it measured. */
#include "cli/measure.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "book/photo.h"
#include "cli/ask.h"
#include "colour/name.h"
#include "colour/range.h"

void measure_json_notes(struct json *j, const struct measure_notes *notes)
{
    json_add_array(j, "notes");
    for (size_t i = 0; i < notes->count; i++)
        json_add_string(j, NULL, notes->text[i]);
    json_end(j);
}

void measure_json_colour(struct json *j, const struct measure_region *r)
{
    json_add_real(j, "L", r->lab.L, 4);
    json_add_real(j, "a", r->lab.a, 4);
    json_add_real(j, "b", r->lab.b, 4);
    json_add_real(j, "uL", sqrt(r->abs.LL), 4);
    json_add_real(j, "ua", sqrt(r->abs.aa), 4);
    json_add_real(j, "ub", sqrt(r->abs.bb), 4);
    json_add_real(j, "sL", sqrt(r->set.LL), 4);
    json_add_real(j, "sa", sqrt(r->set.aa), 4);
    json_add_real(j, "sb", sqrt(r->set.bb), 4);
    json_add_real(j, "light", r->light, 4);
    json_add_array(j, "spread");
    json_add_real(j, NULL, r->level.L, 4);
    json_add_real(j, NULL, r->level.a, 4);
    json_add_real(j, NULL, r->level.b, 4);
    json_end(j);
    json_add_string(j, "name", colour_name_nearest(r->lab)->name);
}

/* A number without "dyer" is mine. */
void measure_json_skein(struct json *j, const struct measure_place *p)
{
    const char *slash = strrchr(p->label, '/');

    if (p->number)
        json_add_whole(j, "skein", p->number);
    else
        json_add_null(j, "skein");
    if (slash) {
        char *dyer = mem_text_n(p->label, (size_t)(slash - p->label));
        json_add_string(j, "dyer", dyer);
        free(dyer);
    }
}

static void json_reading(struct json *j, const struct measure_job *job,
                         size_t i)
{
    const struct measure_place *p = &job->place[i];
    const struct measure_region *r = &job->result->region[i];

    json_add_object(j, NULL);
    measure_json_skein(j, p);
    if (job->taps.found[i].found)
        taps_json_box(j, job->box[i]);
    if (r->refused) {
        json_add_string(j, "refused", r->why);
    } else {
        measure_json_colour(j, r);
    }
    measure_json_notes(j, &r->notes);
    json_end(j);
}

void measure_json_photo(struct json *j, const struct measure_job *job)
{
    const struct measure_result *m = job->result;

    json_add_object(j, "photo");
    json_add_whole(j, "width", m->width);
    json_add_whole(j, "height", m->height);
    json_add_whole(j, "orientation", m->orientation);
    json_add_string(j, "profile", m->profile);
    json_add_string(j, "rule", m->rule);
    json_add_string(j, "camera", *m->camera ? m->camera : NULL);
    json_add_string(j, "taken", *m->taken ? m->taken : NULL);
    json_end(j);
    json_add_object(j, "card");
    if (job->taps.card)
        taps_json_box(j, job->request.card_box);
    json_add_real(j, "L", m->card_before.L, 4);
    json_add_real(j, "a", m->card_before.a, 4);
    json_add_real(j, "b", m->card_before.b, 4);
    json_add_array(j, "gains");
    for (int i = 0; i < 3; i++)
        json_add_real(j, NULL, m->gain[i], 6);
    json_end(j);
    measure_json_notes(j, &m->card_notes);
    json_end(j);
    measure_method_json(j, &m->method);
    json_add_array(j, "readings");
    for (size_t i = 0; i < job->places; i++)
        json_reading(j, job, i);
    json_end(j);
}

static void tell_json(struct cli *cli, const struct measure_job *job)
{
    struct json j = json_to(&cli->out);

    json_add_object(&j, NULL);
    measure_json_photo(&j, job);
    if (job->camera_id)
        json_add_whole(&j, "kept_camera", job->camera_id);
    json_add_string(&j, "colour", MEASURE_COLOUR);
    json_end(&j);
}

void measure_label(const struct measure_place *p, size_t i, char *out,
                   size_t size)
{
    if (p->number)
        snprintf(out, size, "skein %s", p->label);
    else if (p->words)
        snprintf(out, size, "%.*s", (int)(strrchr(p->words, '=') - p->words),
                 p->words);
    else
        snprintf(out, size, "region %zu", i + 1);
}

void measure_tell_notes(struct cli *cli, const char *who,
                        const struct measure_notes *notes)
{
    for (size_t i = 0; i < notes->count; i++)
        text_addf(&cli->out, "%s: %s\n", who, notes->text[i]);
}

static bool any_colour(const struct measure_job *job)
{
    for (size_t i = 0; i < job->places; i++)
        if (!job->result->region[i].refused)
            return true;
    return false;
}

void measure_table_begin(struct text_table *t)
{
    static const char *const heads[] = {"",
                                        "L*",
                                        "a*",
                                        "b*",
                                        "\xC2\xB1L",
                                        "\xC2\xB1"
                                        "a",
                                        "\xC2\xB1"
                                        "b",
                                        "how even",
                                        "name"};

    *t = (struct text_table){.columns = ARRAY_LEN(heads)};
    for (size_t i = 0; i < t->columns; i++)
        table_add(t, heads[i]);
}

void measure_table_add(struct text_table *t, const char *who,
                       const struct measure_region *r)
{
    table_add_colour(t, r->lab, who);
    table_addf(t, "%.1f", text_round(r->lab.L, 1) + 0.0);
    table_addf(t, "%.1f", text_round(r->lab.a, 1) + 0.0);
    table_addf(t, "%.1f", text_round(r->lab.b, 1) + 0.0);
    table_addf(t, "%.1f", 2 * sqrt(r->abs.LL));
    table_addf(t, "%.1f", 2 * sqrt(r->abs.aa));
    table_addf(t, "%.1f", 2 * sqrt(r->abs.bb));
    cli_real_cell(t, range_unevenness(r->lab, r->level), 1);
    table_add(t, colour_name_nearest(r->lab)->name);
}

void measure_table_end(struct cli *cli, struct text_table *t)
{
    if (cli->csv) {
        table_write_csv(t, &cli->out);
        return;
    }
    table_write(t, cli->colour, cli->columns, &cli->out);
    text_add(&cli->out,
             "CIELAB, D50, 2 degree, from a photo; \xC2\xB1 is right about 95 "
             "times in 100.\nHow even: how far parts of the skein usually lie "
             "from its mean, in " DE00 ".\n");
}

static void tell_colours(struct cli *cli, const struct measure_job *job)
{
    struct text_table t;
    char who[80];

    measure_table_begin(&t);
    for (size_t i = 0; i < job->places; i++) {
        if (job->result->region[i].refused)
            continue;
        measure_label(&job->place[i], i, who, sizeof who);
        measure_table_add(&t, who, &job->result->region[i]);
    }
    measure_table_end(cli, &t);
    if (!cli->csv)
        measure_method_tell(&cli->out, &job->result->method);
}

static bool is_kept(const struct measure_job *job, size_t place)
{
    return job->place[place].words && !job->result->region[place].refused;
}

static void tell_kept(struct cli *cli, const struct measure_job *job)
{
    char who[80];
    bool any = false;

    for (size_t i = 0; i < job->places; i++) {
        if (!is_kept(job, i))
            continue;
        measure_label(&job->place[i], i, who, sizeof who);
        text_addf(&cli->out, "%s%s", any ? ", " : "Kept: ", who);
        any = true;
    }
    if (job->camera_id)
        text_addf(&cli->out, "%scamera #%lld",
                  any ? ", " : "Kept: ", (long long)job->camera_id);
    if (any || job->camera_id)
        text_add(&cli->out, ".\n");
}

static void tell_table(struct cli *cli, const struct measure_job *job)
{
    const struct measure_result *m = job->result;
    char who[80];

    if (any_colour(job))
        tell_colours(cli, job);
    if (cli->csv)
        return;
    if (!job->places)
        measure_method_tell(&cli->out, &m->method);
    if (job->taps.card)
        taps_tell_box(cli, "card", job->request.card_box);
    measure_tell_notes(cli, "photo", &m->card_notes);
    for (size_t i = 0; i < job->places; i++) {
        measure_label(&job->place[i], i, who, sizeof who);
        if (job->taps.found[i].found)
            taps_tell_box(cli, who, job->box[i]);
        measure_tell_notes(cli, who, &m->region[i].notes);
    }
    tell_kept(cli, job);
}

/* Each refusal also goes to standard error; any makes the exit status 1. */
static void tell_refusals(struct cli *cli, const struct measure_job *job)
{
    char who[80];

    for (size_t i = 0; i < job->places; i++) {
        if (!job->result->region[i].refused)
            continue;
        measure_label(&job->place[i], i, who, sizeof who);
        cli_note("hanklab: %s: %s", who, job->result->region[i].why);
        cli->exit = 1;
    }
}

void measure_refuse_json(struct cli *cli, const struct measure_notes *notes,
                         const struct error *err)
{
    struct json j;

    if (!cli->json)
        return;
    text_reset(&cli->out);
    j = json_to(&cli->out);
    json_add_object(&j, NULL);
    json_add_string(&j, "refused", err->text);
    measure_json_notes(&j, notes);
    json_end(&j);
}

bool measure_tell_doubt(struct cli *cli, const char *who, int64_t reading,
                        struct error *err)
{
    struct text doubt = {0};
    int64_t before;
    bool ok = photo_reading_doubt(cli->book, reading, &doubt, err) &&
              photo_reading_again(cli->book, reading, &before, err);

    if (ok && doubt.len)
        cli_note("%s: %s", who, text_str(&doubt));
    if (ok && before)
        cli_note("%s: it was measured in this same picture before (reading "
                 "%lld), which makes it no surer; of the two the newer counts",
                 who, (long long)before);
    text_clear(&doubt);
    return ok;
}

static bool tell_doubts(struct cli *cli, const struct measure_job *job,
                        struct error *err)
{
    char who[80];

    for (size_t i = 0; i < job->places; i++) {
        measure_label(&job->place[i], i, who, sizeof who);
        if (job->place[i].reading_id &&
            !measure_tell_doubt(cli, who, job->place[i].reading_id, err))
            return false;
    }
    return true;
}

bool measure_tell(struct cli *cli, const struct measure_job *job,
                  struct error *err)
{
    if (cli->json)
        tell_json(cli, job);
    else
        tell_table(cli, job);
    tell_refusals(cli, job);
    return tell_doubts(cli, job, err);
}
