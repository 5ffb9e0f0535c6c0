#!/usr/bin/env python3
"""Makes outside.json of this folder: rows decided by general-purpose libraries or printed in a source. Run: python gen_outside.py
PyPI: numpy 2.4.6, scipy 1.17.1, sympy 1.14.0, pint 0.25.3, networkx 3.6.1, ortools 9.15.6755, statsmodels 0.15.0, scikit-learn 1.9.1, filterpy 2.0.0, CoolProp 8.0.0, ambiance 1.3.1

What a library decides: pint every unit, ortools every equal pair, statsmodels the weighted mean of log ratios, scipy the torque between
points, the speed at which a full-throttle run settles, labels of runs and sign flips, networkx the cheapest way through the gears,
sympy the equations of motion and of balance, filterpy the smoothing of heights and places, CoolProp the vapour and ambiance the pressure of the air.
"""
import math
import sys
from fractions import Fraction
from pathlib import Path

import networkx as nx
import numpy as np
import pint
import statsmodels.api as sm
import sympy as sp
from ambiance import Atmosphere
from CoolProp.CoolProp import PropsSI
from filterpy.kalman import KalmanFilter
from ortools.sat.python import cp_model
from scipy import ndimage, stats
from scipy.integrate import solve_ivp
from scipy.interpolate import PchipInterpolator
from scipy.optimize import bisect
from sklearn.metrics import root_mean_squared_error
from sympy.physics.mechanics import Lagrangian, LagrangesMethod, Particle, Point, ReferenceFrame, RigidBody, dynamicsymbols, inertia

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))
from outside_rows import Rows, library

UNIT = pint.UnitRegistry()
WHEEL, REVS = UNIT.meter / UNIT.turn, UNIT.turn / UNIT.minute
KMH, MPS = UNIT.kilometer / UNIT.hour, UNIT.meter / UNIT.second
BIKE = dict(primary=[25, 71], gears=[[14, 31], [15, 26], [17, 25], [19, 23], [21, 22], [24, 22]],
            curve=[[1600, 10], [2500, 14.5], [3500, 19], [4500, 23.5], [5500, 28], [6500, 33], [7300, 37], [8000, 38.5], [8600, 37], [9200, 31], [9800, 21]],
            idle_rpm=1600, slip_rpm=2400, lo_rpm=3700, hi_rpm=7900, max_rpm=9600, hard_rpm=10100, mass_kg=198.0, j_front_kgm2=0.45, j_rear_kgm2=0.55, j_engine_kgm2=0.0055,
            rollout_m=2.06, cda_m2=0.5, eta=0.93, wheelbase_m=1.475, cg_from_front_m=0.757, cg_height_m=0.915, aero_height_m=1.0)
OTHER = {**BIKE, "primary": 3.05, "gears": [2.4, 1.75, 1.35, 1.1, 0.95], "rollout_m": 2.1}


def ratio(value):
    return Fraction(value[1], value[0]) if isinstance(value, list) else Fraction(repr(value))


def totals(bike, front, rear):
    return [float(ratio(bike["primary"]) * ratio(gear) * Fraction(rear, front)) for gear in bike["gears"]]


# ---------------------------------------------------------------- plain gearing
def speeds(g):
    roll, keep, whole = g["rollout_m"] * WHEEL, 1 - g.get("slip", 0), totals(g, g["front_teeth"], g["rear_teeth"])

    def ground(rpm, total):
        return (rpm * REVS / total * roll * keep).to(KMH).magnitude

    gears = []
    for i, total in enumerate(whole):
        gear = dict(gear=i + 1, total_ratio=total)
        if "rpm" in g:
            gear["speed_kmh"] = ground(g["rpm"], total)
        if "speed_kmh" in g:
            gear["rpm"] = (g["speed_kmh"] * KMH / keep / roll * total).to(REVS).magnitude
        if i + 1 < len(whole):
            gear["step_pct"] = ((total / whole[i + 1] - 1) * UNIT.dimensionless).to("percent").magnitude
            if "max_rpm" in g:
                gear["upshift_rpm"] = (g["max_rpm"] * REVS / total * whole[i + 1]).to(REVS).magnitude
                if "lo_rpm" in g:
                    gear["overlap_kmh"] = ground(g["max_rpm"], total) - ground(g["lo_rpm"], whole[i + 1])
        gears.append(gear)
    crawl = {f"crawl_{k}_kmh": ground(g[f"{k}_rpm"], whole[0]) for k in ("idle", "slip") if f"{k}_rpm" in g}
    return dict(gears=gears, **crawl)


class Gather(cp_model.CpSolverSolutionCallback):
    """Every solution of a model."""

    def __init__(self, *variables):
        super().__init__()
        self.variables, self.found = variables, []

    def on_solution_callback(self):
        self.found.append([self.value(v) for v in self.variables])


def equal_pairs(g):
    front, rear, limit = g["front_teeth"], g["rear_teeth"], Fraction(repr(g.get("limit_pct", 1)))

    def all_pairs(constrain):
        model = cp_model.CpModel()
        f, r = model.new_int_var(g.get("front_min", 11), g.get("front_max", 16), "f"), model.new_int_var(g.get("rear_min", 38), g.get("rear_max", 56), "r")
        constrain(model, f, r)
        solver, gather = cp_model.CpSolver(), Gather(f, r)
        solver.parameters.enumerate_all_solutions = True
        solver.solve(model, gather)
        return sorted(pair for pair in gather.found if pair != [front, rear])

    def close(model, f, r):
        apart = model.new_int_var(-10**6, 10**6, "apart")
        size = model.new_int_var(1, 10**6, "size")
        model.add(apart == r * front - f * rear)
        model.add_abs_equality(size, apart)
        model.add(size * 100 * limit.denominator <= limit.numerator * rear * f)

    percent = {tuple(pair): float(sp.Rational(pair[1] * front, pair[0] * rear) - 1) * 100 for pair in all_pairs(close)}
    near = sorted(percent, key=lambda pair: (abs(percent[pair]), pair))
    least = sp.Rational(front, rear)
    return dict(reduced=[int(least.p), int(least.q)], equal=all_pairs(lambda model, f, r: model.add(r * front == f * rear)), near=[list(p) for p in near], near_pct=[percent[p] for p in near])


