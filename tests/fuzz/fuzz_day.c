/* Words to days and back. */
#include <assert.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "base/day.h"
#include "base/mem.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

/* A plain range in words is read as the same range. */
static void check_words(struct day_range r, struct day today)
{
    struct error err = {0};
    struct day_range again;
    char words[80];

    day_range_words(r, words, sizeof words);
    assert(words[0] && strlen(words) < sizeof words - 1);
    if (!r.known || r.ambiguous || strchr(words, '(') ||
        strstr(words, "or later") || day_compare(r.from, DAY_FIRST) == 0)
        return;
    assert(day_read(words, today, &again, &err));
    assert(!day_compare(again.from, r.from) && !day_compare(again.to, r.to));
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    static const struct day today = {2026, 5, 10};
    char *words = mem_text_n((const char *)data, size);
    struct error err = {0};
    struct day_range r;

    if (!day_read(words, today, &r, &err)) {
        assert(err.kind == ERR_INPUT && err.text[0]);
    } else {
        if (r.known) {
            assert(day_valid(r.from) && day_valid(r.to));
            assert(day_compare(r.from, r.to) <= 0);
        }
        check_words(r, today);
    }
    free(words);
    return 0;
}
