/* Rows of a book in bulk, and chance. See guild.h. */
#include "guild.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "book/id_map.h"
#include "book/said.h"
#include "book/step.h"

/* ---- chance -------------------------------------------------------------- */

/* Steele, Lea, Flood, Fast splittable pseudorandom number generators, OOPSLA
 * 2014: SplitMix64. */
uint64_t bits(void)
{
    static uint64_t seed = 20260503;
    uint64_t z = seed += UINT64_C(0x9E3779B97F4A7C15);

    z = (z ^ z >> 30) * UINT64_C(0xBF58476D1CE4E5B9);
    z = (z ^ z >> 27) * UINT64_C(0x94D049BB133111EB);
    return z ^ z >> 31;
}

double unit(void)
{
    return ((double)(bits() >> 11) + 0.5) / 9007199254740992.0;
}

bool chance(int percent)
{
    return unit() * 100 < percent;
}

double between(double low, double high)
{
    return low + (high - low) * unit();
}

int64_t dice(int64_t n)
{
    return (int64_t)(unit() * (double)n);
}

/* The first of n things are the ones most used. */
int64_t usual(int64_t n)
{
    const double u = unit();

    return (int64_t)(u * u * (double)n);
}

double normal(double sd)
{
    static const double pi = 3.14159265358979323846;

    return sd * sqrt(-2 * log(unit())) * cos(2 * pi * unit());
}

/* ---- rows ---------------------------------------------------------------- */

