//! Reads a data logger's table: one row for each sample, one named column for each channel.
//!
//! Columns: `time` (2001-05-06T07:00:00Z) or `t_s` · `lat` and `lon` · `ele_m` · `speed_kmh` or `speed_mps` · `rpm` ·
//! `gear` · `throttle_pct`, in any order, parted by tab, semicolon or comma. Decimals take a point, or a comma (in
//! quotes, where commas part the columns); one of them in a whole file. An empty cell is missing. Other columns are
//! left out and named. Nothing is repaired: the first cell that does not fit is an error with its line and column.

mod fault;

pub use fault::LogFault;

use csv::{ReaderBuilder, StringRecord, Trim};
use measure::bounds::ride as bounds;
use measure::{Bound, Speed};

use super::{Limits, Moment, Place, Point, Track};

/// The channels that are read, by the name of their column.
const CHANNELS: [(&str, Channel); 10] = [
    ("time", Channel::Time),
    ("t_s", Channel::Seconds),
    ("lat", Channel::Lat),
    ("lon", Channel::Lon),
    ("ele_m", Channel::Ele),
    ("speed_kmh", Channel::SpeedKmh),
    ("speed_mps", Channel::SpeedMps),
    ("rpm", Channel::Rpm),
    ("gear", Channel::Gear),
    ("throttle_pct", Channel::Throttle),
];

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Channel {
    Time,
    Seconds,
    Lat,
    Lon,
    Ele,
    SpeedKmh,
    SpeedMps,
    Rpm,
    Gear,
    Throttle,
}

impl Channel {
    const fn bound(self) -> &'static Bound {
        match self {
            Self::Time | Self::Seconds => &bounds::SAMPLE_TIME,
            Self::Lat => &bounds::LATITUDE,
            Self::Lon => &bounds::LONGITUDE,
            Self::Ele => &bounds::ELEVATION,
            Self::SpeedKmh => &bounds::LOGGED_SPEED_KMH,
            Self::SpeedMps => &bounds::GROUND_SPEED,
            Self::Rpm => &bounds::LOGGED_RPM,
            Self::Gear => &bounds::LOGGED_GEAR,
            Self::Throttle => &bounds::THROTTLE,
        }
    }
}

/// One sample; what was not recorded is `None`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sample {
    /// When; counted from an arbitrary zero if the log is not [`Log::dated`].
    pub at: Moment,
    /// Where.
    pub place: Option<Place>,
    /// Elevation in metres.
    pub ele_m: Option<f64>,
    /// Speed as the logger says it.
    pub speed: Option<Speed>,
    /// Engine speed in rpm.
    pub rpm: Option<f64>,
    /// Gear, 0 for neutral.
    pub gear: Option<u8>,
    /// Throttle opening, 0 to 100 %.
    pub throttle_pct: Option<f64>,
}

/// A logger's table.
#[derive(Debug, Clone, PartialEq)]
pub struct Log {
    /// The rows in the order written.
    pub samples: Vec<Sample>,
    /// Whether the times are dates (`time`), not seconds from some zero (`t_s`).
    pub dated: bool,
    /// Columns that were left out, by name.
    pub left_out: Vec<String>,
}

