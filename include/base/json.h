/*
 * Writes JSON (RFC 8259) and CSV (RFC 4180). Commas, quotes and escapes are
 * placed here, so a caller only names what it has. Output ends with one
 * newline after json_end of the outermost value.
 */
#ifndef HANKLAB_BASE_JSON_H
#define HANKLAB_BASE_JSON_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/text.h"

struct json {
    struct text *out; /* borrowed */
    int depth;
    bool more[32]; /* a value stands before, at each depth */
    bool array[32];
};

/* Starts writing to out, which is appended to and stays the caller's. */
struct json json_to(struct text *out);

/* Opens an object or array; name is NULL inside an array and outermost. At
 * most 31 deep (asserted). */
void json_add_object(struct json *j, const char *name);
void json_add_array(struct json *j, const char *name);
void json_end(struct json *j);

/* Values; a NULL string and a NaN or infinite number are null. */
void json_add_string(struct json *j, const char *name, const char *value);
void json_add_real(struct json *j, const char *name, double value, int places);
/* The shortest decimal that reads back as the very same number. */
void json_add_exact(struct json *j, const char *name, double value);
void json_add_whole(struct json *j, const char *name, int64_t value);
void json_add_bool(struct json *j, const char *name, bool value);
void json_add_null(struct json *j, const char *name);

/* Appends one CSV field: quoted when it must be (comma, quote, newline, outer
 * blank). The caller writes the commas and the CRLF. */
void csv_field(struct text *out, const char *value);

#endif
