//! A ride on an even grid as one compact blob, for keeping: the replay never reads the document again.
//!
//! Times are exact (begin and step); speed, acceleration, distance, elevation and grade are kept as single-precision
//! numbers. Positions are kept only where asked: a ride's shape tells where its rider lives.
//!
//! Layout, little-endian: mark `RIDE`, version, flags, step, moment, count of legs · per leg its begin, count,
//! flags, origin · then the packed columns. A column is the difference of each value's bits from the one before,
//! its four bytes in four rows, so that like stands beside like and packs well.

use std::fmt;
use std::io::Read;

use flate2::Compression;
use flate2::read::{DeflateDecoder, DeflateEncoder};

use super::{Part, Profile};
use crate::track::{Moment, Place};

/// What of a ride is kept.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Keep {
    /// Motion and height, no place.
    Motion,
    /// Positions too.
    MotionAndPlaces,
}

/// A ride on an even grid.
#[derive(Debug, Clone, PartialEq)]
pub struct Blob {
    /// Seconds between two grid points.
    pub step_s: f64,
    /// The moment of second 0, to the second.
    pub start: Option<Moment>,
    /// The parts in order.
    pub legs: Vec<Leg>,
}

/// One part of a kept ride: lists of one length, one value each [`Blob::step_s`] from `begin_s`.
#[derive(Debug, Clone, PartialEq)]
pub struct Leg {
    /// Seconds of the first grid point from the ride's start.
    pub begin_s: f64,
    /// Ground speed.
    pub speed_mps: Vec<f32>,
    /// Acceleration along the way.
    pub accel_mps2: Vec<f32>,
    /// Distance from the part's begin.
    pub s_m: Vec<f32>,
    /// Elevation and grade; `None` if unknown.
    pub height: Option<LegHeight>,
    /// Positions; `None` if not kept.
    pub places: Option<LegPlaces>,
}

/// Elevation and grade of a kept leg.
#[derive(Debug, Clone, PartialEq)]
pub struct LegHeight {
    /// Elevation.
    pub ele_m: Vec<f32>,
    /// Grade.
    pub grade: Vec<f32>,
}

/// Positions of a kept leg, in the plane around a place.
#[derive(Debug, Clone, PartialEq)]
pub struct LegPlaces {
    /// Where east and north are 0.
    pub origin: Place,
    /// East.
    pub x_m: Vec<f32>,
    /// North.
    pub y_m: Vec<f32>,
}

/// Why bytes are no kept ride.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BlobFault {
    /// They do not begin with the mark.
    Foreign,
    /// A version that this program does not know.
    Version(u8),
    /// They end too early, hold too much, or a number in them cannot be.
    Damaged,
}

impl fmt::Display for BlobFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Foreign => f.write_str("these bytes are no kept ride. Read the track again"),
            Self::Version(version) => {
                write!(f, "the kept ride has version {version}, this program knows {VERSION}. Use the newer program")
            }
            Self::Damaged => f.write_str("the kept ride is damaged. Read the track again"),
        }
    }
}

impl std::error::Error for BlobFault {}

const MARK: &[u8; 4] = b"RIDE";
const VERSION: u8 = 1;
const WITH_START: u8 = 1;
const WITH_HEIGHT: u8 = 1;
const WITH_PLACES: u8 = 2;
/// Bytes of columns that are believed of a blob, so that damage cannot ask for all memory: twenty million points of a
/// leg with height and places, seven columns of four bytes a value.
const MOST_BYTES: u64 = 20_000_000 * 7 * 4;

impl Blob {
    /// Keeps a ride that is already on a grid of `step_s`.
    #[must_use]
    pub fn of(on_grid: &Profile, step_s: f64, keep: Keep) -> Self {
        let legs = on_grid.parts.iter().map(|part| Leg::of(part, keep)).collect();
        Self { step_s, start: on_grid.start.map(|start| Moment::from_unix(start.unix())), legs }
    }

    /// Grid points in all legs.
    #[must_use]
    pub fn points(&self) -> usize {
        self.legs.iter().map(|leg| leg.speed_mps.len()).sum()
    }

