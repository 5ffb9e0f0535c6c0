//! The fit map: every front, rear and even link count between two stops, in one pass.

use measure::{Elongation, Length, Links, Teeth};

use super::pair::pitch_radius;
use super::{Fit, Pair, Stops};

/// Which sprockets and chains a map covers; both ends belong to it, odd link counts are left out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct MapRange {
    /// Front sprockets, smallest and largest.
    pub front: (Teeth, Teeth),
    /// Rear sprockets, smallest and largest.
    pub rear: (Teeth, Teeth),
    /// Link counts, fewest and most.
    pub links: (Links, Links),
}

/// Why a chain does or does not go into the slot.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reach {
    /// The axle lies between the stops.
    Fits,
    /// The axle would lie ahead of the front stop: no cure, a chain cannot be lengthened.
    TooShort,
    /// The axle would lie behind the rear stop: the chain can be cut by whole pairs of links.
    TooLong,
    /// The tips of the sprockets would touch before the chain is taut.
    Overlaps,
}

/// One cell: what a chain does on a pair.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MapCell {
    /// Whether it goes in.
    pub reach: Reach,
    /// Centre, rooms and when it runs out; `None` only where the sprockets would touch.
    pub fit: Option<Fit>,
}

/// A whole map, cell by cell.
#[derive(Debug, Clone, PartialEq)]
pub struct FitMap {
    fronts: Vec<Teeth>,
    rears: Vec<Teeth>,
    links: Vec<Links>,
    cells: Vec<MapCell>,
}

impl FitMap {
    /// The cells of one pair, by links; empty where the pair is not on the map.
    #[must_use]
    pub fn of_pair(&self, front: Teeth, rear: Teeth) -> &[MapCell] {
        let place = |teeth: &[Teeth], wanted| teeth.iter().position(|one| *one == wanted);
        let (Some(front), Some(rear)) = (place(&self.fronts, front), place(&self.rears, rear)) else { return &[] };
        let from = (front * self.rears.len() + rear) * self.links.len();
        self.cells.get(from..from + self.links.len()).unwrap_or(&[])
    }

    /// One cell; `None` where it is not on the map.
    #[must_use]
    pub fn cell(&self, front: Teeth, rear: Teeth, links: Links) -> Option<&MapCell> {
        let place = self.links.iter().position(|one| *one == links)?;
        self.of_pair(front, rear).get(place)
    }

    /// Front sprockets on the map.
    #[must_use]
    pub fn fronts(&self) -> &[Teeth] {
        &self.fronts
    }

    /// Rear sprockets on the map.
    #[must_use]
    pub fn rears(&self) -> &[Teeth] {
        &self.rears
    }

    /// Even link counts on the map.
    #[must_use]
    pub fn links(&self) -> &[Links] {
        &self.links
    }

    /// All cells.
    ///
    /// # Shape
    /// Front sprocket by front sprocket, within it rear by rear, within it by links.
    #[must_use]
    pub fn cells(&self) -> &[MapCell] {
        &self.cells
    }
}

/// The map of all pairs and even chains of a range between two stops.
///
/// # Formula
/// [`Pair::fit`] for each cell; radii once per sprocket, the links at the rear stop once per pair.
///
/// # Source
/// `geometry`.
#[must_use]
pub fn fit_map(pitch: Length, range: MapRange, stops: Stops, worn: Elongation) -> FitMap {
    let teeth =
        |(low, high): (Teeth, Teeth)| -> Vec<_> { (low.count()..=high.count()).filter_map(Teeth::new).collect() };
    let fronts = teeth(range.front);
    let rears = teeth(range.rear);
    let links: Vec<_> = (range.links.0.count()..=range.links.1.count())
        .filter(|count| count.is_multiple_of(2))
        .filter_map(Links::new)
        .collect();
    let with_radius = |teeth: &[Teeth]| -> Vec<_> { teeth.iter().map(|one| (*one, pitch_radius(*one))).collect() };
    let (front_radii, rear_radii) = (with_radius(&fronts), with_radius(&rears));
    let mut cells = Vec::with_capacity(fronts.len() * rears.len() * links.len());
    for front in &front_radii {
        for rear in &rear_radii {
            let pair = Pair::of_radii(pitch, *front, *rear);
            let at_rear = pair.links_needed(stops.rear);
            cells.extend(links.iter().map(|count| cell(&pair, stops, count.real(), worn, at_rear)));
        }
    }
    FitMap { fronts, rears, links, cells }
}

fn cell(pair: &Pair, stops: Stops, links: f64, worn: Elongation, at_rear: f64) -> MapCell {
    if links < pair.least_links() {
        return MapCell { reach: Reach::Overlaps, fit: None };
    }
    let fit = pair.fit_within(stops, links, worn, at_rear);
    // Both bounds may be broken by a worn chain in a short slot; too long is the one with a cure.
    let reach = if fit.room_rear.mm() < 0.0 {
        Reach::TooLong
    } else if fit.room_front.mm() < 0.0 {
        Reach::TooShort
    } else {
        Reach::Fits
    };
    MapCell { reach, fit: Some(fit) }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn map() -> FitMap {
        let teeth = |low, high| (Teeth::new(low).expect("teeth"), Teeth::new(high).expect("teeth"));
        let links = (Links::new(99).expect("links"), Links::new(130).expect("links"));
        let range = MapRange { front: teeth(9, 16), rear: teeth(36, 56), links };
        let stops = Stops { front: Length::from_mm(668.0), rear: Length::from_mm(698.0) };
        fit_map(Length::from_mm(15.875), range, stops, Elongation::ZERO)
    }

    fn reach(map: &FitMap, front: u16, rear: u16, links: u16) -> Option<Reach> {
        map.cell(Teeth::new(front)?, Teeth::new(rear)?, Links::new(links)?).map(|cell| cell.reach)
    }

    #[test]
    fn a_map_holds_every_even_cell_once() {
        assert_eq!(map().cells().len(), 8 * 21 * 16);
    }

    #[test]
    fn a_cell_says_why_it_does_not_go() {
        let map = map();
        assert_eq!(reach(&map, 14, 48, 118), Some(Reach::Fits));
        assert_eq!(reach(&map, 14, 53, 118), Some(Reach::TooShort));
        assert_eq!(reach(&map, 14, 48, 120), Some(Reach::TooLong));
        assert_eq!(reach(&map, 14, 48, 119), None);
    }

    #[test]
    fn a_cell_is_the_fit_of_its_own_pair() {
        let map = map();
        let stops = Stops { front: Length::from_mm(668.0), rear: Length::from_mm(698.0) };
        for (front, rear) in [(9, 36), (14, 50), (16, 56)] {
            let (front, rear) = (Teeth::new(front).expect("teeth"), Teeth::new(rear).expect("teeth"));
            let pair = Pair::new(Length::from_mm(15.875), front, rear);
            for (cell, links) in map.of_pair(front, rear).iter().zip(map.links()) {
                assert_eq!(cell.fit, pair.fit(stops, links.real(), Elongation::ZERO));
            }
        }
    }
}
