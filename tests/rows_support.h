/* What is in a book, in words. */
#ifndef HANKLAB_TESTS_ROWS_SUPPORT_H
#define HANKLAB_TESTS_ROWS_SUPPORT_H

#include "support.h"

/* Every row of every table, but for what chance and the clock make; opens as
 * the program does, which recovers what a killed one left. NULL when there is
 * no book; else release with free(). */
char *book_rows(const char *dir);

#endif
