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

#include "base/html.h"
#include "base/mem.h"
#include "book/ask.h"
#include "child.h"
#include "measure/corrected.h"
#include "measure_preset.h"
#include "measure_several.h"
#include "page.h"
#include "photos.h"
#include "routes.h"

void measure_job_free(struct measure_job *job)
{
    several_clear(job);
    record_clear(&job->photo);
    free(job->cameras);
    free(job->path);
    free(job);
}

static void job_clear(void *job)
{
    measure_job_free(job);
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

/* ---- measured, kept --------------------------------------------------------
 */

/* Starts a child that reads the photo, and those beside it. */
static bool start(struct request *r, child_work *work, size_t size,
                  bool (*then)(struct request *r, struct error *err),
                  struct error *err)
{
    const struct measure_job *job = r->job;
    const char *photo[1 + OTHERS_MOST] = {job->path};

    for (size_t i = 0; i < job->others; i++)
        photo[1 + i] = job->other[i]->path;
    return child_start(r,
                       &(struct child_task){.work = work,
                                            .job = job,
                                            .size = size,
                                            .photo = photo,
                                            .photos = 1 + job->others},
                       then, err);
}

static bool measure_one(const struct measure_job *job, int photo,
                        struct measure_answer *answer, struct error *err)
{
    unsigned char *data = NULL;
    size_t size;

    if (!file_load_from(photo, job->path, PHOTO_MAX_BYTES, &data, &size, err))
        return false;
    answer->ok =
        measure_jpeg(data, size, &job->request, &answer->result, &answer->why);
    free(data);
    return true;
}

/* In the child. */
static bool measure(const void *from, const int *photo, void *result,
                    struct error *err)
{
    const struct measure_job *job = from;
    struct measure_answers *all = result;
    bool ok = measure_one(job, photo[0], &all->answer, err);

    for (size_t i = 0; ok && i < job->others; i++)
        ok = measure_one(job->other[i], photo[1 + i], &all->other[i], err);
    return ok;
}

/* In the child: the same, and the copy. */
static bool copy(const void *from, const int *photo, void *result,
                 struct error *err)
{
    const struct measure_job *job = from;
    struct measure_copy *out = result;
    struct measure_answer *answer = &out->answer;
    const char *names[MEASURE_MAX_REGIONS];
    unsigned char *data = NULL, *jpeg = NULL;
    size_t size;
    bool ok;

    for (size_t i = 0; i < job->request.regions; i++)
        names[i] = job->label[i];
    if (!file_load_from(*photo, job->path, PHOTO_MAX_BYTES, &data, &size, err))
        return false;
    answer->ok =
        measure_jpeg(data, size, &job->request, &answer->result, &answer->why);
    ok = !answer->ok ||
         corrected_jpeg(data, size, &job->request, &answer->result, names,
                        &jpeg, &out->size, err);
    if (ok && out->size > sizeof out->jpeg)
        ok = error_set(err, ERR_LIMIT,
                       "the corrected copy would be over %u MiB: take the "
                       "photo smaller",
                       COPY_MAX_BYTES >> 20);
    if (ok && answer->ok)
        memcpy(out->jpeg, jpeg, out->size);
    free(jpeg);
    free(data);
    return ok;
}

/* To the one skein, to the bath they were all in, or to the rack. */
static bool go_to_kept(struct request *r, const struct photo_measured *m,
                       struct error *err)
{
    struct ask_filter any = ask_filter_any();
    struct text to = {0};
    int64_t bath = 0;
    size_t n = 0;

    for (size_t i = 0; i < m->request->regions; i++) {
        struct ask_skein skein;
        int64_t id = m->place[i].skein_id;
        if (!photo_place_kept(m, i) || !id)
            continue;
        if (!ask_skein(r->book, id, &any, &skein, err)) {
            text_clear(&to);
            return false;
        }
        bath = !n || bath == skein.bath_id ? skein.bath_id : 0;
        text_reset(&to);
        if (!n++)
            html_addf(&to, "/skein/%-s", skein.label);
        else if (bath)
            html_addf(&to, "/bath/%-s", skein.bath);
        else
            text_add(&to, "/");
        ask_skein_clear(&skein);
    }
    page_saved(r, n ? text_str(&to) : "/");
    text_clear(&to);
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
                 const struct measure_answers *all, struct error *err)
{
    struct photo_measured m = {
        .request = &job->request,
        .result = &all->answer.result,
        .place = job->place,
        .card_id = job->card_id,
        .wet = job->wet,
        .assumed_profile = job->assume,
        .camera_id = job->keep_camera ? &job->camera_id : NULL,
    };
    const char *told = pairs_get(&r->form, "refused");
    unsigned char *data = NULL;
    size_t refused, kept;
    long long known = 0;
    bool ok;

    count(&m, &refused, &kept);
    if (!kept && !job->keep_camera)
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
    if (job->others)
        return several_keep(r, job, all, err) && go_to_kept(r, &m, err);
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
    const struct measure_answers *all = child_result(r->child, err);
    const struct measure_answer *answer;
    struct error why;

    if (!all)
        return false;
    answer = &all->answer;
    if (!answer->ok)
        return show(r, answer, &answer->why, err);
    if (job->others && !several_join(job, all, &why))
        return show(r, answer, &why, err);
    if (!job->save)
        return show(r, answer, NULL, err);
    if (save(r, job, all, &why))
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
static bool find(const void *from, const int *photo, void *result,
                 struct error *err)
{
    const struct measure_job *job = from;
    unsigned char *data = NULL;
    size_t size;
    bool ok;

    if (!file_load_from(*photo, job->path, PHOTO_MAX_BYTES, &data, &size, err))
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
    job->find.card_tapped = !pairs_get(&r->form, "card-box");
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
    return start(r, find, sizeof(struct find_result), tapped, err);
}

/* A file to keep; the page that asked stays as it is. */
static bool copied(struct request *r, struct error *err)
{
    const struct measure_job *job = r->job;
    const struct measure_copy *out = child_result(r->child, err);

    if (!out)
        return false;
    if (!out->answer.ok)
        return show(r, &out->answer, &out->answer.why, err);
    text_add_n(&r->out, (const char *)out->jpeg, out->size);
    r->type = "image/jpeg";
    snprintf(r->save_as, sizeof r->save_as, "photo-%lld-corrected.jpg",
             (long long)job->photo.id);
    return true;
}

/* ---- another photo of the same skeins --------------------------------------
 */

/* The skeins are looked for; whose they are the photo before may tell. */
static bool followed(struct request *r, struct error *err)
{
    struct measure_job *job = r->job;
    const struct find_result *found;
    struct error unused;

    job->found = found = child_result(r->child, &unused);
    job->in_order = found && several_place(r, found);
    if (found && found->skeins && !job->in_order) {
        several_forget_rows(r);
        preset_found(r, found);
    } else if (found && found->card.found) {
        preset_box(r, "card-box", found->card.box);
    }
    return measure_form(r, job, NULL, NULL, err);
}

/* The form is of another photo now. */
static bool turned(struct request *r, struct error *err)
{
    measure_job_free(r->job);
    r->job = NULL;
    return job_new(r, err);
}

static bool go_on(struct request *r, struct error *err)
{
    struct measure_job *job = r->job;
    struct box card = {0};
    struct error why;
    bool known;

    if (!several_go_on(r, job, &why))
        return show(r, NULL, &why, err);
    if (!turned(r, err))
        return false;
    job = r->job;
    if (!photo_card_box(r->book, job->photo.id, &card, &known, err))
        return false;
    if (known)
        preset_box(r, "card-box", card);
    job->find.proposes = true;
    job->find.card_box = card;
    return start(r, find, sizeof(struct find_result), followed, err);
}

static bool go_back(struct request *r, struct error *err)
{
    struct error why;

    if (!several_go_back(r, &why))
        return show(r, NULL, &why, err);
    return turned(r, err) && measure_form(r, r->job, NULL, NULL, err);
}

bool measure_do(struct request *r, struct error *err)
{
    const char *what = pairs_get(&r->form, "do");
    struct measure_job *job;
    struct error why;

    if (!job_new(r, err))
        return false;
    if (what && !strcmp(what, "tap"))
        return tap_do(r, err);
    if (what && !strcmp(what, "back"))
        return go_back(r, err);
    if (!measure_read(r, r->job, &why) || !several_read(r, r->job, &why))
        return show(r, NULL, &why, err);
    if ((what && !strcmp(what, "and")) || pairs_get(&r->form, "and-photo"))
        return go_on(r, err);
    job = r->job;
    return job->copy ? start(r, copy, sizeof(struct measure_copy), copied, err)
                     : start(r, measure, sizeof(struct measure_answers),
                             measured, err);
}

/* ---- the page --------------------------------------------------------------
 */

/* A photo that nothing was found in is shown all the same. */
static bool proposed(struct request *r, struct error *err)
{
    struct measure_job *job = r->job;
    struct error unused;

    job->found = child_result(r->child, &unused);
    preset_found(r, job->found);
    return measure_form(r, job, NULL, NULL, err);
}

/* The first time a photo is opened card and skeins are looked for; later it
 * shows what was measured from it. */
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
        return start(r, find, sizeof(struct find_result), proposed, err);
    return preset_measured(r, job, &job->measured, err) &&
           measure_form(r, job, NULL, NULL, err);
}
