//! Stops and moving time, by hysteresis: slow for a while starts a stop, brisk for a while ends it.

/// Slower than this, for [`SLOW_S`], starts a stop.
///
/// # Source
/// `ours`.
const SLOW_MPS: f64 = 0.8;
/// See [`SLOW_MPS`].
///
/// # Source
/// `ours`.
const SLOW_S: f64 = 3.0;
/// Faster than this, for [`BRISK_S`], ends a stop.
///
/// # Source
/// `ours`.
const BRISK_MPS: f64 = 1.5;
/// See [`BRISK_MPS`].
///
/// # Source
/// `ours`.
const BRISK_S: f64 = 2.0;

/// The stops of a ride; what is no stop is moving time, the same for the whole tool.
#[derive(Debug, Clone, PartialEq)]
pub struct Stops {
    /// Begin and end of each stop, in the samples' seconds; one still open ends at the last sample.
    pub spans_s: Vec<[f64; 2]>,
    /// Seconds inside stops.
    pub stopped_s: f64,
    /// The rest of the time from the first to the last sample.
    pub moving_s: f64,
}

/// Finds the stops of samples whose times rise; both lists of one length.
///
/// # Shape
/// A run of samples below 0.8 m/s lasting at least 3 s starts a stop at its first sample; a run above 1.5 m/s
/// lasting at least 2 s ends it at its first sample. Speeds between keep what is.
#[must_use]
pub fn stops(t_s: &[f64], speed_mps: &[f64]) -> Stops {
    let mut spans_s = Vec::new();
    let mut since: Option<f64> = None;
    // The run of samples that would change what is: the time of its first sample.
    let mut run: Option<f64> = None;
    for (now, speed) in t_s.iter().zip(speed_mps) {
        let holds = if since.is_none() { *speed < SLOW_MPS } else { *speed > BRISK_MPS };
        if !holds {
            run = None;
            continue;
        }
        let begin = *run.get_or_insert(*now);
        if now - begin >= if since.is_none() { SLOW_S } else { BRISK_S } {
            match since.take() {
                None => since = Some(begin),
                Some(start) => spans_s.push([start, begin]),
            }
            run = None;
        }
    }
    let last = t_s.last().copied().unwrap_or(0.0);
    if let Some(start) = since {
        spans_s.push([start, last]);
    }
    let stopped_s = spans_s.iter().fold(0.0, |sum, [start, end]| sum + (end - start));
    Stops { moving_s: last - t_s.first().copied().unwrap_or(0.0) - stopped_s, spans_s, stopped_s }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at_one_hertz(speed_mps: &[f64]) -> Stops {
        let t_s: Vec<f64> = (0_u32..).map(f64::from).take(speed_mps.len()).collect();
        stops(&t_s, speed_mps)
    }

    #[test]
    fn a_stop_begins_with_the_first_slow_sample_and_ends_with_the_first_brisk_one() {
        let found = at_one_hertz(&[5.0, 0.0, 0.0, 0.0, 0.0, 1.0, 2.0, 2.0, 2.0, 5.0]);
        assert_eq!(found.spans_s, [[1.0, 6.0]]);
        assert!((found.stopped_s - 5.0).abs() < 1e-12 && (found.moving_s - 4.0).abs() < 1e-12);
    }

    #[test]
    fn a_short_halt_is_no_stop_and_a_short_push_does_not_end_one() {
        assert!(at_one_hertz(&[5.0, 0.0, 0.0, 0.0, 5.0]).spans_s.is_empty());
        assert_eq!(at_one_hertz(&[0.0, 0.0, 0.0, 0.0, 2.0, 2.0, 0.0, 0.0]).spans_s, [[0.0, 7.0]]);
    }

    #[test]
    fn a_stop_takes_its_speed_and_its_seconds_and_no_less() {
        let at = |speed_mps: &[f64], step_s: f64| {
            let t_s: Vec<f64> = (0_u32..).map(|k| f64::from(k) * step_s).take(speed_mps.len()).collect();
            stops(&t_s, speed_mps).spans_s
        };
        assert!(at(&[SLOW_MPS; 4], 1.0).is_empty(), "as fast as the limit is no stop");
        assert_eq!(at(&[SLOW_MPS - 1e-9; 4], 1.0), [[0.0, 3.0]]);
        assert!(at(&[0.0; 4], 0.999).is_empty(), "three seconds and no less");
        let then = |speed: f64| [0.0, 0.0, 0.0, 0.0, speed, speed, speed];
        assert_eq!(at(&then(BRISK_MPS), 1.0), [[0.0, 6.0]], "as slow as the limit ends none");
        assert_eq!(at(&then(BRISK_MPS + 1e-9), 1.0), [[0.0, 4.0]]);
        let uneven = stops(&[0.0, 3.0, 4.0, 5.999], &[0.0, 0.0, 2.0, 2.0]);
        assert_eq!(uneven.spans_s, [[0.0, 5.999]], "two seconds and no less");
        let ended = stops(&[10.0, 13.0, 14.0, 16.0, 20.0], &[0.0, 0.0, 2.0, 2.0, 2.0]);
        assert_eq!((ended.spans_s, ended.stopped_s, ended.moving_s), (vec![[10.0, 14.0]], 4.0, 6.0));
    }

    #[test]
    fn no_samples_have_no_time() {
        let none = stops(&[], &[]);
        assert_eq!(none, Stops { spans_s: vec![], stopped_s: 0.0, moving_s: 0.0 });
        assert!(none.stopped_s.is_sign_positive(), "a person would read -0");
    }
}
