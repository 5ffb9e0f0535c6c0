#!/usr/bin/env python3
"""Makes outside.json of this folder (and of ../slack: the hanging run): rows decided by general-purpose libraries or printed in a source.
Run: python gen_outside.py   PyPI: numpy 2.4.6, scipy 1.17.1, shapely 2.2.0, sympy 1.14.0, pint 0.25.3

The chain loop is what shapely makes of it: the border of the convex hull round the two pitch polygons, mean over both phases;
scipy finds the centre at which that border is the chain's length. Nothing here knows a chain-length formula.
"""
import math
import sys
from functools import lru_cache
from pathlib import Path

import numpy as np
import pint
import sympy
from scipy.integrate import solve_ivp
from scipy.optimize import brentq
from shapely import LineString, MultiPoint

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))
from outside_rows import Rows, library

HULL = library("shapely", "scipy") + ": border of the convex hull round both pitch polygons, mean over 16 × 16 phases, root"
UNIT = pint.UnitRegistry()


@lru_cache(maxsize=None)
def polygon(pitch, teeth, phase):
    radius = pitch / (2 * math.sin(math.pi / teeth))
    angle = 2 * math.pi * (np.arange(teeth) + phase) / teeth
    return radius * np.cos(angle), radius * np.sin(angle)


def border(pitch, front, rear, centre, phases=16):
    """Mean border of the hull of both polygons, in mm."""
    total = 0.0
    for i in range(phases):
        x1, y1 = polygon(pitch, front, (i + 0.5) / phases)
        for k in range(phases):
            x2, y2 = polygon(pitch, rear, (k + 0.5) / phases)
            total += MultiPoint(np.column_stack([np.r_[x1, x2 + centre], np.r_[y1, y2]])).convex_hull.length
    return total / phases**2


def centre_for(pitch, front, rear, length):
    """The centre at which the border is `length`."""
    least = pitch * (front + rear) / math.pi / 2 + pitch
    return brentq(lambda c: border(pitch, front, rear, c) - length, least, length / 2, xtol=1e-7)


def axle_shift(g):
    p, f, r, n = g["pitch_mm"], g["front_teeth"], g["rear_teeth"], g["links"]
    f2, r2, n2 = g.get("to_front_teeth", f), g.get("to_rear_teeth", r), g.get("to_links", n)
    grown = 1 + g.get("to_elongation_pct", 0) / 100
    before = centre_for(p, f, r, n * p)
    seated = centre_for(p, f2, r2, n2 * p * grown)
    climbed = centre_for(p * grown, f2, r2, n2 * p * grown) if grown > 1 else seated
    return dict(centre_mm=before, to_centre_mm=seated, shift_seated_mm=seated - before, shift_ride_up_mm=climbed - before)


def fit(g):
    p, f, r, low, high, worn = g["pitch_mm"], g["front_teeth"], g["rear_teeth"], g["centre_min_mm"], g["centre_max_mm"], g.get("elongation_pct", 0) / 100
    least, most = border(p, f, r, low) / p, border(p, f, r, high) / p
    fits = []
    for links in [n for n in range(math.ceil(least), math.floor(most) + 1) if n % 2 == 0] if "links" not in g else [g["links"]]:
        new, seated = centre_for(p, f, r, links * p), centre_for(p, f, r, links * p * (1 + worn))
        climbed = centre_for(p * (1 + worn), f, r, links * p * (1 + worn)) if worn else seated
        fits.append(dict(links=links, centre_mm=seated, room_front_mm=climbed - low, room_rear_mm=high - seated,
                         keeps_margin=climbed - low >= g.get("margin_front_mm", 1.5) and high - seated >= g.get("margin_rear_mm", 1.5),
                         runs_out_pct=100 * (most / links - 1), runs_out_late_pct=100 * (high / new - 1)))
    return dict(fits=fits)


def links(g):
    drive = g["pitch_mm"], g["front_teeth"], g["rear_teeth"]
    need = border(*drive, g["centre_mm"]) / g["pitch_mm"]
    below = 2 * math.floor(need / 2)
    above = below if need == below else below + 2
    return dict(links_needed=need, links_even_below=below, links_even_above=above, centre_even_below_mm=centre_for(*drive, below * g["pitch_mm"]), centre_even_above_mm=centre_for(*drive, above * g["pitch_mm"]))


