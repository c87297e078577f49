/* Many skeins by few statements. See the header. */
#include "large_support.h"

#include "book/step.h"
#include "book/store.h"

/* A number from 0 to n - 1 that goes with i; k is which of them. */
#define DICE(i, k, n)                                                          \
    "((((" i ") * 48271 + " k " * 7919) * 69621 >> 5) % " n ")"
#define ROWS(n)                                                                \
    "WITH RECURSIVE i (i) AS (SELECT 0 UNION ALL SELECT i + 1 FROM i WHERE"    \
    " i + 1 < " n ") "
#define SKEINS "(SELECT count(*) FROM skein)"
#define BATHS "(SELECT count(*) FROM bath)"

/* What all of them are made of. Ids count from 1, the first mordant is the
 * book's own "no mordant": 2 to 9 are mordants, 10 to 24 dyestuffs, 25 to 29
 * modifiers. */
static const char cupboard[] =
    "INSERT INTO dyer (name) VALUES ('Aino');"
    "INSERT INTO material (kind, name, name_key) VALUES"
    " ('mordant', 'alum', 'alum'), ('mordant', 'iron', 'iron'),"
    " ('mordant', 'copper', 'copper'), ('mordant', 'rhubarb', 'rhubarb'),"
    " ('mordant', 'tannin', 'tannin'), ('mordant', 'clubmoss', 'clubmoss'),"
    " ('mordant', 'titanium', 'titanium'), ('mordant', 'symplocos',"
    " 'symplocos'), ('dyestuff', 'madder', 'madder'), ('dyestuff', 'weld',"
    " 'weld'), ('dyestuff', 'walnut', 'walnut'), ('dyestuff', 'tansy',"
    " 'tansy'), ('dyestuff', 'birch', 'birch'), ('dyestuff', 'onion',"
    " 'onion'), ('dyestuff', 'cochineal', 'cochineal'), ('dyestuff', 'woad',"
    " 'woad'), ('dyestuff', 'heather', 'heather'), ('dyestuff', 'alder',"
    " 'alder'), ('dyestuff', 'bedstraw', 'bedstraw'), ('dyestuff', 'lichen',"
    " 'lichen'), ('dyestuff', 'velvet-foot pax', 'velvet-foot pax'),"
    " ('dyestuff', 'willow', 'willow'), ('dyestuff', 'dock', 'dock'),"
    " ('modifier', 'iron dip', 'iron dip'), ('modifier', 'vinegar',"
    " 'vinegar'), ('modifier', 'ash lye', 'ash lye'), ('modifier',"
    " 'copper dip', 'copper dip'), ('modifier', 'soda', 'soda');"
    "INSERT INTO fibre (dyer_id, name, name_key) VALUES (1, 'sock yarn',"
    " 'sock yarn'), (1, 'lambswool', 'lambswool'), (1, 'silk', 'silk');"
    "INSERT INTO water (dyer_id, name, name_key) VALUES (1, 'rain', 'rain'),"
    " (1, 'well', 'well'), (1, 'tap', 'tap');"
    "INSERT INTO supply (dyer_id, material_id, name, name_key) SELECT 1, id,"
    " name || ' 2025', name_key || ' 2025' FROM material WHERE kind ="
    " 'dyestuff';"
    "INSERT INTO photo (dyer_id, sha256, bytes, shows) VALUES (1,"
    " zeroblob(32), 1, 'ultraviolet');";

/* Skein i has the id and the number i + 1; one in 33 is cut off the one
 * before, one in 16 is another dyer's. */
static const char skeins[] = ROWS(
    ":n") "INSERT INTO skein (id, dyer_id, number, fibre_id,"
          " weight_low_g, weight_high_g, colour, colour_key, finished) SELECT "
          "i + 1,"
          " 1 + (i % 16 = 15), i + 1, 1 + " DICE(
              "i", "1", "3") ", 20 + i % 30,"
                             " 20 + i % 30, CASE WHEN i % 12 = 5 THEN 'fox' "
                             "WHEN i % 12 = 7 THEN"
                             " 'moss' END, CASE WHEN i % 12 = 5 THEN 'fox' "
                             "WHEN i % 12 = 7 THEN 'moss'"
                             " END, CASE WHEN i % 19 = 0 THEN 0 END FROM i";

