//! `slack.fitted`: countershaft place and slider from readings of slack along the travel, and what they make of the
//! requirement.

use drive::slack::fitted::{At, Fitted, Question, Unknown, Untold, fit};
use drive::slack::{Point, Swing};
use measure::Length;
use measure::bounds::slack as bound;
use measure::shown::{quantity, written};
use serde_json::{Value, json};

use super::fields::{ARM, DEFAULT_MARGIN_MM, DROOP, FRONT_TEETH, GEOMETRY, MARGIN, PITCH, REAR_TEETH, TRAVEL};
use super::geometry::{large_slack, noted, placed_at, sheet, slider, slider_of, swing};
use crate::{Answer, Field, Figure, Given, Refusal};

/// Standard error of a reading by hand; the tool's own assumption, common practice.
const DEFAULT_ERROR_MM: f64 = 1.0;
/// Standard errors on either side that hold nine of ten.
const NINE_OF_TEN: f64 = 1.644_853_626_951_472_2;

const ASKED: [Field; 14] = [
    Field::numbers("travels_mm", &bound::TRAVEL).meaning("wheel travel from full extension at each reading"),
    Field::numbers("slacks_mm", &bound::SLACK)
        .meaning("slack read at each, mid lower run, total, the axle untouched between them"),
    ARM,
    PITCH,
    FRONT_TEETH,
    REAR_TEETH,
    GEOMETRY[6],
    GEOMETRY[7],
    GEOMETRY[8],
    GEOMETRY[9],
    DROOP,
    TRAVEL,
    MARGIN,
    Field::number("reading_error_mm", &bound::READING_SPREAD)
        .optional("1.0")
        .meaning("standard error of one reading, the wheel's place included; the default is the tool's own"),
];

const FIT_SLIDER: Field = Field::flag("fit_slider")
    .optional("false")
    .meaning("the radius of the pin line on the slider is to be told by the readings, and not given");

pub(super) const FIGURE: Figure = Figure {
    name: "slack.fitted",
    says: "Where the countershaft lies, and how large the slider is if asked, by readings of slack along the travel; \
           how sure that is, and the reading needed on the stand with its error.",
    given: &super::fields::joined::<15>(&ASKED, &[FIT_SLIDER]),
    answer: &[
        ("countershaft_x_mm", "countershaft ahead of the pivot"),
        ("countershaft_x_error_mm", "its standard error"),
        ("countershaft_z_mm", "countershaft above the pivot"),
        ("countershaft_z_error_mm", "its standard error"),
        ("slider_radius_mm", "with fit_slider: radius of the pin line on the slider"),
        ("slider_radius_error_mm", "with fit_slider: its standard error"),
        ("covariance_mm2", "rows and columns x, z and, with fit_slider, radius"),
        ("loop_mm", "the chain that there is, all round"),
        ("expected_mm", "what the fitted drive reads at each place"),
        ("scatter_mm", "what the readings scatter by; null with no more readings than unknowns"),
        ("odd_travel_mm", "travel of the reading that does not go with the others; null if none stands out"),
        ("odd_expected_mm", "what the others say should be read there"),
        ("tightest_deg", "arm angle at the tightest place; null where every place is alike"),
        ("demand_mm", "surplus that the travel takes from the stand to the tightest place"),
        ("demand_error_mm", "its standard error"),
        ("required_slack_mm", "slack wanted on the stand, mid lower run"),
        ("required_slack_error_mm", "its standard error"),
        ("required_slack_low_mm", "nine of ten lie above this and below the next"),
        ("required_slack_high_mm", "the upper end"),
        ("next_travel_mm", "a further reading at this travel narrows the slack wanted most"),
        ("next_slack_error_mm", "the standard error that it would leave"),
    ],
    formula: "least Σ (F_i - √(2 a_i e_i + e_i²))², e_i = loop - L_taut(φ_i; x, z, radius), over x, z, loop and radius; \
              covariance s² (JᵀJ)⁻¹ with s the larger of reading error and scatter; band of a figure g: \
              √(∇gᵀ covariance ∇g), times 1.645 both ways for nine of ten",
    sources: &["geometry", "ours"],
    ask,
};

fn ask(given: &Given<'_>) -> Result<Answer, Refusal> {
    let question = question(given)?;
    let fitted = fit(&question).map_err(|untold| refused(untold, given))?;
    let answer = places(Answer::new(), &fitted);
    let answer = readings(answer, &fitted, &question);
    let answer = wanted(answer, &fitted);
    let read_mm = question.readings.iter().map(|at| at.slack.mm()).fold(0.0, f64::max);
    let noted = if question.fits_slider { answer } else { noted(answer, given) };
    let answer = large_slack(placed_at(noted, fitted.countershaft, &question.swing), read_mm);
    Ok(cautioned(answer, &fitted, &question))
}