def centre(g):
    return dict(centre_mm=centre_for(g["pitch_mm"], g["front_teeth"], g["rear_teeth"], g["links"] * g["pitch_mm"]))


def ripple(g):
    """sympy differentiates the place of a joint on the turning polygon and finds the ends and the mean of its speed."""
    t, z = sympy.Symbol("t", real=True), g["teeth"]
    reach = sympy.Interval(-sympy.pi / z, sympy.pi / z)
    speed = sympy.diff(sympy.sin(t), t)
    most, least = sympy.calculus.util.maximum(speed, t, reach), sympy.calculus.util.minimum(speed, t, reach)
    mean = sympy.integrate(speed, (t, reach.start, reach.end)) / reach.measure
    bend = sympy.RegularPolygon(sympy.Point(0, 0), 1, z).exterior_angle
    return dict(ripple_of_max_pct=float((most - least) / most * 100), ripple_of_mean_pct=float((most - least) / mean * 100), bend_deg=float(sympy.deg(bend)))


def pull(g):
    run = g["teeth"] * g["pitch_mm"] * UNIT.mm / UNIT.turn
    if "torque_nm" in g:
        force = g["torque_nm"] * UNIT.newton * UNIT.meter / UNIT.radian / run
    elif "power_kw" in g:
        force = g["power_kw"] * UNIT.kilowatt / (run * g["rpm"] * UNIT.turn / UNIT.minute)
    else:
        force = g["thrust_n"] * UNIT.newton * (g["rollout_m"] * UNIT.meter / UNIT.turn) / run
    answer = dict(pull_n=force.to("newton").magnitude)
    if "rpm" in g:
        answer["speed_mps"] = (run * g["rpm"] * UNIT.turn / UNIT.minute).to("meter/second").magnitude
    return answer


def hang(g):
    """A hanging run as scipy integrates it: y'' = (w/H) √(1 + y'²) from the lowest point, H so that the arc is the chain."""
    span, length = g["span_mm"] / 1000, (g["span_mm"] + g["surplus_mm"]) / 1000

    def half(ratio):
        way = solve_ivp(lambda x, s: [s[1], ratio * math.hypot(1, s[1]), math.hypot(1, s[1])], (0, span / 2), [0, 0, 0], rtol=1e-12, atol=1e-15)
        return way.y[:, -1]

    ratio = brentq(lambda k: half(k)[2] - length / 2, 1e-4, 20, xtol=1e-14, rtol=1e-13)
    sag = half(ratio)[0] * 1000
    out = brentq(lambda h: LineString([(0, 0), (span / 2, h), (span, 0)]).length - length, 0, length, xtol=1e-14) * 1000
    answer = dict(slack_mm=2 * out, sag_mm=sag, rest_to_lift_mm=out + sag)
    if "mass_kg_per_m" in g:
        weight = (g["mass_kg_per_m"] * UNIT.kilogram / UNIT.meter * UNIT.standard_gravity).to("newton/meter").magnitude
        answer["tension_n"] = weight / ratio
    return answer


METHODS = {
    "chain.links": (links, "border of the convex hull round both pitch polygons (shapely)"),
    "chain.centre": (centre, "hull border round both pitch polygons (shapely), root by scipy"),
    "chain.axle_shift": (axle_shift, "hull border round both pitch polygons (shapely), root by scipy"),
    "chain.fit": (fit, "hull border round both pitch polygons (shapely), root by scipy"),
    "chain.ripple": (ripple, "speed of a joint differentiated and integrated exactly by sympy"),
    "chain.pull": (pull, "work per turn over chain per turn, units by pint"),
    "slack.hang": (hang, "hanging run integrated by scipy solve_ivp, push by shapely"),
}
MATCH = "a sprocket maker's page on sizes and a table of motorcycle chain sizes, both seen as stored text: pitches must be equal; a chain wider than the sprocket runs with play from side to side; a narrower one does not take the teeth"


