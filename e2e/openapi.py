"""The API against its own description: the document is valid, and requests, answers and refusals are as it says.

With a count as its argument (or in API_CALLS) it goes on until at least so many made-up requests went out, all of
schemathesis' checks on every answer; 412, 422 and 428 are answers to well-formed requests too.

Asks every figure with outside check rows: what the server takes must fit the figure's schema, what it refuses for
its shape must not, and every answer and problem must fit theirs.
"""
import csv
import json
import os
import pathlib
import re
import subprocess
import sys
import tempfile
import urllib.error
import urllib.request

from jsonschema import Draft202012Validator
from openapi_spec_validator import validate

ROOT = pathlib.Path(__file__).resolve().parent.parent
MOST = 25
# Codes of faults that a schema always sees. What is missing or out of range may follow from another field, which it
# cannot see; that its required fields and bounds are the declared ones is tested beside it.
SHAPE = {"unknown_field", "wrong_type", "no_such_word"}


def cell(text):
    """A cell as the check rows mean it; None is blank."""
    text = text.strip()
    if not text:
        return None
    if text in ("true", "false") or text[0] in "[{":
        return json.loads(text)
    if re.fullmatch(r"[+-]?\d+", text):
        return int(text)
    try:
        number = float(text)
        return number if number - number == 0 else text
    except ValueError:
        return text


def rows():
    """Figure and given object of every check row."""
    for path in sorted((ROOT / "checks").glob("*/*.csv")):
        lines = path.read_text(encoding="utf-8-sig").splitlines()
        prose = [line for line in lines if line.startswith("#")]
        named = (re.match(r"#\s*figure:?\s+(\S+\.\S+)", line) for line in prose)
        figure = next((found.group(1) for found in named if found), f"{path.parent.name}.{path.stem}")
        for row in csv.DictReader(lines[len(prose):]):
            given = {}
            for key, text in row.items():
                known = key in ("case", "standing", "source", "at", "tol_why", "note", "status")
                if not known and not re.match("want_|tol_|rtol_", key) and cell(text) is not None:
                    given[key] = cell(text)
            yield figure, given
    for path in sorted((ROOT / "checks").glob("*/*.json")):
        if path.parent.name == "needs":
            continue
        cases = json.loads(path.read_text())
        for case in cases if isinstance(cases, list) else cases["cases"]:
            if "given" in case:
                yield case.get("figure", f"{path.parent.name}.{path.stem}"), case["given"]


def post(address, path, body):
    request = urllib.request.Request(address + path, json.dumps(body).encode(), {"Content-Type": "application/json"})
    try:
        with urllib.request.urlopen(request, timeout=60) as answer:
            return answer.status, answer.headers.get_content_type(), json.load(answer)
    except urllib.error.HTTPError as refusal:
        return refusal.code, refusal.headers.get_content_type(), json.load(refusal)


def faults_of(document, figure, given, told):
    """What one exchange says against the description."""
    status, kind, body = told
    operation = document["paths"][f"/api/v1/figures/{figure}"]["post"]
    wanted = operation["requestBody"]["content"]["application/json"]["schema"]
    fits = Draft202012Validator(wanted).is_valid(given)
    if str(status) not in operation["responses"]:
        return [f"status {status} is not described"]
    content = operation["responses"][str(status)]["content"]
    if kind not in content:
        return [f"{kind} is not described for {status}"]
    schema = {**content[kind]["schema"], "components": document["components"]}
    faults = [error.message for error in Draft202012Validator(schema).iter_errors(body)]
    if status == 200 and not fits:
        faults.append("answered, but the schema refuses it")
    if status == 200:
        undescribed = set(body["answer"]) - set(schema["properties"]["answer"]["properties"])
        faults += [f"{name} is answered and not described" for name in sorted(undescribed)]
    shape = status in (400, 422) and "errors" in body and body["errors"][0]["code"] in SHAPE and "." not in body["errors"][0]["pointer"]
    if shape and fits and declared(wanted, body["errors"][0]["pointer"]):
        faults.append(f"refused ({body['detail']}), but the schema takes it")
    return faults


def declared(schema, pointer):
    """Whether the schema says what that field takes: a list or object that a figure checks itself it does not."""
    name = pointer.strip("/").split("/")[0]
    field = schema["properties"].get(name, {})
    return isinstance(field.get("type"), str) and field["type"] not in ("array", "object", "string")


# 304 answers whoever has it already.
CHECKS = """[checks]
positive_data_acceptance.expected-statuses = ["2xx", "304", "401", "403", "404", "412", "422", "428"]
"""


def made_up(address, least):
    """Asks made-up requests of every operation until at least so many went out; counts of calls and of faults."""
    tool = pathlib.Path(sys.executable).with_name("st")
    calls, faults, seed = 0, 0, int(os.environ.get("API_SEED", "1"))
    with tempfile.TemporaryDirectory() as folder:
        config = pathlib.Path(folder) / "st.toml"
        config.write_text(CHECKS)
        while calls < least and not faults:
            command = [tool, "--config-file", config, "run", address + "/api/v1/openapi.json", "-c", "all",
                       "-n", "10" if least < 20000 else "30", "-w", "1", "--continue-on-failure", "--seed", str(seed)]
            done = subprocess.run(command, cwd=folder, capture_output=True, text=True)
            counted = re.search(r"(\d+) generated(?:, (\d+) found)?", done.stdout)
            calls += int(counted.group(1)) if counted else 0
            faults += int(counted.group(2) or 0) if counted else 1
            faults += bool(done.returncode and not faults)
            if faults:
                print(done.stdout[-20000:], file=sys.stderr)
            seed += 1
    print(f"{calls} made-up requests, {faults} faults", file=sys.stderr)
    return calls, faults


def main():
    least = int(sys.argv[1] if len(sys.argv) > 1 else os.environ.get("API_CALLS", "1"))
    server = subprocess.Popen([ROOT / "target/debug/tightspot", "serve", "--demo", "--port", "0"], stdout=subprocess.PIPE, text=True)
    try:
        address = server.stdout.readline().strip().rstrip("/")
        with urllib.request.urlopen(address + "/api/v1/openapi.json") as answer:
            document = json.load(answer)
        validate(document)
        passed, failed, asked = 1, 0, {}
        for figure, given in rows():
            if f"/api/v1/figures/{figure}" not in document["paths"] or asked.get(figure, 0) >= MOST:
                continue
            asked[figure] = asked.get(figure, 0) + 1
            faults = faults_of(document, figure, given, post(address, f"/api/v1/figures/{figure}", given))
            passed, failed = passed + (not faults), failed + bool(faults)
            for fault in faults:
                print(f"FAILED {figure} {json.dumps(given)[:200]}\n  {fault}", file=sys.stderr)
        never = [path for path in document["paths"] if path.rpartition("/")[2] not in asked and "." in path.rpartition("/")[2] and not path.endswith(".json")]
        print(f"{len(asked)} figures asked; without a row: {never}", file=sys.stderr)
        calls, faults = made_up(address, least)
        passed, failed = passed + calls - faults, failed + faults
        print(f"{passed} passed, {failed} failed")
        return 1 if failed or not asked else 0
    finally:
        server.terminate()


if __name__ == "__main__":
    sys.exit(main())
