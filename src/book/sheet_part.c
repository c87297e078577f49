/* Parts of the sheets: doses with their grams, readings, pH. See book/sheet.h.
 */
#include "book/sheet_part.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "book/pot.h"
#include "book/pot_work.h"
#include "book/store.h"
#include "dye/amount.h"
#include "dye/substance.h"

static char *text_at(struct stmt *q, int column)
{
    return stmt_is_null(q, column) ? NULL : mem_text(stmt_get_text(q, column));
}

/* ---- doses ------------------------------------------------------------------
 */

/* Columns of SQL_SHEET_DOSE. */
enum {
    D_ID,
    D_WHAT,
    D_LATIN,
    D_NONE,
    D_ROLE,
    D_WORDS,
    D_UNIT,
    D_LOW,
    D_HIGH,
    D_STATE,
    D_KNOWN,
    D_ADDED,
    D_MINUTE,
    D_BEFORE,
    D_NOTE,
    D_SUPPLY,
    D_BATH,
    D_TREATMENT,
    D_FIBRE_ROUND, /* whose fibre it was for; -1: all, of a vat */
    D_FROM
};

struct loose_dose { /* with what is needed to reckon it */
    struct sheet_dose dose;
    struct amount amount;
    int64_t bath, treatment;
    int fibre_round;
    bool record_only;
};

static enum amount_unit unit_of(const char *word)
{
    if (!word || !*word)
        return AMOUNT_WORDS;
    if (!strcmp(word, "g"))
        return AMOUNT_G;
    if (!strcmp(word, "ml"))
        return AMOUNT_ML;
    return strcmp(word, "wof_pct") ? AMOUNT_PER_FIBRE : AMOUNT_WOF_PCT;
}

/* The amount as it was understood when it was typed; its words say only how
 * exact it is and which side of a ratio came first. */
static struct amount amount_at(struct stmt *q)
{
    struct amount_context ctx = {AMOUNT_G, false};
    struct amount a = {.unit = AMOUNT_WORDS}, typed;
    struct error none;
    const char *words = stmt_get_text(q, D_WORDS);

    if (words && *words && amount_read(words, ctx, &typed, &none))
        a = typed;
    a.unit = unit_of(stmt_get_text(q, D_UNIT));
    a.low = stmt_get_real(q, D_LOW);
    a.high = stmt_get_real(q, D_HIGH);
    a.sides_stated = true; /* how to say the other order was told then */
    return a;
}

static struct loose_dose dose_at(struct stmt *q)
{
    const char *latin =
        stmt_is_null(q, D_LATIN) ? NULL : stmt_get_text(q, D_LATIN);
    struct loose_dose d = {
        .dose =
            {
                .id = stmt_get_int(q, D_ID),
                .what = text_at(q, D_WHAT),
                .role = text_at(q, D_ROLE),
                .words = text_at(q, D_WORDS),
                .state = text_at(q, D_STATE),
                .known = text_at(q, D_KNOWN),
                .added = text_at(q, D_ADDED),
                .minute = stmt_get_real(q, D_MINUTE),
                .before_round = (int)stmt_get_int(q, D_BEFORE),
                .note = text_at(q, D_NOTE),
                .supply = NULL,
                .from = text_at(q, D_FROM),
                .none = stmt_get_int(q, D_NONE) != 0,
                .low_g = (double)NAN,
                .high_g = (double)NAN,
                .low_pct = (double)NAN,
                .high_pct = (double)NAN,
            },
        .amount = amount_at(q),
        .bath = stmt_get_int(q, D_BATH),
        .treatment = stmt_get_int(q, D_TREATMENT),
        .fibre_round = (int)stmt_get_int(q, D_FIBRE_ROUND),
    };

    if (!d.dose.state)
        d.dose.state = mem_text(pot_state_of(&d.amount));
    d.record_only = substance_record_only(d.dose.what, latin);
    return d;
}

