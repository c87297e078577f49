/* Rows put into a table by one statement. See sheaf.h. */
#include "book/sheaf.h"

#include <assert.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"

/* ---- gathering ----------------------------------------------------------- */

void sheaf_row(struct sheaf *s)
{
    s->first = mem_room(s->first, s->rows, sizeof *s->first);
    s->first[s->rows++] = s->values;
    s->next = 0;
}

static size_t column_of(struct sheaf *s, const char *name)
{
    size_t i = s->next;

    if (i >= s->columns || strcmp(s->column[i], name) != 0)
        for (i = 0; i < s->columns && strcmp(s->column[i], name) != 0; i++)
            ;
    if (i == s->columns) {
        const size_t n = strlen(name);
        assert(n < sizeof s->column[i] && i < SHEAF_COLUMNS);
        memcpy(s->column[s->columns++], name, n + 1);
    }
    s->next = i + 1;
    return i;
}

static struct sheaf_value *value_of(struct sheaf *s, const char *column)
{
    const size_t i = column_of(s, column), first = s->first[s->rows - 1];

    while (s->values <= first + i) {
        s->value = mem_room(s->value, s->values, sizeof *s->value);
        s->value[s->values++].is = SHEAF_NULL;
    }
    return &s->value[first + i];
}

void sheaf_int(struct sheaf *s, const char *column, int64_t value)
{
    struct sheaf_value *v = value_of(s, column);

    v->is = SHEAF_INT;
    v->whole = value;
}

void sheaf_real(struct sheaf *s, const char *column, double value)
{
    struct sheaf_value *v = value_of(s, column);

    v->is = SHEAF_REAL;
    v->real = value;
}

static struct sheaf_value *add_bytes(struct sheaf *s, const char *column,
                                     const void *value, size_t size)
{
    struct sheaf_value *v = value_of(s, column);

    v->is = SHEAF_BLOB;
    v->at = s->bytes.len;
    v->size = size;
    text_add_n(&s->bytes, value, size);
    return v;
}

void sheaf_blob(struct sheaf *s, const char *column, const void *value,
                size_t size)
{
    add_bytes(s, column, value, size);
}

void sheaf_text(struct sheaf *s, const char *column, const char *value)
{
    if (value)
        add_bytes(s, column, value, strlen(value))->is = SHEAF_TEXT;
}

void sheaf_id(struct sheaf *s, const char *column, int64_t id)
{
    struct sheaf_value *v = value_of(s, column);

    v->is = id ? SHEAF_INT : SHEAF_NULL;
    v->whole = id;
}

void sheaf_clear(struct sheaf *s)
{
    free(s->value);
    free(s->first);
    text_clear(&s->bytes);
    *s = (struct sheaf){0};
}

/* ---- as a table ---------------------------------------------------------- */

/* sheaf(which): its columns by their places, c0, c1 ...; which is hidden. */
struct cursor {
    sqlite3_vtab_cursor base;
    const struct sheaf *of;
    size_t row;
};

static int on_connect(sqlite3 *db, void *self, int argc,
                      const char *const *argv, sqlite3_vtab **out, char **why)
{
    struct text sql = {0};
    int rc;

    (void)self;
    (void)argc;
    (void)argv;
    (void)why;
    text_add(&sql, "CREATE TABLE x (");
    for (int i = 0; i < SHEAF_COLUMNS; i++)
        text_addf(&sql, "c%d, ", i);
    text_add(&sql, "which HIDDEN)");
    rc = sqlite3_declare_vtab(db, text_str(&sql));
    text_clear(&sql);
    if (rc == SQLITE_OK)
        *out = mem_new(1, sizeof **out);
    return rc;
}

static int on_disconnect(sqlite3_vtab *table)
{
    free(table);
    return SQLITE_OK;
}

static int on_plan(sqlite3_vtab *table, sqlite3_index_info *info)
{
    (void)table;
    for (int i = 0; i < info->nConstraint; i++)
        if (info->aConstraint[i].usable &&
            info->aConstraint[i].iColumn == SHEAF_COLUMNS &&
            info->aConstraint[i].op == SQLITE_INDEX_CONSTRAINT_EQ) {
            info->aConstraintUsage[i].argvIndex = 1;
            info->aConstraintUsage[i].omit = 1;
            return SQLITE_OK;
        }
    return SQLITE_CONSTRAINT;
}

static int on_open(sqlite3_vtab *table, sqlite3_vtab_cursor **out)
{
    struct cursor *c = mem_new(1, sizeof *c);

    (void)table;
    *out = &c->base;
    return SQLITE_OK;
}

static int on_close(sqlite3_vtab_cursor *cursor)
{
    free(cursor);
    return SQLITE_OK;
}

