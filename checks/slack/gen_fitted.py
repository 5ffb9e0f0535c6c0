#!/usr/bin/env python3
"""Rows of slack.fitted. Run: python gen_fitted.py   (from this folder; writes fitted.json beside it)
Packages (PyPI): numpy 2.4.6, scipy 1.17.1. Method: taut loop as the integral of the support function of the discs, whose
break points are sorted from all pairs (held against the quadrature of reference.py before use), fit by
scipy.optimize.least_squares in polar unknowns (distance and direction of the countershaft) from a grid of starts,
covariance by numpy.linalg.inv of the normal matrix of extrapolated difference quotients. Readings come from a known
drive with seeded noise; rows named true* come without noise from moving tangent points and want the known drive back."""
import json, math, os
import numpy as np
import scipy
from scipy.optimize import least_squares, minimize_scalar
from scipy.stats import norm
from reference import Bike, hull, play_for

LIB = f'library: scipy {scipy.__version__} + numpy {np.__version__}, computed here'
AT = 'least_squares on readings, covariance by inverse of the normal matrix; hull by support function'
OUT = []
Z90 = norm.ppf(0.95)


def taut(b, phi, slider=True):
    """perimeter of the hull with teeth counted: integral of max over discs of (centre . n + radius), piece by piece"""
    I = b.items(phi, slider); br = {0.0, 2*math.pi}
    for i in range(len(I)):
        for j in range(i):
            dx, dz, dr = I[i][0]-I[j][0], I[i][1]-I[j][1], I[j][2]-I[i][2]; d = math.hypot(dx, dz)
            if d > abs(dr):
                for s in (1, -1): br.add((math.atan2(dz, dx)+s*math.acos(dr/d)) % (2*math.pi))
    br = sorted(br); L = 0.0; who = []
    for lo, hi in zip(br, br[1:]):
        m = (lo+hi)/2; k = max(range(len(I)), key=lambda k: I[k][0]*math.cos(m)+I[k][1]*math.sin(m)+I[k][2]); x, z, _, q = I[k]
        L += x*(math.sin(hi)-math.sin(lo))-z*(math.cos(hi)-math.cos(lo))+q*(hi-lo); who.append((lo, k))
    nr = [(t, who[n-1][1], k) for n, (t, k) in enumerate(who) if who[n-1][1] != k]
    return L, None, nr


def tightest(b):
    g = np.linspace(b.phi_comp, b.phi_ext, 121); v = [taut(b, x)[0] for x in g]; k = int(np.argmax(v))
    o = minimize_scalar(lambda x: -taut(b, x)[0], bounds=(g[max(k-1, 0)], g[min(k+1, 120)]), method='bounded', options=dict(xatol=1e-10))
    return max([(-o.fun, o.x), (v[0], g[0]), (v[-1], g[-1])])[::-1]


def run(b, phi):
    """straight run from tangent point to tangent point: a right angle with the difference of radii"""
    return math.sqrt(b.D(phi)**2-(b.r2-b.r1)**2)



def r(v): return None if v is None else float(f'{v:.12g}')


