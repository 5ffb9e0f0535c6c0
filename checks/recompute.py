#!/usr/bin/env python3
"""Recomputes thirty derived rows by a route of its own and writes recomputed.md. Run: python recompute.py   (about 3 minutes)
PyPI: what the generators named gen_outside.py need (their methods are the other route), mpmath 1.3.0, sympy 1.14.0

The rows are drawn with a fixed seed: per domain the figures in a random order, per figure a random row. A drawn row whose given the other
route does not take (a branch that it does not cover, or under a third of what is wanted) is put back and the next is drawn; how many is written down.
"""
import csv
import importlib.util
import json
import math
import random
import sys
from pathlib import Path

import mpmath
import pint
import sympy
from uncertainties import ufloat

HERE = Path(__file__).resolve().parent
SEED = 20261125
COUNTS = {"chain": 7, "slack": 4, "ride": 7, "wear": 6, "workshop": 6}
UNIT = pint.UnitRegistry()


def methods(domain):
    spec = importlib.util.spec_from_file_location(f"{domain}_outside", HERE / domain / "gen_outside.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module, module.METHODS


def pairing(g):
    """Number theory instead of counting."""
    n, z = sympy.Integer(g["links"]), sympy.Integer(g["teeth"])
    shared = sympy.gcd(n, z)
    return dict(passes_to_repeat=int(sympy.lcm(n, z)), loops_to_repeat=int(z / shared), turns_to_repeat=int(n / shared), links_met=int(n / shared), same_kind=bool(sympy.gcd(2, n) * sympy.gcd(2, z) == 4))


def sprocket(g):
    """A regular polygon of that side: its circumscribed circle, its widest corners."""
    mpmath.mp.dps = 30
    z, p = g["teeth"], mpmath.mpf(str(g["pitch_mm"]))
    corners = [mpmath.expjpi(mpmath.mpf(2 * k) / z) for k in range(z)]
    scale = p / abs(corners[1] - corners[0])
    answer = dict(pitch_diameter_mm=2 * scale)
    if "roller_mm" in g:
        roller = mpmath.mpf(str(g["roller_mm"]))
        widest = max(abs(c - corners[0]) for c in corners) * scale
        answer |= dict(over_pins_mm=widest + roller, caliper_mm=widest - roller, root_mm=2 * scale - roller)
    return {k: float(v) for k, v in answer.items()}


def alignment(g):
    """Nut flats as turns by pint, error of a difference by uncertainties."""
    answer = {}
    if "thread_pitch_mm" in g:
        apart = abs(g["left_mm"] - g["right_mm"]) * UNIT.mm
        answer["flats"] = 6 * (apart / (g["thread_pitch_mm"] * UNIT.mm / UNIT.turn)).to("turn").magnitude
    if "reading_error_mm" in g:
        answer["difference_error_mm"] = (ufloat(0, g["reading_error_mm"]) - ufloat(0, g["reading_error_mm"])).std_dev
    return answer


def tightened(g):
    """Torque of a given preload: work of a turn in mpmath, thread from the basic triangle."""
    module = LOADED["workshop"]
    pitch = g["thread_pitch_mm"]
    cut = module.thread(dict(diameter_mm=g["diameter_mm"], thread_pitch_mm=pitch))
    stress = {4.6: 225, 4.8: 310, 5.6: 280, 5.8: 380, 6.8: 440, 8.8: 580 if g["diameter_mm"] <= 16 else 600, 9.8: 650, 10.9: 830, 12.9: 970}
    force = g["preload_n"] if "preload_n" in g else g["proof_share"] * stress[g["property_class"]] * cut["stress_area_mm2"]
    if "yield_share" in g:
        raise KeyError("yield_share")
    flank = mpmath.pi * cut["pitch_diameter_mm"] * g["friction_thread"] * force / mpmath.cos(mpmath.pi / 6)
    head = mpmath.pi * g["head_contact_mm"] * g["friction_head"] * force
    work = [force * pitch, flank, head]
    whole = sum(work) / (2 * mpmath.pi) / 1000
    running = g.get("running_nm", 0)
    return {k: float(v) for k, v in dict(preload_n=force, torque_nm=whole + running, nut_factor=whole * 1000 / force / g["diameter_mm"], loosening_nm=(work[1] + work[2] - work[0]) / (2 * mpmath.pi) / 1000 + running,
                                         stretch_pct=100 * work[0] / sum(work), thread_pct=100 * flank / sum(work), head_pct=100 * head / sum(work)).items()}


def fallback(g):
    d = g["diameter_mm"]
    pitch = g.get("thread_pitch_mm", {5: 0.8, 6: 1, 8: 1.25, 10: 1.5, 12: 1.75, 14: 2, 16: 2}[d])
    ring = g.get("head_contact_mm", {5: 6.2, 6: 7.75, 8: 10.3, 10: 12.8, 12: 15.05, 14: 17.55, 16: 20}[d])
    low, high = g.get("friction_low", 0.1), g.get("friction_high", 0.2)
    at = lambda friction, **more: tightened(dict(diameter_mm=d, thread_pitch_mm=pitch, head_contact_mm=ring, friction_thread=friction, friction_head=friction, property_class=g["property_class"], **more))
    full = at(low, proof_share=0.75)
    weak = mpmath.findroot(lambda force: at(high, preload_n=float(force))["torque_nm"] - full["torque_nm"], (1000, 20000), solver="secant", tol=1e-16)
    return dict(torque_nm=full["torque_nm"], preload_high_n=full["preload_n"], preload_low_n=float(weak), proof_low_pct=float(75 * weak / full["preload_n"]), proof_high_pct=75.0)


MORE = {
    "chain.pairing": (pairing, "least common multiple and greatest divisor by sympy"), "sprocket.geometry": (sprocket, "corners of a polygon in mpmath, 30 digits, distances taken"), "slack.alignment": (alignment, "turns by pint, error of a difference by uncertainties"),
    "torque.from_preload": (tightened, "work of a turn in mpmath, thread from sympy's basic triangle"), "torque.fallback": (fallback, "work of a turn in mpmath, root for the weak end"),
}
LOADED = {}


def cell(text):
    text = text.strip()
    if text in ("true", "false") or text[:1] in ("[", "{"):
        return json.loads(text)
    for kind in (int, float):
        try:
            return kind(text)
        except ValueError:
            continue
    return text


def derived(path):
    """The derived rows of a file that want an answer: (figure, case, given, want, allowed absolute, allowed relative)."""
    text = path.read_text(encoding="utf-8-sig")
    if path.suffix == ".json":
        for row in json.loads(text):
            if row["standing"] == "derived" and "refused" not in row["want"]:
                yield row["figure"], row["case"], row["given"], row["want"], row["tol"], {}
        return
    lines = text.splitlines()
    named = [w for line in lines if line.startswith("#") for w in [line.lstrip("# ").replace("figure:", "figure ").split()] if w[:1] == ["figure"]]
    figure = named[0][1] if named else f"{path.parent.name}.{path.stem}"
    for row in csv.DictReader(line for line in lines if not line.startswith("#")):
        if row["standing"] == "derived" and not row.get("want_refused"):
            put = lambda start: {k[len(start):]: cell(v) for k, v in row.items() if k.startswith(start) and v}
            given = {k: cell(v) for k, v in row.items() if v and k not in ("case", "tol_why", "standing", "source", "at", "note", "status") and not k.startswith(("want_", "tol_", "rtol_"))}
            yield figure, row["case"], given, put("want_"), put("tol_"), put("rtol_")


def reach(value, path):
    for key in path.split("."):
        value = value[int(key)] if isinstance(value, list) else value[key]
    return value


def flat(want):
    for path, value in want.items():
        if isinstance(value, list) and all(isinstance(x, (int, float)) for x in value):
            yield from ((f"{path}.{i}", x, path) for i, x in enumerate(value))
        else:
            yield path, value, path


def compared(answer, want, absolute, relative):
    """Fields met by the other route, fields wanted, largest difference of a real number, largest share of its tolerance."""
    met = total = 0
    most = share = 0.0
    for path, wanted, base in flat(want):
        total += 1
        try:
            got = reach(answer, path)
        except (KeyError, IndexError, TypeError):
            continue
        if got is None:
            continue
        met += 1
        if isinstance(wanted, bool) or not isinstance(wanted, (int, float)):
            assert got == wanted, (path, got, wanted)
            continue
        allowed, part = absolute.get(base, 0), relative.get(base, 0)
        if isinstance(allowed, dict):
            allowed, part = allowed.get("abs", 0), allowed.get("rel", 0)
        room = max(allowed, part * abs(wanted), 1e-12 * max(1, abs(wanted)))
        gap = abs(got - wanted)
        most, share = max(most, gap), max(share, gap / room)
    return met, total, most, share


def main():
    draw, lines, put_back, worst = random.Random(SEED), [], 0, 0.0
    for domain, count in COUNTS.items():
        LOADED[domain if domain != "slack" else "slack_"], own = methods("chain" if domain == "slack" else domain)
        routes = {**own, **MORE}
        pool = {}
        for path in sorted((HERE / domain).iterdir()):
            if path.suffix in (".csv", ".json") and path.stem != "outside":
                for row in derived(path):
                    if row[0] in routes:
                        pool.setdefault(row[0], []).append((path, row))
        order = sorted(pool)
        draw.shuffle(order)
        done = 0
        while done < count:
            figure = order[0]
            order = order[1:] + [figure]
            path, (_, case, given, want, absolute, relative) = pool[figure].pop(draw.randrange(len(pool[figure])))
            if not pool[figure]:
                order.remove(figure)
            try:
                answer = routes[figure][0](given)
            except (KeyError, AssertionError, ValueError):
                answer = {}
            met, total, most, share = compared(answer, want, absolute, relative)
            if 3 * met < total:
                put_back += 1
                continue
            done += 1
            worst = max(worst, share)
            words = case if len(case) <= 48 else case[:45] + "…"
            lines.append(f"| {domain}/{path.name} | {words.replace('|', '/')} | {routes[figure][1]} | {met} of {total} | {most:.1e} | {100 * share:.2g} % |")
            print(lines[-1], flush=True)
    head = f"""# Recomputed rows

Thirty derived rows, drawn with the seed {SEED} (`python recompute.py`), computed again by another route than the one that made them.
Fields = compared of those the row wants (a list counts each member). Difference = the largest of a real number; share = of the row's own tolerance (1e-12 where it has none). Whole numbers, words and flags had to be equal.
{put_back} drawn rows were put back because the other route does not take what they give or covers under a third of what they want. Largest share of a tolerance: {100 * worst:.2g} %.

| file | row | other route | fields | difference | share |
|---|---|---|---|---|---|
"""
    (HERE / "recomputed.md").write_text(head + "\n".join(lines) + "\n", encoding="utf-8")
    return 0 if worst <= 1 else 1


if __name__ == "__main__":
    sys.exit(main())
