//! Figures of a step: the number to work to, what a captured number is held against, what is missing and where it goes.

use serde::Serialize;
use upkeep::bike::{Bike, Entry, Value};
use upkeep::job::bench::{Limit, Manual, Said, Sense, sense};
use upkeep::job::handbook::{FigureEntry, Hold};

use super::Desk;
use crate::words::{mm, unit_of, units_of, written, written_digits, written_range};

/// A figure that stands large on a step.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Big {
    /// What it is.
    pub label: String,
    /// Its number or word.
    pub value: String,
    /// Its unit; empty without one.
    pub unit: String,
    /// Where it stands.
    pub source: String,
}

/// One entry that is asked for a missing figure.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Entered {
    /// The name of its field.
    pub name: String,
    /// What is asked.
    pub label: String,
    /// Its unit; empty for words.
    pub unit: String,
    /// Whether the bike's sheet has a field for it.
    pub on_sheet: bool,
}

/// A figure that a step waits for.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Missing {
    /// Its name in the library.
    pub figure: String,
    /// What it is.
    pub text: String,
    /// What is asked for it.
    pub entries: Vec<Entered>,
}

/// Whether a figure is there: on the sheet, in the manual's figures, or given by the plan itself.
#[must_use]
pub fn is_known(bike: &Bike, manual: &[Manual], figure: &str) -> bool {
    figure == "planned-links"
        || bike.answering(figure).next().is_some()
        || manual.iter().any(|known| known.figure() == figure)
}

/// What is asked for a figure that is missing.
#[must_use]
pub fn missing(figure: &FigureEntry) -> Missing {
    let fields = upkeep::bike::FIELDS.iter().filter(|field| field.job_figure == Some(figure.id.as_str()));
    let mut entries: Vec<Entered> = fields
        .map(|field| Entered {
            name: field.name.to_owned(),
            label: field.word.to_owned(),
            unit: field.unit.to_owned(),
            on_sheet: true,
        })
        .collect();
    if entries.is_empty() {
        let unit = if is_words(figure) { String::new() } else { figure.unit.clone() };
        entries.push(Entered { name: "value".to_owned(), label: figure.text.clone(), unit, on_sheet: false });
    }
    Missing { figure: figure.id.clone(), text: figure.text.clone(), entries }
}

/// Whether the manual answers in words.
#[must_use]
pub fn is_words(figure: &FigureEntry) -> bool {
    matches!(figure.unit.as_str(), "text" | "mark")
}

/// The figures of a step as they stand large.
#[must_use]
pub fn big(desk: &Desk<'_>, figure: &FigureEntry) -> Vec<Big> {
    if figure.id == "planned-links" {
        let value = desk.bench.setup[2].to_string();
        let source = "the setup of this order".to_owned();
        return vec![Big { label: "links".to_owned(), value, unit: String::new(), source }];
    }
    let mut all: Vec<Big> = desk
        .bike
        .answering(&figure.id)
        .map(|(field, entry)| Big {
            label: field.word.to_owned(),
            value: value(&entry.value, field.unit),
            unit: entry.value.number().map_or_else(|| field.unit.to_owned(), |number| unit_of(number, field.unit)),
            source: source(entry),
        })
        .collect();
    all.extend(desk.manual.iter().filter(|known| known.figure() == figure.id).map(|known| Big {
        label: figure.text.clone(),
        value: said(known.said(), &figure.unit),
        unit: unit_said(known.said(), figure),
        source: known.source().to_owned(),
    }));
    all
}

fn source(entry: &Entry) -> String {
    entry.source.clone().unwrap_or_else(|| "bike sheet, no page given".to_owned())
}

fn value(value: &Value, unit: &str) -> String {
    match value {
        Value::Word(text) | Value::Text(text) => text.clone(),
        other => other.number().map_or_else(String::new, |number| written_digits(number, unit)),
    }
}

fn said(said: &Said, unit: &str) -> String {
    match said {
        Said::Number { low, high } if low < high => {
            format!("{} to {}", written_digits(*low, unit), written_digits(*high, unit))
        }
        Said::Number { low, .. } => written_digits(*low, unit),
        Said::Words(words) => words.clone(),
    }
}

fn unit_said(said: &Said, figure: &FigureEntry) -> String {
    match said {
        _ if is_words(figure) => String::new(),
        Said::Number { low, high } if low < high => units_of(&[*low, *high], &figure.unit, 1, " to "),
        Said::Number { low, .. } => unit_of(*low, &figure.unit),
        Said::Words(_) => figure.unit.clone(),
    }
}

fn range_of(low: f64, high: f64, unit: &str) -> String {
    if low < high { written_range(low, high, unit) } else { written(low, unit) }
}

