//! Swingarm, taut loop, slack, alignment, stance.
