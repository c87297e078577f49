/* Fits the exhausts of a lane. See fade_fit.h. */
#include "book/fade_fit.h"

#include <math.h>
#include <stdlib.h>

#include "base/mem.h"

/* ---- stretches ------------------------------------------------------------
 */

static bool went_in_before(const struct fade *f, int64_t after, int64_t round)
{
    for (size_t i = 0; i < f->additions; i++)
        if (f->addition[i].before_round > after &&
            f->addition[i].before_round <= round)
            return true;
    return false;
}

/* Where the stretch that begins at `from` ends: the next round before which
 * something went in. */
static size_t end_of(const struct fade *f, size_t from)
{
    size_t end = from + 1;

    while (end < f->rounds && f->round[end].known &&
           !went_in_before(f, f->round[end - 1].round, f->round[end].round))
        end++;
    return end;
}

/* Rounds that were not recorded are there, with nothing known of them. */
static size_t gather(const struct fade *f, const struct fade_lane *lane,
                     size_t from, size_t end,
                     struct exhaust_round out[EXHAUST_MOST])
{
    const int64_t first = f->round[from].round;
    size_t n = 0;

    for (size_t i = from; i < end; i++) {
        const size_t at = (size_t)(f->round[i].round - first);
        if (at >= EXHAUST_MOST)
            break;
        while (n < at)
            out[n++] = (struct exhaust_round){.fibre_g = (double)NAN};
        out[n++] =
            (struct exhaust_round){.measured = lane->cell[i].measured > 0,
                                   .colour = lane->cell[i].mean,
                                   .fibre_g = f->round[i].fibre_g};
    }
    return n;
}

void fade_fit(const struct undyed *undyed, double next_g,
              const struct fade *fade, struct fade_lane *lane)
{
    undyed_of(undyed, lane);
    if (!lane->undyed)
        return;
    lane->stretch = mem_new(fade->rounds, sizeof *lane->stretch);
    for (size_t from = 0, end; from < fade->rounds && fade->round[from].known;
         from = end) {
        struct fade_stretch *s = &lane->stretch[lane->stretches++];
        struct exhaust_round round[EXHAUST_MOST];
        end = end_of(fade, from);
        s->from = from;
        s->rounds = end - from;
        exhaust_fit(round, gather(fade, lane, from, end, round),
                    lane->undyed_colour, next_g, &s->fit);
    }
}
