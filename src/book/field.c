/* The words of one field as the values of its columns. See field.h. */
#include "book/field.h"

#include <assert.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/day.h"
#include "base/mem.h"
#include "book/face.h"
#include "book/record.h"
#include "dye/amount.h"
#include "dye/substance.h"

#define TEXT_MAX 16384

/* One name behind another. */
static char *joined(const char *name, const char *end, char *out, size_t size)
{
    assert(strlen(name) + strlen(end) < size);
    stpcpy(stpcpy(out, name), end);
    return out;
}

static char *suffixed(const char *column, const char *suffix, char out[48])
{
    return joined(column, suffix, out, 48);
}

/* The columns each kind fills, as suffixes of COL. */
static const char *const suffixes[][6] = {
    [FIELD_TEXT] = {""},
    [FIELD_NAME] = {"", "_key"},
    [FIELD_CODE] = {"", "_key"},
    [FIELD_CHOICE] = {""},
    [FIELD_FLAG] = {""},
    [FIELD_WHOLE] = {""},
    [FIELD_REAL] = {""},
    [FIELD_WEIGHT] = {"_words", "_low_g", "_high_g"},
    [FIELD_LENGTH] = {"_words", "_low_m", "_high_m"},
    [FIELD_VOLUME] = {"_words", "_low_l", "_high_l"},
    [FIELD_DOSE] = {"_words", "_unit", "_low", "_high"},
    [FIELD_DAY] = {"_words", "_from", "_to"},
    [FIELD_PH] = {"_words", "_low", "_high", "_how"},
    [FIELD_HEAT] = {"_words", "_low_c", "_high_c"},
    [FIELD_MINUTES] = {"_words", "_low_min", "_high_min"},
    [FIELD_ROUND] = {""},
    [FIELD_REF] = {"_id"},
    [FIELD_LAB] = {NULL},
    [FIELD_SIGMA] = {NULL},
};

static const char *const lab_columns[] = {"L", "a", "b", NULL};
static const char *const card_sigma[] = {"uL", "ua", "ub", NULL};
static const char *const cov_columns[] = {
    "abs_LL", "abs_La", "abs_Lb", "abs_aa", "abs_ab", "abs_bb", "set_LL",
    "set_La", "set_Lb", "set_aa", "set_ab", "set_bb", NULL};

static const char *const *fixed_columns(const struct field *field)
{
    if (field->kind == FIELD_LAB)
        return lab_columns;
    return strcmp(field->column, "abs") ? card_sigma : cov_columns;
}

size_t field_columns(const struct field *field, char names[16][32])
{
    size_t n = 0;
    bool fixed = field->kind == FIELD_LAB || field->kind == FIELD_SIGMA;
    const char *const *s = fixed ? fixed_columns(field) : suffixes[field->kind];

    for (; s[n]; n++)
        joined(fixed ? "" : field->column, s[n], names[n], 32);
    return n;
}

char *code_key(const char *code)
{
    static const char from[] = "01l78", to[] = "oiiib";
    char *key = text_fold(code);

    for (char *p = key; *p; p++) {
        const char *hit = strchr(from, *p);
        if (hit)
            *p = to[hit - from];
    }
    return key;
}

static bool bad(const struct field *f, struct error *err, const char *what)
{
    return error_set(err, ERR_INPUT, "%s: %s", f->name, what);
}

/* Puts the field's name before what a reader said. */
static bool named(const struct field *f, struct error *err)
{
    struct error inner = *err;

    return error_set(err, inner.kind, "%s: %s", f->name, inner.text);
}

static void range(const struct field *f, const char *unit, const char *words,
                  double low, double high, struct cells *out)
{
    char name[48], end[16];

    cells_text(out, suffixed(f->column, "_words", name), words);
    joined("_low", unit, end, sizeof end);
    cells_real(out, suffixed(f->column, end, name), low);
    joined("_high", unit, end, sizeof end);
    cells_real(out, suffixed(f->column, end, name), high);
}

