//! `wear.last_through`: whether chain and slack last through the coming legs.

use measure::Length;
use measure::bounds::wear as bounds;
use upkeep::wear::{Ahead, Leg, SlackMargin, Through, last_through, outlook};

use super::forecast::{basis, from_prior};
use super::inside;
use super::process::{ELONGATION, HOURS, LIMIT, RATE, RATE_SD, SCATTER, START, START_SD, U, U_COMMON, log, process};
use super::reading::{PITCH, PITCH_MM};
use crate::{Answer, Field, Figure, Given, Refusal};

pub(super) const FIGURE: Figure = Figure {
    name: "wear.last_through",
    says: "The chance that the chain stays within its limit, and the slack within its margin, through the coming legs.",
    given: &[
        HOURS,
        ELONGATION,
        LIMIT,
        U,
        U_COMMON,
        START,
        START_SD,
        RATE,
        RATE_SD,
        SCATTER,
        Field::number("since_h", &bounds::HOURS_NEAR).optional("0").meaning("equivalent hours since the last reading"),
        Field::nested("legs").meaning("{hours_h, multiplier (1), spread (0)}"),
        Field::number("slack_mm", &bounds::SLACK_FREE).optional("no slack margin").meaning("slack now, free kind"),
        Field::number("slack_most_mm", &bounds::SLACK_FREE).optional("needed with slack_mm"),
        Field::number("span_mm", &bounds::SPAN).optional("needed with slack_mm"),
        Field::whole("links", &bounds::CHAIN_LINKS).optional("needed with slack_mm"),
        Field::number("station", &bounds::STATION).optional("0.5"),
        PITCH,
        Field::number("sure", &bounds::SURE).optional("0.95"),
    ],
    answer: &[
        ("equivalent_h", "equivalent hours of the legs, h"),
        ("now_pct", "elongation now, %"),
        ("end_pct", "elongation at the end, %"),
        ("end_sd_pct", "its standard deviation, %"),
        ("growth_pct", "mean growth on the way, %"),
        ("chance_limit", "chance that the elongation ends within its limit"),
        ("chance_both", "chance that the slack does so too"),
        ("verdict", "lasts, doubtful or fails"),
        ("sure_h", "hours of the same mix that last as surely as wanted, h; null: more than ten times the plan"),
        ("basis", "log (three readings over 15 h) or prior"),
        ("chance_slack", "chance that the slack ends within its margin (with slack)"),
        ("room_pct", "elongation that the slack still allows, % (with slack)"),
        ("slack_end_mm", "slack after the mean growth, mm (with slack)"),
    ],
    formula: "tau = sum(multiplier hours), lognormal; end and growth jointly normal given tau; room = 100 (d(most) - d(slack))/(links p)",
    sources: &["wear-process", "geometry", "wear-guesses"],
    ask,
};

const LEG: &[Field] = &[
    Field::number("hours_h", &bounds::HOURS_LEG),
    Field::number("multiplier", &bounds::MULTIPLIER).optional("1"),
    Field::number("spread", &bounds::SPREAD).optional("0"),
];
const MARGIN: [&str; 4] = ["slack_mm", "slack_most_mm", "span_mm", "links"];

fn ask(given: &Given<'_>) -> Result<Answer, Refusal> {
    let (process, log, limit) = (process(given)?, log(given)?, given.num("limit_pct")?);
    let (ahead, margin, sure) = (ahead(given)?, margin(given)?, given.num_or("sure", 0.95));
    let wear = outlook(&process, &log).wear.later(given.num_or("since_h", 0.0));
    let found = last_through(&wear, limit, &ahead, margin.as_ref(), sure);
    let answer = Answer::new()
        .num("equivalent_h", ahead.equivalent)
        .num("now_pct", wear.now)
        .num("end_pct", found.end_pct)
        .num("end_sd_pct", found.end_sd_pct)
        .num("growth_pct", found.growth_pct)
        .num("chance_limit", found.chances.limit)
        .num("chance_both", found.chances.both)
        .text("verdict", verdict(found.chances.both, sure))
        .num_or_null("sure_h", found.sure_h)
        .text("basis", basis(&log));
    let answer = match &margin {
        Some(margin) => with_slack(answer, &found, margin),
        None => answer,
    };
    Ok(from_prior(answer, &log).notice_if(found.sure_h.is_none(), "sure_beyond_ten_times", || {
        format!("It lasts as surely as {sure} for more than ten times the {} h planned.", ahead.ridden)
    }))
}

fn with_slack(answer: Answer, found: &Through, margin: &SlackMargin) -> Answer {
    answer
        .num("chance_slack", found.chances.slack)
        .num("room_pct", margin.room_pct())
        .num("slack_end_mm", margin.slack_after(found.growth_pct).mm())
}

fn verdict(chance: f64, sure: f64) -> &'static str {
    if chance >= sure {
        "lasts"
    } else if chance <= 1.0 - sure {
        "fails"
    } else {
        "doubtful"
    }
}

fn ahead(given: &Given<'_>) -> Result<Ahead, Refusal> {
    let items = inside::items(given, "legs", LEG)?;
    inside::some("legs", items.len(), "leg")?;
    let legs: Vec<Leg> = items
        .iter()
        .map(|item| {
            Ok(Leg {
                hours: item.num("hours_h")?,
                multiplier: item.num_or("multiplier", 1.0),
                spread: item.num_or("spread", 0.0),
            })
        })
        .collect::<Result<_, Refusal>>()?;
    Ok(Ahead::of(&legs))
}

fn margin(given: &Given<'_>) -> Result<Option<SlackMargin>, Refusal> {
    if !MARGIN.iter().chain(&["station", "pitch_mm"]).any(|name| given.has(name)) {
        return Ok(None);
    }
    if let Some(missing) = MARGIN.iter().find(|name| !given.has(name)) {
        let text = format!("{missing} is missing. Slack needs slack_mm, slack_most_mm, span_mm and links together.");
        return Err(Refusal::new(*missing, "missing", text));
    }
    let (slack, most) = (given.mm("slack_mm")?, given.mm("slack_most_mm")?);
    if most < slack {
        let text =
            format!("slack_most_mm is {}, below slack_mm, which is {}. Set the chain first.", most.mm(), slack.mm());
        return Err(Refusal::new("slack_most_mm", "below_slack", text));
    }
    Ok(Some(SlackMargin {
        slack,
        most,
        span: given.mm("span_mm")?,
        station: given.num_or("station", 0.5),
        pitch: Length::from_mm(given.num_or("pitch_mm", PITCH_MM)),
        links: given.links("links")?,
    }))
}
