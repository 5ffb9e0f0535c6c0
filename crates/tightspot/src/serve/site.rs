//! The list of pages: it builds the router, the index of all pages and the list that the browser tests visit.

use axum::Router;
use axum::routing::MethodRouter;

use super::AppState;

/// Which addresses a visitor can try on a page.
#[derive(Clone, Copy)]
enum Visits {
    /// The path itself.
    Itself,
    /// Addresses made from the path's pattern.
    Of(fn(&AppState) -> Vec<String>),
    /// Addresses of what is recorded, so many at the most.
    Recorded(fn(&AppState, usize) -> Vec<String>),
    /// Nothing to look at: a form's target.
    Nothing,
}

/// One page of the site.
#[derive(Clone, Copy)]
pub(crate) struct Page {
    /// The path as the router reads it, `/figures/{name}`.
    pub(crate) path: &'static str,
    /// Its name in the index.
    pub(crate) title: &'static str,
    handlers: fn() -> MethodRouter<AppState>,
    visits: Visits,
    /// Whether its content is rows of the record: rides, jobs, parts, readings, changes, bikes.
    pub(crate) list: bool,
}

impl Page {
    /// A page that stands at one address.
    pub(crate) const fn new(path: &'static str, title: &'static str, handlers: fn() -> MethodRouter<AppState>) -> Self {
        Self { path, title, handlers, visits: Visits::Itself, list: false }
    }

    /// The same for a page that lists what is recorded: how quickly it must come is laid down.
    pub(crate) const fn list(
        path: &'static str,
        title: &'static str,
        handlers: fn() -> MethodRouter<AppState>,
    ) -> Self {
        Self { list: true, ..Self::new(path, title, handlers) }
    }

    /// The same page, standing at the addresses that `visits` lists (also states worth a look: `/drive?kind=slack`).
    pub(crate) const fn at(self, visits: fn(&AppState) -> Vec<String>) -> Self {
        Self { visits: Visits::Of(visits), ..self }
    }

    /// The same page, standing at an address for each thing recorded; `visits` lists as many as it is asked for.
    pub(crate) const fn recorded(self, visits: fn(&AppState, usize) -> Vec<String>) -> Self {
        Self { visits: Visits::Recorded(visits), ..self }
    }

    /// A form's target: routed, never visited.
    pub(crate) const fn target(path: &'static str, handlers: fn() -> MethodRouter<AppState>) -> Self {
        Self { path, title: "", handlers, visits: Visits::Nothing, list: false }
    }

    /// The addresses to visit.
    pub(crate) fn visits(&self, state: &AppState) -> Vec<String> {
        self.listed(state, usize::MAX)
    }

    /// The first of the addresses to visit.
    pub(crate) fn first(&self, state: &AppState) -> Option<String> {
        self.listed(state, 1).into_iter().next()
    }

    fn listed(&self, state: &AppState, most: usize) -> Vec<String> {
        match self.visits {
            Visits::Itself => vec![self.path.to_owned()],
            Visits::Of(visits) => visits(state),
            Visits::Recorded(visits) => visits(state, most),
            Visits::Nothing => Vec::new(),
        }
    }
}

/// All pages.
pub(crate) struct Site {
    pages: Vec<Page>,
}

impl Site {
    /// A site of these pages.
    pub(crate) fn new(pages: Vec<Page>) -> Self {
        Self { pages }
    }

    /// Every page and form target.
    pub(crate) fn pages(&self) -> &[Page] {
        &self.pages
    }

    /// The router of all pages.
    pub(crate) fn router(&self) -> Router<AppState> {
        self.pages.iter().fold(Router::new(), |router, page| router.route(page.path, (page.handlers)()))
    }
}
