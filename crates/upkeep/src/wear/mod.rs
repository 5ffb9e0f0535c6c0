//! Readings, wear, forecasts, lives and replacement.
