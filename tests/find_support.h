/*
 * What finding makes of drawn photographs, of which it is known for every
 * pixel what lies there (scene --masks), and of photographs of charts. For the
 * tests, and for "make accuracy".
 */
#ifndef HANKLAB_TESTS_FIND_SUPPORT_H
#define HANKLAB_TESTS_FIND_SUPPORT_H

#include "support.h"

#include "measure/find.h"

/* Of the boxes that were looked for: found with at least 99 of 100 pixels on
 * the one thing that was meant; found otherwise; refused. */
struct finds_count {
    size_t right, wrong, refused;
};

double finds_pct(struct finds_count c); /* of right; NaN where none */

struct finds {
    struct finds_count card_taps, skein_taps; /* five taps on each */
    struct finds_count cards, skeins;         /* without a tap */
};

/* What is said in each picture that is not all right or refused goes to
 * standard output as "#   ..." when `tell`. */
struct finds finds_of_fixtures(bool tell);
struct finds finds_of_set(const char *kind, int count, int seed, bool tell);

/* A scene of fixtures/ on another table, which also has its skeins dealt with
 * one by one. */
struct finds finds_on_table(const char *scene, const char *table, bool tell);

/* Taps on the patches of the charts of photos(): right where the box lies on
 * that patch and on no other. */
struct finds_count finds_on_charts(void);

/* Photographs of photos() without a grey card by itself: `right` those where
 * none was found. */
struct finds_count finds_without_card(void);

#endif