class Fit:
    def __init__(s, b, zs, Fs, u=1.0, margin=1.0, slider=False):
        s.b, s.zs, s.F, s.u, s.margin, s.fit_slider = b, np.array(zs, float), np.array(Fs, float), u, margin, slider
        s.phi = [b.phi_of_travel(z) for z in zs]; s.k = 4 if slider else 3

    def bike(s, x, z, rho):
        sl = (s.b.slider[0], s.b.slider[1], rho) if s.fit_slider else s.b.slider
        return s.b.with_(cx=x, cz=z, slider=sl)

    def F_at(s, p, phis):
        """p = loop, x, z[, rho]; slack with fixed tangent points: legs together are run + surplus"""
        b = s.bike(p[1], p[2], p[3] if s.fit_slider else 0.0); out = []
        for phi in phis:
            e = p[0]-taut(b, phi)[0]; a = run(b, phi)
            out.append(np.sqrt((a+e)**2-a*a) if e > 0 else -np.sqrt(-e)*30)
        return np.array(out)

    def jac(s, f, p, h=0.007):
        cols = []
        for n in range(s.k):
            d = np.zeros(s.k); d[n] = h
            D = lambda t: (f(p+t*d)-f(p-t*d))/(2*t*h)
            cols.append((4*D(0.5)-D(1.0))/3)
        return np.array(cols).T

    def polar(s, q):
        x, z = q[1]*np.cos(q[2]), q[1]*np.sin(q[2])
        return np.array([q[0], x, z]+([q[3]] if s.fit_slider else []))

    def solve(s):
        best = None
        for c in (45., 80., 115.):
            for t in (-0.25, 0.15, 0.4):
                for rho in ((28., 38., 50.) if s.fit_slider else (None,)):
                    b = s.bike(c*np.cos(t), c*np.sin(t), rho or 0.0)
                    L = np.array([taut(b, f)[0] for f in s.phi])
                    a = np.array([run(b, f) for f in s.phi])
                    K = max(np.mean(L+np.sqrt(a*a+s.F**2)-a), L.max()+0.4)
                    q0 = [K, c, t]+([rho] if s.fit_slider else [])
                    try: o = least_squares(lambda q: s.F_at(s.polar(q), s.phi)-s.F, q0, method='lm', x_scale=[1., 10., 0.1]+([10.] if s.fit_slider else []), xtol=1e-12, ftol=1e-12, gtol=1e-12, max_nfev=400)
                    except Exception: continue
                    if best is None or o.cost < best.cost-1e-9: best = o
        p = s.polar(best.x); f = lambda p: s.F_at(p, s.phi)
        for _ in range(300):                             # to the last digits, in the unknowns asked for
            st = np.linalg.lstsq(s.jac(f, p), s.F-f(p), rcond=None)[0]; p = p+st
            if np.abs(st).max() < 2e-8: break
        else: raise RuntimeError(('not at rest', st))
        s.p, s.J, s.res = p, s.jac(f, p), s.F-f(p)
        s.C = np.linalg.inv(s.J.T@s.J)
        assert s.u*np.sqrt(np.diag(s.C)[1:]).max() < 9.9, ('not told', s.u*np.sqrt(np.diag(s.C)))
        assert not any(rests_low(s.bike(*p[1:3], p[3] if s.fit_slider else 0.0), f) for f in s.phi), 'rests'
        return s

    def needs(s, p):
        b = s.bike(p[1], p[2], p[3] if s.fit_slider else 0.0); pt, Lt = tightest(b)
        d = max(Lt-taut(b, b.phi_ext)[0], 0.0); e = d+s.margin
        a = run(b, b.phi_ext)
        return np.array([d, np.sqrt((a+e)**2-a*a)]), pt

    def answer(s):
        s.solve(); n = len(s.F); k = s.k
        s2 = np.sqrt((s.res@s.res)/(n-k)) if n > k else None
        each = max(s.u, s2 or 0.0); cov = s.C*each**2
        (d, F), pt = s.needs(s.p); G = s.jac(lambda p: s.needs(p)[0], s.p, h=0.05)
        sd = np.sqrt(np.diag(G@cov@G.T))
        want = dict(countershaft_x_mm=r(s.p[1]), countershaft_x_error_mm=r(np.sqrt(cov[1, 1])), countershaft_z_mm=r(s.p[2]), countershaft_z_error_mm=r(np.sqrt(cov[2, 2])))
        if s.fit_slider: want.update(slider_radius_mm=r(s.p[3]), slider_radius_error_mm=r(np.sqrt(cov[3, 3])))
        want.update(covariance_mm2=[[r(v) for v in row] for row in cov[1:, 1:]], loop_mm=r(s.p[0]), expected_mm=[r(v) for v in s.F-s.res], scatter_mm=r(s2))
        odd = (None, None)
        if n >= k+2:
            h = np.einsum('ij,jk,ik->i', s.J, s.C, s.J); t = np.abs(s.res)/(s.u*np.sqrt(1-h)); i = int(np.argmax(t))
            assert abs(t[i]-3) > 0.05, ('too near the threshold', t[i])
            if t[i] > 3: odd = (s.zs[i], s.F[i]-s.res[i]/(1-h[i]))
        want.update(odd_travel_mm=r(odd[0]), odd_expected_mm=r(odd[1]), tightest_deg=r(np.degrees(pt)), demand_mm=r(d), demand_error_mm=r(sd[0]), required_slack_mm=r(F), required_slack_error_mm=r(sd[1]),
                    required_slack_low_mm=r(max(F-Z90*sd[1], 0)), required_slack_high_mm=r(F+Z90*sd[1]))
        b = s.bike(s.p[1], s.p[2], s.p[3] if s.fit_slider else 0.0); got = []
        for j in range(21):
            z = s.b.travel*j/20; phi = s.b.phi_of_travel(z)
            if rests_low(b, phi) or s.p[0] <= taut(b, phi)[0]: continue
            g = s.jac(lambda p: s.F_at(p, [phi]), s.p)[0]
            got.append((each*np.sqrt(G[1]@np.linalg.inv(s.J.T@s.J+np.outer(g, g))@G[1]), z))
        got.sort(); assert got[1][0]/got[0][0]-1 > 1e-6, 'two next readings alike'
        want.update(next_travel_mm=r(got[0][1]), next_slack_error_mm=r(got[0][0]))
        return want