static bool read_text(const struct field *f, const char *words,
                      struct cells *out)
{
    char name[48], *key;

    cells_text(out, f->column, words);
    if (f->kind == FIELD_TEXT)
        return true;
    key = f->kind == FIELD_CODE ? code_key(words) : text_fold(words);
    cells_text(out, suffixed(f->column, "_key", name), key);
    free(key);
    return true;
}

/* Takes a choice by its start, if no other starts so. */
static bool read_choice(const struct field *f, const char *words,
                        struct cells *out, struct error *err)
{
    char *key = text_fold(words), *hit = NULL;
    char *list = mem_text(f->choices), *save = NULL;
    size_t n = strlen(key);
    int hits = 0;
    bool ok;

    for (char *s = strtok_r(list, "|", &save); s;
         s = strtok_r(NULL, "|", &save)) {
        char *fold = text_fold(s);
        if (!strcmp(fold, key)) {
            hit = s;
            hits = 1;
            free(fold);
            break;
        }
        if (!strncmp(fold, key, n)) {
            hit = s;
            hits++;
        }
        free(fold);
    }
    ok = hits == 1;
    if (ok)
        cells_text(out, f->column, hit);
    else
        error_set(err, ERR_INPUT, "%s: \"%s\" is none of %s", f->name, words,
                  f->choices);
    free(list);
    free(key);
    return ok;
}

static bool read_flag(const struct field *f, const char *words,
                      struct cells *out, struct error *err)
{
    static const char *const yes[] = {"yes", "y", "1", "true", "on"};
    static const char *const no[] = {"no", "n", "0", "false", "off"};

    for (size_t i = 0; i < ARRAY_LEN(yes); i++) {
        if (text_same(words, yes[i]))
            return cells_int(out, f->column, 1), true;
        if (text_same(words, no[i]))
            return cells_int(out, f->column, 0), true;
    }
    return bad(f, err, "say yes or no");
}

static bool read_number(const struct field *f, const char *words,
                        struct cells *out, struct error *err)
{
    double x;
    long long whole;
    bool is_whole = f->kind == FIELD_WHOLE;

    if (is_whole ? !text_whole(words, &whole) : !text_real(words, &x))
        return error_set(err, ERR_INPUT, "%s: \"%s\" is not a %snumber",
                         f->name, words, is_whole ? "whole " : "");
    if (is_whole)
        x = (double)whole;
    if (x < f->min || x > f->max)
        return error_set(err, ERR_INPUT, "%s: %s is outside %g to %g", f->name,
                         words, f->min, f->max);
    if (is_whole)
        cells_int(out, f->column, whole);
    else
        cells_real(out, f->column, x);
    return true;
}

static void add_echo(struct text *echo, const struct field *f,
                     const char *words, const char *understood)
{
    bool kept = !strncmp(understood, "kept as words", 13);

    if (strcmp(words, understood) != 0)
        text_addf(echo, "%s: %s, %s%s\n", f->name, words,
                  kept ? "" : "read as ", understood);
}

/* "5" is exhaust 5 and the sixth round: which of the two was meant shows in
 * the echo. */
static void echo_bare_round(struct text *echo, const struct field *f,
                            const char *words, long long n)
{
    static const char *const name[] = {"first", "second", "third",  "fourth",
                                       "fifth", "sixth",  "seventh"};
    static const char *const end[] = {"th", "st", "nd", "rd"};
    long long nth = n + 1, last = nth / 10 % 10 == 1 ? 0 : nth % 10;
    char line[64];

    if (n == 0)
        snprintf(line, sizeof line, "the first bath");
    else if (n < (long long)ARRAY_LEN(name))
        snprintf(line, sizeof line, "exhaust %lld, the %s round", n, name[n]);
    else
        snprintf(line, sizeof line, "exhaust %lld, the %lld%s round", n, nth,
                 end[last < (long long)ARRAY_LEN(end) ? last : 0]);
    add_echo(echo, f, words, line);
}

