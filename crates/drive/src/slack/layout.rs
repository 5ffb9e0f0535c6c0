//! One bike's drive as it stands: countershaft, arm, both sprockets, slider. Straight runs and taut loop at an angle.
//!
//! Not here: the travel of the suspension ([`super::swing`]) and slack ([`super::free`], [`super::gap`]).

use std::f64::consts::{PI, TAU};

use measure::{Angle, Elongation, Length, Teeth};

use crate::chain::pitch_radius;

use super::fault::Fault;
use super::frame::{Point, distance_to_piece};
use super::hull::{Disc, Hull};
use super::runs;

/// A slider disc that turns with the swingarm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Slider {
    /// Its middle along the arm, from the pivot.
    pub along: Length,
    /// Its middle over the arm line.
    pub above: Length,
    /// Radius of the pin line on it: surface radius plus half a plate height.
    pub radius: Length,
}

impl Slider {
    /// Its middle in the chassis frame.
    fn middle(&self, arm: Angle) -> Point {
        Point::on_arm(self.along.mm(), self.above.mm(), arm.rad())
    }
}

/// What a person measures of one drive.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sheet {
    /// Countershaft ahead of the pivot.
    pub countershaft_x: Length,
    /// Countershaft above the pivot.
    pub countershaft_z: Length,
    /// Pivot to axle at the present axle place.
    pub arm: Length,
    /// Chain pitch, new.
    pub pitch: Length,
    /// Teeth in front.
    pub front: Teeth,
    /// Teeth at the rear.
    pub rear: Teeth,
    /// How much longer the chain is than new.
    pub elongation: Elongation,
    /// The slider; `None` leaves it out.
    pub slider: Option<Slider>,
}

/// A sprocket as the chain sees it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Wheel {
    pub(super) radius_mm: f64,
    pub(super) per_rad_mm: f64,
}

impl Wheel {
    /// Pins of the pitch in use seat on `p / (2 sin(π/N))`; a turn of wrap takes `N p`.
    pub(super) fn new(teeth: Teeth, pitch_mm: f64) -> Self {
        Self { radius_mm: pitch_radius(teeth) * pitch_mm, per_rad_mm: teeth.real() * pitch_mm / TAU }
    }

    const fn at(self, centre: Point) -> Disc {
        Disc { centre, radius_mm: self.radius_mm, per_rad_mm: self.per_rad_mm }
    }
}

/// Which run of the chain.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Run {
    /// Over the swingarm.
    Upper,
    /// Under the swingarm.
    Lower,
}

/// The straight run that touches both sprockets, slider left out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StraightRun {
    /// Where it leaves the front sprocket.
    pub front: Point,
    /// Where it meets the rear sprocket.
    pub rear: Point,
    /// Unit normal, away from the loop.
    pub outward: Point,
    /// Tangent point to tangent point.
    pub length_mm: f64,
}

impl StraightRun {
    /// A place on it: 0 = front tangent point, 1 = rear.
    #[must_use]
    pub fn at(&self, station: f64) -> Point {
        self.front + (self.rear - self.front) * station
    }
}

/// Where the front sprocket stands in a list of discs.
pub(super) const FRONT: usize = 0;
/// Where the rear sprocket stands in a list of discs.
pub(super) const REAR: usize = 1;
/// Where the slider stands in a list of discs.
pub(super) const SLIDER: usize = 2;

/// One drive, ready to be asked at any arm angle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Layout {
    pub(super) countershaft: Point,
    pub(super) arm_mm: f64,
    pub(super) pitch_mm: f64,
    pub(super) front: Wheel,
    pub(super) rear: Wheel,
    pub(super) slider: Option<Slider>,
}

/// The taut loop at one arm angle.
#[derive(Debug, Clone, Copy)]
pub struct TautLoop {
    /// Chain that it takes.
    pub length: Length,
    /// Wrap on the front sprocket.
    pub wrap_front: Angle,
    /// Wrap on the rear sprocket.
    pub wrap_rear: Angle,
    /// Whether it touches the slider anywhere.
    pub on_slider: bool,
}

