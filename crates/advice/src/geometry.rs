//! Where the countershaft lies, told by readings of slack along the travel instead of a tape: each figure with what it
//! may be off by, the reading needed on the stand with its band, and the figures as the bike sheet would keep them.

use jiff::civil::Date;
use serde::Serialize;
use serde_json::Value;
use upkeep::bike::{self, Bike, Change};

use crate::ask::{Gap, Given, ask, from_sheet, with};
use crate::block::Block;
use crate::fact::{Cell, Column, Fact, Table};
use crate::setup::Setup;
use crate::slack::{MARGIN_MM, READING_ERROR_MM};
use crate::words::{count, digits, mm, number, quantity};

/// The figure that says all of it.
const FIGURE: &str = "slack.fitted";
/// Fields of the sheet that are given and not told.
const GIVEN: [&str; 8] = [
    "pitch_mm",
    "elongation_pct",
    "arm_mm",
    "slider_u_mm",
    "slider_w_mm",
    "slider_radius_mm",
    "droop_deg",
    "travel_mm",
];
/// Standard errors on either side that hold nine of ten.
const NINE_OF_TEN: f64 = 1.645;

/// What was read.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Asked {
    /// Wheel travel from full extension and the slack read there, mid lower run, axle untouched.
    pub readings_mm: Vec<[f64; 2]>,
    /// Whether the slider's radius is to be told, too.
    pub fits_slider: bool,
}

/// A figure as the sheet would keep it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Told {
    /// The field of the sheet.
    pub field: &'static str,
    /// Its value, mm, to a hundredth.
    pub value: f64,
    /// What the sheet says now.
    pub before: Option<f64>,
}

/// What the readings tell.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct GeometryView {
    /// The figures in words, the deciding one first.
    pub facts: Vec<Fact>,
    /// Reading by reading: what was read and what the told geometry reads.
    pub table: Table,
    /// What the sheet would keep.
    pub told: Vec<Told>,
    /// Where it would say that it comes from.
    pub source: String,
    /// What to know before it is kept.
    pub notes: Vec<String>,
}

/// What readings along the travel tell of this bike.
///
/// Where they do not tell the slider's radius, the sheet's own stands and a note says why.
///
/// # Errors
/// The field that is missing or impossible, or what the readings do not tell.
pub fn view(bike: &Bike, asked: &Asked, today: Date) -> Result<GeometryView, Gap> {
    let given = given(bike, asked)?;
    let mut notes = Vec::new();
    let answer = if asked.fits_slider {
        match ask(FIGURE, &to_be_told(&given)) {
            Ok(answer) => answer,
            Err(why) => {
                let answer = ask(FIGURE, &given).map_err(|_| why.clone())?;
                notes.push(format!("The slider stays as the sheet has it. {}", why.text));
                answer
            }
        }
    } else {
        ask(FIGURE, &given)?
    };
    notes.extend(answer.notices.iter().map(|notice| notice.text.clone()));
    Ok(GeometryView {
        facts: facts(bike, &answer, asked.readings_mm.len()),
        table: table(asked, &answer),
        told: told(bike, &answer),
        source: format!("fitted from {} on {today}", count(asked.readings_mm.len(), "reading")),
        notes,
    })
}

impl GeometryView {
    /// The changes that put the told figures on the sheet, each with its source.
    #[must_use]
    pub fn changes(&self) -> Vec<Change> {
        let change = |told: &Told| Change {
            field: told.field.to_owned(),
            value: Some(bike::Value::Number(told.value)),
            source: Some(self.source.clone()),
        };
        self.told.iter().map(change).collect()
    }

    /// The view in reading order.
    #[must_use]
    pub fn blocks(&self) -> Vec<Block<'_>> {
        vec![
            Block::Heading("Where the countershaft lies"),
            Block::List(self.notes.clone()),
            Block::Facts(&self.facts),
            Block::Table(&self.table),
            Block::Text(self.keeping()),
        ]
    }

    /// What keeping it would change.
    #[must_use]
    pub fn keeping(&self) -> String {
        let one = |told: &Told| {
            let before = told.before.map_or_else(|| "not known".to_owned(), |before| number(before, 2));
            format!("{} {} → {}", told.field, before, number(told.value, 2))
        };
        let all: Vec<String> = self.told.iter().map(one).collect();
        format!("For the bike sheet: {} ({}).", all.join(", "), self.source)
    }
}

