//! What is known of the three parts: how far each is worn, what it costs, how long it lives, what lies on the shelf.

use serde::Serialize;
use upkeep::record::{Check, Fact as Noted, Kept, Role};

use super::Asked;
use crate::ask::Gap;
use crate::record::elongation::{self, Limit, of_this_chain};
use crate::record::{LIFE_ASSUMED_H, Record, used};
use crate::words::number;
use crate::{Setup, Verdict};

/// Names of the parts, in the order of the figure.
pub const PARTS: [&str; 3] = ["chain", "front", "rear"];
/// The roles, in the same order.
const ROLES: [Role; 3] = [Role::Chain, Role::Front, Role::Rear];
/// Levels of wear beyond new: the last one is the limit.
pub const AT_LIMIT: u32 = 7;
/// How many chains a sprocket is taken to outlive where nobody says: the tool's own guess, shown as one.
const LIVES_ASSUMED: [f64; 3] = [1.0, 4.0 / 3.0, 2.0];
/// What a look at the teeth says of their wear, in levels.
const GRADES: [(&str, u32); 5] =
    [("sound", 0), ("symmetrical", 2), ("leaning", 4), ("hooked", AT_LIMIT), ("cracked-or-missing", AT_LIMIT)];

/// One part of the drive.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Known {
    /// chain, front or rear.
    pub part: &'static str,
    /// Its wear of 7, low and high; both are the same where it is known.
    pub level: [u32; 2],
    /// Why it is there.
    pub level_because: String,
    /// Hours that it lives against fresh mates.
    pub life_h: f64,
    /// Where that comes from.
    pub life_because: String,
    /// What a new one costs in minor units.
    pub price_minor: Option<i64>,
    /// Whether safety asks for it, whatever it costs.
    pub must: Option<String>,
    /// Whether the change of ratio or link count asks for it.
    pub other_count: bool,
    /// What lies on the shelf and would fit: name, level, what it would sell for.
    pub shelf: Option<OnShelf>,
}

/// A used part that would fit.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct OnShelf {
    /// What it is called.
    pub name: String,
    /// Its wear of 7.
    pub level: u32,
    /// What it would sell for, in minor units.
    pub sells_minor: i64,
}

/// The three parts, and the money they are counted in.
pub(super) struct Parts {
    pub(super) all: [Known; 3],
    pub(super) currency: Option<String>,
    /// Prices in another currency than the first, which is never converted.
    pub(super) other_currency: bool,
}

impl Parts {
    pub(super) fn of(record: &Record<'_>, asked: &Asked) -> Result<Self, Gap> {
        let fitted = Setup::fitted(record.bike)?;
        let wanted = asked.wanted.unwrap_or(fitted);
        let counts = |setup: Setup| [setup.links, setup.front_teeth, setup.rear_teeth];
        let prices: Vec<Option<(i64, String)>> = ROLES
            .iter()
            .zip(&asked.price_minor)
            .map(|(role, asked)| asked.clone().or_else(|| last_price(record, *role)))
            .collect();
        let said = [&asked.labour_minor, &asked.trail_minor].into_iter().flatten().map(|(_, currency)| currency);
        let currencies: Vec<&String> = prices.iter().flatten().map(|(_, currency)| currency).chain(said).collect();
        let currency = currencies.first().map(|currency| (*currency).clone());
        let other_currency = currencies.iter().any(|one| Some(*one) != currency.as_ref());
        let (chain_life, because) = chain_life(record)?;
        let mut all = Vec::new();
        for (at, role) in ROLES.into_iter().enumerate() {
            let (life_h, life_because) = match asked.life_h[at] {
                Some(life) => (life, "your own figure".to_owned()),
                None if at == 0 => (chain_life, because.clone()),
                None => (chain_life * LIVES_ASSUMED[at], format!("assumed: {} chains", number(LIVES_ASSUMED[at], 1))),
            };
            let life_h = life_h.clamp(1.0, 5000.0);
            let worn = if at == 0 { chain_worn(record)? } else { sprocket_worn(record, role, life_h)? };
            all.push(Known {
                part: PARTS[at],
                level: worn.level,
                level_because: worn.because,
                must: worn.must,
                life_h,
                life_because,
                price_minor: prices[at].as_ref().map(|(minor, _)| *minor),
                other_count: counts(wanted)[at] != counts(fitted)[at],
                shelf: on_shelf(record, role, counts(wanted)[at], life_h, currency.as_deref()),
            });
        }
        let all = <[Known; 3]>::try_from(all).map_err(|_| Gap::absent("chain_price_minor"))?;
        Ok(Self { all, currency, other_currency })
    }
}

/// The last price of a part of this role, with its currency.
fn last_price(record: &Record<'_>, role: Role) -> Option<(i64, String)> {
    record.log.entries().iter().rev().find_map(|entry| match &entry.fact {
        Noted::Part(part) if part.role() == role => part.price().map(|(minor, currency)| (minor, currency.to_owned())),
        _ => None,
    })
}

/// How long a chain lives here: by its own log where that speaks, else the tool's assumption.
fn chain_life(record: &Record<'_>) -> Result<(f64, String), Gap> {
    let view = record.forecast()?;
    let known = view.points.last().zip(view.left_h[1]).filter(|_| view.verdict == Verdict::Ready);
    Ok(match known {
        Some((last, left)) => (last.hours_h + left, "this chain's own readings".to_owned()),
        None => (LIFE_ASSUMED_H, "assumed: fewer than 3 readings over 15 h".to_owned()),
    })
}

