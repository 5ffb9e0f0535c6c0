//! Hours of a bike from its meter readings, swaps of the meter included, and hours weighed by ground.

/// What was noted about the meter, in order of time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum MeterEvent {
    /// The meter was read.
    Read {
        /// Hours shown.
        hours: f64,
    },
    /// The meter was changed for another.
    Swap {
        /// Hours that the old one showed last.
        old: f64,
        /// Hours that the new one showed first.
        new: f64,
    },
}

/// The meter went back although nobody changed it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WentBack {
    /// Which event, from 0.
    pub at: usize,
    /// By how many hours.
    pub by: f64,
}

/// Hours by which a reading may lie under the last one through rounding alone.
const ROUNDING_H: f64 = 1e-9;

/// Total hours: the last reading plus what each old meter had more than its successor.
///
/// # Errors
/// A reading, or the old meter at its swap, lies below what was read before.
pub fn total_hours(events: &[MeterEvent]) -> Result<f64, WentBack> {
    let mut followed = Followed::default();
    for (at, event) in events.iter().enumerate() {
        followed = followed.then(*event).map_err(|by| WentBack { at, by })?;
    }
    Ok(followed.hours())
}

/// A meter followed from note to note.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Followed {
    carried: f64,
    last: Option<f64>,
}

impl Followed {
    /// The same after one more note.
    ///
    /// # Errors
    /// By how many hours it went back.
    pub fn then(self, event: MeterEvent) -> Result<Self, f64> {
        let (MeterEvent::Read { hours: shown } | MeterEvent::Swap { old: shown, .. }) = event;
        if let Some(last) = self.last.filter(|last| shown < last - ROUNDING_H) {
            return Err(last - shown);
        }
        Ok(match event {
            MeterEvent::Read { .. } => Self { last: Some(shown), ..self },
            MeterEvent::Swap { old, new } => Self { carried: self.carried + (old - new), last: Some(new) },
        })
    }

    /// What the meter shows.
    #[must_use]
    pub fn shows(self) -> f64 {
        self.last.unwrap_or(0.0)
    }

    /// Total hours.
    #[must_use]
    pub fn hours(self) -> f64 {
        self.carried + self.shows()
    }
}

/// Hours on hard, dry ground that wear as much, and their ratio to the hours ridden (1 if none were).
/// Each pair is hours on a ground and how much faster that ground wears.
#[must_use]
pub fn equivalent_hours(grounds: &[(f64, f64)]) -> (f64, f64) {
    let weighed: f64 = grounds.iter().map(|(hours, multiplier)| hours * multiplier).sum();
    let ridden: f64 = grounds.iter().map(|(hours, _)| hours).sum();
    (weighed, if ridden > 0.0 { weighed / ridden } else { 1.0 })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_new_meter_carries_the_old_hours_on() {
        let events = [
            MeterEvent::Read { hours: 40.0 },
            MeterEvent::Swap { old: 41.5, new: 0.2 },
            MeterEvent::Read { hours: 3.2 },
        ];
        assert!(total_hours(&events).is_ok_and(|hours| (hours - 44.5).abs() < 1e-12));
    }

    #[test]
    fn a_meter_that_went_back_says_by_how_much() {
        let back = total_hours(&[MeterEvent::Read { hours: 5.0 }, MeterEvent::Read { hours: 3.0 }]);
        assert_eq!(back, Err(WentBack { at: 1, by: 2.0 }));
    }

    #[test]
    fn a_reading_lower_by_rounding_alone_has_not_gone_back() {
        let by = |hours: f64| total_hours(&[MeterEvent::Read { hours: ROUNDING_H }, MeterEvent::Read { hours }]);
        assert_eq!(by(0.0), Ok(0.0));
        assert!(by(-ROUNDING_H).is_err());
    }

    #[test]
    fn hours_are_weighed_by_their_ground_and_none_ridden_is_the_plain_ratio() {
        let (weighed, ratio) = equivalent_hours(&[(3.0, 1.0), (2.0, 2.5), (0.5, 4.0)]);
        assert!((weighed - 10.0).abs() < 1e-12 && (ratio - 10.0 / 5.5).abs() < 1e-12);
        assert_eq!(equivalent_hours(&[]), (0.0, 1.0));
        assert_eq!(equivalent_hours(&[(0.0, 3.0)]), (0.0, 1.0));
    }

    #[test]
    fn two_meters_and_no_reading_add_up_too() {
        let swap = |old: f64, new: f64| MeterEvent::Swap { old, new };
        let hours = |events: &[MeterEvent]| total_hours(events);
        assert_eq!(hours(&[]), Ok(0.0));
        assert_eq!(hours(&[swap(10.0, 3.0)]), Ok(10.0));
        assert_eq!(hours(&[swap(10.0, 3.0), swap(5.0, 0.0), MeterEvent::Read { hours: 1.0 }]), Ok(13.0));
        assert_eq!(hours(&[MeterEvent::Read { hours: 5.0 }, swap(4.0, 0.0)]), Err(WentBack { at: 1, by: 1.0 }));
        assert_eq!(hours(&[swap(4.0, 2.0), MeterEvent::Read { hours: 1.5 }]), Err(WentBack { at: 1, by: 0.5 }));
    }
}
