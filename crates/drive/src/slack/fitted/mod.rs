//! Countershaft place and slider from readings of slack at several places of the wheel's travel, axle untouched.
//!
//! ```text
//!   slack                          unknown   x, z      countershaft from the pivot
//!     |o                                     radius    of the slider's pin line, if asked
//!     |   o                                  loop      what chain there is; falls out of what is wanted
//!     |      o           o         known     arm, droop, sprockets, pitch
//!     |          o   o
//!     +------------------- travel  how deep the curve goes tells x, where it is deepest z, how it bends at the
//!                                  start the slider
//! ```
//! [`least`](self) squares of the readings themselves, all equally good · `told` how well each unknown is told, and
//! by which further reading better · `matrix` the few equations.

use measure::{Angle, Length};

use super::layout::{Layout, Run, Sheet, Slider};
use super::required::{Required, required};
use super::swing::Swing;
use super::{Point, free};
use least::{Least, least};
use matrix::{MOST, Matrix, Vector};

mod least;
mod matrix;
mod told;

/// Where the loop length stands among the unknowns.
const LOOP: usize = 0;
/// Where the countershaft's place ahead of the pivot stands.
const AHEAD: usize = 1;
/// Where its height over the pivot stands.
const OVER: usize = 2;
/// Where the slider's radius stands.
const RADIUS: usize = 3;

/// From where the steps begin, mm: countershaft ahead of and over the pivot.
const STARTS_MM: [[f64; 2]; 3] = [[70.0, 5.0], [40.0, -15.0], [105.0, 30.0]];
/// The slider's radius from where the steps begin, mm.
const START_RADII_MM: [f64; 3] = [30.0, 40.0, 55.0];
/// Surplus of the tightest reading from where the steps begin, mm, where the readings give none.
const START_SURPLUS_MM: f64 = 0.5;

/// One reading: mid lower run, total, the wheel held at some travel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct At {
    /// Wheel travel from full extension.
    pub travel: Length,
    /// The slack read there.
    pub slack: Length,
}

/// What is known and what was read.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// The drive; the countershaft's place in it is not looked at, nor the slider's radius where it is fitted.
    pub sheet: Sheet,
    /// Its travel.
    pub swing: Swing,
    /// The readings, axle untouched between them.
    pub readings: Vec<At>,
    /// Standard error of one reading; above 0.
    pub error: Length,
    /// Surplus wanted at the tightest place.
    pub margin: Length,
    /// Whether the slider's radius is fitted too.
    pub fits_slider: bool,
}

/// Something that the readings are to tell.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unknown {
    /// Countershaft ahead of the pivot.
    Ahead,
    /// Countershaft over the pivot.
    Over,
    /// Radius of the pin line on the slider.
    Radius,
}

/// A further reading and what it would bring.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Next {
    /// At this wheel travel.
    pub travel: Length,
    /// The standard error that would then be left.
    pub error: Length,
}

/// Why the readings give no geometry.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Untold {
    /// Fewer places of the travel than unknowns.
    TooFew {
        /// Places read.
        places: usize,
        /// Places needed at least.
        needed: usize,
        /// The place furthest from those read.
        next: Length,
    },
    /// No geometry inside the bounds comes near the readings.
    NoFit,
    /// The lower run of the fitted drive rests on the slider there: that reading tells nothing.
    Rests {
        /// Where.
        travel: Length,
    },
    /// The readings do not tell one unknown from the others.
    CannotTell {
        /// Which one.
        unknown: Unknown,
        /// Its standard error; `None` if nothing at all is said of it.
        error: Option<Length>,
        /// The further reading that would tell it best; `None` if no single one tells it.
        next: Option<Next>,
    },
}

/// A reading that does not go with the others.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Odd {
    /// Which one.
    pub index: usize,
    /// What the others say should have been read there.
    pub others: Length,
}

/// The geometry that goes best with the readings.
#[derive(Debug, Clone, PartialEq)]
pub struct Fitted {
    /// The drive as fitted.
    pub layout: Layout,
    /// Countershaft from the pivot.
    pub countershaft: Point,
    /// Radius of the pin line on the slider, where it was fitted.
    pub radius: Option<Length>,
    /// The chain that there is.
    pub loop_length: Length,
    /// Covariance in mm² of x, z and, where it was fitted, radius, in this order.
    pub covariance: [[f64; 3]; 3],
    /// What the fitted drive would read at each place.
    pub expected: Vec<Length>,
    /// What the readings scatter by; `None` where there are no more of them than unknowns.
    pub scatter: Option<Length>,
    /// The reading that does not go with the others, if one stands out.
    pub odd: Option<Odd>,
    /// What must be read on the stand.
    pub needs: Required,
    /// Standard error of the demand of the travel.
    pub demand_error: Length,
    /// Standard error of the slack wanted on the stand.
    pub slack_error: Length,
    /// The further reading that would narrow the slack wanted most.
    pub next: Option<Next>,
}

