-- What is to be dyed: a project, the colours it wants, and the steps to them.

-- How many pots and burners there are, and by when it shall be done.
CREATE TABLE project (
    id INTEGER PRIMARY KEY,
    uid BLOB NOT NULL UNIQUE DEFAULT (randomblob(16)) CHECK (length(uid) = 16),
    withdrawn INTEGER NOT NULL DEFAULT 0 CHECK (withdrawn IN (0, 1)),
    dyer_id INTEGER NOT NULL REFERENCES dyer (id),
    name TEXT NOT NULL CHECK (length(trim(name)) > 0),
    name_key TEXT NOT NULL,
    fibre_id INTEGER REFERENCES fibre (id),
    hank_words TEXT,                        -- what the skeins are split off
    hank_low_g REAL CHECK (hank_low_g >= 0),
    hank_high_g REAL CHECK (hank_high_g >= hank_low_g),
    hank_g REAL AS ((hank_low_g + hank_high_g) / 2) VIRTUAL,
    metres_words TEXT,                      -- of that hank
    metres_low_m REAL CHECK (metres_low_m >= 0),
    metres_high_m REAL CHECK (metres_high_m >= metres_low_m),
    metres_m REAL AS ((metres_low_m + metres_high_m) / 2) VIRTUAL,
    ready TEXT,                             -- local time: 2026-11-29 18:00
    soonest TEXT,                           -- no plan ends before; local time
    pots INTEGER CHECK (pots > 0),
    pot_words TEXT,                         -- what one holds
    pot_low_l REAL CHECK (pot_low_l >= 0),
    pot_high_l REAL CHECK (pot_high_l >= pot_low_l),
    burners INTEGER CHECK (burners > 0),
    jars INTEGER CHECK (jars >= 0),         -- in one water bath
    jar_words TEXT,
    jar_low_l REAL CHECK (jar_low_l >= 0),
    jar_high_l REAL CHECK (jar_high_l >= jar_low_l),
    l_per_kg REAL CHECK (l_per_kg > 0),     -- water for the dry fibre
    up_min INTEGER CHECK (up_min >= 0),     -- of the day: work only between
    to_bed_min INTEGER CHECK (to_bed_min BETWEEN up_min AND 1440),
    said TEXT,                              -- by the plan, a line each
    note TEXT
) STRICT;
CREATE UNIQUE INDEX project_key ON project (dyer_id, name_key)
    WHERE withdrawn = 0;

-- A colour that a project wants, and how it shall be dyed.
CREATE TABLE wish (
    id INTEGER PRIMARY KEY,
    uid BLOB NOT NULL UNIQUE DEFAULT (randomblob(16)) CHECK (length(uid) = 16),
    withdrawn INTEGER NOT NULL DEFAULT 0 CHECK (withdrawn IN (0, 1)),
    project_id INTEGER NOT NULL REFERENCES project (id),
    name TEXT,
    skein_id INTEGER REFERENCES skein (id), -- it shall be like that one
    recipe TEXT,                            -- "dyestuff=madder: 60 %; round=..."
    weight_words TEXT,
    weight_low_g REAL CHECK (weight_low_g >= 0),
    weight_high_g REAL CHECK (weight_high_g >= weight_low_g),
    weight_g REAL AS ((weight_low_g + weight_high_g) / 2) VIRTUAL,
    length_words TEXT,
    length_low_m REAL CHECK (length_low_m >= 0),
    length_high_m REAL CHECK (length_high_m >= length_low_m),
    length_m REAL AS ((length_low_m + length_high_m) / 2) VIRTUAL,
    skeins TEXT,                            -- by number: "61", "61, 63"
    note TEXT
) STRICT;
CREATE INDEX wish_project ON wish (project_id);

-- A planned step. What was planned stays here; what was done stands in the
-- treatment or the bath that it became.
CREATE TABLE task (
    id INTEGER PRIMARY KEY,
    uid BLOB NOT NULL UNIQUE DEFAULT (randomblob(16)) CHECK (length(uid) = 16),
    withdrawn INTEGER NOT NULL DEFAULT 0 CHECK (withdrawn IN (0, 1)),
    project_id INTEGER NOT NULL REFERENCES project (id),
    number INTEGER CHECK (number > 0),      -- in the project
    kind TEXT NOT NULL CHECK (kind IN ('soak', 'mordant', 'extract', 'dye',
        'dip', 'rinse')),
    name TEXT,                              -- "dye: madder, exhaust 1"
    skeins TEXT,                            -- by number: "61, 63"
    doses TEXT,                             -- "mordant alum: 12 %; assist ..."
    volume_words TEXT,
    volume_low_l REAL CHECK (volume_low_l >= 0),
    volume_high_l REAL CHECK (volume_high_l >= volume_low_l),
    temperature_words TEXT,
    temperature_low_c REAL,
    temperature_high_c REAL CHECK (temperature_high_c >= temperature_low_c),
    minutes_words TEXT,                     -- at that heat
    minutes_low_min REAL CHECK (minutes_low_min >= 0),
    minutes_high_min REAL CHECK (minutes_high_min >= minutes_low_min),
    source TEXT,                            -- who says that heat and time
    liquor TEXT,                            -- steps of one name share it
    round INTEGER CHECK (round >= 0),
    vessel TEXT,                            -- "pot 2, burner 1"
    begins TEXT,                            -- local time: 2026-11-28 09:30
    takes_min INTEGER CHECK (takes_min > 0),
    attended_min INTEGER CHECK (attended_min BETWEEN 0 AND takes_min),
    burner_min INTEGER CHECK (burner_min BETWEEN 0 AND attended_min),
    pot_min INTEGER CHECK (pot_min BETWEEN burner_min AND takes_min),
    jar INTEGER CHECK (jar >= 0),           -- of one number: may share a bath
    after TEXT,                             -- numbers of steps: "1, 4"
    done INTEGER NOT NULL DEFAULT 0 CHECK (done IN (0, 1)),
    done_words TEXT,                        -- the day
    done_from TEXT CHECK (done_from IS date(done_from)),
    done_to TEXT CHECK (done_to IS date(done_to)),
    bath_id INTEGER REFERENCES bath (id),   -- what it became
    treatment_id INTEGER REFERENCES treatment (id),
    note TEXT
) STRICT;
CREATE INDEX task_project ON task (project_id, number);
CREATE INDEX task_bath ON task (bath_id);
CREATE INDEX task_treatment ON task (treatment_id);
