//! Units in which torque is printed in manuals and on wrenches.

use measure::Torque;
use measure::exact::{GRAVITY, INCH_M, POUND_FORCE_N};

/// A unit of torque.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TorqueUnit {
    /// Newton metre.
    NewtonMetre,
    /// Pound-force foot.
    PoundFoot,
    /// Pound-force inch.
    PoundInch,
    /// Kilogram-force metre.
    KilogramMetre,
}

impl TorqueUnit {
    /// Every unit.
    pub const ALL: [Self; 4] = [Self::NewtonMetre, Self::PoundFoot, Self::PoundInch, Self::KilogramMetre];

    /// The spelling that is read and written.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::NewtonMetre => "N.m",
            Self::PoundFoot => "lbf.ft",
            Self::PoundInch => "lbf.in",
            Self::KilogramMetre => "kgf.m",
        }
    }

    /// The unit of a spelling; `None` for any other word.
    #[must_use]
    pub fn of(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|unit| unit.word() == word)
    }

    /// One of the unit in newton metres.
    ///
    /// # Source
    /// exact-units.
    #[must_use]
    const fn newton_metres(self) -> f64 {
        match self {
            Self::NewtonMetre => 1.0,
            Self::PoundFoot => 12.0 * INCH_M * POUND_FORCE_N,
            Self::PoundInch => INCH_M * POUND_FORCE_N,
            Self::KilogramMetre => GRAVITY,
        }
    }

    /// A torque from a number in this unit.
    #[must_use]
    pub fn torque(self, value: f64) -> Torque {
        Torque::from_nm(value * self.newton_metres())
    }

    /// The number of this unit in a torque.
    #[must_use]
    pub fn value(self, torque: Torque) -> f64 {
        torque.nm() / self.newton_metres()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_number_comes_back_from_every_unit() {
        for unit in TorqueUnit::ALL {
            assert_eq!(TorqueUnit::of(unit.word()), Some(unit));
            assert!((unit.value(unit.torque(26.0)) - 26.0).abs() < 1e-12);
        }
        assert_eq!(TorqueUnit::of("Nm"), None);
    }
}
