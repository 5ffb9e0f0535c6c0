-- What the definition of the file needs on a server besides its own tables: the riders, the few functions that the file's
-- checks call and the server lacks, and the rules that are no check of one row. The tables themselves are written by the
-- program from the file's definition, so that there is one.

CREATE SCHEMA IF NOT EXISTS tightspot;

CREATE TABLE rider (
    id BIGINT GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
    name TEXT NOT NULL UNIQUE CHECK (length(name) BETWEEN 1 AND 200)
);

-- Lists are JSON in a text; one that is none is refused by the cast.
CREATE FUNCTION json_valid(given TEXT) RETURNS BOOLEAN LANGUAGE sql IMMUTABLE STRICT
AS $$ SELECT given::json IS NOT NULL $$;
CREATE FUNCTION json_array_length(given TEXT) RETURNS BIGINT LANGUAGE sql IMMUTABLE STRICT
AS $$ SELECT pg_catalog.json_array_length(given::json) $$;
CREATE FUNCTION json_type(given TEXT) RETURNS TEXT LANGUAGE sql IMMUTABLE STRICT
AS $$ SELECT pg_catalog.json_typeof(given::json) $$;

-- How many of several things are so.
CREATE FUNCTION count_true(one BOOLEAN, other BOOLEAN) RETURNS INTEGER LANGUAGE sql IMMUTABLE STRICT
AS $$ SELECT one::integer + other::integer $$;
CREATE FUNCTION count_true(many INTEGER, other BOOLEAN) RETURNS INTEGER LANGUAGE sql IMMUTABLE STRICT
AS $$ SELECT many + other::integer $$;
CREATE OPERATOR + (LEFTARG = BOOLEAN, RIGHTARG = BOOLEAN, FUNCTION = count_true);
CREATE OPERATOR + (LEFTARG = INTEGER, RIGHTARG = BOOLEAN, FUNCTION = count_true);

-- Whether each number of a list lies in a range; a list of lists holds 1 to 120 numbers at each place.
CREATE FUNCTION numbers_within(given JSON, span NUMRANGE) RETURNS BOOLEAN LANGUAGE sql IMMUTABLE STRICT
AS $$
    SELECT coalesce(bool_and(CASE WHEN json_typeof(one) = 'number' THEN one::text::numeric <@ span ELSE false END), true)
    FROM json_array_elements(given) AS one
$$;
CREATE FUNCTION lists_within(given JSON, span NUMRANGE) RETURNS BOOLEAN LANGUAGE sql IMMUTABLE STRICT
AS $$
    SELECT coalesce(bool_and(CASE
        WHEN json_typeof(place) <> 'array' THEN false
        WHEN pg_catalog.json_array_length(place) NOT BETWEEN 1 AND 120 THEN false
        ELSE tightspot.numbers_within(place, span) END), true)
    FROM json_array_elements(given) AS place
$$;

-- A figure of a sheet: a number as a number, everything else as JSON in a text.
CREATE FUNCTION possible(given JSONB, kind TEXT, low FLOAT8, high FLOAT8, words TEXT) RETURNS BOOLEAN
LANGUAGE plpgsql IMMUTABLE
AS $$
DECLARE
    sort CONSTANT TEXT := jsonb_typeof(given);
    bare CONSTANT TEXT := given #>> '{}';
    -- By its point: 14.0 is no whole number.
    whole CONSTANT BOOLEAN := sort = 'number' AND bare !~ '[.eE]';
    number CONSTANT BOOLEAN := sort = 'number' AND NOT whole;
    told CONSTANT BOOLEAN := sort = 'string';
BEGIN
    RETURN coalesce(CASE
        WHEN kind = 'number' THEN number AND bare::float8 BETWEEN low AND high
        WHEN kind = 'whole' THEN whole AND bare::float8 BETWEEN low AND high
        WHEN kind = 'ratio' AND number THEN bare::float8 BETWEEN low AND high
        WHEN NOT told THEN false
        WHEN kind = 'ratio' THEN pg_catalog.json_array_length(bare::json) = 2
            -- No answer (a ratio over zero teeth) is no possible value either.
            AND (bare::json ->> 1)::float8 / nullif((bare::json ->> 0)::float8, 0) BETWEEN low AND high
        WHEN kind = 'word' THEN words::jsonb ? (bare::json #>> '{}')
        WHEN kind = 'text' THEN json_typeof(bare::json) = 'string'
        WHEN kind = 'flag' THEN bare IN ('true', 'false')
        ELSE json_typeof(bare::json) = 'array'
    END, false);
END $$;

CREATE FUNCTION fact_is_possible() RETURNS TRIGGER LANGUAGE plpgsql
AS $$
DECLARE known RECORD;
BEGIN
    IF NEW.value IS NULL THEN RETURN NEW; END IF;
    SELECT * INTO STRICT known FROM tightspot.bound WHERE field = NEW.field;
    IF NOT tightspot.possible(NEW.value, known.kind, known.low, known.high, known.words) THEN
        RAISE EXCEPTION 'not a possible value of this field';
    END IF;
    RETURN NEW;
END $$;

-- Says why a row stays as it is.
CREATE FUNCTION refuse() RETURNS TRIGGER LANGUAGE plpgsql
AS $$ BEGIN RAISE EXCEPTION '%', TG_ARGV[0]; END $$;