fn given(bike: &Bike, asked: &Asked) -> Result<Given, Gap> {
    let list = |n: usize| -> Value { asked.readings_mm.iter().map(|reading| reading[n]).collect() };
    let given = Setup::fitted(bike)?.give_pair(from_sheet(bike, &GIVEN));
    let given = with(with(given, "travels_mm", list(0)), "slacks_mm", list(1));
    Ok(with(with(given, "margin_mm", MARGIN_MM), "reading_error_mm", READING_ERROR_MM))
}

/// The same with the slider's radius asked for instead of given.
fn to_be_told(given: &Given) -> Given {
    let mut given = given.clone();
    given.remove("slider_radius_mm");
    with(given, "fit_slider", true)
}

fn facts(bike: &Bike, answer: &figures::Answer, readings: usize) -> Vec<Fact> {
    let get = |key: &str| answer.get(key).unwrap_or_default();
    let scatter = answer.get("scatter_mm").map_or_else(
        || "with no reading to spare nothing checks them".to_owned(),
        |scatter| format!("they scatter by {}", mm(scatter)),
    );
    let sure = format!(
        "nine of ten such bands hold the true figure; {}, each taken good to {}; {scatter}",
        count(readings, "reading"),
        mm(READING_ERROR_MM)
    );
    let mut facts = vec![required(answer, &sure)];
    for (key, label) in PLACES {
        if let Some(value) = answer.get(key) {
            let text = band(value, get(&key.replace("_mm", "_error_mm")), 1);
            facts.push(Fact::new(key, label, text, value).because(on_sheet(bike, key)).sure(sure.clone()).says(FIGURE));
        }
    }
    facts.push(
        Fact::new(
            "demand_mm",
            "Chain that the travel takes",
            band(get("demand_mm"), get("demand_error_mm"), 2),
            get("demand_mm"),
        )
        .because("from the stand to the tightest place; arm and droop hardly matter to it")
        .sure(sure)
        .unless("other sprockets with the slider touching")
        .says(FIGURE),
    );
    facts.extend(next(answer));
    facts
}

/// What is told, with what it is called.
const PLACES: [(&str, &str); 3] = [
    ("countershaft_x_mm", "Countershaft ahead of the pivot"),
    ("countershaft_z_mm", "Countershaft over the pivot"),
    ("slider_radius_mm", "Slider, radius of the pin line"),
];

fn required(answer: &figures::Answer, sure: &str) -> Fact {
    let label = format!("Slack on the stand for {} left at the tightest place", mm(MARGIN_MM));
    let Some(slack_mm) = answer.get("required_slack_mm") else {
        return Fact::unknown(
            "required_slack_mm",
            label,
            "the lower run rests on the slider there: read a gap instead",
        );
    };
    let get = |key: &str| answer.get(key).unwrap_or_default();
    Fact::new("required_slack_mm", label, band(slack_mm, get("required_slack_error_mm"), 1), slack_mm)
        .because(format!(
            "between {} and {}: the place of the countershaft is known no better",
            digits(get("required_slack_low_mm"), "mm", 1),
            mm(get("required_slack_high_mm"))
        ))
        .sure(sure)
        .unless("another reading, other teeth, the margin (the tool's own)")
        .says(FIGURE)
}

/// The further reading that narrows the requirement most.
fn next(answer: &figures::Answer) -> Option<Fact> {
    let (travel, error) = answer.get("next_travel_mm").zip(answer.get("next_slack_error_mm"))?;
    let text = quantity(travel, "mm", 0);
    Some(
        Fact::new("next_travel_mm", "Travel to read at next", text, travel)
            .because(format!("one more reading there leaves ±{} of slack", mm(NINE_OF_TEN * error)))
            .says(FIGURE),
    )
}

fn on_sheet(bike: &Bike, field: &str) -> String {
    match bike.get(field).zip(bike.number(field)) {
        Some((entry, value)) => {
            let source = entry.source.clone().unwrap_or_else(|| "no source given".to_owned());
            format!("the sheet says {} ({source})", quantity(value, "mm", 2))
        }
        None => "the sheet does not have it".to_owned(),
    }
}

