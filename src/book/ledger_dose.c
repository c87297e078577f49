/* What went in, by the cells of a list. See ledger_work.h. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "book/ledger_work.h"
#include "dye/substance.h"

const struct ledger_role ledger_roles[] = {
    {LEDGER_MORDANT, "mordant"},   {LEDGER_ASSIST, "assist"},
    {LEDGER_DYESTUFF, "dyestuff"}, {LEDGER_ACID, "acid"},
    {LEDGER_ALKALI, "alkali"},     {LEDGER_DIP, "dip"},
};
const size_t ledger_role_count = ARRAY_LEN(ledger_roles);

static const char *kind_of(enum ledger_id id)
{
    for (size_t i = 0; i < ledger_role_count; i++)
        if (ledger_roles[i].id == id)
            return ledger_roles[i].kind;
    return "";
}

/* The columns of a dose as far as its words say them. */
static bool fill_cells(struct taking *t, const struct pot_dose *d,
                       struct cells *cells, struct error *err)
{
    static const char *const field[DOSE_KEYS] = {
        "amount", "state",  "fresh-per-dry", "supply",
        "added",  "minute", "known",         "note"};

    cells_int(cells, "material_id", d->material_id);
    cells_text(cells, "role", d->role);
    for (size_t i = 0; i < DOSE_KEYS; i++)
        if (d->value[i] &&
            !field_read(t->book, noun_field(&nouns[NOUN_DOSE], field[i]),
                        d->value[i], cells, NULL, err))
            return pot_blame(err, "%s", d->material);
    return true;
}

static void read_doses(struct taking *t, enum ledger_id id, const char *words,
                       struct ledger_doses *out)
{
    const struct pot_words said = {&words, 1};
    bool ok =
        pot_doses_read(&t->work, said, kind_of(id), &out->list, &out->why);

    out->cells = mem_new(out->list.count, sizeof(struct cells *));
    for (size_t i = 0; ok && i < out->list.count; i++) {
        out->cells[i] = mem_new(1, sizeof *out->cells[i]);
        ok = pot_dose_warn(&t->work, out->list.dose[i], &out->why) &&
             fill_cells(t, out->list.dose[i], out->cells[i], &out->why);
    }
    if (ok)
        out->why.kind = ERR_NONE; /* what was not found may have been made */
}

bool ledger_doses_read(struct taking *t, enum ledger_id id, const char *words,
                       const struct ledger_doses **out, struct error *err)
{
    struct text key = {0};
    bool is_new;
    size_t at;

    text_add(&key, kind_of(id));
    text_add(&key, "\n");
    text_add(&key, words);
    at = word_map_at(&t->doses_of, text_str(&key), &is_new);
    text_clear(&key);
    if (is_new) {
        struct ledger_doses d = {0};
        read_doses(t, id, words, &d);
        t->doses = mem_room(t->doses, at, sizeof *t->doses);
        t->doses[at] = d;
    }
    *out = &t->doses[at];
    if (t->doses[at].why.kind == ERR_NONE)
        return true;
    *err = t->doses[at].why;
    return false;
}

/* An amount in a cell of its own, with what it says of the state. */
static bool add_amount(struct taking *t, const struct ledger_row *r,
                       const struct ledger_doses *d, enum ledger_id id,
                       const char *words, struct amount *amount,
                       struct error *err)
{
    const char *kind = kind_of(id);
    struct pot_dose one;
    bool ok;

