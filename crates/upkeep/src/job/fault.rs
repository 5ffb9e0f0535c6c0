//! Why an order cannot be planned, said as data; the words are made where it is shown.

/// What is wrong inside a library.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum LibraryFault {
    /// Two things of one kind share a name.
    SameId {
        /// Which kind.
        kind: &'static str,
        /// The name.
        id: String,
    },
    /// A name points at nothing.
    Dangling {
        /// Who points.
        owner: String,
        /// With which of its fields.
        field: &'static str,
        /// At what.
        target: String,
    },
}

/// Why a set of jobs makes no order.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum OrderFault {
    /// The library itself is at fault.
    Library(LibraryFault),
    /// No job has that name.
    UnknownJob(String),
    /// A job is named twice.
    Twice(String),
    /// The choice, or its answer, is not of the library.
    UnknownChoice {
        /// The choice.
        key: String,
        /// The answer given.
        value: String,
        /// Possible answers; empty if there is no such choice.
        possible: Vec<String>,
    },
    /// Something in the order depends on a choice that has no answer.
    MissingChoice {
        /// The choice.
        key: String,
        /// Possible answers.
        possible: Vec<String>,
    },
    /// Operations wait for each other in a ring.
    Cycle(Vec<String>),
    /// No sequence satisfies every need.
    Infeasible {
        /// The operations never reached, each with what blocks it.
        blocked: Vec<(String, Vec<String>)>,
    },
    /// More than the planner can hold, or no order was found in the steps allowed.
    TooLarge,
}

impl From<LibraryFault> for OrderFault {
    fn from(fault: LibraryFault) -> Self {
        Self::Library(fault)
    }
}
