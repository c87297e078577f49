/* What every test needs. See the header. */
#define _XOPEN_SOURCE 700 /* nftw */

#include "support.h"

#include <ftw.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

void check_near(const char *row, double got, double want, double tolerance)
{
    if (!(fabs(got - want) <= tolerance))
        fail_msg("%s: got %.10g, want %.10g within %g", row, got, want,
                 tolerance);
}

void check_text(const char *row, const char *got, const char *want)
{
    if (!got || !want ? got != want : strcmp(got, want) != 0)
        fail_msg("%s: got \"%s\", want \"%s\"", row, got ? got : "(none)",
                 want ? want : "(none)");
}

void check_ok(bool ok, const struct error *err)
{
    if (!ok)
        fail_msg("%s", err->text);
}

unsigned char *file_read(const char *path, size_t *size)
{
    FILE *f = fopen(path, "rb");
    unsigned char *data = NULL;
    size_t cap = 0, n = 0, got;

    if (!f)
        fail_msg("cannot read %s", path);
    do {
        cap = cap ? 2 * cap : 65536;
        data = mem_resize(data, cap + 1, 1);
        got = fread(data + n, 1, cap - n, f);
        n += got;
    } while (n == cap);
    fclose(f);
    data[n] = 0;
    *size = n;
    return data;
}

/* Ends the field that starts at s in place; returns what follows it, and the
 * byte that ended it (',' '\n' or 0) in *end. */
static char *take_field(char *s, char **field, char *end)
{
    char *to = s;
    bool quoted = *s == '"';

    *field = s;
    if (quoted)
        s++;
    while (*s && (quoted || (*s != ',' && *s != '\n'))) {
        if (quoted && *s == '"') {
            if (s[1] != '"') {
                quoted = false;
                s++;
                continue;
            }
            s++;
        }
        *to++ = *s++;
    }
    *end = *s;
    if (to > *field && to[-1] == '\r')
        to--;
    if (*s)
        s++;
    *to = '\0';
    return s;
}

struct table table_read(const char *name)
{
    char path[256];

    snprintf(path, sizeof path, "tests/reference/%s", name);
    return table_read_path(path);
}

struct table table_read_path(const char *path)
{
    struct table t = {0};
    char end = '\n', *s, *field;
    size_t size, n = 0;

    t.bytes = (char *)file_read(path, &size);
    s = t.bytes;
    do {
        s = take_field(s, &field, &end);
        t.name = mem_resize(t.name, t.columns + 1, sizeof *t.name);
        t.name[t.columns++] = field;
    } while (end == ',');
    while (*s) {
        t.field = mem_resize(t.field, n + t.columns, sizeof *t.field);
        for (size_t i = 0; i < t.columns; i++) {
            s = take_field(s, &t.field[n++], &end);
            if ((end == ',') != (i + 1 < t.columns))
                fail_msg("%s: row %zu has not %zu fields", path, t.rows + 1,
                         t.columns);
        }
        t.rows++;
    }
    return t;
}

void table_clear(struct table *t)
{
    free(t->bytes);
    free(t->field);
    free(t->name);
    *t = (struct table){0};
}

const char *table_text(const struct table *t, size_t row, const char *column)
{
    for (size_t i = 0; i < t->columns; i++)
        if (!strcmp(t->name[i], column))
            return t->field[row * t->columns + i];
    fail_msg("no column %s", column);
    return NULL;
}

double table_real(const struct table *t, size_t row, const char *column)
{
    const char *s = table_text(t, row, column);
    char *end;
    double x = strtod(s, &end);

    if (end == s || *end)
        fail_msg("row %zu, column %s: \"%s\" is no number", row + 1, column, s);
    return x;
}

static int drop_one(const char *path, const struct stat *st, int kind,
                    struct FTW *at)
{
    (void)st;
    (void)kind;
    (void)at;
    return remove(path);
}

void folder_drop(const char *path)
{
    nftw(path, drop_one, 16, FTW_DEPTH | FTW_PHYS);
}
