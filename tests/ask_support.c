/* A small book to ask. See the header. */
#include "ask_support.h"

#include <stdio.h>
#include <string.h>

#include "book/photo.h"

struct book *ask_book;

int ask_book_open(void **state)
{
    struct error err;

    (void)state;
    check_ok(book_open(":memory:", &ask_book, &err), &err);
    return 0;
}

int ask_book_close(void **state)
{
    (void)state;
    book_close(ask_book);
    return 0;
}

int64_t ask_add(enum noun_id noun, const struct record_value *v, size_t n)
{
    struct error err;
    int64_t id = 0;

    check_ok(book_act_begin(ask_book, "test", &err), &err);
    check_ok(record_add(ask_book, noun, v, n, &id, NULL, &err), &err);
    check_ok(book_act_end(ask_book, &err), &err);
    return id;
}

struct ask_skein ask_one(int64_t id)
{
    struct ask_filter any = ask_filter_any();
    struct ask_skein s;
    struct error err;

    check_ok(ask_skein(ask_book, id, &any, &s, &err), &err);
    return s;
}

int64_t ask_dye(const char *bath, const char *round, const char *on)
{
    char skein[24], treatment[24];
    int64_t t = ADD(NOUN_TREATMENT, {"kind", "dye"}, {"bath", bath},
                    {"round", round}, {"on", on});
    int64_t s = ADD(NOUN_SKEIN, {"weight", "20 g"});

    snprintf(skein, sizeof skein, "#%lld", (long long)s);
    snprintf(treatment, sizeof treatment, "#%lld", (long long)t);
    ADD(NOUN_ENTRY, {"skein", skein}, {"treatment", treatment});
    return t;
}

void ask_pot(const char *name, const char *amount)
{
    ADD(NOUN_BATH, {"name", name});
    ADD(NOUN_DOSE, {"material", "madder"}, {"bath", name}, {"amount", amount});
}

int64_t ask_photo(const char *skein_words, unsigned char photo, int64_t card,
                  const char *camera, const char *taken)
{
    struct kept_file file = {.bytes = 1};
    struct photo_facts facts = {.width = 10,
                                .height = 10,
                                .camera = camera,
                                .profile = "sRGB",
                                .taken = taken,
                                .shows = "colour"};
    struct measure_region region = {.lab = {50, 10, 20},
                                    .set = cov3_diagonal(0.5, 0.5, 0.5),
                                    .abs = cov3_diagonal(2, 1.5, 1.5),
                                    .level = {0.6, 0.3, 0.4}};
    struct photo_reading r = {.card_id = card,
                              .card = {49.5, 0, 0},
                              .part = "whole",
                              .taken = taken,
                              .card_box = {0, 0, 1, 1},
                              .box = {0, 0, 1, 1},
                              .assumed_profile = "",
                              .region = &region};
    struct error err;
    int64_t id;

    memset(file.sha256, photo, sizeof file.sha256);
    check_ok(record_find(ask_book, NOUN_SKEIN, skein_words, &r.skein_id, &err),
             &err);
    check_ok(book_act_begin(ask_book, "test", &err), &err);
    check_ok(photo_record(ask_book, &file, &facts, &r.photo_id, &err), &err);
    check_ok(photo_reading_add(ask_book, &r, &id, &err), &err);
    check_ok(book_act_end(ask_book, &err), &err);
    return id;
}
