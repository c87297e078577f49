/* hanklab measure with several photos: one reading of each skein in them. */
#include "cli/measure_set.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "book/photo.h"
#include "measure/several.h"

/* One skein, yarn or region, wherever it lies in the photos. */
struct group {
    const struct measure_place *place; /* in the first photo it is in */
    size_t nth;                        /* of its like in a photo */
    size_t index;                      /* among the places of that photo */
    struct several several;
};

struct set {
    struct measure_shots shots;
    struct group *group;
    struct photo_together *together; /* one for each group */
    size_t groups;
    struct measure_notes notes;
};

/* ---- measuring ---------------------------------------------------------- */

static bool measure_shot(struct cli *cli, struct measure_shot *shot,
                         size_t number, struct error *err)
{
    struct cli_given *const given = cli->given;
    const size_t count = cli->given_count;
    struct error why = {0};
    bool ok;

    cli->given = shot->given;
    cli->given_count = shot->given_count;
    shot->job = measure_job_new();
    ok = measure_job_do(cli, shot->path, shot->job, &why);
    cli->given = given;
    cli->given_count = count;
    if (ok)
        return true;
    error_set(err, why.kind, "photo %zu: %s", number, why.text);
    measure_refuse_json(cli, &shot->job->result->card_notes, err);
    return false;
}

/* The same bytes again tell nothing new. */
static void find_first(struct set *set, size_t n)
{
    struct measure_shot *at = set->shots.at;

    at[n].first = n;
    for (size_t i = n; i-- > 0;)
        if (at[i].job->size == at[n].job->size &&
            !memcmp(at[i].job->data, at[n].job->data, at[n].job->size))
            at[n].first = i;
    if (at[n].first < n)
        several_note_same(at[n].first + 1, n + 1, &set->notes);
}

static void note_exposure(struct set *set)
{
    struct lab before[SEVERAL_MOST];

    for (size_t i = 0; i < set->shots.count; i++)
        before[i] = set->shots.at[i].job->result->card_before;
    several_note_exposure(before, set->shots.count, &set->notes);
}

static bool measure_all(struct cli *cli, struct set *set, struct error *err)
{
    for (size_t i = 0; i < set->shots.count; i++) {
        if (!measure_shot(cli, &set->shots.at[i], i + 1, err))
            return false;
        find_first(set, i);
    }
    note_exposure(set);
    return true;
}

/* ---- what belongs together ---------------------------------------------- */

static bool same_owner(const struct measure_place *a,
                       const struct measure_place *b)
{
    return a->skein_id == b->skein_id && a->fibre_id == b->fibre_id;
}

static size_t nth_of_its_like(const struct measure_job *job, size_t place)
{
    size_t n = 0;

    for (size_t i = 0; i < place; i++)
        n += same_owner(&job->place[i], &job->place[place]);
    return n;
}

/* The group of a place; a new one where there is none. */
static size_t group_of(struct set *set, const struct measure_job *job,
                       size_t place)
{
    const struct measure_place *p = &job->place[place];
    const size_t nth = nth_of_its_like(job, place);
    size_t i = 0;

    while (i < set->groups &&
           !(same_owner(set->group[i].place, p) && set->group[i].nth == nth))
        i++;
    if (i < set->groups)
        return i;
    set->group = mem_room(set->group, i, sizeof *set->group);
    set->together = mem_room(set->together, i, sizeof *set->together);
    set->group[i] = (struct group){.place = p, .nth = nth, .index = place};
    set->together[i] = (struct photo_together){
        .whose = {.skein_id = p->skein_id, .fibre_id = p->fibre_id}};
    set->groups++;
    return i;
}

/* Whether a group has a place of these bytes already. */
static bool has_bytes(const struct set *set, const struct photo_together *t,
                      size_t shot)
{
    for (size_t i = 0; i < t->count; i++)
        if (set->shots.at[t->of[i].photo].first == set->shots.at[shot].first)
            return true;
    return false;
}

static void put_together(struct set *set)
{
    for (size_t s = 0; s < set->shots.count; s++) {
        const struct measure_job *job = set->shots.at[s].job;

        for (size_t i = 0; i < job->places; i++) {
            const size_t group = group_of(set, job, i); /* may move them */
            struct photo_together *t = &set->together[group];

            if (job->result->region[i].refused || has_bytes(set, t, s))
                continue;
            t->of[t->count].photo = s;
            t->of[t->count++].place = i;
        }
    }
}

