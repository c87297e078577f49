/* A camera's own curve. See the header. */
#include "measure/refer_camera.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "measure/check.h"
#include "measure/correct.h"
#include "measure/spread.h"

/* One sigma of the exponent from one picture of a camera to the next; argued
 * in docs/colour.md. */
#define CAMERA_GAMMA 0.08

/* Beside the tones, what may part two places of one picture: of L*, as another
 * picture of the same would (part A4). */
#define CAMERA_REPEAT_L 0.6

/* ---- learnt ------------------------------------------------------------- */

static void learn_tones(const struct tone *tone, struct camera *out)
{
    out->points = tone->channel[0].n;
    for (int c = 0; c < 3; c++)
        for (size_t i = 0; i < out->points; i++) {
            out->is[c][i] = exp(tone->channel[c].x[i]);
            out->light[c][i] = exp(tone->channel[c].y[i]);
        }
}

static void learn_colours(const struct refer *refer,
                          const struct measure_method *method,
                          struct camera *out)
{
    const struct chart *chart = &refer->chart;

    if (!refer->colours || chart->model == CHART_TONE)
        return;
    out->terms = chart->model == CHART_MATRIX ? 3 : CHART_TERMS;
    memcpy(out->from_terms, chart->from_terms, sizeof out->from_terms);
    out->left_out_de00 = method->chart[chart->model].mean;
    out->left_sL = refer->left_out.sL;
    out->left_sa = refer->left_out.sa;
    out->left_sb = refer->left_out.sb;
}

void camera_learn(const struct refer *refer,
                  const struct measure_method *method,
                  struct measure_result *out)
{
    struct camera *camera = &out->learnt;

    camera->left_out_dL = camera->left_out_de00 = (double)NAN;
    if (!refer->count || refer->by_camera)
        sentence(out->not_learnt, "no neutrals beside the card show its tones: "
                                  "lay white, grey and black beside it");
    else if (refer->amiss)
        sentence(out->not_learnt, "its neutrals show that something is amiss, "
                                  "so its curve is not one to keep: take one "
                                  "in even light, without HDR");
    else if (!camera->name.model[0])
        sentence(out->not_learnt, "the picture does not say which camera took "
                                  "it, or was edited since: take the file as "
                                  "it came from the camera");
    else {
        learn_tones(&refer->chart.tone, camera);
        learn_colours(refer, method, camera);
        camera->neutrals = method->neutrals;
        camera->left_out_dL =
            refer->chart.tone.power ? method->tone_power : method->tone_dL;
    }
}

/* ---- used --------------------------------------------------------------- */

/* Rows that give the card's X, Y and Z exactly: gains on its cones. */
static void through_card(struct chart *chart, const double is[3],
                         struct xyz stated, const struct light *light)
{
    double told[3], should[3], row[3];

    cones_from_xyz(chart_apply(chart, is, &light->m), told);
    cones_from_xyz(stated, should);
    for (int t = 0; t < CHART_TERMS; t++) {
        for (int i = 0; i < 3; i++)
            row[i] = chart->from_terms[i][t];
        cones_from_xyz((struct xyz){row[0], row[1], row[2]}, row);
        for (int i = 0; i < 3; i++)
            row[i] *= should[i] / told[i];
        xyz_from_cones(row, row);
        for (int i = 0; i < 3; i++)
            chart->from_terms[i][t] = row[i];
    }
}

bool camera_chart(const struct camera *camera, const double is[3],
                  struct lab lab, const struct light *light, struct chart *out)
{
    const struct xyz stated = xyz_from_lab(lab);
    const double v[3] = {stated.X, stated.Y, stated.Z};
    double should[3];

