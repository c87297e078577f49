/* The forms in which something is logged: questions, their answers as the words
 * of a struct pot_entry, and how they were read. */
#ifndef HANKLAB_WEB_FORM_H
#define HANKLAB_WEB_FORM_H

#include <stddef.h>

#include "base/error.h"
#include "book/pot.h"
#include "request.h"

#define FORM_WORDS 64 /* of one kind, at most */

struct question {
    const char *name, *label, *hint;
    size_t at; /* in struct pot_entry: const char * or struct pot_words */
    bool many;
};

#define ASK_ONE(name, label, hint, member)                                     \
    {                                                                          \
        name, label, hint, offsetof(struct pot_entry, member), false           \
    }
#define ASK_MANY(name, label, hint, member)                                    \
    {                                                                          \
        name, label, hint, offsetof(struct pot_entry, member), true            \
    }

/* What was said before, offered to the questions of that name while one types;
 * once a page, before them. */
bool form_lists(struct request *r, struct error *err);

/* " list=..." of a question there is such a list for. */
void form_list(struct text *o, const char *name);

/* What was answered; words has room for FORM_WORDS. */
void form_read(const struct request *r, const struct question *q,
               const char **words, struct pot_entry *pot);

/* The question with what was answered, or what the address presets. When why
 * is about it, its field is marked and has the cursor, and why stands below. */
void form_question(struct request *r, const struct question *q,
                   const struct error *why);

/* The same for a single field that is no member of an entry. */
void form_field(struct request *r, const char *name, const char *label,
                const char *hint, const char *words, const struct error *why);

/* Whether why begins with the name of the field; why may be NULL. */
bool form_blames(const struct error *why, const char *name);

/* Why nothing was done, above the fields. */
void form_why(struct request *r, const struct error *why);

/* " aria-invalid ..." of a field that is blamed; its sentence below it. */
void form_mark(struct text *o);
void form_mark_why(struct text *o, const char *why);

/* "Read as": how everything was understood. done is said of each skein that is
 * in the book: "dyed over", "dipped". */
bool form_echo(struct request *r, const struct text *echo,
               const struct pot_result *result, const char *done,
               struct error *err);

/* "2 (code 29, tansy on alum)", what a skein is before anything is done. */
bool form_skein(struct request *r, int64_t id, struct text *out,
                struct error *err);

/* Each line as an element of that name. */
void form_lines(struct text *o, const char *element, const char *lines);

/* Cautions, a line each, and the closing line; nothing when there are none. */
void form_caution(struct text *o, const char *lines);

/* Save and "How is it read?". */
void form_buttons(struct request *r, const char *save);

/*
 * Reads which skein is meant, with anything that pot_skein_read knows behind
 * it; release with pot_skein_clear.
 *
 * new_too  a number or a name that no skein has is that of a new one
 */
bool form_which(const char *words, bool new_too, struct pot_skein *out,
                struct error *err);

#endif
