//! What the record says when a page is drawn: the bike looked at, the others, what was changed and when.

use std::sync::Arc;

use axum::response::Response;
use jiff::tz::TimeZone;
use store::{ChangeId, Fact, Listed, Removed};
use upkeep::bike::{Bike, Entry};

use super::not_stored;
use crate::serve::{AppState, Visit};

/// The record as it stands.
pub(super) struct Standing {
    /// The bike looked at, read anew: a form may just have changed it.
    pub(super) bike: Option<Arc<Bike>>,
    /// All bikes.
    pub(super) bikes: Vec<Listed>,
    /// Those that were taken off the list.
    pub(super) removed: Vec<Removed>,
    /// The changes of this bike's sheet, newest first.
    pub(super) history: Arc<Vec<Fact>>,
    /// Where the clock stands.
    pub(super) zone: TimeZone,
}

impl Standing {
    /// Reads it.
    pub(super) fn of(state: &AppState, visit: &Visit) -> Result<Self, Response> {
        let garage = state.garage();
        let store = garage.store();
        let bike =
            visit.bike().ok().map(|bike| garage.sheet_of(&bike.id)).transpose().map_err(|why| not_stored(&why))?;
        let history = bike.as_ref().map(|bike| garage.sheet_changes(&bike.id)).transpose();
        Ok(Self {
            bikes: store.bikes().map_err(|why| not_stored(&why))?,
            removed: store.removed_bikes().map_err(|why| not_stored(&why))?,
            history: history.map_err(|why| not_stored(&why))?.unwrap_or_default(),
            bike,
            zone: state.clock().now().time_zone().clone(),
        })
    }

    /// A figure of the bike looked at.
    pub(super) fn entry(&self, field: &str) -> Option<&Entry> {
        self.bike.as_ref()?.get(field)
    }

    /// The change that a figure last came from; 0 if it never was on the sheet.
    pub(super) fn last_change(&self, field: &str) -> ChangeId {
        let live = self.history.iter().find(|fact| fact.field == field && !fact.undone);
        live.map_or(0, |fact| fact.change)
    }
}
