/* One skein on paper. See paper/paper.h. */
#include "paper/paper.h"

#include <math.h>
#include <string.h>

#include "base/html.h"
#include "base/mem.h"
#include "book/record.h"
#include "book/sheet.h"
#include "cautions.h"
#include "ink.h"
#include "numeral.h"

#define DIGIT_MM 16.0

static const char *const skein_skipped[] = {"name", "number"};
static const char *const step_skipped[] = {"kind", "bath", "round", "on"};
static const char *const entry_skipped[] = {"skein", "treatment", "place"};

static void add_colour(const struct ask_skein *now, struct text *out)
{
    const struct lab *lab = ask_skein_colour(now);
    struct text words = {0};

    ask_colour_words(now, &words);
    text_add(out, "<div class=\"p-look\">");
    ink_swatch(out, lab, text_str(&words));
    html_addf(out, "<p>%s", text_str(&words));
    if (lab) {
        text_add(out, "<br>");
        html_lab(out, lab->L, lab->a, lab->b, 0);
        text_add(out, " <small>D50, 2&deg;</small>");
    }
    text_add(out, "</p></div>\n<div class=\"wind\">a strand of it, wound here"
                  "</div>\n");
    text_clear(&words);
}

static void add_cut(const struct sheet_step *s, struct text *out)
{
    html_addf(out,
              s->plied ? "<li>skein %s was plied into skein %s"
                       : "<li>from skein %s came skein %s",
              s->event.skein, s->event.into);
    if (!isnan(s->event.grams))
        html_addf(out, ", %.1f g", s->event.grams);
    text_add(out, "</li>\n");
}

static void add_readings(const struct sheet_readings *r, struct text *out)
{
    for (size_t i = 0; i < r->count; i++) {
        const struct sheet_reading *x = &r->reading[i];

        html_addf(out, "<p>read%s%s by ", x->on ? " " : "", x->on);
        sheet_reading_by(x, out);
        text_add(out, ": ");
        html_lab(out, x->lab.L, x->lab.a, x->lab.b, 0);
        html_addf(out, ", %s, %d&deg;%s%s%s</p>", x->illuminant,
                  x->observer_deg, x->wet ? ", wet" : "",
                  strcmp(x->part, "whole") ? ", " : "",
                  strcmp(x->part, "whole") ? sheet_part_words(x->part) : "");
    }
}

static bool add_step(struct book *book, const struct sheet_step *s,
                     struct cautions *all, struct text *out, struct error *err)
{
    struct text what = {0};
    bool ok = true;

    if (s->event.kind == LIFE_CUT) {
        add_cut(s, out);
        return true;
    }
    ask_step_words(s->event.treatment, s->event.has_round, s->event.round,
                   s->event.bath, &what);
    html_addf(out, "<li><b>%s</b>%s%s%s%s%s\n<ul>", text_str(&what),
              s->event.on_words ? ", " : "", s->event.on_words,
              s->own ? "" : " (as skein ", s->own ? "" : s->event.skein,
              s->own ? "" : ")");
    text_clear(&what);
    for (size_t i = 0; ok && i < s->doses.count; i++) {
        ink_dose(out, &s->doses.dose[i], false);
        ok = cautions_of(book, s->doses.dose[i].what, all, err);
    }
    text_add(out, "</ul><dl>");
    ink_facts(out, &s->treatment, step_skipped, ARRAY_LEN(step_skipped));
    if (s->ph)
        html_addf(out, "<dt>pH</dt><dd>%s</dd>", s->ph);
    ink_facts(out, &s->entry, entry_skipped, ARRAY_LEN(entry_skipped));
    text_add(out, "</dl>");
    add_readings(&s->readings, out);
    text_add(out, "</li>\n");
    return ok;
}

static bool add_skein(struct book *book, const struct skein_sheet *s,
                      struct cautions *all, struct text *out, struct error *err)
{
    const struct record_field *name = record_get(&s->skein, "name");
    bool ok = true;

    text_add(out, "<div class=\"top\">");
    numeral_add(out, s->now.number, DIGIT_MM);
    html_addf(out, "<div><h2>Skein %s%s%s</h2>\n<dl>", s->now.label,
              name ? ": " : "", name ? name->words : NULL);
    ink_facts(out, &s->skein, skein_skipped, ARRAY_LEN(skein_skipped));
    text_add(out, "</dl></div></div>\n<div class=\"colour\">");
    add_colour(&s->now, out);
    text_add(out, "</div>\n<h3>Its life</h3>\n<ol class=\"p-life\">\n");
    for (size_t i = 0; ok && i < s->steps; i++)
        ok = add_step(book, &s->step[i], all, out, err);
    text_add(out, "</ol>\n");
    add_readings(&s->before, out);
    if (s->lacks)
        text_add(out, "<h3>Not recorded</h3><ul class=\"doses\">\n");
    for (size_t i = 0; i < s->lacks; i++)
        html_addf(out, "<li>%s</li>\n", s->lacking[i]);
    text_add(out, s->lacks ? "</ul>\n" : "");
    return ok;
}

bool paper_skein(struct book *book, const char *words, enum paper_size size,
                 struct text *out, struct error *err)
{
    struct cautions all = {0};
    struct skein_sheet s;
    int64_t id;
    bool ok;

    if (!words)
        return error_set(err, ERR_INPUT,
                         "say which skein: its number, code or name");
    if (!record_find_shown(book, NOUN_SKEIN, words, &id, err) ||
        !sheet_of_skein(book, id, &s, err))
        return false;
    ink_begin(out, size, "flow p-one", "Skein");
    ok = add_skein(book, &s, &all, out, err);
    text_add(out, "<footer>");
    cautions_write(&all, out);
    text_add(out, "</footer>");
    ink_end(out);
    skein_sheet_clear(&s);
    return ok;
}
