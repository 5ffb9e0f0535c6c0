//! What a change of pair means at the same engine speed.

use super::pair::Pair;
use super::ratio::real;

/// Which way a change goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sense {
    /// More force, less speed.
    Shorter,
    /// More speed, less force.
    Taller,
    /// The same ratio.
    Same,
}

impl Sense {
    /// The word of figures.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Shorter => "shorter",
            Self::Taller => "taller",
            Self::Same => "same",
        }
    }
}

/// One pair against another at the same rpm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Swap {
    /// Change of ground speed, percent.
    pub speed_pct: f64,
    /// Change of wheel force, percent.
    pub thrust_pct: f64,
    /// Which way it goes.
    pub sense: Sense,
    /// The same change by the rear sprocket alone, in teeth.
    pub rear_teeth_equivalent: f64,
    /// The same change by the front sprocket alone, in teeth.
    pub front_teeth_equivalent: f64,
    /// One tooth less in front equals so many more behind, from the present pair.
    pub front_less_one_as_rear: f64,
    /// One tooth more in front equals so many (negative: fewer) behind, from the present pair.
    pub front_plus_one_as_rear: f64,
    /// Half the change of teeth: how many links longer the chain wants to be, about.
    pub links_change: f64,
}

/// Compares a new pair with the present one.
///
/// # Formula
/// With `q = (R'/F') / (R/F)`: thrust `q − 1`, speed `1/q − 1`; one front tooth less equals `R/(F−1)` rear teeth.
#[must_use]
pub fn swap(present: Pair, new: Pair) -> Swap {
    let (over, under) = new.ratio().over(present.ratio());
    let change = |more: u128, less: u128, base: u128| {
        let size = real(more.abs_diff(less)) / real(base);
        if more >= less { size } else { -size }
    };
    let (front, rear) = (present.front.real(), present.rear.real());
    let (new_front, new_rear) = (new.front.real(), new.rear.real());
    Swap {
        speed_pct: change(under, over, over) * 100.0,
        thrust_pct: change(over, under, under) * 100.0,
        sense: match over.cmp(&under) {
            std::cmp::Ordering::Greater => Sense::Shorter,
            std::cmp::Ordering::Less => Sense::Taller,
            std::cmp::Ordering::Equal => Sense::Same,
        },
        rear_teeth_equivalent: (new_rear * front - rear * new_front) / new_front,
        front_teeth_equivalent: (new_front * rear - front * new_rear) / new_rear,
        front_less_one_as_rear: rear / (front - 1.0),
        front_plus_one_as_rear: -rear / (front + 1.0),
        links_change: (f64::from(new.teeth()) - f64::from(present.teeth())) / 2.0,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_front_tooth_less_is_r_over_f_minus_one_behind() {
        let pair = |front, rear| Pair::of(front, rear).expect("teeth");
        let change = swap(pair(14, 48), pair(13, 48));
        assert!((change.rear_teeth_equivalent - change.front_less_one_as_rear).abs() < 1e-12);
        assert_eq!(change.sense, Sense::Shorter);
        assert_eq!(swap(pair(12, 48), pair(14, 56)).sense, Sense::Same);
    }
}
