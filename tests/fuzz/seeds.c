/*
 * Makes the first inputs of fuzz_jpeg and fuzz_exif, the same each time: small
 * JPEGs of every sort, with cuts and grafts, and Exif by hand. seeds FOLDER
 * writes FOLDER/jpeg/NN-what and FOLDER/exif/NN-what.
 */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "../jpeg_make.h"

#define LOW .quality = 30 /* for small files */
#define XMP "http://ns.adobe.com/xap/1.0/\0"

static const char *folder;

static void save(const char *target, const char *name, const void *data,
                 size_t size)
{
    char path[4096];

    snprintf(path, sizeof path, "%s/%s/%s", folder, target, name);
    FILE *f = fopen(path, "wb");
    if (!f || fwrite(data, 1, size, f) != size || fclose(f)) {
        perror(path);
        exit(1);
    }
}

/* Saves and frees it. */
static void save_jpeg(const char *name, struct jpeg_bytes j)
{
    save("jpeg", name, j.data, j.size);
    free(j.data);
}

static struct jpeg_bytes small(void)
{
    return jpeg_make(&(struct jpeg_recipe){LOW, .h = 2, .v = 2});
}

static void make_sorts(void)
{
    static const struct {
        const char *name;
        struct jpeg_recipe recipe;
    } sorts[] = {
        {"01-plain", {LOW, .h = 2, .v = 2}},
        {"02-444", {LOW}},
        {"03-422", {LOW, .h = 2}},
        {"04-440", {LOW, .v = 2}},
        {"05-411", {LOW, .h = 4}},
        {"06-luma-coarser", {LOW, .chroma_h = 2, .chroma_v = 2}},
        {"07-progressive", {LOW, .h = 2, .v = 2, .progressive = true}},
        {"08-arithmetic", {LOW, .arithmetic = true}},
        {"09-arithmetic-progressive",
         {LOW, .h = 2, .v = 2, .arithmetic = true, .progressive = true}},
        {"10-restarts", {LOW, .h = 2, .v = 2, .restart_mcus = 4}},
        {"11-scan-a-component", {LOW, .separate_scans = true}},
        {"12-190-scans", {.quality = 1, .many_scans = true}},
        {"13-rgb", {LOW, .rgb = true}},
        {"14-grey", {LOW, .components = 1}},
        {"15-cmyk", {LOW, .components = 4}},
        {"16-odd-size", {LOW, .width = 97, .height = 67, .h = 2, .v = 2}},
        {"17-too-small", {LOW, .width = 63}},
    };

    for (size_t i = 0; i < ARRAY_LEN(sorts); i++)
        save_jpeg(sorts[i].name, jpeg_make(&sorts[i].recipe));
}

static void make_damage(void)
{
    struct jpeg_bytes j = small();

    j.size -= 2;
    save_jpeg("20-no-end-marker", j);
    j = jpeg_make(&(struct jpeg_recipe){LOW, .height = 128, .h = 2, .v = 2});
    j.size -= j.size / 8;
    save_jpeg("21-cut", j);
    j = jpeg_make(&(struct jpeg_recipe){LOW, .progressive = true});
    j.size = j.size * 3 / 4;
    save_jpeg("22-progressive-cut", j);
    j = jpeg_make(&(struct jpeg_recipe){LOW, .height = 128, .restart_mcus = 8,
                                        .h = 2, .v = 2});
    memset(j.data + j.size - 60, 0x55, 20);
    save_jpeg("23-overwritten", j);
    j = small();
    jpeg_insert(&j, jpeg_find(&j, 0xDB), "stray\xFF\0", 7);
    save_jpeg("24-stray-bytes", j);
    j = small();
    jpeg_insert(&j, j.size - 2, (unsigned char[20]){0}, 20);
    save_jpeg("25-padding", j);
    j = small();
    memset(j.data + jpeg_find(&j, 0xC0) + 5, 0, 2);
    save_jpeg("26-no-height", j);
    j = small();
    memset(j.data + jpeg_find(&j, 0xC0) + 5, 0xFF, 4);
    save_jpeg("27-absurd-size", j);
    j = small();
    j.data[jpeg_find(&j, 0xC0) + 4] = 12;
    save_jpeg("28-12-bits", j);
    j = small();
    j.size = jpeg_find(&j, 0xDA);
    save_jpeg("29-header-only", j);
    j = small();
    j.size = jpeg_scan(&j) + 30;
    save_jpeg("33-cut-early", j);
    j = small();
    memset(j.data + j.size / 2 + 200, 0x55, 40);
    save_jpeg("34-overwritten-no-restarts", j);
    j = small();
    memset(j.data + jpeg_find(&j, 0xC4) + 5, 0xFF, 16); /* codes a length */
    save_jpeg("35-bad-huffman-table", j);
    j = small();
    j.data[11] = 9; /* APP0 is first: its length, "JFIF\0", this */
    save_jpeg("36-jfif-9", j);
    j = small();
    j.data[j.size - 1] = 0xC0;
    save_jpeg("37-end-marker-overwritten", j);
    j = jpeg_make(
        &(struct jpeg_recipe){LOW, .height = 160, .arithmetic = true});
    j.size -= j.size / 8;
    save_jpeg("38-arithmetic-cut", j);
    save("jpeg", "30-png", "\x89PNG\r\n\x1A\n\0\0\0\rIHDR", 16);
    save("jpeg", "31-heic",
         "\0\0\0\x18"
         "ftypheic",
         12);
    save("jpeg", "32-empty", "", 0);
}

