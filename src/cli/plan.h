/* Private to the command line: how a project is told. */
#ifndef HANKLAB_CLI_PLAN_H
#define HANKLAB_CLI_PLAN_H

#include "book/project.h"
#include "cli/cli.h"

void plan_tell_head(const struct project *p, struct cli *cli);
void plan_tell_wishes(const struct project *p, struct cli *cli);
void plan_tell_steps(const struct project *p, struct cli *cli);
void plan_tell_pots(const struct project *p, struct cli *cli);
void plan_tell_needs(const struct project *p, struct cli *cli);
void plan_tell_said(const struct project *p, struct cli *cli);
void plan_tell_json(const struct project *p, struct cli *cli);
/* To standard error, with the closing line. */
void plan_tell_cautions(const struct project *p);

#endif
