/* Tables and swatches for a terminal. See draw/terminal.h. */
#include "draw/terminal.h"

#include <assert.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/json.h"
#include "base/mem.h"

#define BLOCK 3 /* columns of a swatch in a table */

static struct grid_cell *next(struct text_table *t)
{
    t->cell = mem_resize(t->cell, t->cells + 1, sizeof *t->cell);
    t->cell[t->cells] = (struct grid_cell){0};
    return &t->cell[t->cells++];
}

void table_add(struct text_table *t, const char *text)
{
    next(t)->text = mem_text(text ? text : "");
}

void table_addf(struct text_table *t, const char *fmt, ...)
{
    char line[1024];
    va_list args;

    va_start(args, fmt);
    vsnprintf(line, sizeof line, fmt, args);
    va_end(args);
    table_add(t, line);
}

void table_add_colour(struct text_table *t, struct lab colour, const char *text)
{
    struct grid_cell *c = next(t);

    c->text = mem_text(text ? text : "");
    c->has_colour = true;
    c->colour = colour;
}

void block_add(struct text *out, struct lab c, int width, bool colour)
{
    struct srgb8 s;

    if (!colour)
        return;
    s = srgb8_from_lab(c, NULL);
    text_addf(out, "\x1b[48;2;%d;%d;%dm%*s\x1b[0m", s.r, s.g, s.b, width, "");
}

/* Whether every filled cell of a column below the heading reads as a number. */
static bool is_numbers(const struct text_table *t, size_t column)
{
    bool any = false;

    for (size_t i = t->columns + column; i < t->cells; i += t->columns) {
        const char *s = t->cell[i].text;
        if (!*s)
            continue;
        if (!strspn(s, "-+0123456789") || s[strspn(s, "-+0123456789.")])
            return false;
        any = true;
    }
    return any;
}

/* ---- wrapping -------------------------------------------------------------
 */

/* How many bytes go on a line: up to a blank, or, in a word longer than the
 * line, up to a character; at least one. */
static size_t fit(const char *s, int width)
{
    size_t blank = 0;
    int used = 0;

    for (size_t i = 0, n; s[i]; i += n) {
        for (n = 1; (s[i + n] & 0xC0) == 0x80;)
            n++;
        if (i && s[i] == ' ')
            blank = i;
        used += text_width_n(s + i, n);
        if (i && used > width)
            return blank ? blank : i;
    }
    return strlen(s);
}

/* The first line of *s into out; *s is what remains. Returns its width. */
static int add_line(const char **s, int width, struct text *out)
{
    size_t n = fit(*s, width);
    int used = text_width_n(*s, n);

    text_add_n(out, *s, n);
    *s += n;
    *s += strspn(*s, " ");
    return used;
}

/* At `at` of a line already. */
static void add_lines(struct text *out, const char *text, int width, int at,
                      int hang)
{
    const char *s = text;

    add_line(&s, width - at, out);
    while (*s) {
        text_addf(out, "\n%*s", hang, "");
        add_line(&s, width - hang, out);
    }
    text_add(out, "\n");
}

void lines_add(struct text *out, const char *text, int width, int hang)
{
    add_lines(out, text, width, 0, hang);
}

/* ---- how wide each column is ----------------------------------------------
 */

#define GAP 2        /* between columns */
#define HANG 2       /* before further lines of a cell */
#define NARROW 16    /* what is no wider does not wrap */
#define LONG_WORD 24 /* a longer one is broken */
#define MOST_LINES 2 /* a cell of more stands below its row */
#define INDENT 8     /* what stands below a row starts here, or before */

enum place { IN_ROW, BELOW, ELSEWHERE };

struct column {
    enum place place;
    bool numbers, empty; /* empty: but for its heading */
    int swatch;          /* before the text */
    int whole;           /* width of the widest text */
    int least;           /* width that its text still wraps in */
    int width;           /* what it gets */
};

static int longest_word(const char *s)
{
    int longest = 0;

    while (*s) {
        size_t n = strcspn(s, " ");
        int w = text_width_n(s, n);
        longest = w > longest ? w : longest;
        s += n;
        s += strspn(s, " ");
    }
    return longest > LONG_WORD ? LONG_WORD : longest;
}