def main():
    rows = Rows(Path(__file__).parent)
    why = "hull of real polygons, mean over phases; the tooth-counted formula differs by at most 0.0006 mm from 9 teeth up"
    drive = dict(pitch_mm=15.875, front_teeth=14, rear_teeth=48, links=118)
    for case, more in (("hull: 1 % worn", dict(to_elongation_pct=1)), ("hull: three teeth more behind", dict(to_rear_teeth=51)), ("hull: a tooth less in front, two more behind", dict(to_front_teeth=13, to_rear_teeth=50)),
                       ("hull: a link pair more", dict(to_links=120)), ("hull: 12.7 mm pitch, 0.5 % worn", dict(pitch_mm=12.7, front_teeth=15, rear_teeth=45, links=130, to_elongation_pct=0.5))):
        given = {**drive, **more}
        rows.add("chain.axle_shift", case, given, axle_shift(given), HULL, 0.002, why)
    stops = dict(pitch_mm=15.875, centre_min_mm=595, centre_max_mm=632)
    for case, more in (("hull: 13/49 between its stops", dict(front_teeth=13, rear_teeth=49)), ("hull: 14/50, a count without margin", dict(front_teeth=14, rear_teeth=50)),
                       ("hull: 13/50, 110 links at 0.8 %", dict(front_teeth=13, rear_teeth=50, links=110, elongation_pct=0.8)), ("hull: 428 size", dict(pitch_mm=12.7, front_teeth=15, rear_teeth=50, centre_min_mm=560, centre_max_mm=590))):
        given = {**stops, **more}
        answer = fit(given)
        tol = {f"fits.{i}.{k}": 0.0005 for i in range(len(answer["fits"])) for k in ("runs_out_pct", "runs_out_late_pct")} | {"": 0.002}
        rows.add("chain.fit", case, given, answer, HULL, tol, why)
    for case, given in (("hull: 14/48 at 690", dict(pitch_mm=15.875, front_teeth=14, rear_teeth=48, centre_mm=690)), ("hull: 9/36 at 480", dict(pitch_mm=15.875, front_teeth=9, rear_teeth=36, centre_mm=480))):
        rows.add("chain.links", case, given, links(given), HULL, {"": 0.002, "links_needed": 0.001}, why)
    for teeth in (9, 12, 13, 14, 17, 48):
        given = dict(teeth=teeth)
        rows.add("chain.ripple", f"sympy: {teeth} teeth", given, ripple(given), library("sympy") + ": speed of a joint differentiated, its ends and mean exact; bend as the exterior angle of the polygon", 1e-9, "exact expression in double precision")
    for case, given in (("pint: 260 Nm at 14 teeth", dict(pitch_mm=15.875, teeth=14, torque_nm=260, rpm=900)), ("pint: 30 kW at 3200 rpm", dict(pitch_mm=15.875, teeth=13, power_kw=30, rpm=3200)), ("pint: 1500 N at the wheel", dict(pitch_mm=15.875, teeth=50, thrust_n=1500, rollout_m=2.06))):
        rows.add("chain.pull", case, given, pull(given), library("pint") + ": work of a turn over the chain of a turn", {"rel": 1e-12}, "double rounding")
    for chain, sprocket, verdict in (("520", "525", "does not run"), ("520", "530", "does not run"), ("525", "520", "runs loose"), ("530", "520", "runs loose"), ("530", "525", "runs loose"), ("428", "520", "does not run"), ("520", "428", "does not run"), ("520", "520", "runs")):
        rows.add("chain.match", f"seen: chain {chain} on sprocket {sprocket}", dict(chain_size=chain, sprocket_size=sprocket), dict(verdict=verdict), MATCH, None, "", standing="published", at="the words on pitch and on width")
    rows.write()
    slack = Rows(Path(__file__).parent.parent / "slack")
    for case, given in (("catenary: 600 mm, 1 mm over", dict(span_mm=600, surplus_mm=1, mass_kg_per_m=0.93)), ("catenary: 680 mm, 2.65 mm over", dict(span_mm=680, surplus_mm=2.65, mass_kg_per_m=0.9)), ("catenary: 550 mm, 0.2 mm over", dict(span_mm=550, surplus_mm=0.2, mass_kg_per_m=1.1)),
                        ("catenary: slack far out", dict(span_mm=640, surplus_mm=25, mass_kg_per_m=0.82)), ("catenary: no mass, no tension", dict(span_mm=700, surplus_mm=4))):
        slack.add("slack.hang", case, given, hang(given), library("scipy", "shapely", "pint") + ": hanging run integrated from its lowest point, root of its length; push by the length of a bent line", {"rel": 1e-6}, "integration to 1e-12, root of a length that is flat in the sag: about 1e-8 of it")
    slack.write()


if __name__ == "__main__":
    main()
