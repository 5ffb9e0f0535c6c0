//! The length of the taut loop round two sprockets and a slider between them, run by run, without its pieces.
//!
//! It is the border of the hull ([`super::hull`]), reached with a quarter of the work: along a travel the length is
//! asked for hundreds of times, its pieces never. Only loops that go front sprocket, perhaps slider, rear sprocket on
//! each side are answered; any other (a slider ahead of the countershaft, a disc inside another) is left to the hull.

use std::f64::consts::TAU;

use super::frame::Point;
use super::hull::Disc;

/// One side of the loop, from the front sprocket to the rear one.
struct Side {
    straight_mm: f64,
    /// How far it lies round the slider.
    slider_rad: f64,
    /// From backward to where it meets the rear sprocket, counted through this side.
    rear_rad: f64,
}

/// What both sides share: the line of the two sprockets.
struct Line {
    /// Unit direction from the front sprocket to the rear one.
    back: Point,
    /// Unit direction square to it, upward.
    up: Point,
    centre_mm: f64,
    /// How far the normal of a straight run leans backward.
    lean: f64,
}

/// Length of the loop; `None` where it does not go straight over the sprockets, the slider between them or inside.
pub(super) fn length(front: &Disc, rear: &Disc, slider: &Disc) -> Option<f64> {
    let between = rear.centre - front.centre;
    let centre_mm = between.size();
    let lean = (front.radius_mm - rear.radius_mm) / centre_mm;
    if lean.is_nan() || lean.abs() >= 1.0 {
        return None;
    }
    let back = between * (1.0 / centre_mm);
    let line = Line { back, up: Point::new(back.z_mm, -back.x_mm), centre_mm, lean };
    let [upper, lower] = [line.up, line.up * -1.0].map(|outward| line.side(outward, front, rear, slider));
    let (upper, lower) = (upper?, lower?);
    let slider_rad = upper.slider_rad + lower.slider_rad;
    let rear_rad = upper.rear_rad + lower.rear_rad;
    let front_rad = TAU - rear_rad - slider_rad;
    let touches = upper.slider_rad > 0.0 || lower.slider_rad > 0.0;
    if front_rad < 0.0 || !(touches || line.holds(front, rear, slider)) {
        return None;
    }
    let wraps = front.per_rad_mm * front_rad + rear.per_rad_mm * rear_rad + slider.per_rad_mm * slider_rad;
    Some(upper.straight_mm + lower.straight_mm + wraps)
}

impl Line {
    /// A side of the loop; `outward` is square to the line.
    fn side(&self, outward: Point, front: &Disc, rear: &Disc, slider: &Disc) -> Option<Side> {
        let rise = (1.0 - self.lean * self.lean).sqrt();
        let normal = self.back * self.lean + outward * rise;
        if (front.centre - slider.centre).dot(normal) + front.radius_mm >= slider.radius_mm {
            return Some(Side { straight_mm: self.centre_mm * rise, slider_rad: 0.0, rear_rad: self.lean.acos() });
        }
        let turn = if outward.dot(self.up) > 0.0 { 1.0 } else { -1.0 };
        let (to, to_mm) = tangent(front, slider, turn)?;
        let (from, from_mm) = tangent(slider, rear, turn)?;
        // Further forward than the straight run on the front sprocket, further back on the rear one, bent outward.
        let bent = to.dot(outward) * from.dot(self.back) - to.dot(self.back) * from.dot(outward);
        let between = to.dot(self.back) <= self.lean && from.dot(self.back) >= self.lean;
        (between && bent >= 0.0).then(|| Side {
            straight_mm: to_mm + from_mm,
            slider_rad: bent.atan2(to.dot(from)),
            rear_rad: from.dot(outward).atan2(from.dot(self.back)),
        })
    }

    /// Whether a slider that neither run touches reaches beyond neither sprocket.
    fn holds(&self, front: &Disc, rear: &Disc, slider: &Disc) -> bool {
        let held = |wheel: &Disc, ahead: f64| {
            let to = slider.centre - wheel.centre;
            ahead * (to.dot(self.back) - self.lean * to.size()) >= 0.0
                || to.size() + slider.radius_mm <= wheel.radius_mm
        };
        held(front, 1.0) && held(rear, -1.0)
    }
}

