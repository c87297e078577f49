/* Readings against what is known of the colours. See the header. */
#include "truth_support.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

#define LIMIT_95 7.815

/* ---- statistics --------------------------------------------------------- */

double cover_pct(struct cover c)
{
    return c.of ? 100.0 * (double)c.within / (double)c.of : (double)NAN;
}

void cover_coordinates(struct cover *c, const struct measure_region *region,
                       struct lab truth)
{
    const double d[3] = {region->lab.L - truth.L, region->lab.a - truth.a,
                         region->lab.b - truth.b};
    const double v[3] = {region->abs.LL, region->abs.aa, region->abs.bb};

    for (int i = 0; i < 3; i++) {
        c->within += d[i] * d[i] <= 4 * v[i];
        c->of++;
    }
}

void errors_add(struct errors *e, double de00)
{
    assert_true(isfinite(de00));
    e->sum += de00;
    e->worst = fmax(e->worst, de00);
    e->n++;
}

double errors_mean(const struct errors *e)
{
    return e->n ? e->sum / (double)e->n : (double)NAN;
}

/* d' C^-1 d for a difference d of two colours. */
static double mahalanobis(struct lab x, struct lab y, struct cov3 c)
{
    const double d[3] = {x.L - y.L, x.a - y.a, x.b - y.b};
    const double m[3][3] = {
        {c.aa * c.bb - c.ab * c.ab, c.Lb * c.ab - c.La * c.bb,
         c.La * c.ab - c.Lb * c.aa},
        {c.Lb * c.ab - c.La * c.bb, c.LL * c.bb - c.Lb * c.Lb,
         c.La * c.Lb - c.LL * c.ab},
        {c.La * c.ab - c.Lb * c.aa, c.La * c.Lb - c.LL * c.ab,
         c.LL * c.aa - c.La * c.La},
    };
    const double det = c.LL * m[0][0] + c.La * m[1][0] + c.Lb * m[2][0];
    double sum = 0;

    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++)
            sum += d[i] * m[i][j] * d[j];
    return sum / det;
}

static void cover_add(struct cover *c, double squared)
{
    assert_true(isfinite(squared));
    c->of++;
    c->within += squared <= LIMIT_95;
}

/* ---- tables ------------------------------------------------------------- */

static double part_of(const struct table *t, size_t row, const char *prefix,
                      const char *part)
{
    char name[16];

    snprintf(name, sizeof name, "%s%s", prefix, part);
    return table_real(t, row, name);
}

struct box table_box(const struct table *t, size_t row, const char *prefix)
{
    return (struct box){(int64_t)part_of(t, row, prefix, "x"),
                        (int64_t)part_of(t, row, prefix, "y"),
                        (int64_t)part_of(t, row, prefix, "w"),
                        (int64_t)part_of(t, row, prefix, "h")};
}

struct lab table_lab(const struct table *t, size_t row, const char *prefix)
{
    return (struct lab){part_of(t, row, prefix, "L"),
                        part_of(t, row, prefix, "a"),
                        part_of(t, row, prefix, "b")};
}

struct measure_result *photo_measure(const char *folder, const char *name,
                                     const struct measure_request *request,
                                     bool *ok, struct error *err)
{
    struct measure_result *out = mem_new(1, sizeof *out);
    char path[512];
    size_t size;
    unsigned char *data;

    snprintf(path, sizeof path, "%s/%s", folder, name);
    data = file_read(path, &size);
    *ok = measure_jpeg(data, size, request, out, err);
    free(data);
    return out;
}

/* ---- drawn photographs -------------------------------------------------- */

static struct shots shots_read(const char *folder)
{
    struct shots all;
    struct table t;
    char path[256];

