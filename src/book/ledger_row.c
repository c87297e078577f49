/* One row of a list: the skein, and what was done to it. See ledger_work.h. */
#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "base/day.h"
#include "base/mem.h"
#include "base/parts.h"
#include "book/ledger_work.h"

/* ---- words --------------------------------------------------------------- */

/* A dash for nothing. */
static bool is_dash(const char *words)
{
    return !strcmp(words, "-") || !strcmp(words, "--") ||
           !strcmp(words, "\xE2\x80\x93") || !strcmp(words, "\xE2\x80\x94");
}

/* How many bytes a vulgar fraction or a long dash has here; 0: none. */
static size_t sign_at(const char *s)
{
    const unsigned char *p = (const unsigned char *)s;

    if (p[0] == 0xC2 && p[1] >= 0xBC && p[1] <= 0xBE) /* 1/4, 1/2, 3/4 */
        return 2;
    if (p[0] == 0xE2 && p[1] == 0x85 && p[2] >= 0x90 && p[2] <= 0x9E)
        return 3; /* 1/7 to 7/8 */
    return p[0] == 0xE2 && p[1] == 0x80 && p[2] == 0x93 ? 3 : 0;
}

/* A number, a range or a fraction without any unit. */
static bool is_bare(const char *words)
{
    bool any = false;

    for (const char *p = words; *p;) {
        size_t n = sign_at(p);
        if (!n && !strchr("0123456789., /-", *p))
            return false;
        any = any || n || (*p >= '0' && *p <= '9');
        p += n ? n : 1;
    }
    return any;
}

static bool needs_unit(enum ledger_id id)
{
    return !strcmp(ledger_fields[id].units,
                   ledger_fields[LEDGER_DYESTUFF_AMOUNT].units);
}

/* A bare number with the unit of its column. */
static const char *with_unit(struct ledger_row *r, enum ledger_id id,
                             const char *words, const char *unit)
{
    if (!*unit || strchr(unit, '/') || !is_bare(words))
        return words;
    text_reset(&r->with_unit[id]);
    text_addf(&r->with_unit[id], "%s %s", words, unit);
    return text_str(&r->with_unit[id]);
}

bool ledger_row_words(struct taking *t, size_t row, struct ledger_row *out)
{
    bool any = false;

    out->row = row;
    for (size_t i = 0; i < LEDGER_IDS; i++) {
        int c = t->column[i];
        const char *words = c < 0 ? "" : ledger_cell(t->l, row, (size_t)c);
        bool own = *words && !is_dash(words);
        any = any || own;
        out->said[i] =
            own ? with_unit(out, (enum ledger_id)i, words, t->l->column[c].unit)
                : t->l->all[i];
    }
    return any;
}

void ledger_row_clear(struct ledger_row *r)
{
    for (size_t i = 0; i < LEDGER_IDS; i++)
        text_clear(&r->with_unit[i]);
}

bool ledger_row_dyer(struct taking *t, struct ledger_row *r, struct error *err)
{
    const char *words = r->said[LEDGER_DYER];
    bool is_new;
    size_t at;

    r->dyer_id = t->book->dyer_id;
    if (!words)
        return true;
    at = word_map_at(&t->dyer_of, words, &is_new);
    if (is_new) {
        t->dyer = mem_room(t->dyer, at, sizeof *t->dyer);
        if (!record_find(t->book, NOUN_DYER, words, &t->dyer[at], err))
            t->dyer[at] = 0;
    }
    r->dyer_id = t->dyer[at];
    return r->dyer_id ||
           error_set(err, ERR_MISSING,
                     "dyer: there is no dyer \"%.60s\" in the book: add her "
                     "first, or leave the column out if all are yours",
                     words);
}

/* ---- the skein ----------------------------------------------------------- */

/* The yarn, looked up once for all rows that have it. */
static bool add_fibre(struct taking *t, const struct ledger_row *r,
                      struct error *err)
{
    const char *words = r->said[LEDGER_FIBRE];
    bool is_new;
    size_t at;

    if (!words)
        return true;
    at = word_map_at(&t->fibre_of, words, &is_new);
    if (is_new) {
        t->fibre = mem_room(t->fibre, at, sizeof *t->fibre);
        t->fibre[at] = 0;
    }
    if (t->fibre[at]) {
        cells_int(t->cells, "fibre_id", t->fibre[at]);
        return true;
    }
    text_reset(&t->echo);
    if (!field_read(t->book, noun_field(&nouns[NOUN_SKEIN], "fibre"), words,
                    t->cells, &t->echo, err))
        return false;
    if (t->echo.len) { /* "fibre: ... is new" */
        text_reset(&t->text);
        text_addf(&t->text, "%s, a yarn", words);
        ledger_tell(&t->out->made, 0, text_str(&t->text));
    }
    t->fibre[at] = cells_get(t->cells, "fibre_id")->whole;
    return true;
}