    *out = (struct chart){.model = CHART_TONE};
    mat3_apply(&light->back, v, should);
    for (int c = 0; c < 3; c++) {
        struct curve *curve = &out->tone.channel[c];
        double up;

        if (!(is[c] > 0 && should[c] > 0))
            return false;
        *curve =
            tone_curve_through(camera->is[c], camera->light[c], camera->points);
        up = log(should[c] / tone_curve_at(curve, is[c]));
        for (size_t i = 0; i < curve->n; i++)
            curve->y[i] += up;
    }
    out->tone.greys = camera->neutrals;
    out->tone.power = camera->points == 2;
    if (camera->terms) {
        out->model = camera->terms == 3 ? CHART_MATRIX : CHART_ROOT;
        memcpy(out->from_terms, camera->from_terms, sizeof out->from_terms);
        through_card(out, is, stated, light);
    }
    return true;
}

static double gamma_of(const struct camera *camera)
{
    return hypot(refer_gamma(camera->neutrals, false), CAMERA_GAMMA);
}

/* The card as the only place known, and what its stated colour does. */
static bool take_card(struct refer *refer, const struct light *light,
                      const struct area *card, const struct stats *card_stats)
{
    const struct measure_card *value = &refer->request->card;

    if (!camera_chart(refer->camera, card_stats->light, value->lab, light,
                      &refer->chart))
        return false;
    free(refer->known);
    refer->known = mem_new(1, sizeof *refer->known);
    refer->moved = mem_new(3, sizeof *refer->moved);
    refer->known[0] = (struct known){card, card_stats, *value};
    refer->count = 1;
    for (int i = 0; i < 3; i++) {
        struct lab lab = value->lab;

        *(i == 0 ? &lab.L : i == 1 ? &lab.a : &lab.b) += REFER_STEP;
        if (!camera_chart(refer->camera, card_stats->light, lab, light,
                          &refer->moved[i]))
            refer->moved[i] = refer->chart;
    }
    return true;
}

void camera_correct(struct refer *refer, const struct light *light,
                    const struct area *card, const struct stats *card_stats,
                    struct correction *correction,
                    struct measure_method *method, struct measure_notes *notes)
{
    const struct camera *camera = refer->camera;
    const char *colours = camera->terms ? " and colours" : "";

    if (!take_card(refer, light, card, card_stats))
        return;
    refer->by_camera = true;
    refer->colours = camera->terms > 0;
    refer->left_out = (struct chart_left_out){
        .sL = camera->left_sL, .sa = camera->left_sa, .sb = camera->left_sb};
    refer->u_gamma = gamma_of(camera);
    correction->chart = &refer->chart;
    correction->to_xyz = &light->m;
    correction->from_xyz = &light->back;
    method->card_alone = false;
    snprintf(method->words, sizeof method->words,
             "grey card and the curve%s of %s", colours, camera->from);
    notes_add(notes,
              "The tones are corrected by the curve%s of %s, the level by the "
              "card: see that the camera is set as it was then.",
              colours, camera->from);
}

/* ---- contradicted ------------------------------------------------------- */

void camera_doubt(const struct refer *refer, const struct light *light,
                  struct measure_notes *notes)
{
    const struct known *card = &refer->known[0];
    const double u_gamma = gamma_of(refer->camera);
    struct chart chart;
    double worst = 0;

    if (!camera_chart(refer->camera, card->stats->light, card->value.lab, light,
                      &chart))
        return;
    for (size_t i = 1; i < refer->count; i++) {
        const struct known *k = &refer->known[i];
        const struct lab is = k->value.lab;
        const double d =
            lab_from_xyz(chart_apply(&chart, k->stats->light, &light->m)).L -
            is.L;
        const double u =
            hypot(hypot(k->value.uL, CAMERA_REPEAT_L),
                  sqrt(spread_tone(u_gamma, light, is, card->value.lab).LL));

        if (refer->patch[i].grey && fabs(d) > 2 * u)
            worst = fmax(worst, fabs(d));
    }
    if (worst > 0)
        notes_add(notes,
                  "The neutrals contradict the curve of %s (by %.1f of L*), so "
                  "the camera was set otherwise: keep the curve anew, or "
                  "withdraw that one.",
                  refer->camera->from, worst);
}
