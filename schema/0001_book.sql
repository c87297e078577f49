-- The book of one dyer, and what others gave her.
--
-- Every record has a local id, a uid that is its own in every book, and a
-- mark for withdrawn: nothing is deleted, and a name is free again when its
-- record is withdrawn. What was typed stands in *_words
-- beside the number or range it was read as. Units are in the names: _g _c
-- _min _l _m _pct; days (_from, _to) are civil days YYYY-MM-DD, moments
-- (_at) UTC milliseconds. NULL is "not recorded".
--
-- Recorded facts come first; what can be rebuilt from them is at the end.

-- One command or one form. Ordered by id, never by the clock.
CREATE TABLE act (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    uid BLOB NOT NULL UNIQUE DEFAULT (randomblob(16)) CHECK (length(uid) = 16),
    at INTEGER NOT NULL,                    -- UTC milliseconds
    offset_min INTEGER NOT NULL,            -- of the place, minutes east of UTC
    what TEXT NOT NULL,                     -- 'log', 'skein edit', ...
    device TEXT,                            -- NULL: the command line
    undoes_id INTEGER REFERENCES act (id)
) STRICT;

-- What an act changed; written by triggers, never by hand. One row without a
-- field for a new record, one row a field for a change.
CREATE TABLE history (
    id INTEGER PRIMARY KEY,
    act_id INTEGER NOT NULL REFERENCES act (id),
    of_table TEXT NOT NULL,
    row_id INTEGER NOT NULL,
    field TEXT,                             -- NULL: the record began here
    old ANY,
    new ANY
) STRICT;
CREATE INDEX history_of ON history (of_table, row_id, act_id);
CREATE INDEX history_act ON history (act_id);

-- Whose a record is.
CREATE TABLE dyer (
    id INTEGER PRIMARY KEY,
    uid BLOB NOT NULL UNIQUE DEFAULT (randomblob(16)) CHECK (length(uid) = 16),
    withdrawn INTEGER NOT NULL DEFAULT 0 CHECK (withdrawn IN (0, 1)),
    name TEXT NOT NULL CHECK (length(trim(name)) > 0),
    mine INTEGER NOT NULL DEFAULT 0 CHECK (mine IN (0, 1)), -- this book's own
    note TEXT
) STRICT;
CREATE UNIQUE INDEX dyer_mine ON dyer (mine) WHERE mine = 1;
CREATE UNIQUE INDEX dyer_name ON dyer (name) WHERE withdrawn = 0;

-- A dyestuff, mordant, ... of which there may be many supplies.
CREATE TABLE material (
    id INTEGER PRIMARY KEY,
    uid BLOB NOT NULL UNIQUE DEFAULT (randomblob(16)) CHECK (length(uid) = 16),
    withdrawn INTEGER NOT NULL DEFAULT 0 CHECK (withdrawn IN (0, 1)),
    kind TEXT NOT NULL CHECK (kind IN ('dyestuff', 'mordant', 'assist', 'acid',
        'alkali', 'modifier', 'cleanser')),
    name TEXT NOT NULL CHECK (length(trim(name)) > 0),
    name_key TEXT NOT NULL,                 -- folded, for looking up
    latin TEXT,
    part TEXT,                              -- root, hulls, caps, whole plant
    form TEXT,                              -- chips, extract, dodecahydrate
    none INTEGER NOT NULL DEFAULT 0 CHECK (none IN (0, 1)), -- "no mordant"
    note TEXT
) STRICT;
CREATE UNIQUE INDEX material_key ON material (name_key) WHERE withdrawn = 0;

-- Names a material had or has elsewhere; they are still found.
CREATE TABLE alias (
    id INTEGER PRIMARY KEY,
    uid BLOB NOT NULL UNIQUE DEFAULT (randomblob(16)) CHECK (length(uid) = 16),
    withdrawn INTEGER NOT NULL DEFAULT 0 CHECK (withdrawn IN (0, 1)),
    material_id INTEGER NOT NULL REFERENCES material (id),
    name TEXT NOT NULL CHECK (length(trim(name)) > 0),
    name_key TEXT NOT NULL,
    note TEXT
) STRICT;
CREATE INDEX alias_key ON alias (name_key);
CREATE INDEX alias_material ON alias (material_id);

