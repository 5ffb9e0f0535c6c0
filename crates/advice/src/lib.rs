//! What the figures say to do: one view that feeds page, command, API and sheet.
//!
//! Lives here: which figure is asked for a question, the verdict that follows from its answer, and the words.
//! Does not live here: any formula (ask a figure), any markup, any file, clock or network.
//! Every view is data with finished words and the number beside them; faces print it and add nothing.

pub mod adjust;
pub mod alignment;
pub mod alike;
pub mod ask;
mod asked;
pub mod bench;
pub mod block;
pub mod buying;
pub mod candidate;
pub mod change;
pub mod cost;
pub mod decision;
pub mod demand;
pub mod drawing;
pub mod drift;
pub mod fact;
pub mod fit;
pub mod gearing;
pub mod geometry;
pub mod ground;
pub mod kit;
pub mod logged;
pub mod map;
pub mod money;
pub mod outcome;
pub mod picture;
pub mod plan;
pub mod proposal;
pub mod ready;
pub mod record;
pub mod replay;
pub mod rides;
pub mod setup;
pub mod sheet_band;
pub mod shelf;
pub mod slack;
mod stand;
pub mod stretch;
pub mod supplies;
pub mod verdict;
pub mod wish;
pub mod words;

pub use ask::Gap;
pub use block::Block;
pub use fact::{Cell, Column, Fact, Table};
pub use setup::Setup;
pub use verdict::{Clear, Reason, Verdict};