fn band(value: f64, error: f64, decimals: usize) -> String {
    format!("{} ± {}", digits(value, "mm", decimals), quantity(NINE_OF_TEN * error, "mm", decimals))
}

fn table(asked: &Asked, answer: &figures::Answer) -> Table {
    let mut table = Table::new(
        "readings",
        "What was read, and what the told geometry reads there",
        vec![
            Column::of("travel_mm", "Travel", "mm"),
            Column::of("slack_mm", "Read", "mm"),
            Column::of("expected_mm", "Told", "mm"),
            Column::of("off_mm", "Off", "mm"),
        ],
    );
    let expected = answer.at("expected_mm").and_then(Value::as_array).into_iter().flatten().filter_map(Value::as_f64);
    for ([travel, slack], expected) in asked.readings_mm.iter().zip(expected) {
        table.rows.push(vec![
            Cell::of(*travel, "mm", 0),
            Cell::of(*slack, "mm", 1),
            Cell::of(expected, "mm", 1),
            Cell::signed_of(slack - expected, "mm", 1),
        ]);
    }
    table
}

fn told(bike: &Bike, answer: &figures::Answer) -> Vec<Told> {
    let hundredth = |value: f64| (value * 100.0).round() / 100.0;
    let one = |(field, _): (&'static str, &str)| {
        Some(Told { field, value: hundredth(answer.get(field)?), before: bike.number(field) })
    };
    PLACES.into_iter().filter_map(one).collect()
}

#[cfg(test)]
mod tests {
    use jiff::civil::date;

    use super::*;

    /// What the demo's first bike reads with 1.2 mm left at its tightest place, some tenths added and taken away.
    const READ: [[f64; 2]; 6] = [[0.0, 88.8], [50.0, 69.5], [100.0, 52.0], [150.0, 41.3], [200.0, 45.1], [240.0, 55.9]];

    fn alder() -> Bike {
        Bike::from_toml(include_str!("../../../data/bikes/alder-350.toml")).expect("a bike")
    }

    #[test]
    fn readings_tell_the_place_and_say_what_the_sheet_has() {
        let asked = Asked { readings_mm: READ.to_vec(), fits_slider: false };
        let view = view(&alder(), &asked, date(2026, 9, 24)).expect("told");
        let told: Vec<_> = view.told.iter().map(|told| (told.field, told.before)).collect();
        assert_eq!(told, [("countershaft_x_mm", Some(78.8)), ("countershaft_z_mm", Some(7.95))]);
        assert!((view.told[0].value - 78.8).abs() < 8.0 && (view.told[1].value - 7.95).abs() < 2.0, "{:?}", view.told);
        assert!(view.facts[0].text.contains(" ± "), "{}", view.facts[0].text);
        assert_eq!(view.source, "fitted from 6 readings on 2026-09-24");
        assert!(view.changes().iter().all(|change| change.source.as_deref() == Some(view.source.as_str())));
        assert_eq!(view.table.rows.len(), 6);
    }

    #[test]
    fn a_slider_that_the_readings_do_not_tell_stays_as_it_is() {
        let clear = [[85.0, 57.1], [110.0, 48.6], [140.0, 42.2], [170.0, 40.6], [200.0, 44.7], [240.0, 55.9]];
        let asked = Asked { readings_mm: clear.to_vec(), fits_slider: true };
        let view = view(&alder(), &asked, date(2026, 9, 24)).expect("told without the slider");
        assert_eq!(view.told.len(), 2);
        assert!(view.notes[0].starts_with("The slider stays as the sheet has it."), "{:?}", view.notes);
    }

    #[test]
    fn two_readings_are_too_few_and_the_next_is_named() {
        let asked = Asked { readings_mm: READ[..2].to_vec(), fits_slider: false };
        let gap = view(&alder(), &asked, date(2026, 9, 24)).expect_err("too few");
        assert_eq!(gap.field, "travels_mm");
        assert!(gap.text.contains("300 mm next"), "{}", gap.text);
    }
}