-- One batch of a material.
CREATE TABLE supply (
    id INTEGER PRIMARY KEY,
    uid BLOB NOT NULL UNIQUE DEFAULT (randomblob(16)) CHECK (length(uid) = 16),
    withdrawn INTEGER NOT NULL DEFAULT 0 CHECK (withdrawn IN (0, 1)),
    dyer_id INTEGER NOT NULL REFERENCES dyer (id),
    material_id INTEGER NOT NULL REFERENCES material (id),
    name TEXT,
    name_key TEXT,
    source TEXT CHECK (source IN ('gathered', 'grown', 'bought', 'given')),
    place TEXT,                             -- private: never exported unasked
    got_words TEXT,
    got_from TEXT CHECK (got_from IS date(got_from)),
    got_to TEXT CHECK (got_to IS date(got_to)),
    amount_words TEXT,
    amount_low_g REAL CHECK (amount_low_g >= 0),
    amount_high_g REAL CHECK (amount_high_g >= amount_low_g),
    amount_g REAL AS ((amount_low_g + amount_high_g) / 2) VIRTUAL,
    state TEXT CHECK (state IN ('fresh', 'dry', 'frozen', 'extract', 'other')),
    fresh_per_dry REAL CHECK (fresh_per_dry >= 1), -- grams fresh a gram dry
    named_by TEXT,
    sure TEXT CHECK (sure IN ('sure', 'likely', 'guess', 'unknown')),
    note TEXT
) STRICT;
CREATE INDEX supply_material ON supply (material_id);

-- Yarn or cloth before it was a skein.
CREATE TABLE fibre (
    id INTEGER PRIMARY KEY,
    uid BLOB NOT NULL UNIQUE DEFAULT (randomblob(16)) CHECK (length(uid) = 16),
    withdrawn INTEGER NOT NULL DEFAULT 0 CHECK (withdrawn IN (0, 1)),
    dyer_id INTEGER NOT NULL REFERENCES dyer (id),
    name TEXT NOT NULL CHECK (length(trim(name)) > 0),
    name_key TEXT NOT NULL,
    content TEXT,                           -- 100 % wool, 75 wool 25 nylon
    preparation TEXT,                       -- worsted, superwash, scoured
    m_per_100g REAL CHECK (m_per_100g > 0),
    note TEXT
) STRICT;
CREATE UNIQUE INDEX fibre_key ON fibre (dyer_id, name_key)
    WHERE withdrawn = 0;

-- A source of water named once.
CREATE TABLE water (
    id INTEGER PRIMARY KEY,
    uid BLOB NOT NULL UNIQUE DEFAULT (randomblob(16)) CHECK (length(uid) = 16),
    withdrawn INTEGER NOT NULL DEFAULT 0 CHECK (withdrawn IN (0, 1)),
    dyer_id INTEGER NOT NULL REFERENCES dyer (id),
    name TEXT NOT NULL CHECK (length(trim(name)) > 0),
    name_key TEXT NOT NULL,
    source TEXT,                            -- tap, rain, well, lake
    hardness TEXT,                          -- as typed: 4 dH, soft
    ph_words TEXT,
    ph_low REAL CHECK (ph_low BETWEEN 0 AND 14),
    ph_high REAL CHECK (ph_high BETWEEN ph_low AND 14),
    ph_how TEXT CHECK (ph_how IN ('strip', 'meter', 'guess')),
    note TEXT
) STRICT;
CREATE UNIQUE INDEX water_key ON water (dyer_id, name_key)
    WHERE withdrawn = 0;

