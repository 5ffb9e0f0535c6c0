"""The rival of the season bench: the same cost in numpy, written from its definition: full G^2 transitions, no table.

Reads one JSON object {bike, ground, riding, pairs, t_s, speed_mps, grade, accel_mps2}; answers name, seconds and one
line a pair: cost per km, clutch slip in percent, gear steps per km."""
import json, sys, time
import numpy as np
from scipy.interpolate import PchipInterpolator

q = json.load(sys.stdin)
b, gr, rd = q["bike"], q["ground"], q["riding"]
t, v, grade, a = (np.array(q[k]) for k in ("t_s", "speed_mps", "grade", "accel_mps2"))
G, g0 = len(b["gears"]), 9.80665
start = time.perf_counter()
curve = np.array(b["curve"]); pchip = PchipInterpolator(curve[:, 0], curve[:, 1])
torque = lambda n: np.where(n > curve[-1, 0], 0.0, pchip(np.clip(n, curve[0, 0], curve[-1, 0])))
r = b["rollout_m"] / (2 * np.pi)
fine = np.linspace(curve[0, 0], curve[-1, 0], 2)
peak = np.max(curve[:, 0] * curve[:, 1]) * np.pi / 30 * rd["power_factor"] * b["eta"]
th = np.arctan(grade); aero = 0.5 * gr["density_kgm3"] * b["cda_m2"] * v * v
dem = (b["mass_kg"] + b["wheels_kgm2"] / r**2) * a + b["mass_kg"] * g0 * np.sin(th) + (v > 0) * gr["crr"] * b["mass_kg"] * g0 * np.cos(th) + aero
N = (b["mass_kg"] * g0 * np.cos(th) * b["cg_from_front_m"] + (b["mass_kg"] * a + b["mass_kg"] * g0 * np.sin(th)) * b["cg_height_m"] + aero * b["aero_height_m"]) / b["wheelbase_m"]
N = np.clip(N, 0.0, b["mass_kg"] * g0 * np.cos(th))
F = np.minimum(dem, gr["mu"] * N)
legs, cur = [], []
for k in range(len(v)):
    if cur and t[k] - t[k - 1] > 1.5: legs.append(cur); cur = []
    if v[k] >= 0.5: cur.append(k)
    elif cur: legs.append(cur); cur = []
if cur: legs.append(cur)
W = 0.6 * np.abs(np.arange(G)[:, None] - np.arange(G)[None, :])
out = []
for front, rear in q["pairs"]:
    tot = b["primary"] * np.array(b["gears"]) * rear / front
    J = slips = shifts = count = 0; dist = 0.0
    for leg in legs:
        vl, Fl = v[leg], F[leg]
        n = (vl / (1 - rd["slip"]) * 60 / b["rollout_m"])[:, None] * tot[None, :]
        fav = rd["power_factor"] * torque(np.maximum(n, b["slip_rpm"])) * tot * b["eta"] / r
        short = np.where(Fl[:, None] > 0, np.maximum(0, Fl[:, None] - fav), 0)
        u = np.clip(np.maximum(Fl, 0) * vl / peak, 0, 1)
        nt = (b["lo_rpm"] + (b["hi_rpm"] - b["lo_rpm"]) * u)[:, None]
        c = 0.2 * np.log(n / nt) ** 2 + 3 * np.maximum(0, 1 - n / b["slip_rpm"]) + np.maximum(0, (b["lo_rpm"] - n) / b["lo_rpm"]) ** 2 + np.maximum(0, (n - b["hi_rpm"]) / (b["max_rpm"] - b["hi_rpm"])) ** 2 + 5 * short / np.maximum(Fl, 200)[:, None] + 20 * np.maximum(0, n / b["max_rpm"] - 1) + 1000 * np.maximum(0, n / b["hard_rpm"] - 1)
        best = c[0]; back = np.zeros((len(leg), G), int)
        for k in range(1, len(leg)):
            step = best[None, :] + W
            back[k] = G - 1 - np.argmin(step[:, ::-1], axis=1); keep = step[np.arange(G), back[k]] >= best - 0.0
            back[k] = np.where(keep, np.arange(G), back[k]); best = step[np.arange(G), back[k]] + c[k]
        g = G - 1 - int(np.argmin(best[::-1])); J += best[g]; path = [g]
        for k in range(len(leg) - 1, 0, -1): path.append(back[k][path[-1]])
        path = np.array(path[::-1]); shifts += int(np.abs(np.diff(path)).sum())
        slips += int((n[np.arange(len(leg)), path] < b["slip_rpm"]).sum()); count += len(leg); dist += vl.sum()
    out.append((J / (dist / 1000), 100 * slips / count, shifts / (dist / 1000)))
seconds = time.perf_counter() - start
print(f"numpy {np.__version__}"); print(repr(seconds)); print(count)
for row in out: print(*(repr(float(x)) for x in row))