def swap(g):
    f, r, f2, r2 = (sp.Integer(g[k]) for k in ("front_teeth", "rear_teeth", "new_front_teeth", "new_rear_teeth"))
    x = sp.Symbol("x")

    def only(equation):
        (root,) = sp.solve(equation, x)
        return float(root)

    same = sp.Eq(r / f * (1 + x / 100), r2 / f2)
    return dict(thrust_pct=only(same), speed_pct=only(sp.Eq(r2 / f2 * (1 + x / 100), r / f)), rear_teeth_equivalent=only(sp.Eq((r + x) / f, r2 / f2)), front_teeth_equivalent=only(sp.Eq(r / (f + x), r2 / f2)),
                front_less_one_as_rear=only(sp.Eq((r + x) / f, r / (f - 1))), front_plus_one_as_rear=only(sp.Eq((r + x) / f, r / (f + 1))), links_change=float((f2 + r2 - f - r) / 2))


def torque(curve):
    rpm, value = zip(*curve)
    between = PchipInterpolator(rpm, value)
    return lambda n: np.where(np.asarray(n) > rpm[-1], 0.0, between(np.clip(n, rpm[0], rpm[-1])))


def thrust(bike, total, rpm):
    """Thrust at the wheel: work of a turn of the engine over the way of a turn of the wheel."""
    return 2 * math.pi * torque(bike["curve"])(rpm) * total * bike["eta"] / bike["rollout_m"]


def best_thrust(bike, front, rear, speed):
    each = []
    for total in totals(bike, front, rear):
        rpm = (speed * MPS / (bike["rollout_m"] * WHEEL) * total).to(REVS).magnitude
        each.append(np.where(rpm <= bike["max_rpm"] * (1 + 1e-12), thrust(bike, total, rpm), 0))
    return np.max(each, axis=0)


def match(g):
    a, b = g["bike_a"], g["bike_b"]
    count = min(len(a["gears"]), len(b["gears"]))
    weights = np.array(g.get("gear_weights", [1] * count), float)
    per_gear = [i / a["rollout_m"] * b["rollout_m"] / float(ratio(b["primary"]) * ratio(gear)) for i, gear in zip(totals(a, a["front_teeth"], a["rear_teeth"]), b["gears"])]
    logs = np.log(per_gear)
    ideal = math.exp(sm.WLS(logs, np.ones(count), weights=weights).fit().params[0])
    pairs = [(f, r) for f in range(g.get("front_min", 11), g.get("front_max", 16) + 1) for r in range(g.get("rear_min", 38), g.get("rear_max", 56) + 1)]
    answer = dict(ratio_per_gear=per_gear, ideal_ratio=ideal)
    if g.get("by", "speed") == "speed":
        miss = {p: 100 * math.expm1(root_mean_squared_error(logs, np.full(count, math.log(p[1] / p[0])), sample_weight=weights)) for p in pairs}
        named = lambda p: dict(front_teeth=p[0], rear_teeth=p[1], speed_mismatch_pct=miss[p])
    else:
        slow, fast = (((rpm * REVS) / total * (a["rollout_m"] * WHEEL)).to(MPS).magnitude for rpm, total in ((a["curve"][0][0], totals(a, a["front_teeth"], a["rear_teeth"])[0]), (min(a["max_rpm"], a["curve"][-1][0]), totals(a, a["front_teeth"], a["rear_teeth"])[-1])))
        speed = np.linspace(slow, fast, 101)
        have = best_thrust(a, a["front_teeth"], a["rear_teeth"], speed)
        share = {p: best_thrust(b, *p, speed) / b["mass_kg"] * a["mass_kg"] / have for p in pairs}
        miss = {p: 100 * root_mean_squared_error(np.ones(101), share[p]) for p in pairs}
        named = lambda p: dict(front_teeth=p[0], rear_teeth=p[1], thrust_mismatch_pct=miss[p], thrust_mean_pct=100 * (float(np.mean(share[p])) - 1))
        answer |= dict(speed_min_kmh=(slow * MPS).to(KMH).magnitude, speed_max_kmh=(fast * MPS).to(KMH).magnitude)
    best = sorted(pairs, key=lambda p: (round(miss[p], 9), sum(p), p[0]))[:3]
    return answer | dict(pairs=[named(p) for p in best])


