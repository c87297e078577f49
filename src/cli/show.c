/* hanklab show: a skein, a pot, or any other record. */
#include "cli/sheet.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "cli/commands.h"
#include "colour/name.h"
#include "draw/terminal.h"

const char show_colour_note[] =
    "Colours: CIELAB, D50, 2 degree, unless said; \xC2\xB1 is right about 95 "
    "times in 100.\n";

const char *show_fact(const struct record *r, const char *field)
{
    const struct record_field *f = record_get(r, field);
    const char *digits = "0123456789 .,-/";

    if (!f)
        return NULL;
    return f->understood && f->field->kind != FIELD_DAY &&
                   !f->words[strspn(f->words, digits)]
               ? f->understood
               : record_shown(f);
}

/* ---- a record ---------------------------------------------------------------
 */

static bool is_skipped(const char *const *skip, const char *name)
{
    for (; skip && *skip; skip++)
        if (!strcmp(*skip, name))
            return true;
    return false;
}

const char *show_words(const struct record_field *f)
{
    size_t maker = f->words ? strcspn(f->words, " ") : 0;
    const char *model = maker && f->words[maker] ? f->words + maker + 1 : "";

    return !strcmp(f->field->name, "camera") && model[0] &&
                   !strncmp(f->words, model, maker + 1)
               ? model
               : f->words;
}

void show_fields(const struct record *r, const char *const *skip,
                 struct text *out)
{
    for (size_t i = 0; i < r->noun->field_count; i++) {
        const struct record_field *f = &r->field[i];
        if (!f->words || f->field->flags & FIELD_INNER ||
            is_skipped(skip, f->field->name))
            continue;
        text_addf(out, "  %-14s %s", f->field->name, show_words(f));
        if (f->understood)
            text_addf(out, ", read as %s", f->understood);
        text_add(out, "\n");
    }
}

/* The unit behind _low and _high, or NULL for a field that is no range. */
static const char *unit_of(enum field_kind kind)
{
    switch (kind) {
    case FIELD_WEIGHT:
        return "_g";
    case FIELD_LENGTH:
        return "_m";
    case FIELD_VOLUME:
        return "_l";
    case FIELD_HEAT:
        return "_c";
    case FIELD_MINUTES:
        return "_min";
    case FIELD_PH:
    case FIELD_DOSE:
        return "";
    case FIELD_TEXT:
    case FIELD_NAME:
    case FIELD_CODE:
    case FIELD_CHOICE:
    case FIELD_FLAG:
    case FIELD_WHOLE:
    case FIELD_REAL:
    case FIELD_DAY:
    case FIELD_ROUND:
    case FIELD_REF:
    case FIELD_LAB:
    case FIELD_SIGMA:
        return NULL;
    }
    return NULL;
}

/* "fresh-per-dry" as a key: "fresh_per_dry", with an end. */
static void key_of(const char *name, const char *end, char out[64])
{
    snprintf(out, 64, "%s%s", name, end);
    for (char *p = out; *p; p++)
        if (*p == '-')
            *p = '_';
}

static void day_json(struct json *j, const char *name,
                     const struct record_field *f)
{
    const char *days = f->understood ? f->understood : f->words;
    const char *to = days ? strstr(days, " to ") : NULL;
    char key[64], from[11] = "";

    if (days && strlen(days) >= 10 && days[4] == '-')
        snprintf(from, sizeof from, "%.10s", days);
    key_of(name, "_from", key);
    json_add_string(j, key, *from ? from : NULL);
    key_of(name, "_to", key);
    json_add_string(j, key, *from ? (to ? to + 4 : from) : NULL);
}

void show_fields_json(const struct record *r, struct json *j)
{
    for (size_t i = 0; i < r->noun->field_count; i++) {
        const struct record_field *f = &r->field[i];
        const char *unit = unit_of(f->field->kind);
        char key[64], end[16];
        key_of(f->field->name, "", key);
        if (f->field->kind == FIELD_WHOLE || f->field->kind == FIELD_REAL ||
            f->field->kind == FIELD_ROUND)
            json_add_real(j, key, f->low, 6);
        else if (f->field->kind == FIELD_FLAG && f->words)
            json_add_bool(j, key, f->low > 0);
        else
            json_add_string(j, key, f->words);
        if (f->field->kind == FIELD_DAY)
            day_json(j, f->field->name, f);
        if (!unit)
            continue;
        snprintf(end, sizeof end, "_low%s", unit);
        key_of(f->field->name, end, key);
        json_add_real(j, key, f->low, 4);
        snprintf(end, sizeof end, "_high%s", unit);
        key_of(f->field->name, end, key);
        json_add_real(j, key, f->high, 4);
    }
}

