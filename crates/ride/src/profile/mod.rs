//! From clean parts to smoothed motion, elevation and grade; stops.
