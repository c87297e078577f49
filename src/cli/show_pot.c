/* hanklab show bath 14: a pot, what went into it, its rounds and skeins. */
#include "cli/sheet.h"

#include <math.h>
#include <string.h>

#include "base/mem.h"
#include "colour/name.h"
#include "draw/terminal.h"

static const char *const facts_skipped[] = {"name", "number", "kind", NULL};
static const char *const parts_skipped[] = {"bath", NULL};

static void round_words(const struct record *treatment, struct text *out)
{
    const struct record_field *f = record_get(treatment, "round");
    const char *kind = record_get(treatment, "kind")->words;

    if (f && !strcmp(kind, "dye"))
        text_add(out, f->words);
    else
        ask_step_words(kind, f != NULL, f ? (int64_t)f->low : 0, NULL, out);
}

static void show_doses(const struct pot_sheet *s, struct text *out)
{
    bool dye = !strcmp(record_get(&s->bath, "kind")->words, "dye");
    int before = -1;

    for (size_t i = 0; i < s->doses.count; i++) {
        const struct sheet_dose *d = &s->doses.dose[i];
        if (d->before_round != before) {
            before = d->before_round;
            text_add(out, "put in");
            if (before > 0 && dye)
                text_addf(out, " before exhaust %d", before);
            else if (before > 0)
                text_addf(out, " before use %d", before + 1);
            text_add(out, "\n");
        }
        text_add(out, "  ");
        show_dose(d, out);
        if (strcmp(d->role, dye ? "dyestuff" : d->role))
            text_addf(out, ", as %s", d->role);
        text_add(out, "\n");
    }
}

static void show_parts(const struct record *r, size_t count, const char *what,
                       struct text *out)
{
    for (size_t i = 0; i < count; i++) {
        text_addf(out, "%s\n", what);
        show_fields(&r[i], parts_skipped, out);
    }
}

static const char *words_of(const struct record *r, const char *field)
{
    const struct record_field *f = record_get(r, field);

    return f ? f->words : NULL;
}

static void add_words(const struct record *pour, struct text *out)
{
    static const char *const fields[] = {"volume", "on"};

    for (size_t i = 0; i < ARRAY_LEN(fields); i++) {
        const struct record_field *f = record_get(pour, fields[i]);

        if (f)
            text_addf(out, ", %s", record_shown(f));
    }
    text_add(out, "\n");
    if (words_of(pour, "note"))
        text_addf(out, "  note: %s\n", words_of(pour, "note"));
}

/* "poured in before exhaust 1: bath 3 old jars, 1 l, 2026-06-03" */
static void show_pours(const struct pot_sheet *s, struct text *out)
{
    for (size_t i = 0; i < s->pours; i++) {
        const struct record *r = &s->pour[i];
        const struct record_field *f = record_get(r, "before-round");
        text_add(out, "poured in");
        if (f && f->low > 0)
            text_addf(out, " before %s", f->words);
        text_addf(out, ": bath %s", words_of(r, "parent"));
        add_words(r, out);
    }
    for (size_t i = 0; i < s->intos; i++) {
        text_addf(out, "poured into bath %s", words_of(&s->into[i], "bath"));
        add_words(&s->into[i], out);
    }
}

static void add_fact(const struct record *r, const char *field,
                     struct text *out)
{
    const char *fact = show_fact(r, field);

    if (fact)
        text_addf(out, ", %s", fact);
}

/* The colour after this round, else the skein's colour now when nothing but
 * dips came since; NULL when there is none. */
static const struct ask_reading *colour_of(const struct sheet_entry *e,
                                           int64_t treatment)
{
    if (e->has_colour)
        return &e->reading;
    if (e->skein.lack == ASK_HAS_COLOUR && e->skein.dye_id == treatment)
        return &e->skein.reading;
    return NULL;
}

static const char *dips_since(const struct sheet_entry *e, int64_t treatment)
{
    return e->skein.dye_id == treatment ? e->skein.dips : NULL;
}

