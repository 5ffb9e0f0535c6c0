-- A store as schema 1 left it: one bike put, one figure changed, that change undone, another bike, one setting.
INSERT INTO change (id, at, what, undoes) VALUES
    (1, '2025-04-05T16:00:00Z', 'bike', NULL),
    (2, '2025-05-11T16:00:00Z', 'sheet', NULL),
    (3, '2025-05-11T16:05:00.5Z', 'undo', 2),
    (4, '2025-06-01T09:00:00Z', 'sheet', NULL),
    (5, '2026-05-02T09:00:00Z', 'bike', NULL),
    (6, '2026-05-02T10:00:00Z', 'setting', NULL);
INSERT INTO bike (id) VALUES ('old-one'), ('second');
INSERT INTO title (change, bike, name, invented) VALUES (1, 'old-one', 'Old one', 1), (5, 'second', 'Second', 0);
INSERT INTO fact (change, bike, field, value, source) VALUES
    (1, 'old-one', 'pitch_mm', 15.875, NULL),
    (1, 'old-one', 'front_teeth', 14, NULL),
    (1, 'old-one', 'rear_teeth', 48, NULL),
    (1, 'old-one', 'sealed', 'true', NULL),
    (1, 'old-one', 'joint', '"clip"', 'looked'),
    (1, 'old-one', 'primary', '[25,71]', NULL),
    (1, 'old-one', 'gears', '[2.4,1.85,[14,20]]', NULL),
    (1, 'old-one', 'curve', '[[2000.0,17.0],[4000.0,28.0],[9000.0,34.0]]', NULL),
    (1, 'old-one', 'slack_place', '"mid lower run"', 'manual, p. 12'),
    (1, 'old-one', 'limit_pct', 1.0, 'manual, p. 40'),
    (2, 'old-one', 'front_teeth', 13, NULL),
    (4, 'old-one', 'limit_pct', NULL, NULL);
INSERT INTO form_key (key, request, change, at) VALUES ('k1', '1-x', 1, '2025-04-05T16:00:00Z');
INSERT INTO setting (change, name, value) VALUES (6, 'theme', 'dark');
