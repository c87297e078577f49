/* Answers as pictures: each says in words what it shows, no colour is told
 * without a mark or a word, and whatever a name has in it stays text. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "ask_support.h"
#include "base/mem.h"
#include "book/picture.h"
#include "draw/picture.h"

#define NASTY "<b>&\"'\x01\xC3\xA4"
#define NASTY_SAFE "&lt;b&gt;&amp;&quot;'\xC3\xA4"

/* Elements that are opened are closed, in order, and attributes are quoted:
 * enough of XML 1.0 for what is written here. */
static void check_well_formed(const char *s)
{
    char open[16][16];
    int depth = 0;

    assert_null(strstr(s, "nan"));
    assert_null(strstr(s, "inf"));
    for (s = strchr(s, '<'); s; s = strchr(s + 1, '<')) {
        size_t n = strcspn(s + 1, " />");
        const char *end = strchr(s, '>');
        int quotes = 0;
        assert_non_null(end);
        for (const char *c = s; c < end; c++)
            quotes += *c == '"';
        assert_int_equal(quotes % 2, 0);
        if (s[1] == '/') {
            n = strcspn(s + 2, ">");
            assert_true(depth > 0);
            depth--;
            assert_int_equal(strlen(open[depth]), n);
            assert_memory_equal(open[depth], s + 2, n);
        } else if (end[-1] != '/') {
            assert_true(depth < 16 && n < 16);
            snprintf(open[depth++], 16, "%.*s", (int)n, s + 1);
        }
        s = end;
    }
    assert_int_equal(depth, 0);
}

static size_t count(const char *s, const char *what)
{
    size_t n = 0;

    for (; (s = strstr(s, what)); s++)
        n++;
    return n;
}

static void check_has(const struct text *t, const char *what)
{
    if (!strstr(text_str(t), what))
        fail_msg("no %s in %s", what, text_str(t));
}

static const struct picture nasty = {"title " NASTY, "words " NASTY};
static const struct lab red = {45, 50, 30},
                        none = {(double)NAN, (double)NAN, (double)NAN};

static void check_said(const struct text *t)
{
    check_well_formed(text_str(t));
    check_has(t, "role=\"img\"");
    check_has(t, "<title>title " NASTY_SAFE "</title>");
    check_has(t, "<desc>words " NASTY_SAFE "</desc>");
}

static void what_names_have_in_them_stays_text(void **state)
{
    const struct picture_swatch s[2] = {
        {.lab = red, .name = NASTY, .line = NASTY, .more = NASTY},
        {.lab = none, .name = NASTY}};
    const struct picture_dot dot = {red, NASTY};
    const struct picture_point point[2] = {
        {.seen = 1, .line = 1, .low = 0.9, .high = 1.1, .lab = red},
        {.seen = (double)NAN,
         .line = 0.5,
         .low = 0.4,
         .high = 0.6,
         .lab = red,
         .foretold = true}};
    const struct picture_curve curve = {
        .name = NASTY, .line = NASTY, .points = 2, .point = point};
    const struct picture_change change = {.was = red,
                                          .is = red,
                                          .name = NASTY,
                                          .line = NASTY,
                                          .at = 3,
                                          .low = 2.5,
                                          .high = 3.5};
    char *names[] = {mem_text(NASTY)};
    struct text t = {0};

    (void)state;
    picture_strip(&nasty, s, 2, &t);
    check_said(&t);
    assert_int_equal(count(t.s, ">" NASTY_SAFE "<"), 4);
    text_reset(&t);
    picture_table(&nasty, names, names, 1, 1, s, &t);
    check_said(&t);
    assert_int_equal(count(t.s, ">" NASTY_SAFE "<"), 5);
    text_reset(&t);
    picture_map(&nasty, &dot, 1, NULL, &t);
    check_said(&t);
    assert_int_equal(count(t.s, ">" NASTY_SAFE "<"), 1);
    text_reset(&t);
    picture_curves(&nasty, &curve, 1, &t);
    check_said(&t);
    assert_int_equal(count(t.s, ">" NASTY_SAFE "<"), 2);
    text_reset(&t);
    picture_changes(&nasty, &change, 1, &t);
    check_said(&t);
    assert_int_equal(count(t.s, ">" NASTY_SAFE "<"), 2);
    text_clear(&t);
    free(names[0]);
}

