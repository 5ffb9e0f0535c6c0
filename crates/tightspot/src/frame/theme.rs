//! Light or dark: the system's choice, or the rider's own by a switch that needs no script.

/// The rider's choice of theme.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Theme {
    /// As the system says.
    System,
    /// Light.
    Light,
    /// Dark.
    Dark,
}

impl Theme {
    /// Name of the cookie that keeps the choice.
    pub(crate) const COOKIE: &str = "theme";
    /// All three, in the order of the switch.
    pub(crate) const ALL: [Self; 3] = [Self::System, Self::Light, Self::Dark];

    /// The choice that a word means; the system's for no word or another one.
    pub(crate) fn of(word: Option<&str>) -> Self {
        Self::ALL.into_iter().find(|theme| Some(theme.word()) == word).unwrap_or(Self::System)
    }

    /// The word of the choice, in the cookie and on the page.
    pub(crate) const fn word(self) -> &'static str {
        match self {
            Self::System => "system",
            Self::Light => "light",
            Self::Dark => "dark",
        }
    }
}
