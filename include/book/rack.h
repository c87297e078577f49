/*
 * The rack: every skein that hangs in its place, a rod a bath. It is put in
 * order without reading more of a skein than its place takes, for a guild's
 * book holds many that no page shows.
 */
#ifndef HANKLAB_BOOK_RACK_H
#define HANKLAB_BOOK_RACK_H

#include "book/ask.h"

struct rack_place {
    int64_t skein;
    int64_t bath;  /* of its last dye; 0: none, or no one bath */
    int64_t round; /* of it; INT64_MAX: not recorded */
    int64_t number;
};

/* The newest bath first, undyed skeins behind all; on a rod by round, then by
 * number. Of what is cut up only the pieces hang. */
struct rack {
    struct rack_place *place;
    size_t count;
    size_t baths, measured; /* those that have a rod; skeins with a colour */
    size_t in_pieces;       /* skeins that are all cut up */
    /* Begun at the pot and waiting for the rest, the newest first; their skeins
     * alone are told. */
    struct rack_place *unfinished;
    size_t unfinished_count;
    int64_t *bare; /* baths that are a name so far: ask_empty_baths */
    size_t bare_count;
};

/* Release with rack_clear. */
bool rack_of(struct book *book, struct rack *out, struct error *err);
void rack_clear(struct rack *rack);

/* How many of n places are of the first one's bath; 0 of none. */
size_t rack_rod(const struct rack_place *place, size_t n);

/* The skeins in these places, as ask_skeins has them. */
bool rack_skeins(struct book *book, const struct rack_place *place, size_t n,
                 struct ask_skeins *out, struct error *err);

/* As much of a skein as is seen of it on the rack; the words as those of struct
 * ask_skein. */
struct rack_hank {
    char *label, *code, *mordants, *dips, *bath, *on_words;
    char *as; /* a piece that was not read: the colour is that one's */
    bool unfinished, no_mordant, has_round;
    int64_t round, bath_id;
    enum ask_lack lack;             /* of a colour of its own */
    struct lab lab;                 /* NaN: none */
    const struct colour_name *name; /* of the colour; NULL: none */
};

/* The skeins in these places; release *out with rack_hanks_free. */
bool rack_hanks(struct book *book, const struct rack_place *place, size_t n,
                struct rack_hank **out, struct error *err);
void rack_hanks_free(struct rack_hank *hank, size_t n);

#endif
