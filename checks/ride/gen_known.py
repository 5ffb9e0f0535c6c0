#!/usr/bin/env python3
"""Makes known_gears.csv: gears from recorded engine and ground speed. Run: python gen_known.py (numpy).
The other way round: gears are drawn, the engine speed that each makes is computed forward from exact fractions, some samples are
spoilt (clutch, spin), and the drawn gears are what must be found; shares by numpy.bincount."""
import csv, importlib.metadata as md, json
from fractions import Fraction
from pathlib import Path
import numpy as np

HERE = Path(__file__).resolve().parent
A = dict(primary=[25, 71], gears=[[14, 31], [15, 26], [17, 25], [19, 23], [21, 22], [24, 22]])
B = dict(primary=3.1, gears=[2.4, 1.85, 1.45, 1.2, 1.03, 0.9])
ONE = dict(primary=2.7, gears=[1.9])
frac = lambda x: Fraction(x[1], x[0]) if isinstance(x, list) else Fraction(str(x))
COLS = ["primary", "gears", "front_teeth", "rear_teeth", "rollout_m", "slip", "speed_mps", "rpm", "tolerance_pct", "model_gear_pct"]
WANT = ["gears", "gear_pct", "known_pct", "moving", "misfit_pct"]


def main():
    rng = np.random.default_rng(31); rows = []

    def add(case, box, front, rear, rollout, n, slip=None, tol=None, spoil=0.0, model=None, jitter=0.0):
        totals = [float(frac(box["primary"]) * frac(g) * Fraction(rear, front)) for g in box["gears"]]
        G = len(totals); g = rng.integers(1, G + 1, n); v = np.round(rng.uniform(1.0, 30.0, n), 4); v[::11] = 0.3
        rpm = np.array([v[k] * 60 / rollout * totals[g[k] - 1] / (1 - (slip or 0)) for k in range(n)]) * (1 + rng.uniform(-jitter, jitter, n))
        bad = rng.random(n) < spoil
        rpm[bad] = np.where(g[bad] == 1, rpm[bad] * 1.3, v[bad] * 60 / rollout * totals[0] / (1 - (slip or 0)) * 1.4)   # above first gear: the clutch slips
        keep = rpm <= 25000; v, rpm, g, bad = v[keep], rpm[keep], g[keep], bad[keep]
        moving = v >= 0.5; want = np.where(moving & ~bad, g, 0); count = np.bincount(want[want > 0], minlength=G + 1)[1:]; known = int(count.sum())
        pct = (100 * count / known if known else np.zeros(G)).tolist()
        row = dict(case=case, primary=json.dumps(box["primary"]), gears=json.dumps(box["gears"]), front_teeth=front, rear_teeth=rear, rollout_m=rollout, slip="" if slip is None else slip,
                   speed_mps=json.dumps(v.tolist()), rpm=json.dumps(rpm.tolist()), tolerance_pct="" if tol is None else tol, model_gear_pct="" if model is None else json.dumps(model),
                   want_gears=json.dumps([int(x) for x in want]), want_gear_pct=json.dumps(pct), tol_gear_pct=1e-9, want_known_pct=100 * known / int(moving.sum()), tol_known_pct=1e-9, want_moving=int(moving.sum()),
                   tol_why="shares of counts", standing="derived", source=f"derived here, forward from drawn gears; library: numpy {md.version('numpy')}, computed here", at="numpy.bincount")
        if model is not None and known: row.update(want_misfit_pct=float(np.abs(np.array(pct) - np.array(model)).sum() / 2), tol_misfit_pct=1e-9)
        rows.append(row)

    add("every gear, as recorded", B, 14, 48, 2.1, 60)
    add("a wheel that slips", B, 14, 48, 2.1, 60, slip=0.06)
    add("teeth, noise of 2 %", A, 13, 49, 2.06, 80, jitter=0.02)
    add("a clutch that slips now and then", B, 13, 48, 2.1, 80, spoil=0.3)
    add("against a model", B, 14, 48, 2.1, 60, model=[20, 20, 20, 20, 10, 10], jitter=0.01)
    add("against a model that says first gear only", A, 13, 49, 2.06, 60, spoil=0.2, model=[100, 0, 0, 0, 0, 0])
    add("a narrow tolerance", A, 14, 50, 2.06, 50, tol=0.5, jitter=0.004)
    add("one gear", ONE, 13, 48, 1.9, 40, spoil=0.4)
    add("no gear fits", ONE, 13, 48, 1.9, 30, spoil=1.0)
    add("no gear fits, with a model", ONE, 13, 48, 1.9, 30, spoil=1.0, model=[100])
    base = dict(case="", primary=3.1, gears=json.dumps(B["gears"]), front_teeth=14, rear_teeth=48, rollout_m=2.1, speed_mps="[5, 6]", rpm="[4000, 5000]", standing="derived", source="rule of the figure", at="refusals")
    for case, change, field in [("nothing moves", dict(speed_mps="[0, 0.4]"), "speed_mps"), ("no sample", dict(speed_mps="[]", rpm="[]"), "speed_mps"), ("lists of different length", dict(rpm="[4000]"), "rpm"), ("negative rpm", dict(rpm="[4000, -1]"), "rpm"),
                                ("rpm beyond any engine", dict(rpm="[4000, 26000]"), "rpm"), ("a gap in the list", dict(speed_mps="[5, null]"), "speed_mps"), ("a model with a gear too few", dict(model_gear_pct="[50, 50]"), "model_gear_pct"),
                                ("a model above 100 %", dict(model_gear_pct="[101, 0, 0, 0, 0, 0]"), "model_gear_pct"), ("no tolerance", dict(tolerance_pct=0), "tolerance_pct"), ("gears rise", dict(gears="[1.2, 1.9]"), "gears"), ("no rollout", dict(rollout_m=""), "rollout_m"), ("no rpm", dict(rpm=""), "rpm")]:
        rows.append({**base, **change, "case": case, "want_refused": field})
    cols = ["case"] + COLS + [c for k in WANT for c in ((f"want_{k}",) if k in ("gears", "moving") else (f"want_{k}", f"tol_{k}"))] + ["want_refused", "tol_why", "standing", "source", "at"]
    with open(HERE / "known_gears.csv", "w", newline="", encoding="utf-8") as f:
        f.write("# figure ride.known_gears\n# Gears from recorded engine and ground speed. Invented bikes, drawn gears. Made by gen_known.py.\n")
        w = csv.DictWriter(f, cols, restval="", lineterminator="\n"); w.writeheader(); w.writerows(rows)
    print("ride.known_gears", len(rows))


main()
