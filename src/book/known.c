/* Places of known colour beside the grey card. See known.h. */
#include "book/known.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "base/text.h"
#include "book/ask.h"
#include "book/photo.h"
#include "book/record.h"
#include "colour/patches.h"

/* Stated by a maker, as of a grey card. Of a and b that nobody stated, what a
 * grey board's may be: common practice, no source. */
static const double stated_u[3] = {0.5, 0.3, 0.3};
#define UNSTATED_U 1

/* Of each of L, a, b: a new chart is within about one unit of its stated
 * values (makers' own word, from memory). */
#define CHART_U 0.5

/* A card that may stand for the grey one, L*. */
enum { GREY_LEAST = 25, GREY_BEST = 50, GREY_MOST = 75 };

/* As colourful as undyed yarn may be, and one sigma of L* that it may be known
 * to: a curve through less is none. */
#define NEUTRAL_C 20
#define YARN_U 3

static bool check_neutral(const struct lab c, struct error *err)
{
    return (c.L >= 1 && c.L <= 105 && hypot(c.a, c.b) <= NEUTRAL_C) ||
           error_set(err, ERR_INPUT,
                     "L*a*b* %.1f, %.1f, %.1f is no neutral: it takes white, "
                     "grey, black or undyed",
                     c.L, c.a, c.b);
}

bool known_add(struct known_places *places, const struct measure_reference *r,
               struct error *err)
{
    if (r->kind == MEASURE_NEUTRAL && !check_neutral(r->value.lab, err))
        return false;
    if (places->count == MEASURE_MAX_REFERENCES)
        return error_set(err, ERR_LIMIT, "at most %d places of known colour",
                         MEASURE_MAX_REFERENCES);
    places->at[places->count++] = *r;
    return true;
}

/* Of L*. Our own choice: far from the whites and blacks of cards, which are
 * above 90 and under 25. */
enum { WHITE_LEAST = 85, BLACK_MOST = 30 };

bool known_is_grey(struct lab c)
{
    return c.L >= BLACK_MOST && c.L <= WHITE_LEAST;
}

const char *known_neutral_words(struct lab c)
{
    return known_is_grey(c)   ? "the grey"
           : c.L < BLACK_MOST ? "the black"
                              : "the white";
}

bool known_lab(const char *words, struct measure_card *out)
{
    const bool grey = text_reals(words, &out->lab.L, 1);
    double v[3];

    if (!grey && !text_reals(words, v, 3))
        return false;
    if (grey)
        *out = (struct measure_card){
            {out->lab.L, 0, 0}, stated_u[0], UNSTATED_U, UNSTATED_U, true};
    else
        *out = (struct measure_card){
            {v[0], v[1], v[2]}, stated_u[0], stated_u[1], stated_u[2], true};
    return true;
}

bool known_card(struct book *book, const char *name, struct measure_card *out,
                struct error *err)
{
    int64_t id;

    if (!record_find(book, NOUN_CARD, name, &id, err) ||
        !card_values(book, &id, out, err))
        return false;
    return out->known ||
           error_set(err, ERR_INPUT,
                     "card %s has no values: enter them, or write its L,a,b",
                     name);
}

/* ---- yarn that the book knows ------------------------------------------- */

static bool skein_value(struct book *book, int64_t id, struct measure_card *out,
                        struct error *err)
{
    const struct ask_filter any = ask_filter_any();
    struct ask_skein skein;

    if (!ask_skein(book, id, &any, &skein, err))
        return false;
    out->known = skein.lack == ASK_HAS_COLOUR;
    if (out->known) {
        const struct colour_reading *c = &skein.reading.colour;

        *out = (struct measure_card){c->lab, sqrt(c->abs.LL), sqrt(c->abs.aa),
                                     sqrt(c->abs.bb), true};
    }
    ask_skein_clear(&skein);
    return true;
}

/* Yarn read beside one grey card alone shows no more of the tones than that
 * card did. */
