/* Several photos in one command: where they and their options come from. */
#ifndef HANKLAB_CLI_MEASURE_SET_H
#define HANKLAB_CLI_MEASURE_SET_H

#include "cli/measure.h"

/* One photo, with its own options and those for all. */
struct measure_shot {
    char *path;
    struct cli_given *given;
    size_t given_count;
    char **value; /* words of the options that came from a file */
    size_t values;
    struct measure_job *job;
    size_t first; /* the first photo of the same bytes: itself, or before it */
};

struct measure_shots {
    struct measure_shot *at;
    size_t count; /* of a set at most SEVERAL_MOST */
};

/* From --and or --set. ERR_INPUT, ERR_MISSING, ERR_LIMIT. */
bool measure_shots_read(struct cli *cli, struct measure_shots *out,
                        struct error *err);
/* One option more; value is borrowed. */
void measure_shot_give(struct measure_shot *shot, const struct cli_option *o,
                       const char *value);

/* Names in a file of photos are of files beside it, where they say nothing
 * else; release with free(). */
char *measure_beside(const char *set, const char *name);

void measure_shots_clear(struct measure_shots *shots);

/* The same from the bytes of a file named set, adding to an empty *out. */
bool measure_shots_parse(const struct cli *cli, const char *set,
                         const unsigned char *bytes, size_t size,
                         struct measure_shots *out, struct error *err);

#endif