fn question(given: &Given<'_>) -> Result<Question, Refusal> {
    let fits_slider = given.flag_or("fit_slider", false);
    if fits_slider && given.has("slider_radius_mm") {
        let text = "slider_radius_mm is given and fit_slider asks the readings for it. Leave one of the two out.";
        return Err(Refusal::new("slider_radius_mm", "given_and_fitted", text));
    }
    let swing = swing(given)?;
    let slider = slider(given).or_else(|| fits_slider.then(|| slider_of(given, Length::ZERO)));
    Ok(Question {
        // The countershaft is what the readings are to tell.
        sheet: sheet(given, Point::new(0.0, 0.0), slider)?,
        readings: read(given, &swing)?,
        swing,
        error: Length::from_mm(given.num_or("reading_error_mm", DEFAULT_ERROR_MM)),
        margin: Length::from_mm(given.num_or("margin_mm", DEFAULT_MARGIN_MM)),
        fits_slider,
    })
}

/// The readings as pairs, each inside the travel.
fn read(given: &Given<'_>, swing: &Swing) -> Result<Vec<At>, Refusal> {
    let (travels, slacks) = (given.numbers("travels_mm"), given.numbers("slacks_mm"));
    if travels.len() != slacks.len() {
        let text = format!(
            "slacks_mm has {} readings for {} places in travels_mm. Give one for each.",
            slacks.len(),
            travels.len()
        );
        return Err(Refusal::new("slacks_mm", "not_as_many", text));
    }
    let whole_mm = given.mm("travel_mm")?.mm();
    if let Some(beyond) = travels.iter().find(|travel| **travel > whole_mm) {
        let text = format!("travels_mm {beyond} is more than travel_mm {whole_mm}. Measure from full extension.");
        return Err(Refusal::new("travels_mm", "outside_travel", text));
    }
    let pairs = travels.iter().zip(&slacks);
    let readings = pairs.map(|(travel, slack)| At { travel: Length::from_mm(*travel), slack: Length::from_mm(*slack) });
    let readings: Vec<At> = readings.collect();
    for at in &readings {
        swing.angle_at(at.travel).map_err(super::geometry::refusal)?;
    }
    Ok(readings)
}

/// Where everything lies, and how sure that is.
fn places(answer: Answer, fitted: &Fitted) -> Answer {
    let error = |n: usize| fitted.covariance[n][n].sqrt();
    let answer = answer
        .num("countershaft_x_mm", fitted.countershaft.x_mm)
        .num("countershaft_x_error_mm", error(0))
        .num("countershaft_z_mm", fitted.countershaft.z_mm)
        .num("countershaft_z_error_mm", error(1))
        .num_if("slider_radius_mm", fitted.radius.map(Length::mm))
        .num_if("slider_radius_error_mm", fitted.radius.map(|_| error(2)));
    let count = if fitted.radius.is_some() { 3 } else { 2 };
    let rows: Vec<&[f64]> = fitted.covariance[..count].iter().map(|row| &row[..count]).collect();
    answer.json("covariance_mm2", json!(rows)).num("loop_mm", fitted.loop_length.mm())
}

/// What the readings say of one another.
fn readings(answer: Answer, fitted: &Fitted, question: &Question) -> Answer {
    let expected: Vec<f64> = fitted.expected.iter().map(|slack| slack.mm()).collect();
    answer
        .json("expected_mm", Value::from(expected))
        .num_or_null("scatter_mm", fitted.scatter.map(Length::mm))
        .num_or_null("odd_travel_mm", fitted.odd.map(|odd| question.readings[odd.index].travel.mm()))
        .num_or_null("odd_expected_mm", fitted.odd.map(|odd| odd.others.mm()))
}

/// What must be read on the stand.
fn wanted(answer: Answer, fitted: &Fitted) -> Answer {
    let needs = &fitted.needs;
    let slack_mm = needs.slack.slack.map(Length::mm);
    let aside = NINE_OF_TEN * fitted.slack_error.mm();
    answer
        .num_or_null("tightest_deg", (!needs.tightest.constant).then(|| needs.tightest.arm.deg()))
        .num("demand_mm", needs.demand.mm())
        .num("demand_error_mm", fitted.demand_error.mm())
        .num_or_null("required_slack_mm", slack_mm)
        .num("required_slack_error_mm", fitted.slack_error.mm())
        .num_or_null("required_slack_low_mm", slack_mm.map(|slack| (slack - aside).max(0.0)))
        .num_or_null("required_slack_high_mm", slack_mm.map(|slack| slack + aside))
        .num_or_null("next_travel_mm", fitted.next.map(|next| next.travel.mm()))
        .num_or_null("next_slack_error_mm", fitted.next.map(|next| next.error.mm()))
}

