/* Rows of a book in bulk, and chance. See guild.h. */
#include "guild.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
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

static const char *const sql[KINDS] = {
    [ACT] = "INSERT INTO act (uid, at, offset_min, what) VALUES (:uid, :at,"
            " 60, :what)",
    [DYER] = "INSERT INTO dyer (uid, name) VALUES (:uid, :name)",
    [MATERIAL] = "INSERT INTO material (uid, kind, name, name_key, latin)"
                 " VALUES (:uid, :kind, :name, fold(:name), :latin)",
    [SUPPLY] = "INSERT INTO supply (uid, dyer_id, material_id, name, name_key,"
               " source, got_words, got_from, got_to) VALUES (:uid, 1,"
               " :material, :name, fold(:name), 'gathered', :year, :year ||"
               " '-01-01', :year || '-12-31')",
    [FIBRE] = "INSERT INTO fibre (uid, dyer_id, name, name_key) VALUES (:uid,"
              " 1, :name, fold(:name))",
    [WATER] = "INSERT INTO water (uid, dyer_id, name, name_key) VALUES (:uid,"
              " 1, :name, fold(:name))",
    [CARD] = "INSERT INTO card (uid, dyer_id, name, name_key, L, a, b, uL, ua,"
             " ub, source, usual) VALUES (:uid, 1, 'grey card', 'grey card',"
             " 49.6, -0.3, 0.5, 0.5, 0.3, 0.3, 'stated', 1)",
    [SKEIN] = "INSERT INTO skein (uid, dyer_id, number, name, code, code_key,"
              " fibre_id, weight_words, weight_low_g, weight_high_g, colour,"
              " colour_key, finished, note) VALUES (:uid, :dyer, :number,"
              " :name, :code, :code_key, :fibre, :grams || ' g', :grams,"
              " :grams, :colour, fold(:colour), :finished, :note)",
    [ORIGIN] = "INSERT INTO origin (uid, child_id, parent_id, after_entry_id)"
               " VALUES (:uid, :child, :parent, nullif(:entry, 0))",
    [BATH] = "INSERT INTO bath (uid, dyer_id, number, name, name_key, kind,"
             " water_id, volume_words, volume_low_l, volume_high_l, note)"
             " VALUES (:uid, :dyer, :number, :name, fold(:name), :kind, :water,"
             " '10 l', 10, 10, :note)",
    [PH] = "INSERT INTO ph (uid, bath_id, treatment_id, ph_words, ph_low,"
           " ph_high, ph_how) VALUES (:uid, :bath, :treatment, :ph, :ph, :ph,"
           " 'strip')",
    [TREATMENT] = "INSERT INTO treatment (uid, dyer_id, kind, bath_id, round,"
                  " on_words, on_from, on_to, temperature_words,"
                  " temperature_low_c, temperature_high_c, minutes_words,"
                  " minutes_low_min, minutes_high_min, note) VALUES (:uid,"
                  " :dyer, :kind, :bath, :round, :day, :day, :day, :c, :c, :c,"
                  " '60', 60, 60, :note)",
    [ENTRY] = "INSERT INTO entry (uid, treatment_id, skein_id, place) VALUES"
              " (:uid, :treatment, :skein, :place)",
    [DOSE] = "INSERT INTO dose (uid, bath_id, treatment_id, material_id,"
             " supply_id, role, amount_words, amount_unit, amount_low,"
             " amount_high) VALUES (:uid, :bath, :treatment, :material,"
             " :supply, :role, :pct || ' %', 'wof_pct', :pct, :pct)",
    [PHOTO] = "INSERT INTO photo (uid, dyer_id, sha256, bytes, width_px,"
              " height_px, orientation, camera, profile, on_words, on_from,"
              " on_to, has_gps) VALUES (:uid, :dyer, :sha256, 3850000, 4000,"
              " 3000, 1, 'Vennelo Vennelo S4', 'sRGB', :day, :day, :day, 0)",
    [READING] = "INSERT INTO reading (uid, dyer_id, skein_id, after_entry_id,"
                " wet, L, a, b, set_LL, set_La, set_Lb, set_aa, set_ab, set_bb,"
                " abs_LL, abs_La, abs_Lb, abs_aa, abs_ab, abs_bb, level_L,"
                " level_a, level_b, source, card_id, card_L, card_a, card_b,"
                " method, on_words, on_from, on_to) VALUES (:uid, :dyer,"
                " :skein, :entry, :wet, :L, :a, :b, 0.46, 0.07, 0.04, 0.22,"
                " 0.03, 0.27, 1.46, 0.07, 0.04, 0.38, 0.03, 0.43, 0.71, 0.48,"
                " 0.28, 'photo', 1, 49.6, -0.3, 0.5, 2, :day, :day, :day)",
    [REGION] = "INSERT INTO region (uid, reading_id, photo_id, x, y, w, h,"
               " card_x, card_y, card_w, card_h, L, a, b) VALUES (:uid,"
               " :reading, :photo, :x, 370, 170, 560, 80, 340, 280, 400, :L,"
               " :a, :b)",
    [MOVED] = "UPDATE skein SET place = :place WHERE id = :skein",
};

