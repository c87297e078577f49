/* The JSON of a file that came: a stranger's, so that all of it is checked.
 * Records are read one by one, for there may be a million. See take.h. */
#include "book/take.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "base/text.h"

#define TEXT_MAX 65536
#define VALUE_MAX (4 << 20) /* of a record, all its texts */
#define NAME_MAX_BYTES 200
#define NUMBER_MAX 1e12
#define RECORDS_MAX 5000000

struct scan {
    const char *s;
    size_t size, at;
};

static bool damaged(const char *why, size_t at, struct error *err)
{
    return error_set(err, ERR_INPUT,
                     "hanklab.json in the file is damaged (%s, byte %zu): ask "
                     "for the file again",
                     why, at + 1);
}

static void skip_blanks(struct scan *in)
{
    while (in->at < in->size && strchr(" \t\r\n", in->s[in->at]) &&
           in->s[in->at])
        in->at++;
}

/* Takes this character, blanks before it let pass. */
static bool take_char(struct scan *in, char c)
{
    skip_blanks(in);
    if (in->at >= in->size || in->s[in->at] != c)
        return false;
    in->at++;
    return true;
}

/* The next value; decref it. NULL fills err. */
static json_t *take_any(struct scan *in, struct error *err)
{
    json_error_t why;
    size_t left;
    json_t *v;

    skip_blanks(in);
    left = in->size - in->at;
    v = json_loadb(in->s + in->at, left < VALUE_MAX ? left : VALUE_MAX,
                   JSON_DISABLE_EOF_CHECK | JSON_DECODE_ANY |
                       JSON_REJECT_DUPLICATES,
                   &why);
    if (v) {
        in->at += (size_t)why.position;
        return v;
    }
    damaged(why.text, in->at + (size_t)(why.position > 0 ? why.position : 0),
            err);
    return NULL;
}

static const struct noun *noun_of(const char *plural)
{
    for (size_t n = 0; n < NOUN_COUNT; n++)
        if (!strcmp(nouns[n].plural, plural) && rows_shared(nouns[n].id))
            return &nouns[n];
    return NULL;
}

/* Notes where each element begins. */
static bool take_places(struct scan *in, enum noun_id noun,
                        struct take_json *out, struct error *err)
{
    if (!take_char(in, '['))
        return damaged("records are not a list", in->at, err);
    if (take_char(in, ']'))
        return true;
    do {
        json_t *v;
        skip_blanks(in);
        if (out->of[noun].count == RECORDS_MAX)
            return error_set(err, ERR_LIMIT,
                             "the file holds more than %d %s: hand on a part "
                             "of them at a time",
                             RECORDS_MAX, nouns[noun].plural);
        out->of[noun].at = mem_room(out->of[noun].at, out->of[noun].count,
                                    sizeof *out->of[noun].at);
        out->of[noun].at[out->of[noun].count++] = in->at;
        v = take_any(in, err);
        if (!v)
            return false;
        json_decref(v);
    } while (take_char(in, ','));
    return take_char(in, ']') || damaged("a list does not end", in->at, err);
}

static bool all_in(const char *s, const char *set, size_t n)
{
    return strlen(s) == n && strspn(s, set) == n;
}

static const char hex[] = "0123456789abcdef";

static bool take_hex(const char *s, unsigned char *out, size_t n)
{
    if (!s || !all_in(s, hex, 2 * n))
        return false;
    for (size_t i = 0; i < n; i++)
        out[i] = (unsigned char)((strchr(hex, s[2 * i]) - hex) << 4 |
                                 (strchr(hex, s[2 * i + 1]) - hex));
    return true;
}

/* What could be a terminal's command is no text: the controls of ASCII and of
 * Latin-1. Notes, and what photos say of themselves, have lines. */
static bool is_plain(const char *s, bool lines)
{
    for (const unsigned char *p = (const unsigned char *)s; *p; p++)
        if ((*p < 0x20 && !(lines && (*p == '\t' || *p == '\n'))) ||
            *p == 0x7F || (*p == 0xC2 && p[1] < 0xA0))
            return false;
    return true;
}

/* A member that is no list of records. What we do not know is let pass: the
 * version says whether we know enough. */