static void average(struct set *set, size_t n)
{
    struct photo_together *t = &set->together[n];
    struct several *several = &set->group[n].several;
    struct several_photo photo[SEVERAL_MOST];

    t->mean = &several->mean;
    if (!t->count) {
        *several = (struct several){.dropped = SEVERAL_NONE};
        several->mean.refused = true;
        snprintf(several->mean.why, sizeof several->mean.why,
                 "It could be read in none of the photos.");
        return;
    }
    for (size_t i = 0; i < t->count; i++) {
        const size_t s = t->of[i].photo;

        photo[i].number = s + 1;
        photo[i].region = &set->shots.at[s].job->result->region[t->of[i].place];
    }
    several_mean(photo, t->count, several);
}

/* ---- keeping ------------------------------------------------------------ */

/* What was left out of a mean is no part of the reading. */
static struct photo_together used(const struct set *set, size_t n)
{
    struct photo_together t = set->together[n];
    const size_t dropped = set->group[n].several.dropped;

    if (dropped != SEVERAL_NONE)
        memmove(&t.of[dropped], &t.of[dropped + 1],
                (--t.count - dropped) * sizeof t.of[0]);
    return t;
}

static bool stores(const struct set *set)
{
    for (size_t i = 0; i < set->groups; i++)
        if (set->group[i].place->words)
            return true;
    return false;
}

static bool keep(struct cli *cli, struct set *set, struct error *err)
{
    struct photo_measured photo[SEVERAL_MOST] = {0};
    struct photo_together *together;
    bool ok;

    if (!stores(set))
        return true;
    for (size_t i = 0; i < set->shots.count; i++) {
        const struct measure_job *job = set->shots.at[i].job;

        photo[i] = (struct photo_measured){
            .data = job->data,
            .size = job->size,
            .request = &job->request,
            .result = job->result,
            .card_id = job->card_id,
            .wet = cli_has(cli, "wet"),
            .part = cli_value(cli, "part"),
            .assumed_profile = cli_value(cli, "assume-profile"),
        };
    }
    together = mem_new(set->groups, sizeof *together);
    for (size_t i = 0; i < set->groups; i++)
        together[i] = used(set, i);
    ok = photo_together_keep(cli->book, photo, set->shots.count, together,
                             set->groups, err);
    for (size_t i = 0; i < set->groups; i++)
        set->together[i].whose.reading_id = together[i].whose.reading_id;
    free(together);
    return ok;
}

/* ---- telling ------------------------------------------------------------ */

static void label(const struct set *set, size_t n, char out[80])
{
    measure_label(set->group[n].place, set->group[n].index, out, 80);
}

static void json_group(struct json *j, const struct set *set, size_t n)
{
    const struct group *g = &set->group[n];
    const struct photo_together *t = &set->together[n];

    json_add_object(j, NULL);
    measure_json_skein(j, g->place);
    if (g->several.mean.refused)
        json_add_string(j, "refused", g->several.mean.why);
    else
        measure_json_colour(j, &g->several.mean);
    json_add_array(j, "photos");
    for (size_t i = 0; i < t->count; i++)
        json_add_whole(j, NULL, (int64_t)t->of[i].photo + 1);
    json_end(j);
    json_add_real(j, "mcdm", t->count ? g->several.mcdm : (double)NAN, 4);
    json_add_array(j, "sd");
    json_add_real(j, NULL, g->several.sd.L, 4);
    json_add_real(j, NULL, g->several.sd.a, 4);
    json_add_real(j, NULL, g->several.sd.b, 4);
    json_end(j);
    if (g->several.dropped == SEVERAL_NONE) {
        json_add_null(j, "dropped");
    } else {
        json_add_object(j, "dropped");
        json_add_whole(j, "photo",
                       (int64_t)t->of[g->several.dropped].photo + 1);
        json_add_real(j, "de00", g->several.dropped_de00, 4);
        json_end(j);
    }
    measure_json_notes(j, &g->several.mean.notes);
    json_end(j);
}

static void tell_json(struct cli *cli, const struct set *set)
{
    struct json j = json_to(&cli->out);

    json_add_object(&j, NULL);
    json_add_array(&j, "photos");
    for (size_t i = 0; i < set->shots.count; i++) {
        json_add_object(&j, NULL);
        json_add_string(&j, "file", set->shots.at[i].path);
        measure_json_photo(&j, set->shots.at[i].job);
        json_end(&j);
    }
    json_end(&j);
    measure_json_notes(&j, &set->notes);
    json_add_array(&j, "readings");
    for (size_t i = 0; i < set->groups; i++)
        json_group(&j, set, i);
    json_end(&j);
    json_add_string(&j, "colour", MEASURE_COLOUR);
    json_end(&j);
}

