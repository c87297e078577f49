/* Each command's row; one file a command. */
#ifndef HANKLAB_CLI_COMMANDS_H
#define HANKLAB_CLI_COMMANDS_H

#include "cli/cli.h"

extern const struct cli_command command_act;
extern const struct cli_command command_backup;
extern const struct cli_command command_check;
extern const struct cli_command command_compare;
extern const struct cli_command command_completion;
extern const struct cli_command command_cut;
extern const struct cli_command command_device;
extern const struct cli_command command_difference;
extern const struct cli_command command_export;
extern const struct cli_command command_fade;
extern const struct cli_command command_fastness;
extern const struct cli_command command_find;
extern const struct cli_command command_grid;
extern const struct cli_command command_help;
extern const struct cli_command command_import;
extern const struct cli_command command_init;
extern const struct cli_command command_match;
extern const struct cli_command command_measure;
extern const struct cli_command command_palette;
extern const struct cli_command command_print;
extern const struct cli_command command_undo;
extern const struct cli_command command_history;
extern const struct cli_command command_list;
extern const struct cli_command command_log;
extern const struct cli_command command_plan;
extern const struct cli_command command_reckon;
extern const struct cli_command command_split;
extern const struct cli_command command_repeat;
extern const struct cli_command command_restore;
extern const struct cli_command command_ply;
extern const struct cli_command command_serve;
extern const struct cli_command command_show;
extern const struct cli_command command_treat;

#endif
