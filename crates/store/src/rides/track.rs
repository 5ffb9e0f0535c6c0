//! A ride's track: packed into a column, and back to what it was or not at all.

use std::io::{Read as _, Write as _};

use flate2::Compression;
use flate2::read::ZlibDecoder;
use flate2::write::ZlibEncoder;

use super::RideId;
use crate::{Result, StoreError};

/// The longest track kept.
const LONGEST_TRACK: usize = 512 << 20;

/// The track packed, with its length before packing.
pub(super) fn pack(track: &[u8]) -> Result<(Vec<u8>, i64)> {
    let too_large = |_| StoreError::Ride { field: "track", given: "too large".to_owned(), possible: "up to 512 MiB" };
    if track.len() > LONGEST_TRACK {
        return Err(too_large(()));
    }
    let mut encoder = ZlibEncoder::new(Vec::with_capacity(track.len() / 4), Compression::default());
    let packed = encoder.write_all(track).and_then(|()| encoder.finish()).map_err(|_| too_large(()))?;
    Ok((packed, i64::try_from(track.len()).map_err(|_| too_large(()))?))
}

/// The track as it was, or that it is damaged.
pub(super) fn unpack(packed: &[u8], bytes: i64, id: RideId) -> Result<Vec<u8>> {
    let bad = || StoreError::row("ride_track", id, "its track does not unpack to what was stored");
    let bytes = usize::try_from(bytes).ok().filter(|bytes| *bytes <= LONGEST_TRACK).ok_or_else(bad)?;
    let mut track = Vec::with_capacity(bytes);
    // One byte more than stored is enough to see that it is wrong, however large it would unpack.
    ZlibDecoder::new(packed).take(bytes as u64 + 1).read_to_end(&mut track).map_err(|_| bad())?;
    if track.len() == bytes { Ok(track) } else { Err(bad()) }
}
