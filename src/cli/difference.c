/* hanklab difference: how far apart two typed colours are. */
#include "cli/commands.h"

#include <math.h>

#include "base/json.h"
#include "base/mem.h"
#include "colour/lab.h"
#include "draw/terminal.h"

static bool read_lab(const char *words, struct lab *out, struct error *err)
{
    double v[3] = {0};

    /* Surfaces end at L 100; not even lasers come to a or b of 200. */
    if (!text_reals(words, v, 3) || v[0] < 0 || v[0] > 110 ||
        fabs(v[1]) > 200 || fabs(v[2]) > 200)
        return error_set(err, ERR_INPUT,
                         "\"%s\" is not a colour: write three numbers, L,a,b; "
                         "L is 0 to 100",
                         words);
    *out = (struct lab){v[0], v[1], v[2]};
    return true;
}

static const struct {
    const char *name, *key, *help;
} rows[] = {
    {"\xCE\x94"
     "E00",
     "de00", "CIEDE2000, what is meant by difference everywhere here"},
    {"CMC(2:1)", "cmc_2_1", "textiles; the first colour is the standard"},
    {"CMC(1:1)", "cmc_1_1", "what can be seen; the first is the standard"},
    {"\xCE\x94"
     "E*ab",
     "de76", "CIE 1976, the plain distance in L*a*b*"},
};

static bool run(struct cli *cli, struct error *err)
{
    struct lab x = {0}, y = {0};
    double d[4];
    struct text_table t = {.columns = 3};

    if (!read_lab(cli->word[0], &x, err) || !read_lab(cli->word[1], &y, err))
        return false;
    d[0] = lab_de00(x, y);
    d[1] = lab_cmc(x, y, 2, 1);
    d[2] = lab_cmc(x, y, 1, 1);
    d[3] = lab_de76(x, y);
    if (cli->json) {
        struct json j = json_to(&cli->out);
        json_add_object(&j, NULL);
        for (int i = 0; i < 4; i++)
            json_add_real(&j, rows[i].key, d[i], 4);
        json_end(&j);
        return true;
    }
    table_add(&t, "formula");
    table_add(&t, "difference");
    table_add(&t, "what for");
    for (int i = 0; i < 4; i++) {
        table_add(&t, rows[i].name);
        table_addf(&t, cli->csv ? "%.4f" : "%.2f", d[i]);
        table_add(&t, rows[i].help);
    }
    if (cli->csv)
        table_write_csv(&t, &cli->out);
    else
        table_write(&t, false, cli->columns, &cli->out);
    return true;
}

const struct cli_command command_difference = {
    "difference",
    "L,a,b L,a,b",
    "say how far apart two colours are",
    "Both colours are CIELAB under the same white, such as D50, 2 degree.",
    NULL,
    0,
    2,
    2,
    run,
};