def top_speed(g):
    """Full throttle from each gear's limiter, down or held: where scipy's integration of the motion settles."""
    bike, slip, slope = g["bike"], g.get("slip", 0), math.atan(g.get("grade", 0))
    weight = bike["mass_kg"] * 9.80665
    against = weight * (math.sin(slope) + g.get("crr", 0.025) * math.cos(slope))
    whole, found = totals(bike, g["front_teeth"], g["rear_teeth"]), []
    for gear, total in enumerate(whole, 1):
        limit = (bike["max_rpm"] * REVS / total * bike["rollout_m"] * WHEEL * (1 - slip)).to(MPS).magnitude

        def pull(v):
            rpm = v / (1 - slip) * 60 / bike["rollout_m"] * total
            push = g.get("power_factor", 1) * thrust(bike, total, min(max(rpm, bike["slip_rpm"]), bike["max_rpm"]))
            return float(push) - against - g.get("density_kgm3", 1.2) * bike["cda_m2"] * v * v / 2

        settled = limit if pull(limit) >= 0 else solve_ivp(lambda t, y: [pull(y[0]) / bike["mass_kg"]], (0, 4000), [limit], method="LSODA", rtol=1e-11, atol=1e-11).y[0, -1]
        found.append((settled, gear, total, settled == limit))
    speed, gear, total, at_limit = max(found)
    return dict(top_kmh=speed * 3.6, gear=gear, rpm=speed / (1 - slip) * 60 / bike["rollout_m"] * total, limited_by="revs" if at_limit and gear == len(whole) else "thrust",
                geared_kmh=(bike["max_rpm"] * REVS / whole[-1] * bike["rollout_m"] * WHEEL * (1 - slip)).to(KMH).magnitude)


# ---------------------------------------------------------------- air and forces
def air_power(g):
    """Vapour by IAPWS-95 (CoolProp), pressure at altitude by the ICAO atmosphere (ambiance), the June 1990 formula as printed."""
    air = Atmosphere(g["altitude_m"]) if "altitude_m" in g else None
    pressure = g["pressure_kpa"] * 1000 if "pressure_kpa" in g else float(air.pressure[0])
    kelvin = g["temperature_degc"] + 273.15 if "temperature_degc" in g else float(air.temperature[0])
    dry = pressure - g.get("humidity_pct", 0) / 100 * (PropsSI("P", "T", kelvin, "Q", 0, "Water") if g.get("humidity_pct") else 0)
    factor = 1.180 * (990 / (dry / 100)) * math.sqrt((kelvin - 273.15 + 273) / 298) - 0.18
    return dict(dry_pressure_kpa=dry / 1000, sae_cf=factor, sae_factor=1 / factor)


def balance():
    """Forces of a bike on a slope: inertia by Lagrange, thrust and rear load by the balance of forces and of moments about the front contact."""
    m, jf, jr, je, i, eta, r, th, v, a, crr, rho, cda, length, back, high, aero, grav = sp.symbols("m jf jr je i eta r th v a crr rho cda length back high aero grav", positive=True)
    x = dynamicsymbols("x")
    still, origin = ReferenceFrame("N"), Point("O")
    origin.set_vel(still, 0)

    def moving(name, body):
        centre = Point(name)
        centre.set_vel(still, x.diff() * still.x)
        return body(centre)

    def turning(name, spin, moment):
        frame = still.orientnew(name, "Axis", [spin, still.z])
        point = Point(name + "0")
        point.set_vel(still, 0)
        return RigidBody(name, point, frame, sp.Integer(0), (inertia(frame, 0, 0, moment), point))

    whole = moving("G", lambda centre: Particle("bike", centre, m))
    whole.potential_energy = m * grav * sp.sin(th) * x
    parts = [whole, turning("F", x / r, jf), turning("R", x / r, jr), turning("E", i * x / r, je * eta)]
    equation = LagrangesMethod(Lagrangian(still, *parts), [x]).form_lagranges_equations()[0]
    motion = sp.expand(equation.subs(x.diff().diff(), a))
    drag, rolling = rho * cda * v**2 / 2, crr * m * grav * sp.cos(th)
    thrust_, front, rear = sp.symbols("T Nf Nr")
    # moments about the front contact; the wheels' own turning is left out by the figure's definition
    answer = sp.solve([thrust_ - motion - drag - rolling, front + rear - m * grav * sp.cos(th),
                       rear * length - m * grav * sp.cos(th) * back - (m * a + m * grav * sp.sin(th)) * high - drag * aero], [thrust_, front, rear], dict=True)[0]
    mass = motion.coeff(a) - m
    return [sp.lambdify((m, jf, jr, je, i, eta, r, th, v, a, crr, rho, cda, length, back, high, aero, grav), e) for e in (mass, mass * a + m * a, m * grav * sp.sin(th), rolling, drag, answer[thrust_], answer[rear])]


BALANCE = balance()


def demand(g):
    b = g["bike"]
    total = totals(b, g["front_teeth"], g["rear_teeth"])[g["gear"] - 1] if "gear" in g else 0
    grav = (1 * UNIT.standard_gravity).to("meter/second**2").magnitude
    values = [float(f(b["mass_kg"], b["j_front_kgm2"], b["j_rear_kgm2"], b["j_engine_kgm2"], total, b["eta"], b["rollout_m"] / (2 * math.pi), math.atan(g.get("grade", 0)), g["speed_mps"], g.get("accel_mps2", 0), g["crr"],
                      g.get("density_kgm3", 1.2), b["cda_m2"], b["wheelbase_m"], b["cg_from_front_m"], b["cg_height_m"], b["aero_height_m"], grav)) for f in BALANCE]
    answer = dict(zip(("rotating_mass_kg", "inertia_n", "grade_n", "rolling_n", "drag_n", "thrust_n", "rear_load_n"), values))
    if g["speed_mps"] == 0:
        answer["thrust_n"] -= answer["rolling_n"]
        answer["rolling_n"] = 0.0
    most = b["mass_kg"] * grav * math.cos(math.atan(g.get("grade", 0)))
    answer["rear_load_n"] = min(max(answer["rear_load_n"], 0.0), most)
    answer["grip_n"] = g["mu"] * answer["rear_load_n"]
    return answer | dict(used_n=min(answer["thrust_n"], answer["grip_n"]))