/// Outward normal and length of the straight piece from one disc to the next, on the upper side (`turn` 1) or the
/// lower one (-1); `None` where one disc holds the other.
fn tangent(one: &Disc, next: &Disc, turn: f64) -> Option<(Point, f64)> {
    let between = next.centre - one.centre;
    let apart_mm = between.size();
    let lean = (one.radius_mm - next.radius_mm) / apart_mm;
    (lean.abs() < 1.0).then(|| {
        let back = between * (1.0 / apart_mm);
        let rise = (1.0 - lean * lean).sqrt();
        (back * lean + Point::new(back.z_mm, -back.x_mm) * (turn * rise), apart_mm * rise)
    })
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::super::hull::Hull;
    use super::*;

    fn disc(x_mm: f64, z_mm: f64, radius_mm: f64, per_rad_mm: f64) -> Disc {
        Disc { centre: Point::new(x_mm, z_mm), radius_mm, per_rad_mm }
    }

    #[test]
    fn a_sprocket_that_just_holds_the_other_is_left_to_the_hull_and_one_beside_it_is_not() {
        let slider = Disc::smooth(Point::new(5.0, 0.0), 1.0);
        let inside = |x_mm: f64| length(&disc(0.0, 0.0, 40.0, 40.0), &disc(x_mm, 0.0, 100.0, 100.0), &slider);
        assert!(inside(60.0).is_none() && inside(59.0).is_none() && inside(0.0).is_none());
        // Barely beside it: front 40 from -61, nearly all of the loop on the rear sprocket.
        let beside = length(&disc(0.0, 0.0, 40.0, 40.0), &disc(60.001, 0.0, 100.0, 100.0), &slider);
        assert!(beside.is_some_and(|length_mm| (length_mm - TAU * 100.0).abs() < 0.01), "{beside:?}");
    }

    #[test]
    fn a_slider_out_of_reach_of_the_runs_adds_nothing_and_one_past_a_sprocket_is_left_to_the_hull() {
        let (front, rear) = (disc(0.0, 0.0, 40.0, 39.0), disc(-600.0, 0.0, 120.0, 119.0));
        let with = |x_mm: f64, z_mm: f64, radius_mm: f64| {
            length(&front, &rear, &Disc::smooth(Point::new(x_mm, z_mm), radius_mm))
        };
        let bare = Hull::round(&[front, rear]).length_mm;
        for (x_mm, z_mm, radius_mm) in
            [(-300.0, 0.0, 30.0), (0.0, 0.0, 39.0), (0.0, 0.0, 40.0), (-600.0, 50.0, 69.0), (39.0, 0.0, 1.0)]
        {
            let length_mm = with(x_mm, z_mm, radius_mm).expect("held inside");
            assert!((length_mm - bare).abs() < 1e-9, "{x_mm} {z_mm} {radius_mm}");
        }
        for (x_mm, z_mm, radius_mm) in [(39.1, 0.0, 1.0), (100.0, 0.0, 5.0), (-715.0, 0.0, 20.0), (-800.0, 10.0, 5.0)] {
            assert_eq!(with(x_mm, z_mm, radius_mm), None, "{x_mm} {z_mm} {radius_mm}");
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(4000))]

        #[test]
        fn it_is_the_border_of_the_hull_or_no_answer(
            x in -700.0..700.0_f64, z in -700.0..700.0_f64, sx in -800.0..800.0_f64, sz in -800.0..800.0_f64,
            radius in (20.0..60.0_f64, 60.0..180.0_f64, 0.0..200.0_f64), teeth in (0.9..1.1_f64, 0.9..1.1_f64),
        ) {
            let front = disc(0.0, 0.0, radius.0, radius.0 * teeth.0);
            let rear = disc(x, z, radius.1, radius.1 * teeth.1);
            let slider = Disc::smooth(Point::new(sx, sz), radius.2);
            if let Some(length_mm) = length(&front, &rear, &slider) {
                let hull = Hull::round(&[front, rear, slider]).length_mm;
                prop_assert!((length_mm - hull).abs() < 1e-9, "{length_mm} is not {hull}");
            }
        }

        #[test]
        fn a_slider_between_the_sprockets_is_always_answered(
            share in 0.15..0.75_f64, aside in -60.0..60.0_f64, turned in -0.6..0.6_f64, radius in 1.0..45.0_f64,
        ) {
            let back = Point::toward(std::f64::consts::PI + turned);
            let place = back * (share * 600.0) + Point::new(back.z_mm, -back.x_mm) * aside;
            let rear = Disc { centre: back * 600.0, ..disc(0.0, 0.0, 120.0, 119.0) };
            let (front, slider) = (disc(0.0, 0.0, 36.0, 35.5), Disc::smooth(place, radius));
            let length_mm = length(&front, &rear, &slider).expect("a slider between the sprockets");
            prop_assert!((length_mm - Hull::round(&[front, rear, slider]).length_mm).abs() < 1e-9);
        }
    }
}
