//! A work order: the operations of several jobs merged, with all that opening brings along. Built in `build`.

use super::model::{Operation, State};

/// What must hold, by index into the order's states.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Need {
    /// Must be open.
    pub open: Vec<usize>,
    /// Must be shut.
    pub shut: Vec<usize>,
    /// Nothing at all may be open.
    pub all_shut: bool,
}

/// A state that the order opens.
#[derive(Debug, Clone)]
pub struct OrderState<'l> {
    /// As the library has it; `needs` below may come from a variant instead.
    pub source: &'l State,
    /// What it rests on.
    pub needs: Need,
    /// What must hold when it is shut.
    pub close_needs: Need,
    /// Operations of the order that come before its opening.
    pub open_after: Vec<usize>,
}

/// An operation of the order.
#[derive(Debug, Clone)]
pub struct OrderOp<'l> {
    /// As the library has it.
    pub source: &'l Operation,
    /// What must hold when it is done.
    pub needs: Need,
    /// Operations of the order that come before it.
    pub after: Vec<usize>,
    /// States of the order before whose opening it comes.
    pub opens: Vec<usize>,
    /// States of the order after whose last shutting it comes.
    pub finishes: Vec<usize>,
    /// Jobs that list it, in the order given; none for what is implied.
    pub jobs: Vec<&'l str>,
}

impl<'l> OrderOp<'l> {
    /// The one job that it belongs to; operations of several jobs, openers and finishers belong to none.
    #[must_use]
    pub fn label(&self) -> Option<&'l str> {
        match self.jobs.as_slice() {
            [job] if !self.source.is_implied() => Some(job),
            _ => None,
        }
    }
}

/// A merged work order. States and operations stand in the order of their names.
#[derive(Debug, Clone)]
pub struct Order<'l> {
    /// The jobs asked for.
    pub jobs: Vec<&'l str>,
    /// Choices that the order turned on, by key.
    pub turns_on: Vec<&'l str>,
    /// States that it opens.
    pub states: Vec<OrderState<'l>>,
    /// What is done.
    pub ops: Vec<OrderOp<'l>>,
}

/// One step of a plan, by index.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Act {
    /// Open a state.
    Open(usize),
    /// Do an operation.
    Do(usize),
    /// Shut a state.
    Close(usize),
}

impl<'l> Order<'l> {
    /// Minutes of work, whatever the sequence.
    #[must_use]
    pub fn work_min(&self) -> u64 {
        self.ops.iter().map(|op| u64::from(op.source.minutes)).sum()
    }

    /// A step as it is written: `open:STATE`, `do:OPERATION`, `close:STATE`.
    #[must_use]
    pub fn token(&self, act: Act) -> String {
        let state = |index: usize| self.states.get(index).map_or("", |state| state.source.id.as_str());
        match act {
            Act::Open(index) => format!("open:{}", state(index)),
            Act::Close(index) => format!("close:{}", state(index)),
            Act::Do(index) => format!("do:{}", self.ops.get(index).map_or("", |op| op.source.id.as_str())),
        }
    }

    /// The step of a token; none if it is not of this order.
    #[must_use]
    pub fn act(&self, token: &str) -> Option<Act> {
        let (verb, id) = token.split_once(':')?;
        let state = || self.states.iter().position(|state| state.source.id == id);
        match verb {
            "open" => state().map(Act::Open),
            "close" => state().map(Act::Close),
            "do" => self.ops.iter().position(|op| op.source.id == id).map(Act::Do),
            _ => None,
        }
    }

    /// The tools of a step; empty for none.
    #[must_use]
    pub fn kit(&self, act: Act) -> &'l str {
        match act {
            Act::Open(index) | Act::Close(index) => {
                self.states.get(index).map_or("", |state| state.source.kit.as_str())
            }
            Act::Do(index) => self.ops.get(index).map_or("", |op| op.source.kit.as_str()),
        }
    }
}
