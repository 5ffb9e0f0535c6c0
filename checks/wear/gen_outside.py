#!/usr/bin/env python3
"""Makes outside.json of this folder: rows decided by general-purpose libraries. Run: python gen_outside.py
PyPI: numpy 2.4.6, scipy 1.17.1, filterpy 2.0.0, GTC 1.5.1, statsmodels 0.15.0, shapely 2.2.0

What a library decides: filterpy's Kalman filter what a log says of place and rate and what is to come, scipy every integral and root, GTC
the uncertainty with its degrees of freedom, statsmodels the rates by generalised least squares with the prior as extra observations,
HiGHS (in scipy) the least cost of the set as a linear programme, shapely the length of a bent run. All money is invented.
"""
import itertools
import math
import sys
from pathlib import Path

import numpy as np
import statsmodels.api as sm
from filterpy.kalman import KalmanFilter
from GTC import dof, rp, type_b, uncertainty, ureal
from scipy import integrate, optimize, sparse, stats
from shapely import LineString

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))
from outside_rows import Rows, library


# ---------------------------------------------------------------- what a log says
class Log:
    """A chain's elongation and rate as filterpy follows them; the noise of the way grows with the hours."""

    def __init__(self, g):
        limit = g["limit_pct"]
        rate = g.get("rate_pct_per_h", limit / 70)
        self.limit, self.way = limit, g.get("scatter_pct", 0.015) ** 2
        self.filter = KalmanFilter(dim_x=2, dim_z=1)
        self.filter.x = np.array([[g.get("start_pct", 0.05)], [rate]])
        self.filter.P = np.diag([g.get("start_sd_pct", 0.05) ** 2, g.get("rate_sd_pct_per_h", rate / 2) ** 2])
        self.filter.H = np.array([[1.0, 0.0]])
        self.at, self.last_z, self.likelihood = 0.0, None, 1.0

    def ride(self, hours):
        if hours > 0:
            self.filter.predict(F=np.array([[1.0, hours], [0.0, 1.0]]), Q=np.diag([self.way * hours, 0.0]))
        self.at += hours
        return self

    def read(self, value, u):
        self.filter.update(np.array([[value]]), R=np.array([[u * u]]))
        self.last_z = float(self.filter.y[0, 0] / math.sqrt(self.filter.S[0, 0]))
        self.likelihood = float(stats.norm.pdf(self.filter.y[0, 0], 0, math.sqrt(self.filter.S[0, 0])))
        return self

    @property
    def mean(self):
        return self.filter.x[:, 0].copy()

    @property
    def cov(self):
        return self.filter.P.copy()

    def over_after(self, hours):
        """Chance that the limit is passed so many hours on: the filter's own look ahead."""
        x, p = self.filter.x, self.filter.P
        if hours > 0:
            x, p = ahead(self.filter, hours, self.way)
        return float(stats.norm.sf(self.limit, x[0, 0], math.sqrt(p[0, 0])))


def ahead(kalman, hours, way):
    """State and covariance after so many hours, by a copy of the filter."""
    other = KalmanFilter(dim_x=2, dim_z=1)
    other.x, other.P = kalman.x.copy(), kalman.P.copy()
    other.predict(F=np.array([[1.0, hours], [0.0, 1.0]]), Q=np.diag([way * hours, 0.0]))
    return other.x, other.P


def followed(g):
    log, u = Log(g), g.get("u_pct", 0.06)
    for i, (hours, value) in enumerate(zip(g["hours_h"], g["elongation_pct"])):
        log.ride(hours - log.at).read(value, u[i] if isinstance(u, list) else u)
    return log


def reaches(share, chance):
    """Least hours at which the chance reaches the share; 0 if it has, None if it never does within 10 000 h."""
    if chance(0.0) >= share:
        return 0.0
    before = 0.0
    for after in np.concatenate([np.arange(0.5, 500, 0.5), np.arange(500, 10000, 20.0)]):
        if chance(after) >= share:
            return optimize.brentq(lambda t: chance(t) - share, before, after, xtol=1e-11)
        before = after
    return None


def forecast(g):
    log, ground = followed(g), g.get("multiplier", 1)
    tail = (1 - g.get("interval", 0.9)) / 2
    left = [reaches(q, log.over_after) for q in (tail, 0.5, 1 - tail)]
    answer = dict(now_pct=log.mean[0], now_sd_pct=math.sqrt(log.cov[0, 0]), rate_pct_per_h=log.mean[1], rate_sd_pct_per_h=math.sqrt(log.cov[1, 1]), chance_over=log.over_after(0), bounded=left[2] is not None,
                  **{f"left_{k}_h": None if t is None else t / ground for k, t in zip(("low", "median", "high"), left)})
    if len(g["hours_h"]) >= 2:
        answer["last_z"] = log.last_z
    if len(g["hours_h"]) >= 4:
        answer["robust_rate_pct_per_h"] = float(stats.theilslopes(g["elongation_pct"], g["hours_h"]).slope)
    return answer


