/* The dozen fields of Exif that matter for a colour. */
#ifndef HANKLAB_PHOTO_EXIF_H
#define HANKLAB_PHOTO_EXIF_H

#include <stdbool.h>
#include <stddef.h>

#include "photo/photo.h"

enum exif_turn {
    EXIF_TURN_ODD = -1, /* said, but not 1..8, or not as a whole number */
    EXIF_TURN_UNSAID = 0,
};

struct exif {
    bool damaged;
    int orientation; /* 1..8 or enum exif_turn */
    enum photo_exif_space space;
    char make[64], model[64], software[64]; /* printable UTF-8 or "" */
    char taken[20];                         /* "2026-05-03 14:05:06" or "" */
    double exposure_s, f_number, iso;       /* NaN when not said */
    bool rendered;                          /* CustomRendered is not 0 */
    int scene, contrast, saturation;        /* as of struct photo */
    bool has_gps;                           /* a latitude or longitude */
};

/*
 * Reads the TIFF part of an Exif segment (what follows "Exif\0\0"). Never
 * fails: what is damaged is left out and `damaged` is set. The thumbnail is
 * not looked at.
 *
 * Source: Exif 2.32 (CIPA DC-008-2019), DCF 2.0 for R98 and R03.
 */
struct exif exif_read(const unsigned char *tiff, size_t size);

#endif