/// Reads a logger's table.
///
/// # Errors
/// The first header or cell that does not fit, with its line and column.
///
/// # Example
/// ```
/// use ride::track::{Limits, read_log};
/// let log = read_log("t_s;speed_kmh;rpm\n0;36,0;4500\n0,5;37,8;4700\n", &Limits::USUAL).unwrap();
/// assert!((log.samples[1].speed.unwrap().mps() - 10.5).abs() < 1e-12);
/// ```
pub fn read_log(text: &str, limits: &Limits) -> Result<Log, LogFault> {
    if text.len() > limits.bytes {
        return Err(LogFault::TooLong { bytes: text.len(), limit: limits.bytes });
    }
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let mut reader =
        ReaderBuilder::new().delimiter(separator(text)).trim(Trim::All).flexible(true).from_reader(text.as_bytes());
    let unreadable = |_| LogFault::Header { column: "1".to_owned(), why: "the header cannot be read as a row" };
    let header = reader.headers().map_err(unreadable)?.clone();
    let columns = Columns::of(&header)?;
    let mut cells = Cells { columns: &columns, mark: None };
    let mut samples = Vec::new();
    let mut row = StringRecord::new();
    loop {
        let more = reader.read_record(&mut row);
        let line = row.position().map_or(0, |begin| line_of(text, begin));
        match more {
            Ok(true) => {}
            Ok(false) => break,
            Err(_) => return Err(LogFault::Cells { line, found: 0, wanted: header.len() }),
        }
        if row.len() != header.len() {
            return Err(LogFault::Cells { line, found: row.len(), wanted: header.len() });
        }
        if samples.len() == limits.points {
            return Err(LogFault::TooManyRows { limit: limits.points });
        }
        samples.push(cells.sample(&row, line)?);
    }
    Ok(Log { samples, dated: columns.has(Channel::Time), left_out: columns.left_out })
}

/// The line of a row; the reader's own position stands before the blank lines that it skipped.
fn line_of(text: &str, begin: &csv::Position) -> u64 {
    let rest = usize::try_from(begin.byte()).ok().and_then(|at| text.as_bytes().get(at..)).unwrap_or_default();
    let blanks = rest.iter().take_while(|byte| matches!(byte, b'\r' | b'\n')).filter(|byte| **byte == b'\n');
    blanks.fold(begin.line(), |line, _| line + 1)
}

/// What parts the columns: the first of tab, semicolon, comma that the header holds.
fn separator(text: &str) -> u8 {
    let header = text.lines().find(|line| !line.trim().is_empty()).unwrap_or_default();
    [b'\t', b';'].into_iter().find(|byte| header.as_bytes().contains(byte)).unwrap_or(b',')
}

/// Which cell of a row holds which channel.
struct Columns {
    channels: Vec<(usize, &'static str, Channel)>,
    left_out: Vec<String>,
}

impl Columns {
    fn of(header: &StringRecord) -> Result<Self, LogFault> {
        let mut columns = Self { channels: Vec::new(), left_out: Vec::new() };
        for (index, name) in header.iter().enumerate() {
            match CHANNELS.into_iter().find(|(known, _)| known.eq_ignore_ascii_case(name)) {
                Some((name, channel)) if columns.has(channel) => {
                    return Err(LogFault::Header { column: name.to_owned(), why: "it stands there twice. Keep one" });
                }
                Some((name, channel)) => columns.channels.push((index, name, channel)),
                None => columns.left_out.push(name.to_owned()),
            }
        }
        columns.fit()
    }

    fn has(&self, channel: Channel) -> bool {
        self.channels.iter().any(|(_, _, known)| *known == channel)
    }

    /// The columns, if they can be a log.
    fn fit(self) -> Result<Self, LogFault> {
        use Channel::{Lat, Lon, Rpm, Seconds, SpeedKmh, SpeedMps, Time};
        let fault = |column: &str, why| Err(LogFault::Header { column: column.to_owned(), why });
        match (self.has(Time), self.has(Seconds)) {
            (true, true) => return fault("t_s", "time is there too. Keep one of them"),
            (false, false) => return fault("time", "neither time nor t_s is there. Name the column of the times"),
            _ => {}
        }
        if self.has(SpeedKmh) && self.has(SpeedMps) {
            return fault("speed_mps", "speed_kmh is there too. Keep one of them");
        }
        match (self.has(Lat), self.has(Lon)) {
            (true, false) => return fault("lon", "lat is there without it. Add it"),
            (false, true) => return fault("lat", "lon is there without it. Add it"),
            _ => {}
        }
        if ![Lat, SpeedKmh, SpeedMps, Rpm].into_iter().any(|channel| self.has(channel)) {
            return fault("lat", "neither a place, a speed nor rpm is there. Name at least one of them");
        }
        Ok(self)
    }
}

/// Reads the cells of one row after the other.
struct Cells<'a> {
    columns: &'a Columns,
    /// The decimal mark of the file, once one was seen.
    mark: Option<char>,
}