def first_day(g):
    """Hours on the chain unknown between two ends: the filter for each, scipy's quadrature over all of them."""
    low, high = g["hours_low_h"], g["hours_high_h"]

    def state(hours):
        return Log(g).ride(hours).read(g["elongation_pct"], g.get("u_pct", 0.06))

    def moments(hours):
        log = state(hours)
        x, rate = log.mean
        return log.likelihood * np.array([1, x, log.cov[0, 0] + x * x, rate, log.cov[1, 1] + rate * rate, hours, hours * hours, log.over_after(0)])

    def whole(f):
        return integrate.quad_vec(f, low, high, epsabs=1e-12, epsrel=1e-10)[0]

    weight, x, xx, rate, rates_, hours, squares, over = whole(moments)

    def chance(t):
        return float(whole(lambda h: (lambda log: log.likelihood * log.over_after(t))(state(h)))) / weight

    left = {}
    tail = (1 - g.get("interval", 0.9)) / 2
    for k, share in (("low", tail), ("median", 0.5), ("high", 1 - tail)):
        edge = next((t for t in (5, 10, 20, 40, 80, 160, 320) if chance(t) >= share), None)
        left[f"left_{k}_h"] = optimize.brentq(lambda t: chance(t) - share, 0, edge, xtol=1e-8, rtol=1e-10) if edge else None
    ends = {f"if_{k}_median_h": reaches(0.5, state(t).over_after) for k, t in (("low", low), ("high", high))}
    sd = lambda square, mean: math.sqrt(square / weight - (mean / weight) ** 2)
    return dict(now_pct=x / weight, now_sd_pct=sd(xx, x), rate_pct_per_h=rate / weight, rate_sd_pct_per_h=sd(rates_, rate), hours_mean_h=hours / weight, hours_sd_h=sd(squares, hours), chance_over=over / weight, bounded=True, **left, **ends)


def rates(g):
    """Theil's mixed estimation: the readings and the prior of start and rates as one generalised least squares."""
    prior = g["rate_pct_per_h"] * np.array(g["multiplier"])
    hours = np.array(g["ground_hours_h"], float)
    tau, count = hours @ np.array(g["multiplier"]), len(prior)
    design = np.vstack([np.column_stack([np.ones(len(tau)), hours]), np.eye(count + 1)])
    values = np.concatenate([g["elongation_pct"], [g.get("start_pct", 0.05)], prior])
    noise = np.diag(np.concatenate([np.full(len(tau), g.get("u_pct", 0.06) ** 2), [g.get("start_sd_pct", 0.05) ** 2], (g.get("rate_spread", 0.4) * prior) ** 2]))
    noise[: len(tau), : len(tau)] += g.get("scatter_pct", 0.015) ** 2 * np.minimum.outer(tau, tau)
    fitted = sm.GLS(values, design, sigma=noise).fit()
    sd = np.sqrt(np.diag(fitted.normalized_cov_params))
    return dict(rates_pct_per_h=fitted.params[1:].tolist(), rates_sd_pct_per_h=sd[1:].tolist(), claimed=[bool(h >= g.get("least_h", 8)) for h in hours[-1]])


# ---------------------------------------------------------------- measuring
def measured(pitches, readings, places, g):
    """GTC's budget of one elongation: instrument, jaws, resolution, place to place."""
    pitch = g.get("pitch_mm", 15.875)
    jaws = ureal(0, g.get("repeat_mm", 0.15) / math.sqrt(readings * places), g.get("repeat_dof", 10))
    scale = ureal(0, type_b.uniform(g.get("maximum_error_mm", 0.05)))
    step = ureal(0, type_b.uniform(g.get("resolution_mm", 0.01) / 2) / math.sqrt(places))
    spread = ureal(0, g.get("place_sd_pct", 0) / math.sqrt(places), g.get("place_dof", math.inf))
    length = pitches * pitch * 1.005 + jaws + scale + step
    elongation = 100 * (length / (pitches * pitch) - 1) + spread
    return uncertainty(elongation), dof(elongation), rp.k_factor(dof(elongation), 95) * uncertainty(elongation)