/// What a captured number is held against; none where only the rider can say.
#[must_use]
pub fn limit(desk: &Desk<'_>, hold: &Hold) -> Option<Limit> {
    let Some(figure) = hold.accept_figure.as_deref() else {
        // The one number that the library itself bounds: something must be left.
        let above = hold.accept.as_deref().is_some_and(|accept| accept.starts_with("> 0"));
        let words = "more than 0".to_owned();
        return above.then_some(Limit { low: f64::MIN_POSITIVE, high: f64::MAX, sense: Sense::AtLeast, words });
    };
    match figure {
        "planned-links" => {
            let links = f64::from(desk.bench.setup[2]);
            let words = format!("{links} links, the setup of this order");
            Some(Limit { low: links, high: links, sense: Sense::Exactly, words })
        }
        "chain-slack" => slack(desk.bike),
        // The sheet keeps it in percent; over how many pitches was read is the rider's to say.
        "chain-wear-limit" => None,
        figure => of_sheet(desk, figure).or_else(|| of_manual(desk, figure, hold)),
    }
}

fn slack(bike: &Bike) -> Option<Limit> {
    let (low, high) = (bike.get("slack_mm_min")?, bike.get("slack_mm_max")?);
    let (least, most) = (low.value.number()?, high.value.number()?);
    let words = format!("{} ({})", written_range(least, most, "mm"), source(low));
    Some(Limit { low: least, high: most, sense: Sense::About, words })
}

fn of_sheet(desk: &Desk<'_>, figure: &str) -> Option<Limit> {
    let (field, entry) = desk.bike.answering(figure).next()?;
    let number = entry.value.number()?;
    let words = format!("{} ({})", written(number, field.unit), source(entry));
    Some(Limit { low: number, high: number, sense: sense(figure), words })
}

fn of_manual(desk: &Desk<'_>, figure: &str, hold: &Hold) -> Option<Limit> {
    let known = desk.manual.iter().find(|known| known.figure() == figure)?;
    let Said::Number { low, high } = *known.said() else { return None };
    let unit = hold.unit.as_deref().unwrap_or("N·m");
    let words = format!("{} ({})", range_of(low, high, unit), known.source());
    Some(Limit { low, high, sense: sense(figure), words })
}

/// The limit of the chain over twenty pitches, by the sheet's percent: what the rider's reading is laid beside.
#[must_use]
pub fn wear_words(bike: &Bike) -> Option<String> {
    let (pitch, limit) = (bike.number("pitch_mm")?, bike.get("limit_pct")?);
    let over = 20.0 * pitch * (1.0 + limit.value.number()? / 100.0);
    Some(format!("over 20 pitches at most {} ({})", mm(over), source(limit)))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn figure(id: &str, unit: &str) -> FigureEntry {
        FigureEntry {
            id: id.into(),
            kind: "dimension".into(),
            unit: unit.into(),
            text: "a figure".into(),
            required: true,
            fallback: "none".into(),
        }
    }

    #[test]
    fn a_missing_figure_is_asked_in_its_unit_and_one_in_words_in_none() {
        for (unit, asked, words) in [("text", "", true), ("mark", "", true), ("N·m", "N·m", false), ("mm", "mm", false)]
        {
            let figure = figure("unheard-of", unit);
            let entry = Entered { name: "value".into(), label: "a figure".into(), unit: asked.into(), on_sheet: false };
            assert_eq!(missing(&figure).entries, [entry], "{unit}");
            assert_eq!(is_words(&figure), words, "{unit}");
        }
        let on_sheet = missing(&figure("chain-slack", "mm"));
        assert!(
            !on_sheet.entries.is_empty()
                && on_sheet.entries.iter().all(|entry| entry.on_sheet && entry.name != "value")
        );
    }

    #[test]
    fn what_the_manual_says_stands_as_it_was_written_a_band_with_both_ends() {
        let (one, band) = (Said::Number { low: 25.0, high: 25.0 }, Said::Number { low: 20.0, high: 25.5 });
        let words = Said::Words("two dots in line".into());
        let mark = figure("a", "mark");
        let torque = figure("b", "N·m");
        assert_eq!(
            [said(&one, "N·m"), said(&band, "N·m"), said(&words, "mark")],
            ["25", "20 to 25.5", "two dots in line"].map(str::to_owned)
        );
        assert_eq!(unit_said(&words, &mark), "");
        assert_eq!(unit_said(&words, &torque), "N·m");
        assert_eq!(unit_said(&one, &mark), "");
        assert_eq!(unit_said(&one, &torque), unit_of(25.0, "N·m"));
        assert_eq!(unit_said(&band, &torque), units_of(&[20.0, 25.5], "N·m", 1, " to "));
        assert_eq!(range_of(25.0, 25.0, "N·m"), written(25.0, "N·m"));
        assert_eq!(range_of(20.0, 25.5, "N·m"), written_range(20.0, 25.5, "N·m"));
    }
}
