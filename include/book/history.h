/*
 * What was done, by whom and when; taking it back. Undo is a new act that
 * restores the old values; nothing of the history is ever removed.
 */
#ifndef HANKLAB_BOOK_HISTORY_H
#define HANKLAB_BOOK_HISTORY_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/error.h"
#include "base/text.h"
#include "book/book.h"
#include "book/noun.h"
#include "book/record.h"

/* One act. Texts are owned; release with history_acts_free. */
struct history_act {
    int64_t id;
    int64_t at;     /* UTC milliseconds */
    int offset_min; /* of the place, minutes east of UTC */
    char *what;     /* "log", "skein edit" */
    char *device;   /* NULL: the command line */
    int64_t undoes; /* the act it took back, or 0 */
    bool undone;    /* a later act took it back, and stands */
    size_t records; /* how many records it touched */
    char *about;    /* "bath 4 weld on madder, skeins 2, 3", of an import whose
                       they are before it; NULL: nothing */
    int64_t later;  /* the act that has to be taken back first, for it changed
                       one of the same records and stands; or 0 */
};

/* The latest `limit` acts, newest first; before: of those before that one, 0:
 * of all. */
bool history_acts(struct book *book, int64_t before, size_t limit,
                  struct history_act **out, size_t *count, struct error *err);

/* All of them, without what they touched: records and later 0, about NULL. */
bool history_acts_all(struct book *book, struct history_act **out,
                      size_t *count, struct error *err);
void history_acts_free(struct history_act *acts, size_t count);

/* "2026-05-03 14:05", as the clock at the place showed it. */
void history_act_when(const struct history_act *act, char out[24]);

/* Where it was done: "page", "kitchen phone", "command line". */
const char *history_act_by(const struct history_act *act);

/* What was done as a dyer says it: "logged", "taken back", of a record's own
 * commands "new" and "changed". */
const char *history_act_words(const struct history_act *act);

/* The act that has to be taken back before another, see `later`; acts are all
 * there are. */
bool history_later(struct book *book, const struct history_act *acts,
                   size_t count, int64_t act, int64_t *later,
                   struct error *err);

/* ERR_MISSING unless there is an act of that number. */
bool history_act_there(struct book *book, int64_t act, struct error *err);

/* One field of one record that an act changed; field NULL: it began. */
struct history_change {
    int64_t act;
    const struct noun *noun; /* NULL for a table that is no noun */
    int64_t record;
    char *label;     /* how the record is called today */
    char *field;     /* column */
    char *old, *new; /* as text, NULL for nothing */
    /* The same for people: the field's name; NULL for a column that only
     * follows from the words in another. */
    const char *what;
    char *was, *is;
};

/* What one act changed (noun and record 0), or all that ever happened to one
 * record (act 0), oldest first; of a skein what was done to it too, went in
 * with it, was measured and cut off, of a bath what was done in it, to which
 * skeins, and put in. ERR_MISSING when there is no such act. */
bool history_changes(struct book *book, int64_t act, const struct noun *noun,
                     int64_t record, struct history_change **out, size_t *count,
                     struct error *err);

/* The first `most` of what one act changed. edits: only fields of records that
 * were there before, and not that they were put away or came back. *more: there
 * are others. */
bool history_changes_first(struct book *book, int64_t act, bool edits,
                           size_t most, struct history_change **out,
                           size_t *count, bool *more, struct error *err);
void history_changes_free(struct history_change *changes, size_t count);

/*
 * Takes an act back, as an act of its own.
 *
 * act   0: the last one that has not been taken back and is no undo
 * done  the act that was taken back
 * err   ERR_MISSING  no such act, nothing to take back
 *       ERR_INPUT    a later act touched the same record, or made a record
 *                    that stands and needs it (both are named), it has been
 *                    taken back already, another record has the name by now,
 *                    or a skein or bath would become its own forebear
 */
bool history_undo(struct book *book, int64_t act, int64_t *done,
                  struct error *err);

/* The record as it was after an act; release with record_clear. ERR_MISSING
 * when it did not exist then, or there is no such act. */
bool history_record_at(struct book *book, const struct noun *noun,
                       int64_t record, int64_t act, struct record *out,
                       struct error *err);

/* Brings that state back, as an act of its own. ERR_INPUT when nothing has
 * changed since, and as for history_undo. */
bool history_bring_back(struct book *book, const struct noun *noun,
                        int64_t record, int64_t act, struct error *err);

#endif
