/* One reading of several photos. See the header. */
#include "measure/several.h"

#include <assert.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "base/mem.h"
#include "measure/check.h"

/* Engineering choices, argued in docs/colour.md. */
#define OUTLIER_PHOTOS 4 /* of fewer, nobody knows which is wrong */
#define OUTLIER_SD 4
#define OUTLIER_DE00 2
#define MCDM_MOST 3
#define EXPOSURE_MOST 0.5 /* of ln Y */
#define NORMAL_MAD 1.4826 /* of a normal quantity: 1 / 0.67449 */

#define ADVICE "turn the skein 90 degrees between photos and move the phone"

double several_t95(size_t freedom)
{
    static const double first[] = {12.7062, 4.3027, 3.1824, 2.7764, 2.5706};
    const double z = 1.959964, n = (double)freedom;
    const double z2 = z * z, z3 = z2 * z, z5 = z3 * z2, z7 = z5 * z2;

    assert(freedom > 0);
    if (freedom <= ARRAY_LEN(first))
        return first[freedom - 1];
    /* Abramowitz and Stegun, 26.7.5 */
    return z + (z3 + z) / (4 * n) + (5 * z5 + 16 * z3 + 3 * z) / (96 * n * n) +
           (3 * z7 + 19 * z5 + 17 * z3 - 15 * z) / (384 * n * n * n);
}

/* ---- one that is off ---------------------------------------------------- */

static int by_size(const void *x, const void *y)
{
    const double a = *(const double *)x, b = *(const double *)y;

    return (a > b) - (a < b);
}

/* Sorts. */
static double median(double *v, size_t n)
{
    qsort(v, n, sizeof *v, by_size);
    return n % 2 ? v[n / 2] : (v[n / 2 - 1] + v[n / 2]) / 2;
}

static struct lab middle(const struct several_photo *photo, size_t n)
{
    double v[3][SEVERAL_MOST];

    for (size_t i = 0; i < n; i++) {
        v[0][i] = photo[i].region->lab.L;
        v[1][i] = photo[i].region->lab.a;
        v[2][i] = photo[i].region->lab.b;
    }
    return (struct lab){median(v[0], n), median(v[1], n), median(v[2], n)};
}

static void find_outlier(const struct several_photo *photo, size_t n,
                         struct several *out)
{
    const struct lab centre = middle(photo, n);
    double away[SEVERAL_MOST], sorted[SEVERAL_MOST];
    size_t far = 0;

    out->dropped = SEVERAL_NONE;
    if (n < OUTLIER_PHOTOS)
        return;
    for (size_t i = 0; i < n; i++) {
        away[i] = sorted[i] = lab_de00(photo[i].region->lab, centre);
        if (away[i] > away[far])
            far = i;
    }
    if (away[far] > OUTLIER_DE00 &&
        away[far] > OUTLIER_SD * NORMAL_MAD * median(sorted, n)) {
        out->dropped = far;
        out->dropped_de00 = away[far];
        notes_add(&out->mean.notes,
                  "Photo %zu is %.1f CIEDE2000 from the others and was left "
                  "out: see whether its light or its card differs.",
                  photo[far].number, away[far]);
    }
}

/* ---- the mean ----------------------------------------------------------- */

static void add_lab(struct lab *sum, struct lab x, double weight)
{
    sum->L += weight * x.L;
    sum->a += weight * x.a;
    sum->b += weight * x.b;
}

/* Parts that another picture draws anew; the others are wrong together. */
static bool is_new_each_time(int part)
{
    return part == MEASURE_SKEIN || part == MEASURE_CARD ||
           part == MEASURE_ROUNDING;
}

static void mean_of(const struct several_photo *photo, size_t n,
                    struct several *out)
{
    struct measure_region *m = &out->mean;
    const double share = 1 / (double)out->used;

    for (size_t i = 0; i < n; i++) {
        const struct measure_region *r = photo[i].region;

        if (i == out->dropped)
            continue;
        add_lab(&m->lab, r->lab, share);
        add_lab(&m->uncorrected, r->uncorrected, share);
        add_lab(&m->level, r->level, share);
        m->blocks += r->blocks;
        m->light += share * r->light;
        for (int p = 0; p < MEASURE_PARTS; p++)
            m->part[p] =
                cov3_add(m->part[p], cov3_scale(r->part[p], is_new_each_time(p)
                                                                ? share * share
                                                                : share));
    }
}

