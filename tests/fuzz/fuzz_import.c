/* A file that another dyer hands on: a zip as it is, or the hanklab.json of
 * one, looked at and taken in. */
#include <assert.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "book/book.h"
#include "book/check.h"
#include "book/exchange.h"
#include "book/history.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

/* ---- a zip around the JSON ------------------------------------------------
 * Stored, not deflated, so that what the fuzzer changes is what is read.
 * Layout: PKWARE's APPNOTE.TXT 6.3, sections 4.3.7, 4.3.12 and 4.3.16. */

static const char member[] = "hanklab.json";
enum { NAME = sizeof member - 1, LOCAL = 30, CENTRAL = 46, END = 22 };

/* ISO 3309, as in section 4.4.7. */
static uint32_t crc32_of(const uint8_t *data, size_t size)
{
    uint32_t crc = 0xFFFFFFFF;

    for (size_t i = 0; i < size; i++) {
        crc ^= data[i];
        for (int bit = 0; bit < 8; bit++)
            crc = crc >> 1 ^ (crc & 1 ? 0xEDB88320 : 0);
    }
    return ~crc;
}

static void put(uint8_t *to, uint32_t value, int bytes)
{
    for (int i = 0; i < bytes; i++)
        to[i] = (uint8_t)(value >> 8 * i);
}

/* CRC, both sizes and the length of the name, which both headers have. */
static void put_member(uint8_t *to, uint32_t crc, size_t size)
{
    put(to, crc, 4);
    put(to + 4, (uint32_t)size, 4);
    put(to + 8, (uint32_t)size, 4);
    put(to + 12, NAME, 2);
}

static uint8_t *zip_of(const uint8_t *json, size_t size, size_t *out)
{
    const size_t at = LOCAL + NAME + size, end = at + CENTRAL + NAME;
    const uint32_t crc = crc32_of(json, size);
    uint8_t *zip;

    *out = end + END;
    zip = mem_new(*out, 1);
    put(zip, 0x04034b50, 4);
    put(zip + 4, 20, 2); /* what a reader has to know: version 2.0 */
    put_member(zip + 14, crc, size);
    memcpy(zip + LOCAL, member, NAME);
    if (size)
        memcpy(zip + LOCAL + NAME, json, size);
    put(zip + at, 0x02014b50, 4);
    put(zip + at + 6, 20, 2);
    put_member(zip + at + 16, crc, size);
    memcpy(zip + at + CENTRAL, member, NAME);
    put(zip + end, 0x06054b50, 4);
    put(zip + end + 8, 1, 2);
    put(zip + end + 10, 1, 2);
    put(zip + end + 12, CENTRAL + NAME, 4);
    put(zip + end + 16, (uint32_t)at, 4);
    return zip;
}

/* ---- taking it in ---------------------------------------------------------
 */

static struct book *new_book(void)
{
    struct book *book;
    struct error err;

    if (!book_open(":memory:", &book, &err))
        abort();
    return book;
}

static void check_error(const struct error *err)
{
    assert(err->kind != ERR_NONE && err->kind != ERR_BUG);
    assert(err->text[0] && !strchr(err->text, '\n'));
}

static size_t acts_of(struct book *book)
{
    struct history_act *acts;
    struct error err;
    size_t n;

    if (!history_acts_all(book, &acts, &n, &err))
        abort();
    history_acts_free(acts, n);
    return n;
}

/* A book that only looked is as it was; whether there is news. */
static bool look(struct book *book, const struct exchange_file *file, bool own)
{
    struct exchange_taken taken;
    struct error err = {0};
    const size_t acts = acts_of(book);
    struct text words = {0};
    bool news = false;

    if (exchange_take(book, file, true, own, &taken, &err)) {
        exchange_taken_words(&taken, &words);
        assert(words.len && taken.items <= EXCHANGE_ITEMS && !taken.act);
        news = exchange_news(&taken) > 0;
    } else {
        check_error(&err);
    }
    assert(acts_of(book) == acts);
    text_clear(&words);
    exchange_taken_clear(&taken);
    return news;
}

static void check_sound(struct book *book)
{
    struct check check;
    struct error err;

    if (!check_book(book, &(struct check_wish){0}, &check, &err) ||
        check.faults)
        abort();
    check_clear(&check);
}

/* What came in leaves a sound book, is the same a second time, and can be taken
 * back. */
static void take(const struct exchange_file *file)
{
    struct book *book = new_book();
    struct exchange_taken taken;
    struct error err = {0};
    int64_t done;

    if (exchange_take(book, file, false, true, &taken, &err)) {
        check_sound(book);
        assert(!look(book, file, true));
        if (taken.act && !history_undo(book, taken.act, &done, &err))
            check_error(&err);
        check_sound(book);
    } else {
        check_error(&err);
    }
    exchange_taken_clear(&taken);
    book_close(book);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    static struct book *book;
    struct exchange_file file = {.data = data, .size = size};
    uint8_t *zip = NULL;

    if (!book)
        book = new_book();
    if (size < 2 || memcmp(data, "PK", 2) != 0)
        file.data = zip = zip_of(data, size, &file.size);
    look(book, &file, false);
    if (look(book, &file, true))
        take(&file);
    free(zip);
    return 0;
}
