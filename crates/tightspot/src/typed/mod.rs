//! What a thumb types, understood or refused: `12,5`, ` 12.5 mm `, `−3`, `2:45`, `1/4 in`, `26 lbf ft`.
//!
//! A text is turned into a number in the unit of its bound. Where another unit was typed the reading is echoed
//! ("= 35.25 N·m"), where two readings are possible nothing is guessed. Nothing here knows forms or pages.

mod unit;

#[cfg(test)]
mod tests;

use measure::Bound;

/// A text understood.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Typed {
    /// The number, in the unit of its bound.
    pub(crate) value: f64,
    /// How the text was read, where it was more than a plain number in that unit.
    pub(crate) echo: Option<String>,
}

/// Reads a number for a bound; an empty text is the caller's to judge.
///
/// # Errors
/// A sentence that says what is wrong and what to type.
pub(crate) fn number(text: &str, bound: &Bound) -> Result<Typed, String> {
    let (digits, unit_text) = split(text);
    let unit = unit::named(unit_text, bound.unit).ok_or_else(|| foreign_unit(unit_text, bound))?;
    let candidates = unit.readings(digits, bound).ok_or_else(|| no_number(text, bound))?;
    let mut possible = candidates.iter().copied().filter(|value| bound.holds(*value));
    match (possible.next(), possible.next()) {
        (Some(one), Some(other)) => Err(format!(
            "“{}” can mean {one} or {other}. Type it without the thousands mark, with every decimal.",
            text.trim()
        )),
        (Some(value), None) => {
            let plain = unit.is_own() && (candidates.len() == 1);
            Ok(Typed { value, echo: (!plain).then(|| format!("= {}{}", short(value), after(bound.unit))) })
        }
        (None, _) => Err(out_of_range(candidates.first().copied().unwrap_or(f64::NAN), bound)),
    }
}

/// Reads a whole number for a bound.
///
/// # Errors
/// A sentence that says what is wrong and what to type.
pub(crate) fn whole(text: &str, bound: &Bound) -> Result<f64, String> {
    let trimmed = text.trim();
    let digits = trimmed.strip_prefix(['-', '−']).unwrap_or(trimmed);
    if digits.is_empty() || digits.len() > 15 || !digits.bytes().all(|byte| byte.is_ascii_digit()) {
        return Err(format!("“{trimmed}” is no whole number. Type digits only, like {}.", example(bound)));
    }
    let size: f64 = digits.parse().map_err(|_| no_number(text, bound))?;
    let value = if digits.len() < trimmed.len() { -size } else { size };
    if bound.holds(value) { Ok(value) } else { Err(out_of_range(value, bound)) }
}

/// Number first, unit after it; a clock time or a fraction stays whole.
fn split(text: &str) -> (&str, &str) {
    let text = text.trim();
    let is_number =
        |c: char| c.is_ascii_digit() || matches!(c, '.' | ',' | '-' | '−' | '+' | '/' | ':' | ' ' | '\u{a0}');
    let end = text.find(|c: char| !is_number(c)).unwrap_or(text.len());
    // `2h45`: the letter stands inside the number.
    if text[end..].starts_with(['h', 'H']) && text[end..].chars().nth(1).is_some_and(|c| c.is_ascii_digit()) {
        return (text, "h:mm");
    }
    let (digits, unit) = (text[..end].trim(), text[end..].trim());
    if unit.is_empty() && digits.contains(':') { (digits, "h:mm") } else { (digits, unit) }
}

/// The number of plain digits with at most one decimal mark: one reading, or two where the mark could be a
/// thousands mark (`1,250`). `None` if it is no such number.
fn plain(text: &str) -> Option<Vec<f64>> {
    let (sign, digits) = match text.strip_prefix(['-', '−']) {
        Some(rest) => (-1.0, rest.trim_start()),
        None => (1.0, text.strip_prefix('+').unwrap_or(text)),
    };
    let marks = digits.bytes().filter(|byte| matches!(byte, b'.' | b',')).count();
    let other = digits.bytes().any(|byte| !byte.is_ascii_digit() && !matches!(byte, b'.' | b','));
    if other || marks > 1 || digits.len() > 25 || !digits.bytes().any(|byte| byte.is_ascii_digit()) {
        return None;
    }
    let value: f64 = digits.replace(',', ".").parse().ok()?;
    let grouped = digits
        .split_once(['.', ','])
        .filter(|(before, after)| after.len() == 3 && (1..=3).contains(&before.len()) && !before.starts_with('0'));
    let whole = grouped.and_then(|(before, after)| format!("{before}{after}").parse::<f64>().ok());
    Some(std::iter::once(value).chain(whole).map(|value| sign * value).collect())
}

/// `1/4`, `1 1/4`, `-3/8`.
fn fraction(text: &str) -> Option<f64> {
    let (sign, text) = match text.strip_prefix(['-', '−']) {
        Some(rest) => (-1.0, rest),
        None => (1.0, text),
    };
    let (before, below) = text.split_once('/')?;
    let (ones, above) = before.trim().rsplit_once(' ').unwrap_or(("0", before));
    let count = |text: &str| {
        let text = text.trim();
        let digits = !text.is_empty() && text.len() <= 6 && text.bytes().all(|byte| byte.is_ascii_digit());
        digits.then(|| text.parse::<f64>().ok()).flatten()
    };
    let below = count(below).filter(|below| *below > 0.0)?;
    Some(sign * (count(ones)? + count(above)? / below))
}

/// `2:45` or `2h45` in hours; minutes have two digits and stay below sixty.
fn clock(text: &str) -> Option<f64> {
    let (hours, minutes) = text.split_once([':', 'h', 'H'])?;
    let digits = |text: &str| !text.is_empty() && text.len() <= 5 && text.bytes().all(|byte| byte.is_ascii_digit());
    let (hours, minutes) = (hours.trim(), minutes.trim());
    if !digits(hours) || !digits(minutes) || minutes.len() != 2 {
        return None;
    }
    let minutes: f64 = minutes.parse().ok().filter(|minutes| *minutes < 60.0)?;
    Some(hours.parse::<f64>().ok()? + minutes / 60.0)
}

fn no_number(text: &str, bound: &Bound) -> String {
    format!("“{}” is no number. Type digits, like {}{}.", text.trim(), example(bound), after(bound.unit))
}

fn foreign_unit(unit: &str, bound: &Bound) -> String {
    let own = unit::spellings(bound.unit);
    if own.is_empty() {
        format!("“{unit}” is no part of this number. Type digits only, like {}.", example(bound))
    } else {
        format!("“{unit}” is no unit of {}. Type the number alone or with {}.", bound.word, own.join(", "))
    }
}

fn out_of_range(value: f64, bound: &Bound) -> String {
    format!("{}{} is out of reach for {}: {} is possible.", short(value), after(bound.unit), bound.word, bound.range())
}

fn after(unit: &str) -> String {
    if unit.is_empty() { String::new() } else { format!(" {unit}") }
}

fn short(value: f64) -> String {
    crate::frame::number::short(value)
}

/// A number inside the bound, to show what is meant.
fn example(bound: &Bound) -> String {
    [12.0, 85.0, 1.0, 120.0, 0.5, 1000.0]
        .into_iter()
        .find(|value| bound.holds(*value))
        .map_or_else(|| "12".to_owned(), short)
}