static void add_row(struct text_table *t, const struct sheet_entry *e,
                    int64_t treatment)
{
    const struct ask_reading *colour = colour_of(e, treatment);
    const struct record_field *part = record_get(&e->entry, "dipped");
    const char *dips = dips_since(e, treatment);
    const char *called = e->skein.code ? e->skein.code : e->skein.name;

    table_addf(t, "%s%s%s", e->skein.label, called ? " " : "",
               called ? called : "");
    if (show_fact(&e->entry, "weight"))
        table_add(t, show_fact(&e->entry, "weight"));
    else if (isnan(e->skein.weight_g))
        table_add(t, NULL);
    else
        table_addf(t, "%.4g g", e->skein.weight_g);
    table_add(t, e->mordants_much);
    table_addf(t, "%s%s%s", dips ? dips : "", dips && part ? "; " : "",
               part ? part->words : "");
    if (colour) {
        table_add_colour(t, colour->colour.lab,
                         colour_name_nearest(colour->colour.lab)->name);
        table_addf(t, "%.1f", text_round(colour->colour.lab.L, 1));
        table_addf(t, "%.1f", text_round(colour->colour.lab.a, 1));
        table_addf(t, "%.1f", text_round(colour->colour.lab.b, 1));
    } else {
        for (int i = 0; i < 4; i++)
            table_add(t, NULL);
    }
    table_add(t, e->skein.dye_id == treatment ? e->skein.own_word : NULL);
}

static void add_vat(const struct record *treatment, struct text *out)
{
    const struct record_field *dips = record_get(treatment, "dips");

    if (dips)
        text_addf(out, ", %s dip%s", dips->words, dips->low > 1 ? "s" : "");
    if (show_fact(treatment, "airing"))
        text_addf(out, ", in the air %s", show_fact(treatment, "airing"));
}

static void show_round(struct cli *cli, const struct sheet_round *r,
                       bool *measured)
{
    struct text *out = &cli->out;
    static const char *const heads[] = {"skein", "weight", "mordant",
                                        "dip",   "colour", "L*",
                                        "a*",    "b*",     "own word"};
    struct text_table t = {.columns = ARRAY_LEN(heads)};
    const struct record_field *note = record_get(&r->treatment, "note");

    round_words(&r->treatment, out);
    add_fact(&r->treatment, "on", out);
    add_fact(&r->treatment, "temperature", out);
    add_fact(&r->treatment, "minutes", out);
    if (r->ph)
        text_addf(out, ", pH %s", r->ph);
    add_fact(&r->treatment, "vessel", out);
    add_vat(&r->treatment, out);
    text_add(out, "\n");
    if (note)
        text_addf(out, "  note: %s\n", note->words);
    if (!r->entries) {
        text_add(out, "  no skein recorded\n");
        return;
    }
    for (size_t i = 0; i < ARRAY_LEN(heads); i++)
        table_add(&t, heads[i]);
    for (size_t i = 0; i < r->entries; i++) {
        add_row(&t, &r->entry[i], r->treatment.id);
        *measured = *measured || colour_of(&r->entry[i], r->treatment.id);
    }
    table_write(&t, cli->colour, cli->columns, out);
}

static void show_text(struct cli *cli, const struct pot_sheet *s,
                      const struct text *whose)
{
    struct text *out = &cli->out;
    const struct record_field *name = record_get(&s->bath, "name");
    bool measured = false;

    text_addf(out, "bath %s%.0f", text_str(whose),
              record_get(&s->bath, "number")->low);
    if (name)
        text_addf(out, " \"%s\"", name->words);
    text_addf(out, ", %s%s\n", record_get(&s->bath, "kind")->words,
              s->bath.withdrawn ? ", withdrawn" : "");
    show_fields(&s->bath, facts_skipped, out);
    show_pours(s, out);
    show_doses(s, out);
    show_parts(s->extraction, s->extractions, "drawn out", out);
    show_parts(s->ph, s->phs, "pH of the bath", out);
    for (size_t i = 0; i < s->rounds; i++) {
        text_add(out, "\n");
        show_round(cli, &s->round[i], &measured);
    }
    if (s->skips) {
        text_add(out, "\nnot recorded: ");
        for (size_t i = 0; i < s->skips; i++) {
            text_add(out, i ? ", " : "");
            ask_round_words(s->skipped[i], out);
        }
        text_add(out, "\n");
    }
    if (measured) {
        text_add(out, "\n");
        lines_add(out,
                  "Colours: CIELAB, D50, 2 degree; that after the round, else "
                  "the skein's colour now.",
                  cli->columns, 0);
    }
}

