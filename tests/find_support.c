/* What finding makes of photographs. See the header. */
#include "find_support.h"

#include <glob.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

#include "truth_support.h"

enum { CARD = 255, THINGS = 256 }; /* greys of a mask */

double finds_pct(struct finds_count c)
{
    const size_t n = c.right + c.wrong + c.refused;

    return n ? 100.0 * (double)c.right / (double)n : (double)NAN;
}

/* ---- masks -------------------------------------------------------------- */

struct mask {
    int w, h;
    unsigned char *at;
};

/* Where a thing lies. */
struct extent {
    size_t pixels;
    double x, y; /* its middle */
    int left, right, top, foot;
};

static struct mask mask_read(const char *path)
{
    struct mask m = {0};
    FILE *f = fopen(path, "r");
    char line[64], *end;

    if (!f || !fgets(line, sizeof line, f) || strncmp(line, "P5 ", 3) != 0)
        fail_msg("%s: no mask", path);
    m.w = (int)strtol(line + 3, &end, 10);
    m.h = (int)strtol(end, &end, 10);
    assert_true(m.w > 0 && m.h > 0);
    m.at = mem_new((size_t)m.w * (size_t)m.h, 1);
    assert_int_equal(fread(m.at, 1, (size_t)m.w * (size_t)m.h, f),
                     (size_t)m.w * (size_t)m.h);
    fclose(f);
    return m;
}

static struct extent extent_of(const struct mask *m, int thing)
{
    struct extent e = {.left = m->w, .top = m->h};

    for (int y = 0; y < m->h; y++)
        for (int x = 0; x < m->w; x++) {
            if (m->at[(size_t)y * (size_t)m->w + (size_t)x] != thing)
                continue;
            e.pixels++;
            e.x += x;
            e.y += y;
            e.left = x < e.left ? x : e.left;
            e.right = x > e.right ? x : e.right;
            e.top = y < e.top ? y : e.top;
            e.foot = y > e.foot ? y : e.foot;
        }
    if (e.pixels) {
        e.x /= (double)e.pixels;
        e.y /= (double)e.pixels;
    }
    return e;
}

/* The thing that most of a box lies on, and what share of it does. */
static int thing_in(const struct mask *m, struct box b, double *share)
{
    size_t n[THINGS] = {0};
    int most = 0;

    for (int64_t y = b.y; y < b.y + b.h; y++)
        for (int64_t x = b.x; x < b.x + b.w; x++)
            n[m->at[(size_t)(y * m->w + x)]]++;
    for (int i = 0; i < THINGS; i++)
        most = n[i] > n[most] ? i : most;
    *share = (double)n[most] / ((double)b.w * (double)b.h);
    return most;
}

static bool is_on(const struct mask *m, struct box b, int thing)
{
    double share;

    return thing_in(m, b, &share) == thing && share >= 0.99;
}

/* ---- one photograph ----------------------------------------------------- */

struct shot_of {
    const char *name;
    struct mask mask;
    unsigned char *data;
    size_t size;
    bool tell;
};

static void add(struct finds_count *c, const struct shot_of *s,
                const char *what, const struct find_place *p, int thing)
{
    const bool right = p->found && is_on(&s->mask, p->box, thing);

    c->right += right;
    c->wrong += p->found && !right;
    c->refused += !p->found;
    if (s->tell && !right)
        printf("#   %s, %s of %d: %s\n", s->name, what, thing,
               p->found ? "wrong" : p->why);
}

static struct find_result *look(const struct shot_of *s,
                                const struct find_wanted *request)
{
    struct find_result *out = mem_new(1, sizeof *out);
    struct error err = {0};

    check_ok(find_jpeg(s->data, s->size, request, out, &err), &err);
    return out;
}

/* The middle, and four places a fifth of its size away from it. */
static struct find_tap tap_on(struct extent e, int i)
{
    static const double off[5][2] = {
        {0, 0}, {0.2, 0.2}, {-0.2, -0.2}, {0.15, -0.2}, {-0.15, 0.2}};

    return (struct find_tap){(int64_t)(e.x + off[i][0] * (e.right - e.left)),
                             (int64_t)(e.y + off[i][1] * (e.foot - e.top))};
}

static void tap_all(const struct shot_of *s, struct finds *out)
{
    const struct extent card = extent_of(&s->mask, CARD);
    struct extent skein[8];
    int skeins = 0;

    for (; skeins < 8; skeins++) {
        skein[skeins] = extent_of(&s->mask, skeins + 1);
        if (!skein[skeins].pixels)
            break;
    }
    for (int i = 0; i < 5; i++) {
        struct find_tap tap[8];
        const struct find_wanted request = {.card_tapped = true,
                                            .card_tap = tap_on(card, i),
                                            .tap = tap,
                                            .taps = (size_t)skeins};
        struct find_result *r;

        for (int k = 0; k < skeins; k++)
            tap[k] = tap_on(skein[k], i);
        r = look(s, &request);
        add(&out->card_taps, s, "tap on the card", &r->card, CARD);
        for (int k = 0; k < skeins; k++)
            add(&out->skein_taps, s, "tap", &r->skein[k], k + 1);
        free(r);
    }
}

