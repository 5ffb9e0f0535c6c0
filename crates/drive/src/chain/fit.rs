//! What an axle slot takes: the taut centre of a chain between two stops, the room left, and when it runs out.

use measure::{Elongation, Length};

use super::Sprockets;

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

impl Sprockets {
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
        let new = self.centre(links)?;
        let grown = 1.0 + worn.fraction();
        let (low, seated) = if worn == Elongation::ZERO {
            (new, new)
        } else {
            // A negative reading cannot make a chain that goes round too short to do so.
            (new * grown, self.pitch() * self.centre_at((links * grown).max(self.least_links())))
        };
        Some(Fit {
            links,
            centre: seated,
            room_front: low - stops.front,
            room_rear: stops.rear - seated,
            runs_out: Elongation::from_fraction(self.links_needed(stops.rear) / links - 1.0),
            runs_out_late: Elongation::from_fraction(stops.rear / new - 1.0),
        })
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

#[cfg(test)]
mod tests {
    use super::*;
    use measure::Teeth;

    const STOPS: Stops = Stops { front: Length::from_mm(668.0), rear: Length::from_mm(698.0) };

    fn pair(front: u16, rear: u16) -> Sprockets {
        let teeth = |count| Teeth::new(count).expect("teeth in bounds");
        Sprockets::new(Length::from_mm(15.875), teeth(front), teeth(rear))
    }

    #[test]
    fn a_negative_room_says_which_end_is_short() {
        let fit = pair(14, 53).fit(STOPS, 118.0, Elongation::ZERO).expect("long enough");
        assert!(fit.room_front.mm() < 0.0 && fit.room_rear.mm() > 0.0 && !fit.between());
    }
}
