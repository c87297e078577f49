/*
 * What goes wrong with photographs out in the world, each case measured whole:
 * the file is one good picture, spoilt, and its row's number is that of the
 * list in tests/pitfall-rows.test.sh, which says where every other one is
 * proven. Profiles and codings: test_pitfalls_colour.c.
 */
#include "picture.h"

#include "jpeg_make.h"

enum { TEXT = 2, SHORT = 3, LONG = 4 };

static const struct box both[2] = {{340, 60, 240, 160}, {60, 280, 200, 160}};

static struct jpeg_bytes plain_jpeg(void)
{
    const struct picture p = picture_plain();
    struct jpeg_bytes j = {0};

    j.data = picture_jpeg(&p, &j.size);
    return j;
}

static struct measure_result *result_of(const struct jpeg_bytes *j, bool *ok,
                                        struct error *err)
{
    const struct measure_request request = request_for(both, 2);
    struct measure_result *r = mem_new(1, sizeof *r);

    *ok = measure_jpeg(j->data, j->size, &request, r, err);
    return r;
}

/* ---- Exif, in place of the picture's own -------------------------------- */

static void new_app1(struct jpeg_bytes *j, const void *body, size_t n)
{
    const size_t at = jpeg_find(j, 0xE1);

    jpeg_remove(j, at, 2 + ((size_t)j->data[at + 2] << 8 | j->data[at + 3]));
    jpeg_add(j, 0xE1, body, n);
}

static const struct exif_field make = {EXIF_IFD0, 0x010F, TEXT, 0, "Own", {0}};
static const struct exif_field srgb = {EXIF_SUB, 0xA001, SHORT, 1, NULL, {1}};

/* A camera and its colour space, and one field more. */
static void new_exif(struct jpeg_bytes *j, bool big, struct exif_field more)
{
    const struct exif_field fields[] = {make, more, srgb};
    unsigned char body[512];

    new_app1(j, body, exif_make(big, fields, 3, body, sizeof body));
}

static void turned(struct jpeg_bytes *j, int how)
{
    new_exif(
        j, false,
        (struct exif_field){
            .tag = 0x0112, .type = SHORT, .count = 1, .n = {(uint32_t)how}});
}

static void turned_in_text(struct jpeg_bytes *j, int how)
{
    (void)how;
    new_exif(j, true,
             (struct exif_field){.tag = 0x0112, .type = TEXT, .text = "6"});
}

static void saved_by_an_editor(struct jpeg_bytes *j, int how)
{
    (void)how;
    new_exif(j, false,
             (struct exif_field){.tag = 0x0131, .type = TEXT, .text = "GIMP"});
}

static void without_a_make(struct jpeg_bytes *j, int how)
{
    unsigned char body[256];

    (void)how;
    new_app1(j, body, exif_make(false, &srgb, 1, body, sizeof body));
}

/* TIFF offsets of what exif_make writes for a field and a folder: count at 8,
 * the folder's pointer at 10, the field at 22, the next directory at 34, the
 * folder at 38. */
static size_t small_exif(unsigned char body[128])
{
    const struct exif_field fields[] = {
        {.tag = 0x0112, .type = SHORT, .count = 1, .n = {1}}, srgb};

    return exif_make(false, fields, 2, body, 128);
}

static const struct {
    size_t at; /* in the TIFF part; its length when it is to be cut */
    const char *bytes;
    size_t n;
} exif_faults[] = {
    {0, "XX", 2},
    {34, "\x08\0\0\0", 4}, /* the next directory is the first */
    {18, "\x08\0\0\0", 4}, /* its folder is the first */
    {20, NULL, 0},         /* cut inside the fields */
    {10, "\x0F\1\2\0\xFF\xFF\xFF\xFF\x0A\0\0\0", 12}, /* a make of 4 GB */
};

static void exif_fault(struct jpeg_bytes *j, int how)
{
    unsigned char body[128];
    size_t n = small_exif(body);

    if (exif_faults[how].bytes)
        memcpy(body + 6 + exif_faults[how].at, exif_faults[how].bytes,
               exif_faults[how].n);
    else
        n = 6 + exif_faults[how].at;
    new_app1(j, body, n);
}

/* A segment as large as one can be, all of it fields: pointers to the three
 * folders, all of them this directory again, or names of nothing. */