static void nothing_at_all_is_a_picture_too(void **state)
{
    struct text t = {0};

    (void)state;
    picture_strip(&nasty, NULL, 0, &t);
    check_said(&t);
    text_reset(&t);
    picture_table(&nasty, NULL, NULL, 0, 0, NULL, &t);
    check_said(&t);
    text_reset(&t);
    picture_map(&nasty, NULL, 0, NULL, &t);
    check_said(&t);
    text_reset(&t);
    picture_curves(&nasty, NULL, 0, &t);
    check_said(&t);
    text_clear(&t);
}

/* Grey of L* 50 is sRGB 119, 119, 119 (0.184187 of white's light, CIE 15, by
 * the curve of IEC 61966-2-1). */
static void a_strip_shows_the_same_in_grey(void **state)
{
    const struct picture_swatch s = {.lab = {50, 40, 20}, .name = "31"};
    struct text t = {0};

    (void)state;
    picture_strip(&nasty, &s, 1, &t);
    assert_int_equal(count(t.s, "<rect"), 2);
    check_has(&t, "fill=\"#777777\"");
    text_clear(&t);
}

/* What is not dyed yet is striped, in colour and in grey, on dark and on pale,
 * and no stripe leaves its swatch. */
static void what_is_foretold_is_striped(void **state)
{
    struct picture_swatch s[] = {{.lab = {50, 40, 20}, .name = "31"},
                                 {.lab = {90, 0, 10}, .name = "?"}};
    struct text t = {0};

    (void)state;
    picture_strip(&nasty, s, 2, &t);
    assert_int_equal(count(t.s, "stroke-width=\"2.5\""), 0);
    text_reset(&t);
    s[0].foretold = true;
    picture_strip(&nasty, s, 2, &t);
    assert_int_equal(count(t.s, "stroke=\"#fff\" stroke-width=\"2.5\""), 2);
    for (const char *at = t.s; (at = strstr(at, "2.5\" d=\"")); at++) {
        const char *m = at + strlen("2.5\" d=\"");
        while (*m != '"') {
            char *end;
            const double x = strtod(m + 1, &end), y = strtod(end + 1, &end);
            const double to_x = strtod(end + 1, &end);
            const double to_y = strtod(end + 1, &end);
            assert_true(end > m + 7);
            assert_true(x >= 0 && to_x <= 256 && x < to_x);
            assert_true(to_y >= 0 && y <= 124 && to_y < y);
            m = end;
        }
    }
    text_reset(&t);
    s[1].foretold = true;
    picture_strip(&nasty, s, 2, &t);
    assert_int_equal(count(t.s, "stroke=\"#555\" stroke-width=\"2.5\""), 2);
    text_clear(&t);
}

/* What no screen can show is said; b* of 150 is beyond any sRGB yellow. */
static void a_colour_outside_srgb_is_marked(void **state)
{
    const struct picture_swatch in = {.lab = red, .name = "1"},
                                beyond = {.lab = {80, 0, 150}, .name = "2"};
    struct text t = {0};

    (void)state;
    picture_strip(&nasty, &in, 1, &t);
    assert_int_equal(count(t.s, "outside sRGB"), 0);
    text_reset(&t);
    picture_strip(&nasty, &beyond, 1, &t);
    check_has(&t, ">outside sRGB<");
    text_clear(&t);
}

/* Names of colours that lie close are a line of text apart, and in the
 * picture, wherever the colours lie. */
