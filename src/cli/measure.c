/* hanklab measure: the colours in a photo with a grey card in it. */
#include "cli/commands.h"
#include "cli/measure.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/json.h"
#include "base/mem.h"
#include "book/camera.h"
#include "book/photo.h"
#include "book/record.h"
#include "cli/measure_find.h"
#include "colour/name.h"
#include "draw/terminal.h"
#include "measure/corrected.h"
#include "measure/measure.h"
#include "photo/photo.h"

bool measure_where_read(struct measure_job *job, const char *words,
                        const char *option, struct error *err)
{
    const size_t i = job->places;

    return taps_read(words, option, &job->taps.is[i], &job->taps.at[i],
                     &job->box[i], err);
}

bool measure_owner_read(struct cli *cli, const char *option, const char *words,
                        enum noun_id noun, struct measure_place *place,
                        struct error *err)
{
    const char *equals = strrchr(words, '=');
    struct record r;
    char *name;
    int64_t id;
    bool ok;

    if (!equals || equals == words)
        return error_set(err, ERR_INPUT,
                         "--%s: \"%s\" does not say which %s lies where: "
                         "write %s=X,Y,W,H, or %s=X,Y for a tap",
                         option, words, nouns[noun].name,
                         noun == NOUN_SKEIN ? "137" : "NAME",
                         noun == NOUN_SKEIN ? "137" : "NAME");
    if (!cli_book(cli, err))
        return false;
    name = mem_text_n(words, (size_t)(equals - words));
    ok = record_find(cli->book, noun, name, &id, err);
    free(name);
    if (!ok || !record_stands(cli->book, noun, id, "measured", err) ||
        !record_read(cli->book, noun, id, &r, err))
        return false;
    place->words = words;
    if (noun == NOUN_SKEIN) {
        place->skein_id = id;
        place->number = (long long)record_get(&r, "number")->low;
        snprintf(place->label, sizeof place->label, "%s", r.label);
    } else {
        place->fibre_id = id;
    }
    record_clear(&r);
    return ok;
}

/* "137=X,Y,W,H" or "137=X,Y": who, then where. */
static bool read_named(struct cli *cli, struct measure_job *job,
                       const char *option, const char *words, enum noun_id noun,
                       struct error *err)
{
    const char *equals = strrchr(words, '=');

    return (!equals || equals == words ||
            measure_where_read(job, equals + 1, option, err)) &&
           measure_owner_read(cli, option, words, noun,
                              &job->place[job->places], err);
}

/* Of two boxes of one skein the later would silently be its colour. */
static bool boxed_once(const struct measure_job *job, struct error *err)
{
    const struct measure_place *last = &job->place[job->places];

    for (size_t i = 0; last->skein_id && i < job->places; i++)
        if (job->place[i].skein_id == last->skein_id)
            return error_set(err, ERR_INPUT,
                             "--skein: \"%s\" and \"%s\" are the same skein: "
                             "give it one box in a photo",
                             job->place[i].words, last->words);
    return true;
}

static bool read_places(struct cli *cli, struct measure_job *job,
                        struct error *err)
{
    job->stores = cli_has(cli, "keep-camera");
    if (job->stores && !measure_known_given(cli) &&
        !cli_has(cli, "known-fibre") && !cli_has(cli, "known-skein"))
        return cli_usage(cli, err,
                         "--keep-camera goes with what shows the camera's "
                         "tones: --neutral, --reference or --chart");
    if (job->stores && !cli_book(cli, err))
        return false;
    for (size_t i = 0; i < cli->given_count; i++) {
        const char *option = cli->given[i].option->name;
        const char *words = cli->given[i].value;
        const bool plain = !strcmp(option, "region") || !strcmp(option, "tap");
        bool ok;

        if (!plain && strcmp(option, "skein") && strcmp(option, "fibre"))
            continue;
        if (job->places == MEASURE_MAX_REGIONS)
            return error_set(err, ERR_LIMIT, "at most %d regions in one photo",
                             MEASURE_MAX_REGIONS);
        if (plain)
            ok = measure_where_read(job, words, option, err);
        else
            ok = read_named(cli, job, option, words,
                            *option == 's' ? NOUN_SKEIN : NOUN_FIBRE, err) &&
                 boxed_once(job, err);
        if (!ok)
            return false;
        job->stores = job->stores || !plain;
        job->places++;
    }
    return job->places || job->stores ||
           cli_usage(cli, err,
                     "say what to measure: --region X,Y,W,H or "
                     "--tap X,Y, or --skein 137=X,Y,W,H to keep "
                     "it; --auto looks for them");
}

