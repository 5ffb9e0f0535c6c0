-- Sets: a chain and its sprockets kept together under a name. Where each part is and how long it ran follows from the
-- parts' own facts; a set only says what belongs together.

-- A fact of a new sort: only the list of words grows, as in the third step.
PRAGMA writable_schema = ON;
UPDATE sqlite_schema SET sql = replace(sql, '''waiver'', ''kept'')', '''waiver'', ''kept'', ''set'')')
WHERE type = 'table' AND name = 'entry';
PRAGMA writable_schema = RESET;

CREATE TABLE kept_set (
    entry INTEGER PRIMARY KEY REFERENCES entry (id),
    name TEXT NOT NULL CHECK (length(name) BETWEEN 1 AND 60),
    -- What its parts are called.
    chain TEXT CHECK (length(chain) BETWEEN 1 AND 100),
    front TEXT CHECK (length(front) BETWEEN 1 AND 100),
    rear TEXT CHECK (length(rear) BETWEEN 1 AND 100),
    gone INTEGER NOT NULL CHECK (gone IN (0, 1)),
    CHECK ((chain IS NOT NULL) + (front IS NOT NULL) + (rear IS NOT NULL) >= 2)
) STRICT;

CREATE TRIGGER kept_set_stays BEFORE UPDATE ON kept_set BEGIN SELECT raise(ABORT, 'a set is never edited'); END;
CREATE TRIGGER kept_set_kept BEFORE DELETE ON kept_set BEGIN SELECT raise(ABORT, 'a set is never deleted'); END;
