/* Bytes as a list from a spreadsheet: read, matched, and looked at in a book
 * that has a few records. */
#include <assert.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "book/ledger.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static struct book *the_book(void)
{
    static struct book *book;
    struct error err;

    if (!book && !book_open(":memory:", &book, &err))
        abort();
    return book;
}

static void check_error(const struct error *err)
{
    assert(err->kind == ERR_INPUT || err->kind == ERR_LIMIT ||
           err->kind == ERR_MISSING);
    assert(err->text[0] && !strchr(err->text, '\n'));
}

static void look(struct ledger *l, struct error *err)
{
    struct ledger_taken taken;
    struct text words = {0};
    bool ok = ledger_take(the_book(), l, true, &taken, err);

    if (!ok)
        check_error(err);
    assert(!taken.act && taken.skeins + taken.here <= l->rows);
    assert(ok || taken.bad.count || err->kind == ERR_INPUT);
    for (size_t i = 0; i < taken.bad.told; i++)
        assert(!strchr(taken.bad.line[i].words, '\n'));
    if (ok)
        ledger_taken_words(l, &taken, &words);
    text_clear(&words);
    ledger_taken_clear(&taken);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    const struct exchange_file file = {.data = data, .size = size};
    struct ledger l;
    struct error err = {0};

    if (!ledger_open(&file, &l, &err)) {
        check_error(&err);
    } else {
        for (size_t row = 0; row < l.rows; row++)
            for (size_t c = 0; c < l.columns; c++)
                assert(text_is_utf8(ledger_cell(&l, row, c),
                                    strlen(ledger_cell(&l, row, c))));
        if (ledger_for_all(&l, "source=eye", &err))
            look(&l, &err);
        l.together = l.rest = true;
        look(&l, &err);
    }
    ledger_close(&l);
    return 0;
}
