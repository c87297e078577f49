/* Files of --set: several photos and their boxes in JSON. */
#include <assert.h>
#include <stdint.h>
#include <string.h>

#include "cli/commands.h"
#include "cli/measure_set.h"
#include "measure/several.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

/* Each photo has a name, and options of one photo that are not said twice
 * unless they may be. */
static void check_shot(const struct measure_shot *s)
{
    assert(s->path);
    for (size_t i = 0; i < s->given_count; i++) {
        const struct cli_option *o = s->given[i].option;

        assert(s->given[i].value && (o->value || !*s->given[i].value));
        assert(strcmp(o->name, "and") != 0 && strcmp(o->name, "set") != 0);
        for (size_t k = 0; k < i; k++)
            assert(s->given[k].option != o || o->flags & (CLI_MANY | CLI_FOUR));
    }
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    const struct cli cli = {.command = &command_measure};
    struct measure_shots shots = {0};
    struct error err = {0};

    if (measure_shots_parse(&cli, "some/set.json", data, size, &shots, &err)) {
        assert(shots.count >= 1 && shots.count <= SEVERAL_MOST);
        for (size_t i = 0; i < shots.count; i++)
            check_shot(&shots.at[i]);
    } else {
        assert(err.text[0] && !strchr(err.text, '\n'));
        assert(err.kind == ERR_INPUT || err.kind == ERR_LIMIT);
    }
    measure_shots_clear(&shots);
    return 0;
}
