-- A bike bought used: hours that nobody counted, known as a range on a day. What was ridden since follows from the
-- record and is never kept.

-- A fact of a new sort: only the list of words grows, as in the third step.
PRAGMA writable_schema = ON;
UPDATE sqlite_schema SET sql = replace(sql, '''kept'', ''set'')', '''kept'', ''set'', ''used'')')
WHERE type = 'table' AND name = 'entry';
PRAGMA writable_schema = RESET;

CREATE TABLE used (
    entry INTEGER PRIMARY KEY REFERENCES entry (id),
    -- The bike with all that is on it, or one part of the drive.
    whose TEXT NOT NULL CHECK (whose IN ('bike', 'chain', 'front', 'rear')),
    low_h REAL NOT NULL CHECK (low_h BETWEEN 0 AND 5000),
    high_h REAL NOT NULL CHECK (high_h BETWEEN 0 AND 5000),
    CHECK (low_h <= high_h)
) STRICT;

CREATE TRIGGER used_stays BEFORE UPDATE ON used BEGIN SELECT raise(ABORT, 'a range is never edited'); END;
CREATE TRIGGER used_kept BEFORE DELETE ON used BEGIN SELECT raise(ABORT, 'a range is never deleted'); END;
