-- What a photo's colours were corrected by, where that is more than one grey
-- card.

-- In words: "6 neutrals, a curve". NULL: the card alone, or no photo.
ALTER TABLE reading ADD COLUMN corrected_by TEXT;

-- The places of known colour in that photo, one a line:
-- "neutral 2: 10,20,30,40 = 80.8, -0.6, 0.1".
ALTER TABLE region ADD COLUMN known TEXT;