impl Layout {
    /// From the sheet; the pitch in use is the new one times one plus elongation.
    #[must_use]
    pub fn new(sheet: &Sheet) -> Self {
        let pitch_mm = sheet.pitch.mm() * (1.0 + sheet.elongation.fraction());
        Self {
            countershaft: Point::new(sheet.countershaft_x.mm(), sheet.countershaft_z.mm()),
            arm_mm: sheet.arm.mm(),
            pitch_mm,
            front: Wheel::new(sheet.front, pitch_mm),
            rear: Wheel::new(sheet.rear, pitch_mm),
            slider: sheet.slider,
        }
    }

    /// The same drive with the axle at another place.
    #[must_use]
    pub const fn with_arm(self, arm: Length) -> Self {
        Self { arm_mm: arm.mm(), ..self }
    }

    /// The same drive without its slider.
    #[must_use]
    pub const fn without_slider(self) -> Self {
        Self { slider: None, ..self }
    }

    /// The pitch in use.
    #[must_use]
    pub const fn pitch(&self) -> Length {
        Length::from_mm(self.pitch_mm)
    }

    /// Where the axle stands.
    #[must_use]
    pub fn axle(&self, arm: Angle) -> Point {
        Point::on_arm(self.arm_mm, 0.0, arm.rad())
    }

    /// Distance countershaft to axle.
    #[must_use]
    pub fn centre(&self, arm: Angle) -> Length {
        Length::from_mm((self.axle(arm) - self.countershaft).size())
    }

    /// Front sprocket, rear sprocket and slider where they stand; the count says whether the slider is one of them.
    pub(super) fn discs(&self, arm: Angle) -> ([Disc; 3], usize) {
        let front = self.front.at(self.countershaft);
        let rear = self.rear.at(self.axle(arm));
        match self.slider {
            Some(slider) => ([front, rear, Disc::smooth(slider.middle(arm), slider.radius.mm())], 3),
            None => ([front, rear, Disc::default()], 2),
        }
    }

    /// The border of the hull of all discs.
    pub(super) fn hull(&self, arm: Angle) -> Hull {
        let (discs, count) = self.discs(arm);
        Hull::round(&discs[..count])
    }

    /// Chain that the taut loop takes.
    ///
    /// # Formula
    /// Without slider `L = 2 D cos α + q1 (π - 2α) + q2 (π + 2α)`, `sin α = (r2 - r1)/D`; with it the hull.
    ///
    /// # Source
    /// geometry
    #[must_use]
    pub fn taut_length(&self, arm: Angle) -> Length {
        if self.slider.is_some() {
            let (discs, count) = self.discs(arm);
            let [front, rear, slider] = &discs;
            let length_mm = runs::length(front, rear, slider);
            return Length::from_mm(length_mm.unwrap_or_else(|| Hull::round(&discs[..count]).length_mm));
        }
        Length::from_mm(open_length(self.centre(arm).mm(), self.front, self.rear))
    }

    /// The taut loop with its wraps.
    #[must_use]
    pub fn taut_loop(&self, arm: Angle) -> TautLoop {
        let hull = self.hull(arm);
        TautLoop {
            length: Length::from_mm(hull.length_mm),
            wrap_front: Angle::from_rad(hull.wrap_rad(FRONT)),
            wrap_rear: Angle::from_rad(hull.wrap_rad(REAR)),
            on_slider: self.slider.is_some() && hull.touches(SLIDER),
        }
    }

    /// The straight length of either run, slider left out.
    #[must_use]
    pub fn span(&self, arm: Angle) -> Length {
        Length::from_mm(open_span(self.centre(arm).mm(), self.front, self.rear))
    }

    /// The straight run, slider left out.
    #[must_use]
    pub fn run(&self, arm: Angle, run: Run) -> StraightRun {
        let axle = self.axle(arm);
        let between = axle - self.countershaft;
        let centre = between.size();
        let back = between * (1.0 / centre);
        let up = Point::new(back.z_mm, -back.x_mm);
        let side = match run {
            Run::Upper => up,
            Run::Lower => up * -1.0,
        };
        let tilt = (self.front.radius_mm - self.rear.radius_mm) / centre;
        let outward = back * tilt + side * (1.0 - tilt * tilt).max(0.0).sqrt();
        let (front, rear) = (self.countershaft + outward * self.front.radius_mm, axle + outward * self.rear.radius_mm);
        StraightRun { front, rear, outward, length_mm: (rear - front).size() }
    }

