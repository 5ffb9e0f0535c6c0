//! `chain.fit`: which link counts put the axle between the stops.

use drive::chain::{Fit, Margins, Stops};
use measure::shown::{quantity, written, written_digits};
use measure::{Elongation, Length, Links, bounds};
use serde_json::{Value, json};

use super::notice::odd_links;
use super::pair::{Drive, FRONT, LINKS, PITCH, REAR, stops};
use crate::{Answer, Field, Figure, Given, Refusal};

/// Room to keep to each stop unless another is given.
///
/// # Source
/// `ours`: rear for a new chain's length tolerance and slack, front because slack moves the axle forward.
const MARGIN_MM: f64 = 1.5;

pub(super) const FIT: Figure = Figure {
    name: "chain.fit",
    says: "Which even link counts put the axle between the stops, the room left, and when each runs out.",
    given: &[
        PITCH,
        FRONT,
        REAR,
        Field::number("centre_min_mm", &bounds::CENTRE).meaning("taut centre with the axle at the front stop"),
        Field::number("centre_max_mm", &bounds::CENTRE).meaning("taut centre with the axle at the rear stop"),
        LINKS.optional("all even counts"),
        Field::number("elongation_pct", &bounds::ELONGATION).optional("0"),
        Field::number("margin_front_mm", &bounds::chain::MARGIN).optional("1.5"),
        Field::number("margin_rear_mm", &bounds::chain::MARGIN).optional("1.5"),
    ],
    answer: &[
        (
            "fits",
            "list by links of {links, centre_mm (seated), room_front_mm (ride-up bound), room_rear_mm (seated bound), \
             keeps_margin, runs_out_pct (earliest), runs_out_late_pct (latest)}; with links that one alone, \
             rooms negative where it does not reach",
        ),
        ("even_links", "even counts between the stops with a new chain"),
        ("odd_links", "odd counts between the stops with a new chain: cranked link only"),
    ],
    formula: "L(C) = N; worn: seated L(C) = N(1 + ε), ride-up C(1 + ε); runs out at L(C_max)/N − 1, latest C_max/C(N) − 1",
    sources: &["geometry", "ours"],
    ask: fit,
};

fn fit(given: &Given<'_>) -> Result<Answer, Refusal> {
    let drive = Drive::of(given)?;
    let stops = stops(given, &drive)?;
    let one = given.has("links").then(|| given.links("links")).transpose()?;
    let worn = given.elongation("elongation_pct");
    let margins = Margins {
        front: Length::from_mm(given.num_or("margin_front_mm", MARGIN_MM)),
        rear: Length::from_mm(given.num_or("margin_rear_mm", MARGIN_MM)),
    };
    let between = counts(&drive, stops);
    let fits = match one {
        Some(links) => {
            vec![drive.pair.fit(stops, links.real(), worn).ok_or_else(|| drive.too_few("links", links))?]
        }
        None => all_fits(&drive, stops, worn),
    };
    let of_parity = |odd: u32| between.iter().copied().filter(|count| count % 2 == odd).collect::<Vec<_>>();
    let answer = Answer::new()
        .json("fits", fits.iter().map(|fit| words(fit, margins)).collect::<Vec<_>>())
        .json("even_links", of_parity(0))
        .json("odd_links", of_parity(1));
    Ok(notices(answer, &Seen { drive: &drive, stops, one, worn, margins }, &fits))
}

fn counts(drive: &Drive, stops: Stops) -> Vec<u32> {
    drive.pair.counts_between(stops).map(|(low, high)| (low..=high).collect()).unwrap_or_default()
}

/// Every even count whose axle lies between the stops; worn chains sit further back than new ones, so that the
/// search starts below the new counts.
fn all_fits(drive: &Drive, stops: Stops, worn: Elongation) -> Vec<Fit> {
    let grown = 1.0 + worn.fraction();
    let low = (drive.pair.links_needed(stops.front) / grown.max(1.0) - 2.0).max(2.0);
    let high = drive.pair.links_needed(stops.rear) / grown.min(1.0) + 2.0;
    let mut links = 2.0 * (low / 2.0).floor();
    let mut fits = Vec::new();
    while links <= high {
        fits.extend(drive.pair.fit(stops, links, worn).filter(Fit::between));
        links += 2.0;
    }
    fits
}

fn words(fit: &Fit, margins: Margins) -> Value {
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a whole count of links")]
    let links = fit.links as u32;
    json!({
        "links": links,
        "centre_mm": fit.centre.mm(),
        "room_front_mm": fit.room_front.mm(),
        "room_rear_mm": fit.room_rear.mm(),
        "keeps_margin": fit.keeps(margins),
        "runs_out_pct": fit.runs_out.pct(),
        "runs_out_late_pct": fit.runs_out_late.pct(),
    })
}

struct Seen<'a> {
    drive: &'a Drive,
    stops: Stops,
    one: Option<Links>,
    worn: Elongation,
    margins: Margins,
}

fn notices(answer: Answer, seen: &Seen<'_>, fits: &[Fit]) -> Answer {
    let mut answer = answer;
    if let Some(links) = seen.one {
        answer = odd_links(answer, &[("links", links)]);
    }
    if !fits.iter().any(Fit::between) {
        answer = answer.notice("none_fits", none_fits(seen, fits));
    }
    for fit in fits.iter().filter(|fit| fit.between() && !fit.keeps(seen.margins)) {
        answer = answer.notice(
            "margin_short",
            format!(
                "{} links leave {} to the front stop and {} to the rear one; {} and {} are to be kept.",
                fit.links,
                quantity(fit.room_front.mm(), "mm", 1),
                quantity(fit.room_rear.mm(), "mm", 1),
                written_digits(seen.margins.front.mm(), "mm"),
                written(seen.margins.rear.mm(), "mm")
            ),
        );
    }
    answer.notice_if(seen.worn.pct() > 0.0, "worn_chain_on_new_sprockets", || {
        format!(
            "The chain is {} % longer than new: on new sprockets it wears their teeth to its own pitch.",
            seen.worn.pct()
        )
    })
}

fn none_fits(seen: &Seen<'_>, fits: &[Fit]) -> String {
    if let [fit] = fits {
        return if fit.room_front.mm() < 0.0 {
            format!(
                "{} links are {} short of the front stop; a chain cannot be lengthened.",
                fit.links,
                quantity(-fit.room_front.mm(), "mm", 1)
            )
        } else {
            format!(
                "{} links reach {} past the rear stop; the chain can be cut by whole pairs of links.",
                fit.links,
                quantity(-fit.room_rear.mm(), "mm", 1)
            )
        };
    }
    let (low, high) = (seen.drive.pair.links_needed(seen.stops.front), seen.drive.pair.links_needed(seen.stops.rear));
    format!(
        "No even count lies between the stops: {low:.2} links reach the front one, {high:.2} the rear one. \
         Another sprocket moves these; an odd count needs a cranked link."
    )
}
