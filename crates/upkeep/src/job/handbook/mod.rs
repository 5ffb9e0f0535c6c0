//! The tool's own job library: the planning part with all texts, figures, stop points and cautions beside it.
//!
//! The words live in `data/jobs/*.toml` and `data/cautions.toml`; here they are read and held against each other.
//! A plan needs only [`Handbook::library`]; a bench sheet needs the rest.

mod convert;
mod entry;
mod job_file;
mod lint;
mod read;
mod shipped;

pub use entry::{
    AccessFile, CautionEntry, ChoiceEntry, ConsumableEntry, FailEntry, FigureEntry, Hold, HoldKind, JobLine, KitEntry,
    Level, OpEntry, PartEntry, Severity, StateEntry, UseEntry, VariantEntry,
};
pub use job_file::{FollowUp, Interval, JobEntry, JobFile, TimeRange, Trigger};
pub use lint::{lint, lint_over};
pub use read::{Handbook, HandbookFault, Source};
pub use shipped::{SHIPPED, in_use, shipped, take_own, with_own};