static void names_on_the_map_are_clear_of_each_other(void **state)
{
    static const double corner[] = {-40, 0, 100};

    (void)state;
    for (size_t k = 0; k < ARRAY_LEN(corner); k++) {
        struct picture_dot dot[PICTURE_NAMED];
        struct text t = {0};
        double above = 0;
        const char *at;
        for (size_t i = 0; i < PICTURE_NAMED; i++)
            dot[i] = (struct picture_dot){{40, 10, corner[k]}, "name"};
        picture_map(&nasty, dot, PICTURE_NAMED, NULL, &t);
        at = strstr(t.s, "paint-order");
        at = strstr(at + 1, "paint-order"); /* those at the right */
        for (size_t i = 0; i < PICTURE_NAMED; i++) {
            at = strstr(at + 1, "<text");
            assert_non_null(at);
            const double y = strtod(strstr(at, " y=\"") + 4, NULL);
            assert_true(y >= above + 18 && y <= 560);
            above = y;
        }
        text_clear(&t);
    }
}

/* The d of each mark and the dashes of each line are in no other's. */
static void each_curve_has_its_own_mark_and_line(void **state)
{
    const struct picture_point point[2] = {
        {.seen = 1, .line = 1, .low = 1, .high = 1, .lab = red},
        {.seen = 0.5, .line = 0.5, .low = 0.5, .high = 0.5, .lab = red}};
    struct picture_curve curve[PICTURE_CURVES];
    struct text t = {0};
    char mark[PICTURE_CURVES][80];
    const char *at;

    (void)state;
    for (size_t i = 0; i < PICTURE_CURVES; i++)
        curve[i] = (struct picture_curve){
            .name = "a", .line = "b", .points = 2, .point = point};
    picture_curves(&nasty, curve, PICTURE_CURVES, &t);
    at = strstr(t.s, "stroke-dasharray");
    for (size_t i = 0; i < PICTURE_CURVES; i++) {
        snprintf(mark[i], sizeof mark[i], "%.*s",
                 (int)strcspn(at + 18, "\"") + 18, at);
        for (size_t k = 0; k < i; k++)
            assert_string_not_equal(mark[i], mark[k]);
        at = strstr(at + 1, "stroke-dasharray");
    }
    at = strstr(t.s, "<path transform");
    for (size_t i = 0; i < PICTURE_CURVES; i++) {
        const char *d = strstr(at, " d=");
        snprintf(mark[i], sizeof mark[i], "%.*s", (int)strcspn(d + 4, "\""),
                 d + 4);
        for (size_t k = 0; k < i; k++)
            assert_string_not_equal(mark[i], mark[k]);
        at = strstr(at + 1, "<path transform"); /* two marks a curve */
        at = strstr(at + 1, "<path transform");
    }
    text_clear(&t);
}

/* ---- of a book -------------------------------------------------------------
 */

static void read_colour(const char *skein, const char *lab)
{
    ADD(NOUN_READING, {"skein", skein}, {"lab", lab}, {"illuminant", "D50"},
        {"observer", "2"}, {"geometry", "45/0"});
}

static void madder_kettle(void)
{
    static const char *const rounds[] = {"first", "exhaust 1", "exhaust 2"};
    static const char *const labs[] = {"40,46,30", "48,42,29", "57,34,25"};

    ADD(NOUN_MATERIAL, {"name", "madder"});
    ADD(NOUN_MATERIAL, {"name", "alum"}, {"kind", "mordant"});
    ADD(NOUN_FIBRE, {"name", "wool"});
    ask_pot("kettle", "100 %");
    for (int i = 0; i < 3; i++) {
        char skein[8], treatment[8];
        const int64_t t = ask_dye("kettle", rounds[i], NULL);
        struct record_value fibre = {"fibre", "wool"};
        struct error err;

        snprintf(skein, sizeof skein, "%d", i + 1);
        snprintf(treatment, sizeof treatment, "#%lld", (long long)t);
        ADD(NOUN_DOSE, {"material", "alum"}, {"treatment", treatment},
            {"role", "mordant"});
        check_ok(book_act_begin(ask_book, "test", &err), &err);
        check_ok(
            record_edit(ask_book, NOUN_SKEIN, i + 1, &fibre, 1, NULL, &err),
            &err);
        check_ok(book_act_end(ask_book, &err), &err);
        read_colour(skein, labs[i]);
    }
}

