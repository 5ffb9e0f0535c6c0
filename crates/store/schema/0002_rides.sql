-- Rides: what a list shows in columns, the track itself packed in a table of its own, so that a list never reads it.
-- A ride is taken back by undoing the change that brought it; its row stays.

CREATE TABLE ride (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    change INTEGER NOT NULL REFERENCES change (id),
    bike TEXT NOT NULL REFERENCES bike (id),
    name TEXT NOT NULL CHECK (length(name) BETWEEN 1 AND 200),
    -- The day as the rider counts it; a ride over midnight belongs to the day on which it began.
    day TEXT NOT NULL CHECK (day GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]'),
    began TEXT CHECK (began GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T*Z'),
    hours_h REAL CHECK (hours_h BETWEEN 0 AND 100),
    ground TEXT CHECK (length(ground) BETWEEN 1 AND 200),
    wet INTEGER CHECK (wet IN (0, 1)),
    note TEXT CHECK (length(note) BETWEEN 1 AND 2000),
    class TEXT CHECK (class IN ('timed', 'partly timed', 'geometry only')),
    distance_m REAL CHECK (distance_m BETWEEN 0 AND 1e7),
    moving_s REAL CHECK (moving_s BETWEEN 0 AND 1e7),
    stopped_s REAL CHECK (stopped_s BETWEEN 0 AND 1e7),
    points INTEGER CHECK (points >= 0),
    source_name TEXT CHECK (length(source_name) BETWEEN 1 AND 300),
    -- Mark of the file's bytes: the same file is told, not stored a second time.
    source_mark TEXT CHECK (length(source_mark) BETWEEN 1 AND 100)
) STRICT;

CREATE INDEX ride_by_day ON ride (bike, day);
CREATE INDEX ride_by_file ON ride (source_mark) WHERE source_mark IS NOT NULL;
CREATE INDEX ride_by_change ON ride (change);

CREATE TABLE ride_track (
    ride INTEGER PRIMARY KEY REFERENCES ride (id),
    -- Length of the track before packing, compared when it is read.
    bytes INTEGER NOT NULL CHECK (bytes >= 0),
    packed BLOB NOT NULL
) STRICT;

CREATE TRIGGER ride_stays BEFORE UPDATE ON ride BEGIN SELECT raise(ABORT, 'a ride is never edited'); END;
CREATE TRIGGER ride_kept BEFORE DELETE ON ride BEGIN SELECT raise(ABORT, 'a ride is never deleted'); END;
CREATE TRIGGER ride_track_stays BEFORE UPDATE ON ride_track BEGIN SELECT raise(ABORT, 'a track is never edited'); END;
CREATE TRIGGER ride_track_kept BEFORE DELETE ON ride_track BEGIN SELECT raise(ABORT, 'a track is never deleted'); END;
