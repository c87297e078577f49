/* hanklab measure --list: which photos, and what is to be measured in each. */
#ifndef HANKLAB_CLI_MEASURE_LIST_H
#define HANKLAB_CLI_MEASURE_LIST_H

#include "cli/measure_set.h"

#define MEASURE_LIST_MOST 100000 /* photos */

/* The same from the bytes of a file, which end in a 0 and are changed; path
 * says what it lies beside. ERR_INPUT names the line. Release with
 * measure_shots_clear. */
bool measure_list_parse(const struct cli *cli, const char *path, char *text,
                        struct measure_shots *out, struct error *err);

#endif
