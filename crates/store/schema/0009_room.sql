-- Two more figures of the sheet: the room that a chain has in its guide and beside the engine case.
INSERT INTO bound (field, kind, low, high, words) VALUES
    ('guide_width_mm', 'number', 8.0, 80.0, NULL),
    ('case_gap_mm', 'number', 3.0, 60.0, NULL);
