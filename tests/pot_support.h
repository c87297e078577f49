/* What the tests of logging a pot share. */
#ifndef HANKLAB_TESTS_POT_SUPPORT_H
#define HANKLAB_TESTS_POT_SUPPORT_H

#include "support.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "book/book.h"
#include "book/pot.h"
#include "book/record.h"

#define WORDS(...)                                                             \
    (struct pot_words)                                                         \
    {                                                                          \
        (const char *const[]){__VA_ARGS__},                                    \
            sizeof((const char *const[]){__VA_ARGS__}) / sizeof(const char *)  \
    }

static inline int fresh_book(void **state)
{
    struct error err;
    struct book *book;

    check_ok(book_open(":memory:", &book, &err), &err);
    *state = book;
    return 0;
}

static inline int close_book(void **state)
{
    book_close(*state);
    return 0;
}

/* Logs and must succeed; echo may be NULL. */
static inline struct pot_result logged(struct book *book, struct pot_entry pot,
                                       struct text *echo)
{
    struct pot_result r;
    struct error err;

    check_ok(pot_log(book, &pot, &r, echo, &err), &err);
    return r;
}

/* Logs and must be refused with words that have `part` in them. */
static inline void refused(struct book *book, struct pot_entry pot,
                           const char *part)
{
    struct pot_result r;
    struct error err = {0};

    if (pot_log(book, &pot, &r, NULL, &err))
        fail_msg("not refused: \"%s\"", part);
    if (!strstr(err.text, part))
        fail_msg("\"%s\" says nothing of \"%s\"", err.text, part);
    assert_null(strchr(err.text, '\n'));
}

static inline void check_says(const char *text, const char *part)
{
    if (!strstr(text, part))
        fail_msg("no \"%s\" in:\n%s", part, text);
}

/* Questions and cautions, a line each. */
static inline char *notes_of(const struct pot_result *r)
{
    struct text t = {0};

    for (size_t i = 0; i < r->notes; i++)
        text_addf(&t, "%s\n", r->note[i]);
    for (size_t i = 0; i < r->cautions; i++)
        text_addf(&t, "%s\n", r->caution[i]);
    return text_take(&t);
}

static inline size_t count_of(struct book *book, enum noun_id noun)
{
    struct error err;
    int64_t *ids;
    size_t n;

    check_ok(record_ids(book, noun, true, &ids, &n, &err), &err);
    free(ids);
    return n;
}

static inline size_t all_records(struct book *book)
{
    size_t n = 0;

    for (int i = 0; i < NOUN_COUNT; i++)
        n += count_of(book, (enum noun_id)i);
    return n;
}

/* The words of one field of a record; "" when not recorded. */
static inline const char *words_of(struct book *book, enum noun_id noun,
                                   int64_t id, const char *field)
{
    static char out[256];
    const struct record_field *f;
    struct record r;
    struct error err;

    check_ok(record_read(book, noun, id, &r, &err), &err);
    f = record_get(&r, field);
    snprintf(out, sizeof out, "%s", f ? f->words : "");
    record_clear(&r);
    return out;
}

/* The treatments of a skein's life in order: "mordant dye dip". */
static inline void check_life(struct book *book, int64_t skein,
                              const char *want)
{
    struct text got = {0};
    struct error err;
    int64_t *ids;
    size_t n;

    check_ok(record_children(book, NOUN_ENTRY, "skein", skein, &ids, &n, &err),
             &err);
    for (size_t i = 0; i < n; i++) {
        struct record r;
        check_ok(record_read(book, NOUN_ENTRY, ids[i], &r, &err), &err);
        int64_t treatment = record_get(&r, "treatment")->ref_id;
        record_clear(&r);
        text_addf(&got, "%s%s", i ? " " : "",
                  words_of(book, NOUN_TREATMENT, treatment, "kind"));
    }
    check_text("life", text_str(&got), want);
    text_clear(&got);
    free(ids);
}

/* "material words unit role before" of every dose there is, a line each. */
static inline char *doses_in(struct book *book)
{
    struct text t = {0};
    struct error err;
    int64_t *ids;
    size_t n;

    check_ok(record_ids(book, NOUN_DOSE, false, &ids, &n, &err), &err);
    for (size_t i = 0; i < n; i++) {
        text_addf(&t, "%s", words_of(book, NOUN_DOSE, ids[i], "material"));
        text_addf(&t, "|%s", words_of(book, NOUN_DOSE, ids[i], "amount"));
        text_addf(&t, "|%s", words_of(book, NOUN_DOSE, ids[i], "role"));
        text_addf(&t, "|%s\n",
                  words_of(book, NOUN_DOSE, ids[i], "before-round"));
    }
    free(ids);
    return text_take(&t);
}

#define TEST(f) cmocka_unit_test_setup_teardown(f, fresh_book, close_book)

#endif