/* As history has them; those without one of their own are acts and changes. */
static const char *const tables[KINDS] = {
    [DYER] = "dyer",     [MATERIAL] = "material",   [SUPPLY] = "supply",
    [FIBRE] = "fibre",   [WATER] = "water",         [CARD] = "card",
    [SKEIN] = "skein",   [ORIGIN] = "origin",       [BATH] = "bath",
    [PH] = "ph",         [TREATMENT] = "treatment", [ENTRY] = "entry",
    [DOSE] = "dose",     [PHOTO] = "photo",         [READING] = "reading",
    [REGION] = "region",
};

/* What the triggers for new records write, which take as long as all else. */
static const char begun[] = "INSERT INTO history (act_id, of_table, row_id)"
                            " VALUES (:act, :table, :row)";
static const char triggers[] =
    "SELECT group_concat('DROP TRIGGER ' || name, ';'), group_concat(sql, ';')"
    " FROM sqlite_schema WHERE type = 'trigger' AND name LIKE 'history%new'";

static struct book *book;
static struct error err;
static struct stmt statement[KINDS], history;
static int64_t act_id;

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

static void prepare(struct stmt *q, const char *text)
{
    if (!q->st)
        must(stmt_prepare(book, text, q, &err));
    sqlite3_clear_bindings(q->st);
}

static void run(struct stmt *q)
{
    bool row;

    must(stmt_step(q, &row, &err));
    sqlite3_reset(q->st);
}

struct stmt *begin(enum kind kind)
{
    struct stmt *q = &statement[kind];
    unsigned char uid[16];

    prepare(q, sql[kind]);
    fill(uid, sizeof uid);
    if (kind != MOVED)
        stmt_blob(q, ":uid", uid, sizeof uid);
    return q;
}

int64_t end(struct stmt *q)
{
    const char *table = tables[q - statement];
    int64_t id;

    run(q);
    id = sqlite3_last_insert_rowid(book->db);
    if (table) {
        prepare(&history, begun);
        stmt_int(&history, ":act", act_id);
        stmt_text(&history, ":table", table);
        stmt_int(&history, ":row", id);
        run(&history);
    }
    return id;
}

void act(const char *what, int day)
{
    struct stmt *q = begin(ACT);

    stmt_int(q, ":at", 1136106000000 + INT64_C(86400000) * day);
    stmt_text(q, ":what", what);
    act_id = end(q);
}

/* ---- the book ------------------------------------------------------------ */

/* Checks take as long as the rest; a test holds them afterwards. A book that is
 * not whole is thrown away, so the disk need not be waited
 * for. */
static const char in_haste[] =
    "PRAGMA locking_mode = EXCLUSIVE; PRAGMA journal_mode = OFF;"
    "PRAGMA synchronous = OFF; PRAGMA foreign_keys = OFF;"
    "PRAGMA ignore_check_constraints = ON; PRAGMA cache_size = -2000000; BEGIN";

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

void rows_open(const char *folder)
{
    must(book_create(folder, "The guild", &err) &&
         book_open(folder, &book, &err) && store_exec(book, in_haste, &err));
    put_back = drop_triggers();
}

void rows_close(void)
{
    for (int i = 0; i < KINDS; i++)
        stmt_done(&statement[i]);
    stmt_done(&history);
    must(store_exec(book, put_back, &err) && step_rebuild(book, &err) &&
         said_rebuild(book, &err) && store_exec(book, "COMMIT", &err));
    book_close(book);
    free(put_back);
}