bool known_yarn(struct book *book, enum noun_id noun, int64_t id,
                const char *who, struct measure_card *out, struct error *err)
{
    if (!(noun == NOUN_SKEIN ? skein_value(book, id, out, err)
                             : fibre_values(book, id, out, err)))
        return false;
    if (!out->known)
        return error_set(err, ERR_INPUT,
                         "the book knows no colour of %s, dry, for D50 and 2 "
                         "degree: measure it first",
                         who);
    return out->uL <= YARN_U ||
           error_set(err, ERR_INPUT,
                     "%s is known to no better than %.1f of L*: measure it "
                     "beside white, grey and black, or with an instrument",
                     who, 2 * out->uL);
}

/* ---- charts ------------------------------------------------------------- */

static bool patch_add(const struct patch *p, size_t nth, struct box box,
                      struct known_places *places, struct error *err)
{
    struct measure_reference r = {
        .kind = MEASURE_PATCH,
        .box = box,
        .value = {p->lab, CHART_U, CHART_U, CHART_U, true},
    };

    if (p->id[0])
        snprintf(r.name, sizeof r.name, "patch %s", p->id);
    else
        snprintf(r.name, sizeof r.name, "patch %zu", nth + 1);
    return known_add(places, &r, err);
}

static bool placed(const struct patches *patches, struct box *box,
                   struct error *err)
{
    for (size_t i = 0; i < patches->count; i++) {
        const struct patch *p = &patches->patch[i];

        if (!p->placed)
            return error_set(err, ERR_INPUT,
                             "it has no columns x, y, w and h that say where "
                             "each patch lies; a chart's own file goes with "
                             "the chart's corners");
        box[i] = (struct box){
            (int64_t)floor(p->x + 0.5), (int64_t)floor(p->y + 0.5),
            (int64_t)floor(p->w + 0.5), (int64_t)floor(p->h + 0.5)};
    }
    return true;
}

bool known_chart(const unsigned char *bytes, size_t size,
                 const struct point *corner, struct known_places *places,
                 bool *adapted, struct error *err)
{
    struct patches *patches = mem_new(1, sizeof *patches);
    struct box box[PATCHES_MOST];
    bool ok = patches_read(bytes, size, patches, err) &&
              (corner ? lay_chart(patches, corner, box, err)
                      : placed(patches, box, err));

    for (size_t i = 0; ok && i < patches->count; i++)
        ok = patch_add(&patches->patch[i], i, box[i], places, err);
    *adapted = patches->adapted;
    free(patches);
    return ok;
}

bool known_corners(const char *words, struct point corner[4], struct error *err)
{
    char *all = mem_text(words), *at = all, *word;
    double v[2];
    size_t n = 0;
    bool ok = true;

    while (ok && (word = strtok_r(NULL, " \t\r\n", &at)) != NULL) {
        ok = n < 4 && text_reals(word, v, 2) && fabs(v[0]) < 1e6 &&
             fabs(v[1]) < 1e6;
        if (ok)
            corner[n++] = (struct point){v[0], v[1]};
    }
    free(all);
    return (ok && n == 4) ||
           error_set(err, ERR_INPUT,
                     "write four corners round the chart, from the first patch "
                     "to the end of its row, as x,y x,y x,y x,y");
}

/* ---- one of them as the card -------------------------------------------- */

bool known_take_card(struct known_places *places,
                     struct measure_request *request)
{
    size_t best = places->count;

    for (size_t i = 0; i < places->count; i++) {
        const struct lab c = places->at[i].value.lab;

        if (places->at[i].kind == MEASURE_SHEET || c.L < GREY_LEAST ||
            c.L > GREY_MOST || places->at[i].yarn || hypot(c.a, c.b) > 4)
            continue;
        if (best == places->count ||
            fabs(c.L - GREY_BEST) <
                fabs(places->at[best].value.lab.L - GREY_BEST))
            best = i;
    }
    if (best == places->count)
        return false;
    request->card_box = places->at[best].box;
    request->card = places->at[best].value;
    places->count--;
    memmove(places->at + best, places->at + best + 1,
            (places->count - best) * sizeof *places->at);
    return true;
}
