/* The page of a file that is handed on: it needs nothing but a browser. See
 * give.h. */
#include "book/give.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/html.h"
#include "base/mem.h"
#include "book/rows.h"
#include "book/sheet.h"

#define SHOWN 2000 /* skeins; a browser has enough of more */

static const char head[] =
    "<!doctype html>\n<html lang=\"en\"><head><meta charset=\"utf-8\">"
    "<meta name=\"viewport\" content=\"width=device-width, "
    "initial-scale=1\">"
    "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src "
    "'none'; style-src 'unsafe-inline'; img-src 'self' file:\">"
    "<title>%s: dyed yarn</title>\n<style>\n"
    "body{font:1rem/1.5 Georgia,serif;max-width:60rem;margin:0 auto;"
    "padding:1rem;color:#222;background:#fbfaf7}\n"
    "article{display:grid;grid-template-columns:7rem 1fr;gap:0 1.25rem;"
    "border-top:1px solid #ccc;padding:1rem 0;break-inside:avoid}\n"
    ".swatch{width:7rem;height:7rem;border-radius:.25rem}\n"
    ".none{border:1px dashed #767676;box-sizing:border-box;display:grid;"
    "place-items:center;font-size:.875rem}\n"
    "h2{margin:0;font-size:1.25rem}p,ol,ul{margin:.25rem 0}"
    "ol{padding-left:1.5rem}li ul{list-style:none;padding-left:0}\n"
    "img{max-width:100%%;height:auto;width:10rem}\n"
    "@media(max-width:30rem){article{grid-template-columns:1fr}}\n"
    "</style></head><body>\n";

/* ---- one skein ----------------------------------------------------------- */

static void add_swatch(const struct ask_skein *skein, struct text *out)
{
    const struct lab *lab = ask_skein_colour(skein);
    char fill[8];

    if (!lab) {
        text_add(out, "<div class=\"swatch none\">not measured</div>");
        return;
    }
    srgb8_words(srgb8_from_lab(*lab, NULL), fill);
    html_addf(out,
              "<div class=\"swatch\" style=\"background:%s\" "
              "role=\"img\" aria-label=\"swatch\"></div>",
              fill);
}

static void add_colour(const struct ask_skein *skein, struct text *out)
{
    const struct lab *lab = ask_skein_colour(skein);
    struct text words = {0}, own = {0};

    ask_colour_words(skein, &words);
    ask_own_word(skein, &own);
    html_addf(out, "<p>%s", text_str(&words));
    if (lab)
        html_addf(out, " (L* %.1f, a* %.1f, b* %.1f; D50, 2&deg;)", lab->L,
                  lab->a, lab->b);
    if (own.len)
        html_addf(out, ", &ldquo;%s&rdquo; in the dyer's own words",
                  text_str(&own));
    text_add(out, "</p>\n");
    text_clear(&words);
    text_clear(&own);
}

/* "yarn: two-ply wool" of each field that is recorded and nobody's secret. */
static void add_facts(const struct record *r, const char *const *skip,
                      size_t skips, const char *tag, struct text *out)
{
    for (size_t i = 0; i < r->noun->field_count; i++) {
        const struct record_field *f = &r->field[i];
        bool left = !f->words || (f->field->flags &
                                  (FIELD_PRIVATE | FIELD_INNER | FIELD_OWN));

        for (size_t k = 0; k < skips; k++)
            left = left || !strcmp(f->field->name, skip[k]);
        if (left)
            continue;
        html_addf(out, "<%s>", tag);
        html_addf(out, "%s: %s", f->field->title, record_shown(f));
        if (f->understood && record_shown(f) == f->words)
            html_addf(out, " (%s)", f->understood);
        html_addf(out, "</%s>\n", tag);
    }
}

static void add_dose(const struct sheet_dose *d, struct text *out)
{
    html_addf(out, "<li>%s", d->what);
    if (d->words)
        html_addf(out, ": %s", d->words);
    if (d->understood)
        html_addf(out, " (%s)", d->understood);
    if (d->from)
        html_addf(out, ", from bath %s", d->from);
    if (d->note)
        html_addf(out, ", %s", d->note);
    text_add(out, "</li>\n");
}

