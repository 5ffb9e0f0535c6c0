#!/usr/bin/env python3
"""Makes mix.json: several replayed rides as one. Run: python gen_mix.py (numpy, scipy, geographiclib as ref.py).
Second method, for rides on like ground: no mixing formula at all. The rides are strung together, each as many times as its
whole-number weight says, and the reference model replays that one long ride; only the headroom is taken ride by ride.
For rides on unlike ground the sums of the reference model's own legs are added up with numpy."""
import json
from pathlib import Path
import numpy as np
import ref
from rows import native

HERE = Path(__file__).resolve().parent
TWO, FOUR = ref.BIKES["two_stroke_250_invented"], ref.BIKES["four_stroke_350_invented"]
TRAIL = dict(crr=0.06, mu=0.6, slip=0.06)
SAND = dict(crr=0.15, mu=0.5, slip=0.15)
ROAD = dict(crr=0.015, mu=0.75, slip=0.03)
SHARE = ["slip_pct", "over_pct", "missed_pct", "shifts_per_km", "cost_per_km"]


def ride(rng, n, mean, spread, hole=None):
    k = np.arange(n)
    v = np.abs(mean + spread * np.sin(k / rng.uniform(6, 14)) + rng.normal(0, spread / 3, n))
    v[rng.integers(5, n - 5):][:4] = 0.0
    t = k.astype(float)
    if hole: t[hole:] += 40.0
    return dict(t_s=t.tolist(), speed_mps=np.round(v, 3).tolist(), grade=np.round(rng.uniform(-0.12, 0.12, n), 4).tolist(),
                accel_mps2=np.round(np.gradient(v).clip(-3, 3), 3).tolist())


def asked(bike, r, cond):
    """mean thrust asked for while under way, braking as 0"""
    b = ref._fields("", ref.SPEC["ride.pairs"], dict(bike=bike, pairs=[[14, 48]], **r, **cond))["bike"]
    out = []
    for v, g, a in zip(r["speed_mps"], r["grade"], r["accel_mps2"]):
        if v < 0.5: continue
        tot = sum(ref.resist(b, v, g, cond["crr"], 1.2, a)[:4]); out.append(max(0.0, min(tot, cond["mu"] * ref.rear_load(b, v, g, 1.2, a)[0])))
    return float(np.mean(out))


PATTERNS = [p for p in [(a, b, c, d) for a in (-1, 1) for b in (-1, 1) for c in (-1, 1) for d in (-1, 1)] if np.prod(p) > 0]


def moved(bike, cond, p):
    return ({**bike, "mass_kg": bike["mass_kg"] * (1 + .05 * p[0]), "cda_m2": bike["cda_m2"] * (1 + .15 * p[2])},
            {**cond, "crr": cond["crr"] * (1 + .3 * p[1]), "slip": cond["slip"] * (1 + .5 * p[3])})


def replay(bike, pairs, r, cond, study):
    a = native(ref.answer("ride.pairs", dict(bike=bike, pairs=pairs, **r, **cond))[0])
    a["asked_mean_n"] = asked(bike, r, cond)
    if study:
        a["runs"] = []
        for p in PATTERNS:
            b, c = moved(bike, cond, p)
            rows = native(ref.answer("ride.pairs", dict(bike=b, pairs=pairs, **r, **c))[0])["pairs"]
            a["runs"].append(dict(mass=p[0], crr=p[1], cda=p[2], slip=p[3], pairs=[{k: x[k] for k in ("front_teeth", "rear_teeth", "cost_per_km", "over_pct", "headroom_pct")} for x in rows]))
    return a


def strung(rides, times):
    """the rides one after the other, each so often, with a hole between"""
    out = dict(t_s=[], speed_mps=[], grade=[], accel_mps2=[]); t0 = 0.0
    for r, n in zip(rides, times):
        for _ in range(n):
            out["t_s"] += [t0 + x for x in r["t_s"]]; t0 = out["t_s"][-1] + 60.0
            for k in ("speed_mps", "grade", "accel_mps2"): out[k] += r[k]
    return out


def ranked(rows):
    rows = sorted(rows, key=lambda x: (not x["feasible"], x["cost_per_km"], x["ratio"], x["front_teeth"]))
    keys = ("slip_pct", "missed_pct", "over_pct", "shifts_per_km")
    for i, x in enumerate(rows):
        x["rank"] = i + 1
        x["as_good"] = x["feasible"] == rows[0]["feasible"] and x["cost_per_km"] <= 1.03 * rows[0]["cost_per_km"]
        x["pareto"] = not any(all(o[k] <= x[k] for k in keys) and any(o[k] < x[k] for k in keys) for o in rows)
    return rows


