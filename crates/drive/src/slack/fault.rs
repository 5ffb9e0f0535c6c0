//! Why the drive has no answer: each fault holds what was found and what would be possible.

use measure::{Angle, Length};

/// A physical impossibility, or a reading that says nothing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Fault {
    /// The sprockets would overlap.
    Overlap {
        /// The nearest that they come.
        distance: Length,
        /// The least that they need.
        least: Length,
    },
    /// The slider disc and a sprocket lie one inside the other.
    DiscInside {
        /// Distance of their middles.
        distance: Length,
    },
    /// The slider would keep the chain off a sprocket altogether.
    OffSprocket,
    /// The arm cannot make so much wheel travel.
    BeyondReach {
        /// The most that it can.
        most: Length,
    },
    /// The arm does not reach this angle.
    OutsideTravel {
        /// Angle at full compression.
        compression: Angle,
        /// Angle at full extension.
        extension: Angle,
    },
    /// The run rests on the slider when taut: a free reading means something else there.
    Rests,
    /// There is less chain than the taut loop takes.
    TooShort {
        /// Chain beyond taut; not above 0.
        surplus: Length,
    },
    /// There is no chain over the arm at this place.
    NoChainHere {
        /// The last place along the arm that has chain above it.
        last: Length,
    },
    /// The gap is smaller than with the chain just taut.
    BelowTaut {
        /// The gap with the chain just taut.
        taut: Length,
    },
    /// No place of the axle gives what is wanted without the sprockets touching.
    NoAxlePlace,
    /// So many rounds are no plan.
    TooManyRounds {
        /// How many.
        rounds: f64,
    },
}
