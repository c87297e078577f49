/* The uncertainty of a colour that more references than the card have
 * corrected. See spread.h. */
#include <math.h>

#include "measure/spread.h"

/* One sigma each; argued in docs/colour.md. */
#define CAMERA_LEAST 0.4  /* B4, CIELAB: no chart shows less */
#define CAMERA_AMISS 2.0  /* variance, where a camera paints boldly */
#define FIELD_LEAST 0.005 /* B1, relative */
#define FIELD_SHARE 0.25  /* of what the fit leaves */
#define FIELD_FAR 0.5     /* of the light found, past the places that show it */
#define SMALL_AB 1.0      /* of a box too small to keep off its edges */
#define TONE_BEYOND 0.20  /* B3, of the exponent, past the outermost greys */

static struct lab skein_lab(const struct spread_input *in,
                            const struct chart *chart)
{
    return lab_from_xyz(
        chart_apply(chart, in->skein_stats->light, &in->light->m));
}

/* How the skein's colour follows the stated colour of reference i. */
static struct mat3 follow(const struct spread_input *in, struct lab lab,
                          size_t i)
{
    struct mat3 j;

    for (int c = 0; c < 3; c++) {
        const struct lab to = skein_lab(in, &in->refer->moved[3 * i + c]);

        j.at[0][c] = (to.L - lab.L) / REFER_STEP;
        j.at[1][c] = (to.a - lab.a) / REFER_STEP;
        j.at[2][c] = (to.b - lab.b) / REFER_STEP;
    }
    return j;
}

/* Adds what the uncertainty c of a reference leaves in the skein. */
static void add(struct cov3 *sum, const struct mat3 *j, struct cov3 c)
{
    const struct mat3 full = {
        {{c.LL, c.La, c.Lb}, {c.La, c.aa, c.ab}, {c.Lb, c.ab, c.bb}}};
    const struct mat3 out = mat3_spread(j, &full);

    *sum = cov3_add(*sum, mat3_cov(&out));
}

/* What is not sure of each reference: a reading of it that is off moves the
 * curve as a stated colour would that is off as much. */
static void add_references(const struct spread_input *in, struct lab lab,
                           struct cov3 part[MEASURE_PARTS])
{
    for (size_t i = 0; i < in->refer->count; i++) {
        const struct known *k = &in->refer->known[i];
        const double small = k->area->small ? SMALL_AB : 0;
        const struct mat3 j = follow(in, lab, i);
        struct spread_input it = *in;

        it.skein = k->area;
        it.skein_stats = k->stats;
        add(&part[MEASURE_CARD], &j, spread_places(&it));
        add(&part[MEASURE_ROUNDING], &j, spread_rounded(&it));
        add(&part[MEASURE_SMALL], &j, cov3_diagonal(0, small, small));
        add(&part[MEASURE_CARD_VALUE], &j,
            cov3_diagonal(k->value.uL, k->value.ua, k->value.ub));
    }
}

/* How far the exponent may be off, as a relative error of X, Y and Z, in the
 * channels that lie past the outermost greys. */
static void beyond(const struct spread_input *in, double u_gamma, double e[3])
{
    const struct tone *tone = &in->refer->chart.tone;
    double light[3], off[3], xyz[3];

    tone_apply(tone, in->skein_stats->light, light);
    for (int c = 0; c < 3; c++)
        off[c] =
            u_gamma * light[c] *
            tone_curve_beyond(&tone->channel[c], in->skein_stats->light[c]);
    mat3_apply(&in->light->m, light, xyz);
    mat3_apply(&in->light->m, off, e);
    for (int c = 0; c < 3; c++)
        e[c] /= fmax(fabs(xyz[c]), 1e-4);
}

/* The curve bends the light as it bends the greys, and how much so at the
 * skein's lightness is not known beyond u_gamma. */
struct cov3 spread_field(const struct spread_input *in, struct lab lab,
                         double u_gamma)
{
    const struct field *field = &in->refer->field;
    const struct stats *s = in->skein_stats;
    double at[3], e[3];
    bool far;

    field_at(field, s->x, s->y, at, &far);
    for (int c = 0; c < 3; c++) {
        const double ln = log(at[c]);

        e[c] = hypot(hypot(FIELD_LEAST, FIELD_SHARE * field->residual),
                     (far ? FIELD_FAR : u_gamma) * ln);
    }
    return cov3_from_relative(lab, (struct cov3){.LL = e[0] * e[0],
                                                 .La = e[0] * e[1],
                                                 .Lb = e[0] * e[2],
                                                 .aa = e[1] * e[1],
                                                 .ab = e[1] * e[2],
                                                 .bb = e[2] * e[2]});
}

/* B3: as with the card alone, but for a smaller error of the exponent between
 * the outermost greys; past them nothing is known. */
static struct cov3 tone(const struct spread_input *in, struct lab lab,
                        double wider)
{
    double e[3];
    struct cov3 past;

    beyond(in, wider * TONE_BEYOND, e);
    past = (struct cov3){.LL = e[0] * e[0],
                         .La = e[0] * e[1],
                         .Lb = e[0] * e[2],
                         .aa = e[1] * e[1],
                         .ab = e[1] * e[2],
                         .bb = e[2] * e[2]};
    return cov3_add(spread_tone(wider * in->refer->u_gamma, in->light, lab,
                                in->request->card.lab),
                    cov3_from_relative(lab, past));
}

/* B4: what the chart's own patches show of it; among colours that the chart
 * does not hold, no less than without one. */
static struct cov3 camera(const struct spread_input *in, struct cov3 without)
{
    const struct chart_left_out *told = &in->refer->left_out;
    struct cov3 out = cov3_diagonal(fmax(told->sL, CAMERA_LEAST),
                                    fmax(told->sa, CAMERA_LEAST),
                                    fmax(told->sb, CAMERA_LEAST));

    if (!refer_holds(in->refer, in->skein_stats)) {
        out.LL = fmax(out.LL, without.LL);
        out.aa = fmax(out.aa, without.aa);
        out.bb = fmax(out.bb, without.bb);
    }
    return out;
}

void spread_refer(const struct spread_input *in, struct lab lab, double wider,
                  struct cov3 part[MEASURE_PARTS])
{
    const double small = in->skein->small ? SMALL_AB : 0;

    part[MEASURE_CARD] = part[MEASURE_CARD_VALUE] = (struct cov3){0};
    part[MEASURE_SMALL] = cov3_diagonal(0, small, small);
    part[MEASURE_ROUNDING] = spread_rounded(in);
    add_references(in, lab, part);
    part[MEASURE_TONE] = tone(in, lab, wider);
    if (in->refer->colours)
        part[MEASURE_CAMERA] = camera(in, part[MEASURE_CAMERA]);
    else if (in->refer->amiss)
        part[MEASURE_CAMERA] = cov3_scale(part[MEASURE_CAMERA], CAMERA_AMISS);
}
