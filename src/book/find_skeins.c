/* Several skeins said in one. See book/record.h. */
#include "book/record.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "base/parts.h"

#define RUN_MAX 1000

/* "6-8", "6 to 8", "Aino/6-8": its ends; *number is where the first stands. */
static bool is_run(const char *words, const char **number, long long *from,
                   long long *to)
{
    const char *slash = strrchr(words, '/'), *dash;
    char *first, *last;
    bool ok;

    *number = slash ? slash + 1 : words;
    dash = strstr(*number, " to ");
    if (!dash)
        dash = strchr(*number, '-');
    if (!dash)
        return false;
    first = mem_text_n(*number, (size_t)(dash - *number));
    last = mem_text(dash + (*dash == '-' ? 1 : strlen(" to ")));
    ok = text_whole(parts_trim(first), from) &&
         text_whole(parts_trim(last), to) && *from > 0 && *from < *to &&
         *to - *from < RUN_MAX;
    free(first);
    free(last);
    return ok;
}

struct found {
    int64_t *id;
    size_t count;
};

static bool find_one(struct book *book, int64_t owner, const char *words,
                     struct found *out, struct error *err)
{
    int64_t id;

    if (!record_find_of(book, NOUN_SKEIN, owner, words, &id, err))
        return false;
    out->id = mem_resize(out->id, out->count + 1, sizeof *out->id);
    out->id[out->count++] = id;
    return true;
}

static bool find_run(struct book *book, int64_t owner, const char *words,
                     struct found *out, struct error *err)
{
    const char *number;
    long long from, to;
    bool ok = is_run(words, &number, &from, &to);

    for (; ok && from <= to; from++) {
        struct text one = {0};
        text_add_n(&one, words, (size_t)(number - words));
        text_addf(&one, "%lld", from);
        ok = find_one(book, owner, text_str(&one), out, err);
        text_clear(&one);
    }
    return ok;
}

/* Each part of what stands between commas. *numbers: all are numbers. */
static bool find_list(struct book *book, int64_t owner, const char *words,
                      struct found *out, bool *numbers, struct error *err)
{
    bool ok = true;

    *numbers = true;
    for (const char *s = words; *s;) {
        size_t n = strcspn(s, ",");
        char *part = mem_text_n(s, n), *one = parts_trim(part);
        const char *digits;
        long long from, to;
        struct error why;
        int64_t id;

        /* A code may look like a run. */
        if (is_run(one, &digits, &from, &to) &&
            !record_find_of(book, NOUN_SKEIN, owner, one, &id, &why)) {
            ok = ok && find_run(book, owner, one, out, err);
        } else if (*one) {
            *numbers = *numbers && text_whole(one, &from);
            ok = ok && find_one(book, owner, one, out, err);
        }
        free(part);
        s += n + (s[n] == ',');
    }
    return ok;
}

/* "#12", "Aino/137". */
static bool names_record(struct book *book, const char *words)
{
    char *dyer = mem_text_n(words, strcspn(words, "/"));
    struct error none;
    int64_t id;
    bool theirs =
        words[0] == '#' ||
        (strchr(words, '/') && record_find(book, NOUN_DYER, dyer, &id, &none));

    free(dyer);
    return theirs;
}

bool record_skeins(struct book *book, int64_t owner, const char *words,
                   int64_t **ids, size_t *count, bool *meant, struct error *err)
{
    struct found found = {0};
    const char *number;
    long long from, to;
    bool several = strchr(words, ',') || is_run(words, &number, &from, &to);
    bool numbers = false, ok = find_one(book, owner, words, &found, err);

    if (!ok && err->kind == ERR_MISSING && several && words[0] != '#') {
        struct error whole = *err;
        ok =
            find_list(book, owner, words, &found, &numbers, err) && found.count;
        if (!ok && !numbers && err->kind == ERR_MISSING && !found.count)
            *err = whole; /* no part of it is a skein */
    }
    if (meant)
        *meant =
            names_record(book, words) || (several && (numbers || found.count));
    if (!ok) {
        free(found.id);
        found = (struct found){0};
    }
    *ids = found.id;
    *count = found.count;
    return ok;
}
