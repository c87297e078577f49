/* Several photos of the same skeins. See measure_several.h. */
#include "measure_several.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/html.h"
#include "base/mem.h"
#include "base/parts.h"
#include "book/ask.h"
#include "measure_preset.h"
#include "page.h"
#include "photos.h"

#define PHOTOS_OFFERED 60

/* One skein or yarn, wherever it lies in the photos. */
struct joined {
    struct several several;
    struct photo_together together; /* the photos before in their order, then
                                       this one */
};

/* ---- carried along ------------------------------------------------------- */

/* The nth value of a field of a photo before; NULL behind the last. */
static const char *carried_field(const struct pairs *form, size_t photo,
                                 const char *field, size_t nth)
{
    char name[32];

    snprintf(name, sizeof name, "%zu:%s", photo, field);
    return pairs_nth(form, name, nth);
}

/* The part of a field's name behind "2:"; NULL when it is not of that photo. */
static const char *of_photo(const char *name, size_t nth)
{
    return name[0] == (char)('0' + nth) && name[1] == ':' ? name + 2 : NULL;
}

static bool read_before(struct request *r, struct measure_job *other,
                        const char *photo, struct error *err)
{
    struct request of = {.book = r->book, .form = other->form};
    struct error why;

    if (!photos_find(r, photo, &other->photo, &other->path, err))
        return false;
    return measure_read(&of, other, &why) ||
           error_set(err, why.kind, "photo %lld: %s",
                     (long long)other->photo.id, why.text);
}

/* A new skein has no other photo yet. */
static bool owned(const struct measure_job *job, struct error *err)
{
    for (size_t i = 0; i < job->request.regions; i++)
        if (job->place[i].new_skein)
            return error_set(err, ERR_INPUT,
                             "box %zu is a new skein: with several photos each "
                             "box is of a skein or a yarn of the book",
                             job->row_of[i] + 1);
    return true;
}

bool several_read(struct request *r, struct measure_job *job, struct error *err)
{
    for (size_t n = 1; n <= OTHERS_MOST; n++) {
        struct measure_job *other = mem_new(1, sizeof *other);
        const char *photo;

        for (size_t i = 0; i < r->form.count; i++) {
            const char *name = of_photo(r->form.pair[i].name, n);
            if (name)
                pairs_add(&other->form, name, r->form.pair[i].value);
        }
        job->other[job->others++] = other;
        photo = pairs_get(&other->form, "photo");
        if (!photo) {
            job->others--;
            measure_job_free(other);
            break;
        }
        if (!read_before(r, other, photo, err) || !owned(other, err))
            return false;
        if (other->photo.id == job->photo.id)
            return error_set(err, ERR_INPUT,
                             "photo %lld is in it already: the same picture "
                             "again tells nothing new",
                             (long long)job->photo.id);
    }
    if (job->others && job->keep_camera)
        return error_set(err, ERR_INPUT,
                         "the camera is kept by one photo alone: keep it when "
                         "you measure that");
    return !job->others || owned(job, err);
}

/* ---- put together -------------------------------------------------------- */

static struct joined *joined_of(struct measure_job *job,
                                const struct photo_place *p)
{
    struct joined *j;

    for (size_t i = 0; i < job->joined_count; i++) {
        j = &job->joined[i];
        if (j->together.whose.skein_id == p->skein_id &&
            j->together.whose.fibre_id == p->fibre_id)
            return j;
    }
    job->joined = mem_room(job->joined, job->joined_count, sizeof *job->joined);
    j = &job->joined[job->joined_count++];
    *j = (struct joined){.together.whose = *p};
    return j;
}

static void join_photo(struct measure_job *job, const struct measure_job *of,
                       const struct measure_answer *answer, size_t photo)
{
    for (size_t i = 0; i < of->request.regions; i++) {
        struct photo_together *t;

        if (!of->yarn[i] || answer->result.region[i].refused)
            continue;
        t = &joined_of(job, &of->place[i])->together;
        t->of[t->count].photo = photo;
        t->of[t->count++].place = i;
    }
}

