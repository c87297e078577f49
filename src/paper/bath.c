/* One pot on paper. See paper/paper.h. */
#include "paper/paper.h"

#include <math.h>
#include <string.h>

#include "base/html.h"
#include "base/mem.h"
#include "book/record.h"
#include "book/sheet.h"
#include "cautions.h"
#include "ink.h"

static const char *const bath_skipped[] = {"name", "number", "kind"};
static const char *const part_skipped[] = {"bath"};
static const char *const round_skipped[] = {"kind", "bath", "round"};

static void add_parts(struct text *out, const char *title,
                      const struct record *part, size_t n)
{
    for (size_t i = 0; i < n; i++) {
        html_addf(out, "<h3>%s</h3><dl>", title);
        ink_facts(out, &part[i], part_skipped, ARRAY_LEN(part_skipped));
        text_add(out, "</dl>\n");
    }
}

static bool add_doses(struct book *book, const struct pot_sheet *pot,
                      struct cautions *all, struct text *out, struct error *err)
{
    bool ok = true;

    if (!pot->doses.count)
        return true;
    text_add(out, "<h3>Put in</h3>\n<ul class=\"doses\">\n");
    for (size_t i = 0; ok && i < pot->doses.count; i++) {
        ink_dose(out, &pot->doses.dose[i], true);
        ok = cautions_of(book, pot->doses.dose[i].what, all, err);
    }
    text_add(out, "</ul>\n");
    return ok;
}

static void add_entry(const struct sheet_entry *e, int64_t treatment,
                      struct text *out)
{
    const char *dips = e->dips                        ? e->dips
                       : e->skein.dye_id == treatment ? e->skein.dips
                                                      : NULL;
    const char *called = e->skein.code ? e->skein.code : e->skein.name;
    const struct lab *lab = e->has_colour ? &e->reading.colour.lab
                            : e->skein.dye_id == treatment
                                ? ask_skein_colour(&e->skein)
                                : NULL;
    const char *name = lab ? colour_name_nearest(*lab)->name : "not measured";

    html_addf(out, "<tr><th scope=\"row\">%s</th><td>%s</td><td>",
              e->skein.label, called);
    if (!isnan(e->skein.weight_g))
        html_addf(out, "%.1f g", e->skein.weight_g);
    html_addf(out, "</td><td>%s</td><td>%s</td><td class=\"p-chip\">",
              e->mordants_much ? e->mordants_much : e->mordants, dips);
    ink_swatch(out, lab, name);
    html_addf(out, "</td><td>%s</td></tr>\n", name);
}

static bool add_round(struct book *book, const struct sheet_round *round,
                      struct cautions *all, struct text *out, struct error *err)
{
    const struct record_field *number = record_get(&round->treatment, "round");
    bool ok = true;

    html_addf(out, "<div class=\"p-round\"><h3>%s</h3><dl>",
              number ? number->words
                     : record_get(&round->treatment, "kind")->words);
    ink_facts(out, &round->treatment, round_skipped, ARRAY_LEN(round_skipped));
    if (round->ph)
        html_addf(out, "<dt>pH</dt><dd>%s</dd>", round->ph);
    text_add(out, "</dl>\n");
    if (round->entries)
        text_add(out,
                 "<table><thead><tr><th scope=\"col\">skein</th><th "
                 "scope=\"col\">its name</th><th scope=\"col\">dry</th><th "
                 "scope=\"col\">mordant</th><th scope=\"col\">dip</th><th "
                 "scope=\"col\">colour</th><th scope=\"col\">called</th>"
                 "</tr></thead>"
                 "<tbody>\n");
    for (size_t i = 0; ok && i < round->entries; i++) {
        const struct sheet_entry *e = &round->entry[i];
        add_entry(e, round->treatment.id, out);
        ok = cautions_of(book, e->mordants, all, err) &&
             cautions_of(book, e->dips, all, err) &&
             cautions_of(book, e->skein.dips, all, err);
    }
    text_add(out, round->entries ? "</tbody></table></div>\n" : "</div>\n");
    return ok;
}

static bool add_pot(struct book *book, const struct pot_sheet *pot,
                    struct cautions *all, struct text *out, struct error *err)
{
    const struct record_field *name = record_get(&pot->bath, "name");
    bool ok;

    html_addf(out, "<h2>Bath %s%s%s</h2>\n<dl>",
              record_get(&pot->bath, "number")->words, name ? ": " : "",
              name ? name->words : NULL);
    ink_facts(out, &pot->bath, bath_skipped, ARRAY_LEN(bath_skipped));
    text_add(out, "</dl>\n");
    add_parts(out, "Poured in", pot->pour, pot->pours);
    ok = add_doses(book, pot, all, out, err);
    add_parts(out, "Drawn out", pot->extraction, pot->extractions);
    add_parts(out, "pH of the bath", pot->ph, pot->phs);
    for (size_t i = 0; ok && i < pot->rounds; i++)
        ok = add_round(book, &pot->round[i], all, out, err);
    text_add(out, "<h3>Next time</h3><p class=\"rule\"></p><p class=\"rule\">"
                  "</p><p class=\"rule\"></p>\n");
    return ok;
}

bool paper_bath(struct book *book, const char *words, enum paper_size size,
                struct text *out, struct error *err)
{
    struct cautions all = {0};
    struct pot_sheet pot;
    int64_t id;
    bool ok;

    if (!words)
        return error_set(err, ERR_INPUT, "say which bath: its number or name");
    if (!record_find_shown(book, NOUN_BATH, words, &id, err) ||
        !sheet_of_pot(book, id, &pot, err))
        return false;
    ink_begin(out, size, "flow", "Bath");
    ok = add_pot(book, &pot, &all, out, err);
    text_add(out, "<footer>");
    cautions_write(&all, out);
    text_add(out, "</footer>");
    ink_end(out);
    pot_sheet_clear(&pot);
    return ok;
}