-- One skein; its number is never used again.
CREATE TABLE skein (
    id INTEGER PRIMARY KEY,
    uid BLOB NOT NULL UNIQUE DEFAULT (randomblob(16)) CHECK (length(uid) = 16),
    withdrawn INTEGER NOT NULL DEFAULT 0 CHECK (withdrawn IN (0, 1)),
    dyer_id INTEGER NOT NULL REFERENCES dyer (id),
    number INTEGER NOT NULL CHECK (number > 0),
    name TEXT,
    code TEXT,                              -- pencilled; need not be unique
    code_key TEXT,
    fibre_id INTEGER REFERENCES fibre (id),
    weight_words TEXT,                      -- of the dry skein
    weight_low_g REAL CHECK (weight_low_g >= 0),
    weight_high_g REAL CHECK (weight_high_g >= weight_low_g),
    weight_g REAL AS ((weight_low_g + weight_high_g) / 2) VIRTUAL,
    weighed TEXT CHECK (weighed IN ('dry', 'wet', 'after', 'guessed')),
    length_words TEXT,
    length_low_m REAL CHECK (length_low_m >= 0),
    length_high_m REAL CHECK (length_high_m >= length_low_m),
    length_m REAL AS ((length_low_m + length_high_m) / 2) VIRTUAL,
    colour TEXT,                            -- the dyer's own word for it
    colour_key TEXT,
    place TEXT,                             -- where the skein is now
    finished INTEGER CHECK (finished IN (0, 1)), -- 0: to be filled in later
    note TEXT,
    UNIQUE (dyer_id, number)
) STRICT;
CREATE INDEX skein_code ON skein (code_key);
CREATE INDEX skein_colour ON skein (colour_key);
CREATE INDEX skein_fibre ON skein (fibre_id);

-- Where a skein came from: cut off one parent, or plied from several.
CREATE TABLE origin (
    id INTEGER PRIMARY KEY,
    uid BLOB NOT NULL UNIQUE DEFAULT (randomblob(16)) CHECK (length(uid) = 16),
    withdrawn INTEGER NOT NULL DEFAULT 0 CHECK (withdrawn IN (0, 1)),
    child_id INTEGER NOT NULL REFERENCES skein (id),
    parent_id INTEGER NOT NULL REFERENCES skein (id),
    after_entry_id INTEGER REFERENCES entry (id), -- of the parent; NULL: before any
    amount_words TEXT,
    amount_low_g REAL CHECK (amount_low_g >= 0),
    amount_high_g REAL CHECK (amount_high_g >= amount_low_g),
    amount_g REAL AS ((amount_low_g + amount_high_g) / 2) VIRTUAL,
    part REAL CHECK (part > 0 AND part <= 1), -- of the parent, if that was said
    note TEXT,
    CHECK (child_id <> parent_id)
) STRICT;
CREATE INDEX origin_child ON origin (child_id);
CREATE INDEX origin_parent ON origin (parent_id);

-- A liquor with a life.
CREATE TABLE bath (
    id INTEGER PRIMARY KEY,
    uid BLOB NOT NULL UNIQUE DEFAULT (randomblob(16)) CHECK (length(uid) = 16),
    withdrawn INTEGER NOT NULL DEFAULT 0 CHECK (withdrawn IN (0, 1)),
    dyer_id INTEGER NOT NULL REFERENCES dyer (id),
    number INTEGER NOT NULL CHECK (number > 0),
    name TEXT,
    name_key TEXT,
    kind TEXT NOT NULL CHECK (kind IN ('dye', 'vat', 'mordant', 'modifier')),
    water_id INTEGER REFERENCES water (id),
    volume_words TEXT,
    volume_low_l REAL CHECK (volume_low_l >= 0),
    volume_high_l REAL CHECK (volume_high_l >= volume_low_l),
    volume_l REAL AS ((volume_low_l + volume_high_l) / 2) VIRTUAL,
    storage TEXT,                           -- jar in the cellar, frozen
    spent INTEGER CHECK (spent IN (0, 1)),
    note TEXT,
    UNIQUE (dyer_id, number)
) STRICT;
CREATE INDEX bath_name ON bath (name_key);

