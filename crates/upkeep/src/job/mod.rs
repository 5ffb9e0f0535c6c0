//! Jobs, states, the planner and its plan; parts and shopping.
//!
//! A **state** is a yes/no fact about the bike that gives access (wheel out, chain parted). An **operation** is one
//! thing done, never changing a state. A **job** is a named list of operations. [`Order`] merges jobs, [`plan`] puts
//! the merged work into its cheapest valid sequence. What a wear reading means, and any page, do not live here.
//!
//! A plan is valid if it leads from everything shut to everything shut, does each operation once, and at each step
//! 1. what a state rests on is open as long as the state is,
//! 2. a state shuts only where its close rule holds,
//! 3. what must precede an opening is done,
//! 4. an operation's needs hold and its predecessors are done,
//! 5. a finisher finds its states shut, and they stay shut.

pub mod bench;
mod build;
mod check;
mod chosen;
mod cycle;
mod day;
mod demand;
mod fault;
pub mod handbook;
mod in_there;
mod model;
mod order;
mod plan;
mod search;
mod sheet;

pub use chosen::Chosen;
pub use day::{Day, day, days_later};
pub use demand::{Consumable, Demand, Kit, Line, MightNeed, demand};
pub use fault::{LibraryFault, OrderFault};
pub use handbook::{Handbook, shipped};
pub use in_there::{Offer, Offers, in_there};
pub use model::{Choice, Job, JobOp, Library, Literal, OnFail, Operation, Part, State, Variant, When};
pub use order::{Act, Need, Order, OrderOp, OrderState};
pub use plan::{Cost, Plan, Progress, least_access, plan, plan_from};
pub use sheet::{
    AskedFigure, DueLater, Group, Known, Logged, Minutes, MissingFigure, SheetJob, SheetPart, SheetStep, ShownCaution,
    ShownHold, ToolKit, Verb, WorkSheet, sheet, sheet_of,
};