/* The words of all columns that go into the note; what is headed so has no
 * heading before it. */
static void gather_note(struct taking *t, const struct ledger_row *r)
{
    text_reset(&t->text);
    for (size_t c = 0; c < t->l->columns; c++) {
        const struct ledger_column *column = &t->l->column[c];
        const char *words = ledger_cell(t->l, r->row, c);
        if (!*words ||
            (column->is != LEDGER_NOTE && !(t->l->rest && column->is < 0)))
            continue;
        text_add(&t->text, t->text.len ? "\n" : "");
        if (!column->says_note) {
            text_add(&t->text, column->heading);
            text_add(&t->text, ": ");
        }
        text_add(&t->text, words);
    }
}

static bool make_skein(struct taking *t, const struct ledger_row *r,
                       int64_t *skein, double *fibre_g, struct error *err)
{
    static const struct {
        enum ledger_id id;
        const char *field;
    } rows[] = {{LEDGER_NAME, "name"},       {LEDGER_NUMBER, "number"},
                {LEDGER_CODE, "code"},       {LEDGER_WEIGHT, "weight"},
                {LEDGER_WEIGHED, "weighed"}, {LEDGER_LENGTH, "length"},
                {LEDGER_COLOUR, "colour"},   {LEDGER_PLACE, "place"}};
    const struct cell *low, *high;

    ledger_begin(t, r, NOUN_SKEIN);
    for (size_t i = 0; i < ARRAY_LEN(rows); i++)
        if (r->said[rows[i].id] &&
            !ledger_read(t, r, rows[i].id, NOUN_SKEIN, rows[i].field,
                         r->said[rows[i].id], err))
            return false;
    if (!add_fibre(t, r, err))
        return false;
    gather_note(t, r);
    if (!field_read(t->book, noun_field(&nouns[NOUN_SKEIN], "note"),
                    text_str(&t->text), t->cells, NULL, err))
        return false;
    low = cells_get(t->cells, "weight_low_g");
    high = cells_get(t->cells, "weight_high_g");
    *fibre_g = low && low->kind == CELL_REAL && high->kind == CELL_REAL
                   ? (low->real + high->real) / 2
                   : (double)NAN;
    return ledger_put(t, NOUN_SKEIN, true, skein, err) &&
           ledger_code(t, r, *skein, err);
}

/* ---- what was done ------------------------------------------------------- */

bool ledger_facts(struct taking *t, const struct ledger_row *r,
                  const char *const said[LEDGER_IDS], struct error *err)
{
    static const struct {
        enum ledger_id id;
        const char *field;
    } rows[] = {{LEDGER_TEMPERATURE, "temperature"},
                {LEDGER_MINUTES, "minutes"},
                {LEDGER_VESSEL, "vessel"}};

    if (said[LEDGER_DATE] && !ledger_day(t, r, said[LEDGER_DATE], err))
        return false;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++)
        if (said[rows[i].id] &&
            !ledger_read(t, r, rows[i].id, NOUN_TREATMENT, rows[i].field,
                         said[rows[i].id], err))
            return false;
    return true;
}

bool ledger_ph_add(struct taking *t, const struct ledger_row *r,
                   const char *words, int64_t bath, int64_t treatment,
                   struct error *err)
{
    int64_t id;

    if (!words)
        return true;
    cells_clear(t->cells);
    if (bath)
        cells_int(t->cells, "bath_id", bath);
    cells_int(t->cells, "treatment_id", treatment);
    return ledger_read(t, r, LEDGER_PH, NOUN_PH, "ph", words, err) &&
           ledger_put(t, NOUN_PH, false, &id, err);
}

static bool enter(struct taking *t, int64_t treatment, int64_t skein, int place,
                  int64_t *entry, struct error *err)
{
    cells_clear(t->cells);
    cells_int(t->cells, "treatment_id", treatment);
    cells_int(t->cells, "skein_id", skein);
    cells_real(t->cells, "place", place);
    return ledger_put(t, NOUN_ENTRY, false, entry, err);
}

