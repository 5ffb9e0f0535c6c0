#!/usr/bin/env python3
"""Makes outside.json of this folder: rows printed in a source that was seen, or decided by a general-purpose library. Run: python gen_outside.py
PyPI: uncertainties 3.2.3, mpmath 1.3.0, sympy 1.14.0, pint 0.25.3

Preload and torque of a printed table stand to each other as the friction says, whatever the torque: so the printed pairs also give what one
torque pulls at the low and at the high friction of a band. `uncertainties` carries the nut factor's error to the preload.
"""
import sys
from pathlib import Path

import mpmath
import pint
import sympy
from uncertainties import ufloat

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))
from outside_rows import Rows, library

UNIT = pint.UnitRegistry()
TABLE = "VDI 2230 (2001 edition) fine-thread preload and torque table as reproduced in a supplier catalogue, seen as stored text"
PROOF = "; proof stress by class (ISO 898-1) and stress area (ISO 724) as reproduced on supplier pages, seen as stored text"
# thread: (diameter, pitch, mean head diameter, printed stress area); preload kN and torque Nm by class and friction, as printed
THREADS = {"M8x1": (8, 1, 10.3, 39.2), "M10x1.25": (10, 1.25, 12.8, 61.2), "M12x1.25": (12, 1.25, 15.05, 92.1)}
PRINTED = {("M8x1", 8.8): {0.10: (20.7, 22.8), 0.12: (20.2, 26.1), 0.14: (19.7, 29.2)}, ("M8x1", 10.9): {0.10: (30.4, 33.5), 0.14: (28.9, 42.8)},
           ("M10x1.25", 8.8): {0.10: (32.4, 44), 0.12: (31.6, 51), 0.14: (30.8, 57)}, ("M10x1.25", 10.9): {0.10: (47.5, 65), 0.14: (45.2, 83)},
           ("M12x1.25", 8.8): {0.10: (49.1, 79), 0.12: (48.0, 90), 0.14: (46.8, 101)}}
STRESS = {8.8: 580, 10.9: 830}


def band(g):
    """Preload at both ends of a band: the torque balance of a screw, each share written out, root by mpmath."""
    d, p = mpmath.mpf(g["diameter_mm"]), mpmath.mpf(g["thread_pitch_mm"])
    mean = d - 2 * mpmath.mpf(3) / 8 * p * mpmath.cos(mpmath.pi / 6)

    def preload(torque, friction):
        ring = mpmath.mpf(g["head_contact_mm"]) / 2

        def left(force):
            lift = force * p
            flank = 2 * mpmath.pi * mean / 2 * friction * force / mpmath.cos(mpmath.pi / 6)
            head = 2 * mpmath.pi * ring * friction * force
            return 2 * mpmath.pi * torque * 1000 - lift - flank - head

        return float(mpmath.findroot(left, (1000, 50000), solver="secant", tol=1e-18))

    wrench, running = g.get("wrench_pct", 4) / 100, g.get("running_nm", 0)
    low, high = preload(g["torque_nm"] * (1 - wrench) - running, g["friction_high"]), preload(g["torque_nm"] * (1 + wrench) - running, g["friction_low"])
    return dict(preload_low_n=low, preload_high_n=high, scatter=high / low)


def nut_factor(g):
    torque = ufloat(g["torque_nm"], g["torque_nm"] * g["torque_u_pct"] / 100)
    factor = ufloat(g["nut_factor"], g["nut_factor"] * g["nut_factor_u_pct"] / 100)
    force = (torque - g.get("running_nm", 0)) / (factor * (g["diameter_mm"] * UNIT.mm).to("m").magnitude)
    return dict(preload_n=force.nominal_value, uncertainty_pct=100 * force.std_dev / force.nominal_value)


def preload(g):
    return nut_factor(g) if "nut_factor" in g else band(g)


def extension(g):
    """Force on the handle and its two moments, about the bolt and about the square, solved by sympy."""
    force, setting = sympy.symbols("force setting")
    reach = g["wrench_mm"] + g["extension_mm"] * sympy.cos(sympy.rad(sympy.nsimplify(g.get("angle_deg", 0))))
    (answer,) = sympy.solve([force * reach - g["torque_nm"], setting - force * g["wrench_mm"]], [force, setting], dict=True)
    return dict(setting_nm=float(answer[setting]))