    snprintf(path, sizeof path, "%s/truth.csv", folder);
    t = table_read_path(path);
    all.count = t.rows;
    all.shot = mem_new(t.rows, sizeof *all.shot);
    for (size_t i = 0; i < t.rows; i++) {
        struct shot *s = &all.shot[i];

        snprintf(s->file, sizeof s->file, "%s", table_text(&t, i, "file"));
        s->skein = (int)table_real(&t, i, "skein");
        s->box = table_box(&t, i, "");
        s->card = table_box(&t, i, "card_");
        s->truth = table_lab(&t, i, "");
        s->card_truth = table_lab(&t, i, "card_");
        s->even_light = table_real(&t, i, "even_light") > 0;
        s->tone_curve = table_real(&t, i, "tone_curve") > 0;
    }
    table_clear(&t);
    return all;
}

/* Measures the n shots of one photograph; camera may be NULL. */
static void picture_measure(const char *folder, struct shot *shot, size_t n,
                            const struct camera *camera)
{
    struct box boxes[8];
    const struct measure_request request = {
        .card_box = shot[0].card,
        /* What a maker of cards may state. */
        .card = {shot[0].card_truth, 0.5, 0.3, 0.3, true},
        .region = boxes,
        .regions = n,
        .camera = camera,
        .cameras = camera != NULL,
    };
    struct measure_result *result;
    struct error err;
    bool ok;

    assert_true(n <= ARRAY_LEN(boxes));
    for (size_t i = 0; i < n; i++)
        boxes[i] = shot[i].box;
    result = photo_measure(folder, shot[0].file, &request, &ok, &err);
    for (size_t i = 0; i < n; i++) {
        shot[i].got = result->region[i];
        if (!ok) {
            shot[i].got.refused = true;
            snprintf(shot[i].got.why, sizeof shot[i].got.why, "%.190s",
                     err.text);
        }
    }
    free(result);
}

/* Where the photograph of shot i ends. */
static size_t picture_end(const struct shots *all, size_t i)
{
    size_t end = i + 1;

    while (end < all->count && !strcmp(all->shot[i].file, all->shot[end].file))
        end++;
    return end;
}

struct shots shots_of_folder(const char *folder)
{
    struct shots all = shots_read(folder);

    for (size_t i = 0, end; i < all.count; i = end) {
        end = picture_end(&all, i);
        picture_measure(folder, all.shot + i, end - i, NULL);
    }
    return all;
}

static void set_draw(const char *kind, int count, int seed, const char *folder)
{
    const char *build = getenv("BUILD");
    char path[256], many[16], from[16];
    int status;
    pid_t child;

    snprintf(path, sizeof path, "%s/scene", build ? build : "build/gcc");
    snprintf(many, sizeof many, "%d", count);
    snprintf(from, sizeof from, "%d", seed);
    child = fork();
    if (child == 0) {
        execl(path, path, "--set", kind, "--count", many, "--seed", from,
              folder, (char *)NULL);
        _exit(127);
    }
    if (waitpid(child, &status, 0) != child || status != 0)
        fail_msg("%s --set %s failed", path, kind);
}

static void file_remove(const char *folder, const char *name)
{
    char path[256];

    snprintf(path, sizeof path, "%s/%s", folder, name);
    assert_int_equal(unlink(path), 0);
}

struct shots shots_of_set(const char *kind, int count, int seed)
{
    char folder[] = "/tmp/hanklab-truth-XXXXXX";
    struct shots all;

    if (!mkdtemp(folder))
        fail_msg("no temporary folder");
    set_draw(kind, count, seed, folder);
    all = shots_of_folder(folder);
    for (size_t i = 0; i < all.count; i = picture_end(&all, i))
        file_remove(folder, all.shot[i].file);
    file_remove(folder, "truth.csv");
    assert_int_equal(rmdir(folder), 0);
    return all;
}

/* What the steps of a drawn photograph say of its camera; they are those of
 * src/tools/scene/random.c. */
static struct camera steps_camera(const char *folder, const struct shot *shot)
{
    static const struct lab steps[] = {{94, -0.4, 1.2},
                                       {80, -0.6, 0.3},
                                       {66, -0.5, -0.2},
                                       {36, -0.3, -0.4},
                                       {21, 0.2, -0.5}};
    struct measure_reference r[ARRAY_LEN(steps)] = {{.name = ""}};
    const struct measure_request request = {
        .card_box = shot->card,
        .card = {shot->card_truth, 0.5, 0.3, 0.3, true},
        .reference = r,
        .references = ARRAY_LEN(steps)};
    struct measure_result *out;
    struct camera camera;
    struct error err;
    bool ok;

