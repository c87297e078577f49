/* Finding a record by what a dyer calls it, and calling it so. */
#include "book/record.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "book/field.h"

/* How each noun is looked up by words, and how it is called. */
static const struct {
    enum stmt_id find; /* STMT_COUNT: by #id only */
    enum stmt_id label;
} ways[NOUN_COUNT] = {
    [NOUN_DYER] = {STMT_FIND_DYER, STMT_LABEL_DYER},
    [NOUN_MATERIAL] = {STMT_FIND_MATERIAL, STMT_LABEL_MATERIAL},
    [NOUN_ALIAS] = {STMT_FIND_ALIAS, STMT_LABEL_ALIAS},
    [NOUN_SUPPLY] = {STMT_FIND_SUPPLY, STMT_LABEL_SUPPLY},
    [NOUN_FIBRE] = {STMT_FIND_FIBRE, STMT_LABEL_FIBRE},
    [NOUN_WATER] = {STMT_FIND_WATER, STMT_LABEL_WATER},
    [NOUN_SKEIN] = {STMT_FIND_SKEIN, STMT_LABEL_SKEIN},
    [NOUN_ORIGIN] = {STMT_COUNT, STMT_COUNT},
    [NOUN_BATH] = {STMT_FIND_BATH, STMT_LABEL_BATH},
    [NOUN_POUR] = {STMT_COUNT, STMT_COUNT},
    [NOUN_EXTRACTION] = {STMT_COUNT, STMT_COUNT},
    [NOUN_TREATMENT] = {STMT_COUNT, STMT_LABEL_TREATMENT},
    [NOUN_ENTRY] = {STMT_COUNT, STMT_LABEL_ENTRY},
    [NOUN_DOSE] = {STMT_COUNT, STMT_LABEL_DOSE},
    [NOUN_PH] = {STMT_COUNT, STMT_COUNT},
    [NOUN_PHOTO] = {STMT_FIND_PHOTO, STMT_COUNT},
    [NOUN_SIGHT] = {STMT_COUNT, STMT_COUNT},
    [NOUN_CARD] = {STMT_FIND_CARD, STMT_LABEL_CARD},
    [NOUN_CAMERA] = {STMT_COUNT, STMT_COUNT},
    [NOUN_READING] = {STMT_COUNT, STMT_LABEL_READING},
    [NOUN_REGION] = {STMT_COUNT, STMT_COUNT},
    [NOUN_TEST] = {STMT_COUNT, STMT_LABEL_TEST},
    [NOUN_PROJECT] = {STMT_FIND_PROJECT, STMT_LABEL_PROJECT},
    [NOUN_WISH] = {STMT_COUNT, STMT_LABEL_WISH},
    [NOUN_TASK] = {STMT_COUNT, STMT_LABEL_TASK},
};

static bool by_id(struct book *book, const struct noun *noun, const char *words,
                  int64_t *id, struct error *err)
{
    struct text sql = {0};
    struct stmt q = {0};
    long long n;
    bool row, ok;

    if (!text_whole(words, &n) || n <= 0)
        return error_set(err, ERR_INPUT,
                         "\"#%s\" names no %s: write # and a "
                         "number",
                         words, noun->name);
    text_addf(&sql, "SELECT id FROM %s WHERE id = :id", noun->name);
    ok = stmt_prepare(book, text_str(&sql), &q, err);
    text_clear(&sql);
    if (!ok)
        return false;
    stmt_int(&q, ":id", n);
    if (!stmt_step(&q, &row, err))
        return false;
    stmt_done(&q);
    *id = n;
    return row ||
           error_set(err, ERR_MISSING, "there is no %s #%lld", noun->name, n);
}

/* Splits "Aino/137" into a dyer's id and the rest; *owner stays otherwise. */
static bool split_owner(struct book *book, const struct noun *noun,
                        const char *words, int64_t *owner, const char **rest,
                        struct error *err)
{
    const char *slash = strchr(words, '/');
    char *name;
    int64_t id = 0;
    bool ok;
    struct error why;

    *rest = words;
    if (!slash || (noun->id != NOUN_SKEIN && noun->id != NOUN_BATH))
        return true;
    name = mem_text_n(words, (size_t)(slash - words));
    ok = record_find(book, NOUN_DYER, name, &id, &why);
    if (ok) {
        *owner = id;
        *rest = slash + 1;
    } /* else a name with a slash in it */
    free(name);
    return ok || why.kind == ERR_MISSING || (*err = why, false);
}

