//! Forecast against record, and how sure an answer is.
