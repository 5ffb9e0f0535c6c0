//! Nominal size of a tyre from its marking: what turns sprocket teeth into metres on the ground.
//!
//! Unloaded and nominal: real off-road tyres differ by −1 to +4 %, a measured rollout beats it.

use std::f64::consts::PI;

use measure::exact::INCH_MM;
use measure::{Length, bounds};

/// A tyre's nominal size.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tyre {
    /// Width.
    pub width: Length,
    /// Rim to tread.
    pub section_height: Length,
    /// Rim diameter in inches.
    pub rim_in: u16,
    /// Whether the lower ratio of some inch widths was used.
    pub low_inch_ratio: bool,
    /// Whether text after the rim was left aside.
    pub service_text: bool,
}

impl Tyre {
    /// Outside diameter.
    ///
    /// # Formula
    /// D = 25.4 rim + 2 H.
    ///
    /// # Source
    /// `tyre-sizes`.
    #[must_use]
    pub fn diameter(&self) -> Length {
        Length::from_mm(INCH_MM * f64::from(self.rim_in)) + self.section_height * 2.0
    }

    /// Circumference, unloaded.
    #[must_use]
    pub fn circumference(&self) -> Length {
        self.diameter() * PI
    }
}

/// What a marking lacks.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unread {
    /// No width, ratio and rim in that order.
    Form,
    /// Width, ratio or rim is zero.
    Zero,
    /// The rim is no size of a motorcycle wheel.
    Rim(u16),
}

/// Reads a marking: metric `width/ratio-rim` in whole numbers, or inch `width-rim` with a decimal point in the width.
///
/// # Formula
/// H = W ratio/100; inch H = k W with k = 0.9 for widths ending in .10 or .60, else 1.0.
///
/// # Source
/// `tyre-sizes`; the widths that take 0.9: `memory`.
///
/// # Errors
/// What the marking lacks. Nothing is guessed.
pub fn tyre(marking: &str) -> Result<Tyre, Unread> {
    let (size, rim) = marking.split_once('-').ok_or(Unread::Form)?;
    let digits = rim.bytes().take_while(u8::is_ascii_digit).count();
    let (rim, service) = rim.split_at(digits);
    let rim_in = whole(rim)?;
    if !service.is_empty() && !service.starts_with(|c: char| c.is_whitespace() || c.is_alphabetic() || c == '(') {
        return Err(Unread::Form);
    }
    let (width, section_height, low_inch_ratio) = if size.contains('/') { metric(size)? } else { inches(size)? };
    if rim_in == 0 {
        return Err(Unread::Zero);
    }
    if !bounds::chain::RIM.holds(f64::from(rim_in)) {
        return Err(Unread::Rim(rim_in));
    }
    Ok(Tyre { width, section_height, rim_in, low_inch_ratio, service_text: !service.trim().is_empty() })
}

type Section = (Length, Length, bool);

fn metric(size: &str) -> Result<Section, Unread> {
    let (width, ratio) = size.split_once('/').ok_or(Unread::Form)?;
    let (width, ratio) = (whole(width)?, whole(ratio)?);
    if width == 0 || ratio == 0 {
        return Err(Unread::Zero);
    }
    let width = f64::from(width);
    Ok((Length::from_mm(width), Length::from_mm(width * f64::from(ratio) / 100.0), false))
}

fn inches(size: &str) -> Result<Section, Unread> {
    let (units, hundredths) = size.split_once('.').ok_or(Unread::Form)?;
    if !all_digits(units) || !all_digits(hundredths) {
        return Err(Unread::Form);
    }
    let width: f64 = size.parse().map_err(|_| Unread::Form)?;
    if width == 0.0 {
        return Err(Unread::Zero);
    }
    let low = matches!(hundredths.trim_end_matches('0'), "1" | "6");
    let width = Length::from_mm(width * INCH_MM);
    Ok((width, width * if low { 0.9 } else { 1.0 }, low))
}

fn whole(text: &str) -> Result<u16, Unread> {
    if all_digits(text) { text.parse().map_err(|_| Unread::Form) } else { Err(Unread::Form) }
}

fn all_digits(text: &str) -> bool {
    !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn service_text_after_the_rim_is_left_aside() {
        for marking in ["140/80-18 70R TT", "140/80-18M/C", "140/80-18 M/C 70R"] {
            let read = tyre(marking).expect("a size");
            assert!(read.service_text && read.rim_in == 18);
        }
        assert!(!tyre("140/80-18").expect("a size").service_text);
    }

    #[test]
    fn a_marking_in_another_form_is_not_guessed() {
        for marking in [
            "",
            "eighteen",
            "140-18",
            "140/80",
            "18-140/80",
            "-140/80-18",
            "+140/80-18",
            "140/-80-18",
            "140/80--18",
            "140.0/80-18",
            "3.50/90-18",
            "140/80-18.5",
            "3,50-18",
            ".50-18",
            "3.-18",
            "1e2/80-18",
            "140 /80-18",
            "3.50-",
            "140/80-",
            "140/80R18",
            "١٤٠/80-18",
        ] {
            assert_eq!(tyre(marking), Err(Unread::Form), "{marking}");
        }
        for marking in ["0/80-18", "140/0-18", "0.00-18", "140/80-0"] {
            assert_eq!(tyre(marking), Err(Unread::Zero), "{marking}");
        }
        assert_eq!(tyre("140/80-24"), Err(Unread::Rim(24)));
        assert_eq!(tyre("140/80-7"), Err(Unread::Rim(7)));
    }

    #[test]
    fn some_inch_widths_are_lower_than_wide() {
        let height = |marking| tyre(marking).map(|tyre| tyre.section_height / tyre.width).expect("a size");
        assert!((height("4.10-19") - 0.9).abs() < 1e-12 && (height("4.60-18") - 0.9).abs() < 1e-12);
        assert!((height("3.50-18") - 1.0).abs() < 1e-12 && (height("3.0-18") - 1.0).abs() < 1e-12);
    }
}