static void exif_of_65_kb(struct jpeg_bytes *j, int pointers)
{
    static const char *const folder[] = {"\x87\x69", "\x88\x25", "\xA0\x05"};
    static unsigned char body[65533] = "Exif\0\0MM\0*\0\0\0\x08\x15\x52";
    int i = 0;

    for (size_t at = 16; at + 12 <= sizeof body; at += 12, i++) {
        memcpy(body + at, pointers ? folder[i % 3] : "\xC0\0", 2);
        memcpy(body + at + 2, "\0\4\0\0\0\1\0\0\0\x08", 10);
    }
    new_app1(j, body, sizeof body);
}

static void two_exifs(struct jpeg_bytes *j, int how)
{
    unsigned char body[128];

    (void)how;
    jpeg_add_before(j, 0xDB, 0xE1, body, small_exif(body));
}

/* A preview of another picture in the second directory: Exif 2.32, 4.5.8. */
static void other_thumbnail(struct jpeg_bytes *j, int how)
{
    const struct exif_field more = {
        .tag = 0x0112, .type = SHORT, .count = 1, .n = {1}};
    const struct exif_field fields[] = {make, more, srgb};
    struct jpeg_bytes small = jpeg_plain();
    unsigned char *body = mem_new(65533, 1);
    const size_t n = exif_make(false, fields, 3, body, 65533), at = n - 6;
    unsigned char ifd[30] = "\2\0\1\2\4\0\1\0\0\0";

    (void)how;
    body[6 + 8 + 2 + 36] = (unsigned char)at; /* the next directory */
    body[6 + 8 + 2 + 37] = (unsigned char)(at >> 8);
    ifd[10] = (unsigned char)(at + sizeof ifd);
    ifd[11] = (unsigned char)((at + sizeof ifd) >> 8);
    memcpy(ifd + 14, "\2\2\4\0\1\0\0\0", 8);
    ifd[22] = (unsigned char)small.size;
    ifd[23] = (unsigned char)(small.size >> 8);
    memcpy(body + n, ifd, sizeof ifd);
    memcpy(body + n + sizeof ifd, small.data, small.size);
    new_app1(j, body, n + sizeof ifd + small.size);
    free(body);
    free(small.data);
}

/* ---- other segments, and what follows the picture ----------------------- */

#define XMP "http://ns.adobe.com/xap/1.0/\0"

static void add_xmp(struct jpeg_bytes *j, const char *text)
{
    char body[200] = XMP;

    memcpy(body + sizeof XMP - 1, text, strlen(text));
    jpeg_add(j, 0xE1, body, sizeof XMP - 1 + strlen(text));
}

static void other_turn_in_xmp(struct jpeg_bytes *j, int how)
{
    (void)how;
    add_xmp(j, "<x tiff:Orientation=\"6\"/>");
}

/* A second picture behind the first, with this in its XMP. */
static void second_picture(struct jpeg_bytes *j, const char *xmp)
{
    struct jpeg_bytes second = jpeg_plain();
    size_t at[2] = {0};

    add_xmp(&second, xmp);
    at[0] = j->size + 46 + 32 - 10; /* from the MPF segment's TIFF header */
    jpeg_add_mpf(j, 2, 2, at);
    jpeg_insert(j, j->size, second.data, second.size);
    free(second.data);
}

static void preview_behind(struct jpeg_bytes *j, int how)
{
    (void)how;
    second_picture(j, "<x/>");
}

static void moving_picture(struct jpeg_bytes *j, int how)
{
    static const unsigned char video[5016] = "\0\0\0\x18"
                                             "ftypmp42\xFF\xD8\xFF";

    (void)how;
    add_xmp(j, "<x Item:Semantic=\"Primary\"/><x Item:Mime=\"video/mp4\" "
               "Item:Semantic=\"MotionPhoto\"/>");
    jpeg_insert(j, j->size, video, sizeof video);
}

/* Tables of two bytes a step (T.81 B.2.4.1), the steps as they were. */
static void wide_tables(struct jpeg_bytes *j, int how)
{
    size_t at;

    (void)how;
    j->data[jpeg_find(j, 0xC0) + 1] = 0xC1;
    while ((at = jpeg_find(j, 0xDB)) != 0) {
        unsigned char wide[129] = {0};

        assert_int_equal(j->data[at + 3], 67); /* one table a segment */
        wide[0] = j->data[at + 4] | 0x10;
        for (size_t i = 0; i < 64; i++)
            wide[2 + 2 * i] = j->data[at + 5 + i];
        jpeg_remove(j, at, 69);
        jpeg_add_before(j, 0xC1, 0xFE, wide, sizeof wide); /* for now */
    }
    while ((at = jpeg_find(j, 0xFE)) != 0)
        j->data[at + 1] = 0xDB;
}

