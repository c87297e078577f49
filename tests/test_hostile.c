/*
 * Photos that somebody spoiled, by chance or on purpose, through the whole way
 * of a measurement: opened, looked through for a card and skeins, measured, a
 * small copy made. Each in a process of its own, as the page does it: it ends
 * by itself, says in one line what is wrong or measures, and takes at most 1.5
 * times the memory of the decoded picture and 64 MiB.
 *
 * HANKLAB_TEST_HOSTILE says how many; "make hostile" has a hundred thousand.
 */
#define _DEFAULT_SOURCE /* wait4 */

#include "jpeg_make.h"
#include "support.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include "base/text.h"
#include "measure/find.h"
#include "measure/measure.h"
#include "photo/copy.h"
#include "photo/preview.h"

#if defined(__has_feature)
#if __has_feature(address_sanitizer)
#define SANITIZED 1 /* its own memory is not ours */
#endif
#endif
#ifndef SANITIZED
#ifdef __SANITIZE_ADDRESS__
#define SANITIZED 1
#else
#define SANITIZED 0
#endif
#endif

enum { BASES = 16, FEW = 300, SECONDS = 60 };
#define MIB (1024.0 * 1024.0)

/* ---- one photo, in a process of its own -----------------------------------
 */

/* Where the boxes of fixtures/madder-alum.jpg lie, per 1600 pixels
 * (fixtures/truth.csv, its first row). */
static const double card_at[4] = {79, 338, 281, 403},
                    skein_at[4] = {490, 375, 172, 557};

/* What the process tells when it is done. */
static struct told {
    bool opened, measured;
    double decoded; /* bytes of the picture, 3 a pixel */
} told;

static struct box box_at(const double at[4], uint32_t width)
{
    const double k = width / 1600.0;

    return (struct box){(uint32_t)(at[0] * k), (uint32_t)(at[1] * k),
                        (uint32_t)(at[2] * k), (uint32_t)(at[3] * k)};
}

/* Refused in one line that is not ours to blame. */
static void must_say(const struct error *err)
{
    if (err->kind == ERR_NONE || err->kind == ERR_BUG || !err->text[0] ||
        strchr(err->text, '\n') || !text_is_utf8(err->text, strlen(err->text)))
        abort();
}

static void measure(const unsigned char *data, size_t size, uint32_t width)
{
    const struct box skein = box_at(skein_at, width);
    const struct measure_request request = {.card = measure_card_unknown(),
                                            .card_box = box_at(card_at, width),
                                            .region = &skein,
                                            .regions = 1,
                                            .assume = MEASURE_PROFILE_SRGB};
    const struct find_wanted wanted = {.proposes = true,
                                       .assume = MEASURE_PROFILE_SRGB};
    struct measure_result *result = mem_new(1, sizeof *result);
    struct find_result *found = mem_new(1, sizeof *found);
    struct error err = {0};

    if (!find_jpeg(data, size, &wanted, found, &err))
        must_say(&err);
    err.kind = ERR_NONE;
    told.measured = measure_jpeg(data, size, &request, result, &err);
    if (!told.measured)
        must_say(&err);
    free(result);
    free(found);
}

static void copy(const unsigned char *data, size_t size)
{
    unsigned char *out = NULL;
    size_t n;
    struct error err = {0};

    if (!photo_preview(data, size, 480, &out, &n, &err))
        must_say(&err);
    free(out);
    out = NULL;
    err.kind = ERR_NONE;
    if (!photo_copy(data, size, &out, &n, &err))
        must_say(&err);
    free(out);
}

static void all_of_it(const unsigned char *data, size_t size)
{
    struct photo photo;
    struct error err = {0};
    uint32_t width = 1600;

    told.opened = photo_open(data, size, &photo, &err);
    if (told.opened) {
        width = photo.width;
        told.decoded = 3.0 * photo.width * photo.height;
        photo_clear(&photo);
    } else {
        must_say(&err);
    }
    measure(data, size, width);
    copy(data, size);
}

/* Bytes at most that the process had in memory; fails the test, keeping the
 * photo, unless it ended well. data NULL: it does nothing. */