static void record_csv(const struct record *r, struct text *out)
{
    struct text_table t = {.columns = 3};

    table_add(&t, "field");
    table_add(&t, "words");
    table_add(&t, "read as");
    for (size_t i = 0; i < r->noun->field_count; i++) {
        table_add(&t, r->field[i].field->name);
        table_add(&t, r->field[i].words);
        table_add(&t, r->field[i].understood);
    }
    table_write_csv(&t, out);
}

/* Other names of a material: those it had, and those it has elsewhere. */
static bool add_aliases(struct cli *cli, int64_t material, struct error *err)
{
    struct text names = {0};
    int64_t *ids;
    size_t n;
    bool ok = record_children(cli->book, NOUN_ALIAS, "material", material, &ids,
                              &n, err);

    for (size_t i = 0; ok && i < n; i++) {
        text_add(&names, i ? ", " : "");
        ok = record_label(cli->book, NOUN_ALIAS, ids[i], &names, err);
    }
    if (ok && names.len)
        text_addf(&cli->out, "  %-14s %s\n", "also called", text_str(&names));
    text_clear(&names);
    free(ids);
    return ok;
}

static bool show_record(struct cli *cli, enum noun_id noun, int64_t id,
                        struct error *err)
{
    struct record r;
    bool ok = true;

    if (!record_read(cli->book, noun, id, &r, err))
        return false;
    if (cli->json) {
        struct json j = json_to(&cli->out);
        json_add_object(&j, NULL);
        json_add_string(&j, "noun", r.noun->name);
        json_add_string(&j, "uid", r.uid);
        json_add_bool(&j, "withdrawn", r.withdrawn);
        show_fields_json(&r, &j);
        json_end(&j);
    } else if (cli->csv) {
        record_csv(&r, &cli->out);
    } else {
        text_addf(&cli->out, "%s %s%s\n", r.noun->name, r.label,
                  r.withdrawn ? ", withdrawn" : "");
        show_fields(&r, NULL, &cli->out);
        ok = noun != NOUN_MATERIAL || add_aliases(cli, id, err);
    }
    record_clear(&r);
    return ok;
}

/* ---- parts of sheets --------------------------------------------------------
 */

/* "20 g fresh" and "20 g, fresh" say the same. */
static bool same_but_commas(const char *x, const char *y)
{
    for (;; x++, y++) {
        x += strspn(x, ", ");
        y += strspn(y, ", ");
        if (*x != *y)
            return false;
        if (!*x)
            return true;
    }
}

/* The words and how they were read; the words alone, or the reading alone,
 * when the other says no more. */
static void add_amount(const struct sheet_dose *d, struct text *out)
{
    size_t n = strlen(d->words);

    if (!d->understood || same_but_commas(d->words, d->understood))
        text_addf(out, ", %s", d->words);
    else if (!strncmp(d->understood, d->words, n) &&
             strchr(" :=,", d->understood[n]))
        text_addf(out, ", %s", d->understood);
    else if (!strncmp(d->understood, "recorded", 8))
        text_addf(out, ", %s, %s", d->words, d->understood);
    else
        text_addf(out, ", %s, read as %s", d->words, d->understood);
}

void show_dose(const struct sheet_dose *d, struct text *out)
{
    text_add(out, d->what);
    if (d->none) {
        text_add(out, ", said on purpose");
        return;
    }
    if (d->words)
        add_amount(d, out);
    else
        text_add(out, ", amount not recorded");
    if (d->state && !(d->words && text_contains(d->words, d->state)) &&
        !(d->understood && text_contains(d->understood, d->state)))
        text_addf(out, ", %s", d->state);
    if (d->known)
        text_addf(out, ", %s",
                  strcmp(d->known, "unknown") ? d->known : "not known");
    if (d->supply)
        text_addf(out, ", from %s", d->supply);
    if (!isnan(d->minute)) {
        text_add(out, ", at minute ");
        text_add_real(out, d->minute, 1);
    }
    if (d->added)
        text_addf(out, ", %s the yarn", d->added);
    if (d->from)
        text_addf(out, ", of bath %s before it was poured over", d->from);
    if (d->note)
        text_addf(out, " (%s)", d->note);
}

void show_dose_json(const struct sheet_dose *d, struct json *j)
{
    json_add_object(j, NULL);
    json_add_string(j, "material", d->what);
    json_add_string(j, "role", d->role);
    json_add_string(j, "amount", d->words);
    json_add_string(j, "understood", d->understood);
    json_add_real(j, "low_g", d->low_g, 4);
    json_add_real(j, "high_g", d->high_g, 4);
    json_add_real(j, "low_wof_pct", d->low_pct, 4);
    json_add_real(j, "high_wof_pct", d->high_pct, 4);
    json_add_string(j, "state", d->state);
    json_add_string(j, "known", d->known);
    json_add_string(j, "added", d->added);
    json_add_real(j, "minute", d->minute, 2);
    json_add_string(j, "supply", d->supply);
    json_add_whole(j, "before_round", d->before_round);
    json_add_string(j, "from_bath", d->from);
    json_add_string(j, "note", d->note);
    json_end(j);
}

