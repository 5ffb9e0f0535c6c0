-- Bikes and their sheets as appended facts, one row a figure and change; nothing is ever edited in place, so that every
-- figure can be asked when it came, from where, and what stood there before. The current sheet is the latest fact of
-- each field among the changes that are not undone.

-- One thing that a person did. Everything appended hangs on one; undoing it is a change of its own.
CREATE TABLE change (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    at TEXT NOT NULL CHECK (at GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T*Z'),
    what TEXT NOT NULL CHECK (what IN ('bike', 'sheet', 'ride', 'setting', 'undo')),
    -- Unique: what is undone is done again by undoing the undo.
    undoes INTEGER UNIQUE REFERENCES change (id) CHECK (undoes < id),
    CHECK ((what = 'undo') = (undoes IS NOT NULL))
) STRICT;

-- Changes that count: undone an even number of times. Most were never undone, and are told so by one look.
CREATE VIEW live AS
SELECT id, at, what FROM change AS one
WHERE NOT EXISTS (SELECT 1 FROM change AS later WHERE later.undoes = one.id)
    OR (
        WITH RECURSIVE chain (id, depth) AS (
            SELECT one.id, 0
            UNION ALL
            SELECT later.id, chain.depth + 1 FROM change AS later JOIN chain ON later.undoes = chain.id
        )
        SELECT max(depth) FROM chain
    ) % 2 = 0;

-- Keys of forms and requests: the second post of one form finds the first one's change. Forgotten after a while.
CREATE TABLE form_key (
    key TEXT PRIMARY KEY CHECK (length(key) BETWEEN 1 AND 200),
    -- Mark of what was asked: the same key with something else is a fault of the sender.
    request TEXT NOT NULL,
    -- No change: the first post found nothing to change.
    change INTEGER REFERENCES change (id),
    at TEXT NOT NULL CHECK (at GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T*Z')
) STRICT;

CREATE TABLE bike (
    id TEXT PRIMARY KEY CHECK (length(id) BETWEEN 1 AND 40 AND NOT id GLOB '*[^a-z0-9-]*')
) STRICT;

-- What a bike is called; no name means that the bike is taken off the list. The latest one counts.
CREATE TABLE title (
    id INTEGER PRIMARY KEY,
    change INTEGER NOT NULL REFERENCES change (id),
    bike TEXT NOT NULL REFERENCES bike (id),
    name TEXT CHECK (length(name) BETWEEN 1 AND 60),
    invented INTEGER NOT NULL CHECK (invented IN (0, 1)),
    UNIQUE (change, bike)
) STRICT;

CREATE INDEX title_of ON title (bike, id);

-- The fields of a sheet with their bounds: the same table as the program's, repeated here so that no other program and
-- no fault of this one can write a figure that is not possible. Both ends belong to the range.
CREATE TABLE bound (
    field TEXT PRIMARY KEY,
    kind TEXT NOT NULL CHECK (kind IN ('number', 'whole', 'word', 'text', 'flag', 'ratio', 'ratios', 'curve')),
    low REAL,
    high REAL,
    words TEXT CHECK (json_valid(words)),
    CHECK ((kind IN ('number', 'whole', 'ratio', 'ratios')) = (low IS NOT NULL)),
    CHECK ((low IS NULL) = (high IS NULL) AND (low IS NULL OR low < high)),
    CHECK ((kind = 'word') = (words IS NOT NULL))
) STRICT;

-- A figure of a sheet: a number as a number, everything else as JSON text; NULL takes the field off the sheet.
CREATE TABLE fact (
    id INTEGER PRIMARY KEY,
    change INTEGER NOT NULL REFERENCES change (id),
    bike TEXT NOT NULL REFERENCES bike (id),
    field TEXT NOT NULL REFERENCES bound (field),
    value ANY,
    source TEXT CHECK (length(source) BETWEEN 1 AND 200),
    UNIQUE (change, bike, field)
) STRICT;

CREATE INDEX fact_of ON fact (bike, field, id);

CREATE TRIGGER fact_is_possible BEFORE INSERT ON fact WHEN NEW.value IS NOT NULL
BEGIN
    SELECT raise(ABORT, 'not a possible value of this field')
    -- No answer (a ratio over zero teeth) is no possible value either.
    FROM bound WHERE field = NEW.field AND NOT coalesce(CASE kind
        WHEN 'number' THEN typeof(NEW.value) = 'real' AND NEW.value BETWEEN low AND high
        WHEN 'whole' THEN typeof(NEW.value) = 'integer' AND NEW.value BETWEEN low AND high
        WHEN 'ratio' THEN CASE typeof(NEW.value)
            WHEN 'real' THEN NEW.value BETWEEN low AND high
            WHEN 'text' THEN json_valid(NEW.value) AND json_array_length(NEW.value) = 2
                AND 1.0 * json_extract(NEW.value, '$[1]') / json_extract(NEW.value, '$[0]') BETWEEN low AND high
            ELSE 0 END
        WHEN 'word' THEN typeof(NEW.value) = 'text' AND json_valid(NEW.value)
            AND EXISTS (SELECT 1 FROM json_each(words) AS word WHERE word.value = json_extract(NEW.value, '$'))
        WHEN 'text' THEN typeof(NEW.value) = 'text' AND json_valid(NEW.value) AND json_type(NEW.value) = 'text'
        WHEN 'flag' THEN typeof(NEW.value) = 'text' AND NEW.value IN ('true', 'false')
        ELSE typeof(NEW.value) = 'text' AND json_valid(NEW.value) AND json_type(NEW.value) = 'array'
    END, 0);
END;

-- Settings of the whole tool; the latest one counts.
CREATE TABLE setting (
    id INTEGER PRIMARY KEY,
    change INTEGER NOT NULL REFERENCES change (id),
    name TEXT NOT NULL CHECK (length(name) BETWEEN 1 AND 60),
    value TEXT NOT NULL CHECK (length(value) <= 4000)
) STRICT;

CREATE INDEX setting_of ON setting (name, id);

CREATE TRIGGER change_stays BEFORE UPDATE ON change BEGIN SELECT raise(ABORT, 'a change is never edited'); END;
CREATE TRIGGER change_kept BEFORE DELETE ON change BEGIN SELECT raise(ABORT, 'a change is never deleted'); END;
CREATE TRIGGER bike_stays BEFORE UPDATE ON bike BEGIN SELECT raise(ABORT, 'a bike is never edited'); END;
CREATE TRIGGER bike_kept BEFORE DELETE ON bike BEGIN SELECT raise(ABORT, 'a bike is never deleted'); END;
CREATE TRIGGER title_stays BEFORE UPDATE ON title BEGIN SELECT raise(ABORT, 'a title is never edited'); END;
CREATE TRIGGER title_kept BEFORE DELETE ON title BEGIN SELECT raise(ABORT, 'a title is never deleted'); END;
CREATE TRIGGER fact_stays BEFORE UPDATE ON fact BEGIN SELECT raise(ABORT, 'a fact is never edited'); END;
CREATE TRIGGER fact_kept BEFORE DELETE ON fact BEGIN SELECT raise(ABORT, 'a fact is never deleted'); END;
CREATE TRIGGER setting_stays BEFORE UPDATE ON setting BEGIN SELECT raise(ABORT, 'a setting is never edited'); END;
CREATE TRIGGER setting_kept BEFORE DELETE ON setting BEGIN SELECT raise(ABORT, 'a setting is never deleted'); END;

INSERT INTO bound (field, kind, low, high, words) VALUES
    ('engine', 'word', NULL, NULL, '["four-stroke","two-stroke"]'),
    ('pitch_mm', 'number', 4.0, 80.0, NULL),
    ('size', 'word', NULL, NULL, '["04C","05B","06B","06C","083","085","08A","08B","10A","10B","12A","12B","25","35","40","41","50","60","80","219","415","420","428","520","525","530"]'),
    ('front_teeth', 'whole', 8.0, 25.0, NULL),
    ('rear_teeth', 'whole', 20.0, 80.0, NULL),
    ('links', 'whole', 40.0, 250.0, NULL),
    ('sealed', 'flag', NULL, NULL, NULL),
    ('joint', 'word', NULL, NULL, '["clip","rivet","endless"]'),
    ('front_retention', 'word', NULL, NULL, '["nut","snap-ring","plate"]'),
    ('rear_fasteners', 'whole', 3.0, 12.0, NULL),
    ('roller_mm', 'number', 3.0, 20.0, NULL),
    ('inner_width_mm', 'number', 2.0, 25.0, NULL),
    ('tensile_kn', 'number', 3.0, 120.0, NULL),
    ('mass_kg_per_m', 'number', 0.2, 6.0, NULL),
    ('countershaft_x_mm', 'number', -50.0, 200.0, NULL),
    ('countershaft_z_mm', 'number', -100.0, 100.0, NULL),
    ('arm_mm', 'number', 250.0, 900.0, NULL),
    ('slot_min_mm', 'number', 250.0, 900.0, NULL),
    ('slot_max_mm', 'number', 250.0, 900.0, NULL),
    ('droop_deg', 'number', -10.0, 50.0, NULL),
    ('travel_mm', 'number', 30.0, 450.0, NULL),
    ('slider_u_mm', 'number', -100.0, 300.0, NULL),
    ('slider_w_mm', 'number', -80.0, 80.0, NULL),
    ('slider_radius_mm', 'number', 0.0, 120.0, NULL),
    ('gap_u_mm', 'number', 20.0, 700.0, NULL),
    ('gap_surface_mm', 'number', -50.0, 150.0, NULL),
    ('plate_height_mm', 'number', 4.0, 40.0, NULL),
    ('thread_pitch_mm', 'number', 0.5, 3.0, NULL),
    ('track_mm', 'number', 80.0, 500.0, NULL),
    ('sprocket_y_mm', 'number', -200.0, 200.0, NULL),
    ('guide_u_mm', 'number', 50.0, 1000.0, NULL),
    ('guide_low_mm', 'number', -300.0, 300.0, NULL),
    ('guide_high_mm', 'number', -300.0, 300.0, NULL),
    ('primary', 'ratio', 1.0, 6.0, NULL),
    ('gears', 'ratios', 0.3, 6.0, NULL),
    ('idle_rpm', 'number', 500.0, 4000.0, NULL),
    ('slip_rpm', 'number', 800.0, 8000.0, NULL),
    ('lo_rpm', 'number', 1000.0, 15000.0, NULL),
    ('hi_rpm', 'number', 1500.0, 18000.0, NULL),
    ('max_rpm', 'number', 2000.0, 20000.0, NULL),
    ('hard_rpm', 'number', 2000.0, 22000.0, NULL),
    ('curve', 'curve', NULL, NULL, NULL),
    ('eta', 'number', 0.6, 1.0, NULL),
    ('mass_kg', 'number', 60.0, 450.0, NULL),
    ('j_front_kgm2', 'number', 0.02, 3.0, NULL),
    ('j_rear_kgm2', 'number', 0.02, 3.0, NULL),
    ('j_engine_kgm2', 'number', 0.0002, 0.1, NULL),
    ('cda_m2', 'number', 0.15, 1.8, NULL),
    ('wheelbase_m', 'number', 0.8, 2.0, NULL),
    ('cg_from_front_m', 'number', 0.2, 1.6, NULL),
    ('cg_height_m', 'number', 0.2, 1.6, NULL),
    ('aero_height_m', 'number', 0.0, 2.0, NULL),
    ('rear_wheel_radius_mm', 'number', 120.0, 450.0, NULL),
    ('front_wheel_radius_mm', 'number', 120.0, 450.0, NULL),
    ('front_axle_x_mm', 'number', 300.0, 1600.0, NULL),
    ('front_axle_z_mm', 'number', -600.0, 400.0, NULL),
    ('rear_tyre', 'text', NULL, NULL, NULL),
    ('front_tyre', 'text', NULL, NULL, NULL),
    ('rollout_m', 'number', 0.9, 2.8, NULL),
    ('slack_mm_min', 'number', 2.0, 200.0, NULL),
    ('slack_mm_max', 'number', 2.0, 250.0, NULL),
    ('slack_stop_mm', 'number', 1.0, 200.0, NULL),
    ('slack_kind', 'word', NULL, NULL, '["free","gap"]'),
    ('slack_state', 'word', NULL, NULL, '["stand","wheels on the ground","rider on"]'),
    ('slack_place', 'text', NULL, NULL, NULL),
    ('limit_pct', 'number', 0.1, 4.0, NULL),
    ('slider_limit_mm', 'number', 0.5, 30.0, NULL),
    ('link_press_width_mm', 'number', 8.0, 60.0, NULL),
    ('oil_interval_h', 'number', 1.0, 500.0, NULL),
    ('rear_axle_torque_nm', 'number', 0.5, 300.0, NULL),
    ('front_axle_torque_nm', 'number', 0.5, 300.0, NULL),
    ('rear_sprocket_torque_nm', 'number', 0.5, 300.0, NULL),
    ('front_sprocket_nut_torque_nm', 'number', 0.5, 300.0, NULL),
    ('retainer_plate_torque_nm', 'number', 0.5, 300.0, NULL),
    ('guide_bolt_torque_nm', 'number', 0.5, 300.0, NULL),
    ('seal_plate_torque_nm', 'number', 0.5, 300.0, NULL),
    ('pivot_torque_nm', 'number', 0.5, 300.0, NULL),
    ('linkage_torque_nm', 'number', 0.5, 300.0, NULL),
    ('shock_bolt_torque_nm', 'number', 0.5, 300.0, NULL),
    ('rear_caliper_torque_nm', 'number', 0.5, 300.0, NULL),
    ('front_caliper_torque_nm', 'number', 0.5, 300.0, NULL),
    ('pad_pin_torque_nm', 'number', 0.5, 300.0, NULL),
    ('bleed_torque_nm', 'number', 0.5, 300.0, NULL),
    ('rim_lock_torque_nm', 'number', 0.5, 300.0, NULL),
    ('spoke_torque_nm', 'number', 0.5, 300.0, NULL),
    ('fork_clamp_torque_nm', 'number', 0.5, 300.0, NULL),
    ('fork_cap_torque_nm', 'number', 0.5, 300.0, NULL),
    ('stem_nut_torque_nm', 'number', 0.5, 300.0, NULL),
    ('stem_settle_torque_nm', 'number', 0.5, 300.0, NULL),
    ('bar_clamp_torque_nm', 'number', 0.5, 300.0, NULL),
    ('drain_torque_nm', 'number', 0.5, 300.0, NULL),
    ('plug_torque_nm', 'number', 0.5, 300.0, NULL),
    ('spring_bolt_torque_nm', 'number', 0.5, 300.0, NULL),
    ('head_torque_nm', 'number', 0.5, 300.0, NULL),
    ('cam_cap_torque_nm', 'number', 0.5, 300.0, NULL);
