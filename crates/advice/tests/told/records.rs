//! Records to look at: the demo's lines and lines of the same kind made up here. Nobody rode any of it.

use advice::record::Record;
use jiff::civil::DateTime;
use upkeep::bike::{Bike, Change, Value};
use upkeep::record::{
    AxleReading, Check, ElongationReading, Entry, Fact, Kept, Log, Meter, Part, Planned, Ride, Role, Set, SlackKind,
    SlackReading, SlackState, Used, Waiver, Whose, Work,
};

use crate::tracks::root;

/// A demo bike; the first one with an interval for its oil.
pub(crate) fn bike(name: &str) -> Bike {
    let mut bike = Bike::from_toml(&root(&format!("data/bikes/{name}.toml"))).expect("it reads");
    if name == "alder-350" {
        change(&mut bike, "oil_interval_h", Some(Value::Number(15.0)));
    }
    bike
}

pub(crate) fn change(bike: &mut Bike, field: &str, value: Option<Value>) {
    bike.change(&[Change { field: field.to_owned(), value, source: None }]).expect("the sheet takes it");
}

/// A record as it is looked at.
pub(crate) struct State {
    pub(crate) name: String,
    pub(crate) bike: Bike,
    pub(crate) log: Log,
    pub(crate) now: DateTime,
}

impl State {
    pub(crate) fn of(name: &str, bike: Bike, text: &str, now: &str) -> Self {
        Self { name: name.to_owned(), bike, log: log(text), now: at(now) }
    }

    pub(crate) fn record(&self) -> Record<'_> {
        Record::new(&self.bike, &self.log, self.now)
    }
}

pub(crate) fn at(text: &str) -> DateTime {
    text.parse().expect("a time")
}

/// The demo's record: the first bike on several evenings, finished in each of its states, the second bike, and none.
pub(crate) fn demo() -> Vec<State> {
    let alder = root("data/demo/alder-350.txt");
    let on = |now: &str| State::of(&format!("alder {now}"), bike("alder-350"), &alder, now);
    let mut states = vec![State::of("nothing", bike("alder-350"), "", "2025-03-01T09:00")];
    states.extend(
        [
            "2025-03-01T10:20",
            "2025-04-05T18:30",
            "2025-05-11T18:30",
            "2025-07-13T18:30",
            "2025-07-20T12:00",
            "2025-07-20T16:13",
            "2025-07-26T17:30",
            "2025-07-26T18:20",
            "2025-09-14T18:30",
            "2026-05-01T12:00",
            "2026-09-24T18:00",
        ]
        .map(on),
    );
    let finished = format!("{alder}{}", root("data/demo/finished.txt"));
    for (name, more) in [
        ("care", ""),
        ("ready", "2026-09-24T17:45 work gearbox-oil done\n"),
        ("stop", "2026-09-24T17:50 slack 12 72 72.5 73 72.5\n"),
        ("unknown", "2026-09-24T17:50 work rear-tyre done\n2026-09-24T17:51 check brake firm\n"),
    ] {
        states.push(State::of(name, bike("alder-350"), &format!("{finished}{more}"), "2026-09-24T18:00"));
    }
    states.push(State::of("sorrel", bike("sorrel-250"), &root("data/demo/sorrel-250.txt"), "2026-09-24T18:00"));
    states
}

/// A set that was fitted and confirmed, ridden in and read again, with more lines after it.
pub(crate) fn sound(name: &str, more: &str) -> State {
    let text = "2026-08-01T09:00 meter 100\n2026-08-01T09:30 part chain 118 one 9000 EUR\n2026-08-01T09:30 part front 14 one\n\
        2026-08-01T09:30 part rear 48 one\n2026-08-01T10:00 work final-drive-set done\n2026-08-01T10:00 check brake firm\n\
        2026-08-01T10:00 check joint closed-end-leads\n2026-08-01T10:00 check axle set 100\n\
        2026-08-01T10:00 check rear-fasteners set 35\n2026-08-01T10:00 check front-retainer set 60\n\
        2026-08-03T16:00 ride 1.5 loam dry\n2026-08-03T18:00 meter 101.5\n2026-08-03T18:10 check recheck done\n\
        2026-08-03T18:20 slack 12 85 85.5 86 85.5\n2026-08-03T18:30 elongation 20 318.4 318.5 318.4\n\
        2026-08-03T18:40 work gearbox-oil done\n";
    State::of(name, bike("alder-350"), &format!("{text}{more}"), "2026-08-05T18:00")
}