# ---------------------------------------------------------------- replay
def node_costs(bike, front, rear, speed, force, slip, factor):
    """The tool's own price of a gear in a second (its table of weights); what the gears then are is networkx's answer."""
    most = max(t * n for n, t in bike["curve"]) * math.pi / 30 * factor * bike["eta"]
    rows = []
    for v, f in zip(speed, force):
        load, row = max(f, 0.0), []
        wish = bike["lo_rpm"] + (bike["hi_rpm"] - bike["lo_rpm"]) * min(max(load * v / most, 0), 1)
        for total in totals(bike, front, rear):
            n = v / (1 - slip) * 60 / bike["rollout_m"] * total
            have = factor * float(thrust(bike, total, max(n, bike["slip_rpm"])))
            short = max(0.0, f - have) if f > 0 else 0.0
            price = 0.2 * math.log(n / wish) ** 2 + 3 * max(0, 1 - n / bike["slip_rpm"]) + max(0, (bike["lo_rpm"] - n) / bike["lo_rpm"]) ** 2 + max(0, (n - bike["hi_rpm"]) / (bike["max_rpm"] - bike["hi_rpm"])) ** 2
            price += 5 * short / max(load, 200.0) + 20 * max(0, n / bike["max_rpm"] - 1) + 1000 * max(0, n / bike["hard_rpm"] - 1)
            row.append((price, n, short, have))
        rows.append(row)
    return rows


def cheapest(nodes, step):
    """The cheapest way through the gears: Dijkstra on the graph of seconds and gears."""
    graph, count = nx.DiGraph(), len(nodes[0])
    for g in range(count):
        graph.add_edge("start", (0, g), weight=nodes[0][g][0] * step)
        graph.add_edge((len(nodes) - 1, g), "end", weight=0.0)
        for k in range(1, len(nodes)):
            for before in range(count):
                graph.add_edge((k - 1, before), (k, g), weight=nodes[k][g][0] * step + 0.6 * abs(g - before))
    cost, way = nx.single_source_dijkstra(graph, "start", "end")
    return cost, [g for _, g in way[1:-1]]


def gears(g):
    nodes = node_costs(g["bike"], g["front_teeth"], g["rear_teeth"], g["speed_mps"], g["thrust_n"], g.get("slip", 0), g.get("power_factor", 1))
    cost, way = cheapest(nodes, g.get("step_s", 1))
    return dict(gears=[i + 1 for i in way], rpm=[nodes[k][i][1] for k, i in enumerate(way)], cost=cost, shifts=int(np.abs(np.diff(way)).sum()))


def replayed(g, front, rear):
    """Every moving sample of a ride with its gear: (time, speed, force, node of the gear, gear, leg)."""
    step, out, total = g.get("step_s", 1), [], 0.0
    t, v = np.array(g["t_s"], float), np.array(g["speed_mps"], float)
    legs, count = ndimage.label(v >= 0.5)
    assert np.all(np.diff(t) <= 1.5 * step)
    for leg in range(1, count + 1):
        at = np.flatnonzero(legs == leg)
        need = [demand({k: w for k, w in g.items() if k in ("bike", "crr", "mu", "density_kgm3")} | dict(speed_mps=v[k], grade=g["grade"][k], accel_mps2=g["accel_mps2"][k])) for k in at]
        nodes = node_costs(g["bike"], front, rear, v[at], [n["used_n"] for n in need], g.get("slip", 0), g.get("power_factor", 1))
        cost, way = cheapest(nodes, step)
        total += cost
        out += [(t[k], v[k], n["used_n"], nodes[j][way[j]], way[j], leg) for j, (k, n) in enumerate(zip(at, need))]
    return total, out


def shifts(samples):
    return sum(abs(b[4] - a[4]) for a, b in zip(samples, samples[1:]) if a[5] == b[5])


def gear_share(samples, count):
    return [100 * float(np.mean([s[4] == i for s in samples])) for i in range(count)]


def pairs(g):
    step, rows = g.get("step_s", 1), []
    for front, rear in g["pairs"]:
        cost, way = replayed(g, front, rear)
        km = (sum(s[1] for s in way) * step * UNIT.meter).to("kilometer").magnitude
        need = sum(max(s[2], 0) for s in way)
        top = g["bike"]["max_rpm"] * REVS / totals(g["bike"], front, rear)[-1] * g["bike"]["rollout_m"] * WHEEL
        fastest = float(np.quantile([s[1] for s in way], 0.995))
        rows.append(dict(front_teeth=front, rear_teeth=rear, cost_per_km=cost / km, gear_pct=gear_share(way, len(g["bike"]["gears"])), shifts_per_km=shifts(way) / km, slip_pct=100 * float(np.mean([s[3][1] < g["bike"]["slip_rpm"] for s in way])),
                         over_pct=100 * float(np.mean([s[3][1] > g["bike"]["max_rpm"] for s in way])), missed_pct=100 * sum(s[3][2] for s in way) / need, top_geared_kmh=top.to(KMH).magnitude,
                         headroom_pct=100 * (top.to(MPS).magnitude * (1 - g.get("slip", 0)) / fastest - 1)))
    rows.sort(key=lambda x: (not (x["headroom_pct"] >= 5 and x["over_pct"] <= 1), x["cost_per_km"], x["rear_teeth"] / x["front_teeth"], x["front_teeth"]))
    return dict(pairs=rows, moving_s=float(len(way) * step), distance_km=km)


