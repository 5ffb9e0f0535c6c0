//! Air: pressure, temperature and density at a height or as measured, and what it does to an engine's power.
//!
//! Symbols: `H` geopotential height, `T` kelvin, `p` Pa, `e` vapour pressure, `p_d = p − e` dry pressure.

use measure::exact::GRAVITY;

/// Gas constant of dry air, J/(kg·K).
const R_AIR: f64 = 287.052_87;
/// Gas constant of water vapour, J/(kg·K).
const R_VAPOUR: f64 = 461.523;
/// Radius of the earth in the standard atmosphere, m.
const EARTH_M: f64 = 6_356_766.0;
/// Zero of the Celsius scale, K.
const ZERO_C: f64 = 273.15;
/// Fall of temperature with height in the troposphere, K/m.
const LAPSE: f64 = 0.0065;

/// What is known of the air; measured values replace the standard ones.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct AirGiven {
    /// Height above the sea, m.
    pub altitude_m: Option<f64>,
    /// Measured pressure at the place, kPa.
    pub pressure_kpa: Option<f64>,
    /// Measured temperature, °C.
    pub temperature_degc: Option<f64>,
    /// Relative humidity, %.
    pub humidity_pct: f64,
}

/// Why the air cannot be told.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum AirFault {
    /// Neither height nor pressure.
    NoPressure,
    /// A pressure without temperature or height.
    NoTemperature,
    /// More vapour than the pressure holds.
    VapourAbovePressure {
        /// Vapour pressure, kPa.
        vapour_kpa: f64,
        /// Pressure, kPa.
        pressure_kpa: f64,
    },
}

/// The air at a place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Air {
    pressure_pa: f64,
    kelvin: f64,
    vapour_pa: f64,
}

impl Air {
    /// From what is known.
    ///
    /// # Formula
    /// `H = R h/(R+h)`, `T = 288.15 − 0.0065 H`, `p = 101325 (T/288.15)^(g/(R_a·0.0065))`;
    /// `e = RH · 611.2 · exp(17.62 t/(243.12 + t))` over water at every temperature.
    ///
    /// # Source
    /// isa, magnus
    ///
    /// # Errors
    /// No pressure, no temperature, or vapour that the pressure does not hold.
    pub fn of(given: &AirGiven) -> Result<Self, AirFault> {
        let standard = given.altitude_m.map(standard);
        let pressure_pa = match (given.pressure_kpa, standard) {
            (Some(kpa), _) => kpa * 1000.0,
            (None, Some((pa, _))) => pa,
            (None, None) => return Err(AirFault::NoPressure),
        };
        let kelvin = match (given.temperature_degc, standard) {
            (Some(degc), _) => degc + ZERO_C,
            (None, Some((_, kelvin))) => kelvin,
            (None, None) => return Err(AirFault::NoTemperature),
        };
        let degc = kelvin - ZERO_C;
        let vapour_pa = given.humidity_pct / 100.0 * 611.2 * (17.62 * degc / (243.12 + degc)).exp();
        if vapour_pa >= pressure_pa {
            return Err(AirFault::VapourAbovePressure {
                vapour_kpa: vapour_pa / 1000.0,
                pressure_kpa: pressure_pa / 1000.0,
            });
        }
        Ok(Self { pressure_pa, kelvin, vapour_pa })
    }

    /// Pressure, kPa.
    #[must_use]
    pub fn pressure_kpa(&self) -> f64 {
        self.pressure_pa / 1000.0
    }

    /// Temperature, °C.
    #[must_use]
    pub fn temperature_degc(&self) -> f64 {
        self.kelvin - ZERO_C
    }

    /// Vapour pressure, kPa.
    #[must_use]
    pub fn vapour_kpa(&self) -> f64 {
        self.vapour_pa / 1000.0
    }

    /// Pressure of the dry air in it, kPa.
    #[must_use]
    pub fn dry_pressure_kpa(&self) -> f64 {
        (self.pressure_pa - self.vapour_pa) / 1000.0
    }

    /// Density, kg/m³.
    ///
    /// # Formula
    /// `p_d/(R_a T) + e/(R_v T)`
    #[must_use]
    pub fn density_kgm3(&self) -> f64 {
        (self.pressure_pa - self.vapour_pa) / (R_AIR * self.kelvin) + self.vapour_pa / (R_VAPOUR * self.kelvin)
    }
}

fn standard(altitude_m: f64) -> (f64, f64) {
    let height = EARTH_M * altitude_m / (EARTH_M + altitude_m);
    let kelvin = 288.15 - LAPSE * height;
    (101_325.0 * (kelvin / 288.15).powf(GRAVITY / (R_AIR * LAPSE)), kelvin)
}

/// Power against the reference condition (99 kPa dry, 298 K) of a naturally aspirated spark-ignition engine.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PowerLoss {
    /// Reference power over power here, by the first formula.
    pub iso_alpha: f64,
    /// Reference power over power here, by the second formula.
    pub sae_cf: f64,
    /// Whether `iso_alpha` lies in the range for which its formula is stated, 0.93 to 1.07.
    pub iso_in_range: bool,
}

/// What the air does to the engine.
///
/// # Formula
/// `α = (99/p_d)^1.2 (T/298)^0.6`; `CF = 1.18 (99/p_d) √(T/298) − 0.18`
///
/// # Holds when
/// Naturally aspirated, mixture right for the place; a carburetted engine set for the valley loses more.
///
/// # Source
/// power-correction (from memory, not opened)
#[must_use]
pub fn power_loss(air: &Air) -> PowerLoss {
    let (thin, warm) = (99.0 / air.dry_pressure_kpa(), air.kelvin / 298.0);
    let alpha = thin.powf(1.2) * warm.powf(0.6);
    PowerLoss {
        iso_alpha: alpha,
        sae_cf: 1.180 * thin * warm.sqrt() - 0.18,
        iso_in_range: (0.93..=1.07).contains(&alpha),
    }
}