static struct column measure(const struct text_table *t, size_t column,
                             bool colour)
{
    struct column c = {.numbers = is_numbers(t, column), .empty = true};
    int least = NARROW;

    for (size_t i = column; i < t->cells; i += t->columns) {
        const char *s = t->cell[i].text;
        int w = text_width(s);
        c.whole = w > c.whole ? w : c.whole;
        c.empty = c.empty && (i == column || !w);
        if (colour && t->cell[i].has_colour)
            c.swatch = BLOCK + 1;
        if (w > NARROW) {
            w = longest_word(s) + HANG;
            least = w > least ? w : least;
        }
    }
    if (least < c.whole / MOST_LINES + HANG)
        least = c.whole / MOST_LINES + HANG;
    c.least = c.numbers || least > c.whole ? c.whole : least;
    c.width = c.whole;
    return c;
}

struct layout {
    struct column *column;
    size_t columns, first; /* first: the first that is a column */
    int width;
    bool colour;
};

/* What rows are wide when each column has its least width, or its whole. */
static int total(const struct layout *l, bool least)
{
    int sum = 0;

    for (size_t i = l->first; i < l->columns; i++) {
        const struct column *c = &l->column[i];
        if (c->place == IN_ROW)
            sum += c->swatch + (least ? c->least : c->whole) + (sum ? GAP : 0);
    }
    return sum;
}

/* Leaves a heading with nothing below it out. */
static void leave_out_empty(struct layout *l)
{
    for (size_t i = l->first + 1; i < l->columns; i++)
        if (l->column[i].empty)
            l->column[i].place = ELSEWHERE;
}

/* Puts the last column of words, else of numbers, below its row. */
static bool put_below(struct layout *l)
{
    for (int numbers = 0; numbers < 2; numbers++)
        for (size_t i = l->columns - 1; i > l->first; i--) {
            struct column *c = &l->column[i];
            if (c->place == IN_ROW && c->numbers == numbers) {
                c->place = BELOW;
                return true;
            }
        }
    return false;
}

/* Gives the room there is to the columns, first to those that lack most. */
static void share(struct layout *l)
{
    int spare = l->width - total(l, true);

    for (size_t i = 0; i < l->columns; i++)
        l->column[i].width = l->column[i].least;
    for (; spare > 0; spare--) {
        struct column *most = NULL;
        for (size_t i = l->first; i < l->columns; i++) {
            struct column *c = &l->column[i];
            if (c->place == IN_ROW && c->width < c->whole &&
                (!most || c->whole - c->width > most->whole - most->width))
                most = c;
        }
        if (!most)
            return;
        most->width++;
    }
}

/* ---- rows -----------------------------------------------------------------
 */

/* One line of a cell; *rest is what of its text is still to write. */
static void write_cell(const struct grid_cell *cell, const struct column *c,
                       bool first_line, bool colour, const char **rest,
                       struct text *out)
{
    int hang = first_line || !**rest ? 0 : HANG, used;
    struct text line = {0};

    if (c->swatch && first_line && cell->has_colour) {
        block_add(out, cell->colour, BLOCK, colour);
        text_add(out, " ");
    } else {
        text_addf(out, "%*s", c->swatch, "");
    }
    used = hang + add_line(rest, c->width - hang, &line);
    if (c->numbers)
        text_addf(out, "%*s", c->width - used, "");
    text_addf(out, "%*s%s", hang, "", text_str(&line));
    if (!c->numbers && used < c->width)
        text_addf(out, "%*s", c->width - used, "");
    text_clear(&line);
}

/* Takes the blanks away that a row ends with. */
static void trim_row(struct text *out)
{
    while (out->len && out->s[out->len - 1] == ' ')
        out->s[--out->len] = '\0';
}

/* A row that starts with a cell, in as many lines as its longest cell needs. */
static void write_row(const struct layout *l, const struct grid_cell *row,
                      struct text *out)
{
    const char **rest = mem_new(l->columns, sizeof *rest);
    bool more = true;

    for (size_t i = 0; i < l->columns; i++)
        rest[i] = row[i].text;
    for (bool first_line = true; more; first_line = false) {
        bool begun = false;
        more = false;
        for (size_t i = l->first; i < l->columns; i++) {
            if (l->column[i].place != IN_ROW)
                continue;
            text_addf(out, "%*s", begun ? GAP : l->first ? HANG : 0, "");
            write_cell(&row[i], &l->column[i], first_line, l->colour, &rest[i],
                       out);
            begun = true;
            more = more || *rest[i];
        }
        trim_row(out);
        text_add(out, "\n");
    }
    free(rest);
}

