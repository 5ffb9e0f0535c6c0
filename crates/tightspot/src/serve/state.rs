//! What every handler can reach: the record, the clock, the sessions and the list of pages.

use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use axum::extract::FromRef;
use jiff::ZonedDateTime;

use super::hosts::Hosts;
use super::once::Once;
use super::session::Sessions;
use super::site::Site;
use crate::garage::Garage;

/// What time it is: the machine's clock, or a fixed moment for the demo and for tests.
#[derive(Debug, Clone)]
pub(crate) enum Clock {
    /// The machine's own clock and zone.
    System,
    /// Always this moment.
    Fixed(ZonedDateTime),
}

impl Clock {
    /// Now, with the zone that dates are read in.
    pub(crate) fn now(&self) -> ZonedDateTime {
        match self {
            Self::System => ZonedDateTime::now(),
            Self::Fixed(moment) => moment.clone(),
        }
    }
}

/// Shared by all handlers; cloning it is cheap.
#[derive(Clone)]
pub(crate) struct AppState {
    inner: Arc<Inner>,
}

struct Inner {
    garage: Mutex<Garage>,
    clock: Clock,
    hosts: Hosts,
    sessions: Sessions,
    once: Once,
    site: Site,
}

impl AppState {
    /// The state of a server that answers on `port`.
    pub(crate) fn new(garage: Garage, clock: Clock, port: u16, site: Site) -> Self {
        let inner = Inner {
            garage: Mutex::new(garage),
            clock,
            hosts: Hosts::loopback(port),
            sessions: Sessions::new(port),
            once: Once::default(),
            site,
        };
        Self { inner: Arc::new(inner) }
    }

    /// The record at hand; held only for as long as a question takes.
    pub(crate) fn garage(&self) -> MutexGuard<'_, Garage> {
        // A panic while it was held left no half-done write: every write is one transaction.
        self.inner.garage.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// The clock; nothing else may ask for the time.
    pub(crate) fn clock(&self) -> &Clock {
        &self.inner.clock
    }

    /// The names this server answers to.
    pub(crate) fn hosts(&self) -> &Hosts {
        &self.inner.hosts
    }

    /// Who is at the pages.
    pub(crate) fn sessions(&self) -> &Sessions {
        &self.inner.sessions
    }

    /// The posts that were already answered.
    pub(crate) fn once(&self) -> &Once {
        &self.inner.once
    }

    /// Every page there is.
    pub(crate) fn site(&self) -> &Site {
        &self.inner.site
    }
}

impl FromRef<AppState> for Clock {
    fn from_ref(state: &AppState) -> Self {
        state.clock().clone()
    }
}
