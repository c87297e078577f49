/* The bytes of a CSV file as cells of UTF-8. See book/ledger.h. */
#include "book/ledger.h"

#include <assert.h>
#include <csv.h>
#include <errno.h>
#include <iconv.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "base/mem.h"
#include "book/ledger_work.h"
#include "photo/photo.h"

bool ledger_is_zip(const char *path, bool *is, struct error *err)
{
    const char *end = strrchr(path, '.');
    unsigned char start[4] = {0};
    int fd;

    if (!file_open(path, &fd, err))
        return false;
    *is = (end && text_same(end, ".zip")) ||
          (read(fd, start, sizeof start) == sizeof start &&
           !memcmp(start, "PK\3\4", sizeof start));
    close(fd);
    return true;
}

/* ---- letters ------------------------------------------------------------- */

/* What the letters are, told by a mark at the start, by the zeros of UTF-16,
 * or by whether they can be UTF-8; *skip bytes are the mark. */
static const char *guess_charset(const unsigned char *data, size_t size,
                                 size_t *skip)
{
    size_t zeros[2] = {0}, looked = size < 4096 ? size : 4096;

    *skip = 0;
    if (size >= 3 && !memcmp(data, "\xEF\xBB\xBF", 3)) {
        *skip = 3;
        return "UTF-8";
    }
    if (size >= 2 &&
        (!memcmp(data, "\xFF\xFE", 2) || !memcmp(data, "\xFE\xFF", 2))) {
        *skip = 2;
        return data[0] == 0xFF ? "UTF-16LE" : "UTF-16BE";
    }
    for (size_t i = 0; i < looked; i++)
        zeros[i % 2] += !data[i];
    if (zeros[0] + zeros[1] > looked / 4)
        return zeros[1] > zeros[0] ? "UTF-16LE" : "UTF-16BE";
    return text_is_utf8((const char *)data, size) ? "UTF-8" : "WINDOWS-1252";
}

static bool convert(iconv_t cd, const unsigned char *data, size_t size,
                    struct text *out)
{
    char buffer[16384], *in;
    bool ok = true;

    memcpy(&in, &data, sizeof in); /* iconv only reads what is there */
    while (ok && size) {
        char *to = buffer;
        size_t room = sizeof buffer;
        ok = iconv(cd, &in, &size, &to, &room) != (size_t)-1 || errno == E2BIG;
        text_add_n(out, buffer, sizeof buffer - room);
    }
    return ok;
}

static bool recode(const char *charset, const unsigned char *data, size_t size,
                   struct text *out, struct error *err)
{
    /* Where there is no such charset, the others fail as they should. */
    iconv_t cd = iconv_open("UTF-8", charset);
    const bool ok = convert(cd, data, size, out);

    iconv_close(cd);
    return ok ||
           error_set(err, ERR_INPUT,
                     "its letters cannot be read as %s: save it as CSV in "
                     "UTF-8",
                     charset);
}

static bool to_utf8(const unsigned char *data, size_t size,
                    const char **charset, struct text *out, struct error *err)
{
    size_t skip;

    *charset = guess_charset(data, size, &skip);
    if (!strcmp(*charset, "UTF-8"))
        text_add_n(out, (const char *)data + skip, size - skip);
    else if (!recode(*charset, data + skip, size - skip, out, err))
        return false;
    return text_is_utf8(text_str(out), out->len) ||
           error_set(err, ERR_INPUT,
                     "it is no text: save the sheet as CSV and choose that");
}

/* ---- columns ------------------------------------------------------------- */

/* How often each separator stands outside of quotes in the line that has the
 * headings; the most frequent is it. A first line "sep=;" says it. */
static char guess_separator(const char **text)
{
    static const char marks[] = ",;\t|";
    size_t count[sizeof marks] = {0}, best = 0;
    const char *s = *text;
    bool quoted = false;

    if (!strncmp(s, "sep=", 4) && s[4] && (s[5] == '\r' || s[5] == '\n')) {
        *text = s + 5;
        return s[4];
    }
    s += strspn(s, "\r\n ,;\t\"");
    for (; *s && (quoted || (*s != '\n' && *s != '\r')); s++) {
        const char *at = strchr(marks, *s);
        quoted = quoted != (*s == '"');
        if (at && !quoted)
            count[at - marks]++;
    }
    for (size_t i = 1; marks[i]; i++)
        if (count[i] > count[best])
            best = i;
    return marks[best];
}

/* ---- cells --------------------------------------------------------------- */

struct reading {
    struct ledger *l;
    struct error *err;
    size_t line, row_line; /* at hand; on which its row begins */
    size_t in_row;         /* cells of that row so far */
    size_t cells, room, lines;
    bool full, begun, failed;
};

static void add_cell(struct reading *r, const char *s, size_t n)
{
    struct ledger *l = r->l;

    while (n && (unsigned char)s[0] <= ' ') {
        s++;
        n--;
    }
    while (n && (unsigned char)s[n - 1] <= ' ')
        n--;
    if (r->cells == r->room) {
        r->room = r->room ? 2 * r->room : 256;
        l->cell = mem_resize(l->cell, r->room, sizeof *l->cell);
    }
    l->cell[r->cells++] = l->bytes.len;
    text_add_n(&l->bytes, s, n);
    text_add_n(&l->bytes, "", 1);
    r->full = r->full || n;
}

static void refuse(struct reading *r, enum error_kind kind, const char *what)
{
    if (!r->failed)
        error_set(r->err, kind, "line %zu: %s", r->row_line, what);
    r->failed = true;
}

