-- What was fitted on a ride: a ride read later is laid against the gearing that it was ridden on. Not known: no row.

CREATE TABLE ride_fitted (
    ride INTEGER PRIMARY KEY REFERENCES ride (id),
    front_teeth INTEGER NOT NULL CHECK (front_teeth BETWEEN 8 AND 25),
    rear_teeth INTEGER NOT NULL CHECK (rear_teeth BETWEEN 20 AND 80),
    links INTEGER NOT NULL CHECK (links BETWEEN 40 AND 250)
) STRICT;

CREATE TRIGGER ride_fitted_stays BEFORE UPDATE ON ride_fitted
BEGIN SELECT raise(ABORT, 'what was fitted on a ride is never edited'); END;
CREATE TRIGGER ride_fitted_kept BEFORE DELETE ON ride_fitted
BEGIN SELECT raise(ABORT, 'what was fitted on a ride is never deleted'); END;