def rests_low(b, phi):
    """a lower run of the taut loop passes over the slider"""
    return b.slider[2] > 0 and any(2 in x[1:] and np.sin(x[0]) < 0 for x in taut(b, phi)[2])


def given(b, zs, Fs, u=None, margin=None, slider=False, **more):
    g = dict(travels_mm=[float(z) for z in zs], slacks_mm=[float(f) for f in Fs], arm_mm=b.L, pitch_mm=b.p0, front_teeth=b.N1, rear_teeth=b.N2, droop_deg=r(np.degrees(b.phi_ext)), travel_mm=b.travel)
    if b.eps: g['elongation_pct'] = r(100*b.eps)
    if slider: g['fit_slider'] = True
    elif b.slider[2]: g['slider_radius_mm'] = b.slider[2]
    if slider or b.slider[2]:
        if b.slider[0]: g['slider_u_mm'] = b.slider[0]
        if b.slider[1]: g['slider_w_mm'] = b.slider[1]
    if u is not None: g['reading_error_mm'] = u
    if margin is not None: g['margin_mm'] = margin
    g.update(more); return g


def readings(b, zs, surplus, noise, seed, slider=True):
    """what the known drive reads, noise added, rounded as a rule is read (0.1 mm)"""
    L = tightest(b)[1]+surplus; rng = np.random.default_rng(seed); out = []
    for z in zs:
        phi = b.phi_of_travel(z); e = L-taut(b, phi)[0]; a = run(b, phi)
        out.append(round(float(np.sqrt((a+e)**2-a*a)+noise*rng.standard_normal()), 1))
    return out


NEAR = 'fits end far below this; difference quotients agree to 1e-7 of an error'
def put(case, g, want, tol, rtol, why, standing='library', source=LIB, at=AT):
    OUT.append(dict(case=case, figure='slack.fitted', given=g, want=want, tol=tol, rtol=rtol, tol_why=why, standing=standing, source=source, at=at))


def e_fit(case, b, zs, Fs, u=None, margin=None, slider=False):
    w = Fit(b, zs, Fs, 1.0 if u is None else u, 1.0 if margin is None else margin, slider).answer()
    far = [k for k in w if k in ('countershaft_x_mm', 'countershaft_z_mm', 'slider_radius_mm', 'loop_mm', 'expected_mm', 'odd_expected_mm', 'demand_mm', 'required_slack_mm', 'required_slack_low_mm', 'required_slack_high_mm', 'scatter_mm')]
    tol = {k: 2e-5 for k in far}; tol['tightest_deg'] = 2e-3; tol['covariance_mm2'] = 2e-4
    rtol = {k: 1e-5 for k in w if k.endswith('error_mm')}; rtol['covariance_mm2'] = 2e-5
    put(case, given(b, zs, Fs, u, margin, slider), w, tol, rtol, NEAR)


