"""Collects the outside rows of a domain and writes them as `outside.json` beside the generator, one row a line.

Standard library only; used by every `<domain>/gen_outside.py`.
"""
import json
from importlib.metadata import version
from pathlib import Path


def library(*packages):
    """The words of a `library` source: packages and versions."""
    return "library: " + " + ".join(f"{name} {version(name)}" for name in packages) + ", computed here"


def leaves(value, path=""):
    """Every number, word and flag of an answer, by dotted path; what is not known is left out."""
    if isinstance(value, dict):
        items = value.items()
    elif isinstance(value, (list, tuple)):
        items = enumerate(value)
    else:
        if value is not None:
            yield path, value
        return
    for key, inner in items:
        yield from leaves(inner, f"{path}.{key}" if path else str(key))


class Rows:
    """The rows of one domain."""

    def __init__(self, folder):
        self.path, self.rows = Path(folder) / "outside.json", []

    def add(self, figure, case, given, want, source, tol, why, standing="library", at=""):
        """`tol`: one tolerance for every real number, or by path (`""` = all others); `{"rel": x}` or absolute."""
        flat = {path: plain(value) for path, value in leaves(want)}
        by_path = tol if isinstance(tol, dict) and "rel" not in tol else {"": tol}
        allowed = {path: by_path.get(path, by_path.get("")) for path, value in flat.items() if isinstance(value, float)}
        assert flat and case not in [row["case"] for row in self.rows], case
        self.rows.append(dict(case=case, figure=figure, given=given, want=flat, tol={k: v for k, v in allowed.items() if v is not None},
                              tol_why=why, standing=standing, source=source, at=at))

    def write(self):
        text = ",\n".join(json.dumps(row, ensure_ascii=False) for row in self.rows)
        self.path.write_text(f"[\n{text}\n]\n", encoding="utf-8")
        print(f"{self.path.parent.name}: {len(self.rows)} rows")


def plain(value):
    """A JSON value of a library's number."""
    if hasattr(value, "item"):
        value = value.item()
    return value
