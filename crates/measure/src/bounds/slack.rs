//! Bounds of swingarm, slack, alignment and stance figures.