static void differ(const struct several_photo *photo, size_t n,
                   struct several *out)
{
    const struct lab mean = out->mean.lab;
    struct lab sum = {0, 0, 0};

    for (size_t i = 0; i < n; i++) {
        const struct lab x = photo[i].region->lab;

        if (i == out->dropped)
            continue;
        out->mcdm += lab_de00(x, mean) / (double)out->used;
        sum.L += (x.L - mean.L) * (x.L - mean.L);
        sum.a += (x.a - mean.a) * (x.a - mean.a);
        sum.b += (x.b - mean.b) * (x.b - mean.b);
    }
    out->sd = (struct lab){sqrt(sum.L / (double)(out->used - 1)),
                           sqrt(sum.a / (double)(out->used - 1)),
                           sqrt(sum.b / (double)(out->used - 1))};
}

/* A4: what is seen of the photos' differences, along each axis in place of
 * what the single photos foretell (A1 to A3) where it is more. */
static void repeat(struct several *out)
{
    struct cov3 *part = out->mean.part;
    const double t = several_t95(out->used - 1);
    const double factor = t * t / 4 / (double)out->used;
    const struct cov3 told =
        cov3_add(cov3_add(part[MEASURE_SKEIN], part[MEASURE_CARD]),
                 part[MEASURE_ROUNDING]);

    part[MEASURE_REPEAT] = (struct cov3){
        .LL = fmax(factor * out->sd.L * out->sd.L - told.LL, 0),
        .aa = fmax(factor * out->sd.a * out->sd.a - told.aa, 0),
        .bb = fmax(factor * out->sd.b * out->sd.b - told.bb, 0),
    };
}

static void add_up(struct measure_region *m)
{
    for (int i = 0; i < MEASURE_PARTS; i++) {
        m->abs = cov3_add(m->abs, m->part[i]);
        if (i < MEASURE_SET_PARTS)
            m->set = m->abs;
    }
}

void several_mean(const struct several_photo *photo, size_t n,
                  struct several *out)
{
    assert(n > 0 && n <= SEVERAL_MOST);
    *out = (struct several){.used = 1, .dropped = SEVERAL_NONE};
    if (n == 1) {
        const double no = (double)NAN;

        out->mean = *photo->region;
        out->sd = (struct lab){no, no, no};
        out->mcdm = no;
        return;
    }
    find_outlier(photo, n, out);
    out->used = out->dropped == SEVERAL_NONE ? n : n - 1;
    mean_of(photo, n, out);
    differ(photo, n, out);
    repeat(out);
    add_up(&out->mean);
    if (out->mcdm > MCDM_MOST) {
        out->mean.refused = true;
        snprintf(
            out->mean.why, sizeof out->mean.why,
            "Its photos are %.1f CIEDE2000 from their mean, above %d: take "
            "new ones in one even light with the card beside it; " ADVICE ".",
            out->mcdm, MCDM_MOST);
    } else if (n == 2) {
        notes_add(&out->mean.notes,
                  "Two photos tell little of how far photos differ: take "
                  "three; " ADVICE ".");
    }
}

void several_note_exposure(const struct lab *before, size_t n,
                           struct measure_notes *notes)
{
    double low = INFINITY, high = 0;

    for (size_t i = 0; i < n; i++) {
        const double Y = xyz_from_lab(before[i]).Y;

        low = fmin(low, Y);
        high = fmax(high, Y);
    }
    if (high > low * exp(EXPOSURE_MOST))
        notes_add(notes,
                  "The card is %.1f times as bright in one photo as in "
                  "another: take all photos in one light, with the same "
                  "exposure.",
                  high / low);
}

void several_note_same(size_t first, size_t again, struct measure_notes *notes)
{
    notes_add(notes,
              "Photos %zu and %zu are the same file and count once: take "
              "another; " ADVICE ".",
              first, again);
}
