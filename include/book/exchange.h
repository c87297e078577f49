/*
 * Results handed on to another dyer, and taken in from her: one zip file that
 * holds records as JSON, tables as CSV, photos, and a page that any browser
 * shows. docs/exchange.md describes it, docs/exchange.schema.json its records.
 */
#ifndef HANKLAB_BOOK_EXCHANGE_H
#define HANKLAB_BOOK_EXCHANGE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/error.h"
#include "base/text.h"
#include "book/book.h"
#include "book/noun.h"

/* ---- handing on ---------------------------------------------------------- */

/* What is to go: these skeins, or all that the book holds. */
struct exchange_pick {
    const int64_t *skein;
    size_t skeins;
    bool all;
    bool places; /* the places where things were gathered, too */
    bool plans;  /* with all: projects, too, and liquors nothing is dyed in */
};

struct exchange_given {
    size_t count[NOUN_COUNT]; /* records of each kind */
    size_t along; /* skeins that were not asked for, but shared a pot, were
                     cut off or plied: amounts are wrong without them */
    size_t photos, lost; /* that went; that cannot be read any more */
    struct text told;    /* a line about each of these, at most 20 */
};

/*
 * Writes what was picked into a new file. Baths go whole, with all that was in
 * them. A photo goes as a copy without the place, the owner, and the numbers of
 * the camera; the hash of the original goes with it. Withdrawn records go only
 * where others name them; what a camera was learnt to do never goes.
 * Projects are about skeins by their numbers, so without plans they stay, and
 * with them liquors they had drawn out in which nothing was dyed.
 *
 * path  NULL: only looks what would go
 * out   release with exchange_given_clear, also after a failure
 * err   ERR_INPUT  there is a file of that name, nothing to give, or plans of
 *                  a choice of skeins
 *       ERR_STORE  no room, no permission
 */
bool exchange_give(struct book *book, const char *path,
                   const struct exchange_pick *pick, struct exchange_given *out,
                   struct error *err);
void exchange_given_clear(struct exchange_given *given);

/* ---- taking in ----------------------------------------------------------- */

#define EXCHANGE_JSON_MAX (512u << 20) /* bytes of hanklab.json, unpacked */

/* A file that came: at a path, its bytes, or what exchange_unpack makes of it
 * in another process. */
struct exchange_file {
    const char *path; /* NULL: these bytes, borrowed */
    const unsigned char *data;
    size_t size;
    int ask, answer; /* pipes to that process; 0: there is none */
};

/* For a process that may do nothing else: unpacks what it is asked for through
 * one pipe, writing it to another, until nobody asks any more. */
void exchange_unpack(const unsigned char *data, size_t size, int ask, int to);

/* Something of a file worth looking at before it is taken in. */
enum exchange_what {
    EXCHANGE_CHANGED,  /* another's record, not touched here: is changed */
    EXCHANGE_CONFLICT, /* changed here and there: stays as it is here */
    EXCHANGE_YOURS,    /* yours, or a name both use: stays as it is here */
    EXCHANGE_ADDS,     /* would add to what is yours: is left out */
    EXCHANGE_RENAMED,  /* comes under another name or number */
    EXCHANGE_WHATS
};

struct exchange_item {
    enum exchange_what what;
    const struct noun *noun;
    char *label;        /* how the record is called here */
    const char *field;  /* the field's title; "" for EXCHANGE_ADDS */
    char *here, *there; /* its words in the book and in the file, or NULL */
};

#define EXCHANGE_ITEMS 500 /* that are told one by one */

struct exchange_taken {
    char *from;               /* whose file it is */
    char made_on[11];         /* "2026-05-03", or "" */
    size_t fresh[NOUN_COUNT]; /* records that come in */
    char *skeins; /* of these the first: "Aino/1, Aino/2", or NULL */
    size_t same;  /* records that are here already, the same */
    size_t older; /* of which a later file is here already */
    size_t count[EXCHANGE_WHATS]; /* records, of each kind of item */
    struct exchange_item *item;   /* a field each */
    size_t items;
    int64_t act; /* that took it in; 0: nothing was new, or it was looked at */
};

/*
 * Takes a file in, in one act, "import", or only looks what that would do. What
 * is yours stays as it is, and so does what you changed of another's; her later
 * changes to what you left alone are taken over. What would add to your own
 * records (a dose to your bath, a reading of your skein) is left out unless
 * `own`. A file that was taken in before changes nothing.
 *
 * look  the book stays as it was
 * out   release with exchange_taken_clear, also after a failure
 * err   ERR_MISSING no such file; ERR_INPUT no hanklab file, damaged, of a
 * newer hanklab, a photo with another hash; ERR_LIMIT; ERR_STORE. Nothing is
 *       changed then.
 */
bool exchange_take(struct book *book, const struct exchange_file *file,
                   bool look, bool own, struct exchange_taken *out,
                   struct error *err);
void exchange_taken_clear(struct exchange_taken *taken);

/* How many records come in or change: 0 when the file holds nothing new. */
size_t exchange_news(const struct exchange_taken *taken);

/* "Comes in from Aino, 2026-05-03: 3 skeins (Aino/1 to 3), 1 bath" and what
 * else is worth a line, without the items. */
void exchange_taken_words(const struct exchange_taken *taken, struct text *out);

/* What an item is about, as a heading. */
const char *exchange_what_words(enum exchange_what what);

#endif
