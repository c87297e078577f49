/* Sizes of paper and the document round the sheets. See paper/paper.h. */
#include "paper/paper.h"

#include <assert.h>
#include <string.h>

#include "base/embedded.h"
#include "base/html.h"

extern const struct embedded embed_style[];
extern const size_t embed_style_count;

bool paper_size_read(const char *words, enum paper_size *out, struct error *err)
{
    if (!words || text_same(words, "A4"))
        *out = PAPER_A4;
    else if (text_same(words, "Letter"))
        *out = PAPER_LETTER;
    else
        return error_set(err, ERR_INPUT, "paper: \"%s\" is not A4 or Letter",
                         words);
    return true;
}

static void add_style(const char *name, struct text *out)
{
    size_t i = 0;

    while (i < embed_style_count && strcmp(embed_style[i].name, name))
        i++;
    assert(i < embed_style_count);
    text_add_n(out, (const char *)embed_style[i].data, embed_style[i].size);
}

void paper_document(const char *title, enum paper_size size,
                    const struct text *sheets, struct text *out)
{
    html_addf(out,
              "<!doctype html>\n<html lang=\"en\">\n<head>\n<meta "
              "charset=\"utf-8\">\n<title>%s</title>\n<style>\n",
              title);
    add_style("sheets.css", out);
    if (size == PAPER_LETTER)
        add_style("letter.css", out);
    text_add(out, "</style>\n</head>\n<body>\n<main>\n");
    text_add_n(out, sheets->s, sheets->len);
    text_add(out, "</main>\n</body>\n</html>\n");
}
