/*
 * Values that cannot be, and values that do not go together: each field of
 * each noun, added and edited, alone and in pairs, is taken or refused in the
 * dyer's words. What the store itself says never gets through.
 */
#include "support.h"

#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "book/record.h"

/* What a dyer, or a slip of the hand, may put into any field. */
static const char *const words[] = {
    "",
    "soup",
    "-1",
    "0",
    "1",
    "2",
    "5",
    "3.5",
    "1e300",
    "99999999999999999999",
    "nan",
    "inf",
    "-5 g",
    "9-3 g",
    "9-3 l",
    "9-3 m",
    "9-3 min",
    "-20 - -40",
    "100-20 C",
    "-300 C",
    "5:0",
    "0:5",
    "9-3 %",
    "-1 %",
    "first",
    "exhaust 0",
    "exhaust 3",
    "yes",
    "2019-13-45",
    "about 9",
    "2026-05-02 to 2025-01-01",
    "15 - 14",
    "9 -> 3",
    "0,0,0",
    "-3,500,0",
    "51,0,0",
    "#0",
    "#1",
    "#99",
    "'",
    "\x1b[31m",
    "\n",
};

/* What goes with other fields or does not. */
static const char *const few[] = {"", "#1", "1", "first", "2,2,2"};

/* The least that makes one of each, and fields that others depend on; what
 * stands before it in the table of nouns is there already. */
#define MOST 6
static const struct record_value made[NOUN_COUNT][MOST] = {
    [NOUN_DYER] = {{"name", "Aino"}},
    [NOUN_MATERIAL] = {{"name", "weld"}},
    [NOUN_ALIAS] = {{"name", "krapp"}, {"material", "weld"}},
    [NOUN_SUPPLY] = {{"material", "weld"}},
    [NOUN_FIBRE] = {{"name", "singles"}},
    [NOUN_WATER] = {{"name", "rain"}},
    [NOUN_SKEIN] = {{"name", "lumpy"}},
    [NOUN_ORIGIN] = {{"child", "1"}, {"parent", "2"}},
    [NOUN_BATH] = {{"name", "kettle"}},
    [NOUN_POUR] = {{"bath", "1"}, {"parent", "2"}},
    [NOUN_EXTRACTION] = {{"bath", "1"}},
    [NOUN_TREATMENT] = {{"kind", "dye"}, {"round", "first"}},
    [NOUN_ENTRY] = {{"skein", "1"}, {"treatment", "#1"}},
    [NOUN_DOSE] = {{"material", "weld"}, {"bath", "1"}, {"amount", "5 g"}},
    [NOUN_PH] = {{"ph", "7"}, {"bath", "1"}},
    [NOUN_CARD] = {{"name", "kitchen"}},
    [NOUN_TEST] = {{"skein", "1"}, {"start", "2026-05-03"}},
    [NOUN_READING] = {{"skein", "1"}, {"source", "eye"}, {"lab", "40,30,20"}},
    [NOUN_PROJECT] = {{"name", "blanket"}},
    [NOUN_WISH] = {{"project", "blanket"}},
    [NOUN_TASK] = {{"project", "blanket"}, {"kind", "dye"}},
};

static size_t values_of(enum noun_id noun, struct record_value *out)
{
    size_t n = 0;

    for (; n < MOST && made[noun][n].field; n++)
        out[n] = made[noun][n];
    return n;
}

/* Sets a field, in place of what is said of it already. */
static size_t set(struct record_value *v, size_t n, const char *field,
                  const char *to)
{
    size_t i = 0;

    while (i < n && strcmp(v[i].field, field) != 0)
        i++;
    v[i] = (struct record_value){field, to};
    return i < n ? n : n + 1;
}

static size_t bad_answers;

/* An answer that says nothing of what to put right. */
static void check_answer(const struct noun *noun, const struct record_value *v,
                         size_t n, const struct error *err)
{
    static const char *const never[] = {
        "constraint", "CHECK",    "NOT NULL",          "UNIQUE",
        "SQL",        "datatype", "do not go together"};
    bool bad = err->kind == ERR_STORE || err->kind == ERR_BUG || !*err->text;
    struct text said = {0};

    for (size_t i = 0; i < sizeof never / sizeof *never; i++)
        bad = bad || strstr(err->text, never[i]);
    if (!bad)
        return;
    for (size_t i = 0; i < n; i++)
        text_addf(&said, " %s=\"%s\"", v[i].field, v[i].words);
    print_error("%s%s: %s\n", noun->name, text_str(&said), err->text);
    text_clear(&said);
    bad_answers++;
}