static void propose_all(const struct shot_of *s, struct finds *out)
{
    const struct find_wanted request = {.proposes = true};
    struct find_result *r = look(s, &request);
    bool seen[THINGS] = {0};

    add(&out->cards, s, "proposal", &r->card, CARD);
    for (size_t i = 0; i < r->skeins; i++) {
        double share;
        const int thing = thing_in(&s->mask, r->skein[i].box, &share);

        /* The table, the card or the same skein twice is no skein. */
        if (thing == 0 || thing == CARD || seen[thing]) {
            out->skeins.wrong++;
            printf("#   %s: a skein proposed that is none\n", s->name);
        } else {
            add(&out->skeins, s, "proposal", &r->skein[i], thing);
        }
        seen[thing] = true;
    }
    for (int k = 1; k < CARD; k++)
        out->skeins.refused +=
            !seen[k] && extent_of(&s->mask, k).pixels > 0 && k <= 8;
    free(r);
}

static void look_at(const char *jpeg, const char *mask, bool tell,
                    struct finds *out)
{
    struct shot_of s = {.name = jpeg, .mask = mask_read(mask), .tell = tell};

    s.data = file_read(jpeg, &s.size);
    tap_all(&s, out);
    propose_all(&s, out);
    free(s.data);
    free(s.mask.at);
}

/* ---- many --------------------------------------------------------------- */

static void scene_run(const char *const *words)
{
    const char *build = getenv("BUILD");
    char path[256];
    const char *argv[64] = {path};
    size_t n = 0;
    int status;
    pid_t child;

    snprintf(path, sizeof path, "%s/scene", build ? build : "build/gcc");
    for (; words[n]; n++) {
        assert_true(n + 2 < ARRAY_LEN(argv));
        argv[n + 1] = words[n];
    }
    child = fork();
    if (child == 0) {
        execv(path, (char *const *)argv);
        _exit(127);
    }
    if (waitpid(child, &status, 0) != child || status != 0)
        fail_msg("%s failed", path);
}

static void folder_open(char folder[32])
{
    snprintf(folder, 32, "/tmp/hanklab-find-XXXXXX");
    if (!mkdtemp(folder))
        fail_msg("no temporary folder");
}

/* The files of a pattern, sorted by name; globfree() them. */
static glob_t files(const char *folder, const char *pattern)
{
    char path[512];
    glob_t g;

    snprintf(path, sizeof path, "%s/%s", folder, pattern);
    assert_int_equal(glob(path, 0, NULL, &g), 0);
    return g;
}

static void folder_remove(const char *folder)
{
    glob_t g = files(folder, "*");

    for (size_t i = 0; i < g.gl_pathc; i++)
        assert_int_equal(unlink(g.gl_pathv[i]), 0);
    globfree(&g);
    assert_int_equal(rmdir(folder), 0);
}

/* Each mask of a folder with the photograph of its name in another. */
static struct finds look_at_all(const char *masks, const char *jpegs, bool tell)
{
    glob_t g = files(masks, "*.pgm");
    struct finds out = {0};

    for (size_t i = 0; i < g.gl_pathc; i++) {
        const char *name = strrchr(g.gl_pathv[i], '/') + 1;
        char jpeg[512];

        snprintf(jpeg, sizeof jpeg, "%s/%.*s.jpg", jpegs,
                 (int)(strlen(name) - strlen(".pgm")), name);
        look_at(jpeg, g.gl_pathv[i], tell, &out);
    }
    globfree(&g);
    return out;
}

struct finds finds_of_fixtures(bool tell)
{
    glob_t g = files("fixtures/scenes", "*.scene");
    const char *words[40] = {"--masks", "fixtures/lots.csv"};
    char folder[32];
    struct finds out;

    folder_open(folder);
    words[2] = folder;
    assert_true(g.gl_pathc + 4 <= ARRAY_LEN(words));
    for (size_t i = 0; i < g.gl_pathc; i++)
        words[3 + i] = g.gl_pathv[i];
    scene_run(words);
    globfree(&g);
    out = look_at_all(folder, "fixtures", tell);
    folder_remove(folder);
    return out;
}

struct finds finds_of_set(const char *kind, int count, int seed, bool tell)
{
    char folder[32], many[16], from[16];
    const char *words[] = {"--masks", "--set", kind,   "--count", many,
                           "--seed",  from,    folder, NULL};
    struct finds out;

