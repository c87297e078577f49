/* A bath's page: what went into it, its rounds, the skeins of each. */
#include <stdlib.h>
#include <string.h>

#include "base/html.h"
#include "base/mem.h"
#include "book/cut.h"
#include "book/sheet.h"
#include "page.h"
#include "routes.h"

static void add_doses(struct text *o, const struct sheet_doses *doses)
{
    if (!doses->count)
        return;
    text_add(o, "<h2>Put in</h2>\n<ul class=\"put\">\n");
    for (size_t i = 0; i < doses->count; i++) {
        const struct sheet_dose *d = &doses->dose[i];
        const char *much = d->understood ? d->understood : d->words;
        html_addf(o, "<li><b>%s</b> %s", d->what,
                  much ? much : "amount not recorded");
        if (d->before_round > 0)
            html_addf(o, ", before exhaust %d", d->before_round);
        if (d->state)
            html_addf(o, ", %s", d->state);
        text_add(o, "</li>\n");
    }
    text_add(o, "</ul>\n");
}

/* What a skein of the pot had been mordanted in. */
struct mordanting {
    int64_t treatment;
    struct text doses, skeins;
    size_t of;
};

static void add_mordanting(const struct sheet_step *step, struct mordanting *m)
{
    m->treatment = step->treatment.id;
    for (size_t i = 0; i < step->doses.count; i++) {
        const struct sheet_dose *d = &step->doses.dose[i];
        const char *much = d->understood ? d->understood : d->words;
        html_addf(&m->doses, "%s<b>%s</b>%s%s", i ? ", " : "", d->what,
                  much ? " " : "", much);
    }
}

/* The mordants of one skein, each treatment once; false: none is recorded. */
static bool gather(const struct skein_sheet *s, struct mordanting **all,
                   size_t *n)
{
    bool any = false;

    for (size_t i = 0; i < s->steps; i++) {
        const struct record *t = &s->step[i].treatment;
        size_t k = 0;
        if (!t->noun || !s->step[i].doses.count ||
            strcmp(record_get(t, "kind")->words, "mordant") != 0)
            continue;
        while (k < *n && (*all)[k].treatment != t->id)
            k++;
        if (k == *n) {
            *all = mem_resize(*all, ++*n, sizeof **all);
            (*all)[k] = (struct mordanting){0};
            add_mordanting(&s->step[i], &(*all)[k]);
        }
        text_addf(&(*all)[k].skeins, "%s%s", (*all)[k].of++ ? ", " : "",
                  s->now.label);
        any = true;
    }
    return any;
}

/* A mordant goes on the yarn, not into this pot. */
static bool add_mordants(struct request *r, const struct pot_sheet *pot,
                         struct error *err)
{
    struct mordanting *all = NULL;
    int64_t *seen = NULL;
    struct text bare = {0}; /* skeins of which no mordant is recorded */
    size_t n = 0, skeins = 0;
    bool ok = true;

    for (size_t i = 0; i < pot->rounds; i++)
        for (size_t k = 0; ok && k < pot->round[i].entries; k++) {
            int64_t id = pot->round[i].entry[k].skein.id;
            struct skein_sheet s;
            size_t j = 0;
            while (j < skeins && seen[j] != id)
                j++;
            if (j < skeins)
                continue;
            seen = mem_resize(seen, skeins + 1, sizeof *seen);
            seen[skeins++] = id;
            ok = sheet_of_skein(r->book, id, &s, err);
            if (ok) {
                if (!gather(&s, &all, &n))
                    text_addf(&bare, "%s%s", bare.len ? ", " : "", s.now.label);
                skein_sheet_clear(&s);
            }
        }
    text_add(&r->out, n ? "<h2>On the yarn</h2>\n<ul class=\"put\">\n" : "");
    for (size_t i = 0; i < n; i++) {
        text_addf(&r->out, "<li>%s", text_str(&all[i].doses));
        html_addf(&r->out, ", skein%s %s</li>\n", all[i].of > 1 ? "s" : "",
                  text_str(&all[i].skeins));
        text_clear(&all[i].doses);
        text_clear(&all[i].skeins);
    }
    if (n && bare.len)
        html_addf(&r->out, "<li>no mordant recorded: skein%s %s</li>\n",
                  strchr(text_str(&bare), ',') ? "s" : "", text_str(&bare));
    text_add(&r->out, n ? "</ul>\n" : "");
    text_clear(&bare);
    free(all);
    free(seen);
    return ok;
}

/* What it was dipped in with this round or, when it was not dyed again, after
 * it; NULL: nothing. */
static const char *dips_of(const struct sheet_entry *e, int64_t treatment)
{
    if (e->dips)
        return e->dips;
    return e->skein.dye_id == treatment ? e->skein.dips : NULL;
}

/* What is cut up. */
struct pieces {
    int64_t *id;
    size_t count;
};

