-- How well a skein keeps its colour.

-- A light, wash or rub test. Its colours are readings of the skein: those
-- named here, else the ones found by its days.
CREATE TABLE test (
    id INTEGER PRIMARY KEY,
    uid BLOB NOT NULL UNIQUE DEFAULT (randomblob(16)) CHECK (length(uid) = 16),
    withdrawn INTEGER NOT NULL DEFAULT 0 CHECK (withdrawn IN (0, 1)),
    skein_id INTEGER NOT NULL REFERENCES skein (id),
    kind TEXT NOT NULL CHECK (kind IN ('light', 'wash', 'rub')),
    start_words TEXT,
    start_from TEXT CHECK (start_from IS date(start_from)),
    start_to TEXT CHECK (start_to IS date(start_to)),
    due_words TEXT,                         -- when it is to be looked at
    due_from TEXT CHECK (due_from IS date(due_from)),
    due_to TEXT CHECK (due_to IS date(due_to)),
    ended_words TEXT,
    ended_from TEXT CHECK (ended_from IS date(ended_from)),
    ended_to TEXT CHECK (ended_to IS date(ended_to)),
    exposure TEXT,                          -- as typed: south window, 8 weeks
    before_id INTEGER REFERENCES reading (id),
    after_id INTEGER REFERENCES reading (id),
    note TEXT,
    CHECK (before_id <> after_id)
) STRICT;
CREATE INDEX test_skein ON test (skein_id);
