/*
 * The numeric chain, from a code of a picture to a colour, against the same
 * worked apart in long double. For the tests, and for "make accuracy".
 */
#ifndef HANKLAB_TESTS_CHAIN_SUPPORT_H
#define HANKLAB_TESTS_CHAIN_SUPPORT_H

#include <stddef.h>

struct chain {
    size_t colours;
    double worst; /* dE00 from the reference */
    double card;  /* the card's own Lab after correction, worst coordinate */
};

/* Codes of sRGB on a grid beside cards of several lights and values. */
struct chain chain_compare(void);

#endif
