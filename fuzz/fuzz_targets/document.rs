//! The reader of recorded tracks: whatever comes in, it answers or refuses with a line, and what it read can be
//! sifted, smoothed and laid on a grid.
#![no_main]

use libfuzzer_sys::fuzz_target;
use ride::profile::{Tuning, smooth};
use ride::track::{Limits, TrackFault, decoded, read};

/// Small limits, so that an input of a few kilobytes can reach them.
const LIMITS: Limits = Limits { bytes: 1 << 20, points: 2_000, depth: 64, attributes: 256 };

fuzz_target!(|bytes: &[u8]| {
    let Ok(text) = decoded(bytes.to_vec()) else { return };
    match read(&text, &LIMITS) {
        Ok(track) => {
            assert!(track.points() + track.points_dropped <= LIMITS.points);
            if let Some(cut) = &track.cut {
                assert!((1..=text.lines().count() + 1).contains(&cut.line), "line {} of the cut", cut.line);
            }
            let profile = smooth(&track, &Tuning::USUAL);
            for part in &profile.parts {
                assert!(part.speed_mps.iter().all(|speed| speed.is_finite() && *speed >= 0.0), "a speed that is none");
            }
            let _ = profile.on_grid(1.0);
        }
        Err(fault) => {
            let names_a_line = fault.to_string().starts_with("line ");
            let of_the_whole = matches!(fault, TrackFault::TooLong { .. } | TrackFault::TooManyPoints { .. });
            assert!(names_a_line || of_the_whole, "{fault}");
        }
    }
});
