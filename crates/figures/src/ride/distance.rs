//! `ride.distance`: how far from one place to another.

use measure::bounds::ride as bounds;
use ride::track::Place;

use crate::{Answer, Field, Figure, Given, Refusal};

pub(super) const FIGURE: Figure = Figure {
    name: "ride.distance",
    says: "The distance between two places, the shortest way along the ellipsoid of the earth.",
    given: &[
        Field::number("lat1_deg", &bounds::LATITUDE),
        Field::number("lon1_deg", &bounds::LONGITUDE),
        Field::number("lat2_deg", &bounds::LATITUDE),
        Field::number("lon2_deg", &bounds::LONGITUDE),
    ],
    answer: &[
        ("distance_m", "distance, m"),
        ("azimuth_deg", "direction at the first place, clockwise from north, −180° to 180°"),
    ],
    formula: "inverse geodesic problem on WGS84",
    sources: &["karney"],
    ask,
};

fn ask(given: &Given<'_>) -> Result<Answer, Refusal> {
    let place = |lat: &str, lon: &str| {
        let (lat_deg, lon_deg) = (given.num(lat)?, given.num(lon)?);
        Place::new(lat_deg, lon_deg).ok_or_else(|| Refusal::out_of_range(lat, lat_deg, &bounds::LATITUDE))
    };
    let (from, to) = (place("lat1_deg", "lon1_deg")?, place("lat2_deg", "lon2_deg")?);
    let (distance, azimuth) = from.bearing(to);
    Ok(Answer::new().num("distance_m", distance.m()).num("azimuth_deg", azimuth.deg()))
}
