/*
 * Every kind of record and its fields, in one table: commands, options, help,
 * completion, the manual page, forms and the statements themselves are made
 * from it, so that they cannot drift apart.
 */
#ifndef HANKLAB_BOOK_NOUN_H
#define HANKLAB_BOOK_NOUN_H

#include <stdbool.h>
#include <stddef.h>

/* In the order of the table. */
enum noun_id {
    NOUN_DYER,
    NOUN_MATERIAL,
    NOUN_ALIAS,
    NOUN_SUPPLY,
    NOUN_FIBRE,
    NOUN_WATER,
    NOUN_SKEIN,
    NOUN_ORIGIN,
    NOUN_BATH,
    NOUN_POUR,
    NOUN_EXTRACTION,
    NOUN_TREATMENT,
    NOUN_ENTRY,
    NOUN_DOSE,
    NOUN_PH,
    NOUN_PHOTO,
    NOUN_SIGHT,
    NOUN_CARD,
    NOUN_CAMERA,
    NOUN_READING,
    NOUN_REGION,
    NOUN_TEST,
    NOUN_PROJECT,
    NOUN_WISH,
    NOUN_TASK,
    NOUN_COUNT
};

/* How the words of a field are read, and which columns they fill. COL stands
 * for the field's column name. */
enum field_kind {
    FIELD_TEXT,    /* COL: as typed, UTF-8, up to 16 kB */
    FIELD_NAME,    /* COL and COL_key (folded) */
    FIELD_CODE,    /* COL and COL_key (folded; 0 as o, 1 l 7 as i, 8 as b) */
    FIELD_CHOICE,  /* COL: one of choices, "a|b|c" */
    FIELD_FLAG,    /* COL: yes or no as 1 or 0 */
    FIELD_WHOLE,   /* COL: a whole number from min to max */
    FIELD_REAL,    /* COL: a number from min to max */
    FIELD_WEIGHT,  /* COL_words, COL_low_g, COL_high_g */
    FIELD_LENGTH,  /* COL_words, COL_low_m, COL_high_m */
    FIELD_VOLUME,  /* COL_words, COL_low_l, COL_high_l */
    FIELD_DOSE,    /* COL_words, COL_unit, COL_low, COL_high */
    FIELD_DAY,     /* COL_words, COL_from, COL_to */
    FIELD_PH,      /* COL_words, COL_low, COL_high, COL_how */
    FIELD_HEAT,    /* COL_words, COL_low_c, COL_high_c */
    FIELD_MINUTES, /* COL_words, COL_low_min, COL_high_min */
    FIELD_ROUND,   /* COL: "first", "exhaust 2" or a number from 0 */
    FIELD_REF,     /* COL_id: another record, by its number, name or #id */
    FIELD_LAB,     /* L, a, b as "L,a,b" */
    FIELD_SIGMA,   /* uL, ua, ub as "uL,ua,ub" */
};

enum field_flag {
    FIELD_NEEDED = 1 << 0,  /* a record cannot be without it */
    FIELD_FIXED = 1 << 1,   /* set when the record is made, not edited later */
    FIELD_MAKES = 1 << 2,   /* a name that is not there yet makes the record */
    FIELD_OWN = 1 << 3,     /* filled by the program: shown, not an option */
    FIELD_PRIVATE = 1 << 4, /* left out of what goes to others */
    FIELD_FIRST = 1 << 5,   /* may be given without its option's name */
    FIELD_INNER = 1 << 6,   /* tells people nothing: in --json and --csv only */
    FIELD_MORE = 1 << 7,    /* seldom said: folded away in a form */
    FIELD_PART = 1 << 8,    /* of the one it names: goes with it, adds to it */
};

struct field {
    const char *name;  /* option and JSON key: "after-entry" */
    const char *title; /* on a page: "After which step" */
    enum field_kind kind;
    const char *column;  /* COL */
    unsigned flags;      /* enum field_flag */
    const char *help;    /* one line, says the unit */
    const char *choices; /* FIELD_CHOICE */
    enum noun_id ref;    /* FIELD_REF */
    double min, max;     /* FIELD_WHOLE, FIELD_REAL */
    const char *preset;  /* the words meant when none are given, or NULL */
};

struct noun {
    enum noun_id id;
    const char *name;   /* "skein" */
    const char *plural; /* "skeins" */
    const char *help;   /* one sentence on what it is */
    const char *group;  /* one of noun_groups, the pointer itself */
    const char *owner;  /* column with whose it is ("dyer_id"), or NULL */
    const struct field *fields;
    size_t field_count;
};

extern const struct noun nouns[NOUN_COUNT];
extern const size_t noun_count;

/* What nouns have to do with, in the order help lists them. */
extern const char *const noun_groups[];
extern const size_t noun_group_count;

/* By name; NULL when there is none. */
const struct noun *noun_find(const char *name);
const struct field *noun_field(const struct noun *noun, const char *name);

#endif
