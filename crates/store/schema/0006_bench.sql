-- Work orders on the bench: what was begun, and every line written since. A line is never edited: a tick is taken back
-- by a later line that says why. Where an order stands follows from its lines and is never kept.
-- The manual's figures that have no field on the bike's sheet stand here too, each with its source.

CREATE TABLE bench (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    change INTEGER NOT NULL REFERENCES change (id),
    bike TEXT NOT NULL REFERENCES bike (id),
    -- The rider's own clock, without zone.
    at TEXT NOT NULL CHECK (at GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T[0-2][0-9]:[0-5][0-9]:[0-5][0-9]'),
    -- Jobs and answers to choices are JSON: they are read whole or not at all.
    jobs TEXT NOT NULL CHECK (json_valid(jobs) AND json_array_length(jobs) BETWEEN 1 AND 40),
    choices TEXT NOT NULL CHECK (json_valid(choices) AND json_type(choices) = 'object'),
    -- What shall be fitted in the end.
    front_teeth INTEGER NOT NULL CHECK (front_teeth BETWEEN 8 AND 25),
    rear_teeth INTEGER NOT NULL CHECK (rear_teeth BETWEEN 20 AND 80),
    links INTEGER NOT NULL CHECK (links BETWEEN 40 AND 250)
) STRICT;

CREATE INDEX bench_of ON bench (bike, id);

CREATE TABLE bench_line (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    change INTEGER NOT NULL REFERENCES change (id),
    bench INTEGER NOT NULL REFERENCES bench (id),
    at TEXT NOT NULL CHECK (at GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T[0-2][0-9]:[0-5][0-9]:[0-5][0-9]'),
    who TEXT CHECK (length(who) BETWEEN 1 AND 60),
    kind TEXT NOT NULL CHECK (kind IN
        ('read', 'ticked', 'held', 'unticked', 'added', 'paused', 'cure', 'closed', 'dropped')),
    -- The step, the caution or the job.
    word TEXT NOT NULL CHECK (length(word) <= 120),
    reason TEXT CHECK (length(reason) BETWEEN 1 AND 1000),
    hours_h REAL CHECK (hours_h > 0 AND hours_h <= 240),
    paper INTEGER NOT NULL CHECK (paper IN (0, 1)),
    CHECK ((kind = 'cure') = (hours_h IS NOT NULL)),
    CHECK (kind IN ('paused', 'cure', 'closed', 'dropped') OR length(word) >= 1),
    CHECK (kind NOT IN ('unticked', 'added') OR reason IS NOT NULL)
) STRICT;

CREATE INDEX bench_line_of ON bench_line (bench, id);

CREATE TABLE bench_answer (
    line INTEGER NOT NULL REFERENCES bench_line (id),
    hold TEXT NOT NULL CHECK (length(hold) BETWEEN 1 AND 60),
    -- As it was typed, and the number in the unit kept.
    typed TEXT NOT NULL CHECK (length(typed) BETWEEN 1 AND 200),
    number REAL,
    unit TEXT NOT NULL CHECK (length(unit) <= 20),
    outcome TEXT NOT NULL CHECK (outcome IN ('passed', 'confirmed', 'waived', 'failed')),
    reason TEXT CHECK (length(reason) BETWEEN 1 AND 1000),
    against TEXT CHECK (length(against) BETWEEN 1 AND 400),
    CHECK (outcome <> 'confirmed' OR reason IS NOT NULL),
    PRIMARY KEY (line, hold)
) STRICT;

CREATE TABLE manual (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    change INTEGER NOT NULL REFERENCES change (id),
    bike TEXT NOT NULL REFERENCES bike (id),
    figure TEXT NOT NULL CHECK (length(figure) BETWEEN 1 AND 60),
    low REAL,
    high REAL CHECK (high >= low),
    words TEXT CHECK (length(words) BETWEEN 1 AND 200),
    source TEXT NOT NULL CHECK (length(source) BETWEEN 1 AND 200),
    CHECK ((low IS NULL) = (high IS NULL) AND (low IS NULL) = (words IS NOT NULL))
) STRICT;

CREATE INDEX manual_of ON manual (bike, figure, id);

CREATE TRIGGER bench_stays BEFORE UPDATE ON bench BEGIN SELECT raise(ABORT, 'an order is never edited'); END;
CREATE TRIGGER bench_kept BEFORE DELETE ON bench BEGIN SELECT raise(ABORT, 'an order is never deleted'); END;
CREATE TRIGGER bench_line_stays BEFORE UPDATE ON bench_line BEGIN SELECT raise(ABORT, 'a line is never edited'); END;
CREATE TRIGGER bench_line_kept BEFORE DELETE ON bench_line BEGIN SELECT raise(ABORT, 'a line is never deleted'); END;
CREATE TRIGGER bench_answer_stays BEFORE UPDATE ON bench_answer BEGIN SELECT raise(ABORT, 'an answer is never edited'); END;
CREATE TRIGGER bench_answer_kept BEFORE DELETE ON bench_answer BEGIN SELECT raise(ABORT, 'an answer is never deleted'); END;
CREATE TRIGGER manual_stays BEFORE UPDATE ON manual BEGIN SELECT raise(ABORT, 'a figure is never edited'); END;
CREATE TRIGGER manual_kept BEFORE DELETE ON manual BEGIN SELECT raise(ABORT, 'a figure is never deleted'); END;
