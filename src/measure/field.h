/*
 * Uneven light, from places in the picture that are one colour: the same card
 * laid in several, or a plain sheet (docs/colour.md). Arithmetic but for
 * field_flatten.
 */
#ifndef HANKLAB_MEASURE_FIELD_H
#define HANKLAB_MEASURE_FIELD_H

#include "measure/area.h"

/* What is left of the light after the fit, in ln, beyond which it is not
 * followed. */
#define FIELD_RESIDUAL 0.02

/* Past the outermost places, as a share of the way between them, the light is
 * taken as it is there. */
#define FIELD_REACH 0.25

#define FIELD_GROUPS 2
#define FIELD_TERMS 5

/* Light at one place, in Bradford's cones; group 0 is the card, 1 the sheet:
 * what one group has in common is its colour. */
struct field_place {
    double x, y; /* pixels of the stored picture */
    double cone[3];
    int group;
};

enum field_kind {
    FIELD_NONE,
    FIELD_LINE,      /* along the line through the places, log-linear */
    FIELD_PLANE,     /* of ln */
    FIELD_QUADRATIC, /* of ln */
};

struct field {
    enum field_kind kind;
    size_t places;
    double x, y, scale;          /* where coordinates begin, and their unit */
    double along_x, along_y;     /* the line's direction */
    double low[2], high[2];      /* how far the places reach */
    double term[3][FIELD_TERMS]; /* of ln, a cone each */
    double at_card[3];           /* ln there, so that it is 1 */
    double residual; /* root mean square in ln, the worst cone's; where nothing
                        is left to tell it by, a quarter of the range */
};

/*
 * Fits the light: two places, or more in one line, a line; three and more a
 * plane; eight and more, where they lie all over, the full quadratic. It is 1
 * at the card, x and y.
 *
 * False when nothing can be fitted, or more than FIELD_RESIDUAL is left; the
 * residual is told either way (NaN: too few places).
 */
bool field_fit(const struct field_place *place, size_t n, double x, double y,
               struct field *out);

/* The light at a place against that at the card, a cone each; *far when it
 * lies beyond FIELD_REACH. */
void field_at(const struct field *field, double x, double y, double out[3],
              bool *far);

/* "a line", "a plane", "a quadratic". */
const char *field_name(enum field_kind kind);

/* Divides the light of each block by the field there. */
void field_flatten(const struct field *field, const struct light *light,
                   struct area *area);

#endif