/* "first", "exhaust 2", "2"; "2nd exhaust" and "bath 2" may mean either. */
static bool read_round(const struct field *f, const char *words,
                       struct cells *out, struct text *echo, struct error *err)
{
    char *key = text_fold(words);
    const char *s = key;
    long long n = -1;
    bool bare = false;

    if (!strcmp(key, "first") || !strcmp(key, "first bath"))
        n = 0;
    else if (!strcmp(key, "exhaust"))
        n = 1;
    else {
        if (!strncmp(s, "exhaust ", 8))
            s += 8;
        if (!text_whole(s, &n) || (n == 0 && s > key))
            n = -1;
        bare = s == key;
    }
    free(key);
    if (n < 0 || n > 1000)
        return error_set(err, ERR_INPUT,
                         "%s: \"%s\" is none: say first, "
                         "exhaust 1, exhaust 2 ...",
                         f->name, words);
    if (bare && echo)
        echo_bare_round(echo, f, words, n);
    cells_int(out, f->column, n);
    return true;
}

static const struct {
    enum amount_unit bare;
    const char *unit;
    double scale; /* column units in one amount unit */
    const char *name, *units;
} amounts[] = {
    [FIELD_WEIGHT] = {AMOUNT_G, "_g", 1, "weight", "g, kg, oz or lb"},
    [FIELD_LENGTH] = {AMOUNT_M, "_m", 1, "length", "m or yd"},
    [FIELD_VOLUME] = {AMOUNT_ML, "_l", 0.001, "volume", "ml or l"},
};

/* The base of percentages: a weight said to be wet stays words there. */
static bool is_dry_weight(const struct field *f)
{
    return f->kind == FIELD_WEIGHT && !strcmp(f->column, "weight");
}

static void echo_amount(struct text *echo, const struct field *f,
                        const char *words, const struct amount *a)
{
    char line[160];

    amount_echo(a, NAN, line, sizeof line);
    add_echo(echo, f, words, line);
}

/* k  column units in one of the amount's */
static void echo_measure(struct text *echo, const struct field *f,
                         const char *words, const struct amount *a, double k)
{
    struct text t = {0};

    if (f->kind != FIELD_VOLUME || isnan(a->low)) {
        echo_amount(echo, f, words, a);
        return;
    }
    text_add_real(&t, a->low * k, 2);
    if (a->high > a->low) {
        text_add(&t, " to ");
        text_add_real(&t, a->high * k, 2);
    }
    text_add(&t, " l");
    add_echo(echo, f, words, text_str(&t));
    text_clear(&t);
}

static bool read_measure(const struct field *f, const char *words,
                         struct cells *out, struct text *echo,
                         struct error *err)
{
    struct amount_context ctx = {amounts[f->kind].bare, false};
    struct amount a;
    double k = amounts[f->kind].scale;

    if (f->kind == FIELD_VOLUME)
        ctx.bare = AMOUNT_COUNT;
    if (!amount_read(words, ctx, &a, err))
        return named(f, err);
    if (f->kind == FIELD_VOLUME && a.unit == AMOUNT_COUNT)
        k = 1; /* a bare number of a pot is litres */
    else if (a.unit != amounts[f->kind].bare && a.unit != AMOUNT_WORDS &&
             a.unit != AMOUNT_NONE)
        return error_set(err, ERR_INPUT,
                         "%s: \"%.80s\" is not a %s; say it in %s", f->name,
                         words, amounts[f->kind].name, amounts[f->kind].units);
    if (a.unit == AMOUNT_WORDS || a.unit == AMOUNT_NONE)
        a.low = a.high = NAN;
    if (echo)
        echo_measure(echo, f, words, &a, k);
    if (a.state == AMOUNT_WET && is_dry_weight(f))
        a.low = a.high = NAN;
    range(f, amounts[f->kind].unit, words, a.low * k, a.high * k, out);
    return true;
}

