/*
 * Colours that go together, chosen among results: nearest to wanted colours,
 * as far apart as can be, or in even steps of lightness; if asked, of one pot
 * on different mordants.
 */
#ifndef HANKLAB_DYE_PALETTE_H
#define HANKLAB_DYE_PALETTE_H

#include <stdbool.h>
#include <stddef.h>

#include "colour/lab.h"

#define PALETTE_MOST 24 /* members */

/* With no more choices than there are of six from forty, the answer is the best
 * there is in every aim. */
#define PALETTE_EXACT 3838380

/* A result that may become a member. */
struct palette_colour {
    struct lab lab;
    size_t pot, lane; /* which liquor and which mordant, 0: not known; like
                         numbers are the same */
    bool must, never; /* the dyer's own choice */
};

enum palette_aim {
    PALETTE_FIT,   /* least sum of dE00 to the targets, one result each */
    PALETTE_APART, /* the two most alike as far apart as can be, in dE00 */
    PALETTE_EVEN,  /* even steps of L* from the lightest to the darkest */
};

struct palette_request {
    enum palette_aim aim;
    size_t members;           /* 1 to PALETTE_MOST; 2 or more unless FIT */
    const struct lab *target; /* members of them, for PALETTE_FIT */
    bool one_pot;             /* of one pot, each on another lane */
    double least_apart; /* no two members are nearer in dE00; 0: any are */
};

struct palette {
    size_t members;
    size_t place[PALETTE_MOST]; /* among the results; in the order of the
                                   targets, else from light to dark */
    double off[PALETTE_MOST];   /* dE00 from its target, |dL*| from its step, or
                                   dE00 to the member most like it */
    double worth; /* the sum of off, or the least for PALETTE_APART */
    bool exact;   /* no other choice is better; else it is a good one */
    double bound; /* no choice can have a better worth; NaN: not known, of
                     PALETTE_APART that is not exact */
};

/*
 * Chooses. Every result is a member at most once; those that must be are.
 * Which of equally good ones is taken depends on their colours and places
 * alone.
 *
 * count  results
 *
 * False when fewer than wanted can be chosen, or more must be, or when none far
 * enough apart were found. FIT and EVEN are always exact, unless many results
 * have to be least_apart and a search as long as a second does not end; APART
 * is for few results (see above), else improved from greedy beginnings until no
 * single exchange helps.
 */
bool palette_choose(const struct palette_colour *colour, size_t count,
                    const struct palette_request *request, struct palette *out);

/* Neighbours in the cloth whose L* differ by less than this look alike where
 * colour does not help, as from afar or at dusk: our own choice. */
#define PALETTE_ALIKE_L 8.0

/* How far in L* each member is from the one after it: members - 1 steps. */
void palette_steps(const struct palette_colour *colour,
                   const struct palette *palette, double *step);

#endif