static const char pots[] =
    /* A bath for each twelve skeins, madder in every fourth. */
    ROWS(
        SKEINS
        " / 12 + 1") "INSERT INTO bath (id, dyer_id, number, kind,"
                     " water_id) SELECT i + 1, 1, i + 1, 'dye', 1 + " DICE(
                         "i",
                         "2", "3") " FROM i;"
                                   "INSERT INTO dose (bath_id, material_id, "
                                   "supply_id, role, amount_unit,"
                                   " amount_low, amount_high) SELECT id, m, m "
                                   "- 9, 'dyestuff', 'wof_pct', p,"
                                   " p FROM (SELECT id, CASE WHEN id % 4 = 0 "
                                   "THEN 10 ELSE 10 + " DICE("id", "3", "15") " END AS m, 20 + " DICE(
                                       "id", "4",
                                       "180") " AS p"
                                              " FROM bath);"
                                              "INSERT INTO dose (bath_id, "
                                              "material_id, role) SELECT id, "
                                              "11, 'dyestuff'"
                                              " FROM bath WHERE id % 10 = 0;"
                                              "INSERT INTO ph (bath_id, "
                                              "ph_words, ph_low, ph_high) "
                                              "SELECT id, 'pH', p,"
                                              " p + 0.5 FROM (SELECT id, 4 "
                                              "+ " DICE(
                                                  "id", "5",
                                                  "12") " * 0.5 AS p FROM"
                                                        " bath WHERE id % 2);"
                                                        /* Five rounds of each:
                                                           treatment 5 * bath +
                                                           round - 4. */
                                                        "INSERT INTO treatment "
                                                        "(id, dyer_id, kind, "
                                                        "bath_id, round, "
                                                        "on_words,"
                                                        " on_from, on_to) "
                                                        "SELECT 5 * (b.id - 1) "
                                                        "+ r.value + 1, 1, "
                                                        "'dye', b.id,"
                                                        " r.value, 'then', "
                                                        "date('2016-01-01', d "
                                                        "|| ' days'), "
                                                        "date('2016-01-01',"
                                                        " (d + 30 * (b.id % 5 "
                                                        "= 0)) || ' days') "
                                                        "FROM (SELECT "
                                                        "id, " DICE(
                                                            "id", "6",
                                                            "3600") " AS d "
                                                                    "FROM "
                                                                    "bath) b, "
                                                                    "json_each("
                                                                    "'[0,1,2,3,"
                                                                    "4]') r;"
    /* Mordanted four at a time, dipped in jars of 28, washed. */
    ROWS(SKEINS
         " / 4 + 1") "INSERT INTO treatment (id, dyer_id, kind) SELECT"
                     " 10000000 + i, 1, 'mordant' FROM i;"
                     "INSERT INTO dose (treatment_id, material_id, role) "
                     "SELECT id, CASE WHEN"
                     " id % 3 = 0 THEN 2 ELSE 1 + " DICE(
                         "id", "7",
                         "9") " END, 'mordant' FROM"
                              " treatment WHERE id >= 10000000;" ROWS(
                                  SKEINS
                                  " / 28 + 1") "INSERT INTO treatment (id, "
                                               "dyer_id, kind) SELECT"
                                               " 20000000 + i, 1, 'dip' FROM i;"
                                               "INSERT INTO dose "
                                               "(treatment_id, material_id, "
                                               "role) SELECT id, 25 + " DICE(
                                                   "id", "8",
                                                   "5") ", 'modifier' FROM "
                                                        "treatment WHERE id >= "
                                                        "20000000;"
                                                        "INSERT INTO treatment "
                                                        "(id, dyer_id, kind) "
                                                        "VALUES (30000000, 1, "
                                                        "'wash');";

