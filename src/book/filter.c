/* What skeins are asked for, from words. See ask_filter_read. */
#include "book/ask.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/day.h"
#include "base/mem.h"
#include "book/fastness.h"
#include "book/field.h"
#include "book/record.h"
#include "book/said.h"
#include "book/store.h"
#include "colour/grade.h"

struct ask_filter ask_filter_any(void)
{
    struct ask_filter f = {.ph = {(double)NAN, (double)NAN},
                           .per_fibre_pct = {(double)NAN, (double)NAN},
                           .part = "whole",
                           .illuminant = "D50",
                           .observer_deg = 2};

    return f;
}

bool ask_filter_is_usual_light(const struct ask_filter *filter)
{
    return !strcmp(filter->illuminant, "D50") && filter->observer_deg == 2;
}

/* What a word of a filter is read as. */
enum kind { IDS, ID, RANGE, CHOICE, SWITCH, ROUND, DATE, LIGHT, FAST, WORDS };

struct entry {
    const char *name;
    enum kind kind;
    size_t offset; /* of the member it fills */
    enum noun_id noun;
    double max;          /* RANGE: from 0 */
    const char *choices; /* CHOICE: "|a|b|", of at most 7 bytes each */
};

#define AT(member) offsetof(struct ask_filter, member)

static const struct entry entries[] = {
    {"dyestuff", IDS, AT(dyestuffs), NOUN_MATERIAL, 0, NULL},
    {"mordant", IDS, AT(mordants), NOUN_MATERIAL, 0, NULL},
    {"dip", IDS, AT(dips), NOUN_MATERIAL, 0, NULL},
    {"fibre", ID, AT(fibre), NOUN_FIBRE, 0, NULL},
    {"bath", ID, AT(bath), NOUN_BATH, 0, NULL},
    {"owner", ID, AT(owner), NOUN_DYER, 0, NULL},
    {"supply", ID, AT(supply), NOUN_SUPPLY, 0, NULL},
    {"water", ID, AT(water), NOUN_WATER, 0, NULL},
    {"round", ROUND, 0, NOUN_TREATMENT, 0, NULL},
    {"date", DATE, 0, NOUN_TREATMENT, 0, NULL},
    {"light", LIGHT, 0, NOUN_READING, 0, NULL},
    {"fastness", FAST, 0, NOUN_TEST, 0, NULL},
    {"text", WORDS, 0, NOUN_COUNT, 0, NULL},
    {"ph", RANGE, AT(ph), NOUN_PH, 14, NULL},
    {"per-fibre", RANGE, AT(per_fibre_pct), NOUN_DOSE, 1e6, NULL},
    {"part", CHOICE, AT(part), NOUN_READING, 0,
     "|whole|covered|exposed|dipped|rest|"},
    {"glow", CHOICE, AT(glow), NOUN_SIGHT, 0, "|any|none|faint|strong|"},
    {"no-dip", SWITCH, AT(no_dip), NOUN_COUNT, 0, NULL},
    {"only", SWITCH, AT(only), NOUN_COUNT, 0, NULL},
    {"ever", SWITCH, AT(ever), NOUN_COUNT, 0, NULL},
    {"unfinished", SWITCH, AT(unfinished), NOUN_COUNT, 0, NULL},
    {"wet", SWITCH, AT(wet), NOUN_COUNT, 0, NULL},
};

bool ask_materials_like(struct book *book, const char *words,
                        struct text *names, bool *mordant, int64_t *id,
                        struct error *err)
{
    char *key = text_fold(words);
    struct stmt q;
    size_t n = 0;
    bool row, ok = stmt_begin(book, STMT_MATERIAL_LIKE, &q, err);

    *id = 0;
    *mordant = false;
    if (ok)
        stmt_text(&q, ":key", key);
    while (ok && *key && (ok = stmt_step(&q, &row, err)) && row) {
        if (!n)
            *mordant = !strcmp(stmt_get_text(&q, 2), "mordant");
        *id = n ? 0 : stmt_get_int(&q, 0);
        text_addf(names, "%s%s", n++ ? " or " : "", stmt_get_text(&q, 1));
    }
    stmt_done(&q);
    free(key);
    return ok;
}