-- A bath made by merging others or by pouring one over.
CREATE TABLE pour (
    id INTEGER PRIMARY KEY,
    uid BLOB NOT NULL UNIQUE DEFAULT (randomblob(16)) CHECK (length(uid) = 16),
    withdrawn INTEGER NOT NULL DEFAULT 0 CHECK (withdrawn IN (0, 1)),
    bath_id INTEGER NOT NULL REFERENCES bath (id),  -- what it became
    parent_id INTEGER NOT NULL REFERENCES bath (id), -- where it came from
    volume_words TEXT,
    volume_low_l REAL CHECK (volume_low_l >= 0),
    volume_high_l REAL CHECK (volume_high_l >= volume_low_l),
    on_words TEXT,
    on_from TEXT CHECK (on_from IS date(on_from)),
    on_to TEXT CHECK (on_to IS date(on_to)),
    before_round INTEGER CHECK (before_round >= 0), -- of bath_id; NULL is 0
    note TEXT,
    CHECK (bath_id <> parent_id)
) STRICT;
CREATE INDEX pour_bath ON pour (bath_id);
CREATE INDEX pour_parent ON pour (parent_id);

-- Getting the colour out of the dyestuff, before any skein.
CREATE TABLE extraction (
    id INTEGER PRIMARY KEY,
    uid BLOB NOT NULL UNIQUE DEFAULT (randomblob(16)) CHECK (length(uid) = 16),
    withdrawn INTEGER NOT NULL DEFAULT 0 CHECK (withdrawn IN (0, 1)),
    bath_id INTEGER NOT NULL REFERENCES bath (id),
    on_words TEXT,
    on_from TEXT CHECK (on_from IS date(on_from)),
    on_to TEXT CHECK (on_to IS date(on_to)),
    temperature_words TEXT,
    temperature_low_c REAL,
    temperature_high_c REAL CHECK (temperature_high_c >= temperature_low_c),
    minutes_words TEXT,
    minutes_low_min REAL CHECK (minutes_low_min >= 0),
    minutes_high_min REAL CHECK (minutes_high_min >= minutes_low_min),
    pulls INTEGER CHECK (pulls > 0),
    straining TEXT CHECK (straining IN ('strained', 'bagged', 'loose')),
    note TEXT
) STRICT;
CREATE INDEX extraction_bath ON extraction (bath_id);

-- One thing done in one vessel to some skeins.
CREATE TABLE treatment (
    id INTEGER PRIMARY KEY,
    uid BLOB NOT NULL UNIQUE DEFAULT (randomblob(16)) CHECK (length(uid) = 16),
    withdrawn INTEGER NOT NULL DEFAULT 0 CHECK (withdrawn IN (0, 1)),
    dyer_id INTEGER NOT NULL REFERENCES dyer (id),
    kind TEXT NOT NULL CHECK (kind IN ('scour', 'mordant', 'dye', 'vat', 'dip',
        'wash', 'other')),
    bath_id INTEGER REFERENCES bath (id),
    round INTEGER CHECK (round IS NULL OR (round >= 0 AND (kind = 'dye' OR
        bath_id IS NOT NULL))),
        -- how often the bath was used before: 0 first, of dye then exhausts
    on_words TEXT,
    on_from TEXT CHECK (on_from IS date(on_from)),
    on_to TEXT CHECK (on_to IS date(on_to)),
    vessel TEXT,
    temperature_words TEXT,
    temperature_low_c REAL,
    temperature_high_c REAL CHECK (temperature_high_c >= temperature_low_c),
    minutes_words TEXT,
    minutes_low_min REAL CHECK (minutes_low_min >= 0),
    minutes_high_min REAL CHECK (minutes_high_min >= minutes_low_min),
    cooled INTEGER CHECK (cooled IN (0, 1)), -- in the bath
    dips INTEGER CHECK (dips > 0),           -- of a vat
    airing_words TEXT,                       -- between the dips of a vat
    airing_low_min REAL CHECK (airing_low_min >= 0),
    airing_high_min REAL CHECK (airing_high_min >= airing_low_min),
    note TEXT
) STRICT;
CREATE INDEX treatment_bath ON treatment (bath_id, round);