/* The rank of a code that differs in what is easily misread. */
#define MISREAD 2

/* A skein or a bath by its own number; *is false for any other. */
static bool by_number(struct book *book, enum noun_id noun, int64_t owner,
                      int64_t number, bool *is, int64_t *id, struct error *err)
{
    struct stmt q;

    *is = false;
    if (number < 0 || (noun != NOUN_SKEIN && noun != NOUN_BATH))
        return true;
    if (!stmt_begin(book,
                    noun == NOUN_SKEIN ? STMT_FIND_SKEIN_NUMBER
                                       : STMT_FIND_BATH_NUMBER,
                    &q, err))
        return false;
    stmt_int(&q, ":owner", owner);
    stmt_int(&q, ":number", number);
    if (!stmt_step(&q, is, err))
        return false;
    if (*is)
        *id = stmt_get_int(&q, 0);
    stmt_done(&q);
    return true;
}

/* Rows come best first with their rank; one alone at the best rank is it.
 * Several are told by their own numbers where they have such, with the dyer as
 * it was written.
 *
 * dyer     bytes of words that name the dyer, "Aino/"
 * misread  what a tag may be misread as is good enough; else it is told */
static bool pick(const struct noun *noun, const char *words, size_t dyer,
                 bool misread, struct stmt *q, int64_t *id, struct error *err)
{
    int64_t rank = 0;
    size_t hits = 0;
    bool row;
    struct text several = {0};

    while (stmt_step(q, &row, err)) {
        if (!row || (hits && stmt_get_int(q, 1) != rank))
            break;
        rank = stmt_get_int(q, 1);
        *id = stmt_get_int(q, 0);
        if (hits++ < 6) {
            text_add(&several, hits > 1 ? " or " : "");
            if (noun->id == NOUN_SKEIN || noun->id == NOUN_BATH)
                text_addf(&several, "%.*s%lld", (int)dyer, words,
                          (long long)stmt_get_int(q, 2));
            else
                text_addf(&several, "#%lld", (long long)*id);
        }
    }
    if (!q->st) {
        text_clear(&several);
        return false; /* the step failed */
    }
    stmt_done(q);
    misread = misread || noun->id != NOUN_SKEIN;
    if (hits && rank == MISREAD && !misread) {
        error_set(err, ERR_MISSING,
                  "there is no skein \"%s\" in the book; a tag that may be "
                  "misread so is that of skein %s: say its number",
                  words, text_str(&several));
        hits = 0;
    } else if (hits == 0)
        error_set(err, ERR_MISSING, "there is no %s \"%s\" in the book",
                  noun->name, words);
    else if (hits > 1)
        error_set(err, ERR_INPUT, "%zu %s are called \"%s\"; say which: %s",
                  hits, noun->plural, words, text_str(&several));
    text_clear(&several);
    return hits == 1;
}

/* What has no name of its own is shown with its id: "weld #5". */
static bool by_label(struct book *book, const struct noun *noun,
                     const char *words, int64_t *id, struct error *err)
{
    const char *hash = strrchr(words, '#');
    struct text label = {0};
    bool ok = hash && by_id(book, noun, hash + 1, id, err) &&
              record_label(book, noun->id, *id, &label, err) &&
              text_same(text_str(&label), words);

    text_clear(&label);
    return ok;
}

static bool find(struct book *book, enum noun_id noun_id, int64_t owner,
                 const char *words, bool misread, int64_t *id,
                 struct error *err)
{
    const struct noun *noun = &nouns[noun_id];
    char *trimmed = text_trim(words), *key = NULL, *code = NULL;
    const char *rest;
    long long number = -1;
    struct stmt q = {0};
    bool ok = false;

