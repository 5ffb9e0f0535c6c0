//! The strength that the number on a bolt head promises. Stainless marks and inch grades do not live here.

use measure::Length;

/// Least strengths of a class, in MPa.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Strength {
    /// Tensile strength.
    pub tensile_mpa: f64,
    /// Yield strength, or 0.2 % proof strength.
    pub yield_mpa: f64,
    /// Stress under proof load.
    pub proof_mpa: f64,
}

/// A property class of steel bolts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PropertyClass {
    /// 4.6
    C4_6,
    /// 4.8
    C4_8,
    /// 5.6
    C5_6,
    /// 5.8
    C5_8,
    /// 6.8
    C6_8,
    /// 8.8
    C8_8,
    /// 9.8, made up to 16 mm
    C9_8,
    /// 10.9
    C10_9,
    /// 12.9
    C12_9,
}

/// Where the strengths of class 8.8 change and class 9.8 ends.
const STEP_MM: f64 = 16.0;

impl PropertyClass {
    /// Every class, weakest first.
    pub const ALL: [Self; 9] =
        [Self::C4_6, Self::C4_8, Self::C5_6, Self::C5_8, Self::C6_8, Self::C8_8, Self::C9_8, Self::C10_9, Self::C12_9];

    /// The number as it stands on the head.
    #[must_use]
    pub const fn mark(self) -> f64 {
        match self {
            Self::C4_6 => 4.6,
            Self::C4_8 => 4.8,
            Self::C5_6 => 5.6,
            Self::C5_8 => 5.8,
            Self::C6_8 => 6.8,
            Self::C8_8 => 8.8,
            Self::C9_8 => 9.8,
            Self::C10_9 => 10.9,
            Self::C12_9 => 12.9,
        }
    }

    /// The class of a number on a head; `None` if it is no class.
    #[must_use]
    pub fn of(mark: f64) -> Option<Self> {
        Self::ALL.into_iter().find(|class| (class.mark() - mark).abs() < 1e-9)
    }

    /// The least strengths at a diameter; `None` where the class is not made so large.
    ///
    /// # Source
    /// iso-898-1: tables of minimum values by class, 8.8 in two size ranges.
    #[must_use]
    pub fn strength(self, diameter: Length) -> Option<Strength> {
        let small = diameter.mm() <= STEP_MM;
        let (tensile_mpa, yield_mpa, proof_mpa) = match self {
            Self::C4_6 => (400.0, 240.0, 225.0),
            Self::C4_8 => (420.0, 340.0, 310.0),
            Self::C5_6 => (500.0, 300.0, 280.0),
            Self::C5_8 => (520.0, 420.0, 380.0),
            Self::C6_8 => (600.0, 480.0, 440.0),
            Self::C8_8 if small => (800.0, 640.0, 580.0),
            Self::C8_8 => (830.0, 660.0, 600.0),
            Self::C9_8 if small => (900.0, 720.0, 650.0),
            Self::C9_8 => return None,
            Self::C10_9 => (1040.0, 940.0, 830.0),
            Self::C12_9 => (1220.0, 1100.0, 970.0),
        };
        Some(Strength { tensile_mpa, yield_mpa, proof_mpa })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_mark_finds_its_own_class_and_no_other() {
        for class in PropertyClass::ALL {
            assert_eq!(PropertyClass::of(class.mark()), Some(class));
        }
        assert_eq!(PropertyClass::of(7.7), None);
    }

    #[test]
    fn the_size_range_ends_at_sixteen() {
        let at = |class: PropertyClass, mm: f64| class.strength(Length::from_mm(mm));
        assert!(at(PropertyClass::C9_8, 16.0).is_some() && at(PropertyClass::C9_8, 16.1).is_none());
        assert!(at(PropertyClass::C8_8, 16.0).is_some_and(|strength| strength.proof_mpa < 590.0));
        assert!(at(PropertyClass::C8_8, 18.0).is_some_and(|strength| strength.proof_mpa > 590.0));
    }

    #[test]
    fn proof_lies_below_yield_and_yield_below_tensile() {
        for class in PropertyClass::ALL {
            let strength = class.strength(Length::from_mm(8.0)).expect("small enough");
            assert!(strength.proof_mpa < strength.yield_mpa && strength.yield_mpa < strength.tensile_mpa);
        }
    }
}