static double peak_of(const unsigned char *data, size_t size)
{
    struct rusage use;
    int status, ends[2];
    ssize_t n;
    pid_t pid;

    told = (struct told){0};
    assert_int_equal(pipe(ends), 0);
    fflush(NULL);
    pid = fork();
    assert_true(pid >= 0);
    if (pid == 0) {
        const struct rlimit seconds = {SECONDS, SECONDS};
        setrlimit(RLIMIT_CPU, &seconds);
        if (data)
            all_of_it(data, size);
        _exit(write(ends[1], &told, sizeof told) == sizeof told ? 0 : 1);
    }
    close(ends[1]);
    n = read(ends[0], &told, sizeof told); /* nothing when it was killed */
    close(ends[0]);
    assert_int_equal(wait4(pid, &status, 0, &use), pid);
    if (n != sizeof told || !WIFEXITED(status) || WEXITSTATUS(status)) {
        FILE *f = fopen("/tmp/hanklab-hostile.jpg", "wb");
        if (f && data)
            fwrite(data, 1, size, f);
        if (f)
            fclose(f);
        fail_msg("ended with %#x; the photo is /tmp/hanklab-hostile.jpg",
                 (unsigned)status);
    }
    return (double)use.ru_maxrss * 1024;
}

/* ---- spoiling -------------------------------------------------------------
 */

/* Always the same numbers: xorshift64, Marsaglia, J. Stat. Softw. 8 (2003) 14.
 */
static uint64_t chance_state = 88172645463325252u;

static size_t chance(size_t below)
{
    chance_state ^= chance_state << 13;
    chance_state ^= chance_state >> 7;
    chance_state ^= chance_state << 17;
    return below ? (size_t)(chance_state % below) : 0;
}

/* More often in what stands before the picture. */
static size_t somewhere(const struct jpeg_bytes *j)
{
    const size_t most = chance(3) ? j->size : j->size < 700 ? j->size : 700;

    return chance(most);
}

static void spoil_once(struct jpeg_bytes *j)
{
    static const unsigned char telling[] = {0x00, 0x01, 0x7F, 0x80, 0xFF,
                                            0xC0, 0xC2, 0xC4, 0xDA, 0xD9,
                                            0xDB, 0xDD, 0xE1, 0xE2};
    const size_t at = somewhere(j), n = 1 + chance(40);

    switch (chance(7)) {
    case 0:
        j->data[at] ^= (unsigned char)(1u << chance(8));
        break;
    case 1:
        j->data[at] = telling[chance(sizeof telling)];
        break;
    case 2:
        j->data[at] = (unsigned char)chance(256);
        break;
    case 3: /* a marker where there was none */
        j->data[at] = 0xFF;
        if (at + 1 < j->size)
            j->data[at + 1] = (unsigned char)(0xC0 + chance(64));
        break;
    case 4:
        if (at + n < j->size)
            jpeg_remove(j, at, n);
        break;
    case 5: { /* a piece twice */
        unsigned char piece[64];
        const size_t from = chance(j->size > 64 ? j->size - 64 : 1);
        if (j->size > 64) {
            memcpy(piece, j->data + from, n);
            jpeg_insert(j, at, piece, n);
        }
        break;
    }
    default: /* cut short, sometimes */
        if (!chance(8) && at > 4)
            j->size = at;
    }
}

static struct jpeg_bytes spoiled(const struct jpeg_bytes *base)
{
    struct jpeg_bytes j = {mem_new(base->size + 1, 1), base->size};

    memcpy(j.data, base->data, j.size);
    for (size_t times = 1 + chance(6); times; times--)
        spoil_once(&j);
    return j;
}

/* ---- what is spoiled ------------------------------------------------------
 */

static struct jpeg_bytes base[BASES];
static size_t bases;

/* A photo with a card and skeins, made small. */
static void add_small(const char *path, uint32_t longest)
{
    struct jpeg_bytes *j = &base[bases++];
    struct error err;
    size_t size;
    unsigned char *data = file_read(path, &size);

    check_ok(photo_preview(data, size, longest, &j->data, &j->size, &err),
             &err);
    free(data);
}

