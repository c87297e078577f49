/* What every test needs: cmocka in its required order, and near numbers. */
#ifndef HANKLAB_TESTS_SUPPORT_H
#define HANKLAB_TESTS_SUPPORT_H

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <stdbool.h>

#include "base/error.h"
#include "base/mem.h"

/* Fails, naming the row, unless |got - want| <= tolerance; NaN always fails.
 * cmocka's own float assertion is single precision. */
void check_near(const char *row, double got, double want, double tolerance);

/* Fails, naming the row, unless the strings are equal. */
void check_text(const char *row, const char *got, const char *want);

/* Fails with the error's own text unless ok. */
void check_ok(bool ok, const struct error *err);

/* A CSV file of tests/reference/, read whole. Fields may be quoted. */
struct table {
    char **field; /* rows * columns strings, the heading row left out */
    char **name;  /* columns strings */
    size_t rows, columns;
    char *bytes;
};

/* Reads tests/reference/NAME, or any file; fails the test when it is not
 * there. */
struct table table_read(const char *name);
struct table table_read_path(const char *path);
void table_clear(struct table *t);

/* A field by its column's name; fails when there is no such column. */
const char *table_text(const struct table *t, size_t row, const char *column);
double table_real(const struct table *t, size_t row, const char *column);

/* A whole file; release with free(). Fails the test when it cannot be read. */
unsigned char *file_read(const char *path, size_t *size);

/* Removes a folder with all that is in it; nothing there is no failure. */
void folder_drop(const char *path);

#endif
