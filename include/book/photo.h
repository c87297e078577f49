/* Pictures kept in the book, untouched, and the readings taken from them. */
#ifndef HANKLAB_BOOK_PHOTO_H
#define HANKLAB_BOOK_PHOTO_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/error.h"
#include "base/text.h"
#include "book/book.h"
#include "colour/uncertainty.h"
#include "measure/measure.h"
#include "measure/several.h"

/* A file of the book, by the SHA-256 of its bytes. */
struct kept_file {
    unsigned char sha256[32];
    size_t bytes;
};

/*
 * Writes the bytes to photos/ab/ab....jpg: temporary file, fsync, rename,
 * fsync of the folder. Needs no act; a file that is there already is left as
 * it is. A file that no record names does no harm.
 *
 * err  ERR_STORE  the disk is full, the folder cannot be written
 */
bool photo_keep(struct book *book, const unsigned char *data, size_t size,
                struct kept_file *out, struct error *err);

/* The path of a kept file; release with free(). */
char *photo_path(const struct book *book, const unsigned char sha256[32]);

/* What is known of a picture; texts may be "". */
struct photo_facts {
    uint32_t width, height; /* pixels, upright; 0 when not known */
    int orientation;        /* 1..8; 0 when not known */
    const char *camera, *profile;
    const char *taken; /* "2026-05-03 14:05:06" or "" */
    const char *shows; /* "colour", "tag", ... see schema */
    bool has_gps;
};

/* Adds the record of a kept file, or finds the one there is; that is brought
 * back if it was withdrawn, and told the profile if it had none. Needs an open
 * act. */
bool photo_record(struct book *book, const struct kept_file *file,
                  const struct photo_facts *facts, int64_t *id,
                  struct error *err);

/* A reading taken from a photo. */
struct photo_reading {
    int64_t skein_id;       /* or 0 */
    int64_t fibre_id;       /* or 0; exactly one of the two */
    int64_t after_entry_id; /* 0: the last step of the skein's life */
    int64_t card_id;        /* 0: unknown card, or one given by its values */
    struct lab card;        /* as used */
    bool wet;
    const char *part;  /* "whole", "covered", "exposed", "dipped", "rest" */
    const char *taken; /* day of the photo, "" when not known */
    int64_t photo_id;
    struct box card_box;
    struct box box;              /* of the skein; upright pixels */
    const char *assumed_profile; /* "" unless the dyer said */
    const char *corrected_by;    /* "" by the card alone */
    const char *known;           /* places of known colour, one a line, or "" */
    const struct measure_region *region;
    const struct measure_region *mean; /* NULL, or of several photos: what the
                                          reading says in place of region */
};

/* Adds a reading and its region. Needs an open act. */
bool photo_reading_add(struct book *book, const struct photo_reading *reading,
                       int64_t *id, struct error *err);

/* The last reading before this one of the same skein, after the same step, in
 * the same picture: the same bytes, whatever the file was called. 0 if none. */
bool photo_reading_again(struct book *book, int64_t reading, int64_t *before,
                         struct error *err);

/* Adds what another photo alone says to a reading that is the mean of several.
 * Needs an open act. */
bool photo_region_add(struct book *book, const struct photo_reading *of,
                      int64_t reading, struct error *err);

/*
 * Appends a note when the photo of a reading is of an earlier day than the step
 * its colour counts after, and how to say that it was before that; or when that
 * step dipped a part of the skein and the reading is of the whole; else
 * nothing. Cameras have wrong clocks, so that it is only told.
 */
bool photo_reading_doubt(struct book *book, int64_t reading, struct text *out,
                         struct error *err);

/* Whose colour a measured box holds; all 0 or NULL: it is only looked at. */
struct photo_place {
    int64_t skein_id, fibre_id;
    const char *new_skein; /* a skein of this name ("": of none) is made first,
                              and skein_id is set to it */
    int64_t reading_id;    /* set when it was kept */
};

/* A picture that was measured. */
struct photo_measured {
    const unsigned char *data; /* size bytes, the whole file */
    size_t size;
    const struct measure_request *request;
    const struct measure_result *result; /* of the request */
    struct photo_place *place;           /* request->regions of them */
    int64_t card_id;                     /* as of struct photo_reading */
    bool wet;
    const char *part;            /* NULL: "whole" */
    const char *assumed_profile; /* "" or NULL unless the dyer said */
    int64_t *camera_id; /* set to the camera that is kept; NULL: none is */
};

/* Whether the place's reading is one to keep: it is someone's, and was not
 * refused. */
bool photo_place_kept(const struct photo_measured *measured, size_t place);

/* Keeps the picture and those readings, and the camera that was learnt where it
 * is wanted, in one act, "measure"; without any, nothing. ERR_INPUT when no
 * camera was learnt, or a reading is lighter than any yarn. */
bool photo_measured_keep(struct book *book,
                         const struct photo_measured *measured,
                         struct error *err);

/* Places in several photos that hold one colour. */
struct photo_together {
    struct photo_place whose;
    const struct measure_region *mean; /* of them; its reading is kept unless
                                          it is nobody's or was refused */
    size_t count;                      /* 1..SEVERAL_MOST of them */
    struct {
        size_t photo, place;
    } of[SEVERAL_MOST];
};

/* Keeps the pictures (`place` of each is not looked at) and one reading of each
 * group in one act, "measure"; without any to keep, nothing. */
bool photo_together_keep(struct book *book, const struct photo_measured *photo,
                         size_t photos, struct photo_together *group,
                         size_t groups, struct error *err);

/* Reads a box from words, "X,Y,W,H" in pixels, rounded to whole ones.
 * ERR_INPUT. */
bool photo_box_read(const char *words, struct box *out, struct error *err);

/* Where the card lay when the picture was last measured; *known false when it
 * never was. */
bool photo_card_box(struct book *book, int64_t photo, struct box *out,
                    bool *known, struct error *err);

/* The card taken when none is named: the usual one, else the unknown card.
 * *id is 0 for the unknown card. By id when *id is not 0 on entry.
 * A card without a colour is taken as the unknown one. */
bool card_values(struct book *book, int64_t *id, struct measure_card *out,
                 struct error *err);

/* The colour an undyed yarn is known to have: its latest reading that is dry,
 * without a mordant, for D50 and 2 degree; known false when there is none. */
bool fibre_values(struct book *book, int64_t id, struct measure_card *out,
                  struct error *err);

#endif
