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

static int column_width(const struct text_table *t, size_t column, bool colour,
                        bool *swatch)
{
    int widest = 0;

    *swatch = false;
    for (size_t i = column; i < t->cells; i += t->columns) {
        int w = text_width(t->cell[i].text);
        widest = w > widest ? w : widest;
        *swatch = *swatch || (colour && t->cell[i].has_colour);
    }
    return widest;
}

static void write_cell(const struct text_table *t, size_t i, int width,
                       bool right, bool swatch, bool last, bool colour,
                       struct text *out)
{
    const struct grid_cell *c = &t->cell[i];
    int pad = width - text_width(c->text);

    if (swatch && c->has_colour) {
        block_add(out, c->colour, BLOCK, colour);
        text_add(out, " ");
    } else if (swatch) {
        text_addf(out, "%*s", BLOCK + 1, "");
    }
    if (right)
        text_addf(out, "%*s", pad, "");
    text_add(out, c->text);
    if (!last)
        text_addf(out, "%*s", (right ? 0 : pad) + 2, "");
}

static void release(struct text_table *t)
{
    for (size_t i = 0; i < t->cells; i++)
        free(t->cell[i].text);
    free(t->cell);
    *t = (struct text_table){.columns = t->columns};
}

/* Takes the blanks away that a row ends with. */
static void trim_row(struct text *out)
{
    while (out->len && out->s[out->len - 1] == ' ')
        out->s[--out->len] = '\0';
}

void table_write(struct text_table *t, bool colour, struct text *out)
{
    int *width = mem_new(t->columns, sizeof *width);
    bool *right = mem_new(t->columns, sizeof *right);
    bool *swatch = mem_new(t->columns, sizeof *swatch);

    assert(t->columns && t->cells % t->columns == 0);
    for (size_t c = 0; c < t->columns; c++) {
        width[c] = column_width(t, c, colour, &swatch[c]);
        right[c] = is_numbers(t, c);
    }
    for (size_t i = 0; i < t->cells; i++) {
        size_t c = i % t->columns;
        bool last = c + 1 == t->columns;
        write_cell(t, i, width[c], right[c], swatch[c], last, colour, out);
        if (last) {
            trim_row(out);
            text_add(out, "\n");
        }
    }
    release(t);
    free(width);
    free(right);
    free(swatch);
}

void table_write_csv(struct text_table *t, struct text *out)
{
    for (size_t i = 0; i < t->cells; i++) {
        csv_field(out, t->cell[i].text);
        text_add(out, (i + 1) % t->columns ? "," : "\r\n");
    }
    release(t);
}