    folder_open(folder);
    snprintf(many, sizeof many, "%d", count);
    snprintf(from, sizeof from, "%d", seed);
    scene_run(words);
    scene_run(words + 1);
    out = look_at_all(folder, folder, tell);
    folder_remove(folder);
    return out;
}

static void copy_on_table(const char *from, const char *to, const char *table)
{
    FILE *in = fopen(from, "r"), *out = fopen(to, "w");
    char line[256];

    assert_non_null(in);
    assert_non_null(out);
    while (fgets(line, sizeof line, in))
        if (!strncmp(line, "table ", 6))
            fprintf(out, "table %s\n", table);
        else
            fputs(line, out);
    fclose(in);
    assert_int_equal(fclose(out), 0);
}

struct finds finds_on_table(const char *scene, const char *table, bool tell)
{
    char folder[32], from[128], to[128];
    const char *words[] = {"--masks", "fixtures/lots.csv", folder, to, NULL};
    struct finds out;

    folder_open(folder);
    snprintf(from, sizeof from, "fixtures/scenes/%s.scene", scene);
    snprintf(to, sizeof to, "%s/%s.scene", folder, scene);
    copy_on_table(from, to, table);
    scene_run(words);
    scene_run(words + 1);
    out = look_at_all(folder, folder, tell);
    folder_remove(folder);
    return out;
}

/* ---- photographs -------------------------------------------------------- */

static bool meet(struct box a, struct box b)
{
    return a.x < b.x + b.w && b.x < a.x + a.w && a.y < b.y + b.h &&
           b.y < a.y + a.h;
}

/* On its own patch, and on no other. */
static bool keeps_to(struct box found, const struct chart *c, size_t patch)
{
    for (size_t i = 0; i < c->n; i++)
        if (meet(found, c->box[i]) != (i == patch))
            return false;
    return true;
}

static unsigned char *photo_read(const char *image, size_t *size)
{
    char path[512];

    snprintf(path, sizeof path, "%s/%s", photos(), image);
    return file_read(path, size);
}

static void tap_chart(const struct table *t, const char *image,
                      struct finds_count *out)
{
    const struct chart c = chart_of(t, image);
    struct find_tap tap[24];
    const struct find_wanted request = {.tap = tap, .taps = c.n};
    struct shot_of s = {.name = image};
    struct find_result *r;

    for (size_t i = 0; i < c.n; i++)
        tap[i] = (struct find_tap){c.box[i].x + c.box[i].w / 2,
                                   c.box[i].y + c.box[i].h / 2};
    s.data = photo_read(image, &s.size);
    r = look(&s, &request);
    for (size_t i = 0; i < c.n; i++) {
        const struct find_place *p = &r->skein[i];
        const bool right = p->found && keeps_to(p->box, &c, i);

        out->right += right;
        out->wrong += p->found && !right;
        out->refused += !p->found;
        if (p->found && !right)
            printf("#   %s, patch %zu: found on another\n", image, i + 1);
    }
    free(r);
    free(s.data);
}

struct finds_count finds_on_charts(void)
{
    struct table t = photo_table("chart-patches.csv");
    struct finds_count out = {0};
    const char *before = "";

    for (size_t i = 0; i < t.rows; i++) {
        const char *image = table_text(&t, i, "image");

        if (strcmp(image, before) != 0)
            tap_chart(&t, image, &out);
        before = image;
    }
    table_clear(&t);
    return out;
}

static void look_for_card(const char *image, struct finds_count *out)
{
    const struct find_wanted request = {.proposes = true};
    struct find_result *r = mem_new(1, sizeof *r);
    struct error err = {0};
    size_t size;
    unsigned char *data = photo_read(image, &size);

    if (!find_jpeg(data, size, &request, r, &err)) {
        out->refused++;
    } else if (r->card.found) {
        out->wrong++;
        printf("#   %s: a card at %lld,%lld,%lld,%lld, and there is none\n",
               image, (long long)r->card.box.x, (long long)r->card.box.y,
               (long long)r->card.box.w, (long long)r->card.box.h);
    } else {
        out->right++;
    }
    free(data);
    free(r);
}

struct finds_count finds_without_card(void)
{
    static const struct {
        const char *table, *column;
    } from[] = {{"chart-images.csv", "image"}, {"odd.csv", "file"}};
    struct finds_count out = {0};

    for (size_t k = 0; k < ARRAY_LEN(from); k++) {
        struct table t = photo_table(from[k].table);

        for (size_t i = 0; i < t.rows; i++)
            look_for_card(table_text(&t, i, from[k].column), &out);
        table_clear(&t);
    }
    return out;
}
