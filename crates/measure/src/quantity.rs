//! Quantities: a length is not a force, and the unit is said where the number goes in or comes out.
//!
//! Each type keeps its number in the unit that the trade writes down (mm, N·m, …), so that a figure typed
//! is read back digit for digit; why not SI inside: `docs/why.md`. What the types do not catch: a diameter
//! used as a radius, a centre distance used as an arm length, free slack used as a gap.

use std::iter::Sum;
use std::ops::{Add, AddAssign, Div, Mul, Neg, Sub, SubAssign};

/// Declares a quantity kept in one unit, with the arithmetic that every linear quantity allows.
macro_rules! quantity {
    ($(#[$doc:meta])* $name:ident, $from:ident, $read:ident) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
        pub struct $name(f64);

        impl $name {
            /// Nothing of it.
            pub const ZERO: Self = Self(0.0);

            /// From a number in the unit that the name says.
            #[must_use]
            pub const fn $from(value: f64) -> Self {
                Self(value)
            }

            /// The number in the unit that the name says.
            #[must_use]
            pub const fn $read(self) -> f64 {
                self.0
            }

            /// The size without the sign.
            #[must_use]
            pub const fn abs(self) -> Self {
                Self(self.0.abs())
            }

            /// The smaller of two.
            #[must_use]
            pub const fn min(self, other: Self) -> Self {
                Self(self.0.min(other.0))
            }

            /// The larger of two.
            #[must_use]
            pub const fn max(self, other: Self) -> Self {
                Self(self.0.max(other.0))
            }
        }

        impl Add for $name {
            type Output = Self;
            fn add(self, other: Self) -> Self {
                Self(self.0 + other.0)
            }
        }
        impl Sub for $name {
            type Output = Self;
            fn sub(self, other: Self) -> Self {
                Self(self.0 - other.0)
            }
        }
        impl AddAssign for $name {
            fn add_assign(&mut self, other: Self) {
                self.0 += other.0;
            }
        }
        impl SubAssign for $name {
            fn sub_assign(&mut self, other: Self) {
                self.0 -= other.0;
            }
        }
        impl Neg for $name {
            type Output = Self;
            fn neg(self) -> Self {
                Self(-self.0)
            }
        }
        impl Mul<f64> for $name {
            type Output = Self;
            fn mul(self, by: f64) -> Self {
                Self(self.0 * by)
            }
        }
        impl Div<f64> for $name {
            type Output = Self;
            fn div(self, by: f64) -> Self {
                Self(self.0 / by)
            }
        }
        impl Div for $name {
            type Output = f64;
            fn div(self, by: Self) -> f64 {
                self.0 / by.0
            }
        }
        impl Sum for $name {
            fn sum<I: Iterator<Item = Self>>(all: I) -> Self {
                Self(all.map(|one| one.0).sum())
            }
        }
    };
}

quantity!(
    /// A length, kept in millimetres. Does not catch: radius for diameter, arm length for centre distance.
    Length, from_mm, mm
);
quantity!(
    /// An angle, kept in radians.
    Angle, from_rad, rad
);
quantity!(
    /// A speed, kept in metres per second.
    Speed, from_mps, mps
);
quantity!(
    /// A force, kept in newtons.
    Force, from_n, n
);
quantity!(
    /// A torque, kept in newton metres. Does not catch: engine torque for countershaft torque.
    Torque, from_nm, nm
);
quantity!(
    /// A mass, kept in kilograms.
    Mass, from_kg, kg
);
quantity!(
    /// A power, kept in kilowatts.
    Power, from_kw, kw
);
quantity!(
    /// Chain elongation, kept in percent of the new length; 1.0 is one percent longer than new.
    Elongation, from_pct, pct
);

impl Length {
    /// From metres.
    #[must_use]
    pub const fn from_m(value: f64) -> Self {
        Self(value * 1000.0)
    }

    /// In metres.
    #[must_use]
    pub const fn m(self) -> f64 {
        self.0 / 1000.0
    }
}

impl Angle {
    /// From degrees.
    #[must_use]
    pub const fn from_deg(value: f64) -> Self {
        Self(value.to_radians())
    }

    /// In degrees.
    #[must_use]
    pub const fn deg(self) -> f64 {
        self.0.to_degrees()
    }
}

impl Speed {
    /// From kilometres per hour.
    #[must_use]
    pub const fn from_kmh(value: f64) -> Self {
        Self(value / 3.6)
    }

    /// In kilometres per hour.
    #[must_use]
    pub const fn kmh(self) -> f64 {
        self.0 * 3.6
    }
}

impl Elongation {
    /// As a fraction of the new length.
    #[must_use]
    pub const fn fraction(self) -> f64 {
        self.0 / 100.0
    }

    /// From a fraction of the new length.
    #[must_use]
    pub const fn from_fraction(value: f64) -> Self {
        Self(value * 100.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_length_is_read_back_digit_for_digit() {
        for mm in [15.875, 12.7, 605.6, 0.1] {
            assert!((Length::from_mm(mm).mm() - mm).abs() == 0.0);
        }
    }

    #[test]
    fn units_convert_by_their_definitions() {
        assert!((Speed::from_kmh(36.0).mps() - 10.0).abs() < 1e-12);
        assert!((Angle::from_deg(180.0).rad() - std::f64::consts::PI).abs() < 1e-15);
        assert!((Length::from_m(2.1).mm() - 2100.0).abs() < 1e-9);
        assert!((Elongation::from_pct(1.0).fraction() - 0.01).abs() < 1e-15);
    }
}