-- A skein in a treatment.
CREATE TABLE entry (
    id INTEGER PRIMARY KEY,
    uid BLOB NOT NULL UNIQUE DEFAULT (randomblob(16)) CHECK (length(uid) = 16),
    withdrawn INTEGER NOT NULL DEFAULT 0 CHECK (withdrawn IN (0, 1)),
    treatment_id INTEGER NOT NULL REFERENCES treatment (id),
    skein_id INTEGER NOT NULL REFERENCES skein (id),
    place REAL NOT NULL,                    -- order in the skein's life
    weight_words TEXT,                      -- dry, at that time, if it differs
    weight_low_g REAL CHECK (weight_low_g >= 0),
    weight_high_g REAL CHECK (weight_high_g >= weight_low_g),
    weight_g REAL AS ((weight_low_g + weight_high_g) / 2) VIRTUAL,
    dipped TEXT,                            -- part of the skein, e.g. half
    note TEXT
) STRICT;
CREATE INDEX entry_skein ON entry (skein_id, place);
CREATE INDEX entry_treatment ON entry (treatment_id);

-- Something put into a bath or into a treatment.
CREATE TABLE dose (
    id INTEGER PRIMARY KEY,
    uid BLOB NOT NULL UNIQUE DEFAULT (randomblob(16)) CHECK (length(uid) = 16),
    withdrawn INTEGER NOT NULL DEFAULT 0 CHECK (withdrawn IN (0, 1)),
    bath_id INTEGER REFERENCES bath (id),
    treatment_id INTEGER REFERENCES treatment (id),
    material_id INTEGER NOT NULL REFERENCES material (id),
    supply_id INTEGER REFERENCES supply (id),
    role TEXT NOT NULL CHECK (role IN ('dyestuff', 'mordant', 'assist', 'acid',
        'alkali', 'modifier', 'cleanser')),
    before_round INTEGER CHECK (before_round >= 0), -- of a bath; NULL is 0
    added TEXT CHECK (added IN ('before', 'with', 'after')), -- the yarn
    minute REAL CHECK (minute >= 0),        -- of the treatment
    amount_words TEXT,
    amount_unit TEXT CHECK (amount_unit IN ('g', 'ml', 'wof_pct', 'per_fibre')),
    amount_low REAL CHECK (amount_low >= 0),
    amount_high REAL CHECK (amount_high >= amount_low),
    known TEXT CHECK (known IN ('weighed', 'guessed', 'unknown')),
    state TEXT CHECK (state IN ('fresh', 'dry', 'frozen', 'extract', 'other')),
    fresh_per_dry REAL CHECK (fresh_per_dry >= 1),
    note TEXT,
    CHECK ((bath_id IS NULL) <> (treatment_id IS NULL))
) STRICT;
CREATE INDEX dose_bath ON dose (bath_id);
CREATE INDEX dose_treatment ON dose (treatment_id);
CREATE INDEX dose_material ON dose (material_id);

-- The acidity of a bath at some time.
CREATE TABLE ph (
    id INTEGER PRIMARY KEY,
    uid BLOB NOT NULL UNIQUE DEFAULT (randomblob(16)) CHECK (length(uid) = 16),
    withdrawn INTEGER NOT NULL DEFAULT 0 CHECK (withdrawn IN (0, 1)),
    bath_id INTEGER REFERENCES bath (id),
    treatment_id INTEGER REFERENCES treatment (id),
    ph_words TEXT NOT NULL,
    ph_low REAL CHECK (ph_low BETWEEN 0 AND 14),
    ph_high REAL CHECK (ph_high BETWEEN ph_low AND 14),
    ph_how TEXT CHECK (ph_how IN ('strip', 'meter', 'guess')),
    moment TEXT CHECK (moment IN ('before', 'during', 'after', 'stored')),
    on_words TEXT,
    on_from TEXT CHECK (on_from IS date(on_from)),
    on_to TEXT CHECK (on_to IS date(on_to)),
    note TEXT,
    CHECK (bath_id IS NOT NULL OR treatment_id IS NOT NULL)
) STRICT;
CREATE INDEX ph_bath ON ph (bath_id);
CREATE INDEX ph_treatment ON ph (treatment_id);

