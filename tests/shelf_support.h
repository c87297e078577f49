/* A random shelf: made in memory first, then written into books in any order,
 * so that answers can be reckoned from it the slow way. */
#ifndef HANKLAB_TESTS_SHELF_SUPPORT_H
#define HANKLAB_TESTS_SHELF_SUPPORT_H

#include <stdint.h>

#include "book/ask.h"
#include "book/record.h"
#include "support.h"

#define MATERIALS 9
#define SKEINS 320
#define ENTRIES 1600
#define BATHS 14
#define TREATMENTS 80
#define DOSES 120
#define POURS 6
#define ORIGINS 160
#define READINGS 1600

struct m_material {
    const char *name, *kind;
    bool none;
};
extern const struct m_material m_materials[MATERIALS]; /* alphabetical */

struct m_skein {
    bool withdrawn;
    int word; /* which own word, -1 none */
};
struct m_entry {
    int skein, treatment;
    double place;
    bool withdrawn;
};
struct m_treatment {
    const char *kind;
    int bath, round; /* -1 none */
    bool withdrawn;
};
struct m_dose {
    int bath, treatment, material, before; /* -1 none */
    const char *role;
    bool withdrawn;
};
struct m_pour {
    int bath, parent;
    bool withdrawn;
};
struct m_origin {
    int child, parent, after; /* after: an entry or -1 */
    bool withdrawn;
};
struct m_reading {
    int skein, after, day; /* each of a skein has a day of its own */
    struct lab lab;
    bool wet, withdrawn;
    const char *part, *illuminant, *source;
};

struct shelf {
    struct m_skein skein[SKEINS];
    struct m_entry entry[ENTRIES];
    struct m_treatment treatment[TREATMENTS];
    struct m_dose dose[DOSES];
    struct m_pour pour[POURS];
    struct m_origin origin[ORIGINS];
    struct m_reading reading[READINGS];
    int skeins, entries, treatments, doses, pours, origins, readings;
};

/* The ids that things got in one book. */
struct ids {
    int64_t material[MATERIALS], bath[BATHS], skein[SKEINS], entry[ENTRIES],
        treatment[TREATMENTS];
};

extern const char *const m_words[4]; /* own words */

/* A number from 0 to n - 1; the same row of them for the same seed. */
int dice(uint64_t *seed, int n);

void shelf_make(struct shelf *s, uint64_t seed);

/* Writes it into an empty book, in an order of its own for each seed. Skein i
 * gets the number i + 1, bath i the number i + 1. */
void shelf_write(const struct shelf *s, struct book *book, uint64_t seed,
                 struct ids *ids);

/* What a skein has gone through; sets are bits of materials. */
struct m_state {
    unsigned dyestuffs, mordants, dips, last;
    int layers, dye, bath, round; /* -1 none */
};

/* After each standing entry of a skein in order: at most ENTRIES; [0] is
 * before the first. Returns how many entries; entry[i] is the one before
 * state i, entry[0] is -1. */
#define STEPS 16
int m_life(const struct shelf *s, int skein, struct m_state state[STEPS],
           int entry[STEPS]);

/* The colour a skein had after an entry (-1: before any), as the book says it
 * is chosen: index of the reading, or -1. */
int m_colour(const struct shelf *s, int skein, int entry);

/* "alum + iron"; "" for an empty set. */
void m_names(unsigned set, char out[200]);

#endif
