/* Reading records back as words. See book/record.h. */
#include "book/record.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/day.h"
#include "base/mem.h"
#include "book/field.h"

/* SELECT of every field's columns, in the order of the table. */
static void select_of(const struct noun *noun, struct text *sql)
{
    char columns[16][32];

    text_add(sql, "SELECT lower(hex(uid)), withdrawn, ");
    text_add(sql, noun->owner ? noun->owner : "0");
    for (size_t i = 0; i < noun->field_count; i++) {
        size_t n = field_columns(&noun->fields[i], columns);
        for (size_t k = 0; k < n; k++) {
            const bool hash = !strcmp(columns[k], "sha256");
            text_add(sql, hash ? ", lower(hex(" : ", ");
            text_add(sql, columns[k]);
            text_add(sql, hash ? "))" : "");
        }
    }
    text_add(sql, " FROM ");
    text_add(sql, noun->name);
    text_add(sql, " WHERE id = :id");
}

static void add_range(struct text *t, double low, double high, const char *unit)
{
    text_add_real(t, low, 2);
    if (high > low) {
        text_add(t, " to ");
        text_add_real(t, high, 2);
    }
    if (*unit)
        text_addf(t, " %s", unit);
}

/* Words with a range in two columns after them. */
static void take_range(struct stmt *q, int c, const char *unit,
                       struct record_field *out)
{
    struct text t = {0};

    out->words = mem_text(stmt_get_text(q, c));
    out->low = stmt_get_real(q, c + 1);
    out->high = stmt_get_real(q, c + 2);
    if (isnan(out->low))
        return;
    add_range(&t, out->low, out->high, unit);
    if (!out->words)
        out->words = text_take(&t);
    else if (strcmp(out->words, text_str(&t)))
        out->understood = text_take(&t);
    text_clear(&t);
}

static void take_dose(struct stmt *q, int c, struct record_field *out)
{
    const char *unit = stmt_get_text(q, c + 1);
    struct text t = {0};

    out->words = mem_text(stmt_get_text(q, c));
    out->low = stmt_get_real(q, c + 2);
    out->high = stmt_get_real(q, c + 3);
    if (isnan(out->low) || !unit)
        return;
    if (!strcmp(unit, "per_fibre")) {
        add_range(&t, out->low, out->high, "");
        text_add(&t, ":1 dyestuff to fibre");
    } else {
        add_range(&t, out->low, out->high,
                  strcmp(unit, "wof_pct") ? unit : "% of the fibre");
    }
    if (!out->words || strcmp(out->words, text_str(&t)))
        out->understood = text_take(&t);
    text_clear(&t);
}

static void take_day(struct stmt *q, int c, struct record_field *out)
{
    const char *from = stmt_get_text(q, c + 1), *to = stmt_get_text(q, c + 2);
    struct text t = {0};

    out->words = mem_text(stmt_get_text(q, c));
    if (!from || !to)
        return;
    text_add(&t, from);
    if (strcmp(from, to))
        text_addf(&t, " to %s", to);
    if (!out->words)
        out->words = text_take(&t);
    else if (strcmp(out->words, text_str(&t)))
        out->understood = text_take(&t);
    text_clear(&t);
}

static void take_triple(struct stmt *q, int c, const struct field *f,
                        struct record_field *out)
{
    struct text t = {0};
    bool cov = f->kind == FIELD_SIGMA && !strcmp(f->column, "abs");
    int at[3] = {c, c + (cov ? 3 : 1), c + (cov ? 5 : 2)};

    if (stmt_is_null(q, c))
        return;
    for (int i = 0; i < 3; i++) {
        double x = stmt_get_real(q, at[i]);
        if (i)
            text_add(&t, ", ");
        text_add_real(&t, cov ? sqrt(x) : x, 2);
    }
    out->low = out->high = stmt_get_real(q, c);
    out->words = text_take(&t);
}

static void take_round(struct stmt *q, int c, struct record_field *out)
{
    struct text t = {0};

    out->low = out->high = stmt_get_real(q, c);
    if (stmt_is_null(q, c))
        return;
    if (stmt_get_int(q, c) == 0)
        text_add(&t, "first bath");
    else
        text_addf(&t, "exhaust %lld", (long long)stmt_get_int(q, c));
    out->words = text_take(&t);
}