/* Each with what its values are: those of a sheaf by their names. */
static const struct {
    const char *insert, *values;
} sql[KINDS] = {
    [ACT] = {"INSERT INTO act (id, uid, at, offset_min, what)",
             ":id, :uid, :at, 60, :what"},
    [DYER] = {"INSERT INTO dyer (id, uid, name)", ":id, :uid, :name"},
    [MATERIAL] = {"INSERT INTO material (id, uid, kind, name, name_key, latin)",
                  ":id, :uid, :kind, :name, fold(:name), :latin"},
    [SUPPLY] = {"INSERT INTO supply (id, uid, dyer_id, material_id, name, "
                "name_key, source, got_words, got_from, got_to)",
                ":id, :uid, 1, :material, :name, fold(:name), 'gathered', "
                ":year, :year || '-01-01', :year || '-12-31'"},
    [FIBRE] = {"INSERT INTO fibre (id, uid, dyer_id, name, name_key)",
               ":id, :uid, 1, :name, fold(:name)"},
    [WATER] = {"INSERT INTO water (id, uid, dyer_id, name, name_key)",
               ":id, :uid, 1, :name, fold(:name)"},
    [CARD] = {"INSERT INTO card (id, uid, dyer_id, name, name_key, L, a, b, "
              "uL, ua, ub, source, usual)",
              ":id, :uid, 1, 'grey card', 'grey card', 49.6, -0.3, 0.5, 0.5, "
              "0.3, 0.3, 'stated', 1"},
    [SKEIN] =
        {"INSERT INTO skein (id, uid, dyer_id, number, name, code, code_key, "
         "fibre_id, weight_words, weight_low_g, weight_high_g, colour, "
         "colour_key, finished, note)",
         ":id, :uid, :dyer, :number, :name, :code, :code_key, :fibre, :grams "
         "|| ' g', :grams, :grams, :colour, fold(:colour), :finished, :note"},
    [ORIGIN] =
        {"INSERT INTO origin (id, uid, child_id, parent_id, after_entry_id)",
         ":id, :uid, :child, :parent, nullif(:entry, 0)"},
    [BATH] =
        {"INSERT INTO bath (id, uid, dyer_id, number, name, name_key, kind, "
         "water_id, volume_words, volume_low_l, volume_high_l, note)",
         ":id, :uid, :dyer, :number, :name, fold(:name), :kind, :water, '10 "
         "l', 10, 10, :note"},
    [PH] = {"INSERT INTO ph (id, uid, bath_id, treatment_id, ph_words, ph_low, "
            "ph_high, ph_how)",
            ":id, :uid, :bath, :treatment, :ph, :ph, :ph, 'strip'"},
    [TREATMENT] = {"INSERT INTO treatment (id, uid, dyer_id, kind, bath_id, "
                   "round, on_words, on_from, on_to, temperature_words, "
                   "temperature_low_c, temperature_high_c, minutes_words, "
                   "minutes_low_min, minutes_high_min, note)",
                   ":id, :uid, :dyer, :kind, :bath, :round, :day, :day, :day, "
                   ":c, :c, :c, '60', 60, 60, :note"},
    [ENTRY] = {"INSERT INTO entry (id, uid, treatment_id, skein_id, place)",
               ":id, :uid, :treatment, :skein, :place"},
    [DOSE] =
        {"INSERT INTO dose (id, uid, bath_id, treatment_id, material_id, "
         "supply_id, role, amount_words, amount_unit, amount_low, amount_high)",
         ":id, :uid, :bath, :treatment, :material, :supply, :role, :pct || ' "
         "%', 'wof_pct', :pct, :pct"},
    [PHOTO] = {"INSERT INTO photo (id, uid, dyer_id, sha256, bytes, width_px, "
               "height_px, orientation, camera, profile, on_words, on_from, "
               "on_to, has_gps)",
               ":id, :uid, :dyer, :sha256, 3850000, 4000, 3000, 1, 'Vennelo "
               "Vennelo S4', 'sRGB', :day, :day, :day, 0"},
    [READING] =
        {"INSERT INTO reading (id, uid, dyer_id, skein_id, after_entry_id, "
         "wet, L, a, b, set_LL, set_La, set_Lb, set_aa, set_ab, set_bb, "
         "abs_LL, abs_La, abs_Lb, abs_aa, abs_ab, abs_bb, level_L, level_a, "
         "level_b, source, card_id, card_L, card_a, card_b, method, on_words, "
         "on_from, on_to)",
         ":id, :uid, :dyer, :skein, :entry, :wet, :L, :a, :b, 0.46, 0.07, "
         "0.04, 0.22, 0.03, 0.27, 1.46, 0.07, 0.04, 0.38, 0.03, 0.43, 0.71, "
         "0.48, 0.28, 'photo', 1, 49.6, -0.3, 0.5, 2, :day, :day, :day"},
    [REGION] = {"INSERT INTO region (id, uid, reading_id, photo_id, x, y, w, "
                "h, card_x, card_y, card_w, card_h, L, a, b)",
                ":id, :uid, :reading, :photo, :x, 370, 170, 560, 80, 340, 280, "
                "400, :L, :a, :b"},
};
/* As history has them, which has no acts. */
static const char *const tables[KINDS] = {
    [ACT] = "act",         [DYER] = "dyer",     [MATERIAL] = "material",
    [SUPPLY] = "supply",   [FIBRE] = "fibre",   [WATER] = "water",
    [CARD] = "card",       [SKEIN] = "skein",   [ORIGIN] = "origin",
    [BATH] = "bath",       [PH] = "ph",         [TREATMENT] = "treatment",
    [ENTRY] = "entry",     [DOSE] = "dose",     [PHOTO] = "photo",
    [READING] = "reading", [REGION] = "region",
};

/* What the triggers write is written here, which is sooner done. */
static const char triggers[] =
    "SELECT group_concat('DROP TRIGGER ' || name, ';'), group_concat(sql, ';')"
    " FROM sqlite_schema WHERE type = 'trigger' AND (name LIKE 'history%new' OR"
    " name = 'history_skein_change')";

enum { ROWS_MOST = 1 << 16 }; /* gathered; more would only take more memory */

static struct book *book;
static struct error err;
static struct sheaf sheaf[KINDS], history;
static int64_t last_id[KINDS], act_id;
static struct id_map moved; /* skeins that are in their place by now */
static struct sheaf moves;

static void must(bool ok)
{
    if (!ok) {
        fprintf(stderr, "guild: %s\n", err.text);
        exit(1);
    }
}

void fill(unsigned char *out, size_t size)
{
    for (size_t i = 0; i < size; i += sizeof(uint64_t)) {
        const uint64_t b = bits();
        memcpy(out + i, &b, sizeof b);
    }
}