static struct fade fade_of(int64_t bath)
{
    struct ask_filter any = ask_filter_any();
    struct fade f;
    struct error err;

    check_ok(ask_fade(ask_book, bath, &any, (double)NAN, &f, &err), &err);
    return f;
}

static void a_fade_is_drawn_as_strength_when_it_can_be(void **state)
{
    struct fade f;
    struct text t = {0};

    (void)state;
    madder_kettle();
    f = fade_of(1);
    picture_of_fades(&f, 1, &t);
    fade_clear(&f);
    check_well_formed(t.s);
    check_has(&t, "colours alone");
    check_has(&t, "<desc>alum, first bath dark reddish orange, exhaust 1 "
                  "moderate red, exhaust 2 ");
    check_has(&t, "exhaust 2");
    ADD(NOUN_READING, {"fibre", "wool"}, {"lab", "85,1.5,12"},
        {"illuminant", "D50"}, {"observer", "2"}, {"geometry", "45/0"});
    f = fade_of(1);
    text_reset(&t);
    picture_of_fades(&f, 1, &t);
    check_well_formed(t.s);
    check_has(&t, "<desc>alum: each bath about");
    check_has(&t, ">exhaust 3<"); /* the one foretold */
    assert_int_equal(count(t.s, "<path transform"), 3 + 1 + 1); /* and key */
    fade_clear(&f);
    text_clear(&t);
}

/* The line's own error is that of a straight line through points: at the mean
 * of three rounds with like errors it is that of their mean, and it grows away
 * from there (any book on least squares). */
static void the_band_is_narrowest_in_the_middle(void **state)
{
    struct fade f;
    const struct exhaust *e;

    (void)state;
    madder_kettle();
    ADD(NOUN_READING, {"fibre", "wool"}, {"lab", "85,1.5,12"},
        {"illuminant", "D50"}, {"observer", "2"}, {"geometry", "45/0"});
    f = fade_of(1);
    e = &f.lane[0].stretch[0].fit;
    assert_int_equal(e->state, EXHAUST_FITTED);
    assert_true(e->u_line[1] > 0);
    assert_true(e->u_line[1] < e->u_line[0] && e->u_line[1] < e->u_line[2]);
    assert_true(e->u_line[3] > e->u_line[2]);
    fade_clear(&f);
}

static void every_picture_says_which_skeins_it_shows(void **state)
{
    struct grid_request g = {.filter = ask_filter_any(),
                             .rows = GRID_DYESTUFF,
                             .columns = GRID_ROUND,
                             .tolerance = 2};
    struct palette_ask p = {.filter = ask_filter_any(),
                            .request = {.aim = PALETTE_APART, .members = 2}};
    struct find_request r = {.filter = ask_filter_any(),
                             .has_target = true,
                             .target = red,
                             .tolerance = 2};
    struct grid grid;
    struct palette_answer palette;
    struct find_answer found;
    struct ask_skeins all;
    struct text t = {0};
    struct error err;

    (void)state;
    madder_kettle();
    check_ok(ask_grid(ask_book, &g, &grid, &err), &err);
    picture_of_grid(&grid, g.rows, g.columns, &t);
    check_well_formed(t.s);
    check_has(&t, "madder, exhaust 1: moderate red.");
    grid_clear(&grid);
    text_reset(&t);
    check_ok(ask_palette(ask_book, &p, &palette, &err), &err);
    picture_of_palette(&palette, &t);
    check_well_formed(t.s);
    check_has(&t, "skein 3, ");
    check_has(&t, "skein 1, ");
    palette_answer_clear(&palette);
    text_reset(&t);
    check_ok(ask_find(ask_book, &r, &found, &err), &err);
    picture_of_find(&found, NULL, &red, &t);
    check_well_formed(t.s);
    check_has(&t, "The cross is what was asked for, L 45 a 50 b 30.");
    check_has(&t, ">asked for<");
    check_has(&t, "skein 2, ");
    find_answer_clear(&found);
    text_reset(&t);
    ADD(NOUN_SKEIN, {"name", "bare"});
    check_ok(ask_skeins(ask_book, &r.filter, 0, &all, &err), &err);
    picture_of_rack(&all, &t);
    check_well_formed(t.s);
    check_has(&t, " 4: not measured.");
    check_has(&t, ">bath 1 kettle<");
    check_has(&t, ">in no bath<");
    ask_skeins_free(&all);
    text_clear(&t);
}