    for (size_t i = 0; i < ARRAY_LEN(steps); i++) {
        r[i].kind = MEASURE_NEUTRAL;
        r[i].box = (struct box){288 + 52 * (int)i, 76, 40, 288};
        r[i].value = (struct measure_card){steps[i], 0.5, 0.3, 0.3, true};
    }
    out = photo_measure(folder, shot->file, &request, &ok, &err);
    if (!ok)
        fail_msg("%s: %s", shot->file, err.text);
    camera = out->learnt;
    free(out);
    return camera;
}

struct shots shots_by_camera(int count, int seed, bool kept)
{
    char folder[] = "/tmp/hanklab-truth-XXXXXX";
    struct camera camera = {.points = 0};
    struct shots all, out = {0};

    if (!mkdtemp(folder))
        fail_msg("no temporary folder");
    set_draw("camera", count, seed, folder);
    all = shots_read(folder);
    out.shot = mem_new(all.count, sizeof *out.shot);
    for (size_t i = 0, end; i < all.count; i = end) {
        struct shot *shot = &all.shot[i];

        end = picture_end(&all, i);
        if (strstr(shot->file, "-a.jpg")) {
            camera = steps_camera(folder, shot);
        } else {
            picture_measure(folder, shot, end - i,
                            kept && camera.points ? &camera : NULL);
            memcpy(out.shot + out.count, shot, (end - i) * sizeof *shot);
            out.count += end - i;
        }
        file_remove(folder, shot->file);
    }
    free(all.shot);
    file_remove(folder, "truth.csv");
    assert_int_equal(rmdir(folder), 0);
    return out;
}

size_t shots_pictures(const struct shots *all)
{
    size_t n = 0;

    for (size_t i = 0; i < all->count; i = picture_end(all, i))
        n++;
    return n;
}

struct errors shots_errors(const struct shots *all, bool plain)
{
    struct errors e = {0};

    for (size_t i = 0; i < all->count; i++) {
        const struct shot *s = &all->shot[i];

        if (!s->got.refused && (!plain || (s->even_light && !s->tone_curve)))
            errors_add(&e, lab_de00(s->got.lab, s->truth));
    }
    return e;
}

struct cover shots_absolute(const struct shots *all)
{
    struct cover c = {0};

    for (size_t i = 0; i < all->count; i++) {
        const struct shot *s = &all->shot[i];

        if (s->got.refused)
            c.refused++;
        else
            cover_add(&c, mahalanobis(s->got.lab, s->truth, s->got.abs));
    }
    return c;
}

static const struct shot *again(const struct shots *all, const struct shot *s)
{
    char other[sizeof s->file];
    char *end;

    snprintf(other, sizeof other, "%s", s->file);
    end = strstr(other, "-a.jpg");
    if (!end)
        return NULL;
    end[1] = 'b';
    for (size_t i = 0; i < all->count; i++)
        if (all->shot[i].skein == s->skein && !strcmp(all->shot[i].file, other))
            return &all->shot[i];
    fail_msg("%s has no second photograph", s->file);
    return NULL;
}

struct cover shots_repeated(const struct shots *all)
{
    struct cover c = {0};

    for (size_t i = 0; i < all->count; i++) {
        const struct shot *s = &all->shot[i], *t = again(all, s);

        if (!t)
            continue;
        if (s->got.refused || t->got.refused)
            c.refused++;
        else
            cover_add(&c, mahalanobis(s->got.lab, t->got.lab,
                                      cov3_add(s->got.set, t->got.set)));
    }
    return c;
}

static struct colour_reading reading_of(const struct shot *s)
{
    return (struct colour_reading){s->got.lab, s->got.set, s->got.abs};
}