static void take_head(const char *name, const json_t *v, struct take_json *out,
                      int64_t *version, bool *ours)
{
    const char *s = json_string_value(v);

    if (!strcmp(name, "hanklab"))
        *ours = s && !strcmp(s, "exchange");
    else if (!strcmp(name, "version"))
        *version = json_integer_value(v);
    else if (!strcmp(name, "dyer"))
        out->has_dyer = take_hex(s, out->dyer_uid, sizeof out->dyer_uid);
    else if (!strcmp(name, "dyer_name") && s && !out->dyer_name &&
             strlen(s) <= NAME_MAX_BYTES && is_plain(s, false))
        out->dyer_name = mem_text(s);
    else if (!strcmp(name, "made_at") && s && strlen(s) >= 10 &&
             strspn(s, "0123456789-") >= 10)
        snprintf(out->made_on, sizeof out->made_on, "%.10s", s);
    else if (!strcmp(name, "places"))
        out->places = json_is_true(v);
}

static bool take_member(struct scan *in, struct take_json *out,
                        int64_t *version, bool *ours, struct error *err)
{
    json_t *name = take_any(in, err), *v = NULL;
    const struct noun *noun;
    bool ok = false;

    if (!name)
        return false;
    if (!json_is_string(name) || !take_char(in, ':')) {
        damaged("a name is missing", in->at, err);
        goto done;
    }
    noun = noun_of(json_string_value(name));
    if (noun && out->of[noun->id].count) {
        damaged("a list stands twice", in->at, err);
    } else if (noun) {
        ok = take_places(in, noun->id, out, err);
    } else {
        v = take_any(in, err);
        ok = v != NULL;
        if (ok)
            take_head(json_string_value(name), v, out, version, ours);
    }

done:
    json_decref(name);
    json_decref(v);
    return ok;
}

static bool check_head(const struct take_json *json, int64_t version, bool ours,
                       struct error *err)
{
    if (!ours || version < 1)
        return error_set(err, ERR_INPUT,
                         "hanklab.json in the file was not written by "
                         "\"hanklab export\"");
    if (version > book_schema_version())
        return error_set(err, ERR_INPUT,
                         "the file was written by a newer hanklab (book "
                         "version %lld, this one knows %d): update hanklab",
                         (long long)version, book_schema_version());
    if (!json->has_dyer || !json->dyer_name)
        return error_set(err, ERR_INPUT,
                         "hanklab.json in the file does not say whose it is: "
                         "ask for the file again");
    return true;
}

bool take_json_open(const char *text, size_t size, struct take_json *out,
                    struct error *err)
{
    struct scan in = {text, size, 0};
    int64_t version = 0;
    bool ours = false;

    *out = (struct take_json){.text = text, .size = size};
    if (!take_char(&in, '{'))
        return damaged("it is no object", in.at, err);
    do {
        if (!take_member(&in, out, &version, &ours, err))
            return false;
    } while (take_char(&in, ','));
    if (!take_char(&in, '}'))
        return damaged("it does not end", in.at, err);
    skip_blanks(&in);
    if (in.at != size)
        return damaged("something follows its end", in.at, err);
    return check_head(out, version, ours, err);
}

void take_json_clear(struct take_json *json)
{
    free(json->dyer_name);
    for (size_t n = 0; n < NOUN_COUNT; n++)
        free(json->of[n].at);
    *json = (struct take_json){0};
}

/* ---- one record ---------------------------------------------------------- */

static bool wrong(const struct take_record *r, const char *name,
                  const char *why, struct error *err)
{
    return error_set(err, ERR_INPUT,
                     "in the file, %s of %s %zu %s: ask for it again", name,
                     r->table->noun->name, r->number, why);
}

static bool take_text(const struct take_record *r, const struct row_column *c,
                      const json_t *j, struct take_value *v, struct error *err)
{
    static const char *const lined[] = {"note", "notes", "known", "said"};
    bool lines = false;

    for (size_t i = 0; i < ARRAY_LEN(lined); i++)
        lines = lines || !strcmp(c->name, lined[i]);

    v->is = TAKE_TEXT;
    v->text = json_string_value(j);
    if (!v->text)
        return wrong(r, c->json, "is no text", err);
    if (json_string_length(j) > TEXT_MAX)
        return wrong(r, c->json, "is longer than 64 kB", err);
    return is_plain(v->text, lines) ||
           wrong(r, c->json, "holds what is no text", err);
}