def protocol(g):
    judge, options = g.get("judge", "worst"), []
    for pitches in g["pitches"]:
        best = None
        for places in [g["places"]] if "places" in g else [3] if judge == "worst" else range(3, g.get("most_places", 6) + 1):
            for readings in [g["readings"]] if "readings" in g else range(1, g.get("most_readings", 5) + 1):
                u, freedom, half = measured(pitches, readings, 1 if judge == "worst" else places, {**g, "place_sd_pct": 0} if judge == "worst" else g)
                reached = half <= g.get("wanted_u95_pct", math.inf)
                if reached and (best is None or (readings * places, places) < (best["readings"] * best["places"], best["places"])):
                    best = dict(pitches=pitches, readings=readings, places=places, u_pct=u, dof=freedom, u95_pct=half, reached=True)
        assert best, "only for wishes that every count reaches"
        options.append(best)
    chosen = min(options, key=lambda o: (o["readings"] * o["places"], o["pitches"]))
    return dict(reached=True, **{k: chosen[k] for k in ("pitches", "readings", "places", "u95_pct")}, options=options)


def reading(g):
    """GTC's budget of the worst place and of the mean; the chance beyond the limit by scipy. Only for plausible places of as many readings each."""
    pitch, count = g.get("pitch_mm", 15.875), len(g["length_mm"][0])
    assert all(len(place) == count for place in g["length_mm"]) and "rear_teeth" not in g
    assert all(-0.3 <= 100 * (x / g["pitches"] / pitch - 1) <= 4 for place in g["length_mm"] for x in place) and np.ptp(g["length_mm"]) < pitch / 2
    each = [100 * (float(np.mean(place)) / (g["pitches"] * pitch) - 1) for place in g["length_mm"]]
    (u, freedom, half), (mean_u, mean_freedom, mean_half) = (measured(g["pitches"], count, places, g) for places in (1, len(each)))
    worst = int(np.argmax(each))
    chance = float(stats.norm.sf(g["limit_pct"], each[worst], u))
    answer = dict(elongation_pct=each, mean_pct=float(np.mean(each)), mean_u_pct=mean_u, mean_dof=mean_freedom, mean_u95_pct=mean_half, worst_place=worst + 1, worst_pct=each[worst], worst_u_pct=u, worst_dof=freedom, worst_u95_pct=half,
                  chance_worn=chance, verdict="worn" if chance > 0.95 else "ok" if chance < 0.05 else "measure_again")
    if count > 1:
        answer["pooled_repeat_mm"] = math.sqrt(float(np.mean(np.var(g["length_mm"], axis=1, ddof=1))))
    return answer


def tight_spot(g):
    """Surplus as the length of a bent run (shapely), periods by ordinary least squares of statsmodels, chosen by the corrected criterion."""
    span, pitch = g["span_mm"], g.get("pitch_mm", 15.875)
    over = [LineString([(0, 0), (g.get("station", 0.5) * span, slack / 2), (span, 0)]).length - span for slack in g["slack_mm"]]
    small, large = (pitch / 2 / math.sin(math.pi / g[f"{end}_teeth"]) for end in ("front", "rear"))
    lean = LineString([(0, small), (span, small), (span, large)])
    axle = (max(over) - min(over)) / 2 * LineString([lean.coords[0], lean.coords[-1]]).length / span
    answer = dict(slack_min_mm=float(min(g["slack_mm"])), slack_max_mm=float(max(g["slack_mm"])), surplus_min_mm=min(over), surplus_range_mm=max(over) - min(over), axle_range_mm=axle, tightest=int(np.argmin(g["slack_mm"])) + 1,
                  verdict="stop" if axle > g.get("stop_mm", 0.8) else "care" if axle > g.get("care_mm", 0.3) else "ok")
    if "at_links" in g:
        at, fits = np.array(g["at_links"], float), {}
        for name, periods in (("none", []), ("wheel", [g["rear_teeth"]]), ("chain", [g["links"]]), ("both", [g["rear_teeth"], g["links"]])):
            waves = [f(2 * np.pi * at / period) for period in periods for f in (np.cos, np.sin)]
            fits[name] = sm.OLS(over, np.column_stack([np.ones(len(at)), *waves])).fit()

        def score(fit):
            n, k = fit.nobs, len(fit.params) + 1
            # statsmodels' criterion holds the constant of the likelihood and not the variance as a parameter
            return fit.aic - n * math.log(2 * math.pi) - n + 2 + 2 * k * (k + 1) / (n - k - 1)

        answer["cause"] = min(fits, key=lambda name: score(fits[name]))
        answer["score"] = {name: float(score(fit)) for name, fit in fits.items()}
        chosen = {"wheel": ("wheel", 1), "chain": ("chain", 1)} if answer["cause"] != "both" else {"wheel": ("both", 1), "chain": ("both", 3)}
        for part, (name, first) in chosen.items():
            answer[f"{part}_amplitude_mm"] = float(np.hypot(*fits[name].params[first : first + 2]))
    return answer