#define T(f) cmocka_unit_test_setup_teardown(f, ask_book_open, ask_book_close)

/* The mark of grade 5 is at the right end of the scale, of 1 at the left, and
 * the grade is a word as well. */
static void a_test_is_drawn_where_its_grade_is(void **state)
{
    struct fast_request r = {.filter = ask_filter_any(), .today = {2026, 6, 1}};
    struct fast_answer a;
    struct text t = {0};
    struct error err;
    double mark[2], number[2];
    char *at;

    (void)state;
    madder_kettle();
    ADD(NOUN_READING, {"skein", "1"}, {"part", "covered"}, {"lab", "40,44,25"},
        {"illuminant", "D50"}, {"observer", "2"}, {"geometry", "45/0"});
    ADD(NOUN_READING, {"skein", "1"}, {"part", "exposed"}, {"lab", "90,-4,2"},
        {"illuminant", "D50"}, {"observer", "2"}, {"geometry", "45/0"});
    ADD(NOUN_READING, {"skein", "2"}, {"part", "covered"}, {"lab", "50,44,25"},
        {"illuminant", "D50"}, {"observer", "2"}, {"geometry", "45/0"});
    ADD(NOUN_READING, {"skein", "2"}, {"part", "exposed"}, {"lab", "50,44,25"},
        {"illuminant", "D50"}, {"observer", "2"}, {"geometry", "45/0"});
    ADD(NOUN_TEST, {"skein", "1"}, {"start", "2025-01-01"});
    ADD(NOUN_TEST, {"skein", "2"}, {"start", "2025-01-01"});
    check_ok(ask_fastness(ask_book, &r, &a, &err), &err);
    assert_int_equal(a.graded, 2);
    picture_of_fastness(&a, &t);
    check_well_formed(t.s);
    check_has(&t, ">2, light: 5");
    check_has(&t, ">1, light: 1<");
    check_has(&t, "was L 40 a 44 b 25, is L 90 a -4 b 2");
    at = t.s;
    for (int i = 0; i < 2; i++) { /* the fastest first */
        at = strstr(at, "<path d=\"M");
        assert_non_null(at);
        mark[i] = strtod(at += strlen("<path d=\"M"), NULL);
    }
    for (int i = 0; i < 2; i++) {
        const char *end = strstr(t.s, i ? ">1</text>" : ">5</text>");
        while (strncmp(end, "x=\"", 3) != 0)
            end--;
        number[i] = strtod(end + 3, NULL);
    }
    check_near("5", mark[0], number[0], 0.05);
    check_near("1", mark[1], number[1], 0.05);
    fast_answer_clear(&a);
    text_clear(&t);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_names_have_in_them_stays_text),
        cmocka_unit_test(nothing_at_all_is_a_picture_too),
        cmocka_unit_test(a_strip_shows_the_same_in_grey),
        cmocka_unit_test(what_is_foretold_is_striped),
        cmocka_unit_test(a_colour_outside_srgb_is_marked),
        cmocka_unit_test(names_on_the_map_are_clear_of_each_other),
        cmocka_unit_test(each_curve_has_its_own_mark_and_line),
        T(a_fade_is_drawn_as_strength_when_it_can_be),
        T(the_band_is_narrowest_in_the_middle),
        T(every_picture_says_which_skeins_it_shows),
        T(a_test_is_drawn_where_its_grade_is),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
