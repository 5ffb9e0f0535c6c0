//! Whether the chain stays within its limit, and the slack within its margin, to the end of the coming legs.

use drive::slack::free;
use drive::solve::crossing;
use measure::{Length, Links};

use super::forecast::Wear;
use crate::chance::{HERMITE_24, both_below, normal};

/// Times the planned hours up to which sure hours are looked for.
const FARTHEST: u32 = 10;
/// Looks per planned time on the way there.
const LOOKS: u32 = 40;
/// A time close to none.
const AT_ONCE: f64 = 1e-9;

/// A stretch of the coming ride.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Leg {
    /// Hours ridden.
    pub hours: f64,
    /// How much faster its ground wears.
    pub multiplier: f64,
    /// How far its equivalent hours may spread, as a share.
    pub spread: f64,
}

/// Slack of now and the most that may be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SlackMargin {
    /// Slack now, free kind.
    pub slack: Length,
    /// Most slack, not less than now.
    pub most: Length,
    /// Free run.
    pub span: Length,
    /// Place along the run.
    pub station: f64,
    /// Chain pitch.
    pub pitch: Length,
    /// Links of the chain.
    pub links: Links,
}

impl SlackMargin {
    fn chain_mm(&self) -> f64 {
        self.links.real() * self.pitch.mm()
    }

    /// Elongation that the slack still allows, per cent.
    ///
    /// # Formula
    /// 100 (d(most) − d(slack))/(links p), d the surplus
    #[must_use]
    pub fn room_pct(&self) -> f64 {
        let d = |slack| free::surplus(self.span, slack, self.station).mm();
        100.0 * (d(self.most) - d(self.slack)) / self.chain_mm()
    }

    /// Slack after the chain has grown by so many per cent (shrinking is not shown).
    #[must_use]
    pub fn slack_after(&self, growth_pct: f64) -> Length {
        let grown = Length::from_mm(growth_pct.max(0.0) * self.chain_mm() / 100.0);
        free::slack(self.span, free::surplus(self.span, self.slack, self.station) + grown, self.station)
    }
}

/// The coming legs in equivalent hours: lognormal about their sum.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ahead {
    /// Mean equivalent hours.
    pub equivalent: f64,
    /// Hours ridden.
    pub ridden: f64,
    /// Coefficient of variation of the equivalent hours.
    spread: f64,
}

impl Ahead {
    /// Sum of the legs (at least one).
    #[must_use]
    pub fn of(legs: &[Leg]) -> Self {
        let each = |leg: &Leg| leg.hours * leg.multiplier;
        let equivalent: f64 = legs.iter().map(each).sum();
        let square: f64 = legs.iter().map(|leg| (each(leg) * leg.spread).powi(2)).sum();
        Self { equivalent, ridden: legs.iter().map(|leg| leg.hours).sum(), spread: square.sqrt() / equivalent }
    }

    /// Equivalent hours and their shares for `scale` times the plan.
    fn nodes(&self, scale: f64) -> Vec<(f64, f64)> {
        let mean = self.equivalent * scale;
        if self.spread == 0.0 {
            return vec![(mean, 1.0)];
        }
        let variance = (self.spread * self.spread).ln_1p();
        let hours = |z: f64| mean * (variance.sqrt() * z - variance / 2.0).exp();
        HERMITE_24.iter().map(|node| (hours(node.at), node.weight)).collect()
    }
}

/// Chances at the end of the legs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Chances {
    /// Elongation within its limit.
    pub limit: f64,
    /// Slack within its margin (1 if none is given).
    pub slack: f64,
    /// Both.
    pub both: f64,
}

/// What the coming legs do to the chain.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Through {
    /// Chances at the end.
    pub chances: Chances,
    /// Mean elongation at the end, per cent.
    pub end_pct: f64,
    /// Its standard deviation.
    pub end_sd_pct: f64,
    /// Mean growth on the way, per cent.
    pub growth_pct: f64,
    /// Hours of the same mix for which both hold as surely as wanted; `None` beyond ten times the plan.
    pub sure_h: Option<f64>,
}

/// Looks from `wear` (now) to the end of the legs.
///
/// # Formula
/// Given the equivalent hours, elongation at the end and growth are jointly normal; the mean over 24 Gauss nodes of
/// the lognormal hours is the chance. Sure hours: where the chance of both falls under `sure`.
///
/// # Source
/// Derived here (`wear-process`).
#[must_use]
pub fn last_through(wear: &Wear, limit_pct: f64, ahead: &Ahead, margin: Option<&SlackMargin>, sure: f64) -> Through {
    let room = margin.map(SlackMargin::room_pct);
    let chances = |scale: f64| chances(wear, limit_pct, room, &ahead.nodes(scale));
    let mean = ahead.equivalent;
    let square: f64 = ahead.nodes(1.0).iter().map(|(hours, share)| share * hours * hours).sum();
    let variance = wear.now_var
        + 2.0 * mean * wear.cov
        + wear.rate_var * square
        + wear.scatter * wear.scatter * mean
        + wear.rate * wear.rate * (square - mean * mean);
    Through {
        chances: chances(1.0),
        end_pct: wear.mean_after(mean),
        end_sd_pct: variance.sqrt(),
        growth_pct: wear.rate * mean,
        sure_h: sure_scale(|scale| chances(scale).both - sure).map(|scale| scale * ahead.ridden),
    }
}

fn chances(wear: &Wear, limit_pct: f64, room: Option<f64>, nodes: &[(f64, f64)]) -> Chances {
    let none = Chances { limit: 0.0, slack: 0.0, both: 0.0 };
    nodes.iter().fold(none, |sum, &(hours, share)| {
        let end_var = wear.var_after(hours);
        let growth_var = wear.rate_var * hours * hours + wear.scatter * wear.scatter * hours;
        let h = (limit_pct - wear.mean_after(hours)) / end_var.sqrt();
        let limit = normal::below(h);
        let (slack, both) = room.map_or((1.0, limit), |room| {
            let k = (room - wear.rate * hours) / growth_var.sqrt();
            let cov = wear.cov * hours + growth_var;
            (normal::below(k), both_below(h, k, (cov / (end_var * growth_var).sqrt()).clamp(-1.0, 1.0)))
        });
        Chances { limit: sum.limit + share * limit, slack: sum.slack + share * slack, both: sum.both + share * both }
    })
}

/// The least scale at which `spare` turns negative.
fn sure_scale(spare: impl Fn(f64) -> f64) -> Option<f64> {
    if spare(AT_ONCE) < 0.0 {
        return Some(0.0);
    }
    let mut low = AT_ONCE;
    for look in 1..=FARTHEST * LOOKS {
        let high = f64::from(look) / f64::from(LOOKS);
        if spare(high) < 0.0 {
            return Some(crossing(&spare, low, high));
        }
        low = high;
    }
    None
}
