/* What becomes of a measured picture: its readings kept in one act. See
 * book/photo.h. */
#include "book/photo.h"

#include <math.h>
#include <stdlib.h>

#include "base/mem.h"
#include "base/text.h"
#include "book/camera.h"
#include "book/record.h"
#include "book/store.h"

bool photo_place_kept(const struct photo_measured *m, size_t i)
{
    const struct photo_place *p = &m->place[i];

    return (p->skein_id || p->fibre_id || p->new_skein) &&
           !m->result->region[i].refused;
}

static bool any_kept(const struct photo_measured *m)
{
    for (size_t i = 0; i < m->request->regions; i++)
        if (photo_place_kept(m, i))
            return true;
    return false;
}

/* Whether the file holds the place where it was taken. */
static bool says_where(const struct photo_measured *m)
{
    struct photo photo = {0};
    struct error none;
    bool gps = photo_open(m->data, m->size, &photo, &none) && photo.has_gps;

    photo_clear(&photo);
    return gps;
}

/* "neutral 2: 10,20,30,40 = 80.8, -0.6, 0.1", one a line. */
static void known_words(const struct measure_request *request, struct text *out)
{
    for (size_t i = 0; i < request->references; i++) {
        const struct measure_reference *r = &request->reference[i];
        const double lab[3] = {r->value.lab.L, r->value.lab.a, r->value.lab.b};

        text_addf(out, "%s%s: %lld,%lld,%lld,%lld =", i ? "\n" : "", r->name,
                  (long long)r->box.x, (long long)r->box.y, (long long)r->box.w,
                  (long long)r->box.h);
        for (int c = 0; c < 3; c++) {
            text_add(out, c ? ", " : " ");
            text_add_real(out, lab[c], 4);
        }
    }
}

static struct photo_reading reading_of(const struct photo_measured *m, size_t i,
                                       int64_t photo, const char *known)
{
    return (struct photo_reading){
        .card_id = m->card_id,
        .card = m->request->card.lab,
        .wet = m->wet,
        .part = m->part ? m->part : "whole",
        .taken = m->result->taken,
        .photo_id = photo,
        .card_box = m->request->card_box,
        .box = m->request->region[i],
        .assumed_profile = m->assumed_profile,
        .corrected_by =
            m->result->method.card_alone ? "" : m->result->method.words,
        .known = known,
        .region = &m->result->region[i],
    };
}

/* Lighter than any yarn, in L*: beyond this the photo was understood wrongly,
 * as when a box of a known colour lies half on something else. Our own choice.
 */
#define YARN_MOST_L 110.0

static bool can_be_yarn(const struct photo_reading *r, struct error *err)
{
    const double L = (r->mean ? r->mean : r->region)->lab.L;

    return L <= YARN_MOST_L ||
           error_set(err, ERR_INPUT,
                     "a skein came out lighter than any yarn (L* %.0f), and "
                     "nothing was kept: see that the card's box, and that of "
                     "every other known colour, lies on it alone",
                     L);
}

/* Keeps a reading as that of the place's skein or yarn. */
static bool keep_reading(struct book *book, struct photo_reading *r,
                         struct photo_place *p, struct error *err)
{
    struct record_value name = {"name", p->new_skein};

    if (!can_be_yarn(r, err))
        return false;
    if (p->new_skein &&
        !record_add(book, NOUN_SKEIN, &name, 1, &p->skein_id, NULL, err))
        return false;
    r->skein_id = p->skein_id;
    r->fibre_id = p->fibre_id;
    return photo_reading_add(book, r, &p->reading_id, err);
}

static bool record_photo(struct book *book, const struct photo_measured *m,
                         const struct kept_file *file, int64_t *photo,
                         struct error *err)
{
    const struct measure_result *of = m->result;
    struct photo_facts facts = {
        .width = of->width,
        .height = of->height,
        .orientation = of->orientation,
        .camera = of->camera,
        .profile = of->profile,
        .taken = of->taken,
        .shows = "colour",
        .has_gps = says_where(m),
    };

    return photo_record(book, file, &facts, photo, err);
}

static bool keep_all(struct book *book, const struct photo_measured *m,
                     const struct kept_file *file, struct error *err)
{
    struct text known = {0};
    int64_t photo;
    bool ok = record_photo(book, m, file, &photo, err);

    known_words(m->request, &known);
    for (size_t i = 0; ok && i < m->request->regions; i++) {
        struct photo_reading r = reading_of(m, i, photo, text_str(&known));

        if (photo_place_kept(m, i))
            ok = keep_reading(book, &r, &m->place[i], err);
    }
    if (ok && m->camera_id)
        ok = camera_record(book, &m->result->learnt, photo, m->result->taken,
                           m->camera_id, err);
    text_clear(&known);
    return ok;
}

