//! Ratios, speeds and thrust; one pair against another.
