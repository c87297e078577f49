/*
 * Scene files and the list of lots. Both are our own, so the first mistake
 * ends the program.
 */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "scene.h"

#define LINE 512

struct scene scene_default(void)
{
    return (struct scene){
        .width = 1600,
        .height = 1200,
        .seed = 1,
        .card = {100, 300, 300, 420},
        .card_lab = {49.6, -0.3, 0.5},
        .power = 1,
        .trimmings = true,
        .samples = 2,
        .lamp = {{1, 1, 1}},
        .exposure = 1,
        .noise = 1,
        .blur = 0.18,
        .quality = 90,
        .orientation = 1,
        .make = "Vennelo",
        .model = "Vennelo S4",
        .taken = "2025:01:01 12:00:00",
    };
}

bool scene_is_even(const struct scene *s)
{
    return s->slope_x_pct == 0 && s->slope_y_pct == 0 &&
           s->warm_slope_pct == 0 && s->vignette_pct == 0;
}

/* ---- lots.csv ---- */

enum {
    LOT_SKEIN,
    LOT_POT,
    LOT_DYESTUFF,
    LOT_PCT,
    LOT_MORDANT,
    LOT_DIP,
    LOT_ROUND,
    LOT_FIELDS
};

/* Splits a line at its commas; none of our fields holds one. */
static size_t split(char *line, char *field[], size_t most)
{
    size_t n = 0;

    while (n < most) {
        char *comma = strchr(line, ',');

        field[n++] = line;
        if (!comma)
            return n;
        *comma = '\0';
        line = comma + 1;
    }
    return n;
}

static struct lot lot_read(const char *path, char *line)
{
    char *field[LOT_FIELDS];
    struct lot lot = {0};

    if (split(line, field, LOT_FIELDS) < LOT_FIELDS)
        die(path, "a row has too few fields");
    lot.skein = (int)strtol(field[LOT_SKEIN], NULL, 10);
    snprintf(lot.dyestuff, sizeof lot.dyestuff, "%s", field[LOT_DYESTUFF]);
    lot.dyestuff_pct = strtod(field[LOT_PCT], NULL);
    lot.alum = strstr(field[LOT_MORDANT], "alum") != NULL;
    lot.iron = strstr(field[LOT_MORDANT], "iron") != NULL;
    lot.dip = strstr(field[LOT_DIP], "iron") != NULL;
    lot.round = (int)strtol(field[LOT_ROUND], NULL, 10);
    if (lot.skein < 1 || lot.round < 0)
        die(path, "a row has no skein number or a round below 0");
    return lot;
}

struct lots lots_read(const char *path)
{
    struct lots lots = {NULL, 0};
    char line[LINE];
    FILE *file = fopen(path, "r");

    if (!file || !fgets(line, sizeof line, file)) /* the heading */
        die(path, "cannot be read");
    while (fgets(line, sizeof line, file)) {
        lots.lot = mem_resize(lots.lot, lots.count + 1, sizeof *lots.lot);
        lots.lot[lots.count++] = lot_read(path, line);
    }
    fclose(file);
    return lots;
}

/* ---- scene files ---- */

static struct yarn yarn_find(const struct lots *lots, int number,
                             const char *where)
{
    struct yarn yarn;

    for (size_t i = 0; i < lots->count; i++)
        if (lots->lot[i].skein == number) {
            if (!yarn_of_lot(&lots->lot[i], &yarn))
                die(where, "a dyestuff of this skein is not known");
            return yarn;
        }
    die(where, "no such skein in the lots");
}

static void skein_add(struct scene *s, const double v[8],
                      const struct lots *lots, const char *where)
{
    struct skein *k = &s->skein[s->skeins];

    if (s->skeins == SCENE_SKEINS)
        die(where, "a scene holds four skeins at most");
    *k = (struct skein){
        .number = (int)v[0],
        .x = v[1],
        .y = v[2],
        .w = v[3],
        .h = v[4],
        .tilt_pct = v[5],
        .bend = v[6],
        .strand = v[7],
        .unlevel = 0.06,
        .seed = s->seed * 1000 + (uint64_t)v[0],
    };
    if (k->w < 4 * k->strand || k->h < 2 * k->w || k->strand < 2)
        die(where, "a skein must be four strands wide and twice as long");
    k->yarn = yarn_find(lots, k->number, where);
    s->skeins++;
}

static void grey_add(struct scene *s, const double v[8], const char *where)
{
    if (s->greys == SCENE_GREYS)
        die(where, "too many greys");
    s->grey[s->greys++] = (struct grey){
        {(int)v[0], (int)v[1], (int)v[2], (int)v[3]}, {v[4], v[5], v[6]}};
}

