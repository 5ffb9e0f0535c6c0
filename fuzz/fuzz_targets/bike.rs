//! The file of a bike: it is read or refused with lines, and what was read is written and read again the same.
#![no_main]

use libfuzzer_sys::fuzz_target;
use upkeep::bike::Bike;

fuzz_target!(|bytes: &[u8]| {
    let Ok(text) = std::str::from_utf8(bytes) else { return };
    match Bike::from_toml(text) {
        Ok(bike) => assert_eq!(Bike::from_toml(&bike.to_toml()).as_ref(), Ok(&bike)),
        Err(faults) => {
            assert!(!faults.is_empty());
            let lines = text.lines().count().max(1);
            for fault in faults {
                assert!(!fault.text.is_empty());
                assert!(fault.line.is_none_or(|line| (1..=lines + 1).contains(&line)), "{fault:?}");
            }
        }
    }
});