def thread(g):
    """The basic triangle by sympy, cut at its eighths and sixth; the stress area as a circle."""
    p = sympy.nsimplify(g["thread_pitch_mm"])
    height = sympy.Triangle(sympy.Point(0, 0), sympy.Point(p, 0), sympy.Point(p / 2, p * sympy.sqrt(3) / 2)).altitudes
    height = max(side.length for side in height.values())
    d = sympy.nsimplify(g["diameter_mm"])
    mean, minor = d - 2 * (height / 2 - height / 8), d - 2 * (height - height / 8 - height / 4)
    root = minor - height / 6
    area = sympy.Circle(sympy.Point(0, 0), (mean + root) / 4).area
    return {k: float(v) for k, v in dict(height_mm=height, pitch_diameter_mm=mean, minor_diameter_mm=minor, root_diameter_mm=root, stress_area_mm2=area).items()}


METHODS = {
    "torque.preload": (preload, "work of a turn balanced by mpmath, or first-order propagation by uncertainties"),
    "torque.extension": (extension, "moments about bolt and square solved by sympy"),
    "torque.thread": (thread, "basic triangle and circle of sympy.geometry"),
}


def main():
    rows = Rows(Path(__file__).parent)
    why = "both printed to 3 figures, torques of large sizes to whole Nm: 1.5 % of a ratio of two of them, 3 % of the scatter"
    for (name, grade), pairs in PRINTED.items():
        d, p, ring, area = THREADS[name]
        low, high = min(pairs), max(pairs)
        force, torque = pairs[low]
        weak_force, weak_torque = pairs[high]
        weak = weak_force / weak_torque * torque
        given = dict(torque_nm=torque, diameter_mm=d, thread_pitch_mm=p, head_contact_mm=ring, friction_low=low, friction_high=high, wrench_pct=0)
        rows.add("torque.preload", f"printed: {name} {grade} at {torque} Nm", given, dict(preload_high_n=force * 1000.0, preload_low_n=weak * 1000.0, scatter=force / weak), TABLE, {"": {"rel": 0.015}, "scatter": {"rel": 0.03}}, why, standing="published", at=f"{name}, class {grade}, friction {low} and {high}")
        share = 0.75 * STRESS[grade] * area
        given = dict(diameter_mm=d, thread_pitch_mm=p, property_class=grade, material="steel", place="guard", manual_checked=True, friction_low=low, friction_high=high)
        rows.add("torque.fallback", f"printed: {name} {grade}, three quarters of the proof load", given, dict(torque_nm=share * torque / force / 1000, preload_high_n=float(share), preload_low_n=share * torque / force * weak_force / weak_torque), TABLE + PROOF,
                 {"": {"rel": 0.015}, "preload_low_n": {"rel": 0.03}, "preload_high_n": {"rel": 0.003}}, why + "; stress area to 3 figures", standing="published", at=f"{name}, class {grade}, friction {low} and {high}")
    example = dict(torque_nm=90, diameter_mm=12, thread_pitch_mm=1.75, head_contact_mm=15.05, friction_low=0.14, friction_high=0.24, wrench_pct=5)
    rows.add("torque.preload", "printed: a torque wrench on zinc scatters by 1.8", example, dict(scatter=41.9 / 23.3), "VDI 2230 use example in a supplier guide (friction 0.14 to 0.24, wrench within 5 %, 41.9 kN to 23.3 kN), seen as stored text", 0.05, "the factor is printed to one decimal; the guide takes it from a range (1.6 to 2.0 for torque wrenches), the band of its plating and its wrench give it here", standing="published", at="M12, 8.8, assumed tightening factor 1.8")
    for case, more in (("uncertainties: plated dry", dict(nut_factor=0.2, nut_factor_u_pct=12, torque_u_pct=4)), ("uncertainties: pasted", dict(nut_factor=0.11, nut_factor_u_pct=8, torque_u_pct=2.5)), ("uncertainties: with running torque", dict(nut_factor=0.17, nut_factor_u_pct=10, torque_u_pct=4, running_nm=6))):
        given = dict(torque_nm=40, diameter_mm=10) | more
        rows.add("torque.preload", case, given, nut_factor(given), library("uncertainties", "pint") + ": first-order propagation", {"rel": 1e-9}, "double rounding")
    for case, more in (("sympy: straight", dict(torque_nm=100, wrench_mm=420, extension_mm=75)), ("sympy: at 60 degrees", dict(torque_nm=80, wrench_mm=300, extension_mm=50, angle_deg=60)), ("sympy: square on", dict(torque_nm=80, wrench_mm=300, extension_mm=50, angle_deg=90)), ("sympy: turned back", dict(torque_nm=60, wrench_mm=400, extension_mm=80, angle_deg=135))):
        rows.add("torque.extension", case, more, extension(more), library("sympy") + ": moments about the bolt and about the square, solved", {"rel": 1e-12}, "double rounding")
    rows.write()


if __name__ == "__main__":
    main()
