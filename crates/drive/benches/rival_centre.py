#!/usr/bin/env python3
"""Rival of the centre bench: the same tooth-counted form, its root by scipy.optimize.brentq.

Reads the pitch in mm, then one line "front rear links" per cell. Writes its name, the seconds of its best pass over
all cells, then one centre in mm per line.
"""
import sys
from math import asin, pi, sin, sqrt
from time import perf_counter

import scipy
from scipy.optimize import brentq

PASSES = 5


def centre(z1, z2, links, rho, nearest, farthest):
    """Centre in pitches at which the counted length is `links`."""
    half, per_angle = (z1 + z2) / 2, (z2 - z1) / pi
    need = lambda c: 2 * sqrt(c * c - rho * rho) + half + per_angle * asin(rho / c) - links
    return brentq(need, nearest, farthest, xtol=1e-12)


def main():
    pitch, *lines = sys.stdin.read().split("\n")
    # Whatever depends on the pair alone is worked out before the clock starts, here as in what it is measured against.
    cells = []
    for line in filter(None, lines):
        front, rear, links = map(int, line.split())
        z1, z2 = sorted((front, rear))
        r1, r2 = 0.5 / sin(pi / z1), 0.5 / sin(pi / z2)
        cells.append((z1, z2, links, r2 - r1, r1 + r2, links / 2))
    best, found = float("inf"), []
    for _ in range(PASSES):
        start = perf_counter()
        found = [centre(*cell) for cell in cells]
        best = min(best, perf_counter() - start)
    print(f"scipy {scipy.__version__} brentq", best, *(c * float(pitch) for c in found), sep="\n")


if __name__ == "__main__":
    main()
