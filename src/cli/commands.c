/* The commands, in the order the help shows them. */
#include "cli/commands.h"

#include "base/mem.h"

const struct cli_command *const cli_commands[] = {
    &command_init,    &command_reckon,     &command_split,
    &command_plan,    &command_log,        &command_treat,
    &command_cut,     &command_ply,        &command_measure,
    &command_show,    &command_list,       &command_find,
    &command_compare, &command_difference, &command_fade,
    &command_grid,    &command_repeat,     &command_fastness,
    &command_palette, &command_match,      &command_print,
    &command_undo,    &command_history,    &command_act,
    &command_export,  &command_import,     &command_backup,
    &command_restore, &command_check,      &command_serve,
    &command_device,  &command_help,       &command_completion,
};
const size_t cli_command_count = ARRAY_LEN(cli_commands);
