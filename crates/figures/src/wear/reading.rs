//! `wear.reading`: lengths over pitches at several places, judged against the limit.

use drive::chain::elongation::Slip;
use measure::bounds::wear as bounds;
use measure::shown::{quantity, written};
use measure::{Bound, Length, Teeth};
use serde_json::Value;
use upkeep::wear::{Instrument, Judged, Reading, Verdict, judge, limit_for_teeth};

use super::inside;
use crate::{Answer, Field, Figure, Given, Refusal};

pub(super) const FIGURE: Figure = Figure {
    name: "wear.reading",
    says: "What length readings over several pitches say about the chain: elongation, how sure, worn or not.",
    given: &[
        Field::nested("length_mm").meaning("one list of readings for each place"),
        Field::whole("pitches", &bounds::PITCHES).meaning("gaps between the two pins or rollers, best an even count"),
        Field::number("limit_pct", &bounds::LIMIT),
        PITCH,
        MAXIMUM_ERROR,
        RESOLUTION,
        REPEAT,
        REPEAT_DOF,
        Field::whole("rear_teeth", &bounds::REAR_TEETH).optional("no limit by teeth"),
    ],
    answer: &[
        ("elongation_pct", "elongation at each place, %"),
        ("mean_pct", "mean over the places, %"),
        ("mean_u_pct", "its standard uncertainty, %"),
        ("mean_dof", "its effective degrees of freedom"),
        ("mean_u95_pct", "half width of its 95 % interval, %"),
        ("worst_place", "most stretched place, from 1"),
        ("worst_pct", "elongation there, %"),
        ("worst_u_pct", "its standard uncertainty, %"),
        ("worst_dof", "its effective degrees of freedom"),
        ("worst_u95_pct", "half width of its 95 % interval, %"),
        ("limit_used_pct", "limit that decided, %"),
        ("chance_worn", "chance that the worst place is over the limit"),
        ("verdict", "ok, measure_again, worn or bad_reading"),
        ("pitches_to_decide", "even pitches that would decide at the same elongation; null: none up to 60"),
        ("diagnosis", "per place: ok, unit_inch, unit_cm, count_off:N, implausible"),
        ("places_disagree", "two readings differ by more than half a pitch"),
        ("pooled_repeat_mm", "scatter of repeats, mm; null without a repeat"),
    ],
    formula: "e = 100 (L/(N p) - 1); P(e > limit) = 1 - Phi((limit - e)/u) at the worst place; worn above 0.95, ok below 0.05; limit = min(limit_pct, 200/rear_teeth)",
    sources: &["jcgm-100", "chain-makers", "wear-guesses"],
    ask,
};

pub(super) const PITCH: Field = Field::number("pitch_mm", &bounds::PITCH_READ).optional("15.875");
pub(super) const MAXIMUM_ERROR: Field =
    Field::number("maximum_error_mm", &bounds::INSTRUMENT_ERROR).optional("0.05").meaning("of the instrument");
pub(super) const RESOLUTION: Field = Field::number("resolution_mm", &bounds::RESOLUTION).optional("0.01");
pub(super) const REPEAT: Field = Field::number("repeat_mm", &bounds::REPEAT)
    .optional("0.15")
    .meaning("standard deviation of repeated readings, new jaw placement each time");
pub(super) const REPEAT_DOF: Field = Field::number("repeat_dof", &bounds::DOF).optional("10");

/// Pitch of the chain most off-road motorcycles run, 5/8 inch.
pub(super) const PITCH_MM: f64 = 15.875;

/// The instrument of the shared fields.
pub(super) fn instrument(given: &Given<'_>) -> Instrument {
    Instrument {
        pitch: Length::from_mm(given.num_or("pitch_mm", PITCH_MM)),
        largest_error: Length::from_mm(given.num_or("maximum_error_mm", 0.05)),
        resolution: Length::from_mm(given.num_or("resolution_mm", 0.01)),
        repeat: Length::from_mm(given.num_or("repeat_mm", Instrument::HAND.0.mm())),
        repeat_dof: given.num_or("repeat_dof", Instrument::HAND.1),
    }
}

