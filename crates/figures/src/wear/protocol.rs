//! `wear.protocol`: how many pitches, readings and places for a wanted uncertainty.

use measure::bounds::wear as bounds;
use serde_json::{Value, json};
use upkeep::wear::{JudgedBy, PlaceScatter, SetUp, Wish, plan};

use super::inside;
use super::reading::{MAXIMUM_ERROR, PITCH, REPEAT, REPEAT_DOF, RESOLUTION, instrument};
use crate::{Answer, Field, Figure, Given, Refusal};

pub(super) const FIGURE: Figure = Figure {
    name: "wear.protocol",
    says: "How to measure a chain for a wanted uncertainty: pitches between the jaws, readings at a place, places.",
    given: &[
        Field::number("wanted_u95_pct", &bounds::WANTED_U95)
            .optional("only with readings and places")
            .meaning("half width of the 95 % interval, best at most 0.15 of the limit"),
        Field::word("judge", &["worst", "mean"]).optional("worst"),
        Field::numbers("pitches", &bounds::PITCHES)
            .optional("16, 20, 24, 32, 40")
            .meaning("even counts to choose from"),
        Field::whole("readings", &bounds::READINGS).optional("free"),
        Field::whole("places", &bounds::READINGS).optional("free"),
        Field::whole("most_readings", &bounds::READINGS).optional("5"),
        Field::whole("most_places", &bounds::MOST_PLACES).optional("6"),
        PITCH,
        MAXIMUM_ERROR,
        RESOLUTION,
        REPEAT,
        REPEAT_DOF,
        Field::number("place_sd_pct", &bounds::PLACE_SD).optional("0").meaning("how much the chain differs by place"),
        Field::number("place_dof", &bounds::DOF).optional("places less one"),
    ],
    answer: &[
        ("reached", "whether any set-up reaches what is wanted"),
        ("pitches", "pitches of the choice (only if reached)"),
        ("readings", "readings at each place of the choice"),
        ("places", "places of the choice"),
        ("u95_pct", "half width of its 95 % interval, %"),
        ("options", "per pitch count: pitches, readings, places, u_pct, dof, u95_pct, reached"),
    ],
    formula: "u as in wear.reading; fewest placements that reach it, then fewest pitches",
    sources: &["jcgm-100", "wear-guesses"],
    ask,
};

/// Even counts that there are to choose from.
const MOST_COUNTS: usize = 99;
const PITCHES: [u32; 5] = [16, 20, 24, 32, 40];

fn ask(given: &Given<'_>) -> Result<Answer, Refusal> {
    let wish = wish(given)?;
    let (options, choice) = plan(&wish, &instrument(given));
    let finest = options.iter().map(|option| option.error.u95_pct).fold(f64::INFINITY, f64::min);
    let answer = Answer::new().flag("reached", choice.is_some());
    let answer = match choice {
        Some(choice) => answer
            .whole("pitches", choice.pitches)
            .whole("readings", choice.readings)
            .whole("places", choice.places)
            .num("u95_pct", choice.error.u95_pct),
        None => answer,
    };
    Ok(answer.json("options", options.iter().map(row).collect::<Vec<_>>()).notice_if(
        choice.is_none(),
        "not_reachable",
        || {
            let wanted = wish.u95_pct.unwrap_or(0.0);
            format!("{wanted} % is not reached; the finest of these set-ups gives {finest:.3} %. Take a better instrument or more pitches.")
        },
    ))
}

fn row(option: &SetUp) -> Value {
    json!({"pitches": option.pitches, "readings": option.readings, "places": option.places,
        "u_pct": option.error.u_pct, "dof": option.error.dof, "u95_pct": option.error.u95_pct,
        "reached": option.reached})
}

fn wish(given: &Given<'_>) -> Result<Wish, Refusal> {
    let (readings, places) = (given.opt_whole("readings"), given.opt_whole("places"));
    let u95_pct = given.opt("wanted_u95_pct");
    if u95_pct.is_none() && (readings.is_none() || places.is_none()) {
        let text = "wanted_u95_pct is missing. Give it, or both readings and places to see what they reach.";
        return Err(Refusal::new("wanted_u95_pct", "missing", text));
    }
    let scatter = PlaceScatter { sd_pct: given.num_or("place_sd_pct", 0.0), dof: given.opt("place_dof") };
    Ok(Wish {
        u95_pct,
        judged_by: if given.opt_text("judge") == Some("mean") { JudgedBy::Mean(scatter) } else { JudgedBy::Worst },
        pitches: pitches(given)?,
        readings,
        places,
        most_readings: given.opt_whole("most_readings").unwrap_or(5),
        most_places: given.opt_whole("most_places").unwrap_or(6),
    })
}

fn pitches(given: &Given<'_>) -> Result<Vec<u32>, Refusal> {
    const NAME: &str = "pitches";
    if !given.has(NAME) {
        return Ok(PITCHES.to_vec());
    }
    let counts = given.numbers(NAME);
    inside::some(NAME, counts.len(), "pitch count")?;
    inside::at_most(NAME, counts.len(), MOST_COUNTS)?;
    counts
        .into_iter()
        .map(|count| {
            if count % 2.0 != 0.0 {
                let text = format!(
                    "{NAME}: {count} is not an even count. Inner and outer links wear differently: use even counts."
                );
                return Err(Refusal::new(NAME, "not_even", text));
            }
            #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "even and within 4 to 200")]
            Ok(count as u32)
        })
        .collect()
}
