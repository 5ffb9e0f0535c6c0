-- What lies on the shelf for a bike, what it costs, when it comes. Appended; the shelf is what the standing facts add up to.
CREATE TABLE supply (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    change INTEGER NOT NULL REFERENCES change (id),
    bike TEXT NOT NULL REFERENCES bike (id),
    at TEXT NOT NULL CHECK (at GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T[0-2][0-9]:[0-5][0-9]:[0-5][0-9]'),
    role TEXT NOT NULL CHECK (length(role) BETWEEN 1 AND 100),
    event TEXT NOT NULL CHECK (event IN
        ('put', 'taken', 'counted', 'ordered', 'received', 'price', 'lead', 'use-by', 'chance')),
    qty INTEGER CHECK (qty BETWEEN 0 AND 1000),
    low_minor INTEGER CHECK (low_minor BETWEEN 0 AND 1000000000),
    high_minor INTEGER CHECK (high_minor BETWEEN low_minor AND 1000000000),
    currency TEXT CHECK (currency GLOB '[A-Z][A-Z][A-Z]'),
    lead_d INTEGER CHECK (lead_d BETWEEN 0 AND 365),
    use_by TEXT CHECK (use_by GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]'),
    low_pct REAL CHECK (low_pct BETWEEN 0 AND 100),
    high_pct REAL CHECK (high_pct BETWEEN low_pct AND 100),
    CHECK (CASE event
        WHEN 'price' THEN low_minor IS NOT NULL AND high_minor IS NOT NULL AND currency IS NOT NULL
        WHEN 'lead' THEN lead_d IS NOT NULL
        WHEN 'use-by' THEN use_by IS NOT NULL
        WHEN 'chance' THEN low_pct IS NOT NULL AND high_pct IS NOT NULL
        WHEN 'counted' THEN qty IS NOT NULL
        ELSE qty > 0 END)
) STRICT;

CREATE INDEX supply_of ON supply (bike, at, id);
CREATE INDEX supply_by_change ON supply (change);

CREATE TRIGGER supply_stays BEFORE UPDATE ON supply BEGIN SELECT raise(ABORT, 'a supply is never edited'); END;
CREATE TRIGGER supply_kept BEFORE DELETE ON supply BEGIN SELECT raise(ABORT, 'a supply is never deleted'); END;
