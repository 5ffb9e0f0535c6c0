//! Small made-up libraries: states, operations and jobs with nothing to them but what is asked for.

use upkeep::job::{Job, JobOp, Literal, Operation, State};

/// Names as a library holds them.
pub(crate) fn owned(names: &[&str]) -> Vec<String> {
    names.iter().map(|name| (*name).to_owned()).collect()
}

/// A job of shared operations.
pub(crate) fn job(id: &str, ops: &[&str]) -> Job {
    let used = |op: &&str| JobOp::Use { id: (*op).to_owned(), when: None };
    Job {
        id: id.to_owned(),
        covers: Vec::new(),
        ops: ops.iter().map(used).collect(),
        parts: Vec::new(),
        consumables: Vec::new(),
    }
}

/// One minute of work with what must hold.
pub(crate) fn plain(id: &str, needs: &[&str]) -> Operation {
    Operation {
        id: id.to_owned(),
        needs: needs.iter().map(|need| Literal::of(need)).collect(),
        after: Vec::new(),
        minutes: 1,
        kit: String::new(),
        opens: Vec::new(),
        finishes: Vec::new(),
        when: None,
        rides: false,
        finds: false,
        on_fail: Vec::new(),
    }
}

/// A state that rests on others.
pub(crate) fn rests(id: &str, on: &[&str]) -> State {
    State {
        id: id.to_owned(),
        open_min: 1,
        close_min: 2,
        needs: on.iter().map(|need| Literal::of(need)).collect(),
        close_needs: Vec::new(),
        open_after: Vec::new(),
        kit: String::new(),
        parts: Vec::new(),
        on_fail: Vec::new(),
    }
}
