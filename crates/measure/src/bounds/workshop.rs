//! Bounds of torque, work and money figures.