static int make_bases(void **state)
{
    static const struct jpeg_recipe recipe[] = {
        {.h = 2, .v = 2},
        {.progressive = true},
        {.progressive = true, .many_scans = true},
        {.h = 2, .v = 1, .restart_mcus = 3},
        {.arithmetic = true},
        {.components = 1},
        {.components = 4},
        {.rgb = true},
        {.separate_scans = true},
    };
    static const struct exif_field exif[] = {
        {EXIF_IFD0, 0x0110, 2, 0, "Some camera", {0}},
        {EXIF_IFD0, 0x0112, 3, 1, NULL, {6}},
        {EXIF_SUB, 0x829A, 5, 1, NULL, {1, 60}},
        {EXIF_GPS, 0x0002, 5, 3, NULL, {60, 1, 10, 1, 0, 1}},
    };
    unsigned char body[1024];
    size_t n;

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(recipe); i++)
        base[bases++] = jpeg_make(&recipe[i]);
    base[bases] = jpeg_plain();
    n = exif_make(true, exif, ARRAY_LEN(exif), body, sizeof body);
    jpeg_add(&base[bases++], 0xE1, body, n);
    for (int i = 0; i < 2; i++) { /* twice as often */
        add_small("fixtures/madder-alum.jpg", 480);
        add_small("fixtures/tansy-alum.jpg", 400);
    }
    return 0;
}

static int drop_bases(void **state)
{
    (void)state;
    for (size_t i = 0; i < bases; i++)
        free(base[i].data);
    return 0;
}

/* ---- tests ----------------------------------------------------------------
 */

static double allowed(void)
{
    return 1.5 * told.decoded + 64 * MIB;
}

static void test_a_spoiled_photo_ends_nothing_and_takes_little(void **state)
{
    const char *words = getenv("HANKLAB_TEST_HOSTILE");
    long long many = FEW;
    size_t opened = 0, measured = 0;
    double nothing = peak_of(NULL, 0), most = 0;

    (void)state;
    if (words && *words)
        assert_true(text_whole(words, &many) && many > 0);
    for (long long i = 0; i < many; i++) {
        struct jpeg_bytes j = spoiled(&base[(size_t)i % bases]);
        const double peak = peak_of(j.data, j.size) - nothing;
        if (!SANITIZED && peak > allowed())
            fail_msg("photo %lld took %.1f MiB, of which %.1f are the picture",
                     i, peak / MIB, told.decoded / MIB);
        if (peak - 1.5 * told.decoded > most)
            most = peak - 1.5 * told.decoded;
        opened += told.opened;
        measured += told.measured;
        free(j.data);
    }
    assert_true(opened > 0 && opened < (size_t)many);
    assert_true(measured > 0 && measured < opened);
    print_message("#   %lld spoiled photos: %zu opened, %zu measured, the "
                  "others refused; at most %.1f MiB beside 1.5 times the "
                  "picture\n",
                  many, opened, measured, most / MIB);
}

/*
 * Sound ones are larger. libjpeg keeps the coefficients of a progressive
 * picture, two bytes each: 1 time the decoded picture when colour is coded at a
 * quarter of the size, as cameras do, but 2 times when it is not. They are
 * packed where that is over the share.
 */
static void test_a_large_photo_takes_no_more_than_its_share(void **state)
{
    static const struct jpeg_recipe recipe[] = {
        {.width = 4000, .height = 3000, .h = 2, .v = 2},
        {.width = 4000, .height = 3000, .h = 2, .v = 2, .progressive = true},
        {.width = 4000, .height = 3000, .progressive = true},
        {.width = 8000, .height = 6000, .h = 2, .v = 2},
        {.width = 8000, .height = 6000, .h = 2, .v = 2, .progressive = true},
        {.width = 8000, .height = 6000, .progressive = true},
    };
    const size_t many = getenv("HANKLAB_TEST_HOSTILE") ? ARRAY_LEN(recipe) : 3;
    const double nothing = peak_of(NULL, 0);

    (void)state;
    for (size_t i = 0; i < many; i++) {
        struct jpeg_bytes j = jpeg_make(&recipe[i]);
        const double peak = peak_of(j.data, j.size) - nothing;
        print_message("#   %u x %u%s%s: %.0f MiB; may take %.0f\n",
                      recipe[i].width, recipe[i].height,
                      recipe[i].h ? ", 4:2:0" : ", 4:4:4",
                      recipe[i].progressive ? ", progressive" : "", peak / MIB,
                      allowed() / MIB);
        if (!SANITIZED)
            assert_true(peak <= allowed());
        free(j.data);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_a_spoiled_photo_ends_nothing_and_takes_little),
        cmocka_unit_test(test_a_large_photo_takes_no_more_than_its_share),
    };

    return cmocka_run_group_tests(tests, make_bases, drop_bases);
}
