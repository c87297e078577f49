/*
 * The form of a photo being measured, read: the card, the skeins, and what else
 * in the picture has a known colour. What is wrong is said beside its field.
 */
#include "measure.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "base/parts.h"
#include "measure_known.h"

size_t measure_rows(const struct request *r)
{
    size_t n = 0;

    while (n < MEASURE_MAX_REGIONS && pairs_nth(&r->form, "box", n))
        n++;
    return n;
}

/* The field that is to be put right; row 0 where there is one of it. */
static bool blame(struct measure_job *job, const char *field, size_t row)
{
    job->blamed = field;
    job->blamed_row = row;
    return false;
}

/* ---- skeins -------------------------------------------------------------- */

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

/* What a box is called on a corrected copy. */
static bool name_box(struct request *r, const struct photo_place *place,
                     size_t row, char out[80], struct error *err)
{
    const bool skein = place->skein_id != 0;
    struct text label = {0};
    bool ok = true;

    if (skein || place->fibre_id)
        ok = record_label(r->book, skein ? NOUN_SKEIN : NOUN_FIBRE,
                          skein ? place->skein_id : place->fibre_id, &label,
                          err);
    else if (place->new_skein && *place->new_skein)
        text_add(&label, place->new_skein);
    else
        text_addf(&label, "box %zu", row + 1);
    snprintf(out, 80, "%s%s", skein ? "skein " : "", text_str(&label));
    text_clear(&label);
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
        place->new_skein = !parts_said(who) ? "" : who;
        return true;
    }
    if (!parts_said(who))
        return !save || error_set(err, ERR_INPUT,
                                  "box %zu: say which skein it is, or choose "
                                  "\"only look\"",
                                  row + 1);
    if (as && !strcmp(as, "fibre"))
        return find_owner(r, NOUN_FIBRE, who, &place->fibre_id, err);
    return find_owner(r, NOUN_SKEIN, who, &place->skein_id, err);
}

/* Of two boxes of one skein the later would silently be its colour. */
static bool boxed_once(const struct measure_job *job, struct error *err)
{
    const size_t n = job->request.regions;

    for (size_t i = 0; job->place[n].skein_id && i < n; i++)
        if (job->place[i].skein_id == job->place[n].skein_id)
            return error_set(err, ERR_INPUT,
                             "%s has two boxes: give it one in a photo",
                             job->label[i]);
    return true;
}

/* One row of the form; an empty one is passed over, and until it is to be kept
 * one whose box is still to be drawn. */
static bool read_row(struct request *r, struct measure_job *job, size_t row,
                     struct error *err)
{
    const char *box = pairs_nth(&r->form, "box", row);
    const char *who = pairs_nth(&r->form, "who", row);
    size_t n = job->request.regions;
    struct error why;

    if (!parts_said(box)) {
        if (!parts_said(who) || !job->save)
            return true;
        error_set(err, ERR_INPUT,
                  "%s has no box: draw it on the photo, or write X,Y,W,H", who);
        return blame(job, "box", row);
    }
    if (!photo_box_read(box, &job->box[n], &why)) {
        error_set(err, why.kind, "box %zu: %s", row + 1, why.text);
        return blame(job, "box", row);
    }
    if (!read_whose(r, row, job->save, &job->place[n], err) ||
        !boxed_once(job, err))
        return blame(job, "who", row);
    if (!name_box(r, &job->place[n], row, job->label[n], err))
        return false;
    job->yarn[n] = job->place[n].skein_id || job->place[n].fibre_id ||
                   job->place[n].new_skein;
    job->row_of[n] = row;
    job->request.regions++;
    return true;
}

static bool read_rows(struct request *r, struct measure_job *job,
                      struct error *err)
{
    for (size_t i = 0, n = measure_rows(r); i < n; i++)
        if (!read_row(r, job, i, err))
            return false;
    job->request.region = job->box;
    job->request.yarn = job->yarn;
    return true;
}

/* ---- the card ------------------------------------------------------------ */