bool measure_card_read(struct cli *cli, struct measure_job *job,
                       struct error *err)
{
    const char *name = cli_value(cli, "card"),
               *lab = cli_value(cli, "card-lab");
    const char *u = cli_value(cli, "card-u");
    struct measure_card *card = &job->request.card;
    double v[3] = {0, 0, 0}, s[3] = {0.5, 0.3, 0.3}; /* stated by its maker */

    *card = measure_card_unknown();
    if (name && lab)
        return cli_usage(cli, err, "choose one of --card and --card-lab");
    if (u && !lab)
        return cli_usage(cli, err, "--card-u goes with --card-lab");
    if (lab) {
        if (!text_reals(lab, v, 3) || v[0] < 1 || v[0] > 110 ||
            fabs(v[1]) > 128 || fabs(v[2]) > 128)
            return error_set(err, ERR_INPUT,
                             "--card-lab: \"%s\" is not the "
                             "colour of a card: write L,a,b, such as "
                             "49.5,0,0",
                             lab);
        if (u && (!text_reals(u, s, 3) || s[0] < 0 || s[1] < 0 || s[2] < 0))
            return error_set(err, ERR_INPUT,
                             "--card-u: \"%s\" is not an "
                             "uncertainty: write uL,ua,ub",
                             u);
        *card =
            (struct measure_card){{v[0], v[1], v[2]}, s[0], s[1], s[2], true};
        return true;
    }
    if (name && (!cli_book(cli, err) ||
                 !record_find(cli->book, NOUN_CARD, name, &job->card_id, err)))
        return false;
    if (!name && !job->stores) {
        /* Only printing: a book is welcome but not needed. One that cannot be
         * read may hold the usual card, so that is said. */
        struct error none;
        if (!cli_book(cli, &none))
            return none.kind == ERR_MISSING ||
                   error_set(err, none.kind,
                             "%s; --card-lab does without the book", none.text);
    }
    return card_values(cli->book, &job->card_id, card, err);
}

bool measure_card_place_read(struct cli *cli, struct measure_job *job,
                             struct error *err)
{
    const char *box = cli_nth(cli, "card-box", 0);
    const char *tap = cli_value(cli, "card-tap");
    bool is_tap;

    if (box && tap)
        return cli_usage(cli, err, "choose one of --card-box and --card-tap");
    if (!taps_read(box ? box : tap, box ? "card-box" : "card-tap", &is_tap,
                   &job->taps.card_at, &job->request.card_box, err))
        return false;
    job->taps.card = is_tap;
    return (is_tap == !box) ||
           cli_usage(cli, err, "--card-box takes X,Y,W,H and --card-tap X,Y");
}

/* Where the card lies; with --auto it need not be said. */
static bool read_card_place(struct cli *cli, struct measure_job *job,
                            struct error *err)
{
    return cli_has(cli, "card-box") || cli_has(cli, "card-tap")
               ? measure_card_place_read(cli, job, err)
           : cli_has(cli, "auto") || measure_known_given(cli)
               ? true
               : cli_usage(cli, err,
                           "say where the grey card lies: --card-box X,Y,W,H "
                           "or --card-tap X,Y; --auto looks for it");
}

