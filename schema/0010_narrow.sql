-- What finds skeins by what they went through without a look at all of them;
-- the shelf has a part more for it (src/book/pack.h). All of it can be made from
-- the records again.

-- Skeins that come to a recipe, those that have come to it now by the pot of
-- their last dye.
DROP INDEX step_recipe;
CREATE INDEX step_recipe ON step (recipe_id, last, dye_treatment_id);

-- The few treatments that may have begun in an earlier year than the one they
-- ended in: any other of a year is found by the day it began.
CREATE INDEX treatment_years ON treatment (on_to)
    WHERE substr(on_from, 1, 4) < substr(on_to, 1, 4);
