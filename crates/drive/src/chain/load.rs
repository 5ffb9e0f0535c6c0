//! Pull in the taut run, and how it stands against the chain's tensile strength.

use std::f64::consts::{PI, TAU};

use measure::{Force, Length, Mass, Power, Speed, Teeth, Torque};

use super::pair::pitch_radius;

/// What loads the sprocket.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Load {
    /// Torque at the sprocket.
    Torque(Torque),
    /// Power through it at a speed in turns a minute.
    Power(Power, f64),
    /// Thrust of the wheel on the ground with the distance it rolls in one turn; the sprocket is the rear one.
    Thrust(Force, Length),
}

impl Load {
    /// Torque at the sprocket.
    ///
    /// # Formula
    /// T = P/(2π n), T = X U/2π.
    ///
    /// # Source
    /// `free-body`.
    #[must_use]
    pub fn torque(self) -> Torque {
        match self {
            Self::Torque(torque) => torque,
            Self::Power(power, rpm) => Torque::from_nm(power.kw() * 1000.0 / (TAU * rpm / 60.0)),
            Self::Thrust(thrust, rollout) => Torque::from_nm(thrust.n() * rollout.m() / TAU),
        }
    }
}

/// Pull in the taut run over one tooth.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pull {
    /// Torque over the mean lever.
    pub mean: Force,
    /// Torque over the largest lever: a roller at the top.
    pub low: Force,
    /// Torque over the smallest lever: a link at the top.
    pub high: Force,
}

/// Pull of a torque on a sprocket.
///
/// # Formula
/// F = 2π T/(z p); between T/r and T/(r cos(π/z)).
///
/// # Source
/// `free-body`: torque is pull times the lever of the pitch polygon.
#[must_use]
pub fn pull(pitch: Length, teeth: Teeth, load: Load) -> Pull {
    let torque = load.torque().nm();
    let largest_lever = pitch.m() * pitch_radius(teeth);
    Pull {
        mean: Force::from_n(TAU * torque / (teeth.real() * pitch.m())),
        low: Force::from_n(torque / largest_lever),
        high: Force::from_n(torque / (largest_lever * (PI / teeth.real()).cos())),
    }
}

/// Tension that the chain's own mass adds at speed.
///
/// # Formula
/// Fc = q v², q in kg/m.
///
/// # Source
/// `free-body`.
#[must_use]
pub fn centrifugal(mass_per_metre: Mass, speed: Speed) -> Force {
    Force::from_n(mass_per_metre.kg() * speed.mps() * speed.mps())
}

/// How often the tensile strength holds the pull: a figure to compare chains with, no permission.
///
/// # Formula
/// n = Q/(Ks F + Fc).
///
/// # Source
/// `machine-textbook`, worked examples on a chain drive (there the shock factor stands on the power).
#[must_use]
pub fn static_factor(tensile: Force, pull: Force, shock: f64, centrifugal: Force) -> f64 {
    tensile / (pull * shock + centrifugal)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn power_torque_and_thrust_of_the_same_drive_pull_alike() {
        let (pitch, teeth) = (Length::from_mm(15.875), Teeth::new(48).expect("teeth"));
        let (torque, rpm, rollout) = (300.0_f64, 500.0_f64, 2.12);
        let power = Power::from_kw(torque * TAU * rpm / 60_000.0);
        let thrust = Force::from_n(torque * TAU / rollout);
        let loads = [
            Load::Torque(Torque::from_nm(torque)),
            Load::Power(power, rpm),
            Load::Thrust(thrust, Length::from_m(rollout)),
        ];
        let first = pull(pitch, teeth, loads[0]).mean;
        for load in loads {
            assert!((pull(pitch, teeth, load).mean / first - 1.0).abs() < 1e-12);
        }
    }
}
