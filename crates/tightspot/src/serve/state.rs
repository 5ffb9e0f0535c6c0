//! What every handler can reach: the record, the clock, the sessions and the list of pages.

use std::ops::Deref;
use std::sync::{Arc, Mutex, MutexGuard, OnceLock, PoisonError};
use std::time::Instant;

use jiff::ZonedDateTime;
use jiff::civil::DateTime;
use maud::Markup;
use measure::shown::{self, Units};
use store::StoreError;
use upkeep::bike::Bike;

use super::gate::Gate;
use super::gate::links::Moment;
use super::hosts::Hosts;
use super::memo::{Memo, Question, Sheets};
use super::once::Once;
use super::session::Sessions;
use super::site::Site;
use super::slots::Slots;
use crate::api::Answered;
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
    /// The same record a second time: a write that waits for its disk, or for another program, keeps nobody from reading.
    /// None where there is no second opening, as of a record that lies in memory only.
    writing: Option<Mutex<Garage>>,
    clock: Clock,
    hosts: Hosts,
    sessions: Sessions,
    once: Once,
    replay: Slots<Answered>,
    memo: Memo,
    sheets: Sheets,
    site: Site,
    api_page: OnceLock<Markup>,
    gate: Gate,
    address: String,
    units: Units,
}

/// How a server can be reached, and who may come in.
pub(crate) struct Reach {
    /// Its port.
    pub(crate) port: u16,
    /// Its names besides those of this machine to itself.
    pub(crate) names: Vec<String>,
    /// Who may come in.
    pub(crate) gate: Gate,
}

impl Reach {
    /// Reached from this machine only; nobody signs in.
    pub(crate) fn here(port: u16) -> Self {
        Self { port, names: Vec::new(), gate: Gate::default() }
    }

    /// The address to open, without a path.
    pub(crate) fn address(&self) -> String {
        let scheme = if self.gate.secure() { "https" } else { "http" };
        let name = self.names.first().map_or("127.0.0.1", String::as_str);
        format!("{scheme}://{name}:{}", self.port)
    }
}

impl AppState {
    /// The state of a server; its pages are read in the units that hold where it is made, unless a browser says otherwise.
    pub(crate) fn new(garage: Garage, clock: Clock, reach: Reach, site: Site) -> Self {
        let secure = reach.gate.secure();
        let inner = Inner {
            writing: garage.again().map(Mutex::new),
            garage: Mutex::new(garage),
            clock,
            hosts: Hosts::new(reach.port, &reach.names, secure),
            sessions: Sessions::new(reach.port, secure),
            once: Once::default(),
            replay: Slots::default(),
            memo: Memo::default(),
            sheets: Sheets::default(),
            site,
            api_page: OnceLock::new(),
            address: reach.address(),
            gate: reach.gate,
            units: shown::units(),
        };
        Self { inner: Arc::new(inner) }
    }

    /// From now on every answer is worked out anew.
    pub(crate) fn forget_answers(&self) {
        self.inner.memo.forget();
        self.garage().forget_answers();
    }

