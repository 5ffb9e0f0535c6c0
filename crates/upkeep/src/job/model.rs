//! The planning part of a job library: states, operations, choices, jobs and their parts. Texts do not live here.

/// A condition on a state.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub enum Literal {
    /// The state is open.
    Open(String),
    /// The state is shut.
    Shut(String),
    /// No state at all is open.
    AllShut,
}

impl Literal {
    /// From its written form: `x`, `!x` or `!*`.
    #[must_use]
    pub fn of(word: &str) -> Self {
        match word.strip_prefix('!') {
            Some("*") => Self::AllShut,
            Some(state) => Self::Shut(state.to_owned()),
            None => Self::Open(word.to_owned()),
        }
    }

    /// The state that must be open, if it is such a condition.
    #[must_use]
    pub fn open(&self) -> Option<&str> {
        match self {
            Self::Open(state) => Some(state),
            Self::Shut(_) | Self::AllShut => None,
        }
    }

    /// The state that it speaks of, if it is one state.
    #[must_use]
    pub fn state(&self) -> Option<&str> {
        match self {
            Self::Open(state) | Self::Shut(state) => Some(state),
            Self::AllShut => None,
        }
    }
}

/// Holds only for one answer to a choice.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct When {
    /// The choice.
    pub key: String,
    /// The answer.
    pub value: String,
}

/// A part that a job or an opened state needs.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Part {
    /// What it is on any bike.
    pub role: String,
    /// How many.
    pub qty: u32,
    /// Whether the job can do without.
    pub optional: bool,
}

/// What a "no" at a stop point brings into the order.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OnFail {
    /// The stop point.
    pub hold: String,
    /// The job it brings.
    pub job: Option<String>,
    /// The roles of the parts it brings.
    pub parts: Vec<String>,
}

/// A yes/no fact about the bike that gives access.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct State {
    /// Its name.
    pub id: String,
    /// Minutes to open it.
    pub open_min: u32,
    /// Minutes to shut it.
    pub close_min: u32,
    /// What must be open as long as it is open.
    pub needs: Vec<Literal>,
    /// What must hold when it is shut.
    pub close_needs: Vec<Literal>,
    /// Operations that come before its opening, where the order holds them.
    pub open_after: Vec<String>,
    /// The tools of opening and shutting; empty for none.
    pub kit: String,
    /// Parts that every job needs that opens it.
    pub parts: Vec<Part>,
    /// What its stop points can bring.
    pub on_fail: Vec<OnFail>,
}

/// One thing done.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Operation {
    /// Its name.
    pub id: String,
    /// What must hold when it is done.
    pub needs: Vec<Literal>,
    /// Operations that come before it, where the order holds them.
    pub after: Vec<String>,
    /// Minutes of work.
    pub minutes: u32,
    /// The tools; empty for none.
    pub kit: String,
    /// States before whose opening it comes, implied by their opening.
    pub opens: Vec<String>,
    /// States after whose last shutting it comes, implied by their opening.
    pub finishes: Vec<String>,
    /// The choice that it depends on.
    pub when: Option<When>,
    /// Whether it comes after all work, riding.
    pub rides: bool,
    /// Whether it can bring a job or a part into the order.
    pub finds: bool,
    /// What its stop points can bring.
    pub on_fail: Vec<OnFail>,
}

impl Operation {
    /// Whether it follows from opening a state rather than from a job.
    #[must_use]
    pub const fn is_implied(&self) -> bool {
        !self.opens.is_empty() || !self.finishes.is_empty()
    }
}

/// One line of a job.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum JobOp {
    /// An operation of the job's own.
    Own(Operation),
    /// An operation shared with other jobs.
    Use {
        /// Its name among shared operations and finishers.
        id: String,
        /// The choice that this use depends on.
        when: Option<When>,
    },
}

/// A named purpose with its operations in order.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Job {
    /// Its name.
    pub id: String,
    /// Jobs contained in it.
    pub covers: Vec<String>,
    /// What is done, each after the one before.
    pub ops: Vec<JobOp>,
    /// Parts.
    pub parts: Vec<Part>,
    /// Consumables, by role.
    pub consumables: Vec<String>,
}

/// A fact about bike or job that changes the work.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Choice {
    /// Its name.
    pub key: String,
    /// Possible answers.
    pub values: Vec<String>,
    /// The careful answer that stands unless another is given.
    pub default: Option<String>,
}

/// Another access to a state, for one answer to a choice.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Variant {
    /// The choice.
    pub key: String,
    /// The answer.
    pub value: String,
    /// The state.
    pub state: String,
    /// What it then rests on.
    pub needs: Vec<Literal>,
}

/// All that a planner knows.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Library {
    /// States.
    pub states: Vec<State>,
    /// Operations that follow from having opened a state.
    pub finishers: Vec<Operation>,
    /// Operations that several jobs share, and openers.
    pub shared: Vec<Operation>,
    /// Variants.
    pub variants: Vec<Variant>,
    /// Choices.
    pub choices: Vec<Choice>,
    /// Jobs.
    pub jobs: Vec<Job>,
}

impl Library {
    /// The job of a name.
    #[must_use]
    pub fn job(&self, id: &str) -> Option<&Job> {
        self.jobs.iter().find(|job| job.id == id)
    }

    /// Whether a job is one of these, or one of these covers it.
    pub(super) fn covers(&self, jobs: &[&str], id: &str) -> bool {
        let covers = |job: &&str| self.job(job).is_some_and(|job| job.covers.iter().any(|covered| covered == id));
        jobs.contains(&id) || jobs.iter().any(covers)
    }

    /// The state of a name.
    #[must_use]
    pub fn state(&self, id: &str) -> Option<&State> {
        self.states.iter().find(|state| state.id == id)
    }

    /// Shared operations and finishers.
    pub fn common(&self) -> impl Iterator<Item = &Operation> {
        self.shared.iter().chain(&self.finishers)
    }

    /// Every operation, each as often as it is written down.
    pub fn operations(&self) -> impl Iterator<Item = &Operation> {
        let own = self.jobs.iter().flat_map(|job| &job.ops).filter_map(|op| match op {
            JobOp::Own(op) => Some(op),
            JobOp::Use { .. } => None,
        });
        self.common().chain(own)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_literal_is_read_from_its_written_form() {
        assert_eq!(Literal::of("x"), Literal::Open("x".to_owned()));
        assert_eq!(Literal::of("!x"), Literal::Shut("x".to_owned()));
        assert_eq!(Literal::of("!*"), Literal::AllShut);
    }
}