/* A number with bounds keeps to them; no other is larger than any wool. */
static bool take_number(const struct take_record *r, const struct row_column *c,
                        const json_t *j, struct take_value *v,
                        struct error *err)
{
    const struct field *f = c->field;
    const bool bound = f && (f->kind == FIELD_WHOLE || f->kind == FIELD_REAL) &&
                       f->max > f->min;

    if (c->kind == ROW_WHOLE ? !json_is_integer(j) : !json_is_number(j))
        return wrong(
            r, c->json,
            c->kind == ROW_WHOLE ? "is no whole number" : "is no number", err);
    v->is = c->kind == ROW_WHOLE ? TAKE_WHOLE : TAKE_REAL;
    v->whole = json_integer_value(j);
    v->real = json_number_value(j);
    if (!(fabs(v->real) <= NUMBER_MAX) ||
        (bound && (v->real < f->min || v->real > f->max)))
        return wrong(r, c->json, "is out of range", err);
    return true;
}

static bool take_one(const struct take_record *r, const struct row_column *c,
                     const json_t *j, struct take_value *v, struct error *err)
{
    switch (c->kind) {
    case ROW_WHOLE:
    case ROW_REAL:
        return take_number(r, c, j, v, err);
    case ROW_TEXT:
        return take_text(r, c, j, v, err);
    case ROW_BYTES:
    case ROW_REF:
        v->is = TAKE_BYTES;
        v->size = c->kind == ROW_REF ? 16 : 32;
        return take_hex(json_string_value(j), v->bytes, v->size) ||
               wrong(r, c->json,
                     c->kind == ROW_REF ? "is no uid" : "is no hash", err);
    }
    return false;
}

static bool take_frame(struct take_record *r, struct error *err)
{
    const json_t *withdrawn = json_object_get(r->json, "withdrawn");
    const json_t *changed = json_object_get(r->json, "changed_at");

    if (!take_hex(json_string_value(json_object_get(r->json, "uid")), r->uid,
                  sizeof r->uid))
        return wrong(r, "uid", "is missing", err);
    r->changed_at = json_integer_value(changed);
    if (!json_is_integer(changed) || r->changed_at < 0)
        return wrong(r, "changed_at", "is missing", err);
    r->withdrawn = json_is_true(withdrawn);
    return !withdrawn || json_is_boolean(withdrawn) ||
           wrong(r, "withdrawn", "is neither yes nor no", err);
}

static bool take_columns(struct take_record *r, struct error *err)
{
    size_t known = 2 + (json_object_get(r->json, "withdrawn") != NULL);

    for (size_t i = 0; i < r->table->count; i++) {
        const struct row_column *c = &r->table->column[i];
        const json_t *j =
            c->key || c->own ? NULL : json_object_get(r->json, c->json);
        if (j && !take_one(r, c, j, &r->value[i], err))
            return false;
        if (!j && c->needed && !c->key && !c->own)
            return wrong(r, c->json, "is missing", err);
        known += j != NULL;
    }
    return known == json_object_size(r->json) ||
           wrong(r, "a fact", "is of a kind that no hanklab writes", err);
}

bool take_record_read(const struct take_json *json,
                      const struct row_table *table, size_t n,
                      struct take_record *out, struct error *err)
{
    struct scan in = {json->text, json->size, json->of[table->noun->id].at[n]};

    *out = (struct take_record){.table = table, .number = n + 1};
    out->value = mem_new(table->count, sizeof *out->value);
    out->json = take_any(&in, err);
    if (!out->json)
        return false;
    if (!json_is_object(out->json))
        return wrong(out, "the record", "is no object", err);
    return take_frame(out, err) && take_columns(out, err);
}

void take_record_clear(struct take_record *record)
{
    free(record->value);
    json_decref(record->json);
    *record = (struct take_record){0};
}
