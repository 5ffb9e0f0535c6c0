//! Threads, classes, preload, friction, extension, order of tightening.
