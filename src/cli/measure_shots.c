/* The photos of a set, from the command line or a JSON file. See
 * measure_set.h. */
#include "cli/measure_set.h"

#include <stdlib.h>
#include <string.h>

#include <jansson.h>

#include "base/mem.h"
#include "measure/several.h"
#include "photo/photo.h"

#define SET_MAX_BYTES (1u << 20)

static bool is_among(const struct cli_option *o, const char *const *name,
                     size_t count)
{
    for (size_t i = 0; i < count; i++)
        if (!strcmp(o->name, name[i]))
            return true;
    return false;
}

/* What a photo in a set cannot have. */
static bool is_never_of_set(const struct cli_option *o)
{
    static const char *const never[] = {
        "auto", "corrected", "keep-camera", "set", "and", "list", "cores"};

    return is_among(o, never, ARRAY_LEN(never));
}

/* Of one photo, and not of all of them. */
static bool is_of_photo(const struct cli *cli, const struct cli_option *o)
{
    static const char *const of_all[] = {"card", "card-lab", "card-u",
                                         "wet",  "part",     "assume-profile"};

    if (is_among(o, of_all, ARRAY_LEN(of_all)) || is_never_of_set(o))
        return false;
    return o >= cli->command->options &&
           o < cli->command->options + cli->command->option_count;
}

void measure_shot_give(struct measure_shot *shot, const struct cli_option *o,
                       const char *value)
{
    shot->given = mem_room(shot->given, shot->given_count, sizeof *shot->given);
    shot->given[shot->given_count++] = (struct cli_given){o, value};
}

/* A new photo with what was said of all of them. */
static struct measure_shot *shot_add(const struct cli *cli,
                                     struct measure_shots *out, char *path,
                                     struct error *err)
{
    struct measure_shot *shot;

    out->at = mem_room(out->at, out->count, sizeof *out->at);
    shot = &out->at[out->count++];
    *shot = (struct measure_shot){.path = path};
    if (out->count > SEVERAL_MOST) {
        error_set(err, ERR_LIMIT, "at most %d photos in one set", SEVERAL_MOST);
        return NULL;
    }
    for (size_t i = 0; i < cli->given_count; i++)
        if (!is_of_photo(cli, cli->given[i].option))
            measure_shot_give(shot, cli->given[i].option, cli->given[i].value);
    return shot;
}

void measure_shots_clear(struct measure_shots *shots)
{
    for (size_t i = 0; i < shots->count; i++) {
        struct measure_shot *s = &shots->at[i];

        for (size_t k = 0; k < s->values; k++)
            free(s->value[k]);
        free(s->value);
        free(s->given);
        free(s->path);
        measure_job_free(s->job);
    }
    free(shots->at);
    *shots = (struct measure_shots){0};
}

/* ---- the command line --------------------------------------------------- */

static bool given_before(const struct cli *cli, size_t n)
{
    for (size_t i = 0; i < n; i++)
        if (cli->given[i].option == cli->given[n].option)
            return true;
    return false;
}

static bool read_and(struct cli *cli, struct measure_shots *out,
                     struct error *err)
{
    struct measure_shot *shot = shot_add(cli, out, mem_text(cli->word[0]), err);

    for (size_t i = 0; shot && i < cli->given_count; i++) {
        const struct cli_given *g = &cli->given[i];

        if (!strcmp(g->option->name, "and"))
            shot = shot_add(cli, out, mem_text(g->value), err);
        else if (is_of_photo(cli, g->option))
            measure_shot_give(shot, g->option, g->value);
        else if (given_before(cli, i))
            return cli_usage(cli, err,
                             "--%s holds for all photos and was given twice",
                             g->option->name);
    }
    return shot != NULL;
}

/* ---- a file ------------------------------------------------------------- */

char *measure_beside(const char *set, const char *name)
{
    const char *slash = strrchr(set, '/');
    struct text path = {0};

    if (slash && *name != '/')
        text_add_n(&path, set, (size_t)(slash + 1 - set));
    text_add(&path, name);
    return text_take(&path);
}

static bool give_word(struct measure_shot *shot, const char *set,
                      const struct cli_option *o, const json_t *word,
                      struct error *err)
{
    const char *words = json_string_value(word);

    if (!words)
        return error_set(err, ERR_INPUT,
                         "\"%s\" is not written as text, such as \"%s\"",
                         o->name, o->value);
    shot->value = mem_room(shot->value, shot->values, sizeof *shot->value);
    shot->value[shot->values++] =
        strcmp(o->value, "FILE") ? mem_text(words) : measure_beside(set, words);
    measure_shot_give(shot, o, shot->value[shot->values - 1]);
    return true;
}

/* What stands alone on the command line, such as "no-camera". */
static bool give_switch(struct measure_shot *shot, const struct cli_option *o,
                        const json_t *value, struct error *err)
{
    if (!json_is_boolean(value))
        return error_set(err, ERR_INPUT,
                         "\"%s\" is or is not: write true or false", o->name);
    if (json_is_true(value))
        measure_shot_give(shot, o, "");
    return true;
}

