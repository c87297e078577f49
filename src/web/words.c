/* What the book says, in the words of the page. See words.h. */
#include "words.h"

#include <stdlib.h>
#include <string.h>

#include "base/mem.h"

static const struct {
    const char *command, *page;
} commands[] = {
    {"\"hanklab history\"", "History"},
    {"\"hanklab init\"", "a new book"},
    {"hanklab treat dip", "\"Dip, wash or mordant\""},
    {"hanklab material add", "\"Add\" in the cupboard, material"},
};

/* Letters of a word such as "after-entry". */
static size_t word(const char *s)
{
    return strspn(s, "abcdefghijklmnopqrstuvwxyz-");
}

/* "hanklab skein edit 12 --fibre ...": where that is changed; bytes read. */
static size_t add_edit(const char *s, struct text *out)
{
    const char *noun = s + strlen("hanklab "), *number, *field;
    size_t n = word(noun), digits, f;

    if (strncmp(noun + n, " edit ", 6) != 0)
        return 0;
    number = noun + n + 6;
    digits = strspn(number, "0123456789");
    field = number + digits;
    if (!digits || strncmp(field, " --", 3) != 0)
        return 0;
    field += 3;
    f = word(field);
    text_addf(out, "%.*s in \"Change\" of the %.*s", (int)f, field, (int)n,
              noun);
    field += f;
    return (size_t)(field - s) + (strncmp(field, " ...", 4) ? 0 : 4);
}

static size_t add_command(const char *s, struct text *out)
{
    for (size_t i = 0; i < ARRAY_LEN(commands); i++) {
        size_t n = strlen(commands[i].command);
        if (strncmp(s, commands[i].command, n) != 0)
            continue;
        text_add(out, commands[i].page);
        return n;
    }
    return !strncmp(s, "hanklab ", 8) ? add_edit(s, out) : 0;
}

void words_of_page(const char *words, struct text *out)
{
    bool begins = true; /* of a word */

    while (*words) {
        size_t n = begins ? add_command(words, out) : 0;

        if (!n && begins && !strncmp(words, "--", 2) && word(words + 2)) {
            n = 2;
        } else if (!n) {
            n = 1;
            text_add_n(out, words, 1);
        }
        begins = strchr(" (\"", words[n - 1]) != NULL;
        words += n;
    }
}
