/* Files of known colours, CGATS or CSV. See the header. */
#include "colour/patches.h"

#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

#include <lcms2.h>

#include "base/csv.h"
#include "base/mem.h"
#include "base/text.h"

/* Below this C* a colour keeps its place between D65 and D50 within what such
 * files are good for. */
#define NEARLY_NEUTRAL 3.0

enum { COLUMNS_MOST = 256 };

/* What a column holds. */
enum field {
    AT_ID,
    AT_ROW,
    AT_COLUMN,
    AT_X,
    AT_Y,
    AT_W,
    AT_H,
    AT_L,
    AT_A,
    AT_B,
    AT_ILLUMINANT,
    AT_OBSERVER,
    FIELDS
};

static const struct {
    const char *name;
    enum field field;
} names[] = {
    {"id", AT_ID},
    {"sample_id", AT_ID},
    {"sample_name", AT_ID},
    {"sample_loc", AT_ID},
    {"name", AT_ID},
    {"patch", AT_ID},
    {"row", AT_ROW},
    {"column", AT_COLUMN},
    {"col", AT_COLUMN},
    {"x", AT_X},
    {"y", AT_Y},
    {"w", AT_W},
    {"h", AT_H},
    {"l", AT_L},
    {"l*", AT_L},
    {"lab_l", AT_L},
    {"a", AT_A},
    {"a*", AT_A},
    {"lab_a", AT_A},
    {"b", AT_B},
    {"b*", AT_B},
    {"lab_b", AT_B},
    {"illuminant", AT_ILLUMINANT},
    {"observer", AT_OBSERVER},
};

/* A file on its way in. */
struct reader {
    struct patches *out;
    struct error *err;
    int of[COLUMNS_MOST]; /* the field of each column, or FIELDS */
    size_t columns;
    char illuminant[24]; /* "" or as said */
    int observer;        /* 0 or as said */
};

static int field_of(const char *name)
{
    for (size_t i = 0; i < ARRAY_LEN(names); i++)
        if (!strcasecmp(names[i].name, name))
            return (int)names[i].field;
    return FIELDS;
}

/* ---- the light and the observer ----------------------------------------- */

/* "D50", "d65", "D50 2" ... starts with that name. */
static bool is_light(const char *words, const char *name)
{
    return !strncasecmp(words, name, strlen(name)) &&
           !isalnum((unsigned char)words[strlen(name)]);
}

static void say_light(struct reader *r, const char *words)
{
    if (words && *words)
        snprintf(r->illuminant, sizeof r->illuminant, "%s", words);
}

static void say_observer(struct reader *r, const char *words)
{
    if (words && *words)
        r->observer = (int)strtol(words, NULL, 10);
}

/* D50, 2 degree from what the file has; false when there is no way. */
static bool to_d50(const struct reader *r, struct lab *lab)
{
    static const cmsCIEXYZ d65 = {0.95047, 1, 1.08883}; /* CIE 15:2018 */
    const cmsCIELab given = {lab->L, lab->a, lab->b};
    cmsCIEXYZ there, here;

    if (hypot(lab->a, lab->b) >= NEARLY_NEUTRAL)
        return false;
    cmsLab2XYZ(&d65, &there, &given);
    if (!cmsAdaptToIlluminant(&here, &d65, cmsD50_XYZ(), &there))
        return false;
    *lab = lab_from_xyz((struct xyz){here.X, here.Y, here.Z});
    r->out->adapted = true;
    return true;
}

static bool adapt(const struct reader *r, struct patch *p)
{
    if (r->observer != 0 && r->observer != 2)
        return error_set(r->err, ERR_INPUT,
                         "its values are for the %d degree observer, which is "
                         "another scale: ask the maker for D50, 2 degree",
                         r->observer);
    if (!r->illuminant[0] || is_light(r->illuminant, "D50"))
        return true;
    if (!is_light(r->illuminant, "D65"))
        return error_set(r->err, ERR_INPUT,
                         "its values are for illuminant %s: ask the maker for "
                         "D50, 2 degree",
                         r->illuminant);
    return to_d50(r, &p->lab) ||
           error_set(r->err, ERR_INPUT,
                     "its values are for D65, and only greys can be carried to "
                     "D50 (patch %s is none): ask the maker for D50, 2 degree",
                     p->id[0] ? p->id : "without a name");
}

/* ---- a row -------------------------------------------------------------- */

/* "B4": row 2, column 4. "AA3" is row 27. */
static void place_by_id(struct patch *p)
{
    const char *s = p->id;
    int row = 0, column = 0;

    while (isalpha((unsigned char)*s) && row < 1000)
        row = 26 * row + toupper((unsigned char)*s++) - 'A' + 1;
    if (!row || !*s)
        return;
    while (isdigit((unsigned char)*s) && column < 1000)
        column = 10 * column + *s++ - '0';
    if (*s || !column || p->row || p->column)
        return;
    p->row = row;
    p->column = column;
}

