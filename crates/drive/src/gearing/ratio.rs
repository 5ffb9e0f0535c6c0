//! Exact ratios: driven over driver as whole numbers, so that equal pairs are equal and never "nearly".
//!
//! `total ratio = primary · gear · rear/front`. A ratio given as a decimal is the fraction its digits spell.

use std::cmp::Ordering;

use super::pair::Pair;

/// An exact ratio, driven over driver, in lowest terms.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Ratio {
    pub(super) driven: u64,
    pub(super) driver: u64,
}

impl Ratio {
    /// From counted teeth; `None` if either is 0.
    #[must_use]
    pub fn of_teeth(driver: u64, driven: u64) -> Option<Self> {
        Self::lowest(u128::from(driven), u128::from(driver))
    }

    /// The fraction that the shortest decimal of a number spells: 2.4 is 12/5.
    ///
    /// `None` for a number that is not positive, or whose digits do not fit (beyond 17 digits behind the point).
    #[must_use]
    pub fn of_decimal(value: f64) -> Option<Self> {
        let (over, under) = decimal(value)?;
        Self::lowest(over, under)
    }

    /// In lowest terms; `None` if either is 0 or too large.
    fn lowest(driven: u128, driver: u128) -> Option<Self> {
        let by = gcd(driven, driver);
        let (driven, driver) = (u64::try_from(driven / by).ok()?, u64::try_from(driver / by).ok()?);
        (driven > 0 && driver > 0).then_some(Self { driven, driver })
    }

    /// The ratio as a number.
    #[must_use]
    pub fn value(self) -> f64 {
        real(u128::from(self.driven)) / real(u128::from(self.driver))
    }

    /// This ratio over another, as whole numbers: `(over, under)`, not reduced.
    #[must_use]
    pub fn over(self, other: Self) -> (u128, u128) {
        (u128::from(self.driven) * u128::from(other.driver), u128::from(self.driver) * u128::from(other.driven))
    }
}

impl Ord for Ratio {
    fn cmp(&self, other: &Self) -> Ordering {
        let (over, under) = self.over(*other);
        over.cmp(&under)
    }
}

impl PartialOrd for Ratio {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

/// Why a set of ratios is no gearbox.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum GearboxFault {
    /// No gear at all.
    Empty,
    /// The gear of this number (from 1) is not taller than the one before it.
    DoesNotFall(usize),
}

/// Primary drive and gears, from first to top; the ratios fall.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Gearbox {
    primary: Ratio,
    gears: Vec<Ratio>,
}

impl Gearbox {
    /// From the primary ratio and the gears in order.
    ///
    /// # Errors
    /// No gear, or ratios that do not fall strictly.
    pub fn new(primary: Ratio, gears: Vec<Ratio>) -> Result<Self, GearboxFault> {
        if gears.is_empty() {
            return Err(GearboxFault::Empty);
        }
        match gears.windows(2).position(|two| two[0] <= two[1]) {
            Some(at) => Err(GearboxFault::DoesNotFall(at + 2)),
            None => Ok(Self { primary, gears }),
        }
    }

    /// The primary ratio.
    #[must_use]
    pub const fn primary(&self) -> Ratio {
        self.primary
    }

    /// The gears in order.
    #[must_use]
    pub fn gears(&self) -> &[Ratio] {
        &self.gears
    }

    /// Turns of the crankshaft for one of the wheel, in every gear with a pair.
    ///
    /// # Shape
    /// As many as gears, falling.
    ///
    /// # Formula
    /// `primary · gear · rear/front`, multiplied as whole numbers and divided once.
    #[must_use]
    pub fn totals(&self, pair: Pair) -> Vec<f64> {
        let last = pair.ratio();
        self.gears.iter().map(|gear| product([self.primary, *gear, last])).collect()
    }

    /// The same without the final drive: turns of the crankshaft for one of the countershaft.
    #[must_use]
    pub fn inner(&self) -> Vec<f64> {
        self.gears.iter().map(|gear| product([self.primary, *gear])).collect()
    }
}

/// A product of ratios as a number. Each of at most three factors has at most 18 digits above and 17 below, final
/// ratios two: the products stay below 2^128.
fn product<const N: usize>(ratios: [Ratio; N]) -> f64 {
    let (over, under) = ratios.iter().fold((1_u128, 1_u128), |(over, under), ratio| {
        let (over, under) = (over * u128::from(ratio.driven), under * u128::from(ratio.driver));
        let by = gcd(over, under);
        (over / by, under / by)
    });
    real(over) / real(under)
}

/// The fraction that the shortest decimal of a positive number spells, not reduced.
pub(super) fn decimal(value: f64) -> Option<(u128, u128)> {
    if !value.is_finite() {
        return None;
    }
    // A minus is no digit: what is below 0 is refused with what cannot be read.
    let text = value.to_string();
    let (whole, part) = text.split_once('.').unwrap_or((&text, ""));
    let under = 10_u128.checked_pow(u32::try_from(part.len()).ok()?)?;
    let over = whole.parse::<u128>().ok()?.checked_mul(under)?;
    let part = if part.is_empty() { 0 } else { part.parse::<u128>().ok()? };
    Some((over.checked_add(part)?, under))
}

const fn gcd(mut a: u128, mut b: u128) -> u128 {
    while b != 0 {
        (a, b) = (b, a % b);
    }
    if a == 0 { 1 } else { a }
}

/// A whole number as a double, rounded beyond 2^53.
#[expect(clippy::cast_precision_loss, reason = "rounding to the nearest double is what is wanted")]
pub(super) const fn real(whole: u128) -> f64 {
    whole as f64
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_decimal_is_the_fraction_its_digits_spell() {
        assert_eq!(Ratio::of_decimal(2.4), Ratio::of_teeth(5, 12));
        assert_eq!(Ratio::of_decimal(3.0), Ratio::of_teeth(1, 3));
        assert_eq!(Ratio::of_decimal(0.0), None);
        for none in [f64::NAN, f64::INFINITY, -0.0, -0.5, -2.4] {
            assert_eq!(Ratio::of_decimal(none), None, "{none}");
        }
        assert!(Ratio::of_decimal(31.0 / 14.0).is_some_and(|ratio| ratio != Ratio::of_teeth(14, 31).expect("teeth")));
    }

    #[test]
    fn gears_that_do_not_fall_are_no_box() {
        let ratio = |driver, driven| Ratio::of_teeth(driver, driven).expect("teeth");
        let fault = Gearbox::new(ratio(1, 3), vec![ratio(5, 12), ratio(10, 24)]).expect_err("equal gears");
        assert_eq!(fault, GearboxFault::DoesNotFall(2));
        assert_eq!(Gearbox::new(ratio(1, 3), vec![]).expect_err("no gear"), GearboxFault::Empty);
    }

    #[test]
    fn the_longest_decimals_do_not_overflow() {
        let long = |value| Ratio::of_decimal(value).expect("fits");
        let gears = Gearbox::new(long(9.999_999_999_999_998), vec![long(7.999_999_999_999_999)]).expect("one gear");
        assert!((gears.totals(Pair::of(8, 80).expect("teeth"))[0] - 800.0).abs() < 1e-9);
        let low = Gearbox::new(long(0.500_000_000_000_000_1), vec![long(0.200_000_000_000_000_04)]).expect("one gear");
        assert!((low.totals(Pair::of(25, 20).expect("teeth"))[0] - 0.08).abs() < 1e-12);
    }
}
