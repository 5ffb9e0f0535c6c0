//! Chain sizes by their trade names: dimensions, strength, and whether a chain runs on another size's sprocket.
//!
//! The strength of a motorcycle chain varies up to one to two with its type: the table's figure is a fallback,
//! the rider's own counts.

use measure::exact::{INCH_MM, POUND_FORCE_N};
use measure::{Length, Standing};

use super::sprocket::tooth_width;

/// Family of a size.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Series {
    /// Short-pitch roller chains of the international standard.
    Iso606,
    /// Inch chains by number.
    Ansi,
    /// Motorcycle chains.
    Motorcycle,
}

impl Series {
    /// The word that answers use.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Iso606 => "iso606",
            Self::Ansi => "ansi",
            Self::Motorcycle => "motorcycle",
        }
    }
}

/// One size of chain.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Size {
    /// Trade name.
    pub name: &'static str,
    /// Family.
    pub series: Series,
    /// Pin to pin.
    pub pitch_mm: f64,
    /// Roller diameter.
    pub roller_mm: f64,
    /// Between inner plates.
    pub inner_width_mm: f64,
    /// Pin diameter, where known.
    pub pin_mm: Option<f64>,
    /// Minimum tensile strength.
    pub tensile_kn: f64,
    /// How far that strength can be relied on: `Published` where a published minimum was seen that the figure does
    /// not exceed, else `Memory`.
    pub tensile_standing: Standing,
    /// Mass per metre, where known.
    pub mass_kg_per_m: Option<f64>,
}

/// A row of the international table: pitch, roller, inner width, pin, tensile (the lower of catalogue and standard), kg/m.
const fn iso(name: &'static str, mm: [f64; 4], tensile_kn: f64, mass: f64) -> Size {
    Size {
        name,
        series: Series::Iso606,
        pitch_mm: mm[0],
        roller_mm: mm[1],
        inner_width_mm: mm[2],
        pin_mm: Some(mm[3]),
        tensile_kn,
        tensile_standing: Standing::Published,
        mass_kg_per_m: Some(mass),
    }
}

/// A row of the inch table: pitch, roller, inner width, pin in inches, tensile in pounds-force.
const fn inch(name: &'static str, inches: [f64; 4], pounds: f64) -> Size {
    Size {
        name,
        series: Series::Ansi,
        pitch_mm: inches[0] * INCH_MM,
        roller_mm: inches[1] * INCH_MM,
        inner_width_mm: inches[2] * INCH_MM,
        pin_mm: Some(inches[3] * INCH_MM),
        tensile_kn: pounds * POUND_FORCE_N / 1000.0,
        tensile_standing: Standing::Published,
        mass_kg_per_m: None,
    }
}

/// A motorcycle size: pitch, roller, inner width as the middle of the range seen; pin and strength remembered.
const fn motorcycle(name: &'static str, mm: [f64; 4], tensile_kn: f64) -> Size {
    Size {
        name,
        series: Series::Motorcycle,
        pitch_mm: mm[0],
        roller_mm: mm[1],
        inner_width_mm: mm[2],
        pin_mm: Some(mm[3]),
        tensile_kn,
        tensile_standing: Standing::Memory,
        mass_kg_per_m: None,
    }
}

/// Every size that the tool knows.
///
/// # Source
/// Dimensions: `chain-catalogue`, `inch-chain-table`, `trade-tables`. Strength of the motorcycle sizes and of 083,
/// pins of the motorcycle sizes: `motorcycle-chain-memory`.
pub const SIZES: [Size; 26] = [
    iso("04C", [6.35, 3.30, 3.18, 2.31], 3.5, 0.15),
    iso("05B", [8.0, 5.00, 3.00, 2.31], 4.4, 0.20),
    iso("06B", [9.525, 6.35, 5.72, 3.28], 8.9, 0.41),
    iso("06C", [9.525, 5.08, 4.77, 3.58], 7.9, 0.33),
    Size { pin_mm: None, tensile_standing: Standing::Memory, ..iso("083", [12.7, 7.75, 4.88, 0.0], 11.6, 0.42) },
    iso("085", [12.7, 7.77, 6.25, 3.58], 6.67, 0.41),
    iso("08A", [12.7, 7.95, 7.85, 3.96], 13.9, 0.62),
    iso("08B", [12.7, 8.51, 7.75, 4.45], 17.8, 0.69),
    iso("10A", [15.875, 10.16, 9.40, 5.08], 21.8, 1.02),
    iso("10B", [15.875, 10.16, 9.65, 5.08], 22.2, 0.93),
    iso("12A", [19.05, 11.91, 12.57, 5.94], 31.3, 1.50),
    iso("12B", [19.05, 12.07, 11.68, 5.72], 28.9, 1.15),
    inch("25", [0.250, 0.130, 0.125, 0.0905], 781.0),
    inch("35", [0.375, 0.200, 0.188, 0.141], 1758.0),
    inch("40", [0.500, 0.312, 0.312, 0.156], 3125.0),
    inch("41", [0.500, 0.306, 0.250, 0.141], 1500.0),
    inch("50", [0.625, 0.400, 0.375, 0.200], 4880.0),
    inch("60", [0.750, 0.469, 0.500, 0.234], 7030.0),
    inch("80", [1.000, 0.625, 0.625, 0.312], 12_500.0),
    motorcycle("219", [7.774, 4.59, 4.84, 3.01], 6.6),
    motorcycle("415", [12.7, 7.76, 4.82, 3.97], 11.8),
    motorcycle("420", [12.7, 7.76, 6.30, 3.97], 15.6),
    motorcycle("428", [12.7, 8.505, 7.85, 4.45], 16.7),
    motorcycle("520", [15.875, 10.16, 6.30, 5.08], 26.4),
    motorcycle("525", [15.875, 10.16, 7.90, 5.08], 26.4),
    motorcycle("530", [15.875, 10.16, 9.525, 5.08], 26.4),
];

