//! How the bike stands on both wheels, and what the chain's pull does to the rear suspension.
//!
//! Ground line touching both wheels, fork held. Squat: moments about the pivot on arm and wheel, the chain cut just
//! behind the front sprocket, so that chain which bends over the slider is taken as it pulls.

use measure::{Angle, Force, Length};

use super::frame::Point;
use super::layout::{FRONT, Layout, REAR, Run, SLIDER};

/// Both wheels.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wheels {
    /// Rear axle to ground.
    pub rear_radius: Length,
    /// Front axle to ground.
    pub front_radius: Length,
    /// Front axle, chassis frame.
    pub front_axle: Point,
}

/// How the bike stands.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stance {
    /// Contact to contact.
    pub wheelbase: Length,
    /// Chassis frame against the ground, + = nose up.
    pub nose_up: Angle,
    /// Pivot over the ground.
    pub pivot_height: Length,
}

/// The stance at an arm angle; `None` where the front wheel is not ahead of the rear.
///
/// # Formula
/// `d = |A - F|`, `WB = √(d² - (Rf - Rr)²)`, ground slope `atan2(dz, dx) - asin((Rf - Rr)/d)`, nose up = minus that.
#[must_use]
pub fn stance(layout: &Layout, arm: Angle, wheels: &Wheels) -> Option<Stance> {
    let axle = layout.axle(arm);
    let between = wheels.front_axle - axle;
    let distance = between.size();
    let rise = (wheels.front_radius - wheels.rear_radius).mm();
    if between.x_mm <= 0.0 || distance <= rise.abs() {
        return None;
    }
    let slope = between.angle_rad() - (rise / distance).asin();
    let up = Point::new(-slope.sin(), slope.cos());
    Some(Stance {
        wheelbase: Length::from_mm((distance * distance - rise * rise).sqrt()),
        nose_up: Angle::from_rad(-slope),
        pivot_height: Length::from_mm(wheels.rear_radius.mm() - axle.dot(up)),
    })
}

/// What the drive does to the rear suspension.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Squat {
    /// Arm against the ground, + = axle below the pivot.
    pub arm_slope: Angle,
    /// Upper run as it leaves the front sprocket against the ground, + = rising to the front.
    pub run_slope: Angle,
    /// Lever of that run about the pivot.
    pub run_lever: Length,
    /// Tangent of the squat line.
    pub squat_line: f64,
    /// Tangent of the load transfer line.
    pub transfer_line: f64,
    /// Pull in the upper run.
    pub chain_force: Force,
    /// Equivalent lift at the axle, + = rear rises.
    pub lift_force: Force,
}

/// Squat under a steady thrust; `None` where the arm stands upright on the ground.
///
/// # Formula
/// `tan σ = tan η + Rw/(arm cos η) (1 - b/r2)`, `tan τ = h/WB`, chain pull `S Rw / r2`, lift `S (tan σ - tan τ)`;
/// b = lever of the upper run about the pivot, η = arm slope.
///
/// # Holds when
/// Steady thrust; wheel inertia left out.
///
/// # Source
/// free-body
#[must_use]
pub fn squat(
    layout: &Layout,
    arm: Angle,
    wheels: &Wheels,
    stance: &Stance,
    cog_height: Length,
    thrust: Force,
) -> Option<Squat> {
    let slope = arm + stance.nose_up;
    if slope.rad().abs() >= std::f64::consts::FRAC_PI_2 {
        return None;
    }
    let outward = pulling_run(layout, arm);
    let lever_mm = layout.countershaft.dot(outward) + layout.front.radius_mm;
    let along = Point::new(outward.z_mm, -outward.x_mm).turned(stance.nose_up.rad());
    let (wheel_mm, rear_mm) = (wheels.rear_radius.mm(), layout.rear.radius_mm);
    let squat_line = slope.rad().tan() + wheel_mm / (layout.arm_mm * slope.rad().cos()) * (1.0 - lever_mm / rear_mm);
    let transfer_line = cog_height / stance.wheelbase;
    Some(Squat {
        arm_slope: slope,
        run_slope: Angle::from_rad(along.angle_rad()),
        run_lever: Length::from_mm(lever_mm),
        squat_line,
        transfer_line,
        chain_force: thrust * (wheel_mm / rear_mm),
        lift_force: thrust * (squat_line - transfer_line),
    })
}

impl Squat {
    /// 100 = neither sinks nor rises; above = the rear rises under drive.
    #[must_use]
    pub fn antisquat_pct(&self) -> f64 {
        100.0 * self.squat_line / self.transfer_line
    }

    /// Transfer line over squat line; `None` where the squat line does not rise.
    #[must_use]
    pub fn ratio(&self) -> Option<f64> {
        (self.squat_line > 0.0).then(|| self.transfer_line / self.squat_line)
    }
}

/// Outward normal of the upper run where it leaves the front sprocket, for the rear one or for the slider.
fn pulling_run(layout: &Layout, arm: Angle) -> Point {
    let hull = layout.hull(arm);
    let arcs = hull.arcs();
    let disc = |n: usize| arcs[n % arcs.len()].disc;
    let leaves = (0..arcs.len()).find(|n| {
        let over_slider = disc(n + 1) == SLIDER && disc(n + 2) == REAR;
        disc(*n) == FRONT && (disc(n + 1) == REAR || over_slider)
    });
    leaves.map_or_else(|| layout.run(arm, Run::Upper).outward, |n| Point::toward(arcs[n].to_rad))
}
