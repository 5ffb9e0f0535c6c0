//! What every handler can reach: the record, the clock, the sessions and the list of pages.

use std::path::PathBuf;
use std::sync::Arc;

use axum::extract::FromRef;
use jiff::ZonedDateTime;

use super::hosts::Hosts;
use super::once::Once;
use super::session::Sessions;
use super::site::Site;

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

/// Which record the server works on.
#[derive(Debug, Clone)]
pub(crate) enum Record {
    /// The invented bike; nothing reaches the disk.
    Demo,
    /// The record in this file.
    File(PathBuf),
}

/// Shared by all handlers; cloning it is cheap.
#[derive(Clone)]
pub(crate) struct AppState {
    inner: Arc<Inner>,
}

struct Inner {
    record: Record,
    clock: Clock,
    hosts: Hosts,
    sessions: Sessions,
    once: Once,
    site: Site,
}

impl AppState {
    /// The state of a server that answers on `port`.
    pub(crate) fn new(record: Record, clock: Clock, port: u16, site: Site) -> Self {
        let inner = Inner {
            record,
            clock,
            hosts: Hosts::loopback(port),
            sessions: Sessions::new(port),
            once: Once::default(),
            site,
        };
        Self { inner: Arc::new(inner) }
    }

    /// Which record is served.
    pub(crate) fn record(&self) -> &Record {
        &self.inner.record
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

    /// The bike's name for the header of every page.
    pub(crate) fn bike_name(&self) -> String {
        match self.record() {
            Record::Demo => "Alder 350 (demo)".to_owned(),
            Record::File(_) => "No bike yet".to_owned(),
        }
    }
}

impl FromRef<AppState> for Clock {
    fn from_ref(state: &AppState) -> Self {
        state.clock().clone()
    }
}
