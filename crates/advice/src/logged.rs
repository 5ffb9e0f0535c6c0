//! A logger's gears beside the model's: what was in is known there, and shows how far the replay may be believed.

use serde::Serialize;
use serde_json::Value;
use upkeep::bike::Bike;

use crate::ask::{Gap, ask, from_sheet, with};
use crate::fact::{Cell, Column, Fact, Table};
use crate::replay;
use crate::rides::{Rides, Weighed};
use crate::words::{number, pct};
use crate::{Block, Setup};

/// What a logger recorded beside the track, sample by sample.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Log {
    /// Engine speed.
    pub rpm: Vec<f64>,
    /// Ground speed of the same samples, m/s.
    pub speed_mps: Vec<f64>,
}

/// Known gears beside the model's.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LoggedView {
    /// What was fitted on the ride.
    pub setup: Setup,
    /// Share of the moving samples whose gear is known, %.
    pub known_pct: f64,
    /// Share of the known samples in each gear, %.
    pub gear_pct: Vec<f64>,
    /// Share of the time in each gear by the replay, %; none without a replay.
    pub model_gear_pct: Option<Vec<f64>>,
    /// Half the sum of the differences, points; none without a replay.
    pub misfit_pct: Option<f64>,
    /// The same in words.
    pub facts: Vec<Fact>,
    /// Gear by gear.
    pub table: Table,
    /// What to know.
    pub notes: Vec<String>,
}

/// Lays a log beside the replay of its ride on what was fitted then.
///
/// # Errors
/// The field that is missing or impossible.
pub fn view(bike: &Bike, weighed: &Weighed<'_>, log: &Log) -> Result<LoggedView, Gap> {
    let setup = weighed.ride.fitted.map_or_else(|| Setup::fitted(bike), Ok)?;
    let mut notes = Vec::new();
    let alone = Rides { all: vec![Weighed { weight: 1.0, age_d: None, ..*weighed }], ..Rides::default() };
    let model_gear_pct = match replay::of(bike, &alone, &[setup]) {
        Ok(replay) => replay.pairs.first().map(|pair| pair.gear_pct.clone()),
        Err(gap) => {
            notes.push(format!("No replay to compare with: {}", gap.text));
            None
        }
    };
    let given = setup.give_pair(from_sheet(bike, &["primary", "gears", "rollout_m"]));
    let given = with(with(given, "rpm", log.rpm.clone()), "speed_mps", log.speed_mps.clone());
    let given = match &model_gear_pct {
        Some(model) => with(given, "model_gear_pct", model.clone()),
        None => given,
    };
    let answer = ask("ride.known_gears", &given)?;
    let shares = answer.at("gear_pct").and_then(Value::as_array).cloned().unwrap_or_default();
    let gear_pct: Vec<f64> = shares.iter().filter_map(Value::as_f64).collect();
    let known_pct = answer.get("known_pct").unwrap_or_default();
    let misfit_pct = answer.get("misfit_pct");
    notes.extend(answer.notices.iter().map(|notice| notice.text.clone()));
    notes
        .push("Where the clutch slips or the wheel spins no gear is known; wheel slip counts as none here.".to_owned());
    Ok(LoggedView {
        facts: facts(setup, known_pct, misfit_pct),
        table: table(&gear_pct, model_gear_pct.as_deref()),
        setup,
        known_pct,
        gear_pct,
        model_gear_pct,
        misfit_pct,
        notes,
    })
}

fn facts(setup: Setup, known_pct: f64, misfit_pct: Option<f64>) -> Vec<Fact> {
    let mut facts = vec![
        Fact::new("known_pct", "Moving samples whose gear is known", pct(known_pct), known_pct)
            .because(format!(
                "engine speed over ground speed is within 5 % of a gear's ratio on {}",
                setup.pair_words()
            ))
            .sure("recorded, not modelled")
            .unless("another fitted pair, another rollout")
            .says("ride.known_gears"),
    ];
    if let Some(misfit) = misfit_pct {
        facts.push(
            Fact::new("misfit_pct", "The model is off by", format!("{} points", number(misfit, 0)), misfit)
                .because("half the sum of the differences gear by gear; 0 is the same, 100 nothing in common")
                .sure("one ride of one rider: the model knows a ride's demand, not a rider's habit")
                .unless("more logged rides")
                .says("ride.known_gears"),
        );
    }
    facts
}

fn table(known: &[f64], model: Option<&[f64]>) -> Table {
    let columns = vec![
        Column::words("gear", "Gear"),
        Column::numbers("known_pct", "Recorded, %"),
        Column::numbers("model_pct", "By the model, %"),
    ];
    let mut table = Table::new("logged", "Time in each gear, recorded and by the model", columns);
    for (at, share) in known.iter().enumerate() {
        table.rows.push(vec![
            Cell::words((at + 1).to_string()),
            Cell::number(*share, 0),
            Cell::maybe(model.and_then(|model| model.get(at)).copied(), 0),
        ]);
    }
    table
}

impl LoggedView {
    /// The view in reading order.
    #[must_use]
    pub fn blocks(&self) -> Vec<Block<'_>> {
        vec![
            Block::Heading("Which gear was in"),
            Block::Facts(&self.facts),
            Block::Table(&self.table),
            Block::List(self.notes.clone()),
        ]
    }
}
