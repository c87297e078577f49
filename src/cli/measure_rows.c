/* The rows of a list of photos. See measure_list.h. */
#include "cli/measure_list.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/csv.h"
#include "base/mem.h"

enum { PHOTO, WHAT, X, Y, W, H, COLUMNS, MOST = 64 };

static const char *const names[COLUMNS] = {"photo", "what", "x", "y", "w", "h"};

/* What a place is, and by which option of measure; with a name behind it, or
 * without. */
static const struct kind {
    const char *word, *box, *tap;
    bool named;
} kinds[] = {
    {"card", "card-box", "card-tap", false},
    {"region", "region", "tap", false},
    {"skein", "skein", "skein", true},
    {"fibre", "fibre", "fibre", true},
};

struct rows {
    const struct cli *cli;
    const char *path;
    int of[COLUMNS]; /* where each column stands */
    struct measure_shots *out;
    struct error *err;
};

static const struct cli_option *option_of(const struct cli *cli,
                                          const char *name)
{
    const struct cli_option *o = cli->command->options;

    while (strcmp(o->name, name) != 0)
        o++;
    return o;
}

/* A row of the photo before belongs to that; any other begins a new one. */
static struct measure_shot *shot_of(struct rows *r, const char *name)
{
    char *path = measure_beside(r->path, name);
    struct measure_shots *s = r->out;
    struct measure_shot *shot = s->count ? &s->at[s->count - 1] : NULL;

    if (shot && !strcmp(shot->path, path)) {
        free(path);
        return shot;
    }
    s->at = mem_room(s->at, s->count, sizeof *s->at);
    shot = &s->at[s->count++];
    *shot = (struct measure_shot){.path = path};
    for (size_t i = 0; i < r->cli->given_count; i++)
        measure_shot_give(shot, r->cli->given[i].option,
                          r->cli->given[i].value);
    return shot;
}

/* "skein 137": its kind, and "137" behind it. */
static const struct kind *kind_of(const char *words, const char **name)
{
    for (size_t i = 0; i < ARRAY_LEN(kinds); i++) {
        const size_t n = strlen(kinds[i].word);

        *name = words + n;
        if (!strncmp(words, kinds[i].word, n) &&
            (kinds[i].named ? **name == ' ' : **name == '\0')) {
            *name += strspn(*name, " ");
            return &kinds[i];
        }
    }
    return NULL;
}

static bool add_row(struct rows *r, char *const cell[COLUMNS])
{
    const bool tap = !*cell[W] && !*cell[H];
    const char *name = "";
    const struct kind *kind = kind_of(cell[WHAT], &name);
    struct text value = {0};
    struct measure_shot *shot;

    if (!*cell[PHOTO])
        return error_set(r->err, ERR_INPUT, "it names no photo");
    if (!kind)
        return error_set(r->err, ERR_INPUT,
                         "\"%s\" is nothing to measure: write card, region, "
                         "skein 137 or fibre NAME",
                         cell[WHAT]);
    shot = shot_of(r, cell[PHOTO]);
    if (kind->named)
        text_addf(&value, "%s=", name);
    text_addf(&value, "%s,%s", cell[X], cell[Y]);
    if (!tap)
        text_addf(&value, ",%s,%s", cell[W], cell[H]);
    shot->value = mem_room(shot->value, shot->values, sizeof *shot->value);
    shot->value[shot->values++] = text_take(&value);
    measure_shot_give(shot, option_of(r->cli, tap ? kind->tap : kind->box),
                      shot->value[shot->values - 1]);
    return r->out->count <= MEASURE_LIST_MOST ||
           error_set(r->err, ERR_LIMIT, "at most %d photos in one list",
                     MEASURE_LIST_MOST);
}

static bool read_head(struct rows *r, char *line, char separator)
{
    char *column[MOST];
    const size_t n = csv_fields(line, separator, column, MOST);

    for (int i = 0; i < COLUMNS; i++) {
        r->of[i] = -1;
        for (size_t k = 0; k < n; k++)
            if (!strcmp(column[k], names[i]))
                r->of[i] = (int)k;
        if (r->of[i] < 0)
            return error_set(r->err, ERR_INPUT,
                             "its first line does not name a column %s: "
                             "photo,what,x,y,w,h",
                             names[i]);
    }
    return true;
}

static bool read_row(struct rows *r, char *line, char separator)
{
    static char none[] = "";
    char *column[MOST], *cell[COLUMNS];
    const size_t n = csv_fields(line, separator, column, MOST);

    for (int i = 0; i < COLUMNS; i++)
        cell[i] = (size_t)r->of[i] < n ? column[r->of[i]] : none;
    return add_row(r, cell);
}

/* Which line of the text a place in it is, before anything was cut. */
static size_t line_at(const char *text, const char *at)
{
    size_t n = 1;

    for (; text < at; text++)
        n += *text == '\n';
    return n;
}

bool measure_list_parse(const struct cli *cli, const char *path, char *text,
                        struct measure_shots *out, struct error *err)
{
    struct error why = {0};
    struct rows r = {.cli = cli, .path = path, .out = out, .err = &why};
    char *whole = mem_text(text), *at = text, *line, separator;
    bool ok;

    line = csv_head(&at, &separator);
    ok = line ? read_head(&r, line, separator)
              : error_set(&why, ERR_INPUT, "it is empty");
    while (ok && (line = csv_line(&at)) != NULL)
        ok = read_row(&r, line, separator);
    if (ok && !out->count)
        ok = error_set(&why, ERR_INPUT, "it lists no photo");
    if (!ok && line)
        error_set(err, why.kind, "%s: line %zu: %s", path,
                  line_at(whole, whole + (line - text)), why.text);
    else if (!ok)
        error_set(err, why.kind, "%s: %s", path, why.text);
    free(whole);
    return ok;
}
