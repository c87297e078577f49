/* What every picture begins and ends with. See frame.h. */
#include "frame.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"

#define TITLE 6    /* lines at most */
#define LETTER 7.4 /* of 14 px; a sans serif is that wide at most, nearly */

void frame_escaped(const char *s, struct text *out)
{
    for (; *s; s++)
        switch (*s) {
        case '<':
            text_add(out, "&lt;");
            break;
        case '>':
            text_add(out, "&gt;");
            break;
        case '&':
            text_add(out, "&amp;");
            break;
        case '"':
            text_add(out, "&quot;");
            break;
        default: /* controls are no XML, but for these */
            if ((unsigned char)*s >= ' ' || *s == '\n' || *s == '\t')
                text_add_n(out, s, 1);
        }
}

void frame_colour(struct lab lab, struct text *out)
{
    char words[8];

    srgb8_words(srgb8_from_lab(lab, NULL), words);
    text_add(out, words);
}

/* How many bytes of s fit into so many columns, whole characters. */
static size_t fitting(const char *s, double columns)
{
    size_t n = 0;

    while (s[n]) {
        size_t next = n + 1;
        while (((unsigned char)s[next] & 0xC0) == 0x80)
            next++;
        if (text_width_n(s, next) > columns)
            break;
        n = next;
    }
    return n;
}

void frame_text(double x, double y, const char *anchor, double wide,
                const char *s, struct text *out)
{
    const double columns = wide > 0 ? floor(wide / LETTER) : (double)INFINITY;
    const bool cut = text_width(s) > columns;
    char *shown = mem_text_n(s, fitting(s, cut ? columns - 1 : columns));

    text_addf(out, "<text x=\"%.1f\" y=\"%.1f\" text-anchor=\"%s\">", x, y,
              anchor);
    frame_escaped(shown, out);
    text_add(out, cut ? "\xE2\x80\xA6</text>" : "</text>");
    free(shown);
}

/* The bytes of the next line: up to the last blank that leaves it in. */
static size_t line_of(const char *s, double columns)
{
    size_t n = fitting(s, columns), blank = n;

    if (!s[n] || !n)
        return n;
    while (blank && s[blank] != ' ')
        blank--;
    return blank ? blank : n;
}

size_t frame_lines(double x, double y, double wide, size_t most, const char *s,
                   struct text *out)
{
    const double columns = floor(wide / LETTER);
    size_t lines = 0;

    while (*s && lines < most) {
        const bool last = lines + 1 == most;
        const size_t n = last ? strlen(s) : line_of(s, columns);
        char *line = mem_text_n(s, n ? n : 1);
        frame_text(x, y + FRAME_LINE * (double)lines++, "start", wide, line,
                   out);
        s += n ? n : 1;
        s += *s == ' ';
        free(line);
    }
    return lines;
}

void frame_begin(const struct picture *p, double w, double h, struct text *out)
{
    struct text title = {0};
    const size_t lines = frame_lines(0, 0, w, TITLE, p->title, &title);
    const double top = FRAME_LINE * (double)lines + 12;

    text_clear(&title);
    text_addf(out,
              "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 %.0f "
              "%.0f\" width=\"%.0f\" role=\"img\" font-family=\"sans-serif\" "
              "font-size=\"14\" fill=\"#222\"><title>",
              w + 32, h + top + 32, w + 32);
    frame_escaped(p->title, out);
    text_add(out, "</title><desc>");
    frame_escaped(p->words, out);
    text_add(out, "</desc>\n<path fill=\"#fff\" d=\"M0 0h9999v9999H0z\"/>\n"
                  "<g transform=\"translate(16 28)\" font-weight=\"bold\">");
    frame_lines(0, 0, w, TITLE, p->title, out);
    text_addf(out, "</g>\n<g transform=\"translate(16 %.0f)\">\n", top + 16);
}

void frame_end(struct text *out)
{
    text_add(out, "</g>\n</svg>\n");
}