static bool read_card(struct request *r, struct measure_job *job,
                      struct error *err)
{
    const char *box = pairs_get(&r->form, "card-box");
    const char *card = pairs_get(&r->form, "card");
    struct error why;

    if (!box) {
        error_set(err, ERR_INPUT,
                  "no grey card is marked: draw a box on it, or write X,Y,W,H");
        return blame(job, "card-box", 0);
    }
    if (!photo_box_read(box, &job->request.card_box, &why)) {
        error_set(err, why.kind, "the card's box: %s", why.text);
        return blame(job, "card-box", 0);
    }
    if (card && !strcmp(card, "unknown")) {
        job->request.card = measure_card_unknown();
        return true;
    }
    return ((!card ||
             record_find(r->book, NOUN_CARD, card, &job->card_id, err)) &&
            card_values(r->book, &job->card_id, &job->request.card, err)) ||
           blame(job, "card", 0);
}

/* ---- what else has a known colour ---------------------------------------- */

/* "the white (A)": how notes call it. */
static void name_place(const char *what, size_t row,
                       struct measure_reference *out)
{
    snprintf(out->name, sizeof out->name, "%s (%c)", what, (int)('A' + row));
}

static bool read_neutral(struct request *r, const char *what, size_t row,
                         struct measure_reference *out, struct error *err)
{
    if (!known_lab(what, &out->value)) {
        if (!what[strspn(what, "0123456789.,+- ")])
            return error_set(err, ERR_INPUT,
                             "\"%s\" is no colour: write its L*, or L*,a*,b*, "
                             "or the name of a card in the cupboard",
                             what);
        if (!known_card(r->book, what, &out->value, err))
            return false;
    }
    name_place(known_neutral_words(out->value.lab), row, out);
    return true;
}

static bool read_yarn(struct request *r, enum noun_id noun, const char *what,
                      size_t row, struct measure_reference *out,
                      struct error *err)
{
    int64_t id;

    if (!find_owner(r, noun, what, &id, err) ||
        !known_yarn(r->book, noun, id, what, &out->value, err))
        return false;
    out->yarn = true;
    name_place(noun == NOUN_SKEIN ? "the known skein" : "the undyed yarn", row,
               out);
    return true;
}

static bool read_what(struct request *r, const char *is, const char *what,
                      size_t row, struct measure_reference *out,
                      struct error *err)
{
    if (is && !strcmp(is, "card")) {
        out->kind = MEASURE_CARD_AGAIN;
        name_place("the card again", row, out);
        return true;
    }
    if (is && !strcmp(is, "sheet")) {
        out->kind = MEASURE_SHEET;
        name_place("the sheet", row, out);
        return true;
    }
    out->kind = MEASURE_NEUTRAL;
    if (!parts_said(what))
        return error_set(err, ERR_INPUT,
                         "place %c: say what colour it is known to have",
                         (int)('A' + row));
    if (is && !strcmp(is, "fibre"))
        return read_yarn(r, NOUN_FIBRE, what, row, out, err);
    if (is && !strcmp(is, "skein"))
        return read_yarn(r, NOUN_SKEIN, what, row, out, err);
    return read_neutral(r, what, row, out, err);
}

/* Whether the place has a colour of its own to say, not that of something
 * else in the picture. */
static bool says_colour(const char *is)
{
    return !is || (strcmp(is, "card") != 0 && strcmp(is, "sheet") != 0);
}

/* One that is half said counts for nothing until it is to be kept. */
static bool read_place(struct request *r, struct measure_job *job, size_t row,
                       struct error *err)
{
    const char *box = pairs_nth(&r->form, "known-box", row);
    const char *what = pairs_nth(&r->form, "known-what", row);
    const char *is = pairs_nth(&r->form, "known-is", row);
    struct measure_reference out = {.kind = MEASURE_NEUTRAL};

