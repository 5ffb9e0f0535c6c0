//! How well the readings tell each unknown, which of them does not go with the others, and what to read next.

use measure::{Angle, Length};

use super::least::{Least, slopes};
use super::matrix::{MOST, Matrix, Vector, add, dot, inverse, normal, times};
use super::{AHEAD, Fitted, LOOP, Next, OVER, Odd, Places, RADIUS, Unknown, Untold, geometry_of, slack_mm};
use crate::slack::Point;
use crate::slack::layout::{Layout, Run};
use crate::slack::required::Required;
use crate::slack::swing::Swing;

/// A length with a standard error above this, mm, is not told. The tool's own threshold.
pub(super) const TOLD_MM: f64 = 10.0;
/// A reading this many standard errors from what the others say does not go with them.
const ODD_ERRORS: f64 = 3.0;
/// Steps of the travel that are looked at for a further reading.
const STEPS: u16 = 20;
/// Countershaft further than this from the pivot, mm, is no bike.
const FURTHEST_MM: f64 = 300.0;

/// The fit with its errors.
pub(super) fn told(places: &Places<'_>, found: &Least, layout: &Layout) -> Result<Fitted, Untold> {
    if found.at[AHEAD].hypot(found.at[OVER]) > FURTHEST_MM {
        return Err(Untold::NoFit);
    }
    let count = places.count();
    let information = normal(&found.slopes);
    let candidates = candidates(places, &found.at, layout);
    let error_mm = places.question.error.mm();
    let Some(inverse) = inverse(&information, count) else {
        return Err(untold(&information, &candidates, error_mm, count, unmoved(&information, count)));
    };
    let worst = (AHEAD..count).max_by(|one, other| inverse[*one][*one].total_cmp(&inverse[*other][*other]));
    if let Some(worst) = worst.filter(|n| error_mm * inverse[*n][*n].sqrt() > TOLD_MM) {
        return Err(untold(&information, &candidates, error_mm, count, worst));
    }
    let scatter = scatter_mm(found, count);
    let each_mm = scatter.map_or(error_mm, |scatter| scatter.max(error_mm));
    let needs = places.needs(layout);
    let goes = Goes::of(places, &found.at, count).ok_or(Untold::NoFit)?;
    let error = |goes: &Vector| Length::from_mm(each_mm * dot(goes, &times(&inverse, goes)).sqrt());
    Ok(Fitted {
        layout: *layout,
        countershaft: Point::new(found.at[AHEAD], found.at[OVER]),
        radius: places.question.fits_slider.then(|| Length::from_mm(found.at[RADIUS])),
        loop_length: Length::from_mm(found.at[LOOP]),
        covariance: geometry_of(&inverse.map(|line| line.map(|cell| cell * each_mm * each_mm))),
        expected: places.slacks_mm.iter().zip(&found.rest).map(|(read, rest)| Length::from_mm(read - rest)).collect(),
        scatter: scatter.map(Length::from_mm),
        odd: odd(places, found, &inverse, count),
        demand_error: error(&goes.demand),
        slack_error: error(&goes.slack),
        next: best(&candidates, &information, count, |inverse| dot(&goes.slack, &times(inverse, &goes.slack)))
            .map(|(travel, share)| Next { travel, error: Length::from_mm(each_mm * share.sqrt()) }),
        needs,
    })
}

/// The root of the mean square of what is left, each unknown having used up one reading.
fn scatter_mm(found: &Least, count: usize) -> Option<f64> {
    let free = found.rest.len().checked_sub(count).filter(|free| *free > 0)?;
    #[expect(clippy::cast_precision_loss, reason = "a few readings")]
    Some((found.sum() / free as f64).sqrt())
}

/// The reading furthest from what the others say, in its own standard errors, where it is far and can be told: with
/// only one reading to spare all are equally far.
fn odd(places: &Places<'_>, found: &Least, inverse: &Matrix, count: usize) -> Option<Odd> {
    if found.rest.len() < count + 2 {
        return None;
    }
    let error_mm = places.question.error.mm();
    let far = found.rest.iter().zip(&found.slopes).enumerate().map(|(index, (rest, slope))| {
        // What is left of a reading once it has drawn the fit towards itself.
        let own = (1.0 - dot(slope, &times(inverse, slope))).max(f64::EPSILON);
        (rest.abs() / (error_mm * own.sqrt()), index, rest / own)
    });
    let (errors, index, off_mm) = far.max_by(|one, other| one.0.total_cmp(&other.0))?;
    (errors > ODD_ERRORS).then(|| Odd { index, others: Length::from_mm(places.slacks_mm[index] - off_mm) })
}

/// How demand and slack wanted go with the unknowns.
struct Goes {
    demand: Vector,
    slack: Vector,
}