static void add_step(const struct sheet_step *s, struct text *out)
{
    static const char *const skip[] = {"kind",  "bath",      "round", "on",
                                       "skein", "treatment", "place"};
    struct text words = {0};

    if (s->event.kind == LIFE_CUT) {
        html_addf(out, "<li>%s skein %s %s skein %s</li>\n",
                  s->plied ? "plied:" : "cut:", s->event.skein,
                  s->plied ? "went into" : "became", s->event.into);
        return;
    }
    ask_step_words(s->event.treatment, s->event.has_round, s->event.round,
                   s->event.bath, &words);
    html_addf(out, "<li>%s", text_str(&words));
    if (s->event.on_words)
        html_addf(out, ", %s", s->event.on_words);
    text_add(out, "<ul>\n");
    for (size_t i = 0; i < s->doses.count; i++)
        add_dose(&s->doses.dose[i], out);
    if (s->ph)
        html_addf(out, "<li>pH: %s</li>\n", s->ph);
    add_facts(&s->treatment, skip, ARRAY_LEN(skip), "li", out);
    add_facts(&s->entry, skip, ARRAY_LEN(skip), "li", out);
    text_add(out, "</ul></li>\n");
    text_clear(&words);
}

/* Every photo the skein is seen or was measured on. */
static bool add_photos(struct give *give, int64_t skein, const char *label,
                       struct text *out, struct error *err)
{
    struct stmt q;
    bool row = false, ok;

    if (!stmt_prepare(give->book,
                      "SELECT g.photo_id FROM region g JOIN reading r ON r.id ="
                      " g.reading_id WHERE r.skein_id = :of AND g.withdrawn = 0"
                      " AND r.withdrawn = 0 UNION SELECT photo_id FROM sight"
                      " WHERE skein_id = :of AND withdrawn = 0 AND photo_id IS"
                      " NOT NULL",
                      &q, err))
        return false;
    stmt_int(&q, ":of", skein);
    while ((ok = stmt_step(&q, &row, err)) && row) {
        const struct give_photo *p = give_photo_of(give, stmt_get_int(&q, 0));
        struct text name = {0};
        if (!p)
            continue;
        give_photo_name(p, &name);
        html_addf(out,
                  "<a href=\"%s\"><img src=\"%s\" alt=\"photo of skein %s\" "
                  "loading=\"lazy\"></a>\n",
                  text_str(&name), text_str(&name), label);
        text_clear(&name);
    }
    stmt_done(&q);
    return ok;
}

static bool add_skein(struct give *give, int64_t id, struct text *out,
                      struct error *err)
{
    static const char *const skip[] = {"number", "colour", "place", "finished",
                                       "name"};
    struct text recipe = {0};
    struct skein_sheet s;
    const struct record_field *name;
    bool ok;

    if (!sheet_of_skein(give->book, id, &s, err))
        return false;
    name = record_get(&s.skein, "name");
    ask_recipe_words(&s.now, &recipe);
    text_add(out, "<article>");
    add_swatch(&s.now, out);
    html_addf(out, "<div><h2>Skein %s%s%s</h2>\n<p>%s</p>\n", s.skein.label,
              name ? ", " : "", name ? name->words : "", text_str(&recipe));
    add_colour(&s.now, out);
    add_facts(&s.skein, skip, ARRAY_LEN(skip), "p", out);
    if (s.steps)
        text_add(out, "<ol>\n");
    for (size_t i = 0; i < s.steps; i++)
        add_step(&s.step[i], out);
    if (s.steps)
        text_add(out, "</ol>\n");
    ok = add_photos(give, id, s.skein.label, out, err);
    text_add(out, "</div></article>\n");
    text_clear(&recipe);
    skein_sheet_clear(&s);
    return ok;
}

/* ---- the whole ----------------------------------------------------------- */

static void add_beginning(struct give *give, size_t count, struct text *out)
{
    char day[11];

    snprintf(day, sizeof day, "%.10s", give->made);
    html_addf(out, head, give->dyer);
    html_addf(out,
              "<h1>%s: %zu skein%s of dyed yarn</h1>\n<p>Handed on %s. Colours "
              "are CIELAB under D50 for the 2&deg; observer; on a screen they "
              "are near, no more. The folder <a href=\"tables/\">tables</a> "
              "has every record for a spreadsheet, hanklab.json all of it for "
              "programs%s.</p>\n",
              give->dyer, count, count == 1 ? "" : "s", day,
              give->pick->places
                  ? ""
                  : "; the places where things were gathered were left out");
    if (count > SHOWN)
        html_addf(out,
                  "<p>This page shows the first %d; the tables have all.</p>\n",
                  SHOWN);
}

bool give_page(struct give *give, struct text *out, struct error *err)
{
    int64_t *ids;
    size_t count;
    bool ok = give_ids(give, NOUN_SKEIN, &ids, &count, err);

    if (ok)
        add_beginning(give, count, out);
    for (size_t i = 0; ok && i < count && i < SHOWN; i++)
        ok = add_skein(give, ids[i], out, err);
    text_add(out, "</body></html>\n");
    free(ids);
    return ok;
}
