/* What several papers draw. See ink.h. */
#include "ink.h"

#include <string.h>

#include "base/html.h"
#include "dye/substance.h"

const char ink_tick[] = "<span class=\"p-tick\"></span>";

void ink_begin(struct text *out, enum paper_size size, const char *class,
               const char *label)
{
    html_addf(out, "<section class=\"sheet%s%s%s\" aria-label=\"%s\">\n",
              size == PAPER_LETTER ? " short" : "", class ? " " : "", class,
              label);
}

void ink_end(struct text *out)
{
    text_add(out, "</section>\n");
}

void ink_swatch(struct text *out, const struct lab *lab, const char *words)
{
    char fill[8];

    html_addf(out,
              "<svg class=\"swatch\" role=\"img\" aria-label=\"%s\" viewBox=\""
              "0 0 10 10\" preserveAspectRatio=\"none\">",
              words);
    if (lab) {
        srgb8_words(srgb8_from_lab(*lab, NULL), fill);
        html_addf(out, "<path fill=\"%s\" d=\"M0 0h10v10H0z\"/>", fill);
    }
    text_add(out, "</svg>");
}

void ink_facts(struct text *out, const struct record *rec,
               const char *const *skipped, size_t skips)
{
    for (size_t i = 0; i < rec->noun->field_count; i++) {
        const struct record_field *f = &rec->field[i];
        const char *shown = f->words ? record_shown(f) : NULL;
        bool skip = !shown;

        for (size_t k = 0; k < skips; k++)
            skip = skip || !strcmp(f->field->name, skipped[k]);
        if (skip)
            continue;
        html_addf(out, "<dt>%s</dt><dd>", f->field->title);
        if (f->understood && !strncmp(f->understood, shown, strlen(shown)))
            html_addf(out, "%s</dd>", f->understood); /* "62 C" for "62" */
        else
            html_addf(out, "%s%s%s</dd>", shown,
                      f->understood && f->field->kind != FIELD_DAY
                          ? ", read as "
                          : "",
                      f->field->kind != FIELD_DAY ? f->understood : NULL);
    }
}

void ink_dose(struct text *out, const struct sheet_dose *d, bool tick)
{
    const char *much = d->understood ? d->understood : d->words;

    html_addf(out, "<li>");
    text_add(out,
             tick && !substance_record_only(d->what, NULL) ? ink_tick : "");
    html_addf(out, "<b>%s</b> %s%s%s", d->what,
              d->none ? ""
              : much  ? much
                      : "amount not recorded",
              d->state ? ", " : "", d->state);
    if (d->before_round > 0)
        html_addf(out, ", before exhaust %d", d->before_round);
    text_add(out, "</li>\n");
}

void ink_lines(struct text *out, const char *element, const char *lines)
{
    while (lines && *lines) {
        size_t n = strcspn(lines, "\n");
        struct text one = {0};

        text_add_n(&one, lines, n);
        html_addf(out, "<%s>%s</%s>", element, text_str(&one), element);
        text_clear(&one);
        lines += n + (lines[n] == '\n');
    }
}