static const struct measure_answer *answer_of(const struct measure_job *job,
                                              const struct measure_answers *all,
                                              size_t photo)
{
    return photo < job->others ? &all->other[photo] : &all->answer;
}

static const struct measure_job *job_of(const struct measure_job *job,
                                        size_t photo)
{
    return photo < job->others ? job->other[photo] : job;
}

static void average(const struct measure_job *job,
                    const struct measure_answers *all, struct joined *j)
{
    struct several_photo photo[OTHERS_MOST + 1];
    const struct photo_together *t = &j->together;

    for (size_t i = 0; i < t->count; i++) {
        const size_t from = t->of[i].photo;
        photo[i].number = (size_t)job_of(job, from)->photo.id;
        photo[i].region =
            &answer_of(job, all, from)->result.region[t->of[i].place];
    }
    several_mean(photo, t->count, &j->several);
}

bool several_join(struct measure_job *job, const struct measure_answers *all,
                  struct error *err)
{
    for (size_t i = 0; i <= job->others; i++) {
        const struct measure_answer *a = answer_of(job, all, i);

        if (!a->ok)
            return error_set(err, a->why.kind, "photo %lld: %s",
                             (long long)job_of(job, i)->photo.id, a->why.text);
        join_photo(job, job_of(job, i), a, i);
    }
    for (size_t i = 0; i < job->joined_count; i++)
        average(job, all, &job->joined[i]);
    return true;
}

/* ---- kept ---------------------------------------------------------------- */

static void leave_out(struct photo_together *t, size_t dropped)
{
    if (dropped != SEVERAL_NONE)
        memmove(&t->of[dropped], &t->of[dropped + 1],
                (--t->count - dropped) * sizeof t->of[0]);
}

static bool any_kept(const struct measure_job *job)
{
    for (size_t i = 0; i < job->joined_count; i++)
        if (!job->joined[i].several.mean.refused)
            return true;
    return false;
}

static bool load(const struct measure_job *job, struct photo_measured *m,
                 unsigned char **data, struct error *err)
{
    if (!file_load(job->path, PHOTO_MAX_BYTES, data, &m->size, err))
        return false;
    m->data = *data;
    m->request = &job->request;
    m->card_id = job->card_id;
    m->assumed_profile = job->assume;
    return true;
}

bool several_keep(struct request *r, struct measure_job *job,
                  const struct measure_answers *all, struct error *err)
{
    struct photo_measured m[OTHERS_MOST + 1] = {0};
    unsigned char *data[OTHERS_MOST + 1] = {NULL};
    struct photo_together *groups;
    bool ok = true;

    if (!any_kept(job))
        return error_set(err, ERR_INPUT,
                         "there is nothing to keep: the photos contradict each "
                         "other, see below");
    groups = mem_new(job->joined_count, sizeof *groups);

    for (size_t i = 0; ok && i <= job->others; i++) {
        ok = load(job_of(job, i), &m[i], &data[i], err);
        m[i].result = &answer_of(job, all, i)->result;
        m[i].wet = job->wet;
    }
    for (size_t i = 0; i < job->joined_count; i++) {
        groups[i] = job->joined[i].together;
        groups[i].mean = &job->joined[i].several.mean;
        leave_out(&groups[i], job->joined[i].several.dropped);
    }
    ok = ok && photo_together_keep(r->book, m, job->others + 1, groups,
                                   job->joined_count, err);
    free(groups);
    for (size_t i = 0; i <= job->others; i++)
        free(data[i]);
    return ok;
}

/* ---- on to another photo ------------------------------------------------- */

/* Fields that are not a photo's own. */
static bool is_ours(const char *name)
{
    static const char *const others[] = {"token", "do", "and-photo", "refused",
                                         "tap"};
    bool is = name[0] && name[1] != ':';

    for (size_t i = 0; i < ARRAY_LEN(others); i++)
        is = is && strcmp(name, others[i]) != 0;
    return is;
}

static void carry(struct request *r, const struct measure_job *job,
                  struct pairs *out)
{
    struct text name = {0};
    char photo[24];