/* Without a card apart, one of the neutrals does. */
static bool known_as_card(struct cli *cli, struct measure_job *job,
                          struct error *err)
{
    if (cli_has(cli, "card") || cli_has(cli, "card-lab"))
        return cli_usage(cli, err, "--card-box says where that card lies");
    return known_take_card(&job->known, &job->request) ||
           error_set(err, ERR_INPUT,
                     "none of the neutrals is a middle grey: say where the "
                     "grey card lies with --card-box");
}

bool measure_cameras_read(struct cli *cli, struct measure_job *job,
                          struct error *err)
{
    struct error none;

    if (!cli_book(cli, &none))
        return true;
    if (!cameras_read(cli->book, &job->cameras, &job->request.cameras, err))
        return false;
    job->request.camera = job->cameras;
    return true;
}

bool measure_profile_read(struct cli *cli, struct measure_job *job,
                          struct error *err)
{
    const char *assume = cli_value(cli, "assume-profile");

    return !assume || measure_profile_find(assume, &job->request.assume) ||
           error_set(err, ERR_INPUT,
                     "--assume-profile is srgb, p3 or adobergb, not \"%s\"",
                     assume);
}

bool measure_request_read(struct cli *cli, struct measure_job *job,
                          struct error *err)
{
    if (!measure_profile_read(cli, job, err) || !read_card_place(cli, job, err))
        return false;
    if (cli_has(cli, "auto"))
        return (!cli_has(cli, "region") && !cli_has(cli, "tap") &&
                !cli_has(cli, "skein") && !cli_has(cli, "fibre")) ||
               cli_usage(cli, err,
                         "--auto only shows what it finds: measure with the "
                         "boxes it gives");
    if (!read_places(cli, job, err) ||
        !measure_known_read(cli, &job->known, err))
        return false;
    if (!(cli_has(cli, "card-box") || cli_has(cli, "card-tap")
              ? measure_card_read(cli, job, err)
              : known_as_card(cli, job, err)))
        return false;
    for (size_t i = 0; i < job->places; i++)
        job->yarn[i] = job->place[i].words != NULL;
    job->request.region = job->box;
    job->request.yarn = job->yarn;
    job->request.regions = job->places;
    job->request.reference = job->known.at;
    job->request.references = job->known.count;
    return cli_has(cli, "no-camera") || measure_cameras_read(cli, job, err);
}

/* ---- keeping ----------------------------------------------------------------
 */

bool measure_keep(struct cli *cli, struct measure_job *job, struct error *err)
{
    struct photo_place whose[MEASURE_MAX_REGIONS] = {0};
    struct photo_measured measured = {
        .data = job->data,
        .size = job->size,
        .request = &job->request,
        .result = job->result,
        .place = whose,
        .card_id = job->card_id,
        .wet = cli_has(cli, "wet"),
        .part = cli_value(cli, "part"),
        .assumed_profile = cli_value(cli, "assume-profile"),
        .camera_id = cli_has(cli, "keep-camera") ? &job->camera_id : NULL,
    };

    if (!job->stores)
        return true;
    for (size_t i = 0; i < job->places; i++) {
        whose[i].skein_id = job->place[i].skein_id;
        whose[i].fibre_id = job->place[i].fibre_id;
    }
    if (!photo_measured_keep(cli->book, &measured, err))
        return false;
    for (size_t i = 0; i < job->places; i++)
        job->place[i].reading_id = whose[i].reading_id;
    return true;
}

struct measure_job *measure_job_new(void)
{
    struct measure_job *job = mem_new(1, sizeof *job);

    job->result = mem_new(1, sizeof *job->result);
    return job;
}

void measure_job_free(struct measure_job *job)
{
    if (!job)
        return;
    free(job->cameras);
    free(job->data);
    free(job->result);
    free(job);
}

