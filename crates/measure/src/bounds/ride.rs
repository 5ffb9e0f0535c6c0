//! Bounds of gearing, track and replay figures.