/* A treatment of this skein alone. */
static bool make_treatment(struct taking *t, const struct ledger_row *r,
                           const char *kind, bool facts, int64_t *out,
                           struct error *err)
{
    ledger_begin(t, r, NOUN_TREATMENT);
    cells_text(t->cells, "kind", kind);
    if (!strcmp(kind, "dye") && r->said[LEDGER_ROUND] &&
        !ledger_read(t, r, LEDGER_ROUND, NOUN_TREATMENT, "round",
                     r->said[LEDGER_ROUND], err))
        return false;
    return (!facts || ledger_facts(t, r, r->said, err)) &&
           ledger_put(t, NOUN_TREATMENT, false, out, err) &&
           (!facts || ledger_ph_add(t, r, r->said[LEDGER_PH], 0, *out, err));
}

/* Which of them day, heat and pH belong to. */
static const char *main_step(const struct ledger_row *r, bool mordanted,
                             bool dipped)
{
    const char *const *s = r->said;

    if (s[LEDGER_DYESTUFF] || s[LEDGER_POT] || s[LEDGER_ROUND] ||
        s[LEDGER_ACID] || s[LEDGER_ALKALI])
        return "dye";
    if (mordanted)
        return "mordant";
    if (dipped)
        return "dip";
    return s[LEDGER_DATE] || s[LEDGER_TEMPERATURE] || s[LEDGER_MINUTES] ||
                   s[LEDGER_VESSEL] || s[LEDGER_PH] || s[LEDGER_ASSIST]
               ? "dye"
               : "";
}

static bool dye(struct taking *t, struct ledger_row *r, bool assist,
                int64_t skein, double fibre_g, int64_t *entry,
                struct error *err)
{
    bool shared = t->row_round[r->row] != SIZE_MAX;
    int64_t bath = 0, treatment;
    static const enum ledger_id own[] = {LEDGER_DYESTUFF, LEDGER_ACID,
                                         LEDGER_ALKALI};

    if (shared ? !ledger_pot_open(t, r, &bath, &treatment, err)
               : !make_treatment(t, r, "dye", true, &treatment, err))
        return false;
    for (size_t i = 0; !shared && i < ARRAY_LEN(own); i++)
        if (!ledger_doses_add(t, r, r->said, own[i], 0, treatment, fibre_g,
                              err))
            return false;
    return (!assist || ledger_doses_add(t, r, r->said, LEDGER_ASSIST, 0,
                                        treatment, fibre_g, err)) &&
           enter(t, treatment, skein, 2, entry, err);
}

static bool mordant(struct taking *t, const struct ledger_row *r, bool facts,
                    int64_t skein, double fibre_g, int64_t *entry,
                    struct error *err)
{
    int64_t treatment;

    return make_treatment(t, r, "mordant", facts, &treatment, err) &&
           ledger_doses_add(t, r, r->said, LEDGER_MORDANT, 0, treatment,
                            fibre_g, err) &&
           ledger_doses_add(t, r, r->said, LEDGER_ASSIST, 0, treatment, fibre_g,
                            err) &&
           enter(t, treatment, skein, 1, entry, err);
}

static bool dip(struct taking *t, const struct ledger_row *r, bool facts,
                int64_t skein, double fibre_g, int64_t *entry,
                struct error *err)
{
    int64_t treatment;

    return make_treatment(t, r, "dip", facts, &treatment, err) &&
           ledger_doses_add(t, r, r->said, LEDGER_DIP, 0, treatment, fibre_g,
                            err) &&
           enter(t, treatment, skein, 3, entry, err);
}

/* Whether a cell names anything: "unknown" does not, and no dip is none. */
static bool names_any(struct taking *t, const struct ledger_row *r,
                      enum ledger_id id, bool *any, struct error *err)
{
    const struct ledger_doses *d;

    *any = r->said[id] && (id != LEDGER_DIP || !text_same(r->said[id], "none"));
    if (!*any)
        return true;
    if (!ledger_doses_read(t, id, r->said[id], &d, err))
        return false;
    *any = d->list.count > 0;
    return true;
}

static bool add_life(struct taking *t, struct ledger_row *r, int64_t skein,
                     double fibre_g, int64_t *entry, struct error *err)
{
    bool mordanted, dipped;
    const char *main;

    if (!names_any(t, r, LEDGER_MORDANT, &mordanted, err) ||
        !names_any(t, r, LEDGER_DIP, &dipped, err))
        return false;
    main = main_step(r, mordanted, dipped);
    if (!mordanted && r->said[LEDGER_MORDANT_AMOUNT])
        return error_set(err, ERR_INPUT, "mordant-amount: \"%.60s\" of what?",
                         r->said[LEDGER_MORDANT_AMOUNT]);
    return (!mordanted || mordant(t, r, !strcmp(main, "mordant"), skein,
                                  fibre_g, entry, err)) &&
           (strcmp(main, "dye") != 0 ||
            dye(t, r, !mordanted, skein, fibre_g, entry, err)) &&
           (!dipped ||
            dip(t, r, !strcmp(main, "dip"), skein, fibre_g, entry, err));
}

