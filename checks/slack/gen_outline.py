#!/usr/bin/env python3
"""Check rows of slack.outline and slack.travel. Run: python gen_outline.py   (from this folder; writes outline.json and travel.json)
Packages (PyPI): numpy 2.4.6, scipy 1.17.1, shapely 2.2.0.

INDEPENDENT METHOD. Nothing here knows a tangent formula:
  * outline: break points of the support function of the discs by root finding (reference.py); the points of contact are
    the discs' support points there. Each outline is then held against shapely: the convex hull of discs drawn as
    polygons of 40 000 corners has the same border within 1e-3 mm, and every point of contact lies on it.
  * travel: arm angle by root finding on the axle's height, loop by quadrature of the support function, slack by moving
    tangent points found by root finding (reference.py), tightest place by scan and bounded minimisation.
Invented bikes. Angles of the arm: + = axle below the pivot."""
import json, os
import numpy as np
import scipy, shapely
from shapely.geometry import Point, Polygon
from reference import *
from emit import geo, swing, surplus_for

LIB = f'library: scipy {scipy.__version__} + numpy {np.__version__} + shapely {shapely.__version__}, computed here'
NAMES = ('front', 'rear', 'slider')
OUT = {'outline': [], 'travel': []}


def put(figure, case, given, want, tol=None, why='', standing='library', source=LIB, at=''):
    given = {k: (int(v) if isinstance(v, float) and v == int(v) else v) for k, v in given.items() if v is not None}
    OUT[figure].append(dict(case=case, figure='slack.'+figure, given=given, want=want, tol=tol or {}, tol_why=why, standing=standing, source=source, at=at))


def refuse(figure, i, given, field, why):
    put(figure, f'refuse{i}', given, {'refused': field}, why='', standing='derived', source='definition: must be refused, '+why, at='what the figure says it refuses')


def r(x):
    x = float(f'{float(x):.12g}')
    return 0.0 if abs(x) < 1e-11 else x


def disc_polygon(x, z, rad, corners=40000):
    t = np.linspace(0, 2*np.pi, corners, endpoint=False)
    return Polygon(np.column_stack([x+rad*np.cos(t), z+rad*np.sin(t)]))


def loop(b, phi):
    """transitions (normal, from disc, to disc) in order, beginning where the loop leaves the front sprocket upwards"""
    items = b.items(phi); L, wr, nr = hull(items)
    nr = sorted(nr, key=lambda x: x[0])
    # begin with the transition that follows the arrival at the front sprocket from the rear's side
    k = next(k for k in range(len(nr)) if nr[k][1] == 0 and came_from_rear(nr, k))
    return items, L, nr[k:]+nr[:k]


def came_from_rear(nr, k):
    """walking back from a departure at the front sprocket, the rear sprocket is met before another departure from the front"""
    for s in range(1, len(nr)+1):
        if nr[k-s][1] == 1: return True
        if nr[k-s][1] == 0: return False
    return False


def e_outline(i, b, angle):
    phi = np.radians(angle); items, L, nr = loop(b, phi)
    at = lambda d, t: (items[d][0]+items[d][2]*np.cos(t), items[d][1]+items[d][2]*np.sin(t))
    pieces = [(at(f, t), at(g, t), f, g) for t, f, g in nr]
    # shapely: same border, every contact on it
    whole = shapely.convex_hull(shapely.union_all([disc_polygon(x, z, rad) for x, z, rad, q in items]))
    border = sum(np.hypot(p[0]-q[0], p[1]-q[1]) for p, q, f, g in pieces)
    turn = [(nr[k][0]-nr[k-1][0]) % (2*np.pi) for k in range(len(nr))]
    border += sum(w*items[nr[k][1]][2] for k, w in enumerate(turn))
    assert abs(border-whole.exterior.length) < 1e-3, (i, border, whole.exterior.length)
    for p, q, f, g in pieces:
        assert max(whole.exterior.distance(Point(p)), whole.exterior.distance(Point(q))) < 1e-3, i
    seg = lambda p, q: dict(from_x_mm=r(p[0]), from_z_mm=r(p[1]), to_x_mm=r(q[0]), to_z_mm=r(q[1]))
    n_up = next(k for k, x in enumerate(nr) if x[2] == 1)+1
    arcs = []
    for k in range(len(nr)):
        lo = nr[k-1][0]; lo = (lo+np.pi) % (2*np.pi)-np.pi
        arcs.append(dict(on=NAMES[nr[k][1]], from_deg=r(np.degrees(lo)), to_deg=r(np.degrees(lo+turn[k]))))
    ring = lambda d: dict(x_mm=r(items[d][0]), z_mm=r(items[d][1]), radius_mm=r(items[d][2]))
    want = dict(pivot=dict(x_mm=0.0, z_mm=0.0), countershaft=ring(0), axle=ring(1),
                upper=[seg(p, q) for p, q, f, g in pieces[:n_up]], lower=[seg(q, p) for p, q, f, g in reversed(pieces[n_up:])],
                arcs=arcs, on_slider=any(2 in x[1:] for x in nr), length_mm=r(L))
    if len(items) > 2: want['slider'] = ring(2)
    tol = {k: 2e-6 for k in ('countershaft', 'axle', 'slider', 'upper', 'lower', 'arcs')}; tol['length_mm'] = 1e-5
    put('outline', f'o{i}', geo(b, arm_angle_deg=float(angle)), want, tol, 'root finding ends far below this', at='support points at the break points of the support function; border held against the hull of polygons (shapely)')


