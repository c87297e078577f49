/* The small book of each version of the schema, in fixtures/books. */
#ifndef HANKLAB_TESTS_OLD_SUPPORT_H
#define HANKLAB_TESTS_OLD_SUPPORT_H

#include "support.h"

#define OLD_BOOKS "fixtures/books"

/* Puts the book of a version, and the photos it names, into a folder. */
void old_book_lay_out(int version, const char *dir);

/* Fails unless the book in the folder has every value of the list that was
 * made with the book of that version. */
void old_book_check_facts(int version, const char *dir);

#endif