bool measure_job_run(const char *path, struct measure_job *job,
                     struct error *err)
{
    return file_load(path, PHOTO_MAX_BYTES, &job->data, &job->size, err) &&
           taps_find(&job->taps, job->data, job->size, &job->request, job->box,
                     job->places, err) &&
           taps_measure(&job->taps, job->data, job->size, &job->request,
                        job->result, err);
}

bool measure_job_do(struct cli *cli, const char *path, struct measure_job *job,
                    struct error *err)
{
    return measure_request_read(cli, job, err) &&
           measure_job_run(path, job, err);
}

static bool propose(struct cli *cli, struct measure_job *job, struct error *err)
{
    return measure_request_read(cli, job, err) &&
           file_load(cli->word[0], PHOTO_MAX_BYTES, &job->data, &job->size,
                     err) &&
           taps_propose(cli, &job->taps, job->data, job->size, &job->request,
                        err);
}

/* Writes the corrected copy where there is none yet. */
static bool write_corrected(const char *path, const struct measure_job *job,
                            struct error *err)
{
    char name[MEASURE_MAX_REGIONS][80];
    const char *names[MEASURE_MAX_REGIONS];
    unsigned char *jpeg;
    size_t size;
    bool ok;

    for (size_t i = 0; i < job->places; i++) {
        measure_label(&job->place[i], i, name[i], sizeof name[i]);
        names[i] = name[i];
    }
    ok = corrected_jpeg(job->data, job->size, &job->request, job->result, names,
                        &jpeg, &size, err) &&
         file_write_new(path, jpeg, size, err);
    free(jpeg);
    return ok;
}

/* The copy first: without it nothing is kept. */
static bool keep_and_copy(struct cli *cli, struct measure_job *job,
                          struct error *err)
{
    const char *path = cli_value(cli, "corrected");

    if (path && !write_corrected(path, job, err))
        return false;
    if (measure_keep(cli, job, err))
        return true;
    if (path)
        remove(path);
    return false;
}

static bool run_one(struct cli *cli, struct error *err)
{
    struct measure_job *job = measure_job_new();
    const bool proposes = cli_has(cli, "auto");
    bool ok = proposes ? propose(cli, job, err)
                       : measure_job_do(cli, cli->word[0], job, err) &&
                             keep_and_copy(cli, job, err);

    if (!ok)
        measure_refuse_json(cli, &job->result->card_notes, err);
    else if (!proposes)
        ok = measure_tell(cli, job, err);
    measure_job_free(job);
    return ok;
}

/* One of those that a reading may be of; NULL is. */
static bool is_part(const char *words)
{
    struct text all = {0}, look = {0};
    bool is;

    text_addf(&all, "|%s|", noun_field(&nouns[NOUN_READING], "part")->choices);
    if (words)
        text_addf(&look, "|%s|", words);
    is = strstr(text_str(&all), text_str(&look)) != NULL;
    text_clear(&all);
    text_clear(&look);
    return is;
}

static bool run(struct cli *cli, struct error *err)
{
    const bool set = cli_has(cli, "set"), list = cli_has(cli, "list");

    if (set && list)
        return cli_usage(cli, err, "choose one of --set and --list");
    if ((set || list) != !cli->word_count)
        return cli_usage(cli, err,
                         set || list
                             ? "the photos stand in the file of --%s: name "
                               "none beside it"
                             : "name the photo to measure, a --set of them or "
                               "a --list",
                         set ? "set" : "list");
    if (!is_part(cli_value(cli, "part")))
        return error_set(err, ERR_INPUT,
                         "part: write whole, covered, exposed, dipped or rest");
    if (cli_has(cli, "keep-camera") && (set || cli_has(cli, "and")))
        return cli_usage(cli, err, "--keep-camera takes one photo");
    if (list)
        return measure_list(cli, err);
    if (cli_has(cli, "cores"))
        return cli_usage(cli, err, "--cores goes with --list");
    return set || cli_has(cli, "and") ? measure_set(cli, err)
                                      : run_one(cli, err);
}

