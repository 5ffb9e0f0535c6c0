//! Bounds of chain, sprocket and tyre figures.