/* The name of a row in a complaint. */
static void who(const struct reader *r, const char *const cell[FIELDS],
                char out[64])
{
    if (cell[AT_ID] && *cell[AT_ID] &&
        text_is_utf8(cell[AT_ID], strlen(cell[AT_ID])))
        snprintf(out, 64, "patch %.24s", cell[AT_ID]);
    else
        snprintf(out, 64, "its %zuth patch", r->out->count + 1);
}

static bool number(struct reader *r, const char *const cell[FIELDS],
                   enum field field, const char *name, double least,
                   double most, double *out)
{
    char whose[64];

    if (text_real(cell[field], out) && *out >= least && *out <= most)
        return true;
    who(r, cell, whose);
    return error_set(r->err, ERR_INPUT, "%s: \"%.20s\" is no %s", whose,
                     cell[field] ? cell[field] : "", name);
}

static bool whole(struct reader *r, const char *const cell[FIELDS],
                  enum field field, const char *name, int *out)
{
    double v = 0;

    if (!cell[field] || !*cell[field])
        return true;
    if (!number(r, cell, field, name, 1, 1000, &v))
        return false;
    *out = (int)v;
    return true;
}

static bool read_place(struct reader *r, const char *const cell[FIELDS],
                       struct patch *p)
{
    const double far = 1e6;

    p->placed = cell[AT_X] && cell[AT_Y] && cell[AT_W] && cell[AT_H];
    return !p->placed || (number(r, cell, AT_X, "x", -far, far, &p->x) &&
                          number(r, cell, AT_Y, "y", -far, far, &p->y) &&
                          number(r, cell, AT_W, "width", 1, far, &p->w) &&
                          number(r, cell, AT_H, "height", 1, far, &p->h));
}

static bool row_add(struct reader *r, const char *const cell[FIELDS])
{
    struct patch p = {.row = 0};

    if (r->out->count == PATCHES_MOST)
        return error_set(r->err, ERR_LIMIT, "it has more than %d patches",
                         PATCHES_MOST);
    if (cell[AT_ID] && text_is_utf8(cell[AT_ID], strlen(cell[AT_ID])) &&
        strlen(cell[AT_ID]) < sizeof p.id)
        snprintf(p.id, sizeof p.id, "%s", cell[AT_ID]);
    for (char *s = p.id; *s; s++)
        if (iscntrl((unsigned char)*s))
            *s = ' ';
    if (!number(r, cell, AT_L, "L*", 0, 110, &p.lab.L) ||
        !number(r, cell, AT_A, "a*", -150, 150, &p.lab.a) ||
        !number(r, cell, AT_B, "b*", -150, 150, &p.lab.b) ||
        !whole(r, cell, AT_ROW, "row", &p.row) ||
        !whole(r, cell, AT_COLUMN, "column", &p.column) ||
        !read_place(r, cell, &p))
        return false;
    say_light(r, cell[AT_ILLUMINANT]);
    say_observer(r, cell[AT_OBSERVER]);
    place_by_id(&p);
    if (!adapt(r, &p))
        return false;
    r->out->patch[r->out->count++] = p;
    return true;
}

/* Whether there are columns of colours; every other may be missing. */
static bool has_colours(const struct reader *r)
{
    bool has[FIELDS + 1] = {false};

    for (size_t i = 0; i < r->columns; i++)
        has[r->of[i]] = true;
    return has[AT_L] && has[AT_A] && has[AT_B];
}

static void cells_of(const struct reader *r, char *const *column, size_t n,
                     const char *out[FIELDS])
{
    memset(out, 0, FIELDS * sizeof *out);
    for (size_t i = 0; i < n && i < r->columns; i++)
        if (r->of[i] < FIELDS && !out[r->of[i]])
            out[r->of[i]] = column[i];
}

/* ---- CGATS -------------------------------------------------------------- */

static void keep_quiet(cmsContext context, cmsUInt32Number code,
                       const char *text)
{
    (void)context;
    (void)code;
    (void)text;
}

/* What a keyword may say: the weighting function decides, it is what the
 * values were reckoned for. */
static void say_conditions(struct reader *r, cmsHANDLE it8)
{
    say_light(r, cmsIT8GetProperty(it8, "ILLUMINANT"));
    say_observer(r, cmsIT8GetProperty(it8, "OBSERVER"));
    say_light(r,
              cmsIT8GetPropertyMulti(it8, "WEIGHTING_FUNCTION", "ILLUMINANT"));
    say_observer(r,
                 cmsIT8GetPropertyMulti(it8, "WEIGHTING_FUNCTION", "OBSERVER"));
}

