//! The demo's server without a socket: the same router, asked from within.

use axum::Router;
use jiff::tz::TimeZone;

use super::reach::PORT;
use super::{AppState, Clock, Reach, Site, app};
use crate::garage::{DEMO_NOW, Garage};
use crate::pages;

/// The whole application over the demo's garage, in the demo's own moment; nothing of it outlives it. A request to it names
/// the usual port in its host.
pub struct Demo {
    /// Takes a request and answers as the server does.
    pub router: Router,
    /// The path of every page and form target, as the router reads it: `/figures/{name}`.
    pub paths: Vec<&'static str>,
}

impl Demo {
    /// The demo made anew.
    ///
    /// # Errors
    /// Why it could not be made, as a sentence.
    pub fn new() -> Result<Self, String> {
        let moment = DEMO_NOW.to_zoned_datetime(TimeZone::UTC).map_err(|why| why.to_string())?;
        let garage = Garage::demo_in(None).map_err(|problem| problem.lines().join(" "))?;
        let pages = pages::all();
        let paths = pages.iter().map(|page| page.path).collect();
        let state = AppState::new(garage, Clock::Fixed(moment), Reach::here(PORT), Site::new(pages));
        Ok(Self { router: app::app(state), paths })
    }
}