def stretch(g):
    step, rows = g.get("step_s", 1), []
    for front, rear in g["pairs"]:
        inside = [s for s in replayed(g, front, rear)[1] if g["from_s"] <= s[0] <= g["to_s"]]
        share = gear_share(inside, len(g["bike"]["gears"]))
        reserve = np.array([s[3][3] - max(s[2], 0) for s in inside])
        rows.append(dict(front_teeth=front, rear_teeth=rear, gear_pct=share, main_gear=int(np.argmax(share)) + 1, rpm_median=float(np.median([s[3][1] for s in inside])), reserve_min_n=float(reserve.min()), reserve_min_at_s=float(inside[int(reserve.argmin())][0]),
                         reserve_median_n=float(np.median(reserve)), shifts=shifts(inside)))
    return dict(pairs=rows, moving_s=float(len(inside) * step), distance_m=float(sum(s[1] for s in inside) * step))


# ---------------------------------------------------------------- ride
def smoothed(readings, steps, state, start, move, noise, error):
    """filterpy's filter and its Rauch-Tung-Striebel pass; a reading of None is only predicted.

    Its pass back takes the move INTO a reading at that reading's index, hence the unit move in front.
    """
    f = KalmanFilter(dim_x=state, dim_z=1)
    f.x[0, 0], f.P, f.H, f.R = readings[0], np.diag(start), np.eye(1, state), np.array([[error**2]])
    means, covs, moves, noises = [], [], [], []
    for k, value in enumerate(readings):
        if k:
            moves.append(move(steps[k - 1]))
            noises.append(noise(steps[k - 1]))
            f.predict(F=moves[-1], Q=noises[-1])
        if value is not None:
            f.update(np.array([[value]]))
        means.append(f.x.copy())
        covs.append(f.P.copy())
    x, p, *_ = f.rts_smoother(np.array(means), np.array(covs), Fs=[np.eye(state)] + moves, Qs=[np.zeros((state, state))] + noises)
    return x[:, :, 0], p


def grade(g):
    density = g.get("grade_pm", 1e-4)
    x, p = smoothed(g["ele_m"], np.diff(g["s_m"]), 2, [1000.0**2, 1.0], lambda d: np.array([[1, d], [0, 1]]), lambda d: density * np.array([[d**3 / 3, d**2 / 2], [d**2 / 2, d]]), g.get("sigma_ele_m", 2))
    return dict(ele_m=x[:, 0].tolist(), grade=x[:, 1].tolist(), sd_grade=np.sqrt(p[:, 1, 1]).tolist())


def profile(g):
    """Places in the plane, no gate: each axis smoothed by itself."""
    density = g.get("jerk_m2s5", 0.5)
    move = lambda d: np.array([[1, d, d * d / 2], [0, 1, d], [0, 0, 1]])
    noise = lambda d: density * np.array([[d**5 / 20, d**4 / 8, d**3 / 6], [d**4 / 8, d**3 / 3, d**2 / 2], [d**3 / 6, d**2 / 2, d]])
    (x, _), (y, _) = (smoothed(g[axis], np.diff(g["t_s"]), 3, [100.0**2, 30.0**2, 10.0**2], move, noise, g.get("sigma_m", 3)) for axis in ("x_m", "y_m"))
    speed = np.hypot(x[:, 1], y[:, 1])
    pull = (x[:, 2] * x[:, 1] + y[:, 2] * y[:, 1]) / np.maximum(speed, 0.3)
    return dict(parts=[dict(x_m=x[:, 0].tolist(), y_m=y[:, 0].tolist(), speed_mps=speed.tolist(), accel_mps2=pull.tolist())])


def episodes(flags, t):
    """Runs of true samples, as [first time, last time] (scipy's labels)."""
    label, count = ndimage.label(flags)
    return [[float(t[where[0].start]), float(t[where[0].stop - 1])] for where in ndimage.find_objects(label)][:count]


def saturation(g):
    limit = g["max_rpm"] * REVS / totals(g, g["front_teeth"], g["rear_teeth"])[-1] * g["rollout_m"] * WHEEL * (1 - g.get("slip", 0))
    runs = [e for e in episodes(np.array(g["speed_mps"]) >= 0.98 * limit.to(MPS).magnitude, g["t_s"]) if e[1] - e[0] > 5]
    return dict(limit_kmh=limit.to(KMH).magnitude, episodes=runs, saturated_s=float(sum(b - a for a, b in runs)), saturated=bool(runs))


def stops(g):
    """Only for rides without any speed between the two thresholds: a stop is then a labelled run that ends where the next one starts."""
    t, v = g["t_s"], np.array(g["speed_mps"])
    assert not np.any((v >= 0.8) & (v <= 1.5)) and len(episodes(v > 1.5, t)) <= 3
    slow = [e for e in episodes(v < 0.8, t) if e[1] - e[0] >= 3]
    after = {a: float(t[t.index(b) + 1]) if b != t[-1] else float(b) for a, b in slow}
    found = [[a, after[a]] for a, _ in slow]
    still = float(sum(b - a for a, b in found))
    return dict(stops=found, stopped_s=still, moving_s=float(t[-1] - t[0]) - still)


