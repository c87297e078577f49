-- What a camera does to tones and colours, learnt from a photo.

-- One camera in one mode, as one photo with neutrals or a chart showed it.
-- The newest that stands serves later photos with the same make, model and
-- mode that have nothing better than a grey card. Curves are linear light, as
-- the profile gives it and as it was, rising: "0.012,0.032 0.055,0.09".
CREATE TABLE camera (
    id INTEGER PRIMARY KEY,
    uid BLOB NOT NULL UNIQUE DEFAULT (randomblob(16)) CHECK (length(uid) = 16),
    withdrawn INTEGER NOT NULL DEFAULT 0 CHECK (withdrawn IN (0, 1)),
    make TEXT NOT NULL,                     -- of Exif, may be empty
    model TEXT NOT NULL CHECK (length(model) > 0),
    mode TEXT NOT NULL,                     -- profile, software, settings
    photo_id INTEGER NOT NULL REFERENCES photo (id),
    on_words TEXT,                          -- when that was taken
    on_from TEXT CHECK (on_from IS date(on_from)),
    on_to TEXT CHECK (on_to IS date(on_to)),
    neutrals INTEGER NOT NULL CHECK (neutrals >= 2),
    red TEXT NOT NULL,
    green TEXT NOT NULL,
    blue TEXT NOT NULL,
    tones_off REAL CHECK (tones_off >= 0),  -- mean L* of neutrals left out
    colours TEXT CHECK (colours IN ('3x3', 'root polynomial of 6 terms')),
    matrix TEXT,                            -- rows X, Y, Z of 3 or 6 numbers
    colours_off REAL CHECK (colours_off >= 0), -- mean CIEDE2000, left out
    off_L REAL CHECK (off_L >= 0),          -- root mean squares of that
    off_a REAL CHECK (off_a >= 0),
    off_b REAL CHECK (off_b >= 0),
    note TEXT,
    CHECK ((colours IS NULL) = (matrix IS NULL))
) STRICT;
CREATE INDEX camera_name ON camera (model, make, mode);