static bool is_d50(const struct sheet_reading *r)
{
    return !strcmp(r->illuminant, "D50") && r->observer_deg == 2;
}

static void add_coordinate(struct text *out, const char *name, double x,
                           double u)
{
    text_addf(out, "%s %.1f", name, text_round(x, 1) + 0.0);
    if (!isnan(u))
        text_addf(out, " \xC2\xB1%.1f", text_round(2 * u, 1));
}

void show_reading(const struct sheet_reading *r, bool colour, struct text *out)
{
    if (is_d50(r) && colour) {
        block_add(out, r->lab, 3, colour);
        text_add(out, " ");
    }
    add_coordinate(out, "L*", r->lab.L, r->u.L);
    add_coordinate(out, "  a*", r->lab.a, r->u.a);
    add_coordinate(out, "  b*", r->lab.b, r->u.b);
    if (is_d50(r))
        text_addf(out, "  %s", colour_name_nearest(r->lab)->name);
    else
        text_addf(out, "  under %s, %d degree", r->illuminant, r->observer_deg);
    text_addf(out, "; %s", strcmp(r->source, "eye") ? "by " : "judged by ");
    sheet_reading_by(r, out);
    if (r->with)
        text_addf(out, ", %s", r->with);
    if (r->wet)
        text_add(out, ", wet");
    if (strcmp(r->part, "whole"))
        text_addf(out, ", %s", sheet_part_words(r->part));
    if (r->on)
        text_addf(out, ", %s", r->on);
    if (r->note)
        text_addf(out, " (%s)", r->note);
}

void show_reading_json(const struct sheet_reading *r, struct json *j)
{
    json_add_object(j, NULL);
    json_add_whole(j, "id", r->id);
    json_add_real(j, "L", r->lab.L, 4);
    json_add_real(j, "a", r->lab.a, 4);
    json_add_real(j, "b", r->lab.b, 4);
    json_add_real(j, "uL", r->u.L, 4);
    json_add_real(j, "ua", r->u.a, 4);
    json_add_real(j, "ub", r->u.b, 4);
    json_add_string(j, "illuminant", r->illuminant);
    json_add_whole(j, "observer_deg", r->observer_deg);
    json_add_string(j, "name",
                    is_d50(r) ? colour_name_nearest(r->lab)->name : NULL);
    json_add_string(j, "source", r->source);
    json_add_whole(j, "photos", r->photos);
    json_add_string(j, "with", r->with);
    json_add_bool(j, "wet", r->wet);
    json_add_string(j, "part", r->part);
    json_add_string(j, "on", r->on);
    json_add_string(j, "note", r->note);
    json_end(j);
}

bool cli_show(struct cli *cli, const struct noun *noun, int64_t id,
              struct error *err)
{
    if (noun->id == NOUN_SKEIN && !cli->csv)
        return show_skein(cli, id, err);
    if (noun->id == NOUN_BATH && !cli->csv)
        return show_pot(cli, id, err);
    return show_record(cli, noun->id, id, err);
}

/* ---- the command ------------------------------------------------------------
 */

static bool run(struct cli *cli, struct error *err)
{
    const struct noun *noun = &nouns[NOUN_SKEIN];
    const char *words = cli->word[0];
    int64_t id;

    if (cli->word_count == 2) {
        noun = noun_find(words);
        if (!noun)
            return cli_usage(
                cli, err,
                "there is nothing called \"%s\" to show; say skein, "
                "bath, material ...",
                words);
        words = cli->word[1];
    } else if (noun_find(words)) {
        return cli_usage(cli, err, "say which: hanklab show %s NUMBER", words);
    }
    if (!cli_book(cli, err))
        return false;
    if (!record_find_shown(cli->book, noun->id, words, &id, err)) {
        struct error why;
        if (cli->word_count == 2 || err->kind != ERR_MISSING)
            return false;
        noun = &nouns[NOUN_BATH];
        if (!record_find_shown(cli->book, noun->id, words, &id, &why))
            return why.kind == ERR_MISSING
                       ? error_set(err, ERR_MISSING,
                                   "there is no skein and no bath \"%s\" in "
                                   "the book",
                                   words)
                       : (*err = why, false);
    }
    return cli_show(cli, noun, id, err);
}

const struct cli_command command_show = {
    "show",
    "[WHAT] WHICH",
    "show a skein, a pot, or whatever else is kept",
    "WHICH is a skein by number, code or name, or a pot by name: hanklab show\n"
    "137. With WHAT before it, it is one of those: hanklab show bath 14,\n"
    "hanklab show material madder, hanklab show reading 3. A skein comes with\n"
    "its life and readings, a bath with its rounds and skeins.",
    NULL,
    0,
    1,
    2,
    run,
};
