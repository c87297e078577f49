/*
 * Sample cards for those one dyes with: what a skein is, and room to wind its
 * yarn. Nothing here tells where anything was gathered: no supply, no notes,
 * and neither the name of a skein nor that of a pot, which often say it.
 */
#include "paper/paper.h"

#include <stdlib.h>
#include <string.h>

#include "base/html.h"
#include "base/mem.h"
#include "book/record.h"
#include "cautions.h"
#include "ink.h"
#include "numeral.h"

#define DIGIT_MM 9.0
#define CARDS_A_SHEET 8

/* The day or days as they were read: the words may tell where. */
static void add_day(const struct ask_skein *s, struct text *out)
{
    if (!*s->from)
        return;
    html_addf(out, ", %s", s->from);
    if (strcmp(s->from, s->to) != 0)
        html_addf(out, " to %s", *s->to ? s->to : "?");
}

static void add_recipe(const struct ask_skein *s, struct text *out)
{
    struct text round = {0};

    html_addf(out, "<p>%s%s%s</p>",
              s->last_dyestuffs ? s->last_dyestuffs
              : s->layers       ? "dyestuff not recorded"
                                : "not dyed",
              s->under ? " over " : "", s->under);
    html_addf(out, "<p>%s%s%s</p>",
              s->mordants ? s->mordants : "mordant not recorded",
              s->dips ? ", dipped in " : "", s->dips);
    if (s->has_round) {
        ask_round_words(s->round, &round);
        html_addf(out, "<p class=\"small\">%s</p>", text_str(&round));
    }
    text_clear(&round);
}

static bool add_card(struct book *book, const struct ask_skein *s,
                     struct cautions *all, struct text *out, struct error *err)
{
    const struct lab *lab = ask_skein_colour(s);
    const char *name = lab ? colour_name_nearest(*lab)->name : NULL;

    text_add(out, "<li><div class=\"wind\">wind the yarn here</div>");
    ink_swatch(out, lab, lab ? name : "not measured");
    text_add(out, "<div class=\"card-words\">");
    numeral_add(out, s->number, DIGIT_MM);
    html_addf(out, "<h3>%s</h3>", s->own_word ? s->own_word : name);
    add_recipe(s, out);
    if (lab) {
        html_addf(out, "<p class=\"small\">%s%s", s->own_word ? name : "",
                  s->own_word ? ", " : "");
        html_lab(out, lab->L, lab->a, lab->b, 0);
        text_add(out, "</p>");
    }
    html_addf(out, "<p class=\"small\">%s%s%s", s->code ? "code on tag " : "",
              s->code, s->code ? "; " : "");
    html_addf(out, "%s", s->dyer);
    add_day(s, out);
    text_add(out, "</p></div></li>\n");
    return cautions_of(book, s->last_dyestuffs, all, err) &&
           cautions_of(book, s->under, all, err) &&
           cautions_of(book, s->mordants, all, err) &&
           cautions_of(book, s->dips, all, err);
}

static bool add_sheet(struct book *book, const int64_t *ids, size_t n,
                      struct text *out, struct error *err)
{
    const struct ask_filter any = ask_filter_any();
    struct cautions all = {0};
    bool ok = true;

    text_add(out, "<ol class=\"cards\">\n");
    for (size_t i = 0; ok && i < n; i++) {
        struct ask_skein s;
        ok = ask_skein(book, ids[i], &any, &s, err);
        if (ok) {
            ok = add_card(book, &s, &all, out, err);
            ask_skein_clear(&s);
        }
    }
    text_add(out, "</ol>\n<footer><p>A printed colour is only near: trust the "
                  "yarn. Numbers are CIELAB, D50, 2&deg;.</p>");
    cautions_write(&all, out);
    text_add(out, "</footer>");
    return ok;
}

bool paper_cards(struct book *book, const char *words, enum paper_size size,
                 struct text *out, struct error *err)
{
    int64_t *ids = NULL;
    size_t n = 0;
    bool ok;

    if (!words)
        return error_set(err, ERR_INPUT,
                         "say of which skeins: \"6-8\", or as they are "
                         "called, commas between");
    ok = record_skeins(book, book_dyer(book), words, &ids, &n, NULL, err);
    if (ok && n > PAPER_CARDS_MOST)
        ok = error_set(err, ERR_LIMIT,
                       "at most %d cards at once: print the others after "
                       "these",
                       PAPER_CARDS_MOST);
    for (size_t i = 0; ok && i < n; i++)
        ok = record_stands(book, NOUN_SKEIN, ids[i], "printed", err);
    for (size_t i = 0; ok && i < n; i += CARDS_A_SHEET) {
        ink_begin(out, size, NULL, "Sample cards");
        ok = add_sheet(book, ids + i,
                       n - i < CARDS_A_SHEET ? n - i : CARDS_A_SHEET, out, err);
        ink_end(out);
    }
    free(ids);
    return ok;
}
