/* hanklab cut and hanklab ply: skeins that become others. */
#include "cli/commands.h"

#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "base/json.h"
#include "base/mem.h"
#include "book/cut.h"
#include "book/record.h"

static bool add_label(struct cli *cli, int64_t skein, struct text *out,
                      struct error *err)
{
    return record_label(cli->book, NOUN_SKEIN, skein, out, err);
}

/* "skein 12: cut into 60 and 61", "skein 62: plied from 12 and 13" */
static bool tell(struct cli *cli, int64_t one, const char *what,
                 const int64_t *others, size_t count, const struct text *echo,
                 struct error *err)
{
    struct text label = {0}, list = {0};
    struct json j = json_to(&cli->out);
    bool ok = add_label(cli, one, &label, err);

    if (cli->json) {
        json_add_object(&j, NULL);
        json_add_string(&j, "skein", text_str(&label));
        json_add_string(&j, "done", what);
        json_add_array(&j, "others");
    }
    for (size_t i = 0; ok && i < count; i++) {
        struct text other = {0};
        ok = add_label(cli, others[i], &other, err);
        text_addf(&list, "%s%s",
                  !i              ? ""
                  : i + 1 < count ? ", "
                                  : " and ",
                  text_str(&other));
        if (cli->json)
            json_add_string(&j, NULL, text_str(&other));
        text_clear(&other);
    }
    if (cli->json) {
        json_end(&j);
        json_add_string(&j, "understood", echo->len ? text_str(echo) : NULL);
        json_end(&j);
    } else {
        text_addf(&cli->out, "%sKept: skein %s %s %s.\n", text_str(echo),
                  text_str(&label), what, text_str(&list));
    }
    text_clear(&label);
    text_clear(&list);
    return ok;
}

/* "in half", in one word or two, are two pieces; 0: nothing of the kind. */
static size_t equal_pieces(const struct cli *cli, const char *const **out)
{
    static const struct {
        const char *words;
        size_t count;
        const char *piece[4];
    } rows[] = {{"in half", 2, {"1/2", "1/2"}},
                {"in two", 2, {"1/2", "1/2"}},
                {"in three", 3, {"1/3", "1/3", "1/3"}},
                {"in four", 4, {"1/4", "1/4", "1/4", "1/4"}}};
    struct text said = {0};
    size_t count = 0;

    for (size_t i = 1; i < cli->word_count; i++)
        text_addf(&said, "%s%s", i > 1 ? " " : "", cli->word[i]);
    for (size_t i = 0; i < ARRAY_LEN(rows); i++)
        if (text_same(text_str(&said), rows[i].words)) {
            *out = rows[i].piece;
            count = rows[i].count;
        }
    text_clear(&said);
    return count;
}

static bool run_cut(struct cli *cli, struct error *err)
{
    const char *const *piece = cli->word + 1;
    size_t equal = equal_pieces(cli, &piece);
    size_t count = equal ? equal : cli->word_count - 1;
    int64_t *ids = mem_new(count, sizeof *ids), skein;
    struct text echo = {0};
    bool ok = cli_book(cli, err) &&
              record_find(cli->book, NOUN_SKEIN, cli->word[0], &skein, err) &&
              skein_cut(cli->book, skein, piece, count, ids, &echo, err) &&
              tell(cli, skein, "cut into", ids, count, &echo, err);

    text_clear(&echo);
    free(ids);
    return ok;
}

static const struct cli_option ply_options[] = {
    {"name", "TEXT", "what you call the new skein"},
    {"number", "NUMBER", "its number; the next free one if not said"},
    {"code", "TEXT", "the code pencilled on its tag"},
    {"weight", "WEIGHT", "its dry weight"},
    {"length", "LENGTH", "metres, or yd"},
    {"fibre", "FIBRE", "which yarn it is now"},
    {"colour", "TEXT", "your own word for its colour"},
    {"place", "TEXT", "where it is now"},
    {"note", "TEXT", "anything else worth keeping"},
};

static bool run_ply(struct cli *cli, struct error *err)
{
    struct record_value v[ARRAY_LEN(ply_options)];
    size_t n = 0, count = 0;
    int64_t *ids = NULL, id;
    struct text echo = {0};
    bool ok = cli_book(cli, err);

    for (size_t i = 0; i < ARRAY_LEN(ply_options); i++)
        if (cli_value(cli, ply_options[i].name))
            v[n++] = (struct record_value){ply_options[i].name,
                                           cli_value(cli, ply_options[i].name)};
    ok = ok &&
         skein_ply(cli->book, cli->word, cli->word_count, v, n, &id, &ids,
                   &count, &echo, err) &&
         tell(cli, id, "plied from", ids, count, &echo, err);
    text_clear(&echo);
    free(ids);
    return ok;
}

const struct cli_command command_cut = {
    "cut",
    "SKEIN PIECE...",
    "cut pieces off a skein",
    "A piece is its weight or a part of all, such as half or 1/3, with any of\n"
    "these behind semicolons: number, name, code, length, colour, place,\n"
    "weighed, note: hanklab cut 12 \"20 g\" \"30 g; code=A3b\", or hanklab "
    "cut\n"
    "12 in half. Each is a new skein with the whole life of the old "
    "one\n"
    "before its own. What is not cut off stays under the old number.",
    NULL,
    0,
    2,
    SIZE_MAX,
    run_cut,
};

const struct cli_command command_ply = {
    "ply",
    "SKEIN...",
    "make one skein of several, plied or wound together",
    "Each is a skein of the book, with how much of it went in if you know:\n"
    "hanklab ply 12 \"13: 20 g\" --name \"barber's pole\"; or several, 6-8.\n"
    "The new skein has all their lives before its own.",
    ply_options,
    ARRAY_LEN(ply_options),
    1,
    SIZE_MAX,
    run_ply,
};
