//! The server: what stands between a socket and a page. It computes nothing and draws nothing.
//!
//! Layout: [`app`] the router and its layers · [`Demo`] the same without a socket · [`site`] the list of pages · [`Visit`] one look at a page ·
//! [`Posted`] one form sent, [`PostedFile`] one with a file · [`once`] sent twice, stored once · [`memo`] asked again, not worked out again · [`Fault`] refusals, told in one place ·
//! `read_in` the units of whoever reads · `apart` what takes long keeps no other request waiting ·
//! `hosts`, `origin`, `headers`, `session`, [`gate`] keep strangers out · `reach`, [`doors`], `encrypted` how it is reached ·
//! `assets` files in the binary.

mod apart;
mod app;
pub(crate) mod assets;
mod demo;
pub(crate) mod doors;
mod encrypted;
mod fault;
pub(crate) mod gate;
mod headers;
mod hosts;
mod memo;
mod once;
pub(crate) mod origin;
mod posted;
mod posted_file;
mod reach;
mod read_in;
mod session;
mod set_password;
mod site;
pub(crate) mod slots;
mod state;
mod visit;

#[cfg(test)]
pub(crate) mod driven;
#[cfg(test)]
mod tests;

use std::io::{self, Write as _};
use std::process::ExitCode;

pub(crate) use apart::beside;
pub(crate) use app::BODY_LIMIT_BYTES;
pub use demo::Demo;
pub(crate) use fault::{Fault, Pointed};
pub(crate) use gate::peer::Peer;
pub(crate) use posted::Posted;
pub(crate) use posted_file::{PostedFile, PostedFiles, Sent, file_body_limit};
pub(crate) use reach::pairing_address;
pub(crate) use read_in::{COOKIE as UNITS_COOKIE, UNIT_OF, encoded, is_bare};
pub(crate) use session::{SignedIn, cookie, keeping, with_cookie};
pub(crate) use site::{Page, Site};
pub(crate) use state::{AppState, Clock, Reach};
pub(crate) use visit::{BIKE_COOKIE, ReadOnly, Visit};

use jiff::{Span, Timestamp};
use tokio::signal::unix::{Signal, SignalKind, signal};

use crate::args::{Place, ServeArgs, ServePart};
use crate::garage::{DEMO_NOW, Garage};
use crate::pages;
use crate::problem::Problem;

/// Serves the pages until Ctrl-C; the address is the first line on standard output.
pub(crate) fn run(place: &Place, args: &ServeArgs) -> ExitCode {
    let done = match &args.part {
        Some(ServePart::Password { file }) => set_password::run(file.as_deref()),
        None => start(place, args),
    };
    match done {
        Ok(()) => ExitCode::SUCCESS,
        Err(problem) => problem.tell(),
    }
}

fn start(place: &Place, args: &ServeArgs) -> Result<(), Problem> {
    // Who may come in is settled before anything is opened.
    let wanted = reach::Wanted::of(args)?;
    let mut garage = Garage::open(place)?;
    // Keys of forms and requests are good for a day.
    garage.store_mut().forget_keys(Timestamp::now() - Span::new().hours(24))?;
    let runtime =
        tokio::runtime::Builder::new_multi_thread().enable_all().max_blocking_threads(apart::threads()).build()?;
    runtime.block_on(serve(place, wanted, garage, args.forget)).map_err(|why| Problem::failed(format!("serve: {why}")))
}

async fn serve(place: &Place, wanted: reach::Wanted, garage: Garage, forget: bool) -> io::Result<()> {
    let opened = wanted.open().await?;
    let address = opened.reach.address();
    let state = AppState::new(garage, clock(place)?, opened.reach, Site::new(pages::all()));
    if forget {
        state.forget_answers();
    }
    let asked = Asked::listen()?;
    let mut out = io::stdout();
    writeln!(out, "{address}/")?;
    out.flush()?;
    if state.gate().asks() {
        reach::welcome(&state, opened.fingerprint.as_deref())?;
    }
    let app = app::app(state).into_make_service_with_connect_info::<Peer>();
    axum::serve(opened.doors, app).with_graceful_shutdown(asked.once()).await
}

/// The two ways of being asked to end.
struct Asked {
    interrupt: Signal,
    terminate: Signal,
}

impl Asked {
    /// Listens from now on: whoever has read our address may ask at once.
    fn listen() -> io::Result<Self> {
        Ok(Self { interrupt: signal(SignalKind::interrupt())?, terminate: signal(SignalKind::terminate())? })
    }

    /// The first asking: what is being answered is finished first. A second one ends the program at once.
    async fn once(mut self) {
        self.next().await;
        tokio::spawn(async move {
            self.next().await;
            std::process::exit(130);
        });
    }

    async fn next(&mut self) {
        tokio::select! {
            _ = self.interrupt.recv() => {}
            _ = self.terminate.recv() => {}
        }
    }
}

/// The machine's clock, or the demo's own moment.
fn clock(place: &Place) -> io::Result<Clock> {
    if !place.demo {
        return Ok(Clock::System);
    }
    DEMO_NOW.to_zoned_datetime(jiff::tz::TimeZone::system()).map(Clock::Fixed).map_err(io::Error::other)
}