static void judge(const struct shot *s, const struct shot *t,
                  struct verdicts *v)
{
    v->pairs++;
    v->apart += lab_de00(s->truth, t->truth);
    switch (compare_readings(reading_of(s), reading_of(t), true, 2).verdict) {
    case VERDICT_MATCH:
        v->match++;
        break;
    case VERDICT_CANNOT_TELL:
        v->cannot_tell++;
        break;
    case VERDICT_DIFFERENT:
        v->different++;
        break;
    }
}

/* Photographs of one set-up have the same name but for the letter. */
static bool one_setup(const struct shot *s, const struct shot *t)
{
    const char *end = strrchr(s->file, '-');

    return end && strcmp(s->file, t->file) != 0 &&
           !strncmp(s->file, t->file, (size_t)(end - s->file));
}

struct verdicts shots_verdicts(const struct shots *all, int x, int y)
{
    struct verdicts v = {0};

    for (size_t i = 0; i < all->count; i++)
        for (size_t k = 0; k < all->count; k++) {
            const struct shot *s = &all->shot[i], *t = &all->shot[k];

            if (s->skein == x && t->skein == y && (x != y || i < k) &&
                !s->got.refused && !t->got.refused && one_setup(s, t))
                judge(s, t, &v);
        }
    return v;
}

static struct lab plus(struct lab x, struct lab y, double times)
{
    return (struct lab){x.L + times * y.L, x.a + times * y.a,
                        x.b + times * y.b};
}

/* Those of a set-up follow one another. */
struct errors shots_mcdm(const struct shots *all, bool laid)
{
    struct errors e = {0};

    for (size_t i = 0; i < all->count; i++) {
        struct lab lab[8], mean = {0, 0, 0};
        size_t n = 0;

        for (size_t k = 0; k < all->count; k++) {
            const struct shot *s = &all->shot[i], *t = &all->shot[k];

            if (t->skein != s->skein || t->got.refused ||
                (k != i && !one_setup(s, t)))
                continue;
            if (k < i)
                break; /* told before */
            assert_true(n < ARRAY_LEN(lab));
            lab[n] = laid ? t->got.lab : plus(t->got.lab, t->truth, -1);
            if (!laid)
                lab[n] = plus(lab[n], s->truth, 1);
            mean = plus(mean, lab[n++], 1);
        }
        if (n < 3)
            continue;
        mean = (struct lab){mean.L / (double)n, mean.a / (double)n,
                            mean.b / (double)n};
        for (size_t k = 0; k < n; k++)
            errors_add(&e, lab_de00(lab[k], mean));
    }
    return e;
}

/* ---- photographs of charts ---------------------------------------------- */

const char *photos(void)
{
    return getenv("HANKLAB_TEST_PHOTOS");
}

struct table photo_table(const char *name)
{
    char path[512];

    snprintf(path, sizeof path, "%s/%s", photos(), name);
    return table_read_path(path);
}

struct chart chart_of(const struct table *patches, const char *image)
{
    struct chart c = {0};
    double nearest = 100;

    for (size_t i = 0; i < patches->rows; i++) {
        const double off = fabs(table_real(patches, i, "L") - 51);
        struct box box;

        if (strcmp(table_text(patches, i, "image"), image) != 0)
            continue;
        assert_true(c.n < 24);
        box = table_box(patches, i, "");
        c.box[c.n] = box;
        c.lab[c.n] = table_lab(patches, i, "");
        c.colour[c.n] = !strcmp(table_text(patches, i, "role"), "colour");
        if (!c.colour[c.n] && off < nearest) {
            nearest = off;
            c.card_box = box;
            c.card = c.lab[c.n];
        }
        snprintf(c.trust, sizeof c.trust, "%s",
                 table_text(patches, i, "trust"));
        c.n++;
    }
    assert_true(c.n == 24 && nearest < 5);
    return c;
}

struct measure_result *chart_measure(const struct chart *c, const char *image,
                                     bool *ok, struct error *err)
{
    const struct measure_request request = {
        .card_box = c->card_box,
        .card = {c->card, 1, 0.5, 0.5, true},
        .region = c->box,
        .regions = c->n};

    return photo_measure(photos(), image, &request, ok, err);
}