static bool name_columns(struct reader *r, cmsHANDLE it8)
{
    char **name = NULL; /* stays so where a count is all there is of them */
    const int n = cmsIT8EnumDataFormat(it8, &name);

    r->columns = 0;
    for (int i = 0; name && i < n && r->columns < COLUMNS_MOST; i++)
        r->of[r->columns++] = name[i] ? field_of(name[i]) : FIELDS;
    return has_colours(r);
}

static bool read_sets(struct reader *r, cmsHANDLE it8)
{
    const double sets = cmsIT8GetPropertyDbl(it8, "NUMBER_OF_SETS");

    say_conditions(r, it8);
    for (int i = 0; i < sets; i++) {
        char *column[COLUMNS_MOST];
        const char *cell[FIELDS];

        for (size_t c = 0; c < r->columns; c++)
            column[c] = (char *)cmsIT8GetDataRowCol(it8, i, (int)c);
        cells_of(r, column, r->columns, cell);
        if (!row_add(r, cell))
            return false;
    }
    return true;
}

static bool read_cgats(struct reader *r, const char *text, size_t size)
{
    cmsContext context = cmsCreateContext(NULL, NULL);
    cmsHANDLE it8;
    bool ok = false, found = false;

    cmsSetLogErrorHandlerTHR(context, keep_quiet);
    it8 = cmsIT8LoadFromMem(context, text, (cmsUInt32Number)size);
    for (cmsUInt32Number i = 0; it8 && !found && i < cmsIT8TableCount(it8);
         i++) {
        found = cmsIT8SetTable(it8, i) >= 0 && name_columns(r, it8);
        ok = found && read_sets(r, it8);
    }
    if (!it8)
        error_set(r->err, ERR_INPUT,
                  "it is neither CGATS text nor CSV, or is cut short");
    else if (!found)
        error_set(r->err, ERR_INPUT,
                  "it has no columns LAB_L, LAB_A and LAB_B");
    if (it8)
        cmsIT8Free(it8);
    cmsDeleteContext(context);
    return ok;
}

/* ---- CSV ---------------------------------------------------------------- */

static bool read_line(struct reader *r, char *line, char separator)
{
    char *column[COLUMNS_MOST];
    const char *cell[FIELDS];
    const size_t n = csv_fields(line, separator, column, COLUMNS_MOST);

    for (size_t i = 0; separator != ',' && i < n && i < r->columns; i++)
        if (r->of[i] >= AT_X && r->of[i] <= AT_B) {
            char *comma = strchr(column[i], ',');

            if (comma)
                *comma = '.';
        }
    cells_of(r, column, n, cell);
    return row_add(r, cell);
}

static bool read_csv(struct reader *r, char *text)
{
    char *at = text, *head, *line, *name[COLUMNS_MOST], separator;

    head = csv_head(&at, &separator);
    if (!head)
        return error_set(r->err, ERR_INPUT, "it is empty");
    r->columns = csv_fields(head, separator, name, COLUMNS_MOST);
    for (size_t i = 0; i < r->columns; i++)
        r->of[i] = field_of(name[i]);
    if (!has_colours(r))
        return error_set(r->err, ERR_INPUT,
                         "its first line does not name columns L, a and b");
    while ((line = csv_line(&at)) != NULL)
        if (!read_line(r, line, separator))
            return false;
    return true;
}

/* ---- the whole ---------------------------------------------------------- */

/* Without regard to case. */
static bool holds(const char *text, const char *word)
{
    for (; *text; text++)
        if (!strncasecmp(text, word, strlen(word)))
            return true;
    return false;
}

bool patches_read(const unsigned char *bytes, size_t size, struct patches *out,
                  struct error *err)
{
    struct reader *r = mem_new(1, sizeof *r);
    char *text;
    bool ok;

    out->count = 0;
    out->adapted = false;
    *r = (struct reader){.out = out, .err = err};
    if (size > PATCHES_MAX_BYTES || memchr(bytes, '\0', size)) {
        free(r);
        return error_set(err, size > PATCHES_MAX_BYTES ? ERR_LIMIT : ERR_INPUT,
                         "it is no text of a chart's values");
    }
    text = mem_text_n((const char *)bytes, size);
    if (!holds(text, "BEGIN_DATA"))
        ok = read_csv(r, text);
    else if (holds(text, ".INCLUDE") || holds(text, "$INCLUDE"))
        /* Little CMS would open it. */
        ok = error_set(err, ERR_INPUT,
                       "it includes another file: put all in one");
    else
        ok = read_cgats(r, text, size);
    if (ok && !out->count)
        ok = error_set(err, ERR_INPUT, "it holds no patch");
    free(text);
    free(r);
    return ok;
}
