//! Hours and minutes as people write a duration: `2:45`, `2h45`, `2 h 45 min`.

/// What a text is as hours and minutes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Clock {
    /// So many hours.
    Hours(f64),
    /// It has the shape, with sixty minutes or more.
    TooManyMinutes,
}

/// Hours and minutes; `None` if the text has another shape.
pub(super) fn clock(text: &str) -> Option<Clock> {
    let plain: String = text.chars().filter(|letter| !letter.is_whitespace()).flat_map(char::to_lowercase).collect();
    let (hours, minutes) = plain.split_once(':').or_else(|| plain.split_once('h'))?;
    let minutes =
        ["minutes", "mins", "min", "m", "h"].iter().find_map(|end| minutes.strip_suffix(end)).unwrap_or(minutes);
    if minutes.len() != 2 && !(plain.contains('h') && minutes.len() == 1) {
        return None;
    }
    let (hours, minutes) = (whole(hours)?, whole(minutes)?);
    Some(if minutes < 60.0 { Clock::Hours(hours + minutes / 60.0) } else { Clock::TooManyMinutes })
}

fn whole(text: &str) -> Option<f64> {
    let digits = (1..=5).contains(&text.len()) && text.bytes().all(|byte| byte.is_ascii_digit());
    digits.then(|| text.parse().ok()).flatten()
}