/* "birch" is birch leaves when nothing else is called so. What was withdrawn is
 * found, too, for it is what skeins were dyed with. */
static bool find_material(struct book *book, const char *words, int64_t *id,
                          struct error *err)
{
    struct text names = {0};
    struct error why;
    bool mordant, ok;

    if (record_find(book, NOUN_MATERIAL, words, id, &why))
        return true;
    if (why.kind != ERR_MISSING) {
        *err = why;
        return false;
    }
    ok = ask_materials_like(book, words, &names, &mordant, id, err);
    if (ok && !*id && names.len)
        ok = error_set(err, ERR_MISSING, "\"%s\": say which: %s", words,
                       text_str(&names));
    else if (ok && !*id)
        ok = record_find_any(book, NOUN_MATERIAL, words, id, err);
    text_clear(&names);
    return ok;
}

static bool find_id(struct book *book, const struct entry *e, const char *words,
                    int64_t *id, struct error *err)
{
    if (e->noun == NOUN_DYER &&
        (text_same(words, "me") || text_same(words, "mine"))) {
        *id = book_dyer(book);
        return true;
    }
    return e->noun == NOUN_MATERIAL
               ? find_material(book, words, id, err)
               : record_find_any(book, e->noun, words, id, err);
}

static bool add_id(const struct entry *e, struct ask_ids *ids, int64_t id,
                   struct error *err)
{
    for (size_t i = 0; i < ids->count; i++)
        if (ids->id[i] == id)
            return true;
    if (ids->count == ASK_IDS)
        return error_set(err, ERR_LIMIT, "%s: at most %d at once", e->name,
                         ASK_IDS);
    ids->id[ids->count++] = id;
    return true;
}

/* One end of a range; blank is the preset. */
static bool read_end(const char *s, size_t n, double preset, double *out)
{
    char *copy = mem_text_n(s, n), *end = text_trim(copy);
    bool ok = !*end || text_real(end, out);

    if (!*end)
        *out = preset;
    free(copy);
    free(end);
    return ok;
}

/* "7..8", "7-8", "7", "..6", "9.." */
static bool read_range(const struct entry *e, const char *words,
                       struct ask_range *out, struct error *err)
{
    const char *dots = strstr(words, "..");
    const char *cut = dots ? dots : *words ? strchr(words + 1, '-') : NULL;
    size_t skip = dots ? 2 : 1;
    double low = (double)NAN, high;
    bool ok;

    if (cut)
        ok = read_end(words, (size_t)(cut - words), 0, &low) &&
             read_end(cut + skip, strlen(cut + skip), e->max, &high);
    else
        ok = read_end(words, strlen(words), (double)NAN, &low) &&
             (high = low, true);
    if (!ok || !(low >= 0 && low <= high && high <= e->max))
        return error_set(err, ERR_INPUT,
                         "%s: write a range such as 7..8, from 0 to %g, not "
                         "\"%s\"",
                         e->name, e->max, words);
    *out = (struct ask_range){low, high};
    return true;
}

static bool read_choice(const struct entry *e, const char *words, char *out,
                        struct error *err)
{
    char *key = text_fold(words), look[32];
    bool ok;

    snprintf(look, sizeof look, "|%s|", key);
    ok = strlen(key) < 8 && strstr(e->choices, look);
    if (ok)
        memcpy(out, key, strlen(key) + 1); /* glow and part hold 8 */
    else
        error_set(err, ERR_INPUT, "%s: write %s, not \"%s\"", e->name,
                  e->noun == NOUN_SIGHT ? "any, none, faint or strong"
                                        : "whole, covered, exposed, dipped or "
                                          "rest",
                  words);
    free(key);
    return ok;
}

/* By the field of a treatment that means the same. */
static bool read_field(struct book *book, const char *field, const char *words,
                       struct cells *cells, struct error *err)
{
    return field_read(book, noun_field(&nouns[NOUN_TREATMENT], field), words,
                      cells, NULL, err);
}

static bool read_round(struct book *book, const char *words,
                       struct ask_filter *f, struct error *err)
{
    struct cells cells = {0};
    const struct cell *c;
    bool ok = read_field(book, "round", words, &cells, err);