static const struct exif_field fields[] = {
    {EXIF_IFD0, 0x010F, 2, .text = "Own"},
    {EXIF_IFD0, 0x0110, 2, .text = "Wool 1"},
    {EXIF_IFD0, 0x0112, 3, 1, .n = {6}},
    {EXIF_IFD0, 0x0131, 2, .text = "1.0 (gimp)"},
    {EXIF_IFD0, 0x013F, 5, 6,
     .n = {64, 100, 33, 100, 21, 100, 71, 100, 15, 100, 6, 100}},
    {EXIF_SUB, 0x829A, 5, 1, .n = {1, 125}},
    {EXIF_SUB, 0x829D, 5, 1, .n = {28, 10}},
    {EXIF_SUB, 0x8827, 3, 1, .n = {100}},
    {EXIF_SUB, 0x9003, 2, .text = "2026:05:03 14:05:06"},
    {EXIF_SUB, 0xA001, 3, 1, .n = {1}},
    {EXIF_SUB, 0xA401, 3, 1, .n = {1}},
    {EXIF_GPS, 0x0002, 5, 3, .n = {60, 1, 10, 1, 0, 1}},
    {EXIF_INTEROP, 0x0001, 2, .text = "R03"},
};

static void add_xmp(struct jpeg_bytes *j, const char *xmp)
{
    char body[200];
    size_t n = sizeof XMP - 1, len = strlen(xmp);

    memcpy(body, XMP, n);
    memcpy(body + n, xmp, len);
    jpeg_add(j, 0xE1, body, n + len);
}

/* A second picture with a gain map, listed in an MPF segment. */
static struct jpeg_bytes two_pictures(void)
{
    struct jpeg_bytes j = small(), second = small();
    /* Counted from the MPF segment's own TIFF header: 78 bytes come before
     * the first picture's rest, 10 of them before that header. */
    size_t at[2] = {j.size + 78 - 10, 0};

    add_xmp(&second, "<x hdrgm:GainMapMax=\"2\"/>");
    jpeg_add_mpf(&j, 2, 2, at);
    jpeg_insert(&j, j.size, second.data, second.size);
    free(second.data);
    return j;
}

static void make_metadata(void)
{
    unsigned char exif[1024];
    size_t n = exif_make(true, fields, ARRAY_LEN(fields), exif, sizeof exif);
    struct jpeg_bytes j = small();

    jpeg_add(&j, 0xE1, exif, n);
    save_jpeg("40-exif", j);
    j = small();
    jpeg_add(&j, 0xE1, exif, n / 2);
    jpeg_add(&j, 0xE1, exif, n);
    save_jpeg("41-exif-twice-and-cut", j);
    j = small();
    add_xmp(&j, "<x tiff:Orientation=\"6\" exif:GPSLatitude=\"60,10.1N\"/>");
    save_jpeg("42-xmp", j);
    save_jpeg("43-two-pictures", two_pictures());
    j = small();
    jpeg_add(&j, 0xE2, "ICC_PROFILE\0\2\2second", 20);
    jpeg_add(&j, 0xE2, "ICC_PROFILE\0\1\2first", 19);
    jpeg_add(&j, 0xE2, "ICC_PROFILE\0\1\2first", 19);
    save_jpeg("44-profile-in-chunks", j);
    j = small();
    jpeg_add(&j, 0xE2, "ICC_PROFILE\0\3\2third", 19);
    save_jpeg("45-profile-broken", j);
    j = small();
    jpeg_add(&j, 0xE2, "urn:iso:std:iso:ts:21496:-1\0\0\0", 32);
    save_jpeg("46-gain-map", j);
    j = small();
    jpeg_add(&j, 0xEE, "Adobe\0\x64\0\0\0\0\2", 12); /* 2: YCCK */
    save_jpeg("47-adobe-odd", j);
}

/* The four bytes that the target skips stand for a segment's name. */
static void save_exif(const char *name, bool big, size_t count, size_t cut)
{
    unsigned char out[1024];
    size_t n = exif_make(big, fields, count, out, sizeof out);

    save("exif", name, out + 2, n - 2 - cut);
}

static void make_exif(void)
{
    struct jpeg_bytes j = two_pictures();

    save_exif("01-big-endian", true, ARRAY_LEN(fields), 0);
    save_exif("02-little-endian", false, ARRAY_LEN(fields), 0);
    save_exif("03-first-directory", false, 5, 0);
    save_exif("04-cut", true, ARRAY_LEN(fields), 40);
    save_exif("05-empty", false, 0, 0);
    /* From the name of the MPF segment on: its pictures come along. */
    save("exif", "06-two-pictures", j.data + 6, j.size - 6);
    free(j.data);
}

int main(int argc, char **argv)
{
    if (argc != 2) {
        fputs("usage: seeds FOLDER\n", stderr);
        return 2;
    }
    folder = argv[1];
    make_sorts();
    make_damage();
    make_metadata();
    make_exif();
    return 0;
}
