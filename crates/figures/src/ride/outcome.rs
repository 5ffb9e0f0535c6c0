//! `ride.outcome`: whether a change of gearing did what was forecast.

use measure::bounds::ride as bounds;
use ride::outcome::{Bin, FEWEST, MOST, MOST_BINS, Outcome, Rides, Table, TableFault, judge};
use serde_json::{Value, json};

use crate::{Answer, Field, Figure, Given, Refusal};

const TABLES: [&str; 4] = ["recorded_a", "recorded_b", "predicted_a", "predicted_b"];
/// How sure the interval shall be where nothing is said.
const USUAL_INTERVAL: f64 = 0.9;

pub(super) const FIGURE: Figure = Figure {
    name: "ride.outcome",
    says: "Whether a change of gearing did what was forecast, from stretches ridden on both pairs.",
    given: &[
        Field::any(TABLES[0])
            .meaning("2 to 16 matched stretches on the old pair, each a number or a list of 1 to 64 bins"),
        Field::any(TABLES[1]).meaning("the same stretches on the new pair"),
        Field::any(TABLES[2]).meaning("forecast for the old pair"),
        Field::any(TABLES[3]).meaning("forecast for the new pair"),
        Field::number("interval", &bounds::INTERVAL).optional("0.9").meaning("how sure the interval shall be"),
        Field::whole("main_bin", &bounds::MAIN_BIN)
            .optional("1")
            .meaning("the bin that is judged, from 1; name it before looking at the others"),
    ],
    answer: &[
        ("stretches", "matched stretches"),
        ("coverage_pct", "what the intervals cover, %; null with too few stretches"),
        ("verdict", "of the main bin: held, missed or cannot_say"),
        (
            "bins",
            "list of {recorded_change, predicted_change, miss, p_no_change, p_as_forecast, change_low, change_high, \
             miss_low, miss_high (these four absent with too few stretches), verdict}",
        ),
        ("misfit_a", "recorded against forecast on the old pair: half the sum of the bins' differences, mean"),
        ("misfit_b", "the same on the new pair"),
    ],
    formula: "chances: share of all 2^n choices of signs; interval: k-th smallest to k-th largest mean of all \
              subsets, k = floor((1 − interval)/2 · 2^n); missed if the interval of recorded less forecast leaves \
              out 0, held if not and that of recorded leaves out 0 on the forecast side",
    sources: &["sign-flips"],
    ask,
};

/// The rows of a table: a number stands for a row of one bin.
fn table(given: &Given<'_>, name: &'static str) -> Result<Table, Refusal> {
    let value = given.raw(name).ok_or_else(|| Refusal::missing(name))?;
    let stretches = value.as_array().ok_or_else(|| Refusal::wrong_type(name, value, "a list of stretches"))?;
    let rows = stretches.iter().map(|stretch| row(name, stretch)).collect::<Result<Vec<_>, _>>()?;
    Table::new(rows).map_err(|fault| {
        let text = match fault {
            TableFault::Stretches(count) => {
                format!("{name} has {count} stretches; {FEWEST} to {MOST} are possible. Match more rides, or leave some out.")
            }
            TableFault::Bins(count) => format!("{name} has {count} bins in each stretch; 1 to {MOST_BINS} are possible."),
            TableFault::Ragged(stretch) => {
                format!("{name}: stretch {stretch} has another count of bins than the first. Give the same bins in each.")
            }
        };
        Refusal::new(name, "no_table", text)
    })
}

fn row(name: &str, stretch: &Value) -> Result<Vec<f64>, Refusal> {
    let number = |value: &Value| {
        let real = value.as_f64().ok_or_else(|| Refusal::wrong_type(name, value, "a number"))?;
        if bounds::STRETCH_VALUE.holds(real) {
            Ok(real)
        } else {
            Err(Refusal::out_of_range(name, real, &bounds::STRETCH_VALUE))
        }
    };
    stretch.as_array().map_or_else(|| number(stretch).map(|one| vec![one]), |bins| bins.iter().map(number).collect())
}

fn ask(given: &Given<'_>) -> Result<Answer, Refusal> {
    let [a, b, c, d] = TABLES.map(|name| table(given, name));
    let tables = [a?, b?, c?, d?];
    let (stretches, bins) = tables[0].shape();
    for (name, table) in TABLES.iter().zip(&tables) {
        let found = table.shape();
        if found != (stretches, bins) {
            let text = format!(
                "{name} has {} stretches of {} bins, {} has {stretches} of {bins}. Give the same stretches and bins.",
                found.0, found.1, TABLES[0]
            );
            return Err(Refusal::new(*name, "shape", text));
        }
    }
    let main = usize::try_from(given.opt_whole("main_bin").unwrap_or(1)).unwrap_or(usize::MAX);
    let [recorded_a, recorded_b, predicted_a, predicted_b] = &tables;
    let rides = Rides { recorded_a, recorded_b, predicted_a, predicted_b };
    let beyond = || {
        let text = format!("main_bin is {main}; 1 to {bins} is possible. Name one of the bins given.");
        Refusal::new("main_bin", "out_of_range", text)
    };
    if main > bins {
        return Err(beyond());
    }
    let outcome = judge(rides, given.num_or("interval", USUAL_INTERVAL)).ok_or_else(beyond)?;
    let judged = main.checked_sub(1).and_then(|index| outcome.bins.get(index)).ok_or_else(beyond)?;
    Ok(answer(&outcome, judged))
}

fn answer(outcome: &Outcome, main: &Bin) -> Answer {
    Answer::new()
        .json("stretches", outcome.stretches)
        .num_or_null("coverage_pct", outcome.coverage_pct)
        .text("verdict", main.verdict.word())
        .json("bins", outcome.bins.iter().map(bin).collect::<Vec<_>>())
        .num("misfit_a", outcome.misfit_a)
        .num("misfit_b", outcome.misfit_b)
        .notice_if(outcome.coverage_pct.is_none(), "too_few_stretches", || {
            format!(
                "{} stretches are too few for an interval that sure; ride more, or ask for less.",
                outcome.stretches
            )
        })
}

fn bin(bin: &Bin) -> Value {
    let mut value = json!({
        "recorded_change": bin.recorded_change,
        "predicted_change": bin.predicted_change,
        "miss": bin.miss,
        "p_no_change": bin.p_no_change,
        "p_as_forecast": bin.p_as_forecast,
    });
    if let Some((change, miss)) = bin.intervals {
        value["change_low"] = json!(change.low);
        value["change_high"] = json!(change.high);
        value["miss_low"] = json!(miss.low);
        value["miss_high"] = json!(miss.high);
    }
    value["verdict"] = json!(bin.verdict.word());
    value
}
