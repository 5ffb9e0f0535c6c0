#!/usr/bin/env python3
"""Makes weights.json: the replay with other weights of the gear choice. Run: python gen_weights.py (numpy, scipy, geographiclib as ref.py).
The reference model holds its weights in one table; each row replays a made ride with some of them changed."""
import json
from pathlib import Path
import numpy as np
import more  # noqa: F401 - adds ride.stretch to the reference
import ref
from gen_mix import FOUR, TWO, TRAIL, SAND, ride
from rows import native

HERE = Path(__file__).resolve().parent
NAMES = dict(clutch_slip="slip", comfort_band="rpm", missing_thrust="thrust", over_the_limiter="over", never_beyond="hard",
             one_gear_step="shift", preferred_rpm="pref", least_demand_n="ref_n")
OURS = dict(ref.W)
PAIRS = [[14, 48], [13, 48], [14, 50], [13, 50], [15, 47]]
SETS = [dict(clutch_slip=12), dict(clutch_slip=0), dict(comfort_band=6.5), dict(missing_thrust=25), dict(over_the_limiter=0, never_beyond=0),
        dict(one_gear_step=0), dict(one_gear_step=4), dict(preferred_rpm=2), dict(least_demand_n=900, missing_thrust=8),
        dict(clutch_slip=1, comfort_band=3, missing_thrust=2, over_the_limiter=50, never_beyond=300, one_gear_step=1.5, preferred_rpm=0.7, least_demand_n=50)]


def answered(figure, given, weights):
    ref.W.update(OURS); ref.W.update({NAMES[k]: float(v) for k, v in weights.items()})
    try: return native(ref.answer(figure, given)[0])
    finally: ref.W.update(OURS)


def main():
    rng = np.random.default_rng(31); rows = []
    rides = [ride(rng, 110, 5.0, 3.0), ride(rng, 80, 16.0, 9.0, hole=35)]
    source = dict(standing="derived", source="reference model ref.py with other weights in its table", at="gen_weights.py")
    for n, weights in enumerate(SETS):
        r, bike, cond = rides[n % 2], (FOUR, TWO)[n // 2 % 2], (TRAIL, SAND)[n // 4 % 2]
        given = dict(bike=bike, pairs=PAIRS, **r, **cond)
        want = answered("ride.pairs", given, weights)
        want["weights"] = {k: OURS[v] for k, v in NAMES.items()} | weights
        tol = {f"pairs.*.{k}": {"abs": 1e-7, "rel": 1e-9} for k in ("cost_per_km", "gear_pct", "shifts_per_km", "slip_pct", "over_pct", "missed_pct", "top_geared_kmh", "headroom_pct", "crawl_idle_kmh", "crawl_slip_kmh", "ratio")}
        tol |= {k: {"rel": 1e-9} for k in ("moving_s", "distance_km", "grip_limited_pct")}
        rows.append(dict(case="pairs with " + ", ".join(f"{k} {v}" for k, v in weights.items()), figure="ride.pairs", given=dict(given, weights=weights), want=want, tol=tol, tol_why="sums in another order", **source))
        given = dict(given, from_s=12.0, to_s=60.0)
        rows.append(dict(case="stretch with " + ", ".join(f"{k} {v}" for k, v in weights.items()), figure="ride.stretch", given=dict(given, weights=weights), want=answered("ride.stretch", given, weights),
                         tol={f"pairs.*.{k}": {"abs": 1e-6, "rel": 1e-9} for k in ("gear_pct", "rpm_median", "reserve_min_n", "reserve_median_n", "slip_pct", "over_pct")} | {"moving_s": 1e-9, "distance_m": {"rel": 1e-9}}, tol_why="rounding", **source))
    given = dict(bike=FOUR, pairs=PAIRS, **rides[0], **TRAIL)
    for case, bad in (("no object", [1, 2]), ("a text", "all"), ("no such weight", dict(clutch=1)), ("a text inside", dict(clutch_slip="3")), ("below 0", dict(one_gear_step=-0.1)),
                      ("too large", dict(never_beyond=10001)), ("nothing to weigh against", dict(least_demand_n=0)), ("true is no number", dict(clutch_slip=True)), ("null inside", dict(clutch_slip=None))):
        rows.append(dict(case="refused: " + case, figure="ride.pairs", given=dict(given, weights=bad), want=dict(refused="weights"), standing="derived", source="the contract: an object is refused under its own name", at="gen_weights.py"))
    unlike = [dict(answered("ride.pairs", given, {}), asked_mean_n=100.0, weights=w) for w in (dict(clutch_slip=3), dict(clutch_slip=4))]
    rows.append(dict(case="refused: rides of other weights as one", figure="ride.mix", given=dict(rides=unlike), want=dict(refused="rides"), standing="derived", source="costs by other weights cannot be added up", at="gen_weights.py"))
    (HERE / "weights.json").write_text("[\n" + ",\n".join(json.dumps(r) for r in rows) + "\n]\n")


main()