-- A picture; the file is photos/ab/ab...jpg, named by its SHA-256.
CREATE TABLE photo (
    id INTEGER PRIMARY KEY,
    uid BLOB NOT NULL UNIQUE DEFAULT (randomblob(16)) CHECK (length(uid) = 16),
    withdrawn INTEGER NOT NULL DEFAULT 0 CHECK (withdrawn IN (0, 1)),
    dyer_id INTEGER NOT NULL REFERENCES dyer (id),
    sha256 BLOB NOT NULL UNIQUE CHECK (length(sha256) = 32),
    bytes INTEGER NOT NULL CHECK (bytes > 0),
    width_px INTEGER CHECK (width_px > 0),  -- as displayed upright
    height_px INTEGER CHECK (height_px > 0),
    orientation INTEGER CHECK (orientation BETWEEN 1 AND 8),
    camera TEXT,
    profile TEXT,
    on_words TEXT,                          -- when it was taken
    on_from TEXT CHECK (on_from IS date(on_from)),
    on_to TEXT CHECK (on_to IS date(on_to)),
    shows TEXT NOT NULL DEFAULT 'colour' CHECK (shows IN ('colour', 'tag',
        'ultraviolet', 'finished', 'other')),
    has_gps INTEGER CHECK (has_gps IN (0, 1)),
    note TEXT
) STRICT;

-- A skein that a kept picture shows, or that was looked at without one, with
-- what was seen under the lamp.
CREATE TABLE sight (
    id INTEGER PRIMARY KEY,
    uid BLOB NOT NULL UNIQUE DEFAULT (randomblob(16)) CHECK (length(uid) = 16),
    withdrawn INTEGER NOT NULL DEFAULT 0 CHECK (withdrawn IN (0, 1)),
    photo_id INTEGER REFERENCES photo (id), -- NULL: seen by eye
    skein_id INTEGER NOT NULL REFERENCES skein (id),
    glow TEXT CHECK (glow IN ('none', 'faint', 'strong')),
    glow_colour TEXT,
    on_words TEXT,                          -- without a photo, which has its own
    on_from TEXT CHECK (on_from IS date(on_from)),
    on_to TEXT CHECK (on_to IS date(on_to)),
    note TEXT,
    CHECK (photo_id IS NOT NULL OR glow IS NOT NULL OR glow_colour IS NOT NULL)
) STRICT;
CREATE INDEX sight_photo ON sight (photo_id);
CREATE INDEX sight_skein ON sight (skein_id);

-- A grey card, grey steps or a chart, and what it is said to be.
CREATE TABLE card (
    id INTEGER PRIMARY KEY,
    uid BLOB NOT NULL UNIQUE DEFAULT (randomblob(16)) CHECK (length(uid) = 16),
    withdrawn INTEGER NOT NULL DEFAULT 0 CHECK (withdrawn IN (0, 1)),
    dyer_id INTEGER NOT NULL REFERENCES dyer (id),
    name TEXT NOT NULL CHECK (length(trim(name)) > 0),
    name_key TEXT NOT NULL,
    kind TEXT NOT NULL DEFAULT 'grey' CHECK (kind IN ('grey', 'steps',
        'chart')),
    L REAL CHECK (L BETWEEN 0 AND 110),     -- D50, 2 degree
    a REAL CHECK (a BETWEEN -128 AND 128),
    b REAL CHECK (b BETWEEN -128 AND 128),
    uL REAL CHECK (uL >= 0),                -- one sigma
    ua REAL CHECK (ua >= 0),
    ub REAL CHECK (ub >= 0),
    source TEXT NOT NULL DEFAULT 'unknown' CHECK (source IN ('measured',
        'stated', 'unknown')),
    measured_by TEXT,
    on_words TEXT,
    on_from TEXT CHECK (on_from IS date(on_from)),
    on_to TEXT CHECK (on_to IS date(on_to)),
    usual INTEGER NOT NULL DEFAULT 0 CHECK (usual IN (0, 1)), -- taken unasked
    note TEXT
) STRICT;
CREATE UNIQUE INDEX card_key ON card (dyer_id, name_key)
    WHERE withdrawn = 0;