/// Lines into a record: time, kind, words; `_` stands for a space.
pub(crate) fn log(text: &str) -> Log {
    let (mut entries, mut rides) = (Vec::new(), Vec::new());
    for (line, id) in text.lines().filter(|line| !line.starts_with('#') && !line.trim().is_empty()).zip(1..) {
        let mut words = line.split_whitespace();
        let (when, kind) = (at(words.next().expect("a time")), words.next().expect("a kind"));
        let rest: Vec<&str> = words.collect();
        if kind == "ride" {
            rides.push(ride(id, when, &rest));
        } else {
            entries.push(Entry { id, change: id, at: when, corrects: None, note: None, fact: fact(line, kind, &rest) });
        }
    }
    Log::new(entries, rides)
}

fn ride(id: i64, when: DateTime, words: &[&str]) -> Ride {
    let known = |at: usize| words.get(at).copied().filter(|word| *word != "-");
    Ride {
        id,
        name: format!("{} (invented)", when.date()),
        at: when,
        hours_h: known(0).map(number),
        ground: known(1).map(str::to_owned),
        wet: known(2).map(|word| word == "wet"),
        odd: known(3).map(str::to_owned),
    }
}

fn number(word: &str) -> f64 {
    word.parse().expect("a number")
}

fn fact(line: &str, kind: &str, words: &[&str]) -> Fact {
    let num = |at: usize| number(words[at]);
    let spoken = |at: usize| words[at].replace('_', " ");
    let fact = match kind {
        "meter" => Meter::read(num(0)).map(Fact::Meter),
        "swap" => Meter::swap(num(0), num(1)).map(Fact::Meter),
        "slack" => slack(num(0), &words[1..], SlackState::Stand, SlackKind::Free),
        "gap" => slack(num(0), &words[1..], SlackState::Stand, SlackKind::Gap),
        "seated" => slack(num(0), &words[1..], SlackState::of(&spoken(1)).expect("a state"), SlackKind::Free),
        "elongation" => {
            let places = words[1..].iter().map(|length| length.split(',').map(number).collect()).collect();
            ElongationReading::new(words[0].parse().expect("pitches"), places, 0.05, 0.1).map(Fact::Elongation)
        }
        "axle" => AxleReading::new(num(0), num(1)).map(Fact::Axle),
        "part" => part(words, 0.0).map(Fact::Part),
        "kept" => part(&words[..3], num(3)).map(|part| Fact::Kept(Kept::new(part, words.len() > 4))),
        "set" => {
            let parts = [Role::Chain, Role::Front, Role::Rear].into_iter().zip(&words[1..]);
            Set::new(spoken(0), parts.map(|(role, name)| (role, name.replace('_', " "))).collect(), false)
                .map(Fact::Set)
        }
        "used" => Used::new(Whose::of(words[0]).expect("whose"), num(1), num(2)).map(Fact::Used),
        "work" => Work::new(words[0], words[1]).map(Fact::Work),
        "check" => Check::new(words[0], words[1], words.get(2).copied().map(number)).map(Fact::Check),
        "event" => Planned::new(spoken(0), true, Some(num(1))).map(Fact::Planned),
        "planned" => Planned::new(spoken(0), false, words.get(1).copied().map(number)).map(Fact::Planned),
        "waiver" => Waiver::new(spoken(0), spoken(1)).map(Fact::Waiver),
        other => unreachable!("{other} is no kind"),
    };
    fact.unwrap_or_else(|fault| unreachable!("{line}: {fault:?}"))
}

fn slack(step: f64, words: &[&str], state: SlackState, kind: SlackKind) -> Result<Fact, upkeep::bike::Fault> {
    let list: Vec<f64> = words.iter().filter_map(|word| word.parse().ok()).collect();
    let places = (0_u32..).map(|n| step * f64::from(n)).take(list.len()).collect();
    SlackReading::new(list, (step > 0.0).then_some(places), 0.5, state, kind).map(Fact::Slack)
}

fn part(words: &[&str], used_h: f64) -> Result<Part, upkeep::bike::Fault> {
    let count = Some(words[1].parse().expect("a count")).filter(|count| *count > 0);
    let price = words.get(3).map(|minor| (minor.parse().expect("minor units"), words[4].to_owned()));
    Part::new(Role::of(words[0])?, words[2].replace('_', " "), count, used_h, price)
}
