//! Bounds of the bike's own sheet: narrower where a value outside is a typing slip.
