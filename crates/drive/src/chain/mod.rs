//! Length, fit, elongation, strength and sizes of the chain; sprocket geometry; tyre size.
