"""Makes the invented record of the demo's first bike: `python make.py > alder-350.txt`. Nobody rode any of it.

The spine (dates, total hours, readings, work) is written down; rides are drawn between its points with a fixed seed so
that their hours meet the spine's. Ground and wet are drawn by month.
"""
import datetime as dt
import random

PICK = random.Random(4807)
SPINE = [  # day, total hours at its end, rides since the point before
    ("2025-04-05", 142.3, 0), ("2025-05-11", 152.6, 4), ("2025-06-22", 164.4, 5), ("2025-07-13", 173.1, 3),
    ("2025-07-20", 173.1, 0), ("2025-07-26", 174.3, 1), ("2025-09-14", 190.0, 6), ("2025-10-18", 199.6, 4),
    ("2025-11-02", 205.0, 2), ("2025-11-29", 211.2, 2), ("2025-12-13", 213.8, 1), ("2026-02-22", 222.6, 3),
    ("2026-03-21", 229.0, 3), ("2026-05-16", 245.4, 7), ("2026-06-19", 255.0, 4), ("2026-07-12", 262.0, 3),
    ("2026-08-16", 274.8, 5), ("2026-08-30", 279.5, 2), ("2026-09-12", 285.6, 2), ("2026-09-22", 288.9, 1),
]
GROUND = ["loam"] * 34 + ["moor"] * 24 + ["rock"] * 16 + ["bog"] * 14 + ["road"] * 7 + ["sand"] * 5
NOT_RIDDEN = {"2026-06-19", "2026-09-22", "2025-07-20"}
FACTS = """
2025-03-01T10:00 meter 98.0
2025-03-01T10:10 part chain 118 set_A
2025-04-05T18:10 elongation 20 318.9 319.15 319.0
2025-05-11T18:10 elongation 20 319.5 319.6 319.4
2025-06-22T18:10 elongation 20 319.8 320.0 319.7
2025-07-13T18:10 elongation 20 320.4 320.6 320.3
2025-07-13T18:20 slack 12 84 85 88 92 96 98 98 96 92 88 85 84
2025-07-20T09:00 work final-drive-set begun
2025-07-20T16:00 work final-drive-set done
2025-07-20T16:01 part chain 118 set_B 9200 EUR
2025-07-20T16:01 part front 14 set_B 1900 EUR
2025-07-20T16:01 part rear 48 set_B_steel 4800 EUR
2025-07-20T16:02 part other 0 seal_set 1400 EUR
2025-07-20T16:02 part other 0 slider 2400 EUR
2025-07-20T16:10 check brake firm
2025-07-20T16:11 check joint closed-end-leads
2025-07-20T16:12 check axle set 100
2025-07-20T16:13 check rear-fasteners set 35
2025-07-20T16:14 check front-retainer set 60
2025-07-20T16:30 slack 12 85 85.5 86 85.5
2025-07-20T16:40 elongation 20 317.5 317.6 317.5
2025-07-20T17:00 kept front 14 spare_from_set_A 40
2025-07-26T18:10 check recheck moved
2025-07-26T18:30 check axle set 100
2025-07-26T18:40 slack 12 85 85.5 86 85.5
2025-07-26T18:41 check recheck done
2025-09-14T18:10 elongation 20 318.0 318.1 317.9
2025-09-14T18:20 slack 12 86 87 88 87
2025-11-02T18:10 elongation 20 318.4 318.5 318.4
2025-11-29T18:30 check joint missing
2025-11-29T19:00 check joint closed-end-leads
2025-11-29T19:01 part other 0 clip_link 600 EUR
2025-12-13T18:30 work rear-wheel-bearings done
2025-12-13T18:31 part other 0 bearing_set 2700 EUR
2025-12-13T18:32 check bearings smooth
2025-12-13T18:33 check brake firm
2025-12-13T18:34 check axle set 100
2025-12-13T18:40 slack 12 85 86 87 86
2026-02-22T18:10 elongation 20 318.9 318.95 318.85
2026-03-21T18:10 elongation 20 319.2 319.3 319.2
2026-05-16T18:10 elongation 20 319.6 319.75 319.7
2026-06-13T18:30 kept rear 51 bought_used 30
2026-06-19T19:00 slack 12 72 72.5 73 72.5
2026-06-19T19:30 check axle set 100
2026-06-19T19:40 slack 12 85 85.5 86 85.5
2026-07-12T18:10 elongation 20 320.0 320.15 320.1
2026-08-16T18:30 work gearbox-oil done
2026-08-16T18:31 part other 0 oil 1300 EUR
2026-08-30T18:10 elongation 20 320.5 320.7 320.5
2026-08-30T18:20 slack 12 88 89 92 91 90 89 88 89 91 92 90 88
2026-09-12T18:10 elongation 20 320.6 320.9 320.7
2026-09-12T18:20 axle 613.2 613.3
2026-09-24T17:00 work final-drive-set begun
2026-09-26T08:00 event Three_Cairns_Enduro 6.0
""".strip().splitlines()


def interval_rides(start, end, hours, count, ends_ridden):
    """Days and hours of the rides after `start` up to `end`."""
    days = [start + dt.timedelta(d) for d in range(1, (end - start).days + (1 if ends_ridden else 0))]
    must = [end] if ends_ridden else []
    free = [d for d in days if d != end]
    weekend = [d for d in free if d.weekday() >= 5] or free
    chosen = sorted(PICK.sample(weekend if len(weekend) >= count - len(must) else free, count - len(must)) + must)
    while True:
        drawn = [min(6.5, max(0.6, PICK.lognormvariate(0.875, 0.35))) for _ in chosen]
        scaled = [round(h * hours / sum(drawn), 1) for h in drawn]
        scaled[-1] = round(hours - sum(scaled[:-1]), 1)
        if all(0.6 <= h <= 6.5 for h in scaled):
            return list(zip(chosen, scaled))


def main():
    lines = []
    (day, total, _), offset = SPINE[0], 0.0
    lines.append((f"{day}T18:00", f"{day}T18:00 meter {total}"))
    for (day0, before, _), (day1, after, count) in zip(SPINE, SPINE[1:]):
        start, end = dt.date.fromisoformat(day0), dt.date.fromisoformat(day1)
        if count:
            for day, hours in interval_rides(start, end, round(after - before, 1), count, day1 not in NOT_RIDDEN):
                ground = PICK.choice(GROUND)
                wet = "wet" if PICK.random() < (0.35 if 4 <= day.month <= 9 else 0.6) else "dry"
                odd = " skip" if day.isoformat() == "2025-07-13" else ""
                lines.append((f"{day}T17:00", f"{day}T17:00 ride {hours} {ground} {wet}{odd}"))
        lines.append((f"{day1}T18:00", f"{day1}T18:00 meter {round(after - offset, 1)}"))
        if day1 == "2025-12-13":
            offset = 213.8
            lines.append((f"{day1}T18:05", f"{day1}T18:05 swap 213.8 0.0"))
        if day1 == "2025-07-13":
            lines.append(("2025-07-14T10:00", "2025-07-14T10:00 check inspection put-right"))
    lines += [(fact.split()[0], fact) for fact in FACTS]
    print("# INVENTED: nobody rode any of this. Made by make.py.")
    for _, line in sorted(lines, key=lambda one: one[0]):
        print(line)


main()
