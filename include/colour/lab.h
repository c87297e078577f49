/*
 * CIELAB and XYZ, relative to D50 (0.9642, 1, 0.8249), CIE 1931 2 degree
 * observer: the ICC connection space. Little CMS makes every number here but
 * one, and that one is checked against it.
 */
#ifndef HANKLAB_COLOUR_LAB_H
#define HANKLAB_COLOUR_LAB_H

struct lab {
    double L, a, b;
};

struct lch {
    double L, C, h; /* h in degrees, 0 <= h < 360; 0 when C is 0 */
};

/* Y = 1 is the perfect diffuser. */
struct xyz {
    double X, Y, Z;
};

/* Negative XYZ is allowed and lands in the linear branch of f, which starts
 * at (24/116)^3. NaN stays NaN in every function here. Source: CIE 15:2018. */
struct lab lab_from_xyz(struct xyz c);
struct xyz xyz_from_lab(struct lab c);
struct lch lch_from_lab(struct lab c);

/*
 * CIEDE2000 difference of two colours seen under the same white.
 *
 * Unitless, symmetric, 0 for equal colours, NaN if a coordinate is NaN;
 * kL = kC = kH = 1. Texture raises what the eye can tell apart: show it
 * beside the spread of the readings, never alone.
 *
 * Source: Sharma, Wu, Dalal, Color Res. Appl. 30 (2005) 21-30. Our own form
 * without angles, several times as fast as that of Little CMS and within 1e-9
 * of it; checked against all 34 published pairs.
 */
double lab_de00(struct lab x, struct lab y);

/*
 * CMC(l:c) difference of sample from standard: not symmetric. l = 2, c = 1 is
 * usual for textiles' acceptability, l = c = 1 for what can be seen.
 *
 * l, c  above 0 (asserted)
 *
 * Source: ISO 105-J03. Computed by Little CMS; where it is wrong (it returns
 * 0 for any two colours of L* = 0) both are lifted by the same L* first, which
 * changes nothing else. There is no CIE94 here: what Little CMS computes under
 * that name is neither of the two published forms.
 */
double lab_cmc(struct lab standard, struct lab sample, double l, double c);

/* CIE 1976 difference, the distance in L*a*b*. */
double lab_de76(struct lab x, struct lab y);

/* An 8-bit sRGB colour for a screen. */
struct srgb8 {
    unsigned char r, g, b;
};

/* Converts for a screen through Little CMS (relative colorimetric, sRGB of
 * IEC 61966-2-1; any thread may call). *outside becomes 1 when the colour lies
 * outside sRGB by more than half a code and was clipped, else 0; it may be
 * NULL. A colour with a NaN is outside, and black. */
struct srgb8 srgb8_from_lab(struct lab c, int *outside);
struct lab lab_from_srgb8(struct srgb8 c);

/* "#6c3b36" */
void srgb8_words(struct srgb8 c, char out[8]);

#endif