def outcome(g):
    """Sign flips by scipy's permutation test, all of them; the interval by asking it for the mean change that it would just not reject."""
    change, told = np.subtract(g["recorded_b"], g["recorded_a"]), np.subtract(g["predicted_b"], g["predicted_a"])

    def chance(sample, alternative):
        flips = stats.permutation_test((sample,), np.mean, permutation_type="samples", n_resamples=np.inf, alternative=alternative)
        return float(flips.pvalue)

    def ends(sample):
        k = math.floor(Fraction(repr(1 - g.get("interval", 0.9))).limit_denominator(1000) / 2 * 2 ** len(sample))
        level, wide = (k + 0.5) / 2 ** len(sample), float(np.ptp(sample)) + 1
        low = bisect(lambda c: (chance(sample - c, "greater") > level) - 0.5, float(np.min(sample)) - wide, float(np.mean(sample)), xtol=1e-11)
        high = bisect(lambda c: (chance(sample - c, "less") > level) - 0.5, float(np.mean(sample)), float(np.max(sample)) + wide, xtol=1e-11)
        return low, high

    (low, high), (miss_low, miss_high) = ends(change), ends(change - told)
    return dict(stretches=len(change), bins=[dict(recorded_change=float(np.mean(change)), predicted_change=float(np.mean(told)), miss=float(np.mean(change - told)), p_no_change=chance(change, "two-sided"), p_as_forecast=chance(change - told, "two-sided"),
                                                  change_low=low, change_high=high, miss_low=miss_low, miss_high=miss_high)])


METHODS = {
    "gearing.speeds": (speeds, "every unit by pint"), "gearing.equal_pairs": (equal_pairs, "all whole solutions by ortools CP-SAT"), "gearing.swap": (swap, "equations solved by sympy"),
    "gearing.match": (match, "weighted mean of logs by statsmodels, misses by scikit-learn"), "gearing.top_speed": (top_speed, "full-throttle motion integrated by scipy until it settles"),
    "ride.demand": (demand, "Lagrange's equation and balance of moments solved by sympy"), "ride.gears": (gears, "cheapest way by networkx"),
    "ride.saturation": (saturation, "units by pint, runs labelled by scipy.ndimage"), "ride.outcome": (outcome, "all sign flips by scipy's permutation test"),
    "ride.grade": (grade, "Rauch-Tung-Striebel smoother of filterpy"),
    "ride.stretch": (stretch, "cheapest way by networkx, forces by sympy"),
}


def ride(seed, seconds, halt):
    """An invented ride: smooth hills and speeds, one halt."""
    draw = np.random.default_rng(seed)
    t = np.arange(seconds, dtype=float)
    v = 9 + 5 * np.sin(t / 9 + draw.uniform(0, 6)) + 2 * np.sin(t / 3.1) + t / 12
    v[halt : halt + 5] = 0
    slope = 0.12 * np.sin(t / 14 + draw.uniform(0, 6))
    return dict(t_s=t.tolist(), speed_mps=[round(max(float(x), 0), 4) for x in v], grade=[round(float(x), 5) for x in slope], accel_mps2=[round(float(x), 4) for x in np.clip(np.gradient(v), -4, 4)])


def gearing_rows(rows):
    why = "about ten double operations"
    box = {k: BIKE[k] for k in ("primary", "gears", "rollout_m")}
    pint_words = library("pint") + ": turns a minute times metres a turn, converted"
    for case, given in (("pint: 14/48 at 6000 rpm", dict(**box, front_teeth=14, rear_teeth=48, rpm=6000, idle_rpm=1600, slip_rpm=2400, lo_rpm=3700, max_rpm=9600)), ("pint: 13/50 at 72 km/h, 8 % slip", dict(**box, front_teeth=13, rear_teeth=50, speed_kmh=72, slip=0.08)),
                        ("pint: ratios as numbers, three gears", dict(primary=2.93, gears=[2.1, 1.4, 1.02], rollout_m=1.98, front_teeth=12, rear_teeth=51, rpm=4100, max_rpm=8800, lo_rpm=6500))):
        rows.add("gearing.speeds", case, given, speeds(given), pint_words, {"rel": 1e-10}, why)
    seen = "a riding teacher's article on reading gear ratios, worked example, seen as stored text"
    printed = dict(primary=1.708 * 0.973, gears=[2.571, 1.667, 1.25, 1.0, 0.8], front_teeth=12, rear_teeth=34, rollout_m=2.0, rpm=2000)
    rows.add("gearing.speeds", "printed: 2000 rpm in third are 340 turns of the wheel", printed, {"gears": {"2": dict(total_ratio=2000 / 340, speed_kmh=340 * 2.0 * 60 / 1000)}}, seen, {"rel": 0.003}, "340 is printed to a whole turn, the final ratio 34/12 stands for the printed 2.833; the wheel is given a round 2 m", standing="published", at="2000 rpm, third gear")
    for case, given in (("ortools: 14/48", dict(front_teeth=14, rear_teeth=48)), ("ortools: 12/48, half a percent", dict(front_teeth=12, rear_teeth=48, limit_pct=0.5)), ("ortools: 13/49 in a wide set", dict(front_teeth=13, rear_teeth=49, front_min=9, front_max=18, rear_min=30, rear_max=60, limit_pct=0.3)), ("ortools: 15/45", dict(front_teeth=15, rear_teeth=45, limit_pct=2))):
        rows.add("gearing.equal_pairs", case, given, equal_pairs(given), library("ortools", "sympy") + ": every whole solution of equal and of near products by CP-SAT, percent as exact rationals", 1e-11, why)
    for case, four in (("sympy: 14/48 to 13/48", (14, 48, 13, 48)), ("sympy: 13/49 to 14/52", (13, 49, 14, 52)), ("sympy: 12/48 to 14/56", (12, 48, 14, 56)), ("sympy: 15/45 to 14/50", (15, 45, 14, 50))):
        given = dict(zip(("front_teeth", "rear_teeth", "new_front_teeth", "new_rear_teeth"), four))
        rows.add("gearing.swap", case, given, swap(given), library("sympy") + ": equations of equal ratio solved exactly", 1e-11, why)
    a = {**BIKE, "front_teeth": 14, "rear_teeth": 48}
    log_words = library("statsmodels", "scikit-learn") + ": weighted least squares of log ratios, root mean square of their misses"
    for case, given in (("statsmodels: five gears against six", dict(bike_a=a, bike_b=OTHER)), ("statsmodels: first and second gear count", dict(bike_a=a, bike_b=OTHER, gear_weights=[3, 2, 0, 0, 0])), ("statsmodels: same bike, other wheel", dict(bike_a=a, bike_b={**BIKE, "rollout_m": 1.95}))):
        rows.add("gearing.match", case, given, match(given), log_words, 1e-9, why)
    given = dict(bike_a=a, bike_b={**OTHER, "mass_kg": 185.0}, by="thrust")
    rows.add("gearing.match", "scikit-learn: by thrust", given, match(given), library("scipy", "scikit-learn", "pint") + ": torque by the monotone cubic, best thrust of the gears at 101 speeds, root mean square from 1", 1e-7, "sums over 101 speeds")
    settle = library("scipy") + ": full-throttle motion from each limiter integrated (LSODA, 4000 s) until it settles"
    for case, more in (("scipy: 14/48 on loose ground", dict(crr=0.08)), ("scipy: uphill 12 %", dict(grade=0.12, crr=0.04)), ("scipy: thin air, less power", dict(density_kgm3=0.95, power_factor=0.78, crr=0.05)), ("scipy: 13/50, slip", dict(front_teeth=13, rear_teeth=50, slip=0.05)), ("scipy: 16/40, too long for the engine", dict(front_teeth=16, rear_teeth=40))):
        given = {**dict(bike=BIKE, front_teeth=14, rear_teeth=48), **more}
        rows.add("gearing.top_speed", case, given, top_speed(given), settle, {"rel": 1e-6}, "integration to 1e-11; the search of the figure stops at 1e-7 of the speed")