def least(answers, x):
    return min(y["headroom_pct"] for a in answers for y in a["pairs"] if (y["front_teeth"], y["rear_teeth"]) == (x["front_teeth"], x["rear_teeth"]))


def by_string(bike, pairs, rides, times, cond, answers, study):
    one = lambda b, c: native(ref.answer("ride.pairs", dict(bike=b, pairs=pairs, **strung(rides, times), **c))[0])
    count = [a for a, n in zip(answers, times) if n]
    a = one(bike, cond)
    for x in a["pairs"]:
        x["headroom_pct"] = least(count, x); x["feasible"] = x["headroom_pct"] >= 5 and x["over_pct"] <= 1
    rows = ranked(a["pairs"]); want = dict(pairs=rows, grip_limited_pct=a["grip_limited_pct"])
    if study:
        nominal = {(x["front_teeth"], x["rear_teeth"]): x["cost_per_km"] for x in rows}; hits = 0
        for i, p in enumerate(PATTERNS):
            b, c = moved(bike, cond, p); rr = one(b, c)["pairs"]
            for x in rr:
                x["headroom_pct"] = least([dict(pairs=y["runs"][i]["pairs"]) for y in count], x); x["feasible"] = x["headroom_pct"] >= 5 and x["over_pct"] <= 1
            top = ranked(rr)[0]; hits += nominal[(top["front_teeth"], top["rear_teeth"])] <= 1.03 * rows[0]["cost_per_km"]
            want[f"runs.{i}.front_teeth"] = top["front_teeth"]; want[f"runs.{i}.rear_teeth"] = top["rear_teeth"]; want[f"runs.{i}.cost_per_km"] = top["cost_per_km"]
        want["runs_in_band"] = hits
    return want


def by_sum(answers, weights):
    """numpy: every ride's own totals, weighed and added; then divided once"""
    w = np.array(weights, float); d = np.array([a["distance_km"] for a in answers]); t = np.array([a["moving_s"] for a in answers]); f = np.array([a["asked_mean_n"] for a in answers]) * t
    rows = []
    for x in answers[0]["pairs"]:
        each = [next(y for y in a["pairs"] if (y["front_teeth"], y["rear_teeth"]) == (x["front_teeth"], x["rear_teeth"])) for a in answers]
        col = lambda k: np.array([y[k] for y in each])
        y = dict(x, cost_per_km=float((w * d) @ col("cost_per_km") / (w @ d)), shifts_per_km=float((w * d) @ col("shifts_per_km") / (w @ d)),
                 slip_pct=float((w * t) @ col("slip_pct") / (w @ t)), over_pct=float((w * t) @ col("over_pct") / (w @ t)), missed_pct=float((w * f) @ col("missed_pct") / (w @ f)),
                 gear_pct=((w * t) @ np.array([z["gear_pct"] for z in each]) / (w @ t)).tolist(), headroom_pct=float(min(h for h, n in zip(col("headroom_pct"), w) if n > 0)))
        y["feasible"] = y["headroom_pct"] >= 5 and y["over_pct"] <= 1; rows.append(y)
    return dict(pairs=ranked(rows), grip_limited_pct=float((w * t) @ np.array([a["grip_limited_pct"] for a in answers]) / (w @ t)))


def row(case, answers, weights, want, how, extra=None, ages=None):
    rides = [dict(a) for a in answers]
    for i, (r, n) in enumerate(zip(rides, weights)):
        if n != 1: r["weight"] = n
        if ages: r["age_d"] = ages[i]
    real = np.array([float(n) for n in weights]) * (np.array([2.0 ** (-a / extra["half_life_d"]) for a in ages]) if ages else 1.0)
    d = np.array([a["distance_km"] for a in answers]); keep = real > 0
    want = dict(want, moving_s=float(sum(a["moving_s"] for a, k in zip(answers, keep) if k)), distance_km=float(d[keep].sum()), share_pct=(100 * real * d / (real @ d)).tolist(),
                fastest_ride=1 + int(np.argmin([min(x["headroom_pct"] for x in a["pairs"]) if k else np.inf for a, k in zip(answers, keep)])), any_feasible=any(x["feasible"] for x in want["pairs"]))
    tol = {k: {"rel": 1e-9} for k in want if k.split(".")[-1] in ("moving_s", "distance_km", "cost_per_km", "grip_limited_pct")}
    tol |= {"share_pct": 1e-9} | {f"pairs.*.{k}": {"abs": 1e-9, "rel": 1e-9} for k in SHARE + ["gear_pct", "headroom_pct", "ratio", "top_geared_kmh", "crawl_idle_kmh", "crawl_slip_kmh"]}
    return dict(case=case, figure="ride.mix", given=dict(rides=rides, **(extra or {})), want=want, tol=tol, tol_why="same sums in another order", standing="derived", source="derived here; " + how, at="gen_mix.py")