    /// The record at hand, to read; held only for as long as a question takes.
    pub(crate) fn garage(&self) -> Reading<'_> {
        Reading(held(&self.inner.garage))
    }

    /// The record at hand, to write; one who writes waits for the one before.
    pub(crate) fn writing(&self) -> MutexGuard<'_, Garage> {
        held(self.inner.writing.as_ref().unwrap_or(&self.inner.garage))
    }

    /// The clock; nothing else may ask for the time.
    pub(crate) fn clock(&self) -> &Clock {
        &self.inner.clock
    }

    /// Now, by both clocks.
    pub(crate) fn moment(&self) -> Moment {
        Moment { wall: self.clock().now().timestamp(), steady: Instant::now() }
    }

    /// When a request was sent: now, or, if its key came before, when it came first. Whatever comes again must be read as
    /// it was the first time, or it would be taken for something else.
    pub(crate) fn came(&self, key: &str) -> ZonedDateTime {
        let now = self.clock().now();
        let first = self.garage().store().first_came(key).ok().flatten();
        first.map_or_else(|| now.clone(), |first| first.to_zoned_datetime(now.time_zone().clone()))
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

    /// Who may come in.
    pub(crate) fn gate(&self) -> &Gate {
        &self.inner.gate
    }

    /// The address to open, without a path.
    pub(crate) fn address(&self) -> &str {
        &self.inner.address
    }

    /// An answer about a bike that was worked out within this minute on the same record, or is worked out now.
    ///
    /// `typed` must hold all that was typed, so that unlike questions are unlike.
    ///
    /// # Errors
    /// What `work` says.
    pub(crate) fn answered<A: Send + Sync + 'static, E>(
        &self,
        bike: &Bike,
        typed: String,
        work: impl FnOnce(DateTime) -> Result<A, E>,
    ) -> Result<Arc<A>, E> {
        let now = self.clock().now().datetime();
        let Ok(revision) = self.garage().revision() else {
            // What the work reads of the store will say better what is wrong with it.
            return work(now).map(Arc::new);
        };
        // The work itself looks at this very moment: what was recorded a second ago is not still to come.
        let question = Question { revision, bike: bike.id.clone(), minute: minute_of(now), typed };
        self.inner.memo.answer(question, || work(now))
    }

    /// The units that pages are read in where the browser has not chosen.
    pub(crate) fn units(&self) -> Units {
        self.inner.units
    }

    /// What rests on the record of a bike alone, whatever the time: worked out once for each state of the record.
    ///
    /// # Errors
    /// What `work` says.
    pub(crate) fn of_record<A: Send + Sync + 'static, E: From<StoreError>>(
        &self,
        bike: &str,
        what: String,
        work: impl FnOnce(&Garage) -> Result<A, E>,
    ) -> Result<Arc<A>, E> {
        let garage = self.garage();
        let revision = garage.revision()?;
        let question = Question { revision, bike: bike.to_owned(), minute: DateTime::MIN, typed: what };
        self.inner.memo.answer(question, || work(&garage))
    }

    /// The same for what takes long: nobody waits for the record meanwhile. `asked` holds the sheet and all that was
    /// read of the record, so that what was written between reading and asking makes it another question.
    ///
    /// # Errors
    /// What `work` says.
    pub(crate) fn worked_out<A: Send + Sync + 'static, E>(
        &self,
        bike: &str,
        asked: String,
        work: impl FnOnce() -> Result<A, E>,
    ) -> Result<Arc<A>, E> {
        let Ok(revision) = self.garage().revision() else { return work().map(Arc::new) };
        let question = Question { revision, bike: bike.to_owned(), minute: DateTime::MIN, typed: asked };
        self.inner.memo.answer(question, work)
    }

    /// What rests on a bike's sheet alone: worked out once for a sheet.
    ///
    /// # Errors
    /// What `work` says.
    pub(crate) fn of_sheet<A: Send + Sync + 'static, E>(
        &self,
        bike: &Bike,
        asked: &str,
        work: impl FnOnce() -> Result<A, E>,
    ) -> Result<Arc<A>, E> {
        if self.inner.memo.forgets() {
            return work().map(Arc::new);
        }
        self.inner.sheets.answer(bike, asked, work)
    }

    /// The page of the API: the same for as long as the server runs, so it is made once.
    pub(crate) fn api_page(&self, make: impl FnOnce() -> Markup) -> &Markup {
        self.inner.api_page.get_or_init(make)
    }

    /// What programs were answered under their keys.
    pub(crate) fn replay(&self) -> &Slots<Answered> {
        &self.inner.replay
    }

    /// Every page there is.
    pub(crate) fn site(&self) -> &Site {
        &self.inner.site
    }
}

/// The record held to be read.
pub(crate) struct Reading<'a>(MutexGuard<'a, Garage>);

impl Deref for Reading<'_> {
    type Target = Garage;

    fn deref(&self) -> &Garage {
        &self.0
    }
}

fn held(garage: &Mutex<Garage>) -> MutexGuard<'_, Garage> {
    // A panic while it was held left no half-done write: every write is one transaction.
    let garage = garage.lock().unwrap_or_else(PoisonError::into_inner);
    garage.look();
    garage
}

/// The minute that a moment lies in.
fn minute_of(moment: DateTime) -> DateTime {
    moment.date().at(moment.hour(), moment.minute(), 0, 0)
}
