//! The server: what stands between a socket and a page. It computes nothing and draws nothing.
//!
//! Layout: [`app`] the router and its layers · [`site`] the list of pages · [`Visit`] one look at a page ·
//! [`Posted`] one form sent, [`PostedFile`] one with a file · [`once`] sent twice, stored once · [`Fault`] refusals, told in one place ·
//! `hosts`, `origin`, `headers`, `session` keep strangers out · `assets` files in the binary.

mod app;
pub(crate) mod assets;
mod fault;
mod headers;
mod hosts;
mod once;
mod origin;
mod posted;
mod posted_file;
mod session;
mod site;
mod state;
mod visit;

#[cfg(test)]
pub(crate) mod driven;
#[cfg(test)]
mod tests;

use std::io::{self, Write as _};
use std::net::{Ipv4Addr, SocketAddr};
use std::process::ExitCode;

pub(crate) use fault::{Fault, Pointed};
pub(crate) use posted::Posted;
pub(crate) use posted_file::{FILE_BODY_LIMIT_BYTES, PostedFile};
pub(crate) use site::{Page, Site};
pub(crate) use state::{AppState, Clock};
pub(crate) use visit::{BIKE_COOKIE, Visit};

use tokio::signal::unix::{Signal, SignalKind, signal};

use crate::args::{Place, ServeArgs};
use crate::garage::Garage;
use crate::pages;

/// Serves the pages until Ctrl-C; the address is the first line on standard output.
pub(crate) fn run(place: &Place, args: &ServeArgs) -> ExitCode {
    let garage = match Garage::open(place) {
        Ok(garage) => garage,
        Err(problem) => return problem.tell(),
    };
    let runtime = tokio::runtime::Builder::new_multi_thread().enable_all().build();
    match runtime.and_then(|runtime| runtime.block_on(serve(place, args, garage))) {
        Ok(()) => ExitCode::SUCCESS,
        Err(why) => {
            let _ = writeln!(io::stderr(), "serve: {why}");
            ExitCode::FAILURE
        }
    }
}

async fn serve(place: &Place, args: &ServeArgs, garage: Garage) -> io::Result<()> {
    let address = SocketAddr::from((Ipv4Addr::LOCALHOST, args.port));
    let listener = tokio::net::TcpListener::bind(address).await;
    let listener = listener.map_err(|why| io::Error::new(why.kind(), format!("{address} cannot be had: {why}")))?;
    let port = listener.local_addr()?.port();
    let state = AppState::new(garage, clock(place)?, port, Site::new(pages::all()));
    let asked = Asked::listen()?;
    let mut out = io::stdout();
    writeln!(out, "http://127.0.0.1:{port}/")?;
    out.flush()?;
    axum::serve(listener, app::app(state)).with_graceful_shutdown(asked.once()).await
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

/// The demo's own moment: Thursday before the event, six in the evening.
fn clock(place: &Place) -> io::Result<Clock> {
    if !place.demo {
        return Ok(Clock::System);
    }
    let moment = jiff::civil::date(2026, 9, 24).at(18, 0, 0, 0).to_zoned_datetime(jiff::tz::TimeZone::system());
    moment.map(Clock::Fixed).map_err(io::Error::other)
}
