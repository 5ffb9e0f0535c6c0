//! A record's document read into an empty store: it is taken whole and comes out the same, or it is refused and the
//! store stays empty.
#![no_main]

use std::cell::RefCell;

use libfuzzer_sys::fuzz_target;
use store::Store;

/// A store in which nothing is, and what it says of itself.
struct Empty {
    store: Store,
    said: String,
}

impl Empty {
    fn new() -> Self {
        let store = Store::memory().expect("a store");
        let said = store.export().expect("an empty record");
        Self { store, said }
    }
}

thread_local! {
    /// Used as long as it is empty: a document that was refused has left nothing in it.
    static EMPTY: RefCell<Empty> = RefCell::new(Empty::new());
}

fuzz_target!(|bytes: &[u8]| {
    let Ok(text) = std::str::from_utf8(bytes) else { return };
    EMPTY.with_borrow_mut(|empty| match empty.store.import(text) {
        Ok(()) => {
            let out = empty.store.export().expect("a record");
            *empty = Empty::new();
            let mut again = Store::memory().expect("a store");
            again.import(&out).expect("its own document");
            assert_eq!(again.export().expect("a record"), out);
        }
        Err(fault) => {
            assert!(!fault.to_string().is_empty());
            assert_eq!(empty.store.export().expect("a record"), empty.said);
        }
    });
});