    /// The bytes to keep.
    #[must_use]
    pub fn encode(&self) -> Vec<u8> {
        let mut out = MARK.to_vec();
        out.extend([VERSION, if self.start.is_some() { WITH_START } else { 0 }]);
        out.extend(self.step_s.to_le_bytes());
        out.extend(self.start.map_or(0, Moment::unix).to_le_bytes());
        out.extend(u32::try_from(self.legs.len()).unwrap_or(u32::MAX).to_le_bytes());
        // Speed, acceleration, distance, elevation, grade: a ride is mostly kept without its places.
        let mut columns = Vec::with_capacity(self.points() * 5 * size_of::<f32>());
        for leg in &self.legs {
            out.extend(leg.begin_s.to_le_bytes());
            out.extend(u32::try_from(leg.speed_mps.len()).unwrap_or(u32::MAX).to_le_bytes());
            let flags = if leg.height.is_some() { WITH_HEIGHT } else { 0 };
            out.push(flags | if leg.places.is_some() { WITH_PLACES } else { 0 });
            if let Some(places) = &leg.places {
                out.extend(places.origin.lat_deg.to_le_bytes());
                out.extend(places.origin.lon_deg.to_le_bytes());
            }
            leg.columns().for_each(|column| spread(column, &mut columns));
        }
        let mut packed = DeflateEncoder::new(columns.as_slice(), Compression::default());
        // Reading from memory cannot fail; were it to, the blob would be short and refused on the way back.
        let _ = packed.read_to_end(&mut out);
        out
    }

    /// Reads what [`Self::encode`] wrote.
    ///
    /// # Errors
    /// Foreign, newer or damaged bytes; nothing is guessed.
    pub fn decode(bytes: &[u8]) -> Result<Self, BlobFault> {
        let mut rest = bytes.strip_prefix(MARK).ok_or(BlobFault::Foreign)?;
        let [version, flags] = take(&mut rest)?;
        if version != VERSION {
            return Err(BlobFault::Version(version));
        }
        let step_s = f64::from_le_bytes(take(&mut rest)?);
        let start = Moment::from_unix(i64::from_le_bytes(take(&mut rest)?));
        let count = u32::from_le_bytes(take(&mut rest)?);
        if !(step_s > 0.0 && step_s.is_finite()) {
            return Err(BlobFault::Damaged);
        }
        // Each leg has bytes of its own here: no count makes this longer than the blob.
        let heads = (0..count).map(|_| Head::read(&mut rest)).collect::<Result<Vec<_>, _>>()?;
        let columns = unpacked(rest, heads.iter().map(Head::bytes).sum())?;
        let mut columns = columns.as_slice();
        let legs = heads.iter().map(|head| head.leg(&mut columns)).collect::<Result<Vec<_>, _>>()?;
        Ok(Self { step_s, start: (flags & WITH_START != 0).then_some(start), legs })
    }
}

impl Leg {
    fn of(part: &Part, keep: Keep) -> Self {
        let places = part.origin.filter(|_| keep == Keep::MotionAndPlaces);
        Self {
            begin_s: part.t_s.first().copied().unwrap_or(0.0),
            speed_mps: single(&part.speed_mps),
            accel_mps2: single(&part.accel_mps2),
            s_m: single(&part.s_m),
            height: part
                .height
                .as_ref()
                .map(|height| LegHeight { ele_m: single(&height.ele_m), grade: single(&height.grade) }),
            places: places.map(|origin| LegPlaces { origin, x_m: single(&part.x_m), y_m: single(&part.y_m) }),
        }
    }

    fn columns(&self) -> impl Iterator<Item = &[f32]> {
        let motion = [&self.speed_mps, &self.accel_mps2, &self.s_m];
        let height = self.height.iter().flat_map(|height| [&height.ele_m, &height.grade]);
        let places = self.places.iter().flat_map(|places| [&places.x_m, &places.y_m]);
        motion.into_iter().chain(height).chain(places).map(Vec::as_slice)
    }
}

fn single(values: &[f64]) -> Vec<f32> {
    #[expect(clippy::cast_possible_truncation, reason = "kept in single precision: 7 digits are beyond any recorder")]
    values.iter().map(|value| *value as f32).collect()
}

/// What stands before the columns about one leg.
struct Head {
    begin_s: f64,
    count: usize,
    height: bool,
    origin: Option<Place>,
}