/* ---- JSON -------------------------------------------------------------------
 */

static void records_json(struct json *j, const char *name,
                         const struct record *r, size_t count)
{
    json_add_array(j, name);
    for (size_t i = 0; i < count; i++) {
        json_add_object(j, NULL);
        show_fields_json(&r[i], j);
        json_end(j);
    }
    json_end(j);
}

static void entry_json(const struct sheet_entry *e, int64_t treatment,
                       struct json *j)
{
    const struct ask_reading *colour = colour_of(e, treatment);

    json_add_object(j, NULL);
    json_add_string(j, "skein", e->skein.label);
    json_add_string(j, "code", e->skein.code);
    json_add_string(j, "mordants", e->mordants);
    json_add_string(j, "mordants_much", e->mordants_much);
    json_add_real(j, "weight_g", e->skein.weight_g, 4);
    json_add_string(j, "dips", dips_since(e, treatment));
    json_add_string(j, "own_word", e->skein.own_word);
    json_add_real(j, "L", colour ? colour->colour.lab.L : (double)NAN, 4);
    json_add_real(j, "a", colour ? colour->colour.lab.a : (double)NAN, 4);
    json_add_real(j, "b", colour ? colour->colour.lab.b : (double)NAN, 4);
    json_add_bool(j, "after_this_round", e->has_colour);
    json_add_object(j, "entry");
    show_fields_json(&e->entry, j);
    json_end(j);
    json_end(j);
}

static void show_json(struct cli *cli, const struct pot_sheet *s)
{
    struct json j = json_to(&cli->out);

    json_add_object(&j, NULL);
    json_add_string(&j, "uid", s->bath.uid);
    json_add_bool(&j, "withdrawn", s->bath.withdrawn);
    show_fields_json(&s->bath, &j);
    records_json(&j, "poured", s->pour, s->pours);
    records_json(&j, "poured_into", s->into, s->intos);
    json_add_array(&j, "doses");
    for (size_t i = 0; i < s->doses.count; i++)
        show_dose_json(&s->doses.dose[i], &j);
    json_end(&j);
    records_json(&j, "extractions", s->extraction, s->extractions);
    records_json(&j, "ph", s->ph, s->phs);
    json_add_array(&j, "rounds");
    for (size_t i = 0; i < s->rounds; i++) {
        const struct sheet_round *r = &s->round[i];
        json_add_object(&j, NULL);
        show_fields_json(&r->treatment, &j);
        json_add_string(&j, "ph", r->ph);
        json_add_array(&j, "skeins");
        for (size_t k = 0; k < r->entries; k++)
            entry_json(&r->entry[k], r->treatment.id, &j);
        json_end(&j);
        json_end(&j);
    }
    json_end(&j);
    json_add_array(&j, "not_recorded");
    for (size_t i = 0; i < s->skips; i++)
        json_add_whole(&j, NULL, s->skipped[i]);
    json_end(&j);
    json_end(&j);
}

bool show_pot(struct cli *cli, int64_t id, struct error *err)
{
    struct pot_sheet s;
    struct text whose = {0};
    bool ok = true;

    if (!sheet_of_pot(cli->book, id, &s, err))
        return false;
    if (s.bath.owner_id != book_dyer(cli->book)) {
        ok = record_label(cli->book, NOUN_DYER, s.bath.owner_id, &whose, err);
        text_add(&whose, "/");
    }
    if (ok && cli->json)
        show_json(cli, &s);
    else if (ok)
        show_text(cli, &s, &whose);
    text_clear(&whose);
    pot_sheet_clear(&s);
    return ok;
}
