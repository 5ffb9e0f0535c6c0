//! `service.due`: days until a job is due, from the rider's own habit.

use measure::bounds::wear as bounds;
use serde_json::{Value, json};
use upkeep::due::{Amount, Counter, Date, Habit, MOST_RIDES, reaches_next_ride};

use super::inside;
use crate::{Answer, Field, Figure, Given, Refusal};

pub(super) const FIGURE: Figure = Figure {
    name: "service.due",
    says: "Days until a job is due, from how often and how long somebody rides; the earliest of its counters decides.",
    given: &[
        Field::nested("counters").meaning(
            "{kind: rides, hours, km or days, left}; hours and km also per_ride, per_ride_sd (half of per_ride), rides_known (0: no date)",
        ),
        Field::whole("rides", &bounds::RIDES).meaning("ridden in the window"),
        Field::number("window_d", &bounds::DAYS).meaning("days looked back over, best the last 90"),
        Field::number("prior_rides", &bounds::PRIOR_RIDES).optional("1"),
        Field::number("prior_d", &bounds::DAYS).optional("10"),
        Field::number("within_d", &bounds::DAYS).optional("30"),
    ],
    answer: &[
        ("rides_per_d", "rides per day"),
        ("due_low_d", "days until due with 10 % chance, d; null: cannot say"),
        ("due_median_d", "with even chance, d"),
        ("due_high_d", "with 90 % chance, d"),
        ("chance_within", "chance that it is due within within_d"),
        ("decided_by", "kind of the counter that comes first"),
        ("next_ride", "whether it may fall due within the next ride"),
        ("by_counter", "per counter: kind, low_d, median_d, high_d, chance_within"),
    ],
    formula: "rides per day ~ Gamma(prior_rides + rides, prior_d + window_d); rides: P(N >= k); hours, km: mean over N of Phi((k m - R)/(s sqrt(k + k^2/n)))",
    sources: &["riding-habit", "wear-guesses"],
    ask,
};

const KINDS: &[&str] = &["rides", "hours", "km", "days"];
/// A ride's spread as a share of its mean while fewer than two rides are known.
const SPREAD_UNKNOWN: f64 = 0.5;
/// Counters of one job.
const MOST_COUNTERS: usize = 40;

const PLAIN: &[Field] = &[Field::word("kind", KINDS), Field::number("left", &bounds::LEFT)];
const RIDES: &[Field] = &[Field::word("kind", KINDS), Field::whole("left", &bounds::LEFT)];
const AMOUNT: &[Field] = &[
    Field::word("kind", KINDS),
    Field::number("left", &bounds::LEFT),
    Field::number("per_ride", &bounds::PER_RIDE).optional("needed from the first known ride"),
    Field::number("per_ride_sd", &bounds::PER_RIDE_SD).optional("half of per_ride"),
    Field::whole("rides_known", &bounds::RIDES_KNOWN).optional("0"),
];

struct Named<'a> {
    kind: &'a str,
    left: f64,
    counter: Counter,
}

fn ask(given: &Given<'_>) -> Result<Answer, Refusal> {
    let list = inside::list(given, "counters")?;
    inside::some("counters", list.len(), "counter")?;
    inside::at_most("counters", list.len(), MOST_COUNTERS)?;
    let counters = list.iter().map(counter).collect::<Result<Vec<_>, _>>()?;
    let habit = Habit::from_window(
        given.num_or("prior_rides", 1.0),
        given.num_or("prior_d", 10.0),
        given.whole("rides")?,
        given.num("window_d")?,
    );
    let within = given.num_or("within_d", 30.0);
    let dates: Vec<Date> = counters.iter().map(|named| named.counter.date(&habit, within)).collect();
    let earliest = |of: fn(&Date) -> Option<f64>| dates.iter().filter_map(of).min_by(f64::total_cmp);
    let median = earliest(|date| date.median);
    let decided = counters.iter().zip(&dates).find(|(_, date)| median.is_some() && date.median == median);
    let answer = Answer::new()
        .num("rides_per_d", habit.rides_per_day())
        .num_or_null("due_low_d", earliest(|date| date.low))
        .num_or_null("due_median_d", median)
        .num_or_null("due_high_d", earliest(|date| date.high))
        .num_or_null("chance_within", dates.iter().filter_map(|date| date.within).max_by(f64::total_cmp))
        .json("decided_by", decided.map_or(Value::Null, |(named, _)| Value::from(named.kind)))
        .flag("next_ride", counters.iter().any(|named| reaches_next_ride(&named.counter)))
        .json("by_counter", counters.iter().zip(&dates).map(|(named, date)| row(named, date)).collect::<Vec<_>>());
    Ok(noticed(answer, &counters))
}

fn row(named: &Named<'_>, date: &Date) -> Value {
    json!({"kind": named.kind, "low_d": date.low, "median_d": date.median, "high_d": date.high,
        "chance_within": date.within})
}

fn counter(value: &Value) -> Result<Named<'_>, Refusal> {
    let fields = match value.get("kind").and_then(Value::as_str) {
        Some("rides") => RIDES,
        Some("hours" | "km") => AMOUNT,
        _ => PLAIN,
    };
    let item = inside::item("counters", value, fields)?;
    let (kind, left) = (item.text("kind")?, item.num("left")?);
    let counter = match kind {
        _ if left <= 0.0 => Counter::Overdue,
        "rides" => Counter::Rides(left),
        "days" => Counter::Days(left),
        _ => amount(&item, left)?,
    };
    Ok(Named { kind, left, counter })
}

fn amount(item: &Given<'_>, left: f64) -> Result<Counter, Refusal> {
    let rides_known = item.opt("rides_known").unwrap_or(0.0);
    if rides_known == 0.0 {
        return Ok(Counter::NoRideYet);
    }
    let per_ride = item.num("per_ride").map_err(|fault| inside::under("counters", fault))?;
    if left / per_ride > MOST_RIDES {
        let text = format!(
            "counters: left is {left} at {per_ride} per ride; no date is reckoned beyond {MOST_RIDES} rides. Check both."
        );
        return Err(Refusal::new("counters", "too_far", text));
    }
    let sd = item.opt("per_ride_sd").filter(|_| rides_known > 1.0).unwrap_or(SPREAD_UNKNOWN * per_ride);
    Ok(Counter::Amount(Amount { left, per_ride, sd, rides_known }))
}

fn noticed(answer: Answer, counters: &[Named<'_>]) -> Answer {
    let of = |wanted: Counter| counters.iter().find(|named| named.counter == wanted);
    let overdue = of(Counter::Overdue);
    let unknown = of(Counter::NoRideYet);
    answer
        .notice_if(unknown.is_some(), "no_ride_yet", || {
            let (kind, left) = unknown.map_or(("", 0.0), |named| (named.kind, named.left));
            format!("{left} {kind} are left, but 0 rides are known: no date from this counter.")
        })
        .notice_if(overdue.is_some(), "overdue", || {
            let (kind, left) = overdue.map_or(("", 0.0), |named| (named.kind, named.left));
            format!("{left} {kind} left: it is due now.")
        })
}