impl Head {
    fn read(rest: &mut &[u8]) -> Result<Self, BlobFault> {
        let begin_s = f64::from_le_bytes(take(rest)?);
        let count = usize::try_from(u32::from_le_bytes(take(rest)?)).map_err(|_| BlobFault::Damaged)?;
        let [flags] = take(rest)?;
        let origin = if flags & WITH_PLACES == 0 {
            None
        } else {
            let (lat, lon) = (f64::from_le_bytes(take(rest)?), f64::from_le_bytes(take(rest)?));
            Some(Place::new(lat, lon).ok_or(BlobFault::Damaged)?)
        };
        if !begin_s.is_finite() || flags & !(WITH_HEIGHT | WITH_PLACES) != 0 {
            return Err(BlobFault::Damaged);
        }
        Ok(Self { begin_s, count, height: flags & WITH_HEIGHT != 0, origin })
    }

    fn bytes(&self) -> u64 {
        let columns = 3 + 2 * u64::from(self.height) + 2 * u64::from(self.origin.is_some());
        u64::try_from(self.count).unwrap_or(u64::MAX).saturating_mul(4 * columns)
    }

    fn leg(&self, columns: &mut &[u8]) -> Result<Leg, BlobFault> {
        let mut next = || gathered(columns, self.count);
        Ok(Leg {
            begin_s: self.begin_s,
            speed_mps: next()?,
            accel_mps2: next()?,
            s_m: next()?,
            height: if self.height { Some(LegHeight { ele_m: next()?, grade: next()? }) } else { None },
            places: match self.origin {
                Some(origin) => Some(LegPlaces { origin, x_m: next()?, y_m: next()? }),
                None => None,
            },
        })
    }
}

fn take<const N: usize>(rest: &mut &[u8]) -> Result<[u8; N], BlobFault> {
    let (taken, after) = rest.split_first_chunk::<N>().ok_or(BlobFault::Damaged)?;
    *rest = after;
    Ok(*taken)
}

const fn believed(bytes: u64) -> bool {
    bytes <= MOST_BYTES
}

/// Unpacks exactly so many bytes.
fn unpacked(packed: &[u8], bytes: u64) -> Result<Vec<u8>, BlobFault> {
    if !believed(bytes) {
        return Err(BlobFault::Damaged);
    }
    let mut columns = Vec::new();
    DeflateDecoder::new(packed).take(bytes + 1).read_to_end(&mut columns).map_err(|_| BlobFault::Damaged)?;
    if u64::try_from(columns.len()) == Ok(bytes) { Ok(columns) } else { Err(BlobFault::Damaged) }
}

/// Writes a column: differences of bits, byte by byte in four rows.
fn spread(column: &[f32], out: &mut Vec<u8>) {
    let begin = out.len();
    out.resize(begin + 4 * column.len(), 0);
    let mut before = 0_u32;
    for (k, value) in column.iter().enumerate() {
        let bits = value.to_bits();
        for (row, byte) in bits.wrapping_sub(before).to_le_bytes().into_iter().enumerate() {
            if let Some(place) = out.get_mut(begin + row * column.len() + k) {
                *place = byte;
            }
        }
        before = bits;
    }
}

