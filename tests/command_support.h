/* "hanklab" as a process of its own, and what its book holds afterwards. */
#ifndef HANKLAB_TESTS_COMMAND_SUPPORT_H
#define HANKLAB_TESTS_COMMAND_SUPPORT_H

#include "support.h"

#include <sys/types.h>

enum { COMMAND_WORDS = 16 }; /* at most */

/* Before any other: folder is the test's own. */
void command_begin(const char *folder);

/* Begins "hanklab WORDS...", up to a NULL; waits for it and gives its wait
 * status; both at once. */
pid_t command_start(const char *const *words);
int command_end(pid_t child);
int command_run(const char *const *words);

/* The same; fails with what it said unless it succeeds. */
void command_does(const char *const *words);

/* What the last one said to standard error; release with free(). Fails with
 * it. */
char *command_said(void);
void command_failed(const char *what);

/*
 * Every record of a book, a line each, "TABLE|ID|...", tables by name, ids
 * rising; release with free(). What can be made from them again is left out:
 * "hanklab check" compares that.
 */
char *book_contents(const char *dir);

struct book_difference {
    size_t more, other; /* records that are new, and that say something else */
};

/* Fails when a record that was there is not. */
struct book_difference book_difference(const char *was, const char *is);

/* A measurable photo at path, of other bytes than any before it. */
void photo_fresh(const char *path);

#endif