    for (size_t i = 0; i < r->form.count; i++) {
        const struct pair *p = &r->form.pair[i];

        if (p->name[0] && p->name[1] == ':')
            pairs_add(out, p->name, p->value);
        if (!is_ours(p->name))
            continue;
        text_reset(&name);
        text_addf(&name, "%zu:%s", job->others + 1, p->name);
        pairs_add(out, text_str(&name), p->value);
    }
    text_reset(&name);
    text_addf(&name, "%zu:photo", job->others + 1);
    snprintf(photo, sizeof photo, "%lld", (long long)job->photo.id);
    pairs_add(out, text_str(&name), photo);
    text_clear(&name);
}

/* Of a photo that was measured before the rows are only looked at; to go on
 * from it is to read them again. */
static void read_again(struct request *r)
{
    size_t row = 0;

    for (size_t i = 0; i < r->form.count; i++) {
        struct pair *p = &r->form.pair[i];
        const char *who;
        struct error none;
        int64_t id;

        if (strcmp(p->name, "as") != 0)
            continue;
        who = pairs_nth(&r->form, "who", row++);
        if (strcmp(p->value, "look") != 0 || !parts_said(who))
            continue;
        free(p->value);
        p->value = mem_text(record_find(r->book, NOUN_SKEIN, who, &id, &none)
                                ? "skein"
                                : "fibre");
    }
}

/* The same card and skeins, their boxes still to be drawn; one may be in this
 * photo that was not in that. */
static void begin_rows(const struct request *r, struct pairs *out)
{
    pairs_add(out, "card", pairs_get(&r->form, "card"));
    for (size_t i = 0, n = measure_rows(r); i < n; i++) {
        if (!pairs_nth(&r->form, "box", i)[0] &&
            !parts_said(pairs_nth(&r->form, "who", i)))
            continue;
        pairs_add(out, "box", "");
        pairs_add(out, "as", pairs_nth(&r->form, "as", i));
        pairs_add(out, "who", pairs_nth(&r->form, "who", i));
    }
}

/* The form is another's from now on. */
static void turn_to(struct request *r, const char *photo, struct pairs *form)
{
    struct text path = {0};

    text_addf(&path, "/measure/%s", photo);
    free(r->path);
    r->path = text_take(&path);
    pairs_clear(&r->form);
    r->form = *form;
}

/* The photo that was chosen, or that came with the form. */
static bool next_photo(struct request *r, char out[24], struct error *err)
{
    const char *chosen = pairs_get(&r->form, "and-photo");
    int64_t photo = 0;

    if (r->upload.path && !strcmp(r->upload.field, "and-file")) {
        if (!photos_keep(r, "colour", &photo, err))
            return false;
        snprintf(out, 24, "%lld", (long long)photo);
        return true;
    }
    if (!chosen)
        return error_set(err, ERR_INPUT,
                         "say which photo is the next, or send one");
    snprintf(out, 24, "%.20s", chosen);
    return true;
}

bool several_go_on(struct request *r, struct measure_job *job,
                   struct error *err)
{
    struct pairs form = {0};
    char photo[24];

    if (job->others == OTHERS_MOST)
        return error_set(err, ERR_LIMIT, "at most %d photos of one skein here",
                         OTHERS_MOST + 1);
    if (!owned(job, err) || !next_photo(r, photo, err))
        return false;
    read_again(r);
    carry(r, job, &form);
    begin_rows(r, &form);
    turn_to(r, photo, &form);
    return true;
}

/* How many photos the form carries along. */
static size_t carried(const struct pairs *form)
{
    size_t n = 0;

    while (n < OTHERS_MOST && carried_field(form, n + 1, "photo", 0))
        n++;
    return n;
}

bool several_go_back(struct request *r, struct error *err)
{
    const size_t last = carried(&r->form);
    struct pairs form = {0};
    char photo[24];

    if (!last)
        return error_set(err, ERR_INPUT, "this is the first of the photos");
    snprintf(photo, sizeof photo, "%.20s",
             carried_field(&r->form, last, "photo", 0));
    for (size_t i = 0; i < r->form.count; i++) {
        const struct pair *p = &r->form.pair[i];
        const char *name = of_photo(p->name, last);

        if (name)
            pairs_add(&form, name, p->value);
        else if (p->name[0] && p->name[1] == ':')
            pairs_add(&form, p->name, p->value);
    }
    turn_to(r, photo, &form);
    return true;
}

