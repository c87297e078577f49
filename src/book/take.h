/* Private to the book: a file that came, read record by record. */
#ifndef HANKLAB_BOOK_TAKE_H
#define HANKLAB_BOOK_TAKE_H

#include <jansson.h>

#include "book/exchange.h"
#include "book/archive.h"
#include "book/id_map.h"
#include "book/rows.h"

/* ---- the JSON (take_json.c) ---------------------------------------------- */

/* Where the records of each kind stand in the text. */
struct take_json {
    const char *text;
    size_t size;
    unsigned char dyer_uid[16];
    bool has_dyer;
    char *dyer_name;
    char made_on[11];
    bool places;
    struct {
        size_t *at, count;
    } of[NOUN_COUNT];
};

/* Finds the records, checks the frame, and that the version is one we know. */
bool take_json_open(const char *text, size_t size, struct take_json *out,
                    struct error *err);
void take_json_clear(struct take_json *json);

/* One value of a record; of its column's kind. */
struct take_value {
    enum { TAKE_NONE, TAKE_WHOLE, TAKE_REAL, TAKE_TEXT, TAKE_BYTES } is;
    int64_t whole; /* of a reference the local id, once it is known */
    double real;
    const char *text; /* lies in the record's json */
    unsigned char bytes[32];
    size_t size;
};

struct take_record {
    const struct row_table *table;
    size_t number; /* in the file, from 1 */
    unsigned char uid[16];
    int64_t changed_at;
    bool withdrawn;
    struct take_value *value; /* table->count */
    json_t *json;
};

/* Reads record n, checked against the columns; release with
 * take_record_clear. */
bool take_record_read(const struct take_json *json,
                      const struct row_table *table, size_t n,
                      struct take_record *out, struct error *err);
void take_record_clear(struct take_record *record);

/* ---- taking in ----------------------------------------------------------- */

struct take {
    struct book *book;
    struct exchange_taken *taken;
    struct take_json json;
    struct archive *archive;
    char *folder; /* of hanklab.json in it */
    struct row_table table[NOUN_COUNT];
    int64_t giver;      /* the dyer whose file it is, 0: not known */
    struct id_map left; /* uids (their first 8 bytes) that were left out */
    bool look, own;
};

/* A record's column as words, or NULL; release with free(). */
char *take_words(struct take *t, const struct row_column *c,
                 const struct take_value *v);

/* Adds an item; label, here and there are taken over. */
void take_tell(struct take *t, enum exchange_what what, const struct noun *noun,
               char *label, const char *field, char *here, char *there);

/* The column of that name, or NULL; *at its index. */
const struct row_column *take_column(const struct row_table *table,
                                     const char *name, size_t *at);

/* The local record that a uid of the file means, 0: none (take.c). */
bool take_find(struct take *t, enum noun_id noun, const unsigned char uid[16],
               int64_t *id, struct error *err);

/* Notes that a uid of the file means that record here. */
bool take_note(struct take *t, const struct take_record *r, int64_t id,
               struct error *err);

/* Whether a record is, or is part of, what that dyer owns. */
bool take_is_of(struct take *t, enum noun_id noun, int64_t id, int64_t dyer,
                bool *is, struct error *err);

/* Whether a record, as the file has it, would be mine or add to what is. */
bool take_adds_to_mine(struct take *t, const struct take_record *r, bool *adds,
                       struct error *err);

/* A record that is here already: same, older, to be changed or kept
 * (take_here.c). adopted: it is here under another uid, and stays. */
bool take_here(struct take *t, struct take_record *r, int64_t id, bool adopted,
               struct error *err);

/* A record of the same name, or the same photo, that will do; 0: none. May
 * change a name in r that is taken (take_new.c). */
bool take_adopt(struct take *t, struct take_record *r, int64_t *id, bool *drop,
                struct error *err);

/* ERR_INPUT when a record is after a step, or compares a reading, of another
 * skein than its own. */
bool take_check(struct take *t, const struct take_record *r, struct error *err);

/* Adds a record that is not here yet. */
bool take_new(struct take *t, struct take_record *r, struct error *err);

/* The folded form a key column holds; NULL: no text. Release with free(). */
char *take_key(const struct row_table *table, size_t key,
               const struct take_record *r);

/* Binds a value to a parameter. */
void take_bind(struct stmt *q, const char *name, const struct take_value *v);

/* Whether another standing record of that kind, and dyer, has the name. */
bool take_name_taken(struct take *t, enum noun_id noun, int64_t dyer,
                     const char *name, int64_t but, bool *taken,
                     struct error *err);

#endif
