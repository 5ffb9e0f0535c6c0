"""The record outside the tool: its document follows the published schema, its tables say the same, its calendar reads.

`target/python/bin/python e2e/record.py`, after `cargo build`.
"""
import copy
import csv
import json
import pathlib
import subprocess
import tempfile

from jsonschema import Draft202012Validator

ROOT = pathlib.Path(__file__).parent.parent
TOOL = ROOT / "target/debug/tightspot"
PASSED = 0


def run(*args):
    return subprocess.run([TOOL, *args], check=True, capture_output=True).stdout.decode("utf-8")


def holds(what, right):
    global PASSED
    assert right, what
    PASSED += 1


def wrong_ones(document):
    """The document, damaged in one place each time."""
    tables = document["tables"]
    edits = [
        ("meter", "read_h", -1), ("meter", "read_h", "many"), ("part", "role", "guide"), ("part", "used_h", 5001),
        ("part", "currency", "euro"), ("part", "name", ""), ("elongation", "pitches", 3), ("entry", "kind", "mood"),
        ("entry", "at", "yesterday"), ("ride", "wet", 2), ("ride", "hours_h", 101), ("kept", "gone", "no"),
        ("planned", "hours_h", 0), ("ride_track", "packed", "xyz"), ("change", "what", "thing"),
    ]
    for table, column, value in edits:
        bad = copy.deepcopy(document)
        row = next(row for row in bad["tables"][table] if column in row)
        row[column] = value
        yield f"{table}.{column} = {value!r}", bad
    for table in tables:
        bad = copy.deepcopy(document)
        bad["tables"][table].append({"stranger": 1})
        yield f"{table} with a stranger", bad
        bad = copy.deepcopy(document)
        del bad["tables"][table]
        yield f"without {table}", bad
    for key in ("format", "schema_version"):
        yield f"without {key}", {name: value for name, value in document.items() if name != key}


def same_cell(cell, value):
    if value is None:
        return cell == ""
    if isinstance(value, str):
        return cell == (("'" if value[:1] in "=+-@\t\r" and value else "") + value)
    return float(cell) == float(value)


def main():
    text = run("--demo", "export")
    document, schema = json.loads(text), json.loads(run("export", "--schema"))
    Draft202012Validator.check_schema(schema)
    check = Draft202012Validator(schema)
    holds("the demo follows its schema", not list(check.iter_errors(document)))
    for what, bad in wrong_ones(document):
        holds(f"the schema lets {what} through", list(check.iter_errors(bad)))
    with tempfile.TemporaryDirectory() as folder:
        store, file = f"{folder}/again.db", f"{folder}/record.json"
        pathlib.Path(file).write_bytes(text.encode())
        run("--store", store, "import", file)
        holds("out, in and out again is the same, byte for byte", run("--store", store, "export") == text)
        run("--store", store, "export", f"{folder}/tables", "--csv")
        for table, rows in document["tables"].items():
            path = pathlib.Path(folder, "tables", f"{table}.csv")
            if table == "ride_track":
                holds("tracks are no table", not path.exists())
                continue
            raw = path.read_bytes().decode("utf-8")
            holds(f"{table} ends its lines in CR LF", raw.endswith("\r\n"))
            read = list(csv.DictReader(raw.splitlines(keepends=True)))
            holds(f"{table} has its rows", len(read) == len(rows))
            cells = [same_cell(line[name], row.get(name)) for line, row in zip(read, rows) for name in line]
            holds(f"{table} says the same as the document", all(cells))
    calendar = run("--demo", "export", "--calendar")
    holds("the calendar's lines are at most 75 bytes", all(len(line.encode()) <= 75 for line in calendar.split("\r\n")))
    holds("no line feed stands alone", calendar.count("\n") == calendar.count("\r\n"))
    holds("the event of the demo is in it", "DTSTART:20260926T080000" in calendar and "Three Cairns Enduro" in calendar)
    names = [line for line in calendar.split("\r\n") if line.startswith("UID:")]
    holds("each name is there once", len(set(names)) == len(names) >= 3)
    again = [line for line in run("--demo", "export", "--calendar").split("\r\n") if line.startswith("UID:")]
    holds("and the same the next time", names == again)
    print(f"{PASSED} passed, 0 failed")


main()