def next_reading(g):
    """Worth of a reading from its meaning: the mean after it is spread, and for each such mean the better verdict is taken (quadrature)."""
    quantities, by_quantity, by_option = {}, [], []
    for q in g["quantities"]:
        log = followed(q["log"]) if "log" in q else None
        quantities[q["name"]] = q, log

    def end(q, log, u=None):
        """Mean and variance at the end of the coming hours, after one more reading if u is given."""
        if log is None:
            one = KalmanFilter(dim_x=1, dim_z=1)
            one.x, one.P, one.H = np.array([[q["mean"]]]), np.array([[q["sd"] ** 2]]), np.eye(1)
            if u:
                one.update(np.array([[q["mean"]]]), R=np.array([[u * u]]))
            return q["mean"], float(one.P[0, 0]), q["limit"]
        again = followed(q["log"]).ride(q.get("since_h", 0))
        if u:
            again.read(again.mean[0], u)
        again.ride(q.get("until_h", 0))
        return again.mean[0], again.cov[0, 0], again.limit

    def least(mean, var, limit, late, early):
        over = stats.norm.sf(limit, mean, math.sqrt(var))
        return min(late * over, early * (1 - over))

    for q, log in quantities.values():
        mean, var, limit = end(q, log)
        over = float(stats.norm.sf(limit, mean, math.sqrt(var)))
        by_quantity.append(dict(name=q["name"], mean=mean, sd=math.sqrt(var), chance_over=over, lost_now_minor=least(mean, var, limit, q["late_minor"], q["early_minor"]),
                                verdict_now="replace" if q["late_minor"] * over > q["early_minor"] * (1 - over) else "keep"))
    for o in g["options"]:
        q, log = quantities[o["quantity"]]
        mean, var, limit = end(q, log)
        _, after, _ = end(q, log, o["u"])
        spread = math.sqrt(var - after)

        def expected(late, early):
            turn = limit + math.sqrt(after) * stats.norm.ppf(early / (early + late))
            points = [p for p in (turn,) if abs(p - mean) < 12 * spread]
            return integrate.quad(lambda m: stats.norm.pdf(m, mean, spread) * least(m, after, limit, late, early), mean - 12 * spread, mean + 12 * spread, points=points, epsabs=1e-10, epsrel=1e-11, limit=400)[0]

        lost, wrong = expected(q["late_minor"], q["early_minor"]), expected(1, 1)
        gain = least(mean, var, limit, q["late_minor"], q["early_minor"]) - lost
        by_option.append(dict(name=o["name"], wrong_after=wrong, wrong_less=least(mean, var, limit, 1, 1) - wrong, lost_after_minor=lost, gain_minor=gain, gain_per_min=gain / o["minutes"]))
    best = max(by_option, key=lambda o: o["gain_per_min"])
    return dict(best=best["name"] if best["gain_minor"] > 0 else None, by_option=by_option, by_quantity=by_quantity)


