//! An invented bike for the tests of this folder.

use measure::{Angle, Elongation, Length, Teeth};

use super::layout::{Layout, Sheet, Slider};
use super::swing::Swing;

/// An invented 250: countershaft 68/9, arm 615, 14/48, slider disc of 37.5 round the pivot.
pub(super) fn sheet() -> Sheet {
    let mm = Length::from_mm;
    Sheet {
        countershaft_x: mm(68.0),
        countershaft_z: mm(9.0),
        arm: mm(615.0),
        pitch: mm(15.875),
        front: Teeth::new(14).expect("14 teeth"),
        rear: Teeth::new(48).expect("48 teeth"),
        elongation: Elongation::ZERO,
        slider: Some(Slider { along: Length::ZERO, above: Length::ZERO, radius: mm(37.5) }),
    }
}

/// The same as a drive.
pub(super) fn layout() -> Layout {
    Layout::new(&sheet())
}

/// Its travel: 24 degrees of droop, 295 mm.
pub(super) fn swing() -> Swing {
    Swing::new(Length::from_mm(615.0), Angle::from_deg(24.0), Length::from_mm(295.0)).expect("within reach")
}
