/* Rows of a list that share a pot. See ledger_work.h. */
#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "book/ledger_work.h"

static const char *const *said_of(const struct ledger_shared *all)
{
    return (const char *const *)all->said;
}

/* What is the bath's, and what is one round's. */
static const enum ledger_id of_pot[] = {LEDGER_DYESTUFF, LEDGER_DYESTUFF_AMOUNT,
                                        LEDGER_ACID,     LEDGER_ACID_AMOUNT,
                                        LEDGER_ALKALI,   LEDGER_ALKALI_AMOUNT};
static const enum ledger_id of_round[] = {
    LEDGER_DATE, LEDGER_TEMPERATURE, LEDGER_MINUTES, LEDGER_VESSEL, LEDGER_PH};

static size_t new_pot(struct taking *t, const struct ledger_row *r,
                      const char *name, size_t at)
{
    t->pot = mem_room(t->pot, at, sizeof *t->pot);
    t->pot[at] =
        (struct ledger_pot){.name = mem_text(name), .dyer_id = r->dyer_id};
    return at;
}

/* The pot of a row: by its name, or when asked by its day and dyestuff. False:
 * it shares none. */
static bool pot_of(struct taking *t, const struct ledger_row *r, size_t *out)
{
    const char *name = r->said[LEDGER_POT];
    const char *day = r->said[LEDGER_DATE], *dye = r->said[LEDGER_DYESTUFF];
    char *key[2] = {0};
    bool is_new;

    if (!name && !(t->l->together && day && dye))
        return false;
    key[0] = text_fold(name ? name : day);
    key[1] = text_fold(name ? "" : dye);
    text_reset(&t->text);
    text_addf(&t->text, "%lld\n%s\n%s", (long long)r->dyer_id, key[0], key[1]);
    *out = word_map_at(&t->pot_of, text_str(&t->text), &is_new);
    if (is_new)
        new_pot(t, r, name, *out);
    free(key[0]);
    free(key[1]);
    return true;
}

static bool read_round(struct taking *t, const struct ledger_row *r,
                       int64_t *out, struct error *err)
{
    const char *words = r->said[LEDGER_ROUND];

    *out = 0;
    if (!words)
        return true;
    cells_clear(t->cells);
    if (!ledger_read(t, r, LEDGER_ROUND, NOUN_TREATMENT, "round", words, err))
        return false;
    *out = cells_get(t->cells, "round")->whole;
    return true;
}

static bool round_of(struct taking *t, const struct ledger_row *r, size_t pot,
                     size_t *out, struct error *err)
{
    int64_t round;
    bool is_new;

    if (!read_round(t, r, &round, err))
        return false;
    text_reset(&t->text);
    text_addf(&t->text, "%zu\n%lld", pot, (long long)round);
    *out = word_map_at(&t->round_of, text_str(&t->text), &is_new);
    if (is_new) {
        t->round = mem_room(t->round, *out, sizeof *t->round);
        t->round[*out] = (struct ledger_round){.pot = pot, .round = round};
    }
    return true;
}

/* Keeps what is said first; what another row says must be the same. */
static bool share(struct taking *t, const struct ledger_row *r,
                  const enum ledger_id *ids, size_t count,
                  struct ledger_shared *all, struct error *err)
{
    for (size_t i = 0; i < count; i++) {
        const char *words = r->said[ids[i]], *have = all->said[ids[i]];
        if (!words || (have && text_same(words, have)))
            continue;
        /* A day that is none is told as that. */
        if (have && ids[i] == LEDGER_DATE && !ledger_day(t, r, words, err))
            return false;
        if (have)
            return error_set(
                err, ERR_INPUT,
                "%s: \"%.40s\", but \"%.40s\" in line %zu of the same pot%s",
                ledger_fields[ids[i]].name, words, have, all->line[ids[i]],
                ids[i] == LEDGER_DATE
                    ? "; another day is another round: say which in a column"
                    : "");
        all->said[ids[i]] = mem_text(words);
        all->line[ids[i]] = t->l->line[r->row];
    }
    return true;
}

static bool gather_row(struct taking *t, struct ledger_row *r,
                       struct error *err)
{
    size_t pot, round;

    if (!ledger_row_dyer(t, r, err))
        return false;
    if (!pot_of(t, r, &pot))
        return true;
    if (!round_of(t, r, pot, &round, err))
        return false;
    t->row_round[r->row] = round;
    return share(t, r, of_pot, ARRAY_LEN(of_pot), &t->pot[pot].all, err) &&
           share(t, r, of_round, ARRAY_LEN(of_round), &t->round[round].all,
                 err);
}

bool ledger_pots_gather(struct taking *t, struct error *err)
{
    struct ledger_row r = {0};

    t->row_round = mem_new(t->l->rows, sizeof *t->row_round);
    for (size_t i = 0; i < t->l->rows; i++)
        t->row_round[i] = SIZE_MAX;
    if (t->column[LEDGER_POT] < 0 && !t->l->all[LEDGER_POT] && !t->l->together)
        return true;
    for (size_t i = 0; i < t->l->rows; i++) {
        bool ok = !ledger_row_words(t, i, &r) || gather_row(t, &r, err);
        if (!ok && err->kind != ERR_INPUT && err->kind != ERR_MISSING)
            return ledger_row_clear(&r), false;
        if (!ok)
            ledger_tell_bad(t, i, err->text);
    }
    ledger_row_clear(&r);
    return true;
}

/* A bath of that name that is in the book already; 0: none. */
static bool find_bath(struct taking *t, struct ledger_pot *pot,
                      struct error *err)
{
    struct stmt q;
    char *key;
    bool row = false, more = false;

