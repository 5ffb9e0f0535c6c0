//! What people type into a field: a number inside its bound with an echo, or a fault with a sentence; the number typed
//! again reads as itself.
#![no_main]

use libfuzzer_sys::fuzz_target;
use measure::{Bound, entry};

const BOUNDS: [Bound; 6] = [
    Bound::from_to("slack", "mm", 0.0, 300.0),
    Bound::from_to("torque", "N m", 0.5, 300.0),
    Bound::from_to("speed", "km/h", 0.0, 300.0),
    Bound::from_to("hours", "h", 0.0, 100.0),
    Bound::from_to("mass", "kg", 1.0, 500.0),
    Bound::from_to("teeth", "", 8.0, 90.0),
];

fuzz_target!(|bytes: &[u8]| {
    let Some((which, bytes)) = bytes.split_first() else { return };
    let Ok(text) = std::str::from_utf8(bytes) else { return };
    let bound = &BOUNDS[usize::from(*which) % BOUNDS.len()];
    for read in [entry::number(text, bound), entry::whole(text, bound)] {
        match read {
            Ok(typed) => {
                assert!(typed.value.is_finite() && bound.holds(typed.value), "{typed:?}");
                let again = entry::number(&entry::retyped(typed.value), bound).expect("what was understood reads");
                assert!((again.value - typed.value).abs() <= 1e-9 * typed.value.abs().max(1.0), "{typed:?} {again:?}");
            }
            Err(fault) => assert!(!fault.to_string().is_empty()),
        }
    }
});
