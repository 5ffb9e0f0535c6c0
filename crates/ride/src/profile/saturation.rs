//! Held at the limiter: where the gearing fitted on a ride was too short for it.
//!
//! A replay follows the speeds as ridden. Where the engine was held at its limiter in top, a taller pair would have
//! let the rider go faster, and no recording can tell how much.

use measure::Speed;

/// The part of the limiter's speed from which the engine counts as held there.
///
/// # Source
/// `ours`.
const HELD: f64 = 0.98;
/// An episode lasts longer than this.
///
/// # Source
/// `ours`.
const LONGER_S: f64 = 5.0;

/// Where a ride was held at the limiter.
#[derive(Debug, Clone, PartialEq)]
pub struct Saturation {
    /// Begin and end of each episode, in the samples' seconds.
    pub episodes_s: Vec<[f64; 2]>,
    /// Seconds inside episodes.
    pub saturated_s: f64,
}

/// Finds unbroken runs of samples of at least 98 % of the limit that last more than 5 s; lists of one length,
/// times rising.
#[must_use]
pub fn saturation(t_s: &[f64], speed_mps: &[f64], limit: Speed) -> Saturation {
    let held_mps = HELD * limit.mps();
    let samples: Vec<(f64, bool)> = t_s.iter().zip(speed_mps).map(|(t, v)| (*t, *v >= held_mps)).collect();
    let episode = |run: &[(f64, bool)]| {
        let (begin, end) = (run.first().filter(|(_, held)| *held)?.0, run.last()?.0);
        (end - begin > LONGER_S).then_some([begin, end])
    };
    let episodes_s: Vec<[f64; 2]> = samples.chunk_by(|a, b| a.1 == b.1).filter_map(episode).collect();
    Saturation { saturated_s: episodes_s.iter().fold(0.0, |sum, [begin, end]| sum + (end - begin)), episodes_s }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at_one_hertz(speeds: &[f64]) -> Saturation {
        let t_s: Vec<f64> = (0_u32..).map(f64::from).take(speeds.len()).collect();
        saturation(&t_s, speeds, Speed::from_mps(20.0))
    }

    #[test]
    fn more_than_five_seconds_at_the_limiter_are_an_episode() {
        let six = at_one_hertz(&[10.0, 19.6, 20.0, 20.0, 21.0, 20.0, 20.0, 19.7, 10.0]);
        assert_eq!(six.episodes_s, [[1.0, 7.0]]);
        let five = at_one_hertz(&[20.0, 20.0, 20.0, 20.0, 20.0, 20.0, 10.0]);
        assert!(five.episodes_s.is_empty());
    }

    #[test]
    fn an_episode_takes_its_share_of_the_limit_and_more_than_its_seconds() {
        let held = HELD * 20.0;
        assert_eq!(at_one_hertz(&[held; 7]).episodes_s, [[0.0, 6.0]]);
        assert!(at_one_hertz(&[held - 1e-9; 7]).episodes_s.is_empty());
        let until = |end: f64| saturation(&[2.0, 4.0, end], &[20.0; 3], Speed::from_mps(20.0));
        assert!(until(7.0).episodes_s.is_empty());
        let longer = until(7.5);
        assert_eq!((longer.episodes_s, longer.saturated_s), (vec![[2.0, 7.5]], 5.5));
    }

    #[test]
    fn one_sample_below_breaks_an_episode() {
        let broken = at_one_hertz(&[20.0, 20.0, 20.0, 20.0, 19.5, 20.0, 20.0, 20.0, 20.0]);
        assert!(broken.episodes_s.is_empty());
    }
}
