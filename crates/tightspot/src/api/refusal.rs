//! Why not, for programs: every refusal of another room as a problem with a pointer to the member at fault.

use advice::Gap;
use advice::bench::take::Trouble;
use axum::http::StatusCode;
use axum::response::Response;
use store::StoreError;
use upkeep::bike;

use crate::problem::Problem;
use crate::serve::{Fault, Pointed};

/// One member is refused; one that is not declared is a fault of the request itself.
pub(super) fn refused(field: &str, code: &str, detail: &str) -> Fault {
    told(field, code, detail, code == "unknown_field")
}

/// The same of a declared member whose inside the description leaves open: the request itself is as described.
pub(super) fn refused_inside(field: &str, code: &str, detail: &str) -> Fault {
    told(field, code, detail, false)
}

fn told(field: &str, code: &str, detail: &str, unknown: bool) -> Fault {
    if code == "unknown_figure" {
        return Fault::new(StatusCode::NOT_FOUND, "There is no such figure", detail);
    }
    // `given` is the body itself: a fault of the whole points at its root.
    let pointer = if matches!(field, "given" | "line") { String::new() } else { format!("/{}", pointed(field)) };
    let pointed = vec![Pointed { pointer, code: code.to_owned(), detail: detail.to_owned() }];
    let (status, title) = heading(unknown);
    Fault::new(status, title, detail).pointed(pointed)
}

/// Status and title: of a request that is not as described, or of one that cannot be answered.
const fn heading(unknown: bool) -> (StatusCode, &'static str) {
    if unknown {
        (StatusCode::BAD_REQUEST, "A member is not known here")
    } else {
        (StatusCode::UNPROCESSABLE_ENTITY, "A field is refused")
    }
}

/// `bike.mass_kg` as a JSON Pointer's path.
fn pointed(field: &str) -> String {
    field.replace('~', "~0").replace('/', "~1").replace('.', "/")
}

/// Faults of a sheet, below a member of the body.
pub(super) fn faults(below: &str, faults: &[bike::Fault]) -> Fault {
    let all: Vec<Pointed> = faults
        .iter()
        .map(|fault| Pointed {
            pointer: format!("{below}/{}", pointed(&fault.field)),
            code: fault.code.to_owned(),
            detail: fault.text.clone(),
        })
        .collect();
    let unknown = !faults.is_empty() && faults.iter().all(|fault| fault.code == "unknown_field");
    let (status, title) = heading(unknown);
    let text = faults.iter().map(|fault| fault.text.as_str()).collect::<Vec<_>>().join(" ");
    Fault::new(status, title, text).pointed(all)
}

/// What the sheet does not have, or has as it cannot be.
pub(super) fn gap(gap: &Gap) -> Fault {
    let (pointer, code) = if gap.missing {
        (format!("/sheet/{}", pointed(&gap.field)), "missing")
    } else {
        (format!("/{}", pointed(&gap.field)), "not_possible")
    };
    let detail = if gap.how_to.is_empty() { gap.text.clone() } else { format!("{} {}", gap.text, gap.how_to) };
    Fault::new(StatusCode::UNPROCESSABLE_ENTITY, "There is no answer", detail.clone()).pointed(vec![Pointed {
        pointer,
        code: code.to_owned(),
        detail,
    }])
}

/// What keeps a step of a work order from being taken, each with the member that it is about.
pub(super) fn troubles(all: &[Trouble]) -> Fault {
    let pointer = |field: &str| match field.split_once('-') {
        Some(("read", _)) => "/read".to_owned(),
        Some(("value", hold)) => format!("/holds/{hold}/value"),
        Some(("passes", hold)) => format!("/holds/{hold}/passes"),
        Some(("reason", hold)) => format!("/holds/{hold}/reason"),
        Some(("waive", hold)) => format!("/holds/{hold}/waived"),
        _ => format!("/{field}"),
    };
    let pointed = |one: &Trouble| Pointed {
        pointer: pointer(&one.field),
        code: "not_taken".to_owned(),
        detail: one.text.clone(),
    };
    let text = all.iter().map(|one| one.text.as_str()).collect::<Vec<_>>().join(" ");
    let fault = Fault::new(StatusCode::UNPROCESSABLE_ENTITY, "The step is not taken", text);
    fault.pointed(all.iter().map(pointed).collect())
}

/// What the store refuses. What broke inside it is told under a number only.
pub(super) fn store(why: &StoreError) -> Fault {
    match why {
        StoreError::NoSuchBike { .. }
        | StoreError::NoSuchRide { .. }
        | StoreError::NoSuchChange { .. }
        | StoreError::NoSuchBench { .. } => {
            Fault::new(StatusCode::NOT_FOUND, "There is no such thing", why.to_string())
        }
        StoreError::Ride { field, .. } | StoreError::Entry { field, .. } => {
            refused(field, "not_possible", &why.to_string())
        }
        StoreError::Faults(all) => faults("", all),
        StoreError::KeyReused => key_reused(),
        StoreError::UndoneAlready { .. } => refused("change", "undone_already", &why.to_string()),
        _ => Fault::of_store(why),
    }
}

/// A key came back with something else.
pub(super) fn key_reused() -> Fault {
    let text = "This key came before with another body; what came first is kept. Take a new key for something new.";
    refused("Idempotency-Key", "key_reused", text)
}

/// What a command would be told.
pub(super) fn problem(why: &Problem) -> Fault {
    let text = why.lines().join(" ");
    let status = StatusCode::UNPROCESSABLE_ENTITY;
    Fault::new(status, "There is no answer", text)
}

/// A refusal that may already be a whole answer.
pub(super) enum Refused {
    /// A fault, told when it leaves.
    Fault(Fault),
    /// An answer with headers of its own.
    Whole(Response),
}

impl From<Fault> for Refused {
    fn from(fault: Fault) -> Self {
        Self::Fault(fault)
    }
}

impl From<Response> for Refused {
    fn from(whole: Response) -> Self {
        Self::Whole(whole)
    }
}

impl axum::response::IntoResponse for Refused {
    fn into_response(self) -> Response {
        match self {
            Self::Fault(fault) => fault.into_response(),
            Self::Whole(whole) => whole,
        }
    }
}
