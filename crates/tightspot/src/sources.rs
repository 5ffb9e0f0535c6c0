//! "Says who?": the sources of a figure in words.

/// The figure's name and the sources that it cites.
pub(crate) fn of(figure: &str) -> String {
    let Some(known) = figures::named(figure) else { return figure.to_owned() };
    let words: Vec<&str> =
        known.sources.iter().filter_map(|id| measure::source(id)).map(|source| source.words).collect();
    format!("{figure} ({})", words.join("; "))
}