static const char *unit_word(enum amount_unit unit)
{
    switch (unit) {
    case AMOUNT_G:
        return "g";
    case AMOUNT_ML:
        return "ml";
    case AMOUNT_WOF_PCT:
        return "wof_pct";
    case AMOUNT_PER_FIBRE:
        return "per_fibre";
    case AMOUNT_NONE:
    case AMOUNT_WORDS:
    case AMOUNT_M:
    case AMOUNT_COUNT:
        return NULL;
    }
    return NULL;
}

static bool read_dose(const struct field *f, const char *words,
                      struct cells *out, struct text *echo, struct error *err)
{
    struct amount_context ctx = {AMOUNT_G, false};
    struct amount a;
    char name[48];

    if (!amount_read(words, ctx, &a, err))
        return named(f, err);
    if (a.unit == AMOUNT_M || a.unit == AMOUNT_COUNT)
        return bad(f, err, "say grams, percent, a ratio, millilitres or words");
    if (!unit_word(a.unit))
        a.low = a.high = NAN;
    range(f, "", words, a.low, a.high, out);
    cells_text(out, suffixed(f->column, "_unit", name), unit_word(a.unit));
    if (echo)
        echo_amount(echo, f, words, &a);
    return true;
}

static void echo_day(struct text *echo, const struct field *f,
                     const char *words, struct day_range r)
{
    char line[160];
    size_t n;

    day_range_words(r, line, sizeof line);
    n = strlen(line);
    if (r.known && !day_compare(r.from, r.to) &&
        day_compare(r.from, day_today()) > 0)
        snprintf(line + n, sizeof line - n, ", which is still to come");
    add_echo(echo, f, words, line);
}

static bool read_day(const struct field *f, const char *words,
                     struct cells *out, struct text *echo, struct error *err)
{
    struct day_range r;
    char from[11], to[11], name[48];

    if (!day_read(words, day_today(), &r, err))
        return named(f, err);
    cells_text(out, suffixed(f->column, "_words", name), words);
    if (r.known) {
        day_iso(r.from, from);
        day_iso(r.to, to);
    }
    cells_text(out, suffixed(f->column, "_from", name), r.known ? from : NULL);
    cells_text(out, suffixed(f->column, "_to", name), r.known ? to : NULL);
    if (echo)
        echo_day(echo, f, words, r);
    return true;
}

static bool read_ph(const struct field *f, const char *words, struct cells *out,
                    struct text *echo, struct error *err)
{
    static const char *const how[] = {NULL, "strip", "meter", "guess"};
    struct ph p;
    char name[48], line[160];

    if (!ph_read(words, &p, err))
        return named(f, err);
    range(f, "", words, p.known ? p.low : (double)NAN,
          p.known ? p.high : (double)NAN, out);
    cells_text(out, suffixed(f->column, "_how", name), how[p.how]);
    if (echo) {
        ph_echo(&p, line, sizeof line);
        add_echo(echo, f, words, line);
    }
    return true;
}

static bool read_heat(const struct field *f, const char *words,
                      struct cells *out, struct text *echo, struct error *err)
{
    struct temperature t;
    char line[160];

    if (!temperature_read(words, &t, err))
        return named(f, err);
    range(f, "_c", words, t.known ? t.low_c : (double)NAN,
          t.known ? t.high_c : (double)NAN, out);
    if (echo) {
        temperature_echo(&t, line, sizeof line);
        add_echo(echo, f, words, line);
    }
    return true;
}

static bool read_minutes(const struct field *f, const char *words,
                         struct cells *out, struct text *echo,
                         struct error *err)
{
    struct minutes m;
    char line[160];

