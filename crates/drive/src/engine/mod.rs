//! The engine's torque curve, and what air does to it.
