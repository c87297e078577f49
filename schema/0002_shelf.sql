-- What the records come to. All of it can be made from them again.

-- Each combination of what skeins have gone through, once. Sets are material
-- ids in rising order with a comma before and after: ",3,17,".
CREATE TABLE recipe (
    id INTEGER PRIMARY KEY CHECK (id < 4294967296), -- 4 bytes on the shelf
    dyestuffs TEXT NOT NULL,
    mordants TEXT NOT NULL,
    dips TEXT NOT NULL,                     -- modifiers since the last dye
    last_dyestuffs TEXT NOT NULL,
    layers INTEGER NOT NULL,                -- how many dye treatments
    round INTEGER                           -- of the last dye
) STRICT;
CREATE UNIQUE INDEX recipe_key ON recipe (last_dyestuffs, mordants, dips,
    dyestuffs, layers, coalesce(round, -1));

-- What a skein has gone through, before its first entry (ordinal 0, where a
-- cut or plied skein brings its parents' life) and after each one.
CREATE TABLE step (
    skein_id INTEGER NOT NULL REFERENCES skein (id),
    ordinal INTEGER NOT NULL,
    entry_id INTEGER REFERENCES entry (id), -- NULL at ordinal 0
    treatment_id INTEGER REFERENCES treatment (id), -- of the entry
    last INTEGER NOT NULL CHECK (last IN (0, 1)),
    recipe_id INTEGER NOT NULL REFERENCES recipe (id),
    dye_treatment_id INTEGER REFERENCES treatment (id), -- the last one
    bath_id INTEGER REFERENCES bath (id),   -- of the last dye
    PRIMARY KEY (skein_id, ordinal)
) STRICT, WITHOUT ROWID;
CREATE INDEX step_treatment ON step (treatment_id);
CREATE INDEX step_recipe ON step (recipe_id);
CREATE INDEX step_bath ON step (bath_id);

-- Each skein that is not withdrawn as it is after its last step, with the
-- colour it goes by, packed by pages; src/book/pack.h says how.
CREATE TABLE shelf (
    id INTEGER PRIMARY KEY,
    cells BLOB NOT NULL
) STRICT;

-- Questions that begin with a day or a supply.
CREATE INDEX treatment_on ON treatment (on_from, on_to);
CREATE INDEX dose_supply ON dose (supply_id);
