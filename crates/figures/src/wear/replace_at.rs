//! `life.replace_at`: the best age for a planned change of one part.

use measure::bounds::wear as bounds;
use upkeep::life::{PlannedChange, Weibull, replace_at};

use super::money;
use crate::{Answer, Field, Figure, Given, Refusal};

pub(super) const FIGURE: Figure = Figure {
    name: "life.replace_at",
    says: "The age at which a planned change of one part costs least per hour, or that running to the limit does.",
    given: &[
        Field::number("shape", &bounds::SHAPE),
        Field::number("scale_h", &bounds::LIFE),
        Field::number("planned_minor", &bounds::MONEY_SOME).meaning("all that a planned change costs"),
        Field::number("failed_minor", &bounds::MONEY_SOME).meaning("all that a failure costs"),
        money::CURRENCY,
    ],
    answer: &[
        ("policy", "replace_at or run_to_limit"),
        ("replace_at_h", "age of the planned change, h (not with run_to_limit)"),
        ("cost_per_h_minor", "cost per hour of that policy"),
        ("run_to_limit_per_h_minor", "cost per hour of running to the limit"),
        ("currency", "as given"),
    ],
    formula: "C(T) = (Cp R + Cf F)/int R, least where h int R - F = Cp/(Cf - Cp); an age beyond 5 scales: run to the limit",
    sources: &["age-replacement"],
    ask,
};

fn ask(given: &Given<'_>) -> Result<Answer, Refusal> {
    let currency = money::currency(given)?;
    let lives = Weibull { shape: given.num("shape")?, scale: given.num("scale_h")? };
    let change = PlannedChange { planned: given.num("planned_minor")?, failed: given.num("failed_minor")? };
    let policy = replace_at(&lives, change);
    Ok(Answer::new()
        .text("policy", if policy.at.is_some() { "replace_at" } else { "run_to_limit" })
        .num_if("replace_at_h", policy.at)
        .num("cost_per_h_minor", policy.rate)
        .num("run_to_limit_per_h_minor", policy.run_to_limit)
        .text("currency", currency)
        .notice_if(policy.at.is_none(), "no_gain_from_age", || {
            format!(
                "With shape {} and costs of {} planned, {} failed, no age gains anything: run it to its limit.",
                lives.shape, change.planned, change.failed
            )
        }))
}
