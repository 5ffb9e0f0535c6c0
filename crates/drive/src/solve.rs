//! Root and maximum of a function of one number, inside a bracket.
//!
//! Root: Chandrupatla's method, which keeps the bracket and takes a quadratic step where it is safe.
//! Maximum: Brent's method, parabolic steps where they can be trusted, else golden section.

/// More steps than halving needs between any two numbers that are not of the smallest.
const MOST_STEPS: u32 = 400;

/// A root of `f` between `low` and `high`, where it has unlike signs; `None` if it has not.
pub fn root(f: impl Fn(f64) -> f64, low: f64, high: f64) -> Option<f64> {
    let (below, above) = ((low, f(low)), (high, f(high)));
    let unlike = (below.1 >= 0.0 && above.1 <= 0.0) || (below.1 <= 0.0 && above.1 >= 0.0);
    unlike.then(|| narrowed(f, below, above))
}

/// Where `f` passes zero between `low` and `high`, which lie on opposite sides (or one on zero). Where the function or
/// a bound is no number the answer means nothing: whoever asked refuses it.
pub fn crossing(f: impl Fn(f64) -> f64, low: f64, high: f64) -> f64 {
    let (below, above) = ((low, f(low)), (high, f(high)));
    narrowed(f, below, above)
}

/// # Source
/// Chandrupatla 1997, "a new hybrid quadratic/bisection algorithm"; the trust test is his.
fn narrowed(f: impl Fn(f64) -> f64, below: (f64, f64), above: (f64, f64)) -> f64 {
    let ((mut b, mut fb), (mut a, mut fa)) = (below, above);
    if fb == 0.0 || fa == 0.0 {
        return if fb == 0.0 { b } else { a };
    }
    let mut share = 0.5;
    for _ in 0..MOST_STEPS {
        let x = a + share * (b - a);
        let fx = f(x);
        let (c, fc) = if (fx > 0.0) == (fa > 0.0) {
            (a, fa)
        } else {
            let before = (b, fb);
            (b, fb) = (a, fa);
            before
        };
        (a, fa) = (x, fx);
        let (best, f_best) = if fa.abs() < fb.abs() { (a, fa) } else { (b, fb) };
        let least = (2.0 * f64::EPSILON * best.abs() + f64::MIN_POSITIVE) / (b - a).abs();
        if f_best == 0.0 || least >= 0.5 || least.is_nan() {
            return best;
        }
        share = quadratic_step([(a, fa), (b, fb), (c, fc)]).unwrap_or(0.5).clamp(least, 1.0 - least);
    }
    a
}

/// The inverse quadratic step as a share of b - a, where the three points allow it.
fn quadratic_step([(a, fa), (b, fb), (c, fc)]: [(f64, f64); 3]) -> Option<f64> {
    let (xi, phi) = ((a - b) / (c - b), (fa - fb) / (fc - fb));
    let trusted = phi * phi < xi && (1.0 - phi) * (1.0 - phi) < 1.0 - xi;
    trusted.then(|| fa / (fb - fa) * (fc / (fb - fc)) + (c - a) / (b - a) * fa / (fc - fa) * (fb / (fc - fb)))
}

/// The place between `low` and `high` where `f`, with one top between them, is greatest, and how great it is there.
pub fn top(f: impl Fn(f64) -> f64, low: f64, high: f64) -> (f64, f64) {
    const SHORT: f64 = 0.381_966_011_250_105_2;
    let (mut low, mut high) = (low, high);
    let start = low + SHORT * (high - low);
    // The best place, the next best, the one before it, with their heights.
    let mut best = (start, f(start));
    let (mut second, mut third) = (best, best);
    let (mut step, mut before) = (0.0_f64, 0.0_f64);
    for _ in 0..100 {
        let middle = f64::midpoint(low, high);
        // 1e-8 of the place is where the height, flat at a top, no longer changes in double precision.
        let near = 1e-8 * best.0.abs() + 5e-13;
        if (best.0 - middle).abs() <= 2.0 * near - 0.5 * (high - low) {
            break;
        }
        let parabola = vertex(best, second, third);
        let trusted = parabola
            .filter(|to| before.abs() > near && to.abs() < 0.5 * before.abs() && (low..=high).contains(&(best.0 + to)));
        (before, step) = match trusted {
            Some(to) if best.0 + to - low < 2.0 * near || high - best.0 - to < 2.0 * near => {
                (step, near.copysign(middle - best.0))
            }
            Some(to) => (step, to),
            None => {
                let wider = if best.0 >= middle { low - best.0 } else { high - best.0 };
                (wider, SHORT * wider)
            }
        };
        let at = best.0 + if step.abs() >= near { step } else { near.copysign(step) };
        let tried = (at, f(at));
        if tried.1 >= best.1 {
            if at >= best.0 {
                low = best.0
            } else {
                high = best.0
            }
            (third, second, best) = (second, best, tried);
        } else {
            if at < best.0 {
                low = at
            } else {
                high = at
            }
            if tried.1 >= second.1 || second.0 == best.0 {
                (third, second) = (second, tried);
            } else if tried.1 >= third.1 || third.0 == best.0 || third.0 == second.0 {
                third = tried;
            }
        }
    }
    best
}

/// How far from the first of three points the parabola through them turns; `None` where they lie on a line.
fn vertex((x, fx): (f64, f64), (w, fw): (f64, f64), (v, fv): (f64, f64)) -> Option<f64> {
    let (r, q) = ((x - w) * (fx - fv), (x - v) * (fx - fw));
    let (p, q) = ((x - v) * q - (x - w) * r, 2.0 * (q - r));
    (q != 0.0).then(|| -p / q)
}

#[cfg(test)]
mod tests;
