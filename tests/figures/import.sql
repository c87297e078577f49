-- A list of skeins through a staging table into a new book, as one would do it
-- by hand with the sqlite3 shell: the same records, history by the triggers.
-- The list is rows.csv in the folder that the shell runs in.
PRAGMA journal_mode = WAL;
PRAGMA synchronous = FULL;
CREATE TABLE staging (name TEXT, code TEXT, weight TEXT, mordant TEXT,
    dyestuff TEXT, day TEXT);
.import --csv --skip 1 rows.csv staging
BEGIN;
INSERT INTO act (uid, at, offset_min, what)
    VALUES (randomblob(16), unixepoch() * 1000, 0, 'import');
INSERT INTO material (uid, kind, name, name_key) VALUES
    (randomblob(16), 'mordant', 'alum', 'alum'),
    (randomblob(16), 'dyestuff', 'madder', 'madder');
INSERT INTO skein (id, uid, dyer_id, number, name, code, code_key, weight_words,
    weight_low_g, weight_high_g)
    SELECT rowid, randomblob(16), 1, rowid, name, code, replace(replace(replace(
        replace(lower(code), '0', 'o'), '1', 'i'), '7', 'i'), '8', 'b'),
        weight, CAST(weight AS REAL), CAST(weight AS REAL) FROM staging;
INSERT INTO treatment (id, uid, dyer_id, kind)
    SELECT 2 * rowid - 1, randomblob(16), 1, 'mordant' FROM staging;
INSERT INTO treatment (id, uid, dyer_id, kind, on_words, on_from, on_to)
    SELECT 2 * rowid, randomblob(16), 1, 'dye', day, day, day FROM staging;
INSERT INTO entry (uid, treatment_id, skein_id, place)
    SELECT randomblob(16), 2 * rowid - 1, rowid, 1 FROM staging;
INSERT INTO entry (uid, treatment_id, skein_id, place)
    SELECT randomblob(16), 2 * rowid, rowid, 2 FROM staging;
INSERT INTO dose (uid, treatment_id, material_id, role, amount_words,
    amount_unit, amount_low, amount_high)
    SELECT randomblob(16), 2 * rowid - 1, (SELECT id FROM material WHERE
        name_key = 'alum'), 'mordant', ltrim(mordant, 'alum '), 'wof_pct',
        CAST(ltrim(mordant, 'alum ') AS REAL),
        CAST(ltrim(mordant, 'alum ') AS REAL) FROM staging;
INSERT INTO dose (uid, treatment_id, material_id, role, amount_words,
    amount_unit, amount_low, amount_high)
    SELECT randomblob(16), 2 * rowid, (SELECT id FROM material WHERE name_key =
        'madder'), 'dyestuff', ltrim(dyestuff, 'mader '), 'wof_pct',
        CAST(ltrim(dyestuff, 'mader ') AS REAL),
        CAST(ltrim(dyestuff, 'mader ') AS REAL) FROM staging;
DROP TABLE staging;
COMMIT;