def rests_low(b, phi):
    nr = sorted(b.runs(phi), key=lambda x: x[0]); n = len(nr)
    return any(nr[k][1] == 1 and nr[k][2] == 2 and nr[(k+1) % n][2] == 0 for k in range(n))


def e_travel(i, b, places, links=None, slack=None, angle=None, whole=True):
    sw = swing(b); Z = sw['travel_mm']; bb = b.with_()
    g = geo(b, **sw, links=links, slack_mm=slack, arm_angle_deg=None if angle is None else float(angle), places=places)
    exact = slack is None
    pm = b.phi_ext if angle is None else np.radians(angle)
    chain = links*b.p if exact else b.taut(pm)[0]+surplus_for(b, pm, 'lower', 0.5, slack)
    bb.n = chain/b.p; room = 1e-5 if exact else 6e-3
    pt, Lt = b.tightest()
    want = dict(least_surplus_mm=r(chain-Lt), chain_mm=r(chain)); tol = dict(least_surplus_mm=room, chain_mm=room)
    if Lt-min(b.taut(x)[0] for x in (b.phi_comp, b.phi_ext)) > 1e-6:
        want.update(tightest_deg=r(np.degrees(pt)), tightest_travel_mm=r(b.L*(np.sin(b.phi_ext)-np.sin(pt)))); tol.update(tightest_deg=2e-3, tightest_travel_mm=0.05)
    ks = range(places) if whole else sorted({0, 1, places//3, places//2, 2*places//3, places-2, places-1})
    rows = {}
    for k in ks:
        z = Z*k/(places-1); phi = b.phi_of_travel(z); L, wr, nr = b.taut(phi); e = chain-L
        row = dict(travel_mm=r(z), arm_angle_deg=r(np.degrees(phi)), centre_mm=r(b.D(phi)), surplus_mm=r(e), on_slider=any(2 in x[1:] for x in nr))
        near = None
        if e <= -0.01: row['slack_mm'] = 0.0; near = 1e-9
        elif rests_low(b, phi):
            if e > 0.01: row['slack_mm'] = None
        elif e > 0.01:
            o, n_, a = bb.play(phi, 'lower', 0.5); F = o+n_; row['slack_mm'] = r(F); near = max(0.03, 0.001*F)+(0 if exact else 0.006*a/F)
        rows[k] = (row, near)
    if whole: want['curve'] = [row for row, near in rows.values()]; head = lambda k: f'curve.{k}'
    else:
        head = lambda k: f'curve.{k}'
        for k, (row, near) in rows.items():
            for f, v in row.items(): want[f'{head(k)}.{f}'] = v
    for k, (row, near) in rows.items():
        tol.update({f'{head(k)}.travel_mm': 1e-9*max(1.0, Z), f'{head(k)}.arm_angle_deg': 1e-6, f'{head(k)}.centre_mm': 1e-6, f'{head(k)}.surplus_mm': room})
        if near is not None: tol[f'{head(k)}.slack_mm'] = float(f'{near:.3g}')
    put('travel', f't{i}', g, want, tol, 'quadrature and root finding agree far below this; slack: room for fixed tangent points (moving ones are exact)'+('' if exact else '; a reading brings the same room into the surplus, and slack near taut magnifies it'),
        at='hull by support function at each place; slack by moving tangent points; tightest by scan and bounded minimisation')


def outlines():
    A = Bike(slider=(0., 0., 37.5)); P = Bike(); k = 0
    for b, angles in [(P, (24, 10, -4.18, 0, 60, -45)), (A, (24, 14, 7.5, -4)), (A.with_(N1=12, slider=(0., 0., 44.)), (24, 12, 3.2)), (A.with_(slider=(40., 3., 36.)), (24, 15)),
                      (A.with_(N1=13, N2=49, eps=0.012), (21,)), (P.with_(N1=40, N2=17), (12,)), (P.with_(N1=15, N2=15), (10,)), (P.with_(cx=0., cz=0.), (5,)), (P.with_(cx=-30., cz=12.), (8,)),
                      (A.with_(cz=40., L=560.), (15, -6)), (Bike(cx=58., cz=-9., L=540., phi_ext=np.radians(20.), travel=200., p=12.7, N1=13, N2=52, slider=(70., 14., 30.)), (20, 5, -2)), (P.with_(p=6.35, N1=6, N2=150), (18,)),
                      (A.with_(slider=(-70., 10., 48.)), (10,)), (A.with_(slider=(0., 0., 60.)), (7.5,))]:
        for an in angles: k += 1; e_outline(k, b, an)
    g = geo(A, arm_angle_deg=24.0); f = lambda **x: {**g, **x}; bare = {q: v for q, v in g.items() if q != 'arm_angle_deg'}
    bad = [(f(arm_mm=60.0), 'arm_mm', 'sprockets overlap'), (f(slider_radius_mm=120.0), 'slider_radius_mm', 'the slider disc contains the front pin circle'), (f(slider_radius_mm=5.0, slider_u_mm=500.0, arm_mm=520.0), 'slider_radius_mm', 'the rear pin circle contains the slider disc'),
           (f(slider_radius_mm=-1.0), 'slider_radius_mm', 'negative radius'), (bare, 'arm_angle_deg', 'missing'), (f(arm_angle_deg=90.0), 'arm_angle_deg', 'upright arm'), (f(rear_teeth=48.5), 'rear_teeth', 'fraction of a tooth'),
           (f(front_teeth=5), 'front_teeth', 'too few teeth'), (f(links=118), 'links', 'no field of this figure'), (f(countershaft_x_mm='68'), 'countershaft_x_mm', 'text for a number'), (f(pitch_mm=0.0), 'pitch_mm', 'no pitch'), (f(elongation_pct=4.5), 'elongation_pct', 'beyond any chain')]
    for i, (given, field, why) in enumerate(bad, 1): refuse('outline', i, given, field, why)


def travels():
    A = Bike(slider=(0., 0., 37.5)); P = Bike(); k = 0
    B = Bike(cx=58., cz=-9., L=540., phi_ext=np.radians(20.), travel=200., p=12.7, N1=13, N2=52, slider=(70., 14., 30.))
    for a in [(P, 7, 118), (A, 7, 118), (A.with_(L=613.), 12, 118), (A.with_(N1=13, N2=49), 9, 118), (A.with_(N2=50, L=609.), 5, 118), (P.with_(eps=0.01), 6, 118), (P.with_(L=625.), 8, 118), (A.with_(N1=12, slider=(0., 0., 44.)), 15, 116),
              (P.with_(cx=0., cz=0., L=684.), 4, 118), (P.with_(cx=70., cz=40., L=560., phi_ext=np.radians(22.), phi_comp=np.radians(5.)), 6, 114), (P.with_(cz=-45., L=560., phi_ext=np.radians(20.), phi_comp=np.radians(8.)), 6, 112), (P.with_(N1=20, N2=20), 3, 98),
              (B, 11, 130), (P.with_(N1=40, N2=17), 4, 116), (A, 2, 118)]: k += 1; e_travel(k, *a)
    for a in [(A, 400, 118), (P, 61, 117), (A.with_(N1=13), 201, 117)]: k += 1; e_travel(k, *a, whole=False)
    for b, places, F, an in [(P, 6, 84., None), (A, 6, 82., None), (A, 9, 68., None), (A.with_(N1=13, N2=49), 5, 38., 7.5), (P, 4, 55., 14.), (A, 4, 60., 5.), (B, 5, 70., None)]: k += 1; e_travel(k, b, places, None, F, an, whole=False)
    g = geo(A, droop_deg=24.0, travel_mm=295.0, links=118, places=20); f = lambda **x: {**g, **x}; less = lambda *n: {q: v for q, v in g.items() if q not in n}
    low = geo(A.with_(cz=40., slider=(0., 0., 45.)), droop_deg=24.0, travel_mm=200.0, slack_mm=60.0, places=20, arm_angle_deg=6.0)
    bad = [(less('links'), 'links', 'neither links nor a reading'), (f(slack_mm=60.0), 'links', 'links and a reading'), (less('places'), 'places', 'missing'), (f(places=1), 'places', 'one place is no curve'), (f(places=401), 'places', 'too many places'),
           (f(places=20.5), 'places', 'a fraction of a place'), (f(travel_mm=900.0), 'travel_mm', 'beyond any travel'), (f(arm_mm=200.0, travel_mm=290.0), 'travel_mm', 'more than arm*(1+sin droop)'), ({**less('links'), 'slack_mm': 0.0}, 'slack_mm', 'no slack: surplus unknown'),
           ({**less('links'), 'slack_mm': 60.0, 'arm_angle_deg': 30.0}, 'arm_angle_deg', 'the arm does not reach this angle'), (f(arm_angle_deg=-5.0), 'arm_angle_deg', 'the arm does not reach this angle'), (f(links=19), 'links', 'too few links for any chain'), (f(arm_mm=80.0, travel_mm=20.0), 'arm_mm', 'sprockets overlap'),
           (f(slider_radius_mm=120.0), 'slider_radius_mm', 'the slider disc contains the front pin circle'), (low, 'slack_mm', 'the lower run rests on the slider there: no free reading')]
    for i, (given, field, why) in enumerate(bad, 1): refuse('travel', i, given, field, why)


def main():
    outlines(); travels()
    here = os.path.dirname(os.path.abspath(__file__))
    for name, rows in OUT.items():
        with open(os.path.join(here, name+'.json'), 'w', encoding='utf-8') as fh:
            fh.write('[\n'+',\n'.join(json.dumps(x) for x in rows)+'\n]\n')
        print(name, len(rows), 'refusals', sum('refused' in x['want'] for x in rows))


if __name__ == '__main__':
    main()