struct errors chart_errors(const struct chart *c,
                           const struct measure_result *r,
                           struct cover *coordinates)
{
    struct errors e = {0};

    for (size_t i = 0; i < c->n; i++) {
        const struct measure_region *region = &r->region[i];

        if (!c->colour[i])
            continue;
        if (region->refused) {
            coordinates->refused++;
            continue;
        }
        errors_add(&e, lab_de00(region->lab, c->lab[i]));
        cover_coordinates(coordinates, region, c->lab[i]);
    }
    return e;
}

/* The patches of a chart that are known, but for the card and one left out. */
static size_t references_of(const struct chart *c, enum chart_known known,
                            size_t without, struct measure_reference out[24])
{
    size_t n = 0;

    for (size_t i = 0; i < c->n; i++) {
        const bool card =
            c->box[i].x == c->card_box.x && c->box[i].y == c->card_box.y;

        if (card || i == without ||
            (known == CHART_KNOWN_NEUTRALS && c->colour[i]))
            continue;
        out[n] = (struct measure_reference){
            .kind = c->colour[i] ? MEASURE_PATCH : MEASURE_NEUTRAL,
            .box = c->box[i],
            .value = {c->lab[i], 0.5, 0.5, 0.5, true},
        };
        snprintf(out[n].name, sizeof out[n].name, "patch %zu", i + 1);
        n++;
    }
    return n;
}

/* One patch told by all others. */
static bool read_one(const struct chart *c, const char *image, size_t i,
                     struct errors *e, struct cover *coordinates,
                     struct error *err)
{
    struct measure_reference r[24];
    const struct measure_request request = {
        .card_box = c->card_box,
        .card = {c->card, 0.5, 0.5, 0.5, true},
        .reference = r,
        .references = references_of(c, CHART_KNOWN_ALL_OTHER, i, r),
        .region = &c->box[i],
        .regions = 1};
    struct measure_result *out;
    bool ok;

    out = photo_measure(photos(), image, &request, &ok, err);
    if (ok && !out->region[0].refused) {
        errors_add(e, lab_de00(out->region[0].lab, c->lab[i]));
        cover_coordinates(coordinates, &out->region[0], c->lab[i]);
    } else if (ok) {
        coordinates->refused++;
    }
    free(out);
    return ok;
}

struct errors chart_read(const struct chart *c, const char *image,
                         enum chart_known known, struct cover *coordinates,
                         bool *ok, struct error *err)
{
    struct measure_reference r[24];
    struct errors e = {0};

    *ok = true;
    if (known == CHART_KNOWN_ALL_OTHER) {
        for (size_t i = 0; *ok && i < c->n; i++)
            if (c->colour[i])
                *ok = read_one(c, image, i, &e, coordinates, err);
    } else {
        const struct measure_request request = {
            .card_box = c->card_box,
            .card = {c->card, 1, 0.5, 0.5, true},
            .reference = r,
            .references = known == CHART_KNOWN_CARD
                              ? 0
                              : references_of(c, known, c->n, r),
            .camera = c->camera,
            .cameras = c->camera != NULL,
            .region = c->box,
            .regions = c->n};
        struct measure_result *out =
            photo_measure(photos(), image, &request, ok, err);

        if (*ok)
            e = chart_errors(c, out, coordinates);
        free(out);
    }
    return e;
}

struct camera chart_camera(const struct chart *c, const char *image,
                           enum chart_known known)
{
    struct measure_reference r[24];
    const struct measure_request request = {
        .card_box = c->card_box,
        .card = {c->card, 0.5, 0.5, 0.5, true},
        .reference = r,
        .references = references_of(c, known, c->n, r)};
    struct measure_result *out;
    struct camera camera;
    struct error err;
    bool ok;

    out = photo_measure(photos(), image, &request, &ok, &err);
    if (!ok)
        fail_msg("%s: %s", image, err.text);
    camera = out->learnt;
    snprintf(camera.from, sizeof camera.from, "the camera");
    free(out);
    return camera;
}
