/*
 * Places of known colour beside the card: what is kept of them, which of them
 * serve, and the correction they make together (docs/colour.md).
 */
#ifndef HANKLAB_MEASURE_REFER_H
#define HANKLAB_MEASURE_REFER_H

#include "measure/field.h"
#include "measure/stats.h"

/* Stated colours are moved by so much, in CIELAB units, to see what follows. */
#define REFER_STEP 0.5

/* A place that took part; the first is the card. */
struct known {
    const struct area *area;
    const struct stats *stats;
    struct measure_card value;
};

struct refer {
    const struct measure_request *request; /* borrowed */
    struct area *area;                     /* request->references of them */
    struct stats *stats;
    bool *out; /* cannot be read */

    struct field field; /* kind FIELD_NONE: the light was not followed */

    /* Empty where the card stays alone. */
    struct known *known;
    size_t count;
    struct chart_patch *patch; /* count of them, in that order */
    struct chart chart;
    struct chart
        *moved;   /* 3 count: with L, a or b of one moved by REFER_STEP */
    bool colours; /* the patches' colours were judged, and left_out tells */
    struct chart_left_out left_out;
    const struct camera *camera; /* that the book knows, or NULL */
    bool by_camera;              /* its curve corrects: the card has no other */
    bool amiss;     /* the greys show a camera or a light out of the ordinary */
    double u_gamma; /* B3: what is not known of the exponent */
};

/* ERR_INPUT  a value that no place has, or the card itself is not known
 * ERR_LIMIT  too many */
bool refer_check(const struct measure_request *request, struct error *err);

/* Lays the grids; the picture is width by height upright.
 *
 * err  ERR_INPUT  a box is outside the picture or too small */
bool refer_plan(struct refer *refer, const struct measure_request *request,
                const struct photo *photo, struct error *err);
void refer_clear(struct refer *refer); /* all zero is an empty one */

void refer_row(struct refer *refer, const struct light *light,
               const unsigned char *rgb, uint32_t y);

/* After the last row: reckons the figures, leaves out what is damaged, burnt
 * out or black. */
void refer_read(struct refer *refer, const struct light *light,
                uint32_t damaged_row, struct measure_notes *notes);

/* Follows the light over the picture, from the card, others like it and the
 * sheet; where it can, their own areas are flattened, and the card's. */
void refer_follow(struct refer *refer, const struct light *light,
                  struct area *card, const struct stats *card_stats,
                  struct measure_method *method, struct measure_notes *notes);

/*
 * Fits curve and colours where the references allow it; correction then points
 * into refer. method is filled either way.
 *
 * err  ERR_INPUT  references contradict each other or the picture
 */
bool refer_correct(struct refer *refer, const struct light *light,
                   const struct area *card, const struct stats *card_stats,
                   struct correction *correction, struct measure_method *method,
                   struct measure_notes *notes, struct error *err);

/* What is not known of the exponent, by the number of greys; where they show
 * that something is amiss, as much as for the card alone. */
double refer_gamma(size_t greys, bool amiss);

/* What has to be said of a skein. */
void refer_remark(const struct refer *refer, const struct stats *skein,
                  struct measure_notes *notes);

/* Whether the skein's light lies among the chart's colours. */
bool refer_holds(const struct refer *refer, const struct stats *skein);

#endif
