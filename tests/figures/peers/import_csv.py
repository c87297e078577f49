"""A list of skeins into a new book by csv and sqlite3: the same records as
import.sql makes, history by the triggers: import_csv.py BOOK.db LIST.csv"""
import csv
import os
import sqlite3
import sys
import time


MISREAD = str.maketrans("0178", "oiib")  # in the key of a code


def uid():
    return os.urandom(16)


def dose(words, name):  # "alum 12 %": as typed, and the number
    amount = words.removeprefix(name).strip()
    return amount, float(amount.removesuffix("%"))


skeins, treatments, entries, doses = [], [], [], []
with open(sys.argv[2], newline="", encoding="utf-8") as f:
    for i, row in enumerate(csv.DictReader(f), 1):
        grams = float(row["weight"].removesuffix("g"))
        mordanting, dyeing, day = 2 * i - 1, 2 * i, row["date"]
        code = row["code"]
        skeins.append((i, uid(), i, row["name"], code,
                       code.lower().translate(MISREAD), row["weight"], grams,
                       grams))
        treatments.append((mordanting, uid(), "mordant", None, None, None))
        treatments.append((dyeing, uid(), "dye", day, day, day))
        entries.append((uid(), mordanting, i, 1))
        entries.append((uid(), dyeing, i, 2))
        for of, role, name in ((mordanting, "mordant", "alum"),
                               (dyeing, "dyestuff", "madder")):
            words, amount = dose(row[role], name)
            doses.append((uid(), of, name, role, words, amount, amount))

db = sqlite3.connect(sys.argv[1])
db.execute("PRAGMA journal_mode = WAL")
db.execute("PRAGMA synchronous = FULL")
# Else what each trigger could have to take back goes into a file: four times as
# long.
db.execute("PRAGMA temp_store = MEMORY")
with db:
    db.execute("INSERT INTO act (uid, at, offset_min, what)"
               " VALUES (?, ?, 0, 'import')", (uid(), int(time.time()) * 1000))
    db.executemany("INSERT INTO material (uid, kind, name, name_key)"
                   " VALUES (?, ?, ?, ?)",
                   [(uid(), "mordant", "alum", "alum"),
                    (uid(), "dyestuff", "madder", "madder")])
    db.executemany("INSERT INTO skein (id, uid, dyer_id, number, name,"
                   " code, code_key, weight_words, weight_low_g,"
                   " weight_high_g) VALUES (?, ?, 1, ?, ?, ?, ?, ?, ?, ?)",
                   skeins)
    db.executemany("INSERT INTO treatment (id, uid, dyer_id, kind, on_words,"
                   " on_from, on_to) VALUES (?, ?, 1, ?, ?, ?, ?)", treatments)
    db.executemany("INSERT INTO entry (uid, treatment_id, skein_id, place)"
                   " VALUES (?, ?, ?, ?)", entries)
    db.executemany("INSERT INTO dose (uid, treatment_id, material_id, role,"
                   " amount_words, amount_unit, amount_low, amount_high)"
                   " VALUES (?, ?, (SELECT id FROM material WHERE name_key = ?),"
                   " ?, ?, 'wof_pct', ?, ?)", doses)