static int on_filter(sqlite3_vtab_cursor *cursor, int plan, const char *words,
                     int argc, sqlite3_value **argv)
{
    struct cursor *c = (struct cursor *)cursor;

    (void)plan;
    (void)words;
    c->of = argc ? sqlite3_value_pointer(argv[0], "sheaf") : NULL;
    c->row = 0;
    return SQLITE_OK;
}

static int on_next(sqlite3_vtab_cursor *cursor)
{
    ((struct cursor *)cursor)->row++;
    return SQLITE_OK;
}

static int on_eof(sqlite3_vtab_cursor *cursor)
{
    const struct cursor *c = (const struct cursor *)cursor;

    return !c->of || c->row >= c->of->rows;
}

static int on_column(sqlite3_vtab_cursor *cursor, sqlite3_context *out, int i)
{
    const struct cursor *c = (const struct cursor *)cursor;
    const struct sheaf *s = c->of;
    const size_t at = s->first[c->row] + (size_t)i,
                 end = c->row + 1 < s->rows ? s->first[c->row + 1] : s->values;
    const struct sheaf_value *v = at < end ? &s->value[at] : NULL;

    if (!v || v->is == SHEAF_NULL)
        sqlite3_result_null(out);
    else if (v->is == SHEAF_INT)
        sqlite3_result_int64(out, v->whole);
    else if (v->is == SHEAF_REAL)
        sqlite3_result_double(out, v->real);
    else if (v->is == SHEAF_TEXT)
        sqlite3_result_text64(out, text_str(&s->bytes) + v->at, v->size,
                              SQLITE_STATIC, SQLITE_UTF8);
    else
        sqlite3_result_blob64(out, text_str(&s->bytes) + v->at, v->size,
                              SQLITE_STATIC);
    return SQLITE_OK;
}

static int on_rowid(sqlite3_vtab_cursor *cursor, sqlite3_int64 *out)
{
    *out = (sqlite3_int64)((const struct cursor *)cursor)->row;
    return SQLITE_OK;
}

static const sqlite3_module module = {.xConnect = on_connect,
                                      .xBestIndex = on_plan,
                                      .xDisconnect = on_disconnect,
                                      .xOpen = on_open,
                                      .xClose = on_close,
                                      .xFilter = on_filter,
                                      .xNext = on_next,
                                      .xEof = on_eof,
                                      .xColumn = on_column,
                                      .xRowid = on_rowid};

/* ---- putting ------------------------------------------------------------- */

static bool run(struct sheaf *s, struct book *book, const char *sql,
                struct error *err)
{
    struct stmt q = {0};
    bool ok =
        book->sheaves ||
        sqlite3_create_module(book->db, "sheaf", &module, NULL) == SQLITE_OK ||
        store_error(book, err);

    book->sheaves = ok;
    if (!ok || !stmt_prepare(book, sql, &q, err))
        return false;
    q.rc = sqlite3_bind_pointer(
        q.st, sqlite3_bind_parameter_index(q.st, ":which"), s, "sheaf", NULL);
    ok = stmt_run(&q, err);
    s->values = s->rows = 0;
    text_reset(&s->bytes);
    return ok;
}

#define FROM_SHEAF " FROM sheaf(:which) WHERE true"

bool sheaf_put(struct sheaf *s, struct book *book, const char *table,
               const char *end, struct error *err)
{
    struct text sql = {0};
    bool ok;

    if (!s->rows)
        return true;
    text_addf(&sql, "INSERT INTO %s (", table);
    for (size_t i = 0; i < s->columns; i++)
        text_addf(&sql, "%s%s", i ? ", " : "", s->column[i]);
    text_add(&sql, ") SELECT ");
    for (size_t i = 0; i < s->columns; i++)
        text_addf(&sql, "%sc%zu", i ? ", " : "", i);
    text_addf(&sql, FROM_SHEAF "%s", end);
    ok = run(s, book, text_str(&sql), err);
    text_clear(&sql);
    return ok;
}

static bool is_of_name(char c)
{
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') ||
           (c >= '0' && c <= '9') || c == '_';
}

bool sheaf_put_as(struct sheaf *s, struct book *book, const char *insert,
                  const char *values, struct error *err)
{
    struct text sql = {0};
    bool ok;

    if (!s->rows)
        return true;
    text_addf(&sql, "%s SELECT ", insert);
    for (const char *p = values; *p;) {
        const size_t n = strcspn(p, ":");
        char name[32];
        size_t k = 0;
        text_add_n(&sql, p, n);
        p += n;
        if (!*p++)
            break;
        while (is_of_name(*p) && k + 1 < sizeof name)
            name[k++] = *p++;
        name[k] = '\0';
        text_addf(&sql, "c%zu", column_of(s, name));
    }
    text_add(&sql, FROM_SHEAF);
    ok = run(s, book, text_str(&sql), err);
    text_clear(&sql);
    return ok;
}