bool photo_measured_keep(struct book *book, const struct photo_measured *m,
                         struct error *err)
{
    struct kept_file file;

    if (m->camera_id && !m->result->learnt.points)
        return error_set(err, ERR_INPUT, "the camera cannot be kept: %s",
                         m->result->not_learnt);
    if (!any_kept(m) && !m->camera_id)
        return true;
    if (!photo_keep(book, m->data, m->size, &file, err) ||
        !book_act_begin(book, "measure", err))
        return false;
    if (keep_all(book, m, &file, err))
        return book_act_end(book, err);
    book_act_cancel(book);
    return false;
}

/* ---- several photos ----------------------------------------------------- */

static bool is_kept(const struct photo_together *g)
{
    return (g->whose.skein_id || g->whose.fibre_id || g->whose.new_skein) &&
           !g->mean->refused;
}

static bool is_used(size_t photo, const struct photo_together *group,
                    size_t groups)
{
    for (size_t i = 0; i < groups; i++)
        for (size_t k = 0; is_kept(&group[i]) && k < group[i].count; k++)
            if (group[i].of[k].photo == photo)
                return true;
    return false;
}

static bool keep_group(struct book *book, const struct photo_measured *photo,
                       const int64_t *id, const struct text *known,
                       struct photo_together *g, struct error *err)
{
    bool ok = true;

    for (size_t k = 0; ok && k < g->count; k++) {
        const size_t p = g->of[k].photo;
        struct photo_reading r =
            reading_of(&photo[p], g->of[k].place, id[p], text_str(&known[p]));

        r.mean = g->mean;
        ok = k ? photo_region_add(book, &r, g->whose.reading_id, err)
               : keep_reading(book, &r, &g->whose, err);
    }
    return ok;
}

static bool keep_groups(struct book *book, const struct photo_measured *photo,
                        const struct kept_file *file, size_t photos,
                        struct photo_together *group, size_t groups,
                        struct error *err)
{
    struct text *known = mem_new(photos, sizeof *known);
    int64_t *id = mem_new(photos, sizeof *id);
    bool ok = true;

    for (size_t i = 0; ok && i < photos; i++) {
        known_words(photo[i].request, &known[i]);
        ok = !is_used(i, group, groups) ||
             record_photo(book, &photo[i], &file[i], &id[i], err);
    }
    for (size_t i = 0; ok && i < groups; i++)
        ok = !is_kept(&group[i]) ||
             keep_group(book, photo, id, known, &group[i], err);
    for (size_t i = 0; i < photos; i++)
        text_clear(&known[i]);
    free(known);
    free(id);
    return ok;
}

bool photo_together_keep(struct book *book, const struct photo_measured *photo,
                         size_t photos, struct photo_together *group,
                         size_t groups, struct error *err)
{
    struct kept_file *file = mem_new(photos, sizeof *file);
    bool any = false, ok = true;

    for (size_t i = 0; ok && i < photos; i++)
        if (is_used(i, group, groups)) {
            any = true;
            ok = photo_keep(book, photo[i].data, photo[i].size, &file[i], err);
        }
    if (ok && any && (ok = book_act_begin(book, "measure", err))) {
        ok = keep_groups(book, photo, file, photos, group, groups, err);
        if (ok)
            ok = book_act_end(book, err);
        else
            book_act_cancel(book);
    }
    free(file);
    return ok;
}

/* ---- boxes -------------------------------------------------------------- */

bool photo_box_read(const char *words, struct box *out, struct error *err)
{
    double v[4];

    if (!text_reals(words, v, 4))
        return error_set(err, ERR_INPUT,
                         "\"%s\" is not a box: write X,Y,W,H in pixels", words);
    for (int i = 0; i < 4; i++)
        if (fabs(v[i]) > 1e6 || (i > 1 && v[i] < 1))
            return error_set(err, ERR_INPUT,
                             "\"%s\" cannot lie in a picture: write X,Y,W,H "
                             "in pixels, W and H at least 1",
                             words);
    *out = (struct box){(int64_t)floor(v[0] + 0.5), (int64_t)floor(v[1] + 0.5),
                        (int64_t)floor(v[2] + 0.5), (int64_t)floor(v[3] + 0.5)};
    return true;
}

bool photo_card_box(struct book *book, int64_t photo, struct box *out,
                    bool *known, struct error *err)
{
    struct stmt q;

    if (!stmt_begin(book, STMT_PHOTO_CARD_BOX, &q, err))
        return false;
    stmt_int(&q, ":of", photo);
    if (!stmt_step(&q, known, err))
        return false;
    if (*known)
        *out = (struct box){stmt_get_int(&q, 0), stmt_get_int(&q, 1),
                            stmt_get_int(&q, 2), stmt_get_int(&q, 3)};
    stmt_done(&q);
    return true;
}
