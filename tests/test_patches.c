/* src/colour/patches.c: files of known colours, CGATS and CSV. */
#include "support.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "colour/patches.h"

static bool reads(const char *text, struct patches *out, struct error *err)
{
    return patches_read((const unsigned char *)text, strlen(text), out, err);
}

/* The keywords are those of ANSI CGATS.17 (from memory; ISO 28178 has the same
 * ones): what a maker's file looks like. */
#define HEAD                                                                   \
    "CGATS.17\nORIGINATOR \"a dyer\"\n%s"                                      \
    "NUMBER_OF_FIELDS 5\nBEGIN_DATA_FORMAT\n"                                  \
    "SAMPLE_ID SAMPLE_NAME LAB_L LAB_A LAB_B\nEND_DATA_FORMAT\n"               \
    "NUMBER_OF_SETS 3\nBEGIN_DATA\n"                                           \
    "1 A1 37.54 14.37 14.92\n2 A2 64.66 19.27 17.50\n3 B1 95.2 -1.0 2.9\n"     \
    "END_DATA\n"

static void cgats(char out[1024], const char *more)
{
    snprintf(out, 1024, HEAD, more);
}

static void test_cgats_text_is_read(void **state)
{
    struct patches *p = mem_new(1, sizeof *p);
    struct error err = {0};
    char text[1024];

    (void)state;
    cgats(text, "");
    check_ok(reads(text, p, &err), &err);
    assert_int_equal(p->count, 3);
    check_text("id", p->patch[0].id, "1");
    check_near("L", p->patch[0].lab.L, 37.54, 0);
    check_near("a", p->patch[1].lab.a, 19.27, 0);
    check_near("b", p->patch[2].lab.b, 2.9, 0);
    assert_false(p->patch[0].placed || p->adapted);
    free(p);
}

static void test_csv_is_read(void **state)
{
    static const struct {
        const char *text;
        int row, column;
        bool placed;
    } rows[] = {
        {"id,L,a,b\nB4,49.5,-0.25,0.5\n", 2, 4, false},
        {"L,a,b\n49.5,-0.25,0.5", 0, 0, false},
        {"\xEF\xBB\xBF"
         "Sample_Name;LAB_L;LAB_A;LAB_B\r\nAA3;49,5;-0,25;0,5\r\n",
         27, 3, false},
        {"id\trow\tcolumn\tL*\ta*\tb*\n7\t2\t1\t49.5\t-0.25\t0.5\n", 2, 1,
         false},
        {"id,x,y,w,h,L,a,b,light\n\"grey, dark\",1,2,3,4,49.5,-0.25,.5,\"a\"\n",
         0, 0, true},
        {"b,a,L,id\n\n0.5,-0.25,49.5,\"A \"\"x\"\"\"\n,,,\n", 0, 0, false},
    };
    struct patches *p = mem_new(1, sizeof *p);

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct error err = {0};

        check_ok(reads(rows[i].text, p, &err), &err);
        assert_int_equal(p->count, 1);
        check_near(rows[i].text, p->patch[0].lab.L, 49.5, 0);
        check_near(rows[i].text, p->patch[0].lab.a, -0.25, 0);
        check_near(rows[i].text, p->patch[0].lab.b, 0.5, 0);
        assert_int_equal(p->patch[0].row, rows[i].row);
        assert_int_equal(p->patch[0].column, rows[i].column);
        assert_int_equal(p->patch[0].placed, rows[i].placed);
    }
    free(p);
}

/* Between D65 and D50 a grey stays what it is; a colour has no way. Other
 * illuminants and the 10 degree observer are another quantity (CIE 15:2018). */