/* A line of numbers: how many, and what they set. */
static bool set_numbers(struct scene *s, const char *word, const double v[8],
                        int n, const struct lots *lots, const char *where)
{
    struct skein *last = s->skeins ? &s->skein[s->skeins - 1] : NULL;

    if (n == 2 && !strcmp(word, "size"))
        s->width = (int)v[0], s->height = (int)v[1];
    else if (n == 1 && !strcmp(word, "seed"))
        s->seed = (uint64_t)v[0];
    else if (n == 5 && !strcmp(word, "card")) {
        s->card = (struct place){(int)v[0], (int)v[1], (int)v[2], (int)v[3]};
        s->card_tilt_pct = v[4];
    } else if (n == 3 && !strcmp(word, "card_lab"))
        s->card_lab = (struct lab){v[0], v[1], v[2]};
    else if (n == 7 && !strcmp(word, "grey"))
        grey_add(s, v, where);
    else if (n == 8 && !strcmp(word, "skein"))
        skein_add(s, v, lots, where);
    else if (n == 1 && last && !strcmp(word, "unlevel"))
        last->unlevel = v[0];
    else if (n == 3 && last && !strcmp(word, "lay"))
        last->lay = (struct lab){v[0], v[1], v[2]};
    else
        return false;
    return true;
}

static bool set_light(struct scene *s, const char *word, const double v[8],
                      int n)
{
    if (n == 3 && !strcmp(word, "lamp"))
        s->lamp = (struct light){{v[0], v[1], v[2]}};
    else if (n == 3 && !strcmp(word, "slope")) {
        s->slope_x_pct = v[0];
        s->slope_y_pct = v[1];
        s->warm_slope_pct = v[2];
    } else if (n == 1 && !strcmp(word, "vignette"))
        s->vignette_pct = v[0];
    else if (n == 1 && !strcmp(word, "exposure"))
        s->exposure = v[0];
    else if (n == 1 && !strcmp(word, "noise"))
        s->noise = v[0];
    else if (n == 1 && !strcmp(word, "blur"))
        s->blur = v[0];
    else if (n == 1 && !strcmp(word, "tone"))
        s->tone = v[0];
    else if (n == 1 && !strcmp(word, "quality"))
        s->quality = (int)v[0];
    else if (n == 1 && !strcmp(word, "orientation"))
        s->orientation = (int)v[0];
    else
        return false;
    return true;
}

static bool set_word(struct scene *s, const char *word, const char *value)
{
    if (!strcmp(word, "table") && !strcmp(value, "wood"))
        s->table = TABLE_WOOD;
    else if (!strcmp(word, "table") && !strcmp(value, "linen"))
        s->table = TABLE_LINEN;
    else if (!strcmp(word, "table") && !strcmp(value, "slate"))
        s->table = TABLE_SLATE;
    else if (!strcmp(word, "table") && !strcmp(value, "cloth"))
        s->table = TABLE_CLOTH;
    else if (!strcmp(word, "profile") && !strcmp(value, "srgb"))
        s->encoding = ENCODING_SRGB;
    else if (!strcmp(word, "profile") && !strcmp(value, "p3"))
        s->encoding = ENCODING_P3;
    else if (!strcmp(word, "make"))
        snprintf(s->make, sizeof s->make, "%s", value);
    else if (!strcmp(word, "model"))
        snprintf(s->model, sizeof s->model, "%s", value);
    else if (!strcmp(word, "taken") && strlen(value) == 19)
        memcpy(s->taken, value, 20);
    else
        return false;
    return true;
}

static int numbers(const char *text, double v[8])
{
    int n = 0;
    char *end;

    for (; n < 8; n++) {
        v[n] = strtod(text, &end);
        if (end == text)
            break;
        text = end;
    }
    text += strspn(text, " \t");
    return *text ? -1 : n;
}

static void line_read(struct scene *s, char *line, const struct lots *lots,
                      const char *where)
{
    char *word, *value;
    double v[8];
    int n;

    line[strcspn(line, "#\n")] = '\0';
    word = line + strspn(line, " \t");
    if (!*word)
        return;
    value = word + strcspn(word, " \t");
    if (*value)
        *value++ = '\0';
    value += strspn(value, " \t");
    for (size_t end = strlen(value); end && value[end - 1] == ' '; end--)
        value[end - 1] = '\0';
    n = numbers(value, v);
    if (!set_numbers(s, word, v, n, lots, where) && !set_light(s, word, v, n) &&
        !set_word(s, word, value))
        die(where, "a line is not understood");
}

static void name_from(struct scene *s, const char *path)
{
    const char *slash = strrchr(path, '/');
    const char *from = slash ? slash + 1 : path;

    snprintf(s->name, sizeof s->name, "%.*s", (int)strcspn(from, "."), from);
}

struct scene scene_read(const char *path, const struct lots *lots)
{
    struct scene s = scene_default();
    char line[LINE], where[LINE];
    FILE *file = fopen(path, "r");

    if (!file)
        die(path, "cannot be read");
    for (int n = 1; fgets(line, sizeof line, file); n++) {
        snprintf(where, sizeof where, "%s:%d", path, n);
        line_read(&s, line, lots, where);
    }
    fclose(file);
    if (s.width < 64 || s.height < 64 || s.width > 8000 || s.height > 8000 ||
        s.orientation < 1 || s.orientation > 8 || !s.skeins)
        die(path, "size, orientation or skeins make no picture");
    name_from(&s, path);
    return s;
}
