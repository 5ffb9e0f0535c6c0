//! Digits as people write them → the numbers they can mean. No unit, no bound.

/// What a run of digits can mean.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Meaning {
    /// One number.
    One(f64),
    /// `1,250`: with a decimal mark, or with a mark between thousands.
    Either {
        /// The reading as a decimal.
        decimal: f64,
        /// The reading with thousands.
        thousands: f64,
    },
}

/// Why digits mean nothing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Unread {
    /// `12,`: the digits after the mark are missing.
    HalfFinished,
    /// `1e3`.
    Exponent,
    /// Anything else.
    NoNumber,
}

/// Reads digits with at most one decimal mark, thousands in groups of three, a sign before them.
pub(super) fn read(text: &str) -> Result<Meaning, Unread> {
    let (sign, digits) = match text.chars().next() {
        Some('-' | '\u{2212}' | '\u{2013}') => {
            (-1.0, text.trim_start_matches(['-', '\u{2212}', '\u{2013}']).trim_start())
        }
        Some('+') => (1.0, text[1..].trim_start()),
        _ => (1.0, text),
    };
    // Only one sign was there to take off.
    if text.chars().filter(|letter| matches!(letter, '-' | '\u{2212}' | '\u{2013}' | '+')).count() > 1 {
        return Err(Unread::NoNumber);
    }
    let meaning = unsigned(digits)?;
    Ok(match meaning {
        Meaning::One(number) => Meaning::One(sign * number),
        Meaning::Either { decimal, thousands } => {
            Meaning::Either { decimal: sign * decimal, thousands: sign * thousands }
        }
    })
}

fn unsigned(text: &str) -> Result<Meaning, Unread> {
    if is_exponent(text) {
        return Err(Unread::Exponent);
    }
    if !text.chars().any(|letter| letter.is_ascii_digit()) || !text.chars().all(is_part) {
        return Err(Unread::NoNumber);
    }
    if text.ends_with([',', '.']) {
        return Err(Unread::HalfFinished);
    }
    let marks: Vec<char> = text.chars().filter(|letter| !letter.is_ascii_digit()).map(same_gap).collect();
    match marks.as_slice() {
        [] => number(text).map(Meaning::One),
        [mark @ (',' | '.')] => one_mark(text, *mark),
        [first, rest @ ..] if rest.iter().all(|mark| mark == first) => thousands(text).map(Meaning::One),
        [groups @ .., decimal @ (',' | '.')] if groups.iter().all(|mark| *mark == groups[0] && mark != decimal) => {
            let (whole, part) = text.rsplit_once(*decimal).ok_or(Unread::NoNumber)?;
            let whole = grouped(whole).ok_or(Unread::NoNumber)?;
            number(&format!("{whole}.{part}")).map(Meaning::One)
        }
        _ => Err(Unread::NoNumber),
    }
}

fn is_exponent(text: &str) -> bool {
    text.split_once(['e', 'E']).is_some_and(|(before, after)| {
        before.ends_with(|letter: char| letter.is_ascii_digit() || matches!(letter, '.' | ','))
            && after.trim_start_matches(['-', '+', '\u{2212}']).starts_with(|letter: char| letter.is_ascii_digit())
    })
}

fn is_part(letter: char) -> bool {
    letter.is_ascii_digit() || matches!(same_gap(letter), ',' | '.' | '\'' | ' ')
}

/// All blanks as one, all apostrophes as one.
fn same_gap(letter: char) -> char {
    match letter {
        '\u{a0}' | '\u{202f}' | '\u{2009}' => ' ',
        '’' => '\'',
        other => other,
    }
}

fn one_mark(text: &str, mark: char) -> Result<Meaning, Unread> {
    let (whole, part) = text.split_once(mark).ok_or(Unread::NoNumber)?;
    let decimal = number(&format!("{}.{part}", if whole.is_empty() { "0" } else { whole }))?;
    // `0,250` and `1250,375` cannot be thousands.
    let groups = part.len() == 3 && (1..=3).contains(&whole.len()) && !whole.starts_with('0');
    if !groups {
        return Ok(Meaning::One(decimal));
    }
    Ok(Meaning::Either { decimal, thousands: number(&format!("{whole}{part}"))? })
}

fn thousands(text: &str) -> Result<f64, Unread> {
    number(&grouped(text).ok_or(Unread::NoNumber)?)
}

/// Digits without the marks between their groups; `None` unless each group but the first has three digits.
fn grouped(text: &str) -> Option<String> {
    let groups: Vec<&str> = text.split(|letter: char| !letter.is_ascii_digit()).collect();
    let [first, rest @ ..] = groups.as_slice() else { return None };
    let fits = (1..=3).contains(&first.len()) && !first.starts_with('0') && rest.iter().all(|group| group.len() == 3);
    (fits || rest.is_empty()).then(|| groups.concat())
}

fn number(text: &str) -> Result<f64, Unread> {
    text.parse::<f64>().ok().filter(|number| number.is_finite()).ok_or(Unread::NoNumber)
}

/// `1/4`, `24 3/8`: a proper fraction after an optional whole; `None` if it is none.
pub(super) fn fraction(text: &str) -> Option<f64> {
    let (before, below) = text.split_once('/')?;
    let (whole, above) = match before.trim().rsplit_once(char::is_whitespace) {
        Some((whole, above)) => (count(whole.trim())?, count(above)?),
        None => (0.0, count(before.trim())?),
    };
    let below = count(below.trim())?;
    (below > above).then(|| whole + above / below)
}

fn count(text: &str) -> Option<f64> {
    let digits = (1..=4).contains(&text.len()) && text.bytes().all(|byte| byte.is_ascii_digit());
    digits.then(|| text.parse().ok()).flatten()
}
