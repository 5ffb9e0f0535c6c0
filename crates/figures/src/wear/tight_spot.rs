//! `wear.tight_spot`: slack at several places, how uneven, and which part causes it.

use measure::Length;
use measure::bounds::wear as bounds;
use serde_json::{Map, Value};
use upkeep::wear::{AxleLimits, Cause, Periods, PlaceVerdict, Places, Run, TightSpot, tight_spot};

use super::inside;
use super::reading::{PITCH, PITCH_MM};
use crate::{Answer, Field, Figure, Given, Refusal};

pub(super) const FIGURE: Figure = Figure {
    name: "wear.tight_spot",
    says: "How uneven the slack is round the chain, judged at the axle, and whether wheel or chain causes it.",
    given: &[
        Field::numbers("slack_mm", &bounds::SLACK_FREE).meaning("free kind, two places or more"),
        Field::number("span_mm", &bounds::SPAN),
        Field::whole("front_teeth", &bounds::FRONT_TEETH),
        Field::whole("rear_teeth", &bounds::REAR_TEETH),
        Field::number("station", &bounds::STATION).optional("0.5"),
        PITCH,
        Field::numbers("at_links", &bounds::LINKS_PASSED)
            .optional("places not noted")
            .meaning("links gone by since the mark at each reading, rising"),
        Field::whole("links", &bounds::CHAIN_LINKS).optional("needed with at_links"),
        Field::number("care_mm", &bounds::AXLE_RANGE).optional("0.3"),
        Field::number("stop_mm", &bounds::AXLE_RANGE).optional("0.8"),
    ],
    answer: &[
        ("slack_min_mm", "least slack, mm"),
        ("slack_max_mm", "most slack, mm"),
        ("slack_range_mm", "most less least, mm"),
        ("surplus_min_mm", "least chain beyond taut, mm"),
        ("surplus_range_mm", "range of the surplus, mm"),
        ("axle_range_mm", "range at the axle, mm; the run-out of one sprocket if it alone causes it"),
        ("tightest", "tightest place, from 1: set slack there"),
        ("verdict", "ok, care or stop"),
        ("cause", "none, wheel, chain, both or unknown"),
        ("wheel_amplitude_mm", "wave of the wheel in the surplus, mm"),
        ("chain_amplitude_mm", "wave of the chain in the surplus, mm"),
        ("score", "information score of each cause tried, least is best"),
    ],
    formula: "d = hypot(s a, F/2) + hypot((1-s) a, F/2) - a; axle range = (max d - min d)/(2 cos alpha); cause by AICc of waves fitted to d",
    sources: &["geometry", "axle-range", "aicc", "tell-apart"],
    ask,
};

fn ask(given: &Given<'_>) -> Result<Answer, Refusal> {
    let slack: Vec<Length> = given.numbers("slack_mm").into_iter().map(Length::from_mm).collect();
    if slack.len() < 2 {
        let text = format!("slack_mm has {} readings; at least 2 places are wanted, 8 tell more.", slack.len());
        return Err(Refusal::new("slack_mm", "too_few", text));
    }
    let limits = limits(given)?;
    let run = Run {
        span: given.mm("span_mm")?,
        station: given.num_or("station", 0.5),
        pitch: Length::from_mm(given.num_or("pitch_mm", PITCH_MM)),
        front: given.teeth("front_teeth")?,
        rear: given.teeth("rear_teeth")?,
    };
    let places = Places { periods: periods(given, slack.len())?, slack };
    let found = tight_spot(&places, &run, limits);
    Ok(noticed(worded(&found), &found, &places, &run))
}

fn limits(given: &Given<'_>) -> Result<AxleLimits, Refusal> {
    let (care, stop) = (given.num_or("care_mm", 0.3), given.num_or("stop_mm", 0.8));
    if stop <= care {
        let text = format!("stop_mm is {stop}; it must lie above care_mm, which is {care}.");
        return Err(Refusal::new("stop_mm", "not_above", text));
    }
    Ok(AxleLimits { care: Length::from_mm(care), stop: Length::from_mm(stop) })
}

fn periods(given: &Given<'_>, count: usize) -> Result<Option<Periods>, Refusal> {
    if !given.has("at_links") {
        return Ok(None);
    }
    if !given.has("links") {
        return Err(Refusal::missing("links"));
    }
    let at_links = given.numbers("at_links");
    inside::as_many("at_links", at_links.len(), "slack_mm", count)?;
    if let Some(pair) = at_links.windows(2).find(|pair| pair[1] <= pair[0]) {
        let text = format!("at_links goes from {} to {}; it must rise from place to place.", pair[0], pair[1]);
        return Err(Refusal::new("at_links", "not_rising", text));
    }
    Ok(Some(Periods { at_links, links: given.links("links")? }))
}

fn worded(found: &TightSpot) -> Answer {
    let score: Map<String, Value> =
        found.scores.iter().map(|&(cause, score)| (word(cause).to_owned(), Value::from(score))).collect();
    let answer = Answer::new()
        .num("slack_min_mm", found.slack_min.mm())
        .num("slack_max_mm", found.slack_max.mm())
        .num("slack_range_mm", (found.slack_max - found.slack_min).mm())
        .num("surplus_min_mm", found.surplus_min.mm())
        .num("surplus_range_mm", found.surplus_range.mm())
        .num("axle_range_mm", found.axle_range.mm())
        .json("tightest", found.tightest + 1)
        .text("verdict", verdict(found.verdict))
        .text("cause", word(found.cause))
        .num_if("wheel_amplitude_mm", found.wheel_amplitude.map(Length::mm))
        .num_if("chain_amplitude_mm", found.chain_amplitude.map(Length::mm));
    if score.is_empty() { answer } else { answer.json("score", score) }
}

fn noticed(answer: Answer, found: &TightSpot, places: &Places, run: &Run) -> Answer {
    let count = places.slack.len();
    answer
        .notice_if(count < 8, "few_places", || {
            format!("{count} of at least 8 places: the tightest may lie between them.")
        })
        .notice_if(found.undecidable, "period_not_decidable", || {
            let (noted, links) = places.periods.as_ref().map_or((0.0, 0), |periods| {
                let span =
                    periods.at_links.last().zip(periods.at_links.first()).map_or(0.0, |(last, first)| last - first);
                (span, periods.links.count())
            });
            let rear = run.rear.count();
            format!(
                "{count} places over {noted} links cannot tell wheel ({rear} teeth) from chain ({links} links): \
                 take 7 or more over at least {} links; a chain within 8 links of twice the teeth never can \
                 (the tool's own choice, no source).",
                1.5 * run.rear.real()
            )
        })
}

const fn verdict(verdict: PlaceVerdict) -> &'static str {
    match verdict {
        PlaceVerdict::Even => "ok",
        PlaceVerdict::Care => "care",
        PlaceVerdict::Stop => "stop",
    }
}

const fn word(cause: Cause) -> &'static str {
    match cause {
        Cause::Neither => "none",
        Cause::Wheel => "wheel",
        Cause::Chain => "chain",
        Cause::Both => "both",
        Cause::Unknown => "unknown",
    }
}