static void test_another_light_is_told(void **state)
{
    static const struct {
        const char *words, *say; /* NULL: read */
    } rows[] = {
        {"ILLUMINANT \"D50\"\n", NULL},
        {"WEIGHTING_FUNCTION \"ILLUMINANT, D50\"\n"
         "WEIGHTING_FUNCTION \"OBSERVER, 2 degree\"\n",
         NULL},
        {"ILLUMINANT \"A\"\n", "illuminant A"},
        {"ILLUMINANT \"D65\"\n", "patch 1 is none"},
        {"OBSERVER \"10\"\n", "10 degree observer"},
    };
    struct patches *p = mem_new(1, sizeof *p);
    struct error err;

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        char text[1024];
        bool ok;

        cgats(text, rows[i].words);
        err = (struct error){0};
        ok = reads(text, p, &err);
        assert_int_equal(ok, rows[i].say == NULL);
        if (rows[i].say && !strstr(err.text, rows[i].say))
            fail_msg("\"%s\" is not in \"%s\"", rows[i].say, err.text);
    }
    check_ok(reads("L,a,b,illuminant,observer\n50,0,0,D65,2\n80,1,-1,D65,2\n",
                   p, &err),
             &err);
    assert_true(p->adapted);
    check_near("L", p->patch[0].lab.L, 50, 1e-3);
    check_near("C", hypot(p->patch[0].lab.a, p->patch[0].lab.b), 0, 0.02);
    check_near("a stays near", p->patch[1].lab.a, 1, 0.2);
    free(p);
}

static void test_what_is_no_list_is_refused(void **state)
{
    static const struct {
        const char *text, *say;
    } rows[] = {
        {"", "it is empty"},
        {"hello\nworld\n", "columns L, a and b"},
        {"id,L,a\n1,2,3\n", "columns L, a and b"},
        {"id,L,a,b\n", "holds no patch"},
        {"id,L,a,b\nA1,fifty,0,0\n", "patch A1: \"fifty\" is no L*"},
        {"id,L,a,b\nA1,50,0\n", "patch A1: \"\" is no b*"},
        {"L,a,b\n50,0,0\n500,0,0\n", "its 2th patch: \"500\" is no L*"},
        {"L,a,b\n50,nan,0\n", "is no a*"},
        {"x,y,w,h,L,a,b\n1,2,0,4,50,0,0\n", "\"0\" is no width"},
        {"row,column,L,a,b\n-1,2,50,0,0\n", "is no row"},
        {"CGATS.17\nNUMBER_OF_FIELDS 2\nBEGIN_DATA_FORMAT\nSAMPLE_ID "
         "XYZ_X\nEND_DATA_FORMAT\n"
         "NUMBER_OF_SETS 1\nBEGIN_DATA\n1 2\nEND_DATA\n",
         "LAB_L"},
        {"CGATS.17\nBEGIN_DATA\n1 2 3\n", "neither CGATS text nor CSV"},
        {"CGATS.17\n.INCLUDE \"/etc/passwd\"\nBEGIN_DATA\n", "another file"},
        {"CGATS.17\n$include \"/etc/passwd\"\nBEGIN_DATA\n", "another file"},
    };
    struct patches *p = mem_new(1, sizeof *p);
    struct error err = {0};

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        if (reads(rows[i].text, p, &err))
            fail_msg("read: %s", rows[i].text);
        if (!strstr(err.text, rows[i].say))
            fail_msg("\"%s\" is not in \"%s\"", rows[i].say, err.text);
    }
    assert_false(patches_read((const unsigned char *)"L,a\0b", 5, p, &err));
    free(p);
}

static void test_too_many_patches_are_refused(void **state)
{
    struct patches *p = mem_new(1, sizeof *p);
    const size_t size = 8 + 7 * (PATCHES_MOST + 1);
    char *text = mem_new(size, 1);
    struct error err = {0};

    (void)state;
    strcpy(text, "L,a,b\n");
    for (int i = 0; i < PATCHES_MOST; i++)
        strcat(text, "50,0,0\n");
    check_ok(reads(text, p, &err), &err);
    assert_int_equal(p->count, PATCHES_MOST);
    strcat(text, "50,0,0\n");
    assert_false(reads(text, p, &err));
    assert_int_equal(err.kind, ERR_LIMIT);
    free(text);
    free(p);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_cgats_text_is_read),
        cmocka_unit_test(test_csv_is_read),
        cmocka_unit_test(test_another_light_is_told),
        cmocka_unit_test(test_what_is_no_list_is_refused),
        cmocka_unit_test(test_too_many_patches_are_refused),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