/// Reads a column of so many values.
fn gathered(columns: &mut &[u8], count: usize) -> Result<Vec<f32>, BlobFault> {
    let length = count.checked_mul(4).ok_or(BlobFault::Damaged)?;
    let (rows, after) = columns.split_at_checked(length).ok_or(BlobFault::Damaged)?;
    *columns = after;
    let mut bits = 0_u32;
    (0..count)
        .map(|k| {
            let byte = |row: usize| rows.get(row * count + k).copied().unwrap_or(0);
            bits = bits.wrapping_add(u32::from_le_bytes([byte(0), byte(1), byte(2), byte(3)]));
            let value = f32::from_bits(bits);
            if value.is_finite() { Ok(value) } else { Err(BlobFault::Damaged) }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn leg(count: u16, height: bool, places: bool) -> Leg {
        let column = |from: f32| (0..count).map(|k| from + f32::from(k)).collect::<Vec<f32>>();
        Leg {
            begin_s: 12.5,
            speed_mps: column(1.0),
            accel_mps2: column(-2.0),
            s_m: column(0.25),
            height: height.then(|| LegHeight { ele_m: column(300.0), grade: column(-0.5) }),
            places: places.then(|| LegPlaces {
                origin: Place::new(45.0, 7.0).expect("a place"),
                x_m: column(10.0),
                y_m: column(-10.0),
            }),
        }
    }

    fn all() -> Blob {
        let legs = vec![leg(3, true, true), leg(0, false, true), leg(5, true, false), leg(1, false, false)];
        Blob { step_s: 0.5, start: Some(Moment::from_unix(1_000_000)), legs }
    }

    #[test]
    fn every_kind_of_leg_comes_back_whole_with_its_points_counted() {
        let blob = all();
        assert_eq!(blob.points(), 9);
        assert_eq!(Blob::decode(&blob.encode()), Ok(blob.clone()));
        let undated = Blob { start: None, ..blob };
        assert_eq!(Blob::decode(&undated.encode()), Ok(undated.clone()));
        assert_eq!(Blob { legs: vec![], ..undated }.points(), 0);
    }

    #[test]
    fn so_many_bytes_of_columns_are_asked_for_as_the_values_need() {
        let head = |height, places: bool| Head {
            begin_s: 0.0,
            count: 10,
            height,
            origin: places.then(|| Place::new(0.0, 0.0)).flatten(),
        };
        let bytes = [(false, false), (true, false), (false, true), (true, true)]
            .map(|(height, places)| head(height, places).bytes());
        assert_eq!(bytes, [120, 200, 200, 280]);
        assert!(believed(MOST_BYTES) && !believed(MOST_BYTES + 1) && MOST_BYTES == 560_000_000);
    }

    #[test]
    fn a_number_that_cannot_be_is_damage_wherever_it_stands() {
        let good = all();
        for step_s in [0.0, -1.0, f64::NAN, f64::INFINITY] {
            assert_eq!(Blob::decode(&Blob { step_s, ..good.clone() }.encode()), Err(BlobFault::Damaged), "{step_s}");
        }
        let damaged = |change: &dyn Fn(&mut Leg)| {
            let mut blob = good.clone();
            change(&mut blob.legs[0]);
            Blob::decode(&blob.encode())
        };
        assert_eq!(damaged(&|leg| leg.begin_s = f64::NAN), Err(BlobFault::Damaged));
        assert_eq!(damaged(&|leg| leg.s_m[1] = f32::INFINITY), Err(BlobFault::Damaged));
        let far = Place { lat_deg: 91.0, lon_deg: 0.0 };
        assert_eq!(damaged(&|leg| leg.places.as_mut().expect("kept").origin = far), Err(BlobFault::Damaged));
        // The flags of the first leg stand behind mark, version, flags, step, moment, count, begin and count.
        let mut bytes = good.encode();
        let at = 4 + 2 + 8 + 8 + 4 + 8 + 4;
        assert_eq!(bytes[at], WITH_HEIGHT | WITH_PLACES);
        bytes[at] |= 4;
        assert_eq!(Blob::decode(&bytes), Err(BlobFault::Damaged), "a flag that nobody knows");
    }

    #[test]
    fn columns_longer_or_shorter_than_the_legs_say_are_damage() {
        let packed = |bytes: usize| {
            let mut out = Vec::new();
            let taken = DeflateEncoder::new(vec![7_u8; bytes].as_slice(), Compression::default()).read_to_end(&mut out);
            assert!(taken.is_ok());
            out
        };
        assert_eq!(unpacked(&packed(12), 12), Ok(vec![7; 12]));
        assert_eq!(unpacked(&packed(13), 12), Err(BlobFault::Damaged));
        assert_eq!(unpacked(&packed(11), 12), Err(BlobFault::Damaged));
    }

    #[test]
    fn what_is_wrong_with_bytes_says_what_to_do() {
        assert_eq!(BlobFault::Foreign.to_string(), "these bytes are no kept ride. Read the track again");
        assert_eq!(
            BlobFault::Version(9).to_string(),
            "the kept ride has version 9, this program knows 1. Use the newer program"
        );
        assert_eq!(BlobFault::Damaged.to_string(), "the kept ride is damaged. Read the track again");
    }
}
