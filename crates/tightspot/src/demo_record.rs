//! The demo's invented record: short lines in `data/demo`, read into facts. Nobody rode any of it.

use jiff::civil::DateTime;
use store::{NewEntry, NewRide};
use upkeep::bike::Fault;
use upkeep::record::{
    AxleReading, Check, ElongationReading, Fact, Kept, Meter, Part, Planned, Role, SlackKind, SlackReading, SlackState,
    Work,
};

/// What the demo's bikes have recorded, by their id.
pub(crate) const RECORDS: [(&str, &str); 2] = [
    ("alder-350", include_str!("../../../data/demo/alder-350.txt")),
    ("sorrel-250", include_str!("../../../data/demo/sorrel-250.txt")),
];

/// A state that the demo can be looked at in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
pub(crate) enum DemoState {
    /// No bike at all.
    Empty,
    /// Nothing stands against riding.
    Ready,
    /// Oil falls due within the ride.
    Care,
    /// Slack set too tight.
    Stop,
    /// The wheel was out and slack was not read since.
    Unknown,
    /// The second bike alone: bought used, six records.
    Thin,
}

/// What the first bike's record goes on with in a state, after the job on the bench.
const FINISHED: &str = include_str!("../../../data/demo/finished.txt");

impl DemoState {
    /// The further lines of the first bike's record.
    pub(crate) fn more(self) -> String {
        let oil = "2026-09-24T17:45 work gearbox-oil done\n";
        let own = match self {
            Self::Empty | Self::Thin => return String::new(),
            Self::Ready => oil.to_owned(),
            Self::Care => String::new(),
            Self::Stop => format!("{oil}2026-09-24T17:50 slack 12 72 72.5 73 72.5\n"),
            Self::Unknown => format!(
                "{oil}2026-09-24T17:50 work rear-tyre done\n2026-09-24T17:51 check brake firm\n2026-09-24T17:52 check axle set 100\n"
            ),
        };
        format!("{FINISHED}{own}")
    }

    /// Whether the demo has the bike of this record in it.
    pub(crate) fn has(self, bike: &str) -> bool {
        match self {
            Self::Empty => false,
            Self::Thin => bike == "sorrel-250",
            _ => true,
        }
    }
}

/// One line: a ride, or a fact.
pub(crate) enum Line {
    /// A ride.
    Ride(NewRide),
    /// A fact.
    Fact(NewEntry),
}

/// The lines of a record.
///
/// # Errors
/// The line that cannot be read: only if the binary itself is damaged.
pub(crate) fn lines(text: &str) -> Result<Vec<Line>, String> {
    let told = text.lines().filter(|line| !line.starts_with('#') && !line.trim().is_empty());
    told.map(|line| one(line).map_err(|why| format!("{line}: {why}"))).collect()
}

fn one(line: &str) -> Result<Line, String> {
    let mut words = line.split(' ');
    let at: DateTime = words.next().unwrap_or_default().parse().map_err(|_| "no time".to_owned())?;
    let kind = words.next().unwrap_or_default();
    let rest: Vec<&str> = words.collect();
    if kind == "ride" {
        return ride(at, &rest).map(Line::Ride);
    }
    let fact = fact(kind, &rest)?.map_err(|fault| fault.text)?;
    Ok(Line::Fact(NewEntry::new(at, fact)))
}

fn ride(at: DateTime, words: &[&str]) -> Result<NewRide, String> {
    let known = |at: usize| words.get(at).copied().filter(|word| *word != "-");
    Ok(NewRide {
        hours_h: known(0).map(number).transpose()?,
        ground: known(1).map(str::to_owned),
        wet: known(2).map(|word| word == "wet"),
        odd: known(3).map(str::to_owned),
        over: Some(at),
        ..NewRide::new(format!("{} (invented)", at.date()), at.date())
    })
}

fn fact(kind: &str, words: &[&str]) -> Result<Result<Fact, Fault>, String> {
    let word = |at: usize| words.get(at).copied().ok_or_else(|| format!("word {at} is missing"));
    let num = |at: usize| word(at).and_then(number);
    let from =
        |at: usize| words.get(at..).unwrap_or_default().iter().map(|word| number(word)).collect::<Result<Vec<_>, _>>();
    Ok(match kind {
        "meter" => Meter::read(num(0)?).map(Fact::Meter),
        "swap" => Meter::swap(num(0)?, num(1)?).map(Fact::Meter),
        "slack" => slack(num(0)?, from(1)?),
        "elongation" => {
            let places = from(1)?.into_iter().map(|length| vec![length]).collect();
            ElongationReading::new(whole(word(0)?)?, places, 0.05, 0.1).map(Fact::Elongation)
        }
        "axle" => AxleReading::new(num(0)?, num(1)?).map(Fact::Axle),
        "part" => part(words, 0.0)?.map(Fact::Part),
        "kept" => part(&words[..words.len().min(3)], num(3)?)?.map(|part| Fact::Kept(Kept::new(part, false))),
        "work" => Work::new(word(0)?, word(1)?).map(Fact::Work),
        "check" => {
            let torque = words.get(2).map(|word| number(word)).transpose()?;
            Check::new(word(0)?, word(1)?, torque).map(Fact::Check)
        }
        "event" => Planned::new(word(0)?.replace('_', " "), true, Some(num(1)?)).map(Fact::Planned),
        other => return Err(format!("{other} is no kind")),
    })
}

fn slack(step: f64, slack_mm: Vec<f64>) -> Result<Fact, Fault> {
    let places = (0_u32..).map(|n| step * f64::from(n)).take(slack_mm.len()).collect();
    SlackReading::new(slack_mm, Some(places), 0.5, SlackState::Stand, SlackKind::Free).map(Fact::Slack)
}

fn part(words: &[&str], used_h: f64) -> Result<Result<Part, Fault>, String> {
    let [role, count, name, price @ ..] = words else { return Err("a part has role, count and name".to_owned()) };
    let count = Some(whole(count)?).filter(|count| *count > 0);
    let price = match price {
        [minor, currency] => Some((minor.parse().map_err(|_| "no price")?, (*currency).to_owned())),
        _ => None,
    };
    let name = name.replace('_', " ");
    Ok(Role::of(role).and_then(|role| Part::new(role, name, count, used_h, price)))
}

fn number(word: &str) -> Result<f64, String> {
    word.parse().map_err(|_| format!("{word} is no number"))
}

fn whole(word: &str) -> Result<u32, String> {
    word.parse().map_err(|_| format!("{word} is no count"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_invented_record_reads_and_says_that_it_is_invented() {
        for (_, text) in RECORDS {
            assert!(text.starts_with("# INVENTED"));
            lines(text).expect("every line reads");
        }
        let rides = lines(RECORDS[0].1).expect("lines").iter().filter(|line| matches!(line, Line::Ride(_))).count();
        assert_eq!(rides, 58);
    }
}