    if (!minutes_read(words, &m, err))
        return named(f, err);
    range(f, "_min", words, m.known ? m.low : (double)NAN,
          m.known ? m.high : (double)NAN, out);
    if (echo) {
        minutes_echo(&m, line, sizeof line);
        add_echo(echo, f, words, line);
    }
    return true;
}

/* A new material is not made in passing outside of a pot: what it is for may
 * be another than its name suggests. Always false. */
static bool unknown_material(const struct field *f, const char *words,
                             struct error *err)
{
    const char *kind = substance_kind(words);
    const char *quote = strpbrk(words, " \t") ? "\"" : "";
    struct text how = {0};

    text_addf(&how, "hanklab material add %s%.60s%s --kind %s", quote, words,
              quote, kind ? kind : "dyestuff");
    error_set(err, ERR_MISSING,
              "%s: there is no material \"%.60s\" in the book; add it: %s",
              f->name, words,
              face_says(text_str(&how), "\"New material\" in the cupboard"));
    text_clear(&how);
    return false;
}

static bool read_ref(struct book *book, const struct field *f,
                     const char *words, struct cells *out, struct text *echo,
                     struct error *err)
{
    struct record_value v = {"name", words};
    char name[48];
    struct error why;
    int64_t id;
    bool found = record_find(book, f->ref, words, &id, err);
    const bool missing = !found && err->kind == ERR_MISSING && words[0] != '#';

    if (missing && f->ref == NOUN_MATERIAL) {
        found = record_find_any(book, f->ref, words, &id, &why);
        if (!found)
            return unknown_material(f, words, err);
    }
    if (found) {
        if (!record_stands(book, f->ref, id, "used", err))
            return false;
    } else if (!missing || !(f->flags & FIELD_MAKES)) {
        return named(f, err);
    } else if (record_revive(book, f->ref, words, &id, err)) {
        if (echo)
            text_addf(echo, "%s: %s was withdrawn and is back\n", f->name,
                      words);
    } else if (err->kind != ERR_MISSING ||
               !record_add(book, f->ref, &v, 1, &id, NULL, err)) {
        return false;
    } else if (echo) {
        text_addf(echo, "%s: %s is new\n", f->name, words);
    }
    cells_int(out, suffixed(f->column, "_id", name), id);
    return true;
}

static bool read_lab(const struct field *f, const char *words,
                     struct cells *out, struct error *err)
{
    double v[3];

    if (!text_reals(words, v, 3))
        return bad(f, err, "write three numbers: L,a,b");
    if (f->kind == FIELD_LAB) {
        if (v[0] < 0 || v[0] > 110 || fabs(v[1]) > 128 || fabs(v[2]) > 128)
            return bad(f, err,
                       "L lies between 0 and 110, a and b between "
                       "-128 and 128");
        for (int i = 0; i < 3; i++)
            cells_real(out, lab_columns[i], v[i]);
        return true;
    }
    if (v[0] < 0 || v[1] < 0 || v[2] < 0 || v[0] > 50 || v[1] > 50 || v[2] > 50)
        return bad(f, err, "an uncertainty lies between 0 and 50");
    if (fixed_columns(f) == card_sigma) {
        for (int i = 0; i < 3; i++)
            cells_real(out, card_sigma[i], v[i]);
        return true;
    }
    for (int i = 0; i < 12; i++) {
        static const int axis[6] = {0, -1, -1, 1, -1, 2};
        int k = axis[i % 6];
        cells_real(out, cov_columns[i], k < 0 ? 0 : v[k] * v[k]);
    }
    return true;
}

