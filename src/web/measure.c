/*
 * Measure a photo: boxes on the card and on the skeins, their colours, and
 * keeping them. The script only fills in the form's fields; the picture is
 * measured in a child.
 */
#include "measure.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "book/ask.h"
#include "child.h"
#include "page.h"
#include "photos.h"
#include "routes.h"

/* ---- the form read ---------------------------------------------------------
 */

size_t measure_rows(const struct request *r)
{
    size_t n = 0;

    while (n < MEASURE_MAX_REGIONS && pairs_nth(&r->form, "box", n))
        n++;
    return n;
}

static bool blank(const char *s)
{
    return !s || !s[strspn(s, " \t\r\n")];
}

static void job_clear(void *job)
{
    struct measure_job *j = job;

    record_clear(&j->photo);
    free(j->cameras);
    free(j->path);
    free(j);
}

static bool job_new(struct request *r, struct error *err)
{
    struct measure_job *job = mem_new(1, sizeof *job);

    if (!photos_find(r, request_part(r, "/measure/"), &job->photo, &job->path,
                     err)) {
        free(job);
        return false;
    }
    r->job = job;
    r->job_clear = job_clear;
    return true;
}

/* A skein or a yarn of the book that may get a reading. */
static bool find_owner(struct request *r, enum noun_id noun, const char *who,
                       int64_t *id, struct error *err)
{
    struct record owner;
    bool ok;

    if (!record_find(r->book, noun, who, id, err) ||
        !record_read(r->book, noun, *id, &owner, err))
        return false;
    ok = !owner.withdrawn ||
         error_set(err, ERR_INPUT,
                   "%s %s was withdrawn: bring it back before it is measured",
                   nouns[noun].name, owner.label);
    record_clear(&owner);
    return ok;
}

static bool read_whose(struct request *r, size_t row, bool save,
                       struct photo_place *place, struct error *err)
{
    const char *as = pairs_nth(&r->form, "as", row);
    const char *who = pairs_nth(&r->form, "who", row);

    if (as && !strcmp(as, "look"))
        return true;
    if (as && !strcmp(as, "new")) {
        place->new_skein = blank(who) ? "" : who;
        return true;
    }
    if (blank(who))
        return !save || error_set(err, ERR_INPUT,
                                  "box %zu: say which skein it is, or choose "
                                  "\"only look\"",
                                  row + 1);
    if (as && !strcmp(as, "fibre"))
        return find_owner(r, NOUN_FIBRE, who, &place->fibre_id, err);
    return find_owner(r, NOUN_SKEIN, who, &place->skein_id, err);
}

/* One row of the form; an empty one is passed over. */
static bool read_row(struct request *r, struct measure_job *job, size_t row,
                     struct error *err)
{
    const char *box = pairs_nth(&r->form, "box", row);
    const char *who = pairs_nth(&r->form, "who", row);
    size_t n = job->request.regions;
    struct error why;

    if (blank(box))
        return blank(who) ||
               error_set(err, ERR_INPUT,
                         "%s has no box: draw it on the photo, or write "
                         "X,Y,W,H",
                         who);
    if (!photo_box_read(box, &job->box[n], &why))
        return error_set(err, why.kind, "box %zu: %s", row + 1, why.text);
    if (!read_whose(r, row, job->save, &job->place[n], err))
        return false;
    job->yarn[n] = job->place[n].skein_id || job->place[n].fibre_id ||
                   job->place[n].new_skein;
    job->row_of[n] = row;
    job->request.regions++;
    return true;
}

static bool read_card(struct request *r, struct measure_job *job,
                      struct error *err)
{
    const char *box = pairs_get(&r->form, "card-box");
    const char *card = pairs_get(&r->form, "card");
    struct error why;

    if (!box)
        return error_set(err, ERR_INPUT,
                         "no grey card is marked: draw a box on it, or write "
                         "X,Y,W,H");
    if (!photo_box_read(box, &job->request.card_box, &why))
        return error_set(err, why.kind, "the card's box: %s", why.text);
    if (card && !strcmp(card, "unknown")) {
        job->request.card = measure_card_unknown();
        return true;
    }
    return (!card ||
            record_find(r->book, NOUN_CARD, card, &job->card_id, err)) &&
           card_values(r->book, &job->card_id, &job->request.card, err);
}

static bool read_form(struct request *r, struct measure_job *job,
                      struct error *err)
{
    const char *what = pairs_get(&r->form, "do");