/// Fits a drive to readings of its slack.
///
/// # Formula
/// least `Σ (F_i - F(x, z, radius, loop; φ_i))²`, `F = √(2 a e + e²)`, `e = loop - L_taut(φ_i)`
///
/// # Errors
/// The readings do not tell what is asked; which unknown, and which further reading would.
pub fn fit(question: &Question) -> Result<Fitted, Untold> {
    let places = Places::of(question)?;
    let found = places.best().ok_or(Untold::NoFit)?;
    let layout = places.layout(&found.at).ok_or(Untold::NoFit)?;
    if let Some(n) = places.arms.iter().position(|arm| layout.rests(*arm, Run::Lower)) {
        return Err(Untold::Rests { travel: question.readings[n].travel });
    }
    told::told(&places, &found, &layout)
}

/// The readings with the arm's angle at each.
struct Places<'a> {
    question: &'a Question,
    arms: Vec<Angle>,
    slacks_mm: Vec<f64>,
}

impl<'a> Places<'a> {
    fn of(question: &'a Question) -> Result<Self, Untold> {
        let readings = &question.readings;
        let mut travels: Vec<f64> = readings.iter().map(|reading| reading.travel.mm()).collect();
        travels.sort_by(f64::total_cmp);
        travels.dedup();
        let needed = if question.fits_slider { MOST } else { RADIUS };
        if travels.len() < needed {
            return Err(Untold::TooFew {
                places: travels.len(),
                needed,
                next: told::furthest(&question.swing, &travels),
            });
        }
        let arms: Result<Vec<Angle>, _> =
            readings.iter().map(|reading| question.swing.angle_at(reading.travel)).collect();
        let slacks_mm = readings.iter().map(|reading| reading.slack.mm()).collect();
        Ok(Self { question, arms: arms.map_err(|_| Untold::NoFit)?, slacks_mm })
    }

    const fn count(&self) -> usize {
        if self.question.fits_slider { MOST } else { RADIUS }
    }

    /// The drive of some unknowns, where it can be built.
    fn layout(&self, at: &Vector) -> Option<Layout> {
        let sheet = self.question.sheet;
        let slider = match sheet.slider {
            Some(slider) if self.question.fits_slider => {
                (at[RADIUS] > 0.0).then_some(())?;
                Some(Slider { radius: Length::from_mm(at[RADIUS]), ..slider })
            }
            given => given,
        };
        let layout = Layout::new(&Sheet {
            countershaft_x: Length::from_mm(at[AHEAD]),
            countershaft_z: Length::from_mm(at[OVER]),
            slider,
            ..sheet
        });
        let swing = &self.question.swing;
        layout.possible(swing.compression, swing.extension).ok().map(|()| layout)
    }

    /// What would be read at each of some arm angles; `None` where the chain is taut at one of them.
    fn slacks(&self, at: &Vector, arms: &[Angle]) -> Option<Vec<f64>> {
        let layout = self.layout(at)?;
        arms.iter().map(|arm| slack_mm(&layout, *arm, at[LOOP])).collect()
    }

    /// The best of the fits from all starts.
    fn best(&self) -> Option<Least> {
        let radii: &[f64] = if self.question.fits_slider { &START_RADII_MM } else { &[0.0] };
        let starts = radii.iter().flat_map(|radius| STARTS_MM.map(|[x, z]| [0.0, x, z, *radius]));
        let model = |at: &Vector| self.slacks(at, &self.arms);
        let fits = starts.filter_map(|start| {
            let start = self.with_loop(start)?;
            least(&model, &self.slacks_mm, start, self.count())
        });
        fits.min_by(|one, other| one.sum().total_cmp(&other.sum()))
    }

    /// The start with as much chain as its readings tell on average, slack at every one of them.
    fn with_loop(&self, start: Vector) -> Option<Vector> {
        let layout = self.layout(&start)?;
        let taut: Vec<f64> = self.arms.iter().map(|arm| layout.taut_length(*arm).mm()).collect();
        let told = self.arms.iter().zip(&self.slacks_mm).map(|(arm, slack_mm)| {
            let surplus = free::surplus(layout.span(*arm), Length::from_mm(*slack_mm), free::MID);
            layout.taut_length(*arm).mm() + surplus.mm()
        });
        #[expect(clippy::cast_precision_loss, reason = "a few readings")]
        let mean = told.sum::<f64>() / self.arms.len() as f64;
        let longest = taut.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let [_, x, z, radius] = start;
        Some([mean.max(longest + START_SURPLUS_MM), x, z, radius])
    }

    /// What must be read on the stand with some unknowns.
    fn needs(&self, layout: &Layout) -> Required {
        let swing = &self.question.swing;
        required(layout, swing, swing.extension, self.question.margin)
    }
}

fn slack_mm(layout: &Layout, arm: Angle, loop_mm: f64) -> Option<f64> {
    let surplus = Length::from_mm(loop_mm) - layout.taut_length(arm);
    (surplus.mm() > 0.0).then(|| free::slack(layout.span(arm), surplus, free::MID).mm())
}

/// The part of a matrix that belongs to x, z and radius.
fn geometry_of(matrix: &Matrix) -> [[f64; 3]; 3] {
    let [_, ahead, over, radius] = matrix;
    [ahead, over, radius].map(|line| [line[AHEAD], line[OVER], line[RADIUS]])
}

#[cfg(test)]
mod tests;
