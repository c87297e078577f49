/* On a terminal, hanklab reading add asks what an instrument's values are for;
 * why is said at fill_light in book/fill.c. */
#include "cli/noun.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"

static const struct {
    const char *field, *prompt;
} questions[CLI_READING_QUESTIONS] = {
    {"illuminant",
     "Which light is the instrument set to (D65, D50, A, C, other)?"},
    {"observer", "Which observer, in degrees (10 or 2)?"},
    {"geometry", "Which geometry (d/8, 45/0 ..., unknown)?"},
};

bool cli_reading_ask(struct cli *cli, struct record_value *values, size_t *n,
                     char *answer[CLI_READING_QUESTIONS], struct error *err)
{
    const char *source = cli_value(cli, "source");

    if (!cli->ask || cli->json || (source && strcmp(source, "instrument") != 0))
        return true;
    for (size_t i = 0; i < CLI_READING_QUESTIONS; i++) {
        const char *light =
            answer[0] ? answer[0] : cli_value(cli, questions[0].field);
        char *line = NULL;
        size_t room = 0;
        if (cli_has(cli, questions[i].field) ||
            (i == 1 && light && strpbrk(light, "/ ,-"))) /* "D65/10" */
            continue;
        text_addf(&cli->out, "%s ", questions[i].prompt);
        if (!cli_flush(cli, err))
            return false;
        if (getline(&line, &room, stdin) < 0) {
            free(line);
            return error_set(err, ERR_INPUT,
                             "the questions were broken off: nothing was kept");
        }
        answer[i] = text_trim(line);
        free(line);
        values[(*n)++] = (struct record_value){questions[i].field, answer[i]};
    }
    return true;
}

bool cli_reading_light(struct cli *cli, int64_t id, struct text *echo,
                       struct error *err)
{
    struct record r;
    const struct record_field *light, *observer, *source;
    struct text how = {0};

    if (!record_read(cli->book, NOUN_READING, id, &r, err))
        return false;
    light = record_get(&r, "illuminant");
    observer = record_get(&r, "observer");
    source = record_get(&r, "source");
    if (light && observer && strcmp(light->words, "other") != 0)
        text_addf(&how, "; --light %s/%s goes by it", light->words,
                  observer->words);
    if (light && observer && source && !strcmp(source->words, "instrument") &&
        (strcmp(light->words, "D50") != 0 || strcmp(observer->words, "2") != 0))
        text_addf(echo,
                  "kept as typed, for %s/%s, and mixed with no other light%s"
                  "\n",
                  light->words, observer->words, text_str(&how));
    text_clear(&how);
    record_clear(&r);
    return true;
}
