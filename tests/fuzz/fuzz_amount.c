/* Words to an amount, a pH, a temperature and a time, and back to words. */
#include <assert.h>
#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "dye/amount.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void check_error(const struct error *err)
{
    assert(err->kind == ERR_INPUT && err->text[0]);
    assert(!strchr(err->text, '\n'));
}

static void check_ends(double low, double high, double most)
{
    assert(low >= 0 && low <= high && high <= most);
}

/* What a plain amount was read as is read as the same again. */
static void check_echo(const struct amount *a, struct amount_context context)
{
    struct error err = {0};
    struct amount again;
    char line[160];

    amount_echo(a, 85, line, sizeof line);
    assert(line[0] && strlen(line) < sizeof line - 1);
    amount_echo(a, (double)NAN, line, sizeof line);
    assert(line[0] && strlen(line) < sizeof line - 1);
    if (a->estimated || a->unit == AMOUNT_WORDS || a->unit == AMOUNT_PER_FIBRE)
        return;
    assert(amount_read(line, context, &again, &err));
    assert(again.unit == a->unit);
    if (a->unit != AMOUNT_NONE)
        assert(fabs(again.high - a->high) <= 0.0006 + 0.06 * a->high);
}

static void check_amount(const char *words, enum amount_unit bare, bool first)
{
    struct amount_context context = {bare, first};
    struct error err = {0};
    struct amount a;
    double low, high;

    if (!amount_read(words, context, &a, &err)) {
        check_error(&err);
        return;
    }
    if (a.unit == AMOUNT_NONE || a.unit == AMOUNT_WORDS)
        assert(isnan(a.low) && isnan(a.high));
    else
        check_ends(a.low, a.high, 1e9);
    if (amount_grams(&a, 85, &low, &high))
        check_ends(low, high, 1e12);
    if (amount_wof_pct(&a, 85, &low, &high))
        check_ends(low, high, 1e12);
    check_echo(&a, context);
}

static void check_others(const char *words)
{
    struct error err = {0};
    struct ph p;
    struct temperature t;
    struct minutes m;
    char line[160];

    if (!ph_read(words, &p, &err)) {
        check_error(&err);
    } else {
        if (p.known)
            check_ends(p.low, p.high, 14);
        ph_echo(&p, line, sizeof line);
    }
    if (!temperature_read(words, &t, &err)) {
        check_error(&err);
    } else {
        if (t.known)
            check_ends(t.low_c, t.high_c, 150);
        temperature_echo(&t, line, sizeof line);
    }
    if (!minutes_read(words, &m, &err)) {
        check_error(&err);
    } else {
        if (m.known)
            check_ends(m.low, m.high, 1e8);
        minutes_echo(&m, line, sizeof line);
    }
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    char *words = mem_text_n((const char *)data, size);

    check_amount(words, AMOUNT_G, false);
    check_amount(words, AMOUNT_NONE, true);
    check_others(words);
    free(words);
    return 0;
}