    if (d->list.count != 1 || d->list.dose[0]->value[DOSE_AMOUNT])
        return error_set(err, ERR_INPUT,
                         d->list.count == 1
                             ? "%s: the amount is said twice, beside the name "
                               "and in a cell of its own"
                             : "%s: one amount for several; say each with its "
                               "own, as in \"alum: 12 %%, iron: 2 %%\"",
                         kind);
    one = *d->list.dose[0];
    one.value[DOSE_AMOUNT] = words;
    ok = ledger_read(t, r, (enum ledger_id)(id + 1), NOUN_DOSE, "amount", words,
                     err) &&
         pot_dose_amount(&one, kind, err) &&
         (!one.value[DOSE_STATE] ||
          field_read(t->book, noun_field(&nouns[NOUN_DOSE], "state"),
                     one.value[DOSE_STATE], t->cells, NULL, err)) &&
         (!one.value[DOSE_KNOWN] ||
          field_read(t->book, noun_field(&nouns[NOUN_DOSE], "known"),
                     one.value[DOSE_KNOWN], t->cells, NULL, err));
    *amount = one.amount;
    return ok;
}

/* An amount far from the usual is asked about, not refused. */
static void question(struct taking *t, const struct ledger_row *r,
                     const struct pot_dose *d, const struct amount *amount,
                     double fibre_g)
{
    double low, high;
    struct text q = {0};

    if (substance_record_only(d->material, d->latin) ||
        !amount_wof_pct(amount, fibre_g, &low, &high) ||
        !substance_question(d->material, low, high, NULL, &q))
        return;
    text_reset(&t->text);
    text_addf(&t->text, "%s: ", d->material);
    text_add_real(&t->text, (low + high) / 2, 1);
    text_addf(&t->text, " %% of the fibre; %s It is kept as typed.",
              text_str(&q));
    ledger_tell(&t->out->note, t->l->line[r->row], text_str(&t->text));
    text_clear(&q);
}

bool ledger_doses_add(struct taking *t, const struct ledger_row *r,
                      const char *const said[LEDGER_IDS], enum ledger_id id,
                      int64_t bath, int64_t treatment, double fibre_g,
                      struct error *err)
{
    const char *amount_words = said[id + 1];
    const char *names = said[id];
    const struct ledger_doses *d;
    struct text name = {0};
    int64_t dose;
    bool ok;

    if (!names)
        return !amount_words ||
               error_set(err, ERR_INPUT, "%s: \"%.60s\" of what?",
                         ledger_fields[id + 1].name, amount_words);
    if (amount_words && !strpbrk(names, ":;")) {
        /* With its amount beside it, "old jar 3" is a name. */
        text_addf(&name, "%s:", names);
        names = text_str(&name);
    }
    ok = ledger_doses_read(t, id, names, &d, err);
    text_clear(&name);
    if (!ok)
        return false;
    if (amount_words && !d->list.count)
        return error_set(err, ERR_INPUT,
                         "%s: \"%.60s\" of what? Give it a name of your own",
                         ledger_fields[id].name, amount_words);
    if (amount_words && d->list.dose[0]->none &&
        !amount_words[strspn(amount_words, "0.,% g")])
        amount_words = NULL; /* nothing of no mordant */
    for (size_t i = 0; i < d->list.count; i++) {
        struct amount amount = d->list.dose[i]->amount;
        cells_copy(t->cells, d->cells[i]);
        cells_int(t->cells, bath ? "bath_id" : "treatment_id",
                  bath ? bath : treatment);
        if ((amount_words &&
             !add_amount(t, r, d, id, amount_words, &amount, err)) ||
            !ledger_put(t, NOUN_DOSE, false, &dose, err))
            return false;
        question(t, r, d->list.dose[i], &amount, fibre_g);
    }
    return true;
}

void ledger_doses_clear(struct taking *t)
{
    for (size_t i = 0; i < t->doses_of.count; i++) {
        struct ledger_doses *d = &t->doses[i];
        for (size_t k = 0; k < d->list.count; k++)
            if (d->cells[k]) {
                cells_clear(d->cells[k]);
                free(d->cells[k]);
            }
        free(d->cells);
        free(d->list.dose);
    }
    free(t->doses);
    word_map_clear(&t->doses_of);
    for (size_t i = 0; i < t->work.doses; i++)
        pot_dose_free(t->work.dose[i]);
    free(t->work.dose);
    free(t->work.warned);
}