/* What found no room in the row, each with its heading. */
static void write_below(const struct layout *l, const struct grid_cell *heads,
                        const struct grid_cell *row, struct text *out)
{
    const struct column *c = &l->column[l->first];
    int indent = (l->first ? HANG : 0) + c->swatch + c->width + GAP;

    indent = indent > INDENT ? INDENT : indent;
    for (size_t i = l->first; i < l->columns; i++) {
        struct text t = {0};
        if (l->column[i].place != BELOW || !*row[i].text)
            continue;
        text_addf(&t, "%s: %s", heads[i].text, row[i].text);
        text_addf(out, "%*s", indent, "");
        if (l->column[i].swatch && row[i].has_colour) {
            block_add(out, row[i].colour, BLOCK, l->colour);
            text_add(out, " ");
        }
        add_lines(out, text_str(&t), l->width, indent + l->column[i].swatch,
                  indent + HANG);
        text_clear(&t);
    }
}

/* A row of a block may have its words in others. */
static bool is_blank(const struct layout *l, const struct grid_cell *row)
{
    for (size_t i = 0; i < l->columns; i++)
        if (l->column[i].place != ELSEWHERE && *row[i].text)
            return false;
    return true;
}

static void write_rows(const struct text_table *t, const struct layout *l,
                       struct text *out)
{
    for (size_t i = 0; i < t->cells; i += t->columns) {
        const struct grid_cell *row = &t->cell[i];
        if (is_blank(l, row))
            continue;
        if (i && l->first &&
            (i == t->columns || strcmp(row->text, row[-(long)t->columns].text)))
            lines_add(out, row->text, l->width, HANG);
        write_row(l, row, out);
        if (i)
            write_below(l, t->cell, row, out);
    }
}

/* As many columns at a time as there is room for. */
static void write_blocks(const struct text_table *t, struct layout *l,
                         struct text *out)
{
    size_t from = 1, to;

    while (from < l->columns) {
        for (size_t i = 1; i < l->columns; i++)
            l->column[i].place = i == from ? IN_ROW : ELSEWHERE;
        for (to = from + 1; to < l->columns; to++) {
            l->column[to].place = IN_ROW;
            if (total(l, false) > l->width) {
                l->column[to].place = ELSEWHERE;
                break;
            }
        }
        share(l);
        if (from > 1)
            text_add(out, "\n");
        write_rows(t, l, out);
        from = to;
    }
}

static void release(struct text_table *t)
{
    for (size_t i = 0; i < t->cells; i++)
        free(t->cell[i].text);
    free(t->cell);
    *t = (struct text_table){.columns = t->columns};
}

void table_write(struct text_table *t, bool colour, int width, struct text *out)
{
    struct layout l = {.columns = t->columns,
                       .first = t->grouped,
                       .width = t->grouped ? width - HANG : width,
                       .colour = colour};

    assert(t->columns > l.first && t->cells % t->columns == 0);
    l.column = mem_new(t->columns, sizeof *l.column);
    for (size_t i = 0; i < t->columns; i++)
        l.column[i] = measure(t, i, colour);
    if (t->in_blocks && total(&l, false) > width) {
        write_blocks(t, &l, out);
    } else {
        if (total(&l, false) > l.width)
            leave_out_empty(&l);
        while (total(&l, true) > l.width && put_below(&l))
            ;
        share(&l);
        l.width = width;
        write_rows(t, &l, out);
    }
    free(l.column);
    release(t);
}

/* ---- CSV ------------------------------------------------------------------
 */

/* Whether a spreadsheet would take it for a formula: a number is none. */
static bool is_formula(const char *s)
{
    double x;

    return *s && strchr("=+-@", *s) && !text_real(s, &x);
}

void table_write_csv(struct text_table *t, struct text *out)
{
    for (size_t i = 0; i < t->cells; i++) {
        const char *s = t->cell[i].text;
        struct text safe = {0};
        text_addf(&safe, "%s%s", is_formula(s) ? "'" : "", s);
        csv_field(out, text_str(&safe));
        text_add(out, (i + 1) % t->columns ? "," : "\r\n");
        text_clear(&safe);
    }
    release(t);
}
