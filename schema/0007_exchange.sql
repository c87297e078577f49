-- What came from other books.

-- A record that came in a file: under which uid there, which record here it is
-- (its own, or one of the same name that was here), and when it was last
-- changed where it came from. Not a record itself: undoing an import leaves it,
-- so that the file can be taken in again.
CREATE TABLE came (
    of_uid BLOB NOT NULL PRIMARY KEY CHECK (length(of_uid) = 16),
    of_table TEXT NOT NULL,
    row_id INTEGER NOT NULL,
    changed_at INTEGER NOT NULL             -- UTC milliseconds
) STRICT, WITHOUT ROWID;
CREATE INDEX came_row ON came (of_table, row_id);

-- Of a copy that came without what is private in it: the hash of the file it
-- was made from.
ALTER TABLE photo ADD COLUMN original_sha256 BLOB
    CHECK (length(original_sha256) = 32);
