//! The plan of a measurement: over how many pitches, how often, at how many places, for a wanted uncertainty.

use super::instrument::{Instrument, MeanError, PlaceScatter, mean_error};

/// Places at which a plan looks for the worst one.
const PLACES_FOR_WORST: u32 = 3;

/// Which figure the plan is for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum JudgedBy {
    /// The worst place alone, which is compared with the limit.
    Worst,
    /// The mean over the places, which differ by so much.
    Mean(PlaceScatter),
}

/// What is wanted and how far the plan may go.
#[derive(Debug, Clone, PartialEq)]
pub struct Wish {
    /// Half width of the 95 % interval, per cent; without, any set-up will do.
    pub u95_pct: Option<f64>,
    /// The figure that is judged.
    pub judged_by: JudgedBy,
    /// Pitches to choose from.
    pub pitches: Vec<u32>,
    /// Readings at each place, if fixed.
    pub readings: Option<u32>,
    /// Places, if fixed.
    pub places: Option<u32>,
    /// Most readings at a place.
    pub most_readings: u32,
    /// Most places.
    pub most_places: u32,
}

/// One set-up with what it reaches.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SetUp {
    /// Pitches between the jaws.
    pub pitches: u32,
    /// Readings at each place.
    pub readings: u32,
    /// Places.
    pub places: u32,
    /// Its uncertainty.
    pub error: MeanError,
    /// Whether the wish is met.
    pub reached: bool,
}

impl SetUp {
    /// Placements of the jaws that it takes.
    #[must_use]
    pub const fn placements(&self) -> u32 {
        self.readings * self.places
    }
}

/// The best set-up for each pitch count, and which of them is least work; `None` if none meets the wish.
///
/// # Formula
/// For each pitch count the fewest placements (then the fewest places) that meet the wish, else the most allowed;
/// of those that meet it the fewest placements, then the fewest pitches.
#[must_use]
pub fn plan(wish: &Wish, instrument: &Instrument) -> (Vec<SetUp>, Option<SetUp>) {
    let options: Vec<SetUp> = wish.pitches.iter().filter_map(|&pitches| best_for(pitches, wish, instrument)).collect();
    let choice = options
        .iter()
        .filter(|option| option.reached)
        .min_by_key(|option| (option.placements(), option.pitches))
        .copied();
    (options, choice)
}

fn best_for(pitches: u32, wish: &Wish, instrument: &Instrument) -> Option<SetUp> {
    let places = match (wish.places, wish.judged_by) {
        (Some(places), _) => places..=places,
        (None, JudgedBy::Worst) => PLACES_FOR_WORST..=PLACES_FOR_WORST,
        (None, JudgedBy::Mean(_)) => PLACES_FOR_WORST..=wish.most_places,
    };
    let readings = wish.readings.map_or(1..=wish.most_readings, |readings| readings..=readings);
    let tried: Vec<SetUp> = places
        .flat_map(|places| readings.clone().map(move |readings| (readings, places)))
        .map(|(readings, places)| set_up(pitches, readings, places, wish, instrument))
        .collect();
    let met = tried.iter().filter(|set| set.reached).min_by_key(|set| (set.placements(), set.places));
    met.or(tried.last()).copied()
}

fn set_up(pitches: u32, readings: u32, places: u32, wish: &Wish, instrument: &Instrument) -> SetUp {
    let error = match wish.judged_by {
        JudgedBy::Worst => mean_error(instrument, pitches, &[readings as usize], None),
        JudgedBy::Mean(scatter) => {
            mean_error(instrument, pitches, &vec![readings as usize; places as usize], Some(scatter))
        }
    };
    SetUp { pitches, readings, places, error, reached: wish.u95_pct.is_none_or(|wanted| error.u95_pct <= wanted) }
}