fn ask(given: &Given<'_>) -> Result<Answer, Refusal> {
    let lengths = lengths(given)?;
    let (pitches, limit_pct) = (given.whole("pitches")?, given.num("limit_pct")?);
    let teeth = if given.has("rear_teeth") { Some(given.teeth("rear_teeth")?) } else { None };
    let used = teeth.map_or(limit_pct, |teeth| limit_for_teeth(limit_pct, teeth));
    let instrument = instrument(given);
    let judged = judge(&Reading { lengths, pitches, limit_pct: used }, &instrument);
    let answer = Answer::new()
        .json("elongation_pct", judged.places_pct.clone())
        .num("mean_pct", judged.mean_pct)
        .num("mean_u_pct", judged.mean.u_pct)
        .num("mean_dof", judged.mean.dof)
        .num("mean_u95_pct", judged.mean.u95_pct)
        .json("worst_place", judged.worst + 1)
        .num("worst_pct", judged.places_pct[judged.worst])
        .num("worst_u_pct", judged.worst_error.u_pct)
        .num("worst_dof", judged.worst_error.dof)
        .num("worst_u95_pct", judged.worst_error.u95_pct)
        .num("limit_used_pct", used)
        .num("chance_worn", judged.chance_worn)
        .text("verdict", verdict(judged.verdict))
        .json("pitches_to_decide", judged.pitches_to_decide.map_or(Value::Null, Value::from))
        .json("diagnosis", judged.slips.iter().copied().map(word).collect::<Vec<_>>())
        .flag("places_disagree", judged.places_disagree)
        .num_or_null("pooled_repeat_mm", judged.pooled_repeat.map(|(sd, _)| sd.mm()));
    Ok(noticed(answer, &judged, pitches, limit_pct, used, teeth, instrument.repeat))
}

fn lengths(given: &Given<'_>) -> Result<Vec<Vec<Length>>, Refusal> {
    const NAME: &str = "length_mm";
    const BOUND: Bound = bounds::LENGTH;
    let places = inside::list(given, NAME)?;
    inside::some(NAME, places.len(), "place")?;
    places
        .iter()
        .enumerate()
        .map(|(index, place)| {
            if !place.is_array() {
                return Err(Refusal::wrong_type(
                    NAME,
                    place,
                    "a list of readings for each place, as [[254.9], [255.1]],",
                ));
            }
            let readings = inside::numbers(NAME, place, &BOUND)?;
            if readings.is_empty() {
                let text = format!("{NAME}: place {} has no reading. Leave the place out or measure it.", index + 1);
                return Err(Refusal::new(NAME, "empty", text));
            }
            Ok(readings.into_iter().map(Length::from_mm).collect())
        })
        .collect()
}

fn noticed(
    answer: Answer,
    judged: &Judged,
    pitches: u32,
    limit_pct: f64,
    used: f64,
    teeth: Option<Teeth>,
    repeat: Length,
) -> Answer {
    let places = judged.places_pct.len();
    let scatter = judged.pooled_repeat.filter(|&(sd, count)| count >= 2 && sd > repeat * 2.0);
    answer
        .notice_if(pitches % 2 == 1, "odd_pitches", || {
            format!("{pitches} pitches is odd: inner and outer links wear differently, so count an even number.")
        })
        .notice_if(places < 3, "few_places", || {
            format!("{places} of at least 3 places measured: a chain wears unevenly round its length.")
        })
        .notice_if(scatter.is_some(), "scatter", || {
            let sd = scatter.map_or(0.0, |(sd, _)| sd.mm());
            format!(
                "Repeats scatter by {}, more than twice the {} assumed: clean, pull taut, read again.",
                quantity(sd, "mm", 3),
                written(repeat.mm(), "mm")
            )
        })
        .notice_if(used < limit_pct, "teeth_lower_the_limit", || {
            let count = teeth.map_or(0, Teeth::count);
            format!("{count} rear teeth lower the limit from {limit_pct} to {used:.3} %: a worn chain climbs a large sprocket earlier.")
        })
}

const fn verdict(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Sound => "ok",
        Verdict::MeasureAgain => "measure_again",
        Verdict::Worn => "worn",
        Verdict::BadReading => "bad_reading",
    }
}

fn word(slip: Option<Slip>) -> String {
    match slip {
        None => "ok".to_owned(),
        Some(Slip::Inches) => "unit_inch".to_owned(),
        Some(Slip::Centimetres) => "unit_cm".to_owned(),
        Some(Slip::Miscounted(pitches)) => format!("count_off:{pitches}"),
        Some(Slip::Implausible) => "implausible".to_owned(),
    }
}
