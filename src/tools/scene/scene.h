/*
 * A photograph of dyed yarn beside a grey card, drawn from numbers, and the
 * truth about it. Private to the program src/tools/scene.c.
 *
 * Light is linear, in the primaries of ITU-R BT.2020 adapted to D50; 1 is the
 * perfect diffuser. Places are in pixels of the upright picture. Colours in
 * words are CIELAB, D50, 2 degree.
 */
#ifndef HANKLAB_TOOLS_SCENE_SCENE_H
#define HANKLAB_TOOLS_SCENE_SCENE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

#include "colour/lab.h"

#define SCENE_SKEINS 4
#define SCENE_GREYS 8

struct light {
    double v[3];
};

struct matrix {
    double v[3][3];
};

struct place {
    int x, y, w, h;
};

/* ---- the yarn's colour (dye.c) ---- */

/* One row of lots.csv, as far as it makes a colour. */
struct lot {
    int skein;
    char dyestuff[24]; /* "" for wool that was only mordanted */
    double dyestuff_pct;
    bool alum, iron, dip; /* mordants before, an iron dip after */
    int round;            /* 0 is the first bath */
};

/* The yarn as an instrument would see it, and how that moves when it takes up
 * a little more dye: d ln(reflectance) / d ln(strength). */
struct yarn {
    struct light reflectance, response;
};

/* False when the dyestuff is none of ours. */
bool yarn_of_lot(const struct lot *lot, struct yarn *out);

/* A yarn of any colour. */
struct yarn yarn_of_lab(struct lab lab);

struct light light_from_lab(struct lab lab);
struct lab lab_from_light(struct light c);

/* m v, m n, and the inverse of m. */
struct light matrix_apply(const struct matrix *m, struct light v);
struct matrix matrix_product(const struct matrix *m, const struct matrix *n);
struct matrix matrix_inverse(const struct matrix *m);
extern const struct matrix xyz_from_light;

/* ---- the scene ---- */

enum table_top { TABLE_WOOD, TABLE_LINEN, TABLE_SLATE, TABLE_CLOTH };
enum encoding { ENCODING_SRGB, ENCODING_P3 };

struct skein {
    int number;
    double x, y, w, h; /* centre, and the size of the whole hank */
    double tilt_pct;   /* sideways for 100 down */
    double bend;       /* how far its middle lies to the right */
    double strand;     /* diameter of one strand */
    double unlevel;    /* SD of the strength of the dye along a strand */
    struct lab lay;    /* what this laying of the yarn adds to its colour */
    struct lab told;   /* added to its colour where the truth is told */
    struct yarn yarn;
    uint64_t seed;
};

/* A flat patch of one colour on the table. */
struct grey {
    struct place at;
    struct lab lab;
};

struct scene {
    char name[64]; /* of the picture, without ".jpg" */
    int width, height;
    uint64_t seed;
    enum table_top table;
    struct place card;
    double card_tilt_pct;
    struct lab card_lab;
    struct lab card_told; /* the same for the card */
    size_t greys;
    struct grey grey[SCENE_GREYS];
    bool trimmings; /* paper tags with numbers, ties and loose fibres */
    int samples;    /* of a pixel of yarn: 1 or 2 */
    size_t skeins;
    struct skein skein[SCENE_SKEINS];

    struct light lamp;  /* its colour: what it does to each channel */
    double slope_x_pct; /* light gained from edge to edge */
    double slope_y_pct;
    double warm_slope_pct; /* of red gained, of blue lost, across */
    double vignette_pct;   /* light lost in the corners */
    double exposure;       /* 1: the card comes out as it is */
    double noise;          /* 1: a phone by a window */
    double blur;           /* 0 .. 0.25, of the lens */
    double tone;           /* 0: none; 0.5: a strong S */
    double power;          /* of the light before that; 1: none */
    enum encoding encoding;
    int quality, orientation;
    char make[32], model[32], taken[20]; /* "2025:05:03 10:12:30" */
};

/* All that has a sensible value has it. */
struct scene scene_default(void);

/* The part of a skein that stands for its colour: the straight strands. */
struct place skein_box(const struct skein *s);
struct place card_box(const struct scene *s);

/* What lies at a place: 0 the table, 1 the first skein and so on, SCENE_CARD.
 */
#define SCENE_CARD 255
int scene_thing(const struct scene *s, double x, double y);

bool scene_is_even(const struct scene *s);

/* Reads a scene file; colours of numbered skeins come from lots. Ends the
 * program with one line when it cannot. */
struct lots {
    struct lot *lot;
    size_t count;
};
struct lots lots_read(const char *path);
struct scene scene_read(const char *path, const struct lots *lots);

/* Random scenes. kind: "even", "varied", or "repeat", which fills out[0] and
 * out[1] with two photos of the same skeins, laid twice, "apart", which fills
 * all four with photos of three skeins that are 2, 3 and about 5 CIEDE2000
 * apart, laid anew for each, "camera", which fills two with photos by one
 * camera, the first with steps, or "stated", four photos of the same skeins in
 * which all that docs/colour.md allows for is wrong by as much as it says.
 * False when there is no such kind. n counts from 1. */
#define SCENE_PHOTOS 4
bool scene_random(const char *kind, uint64_t seed, int n,
                  struct scene out[SCENE_PHOTOS], size_t *count);

/* ---- pictures ---- */

/* Linear light, width x height. */
struct picture {
    int width, height;
    struct light *at;
};

/* Draws what lies on the table in even light of the reference colour. */
struct picture scene_draw(const struct scene *s);
void yarn_draw(const struct scene *s, const struct skein *k,
               struct picture *on);

/* The pixel at x, y, which must lie in the picture. */
struct light *picture_pixel(const struct picture *p, int x, int y);

/* Mean of linear light over a box. */
struct light picture_mean(const struct picture *p, struct place box);

/* From the table's light to 8-bit codes: lens, lamp, sensor, tone curve,
 * encoding; 3 bytes a pixel, upright. p is spoiled. */
unsigned char *camera_expose(const struct scene *s, struct picture *p);

/* ---- files (jpeg.c, profile.c) ---- */

/* An ICC profile made by Little CMS, the same bytes each time, and what its
 * colorants say: XYZ (D50) from linear RGB. Release with free(). */
unsigned char *profile_bytes(enum encoding e, size_t *size,
                             struct matrix *xyz_from_rgb);

void jpeg_save(const struct scene *s, const unsigned char *rgb,
               const char *path);

/* 0 when both decode to pixels within one code of each other and hold the
 * same Exif and profile; else says what differs, and 1. */
int jpeg_compare(const char *a, const char *b);

/* Ends the program with "scene: WHERE: WHAT". */
void die(const char *where, const char *what) __attribute__((noreturn));

#endif
