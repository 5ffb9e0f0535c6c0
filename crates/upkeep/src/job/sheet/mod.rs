//! The bench sheet as data: the steps of a plan with text, time, tools, cautions, figures and stop points, and the lists
//! that stand before and after them. Pages, commands and paper only print it.
//!
//! A missing figure never hinders the planning, only its stop point; no figure is made up here.

mod caution;
mod lists;
mod page;
mod steps;
mod time;

pub use caution::ShownCaution;
pub use lists::{DueLater, MissingFigure, SheetJob, SheetPart, ToolKit};
pub use page::{Group, WorkSheet};
pub use steps::{AskedFigure, SheetStep, ShownHold, Verb};
pub use time::{Logged, Minutes};

use super::chosen::Chosen;
use super::fault::OrderFault;
use super::handbook::Handbook;
use super::order::Order;
use super::plan::{Plan, plan};

/// The line that every sheet ends with.
const CLOSING: &str =
    "Figures come from your bike's manual; law, event and land rules are yours to check; if unsure, stop.";

/// What the rider's record says, as far as a sheet asks for it.
#[derive(Debug, Clone, Copy, Default)]
pub struct Known<'k> {
    /// Figures that the bike sheet holds, by id.
    pub figures: &'k [&'k str],
    /// Minutes that steps took before.
    pub logged: &'k [Logged<'k>],
    /// The rider's skill, 1 to 5, if stated.
    pub skill: Option<u8>,
}

/// Plans some jobs and lays their sheet out.
///
/// # Errors
/// The jobs make no order, or it cannot be done.
pub fn sheet<'h>(
    handbook: &'h Handbook,
    jobs: &[&str],
    choices: &[(&str, &str)],
    known: &Known<'_>,
) -> Result<WorkSheet<'h>, OrderFault> {
    let order = Order::build(handbook.library(), jobs, choices)?;
    let plan = plan(&order)?;
    let chosen = Chosen::of(handbook.library(), choices)?;
    sheet_of(handbook, &order, &plan, &chosen, known)
}

/// Lays out the sheet of a plan that is there already, for instance the rest of an order taken up again.
///
/// # Errors
/// The jobs of the order are not of this handbook.
pub fn sheet_of<'h>(
    handbook: &'h Handbook,
    order: &Order<'h>,
    plan: &Plan,
    chosen: &Chosen<'h>,
    known: &Known<'_>,
) -> Result<WorkSheet<'h>, OrderFault> {
    page::lay_out(&steps::Desk { handbook, order, plan, chosen, known })
}