static void add_entry(struct text *o, const struct sheet_entry *e,
                      int64_t treatment, const struct pieces *up)
{
    const char *dips = dips_of(e, treatment);
    const struct lab *lab = e->has_colour ? &e->reading.colour.lab
                            : e->skein.lack == ASK_HAS_COLOUR
                                ? &e->skein.reading.colour.lab
                                : NULL;

    html_addf(o, "<li><a href=\"/skein/%-s\" title=\"Skein %s, %s\">",
              e->skein.label, e->skein.label,
              lab ? colour_name_nearest(*lab)->name
                  : ask_lack_words(e->skein.lack, false));
    page_hank(o, HANK_HUNG, lab);
    text_add(o, "<span class=\"string\"></span>");
    page_tag(o, "", e->skein.label, e->skein.code);
    html_addf(o, "<span class=\"lane\">%s%s%s%s",
              e->mordants ? e->mordants : "", e->mordants && dips ? ", " : "",
              dips, dips ? " dip" : "");
    if (cut_is_up(up->id, up->count, e->skein.id))
        text_add(o, "<b class=\"st\">in pieces</b>");
    text_add(o, "</span></a></li>\n");
}

static void add_round(struct text *o, const struct sheet_round *round,
                      const struct pieces *up)
{
    static const char *const skipped[] = {"kind", "bath", "round"};
    const struct record_field *number = record_get(&round->treatment, "round");

    html_addf(o, "<section class=\"bath\"><header><h2>%s</h2>\n",
              number ? number->words
                     : record_get(&round->treatment, "kind")->words);
    page_facts(o, &round->treatment, skipped, ARRAY_LEN(skipped));
    if (round->ph)
        html_addf(o, "<p>pH %s</p>\n", round->ph);
    html_addf(o,
              "<p class=\"go\"><a href=\"/record/treatment/%lld\">Change this "
              "round</a></p>"
              "</header>\n<div class=\"rods\"><section class=\"round\"><ul "
              "class=\"hanks\">\n",
              (long long)round->treatment.id);
    for (size_t i = 0; i < round->entries; i++)
        add_entry(o, &round->entry[i], round->treatment.id, up);
    text_add(o, "</ul></section></div></section>\n");
}

/* It on paper, and the tags of all its skeins. */
static void add_print(struct text *o, const struct pot_sheet *pot, bool mine)
{
    size_t n = 0;

    text_add(o, " <a class=\"btn\" href=\"/print/bath?which=");
    if (mine)
        html_url(o, record_get(&pot->bath, "number")->words);
    else
        html_addf(o, "%%23%lld", (long long)pot->bath.id);
    text_add(o, "\">Print</a>");
    for (size_t i = 0; i < pot->rounds; i++)
        for (size_t k = 0; k < pot->round[i].entries; k++) {
            text_add(o,
                     n++ ? "," : " <a class=\"btn\" href=\"/print/tags?which=");
            html_url(o, pot->round[i].entry[k].skein.label);
        }
    text_add(o, n ? "\">Tags</a>" : "");
}

bool bath_page(struct request *r, struct error *err)
{
    static const char *const skipped[] = {"name", "number", "kind"};
    struct pot_sheet pot;
    struct text *o = &r->out, title = {0};
    const struct record_field *name;
    struct text label = {0};
    struct pieces up = {0};
    int64_t id;
    bool ok;

    if (!record_find_any(r->book, NOUN_BATH, request_part(r, "/bath/"), &id,
                         err) ||
        !page_bath(r, id, &label, err) ||
        !sheet_of_pot(r->book, id, &pot, err)) {
        text_clear(&label);
        return false;
    }
    name = record_get(&pot.bath, "name");
    text_addf(&title, "Bath %s", record_get(&pot.bath, "number")->words);
    page_begin(r, text_str(&title), NULL);
    html_addf(o, "<div class=\"head\"><h1>%s</h1><p>%s, %s%s</p></div>\n",
              name ? name->words : text_str(&title), text_str(&title),
              record_get(&pot.bath, "kind")->words,
              pot.bath.withdrawn ? ", withdrawn" : "");
    html_addf(
        o,
        "<p class=\"acts\"><a class=\"btn\" href=\"/log?of=%-s\">Next "
        "round</a> <a class=\"btn\" href=\"/fade?bath=%-s\">How it fades</a> "
        "<a class=\"btn\" href=\"/record/bath/%lld\">Change the pot</a>",
        text_str(&label), text_str(&label), (long long)id);
    add_print(o, &pot, pot.bath.owner_id == book_dyer(r->book));
    text_add(o, "</p>\n");
    page_facts(o, &pot.bath, skipped, ARRAY_LEN(skipped));
    add_doses(o, &pot.doses);
    ok = add_mordants(r, &pot, err) && cut_up(r->book, &up.id, &up.count, err);
    for (size_t i = 0; ok && i < pot.rounds; i++)
        add_round(o, &pot.round[i], &up);
    free(up.id);
    page_end(r);
    text_clear(&title);
    text_clear(&label);
    pot_sheet_clear(&pot);
    return ok;
}