-- One colour of a skein, or of a fibre without dye. Never overwritten.
-- L a b are as typed for an instrument, D50 and 2 degree for a photo.
-- Covariances are one-sigma squared: set_* for the same set-up (card, light,
-- camera, day), abs_* against the true colour.
CREATE TABLE reading (
    id INTEGER PRIMARY KEY,
    uid BLOB NOT NULL UNIQUE DEFAULT (randomblob(16)) CHECK (length(uid) = 16),
    withdrawn INTEGER NOT NULL DEFAULT 0 CHECK (withdrawn IN (0, 1)),
    dyer_id INTEGER NOT NULL REFERENCES dyer (id),
    skein_id INTEGER REFERENCES skein (id),
    after_entry_id INTEGER REFERENCES entry (id), -- NULL: before its first
    fibre_id INTEGER REFERENCES fibre (id),
    mordant_id INTEGER REFERENCES material (id), -- of a fibre: that alone
    -- covered, exposed: of a light test; dipped, rest: of a skein that was
    -- dipped in part (entry.dipped says in which)
    part TEXT NOT NULL DEFAULT 'whole' CHECK (part IN ('whole', 'covered',
        'exposed', 'dipped', 'rest')),
    wet INTEGER NOT NULL DEFAULT 0 CHECK (wet IN (0, 1)),
    L REAL NOT NULL CHECK (L BETWEEN -5 AND 150),
    a REAL NOT NULL CHECK (a BETWEEN -200 AND 200),
    b REAL NOT NULL CHECK (b BETWEEN -200 AND 200),
    illuminant TEXT NOT NULL DEFAULT 'D50',
    observer_deg INTEGER NOT NULL DEFAULT 2 CHECK (observer_deg IN (2, 10)),
    geometry TEXT,                          -- d/8, 45/0; an instrument's
    set_LL REAL, set_La REAL, set_Lb REAL, set_aa REAL, set_ab REAL, set_bb REAL,
    abs_LL REAL, abs_La REAL, abs_Lb REAL, abs_aa REAL, abs_ab REAL, abs_bb REAL,
    level_L REAL, level_a REAL, level_b REAL, -- SD over the area
    source TEXT NOT NULL CHECK (source IN ('photo', 'instrument', 'eye')),
    instrument TEXT,
    card_id INTEGER REFERENCES card (id),
    card_L REAL, card_a REAL, card_b REAL,  -- the card's value as used
    method INTEGER,                         -- version of the measuring method
    on_words TEXT,
    on_from TEXT CHECK (on_from IS date(on_from)),
    on_to TEXT CHECK (on_to IS date(on_to)),
    note TEXT,
    CHECK ((skein_id IS NULL) <> (fibre_id IS NULL)),
    CHECK ((set_LL IS NULL) = (set_bb IS NULL)),
    CHECK ((abs_LL IS NULL) = (abs_bb IS NULL)),
    CHECK (source <> 'photo' OR (illuminant = 'D50' AND observer_deg = 2))
) STRICT;
CREATE INDEX reading_skein ON reading (skein_id, after_entry_id);
CREATE INDEX reading_fibre ON reading (fibre_id);

-- Where on which photo a reading was taken; several photos make one reading.
CREATE TABLE region (
    id INTEGER PRIMARY KEY,
    uid BLOB NOT NULL UNIQUE DEFAULT (randomblob(16)) CHECK (length(uid) = 16),
    withdrawn INTEGER NOT NULL DEFAULT 0 CHECK (withdrawn IN (0, 1)),
    reading_id INTEGER NOT NULL REFERENCES reading (id),
    photo_id INTEGER NOT NULL REFERENCES photo (id),
    x INTEGER NOT NULL, y INTEGER NOT NULL, -- pixels, displayed upright
    w INTEGER NOT NULL CHECK (w > 0), h INTEGER NOT NULL CHECK (h > 0),
    card_x INTEGER, card_y INTEGER, card_w INTEGER, card_h INTEGER,
    assumed_profile TEXT,                   -- what the dyer said it is
    L REAL NOT NULL, a REAL NOT NULL, b REAL NOT NULL, -- this photo alone
    notes TEXT                              -- one sentence a line
) STRICT;
CREATE INDEX region_reading ON region (reading_id);
CREATE INDEX region_photo ON region (photo_id);
