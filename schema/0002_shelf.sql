-- Can be rebuilt, as step can.

-- Each skein that is not withdrawn as it is now: its last step, and the colour
-- it goes by (dry, whole, D50, 2 degree), so that a question to the whole
-- shelf is one pass over this table.
CREATE TABLE shelf (
    skein_id INTEGER PRIMARY KEY REFERENCES skein (id),
    lack INTEGER NOT NULL CHECK (lack BETWEEN 0 AND 6), -- enum ask_lack
    L REAL CHECK ((L IS NULL) = (lack <> 0)),
    a REAL,
    b REAL,
    unlike INTEGER NOT NULL,                -- of one fresh dye alone: 0; else
                                            -- 1 dipped + 2 dyed more than once
                                            -- + 4 in an exhaust
    last_dyestuffs TEXT NOT NULL,           -- sets and numbers as in step, but
                                            -- ',' dyed with nobody knows what
    mordants TEXT NOT NULL,
    dips TEXT NOT NULL,
    round INTEGER,
    dyer_id INTEGER NOT NULL REFERENCES dyer (id),
    number INTEGER NOT NULL,
    name INTEGER CHECK (name BETWEEN 1 AND 267), -- ISCC-NBS, the nearest
    layers INTEGER NOT NULL,
    dyestuffs TEXT NOT NULL,
    entry_id INTEGER REFERENCES entry (id),
    dye_treatment_id INTEGER REFERENCES treatment (id),
    bath_id INTEGER REFERENCES bath (id)
) STRICT;