def e_true(case, b, zs, surplus, slider=False, room=(0.5, 0.25, 0.3)):
    """readings of moving tangent points, not rounded: the known drive must come back"""
    L = tightest(b)[1]+surplus; Fs = []
    for z in zs:
        phi = b.phi_of_travel(z); o, i, a = play_for(b, phi, 'lower', 0.5, L-taut(b, phi)[0]); Fs.append(r(o+i))
    e = tightest(b)[1]-taut(b, b.phi_ext)[0]+1.0; o, i, a = play_for(b, b.phi_ext, 'lower', 0.5, e)
    want = dict(countershaft_x_mm=b.cx, countershaft_z_mm=b.cz, required_slack_mm=r(o+i), odd_travel_mm=None); tol = dict(countershaft_x_mm=room[0], countershaft_z_mm=room[1], required_slack_mm=room[2])
    if slider: want['slider_radius_mm'] = b.slider[2]; tol['slider_radius_mm'] = 2.0; tol['countershaft_x_mm'] = 2.0
    put(case, given(b, zs, Fs, 0.3 if slider else None, slider=slider), want, tol, {}, 'room for fixed tangent points: readings move by up to 0.04 mm', at='moving tangent points of a known drive by root finding')


def refuse(i, g, field, why):
    put(f'refuse{i}', g, dict(refused=field), {}, {}, '', 'derived', 'definition: must be refused, '+why, 'figures table of the domain')


