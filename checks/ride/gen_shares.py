#!/usr/bin/env python3
"""Makes shares.csv: a ride's speeds laid against gears. Run: python gen_shares.py
PyPI: numpy 2.4.6. Methods: numpy.quantile (linear, type 7), numpy.histogram, numpy.searchsorted on the gears' lower ends;
none of them is the product's own pass over sorted samples."""
import csv, importlib.metadata as md, json
from pathlib import Path
import numpy as np

HERE = Path(__file__).resolve().parent
LIB = f"library: numpy {md.version('numpy')}, computed here"
BOX_A = dict(primary="[25, 71]", gears="[[14, 31], [15, 26], [17, 25], [19, 23], [21, 22], [24, 22]]", slip_rpm=2400, lo_rpm=3700, max_rpm=9600)
BOX_B = dict(primary=3.1, gears="[2.4, 1.85, 1.45, 1.2, 1.03, 0.9]", slip_rpm=2600, lo_rpm=4000, max_rpm=11500)
BOX_C = dict(primary=2.7, gears="[1.9]", slip_rpm=1500, lo_rpm=2500, max_rpm=7000)


def ratio(x):
    return x[1] / x[0] if isinstance(x, list) else x


def answer(box, front, rear, rollout, slip, v):
    p = ratio(json.loads(str(box["primary"])))
    tot = np.array([p * ratio(g) * rear / front for g in json.loads(box["gears"])])
    at = lambda rpm: rpm / tot * rollout / 60 * (1 - slip)          # m/s
    m = v[v >= 0.5]
    low = np.array(at(box["lo_rpm"]))
    gear = np.clip(np.searchsorted(low, m, side="right") - 1, 0, None)
    share = 100 * np.bincount(gear, minlength=len(low)) / len(m)
    crawl, top = at(box["slip_rpm"])[0], at(box["max_rpm"])[-1]
    slow, med, fast = np.quantile(m, [0.1, 0.5, 0.995])
    n = int(np.floor(m.max() * 3.6 / 5)) + 1
    hist, _ = np.histogram(m * 3.6, bins=np.arange(n + 1) * 5.0)
    return dict(gear_pct=json.dumps([float(s) for s in share]), below_crawl_pct=100 * np.mean(m < crawl), over_pct=100 * np.mean(m > top),
                crawl_slip_kmh=crawl * 3.6, slow_kmh=slow * 3.6, median_kmh=med * 3.6, fast_kmh=fast * 3.6, top_geared_kmh=top * 3.6,
                headroom_pct=100 * (top / fast - 1), classes=json.dumps([dict(from_kmh=5.0 * i, pct=float(100 * h / len(m))) for i, h in enumerate(hist)]))


GIVEN = ["primary", "gears", "front_teeth", "rear_teeth", "rollout_m", "slip_rpm", "lo_rpm", "max_rpm", "slip", "speed_mps"]
WANT = ["gear_pct", "below_crawl_pct", "over_pct", "crawl_slip_kmh", "slow_kmh", "median_kmh", "fast_kmh", "top_geared_kmh", "headroom_pct", "classes"]


def main():
    rng = np.random.default_rng(11)
    rows = []

    def add(case, box, front, rear, rollout, slip, v):
        v = np.round(np.asarray(v, float), 4)
        want = answer(box, front, rear, rollout, slip or 0.0, v)
        row = dict(case=case, **box, front_teeth=front, rear_teeth=rear, rollout_m=rollout, slip="" if slip is None else slip, speed_mps=json.dumps(v.tolist()))
        row.update({f"want_{k}": w for k, w in want.items()}, tol_why="same arithmetic in another order", standing="library", source=LIB, at="numpy.quantile, histogram, searchsorted")
        row.update({f"tol_{k}": 1e-9 for k in WANT})
        rows.append(row)

    trail = np.abs(rng.normal(5.5, 3.2, 240))
    add("trail, 250", BOX_A, 13, 49, 2.06, None, trail)
    add("trail, 350", BOX_B, 14, 48, 2.1, None, trail)
    add("trail, 350, one tooth shorter", BOX_B, 13, 48, 2.1, None, trail)
    add("trail, 350, with slip", BOX_B, 14, 48, 2.1, 0.06, trail)
    add("fast lane, 350", BOX_B, 14, 48, 2.1, None, rng.uniform(0, 38, 300))
    add("over the limiter, 350", BOX_B, 12, 52, 2.1, None, rng.uniform(20, 42, 120))
    add("walking pace only", BOX_B, 14, 48, 2.1, None, rng.uniform(0.5, 2.5, 60))
    add("one gear", BOX_C, 13, 48, 1.9, None, rng.uniform(0, 20, 90))
    add("one sample", BOX_B, 14, 48, 2.1, None, [7.25])
    add("two samples", BOX_B, 14, 48, 2.1, None, [3.0, 9.5])
    add("mostly standing", BOX_A, 14, 50, 2.06, None, np.concatenate([np.zeros(80), rng.uniform(0, 15, 20)]))
    base = dict(case="", **BOX_B, front_teeth=14, rear_teeth=48, rollout_m=2.1, slip="", speed_mps="[5, 6]")
    rule = dict(standing="derived", source="rule of the figure", at="refusals")
    for case, change, field in [("nothing moves", dict(speed_mps="[0, 0.4]"), "speed_mps"), ("no sample", dict(speed_mps="[]"), "speed_mps"),
                                ("a gap in the list", dict(speed_mps="[5, null]"), "speed_mps"), ("negative speed", dict(speed_mps="[5, -1]"), "speed_mps"),
                                ("lo below slip", dict(lo_rpm=2000), "lo_rpm"), ("max below lo", dict(max_rpm=3000), "max_rpm"), ("no limiter", dict(max_rpm=""), "max_rpm"),
                                ("gears rise", dict(gears="[1.2, 1.9]"), "gears"), ("front out of bounds", dict(front_teeth=5), "front_teeth"), ("slip too large", dict(slip=0.9), "slip")]:
        rows.append({**base, **change, **rule, "case": case, "want_refused": field})
    cols = ["case"] + GIVEN + [c for k in WANT for c in (f"want_{k}", f"tol_{k}")] + ["want_refused", "tol_why", "standing", "source", "at"]
    with open(HERE / "shares.csv", "w", newline="") as f:
        f.write("# figure: ride.shares\n# A ride's speeds laid against the gears of a pair. Invented bikes, drawn speeds. Made by gen_shares.py.\n")
        out = csv.DictWriter(f, cols, restval="", lineterminator="\n")
        out.writeheader()
        out.writerows(rows)


main()
