/* Private to the book: the parts of a file that is handed on. */
#ifndef HANKLAB_BOOK_GIVE_H
#define HANKLAB_BOOK_GIVE_H

#include "book/exchange.h"
#include "book/store.h"

/* A photo as it goes: a copy without what is private. */
struct give_photo {
    int64_t id;
    unsigned char sha256[32], original[32]; /* of the copy, of the first file */
    size_t size;
};

struct give {
    struct book *book;
    const struct exchange_pick *pick;
    struct exchange_given *given;
    size_t asked;             /* skeins that were picked */
    struct give_photo *photo; /* by id */
    size_t photos;
    char dyer_uid[33];
    char *dyer;    /* whose book it is from */
    char made[21]; /* "2026-05-03T14:05:06Z" */
};

/* Fills the table "chosen" (noun, id) of the connection with what was picked
 * and all that it needs. */
bool give_choose(struct give *give, struct error *err);

/* Makes the copies once, to know their hashes; what cannot be read any more is
 * taken off again. */
bool give_photos(struct give *give, struct error *err);

/* The copy of photo n; release *data. */
bool give_photo_copy(const struct give *give, size_t n, unsigned char **data,
                     size_t *size);

/* The photo of that id, or NULL. */
const struct give_photo *give_photo_of(const struct give *give, int64_t id);

/* "photos/ab12....jpg" of the copy. */
void give_photo_name(const struct give_photo *photo, struct text *out);

/* Ids of what was chosen of a kind, in their order; release *ids. */
bool give_ids(struct give *give, enum noun_id noun, int64_t **ids,
              size_t *count, struct error *err);

/* All records as JSON; a table as CSV; the page. */
bool give_json(struct give *give, struct text *out, struct error *err);
bool give_table(struct give *give, enum noun_id noun, struct text *out,
                struct error *err);
bool give_page(struct give *give, struct text *out, struct error *err);

#endif