    job->save = what && !strcmp(what, "save");
    job->wet = pairs_get(&r->form, "wet") != NULL;
    job->assume = pairs_get(&r->form, "profile");
    if (job->assume && !measure_profile_find(job->assume, &job->request.assume))
        return error_set(err, ERR_INPUT,
                         "\"%s\" is no profile: choose srgb, p3 or adobergb",
                         job->assume);
    if (!read_card(r, job, err))
        return false;
    for (size_t i = 0, n = measure_rows(r); i < n; i++)
        if (!read_row(r, job, i, err))
            return false;
    job->request.region = job->box;
    job->request.yarn = job->yarn;
    if (!pairs_get(&r->form, "no-camera") &&
        !cameras_read(r->book, &job->cameras, &job->request.cameras, err))
        return false;
    job->request.camera = job->cameras;
    job->read = true;
    return job->request.regions ||
           error_set(err, ERR_INPUT,
                     "no skein is marked: draw a box on each, or write "
                     "X,Y,W,H");
}

/* ---- measured, kept --------------------------------------------------------
 */

/* In the child. */
static bool measure(const void *from, void *result, struct error *err)
{
    const struct measure_job *job = from;
    struct measure_answer *answer = result;
    unsigned char *data = NULL;
    size_t size;

    if (!file_load(job->path, PHOTO_MAX_BYTES, &data, &size, err))
        return false;
    answer->ok =
        measure_jpeg(data, size, &job->request, &answer->result, &answer->why);
    free(data);
    return true;
}

/* To the one skein, to the bath they were all in, or to the rack. */
static bool go_to_kept(struct request *r, const struct photo_measured *m,
                       struct error *err)
{
    struct ask_filter any = ask_filter_any();
    char to[64] = "/";
    int64_t bath = 0;
    size_t n = 0;

    for (size_t i = 0; i < m->request->regions; i++) {
        struct ask_skein skein;
        int64_t id = m->place[i].skein_id;
        if (!photo_place_kept(m, i) || !id)
            continue;
        if (!ask_skein(r->book, id, &any, &skein, err))
            return false;
        bath = !n || bath == skein.bath_id ? skein.bath_id : 0;
        ask_skein_clear(&skein);
        if (!n++)
            snprintf(to, sizeof to, "/skein/%lld", (long long)id);
        else if (bath)
            snprintf(to, sizeof to, "/bath/%lld", (long long)bath);
        else
            snprintf(to, sizeof to, "/");
    }
    page_saved(r, to);
    return true;
}

/* Boxes without a colour, and those to keep. */
static void count(const struct photo_measured *m, size_t *refused, size_t *kept)
{
    *refused = *kept = 0;
    for (size_t i = 0; i < m->request->regions; i++) {
        *refused += m->result->region[i].refused;
        *kept += photo_place_kept(m, i);
    }
}

/* Keeps what was measured; false when there is something to be seen first: a
 * refusal the dyer has not been told of, or nothing to keep. */
static bool save(struct request *r, struct measure_job *job,
                 const struct measure_answer *answer, struct error *err)
{
    struct photo_measured m = {
        .request = &job->request,
        .result = &answer->result,
        .place = job->place,
        .card_id = job->card_id,
        .wet = job->wet,
        .assumed_profile = job->assume,
    };
    const char *told = pairs_get(&r->form, "refused");
    unsigned char *data = NULL;
    size_t refused, kept;
    long long known = 0;
    bool ok;

    count(&m, &refused, &kept);
    if (!kept)
        return error_set(err, ERR_INPUT,
                         "there is nothing to keep: no box that is someone's "
                         "has a colour");
    if (told)
        text_whole(told, &known);
    if ((long long)refused > known)
        return error_set(err, ERR_INPUT,
                         "nothing is saved yet: %zu of the boxes %s refused, "
                         "see why below; save again to keep the others",
                         refused, refused == 1 ? "is" : "are");
    ok = file_load(job->path, PHOTO_MAX_BYTES, &data, &m.size, err);
    m.data = data;
    ok = ok && photo_measured_keep(r->book, &m, err) && go_to_kept(r, &m, err);
    free(data);
    return ok;
}

static bool show(struct request *r, const struct measure_answer *answer,
                 const struct error *why, struct error *err)
{
    if (why)
        r->status = 400;
    return measure_form(r, r->job, answer, why, err);
}

static bool measured(struct request *r, struct error *err)
{
    struct measure_job *job = r->job;
    const struct measure_answer *answer = child_result(r->child, err);
    struct error why;

    if (!answer)
        return false;
    if (!answer->ok)
        return show(r, answer, &answer->why, err);
    if (!job->save)
        return show(r, answer, NULL, err);
    if (save(r, job, answer, &why))
        return true;
    if (why.kind == ERR_STORE) {
        *err = why;
        return false;
    }
    return show(r, answer, &why, err);
}

/* ---- found ------------------------------------------------------------------
 */

/* In the child. */
static bool find(const void *from, void *result, struct error *err)
{
    const struct measure_job *job = from;
    unsigned char *data = NULL;
    size_t size;
    bool ok;

    if (!file_load(job->path, PHOTO_MAX_BYTES, &data, &size, err))
        return false;
    ok = find_jpeg(data, size, &job->find, result, err);
    free(data);
    return ok;
}

