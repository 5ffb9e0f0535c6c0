//! What the list says in words: what is missing, what comes too late, what it costs, when it is there.

use jiff::civil::Date;
use serde_json::Value;

use super::{Asked, Part};
use crate::fact::Fact;
use crate::money;
use crate::plan::PlanView;
use crate::verdict::{Reason, Verdict};
use crate::words::{count, list, number};

/// What stands against beginning: parts that are missing, orders that come too late, consumables past their day.
pub(super) fn reasons(plan: &PlanView, parts: &[Part], asked: Asked<'_>) -> Vec<Reason> {
    let mut reasons = Vec::new();
    let uncounted: Vec<String> =
        parts.iter().filter(|part| part.state == "not counted").map(|part| part.role.clone()).collect();
    if !uncounted.is_empty() {
        let text =
            format!("Not counted, so taken as missing: {}. Look on the shelf and say how many.", list(&uncounted));
        reasons.push(Reason::new(Verdict::Unknown, "job.shopping", text));
    }
    reasons.extend(parts.iter().filter_map(|part| to_get(part, asked)));
    for role in &plan.consumables {
        match asked.shelf.item(role) {
            Some(item) if item.use_by.is_some_and(|day| day < asked.today) => {
                let day = item.use_by.map(|day| day.to_string()).unwrap_or_default();
                reasons.push(Reason::new(Verdict::Care, "", format!("{role}: past its day ({day}); get a new one.")));
            }
            Some(item) if item.qty == Some(0) => {
                reasons.push(Reason::new(Verdict::Care, "", format!("missing: {role}")));
            }
            _ => {}
        }
    }
    crate::verdict::worst_first(&mut reasons);
    reasons
}

/// A part that is to be bought: by when, or what is missing to say so.
fn to_get(part: &Part, asked: Asked<'_>) -> Option<Reason> {
    let day = part.order_by.as_ref();
    if part.to_buy == 0 || (part.state == "not counted" && day.is_none()) {
        return None;
    }
    let late = day.and_then(|day| day.parse::<Date>().ok()).is_some_and(|day| day < asked.today);
    let text = match day {
        Some(day) if late => format!(
            "{}: should have been ordered by {day}; by post it comes too late for the work. Borrow one, or move the work.",
            part.role
        ),
        Some(day) => format!("{}: {} to buy; order by {day}.", part.role, part.to_buy),
        None if asked.needed.is_none() => format!("{}: {} to buy; no day is set for the work.", part.role, part.to_buy),
        None => format!("{}: {} to buy; its days of delivery are not known.", part.role, part.to_buy),
    };
    Some(Reason::new(Verdict::Care, "job.shopping", text))
}

fn days(lead: f64) -> String {
    if lead > 1.0 { format!("{} days", number(lead, 0)) } else { "1 day".to_owned() }
}

/// One total for each currency, "at least" where a price is not known; the longest delivery and the day it leads to.
pub(super) fn facts(answer: &figures::Answer, parts: &[Part]) -> Vec<Fact> {
    let at_least = answer.at("at_least").and_then(Value::as_bool).unwrap_or_default();
    let names = |key: &str| -> Vec<String> {
        let rows = answer.at(key).and_then(Value::as_array).cloned().unwrap_or_default();
        rows.iter().filter_map(|role| role.as_str().map(str::to_owned)).collect()
    };
    let unpriced = names("unpriced");
    let least = if at_least { "at least " } else { "" };
    let because = if unpriced.is_empty() {
        String::new()
    } else {
        format!("{} without price: {}", count(unpriced.len(), "line"), list(&unpriced))
    };
    let mut facts = Vec::new();
    for (code, total) in answer.at("totals").and_then(Value::as_object).into_iter().flatten() {
        let minor = |key: &str| total.get(key).and_then(Value::as_i64).unwrap_or_default();
        let text = format!("{least}{}", money::range(minor("low_minor"), minor("high_minor"), code));
        facts.push(
            Fact::new("total_minor", format!("To buy, {code}"), text, money::real(minor("low_minor")))
                .because(because.clone())
                .sure("your own prices")
                .says("job.shopping"),
        );
    }
    if facts.is_empty() && parts.iter().any(|part| part.to_buy > 0) {
        facts.push(Fact::unknown("total_minor", "To buy", "not known").because(because).says("job.shopping"));
    }
    let lead = answer.get("lead_d").unwrap_or_default();
    let unknown = names("lead_unknown");
    if lead > 0.0 || !unknown.is_empty() {
        let ready = answer.at("ready_date").and_then(Value::as_str).unwrap_or_default();
        let there = (lead > 0.0).then(|| format!("there on {ready} if ordered today"));
        let open = (!unknown.is_empty()).then(|| format!("not known for {}", list(&unknown)));
        let text = if lead > 0.0 { days(lead) } else { "not known".to_owned() };
        let because = [there, open].into_iter().flatten().collect::<Vec<_>>().join("; ");
        facts.push(
            Fact { value: (lead > 0.0).then_some(lead), ..Fact::unknown("lead_d", "Longest delivery", text) }
                .because(because)
                .sure("your own delivery times")
                .says("job.shopping"),
        );
    }
    facts
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_are_counted_in_words() {
        assert_eq!([1.0, 2.0, 9.0].map(days), ["1 day", "2 days", "9 days"].map(str::to_owned));
    }
}