static void take_number(struct stmt *q, int c, const struct field *f,
                        struct record_field *out)
{
    struct text t = {0};

    out->low = out->high = stmt_get_real(q, c);
    if (stmt_is_null(q, c))
        return;
    if (f->kind == FIELD_FLAG)
        text_add(&t, stmt_get_int(q, c) ? "yes" : "no");
    else
        text_add_real(&t, out->low, 4);
    out->words = text_take(&t);
}

static void take(struct stmt *q, int c, const struct field *f,
                 struct record_field *out)
{
    *out = (struct record_field){.field = f, .low = NAN, .high = NAN};
    switch (f->kind) {
    case FIELD_TEXT:
    case FIELD_NAME:
    case FIELD_CODE:
    case FIELD_CHOICE:
        out->words = mem_text(stmt_get_text(q, c));
        break;
    case FIELD_FLAG:
    case FIELD_WHOLE:
    case FIELD_REAL:
        take_number(q, c, f, out);
        break;
    case FIELD_WEIGHT:
        take_range(q, c, "g", out);
        break;
    case FIELD_LENGTH:
        take_range(q, c, "m", out);
        break;
    case FIELD_VOLUME:
        take_range(q, c, "l", out);
        break;
    case FIELD_PH:
        take_range(q, c, "", out);
        break;
    case FIELD_HEAT:
        take_range(q, c, "C", out);
        break;
    case FIELD_MINUTES:
        take_range(q, c, "min", out);
        break;
    case FIELD_DOSE:
        take_dose(q, c, out);
        break;
    case FIELD_DAY:
        take_day(q, c, out);
        break;
    case FIELD_ROUND:
        take_round(q, c, out);
        break;
    case FIELD_REF:
        out->ref_id = stmt_get_int(q, c);
        break;
    case FIELD_LAB:
    case FIELD_SIGMA:
        take_triple(q, c, f, out);
        break;
    }
}

bool record_read(struct book *book, enum noun_id id_of, int64_t id,
                 struct record *out, struct error *err)
{
    const struct noun *noun = &nouns[id_of];
    struct text sql = {0}, label = {0};
    struct stmt q = {0};
    bool row = false, ok = false;
    int c = 3;
    char columns[16][32];

    *out = (struct record){.noun = noun, .id = id};
    select_of(noun, &sql);
    if (!stmt_prepare(book, text_str(&sql), &q, err))
        goto done;
    stmt_int(&q, ":id", id);
    if (!stmt_step(&q, &row, err))
        goto done;
    if (!row) {
        error_set(err, ERR_MISSING, "there is no %s #%lld", noun->name,
                  (long long)id);
        goto done;
    }
    snprintf(out->uid, sizeof out->uid, "%s", stmt_get_text(&q, 0));
    out->withdrawn = stmt_get_int(&q, 1);
    out->owner_id = stmt_get_int(&q, 2);
    out->field = mem_new(noun->field_count, sizeof *out->field);
    for (size_t i = 0; i < noun->field_count; i++) {
        take(&q, c, &noun->fields[i], &out->field[i]);
        c += (int)field_columns(&noun->fields[i], columns);
    }
    stmt_done(&q);
    for (size_t i = 0; i < noun->field_count; i++) {
        struct record_field *f = &out->field[i];
        if (!f->ref_id)
            continue;
        if (!record_label(book, f->field->ref, f->ref_id, &label, err))
            goto done;
        f->words = text_take(&label);
    }
    if (!record_label(book, id_of, id, &label, err))
        goto done;
    out->label = text_take(&label);
    ok = true;

done:
    stmt_done(&q);
    text_clear(&sql);
    text_clear(&label);
    if (!ok)
        record_clear(out);
    return ok;
}

void record_clear(struct record *record)
{
    if (record->field)
        for (size_t i = 0; i < record->noun->field_count; i++) {
            free(record->field[i].words);
            free(record->field[i].understood);
        }
    free(record->field);
    free(record->label);
    *record = (struct record){0};
}

const struct record_field *record_get(const struct record *record,
                                      const char *field)
{
    for (size_t i = 0; i < record->noun->field_count; i++)
        if (!strcmp(record->field[i].field->name, field))
            return record->field[i].words ? &record->field[i] : NULL;
    return NULL;
}