static bool give_member(const struct cli *cli, struct measure_shot *shot,
                        const char *set, const char *name, const json_t *value,
                        struct error *err)
{
    const struct cli_option *o = NULL;

    for (size_t i = 0; i < cli->command->option_count; i++)
        if (!strcmp(cli->command->options[i].name, name))
            o = &cli->command->options[i];
    if (!o && name[strspn(name, "abcdefghijklmnopqrstuvwxyz-_")])
        name = "..."; /* not to be shown as it is */
    if (!o)
        return error_set(err, ERR_INPUT,
                         "\"%.40s\" is nothing a photo has: it has \"photo\" "
                         "and options of measure, such as \"card-box\" and "
                         "\"skein\"",
                         name);
    if (is_never_of_set(o))
        return error_set(err, ERR_INPUT,
                         "\"%s\" has no place in a set: leave it out", name);
    if (!is_of_photo(cli, o))
        return error_set(err, ERR_INPUT,
                         "\"%s\" holds for all photos: write --%s on the "
                         "command line",
                         name, name);
    if (!o->value)
        return give_switch(shot, o, value, err);
    if (!json_is_array(value))
        return give_word(shot, set, o, value, err);
    if (json_array_size(value) > 1 && !(o->flags & (CLI_MANY | CLI_FOUR)))
        return error_set(err, ERR_INPUT, "\"%s\" was given twice", name);
    for (size_t i = 0; i < json_array_size(value); i++)
        if (!give_word(shot, set, o, json_array_get(value, i), err))
            return false;
    return true;
}

static bool read_photo(const struct cli *cli, struct measure_shots *out,
                       const char *set, json_t *photo, struct error *err)
{
    const char *name = json_string_value(json_object_get(photo, "photo"));
    struct measure_shot *shot;
    const char *key;
    json_t *value;

    if (!name)
        return error_set(err, ERR_INPUT,
                         "it does not name its file: \"photo\": \"FILE.jpg\"");
    shot = shot_add(cli, out, measure_beside(set, name), err);
    if (!shot)
        return false;
    json_object_foreach(
        photo, key,
        value) if (strcmp(key, "photo") &&
                   !give_member(cli, shot, set, key, value, err)) return false;
    return true;
}

static bool read_photos(const struct cli *cli, struct measure_shots *out,
                        const char *set, json_t *root, struct error *err)
{
    json_t *photos = json_object_get(root, "photos");
    struct error why = {0};

    if (!json_array_size(photos) || json_object_size(root) != 1)
        return error_set(err, ERR_INPUT,
                         "%s: a set is {\"photos\": [{\"photo\": "
                         "\"FILE.jpg\", \"card-box\": \"X,Y,W,H\", \"skein\": "
                         "[\"137=X,Y,W,H\"]}, ...]}",
                         set);
    for (size_t i = 0; i < json_array_size(photos); i++)
        if (!read_photo(cli, out, set, json_array_get(photos, i), &why))
            return error_set(err, why.kind, "%s: photo %zu: %s", set, i + 1,
                             why.text);
    return true;
}

bool measure_shots_parse(const struct cli *cli, const char *set,
                         const unsigned char *bytes, size_t size,
                         struct measure_shots *out, struct error *err)
{
    json_error_t where;
    json_t *root;
    bool ok;

    root =
        json_loadb((const char *)bytes, size, JSON_REJECT_DUPLICATES, &where);
    if (!root)
        return error_set(
            err, ERR_INPUT,
            json_error_code(&where) == json_error_duplicate_key
                ? "%s: line %d: what this photo has is said twice: write a "
                  "list of them"
                : "%s: line %d is not JSON: look for a comma, a quote or a "
                  "bracket that is missing there, or one too many",
            set, where.line);
    ok = read_photos(cli, out, set, root, err);
    json_decref(root);
    return ok;
}

static bool read_set(const struct cli *cli, struct measure_shots *out,
                     const char *set, struct error *err)
{
    unsigned char *bytes;
    size_t size;
    bool ok;

    if (!file_load(set, SET_MAX_BYTES, &bytes, &size, err))
        return false;
    ok = measure_shots_parse(cli, set, bytes, size, out, err);
    free(bytes);
    return ok;
}

bool measure_shots_read(struct cli *cli, struct measure_shots *out,
                        struct error *err)
{
    const char *set = cli_value(cli, "set");

    *out = (struct measure_shots){0};
    if (cli_has(cli, "auto") || cli_has(cli, "corrected"))
        return cli_usage(cli, err, "--auto and --corrected take one photo");
    if (!set)
        return read_and(cli, out, err);
    for (size_t i = 0; i < cli->given_count; i++)
        if (is_of_photo(cli, cli->given[i].option) ||
            !strcmp(cli->given[i].option->name, "and"))
            return cli_usage(cli, err,
                             "--%s is of one photo: write it in the file of "
                             "--set",
                             cli->given[i].option->name);
    return read_set(cli, out, set, err);
}