/* Adds, or edits #1, and takes it back. */
static void attempt(struct book *book, const struct noun *noun, bool edit,
                    const struct record_value *v, size_t n)
{
    struct error err = {0};
    int64_t id;
    bool ok;

    check_ok(book_act_begin(book, "test", &err), &err);
    ok = edit ? record_edit(book, noun->id, 1, v, n, NULL, &err)
              : record_add(book, noun->id, v, n, &id, NULL, &err);
    if (!ok)
        check_answer(noun, v, n, &err);
    book_act_cancel(book);
}

static void attempt_field(struct book *book, const struct noun *noun,
                          const struct field *f, const char *to)
{
    struct record_value v[MOST + 1];
    size_t n = values_of(noun->id, v);

    attempt(book, noun, false, v, set(v, n, f->name, to));
    attempt(book, noun, true, &(struct record_value){f->name, to}, 1);
}

static void attempt_pair(struct book *book, const struct noun *noun,
                         const struct record_value pair[2])
{
    struct record_value v[MOST + 2];
    size_t n = values_of(noun->id, v);

    n = set(v, n, pair[0].field, pair[0].words);
    attempt(book, noun, false, v, set(v, n, pair[1].field, pair[1].words));
    attempt(book, noun, true, pair, 2);
}

/* The nth of what may stand in a field of a pair: few, then its choices. */
static const char *nth(const struct field *f, size_t n, char out[32])
{
    const char *s = f->choices;

    if (n < sizeof few / sizeof *few)
        return few[n];
    n -= sizeof few / sizeof *few;
    while (s && n--) {
        s = strchr(s, '|');
        s = s ? s + 1 : NULL;
    }
    if (!s)
        return NULL;
    out[0] = '\0';
    strncat(out, s, strcspn(s, "|") < 31 ? strcspn(s, "|") : 31);
    return out;
}

static void attempt_pairs(struct book *book, const struct noun *noun,
                          const struct field *f, const struct field *g)
{
    char a[32], b[32];
    struct record_value pair[2] = {{f->name}, {g->name}};

    for (size_t i = 0; (pair[0].words = nth(f, i, a)); i++)
        for (size_t k = 0; (pair[1].words = nth(g, k, b)); k++)
            attempt_pair(book, noun, pair);
}

static bool is_typed(const struct field *f)
{
    return !(f->flags & FIELD_OWN);
}

static void a_value_is_taken_or_refused_in_words(void **state)
{
    size_t tried = 0;

    for (size_t i = 0; i < noun_count; i++) {
        const struct noun *noun = &nouns[i];
        for (size_t k = 0; made[i][0].field && k < noun->field_count; k++)
            for (size_t w = 0; w < sizeof words / sizeof *words; w++)
                if (is_typed(&noun->fields[k])) {
                    attempt_field(*state, noun, &noun->fields[k], words[w]);
                    tried++;
                }
    }
    assert_true(tried > 4000);
    assert_int_equal(bad_answers, 0);
}

static void two_values_are_taken_or_refused_in_words(void **state)
{
    for (size_t i = 0; i < noun_count; i++) {
        const struct noun *noun = &nouns[i];
        for (size_t k = 0; made[i][0].field && k < noun->field_count; k++)
            for (size_t m = k + 1; m < noun->field_count; m++)
                if (is_typed(&noun->fields[k]) && is_typed(&noun->fields[m]))
                    attempt_pairs(*state, noun, &noun->fields[k],
                                  &noun->fields[m]);
    }
    assert_int_equal(bad_answers, 0);
}

/* A book with one of each noun, #1, and a second of what they refer to. */
static int make_book(void **state)
{
    static const enum noun_id first[] = {NOUN_SKEIN, NOUN_SKEIN, NOUN_BATH};
    struct record_value v[MOST];
    struct error err;
    struct book *book;
    int64_t id;

    check_ok(book_open(":memory:", &book, &err), &err);
    check_ok(book_act_begin(book, "test", &err), &err);
    for (size_t i = 0; i < sizeof first / sizeof *first; i++)
        check_ok(record_add(book, first[i], NULL, 0, &id, NULL, &err), &err);
    for (size_t i = 0; i < noun_count; i++)
        if (made[i][0].field)
            check_ok(record_add(book, nouns[i].id, v, values_of(nouns[i].id, v),
                                &id, NULL, &err),
                     &err);
    check_ok(book_act_end(book, &err), &err);
    *state = book;
    return 0;
}

static int close_book(void **state)
{
    book_close(*state);
    return 0;
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_value_is_taken_or_refused_in_words),
        cmocka_unit_test(two_values_are_taken_or_refused_in_words),
    };

    return cmocka_run_group_tests(tests, make_book, close_book);
}
