//! A kept track as it is drawn: its legs one after the other, what lies between them, height where it is known.

use ride::profile::{Blob, Leg};

/// One leg: samples a step apart without a hole.
pub(super) struct Run {
    /// Seconds of the ride.
    pub(super) t_s: Vec<f64>,
    /// Metres from the ride's begin.
    pub(super) s_m: Vec<f64>,
    /// Speed, km/h.
    pub(super) speed_kmh: Vec<f64>,
    /// Elevation, m; empty where it is not known.
    pub(super) ele_m: Vec<f64>,
    /// Grade, %; empty where it is not known.
    pub(super) grade_pct: Vec<f64>,
}

/// A whole kept track.
pub(super) struct Kept {
    /// Its legs.
    pub(super) runs: Vec<Run>,
    /// Whether its places are kept.
    pub(super) places: bool,
}

impl Kept {
    /// Reads what is kept.
    ///
    /// # Errors
    /// A sentence, if the bytes are damaged.
    pub(super) fn of(bytes: &[u8]) -> Result<Self, String> {
        let blob = Blob::decode(bytes).map_err(|fault| fault.to_string())?;
        let mut from_m = 0.0;
        let runs = blob.legs.iter().map(|leg| {
            let run = Run::of(leg, blob.step_s, from_m);
            from_m = run.s_m.last().copied().unwrap_or(from_m);
            run
        });
        Ok(Self { runs: runs.collect(), places: blob.legs.iter().any(|leg| leg.places.is_some()) })
    }

    /// Where nothing was recorded, from–to in seconds of the ride.
    pub(super) fn gaps(&self) -> Vec<[f64; 2]> {
        let ends = self.runs.iter().filter_map(|run| Some([*run.t_s.first()?, *run.t_s.last()?]));
        let ends: Vec<[f64; 2]> = ends.collect();
        ends.windows(2).map(|two| [two[0][1], two[1][0]]).collect()
    }
}

impl Run {
    fn of(leg: &Leg, step_s: f64, from_m: f64) -> Self {
        let wide = |list: &[f32], factor: f64| list.iter().map(|number| factor * f64::from(*number)).collect();
        let (ele_m, grade_pct) = match &leg.height {
            Some(height) => (wide(&height.ele_m, 1.0), wide(&height.grade, 100.0)),
            None => (Vec::new(), Vec::new()),
        };
        Self {
            t_s: (0_u32..).take(leg.speed_mps.len()).map(|n| leg.begin_s + step_s * f64::from(n)).collect(),
            s_m: leg.s_m.iter().map(|metres| from_m + f64::from(*metres)).collect(),
            speed_kmh: wide(&leg.speed_mps, 3.6),
            ele_m,
            grade_pct,
        }
    }
}
