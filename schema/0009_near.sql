-- What finds the nearest colours without a look at all of them. Both can be
-- made from the records again.

-- Readings that may be the colour a skein goes by, in cells of 1 in L* and 2 in
-- a*; src/book/near.c asks it.
CREATE INDEX reading_colour ON reading (CAST(L AS INTEGER),
    CAST(a / 2 AS INTEGER), b, L, a, skein_id)
    WHERE withdrawn = 0 AND wet = 0 AND part = 'whole' AND illuminant = 'D50'
    AND observer_deg = 2 AND source <> 'eye' AND skein_id IS NOT NULL;

-- How many skeins of a recipe are on the shelf, by what they lack of a colour
-- (enum ask_lack); recipe 0 is all of them.
CREATE TABLE tally (
    recipe_id INTEGER NOT NULL,
    lack INTEGER NOT NULL CHECK (lack BETWEEN 0 AND 6),
    skeins INTEGER NOT NULL,
    PRIMARY KEY (recipe_id, lack)
) STRICT, WITHOUT ROWID;