static void on_cell(void *data, size_t size, void *self)
{
    struct reading *r = self;

    if (r->failed)
        return;
    if (r->in_row >= LEDGER_COLUMNS_MAX || r->cells >= LEDGER_CELLS_MAX) {
        refuse(r, ERR_LIMIT,
               r->in_row >= LEDGER_COLUMNS_MAX
                   ? "more columns than hanklab takes (256)"
                   : "more cells than hanklab takes: import it in parts");
        return;
    }
    if (r->l->columns && r->in_row >= r->l->columns) {
        /* Empty ones behind the last heading are what a sheet leaves. */
        for (size_t i = 0; i < size; i++)
            if (((unsigned char *)data)[i] > ' ') {
                refuse(r, ERR_INPUT,
                       "it has more cells than there are headings: words with "
                       "a separator in them need quotes around them, and every "
                       "column a heading");
                return;
            }
        return;
    }
    add_cell(r, data, size);
    r->in_row++;
}

/* Of the headings, those behind the last that is not empty are dropped. */
static void take_headings(struct reading *r)
{
    struct ledger *l = r->l;
    size_t n = r->in_row;

    while (n && !l->bytes.s[l->cell[n - 1]])
        n--;
    l->columns = n;
    l->column = mem_new(n, sizeof *l->column);
    for (size_t i = 0; i < n; i++) {
        struct text heading = {0};
        text_add(&heading, l->bytes.s + l->cell[i]);
        if (!heading.len)
            text_addf(&heading, "column %zu", i + 1);
        for (char *p = heading.s; *p; p++)
            if ((unsigned char)*p < ' ')
                *p = ' ';
        l->column[i].heading = text_take(&heading);
        l->column[i].is = -1;
    }
    text_reset(&l->bytes);
    r->cells = 0;
}

static void on_row(int end, void *self)
{
    struct reading *r = self;
    struct ledger *l = r->l;
    bool full = r->full;

    (void)end;
    r->begun = false;
    if (r->failed)
        return;
    if (!full) { /* nothing but separators */
        r->cells -= r->in_row;
        l->bytes.len -= r->in_row;
    } else if (!l->columns) {
        take_headings(r);
    } else {
        while (r->in_row < l->columns) {
            add_cell(r, "", 0);
            r->in_row++;
        }
        if (l->rows == r->lines) {
            r->lines = r->lines ? 2 * r->lines : 64;
            l->line = mem_resize(l->line, r->lines, sizeof *l->line);
        }
        l->line[l->rows++] = r->row_line;
    }
    r->in_row = 0;
    r->full = false;
}

/* The next line of the text with what ends it. */
static size_t line_length(const char *s)
{
    size_t n = strcspn(s, "\r\n");

    if (s[n] == '\r' && s[n + 1] == '\n')
        return n + 2;
    return n + (s[n] != '\0');
}

/* Line by line, so that it is known on which one a row begins. */
static bool read_cells(struct reading *r, struct csv_parser *csv,
                       const char *text)
{
    for (size_t n; !r->failed && (n = line_length(text)); text += n) {
        r->line++;
        if (!r->begun && strspn(text, " \t\r\n") >= n)
            continue;
        if (!r->begun)
            r->row_line = r->line;
        r->begun = true;
        if (csv_parse(csv, text, n, on_cell, on_row, r) != n)
            refuse(r, ERR_LIMIT, "it cannot be read");
    }
    csv_set_opts(csv, CSV_STRICT | CSV_STRICT_FINI | CSV_APPEND_NULL);
    if (!r->failed && csv_fini(csv, on_cell, on_row, r))
        refuse(r, ERR_INPUT,
               "a quote (\") is opened here and never closed: close it, or "
               "write it twice when it is part of a word");
    return !r->failed;
}

static bool parse(struct ledger *l, const char *text, struct error *err)
{
    struct reading r = {.l = l, .err = err};
    struct csv_parser csv;
    const char *body = text;
    bool ok;

    if (csv_init(&csv, CSV_APPEND_NULL))
        return error_set(err, ERR_BUG, "the reader of tables does not start");
    l->separator = guess_separator(&body);
    csv_set_delim(&csv, (unsigned char)l->separator);
    ok = read_cells(&r, &csv, body);
    csv_free(&csv);
    if (ok && !l->columns)
        return error_set(err, ERR_INPUT,
                         "there is nothing in it: the first row has the "
                         "headings, each other row a skein");
    return ok;
}

bool ledger_open(const struct exchange_file *file, struct ledger *out,
                 struct error *err)
{
    struct text text = {0};
    unsigned char *data = NULL;
    size_t size = file->size;
    bool ok = true;

    *out = (struct ledger){0};
    if (file->path)
        ok = file_load(file->path, LEDGER_BYTES_MAX, &data, &size, err);
    else if (size > LEDGER_BYTES_MAX)
        ok = error_set(err, ERR_LIMIT, "more than %u MiB: import it in parts",
                       LEDGER_BYTES_MAX >> 20);
    ok = ok &&
         to_utf8(data ? data : file->data, size, &out->charset, &text, err) &&
         parse(out, text_str(&text), err);
    if (ok)
        ledger_guess(out);
    text_clear(&text);
    free(data);
    return ok;
}

void ledger_close(struct ledger *l)
{
    for (size_t i = 0; i < l->columns; i++) {
        free(l->column[i].heading);
        free(l->column[i].read_as);
        free(l->column[i].read_was);
    }
    for (size_t i = 0; i < LEDGER_IDS; i++)
        free(l->all[i]);
    free(l->column);
    free(l->cell);
    free(l->line);
    text_clear(&l->bytes);
    *l = (struct ledger){0};
}

const char *ledger_cell(const struct ledger *l, size_t row, size_t column)
{
    return l->bytes.s + l->cell[row * l->columns + column];
}