    /// Whether a run of the taut loop rests on the slider.
    #[must_use]
    pub fn rests(&self, arm: Angle, run: Run) -> bool {
        self.slider.is_some() && rests_in(&self.hull(arm), run)
    }

    /// How far the straight run stays clear of the slider disc; below 0 = rests on it by that much. `None` without slider.
    #[must_use]
    pub fn slider_clearance(&self, arm: Angle, run: Run) -> Option<Length> {
        let slider = self.slider?;
        let line = self.run(arm, run);
        Some(Length::from_mm((line.front - slider.middle(arm)).dot(line.outward) - slider.radius.mm()))
    }

    /// Whether the run, pushed in at a station by `depth`, meets the slider first, so that a reading is cut off.
    #[must_use]
    pub fn cut_off(&self, arm: Angle, run: Run, station: f64, depth: Length) -> bool {
        self.slider.is_some_and(|slider| {
            let line = self.run(arm, run);
            let middle = slider.middle(arm);
            let pushed = line.at(station) - line.outward * depth.mm();
            let near = distance_to_piece(middle, line.front, pushed).min(distance_to_piece(middle, pushed, line.rear));
            near < slider.radius.mm()
        })
    }

    /// Refuses what cannot be built at one arm angle or anywhere between two.
    ///
    /// # Errors
    /// Sprockets overlap; a disc holds another inside it; the slider keeps the chain off a sprocket.
    pub fn possible(&self, low: Angle, high: Angle) -> Result<(), Fault> {
        let least = self.front.radius_mm + self.rear.radius_mm;
        let nearest = self.nearest(Point::on_arm(self.arm_mm, 0.0, 0.0), low, high);
        if nearest < least {
            return Err(Fault::Overlap { distance: Length::from_mm(nearest), least: Length::from_mm(least) });
        }
        let Some(slider) = self.slider else { return Ok(()) };
        let middle = slider.middle(Angle::ZERO);
        let to_axle = (middle - Point::on_arm(self.arm_mm, 0.0, 0.0)).size();
        for (distance, wheel) in [(self.nearest(middle, low, high), self.front), (to_axle, self.rear)] {
            if distance <= (wheel.radius_mm - slider.radius.mm()).abs() {
                return Err(Fault::DiscInside { distance: Length::from_mm(distance) });
            }
        }
        for arm in [low, high] {
            let hull = self.hull(arm);
            if !hull.touches(FRONT) || !hull.touches(REAR) {
                return Err(Fault::OffSprocket);
            }
        }
        Ok(())
    }

    /// The least distance from the countershaft of a place that turns with the arm (given at arm angle 0).
    fn nearest(&self, place: Point, low: Angle, high: Angle) -> f64 {
        let at = |arm: f64| (place.turned(arm) - self.countershaft).size();
        let ends = at(low.rad()).min(at(high.rad()));
        // In line on the countershaft's own side: the place turned until it points at the countershaft.
        let facing = self.countershaft.angle_rad() - place.angle_rad();
        let inside = [facing - TAU, facing, facing + TAU].into_iter().any(|rad| low.rad() <= rad && rad <= high.rad());
        if inside { ends.min((place.size() - self.countershaft.size()).abs()) } else { ends }
    }
}

/// Whether a run of the loop goes over the slider on its way.
pub(super) fn rests_in(hull: &Hull, run: Run) -> bool {
    match run {
        Run::Upper => hull.passes(FRONT, SLIDER, REAR),
        Run::Lower => hull.passes(REAR, SLIDER, FRONT),
    }
}

/// Loop round two sprockets at a centre distance.
pub(super) fn open_length(centre_mm: f64, front: Wheel, rear: Wheel) -> f64 {
    let sin = (rear.radius_mm - front.radius_mm) / centre_mm;
    let tilt = sin.clamp(-1.0, 1.0).asin();
    2.0 * centre_mm * tilt.cos() + front.per_rad_mm * (PI - 2.0 * tilt) + rear.per_rad_mm * (PI + 2.0 * tilt)
}

/// Straight run between two sprockets at a centre distance.
pub(super) fn open_span(centre_mm: f64, front: Wheel, rear: Wheel) -> f64 {
    let rise = rear.radius_mm - front.radius_mm;
    (centre_mm * centre_mm - rise * rise).max(0.0).sqrt()
}

#[cfg(test)]
mod tests;
