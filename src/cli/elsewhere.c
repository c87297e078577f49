/* What hanklab leaves to hanklab-exchange. See exchange.h. */
#include "cli/beside.h"
#include "cli/exchange.h"

static bool become(const struct cli *cli, struct error *err)
{
    return beside_become("hanklab-exchange", cli->argv, err);
}

bool exchange_export(struct cli *cli, struct error *err)
{
    return become(cli, err);
}

bool exchange_import(struct cli *cli, struct error *err)
{
    return become(cli, err);
}
