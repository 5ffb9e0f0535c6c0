//! A record's document read into an empty store: it is taken whole and comes out the same, or it is refused and the
//! store stays empty.
#![no_main]

use libfuzzer_sys::fuzz_target;
use store::Store;

fuzz_target!(|bytes: &[u8]| {
    let Ok(text) = std::str::from_utf8(bytes) else { return };
    let mut store = Store::memory().expect("a store");
    let before = store.export().expect("an empty record");
    match store.import(text) {
        Ok(()) => {
            let out = store.export().expect("a record");
            let mut again = Store::memory().expect("a store");
            again.import(&out).expect("its own document");
            assert_eq!(again.export().expect("a record"), out);
        }
        Err(fault) => {
            assert!(!fault.to_string().is_empty());
            assert_eq!(store.export().expect("a record"), before);
        }
    }
});
