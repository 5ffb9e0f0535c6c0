//! When a job falls due, from the rider's own habit, and which jobs to do together.
//!
//! Lives here: counters of rides, hours, kilometres and days, dates with their chances, grouping of jobs that share
//! disassembly. Does not live here: what a job consists of (`job`), the calendar (days are counted from now).

mod counter;
mod group;
mod habit;
mod order_by;

pub use counter::{Amount, Counter, Date, MOST_RIDES, reaches_next_ride};
pub use group::{Bench, Grouping, MOST_JOBS, Recurring, group};
pub use habit::Habit;
pub use order_by::order_by;
