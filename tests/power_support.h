/*
 * What a power cut can leave of a folder: a program's changes of it are
 * recorded (tests/shim/world.c), and then every moment of them can be looked
 * at as the disk may have it.
 *
 * The disk: what was written to a file is sure once that file was synced, and
 * a name that came, went or changed is sure once its folder was. All that is
 * not sure may be there or not, each for itself, in any order; a write may be
 * there in part, by sectors. Beside it the four plain cases.
 */
#ifndef HANKLAB_TESTS_POWER_SUPPORT_H
#define HANKLAB_TESTS_POWER_SUPPORT_H

#include "support.h"

enum power_loss {
    POWER_NOTHING_MORE, /* what was not sure is gone */
    POWER_ALL,          /* or all there, as after a kill */
    POWER_NAMES,        /* the names are there, what was written is not */
    POWER_WRITES,       /* and the other way round */
    POWER_CHANCE,       /* each by chance, and torn */
};

struct power;

/* Before the first recorded program: all that is in root is sure. */
struct power *power_new(const char *root);
void power_free(struct power *p);

/* Reads what was recorded since power_new. */
void power_read(struct power *p, const char *record);

/* How many changes there were; how many of the first n are "said": answers
 * that the program gave. */
size_t power_count(const struct power *p);
size_t power_said(const struct power *p, size_t n);

/* How much may be at stake right after the first n: least after a write, more
 * after what makes sure or changes a name, most after an answer and where a
 * file took a name that another may have had. */
enum power_stake { POWER_WRITTEN, POWER_SURE, POWER_ANSWERED };
enum power_stake power_stake(const struct power *p, size_t n);

/* Makes a folder as the disk may have root when the power is cut after n
 * changes. chance is of POWER_CHANCE: the same one makes the same disk. */
void power_cut(const struct power *p, size_t n, enum power_loss how,
               uint64_t chance, const char *to);

#endif