static void cut(struct jpeg_bytes *j, int bytes)
{
    j->size -= (size_t)bytes;
}

/* ---- the table ---------------------------------------------------------- */

/* Measured every one: the first skein as in the good picture to the last
 * digit. note: in the one thing said more, or NULL for silence. */
static const struct {
    const char *row;
    void (*spoil)(struct jpeg_bytes *j, int how);
    int how;
    const char *note;
} rows[] = {
    {"9 turn 0", turned, 0, "which way is up makes no sense"},
    {"9 turn 9", turned, 9, "which way is up makes no sense"},
    {"9 turn 65535", turned, 65535, "which way is up makes no sense"},
    {"9 turn in text", turned_in_text, 0, "which way is up makes no sense"},
    {"11 byte order XX", exif_fault, 0, "(Exif) are damaged"},
    {"12 next directory", exif_fault, 1, "(Exif) are damaged"},
    {"12 pointer", exif_fault, 2, "(Exif) are damaged"},
    {"13 thousands of pointers", exif_of_65_kb, 1, "(Exif) are damaged"},
    {"14 thousands of fields", exif_of_65_kb, 0, "(Exif) are damaged"},
    {"14 cut", exif_fault, 3, "(Exif) are damaged"},
    {"14 a make of 4 GB", exif_fault, 4, "(Exif) are damaged"},
    {"15 two", two_exifs, 0, "two sets of camera notes"},
    {"16 thumbnail", other_thumbnail, 0, NULL},
    {"17 XMP", other_turn_in_xmp, 0, "Two places in the file disagree"},
    {"18 preview", preview_behind, 0, "holds several pictures"},
    {"21 video", moving_picture, 0, NULL},
    {"34 20 bytes", cut, 20, "missing or damaged"},
    {"35 2 bytes", cut, 2, "but its picture is all there"},
    {"63 editor", saved_by_an_editor, 0, "saved by a picture editor"},
    {"63 no make", without_a_make, 0, "does not say which camera"},
    {"65 wide tables", wide_tables, 0, NULL},
};

static void check_same(const char *row, struct lab got, struct lab want)
{
    check_near(row, got.L, want.L, 0);
    check_near(row, got.a, want.a, 0);
    check_near(row, got.b, want.b, 0);
}

static void test_spoilt_files_measure_as_the_good_one(void **state)
{
    struct jpeg_bytes good = plain_jpeg();
    struct error err = {0};
    bool ok;
    struct measure_result *want = result_of(&good, &ok, &err), *r;

    (void)state;
    check_ok(ok, &err);
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct jpeg_bytes j = {0};

        jpeg_insert(&j, 0, good.data, good.size);
        rows[i].spoil(&j, rows[i].how);
        r = result_of(&j, &ok, &err);
        if (!ok)
            fail_msg("%s: %s", rows[i].row, err.text);
        if (rows[i].note && !notes_say(&r->card_notes, rows[i].note))
            fail_msg("%s: \"%s\" was not said", rows[i].row, rows[i].note);
        if (!rows[i].note && r->card_notes.count)
            fail_msg("%s: %s", rows[i].row, r->card_notes.text[0]);
        for (int k = 0; k < 2; k++)
            check_same(rows[i].row, r->region[k].lab, want->region[k].lab);
        free(r);
        free(j.data);
    }
    free(want);
    free(good.data);
}

/* Row 10: a turn of type LONG, in big-endian Exif. */
static void test_a_turn_in_another_type_and_order_is_followed(void **state)
{
    struct picture p = picture_plain();
    struct jpeg_bytes j = {0};
    struct measure_result *r, *want = measured(&p);
    struct error err = {0};
    bool ok;

    (void)state;
    p.orientation = 6;
    j.data = picture_jpeg(&p, &j.size);
    new_exif(
        &j, true,
        (struct exif_field){.tag = 0x0112, .type = LONG, .count = 1, .n = {6}});
    r = result_of(&j, &ok, &err);
    check_ok(ok, &err);
    assert_int_equal(r->card_notes.count, 0);
    check_near("turned", lab_de00(r->region[0].lab, want->region[0].lab), 0,
               0.01); /* as in test_measure.c: JPEG blocks lie otherwise */
    free(r);
    free(want);
    free(j.data);
}