/* ---- what was found in the next photo ------------------------------------ */

/* The boxes of the photo before whose rows this one has; false when one of
 * them has none. */
static bool boxes_before(const struct pairs *form, size_t photo,
                         struct box *out, size_t *n)
{
    const char *words;
    struct error none;

    *n = 0;
    for (size_t i = 0; i < MEASURE_MAX_REGIONS &&
                       (words = carried_field(form, photo, "box", i)) != NULL;
         i++) {
        if (!parts_said(words)) {
            if (parts_said(carried_field(form, photo, "who", i)))
                return false;
            continue;
        }
        if (!photo_box_read(words, &out[(*n)++], &none))
            return false;
    }
    return true;
}

/* The place of a box in the order. */
static size_t place_of(const struct box *sorted, struct box b)
{
    size_t i = 0;

    while (memcmp(&sorted[i], &b, sizeof b) != 0)
        i++;
    return i;
}

bool several_place(struct request *r, const struct find_result *found)
{
    struct box before[MEASURE_MAX_REGIONS], sorted[MEASURE_MAX_REGIONS];
    size_t n, row = 0;

    if (!boxes_before(&r->form, carried(&r->form), before, &n) ||
        n != found->skeins)
        return false;
    memcpy(sorted, before, n * sizeof *before);
    find_order(sorted, n);
    for (size_t i = 0; i < r->form.count && row < n; i++) {
        struct pair *p = &r->form.pair[i];
        struct text words = {0};

        if (strcmp(p->name, "box") != 0)
            continue;
        preset_words(found->skein[place_of(sorted, before[row++])].box, &words);
        free(p->value);
        p->value = text_take(&words);
    }
    return true;
}

void several_forget_rows(struct request *r)
{
    static const char *const rows[] = {"box", "as", "who"};
    struct pairs form = {0};

    for (size_t i = 0; i < r->form.count; i++) {
        const struct pair *p = &r->form.pair[i];
        bool stays = true;

        for (size_t k = 0; k < ARRAY_LEN(rows); k++)
            stays = stays && strcmp(p->name, rows[k]) != 0;
        if (stays)
            pairs_add(&form, p->name, p->value);
    }
    pairs_clear(&r->form);
    r->form = form;
}

void several_found(const struct view *v)
{
    const struct find_result *found = v->job->found;
    const struct pairs *form = &v->r->form;
    const size_t before = carried(form);
    struct text *o = &v->r->out;
    const char *who;
    bool any = false;

    if (v->job->in_order) {
        html_addf(o,
                  "The skeins are taken to lie in the same order as in photo "
                  "%s: look whether each is the right one.",
                  carried_field(form, before, "photo", 0));
        return;
    }
    if (!found->skeins) {
        html_addf(o, "%s", found->why);
        return;
    }
    html_addf(o, "%zu %s found, not as many as in photo %s. Say which is which",
              found->skeins, found->skeins == 1 ? "skein is" : "skeins are",
              carried_field(form, before, "photo", 0));
    for (size_t i = 0; (who = carried_field(form, before, "who", i)) != NULL;
         i++)
        if (parts_said(who)) {
            html_addf(o, "%s%s", any ? ", " : ": ", who);
            any = true;
        }
    text_add(o, ".");
}

/* ---- the page ------------------------------------------------------------ */

void several_carried(const struct view *v)
{
    const struct pairs *form = &v->r->form;
    struct text *o = &v->r->out;
    const size_t photos = carried(form);

    for (size_t i = 0; i < form->count; i++)
        if (form->pair[i].name[0] && form->pair[i].name[1] == ':')
            html_addf(o, "<input type=\"hidden\" name=\"%s\" value=\"%s\">\n",
                      form->pair[i].name, form->pair[i].value);
    if (!photos)
        return;
    text_add(o, "<p class=\"say\">Measured as one reading with ");
    for (size_t n = 1; n <= photos; n++)
        html_addf(o, "%sphoto %s", n > 1 ? ", " : "",
                  carried_field(form, n, "photo", 0));
    html_addf(o,
              ". <a href=\"/measure/%lld\">This photo alone</a></p>\n<p "
              "class=\"back\"><button class=\"low\" type=\"submit\" "
              "name=\"do\" value=\"back\">Back to photo %s, to choose "
              "another</button></p>\n",
              v->photo, carried_field(form, photos, "photo", 0));
}