static const struct cli_option options[] = {
    {"card-box", "X,Y,W,H",
     "where the grey card lies, in pixels; more boxes: the same card elsewhere",
     CLI_MANY},
    {"sheet-box", "X,Y,W,H", "part of one plain sheet that lies under all",
     CLI_MANY},
    {"card-tap", "X,Y", "or a place on it: it is looked for around there"},
    {"card", "NAME", "which card of the book it is; else the usual one"},
    {"card-lab", "L,a,b", "or what the card is said to be, D50, 2 degree"},
    {"card-u", "uL,ua,ub", "one sigma of that; 0.5,0.3,0.3 if not said"},
    {"neutral", "X,Y,W,H=L,a,b",
     "another grey, white or black; or =L of a true grey, =NAME of a card",
     CLI_MANY},
    {"known-fibre", "NAME=X,Y,W,H",
     "undyed yarn whose colour the book knows, as another neutral", CLI_MANY},
    {"known-skein", "N=X,Y,W,H", "or such a skein, nearly white, grey or black",
     CLI_MANY},
    {"reference", "FILE", "places of known colour: CSV of id,x,y,w,h,L,a,b"},
    {"chart", "FILE", "a chart's values, CGATS text or CSV"},
    {"chart-corners", "x,y x,y x,y x,y",
     "where it lies: round its patches from the first", CLI_FOUR},
    {"keep-camera", NULL,
     "keep what these show of the camera, for its photos with a card alone"},
    {"no-camera", NULL, "use no camera that was kept"},
    {"region", "X,Y,W,H", "measure this and only print it", CLI_MANY},
    {"tap", "X,Y", "the same, of the skein around this place", CLI_MANY},
    {"skein", "N=X,Y,W,H", "measure this skein and keep it", CLI_MANY},
    {"fibre", "NAME=X,Y,W,H", "measure this undyed yarn and keep it", CLI_MANY},
    {"auto", NULL, "show where card and skeins seem to lie; measure nothing"},
    {"and", "PHOTO", "another photo of the same skeins; its boxes follow",
     CLI_MANY | CLI_ANEW},
    {"set", "FILE", "or all photos with their boxes, in a JSON file"},
    {"list", "FILE",
     "or many photos, each for itself: CSV of photo,what,x,y,w,h"},
    {"cores", "N", "with --list: at so many a time; else as many as there are"},
    {"wet", NULL, "the yarn is still wet"},
    {"part", "whole|covered|exposed|dipped|rest",
     "which part of the skeins; of one dipped in part, dipped or rest"},
    {"corrected", "FILE",
     "write a copy in true colours, with swatches below, for showing"},
    {"assume-profile", "NAME",
     "srgb, p3 or adobergb, if the file does not say"},
};

const struct cli_command command_measure = {
    "measure",
    "[PHOTO]",
    "measure dry skeins in a photo with a grey card in it",
    "Boxes are in pixels of the picture as it is displayed upright: left "
    "edge,\n"
    "upper edge, width, height. --skein and --fibre also take a tap, N=X,Y: "
    "the\n"
    "largest box of the colour around it; what cannot be told from its\n"
    "surroundings is refused. Without --card or --card-lab the book's usual\n"
    "card is taken, and without one an unknown card, which does for comparing\n"
    "only. The photo itself is kept untouched in the book.\n"
    "--corrected needs a FILE that is not there yet.\n"
    "Several photos of the same skeins, --and or --set, make one reading of\n"
    "each: three are good, with the skein turned 90 degrees between them.\n"
    "In a --list, \"what\" is card, region, skein 137 or fibre NAME, and w and "
    "h\n"
    "are left out for a tap; a photo that cannot be read stops no other.",
    options,
    ARRAY_LEN(options),
    0,
    1,
    run,
};