impl Goes {
    fn of(places: &Places<'_>, at: &Vector, count: usize) -> Option<Self> {
        let model = |at: &Vector| {
            let Required { demand, slack, .. } = places.needs(&places.layout(at)?);
            Some(vec![demand.mm(), slack.slack?.mm()])
        };
        let rows = slopes(&model, at, count)?;
        Some(Self { demand: *rows.first()?, slack: *rows.get(1)? })
    }
}

/// A further reading: where, and how it would go with the unknowns.
struct Candidate {
    travel: Length,
    slope: Vector,
}

/// Places of the travel where a further reading could be taken.
fn candidates(places: &Places<'_>, at: &Vector, layout: &Layout) -> Vec<Candidate> {
    let swing = &places.question.swing;
    let readable = |arm: Angle| !layout.rests(arm, Run::Lower) && slack_mm(layout, arm, at[LOOP]).is_some();
    let at_travel = |travel: Length| {
        let arm = swing.angle_at(travel).ok().filter(|arm| readable(*arm))?;
        let model = |at: &Vector| places.slacks(at, &[arm]);
        let slope = *slopes(&model, at, places.count())?.first()?;
        Some(Candidate { travel, slope })
    };
    steps(swing).filter_map(at_travel).collect()
}

fn steps(swing: &Swing) -> impl Iterator<Item = Length> {
    let whole = swing.travel_at(swing.compression);
    (0..=STEPS).map(move |n| whole * (f64::from(n) / f64::from(STEPS)))
}

/// The place of the travel furthest from those read.
pub(super) fn furthest(swing: &Swing, travels_mm: &[f64]) -> Length {
    let apart =
        |travel: &Length| travels_mm.iter().map(|read| (travel.mm() - read).abs()).fold(f64::INFINITY, f64::min);
    steps(swing).max_by(|one, other| apart(one).total_cmp(&apart(other))).unwrap_or(Length::ZERO)
}

/// The candidate that makes something least, and how much it then is.
fn best(
    candidates: &[Candidate],
    information: &Matrix,
    count: usize,
    of: impl Fn(&Matrix) -> f64,
) -> Option<(Length, f64)> {
    let after = candidates.iter().filter_map(|candidate| {
        let mut more = *information;
        add(&mut more, &candidate.slope);
        Some((candidate.travel, of(&inverse(&more, count)?)))
    });
    after.min_by(|one, other| one.1.total_cmp(&other.1))
}

/// The unknown on which no reading depends; where each acts, the last one.
fn unmoved(information: &Matrix, count: usize) -> usize {
    (AHEAD..count).find(|n| information[*n][*n] <= 0.0).unwrap_or(count.min(MOST) - 1)
}

fn untold(information: &Matrix, candidates: &[Candidate], error_mm: f64, count: usize, n: usize) -> Untold {
    let known = inverse(information, count).map(|inverse| Length::from_mm(error_mm * inverse[n][n].sqrt()));
    let next = best(candidates, information, count, |inverse| inverse[n][n]);
    let next = next.map(|(travel, share)| Next { travel, error: Length::from_mm(error_mm * share.sqrt()) });
    let unknown = match n {
        AHEAD => Unknown::Ahead,
        OVER => Unknown::Over,
        _ => Unknown::Radius,
    };
    Untold::CannotTell { unknown, error: known, next: next.filter(|next| next.error.mm() <= TOLD_MM) }
}

#[cfg(test)]
mod tests {
    use super::super::Question;
    use super::*;
    use crate::slack::sample;

    #[test]
    fn a_reading_is_odd_past_three_standard_errors_with_two_to_spare() {
        let question = Question {
            sheet: sample::sheet(),
            swing: sample::swing(),
            readings: Vec::new(),
            error: Length::from_mm(0.5),
            margin: Length::ZERO,
            fits_slider: false,
        };
        let places = Places { question: &question, arms: Vec::new(), slacks_mm: vec![50.0; 5] };
        // None of them draws the fit towards itself: what is left of each is its own error.
        let none = [[0.0; MOST]; MOST];
        let left = |rest: &[f64]| {
            let found = Least { at: [0.0; MOST], rest: rest.to_vec(), slopes: vec![[0.0; MOST]; rest.len()] };
            odd(&places, &found, &none, 3)
        };
        assert_eq!(left(&[0.1, -1.5, 0.2, 0.0, 0.3]), None);
        let past = -1.5 - 1e-9;
        let others = Length::from_mm(50.0 - past);
        assert_eq!(left(&[0.1, past, 0.2, 0.0, 0.3]), Some(Odd { index: 1, others }));
        assert_eq!(left(&[0.1, -9.0, 0.2, 0.0]), None, "one to spare");
    }

    #[test]
    fn where_every_unknown_acts_the_last_is_named() {
        let acting = [[1.0; MOST]; MOST];
        for count in 1..=MOST {
            assert_eq!(unmoved(&acting, count), count - 1);
        }
    }
}