#define IN_A_POT " FROM skein WHERE id % 33 "
#define I "(id - 1)"

static const char lives[] =
    "INSERT INTO entry (treatment_id, skein_id, place) SELECT 10000000 + " I
    " / 4, id, 1" IN_A_POT ";"
    "INSERT INTO entry (treatment_id, skein_id, place) SELECT 5 * (" I " / 12)"
    " + (" I " % 12) * 5 / 12 + 1, id, 2" IN_A_POT ";"
    "INSERT INTO entry (treatment_id, skein_id, place) SELECT 5 * " DICE(
        "id", "9", BATHS) " + 1, id, 3" IN_A_POT " AND id % 9 = 0;"
                          "INSERT INTO entry (treatment_id, skein_id, place) "
                          "SELECT 20000000 + " I " / 28, id, 4" IN_A_POT
                          " AND id % 7 = 0;"
                          "INSERT INTO entry (treatment_id, skein_id, place) "
                          "SELECT 30000000, id, 5" IN_A_POT " AND id % 11 = 0;"
                          "INSERT INTO origin (child_id, parent_id, "
                          "after_entry_id) SELECT s.id, p.id,"
                          " (SELECT e.id FROM entry e WHERE e.skein_id = p.id "
                          "ORDER BY e.place DESC)"
                          " FROM skein s JOIN skein p ON p.id = s.id - 1 WHERE "
                          "s.id % 33 = 0;"
                          "INSERT INTO sight (photo_id, skein_id, glow) SELECT "
                          "1, id, CASE WHEN id %"
                          " 40 THEN 'faint' ELSE 'strong' END FROM skein WHERE "
                          "id % 20 = 0;";

/* What was dyed last has its entry's place and treatment in the colour. */
#define READING(wet, extra, which)                                             \
    "INSERT INTO reading (dyer_id, skein_id, after_entry_id, wet, L, a, b,"    \
    " set_LL, set_La, set_Lb, set_aa, set_ab, set_bb, abs_LL, abs_La, abs_Lb," \
    " abs_aa, abs_ab, abs_bb, source, on_words, on_from, on_to) SELECT 1, "    \
    "s.id,"                                                                    \
    " (SELECT e.id FROM entry e WHERE e.skein_id = s.id ORDER BY e.place"      \
    " DESC), " wet ", 20 + " extra                                             \
    " + " DICE("s.id / 3", "10", "600") " * 0.1, -20 + " DICE(                 \
        "s.id / 3", "11",                                                      \
        "700") " * 0.1, -10 + " DICE("s.id / 3", "12",                         \
                                     "800") " * 0.1, 0.36, 0, 0, 0.16, 0, "    \
                                            "0.25, 1.36, 0,"                   \
                                            " 0, 0.32, 0, 0.41, "              \
                                            "'instrument', 'then', "           \
                                            "date('2026-01-01', " extra        \
                                            " || ' days'), "                   \
                                            "date('2026-01-01', " extra        \
                                            " || ' days') FROM skein s"        \
                                            " WHERE " which ";"

static const char readings[] = READING("0", "0", "s.id % 10 < 7")
    READING("0", "2", "s.id % 20 = 1") READING("1", "1", "s.id % 17 = 0");

bool large_fill(struct book *book, int count, struct error *err)
{
    struct stmt q = {0};
    bool ok = book_act_begin(book, "test", err) &&
              store_exec(book, cupboard, err) &&
              stmt_prepare(book, skeins, &q, err);

    if (!ok) {
        book_act_cancel(book);
        return false;
    }
    stmt_int(&q, ":n", count);
    if (stmt_run(&q, err) && store_exec(book, pots, err) &&
        store_exec(book, lives, err) && store_exec(book, readings, err))
        return book_act_end(book, err);
    book_act_cancel(book);
    return false;
}
