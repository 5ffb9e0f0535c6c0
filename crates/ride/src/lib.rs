//! What a ride asked of the drive: tracks, profiles, replay. No I/O.

pub mod outcome;
pub mod profile;
pub mod quantile;
pub mod replay;
pub mod shares;
pub mod track;
