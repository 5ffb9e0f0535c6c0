//! Bounds of measuring, wear, lives and replacement figures.