fn cautioned(answer: Answer, fitted: &Fitted, question: &Question) -> Answer {
    let error_mm = question.error.mm();
    let scatter_mm = fitted.scatter.map(Length::mm);
    answer
        .notice_if(scatter_mm.is_none(), "no_check", || {
            "there are no more readings than unknowns, so they cannot check one another. Take one more.".to_owned()
        })
        .notice_if(scatter_mm.is_some_and(|scatter| scatter > error_mm), "scatter", || {
            format!(
                "the readings scatter by {}, more than the {} given for one: all errors are widened to that.",
                quantity(scatter_mm.unwrap_or_default(), "mm", 1),
                written(error_mm, "mm")
            )
        })
        .notice_if(fitted.odd.is_some(), "odd_reading", || {
            let (read, others) = fitted.odd.map_or((question.readings[0], 0.0), |odd| {
                (question.readings[odd.index], odd.others.mm())
            });
            format!(
                "the reading at {} of travel does not go with the others: {} was read, the others say {}. Take it again.",
                written(read.travel.mm(), "mm"),
                written(read.slack.mm(), "mm"),
                quantity(others, "mm", 1)
            )
        })
        .notice(
            "arm_and_droop",
            "an arm angle that is off by some degrees turns the countershaft's place with it and leaves the slack \
             wanted where it is; the place is that of this arm and droop.",
        )
}

fn refused(untold: Untold, given: &Given<'_>) -> Refusal {
    match untold {
        Untold::TooFew { places, needed, next } => {
            let counted = if places == 1 { "1 place".to_owned() } else { format!("{places} places") };
            let text = format!(
                "travels_mm names {counted} of the travel; the unknowns need readings at {needed} or more. Take \
                 one at {:.0} mm next.",
                next.mm()
            );
            Refusal::new("travels_mm", "too_few", text)
        }
        Untold::NoFit => {
            let text = "slacks_mm: no place of the countershaft gives such readings. Check that the axle was not moved \
                        between them, that each is total movement at mid lower run, and arm, droop and teeth.";
            Refusal::new("slacks_mm", "no_fit", text)
        }
        Untold::Rests { travel } => {
            let text = format!(
                "travels_mm {}: the lower run rests on the slider there when taut, so its slack tells nothing. Leave \
                 that reading out.",
                travel.mm()
            );
            Refusal::new("travels_mm", "rests_on_slider", text)
        }
        Untold::CannotTell { unknown, error, next } => {
            let (field, what) = match unknown {
                Unknown::Ahead => ("travels_mm", "how far the countershaft lies ahead of the pivot"),
                Unknown::Over => ("travels_mm", "how high the countershaft lies over the pivot"),
                Unknown::Radius => ("fit_slider", "the slider's radius"),
            };
            let known = error.map_or("not at all".to_owned(), |error| format!("only to ±{:.0} mm", error.mm()));
            let help = match next {
                Some(next) => format!(
                    "One more reading at {:.0} mm of travel would tell it to ±{:.0} mm.",
                    next.travel.mm(),
                    next.error.mm()
                ),
                None if given.flag_or("fit_slider", false) => {
                    "No single further reading tells it: give slider_radius_mm by the tape.".to_owned()
                }
                None => "No single further reading tells it: spread them over the whole travel.".to_owned(),
            };
            Refusal::new(field, "cannot_tell", format!("{field}: the readings tell {what} {known}. {help}"))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nine_of_ten_of_a_bell_lie_within_the_factor() {
        // Simpson's rule over the bell between -f and f.
        let steps = 2000;
        let width = 2.0 * NINE_OF_TEN / f64::from(steps);
        let bell = |x: f64| (-x * x / 2.0).exp() / std::f64::consts::TAU.sqrt();
        let sum: f64 = (0..=steps)
            .map(|n| {
                let weight = if n == 0 || n == steps {
                    1.0
                } else if n % 2 == 1 {
                    4.0
                } else {
                    2.0
                };
                weight * bell(-NINE_OF_TEN + f64::from(n) * width)
            })
            .sum();
        assert!((sum * width / 3.0 - 0.9).abs() < 1e-9);
    }
}
