//! Readings of a chain, what they are worth, and what they say about the hours left.
//!
//! Lives here: elongation and its uncertainty, the plan of a measurement, tight spots, hours, the forecast and what
//! rests on it. Does not live here: lives of many parts (`life`), what to replace (`replace`), dates (`due`).

mod belief;
mod forecast;
mod hours;
mod instrument;
mod places;
mod reading;
mod run;

pub use forecast::{Log, Outlook, Process, Wear, outlook};
pub use hours::{MeterEvent, WentBack, equivalent_hours, total_hours};
pub use instrument::{Instrument, MeanError, PlaceScatter, mean_error};
pub use places::{AxleLimits, Cause, Periods, PlaceVerdict, Places, Run, TightSpot, tight_spot};
pub use reading::{Diagnosis, Judged, Reading, Verdict, judge, limit_for_teeth};
pub use run::{slack_of, surplus_of};
