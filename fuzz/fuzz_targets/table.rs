//! The reader of a logger's table: whatever comes in, it answers or refuses, and what it read can be smoothed.
#![no_main]

use libfuzzer_sys::fuzz_target;
use ride::profile::{Tuning, smooth};
use ride::track::{Limits, decoded, read_log};

/// Small limits, so that an input of a few kilobytes can reach them.
const LIMITS: Limits = Limits { bytes: 1 << 20, points: 2_000, depth: 64, attributes: 256 };

fuzz_target!(|bytes: &[u8]| {
    let Ok(text) = decoded(bytes.to_vec()) else { return };
    match read_log(&text, &LIMITS) {
        Ok(log) => {
            assert!(log.samples.len() <= LIMITS.points);
            let sound = log.samples.iter().all(|sample| {
                sample.rpm.is_none_or(f64::is_finite) && sample.speed.is_none_or(|speed| speed.mps().is_finite())
            });
            assert!(sound, "a number that is none");
            if let Some(track) = log.track() {
                let _ = smooth(&track, &Tuning::USUAL).on_grid(1.0);
            }
        }
        Err(fault) => assert!(!fault.to_string().is_empty()),
    }
});