static bool read_kind(struct book *book, const struct field *field,
                      const char *words, struct cells *out, struct text *echo,
                      struct error *err)
{
    switch (field->kind) {
    case FIELD_TEXT:
    case FIELD_NAME:
    case FIELD_CODE:
        return read_text(field, words, out);
    case FIELD_CHOICE:
        return read_choice(field, words, out, err);
    case FIELD_FLAG:
        return read_flag(field, words, out, err);
    case FIELD_WHOLE:
    case FIELD_REAL:
        return read_number(field, words, out, err);
    case FIELD_WEIGHT:
    case FIELD_LENGTH:
    case FIELD_VOLUME:
        return read_measure(field, words, out, echo, err);
    case FIELD_DOSE:
        return read_dose(field, words, out, echo, err);
    case FIELD_DAY:
        return read_day(field, words, out, echo, err);
    case FIELD_PH:
        return read_ph(field, words, out, echo, err);
    case FIELD_HEAT:
        return read_heat(field, words, out, echo, err);
    case FIELD_MINUTES:
        return read_minutes(field, words, out, echo, err);
    case FIELD_ROUND:
        return read_round(field, words, out, echo, err);
    case FIELD_REF:
        return read_ref(book, field, words, out, echo, err);
    case FIELD_LAB:
    case FIELD_SIGMA:
        return read_lab(field, words, out, err);
    }
    return error_set(err, ERR_BUG, "field %s has no kind", field->name);
}

/* Without outer blanks, and with blanks for what moves a terminal rather than
 * being read: the controls of ASCII and of Latin-1 (U+0080 to U+009F). A note
 * has lines. */
static char *readable(const struct field *f, const char *words)
{
    bool lines = !strcmp(f->name, "note") || !strcmp(f->name, "notes");
    char *copy = mem_text(words), *trimmed;

    for (unsigned char *p = (unsigned char *)copy; *p; p++) {
        if (lines && (*p == '\n' || *p == '\t'))
            continue;
        if (*p < 0x20 || *p == 0x7F)
            *p = ' ';
        else if (*p == 0xC2 && p[1] >= 0x80 && p[1] <= 0x9F)
            p[0] = p[1] = ' ';
    }
    trimmed = text_trim(copy);
    free(copy);
    return trimmed;
}

bool field_light(const char *words, char **light, char **observer)
{
    static const char *const ends[] = {"", "\xC2\xB0", "deg", "degree",
                                       "degrees"};
    const size_t n = strcspn(words, "/ ,-");
    const char *number = words + n + strspn(words + n, "/ ,-");
    const size_t digits = strspn(number, "0123456789");
    const char *end = number + digits + strspn(number + digits, " ");
    bool both = false;

    *light = mem_text_n(words, n);
    *observer = mem_text_n(number, digits);
    for (size_t i = 0; n && digits && i < ARRAY_LEN(ends); i++)
        both = both || text_same(end, ends[i]);
    return both;
}

bool field_is_null(const struct field *field, const struct cells *cells)
{
    const bool fixed = field->kind == FIELD_LAB || field->kind == FIELD_SIGMA;
    const struct cell *c;
    char name[48];

    c = cells_get(
        cells, fixed ? fixed_columns(field)[0]
                     : suffixed(field->column, suffixes[field->kind][0], name));
    return !c || c->kind == CELL_NULL;
}

bool field_read(struct book *book, const struct field *field, const char *words,
                struct cells *out, struct text *echo, struct error *err)
{
    char *trimmed = words ? readable(field, words) : NULL;
    bool ok;

    if (!trimmed || !*trimmed) {
        char columns[16][32];
        size_t n = field_columns(field, columns);
        for (size_t i = 0; i < n; i++)
            cells_text(out, columns[i], NULL);
        ok = true;
    } else if (strlen(trimmed) > TEXT_MAX) {
        ok = error_set(err, ERR_LIMIT, "%s: more than %d bytes", field->name,
                       TEXT_MAX);
    } else if (!text_is_utf8(trimmed, strlen(trimmed))) {
        ok = bad(field, err, "not UTF-8 text");
    } else {
        ok = read_kind(book, field, trimmed, out, echo, err);
    }
    free(trimmed);
    return ok;
}
