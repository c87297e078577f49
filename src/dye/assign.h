/*
 * The assignment problem: one column for each of n targets, so that what they
 * cost together is least.
 *
 * Source: Jonker, Volgenant, Computing 38 (1987) 325 (from memory).
 */
#ifndef HANKLAB_DYE_ASSIGN_H
#define HANKLAB_DYE_ASSIGN_H

#include <stddef.h>

/*
 * cost    n rows of m; HUGE_VAL: not to be had
 * n       at most m
 * column  column[i] becomes that of target i
 */
void assign(const double *cost, size_t n, size_t m, size_t *column);

#endif
