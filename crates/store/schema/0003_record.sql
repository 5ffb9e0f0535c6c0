-- What was read off a bike and done with it: meter, slack, elongation, axle, parts, work, checks, plans, rides against a
-- stop. Appended like everything else; a fact that was wrong is corrected by a later one that points at it, and both stay.
-- One head for all kinds gives them one order of time; each kind has its own table, so that each column has its own range.

-- A change of a new sort. Only the list of words grows, which no stored row can contradict; the database's own way to
-- say so without copying every table that points here.
PRAGMA writable_schema = ON;
UPDATE sqlite_schema SET sql = replace(sql, '''ride'', ''setting'',', '''ride'', ''record'', ''setting'',')
WHERE type = 'table' AND name = 'change';
PRAGMA writable_schema = RESET;

-- What seemed odd on a ride, and when it was over, as the rider's clock showed it; noon of its day where nobody said.
ALTER TABLE ride ADD COLUMN odd TEXT CHECK (odd IN ('slap', 'clunk', 'skip', 'leak', 'other'));
ALTER TABLE ride ADD COLUMN over TEXT CHECK (over GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T[0-2][0-9]:[0-5][0-9]:[0-5][0-9]');

CREATE TABLE entry (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    change INTEGER NOT NULL REFERENCES change (id),
    bike TEXT NOT NULL REFERENCES bike (id),
    kind TEXT NOT NULL CHECK (kind IN ('meter', 'slack', 'elongation', 'axle', 'part', 'work', 'check', 'planned', 'waiver')),
    -- The rider's own clock, without zone: a day is the day on the bench.
    at TEXT NOT NULL CHECK (at GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T[0-2][0-9]:[0-5][0-9]:[0-5][0-9]'),
    corrects INTEGER REFERENCES entry (id) CHECK (corrects < id),
    note TEXT CHECK (length(note) BETWEEN 1 AND 2000)
) STRICT;

CREATE INDEX entry_of ON entry (bike, at, id);
CREATE INDEX entry_by_change ON entry (change);
CREATE INDEX entry_corrected ON entry (corrects) WHERE corrects IS NOT NULL;

CREATE TABLE meter (
    entry INTEGER PRIMARY KEY REFERENCES entry (id),
    -- What the meter showed; at a change of meter, what the old one showed last and the new one first.
    read_h REAL CHECK (read_h BETWEEN 0 AND 100000),
    swap_old_h REAL CHECK (swap_old_h BETWEEN 0 AND 100000),
    swap_new_h REAL CHECK (swap_new_h BETWEEN 0 AND 100000),
    CHECK ((read_h IS NULL) = (swap_old_h IS NOT NULL) AND (swap_old_h IS NULL) = (swap_new_h IS NULL))
) STRICT;

-- Lists are JSON: they are read whole or not at all, and their length is theirs.
CREATE TABLE slack (
    entry INTEGER PRIMARY KEY REFERENCES entry (id),
    slack_mm TEXT NOT NULL CHECK (json_valid(slack_mm) AND json_array_length(slack_mm) BETWEEN 1 AND 120),
    at_links TEXT CHECK (json_valid(at_links) AND json_array_length(at_links) = json_array_length(slack_mm)),
    station REAL NOT NULL CHECK (station BETWEEN 0.1 AND 0.9),
    state TEXT NOT NULL CHECK (state IN ('stand', 'wheels on the ground', 'rider on', 'in line')),
    kind TEXT NOT NULL CHECK (kind IN ('free', 'gap'))
) STRICT;

CREATE TRIGGER slack_is_possible BEFORE INSERT ON slack
BEGIN
    SELECT raise(ABORT, 'not a possible slack') FROM json_each(NEW.slack_mm)
    WHERE type NOT IN ('real', 'integer') OR NOT (value > 0 AND value <= 300);
    SELECT raise(ABORT, 'not a possible place') FROM json_each(NEW.at_links)
    WHERE type NOT IN ('real', 'integer') OR NOT value BETWEEN 0 AND 5000;
END;

CREATE TABLE elongation (
    entry INTEGER PRIMARY KEY REFERENCES entry (id),
    pitches INTEGER NOT NULL CHECK (pitches BETWEEN 4 AND 200),
    -- A list for each place.
    length_mm TEXT NOT NULL CHECK (json_valid(length_mm) AND json_array_length(length_mm) BETWEEN 1 AND 120),
    maximum_error_mm REAL NOT NULL CHECK (maximum_error_mm BETWEEN 0 AND 5),
    resolution_mm REAL NOT NULL CHECK (resolution_mm BETWEEN 0 AND 5)
) STRICT;

CREATE TRIGGER elongation_is_possible BEFORE INSERT ON elongation
BEGIN
    SELECT raise(ABORT, 'not a possible place') FROM json_each(NEW.length_mm)
    WHERE type <> 'array' OR json_array_length(value) NOT BETWEEN 1 AND 120;
    SELECT raise(ABORT, 'not a possible length') FROM json_each(NEW.length_mm) AS place, json_each(place.value) AS one
    WHERE one.type NOT IN ('real', 'integer') OR NOT (one.value > 0 AND one.value <= 10000);
END;

CREATE TABLE axle (
    entry INTEGER PRIMARY KEY REFERENCES entry (id),
    left_mm REAL NOT NULL CHECK (left_mm BETWEEN 0 AND 2000),
    right_mm REAL NOT NULL CHECK (right_mm BETWEEN 0 AND 2000)
) STRICT;

CREATE TABLE part (
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
    price_minor INTEGER CHECK (price_minor BETWEEN 0 AND 1000000000),
    currency TEXT CHECK (currency GLOB '[A-Z][A-Z][A-Z]'),
    CHECK ((price_minor IS NULL) = (currency IS NULL))
) STRICT;

-- Jobs are those of the library that wrote the row; a library that no longer knows one is a fault that is named.
CREATE TABLE work (
    entry INTEGER PRIMARY KEY REFERENCES entry (id),
    job TEXT NOT NULL CHECK (length(job) BETWEEN 1 AND 60),
    state TEXT NOT NULL CHECK (state IN ('begun', 'done', 'dropped'))
) STRICT;

CREATE TABLE looked (
    entry INTEGER PRIMARY KEY REFERENCES entry (id),
    name TEXT NOT NULL CHECK (length(name) BETWEEN 1 AND 60),
    answer TEXT NOT NULL CHECK (length(answer) BETWEEN 1 AND 60),
    -- For a fastener: the manual's figure that it was set to, by the rider's own entry.
    torque_nm REAL CHECK (torque_nm BETWEEN 0.5 AND 300)
) STRICT;

CREATE TABLE planned (
    entry INTEGER PRIMARY KEY REFERENCES entry (id),
    name TEXT NOT NULL CHECK (length(name) BETWEEN 1 AND 100),
    event INTEGER NOT NULL CHECK (event IN (0, 1)),
    hours_h REAL CHECK (hours_h > 0 AND hours_h <= 100)
) STRICT;

-- Why a rider rode against a stop, and what stood against it then.
CREATE TABLE waiver (
    entry INTEGER PRIMARY KEY REFERENCES entry (id),
    reason TEXT NOT NULL CHECK (length(reason) BETWEEN 1 AND 1000),
    against TEXT NOT NULL CHECK (length(against) BETWEEN 1 AND 4000)
) STRICT;

CREATE TRIGGER entry_stays BEFORE UPDATE ON entry BEGIN SELECT raise(ABORT, 'an entry is never edited'); END;
CREATE TRIGGER entry_kept BEFORE DELETE ON entry BEGIN SELECT raise(ABORT, 'an entry is never deleted'); END;
CREATE TRIGGER meter_stays BEFORE UPDATE ON meter BEGIN SELECT raise(ABORT, 'a reading is never edited'); END;
CREATE TRIGGER meter_kept BEFORE DELETE ON meter BEGIN SELECT raise(ABORT, 'a reading is never deleted'); END;
CREATE TRIGGER slack_stays BEFORE UPDATE ON slack BEGIN SELECT raise(ABORT, 'a reading is never edited'); END;
CREATE TRIGGER slack_kept BEFORE DELETE ON slack BEGIN SELECT raise(ABORT, 'a reading is never deleted'); END;
CREATE TRIGGER elongation_stays BEFORE UPDATE ON elongation BEGIN SELECT raise(ABORT, 'a reading is never edited'); END;
CREATE TRIGGER elongation_kept BEFORE DELETE ON elongation BEGIN SELECT raise(ABORT, 'a reading is never deleted'); END;
CREATE TRIGGER axle_stays BEFORE UPDATE ON axle BEGIN SELECT raise(ABORT, 'a reading is never edited'); END;
CREATE TRIGGER axle_kept BEFORE DELETE ON axle BEGIN SELECT raise(ABORT, 'a reading is never deleted'); END;
CREATE TRIGGER part_stays BEFORE UPDATE ON part BEGIN SELECT raise(ABORT, 'a part is never edited'); END;
CREATE TRIGGER part_kept BEFORE DELETE ON part BEGIN SELECT raise(ABORT, 'a part is never deleted'); END;
CREATE TRIGGER work_stays BEFORE UPDATE ON work BEGIN SELECT raise(ABORT, 'work is never edited'); END;
CREATE TRIGGER work_kept BEFORE DELETE ON work BEGIN SELECT raise(ABORT, 'work is never deleted'); END;
CREATE TRIGGER looked_stays BEFORE UPDATE ON looked BEGIN SELECT raise(ABORT, 'a check is never edited'); END;
CREATE TRIGGER looked_kept BEFORE DELETE ON looked BEGIN SELECT raise(ABORT, 'a check is never deleted'); END;
CREATE TRIGGER planned_stays BEFORE UPDATE ON planned BEGIN SELECT raise(ABORT, 'a plan is never edited'); END;
CREATE TRIGGER planned_kept BEFORE DELETE ON planned BEGIN SELECT raise(ABORT, 'a plan is never deleted'); END;
CREATE TRIGGER waiver_stays BEFORE UPDATE ON waiver BEGIN SELECT raise(ABORT, 'a reason is never edited'); END;
CREATE TRIGGER waiver_kept BEFORE DELETE ON waiver BEGIN SELECT raise(ABORT, 'a reason is never deleted'); END;
