//! The six places of the tool, named as on the bench.

/// A place in the navigation.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Place {
    /// Can I ride? What first?
    Fit,
    /// Which pair for this ground, will it fit?
    Gearing,
    /// Is the chain right and how long will it last?
    Drive,
    /// What do I do now, to which figure?
    Jobs,
    /// What did I ride, what did it cost the bike?
    Rides,
    /// Have I got it, what to buy by when?
    Parts,
}

impl Place {
    /// All six, in the order of the navigation.
    pub(crate) const ALL: [Self; 6] = [Self::Fit, Self::Gearing, Self::Drive, Self::Jobs, Self::Rides, Self::Parts];

    /// Its name.
    pub(crate) const fn name(self) -> &'static str {
        match self {
            Self::Fit => "Fit to ride",
            Self::Gearing => "Gearing",
            Self::Drive => "Final drive",
            Self::Jobs => "Jobs",
            Self::Rides => "Rides",
            Self::Parts => "Parts",
        }
    }

    /// Its address.
    pub(crate) const fn path(self) -> &'static str {
        match self {
            Self::Fit => "/",
            Self::Gearing => "/gearing",
            Self::Drive => "/drive",
            Self::Jobs => "/jobs",
            Self::Rides => "/rides",
            Self::Parts => "/parts",
        }
    }

    /// Whether hands are dirty there: targets are larger.
    pub(crate) const fn is_bench(self) -> bool {
        matches!(self, Self::Drive | Self::Jobs | Self::Rides)
    }
}
