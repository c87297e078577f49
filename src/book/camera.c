/* Cameras that were learnt. See book/camera.h. */
#include "book/camera.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "base/text.h"
#include "book/store.h"

static const char matrix_words[] = "3x3";
static const char root_words[] = "root polynomial of 6 terms";

/* ---- written ------------------------------------------------------------ */

static void bind_curve(struct stmt *q, const char *name, const double *is,
                       const double *light, size_t n)
{
    struct text t = {0};

    for (size_t i = 0; i < n; i++)
        text_addf(&t, "%s%.9g,%.9g", i ? " " : "", is[i], light[i]);
    stmt_text(q, name, text_str(&t));
    text_clear(&t);
}

static void bind_colours(struct stmt *q, const struct camera *c)
{
    const double no = (double)NAN;
    const bool has = c->terms > 0;
    struct text t = {0};

    for (int i = 0; has && i < 3; i++)
        for (size_t k = 0; k < c->terms; k++)
            text_addf(&t, "%s%.9g",
                      k   ? ","
                      : i ? " "
                          : "",
                      c->from_terms[i][k]);
    stmt_text(q, ":colours",
              !has            ? NULL
              : c->terms == 3 ? matrix_words
                              : root_words);
    stmt_text(q, ":matrix", has ? text_str(&t) : NULL);
    stmt_real(q, ":colours_off", has ? text_round(c->left_out_de00, 2) : no);
    stmt_real(q, ":off_L", has ? c->left_sL : no);
    stmt_real(q, ":off_a", has ? c->left_sa : no);
    stmt_real(q, ":off_b", has ? c->left_sb : no);
    text_clear(&t);
}

bool camera_record(struct book *book, const struct camera *camera,
                   int64_t photo, const char *taken, int64_t *id,
                   struct error *err)
{
    static const char *const curve[] = {":red", ":green", ":blue"};
    char day[11] = "";
    struct stmt q;

    if (!stmt_begin(book, STMT_CAMERA_ADD, &q, err))
        return false;
    snprintf(day, sizeof day, "%.10s", taken);
    stmt_text(&q, ":make", camera->name.make);
    stmt_text(&q, ":model", camera->name.model);
    stmt_text(&q, ":mode", camera->name.mode);
    stmt_int(&q, ":photo", photo);
    stmt_text(&q, ":on_words", *taken ? taken : NULL);
    stmt_text(&q, ":on_day", *day ? day : NULL);
    stmt_int(&q, ":neutrals", (int64_t)camera->neutrals);
    for (int c = 0; c < 3; c++)
        bind_curve(&q, curve[c], camera->is[c], camera->light[c],
                   camera->points);
    stmt_real(&q, ":tones_off", text_round(camera->left_out_dL, 2));
    bind_colours(&q, camera);
    if (!stmt_run(&q, err))
        return false;
    *id = sqlite3_last_insert_rowid(book->db);
    return true;
}

/* ---- read --------------------------------------------------------------- */

/* Words with n numbers each, at most `most` of them; how many there are, 0 if
 * they cannot be read. */
static size_t read_rows(const char *words, size_t n, size_t most, double *out)
{
    char *copy = mem_text(words), *at = copy, *word;
    size_t rows = 0;

    while ((word = strtok_r(NULL, " ", &at)) != NULL) {
        if (rows == most || !text_reals(word, out + rows * n, n)) {
            rows = 0;
            break;
        }
        rows++;
    }
    free(copy);
    return rows;
}

static bool read_curve(const char *words, double *is, double *light, size_t *n)
{
    double v[CAMERA_POINTS][2];

    *n = read_rows(words, 2, CAMERA_POINTS, v[0]);
    for (size_t i = 0; i < *n; i++) {
        is[i] = v[i][0];
        light[i] = v[i][1];
        if (!(is[i] > 0 && light[i] > 0) ||
            (i && !(is[i] > is[i - 1] && light[i] > light[i - 1])))
            return false;
    }
    return *n >= 2;
}

static bool read_curves(struct stmt *q, struct camera *c)
{
    for (int i = 0; i < 3; i++) {
        size_t n;

        if (!read_curve(stmt_get_text(q, 6 + i), c->is[i], c->light[i], &n) ||
            (i && n != c->points))
            return false;
        c->points = n;
    }
    return true;
}

static bool read_colours(struct stmt *q, struct camera *c)
{
    double v[3 * CAMERA_TERMS];

    if (stmt_is_null(q, 10))
        return true;
    c->terms = strcmp(stmt_get_text(q, 10), matrix_words) ? CAMERA_TERMS : 3;
    if (read_rows(stmt_get_text(q, 11), c->terms, 3, v) != 3)
        return false;
    for (size_t i = 0; i < 3; i++)
        memcpy(c->from_terms[i], v + i * c->terms, c->terms * sizeof *v);
    c->left_out_de00 = stmt_get_real(q, 12);
    c->left_sL = stmt_get_real(q, 13);
    c->left_sa = stmt_get_real(q, 14);
    c->left_sb = stmt_get_real(q, 15);
    return true;
}

static bool read_one(struct stmt *q, struct camera *c, struct error *err)
{
    const long long id = stmt_get_int(q, 0);

    *c = (struct camera){.neutrals = (size_t)stmt_get_int(q, 5)};
    snprintf(c->name.make, sizeof c->name.make, "%s", stmt_get_text(q, 1));
    snprintf(c->name.model, sizeof c->name.model, "%s", stmt_get_text(q, 2));
    snprintf(c->name.mode, sizeof c->name.mode, "%s", stmt_get_text(q, 3));
    snprintf(c->from, sizeof c->from, "camera #%lld, learnt from photo #%lld",
             id, (long long)stmt_get_int(q, 4));
    c->left_out_dL = stmt_get_real(q, 9);
    return (read_curves(q, c) && read_colours(q, c)) ||
           error_set(err, ERR_STORE,
                     "the curve of camera #%lld cannot be read: withdraw that "
                     "camera",
                     id);
}

bool cameras_read(struct book *book, struct camera **out, size_t *count,
                  struct error *err)
{
    size_t room = 0;
    struct stmt q;
    bool row, ok;

    *out = NULL;
    *count = 0;
    if (!stmt_begin(book, STMT_CAMERAS, &q, err))
        return false;
    while ((ok = stmt_step(&q, &row, err)) && row) {
        if (*count == room) {
            room = room ? 2 * room : 4;
            *out = mem_resize(*out, room, sizeof **out);
        }
        if (!(ok = read_one(&q, &(*out)[*count], err)))
            break;
        ++*count;
    }
    stmt_done(&q);
    if (!ok) {
        free(*out);
        *out = NULL;
        *count = 0;
    }
    return ok;
}
