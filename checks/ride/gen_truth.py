#!/usr/bin/env python3
"""Writes ../../crates/ride/tests/truth.txt: the invented ride's own motion, second by second, without any noise.

Run: python gen_truth.py   Packages as gen.py. One line a second: time s, speed m/s, acceleration m/s2, rise over run.
"""
import os
import synth
HERE = os.path.dirname(os.path.abspath(__file__))
if __name__ == "__main__":
    S = synth.synth(2024)
    with open(os.path.join(HERE, "../../crates/ride/tests/truth.txt"), "w", encoding="utf-8") as file:
        for t, v, a, g in zip(S["t"], S["v"], S["a"], S["g"]):
            file.write(f"{t:.0f} {v:.6g} {a:.6g} {g:.6g}\n")