const char *record_shown(const struct record_field *f)
{
    const char *days = f->understood, *to = days ? strstr(days, " to ") : NULL;
    struct day_range r = {.known = true};
    char from[11];

    if (!days || f->field->kind != FIELD_DAY)
        return f->words;
    snprintf(from, sizeof from, "%.10s", days);
    return day_from_iso(from, &r.from) &&
                   day_from_iso(to ? to + 4 : from, &r.to) &&
                   day_words_move(f->words, r)
               ? days
               : f->words;
}

static bool collect(struct stmt *q, int64_t **ids, size_t *count,
                    struct error *err)
{
    size_t room = 0;
    bool row, ok;

    *ids = NULL;
    *count = 0;
    while ((ok = stmt_step(q, &row, err)) && row) {
        if (*count == room) {
            room = room ? 2 * room : 16;
            *ids = mem_resize(*ids, room, sizeof **ids);
        }
        (*ids)[(*count)++] = stmt_get_int(q, 0);
    }
    stmt_done(q);
    if (!ok) {
        free(*ids);
        *ids = NULL;
        *count = 0;
    }
    return ok;
}

/* The order a dyer would list them in. */
static const char *order_of(enum noun_id id)
{
    switch (id) {
    case NOUN_SKEIN:
    case NOUN_BATH:
        return "dyer_id, number";
    case NOUN_MATERIAL:
        return "kind, name_key";
    case NOUN_FIBRE:
    case NOUN_WATER:
    case NOUN_CARD:
    case NOUN_ALIAS:
    case NOUN_PROJECT:
        return "name_key";
    case NOUN_TASK:
        return "project_id, number, id";
    case NOUN_ENTRY:
        return "place, id";
    case NOUN_DYER:
    case NOUN_SUPPLY:
    case NOUN_ORIGIN:
    case NOUN_POUR:
    case NOUN_EXTRACTION:
    case NOUN_TREATMENT:
    case NOUN_DOSE:
    case NOUN_PH:
    case NOUN_PHOTO:
    case NOUN_SIGHT:
    case NOUN_CAMERA:
    case NOUN_READING:
    case NOUN_REGION:
    case NOUN_TEST:
    case NOUN_WISH:
    case NOUN_COUNT:
        return "id";
    }
    return "id";
}

static bool ids_where(struct book *book, enum noun_id noun, const char *where,
                      int64_t **ids, size_t *count, struct error *err)
{
    struct text sql = {0};
    struct stmt q = {0};
    bool ok;

    text_addf(&sql, "SELECT id FROM %s%s ORDER BY %s", nouns[noun].name, where,
              order_of(noun));
    ok = stmt_prepare(book, text_str(&sql), &q, err) &&
         collect(&q, ids, count, err);
    text_clear(&sql);
    return ok;
}

bool record_ids(struct book *book, enum noun_id noun, bool withdrawn,
                int64_t **ids, size_t *count, struct error *err)
{
    return ids_where(book, noun, withdrawn ? "" : " WHERE withdrawn = 0", ids,
                     count, err);
}

bool record_ids_withdrawn(struct book *book, enum noun_id noun, int64_t **ids,
                          size_t *count, struct error *err)
{
    return ids_where(book, noun, " WHERE withdrawn = 1", ids, count, err);
}

bool record_children(struct book *book, enum noun_id noun, const char *field,
                     int64_t of, int64_t **ids, size_t *count,
                     struct error *err)
{
    const struct field *f = noun_field(&nouns[noun], field);
    struct text sql = {0};
    struct stmt q = {0};
    bool ok;

    *ids = NULL;
    *count = 0;
    if (!f || f->kind != FIELD_REF)
        return error_set(err, ERR_BUG, "%s has no reference %s",
                         nouns[noun].name, field);
    text_addf(&sql,
              "SELECT id FROM %s WHERE %s_id = :of AND withdrawn = 0 "
              "ORDER BY %s",
              nouns[noun].name, f->column, order_of(noun));
    ok = stmt_prepare(book, text_str(&sql), &q, err);
    if (ok) {
        stmt_int(&q, ":of", of);
        ok = collect(&q, ids, count, err);
    }
    text_clear(&sql);
    return ok;
}