impl Cells<'_> {
    fn sample(&mut self, row: &StringRecord, line: u64) -> Result<Sample, LogFault> {
        let mut found: [Option<f64>; CHANNELS.len()] = [None; CHANNELS.len()];
        let mut at = None;
        for (index, column, channel) in &self.columns.channels {
            let cell = row.get(*index).unwrap_or_default();
            if *channel == Channel::Time {
                at = Moment::read(cell);
                if at.is_none() {
                    return Err(misfit(line, column, cell, "a time like 2001-05-06T07:00:00.25Z"));
                }
            } else if let (Some(place), false) = (found.get_mut(*channel as usize), cell.is_empty()) {
                *place = Some(self.number(cell, line, column, *channel)?);
            }
        }
        let value = |channel| found.get(channel as usize).copied().flatten();
        let seconds = value(Channel::Seconds).and_then(|seconds| Moment::from_unix(0).after(seconds));
        let place = match (value(Channel::Lat), value(Channel::Lon)) {
            (Some(lat), Some(lon)) => Place::new(lat, lon),
            (None, None) => None,
            (lat, _) => {
                let column = if lat.is_some() { "lon" } else { "lat" };
                return Err(misfit(line, column, "", "both lat and lon, or neither,"));
            }
        };
        Ok(Sample {
            at: at.or(seconds).ok_or_else(|| misfit(line, "t_s", "", "a number of seconds"))?,
            place,
            ele_m: value(Channel::Ele),
            speed: value(Channel::SpeedMps).map(Speed::from_mps).or(value(Channel::SpeedKmh).map(Speed::from_kmh)),
            rpm: value(Channel::Rpm),
            gear: value(Channel::Gear).and_then(whole),
            throttle_pct: value(Channel::Throttle),
        })
    }

    /// A number with the file's decimal mark, inside its bound.
    fn number(&mut self, cell: &str, line: u64, column: &'static str, channel: Channel) -> Result<f64, LogFault> {
        let mark = cell.chars().find(|c| matches!(c, '.' | ','));
        if mark.is_some_and(|mark| *self.mark.get_or_insert(mark) != mark) {
            return Err(misfit(line, column, cell, "one decimal mark, comma or point, in the whole file,"));
        }
        let text = cell.replace(',', ".");
        let shaped = text.bytes().all(|byte| byte.is_ascii_digit() || matches!(byte, b'+' | b'-' | b'.' | b'e' | b'E'));
        let number = if shaped { text.parse::<f64>().ok() } else { None };
        let bound = channel.bound();
        number
            .filter(|number| bound.holds(*number) && (channel != Channel::Gear || whole(*number).is_some()))
            .ok_or_else(|| {
                let kind = if channel == Channel::Gear { "a whole number, " } else { "" };
                misfit(line, column, cell, &format!("{kind}{} ({})", bound.range(), bound.word))
            })
    }
}

fn misfit(line: u64, column: &'static str, cell: &str, wanted: &str) -> LogFault {
    LogFault::Cell { line, column, found: cell.chars().take(40).collect(), wanted: wanted.to_owned() }
}

fn whole(number: f64) -> Option<u8> {
    (0_u8..=9).find(|gear| f64::from(*gear) == number)
}

impl Log {
    /// The places of the log as a track of one segment; `None` if it has no places. Rows without one are counted.
    #[must_use]
    pub fn track(&self) -> Option<Track> {
        let place = |sample: &Sample| Some(Point { place: sample.place?, ele_m: sample.ele_m, at: Some(sample.at) });
        let points: Vec<Point> = self.samples.iter().filter_map(place).collect();
        if points.is_empty() {
            return None;
        }
        let points_dropped = self.samples.len() - points.len();
        Some(Track { segments: vec![points], tracks: 1, points_dropped, ..Track::default() })
    }
}

#[cfg(test)]
mod tests;
