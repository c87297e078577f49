/* How a message tells people what to do. See book/face.h. */
#include "book/face.h"

#include <stdbool.h>
#include <string.h>

static bool page;

void face_set_page(void)
{
    page = true;
}

bool face_is_page(void)
{
    return page;
}

const char *face_says(const char *terminal, const char *on_page)
{
    return page ? on_page : terminal;
}

/* A word of a command as it has to be typed. */
static void add_word(const char *word, struct text *out)
{
    const char *quote = *word && !strpbrk(word, " /'$&;()*?<>|") ? "" : "\"";

    text_addf(out, "%s%s%s", quote, word, quote);
}

void face_edit(enum noun_id noun, const char *label, const char *field,
               const char *words, struct text *out)
{
    const char *name = nouns[noun].name;

    if (!page) {
        text_addf(out, "hanklab %s edit ", name);
        add_word(label, out);
        text_addf(out, " --%s ", field);
        if (words)
            add_word(words, out);
        else
            text_add(out, "...");
        return;
    }
    if (words && *words)
        text_addf(out, "put %s in", words);
    else
        text_add(out, words ? "empty" : "change");
    text_addf(out, " \"%s\" of %s %s", noun_field(&nouns[noun], field)->title,
              name, label);
}