    if (*trimmed == '#') {
        ok = by_id(book, noun, trimmed + 1, id, err);
        goto done;
    }
    if (ways[noun_id].find == STMT_COUNT) {
        /* What has no name of its own is called by its id alone. */
        ok = text_whole(trimmed, &number)
                 ? by_id(book, noun, trimmed, id, err)
                 : error_set(err, ERR_INPUT,
                             "say which %s by its number, as "
                             "in \"#5\"",
                             noun->name);
        goto done;
    }
    if (!split_owner(book, noun, trimmed, &owner, &rest, err))
        goto done;
    if (!text_whole(rest, &number))
        number = -1;
    if (!by_number(book, noun_id, owner, number, &ok, id, err) || ok)
        goto done;
    key = text_fold(rest);
    code = code_key(rest);
    if (!stmt_begin(book, ways[noun_id].find, &q, err))
        goto done;
    if (sqlite3_bind_parameter_index(q.st, ":owner"))
        stmt_int(&q, ":owner", owner);
    if (sqlite3_bind_parameter_index(q.st, ":number"))
        stmt_int(&q, ":number", number);
    if (sqlite3_bind_parameter_index(q.st, ":words"))
        stmt_text(&q, ":words", rest);
    if (sqlite3_bind_parameter_index(q.st, ":code"))
        stmt_text(&q, ":code", code);
    stmt_text(&q, ":key", key);
    ok = pick(noun, trimmed, (size_t)(rest - trimmed), misread, &q, id, err);
    if (!ok && err->kind == ERR_MISSING && noun_id == NOUN_SUPPLY) {
        struct error why;
        /* A batch has no number of its own but that of the list. */
        ok = number > 0 ? by_id(book, noun, trimmed, id, err)
                        : by_label(book, noun, trimmed, id, &why);
    }

done:
    stmt_done(&q);
    free(trimmed);
    free(key);
    free(code);
    return ok;
}

bool record_find_of(struct book *book, enum noun_id noun, int64_t owner,
                    const char *words, int64_t *id, struct error *err)
{
    return find(book, noun, owner, words, false, id, err);
}

bool record_find(struct book *book, enum noun_id noun, const char *words,
                 int64_t *id, struct error *err)
{
    return find(book, noun, book->dyer_id, words, false, id, err);
}

bool record_find_shown(struct book *book, enum noun_id noun, const char *words,
                       int64_t *id, struct error *err)
{
    return find(book, noun, book->dyer_id, words, true, id, err) ||
           (err->kind == ERR_MISSING &&
            record_find_any(book, noun, words, id, err));
}

bool record_find_any(struct book *book, enum noun_id noun_id, const char *words,
                     int64_t *id, struct error *err)
{
    const struct noun *noun = &nouns[noun_id];
    const struct field *name = noun_field(noun, "name");
    struct text sql = {0};
    struct stmt q = {0};
    struct error other;
    long long number;
    char *key;
    bool ok;

    if (record_find(book, noun_id, words, id, err))
        return true;
    if (err->kind != ERR_MISSING || !name)
        return false;
    if (noun_id != NOUN_SKEIN && noun_id != NOUN_BATH &&
        text_whole(words, &number))
        return by_id(book, noun, words, id, err);
    text_addf(&sql,
              "SELECT id, 0, %s FROM %s WHERE (fold(name) = :key%s) AND"
              " withdrawn = 1",
              noun_field(noun, "number") ? "number" : "0", noun->name,
              noun_field(noun, "code") ? " OR fold(code) = :key" : "");
    ok = stmt_prepare(book, text_str(&sql), &q, err);
    text_clear(&sql);
    if (!ok)
        return false;
    key = text_fold(words);
    stmt_text(&q, ":key", key);
    free(key);
    return pick(noun, words, 0, false, &q, id, &other) ||
           ((*err = other.kind == ERR_MISSING ? *err : other), false);
}

bool record_label(struct book *book, enum noun_id noun, int64_t id,
                  struct text *out, struct error *err)
{
    struct stmt q;
    bool row;

    if (ways[noun].label == STMT_COUNT) {
        text_addf(out, "#%lld", (long long)id);
        return true;
    }
    if (!stmt_begin(book, ways[noun].label, &q, err))
        return false;
    stmt_int(&q, ":id", id);
    if (!stmt_step(&q, &row, err))
        return false;
    if (row)
        text_add(out, stmt_get_text(&q, 0));
    else
        text_addf(out, "#%lld", (long long)id);
    stmt_done(&q);
    return true;
}

void record_said(const struct noun *noun, const char *label, struct text *out)
{
    const char *words = *label == '#' ? strchr(label, ' ') : NULL;

    if (words && !strncmp(words, " of ", 4))
        text_addf(out, "%s%s (%.*s)", noun->name, words, (int)(words - label),
                  label);
    else if (words)
        text_addf(out, "%s (%s %.*s)", words + 1, noun->name,
                  (int)(words - label), label);
    else
        text_addf(out, "%s %s", noun->name, label);
}
