//! Chance that can be repeated: one seed, the same moments.

/// A small generator of even numbers below a bound.
pub(crate) struct Dice(u64);

impl Dice {
    /// From the seed of this run and a word, so that no two tests roll alike.
    pub(crate) fn of(test: &str) -> Self {
        let word = test.bytes().fold(14_695_981_039_346_656_037_u64, |mark, byte| {
            (mark ^ u64::from(byte)).wrapping_mul(1_099_511_628_211)
        });
        // Nought would stay nought.
        Self((word ^ seed().wrapping_mul(0x9E37_79B9_7F4A_7C15)).max(1))
    }

    pub(crate) fn roll(&mut self, below: u64) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        self.0 % below
    }
}

/// The seed of this run.
pub(crate) fn seed() -> u64 {
    number("FAULTS_SEED", 4807)
}

/// A number from the environment.
pub(crate) fn number(name: &str, usual: u64) -> u64 {
    let Ok(text) = std::env::var(name) else { return usual };
    text.parse().expect("a whole number in the environment")
}
