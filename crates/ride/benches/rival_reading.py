"""The usual Python library on the same file: best time on a core of a few whole readings. Prints its name, seconds, points."""
import sys
import time

import gpxpy

text = open(sys.argv[1], encoding="utf-8").read()
best = float("inf")
for _ in range(int(sys.argv[2])):
    start = time.process_time()
    gpx = gpxpy.parse(text)
    best = min(best, time.process_time() - start)
points = sum(len(segment.points) for track in gpx.tracks for segment in track.segments)
print(f"gpxpy {getattr(gpxpy, '__version__', '')}".strip())
print(best)
print(points)
