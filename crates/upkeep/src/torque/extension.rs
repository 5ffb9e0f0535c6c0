//! The setting of a torque wrench with an adapter beside its drive (crow foot). A straight socket extension needs none.
//!
//! ```text
//! grip ●────── L ──────□ drive ── E ──◯ fastener        a = 0 in line, 90° across, 180° turned back
//! ```

use measure::{Angle, Length, Torque};

/// Share of the wrench's own length that must be left as lever.
const LEAST_LEVER: f64 = 0.5;

/// An adapter on a wrench.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Adapter {
    /// From the drive to the middle of the grip.
    pub wrench: Length,
    /// From the drive to the fastener.
    pub extension: Length,
    /// Between wrench and adapter, 0 in line.
    pub angle: Angle,
}

/// What to set so that the fastener gets the torque; `None` if the adapter turns back so far that less than half of
/// the lever is left.
///
/// # Formula
/// setting = T · L / (L + E · cos a)
///
/// # Source
/// lever: moments about the fastener, derived here.
#[must_use]
pub fn setting(torque: Torque, adapter: &Adapter) -> Option<Torque> {
    let lever = adapter.wrench + adapter.extension * adapter.angle.rad().cos();
    (lever >= adapter.wrench * LEAST_LEVER).then(|| torque * (adapter.wrench / lever))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn set(extension_mm: f64, angle_deg: f64) -> Option<f64> {
        let adapter = Adapter {
            wrench: Length::from_mm(400.0),
            extension: Length::from_mm(extension_mm),
            angle: Angle::from_deg(angle_deg),
        };
        setting(Torque::from_nm(80.0), &adapter).map(Torque::nm)
    }

    #[test]
    fn an_adapter_across_the_wrench_changes_nothing() {
        assert!(set(50.0, 90.0).is_some_and(|nm| (nm - 80.0).abs() < 1e-9));
        assert!(set(50.0, 0.0).is_some_and(|nm| nm < 80.0) && set(50.0, 135.0).is_some_and(|nm| nm > 80.0));
    }

    #[test]
    fn half_of_the_lever_must_be_left() {
        assert!(set(200.0, 180.0).is_some() && set(200.1, 180.0).is_none());
    }
}
