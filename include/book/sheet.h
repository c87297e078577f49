/*
 * All that is known of one skein, or of one pot, in the order of its life:
 * what the command line shows and the page prints. Texts are owned by the
 * sheet; nothing is guessed, and what is not recorded is named.
 *
 * All errors are ERR_STORE unless said.
 */
#ifndef HANKLAB_BOOK_SHEET_H
#define HANKLAB_BOOK_SHEET_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/error.h"
#include "base/text.h"
#include "book/ask.h"
#include "book/book.h"
#include "book/record.h"
#include "colour/lab.h"

/* Something that went into a bath or a treatment. */
struct sheet_dose {
    int64_t id;
    char *what;       /* the material as the book calls it */
    char *role;       /* "dyestuff", "mordant", ... */
    char *words;      /* the amount as typed, or NULL */
    char *understood; /* "12 % of the fibre: 10.2 g on 85 g"; NULL: no more
                         than the words say */
    char *state, *known, *added, *supply, *note; /* or NULL */
    double minute;                               /* NaN: not recorded */
    int before_round;     /* of a bath: 0 before its first */
    int64_t supply_id;    /* or 0 */
    char *from;           /* the bath that it was poured over with, or NULL */
    bool none;            /* "no mordant", on purpose */
    double low_g, high_g; /* NaN: not known, or never reckoned */
    double low_pct, high_pct; /* of the dry fibre */
};

struct sheet_doses {
    struct sheet_dose *dose;
    size_t count;
};

/* A colour that was read. */
struct sheet_reading {
    int64_t id, after_entry_id; /* 0: before any step */
    struct lab lab;             /* under its own illuminant and observer */
    struct lab u;     /* standard uncertainties, absolute; NaN: not recorded */
    struct lab level; /* SD over the area; NaN: not recorded */
    bool wet;
    char *part, *illuminant, *source; /* "whole", "D50", "photo" */
    int photos;                       /* it is from; their mean */
    int observer_deg;
    char *with; /* the card or the instrument, or NULL */
    char *on, *note;
};

/* What it was read by: "photo", "3 photos", "instrument", "eye". */
void sheet_reading_by(const struct sheet_reading *reading, struct text *out);

/* "dipped part", "the rest of it" of a reading's part. */
const char *sheet_part_words(const char *part);

struct sheet_readings {
    struct sheet_reading *reading;
    size_t count;
};

/* A step of a skein's life, or a cut in it. */
struct sheet_step {
    struct life_event event; /* its texts are those of skein_sheet.life */
    bool own;                /* of this skein, not of what it was cut from */
    struct record treatment, entry; /* zero for a cut */
    char *ph;                       /* as typed, " and " between, or NULL */
    struct sheet_doses doses;
    struct sheet_readings readings; /* taken after it; before a cut, of the
                                       skein it was then */
    bool plied; /* a cut: it and others were made into one */
};

struct skein_sheet {
    struct record skein;
    struct ask_skein now;
    struct life life;
    struct sheet_step *step;
    size_t steps;
    struct sheet_readings before; /* taken before its first step */
    struct record *piece;         /* origins of what was cut off it */
    size_t pieces;
    double left_g;          /* NaN: nothing was cut off, or not known */
    struct record *sight;   /* kept pictures it is seen on, glows seen */
    struct record *picture; /* the photo of each; noun is NULL: by eye */
    size_t sights;
    char *cut_up;   /* "cut into 8a, 8b" when nothing of it is left, or NULL */
    char **lacking; /* what is not recorded, in words */
    size_t lacks;
};

/* Release with skein_sheet_clear. ERR_MISSING. */
bool sheet_of_skein(struct book *book, int64_t skein, struct skein_sheet *out,
                    struct error *err);
void skein_sheet_clear(struct skein_sheet *sheet);

/* A skein in a round of a pot. */
struct sheet_entry {
    struct ask_skein skein; /* as it is today */
    struct record entry;
    char *mordants, *dips; /* names, at the time; NULL: none recorded */
    char *mordants_much;   /* "alum 12 %, iron", as typed; NULL as before */
    bool has_colour;       /* read after this step: */
    struct ask_reading reading;
};

struct sheet_round {
    struct record treatment;
    char *ph; /* or NULL */
    struct sheet_entry *entry;
    size_t entries;
};

struct pot_sheet {
    struct record bath;
    struct sheet_doses doses;
    struct record *pour, *extraction, *ph; /* pH without a round */
    size_t pours, extractions, phs;
    struct record *into; /* pours of it into other baths */
    size_t intos;
    struct sheet_round *round; /* in the order of their numbers; those of a
                                  vat in the order they were written down */
    size_t rounds;
    int64_t *skipped; /* rounds below the last that are not recorded */
    size_t skips;
};

/* Release with pot_sheet_clear. ERR_MISSING. */
bool sheet_of_pot(struct book *book, int64_t bath, struct pot_sheet *out,
                  struct error *err);
void pot_sheet_clear(struct pot_sheet *sheet);

/* What it is called, NULL for a pot without a name, and what was in it at
 * first, as typed: "alum 12 %, madder 60 %, pH 7", or "". */
struct pot_head {
    char *name, *facts;
};

/* Release with pot_head_clear. ERR_MISSING. */
bool sheet_of_pot_head(struct book *book, int64_t bath, struct pot_head *out,
                       struct error *err);
void pot_head_clear(struct pot_head *head);

#endif
