//! What a moment of a ride asks of the rear wheel, and what the ground under it holds.
//!
//! ```text
//! F = (m + m_rot) a + m g sin θ + [v>0] c_rr m g cos θ + ½ ρ CdA v²        θ = atan(grade)
//! m_rot = (J_front + J_rear)/r² [ + J_engine i² η/r² in a gear ]           r = U/2π
//! N = (m g cos θ · a_f + (m a + m g sin θ) h + ½ ρ CdA v² h_a)/L           within 0 … m g cos θ
//! F_used = min(F, μ N)
//! ```

use drive::gearing::wheel_radius_m;
use measure::exact::GRAVITY;

/// What resists on its own: weight and air.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Load {
    /// Bike ready to ride, with rider, kg.
    pub mass_kg: f64,
    /// Drag area, m².
    pub cda_m2: f64,
}

/// The bike as a body: masses, wheels and where they lie.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Body {
    /// Weight and air.
    pub load: Load,
    /// Both wheels' moments of inertia together, kg·m².
    pub wheels_kgm2: f64,
    /// Rollout of the rear wheel, m.
    pub rollout_m: f64,
    /// Distance of the axles, m.
    pub wheelbase_m: f64,
    /// Front axle to centre of gravity, m.
    pub cg_from_front_m: f64,
    /// Height of the centre of gravity, m.
    pub cg_height_m: f64,
    /// Height at which the air pushes, m.
    pub aero_height_m: f64,
}

/// The ground and the air.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ground {
    /// Coefficient of rolling resistance.
    pub crr: f64,
    /// Coefficient of grip.
    pub mu: f64,
    /// Density of the air, kg/m³.
    pub density_kgm3: f64,
}

/// A moment of a ride.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Moment {
    /// Ground speed, m/s.
    pub speed_mps: f64,
    /// Rise over run.
    pub grade: f64,
    /// Acceleration along the track, m/s².
    pub accel_mps2: f64,
}

/// What resists at a steady speed, in newtons.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Resistance {
    /// The slope; negative downhill.
    pub grade_n: f64,
    /// The ground under the tyres; 0 at rest.
    pub rolling_n: f64,
    /// The air.
    pub drag_n: f64,
    /// The weight's part that presses on the ground.
    pub pressing_n: f64,
}

impl Resistance {
    /// All of it.
    #[must_use]
    pub fn total_n(&self) -> f64 {
        self.grade_n + self.rolling_n + self.drag_n
    }
}

impl Load {
    /// What resists at a steady speed on a slope.
    ///
    /// # Formula
    /// `m g sin θ`, `c_rr m g cos θ` while moving, `½ ρ CdA v²`
    #[must_use]
    pub fn resistance(&self, crr: f64, density_kgm3: f64, speed_mps: f64, grade: f64) -> Resistance {
        // sin and cos of atan(grade), without the three calls.
        let cos = 1.0 / (1.0 + grade * grade).sqrt();
        let pressing_n = self.mass_kg * GRAVITY * cos;
        Resistance {
            grade_n: self.mass_kg * GRAVITY * (grade * cos),
            rolling_n: if speed_mps > 0.0 { crr * pressing_n } else { 0.0 },
            drag_n: 0.5 * density_kgm3 * self.cda_m2 * speed_mps * speed_mps,
            pressing_n,
        }
    }
}

/// What a moment asks, force by force, in newtons.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Forces {
    /// Mass that the turning parts add.
    pub rotating_mass_kg: f64,
    /// Speeding up the bike and what turns in it.
    pub inertia_n: f64,
    /// Slope, ground and air.
    pub resistance: Resistance,
    /// Thrust asked of the rear wheel.
    pub thrust_n: f64,
    /// Load on the rear wheel.
    pub rear_load_n: f64,
    /// The most that the ground holds.
    pub grip_n: f64,
    /// What can be used of the thrust.
    pub used_n: f64,
    /// Whether the front wheel would leave the ground.
    pub front_lifts: bool,
}

impl Forces {
    /// Whether the ground holds less than is asked.
    #[must_use]
    pub fn grip_limited(&self) -> bool {
        self.thrust_n > self.grip_n
    }
}

impl Body {
    /// Mass that the engine adds in a gear of total ratio `i`, kg.
    ///
    /// # Formula
    /// `J i² η / r²`
    #[must_use]
    pub fn engine_mass_kg(&self, engine_kgm2: f64, total: f64, eta: f64) -> f64 {
        engine_kgm2 * total * total * eta / wheel_radius_m(self.rollout_m).powi(2)
    }

    /// What a moment asks; `engine_mass_kg` is 0 where no gear is meant, so that the demand is the same in every gear.
    #[must_use]
    pub fn forces(&self, ground: &Ground, moment: &Moment, engine_mass_kg: f64) -> Forces {
        let Moment { speed_mps, grade, accel_mps2 } = *moment;
        let mass = self.load.mass_kg;
        let resistance = self.load.resistance(ground.crr, ground.density_kgm3, speed_mps, grade);
        let rotating_mass_kg = self.wheels_kgm2 / wheel_radius_m(self.rollout_m).powi(2) + engine_mass_kg;
        let inertia_n = (mass + rotating_mass_kg) * accel_mps2;
        let thrust_n = inertia_n + resistance.total_n();
        let leaning = resistance.pressing_n * self.cg_from_front_m
            + (mass * accel_mps2 + resistance.grade_n) * self.cg_height_m
            + resistance.drag_n * self.aero_height_m;
        let free_n = leaning / self.wheelbase_m;
        let rear_load_n = free_n.max(0.0).min(resistance.pressing_n);
        let grip_n = ground.mu * rear_load_n;
        Forces {
            rotating_mass_kg,
            inertia_n,
            resistance,
            thrust_n,
            rear_load_n,
            grip_n,
            used_n: thrust_n.min(grip_n),
            front_lifts: free_n > resistance.pressing_n,
        }
    }
}