/* Grams, percent and the words for them, on the fibre the dose was for. */
static bool reckon(struct book *book, struct loose_dose *d, struct error *err)
{
    struct pot_fibre fibre;
    char line[200];

    if (!d->dose.words || d->dose.none)
        return true;
    if (d->record_only) {
        d->dose.understood = mem_text("recorded, never reckoned");
        return true;
    }
    if (d->treatment
            ? !pot_fibre_of(book, d->treatment, &fibre, err)
            : !pot_fibre_of_round(book, d->bath, d->fibre_round, &fibre, err))
        return false;
    amount_grams(&d->amount, fibre.g, &d->dose.low_g, &d->dose.high_g);
    amount_wof_pct(&d->amount, fibre.g, &d->dose.low_pct, &d->dose.high_pct);
    if (d->amount.unit == AMOUNT_WORDS)
        return true;
    amount_echo(&d->amount, fibre.g, line, sizeof line);
    if (strcmp(line, d->dose.words))
        d->dose.understood = mem_text(line);
    return true;
}

static bool take_doses(struct book *book, struct stmt *q,
                       struct sheet_doses *out, struct error *err)
{
    struct loose_dose *all = NULL;
    int64_t *supply = NULL;
    size_t n = 0;
    bool row, ok;

    while ((ok = stmt_step(q, &row, err)) && row) {
        all = mem_resize(all, n + 1, sizeof *all);
        supply = mem_resize(supply, n + 1, sizeof *supply);
        supply[n] = stmt_get_int(q, D_SUPPLY);
        all[n++] = dose_at(q);
    }
    stmt_done(q);
    out->dose = mem_resize(out->dose, out->count + n + 1, sizeof *out->dose);
    for (size_t i = 0; i < n; i++) {
        struct text label = {0};
        ok = ok && reckon(book, &all[i], err);
        if (ok && supply[i])
            ok = record_label(book, NOUN_SUPPLY, supply[i], &label, err);
        all[i].dose.supply = supply[i] ? text_take(&label) : NULL;
        all[i].dose.supply_id = supply[i];
        text_clear(&label);
        out->dose[out->count++] = all[i].dose;
    }
    free(all);
    free(supply);
    return ok;
}

static bool doses_by(struct book *book, enum stmt_id which, int64_t of,
                     struct sheet_doses *out, struct error *err)
{
    struct stmt q;

    if (!stmt_begin(book, which, &q, err))
        return false;
    stmt_int(&q, ":of", of);
    return take_doses(book, &q, out, err);
}

bool sheet_doses_of(struct book *book, int64_t treatment,
                    struct sheet_doses *out, struct error *err)
{
    *out = (struct sheet_doses){0};
    return doses_by(book, STMT_SHEET_DOSES_IN, treatment, out, err);
}

bool sheet_doses_of_bath(struct book *book, int64_t bath,
                         struct sheet_doses *out, struct error *err)
{
    *out = (struct sheet_doses){0};
    return doses_by(book, STMT_SHEET_DOSES_OF_BATH, bath, out, err);
}

bool sheet_doses_of_supply(struct book *book, int64_t supply,
                           struct sheet_doses *out, struct error *err)
{
    *out = (struct sheet_doses){0};
    return doses_by(book, STMT_SHEET_DOSES_OF_SUPPLY, supply, out, err);
}

void sheet_doses_clear(struct sheet_doses *doses)
{
    for (size_t i = 0; i < doses->count; i++) {
        struct sheet_dose *d = &doses->dose[i];
        free(d->what);
        free(d->role);
        free(d->words);
        free(d->understood);
        free(d->state);
        free(d->known);
        free(d->added);
        free(d->supply);
        free(d->note);
        free(d->from);
    }
    free(doses->dose);
    *doses = (struct sheet_doses){0};
}

/* ---- readings ---------------------------------------------------------------
 */