    if (!job->save &&
        (!parts_said(box) || (says_colour(is) && !parts_said(what))))
        return true;
    if (!parts_said(box)) {
        if (!parts_said(what))
            return true;
        error_set(err, ERR_INPUT,
                  "%s has no box: draw it on the photo, or write X,Y,W,H",
                  what);
        return blame(job, "known-box", row);
    }
    if (!photo_box_read(box, &out.box, err))
        return blame(job, "known-box", row);
    if (!read_what(r, is, what, row, &out, err) ||
        !known_add(&job->known, &out, err))
        return blame(job, "known-what", row);
    job->known_of[row] = job->known.count;
    return true;
}

/* The file, if one came, is kept in the form: it can be sent but once. */
static bool take_chart_file(struct request *r, struct error *err)
{
    unsigned char *bytes = NULL;
    size_t size;
    char *words;

    if (!r->upload.path || !r->upload.size ||
        strcmp(r->upload.field, "chart") != 0)
        return true;
    if (!file_load(r->upload.path, PATCHES_MAX_BYTES, &bytes, &size, err))
        return false;
    if (memchr(bytes, '\0', size)) {
        free(bytes);
        return error_set(err, ERR_INPUT, "it is no text of a chart's values");
    }
    words = mem_text_n((const char *)bytes, size);
    pairs_set(&r->form, "chart-values", words);
    free(words);
    free(bytes);
    return true;
}

static bool read_chart(struct request *r, struct measure_job *job,
                       struct error *err)
{
    const char *corners = pairs_get(&r->form, "chart-corners");
    const char *values;
    struct point corner[4];
    bool adapted;

    if (!take_chart_file(r, err))
        return blame(job, "chart", 0);
    values = pairs_get(&r->form, "chart-values");
    if (!values && !corners)
        return true;
    if (!values) {
        error_set(err, ERR_INPUT,
                  "the chart's corners are marked, but its values are "
                  "missing: choose its file, or write them here");
        return blame(job, "chart-values", 0);
    }
    if (corners && !known_corners(corners, corner, err))
        return blame(job, "chart-corners", 0);
    if (!known_chart((const unsigned char *)values, strlen(values),
                     corners ? corner : NULL, &job->known, &adapted, err))
        return blame(job, corners ? "chart-values" : "chart-corners", 0);
    return true;
}

static bool read_known(struct request *r, struct measure_job *job,
                       struct error *err)
{
    for (size_t i = 0, n = known_rows(r); i < n; i++)
        if (!read_place(r, job, i, err))
            return false;
    if (!read_chart(r, job, err))
        return false;
    job->request.reference = job->known.at;
    job->request.references = job->known.count;
    job->keep_camera = pairs_get(&r->form, "keep-camera") != NULL;
    if (job->keep_camera && !job->known.count) {
        error_set(err, ERR_INPUT,
                  "the camera is kept by what shows its tones: mark white and "
                  "black beside the card, or a chart");
        return blame(job, "keep-camera", 0);
    }
    return true;
}

/* ---- the whole ----------------------------------------------------------- */

bool measure_read(struct request *r, struct measure_job *job, struct error *err)
{
    const char *what = pairs_get(&r->form, "do");

    job->save = what && !strcmp(what, "save");
    job->copy = what && !strcmp(what, "copy");
    job->wet = pairs_get(&r->form, "wet") != NULL;
    job->assume = pairs_get(&r->form, "profile");
    if (job->assume &&
        !measure_profile_find(job->assume, &job->request.assume)) {
        error_set(err, ERR_INPUT,
                  "\"%s\" is no profile: choose srgb, p3 or adobergb",
                  job->assume);
        return blame(job, "profile", 0);
    }
    if (!read_card(r, job, err) || !read_rows(r, job, err) ||
        !read_known(r, job, err))
        return false;
    if (!pairs_get(&r->form, "no-camera") &&
        !cameras_read(r->book, &job->cameras, &job->request.cameras, err))
        return false;
    job->request.camera = job->cameras;
    job->read = true;
    return job->request.regions || job->keep_camera ||
           error_set(err, ERR_INPUT,
                     "no skein is marked: draw a box on each, or write "
                     "X,Y,W,H");
}