/* Row 19: the segment of ISO 21496-1, XMP, and the older form in a second
 * picture. Row 20: such an APP2 is no profile. The base picture is read, and
 * its tone curve is less sure: 0.45 for 0.30 (docs/colour.md, B3). */
static void test_gain_maps_leave_the_colour_and_widen_the_tone(void **state)
{
    struct jpeg_bytes good = plain_jpeg();
    struct error err = {0};
    bool ok;
    struct measure_result *want = result_of(&good, &ok, &err), *r;

    (void)state;
    check_ok(ok, &err);
    for (int form = 0; form < 3; form++) {
        struct jpeg_bytes j = {0};

        jpeg_insert(&j, 0, good.data, good.size);
        if (form == 0)
            jpeg_add(&j, 0xE2, "urn:iso:std:iso:ts:21496:-1\0\0\0\0\0", 32);
        if (form == 1)
            add_xmp(&j, "<x hdrgm:Version=\"1.0\"/>");
        if (form == 2)
            second_picture(&j, "<HDRGainMap:HDRGainMapVersion>");
        r = result_of(&j, &ok, &err);
        check_ok(ok, &err);
        assert_int_equal(r->card_notes.count, 1);
        assert_true(notes_say(&r->card_notes, "An HDR photo"));
        check_text("profile", r->rule, "Exif says sRGB");
        for (int k = 0; k < 2; k++) {
            check_same("gain map", r->region[k].lab, want->region[k].lab);
            check_near("tone", sqrt(r->region[k].part[MEASURE_TONE].LL),
                       1.5 * sqrt(want->region[k].part[MEASURE_TONE].LL), 1e-9);
        }
        free(r);
        free(j.data);
    }
    free(want);
    free(good.data);
}

/* Row 34: of what lies above the last rows nothing is lost; a box that reaches
 * into them is refused, alone. Row 33: a card in the missing half refuses all,
 * and it is said how much there is. */
static void test_a_cut_file_says_what_is_left(void **state)
{
    static const struct box low[2] = {{340, 60, 240, 160}, {60, 300, 200, 180}};
    struct measure_request request = request_for(low, 2);
    struct measure_result *r = mem_new(1, sizeof *r);
    struct jpeg_bytes j = plain_jpeg();
    struct error err = {0};
    const size_t size = j.size;

    (void)state;
    j.size = size - 20;
    check_ok(measure_jpeg(j.data, j.size, &request, r, &err), &err);
    assert_false(r->region[0].refused);
    assert_true(strstr(r->region[1].why, "damaged where this box lies"));
    j.size = size / 2;
    request.card_box = lower_box;
    assert_false(measure_jpeg(j.data, j.size, &request, r, &err));
    assert_true(strstr(err.text, "damaged where the card lies"));
    assert_true(strstr(err.text, "of its 480 rows"));
    free(r);
    free(j.data);
}

/* Row 58: with the mark of Adobe and without, inks as they are or as YCCK
 * (T.872, table 6): none of them is a camera's. */
static void test_pictures_for_print_are_refused(void **state)
{
    (void)state;
    for (int form = 0; form < 3; form++) {
        struct jpeg_bytes j = jpeg_make(&(struct jpeg_recipe){.components = 4});
        const size_t at = jpeg_find(&j, 0xEE);
        struct error err = {0};
        struct measure_result *r;
        bool ok;

        assert_true(at > 0);
        if (form == 1)
            jpeg_remove(&j, at, 16);
        if (form == 2)
            j.data[at + 15] = 2;
        r = result_of(&j, &ok, &err);
        assert_false(ok);
        assert_int_equal(err.kind, ERR_INPUT);
        assert_true(strstr(err.text, "converted for print"));
        free(r);
        free(j.data);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_spoilt_files_measure_as_the_good_one),
        cmocka_unit_test(test_a_turn_in_another_type_and_order_is_followed),
        cmocka_unit_test(test_gain_maps_leave_the_colour_and_widen_the_tone),
        cmocka_unit_test(test_a_cut_file_says_what_is_left),
        cmocka_unit_test(test_pictures_for_print_are_refused),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
