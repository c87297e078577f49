/*
 * Memory that is there or ends the program.
 *
 * Each function prints one line to standard error and calls abort() when
 * there is no memory; an open transaction then keeps the book whole. A size
 * that came from a file is checked by the caller first (ERR_LIMIT).
 */
#ifndef HANKLAB_BASE_MEM_H
#define HANKLAB_BASE_MEM_H

#include <stddef.h>

#define ARRAY_LEN(a) (sizeof(a) / sizeof((a)[0]))

/* n objects of size bytes, all zero; release with free(). n * size is checked
 * for overflow; zero bytes give a pointer that may be freed. */
void *mem_new(size_t n, size_t size);

/* Grows or shrinks p (NULL allowed) to n objects of size bytes; new bytes are
 * not set. */
void *mem_resize(void *p, size_t n, size_t size);

/* Room for one more than n objects of a row that grows one by one from NULL;
 * it is doubled when it is full. */
void *mem_room(void *p, size_t n, size_t size);

/* A copy of s, or NULL when s is NULL; release with free(). */
char *mem_text(const char *s);

/* A copy of the first n bytes of s with a NUL behind them. */
char *mem_text_n(const char *s, size_t n);

#endif