static bool any_colour(const struct set *set)
{
    for (size_t i = 0; i < set->groups; i++)
        if (!set->group[i].several.mean.refused)
            return true;
    return false;
}

static void tell_colours(struct cli *cli, const struct set *set)
{
    struct text_table t;
    char who[80];

    measure_table_begin(&t);
    for (size_t i = 0; i < set->groups; i++) {
        if (set->group[i].several.mean.refused)
            continue;
        label(set, i, who);
        measure_table_add(&t, who, &set->group[i].several.mean);
    }
    measure_table_end(cli, &t);
}

static void tell_photo(struct cli *cli, const struct measure_shot *shot,
                       size_t number)
{
    const struct measure_job *job = shot->job;
    char whole[40], who[80], both[124];

    snprintf(whole, sizeof whole, "photo %zu", number);
    if (!job->result->method.card_alone)
        text_addf(&cli->out, "%s: ", whole);
    measure_method_tell(&cli->out, &job->result->method);
    measure_tell_notes(cli, whole, &job->result->card_notes);
    for (size_t i = 0; i < job->places; i++) {
        measure_label(&job->place[i], i, who, sizeof who);
        snprintf(both, sizeof both, "%s, %s", whole, who);
        if (job->taps.found[i].found)
            taps_tell_box(cli, both, job->box[i]);
        measure_tell_notes(cli, both, &job->result->region[i].notes);
    }
}

static void tell_groups(struct cli *cli, const struct set *set)
{
    char who[80];

    for (size_t i = 0; i < set->groups; i++) {
        const struct several *s = &set->group[i].several;

        label(set, i, who);
        if (!s->mean.refused && s->used > 1)
            text_addf(&cli->out,
                      "%s: mean of %zu photos, which are %.1f CIEDE2000 from "
                      "it on average\n",
                      who, s->used, s->mcdm);
        measure_tell_notes(cli, who, &s->mean.notes);
    }
}

static void tell_kept(struct cli *cli, const struct set *set)
{
    bool any = false;
    char who[80];

    for (size_t i = 0; i < set->groups; i++) {
        if (!set->together[i].whose.reading_id)
            continue;
        label(set, i, who);
        text_addf(&cli->out, "%s%s", any ? ", " : "Kept: ", who);
        any = true;
    }
    if (any)
        text_add(&cli->out, ".\n");
}

static void tell_words(struct cli *cli, const struct set *set)
{
    if (any_colour(set))
        tell_colours(cli, set);
    if (cli->csv)
        return;
    tell_groups(cli, set);
    measure_tell_notes(cli, "photos", &set->notes);
    for (size_t i = 0; i < set->shots.count; i++)
        tell_photo(cli, &set->shots.at[i], i + 1);
    tell_kept(cli, set);
}

/* Each refusal goes to standard error; any makes the exit status 1. */
static void tell_refusals(struct cli *cli, const struct set *set)
{
    char who[80];

    for (size_t s = 0; s < set->shots.count; s++) {
        const struct measure_job *job = set->shots.at[s].job;

        for (size_t i = 0; i < job->places; i++) {
            if (!job->result->region[i].refused)
                continue;
            measure_label(&job->place[i], i, who, sizeof who);
            cli_note("hanklab: photo %zu, %s: %s", s + 1, who,
                     job->result->region[i].why);
            cli->exit = 1;
        }
    }
    for (size_t i = 0; i < set->groups; i++) {
        if (!set->group[i].several.mean.refused)
            continue;
        label(set, i, who);
        cli_note("hanklab: %s: %s", who, set->group[i].several.mean.why);
        cli->exit = 1;
    }
}

static bool tell(struct cli *cli, const struct set *set, struct error *err)
{
    char who[80];

    if (cli->json)
        tell_json(cli, set);
    else
        tell_words(cli, set);
    tell_refusals(cli, set);
    for (size_t i = 0; i < set->groups; i++) {
        const int64_t reading = set->together[i].whose.reading_id;

        label(set, i, who);
        if (reading && !measure_tell_doubt(cli, who, reading, err))
            return false;
    }
    return true;
}

bool measure_set(struct cli *cli, struct error *err)
{
    struct set set = {0};
    bool ok =
        measure_shots_read(cli, &set.shots, err) && measure_all(cli, &set, err);

    if (ok) {
        put_together(&set);
        for (size_t i = 0; i < set.groups; i++)
            average(&set, i);
        ok = keep(cli, &set, err) && tell(cli, &set, err);
    }
    measure_shots_clear(&set.shots);
    free(set.group);
    free(set.together);
    return ok;
}