/* What lies at "X,Y": the card where none is marked, else a skein. */
static bool read_tap(struct request *r, struct measure_job *job,
                     struct error *err)
{
    const char *words = pairs_get(&r->form, "tap");
    const char *assume = pairs_get(&r->form, "profile");
    double v[2];

    if (!words || !text_reals(words, v, 2) || !(fabs(v[0]) < 1e6) ||
        !(fabs(v[1]) < 1e6))
        return error_set(err, ERR_INPUT, "the tap is not a place: X,Y");
    if (assume && !measure_profile_find(assume, &job->find.assume))
        return error_set(err, ERR_INPUT,
                         "\"%s\" is no profile: choose srgb, p3 or adobergb",
                         assume);
    job->tap = (struct find_tap){(int64_t)v[0], (int64_t)v[1]};
    job->find.card_tapped = blank(pairs_get(&r->form, "card-box"));
    job->find.card_tap = job->tap;
    job->find.tap = &job->tap;
    job->find.taps = !job->find.card_tapped;
    return true;
}

/* Shows the form as it was sent, and beside it what the tap found. */
static bool tapped(struct request *r, struct error *err)
{
    struct measure_job *job = r->job;
    const struct find_place *place;
    struct error why;

    job->found = child_result(r->child, &why);
    if (!job->found)
        return show(r, NULL, &why, err);
    place = job->find.card_tapped ? &job->found->card : &job->found->skein[0];
    if (place->found)
        return show(r, NULL, NULL, err);
    error_set(&why, ERR_INPUT, "%s", place->why);
    return show(r, NULL, &why, err);
}

static bool tap_do(struct request *r, struct error *err)
{
    struct error why;

    if (!read_tap(r, r->job, &why))
        return show(r, NULL, &why, err);
    return child_start(r, find, r->job, sizeof(struct find_result), tapped,
                       err);
}

bool measure_do(struct request *r, struct error *err)
{
    const char *what = pairs_get(&r->form, "do");
    struct error why;

    if (!job_new(r, err))
        return false;
    if (what && !strcmp(what, "tap"))
        return tap_do(r, err);
    if (!read_form(r, r->job, &why))
        return show(r, NULL, &why, err);
    return child_start(r, measure, r->job, sizeof(struct measure_answer),
                       measured, err);
}

/* ---- the page --------------------------------------------------------------
 */

static void add_box(struct request *r, const char *field, struct box b)
{
    char words[100];

    snprintf(words, sizeof words, "%lld,%lld,%lld,%lld", (long long)b.x,
             (long long)b.y, (long long)b.w, (long long)b.h);
    pairs_add(&r->form, field, words);
}

/* The usual card, and where it lay last time. */
static bool preset_card(struct request *r, const struct measure_job *job,
                        bool *known, struct error *err)
{
    struct measure_card card;
    struct box box = {0};
    int64_t id = 0;
    char words[24];

    if (!card_values(r->book, &id, &card, err) ||
        !photo_card_box(r->book, job->photo.id, &box, known, err))
        return false;
    snprintf(words, sizeof words, "#%lld", (long long)id);
    pairs_add(&r->form, "card", id ? words : "unknown");
    if (*known)
        add_box(r, "card-box", box);
    return true;
}

static void preset_row(struct request *r, const struct find_place *place,
                       const char *as, const char *who)
{
    if (place)
        add_box(r, "box", place->box);
    else
        pairs_add(&r->form, "box", "");
    pairs_add(&r->form, "as", as);
    pairs_add(&r->form, "who", who);
}

/* What was found, put into the form as if it had been typed. Whose a skein is
 * nobody can see: only one that is alone is taken for the one asked for. */
static void preset_found(struct request *r, const struct find_result *found)
{
    const char *skein = pairs_get(&r->query, "skein");

    if (found && found->card.found)
        add_box(r, "card-box", found->card.box);
    if (!found || found->skeins < 2)
        preset_row(r, found && found->skeins ? &found->skein[0] : NULL, "skein",
                   skein);
    for (size_t i = 0; found && found->skeins > 1 && i < found->skeins; i++)
        preset_row(r, &found->skein[i], "look", NULL);
}

/* A photo that nothing was found in is shown all the same. */
static bool proposed(struct request *r, struct error *err)
{
    struct measure_job *job = r->job;
    struct error unused;

    job->found = child_result(r->child, &unused);
    preset_found(r, job->found);
    return measure_form(r, job, NULL, NULL, err);
}

/* The first time a photo is opened card and skeins are looked for; later the
 * boxes are whoever's who drew them. */
bool measure_page(struct request *r, struct error *err)
{
    struct measure_job *job;
    bool known;

    if (!job_new(r, err))
        return false;
    job = r->job;
    if (!preset_card(r, job, &known, err))
        return false;
    job->find.proposes = true;
    if (!known)
        return child_start(r, find, job, sizeof(struct find_result), proposed,
                           err);
    preset_found(r, NULL);
    return measure_form(r, job, NULL, NULL, err);
}