struct Worn {
    level: [u32; 2],
    because: String,
    must: Option<String>,
}

fn not_known(because: &str) -> Worn {
    Worn { level: [0, AT_LIMIT], because: because.to_owned(), must: None }
}

fn chain_worn(record: &Record<'_>) -> Result<Worn, Gap> {
    let readings = of_this_chain(record);
    let Some((_, reading)) = readings.last() else { return Ok(not_known("not measured")) };
    let view = elongation::view(record.bike, reading)?;
    if view.bad {
        return Ok(not_known("its last length reading cannot be right"));
    }
    let limit = Limit::of(record.bike).limit_pct;
    let level = share(view.worst_pct, limit);
    let because = format!("{} % of {} %", number(view.worst_pct, 2), number(limit, 1));
    let must = (view.verdict == Verdict::Stop && level == AT_LIMIT).then(|| "the chain is worn".to_owned());
    Ok(Worn { level: [level, level], because, must })
}

/// Hours that a sprocket lives, the tool's own guess, and where it comes from.
pub(crate) fn sprocket_life(record: &Record<'_>, role: Role) -> Result<(f64, String), Gap> {
    let at = ROLES.iter().position(|known| *known == role).unwrap_or_default();
    let (chain_h, _) = chain_life(record)?;
    Ok((chain_h * LIVES_ASSUMED[at], format!("assumed: {} chains", number(LIVES_ASSUMED[at], 1))))
}

fn sprocket_worn(record: &Record<'_>, role: Role, life_h: f64) -> Result<Worn, Gap> {
    if let Some((check, title)) = looked_at(record, role) {
        let Some((_, level)) = GRADES.into_iter().find(|(word, _)| *word == check.answer()) else {
            return Ok(not_known(check.answer()));
        };
        let must = (level == AT_LIMIT).then(|| format!("{title}: {}", check.answer()));
        return Ok(Worn { level: [level, level], because: format!("looked at: {}", check.answer()), must });
    }
    if let Some(span) = used::of(record, role)? {
        let because = format!("{} of {} h", span.words(), number(life_h, 0));
        return Ok(Worn { level: span.now_h.map(|hours| share(hours, life_h)), because, must: None });
    }
    let Some(fitted) = record.log.fitted(role) else { return Ok(not_known("nothing recorded of it")) };
    let Noted::Part(part) = &fitted.fact else { return Ok(not_known("nothing recorded of it")) };
    let hours = record.hours()?.zip(record.hours_at(fitted.at)?).map(|(now, then)| now - then + part.used_h());
    let Some(hours) = hours else { return Ok(not_known("hours not known")) };
    let level = share(hours, life_h);
    let because = format!("{} h of {} h", number(hours, 0), number(life_h, 0));
    Ok(Worn { level: [level, level], because, must: None })
}

/// The last look at the teeth of the sprocket that is fitted.
pub(crate) fn looked_at<'r>(record: &'r Record<'_>, role: Role) -> Option<(&'r Check, &'static str)> {
    let name = if role == Role::Front { "front-teeth" } else { "rear-teeth" };
    let since = record.log.fitted(role).map(|entry| (entry.at, entry.id));
    let check = record.log.entries().iter().rev().find_map(|entry| match &entry.fact {
        Noted::Check(check) if check.kind().name == name && since.is_none_or(|since| (entry.at, entry.id) > since) => {
            Some(check)
        }
        _ => None,
    })?;
    Some((check, check.kind().title))
}

/// The least worn part on the shelf that has this count; a chain may be longer by pairs of links.
fn on_shelf(record: &Record<'_>, role: Role, count: u32, life_h: f64, currency: Option<&str>) -> Option<OnShelf> {
    let fits = |kept: &&Kept| {
        let has = kept.part().count().unwrap_or_default();
        kept.part().role() == role
            && (has == count || (role == Role::Chain && has > count && (has - count).is_multiple_of(2)))
    };
    let lying: Vec<&Kept> = record.log.shelf().into_iter().map(|(_, kept)| kept).collect();
    let best = lying.into_iter().filter(fits).min_by(|a, b| a.part().used_h().total_cmp(&b.part().used_h()))?;
    let level = share(best.part().used_h(), life_h);
    (level < AT_LIMIT).then(|| OnShelf {
        name: best.part().name().to_owned(),
        level,
        sells_minor: best.part().price().filter(|(_, one)| Some(*one) == currency).map_or(0, |(minor, _)| minor),
    })
}

/// A share of a limit in whole levels, rounded down: at the limit only what is.
fn share(worn: f64, limit: f64) -> u32 {
    let levels = (f64::from(AT_LIMIT) * worn / limit).floor();
    (0..AT_LIMIT).rev().find(|level| f64::from(*level) < levels).map_or(0, |below| below + 1)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_level_is_rounded_down_and_the_limit_is_the_last() {
        let levels = [-0.1, 0.0, 0.13, 0.143, 0.5, 0.999, 1.0, 1.9].map(|worn| share(worn, 1.0));
        assert_eq!(levels, [0, 0, 0, 1, 3, 6, 7, 7]);
    }
}
