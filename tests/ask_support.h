/* A small book to ask, filled a record at a time. */
#ifndef HANKLAB_TESTS_ASK_SUPPORT_H
#define HANKLAB_TESTS_ASK_SUPPORT_H

#include "book/ask.h"
#include "book/record.h"
#include "support.h"

/* A fresh one for each test. */
extern struct book *ask_book;
int ask_book_open(void **state);
int ask_book_close(void **state);

/* Adds a record in an act of its own; its id. */
#define ADD(noun, ...)                                                         \
    ask_add(noun, (struct record_value[]){__VA_ARGS__},                        \
            sizeof((struct record_value[]){__VA_ARGS__}) /                     \
                sizeof(struct record_value))
int64_t ask_add(enum noun_id noun, const struct record_value *v, size_t n);

/* One skein, dry and whole; release with ask_skein_clear. */
struct ask_skein ask_one(int64_t id);

/* A bath with so much madder. */
void ask_pot(const char *name, const char *amount);

/* Dyes a new skein of 20 g in a new treatment of a bath; the treatment. */
int64_t ask_dye(const char *bath, const char *round, const char *on);

/* A reading from a photo, with or without a card; photos by a byte. */
int64_t ask_photo(const char *skein, unsigned char photo, int64_t card,
                  const char *camera, const char *taken);

#endif
