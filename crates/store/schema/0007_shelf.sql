-- Parts on the shelf: what may go back on, with the hours it has had and what it would sell for.

-- A fact of a new sort: only the list of words grows, as in the third step.
PRAGMA writable_schema = ON;
UPDATE sqlite_schema SET sql = replace(sql, '''planned'', ''waiver'')', '''planned'', ''waiver'', ''kept'')')
WHERE type = 'table' AND name = 'entry';
PRAGMA writable_schema = RESET;

CREATE TABLE kept (
    entry INTEGER PRIMARY KEY REFERENCES entry (id),
    role TEXT NOT NULL CHECK (role IN ('chain', 'front', 'rear', 'other')),
    name TEXT NOT NULL CHECK (length(name) BETWEEN 1 AND 100),
    -- Teeth or links.
    count INTEGER CHECK (CASE role
        WHEN 'chain' THEN count BETWEEN 40 AND 250 AND count % 2 = 0
        WHEN 'front' THEN count BETWEEN 8 AND 25
        WHEN 'rear' THEN count BETWEEN 20 AND 80
        ELSE count BETWEEN 1 AND 250 END),
    used_h REAL NOT NULL CHECK (used_h BETWEEN 0 AND 5000),
    -- What it would sell for.
    price_minor INTEGER CHECK (price_minor BETWEEN 0 AND 1000000000),
    currency TEXT CHECK (currency GLOB '[A-Z][A-Z][A-Z]'),
    gone INTEGER NOT NULL CHECK (gone IN (0, 1)),
    CHECK ((price_minor IS NULL) = (currency IS NULL))
) STRICT;

CREATE TRIGGER kept_stays BEFORE UPDATE ON kept BEGIN SELECT raise(ABORT, 'a part is never edited'); END;
CREATE TRIGGER kept_kept BEFORE DELETE ON kept BEGIN SELECT raise(ABORT, 'a part is never deleted'); END;
