//! From a recorded file to clean parts: parsing, times, spikes, gaps, distance.
