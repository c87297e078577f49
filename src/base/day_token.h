/* Private to base: the words of a day as tokens, for day_read.c. */
#ifndef HANKLAB_BASE_DAY_TOKEN_H
#define HANKLAB_BASE_DAY_TOKEN_H

#include <stdbool.h>
#include <stddef.h>

#include "base/day.h"

enum { TOKENS_MAX = 24 };

/*
 * kind: n number of 1 or 2 digits, Y year of 4, N day of 8 digits, M month
 * name, S season, D decade, U unknown ("?", "xx"), - / . signs, ~ a range,
 * T the letter before a time of day, W any other word.
 */
struct token {
    char kind;
    int value; /* month 1..12, season 0 spring .. 3 winter, or the number */
    int digits;
};

enum bound { BOUND_NONE, BOUND_BEFORE, BOUND_UNTIL, BOUND_AFTER, BOUND_SINCE };

struct tokens {
    struct day today;
    struct token token[TOKENS_MAX];
    size_t count;
    bool about;
    enum bound bound;
    int third; /* 1 early, 2 mid, 3 late, 0 not said */
};

/* Takes key apart, which is lower case with plain signs. A count above
 * TOKENS_MAX means that there were more. */
struct tokens tokens_of(const char *key, struct day today);

/* The year that two digits mean: at most next year. */
int tokens_year(struct day today, int two_digits);

#endif
