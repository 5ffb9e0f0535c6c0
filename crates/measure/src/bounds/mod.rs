//! Bounds: each range is declared once, with the word that a person reads. Constructors, figures, forms,
//! commands, the API's schema and the store's checks all read it from here.
//!
//! A bound says what is possible to ask, not what is wise; odd-but-legal gets a notice where it is computed.

pub mod bike;
pub mod chain;
pub mod gearing;
pub mod record;
pub mod ride;
pub mod slack;
pub mod wear;
pub mod workshop;

/// One end of a range.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Edge {
    /// The number itself still belongs.
    At(f64),
    /// The number itself no longer belongs.
    Beyond(f64),
    /// No end on this side.
    Open,
}

/// A range of a number, with its human word and its unit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bound {
    /// What a rider calls the quantity.
    pub word: &'static str,
    /// The unit as printed; empty for counts and pure ratios.
    pub unit: &'static str,
    /// The lower end.
    pub low: Edge,
    /// The upper end.
    pub high: Edge,
}

impl Bound {
    /// A range with both ends belonging to it.
    #[must_use]
    pub const fn from_to(word: &'static str, unit: &'static str, low: f64, high: f64) -> Self {
        Self { word, unit, low: Edge::At(low), high: Edge::At(high) }
    }

    /// A range above `low` (not reached) up to `high` (reached).
    #[must_use]
    pub const fn above_to(word: &'static str, unit: &'static str, low: f64, high: f64) -> Self {
        Self { word, unit, low: Edge::Beyond(low), high: Edge::At(high) }
    }

    /// A range that reaches neither end.
    #[must_use]
    pub const fn between(word: &'static str, unit: &'static str, low: f64, high: f64) -> Self {
        Self { word, unit, low: Edge::Beyond(low), high: Edge::Beyond(high) }
    }

    /// A range from `low` (reached) without upper end.
    #[must_use]
    pub const fn at_least(word: &'static str, unit: &'static str, low: f64) -> Self {
        Self { word, unit, low: Edge::At(low), high: Edge::Open }
    }

    /// A range above `low` (not reached) without upper end.
    #[must_use]
    pub const fn above(word: &'static str, unit: &'static str, low: f64) -> Self {
        Self { word, unit, low: Edge::Beyond(low), high: Edge::Open }
    }

    /// Any finite number.
    #[must_use]
    pub const fn any(word: &'static str, unit: &'static str) -> Self {
        Self { word, unit, low: Edge::Open, high: Edge::Open }
    }

    /// Whether a number belongs; NaN and infinity never do.
    #[must_use]
    pub fn holds(&self, value: f64) -> bool {
        let low = match self.low {
            Edge::At(low) => value >= low,
            Edge::Beyond(low) => value > low,
            Edge::Open => true,
        };
        let high = match self.high {
            Edge::At(high) => value <= high,
            Edge::Beyond(high) => value < high,
            Edge::Open => true,
        };
        value.is_finite() && low && high
    }

    /// The range in words: "6 to 150", "above 0 up to 1000 mm".
    #[must_use]
    pub fn range(&self) -> String {
        let unit = if self.unit.is_empty() { String::new() } else { format!(" {}", self.unit) };
        match (self.low, self.high) {
            (Edge::At(low), Edge::At(high)) => format!("{low} to {high}{unit}"),
            (Edge::Beyond(low), Edge::At(high)) => format!("above {low} up to {high}{unit}"),
            (Edge::At(low), Edge::Beyond(high)) => format!("{low} up to, not reaching, {high}{unit}"),
            (Edge::Beyond(low), Edge::Beyond(high)) => format!("more than {low} and less than {high}{unit}"),
            (Edge::At(low), Edge::Open) => format!("{low}{unit} or more"),
            (Edge::Beyond(low), Edge::Open) => format!("above {low}{unit}"),
            (Edge::Open, Edge::At(high)) => format!("{high}{unit} or less"),
            (Edge::Open, Edge::Beyond(high)) => format!("below {high}{unit}"),
            (Edge::Open, Edge::Open) => {
                format!("any number{}", if unit.is_empty() { String::new() } else { format!(" of{unit}") })
            }
        }
    }
}

/// Chain pitch, pin to pin.
pub const PITCH: Bound = Bound::from_to("chain pitch", "mm", 4.0, 80.0);
/// Teeth of any sprocket.
pub const TEETH: Bound = Bound::from_to("teeth", "", 6.0, 150.0);
/// Links of a closed chain.
pub const LINKS: Bound = Bound::from_to("links", "", 20.0, 500.0);
/// Elongation of a used chain against new.
pub const ELONGATION: Bound = Bound::from_to("elongation", "%", -0.3, 4.0);
/// Distance countershaft to axle.
pub const CENTRE: Bound = Bound::above_to("centre distance", "mm", 0.0, 5000.0);
/// Engine or shaft speed.
pub const RPM: Bound = Bound::above_to("engine speed", "rpm", 0.0, 25_000.0);
/// Distance that the wheel rolls in one turn.
pub const ROLLOUT: Bound = Bound::from_to("rollout", "m", 0.5, 3.5);

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_edge_belongs_or_not_as_declared() {
        assert!(TEETH.holds(6.0) && !TEETH.holds(5.999));
        assert!(!CENTRE.holds(0.0) && CENTRE.holds(5000.0));
        assert!(!Bound::any("x", "").holds(f64::NAN) && !Bound::any("x", "").holds(f64::INFINITY));
    }

    #[test]
    fn a_range_reads_as_a_person_says_it() {
        assert_eq!(TEETH.range(), "6 to 150");
        assert_eq!(CENTRE.range(), "above 0 up to 5000 mm");
    }
}