static struct lab lab_at(struct stmt *q, int column)
{
    return (struct lab){stmt_get_real(q, column), stmt_get_real(q, column + 1),
                        stmt_get_real(q, column + 2)};
}

bool sheet_readings_of(struct book *book, int64_t skein,
                       struct sheet_readings *out, struct error *err)
{
    struct stmt q;
    bool row, ok;

    *out = (struct sheet_readings){0};
    if (!stmt_begin(book, STMT_SHEET_READINGS, &q, err))
        return false;
    stmt_int(&q, ":of", skein);
    while ((ok = stmt_step(&q, &row, err)) && row) {
        struct lab var = lab_at(&q, 5);
        out->reading =
            mem_resize(out->reading, out->count + 1, sizeof *out->reading);
        out->reading[out->count++] = (struct sheet_reading){
            .id = stmt_get_int(&q, 0),
            .after_entry_id = stmt_get_int(&q, 1),
            .lab = lab_at(&q, 2),
            .u = {sqrt(var.L), sqrt(var.a), sqrt(var.b)},
            .level = lab_at(&q, 8),
            .wet = stmt_get_int(&q, 11) != 0,
            .part = text_at(&q, 12),
            .illuminant = text_at(&q, 13),
            .observer_deg = (int)stmt_get_int(&q, 14),
            .source = text_at(&q, 15),
            .with = text_at(&q, 16),
            .on = text_at(&q, 17),
            .note = text_at(&q, 18),
            .photos = (int)stmt_get_int(&q, 19),
        };
    }
    stmt_done(&q);
    return ok;
}

void sheet_reading_by(const struct sheet_reading *r, struct text *out)
{
    if (r->photos > 1)
        text_addf(out, "%d photos", r->photos);
    else
        text_add(out, r->source);
}

static void reading_clear(struct sheet_reading *r)
{
    free(r->part);
    free(r->illuminant);
    free(r->source);
    free(r->with);
    free(r->on);
    free(r->note);
}

void sheet_readings_clear(struct sheet_readings *readings)
{
    for (size_t i = 0; i < readings->count; i++)
        reading_clear(&readings->reading[i]);
    free(readings->reading);
    *readings = (struct sheet_readings){0};
}

/* ---- records ----------------------------------------------------------------
 */

bool sheet_records(struct book *book, enum noun_id noun, const char *field,
                   int64_t of, struct record **out, size_t *count,
                   struct error *err)
{
    int64_t *ids;
    size_t n;
    bool ok = record_children(book, noun, field, of, &ids, &n, err);

    *count = 0;
    *out = mem_new(n, sizeof **out);
    for (size_t i = 0; ok && i < n; i++) {
        ok = record_read(book, noun, ids[i], &(*out)[i], err);
        *count += ok;
    }
    free(ids);
    return ok;
}

const char *sheet_part_words(const char *part)
{
    static const char *const rows[][2] = {{"covered", "covered part"},
                                          {"exposed", "exposed part"},
                                          {"dipped", "dipped part"},
                                          {"rest", "the rest of it"}};

    for (size_t i = 0; i < ARRAY_LEN(rows); i++)
        if (!strcmp(part, rows[i][0]))
            return rows[i][1];
    return part;
}

void sheet_records_clear(struct record *records, size_t count)
{
    for (size_t i = 0; i < count; i++)
        record_clear(&records[i]);
    free(records);
}

bool sheet_ph_of(struct book *book, int64_t treatment, char **out,
                 struct error *err)
{
    struct text t = {0};
    struct stmt q;
    bool row, ok;

    *out = NULL;
    if (!stmt_begin(book, STMT_SHEET_PH, &q, err))
        return false;
    stmt_int(&q, ":of", treatment);
    while ((ok = stmt_step(&q, &row, err)) && row) {
        text_add(&t, t.len ? " and " : "");
        text_add(&t, stmt_get_text(&q, 0));
    }
    stmt_done(&q);
    *out = t.len ? text_take(&t) : NULL;
    return ok;
}