def last_through(g):
    """The filter with growth as a third state; both bounds by quadrature, uncertain ground by quadrature over a lognormal."""
    log = followed(g).ride(g.get("since_h", 0))
    hours = sum(leg["hours_h"] * leg.get("multiplier", 1) for leg in g["legs"])
    spread = math.sqrt(sum((leg["hours_h"] * leg.get("multiplier", 1) * leg.get("spread", 0)) ** 2 for leg in g["legs"])) / hours
    room = math.inf
    if "slack_mm" in g:
        span = g["span_mm"]

        def surplus(slack):
            return LineString([(0, 0), (g.get("station", 0.5) * span, slack / 2), (span, 0)]).length - span

        room = 100 * (surplus(g["slack_most_mm"]) - surplus(g["slack_mm"])) / (g["links"] * g.get("pitch_mm", 15.875))

    def joint(t):
        three = KalmanFilter(dim_x=3, dim_z=1)
        three.x = np.array([[log.mean[0]], [log.mean[1]], [0.0]])
        three.P = np.zeros((3, 3))
        three.P[:2, :2] = log.cov
        three.predict(F=np.array([[1.0, t, 0], [0, 1, 0], [0, t, 1]]), Q=log.way * t * np.outer([1, 0, 1], [1, 0, 1]))
        return three.x[:, 0], three.P

    def chances(t):
        mean, cov = joint(t)
        within = float(stats.norm.cdf(log.limit, mean[0], math.sqrt(cov[0, 0])))
        if math.isinf(room):
            return np.array([within, within, 1.0])
        tilt, rest = cov[0, 2] / cov[2, 2], math.sqrt(cov[0, 0] - cov[0, 2] ** 2 / cov[2, 2])
        sd = math.sqrt(cov[2, 2])
        both = integrate.quad(lambda e: stats.norm.pdf(e, mean[2], sd) * stats.norm.cdf(log.limit, mean[0] + tilt * (e - mean[2]), rest), mean[2] - 12 * sd, min(room, mean[2] + 12 * sd), epsabs=1e-12, epsrel=1e-10, limit=400)[0]
        return np.array([within, both, float(stats.norm.cdf(room, mean[2], sd))])

    def mixed(f, scale=1.0):
        if spread == 0:
            return f(hours * scale)
        width = math.sqrt(math.log1p(spread**2))
        ground = stats.lognorm(width, scale=hours * scale / math.sqrt(1 + spread**2))
        return integrate.quad_vec(lambda t: ground.pdf(t) * f(t), *ground.ppf([1e-13, 1 - 1e-13]), epsabs=1e-11, epsrel=1e-9)[0]

    within, both, slack = mixed(chances)
    moments = mixed(lambda t: (lambda m, c: np.array([m[0], c[0, 0] + m[0] ** 2, m[2]]))(*joint(t)))
    sure = g.get("sure", 0.95)
    answer = dict(equivalent_h=float(hours), now_pct=log.mean[0], end_pct=moments[0], end_sd_pct=math.sqrt(moments[1] - moments[0] ** 2), growth_pct=moments[2], chance_limit=float(within), chance_both=float(both), verdict="lasts" if both >= sure else "fails" if both <= 1 - sure else "doubtful")
    if not math.isinf(room):
        answer |= dict(chance_slack=float(slack), room_pct=room)
    if mixed(chances, 1e-6)[1] > sure > mixed(chances, 10)[1]:
        plan = sum(leg["hours_h"] for leg in g["legs"])
        answer["sure_h"] = plan * optimize.brentq(lambda k: float(mixed(chances, k)[1]) - sure, 1e-6, 10, xtol=1e-10)
    return answer


# ---------------------------------------------------------------- the set
ACTIONS = ("none", "chain", "front", "chain_front", "rear", "chain_rear", "front_rear", "all")


def set_policy(g):
    """Least long-run cost as a linear programme (HiGHS): first the rate, then with the rate held the largest relative values."""
    return dict(by_coupling=[one_coupling(g, strength) for strength in g.get("coupling", [0.5, 1, 2])])


def one_coupling(g, strength):
    levels, block = g.get("levels", 8), g.get("block_h", 2)
    most = levels - 1
    states = list(itertools.product(range(levels), repeat=3))
    place = {s: i for i, s in enumerate(states)}
    price = [g[f"{p}_price_minor"] for p in ("chain", "front", "rear")]
    life = [g[f"{p}_life_h"] for p in ("chain", "front", "rear")]
    back = g.get("wear_back", 1)
    lines, costs, keys = [], [], []
    for s in states:
        for mask in range(8):
            after = tuple(0 if mask >> k & 1 else s[k] for k in range(3))
            if most in after:
                continue
            c, f, r = (x / most for x in after)
            faster = (1 + strength * f + strength * r, 1 + back * c, 1 + back * c)
            step = [min(0.95, most * block / life[k] * faster[k]) for k in range(3)]
            cost = (g["labour_minor"] if mask else 0) + sum(price[k] for k in range(3) if mask >> k & 1) + g["trail_minor"] * g.get("trail_chance", 0.02) * max(c, f, r) ** 4
            line = {place[s]: 1.0}
            for ups in itertools.product((0, 1), repeat=3):
                chance = math.prod(step[k] if ups[k] else 1 - step[k] for k in range(3))
                to = place[tuple(after[k] + ups[k] for k in range(3))]
                line[to] = line.get(to, 0.0) - chance
            lines.append(line)
            costs.append(cost)
            keys.append((place[s], mask))
    count = len(states)
    entries = [(i, j, v) for i, line in enumerate(lines) for j, v in line.items()]
    values = sparse.coo_array(([v for _, _, v in entries], ([i for i, _, _ in entries], [j for _, j, _ in entries])), shape=(len(lines), count)).tocsr()
    rate_column = sparse.csr_array(np.full((len(lines), 1), float(block)))
    bounds = [(0, 0)] + [(None, None)] * (count - 1)
    tight = {"primal_feasibility_tolerance": 1e-10, "dual_feasibility_tolerance": 1e-10}
    first = optimize.linprog(np.r_[np.zeros(count), -1.0], A_ub=sparse.hstack([values, rate_column]), b_ub=costs, bounds=bounds + [(None, None)], method="highs", options=tight)
    rate = first.x[-1]
    second = optimize.linprog(-np.ones(count), A_ub=values, b_ub=np.array(costs) - rate * block + 1e-7, bounds=bounds, method="highs", options=tight)
    assert first.status == second.status == 0
    here = place[tuple(g[f"{p}_level"] for p in ("chain", "front", "rear"))]
    gap = {ACTIONS[mask]: costs[i] - rate * block - float((values[[i], :] @ second.x)[0]) for i, (s, mask) in enumerate(keys) if s == here}
    least = min(gap.values())
    lost = {name: round(value - least, 4) for name, value in gap.items()}
    order = sorted(lost, key=lost.get)
    answer = dict(coupling=float(strength), cost_per_h_minor=float(rate), lost_minor={k: float(v) for k, v in lost.items()})
    if len(order) < 2 or lost[order[1]] > 5:
        answer["best"] = order[0]
    return answer


