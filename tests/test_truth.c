/*
 * Readings of drawn photographs against the colour that was drawn: those of
 * fixtures/, and sets drawn by chance here (fixtures/README.md). A difference
 * is "within the limits" when d' C^-1 d is at most 7.815, the 95 % point of
 * chi-square with three degrees of freedom (any table of it).
 *
 * What the sets take from docs/colour.md: how far a skein comes out when it is
 * laid anew (part A4), 0.6, 0.4, 0.5. All else is drawn: yarn, light, lens,
 * sensor, tone curve, JPEG.
 */
#include "support.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

#include "measure/measure.h"

#define LIMIT_95 7.815

/* A row of truth.csv and what was read there. */
struct shot {
    char file[64];
    struct box box, card;
    struct lab truth, card_truth;
    int skein;
    struct measure_region got;
};

struct shots {
    struct shot *shot;
    size_t count;
};

static struct box box_of(const struct table *t, size_t row, const char *x,
                         const char *y, const char *w, const char *h)
{
    return (struct box){
        (int64_t)table_real(t, row, x), (int64_t)table_real(t, row, y),
        (int64_t)table_real(t, row, w), (int64_t)table_real(t, row, h)};
}

static struct lab lab_of(const struct table *t, size_t row, const char *L,
                         const char *a, const char *b)
{
    return (struct lab){table_real(t, row, L), table_real(t, row, a),
                        table_real(t, row, b)};
}

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
        s->box = box_of(&t, i, "x", "y", "w", "h");
        s->card = box_of(&t, i, "card_x", "card_y", "card_w", "card_h");
        s->truth = lab_of(&t, i, "L", "a", "b");
        s->card_truth = lab_of(&t, i, "card_L", "card_a", "card_b");
    }
    table_clear(&t);
    return all;
}

/* ---- measuring ---------------------------------------------------------- */

/* Measures the n shots of one photograph. */
static void picture_measure(const char *folder, struct shot *shot, size_t n)
{
    struct box boxes[8];
    struct measure_request request = {
        .card_box = shot[0].card,
        /* What a maker of cards may state. */
        .card = {shot[0].card_truth, 0.5, 0.3, 0.3, true},
        .region = boxes,
        .regions = n,
    };
    struct measure_result *result = mem_new(1, sizeof *result);
    struct error err;
    char path[256];
    unsigned char *data;
    size_t size;

    assert_true(n <= ARRAY_LEN(boxes));
    for (size_t i = 0; i < n; i++)
        boxes[i] = shot[i].box;
    snprintf(path, sizeof path, "%s/%s", folder, shot[0].file);
    data = file_read(path, &size);
    if (measure_jpeg(data, size, &request, result, &err)) {
        for (size_t i = 0; i < n; i++)
            shot[i].got = result->region[i];
    } else {
        for (size_t i = 0; i < n; i++) {
            shot[i].got.refused = true;
            snprintf(shot[i].got.why, sizeof shot[i].got.why, "%.190s",
                     err.text);
        }
    }
    free(data);
    free(result);
}

static struct shots folder_measure(const char *folder)
{
    struct shots all = shots_read(folder);

    for (size_t i = 0, n; i < all.count; i += n) {
        for (n = 1; i + n < all.count &&
                    !strcmp(all.shot[i].file, all.shot[i + n].file);)
            n++;
        picture_measure(folder, all.shot + i, n);
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

static void folder_remove(const char *folder, const struct shots *all)
{
    for (size_t i = 0; i < all->count; i++)
        if (i == 0 || strcmp(all->shot[i].file, all->shot[i - 1].file) != 0)
            file_remove(folder, all->shot[i].file);
    file_remove(folder, "truth.csv");
    assert_int_equal(rmdir(folder), 0);
}

/* Draws a set by chance in a folder of its own, measures it, and takes the
 * folder away. */
static struct shots set_measure(const char *kind, int count, int seed)
{
    char folder[] = "/tmp/hanklab-truth-XXXXXX";
    struct shots all;

    if (!mkdtemp(folder))
        fail_msg("no temporary folder");
    set_draw(kind, count, seed, folder);
    all = folder_measure(folder);
    folder_remove(folder, &all);
    return all;
}

/* ---- statistics --------------------------------------------------------- */

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

struct cover {
    size_t inside, of, refused;
};

static double cover_pct(struct cover c)
{
    return 100.0 * (double)c.inside / (double)c.of;
}

static void cover_add(struct cover *c, double squared)
{
    assert_true(isfinite(squared));
    c->of++;
    c->inside += squared <= LIMIT_95;
}

/* How many truths lie within the absolute limits. */
static struct cover absolute(const struct shots *all)
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

/* How many differences of two photographs lie within the same-set-up limits
 * of both. */
static struct cover repeated(const struct shots *all)
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

/* ---- tests -------------------------------------------------------------- */

/* Small pictures in even light: what is left is the yarn, of which the margin
 * takes half, and rounding. */
static void test_even_light_leaves_little_error(void **state)
{
    struct shots all = set_measure("even", 25, 2025);
    double sum = 0;

    (void)state;
    for (size_t i = 0; i < all.count; i++) {
        if (all.shot[i].got.refused)
            fail_msg("%s: %s", all.shot[i].file, all.shot[i].got.why);
        sum += lab_de00(all.shot[i].got.lab, all.shot[i].truth);
    }
    printf("#   even: mean %.2f dE00 over %zu skeins\n",
           sum / (double)all.count, all.count);
    assert_true(all.count == 75);
    assert_true(sum / (double)all.count < 0.7);
    free(all.shot);
}

static void test_absolute_limits_hold_for_the_fixtures(void **state)
{
    struct shots all = folder_measure("fixtures");
    struct cover c = absolute(&all);

    (void)state;
    printf("#   fixtures: %zu of %zu truths within the limits\n", c.inside,
           c.of);
    assert_int_equal(c.refused, 0);
    assert_true(cover_pct(c) >= 93);
    free(all.shot);
}

static void test_absolute_limits_hold_for_light_and_cameras_by_chance(void **s)
{
    struct shots all = set_measure("varied", 50, 2025);
    struct cover c = absolute(&all);

    (void)s;
    printf("#   varied: %zu of %zu truths within the limits, %zu refused\n",
           c.inside, c.of, c.refused);
    assert_true(c.refused * 20 <= all.count);
    assert_true(cover_pct(c) >= 93);
    free(all.shot);
}

static void test_repeat_limits_hold_as_often_as_they_say(void **state)
{
    struct shots all = set_measure("repeat", 110, 2025);
    struct cover c = repeated(&all);

    (void)state;
    printf("#   repeat: %zu of %zu differences within the limits, "
           "%zu refused\n",
           c.inside, c.of, c.refused);
    assert_true(c.of >= 300);
    assert_true(c.refused * 20 <= c.of);
    assert_true(cover_pct(c) >= 93);
    assert_true(cover_pct(c) <= 97);
    free(all.shot);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_even_light_leaves_little_error),
        cmocka_unit_test(test_absolute_limits_hold_for_the_fixtures),
        cmocka_unit_test(
            test_absolute_limits_hold_for_light_and_cameras_by_chance),
        cmocka_unit_test(test_repeat_limits_hold_as_often_as_they_say),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