def ride_rows(rows):
    seen = "a workshop's article quoting an automotive handbook (1996) and a forum post quoting the standard, both seen: both corrections have 990 mbar dry air and 25 °C as their condition"
    rows.add("air.power", "printed: the condition itself corrects nothing", dict(pressure_kpa=99.0, temperature_degc=25), dict(dry_pressure_kpa=99.0, iso_alpha=1.0, iso_factor=1.0, sae_cf=1.0, sae_factor=1.0, power_factor=1.0, iso_in_range=True), seen, 0.0005, "printed as 298 K by one and as 25 °C, which is 298.15 K, by the other", standing="published", at="reference condition")
    words = library("CoolProp", "ambiance") + ": vapour and pressure at altitude; the formula of June 1990 as printed in a forum post and in a public correction library, both seen"
    for case, given in (("CoolProp: warm and damp", dict(pressure_kpa=97.5, temperature_degc=30, humidity_pct=70)), ("CoolProp: cold", dict(pressure_kpa=100.9, temperature_degc=5, humidity_pct=90)), ("ambiance: 1500 m", dict(altitude_m=1500)), ("ambiance: 2800 m, 25 °C, 40 %", dict(altitude_m=2800, temperature_degc=25, humidity_pct=40))):
        rows.add("air.power", case, given, air_power(given), words, {"": {"rel": 0.0006}}, "Magnus against IAPWS: 0.3 % of the vapour, under 0.02 % of the pressure; 273 for 273.15 in the printed formula: 0.03 %")
    forces = library("sympy", "pint") + ": inertia by Lagrange's equation, thrust and rear load by balance of forces and moments, solved symbolically"
    for case, more in (("sympy: flat, steady", dict(speed_mps=15)), ("sympy: uphill, pulling away", dict(speed_mps=6, grade=0.25, accel_mps2=1.5)), ("sympy: downhill, slowing", dict(speed_mps=12, grade=-0.15, accel_mps2=-2)), ("sympy: in second gear", dict(speed_mps=8, accel_mps2=2, gear=2, front_teeth=13, rear_teeth=50)), ("sympy: standing", dict(speed_mps=0.0, grade=0.1))):
        given = dict(bike=BIKE, crr=0.06, mu=0.6) | more
        rows.add("ride.demand", case, given, demand(given), forces, 1e-8, "about 20 double operations on forces up to 3000 N")
    way = library("networkx", "scipy") + ": the cheapest way through the graph of seconds and gears by Dijkstra, torque by the monotone cubic; prices of a gear are the tool's own"
    draw = np.random.default_rng(5)
    for case, count, more in (("networkx: 25 s", 25, {}), ("networkx: 40 s, 13/51, slip", 40, dict(front_teeth=13, rear_teeth=51, slip=0.06)), ("networkx: half-second steps, thin air", 30, dict(step_s=0.5, power_factor=0.8))):
        speed = np.round(np.clip(10 + np.cumsum(draw.normal(0, 1.6, count)), 1, 30), 3).tolist()
        given = dict(bike=BIKE, front_teeth=14, rear_teeth=48, speed_mps=speed, thrust_n=np.round(draw.normal(250, 350, count), 2).tolist()) | more
        rows.add("ride.gears", case, given, gears(given), way, 1e-8, "sums of about 40 terms of double rounding")
    whole = library("networkx", "sympy", "scipy", "numpy") + ": forces by the solved balance, gears by Dijkstra, quantile by numpy"
    for case, seed, more in (("networkx: a minute with a halt", 3, {}), ("networkx: a minute on other ground", 8, dict(crr=0.1, mu=0.45, slip=0.08, density_kgm3=1.1, power_factor=0.9))):
        given = dict(bike=BIKE, pairs=[[13, 48], [14, 48], [13, 51]], crr=0.06, mu=0.6) | ride(seed, 60, 31) | more
        rows.add("ride.pairs", case, given, pairs(given), whole, 1e-7, "sums of about 60 terms")
    for case, seed, start, end in (("networkx: 8 to 28 s", 3, 8, 28), ("networkx: across the halt", 11, 22, 50)):
        given = dict(bike=BIKE, pairs=[[13, 48], [14, 50]], crr=0.07, mu=0.6, from_s=start, to_s=end) | ride(seed, 60, 31)
        rows.add("ride.stretch", case, given, stretch(given), whole, 1e-7, "sums of about 60 terms")
    flips = library("scipy") + ": exact sign flips by permutation_test; ends of the interval by bisecting the mean change that it just does not reject"
    for case, a, b, told in (("scipy: six stretches", [71, 66.2, 80.5, 59.1, 75.3, 68.8], [63.2, 60.9, 70.1, 55.7, 66.2, 64.6], [64, 60, 72, 54, 68, 62]), ("scipy: eight stretches, no change", [40.1, 38.7, 45.2, 41.9, 39.3, 44.4, 42.8, 37.5], [41.3, 38.1, 44.6, 43.2, 38.2, 45.9, 42.1, 38.9], [36, 35, 40, 37, 35, 41, 39, 33]),
                             ("scipy: seven stretches", [12.1, 15.7, 9.8, 11.2, 14.9, 13.3, 10.6], [19.4, 20.1, 17.7, 16.3, 24.8, 18.2, 19.9], [18, 22, 16, 17, 22, 19, 17])):
        given = dict(recorded_a=a, recorded_b=b, predicted_a=a, predicted_b=told)
        rows.add("ride.outcome", case, given, outcome(given), flips, 1e-8, "bisection to 1e-11; sums of decimals")
    box = {k: BIKE[k] for k in ("primary", "gears", "rollout_m", "max_rpm")}
    for case, speed, more in (("ndimage: one spell of eight seconds", [30, 31] + [36.6] * 9 + [30, 29], {}), ("ndimage: a short and a long spell", [36.5] * 4 + [20] * 3 + [36.7] * 8, {}), ("ndimage: 13/52 and slip", [28, 31.2, 31.2, 31.2, 31.2, 31.2, 31.2, 31.2, 25], dict(front_teeth=13, rear_teeth=52, slip=0.04))):
        given = dict(**box, front_teeth=14, rear_teeth=48, t_s=list(range(len(speed))), speed_mps=speed) | more
        rows.add("ride.saturation", case, given, saturation(given), library("pint", "scipy") + ": limit by units, runs of samples by ndimage.label", {"rel": 1e-10}, "double rounding")
    for case, speed in (("ndimage: one stop", [6, 5, 4, 0.2, 0.1, 0, 0, 0.3, 3, 5, 6, 6]), ("ndimage: two stops", [5, 5, 0, 0, 0, 0, 4, 5, 5, 6, 0.5, 0.5, 0.4, 0.3, 0.1, 4, 6, 7]), ("ndimage: a pause too short", [5, 5, 0, 0, 4, 5, 6, 5])):
        given = dict(t_s=list(range(len(speed))), speed_mps=speed)
        rows.add("ride.stops", case, given, stops(given), library("scipy") + ": runs of samples by ndimage.label, on rides that know only still and moving", 1e-9, "double rounding")