METHODS = {
    "wear.forecast": (forecast, "Kalman filter of filterpy, roots by scipy"), "wear.first_day": (first_day, "Kalman filter of filterpy for each hour, quadrature over the hours"),
    "wear.rates": (rates, "generalised least squares of statsmodels with the prior as observations"), "wear.protocol": (protocol, "uncertainty budget by GTC"),
    "wear.reading": (reading, "uncertainty budget by GTC, chance by scipy"), "wear.tight_spot": (tight_spot, "bent run by shapely, periods by ordinary least squares of statsmodels"),
    "wear.next_reading": (next_reading, "filterpy, quadrature over the mean after the reading"), "wear.last_through": (last_through, "three-state filter of filterpy, quadrature"),
    "life.set_policy": (set_policy, "linear programme by HiGHS"),
}


def main():
    rows = Rows(Path(__file__).parent)
    root = "roots to 1e-11, order of sums differs"
    words = library("filterpy", "scipy") + ": Kalman filter along the log, its own look ahead, roots by brentq"
    tol = {"": 1e-8, "left_low_h": {"rel": 1e-7}, "left_median_h": {"rel": 1e-7}, "left_high_h": {"rel": 1e-7}}
    base = dict(hours_h=[4, 11, 19, 30], elongation_pct=[0.14, 0.27, 0.44, 0.62], limit_pct=1.0)
    for case, given in (("filterpy: four readings", base), ("filterpy: two readings, sand ahead", dict(hours_h=[8, 21], elongation_pct=[0.2, 0.55], limit_pct=1.5, multiplier=1.6, u_pct=0.04)), ("filterpy: each reading its own error", {**base, "u_pct": [0.1, 0.06, 0.06, 0.03], "interval": 0.8}),
                        ("filterpy: one reading and a firm prior", dict(hours_h=[12], elongation_pct=[0.31], limit_pct=1.0, rate_pct_per_h=0.02, rate_sd_pct_per_h=0.005, scatter_pct=0.02)), ("filterpy: near the limit", dict(hours_h=[10, 22, 35], elongation_pct=[0.35, 0.71, 0.97], limit_pct=1.0))):
        rows.add("wear.forecast", case, given, forecast(given), words, tol, root)
    words = library("filterpy", "scipy") + ": Kalman filter for each possible age, adaptive quadrature over the age, roots by brentq"
    for case, given in (("filterpy: 15 to 60 h, 0.45 %", dict(hours_low_h=15, hours_high_h=60, elongation_pct=0.45, limit_pct=1.0)), ("filterpy: 30 to 40 h, unsealed", dict(hours_low_h=30, hours_high_h=40, elongation_pct=0.9, limit_pct=2.0)), ("filterpy: finer reading", dict(hours_low_h=10, hours_high_h=50, elongation_pct=0.3, limit_pct=1.0, u_pct=0.03, rate_pct_per_h=0.016))):
        rows.add("wear.first_day", case, given, first_day(given), words, {"": 1e-7, "hours_mean_h": {"rel": 1e-7}, "hours_sd_h": 1e-5, **{k: {"rel": 1e-6} for k in ("left_low_h", "left_median_h", "left_high_h", "if_low_median_h", "if_high_median_h")}}, "quadrature to 1e-10, roots to 1e-8 h")
    words = library("statsmodels", "numpy") + ": generalised least squares, the prior as extra observations (mixed estimation)"
    for case, given in (("statsmodels: three grounds", dict(grounds=["hard", "mud", "sand"], ground_hours_h=[[3, 0, 2], [7, 3, 2], [9, 6, 5], [15, 9, 6], [20, 10, 9]], elongation_pct=[0.15, 0.36, 0.61, 0.85, 1.1], rate_pct_per_h=0.018, multiplier=[1, 2.5, 1.6])), ("statsmodels: two grounds, fine readings", dict(grounds=["dry", "wet"], ground_hours_h=[[6, 1], [10, 7], [18, 9]], elongation_pct=[0.1, 0.28, 0.41], rate_pct_per_h=0.0143, multiplier=[1, 2], u_pct=0.03, scatter_pct=0.01)),
                        ("statsmodels: a wide prior", dict(grounds=["all"], ground_hours_h=[[9], [17], [26], [40]], elongation_pct=[0.2, 0.33, 0.49, 0.71], rate_pct_per_h=0.02, multiplier=[1], rate_spread=1.5, start_sd_pct=0.2))):
        rows.add("wear.rates", case, given, rates(given), words, 1e-8, "order of sums differs")
    words = library("GTC") + ": uncertainty budget, effective degrees of freedom and coverage factor"
    for case, given in (("GTC: calliper over 16, two readings", dict(pitches=[16], readings=2, places=1)), ("GTC: mean of four places", dict(pitches=[20], readings=2, places=4, judge="mean", place_sd_pct=0.05, place_dof=5)), ("GTC: tape over 40", dict(pitches=[40], readings=3, places=3, judge="mean", repeat_mm=0.3, repeat_dof=6, maximum_error_mm=0.5, resolution_mm=1.0)),
                        ("GTC: what reaches 0.12", dict(pitches=[16, 20, 24], wanted_u95_pct=0.12)), ("GTC: what reaches 0.04 in the mean", dict(pitches=[24, 32, 40], wanted_u95_pct=0.04, judge="mean"))):
        rows.add("wear.protocol", case, given, protocol(given), words, {"rel": 1e-6}, "both sides in double precision; roots of the coverage factor near 1e-10")
    for case, given in (("GTC: three places, one reading each", dict(length_mm=[[256.1], [256.4], [255.9]], pitches=16, limit_pct=1.0)), ("GTC: three places, three readings each", dict(length_mm=[[320.9, 321.0, 320.8], [321.4, 321.2, 321.3], [320.6, 320.9, 320.7]], pitches=20, limit_pct=1.0, repeat_dof=6)),
                        ("GTC: a tape, two readings each", dict(length_mm=[[638, 638.5], [639, 638.5]], pitches=40, limit_pct=0.5, repeat_mm=0.3, maximum_error_mm=0.5, resolution_mm=1.0)), ("GTC: hardly worn", dict(length_mm=[[254.3], [254.5]], pitches=16, limit_pct=1.0))):
        rows.add("wear.reading", case, given, reading(given), words + ", chance by scipy", {"": {"rel": 1e-6}, "chance_worn": 1e-8}, "both sides in double precision; roots of the coverage factor near 1e-10")
    words = library("shapely", "statsmodels") + ": surplus as the length of a bent run, periods by ordinary least squares, corrected criterion"
    drive = dict(span_mm=640, front_teeth=14, rear_teeth=48, links=118, at_links=[12.0 * i for i in range(12)])
    wave = lambda period, size, places: [round(38 + size * math.cos(2 * math.pi * x / period + 0.6) + 0.4 * math.sin(5.3 * x), 2) for x in places]
    for case, more in (("statsmodels: the wheel", dict(slack_mm=wave(48, 4, drive["at_links"]))), ("statsmodels: the chain", dict(slack_mm=wave(118, 5, drive["at_links"]))), ("statsmodels: neither", dict(slack_mm=[38.2, 37.9, 38.4, 38.0, 37.8, 38.3, 38.1, 37.7, 38.2, 38.0, 38.4, 37.9])), ("shapely: four places, no period", dict(slack_mm=[24, 31, 38, 29], at_links=None, links=None))):
        given = {k: v for k, v in (drive | more).items() if v is not None}
        rows.add("wear.tight_spot", case, given, tight_spot(given), words, {"": 1e-7, **{f"score.{k}": 1e-5 for k in ("none", "wheel", "chain", "both")}}, "double rounding; the criterion is a logarithm of a small sum of squares")
    words = library("scipy", "filterpy") + ": posterior spread by the filter, expected loss by quadrature over the mean that the reading will leave"
    three = [dict(name="length", log=dict(hours_h=[5, 15, 27], elongation_pct=[0.18, 0.42, 0.71], limit_pct=1.0), early_minor=3500, late_minor=18000, since_h=4, until_h=6), dict(name="tightness", mean=0.4, sd=0.25, limit=0.8, early_minor=9000, late_minor=24000), dict(name="teeth", mean=4.4, sd=1.2, limit=6.0, early_minor=6000, late_minor=20000)]
    ways = [dict(name="calliper", quantity="length", u=0.05, minutes=6), dict(name="tape", quantity="length", u=0.12, minutes=2), dict(name="places", quantity="tightness", u=0.1, minutes=9), dict(name="look", quantity="teeth", u=0.8, minutes=2)]
    loss = {"": 1e-8} | {f"by_option.{i}.{k}": 0.001 for i in range(4) for k in ("lost_after_minor", "gain_minor", "gain_per_min")} | {f"by_quantity.{i}.lost_now_minor": 1e-3 for i in range(3)}
    for case, given in (("quadrature: four ways to look", dict(quantities=three, options=ways, currency="EUR")), ("quadrature: one question, two tools", dict(quantities=three[:1], options=ways[:2], currency="EUR")), ("quadrature: teeth alone", dict(quantities=three[2:], options=ways[3:], currency="EUR"))):
        rows.add("wear.next_reading", case, given, next_reading(given), words, loss, "quadrature to 1e-10 of a loss up to 24 000 minor units")
    words = library("filterpy", "scipy", "shapely") + ": filter with the growth as a state of its own, both bounds by quadrature, slack as the length of a bent run"
    log = dict(hours_h=[6, 14, 25], elongation_pct=[0.2, 0.42, 0.63], limit_pct=1.0, since_h=3)
    slack = dict(slack_mm=38, slack_most_mm=50, span_mm=620, links=116)
    tol = {"": 1e-7, "sure_h": {"rel": 1e-6}, "equivalent_h": {"rel": 1e-12}}
    for case, given in (("filterpy: six hours of sand", {**log, "legs": [dict(hours_h=6, multiplier=1.6)]}), ("filterpy: slack decides", {**log, **slack, "legs": [dict(hours_h=2), dict(hours_h=1.5, multiplier=2.5)]}), ("filterpy: uncertain mud", {**log, "legs": [dict(hours_h=4, multiplier=2.5, spread=0.3), dict(hours_h=3)]}), ("filterpy: uncertain mud and slack", {**log, **slack, "legs": [dict(hours_h=1, multiplier=2.5, spread=0.3)]})):
        rows.add("wear.last_through", case, given, last_through(given), words, tol, "24 nodes against adaptive quadrature of an uncertain ground: under 1e-8; roots to 1e-10")
    words = library("scipy") + ": linear programme of the long-run cost (HiGHS), relative values as its second stage"
    money = dict(chain_life_h=60, front_life_h=80, rear_life_h=120, chain_price_minor=9000, front_price_minor=2500, rear_price_minor=6000, labour_minor=3000, trail_minor=20000, currency="EUR")
    for case, more in (("HiGHS: five levels, chain at its limit", dict(levels=5, chain_level=4, front_level=2, rear_level=1)), ("HiGHS: six levels, front at its limit", dict(levels=6, chain_level=2, front_level=5, rear_level=3)), ("HiGHS: dear labour, four-hour blocks", dict(levels=6, block_h=4, labour_minor=9000, chain_level=5, front_level=3, rear_level=3, coupling=[1.0])),
                       ("HiGHS: eight levels, nothing at its limit", dict(chain_level=5, front_level=4, rear_level=3, coupling=[1.0])), ("HiGHS: a dear breakdown", dict(levels=5, trail_minor=150000, chain_level=3, front_level=2, rear_level=2, coupling=[0.5, 2.0]))):
        given = money | more
        answer = set_policy(given)
        paths = {f"by_coupling.{i}.cost_per_h_minor": {"rel": 1e-6} for i in range(3)} | {"": 0.05}
        rows.add("life.set_policy", case, given, answer, words, paths, "the programme holds every bound to 1e-7; iteration stops at 1e-9 of the cost; lost money to 5/100 of a minor unit")
    rows.write()


if __name__ == "__main__":
    main()
