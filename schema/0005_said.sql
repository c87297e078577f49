-- What notes say, word by word. It can be made from them again.

-- The note of each record that is not withdrawn; rowid is 64 times the
-- record's id, plus the place of its kind in the program's table of kinds.
-- Letters with marks are found without them, and the other way round.
CREATE VIRTUAL TABLE said USING fts5 (note, of_table UNINDEXED,
    tokenize = "unicode61 remove_diacritics 2");