def smoothing_rows(rows):
    draw = np.random.default_rng(21)
    words = library("filterpy") + ": Kalman filter and Rauch-Tung-Striebel smoother"
    s = np.round(np.cumsum(draw.uniform(2, 15, 40)), 3)
    hill = np.round(300 + 12 * np.sin(s / 60) + draw.normal(0, 2, 40), 2).tolist()
    holes = [None if k in (9, 10, 23) else z for k, z in enumerate(hill)]
    for case, more in (("filterpy: a hill", dict(ele_m=hill)), ("filterpy: a hill with holes", dict(ele_m=holes)), ("filterpy: poor heights, stiff slope", dict(ele_m=hill, sigma_ele_m=5, grade_pm=2e-5))):
        given = dict(s_m=s.tolist()) | more
        rows.add("ride.grade", case, given, grade(given), words, 1e-6, "order of operations in a filter that starts 1000 m wide")
    t = np.cumsum(draw.choice([1.0, 1.0, 2.0, 3.0], 40))
    x, y = np.round(8 * t + draw.normal(0, 3, 40), 3).tolist(), np.round(60 * np.sin(t / 15) + draw.normal(0, 3, 40), 3).tolist()
    for case, more in (("filterpy: a bend, uneven times", {}), ("filterpy: a bend, lively", dict(jerk_m2s5=2.0, sigma_m=2.0))):
        given = dict(t_s=t.tolist(), x_m=x, y_m=y, gate=False) | more
        rows.add("ride.profile", case, given, profile(given), words, 1e-6, "order of operations in a filter that starts 100 m wide")


def main():
    rows = Rows(Path(__file__).parent)
    gearing_rows(rows)
    ride_rows(rows)
    smoothing_rows(rows)
    rows.write()


if __name__ == "__main__":
    main()
