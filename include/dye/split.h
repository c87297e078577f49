/* A hank into pieces, from what a dyer types: reads the words, reckons, and
 * says what is over or short. Lengths in metres, weights in grams. */
#ifndef HANKLAB_DYE_SPLIT_H
#define HANKLAB_DYE_SPLIT_H

#include <stdbool.h>
#include <stddef.h>

#include "base/error.h"

/* As typed; NULL or "" is not said. */
struct split_words {
    const char *weight;       /* of the hank: "100 g" */
    const char *length;       /* of the hank: "400 m" */
    const char *sample;       /* in place of the length: "10 m = 2.5 g" */
    const char *const *piece; /* "border red = 120 m", "border 120 m", "90 m",
                                 "12 g", "8 x 40 m", "8 x 1/8" */
    size_t pieces;
    const char *reserve;   /* kept back: "10 %" of the hank, "40 m", "10 g" */
    const char *allowance; /* added to each piece: "10 %" */
    const char *loop;      /* pieces are wound on it, in whole wraps: "1.5 m" */
};

struct split_piece {
    char *name;    /* "border red"; "1", "2" ... when none was said; owned */
    double want_m; /* with the allowance */
    double m, g;   /* what it gets: whole wraps on a loop, at least what is
                      wanted unless wraps_less */
    double wraps;  /* NaN without a loop */
    double lack_m; /* of that, behind the pieces before it; 0: it fits */
};

struct split_plan {
    double hank_m, hank_g, m_per_g; /* hank_g, m_per_g NaN: not said */
    double loop_m;                  /* NaN: none */
    bool wraps_less; /* whole wraps below the lengths: above, the hank would
                        not be enough */
    struct split_piece *piece;
    size_t count;
    double pieces_m, reserve_m;
    double over_m; /* left beside the reserve; below 0: short by that */
    double over_without_reserve_m;
};

#define SPLIT_MOST 500 /* pieces */

/*
 * The pieces get yarn in the order they were said; the first that does not fit
 * whole lacks some, and all after it lack all. A part, "1/8", is one of what is
 * not kept back.
 *
 * out  release with split_plan_clear
 * err  ERR_INPUT  the hank's length cannot be told, a word that cannot be read,
 *                 no piece
 */
bool split_plan(const struct split_words *words, struct split_plan *out,
                struct error *err);
void split_plan_clear(struct split_plan *plan);

#endif
