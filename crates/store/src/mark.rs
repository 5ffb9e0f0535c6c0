//! A mark of bytes: tells whether two files or requests are the same. Against accident, not against an adversary.

/// The FNV-1a mark of bytes, 128 bits wide, with their length: `1234-0f3c…`.
///
/// # Source
/// The published FNV parameters for 128 bits: offset basis and prime 2^88 + 2^8 + 0x3b.
#[must_use]
pub fn mark(bytes: &[u8]) -> String {
    const BASIS: u128 = 0x6c62_272e_07bb_0142_62b8_2175_6295_c58d;
    const PRIME: u128 = (1 << 88) + (1 << 8) + 0x3b;
    let hash = bytes.iter().fold(BASIS, |hash, byte| (hash ^ u128::from(*byte)).wrapping_mul(PRIME));
    format!("{}-{hash:032x}", bytes.len())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn marks_are_those_of_the_published_function() {
        assert_eq!(mark(b""), "0-6c62272e07bb014262b821756295c58d");
        assert_eq!(mark(b"a"), "1-d228cb696f1a8caf78912b704e4a8964");
        assert_eq!(mark(b"foobar"), "6-343e1662793c64bf6f0d3597ba446f18");
    }
}