/* Puts all that was gathered into the book. */
static void put(void)
{
    for (int kind = 0; kind < KINDS; kind++)
        must(sheaf_put_as(&sheaf[kind], book, sql[kind].insert,
                          sql[kind].values, &err));
    must(sheaf_put(&history, book, "history", "", &err));
    must(sheaf_put(&moves, book, "moves", "", &err) &&
         store_exec(book,
                    "UPDATE skein SET place = m.place FROM moves m WHERE"
                    " skein.id = m.skein; DELETE FROM moves",
                    &err));
}

static void note(const char *table, int64_t id)
{
    sheaf_row(&history);
    sheaf_int(&history, "act_id", act_id);
    sheaf_text(&history, "of_table", table);
    sheaf_int(&history, "row_id", id);
}

struct sheaf *begin(enum kind kind)
{
    struct sheaf *q = &sheaf[kind];
    unsigned char uid[16];

    if (history.rows >= ROWS_MOST)
        put();
    fill(uid, sizeof uid);
    sheaf_row(q);
    sheaf_int(q, "id", ++last_id[kind]);
    sheaf_blob(q, "uid", uid, sizeof uid);
    return q;
}

int64_t end(struct sheaf *q)
{
    const enum kind kind = (enum kind)(q - sheaf);

    if (kind != ACT)
        note(tables[kind], last_id[kind]);
    return last_id[kind];
}

/* Once a skein: there is one place. */
void move(int64_t skein, const char *place)
{
    if (id_map_at(&moved, skein))
        return;
    id_map_put(&moved, skein, 1);
    note("skein", skein);
    sheaf_text(&history, "field", "place");
    sheaf_text(&history, "new", place);
    sheaf_row(&moves);
    sheaf_int(&moves, "skein", skein);
    sheaf_text(&moves, "place", place);
}

void act(const char *what, int day)
{
    struct sheaf *q = begin(ACT);

    sheaf_int(q, "at", 1136106000000 + INT64_C(86400000) * day);
    sheaf_text(q, "what", what);
    act_id = end(q);
}

/* ---- the book ------------------------------------------------------------ */

/* Checks take as long as the rest: test_guild makes them of a whole book. One
 * that is not whole is thrown away, so the disk need not be waited for. */
static const char in_haste[] =
    "PRAGMA locking_mode = EXCLUSIVE; PRAGMA journal_mode = MEMORY;"
    "PRAGMA synchronous = OFF; PRAGMA foreign_keys = OFF;"
    "PRAGMA ignore_check_constraints = ON; PRAGMA cache_size = -2000000; BEGIN;"
    "CREATE TEMP TABLE moves (skein INTEGER, place TEXT)";

/* Takes the triggers away; what puts them back. */
static char *drop_triggers(void)
{
    struct stmt q = {0};
    char *drop, *back;
    bool row;

    must(stmt_prepare(book, triggers, &q, &err) && stmt_step(&q, &row, &err));
    drop = mem_text(stmt_get_text(&q, 0));
    back = mem_text(stmt_get_text(&q, 1));
    stmt_done(&q);
    must(store_exec(book, drop, &err));
    free(drop);
    return back;
}

static char *put_back; /* the triggers */

static void find_last(enum kind kind)
{
    struct text ask = {0};
    struct stmt q = {0};
    bool row;

    text_addf(&ask, "SELECT max(id) FROM %s", tables[kind]);
    must(stmt_prepare(book, text_str(&ask), &q, &err) &&
         stmt_step(&q, &row, &err));
    last_id[kind] = stmt_get_int(&q, 0);
    stmt_done(&q);
    text_clear(&ask);
}

void rows_open(const char *folder)
{
    must(book_create(folder, "The guild", &err) &&
         book_open(folder, &book, &err) && store_exec(book, in_haste, &err));
    put_back = drop_triggers();
    for (int kind = 0; kind < KINDS; kind++)
        find_last((enum kind)kind);
}

void rows_close(void)
{
    put();
    for (int kind = 0; kind < KINDS; kind++)
        sheaf_clear(&sheaf[kind]);
    sheaf_clear(&history);
    sheaf_clear(&moves);
    id_map_clear(&moved);
    must(store_exec(book, put_back, &err) && step_rebuild(book, &err) &&
         said_rebuild(book, &err) &&
         store_exec(book, "COMMIT; PRAGMA journal_mode = WAL", &err));
    book_close(book);
    free(put_back);
}