def main():
    A = Bike(slider=(0., 0., 37.5)); P = Bike(); six = (0, 45, 90, 135, 180, 220)
    B = Bike(cx=58., cz=-9., L=540., phi_ext=np.radians(20.), travel=200., p=12.7, N1=13, N2=52, slider=(70., 14., 30.))
    D = Bike(cx=78.8, cz=7.95, L=605.6, phi_ext=np.radians(21.8), travel=300., slider=(0., 0., 36.))
    for b in (A, P, B, D):
        for phi in np.linspace(b.phi_comp, b.phi_ext, 5): assert abs(taut(b, phi)[0]-hull(b.items(phi))[0]) < 1e-9 and abs(run(b, phi)-math.dist(*b.run_line(phi, 'lower')[:2])) < 1e-9
    for s in (1, 2, 3): e_fit(f'noise{s}', A, six, readings(A, six, 1.5, 1.0, s))
    for s in (4, 5): e_fit(f'clear{s}', P, six, readings(P, six, 1.2, 1.0, s))
    z5 = (0, 50, 100, 150, 195); e_fit('five', B, z5, readings(B, z5, 2.0, 0.8, 6), margin=0.5)
    zd = (0, 50, 100, 150, 200, 240); e_fit('base', D, zd, readings(D, zd, 0.8, 1.0, 7))
    W = A.with_(eps=0.008, N1=13, N2=49); zw = (0, 40, 80, 120, 160, 195); e_fit('worn', W, zw, readings(W, zw, 3.0, 1.0, 8))
    e_fit('three', P, (0, 100, 200), readings(P, (0, 100, 200), 1.5, 1.0, 9))
    e_fit('four', A, (0, 70, 140, 210), readings(A, (0, 70, 140, 210), 1.5, 1.0, 10))
    f = readings(A, six, 1.5, 0.5, 11); f[2] = round(f[2]+9.0, 1); e_fit('odd', A, six, f)
    z9 = (0, 25, 50, 75, 100, 130, 160, 190, 220); f = readings(A, z9, 1.5, 0.5, 12); f[7] = round(f[7]-8.0, 1); e_fit('odd9', A, z9, f)
    e_fit('rough', P, z9, readings(P, z9, 2.0, 3.0, 13))
    e_fit('fine', A, six, readings(A, six, 1.0, 0.3, 14), u=0.3, margin=0.3)
    e_fit('twice', A, six+six, readings(A, six+six, 1.5, 1.0, 15))
    z12 = tuple(range(0, 235, 21)); e_fit('radius', A, z12, readings(A, z12, 1.5, 0.3, 16), u=0.3, slider=True)
    zr = (0, 10, 20, 40, 60, 80, 110, 140, 170, 200, 230); e_fit('radius2', A.with_(slider=(20., 4., 40.), N2=50), zr, readings(A.with_(slider=(20., 4., 40.), N2=50), zr, 1.2, 0.3, 17), u=0.3, slider=True)
    e_fit('high', P.with_(cz=24., cx=74.), (0, 40, 80, 120, 160), readings(P.with_(cz=24., cx=74.), (0, 40, 80, 120, 160), 1.5, 1.0, 18))
    e_true('true1', P, six, 1.5); e_true('true2', A, six, 1.5); e_true('true3', D, zd, 1.0); e_true('true4', A, zr, 1.5, slider=True)
    fA = readings(A, six, 1.5, 1.0, 1); g = given(A, six, fA); h = lambda **k: {**g, **k}; no = lambda n: {k: v for k, v in g.items() if k != n}
    low = (0, 10, 20, 30)
    bad = [(h(travels_mm=[0, 100], slacks_mm=[85.0, 55.0]), 'travels_mm', 'two readings for three unknowns'), (h(travels_mm=[0, 0, 100, 100], slacks_mm=[85.0, 84.0, 55.0, 56.0]), 'travels_mm', 'two places, each read twice'),
           (given(A, (0, 90, 180), readings(A, (0, 90, 180), 1.5, 0, 1), slider=True), 'travels_mm', 'three places for four unknowns'), (h(slacks_mm=fA[:5]), 'slacks_mm', 'not as many readings as places'),
           (h(slacks_mm=fA[:5]+[0.0]), 'slacks_mm', 'taut: surplus unknown'), (h(travels_mm=list(six[:5])+[296.0]), 'travels_mm', 'beyond the travel'), (h(fit_slider=True), 'slider_radius_mm', 'given and fitted'),
           (no('droop_deg'), 'droop_deg', 'missing'), (h(reading_error_mm=0.0), 'reading_error_mm', 'a reading without error'), (h(travel_mm=500.0, arm_mm=200.0), 'travel_mm', 'more than the arm can make'),
           (h(countershaft_x_mm=68.0), 'countershaft_x_mm', 'no field of this figure: it is what is asked'), (h(travels_mm='0 45'), 'travels_mm', 'text for a list'),
           (given(P, low, readings(P, low, 1.5, 0.0, 1)), 'travels_mm', 'all near full extension: place and chain length act alike'),
           (given(A, (100, 130, 150, 180, 220), readings(A, (100, 130, 150, 180, 220), 1.5, 0.0, 1), slider=True), 'fit_slider', 'the chain is on the slider at no reading'),
           (h(travels_mm=list(six[:5])+[285.0], slacks_mm=fA[:5]+[60.0]), 'travels_mm', 'the lower run rests on the slider there'),
           ({**given(P, six, fA), 'slacks_mm': [280.0, 160.0, 60.0, 20.0, 160.0, 280.0]}, 'slacks_mm', 'no bike reads so')]
    for i, (gv, field, why) in enumerate(bad, 1): refuse(i, gv, field, why)
    here = os.path.dirname(os.path.abspath(__file__))
    with open(os.path.join(here, 'fitted.json'), 'w', encoding='utf-8') as fh:
        fh.write('[\n'+',\n'.join(json.dumps(x) for x in OUT)+'\n]\n')
    print('fitted', len(OUT), 'refusals', sum('refused' in x['want'] for x in OUT))


if __name__ == '__main__':
    main()
