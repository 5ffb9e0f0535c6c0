"""Rival of the bench `travel`: slack through the travel with a slider, as scipy would be asked.

Reads one JSON object on standard input (mm, deg), writes one: seconds for one whole curve (best of the runs) and the curve.
Loop: support function of the three discs on a grid, break points by scipy.optimize.brentq, length by Gauss-Legendre.
Tightest place: scan and scipy.optimize.minimize_scalar. Starting Python and importing is not counted.
"""
import json
import sys
import time

import numpy as np
from scipy.optimize import brentq, minimize_scalar

NODES, WEIGHTS = np.polynomial.legendre.leggauss(16)
GRID = np.linspace(0.0, 2.0 * np.pi, 721)
COS, SIN = np.cos(GRID), np.sin(GRID)


def length(discs):
    reach = discs[:, 0, None] * COS + discs[:, 1, None] * SIN + discs[:, 2, None]
    leader = np.argmax(reach, axis=0)
    total, wrapped, start, on = 0.0, np.zeros(len(discs)), 0.0, leader[0]

    def piece(i, lo, hi):
        parts = max(1, int(np.ceil(hi - lo)))
        edges = np.linspace(lo, hi, parts + 1)
        half, middle = np.diff(edges)[:, None] / 2.0, (edges[1:] + edges[:-1])[:, None] / 2.0
        t = middle + half * NODES
        return float(np.sum(half * WEIGHTS * (discs[i, 0] * np.cos(t) + discs[i, 1] * np.sin(t) + discs[i, 2])))

    def changes(i, j, lo, hi):
        """where the lead goes from i to j; a third disc with an arc narrower than the grid is found between them"""
        apart = discs[i] - discs[j]
        at = brentq(lambda t: apart[0] * np.cos(t) + apart[1] * np.sin(t) + apart[2], lo, hi, xtol=1e-14)
        there = discs[:, 0] * np.cos(at) + discs[:, 1] * np.sin(at) + discs[:, 2]
        k = int(np.argmax(there))
        if k not in (i, j) and there[k] - there[i] > 1e-11:
            return changes(i, k, lo, at) + changes(k, j, at, hi)
        return [(at, j)]

    for k in np.nonzero(np.diff(leader))[0]:
        for at, then in changes(leader[k], leader[k + 1], GRID[k], GRID[k + 1]):
            total += piece(on, start, at)
            wrapped[on] += at - start
            start, on = at, then
    total += piece(on, start, 2.0 * np.pi)
    wrapped[on] += 2.0 * np.pi - start
    return total + float(np.sum(wrapped * (discs[:, 3] - discs[:, 2])))


def curve(q):
    p = q["pitch_mm"]
    radius = lambda n: p / (2.0 * np.sin(np.pi / n))
    front, rear = (radius(q["front_teeth"]), q["front_teeth"] * p / 2.0 / np.pi), (radius(q["rear_teeth"]), q["rear_teeth"] * p / 2.0 / np.pi)
    arm, rise = q["arm_mm"], front[0] - rear[0]

    def taut(phi):
        axle = (-arm * np.cos(phi), -arm * np.sin(phi))
        return length(np.array([(q["countershaft_x_mm"], q["countershaft_z_mm"], *front), (*axle, *rear), (0.0, 0.0, q["slider_radius_mm"], q["slider_radius_mm"])]))

    droop, travel, chain = np.radians(q["droop_deg"]), q["travel_mm"], q["links"] * p
    places = []
    for z in np.linspace(0.0, travel, q["places"]):
        phi = np.arcsin(np.sin(droop) - z / arm)
        surplus = chain - taut(phi)
        centre = np.hypot(q["countershaft_x_mm"] + arm * np.cos(phi), q["countershaft_z_mm"] + arm * np.sin(phi))
        span = np.sqrt(centre**2 - rise**2)
        places.append((surplus, np.sqrt(max(surplus * (2.0 * span + surplus), 0.0))))
    low = np.arcsin(np.sin(droop) - travel / arm)
    grid = np.linspace(low, droop, 61)
    k = int(np.argmax([taut(phi) for phi in grid]))
    top = minimize_scalar(lambda phi: -taut(phi), bounds=(grid[max(k - 1, 0)], grid[min(k + 1, 60)]), method="bounded", options={"xatol": 1e-9})
    return places, chain + top.fun


def main():
    question = json.load(sys.stdin)
    best = float("inf")
    for _ in range(question["runs"]):
        begin = time.perf_counter()
        places, least = curve(question)
        best = min(best, time.perf_counter() - begin)
    json.dump({"seconds": best, "least_surplus_mm": least, "surplus_mm": [p[0] for p in places], "slack_mm": [p[1] for p in places]}, sys.stdout)


if __name__ == "__main__":
    main()