    c = ok ? cells_get(&cells, "round") : NULL;
    if (c && c->kind == CELL_INT) {
        f->has_round = true;
        f->round = c->whole;
    } else if (ok) {
        ok = error_set(err, ERR_INPUT,
                       "round: write first, exhaust 1, exhaust 2 ...");
    }
    cells_clear(&cells);
    return ok;
}

static bool read_date(struct book *book, const char *words,
                      struct ask_filter *f, struct error *err)
{
    struct cells cells = {0};
    const struct cell *from, *to;
    bool ok;

    if (day_season(words, &f->month, &f->months))
        return true;
    ok = read_field(book, "on", words, &cells, err);

    from = ok ? cells_get(&cells, "on_from") : NULL;
    to = ok ? cells_get(&cells, "on_to") : NULL;
    if (from && to && from->kind == CELL_TEXT && to->kind == CELL_TEXT) {
        snprintf(f->from, sizeof f->from, "%s", from->text);
        snprintf(f->to, sizeof f->to, "%s", to->text);
    } else if (ok) {
        ok = error_set(err, ERR_INPUT,
                       "date: write a day, month, season or year, not \"%s\"",
                       words);
    }
    cells_clear(&cells);
    return ok;
}

/* Those a reading may have, "other" left out: two of those are not alike. */
static bool read_light(const char *words, struct ask_filter *f,
                       struct error *err)
{
    static const char *const lights[] = {"D50", "D65", "A", "C"};
    char *light, *observer;
    bool both = field_light(words, &light, &observer), ok = false;

    for (size_t i = 0; both && i < ARRAY_LEN(lights); i++)
        if (text_same(light, lights[i]) &&
            (!strcmp(observer, "2") || !strcmp(observer, "10"))) {
            snprintf(f->illuminant, sizeof f->illuminant, "%s", lights[i]);
            f->observer_deg = *observer == '2' ? 2 : 10;
            ok = true;
        }
    free(light);
    free(observer);
    return ok || error_set(err, ERR_INPUT,
                           "light: write D50, D65, A or C and the observer, "
                           "such as D65/10, not \"%s\"",
                           words);
}

/* "4", "3-4", "wash 4" */
static bool read_fastness(const char *words, struct ask_filter *f,
                          struct error *err)
{
    const char *grade = strrchr(words, ' ');
    char *kind = grade ? mem_text_n(words, (size_t)(grade - words)) : NULL;
    enum fast_kind which;

    f->fastness = grade_twice(grade ? grade + 1 : words);
    *f->fast_kind = '\0';
    if (kind && fast_kind_find(kind, &which))
        snprintf(f->fast_kind, sizeof f->fast_kind, "%s",
                 fast_kind_names[which]);
    else if (kind)
        f->fastness = 0;
    free(kind);
    return f->fastness ||
           error_set(err, ERR_INPUT,
                     "fastness: write the least grade, 1 to 5, such as 4 or "
                     "3-4, or of one test, wash 4; not \"%s\"",
                     words);
}

bool ask_filter_read(struct book *book, struct ask_filter *filter,
                     const char *name, const char *words, struct error *err)
{
    const struct entry *e = NULL;
    char *member;
    int64_t id;

    for (size_t i = 0; i < ARRAY_LEN(entries); i++)
        if (!strcmp(entries[i].name, name))
            e = &entries[i];
    if (!e)
        return error_set(err, ERR_INPUT, "skeins are not found by %s", name);
    member = (char *)filter + e->offset;
    switch (e->kind) {
    case IDS:
        return find_id(book, e, words, &id, err) &&
               add_id(e, (struct ask_ids *)(void *)member, id, err);
    case ID:
        return find_id(book, e, words, (int64_t *)(void *)member, err);
    case RANGE:
        return read_range(e, words, (struct ask_range *)(void *)member, err);
    case CHOICE:
        return read_choice(e, words, member, err);
    case SWITCH:
        *(bool *)(void *)member = true;
        return true;
    case ROUND:
        return read_round(book, words, filter, err);
    case DATE:
        return read_date(book, words, filter, err);
    case LIGHT:
        return read_light(words, filter, err);
    case FAST:
        return read_fastness(words, filter, err);
    case WORDS:
        return said_asked(words, filter->text, sizeof filter->text, err);
    }
    return true;
}