    if (!pot->name)
        return true;
    if (!stmt_begin(t->book, STMT_LEDGER_BATH, &q, err))
        return false;
    key = text_fold(pot->name);
    stmt_text(&q, ":key", key);
    stmt_int(&q, ":dyer", pot->dyer_id);
    free(key);
    if (!stmt_step(&q, &row, err))
        return false;
    pot->bath = row ? stmt_get_int(&q, 0) : 0;
    pot->was_there = row;
    if (row && !stmt_step(&q, &more, err))
        return false;
    stmt_done(&q);
    return !more || error_set(err, ERR_INPUT,
                              "pot: there are several called \"%.60s\" in the "
                              "book: rename them first, or this one",
                              pot->name);
}

/* What went into a bath that is in the book stays as it is there: the rows may
 * say it again, and nothing else. */
static bool same_bath(struct taking *t, const struct ledger_pot *pot,
                      struct error *err)
{
    for (size_t i = 0; i < ARRAY_LEN(of_pot); i += 2) {
        const struct ledger_doses *d;
        const char *words = pot->all.said[of_pot[i]];
        if (words && !ledger_doses_read(t, of_pot[i], words, &d, err))
            return false;
        for (size_t k = 0; words && k < d->list.count; k++) {
            struct stmt q;
            bool row;
            if (!stmt_begin(t->book, STMT_LEDGER_DOSED, &q, err))
                return false;
            stmt_int(&q, ":bath", pot->bath);
            stmt_int(&q, ":material", d->list.dose[k]->material_id);
            if (!stmt_step(&q, &row, err))
                return false;
            stmt_done(&q);
            if (!row)
                return error_set(err, ERR_INPUT,
                                 "pot \"%.40s\" is in the book, with no %.40s "
                                 "in it: log that there first, or name "
                                 "another pot",
                                 pot->name, d->list.dose[k]->material);
        }
    }
    return true;
}

static bool make_bath(struct taking *t, const struct ledger_row *r,
                      struct ledger_pot *pot, struct error *err)
{
    if (!find_bath(t, pot, err))
        return false;
    if (pot->was_there) {
        text_reset(&t->text);
        text_addf(&t->text,
                  "pot \"%s\" is in the book: its rows are added to it, and "
                  "what went in stays as it is there",
                  pot->name);
        ledger_tell(&t->out->note, t->l->line[r->row], text_str(&t->text));
        return same_bath(t, pot, err);
    }
    ledger_begin(t, r, NOUN_BATH);
    if (pot->name &&
        !ledger_read(t, r, LEDGER_POT, NOUN_BATH, "name", pot->name, err))
        return false;
    if (!ledger_put(t, NOUN_BATH, true, &pot->bath, err))
        return false;
    for (size_t i = 0; i < ARRAY_LEN(of_pot); i += 2)
        if (!ledger_doses_add(t, r, said_of(&pot->all), of_pot[i], pot->bath, 0,
                              (double)NAN, err))
            return false;
    return true;
}

/* A go at that round that is in the book, and says nothing else. */
static bool find_go(struct taking *t, struct ledger_round *round,
                    struct error *err)
{
    static const char *const fields[] = {"on", "temperature", "minutes",
                                         "vessel"};
    struct record rec;
    bool same = true;
    int64_t id;

    if (!pot_round_find(t->book, t->pot[round->pot].bath, round->round, &id,
                        err))
        return false;
    if (!id)
        return true;
    if (!record_read(t->book, NOUN_TREATMENT, id, &rec, err))
        return false;
    for (size_t i = 0; i < ARRAY_LEN(fields); i++) {
        const struct record_field *have = record_get(&rec, fields[i]);
        const char *words = round->all.said[of_round[i]];
        same = same && (!words || (have && text_same(have->words, words)));
    }
    record_clear(&rec);
    round->treatment = same ? id : 0;
    return true;
}

bool ledger_pot_open(struct taking *t, struct ledger_row *r, int64_t *bath,
                     int64_t *treatment, struct error *err)
{
    struct ledger_round *round = &t->round[t->row_round[r->row]];
    struct ledger_pot *pot = &t->pot[round->pot];

    if (!pot->bath && !make_bath(t, r, pot, err))
        return false;
    if (!round->treatment && pot->was_there && !find_go(t, round, err))
        return false;
    if (!round->treatment) {
        ledger_begin(t, r, NOUN_TREATMENT);
        cells_text(t->cells, "kind", "dye");
        cells_int(t->cells, "bath_id", pot->bath);
        cells_int(t->cells, "round", round->round);
        if (!ledger_facts(t, r, said_of(&round->all), err) ||
            !ledger_put(t, NOUN_TREATMENT, false, &round->treatment, err) ||
            !ledger_ph_add(t, r, round->all.said[LEDGER_PH], pot->bath,
                           round->treatment, err))
            return false;
    }
    *bath = pot->bath;
    *treatment = round->treatment;
    return true;
}

static void clear_shared(struct ledger_shared *all)
{
    for (size_t i = 0; i < LEDGER_IDS; i++)
        free(all->said[i]);
}

void ledger_pots_clear(struct taking *t)
{
    for (size_t i = 0; i < t->pot_of.count; i++) {
        clear_shared(&t->pot[i].all);
        free(t->pot[i].name);
    }
    for (size_t i = 0; i < t->round_of.count; i++)
        clear_shared(&t->round[i].all);
    free(t->pot);
    free(t->round);
    free(t->row_round);
    word_map_clear(&t->pot_of);
    word_map_clear(&t->round_of);
}