/// The size of a trade name; `None` where the tables have none.
#[must_use]
pub fn size(name: &str) -> Option<&'static Size> {
    SIZES.iter().find(|size| size.name == name)
}

/// Rollers may differ by this part of the larger one.
///
/// # Source
/// `ours`.
pub const ROLLER_TOLERANCE: f64 = 0.02;
/// An inner width that exceeds the sprocket's own by more lets the chain wander.
///
/// # Source
/// `ours`.
pub const LOOSE: Length = Length::from_mm(0.4);

/// Why a chain does not run, or runs loose.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Mismatch {
    /// Pitches differ.
    Pitch,
    /// Rollers differ by more than [`ROLLER_TOLERANCE`].
    Roller,
    /// The tooth is wider than the chain, or the chain wider than its sprocket by more than [`LOOSE`].
    Width,
}

/// Whether a chain runs on a sprocket.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Match {
    /// It runs.
    Runs,
    /// It runs, but wanders sideways.
    RunsLoose,
    /// It does not, for these reasons.
    DoesNotRun(Vec<Mismatch>),
}

/// Whether a chain of one size runs on a sprocket made for another.
///
/// # Formula
/// Pitch equal, rollers within 2 %, tooth width of the sprocket's size ≤ the chain's inner width; loose where the
/// inner widths differ by more than 0.4 mm.
///
/// # Source
/// `geometry` on the tables' dimensions; thresholds `ours`.
#[must_use]
pub fn runs_on(chain: &Size, sprocket: &Size) -> Match {
    let mm = Length::from_mm;
    let tooth = tooth_width(mm(sprocket.pitch_mm), mm(sprocket.inner_width_mm));
    let rollers_apart = (chain.roller_mm - sprocket.roller_mm).abs();
    let reasons: Vec<_> = [
        // Inch tables in millimetres carry the rounding of binary numbers.
        ((chain.pitch_mm - sprocket.pitch_mm).abs() > 1e-9, Mismatch::Pitch),
        (rollers_apart > ROLLER_TOLERANCE * chain.roller_mm.max(sprocket.roller_mm), Mismatch::Roller),
        (tooth > mm(chain.inner_width_mm), Mismatch::Width),
    ]
    .into_iter()
    .filter_map(|(differs, mismatch)| differs.then_some(mismatch))
    .collect();
    if !reasons.is_empty() {
        Match::DoesNotRun(reasons)
    } else if mm(chain.inner_width_mm - sprocket.inner_width_mm) > LOOSE {
        Match::RunsLoose
    } else {
        Match::Runs
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn on(chain: &str, sprocket: &str) -> Match {
        runs_on(size(chain).expect("a size"), size(sprocket).expect("a size"))
    }

    #[test]
    fn every_chain_runs_on_its_own_sprocket() {
        for size in &SIZES {
            assert_eq!(runs_on(size, size), Match::Runs, "{}", size.name);
        }
    }

    #[test]
    fn one_pitch_does_not_mean_one_chain() {
        assert_eq!(on("525", "520"), Match::RunsLoose);
        assert_eq!(on("520", "525"), Match::DoesNotRun(vec![Mismatch::Width]));
        assert_eq!(on("428", "420"), Match::DoesNotRun(vec![Mismatch::Roller]));
    }

    #[test]
    fn names_are_unique() {
        for (at, one) in SIZES.iter().enumerate() {
            assert!(SIZES[at + 1..].iter().all(|other| other.name != one.name));
        }
    }
}