/* ---- its colour ---------------------------------------------------------- */

/* A number as a sheet writes it: a decimal comma, a long minus. */
static void add_number(struct text *out, const char *words)
{
    for (const char *p = words; *p; p++)
        if (!strncmp(p, "\xE2\x88\x92", 3)) {
            text_add(out, "-");
            p += 2;
        } else {
            text_add_n(out, *p == ',' ? "." : p, 1);
        }
}

static bool lab_words(struct taking *t, const struct ledger_row *r,
                      const char **out, struct error *err)
{
    const char *const *s = r->said;

    *out = s[LEDGER_LAB];
    if (!s[LEDGER_L] && !s[LEDGER_A] && !s[LEDGER_B])
        return true;
    if (s[LEDGER_LAB])
        return error_set(err, ERR_INPUT, "lab: the colour is said twice");
    text_reset(&t->text);
    for (int id = LEDGER_L; id <= LEDGER_B; id++) {
        if (!s[id])
            return error_set(err, ERR_INPUT,
                             "%s: a colour has L, a and b: one is missing",
                             ledger_fields[id].name);
        text_add(&t->text, id > LEDGER_L ? "," : "");
        add_number(&t->text, s[id]);
    }
    *out = text_str(&t->text);
    return true;
}

/* "D65", or "D65/10" with the observer in it. */
static bool add_light(struct taking *t, const struct ledger_row *r,
                      struct error *err)
{
    const char *words = r->said[LEDGER_ILLUMINANT];
    char *light, *observer;
    bool both, ok;

    if (!words)
        return true;
    both = field_light(words, &light, &observer);
    ok = ledger_read(t, r, LEDGER_ILLUMINANT, NOUN_READING, "illuminant",
                     both ? light : words, err) &&
         (!both || ledger_read(t, r, LEDGER_OBSERVER, NOUN_READING, "observer",
                               observer, err));
    free(light);
    free(observer);
    return ok;
}

static bool add_reading(struct taking *t, const struct ledger_row *r,
                        int64_t skein, int64_t entry, struct error *err)
{
    static const struct {
        enum ledger_id id;
        const char *field;
    } rows[] = {{LEDGER_SOURCE, "source"},
                {LEDGER_OBSERVER, "observer"},
                {LEDGER_GEOMETRY, "geometry"},
                {LEDGER_INSTRUMENT, "instrument"}};
    const char *lab;
    int64_t id;

    if (!lab_words(t, r, &lab, err))
        return false;
    if (!lab)
        return true;
    ledger_begin(t, r, NOUN_READING);
    cells_int(t->cells, "skein_id", skein);
    if (entry)
        cells_int(t->cells, "after_entry_id", entry);
    if (!ledger_read(t, r, LEDGER_LAB, NOUN_READING, "lab", lab, err))
        return false;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++)
        if (r->said[rows[i].id] &&
            !ledger_read(t, r, rows[i].id, NOUN_READING, rows[i].field,
                         r->said[rows[i].id], err))
            return false;
    if (!add_light(t, r, err))
        return false;
    return ledger_put(t, NOUN_READING, true, &id, err);
}

/* An amount whose unit nobody said is not taken for grams. */
static bool units_said(const struct taking *t, const struct ledger_row *r,
                       struct error *err)
{
    for (size_t i = 0; i < LEDGER_IDS; i++)
        if (r->said[i] && needs_unit((enum ledger_id)i) &&
            is_bare(r->said[i]) && t->column[i] >= 0)
            return error_set(err, ERR_INPUT,
                             "%s: is \"%.40s\" percent or grams? Say the unit "
                             "of the column \"%.60s\"",
                             ledger_fields[i].name, r->said[i],
                             t->l->column[t->column[i]].heading);
    return true;
}

bool ledger_row_take(struct taking *t, struct ledger_row *r, int64_t *skein,
                     struct error *err)
{
    double fibre_g;
    int64_t entry = 0;

    return ledger_row_dyer(t, r, err) && units_said(t, r, err) &&
           make_skein(t, r, skein, &fibre_g, err) &&
           add_life(t, r, *skein, fibre_g, &entry, err) &&
           add_reading(t, r, *skein, entry, err);
}
