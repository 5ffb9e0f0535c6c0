//! What an axle slot takes: the taut centre of a chain between two stops, the room left, and when it runs out.

use measure::{Elongation, Length, Links};

use super::Pair;

/// Centre distances with the axle at the front and at the rear stop, along the line of centres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stops {
    /// With the axle at the front stop.
    pub front: Length,
    /// With the axle at the rear stop, not below the front one.
    pub rear: Length,
}

/// Room to keep to each stop.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Margins {
    /// To the front stop: slack moves the axle forward of taut.
    pub front: Length,
    /// To the rear stop: tolerance of a new chain's length.
    pub rear: Length,
}

/// Where one chain puts the axle between two stops.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fit {
    /// Pitches of the chain.
    pub links: f64,
    /// Taut centre, the worn length still seated at the old pitch.
    pub centre: Length,
    /// Room to the front stop by the lower bound (every pitch grows, also on the sprockets); negative = too short.
    pub room_front: Length,
    /// Room to the rear stop by the upper bound (seated); negative = too long.
    pub room_rear: Length,
    /// Elongation from new at which the rear stop is reached, earliest (seated).
    pub runs_out: Elongation,
    /// The same, latest (ride-up).
    pub runs_out_late: Elongation,
}

impl Fit {
    /// Whether the axle lies between the stops.
    #[must_use]
    pub fn between(&self) -> bool {
        self.room_front.mm() >= 0.0 && self.room_rear.mm() >= 0.0
    }

    /// Whether both rooms are at or above their margins.
    #[must_use]
    pub fn keeps(&self, margins: Margins) -> bool {
        self.room_front >= margins.front && self.room_rear >= margins.rear
    }
}

impl Pair {
    /// Where a chain of so many pitches puts the axle; `None` where it is too short to go round.
    ///
    /// # Formula
    /// New centre C from L(C) = N. Worn by ε: seated L(C′) = N(1 + ε), ride-up C(1 + ε).
    /// Runs out: L(C_rear)/N − 1 (seated) and C_rear/C − 1 (ride-up).
    ///
    /// # Source
    /// `geometry`.
    #[must_use]
    pub fn fit(&self, stops: Stops, links: f64, worn: Elongation) -> Option<Fit> {
        (links >= self.least_links()).then(|| self.fit_within(stops, links, worn, self.links_needed(stops.rear)))
    }

    /// [`Pair::fit`] of a chain that is long enough, with the links needed at the rear stop already known.
    pub(super) fn fit_within(&self, stops: Stops, links: f64, worn: Elongation, at_rear: f64) -> Fit {
        let pitch = self.pitch();
        let new = pitch * self.centre_at(links);
        let grown = 1.0 + worn.fraction();
        let (low, seated) = if worn == Elongation::ZERO {
            (new, new)
        } else {
            // A negative reading cannot make a chain that goes round too short to do so.
            (new * grown, pitch * self.centre_at((links * grown).max(self.least_links())))
        };
        Fit {
            links,
            centre: seated,
            room_front: low - stops.front,
            room_rear: stops.rear - seated,
            runs_out: Elongation::from_fraction(at_rear / links - 1.0),
            runs_out_late: Elongation::from_fraction(stops.rear / new - 1.0),
        }
    }

    /// Whole link counts whose taut centre, with a new chain, lies between the stops: lowest and highest.
    ///
    /// # Shape
    /// Empty (`None`) where no whole count lies between.
    #[must_use]
    pub fn counts_between(&self, stops: Stops) -> Option<(u32, u32)> {
        let low = whole(self.links_needed(stops.front).ceil())?;
        let high = whole(self.links_needed(stops.rear).floor())?;
        (low <= high).then_some((low, high))
    }
}

/// A whole, non-negative real as a count.
fn whole(real: f64) -> Option<u32> {
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "checked to be in range")]
    (0.0..=f64::from(u32::MAX)).contains(&real).then_some(real as u32)
}

/// The chain that this one can be cut to so that it fits: even, no longer than it is, the longest that keeps the
/// margins, else the one with the most room at its worse end.
///
/// # Holds when
/// A chain can be shortened by whole pairs of links, never lengthened: one that is too short has none (`None`).
///
/// # Source
/// `geometry`; the margins are `ours`.
#[must_use]
pub fn cut_to(pair: &Pair, stops: Stops, margins: Margins, links: Links) -> Option<Fit> {
    let (low, high) = pair.counts_between(stops)?;
    let high = high.min(u32::from(links.count()));
    let fits = (low..=high).rev().filter(|count| count.is_multiple_of(2)).filter_map(|count| {
        let fit = pair.fit(stops, f64::from(count), Elongation::ZERO)?;
        fit.between().then_some(fit)
    });
    let mut roomiest: Option<Fit> = None;
    for fit in fits {
        if fit.keeps(margins) {
            return Some(fit);
        }
        let worse_end = |fit: &Fit| fit.room_front.min(fit.room_rear);
        if roomiest.as_ref().is_none_or(|best| worse_end(&fit) > worse_end(best)) {
            roomiest = Some(fit);
        }
    }
    roomiest
}

#[cfg(test)]
mod tests {
    use super::*;
    use measure::Teeth;

    const STOPS: Stops = Stops { front: Length::from_mm(668.0), rear: Length::from_mm(698.0) };
    const MARGINS: Margins = Margins { front: Length::from_mm(1.5), rear: Length::from_mm(1.5) };

    fn pair(front: u16, rear: u16) -> Pair {
        let teeth = |count| Teeth::new(count).expect("teeth in bounds");
        Pair::new(Length::from_mm(15.875), teeth(front), teeth(rear))
    }

    fn cut(rear: u16, links: u16) -> Option<f64> {
        let links = Links::new(links).expect("links in bounds");
        cut_to(&pair(14, rear), STOPS, MARGINS, links).map(|fit| fit.links)
    }

    #[test]
    fn a_long_chain_is_cut_to_the_longest_even_count_that_fits() {
        assert_eq!(cut(48, 130), Some(118.0));
        assert_eq!(cut(48, 119), Some(118.0));
        assert_eq!(cut(48, 118), Some(118.0));
    }

    #[test]
    fn a_short_chain_cannot_be_made_to_fit() {
        assert_eq!(cut(56, 116), None);
    }

    #[test]
    fn without_margins_kept_the_roomier_end_decides() {
        assert_eq!(cut(48, 117), Some(116.0));
    }

    #[test]
    fn a_negative_room_says_which_end_is_short() {
        let fit = pair(14, 53).fit(STOPS, 118.0, Elongation::ZERO).expect("long enough");
        assert!(fit.room_front.mm() < 0.0 && fit.room_rear.mm() > 0.0 && !fit.between());
    }

    #[test]
    fn where_no_count_keeps_the_margins_the_one_with_the_most_room_at_its_worse_end_is_taken() {
        let wide = Margins { front: Length::from_mm(20.0), rear: Length::from_mm(20.0) };
        for rear in 44..=52 {
            let pair = pair(14, rear);
            let worse = |count: u32| {
                pair.fit(STOPS, f64::from(count), Elongation::ZERO).map(|fit| fit.room_front.min(fit.room_rear))
            };
            let every = (100..=130).filter(|count| count % 2 == 0).filter_map(worse);
            let most = every
                .filter(|room| room.mm() >= 0.0)
                .fold(None, |most: Option<Length>, room| Some(most.map_or(room, |most| most.max(room))));
            let cut = cut_to(&pair, STOPS, wide, Links::new(130).expect("links in bounds"));
            assert_eq!(cut.map(|fit| fit.room_front.min(fit.room_rear)), most, "14/{rear}");
        }
    }
}
