//! The bike's own sheet: every figure a rider gives of it, with its source.