static bool is_in(const struct view *v, int64_t photo)
{
    char words[24];

    if (photo == v->job->photo.id)
        return true;
    snprintf(words, sizeof words, "%lld", (long long)photo);
    for (size_t n = carried(&v->r->form); n > 0; n--)
        if (!strcmp(words, carried_field(&v->r->form, n, "photo", 0)))
            return true;
    return false;
}

/* The photos that may be the next, newest first. */
static bool add_choice(const struct view *v, struct error *err)
{
    struct text *o = &v->r->out;
    int64_t *ids = NULL;
    size_t n = 0;
    bool ok = record_ids(v->r->book, NOUN_PHOTO, false, &ids, &n, err);

    text_add(o, "<ul class=\"pick\">\n");
    for (size_t i = n; ok && i > 0 && n - i < PHOTOS_OFFERED; i--) {
        struct record photo;
        const struct record_field *on;

        if (is_in(v, ids[i - 1]))
            continue;
        ok = record_read(v->r->book, NOUN_PHOTO, ids[i - 1], &photo, err);
        if (!ok)
            break;
        on = record_get(&photo, "on");
        html_addf(o,
                  "<li><button type=\"submit\" name=\"and-photo\" "
                  "value=\"%lld\"><img src=\"/photo/%lld/" PHOTO_SMALL
                  "\" alt=\"\" loading=\"lazy\" decoding=\"async\"><span>photo "
                  "%lld</span></button><p class=\"small\">%s</p></li>\n",
                  (long long)photo.id, (long long)photo.id, (long long)photo.id,
                  on ? record_shown(on) : NULL);
        record_clear(&photo);
    }
    text_add(o, "</ul>\n");
    free(ids);
    return ok;
}

bool several_more(const struct view *v, struct error *err)
{
    struct text *o = &v->r->out;

    text_add(o,
             "<details class=\"more-known\"><summary>More photos of the same "
             "skeins</summary>\n<p class=\"small quiet\">Three are good, "
             "with the skeins turned between them: they become one reading. "
             "Mark this one first, then choose the next.</p>\n"
             "<div class=\"ties\"><p class=\"tie at\"><label "
             "for=\"and-file-0\">a new photo</label><input id=\"and-file-0\" "
             "type=\"file\" name=\"and-file\" accept=\"image/jpeg\"></p>"
             "<button type=\"submit\" name=\"do\" value=\"and\">Send it"
             "</button></div>\n");
    if (!add_choice(v, err))
        return false;
    text_add(o, "</details>\n");
    return true;
}

void several_said(const struct view *v, size_t region)
{
    const struct photo_place *p = &v->job->place[region];
    struct text *o = &v->r->out;

    for (size_t i = 0; i < v->job->joined_count; i++) {
        const struct joined *j = &v->job->joined[i];
        const struct measure_region *m = &j->several.mean;

        if (!v->job->yarn[region] || j->together.count < 2 ||
            j->together.whose.skein_id != p->skein_id ||
            j->together.whose.fibre_id != p->fibre_id)
            continue;
        if (m->refused) {
            html_addf(o, "<p class=\"why\">%s</p>\n", m->why);
            return;
        }
        html_addf(o, "<p class=\"say\"><b>Mean of %zu photos</b> ",
                  j->several.used);
        page_lab(o, m->lab);
        html_addf(o,
                  "; they are &Delta;E00 %.1f from it on average. This is what "
                  "is kept.",
                  j->several.mcdm);
        for (size_t k = 0; k < m->notes.count; k++)
            html_addf(o, " %s", m->notes.text[k]);
        text_add(o, "</p>\n");
    }
}

void several_clear(struct measure_job *job)
{
    for (size_t i = 0; i < job->others; i++)
        measure_job_free(job->other[i]);
    free(job->joined);
    pairs_clear(&job->form);
}