STRING = "the rides strung together and replayed as one by ref.py"
SUM = "numpy sums of the reference model's rides"


def main():
    rng = np.random.default_rng(23); rows = []
    slow, mid, fast = ride(rng, 90, 4.0, 2.5), ride(rng, 70, 8.0, 4.0, hole=30), ride(rng, 60, 18.0, 9.0)
    pairs = [[14, 48], [13, 48], [14, 50], [13, 50], [15, 47]]
    A = [replay(FOUR, pairs, r, TRAIL, False) for r in (slow, mid, fast)]
    S = [replay(FOUR, pairs, r, TRAIL, True) for r in (slow, mid)]
    T = [replay(TWO, [[13, 49], [12, 49], [13, 52]], r, c, False) for r, c in ((slow, TRAIL), (mid, SAND), (fast, ROAD))]
    rows.append(row("one ride alone is itself", A[:1], [1], by_string(FOUR, pairs, [slow], [1], TRAIL, A[:1], False), STRING))
    rows.append(row("two rides alike", A[:2], [1, 1], by_string(FOUR, pairs, [slow, mid], [1, 1], TRAIL, A[:2], False), STRING))
    rows.append(row("the second ride twice", A[:2], [1, 2], by_string(FOUR, pairs, [slow, mid], [1, 2], TRAIL, A[:2], False), STRING))
    rows.append(row("one to three, by halves", A[:2], [0.5, 1.5], by_string(FOUR, pairs, [slow, mid], [1, 3], TRAIL, A[:2], False), STRING))
    rows.append(row("the fast ride decides the headroom", A, [3, 2, 1], by_string(FOUR, pairs, [slow, mid, fast], [3, 2, 1], TRAIL, A, False), STRING))
    rows.append(row("a ride of weight 0 does not count", A, [3, 2, 0], by_string(FOUR, pairs, [slow, mid, fast], [3, 2, 0], TRAIL, A, False), STRING))
    rows.append(row("with the doubts moved", S, [2, 1], by_string(FOUR, pairs, [slow, mid], [2, 1], TRAIL, S, True), STRING))
    rows.append(row("a half-life of 30 days: 30 days old counts half", A[:2], [1, 1], by_string(FOUR, pairs, [slow, mid], [2, 1], TRAIL, A[:2], False), STRING, dict(half_life_d=30.0), [0.0, 30.0]))
    rows.append(row("weight against age", A[:2], [1, 8], by_string(FOUR, pairs, [slow, mid], [1, 2], TRAIL, A[:2], False), STRING, dict(half_life_d=45.0), [0.0, 90.0]))
    rows.append(row("unlike ground", T, [1, 1, 1], by_sum(T, [1, 1, 1]), SUM))
    rows.append(row("unlike ground, weighed", T, [2.5, 1, 0.4], by_sum(T, [2.5, 1, 0.4]), SUM))
    good = A[:2]
    def refuse(case, rides, **more):
        rows.append(dict(case=case, figure="ride.mix", given=dict(rides=rides, **more), want=dict(refused=more.pop("field", "rides")), tol={}, tol_why="", standing="derived", source="rule of the figure", at="gen_mix.py"))
    without = lambda a, *ks: {k: v for k, v in a.items() if k not in ks}
    refuse("no ride", [])
    refuse("no list", 7)
    refuse("all weights 0", [dict(a, weight=0) for a in good])
    refuse("a weight below 0", [dict(good[0], weight=-1)])
    refuse("a weight as text", [dict(good[0], weight="2")])
    refuse("a member that is none", [dict(good[0], wieght=2)])
    refuse("another bike's ride", [good[0], T[0]])
    refuse("another set of pairs", [good[0], dict(good[1], pairs=good[1]["pairs"][:4])])
    refuse("no pairs", [dict(good[0], pairs=[])])
    refuse("no asked thrust", [without(good[0], "asked_mean_n")])
    refuse("no distance", [dict(good[0], distance_km=0)])
    refuse("runs in one ride only", [S[0], A[1]])
    refuse("age missing where age counts", good, half_life_d=30.0)
    rows.append(dict(case="a half-life of no days", figure="ride.mix", given=dict(rides=[dict(a, age_d=1) for a in good], half_life_d=0), want=dict(refused="half_life_d"), tol={}, tol_why="", standing="derived", source="rule of the figure", at="gen_mix.py"))
    (HERE / "mix.json").write_text("[\n" + ",\n".join(json.dumps(native(r), allow_nan=False) for r in rows) + "\n]\n", encoding="utf-8")
    print("ride.mix", len(rows))


if __name__ == "__main__":
    main()
