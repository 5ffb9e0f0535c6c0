//! Height of the straight runs over the arm line, for slider and guide.

use measure::{Angle, Length};

use super::frame::Point;
use super::layout::{Layout, Run};

/// The height over the arm line of a straight run's line at a place along the arm; `None` where it stands square to
/// the arm. Slider left out.
#[must_use]
pub fn run_height(layout: &Layout, arm: Angle, run: Run, along: Length) -> Option<Length> {
    let line = layout.run(arm, run);
    let (foot, up) = (Point::on_arm(along.mm(), 0.0, arm.rad()), Point::on_arm(0.0, 1.0, arm.rad()));
    let lean = up.dot(line.outward);
    (lean.abs() > 1e-9).then(|| Length::from_mm((line.front - foot).dot(line.outward) / lean))
}

/// Whether a place along the arm lies under the straight part of a run.
#[must_use]
pub fn is_under(layout: &Layout, arm: Angle, run: Run, along: Length) -> bool {
    let line = layout.run(arm, run);
    let back = Point::on_arm(1.0, 0.0, arm.rad());
    let (from_mm, to_mm) = (line.front.dot(back), line.rear.dot(back));
    from_mm <= along.mm() && along.mm() <= to_mm
}
