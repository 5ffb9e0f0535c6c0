-- A taut chain reads 0: that is a reading, and the worst one.

DROP TRIGGER slack_is_possible;

CREATE TRIGGER slack_is_possible BEFORE INSERT ON slack
BEGIN
    SELECT raise(ABORT, 'not a possible slack') FROM json_each(NEW.slack_mm)
    WHERE type NOT IN ('real', 'integer') OR NOT value BETWEEN 0 AND 300;
    SELECT raise(ABORT, 'not a possible place') FROM json_each(NEW.at_links)
    WHERE type NOT IN ('real', 'integer') OR NOT value BETWEEN 0 AND 5000;
END;
