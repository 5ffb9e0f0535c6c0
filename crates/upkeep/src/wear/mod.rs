//! Readings of a chain, what they are worth, and what they say about the hours left.
//!
//! Lives here: elongation and its uncertainty, the plan of a measurement, tight spots, hours, the forecast and what
//! rests on it. Does not live here: lives of many parts (`life`), what to replace (`replace`), dates (`due`).

mod belief;
mod first_day;
mod forecast;
mod grounds;
mod hours;
mod instrument;
mod next_reading;
mod places;
mod protocol;
mod reading;
mod through;
mod waves;

pub use first_day::{FirstDay, FirstReading, FirstVerdict, HoursKnown, NarrowEnough, first_day};
pub use forecast::{Log, Outlook, Process, Wear, outlook};
pub use grounds::{GroundPrior, GroundReading, ground_rates};
pub use hours::{Followed, MeterEvent, WentBack, equivalent_hours, total_hours};
pub use instrument::{Instrument, MeanError, PlaceScatter, mean_error};
pub use next_reading::{AfterReading, Losses, Quantity};
pub use places::{AxleLimits, Cause, Periods, PlaceVerdict, Places, Run, TightSpot, axle_range, tight_spot};
pub use protocol::{JudgedBy, SetUp, Wish, plan};
pub use reading::{Judged, Reading, Verdict, judge, limit_for_teeth, worst_place};
pub use through::{Ahead, Chances, Leg, SlackMargin, Through, last_through};
