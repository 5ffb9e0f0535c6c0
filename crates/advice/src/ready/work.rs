//! What was done to the bike and looked at since: open work, what must be confirmed after it, what was found.

use upkeep::record::{CHECKS, Check, Entry, Fact as Noted, Outcome, Role, Touched, Work, WorkState, touched};

use super::ahead;
use crate::ask::Gap;
use crate::bench::{self, Desk, Laid};
use crate::record::{Record, days_between};
use crate::verdict::{Reason, Verdict};

/// Minutes of finishing a job that is open. The tool's own guess.
const FINISH_MIN: u32 = 60;
/// Minutes of closing an order whose steps are done. The tool's own guess.
const CLOSE_MIN: u32 = 2;

/// What must be confirmed after work, and when it is asked for.
struct Wanted {
    /// The checks that settle it, any of them.
    checks: &'static [&'static str],
    /// What is asked.
    what: &'static str,
    /// Minutes that it takes.
    minutes_min: u32,
    /// Whether the work asks for it.
    after: fn(Touched) -> bool,
}

/// Everything that must be confirmed.
const WANTED: [Wanted; 5] = [
    Wanted {
        checks: &["brake"],
        what: "rear brake: pedal pumped firm, wheel free, disc between the pads",
        minutes_min: 2,
        after: |touched| touched.rear_wheel || touched.rear_brake,
    },
    Wanted {
        checks: &["joint"],
        what: "joint of the chain: clip seated and its closed end leading, or pins flared",
        minutes_min: 2,
        after: |touched| touched.chain,
    },
    Wanted {
        checks: &["axle"],
        what: "rear axle nut at the manual's figure",
        minutes_min: 5,
        after: |touched| touched.rear_wheel || touched.slack,
    },
    Wanted {
        checks: &["rear-fasteners"],
        what: "rear sprocket fasteners at the manual's figure",
        minutes_min: 10,
        after: |touched| touched.rear_sprocket,
    },
    Wanted {
        checks: &["front-retainer", "front-ring"],
        what: "front sprocket held: nut or plate at the manual's figure, or ring seated all round",
        minutes_min: 10,
        after: |touched| touched.front_sprocket,
    },
];

/// Names of the checks that must be there before a job counts as closed.
#[must_use]
pub fn wanted_after(job: &str) -> Vec<(&'static [&'static str], &'static str)> {
    let touched = touched(job);
    WANTED.iter().filter(|wanted| (wanted.after)(touched)).map(|wanted| (wanted.checks, wanted.what)).collect()
}

/// The reasons that work and checks give.
pub(super) fn reasons(record: &Record<'_>, orders: &[(Desk<'_>, Result<Laid, Gap>)]) -> Vec<Reason> {
    let mut reasons: Vec<Reason> =
        record.log.open_work().into_iter().filter_map(|(entry, work)| open(entry, work, orders)).collect();
    reasons.extend(orders.iter().filter_map(|(desk, laid)| on_bench(record, desk, laid.as_ref())));
    reasons.extend(WANTED.iter().filter_map(|wanted| unconfirmed(record, wanted)));
    reasons.extend(CHECKS.iter().filter_map(|kind| found(record, kind.name)));
    reasons.extend(cures(record));
    reasons.extend(shakedown(record));
    reasons
}

fn open(entry: &Entry, work: &Work, orders: &[(Desk<'_>, Result<Laid, Gap>)]) -> Option<Reason> {
    let order = orders.iter().find(|(desk, _)| desk.bench.jobs_now().contains(&work.job()));
    let stands = order.and_then(|(desk, laid)| Some(ahead::at_step(desk.bench, laid.as_ref().ok()?)));
    touched(work.job()).takes_drive_apart().then(|| {
        if let Some(at) = stands.filter(|at| at.step > at.of) {
            let text = format!("Every step of work order {} is done, but it is not closed.", at.order);
            return Reason::new(Verdict::Stop, "", text).cleared_at("jobs", "Close the order", CLOSE_MIN);
        }
        // Which job it is, the list of open jobs says: here three reasons must fit on a phone's first screen.
        let text = format!("Drive apart since {}: a job is open.", entry.at.date());
        Reason::new(Verdict::Stop, "", text).cleared_at("jobs", "Finish the job and close it", FINISH_MIN)
    })
}

/// What an order that was begun leaves undone, whatever its jobs are called: an axle nut cracked to set the slack, a
/// caliper off for its pads. Of jobs that take the drive apart the record says it already.
fn on_bench(record: &Record<'_>, desk: &Desk<'_>, laid: Result<&Laid, &Gap>) -> Option<Reason> {
    let jobs = desk.bench.jobs_now();
    let mut begun = record.log.open_work().into_iter().map(|(_, work)| work.job());
    if begun.any(|job| jobs.contains(&job) && touched(job).takes_drive_apart()) {
        return None;
    }
    let order = desk.bench.id;
    let laid = match laid {
        Ok(laid) if laid.done() > 0 => laid,
        Ok(_) => return None,
        Err(gap) => return Some(gap.reason(&format!("How far work order {order} is"))),
    };
    let undone = bench::undone(desk, laid);
    (!undone.is_empty()).then(|| {
        let text = format!("Work order {order} is open. {}", undone.join(" "));
        Reason::new(Verdict::Stop, "", text).cleared_at("jobs", "Finish the job and close it", FINISH_MIN)
    })
}

fn unconfirmed(record: &Record<'_>, wanted: &Wanted) -> Option<Reason> {
    let (done, work) =
        record.last_work(|work| work.state() == WorkState::Done && (wanted.after)(touched(work.job())))?;
    // What was confirmed while the job was open counts for it.
    let begun = record
        .log
        .entries()
        .iter()
        .rfind(|entry| {
            (entry.at, entry.id) < (done.at, done.id)
                && matches!(&entry.fact, Noted::Work(one) if one.job() == work.job() && one.state() == WorkState::Begun)
        })
        .map_or(done.at, |entry| entry.at);
    let is = |check: &Check| wanted.checks.contains(&check.kind().name);
    let confirmed = checks(record).any(|(entry, check)| is(check) && entry.at >= begun);
    (!confirmed).then(|| {
        let text = format!("After {} on {}: not confirmed: {}.", in_words(work), done.at.date(), wanted.what);
        Reason::new(Verdict::Stop, "", text)
            .cleared_by(format!("Check and record it ({})", wanted.checks.join(" or ")), wanted.minutes_min)
    })
}

/// The last answer of a check, where it is not the good one.
fn found(record: &Record<'_>, name: &str) -> Option<Reason> {
    // A sprocket that was changed since has other teeth.
    let changed = match name {
        "front-teeth" => record.log.fitted(Role::Front),
        "rear-teeth" => record.log.fitted(Role::Rear),
        _ => None,
    };
    let since = changed.map(|entry| (entry.at, entry.id));
    let holds = |entry: &Entry| since.is_none_or(|since| (entry.at, entry.id) > since);
    let (entry, check) = checks(record).filter(|(entry, check)| check.kind().name == name && holds(entry)).last()?;
    let verdict = match check.outcome() {
        Outcome::Good => return None,
        Outcome::Care => Verdict::Care,
        Outcome::Stop => Verdict::Stop,
    };
    let text = format!("Found: {}: {} ({}).", check.kind().title, check.answer(), record.age(entry.at));
    Some(Reason::new(verdict, "", text).cleared_by("Put it right, then record the check again", 30))
}

/// A threadlocker that is not cured yet: of a closed order as of an open one, as the order's own page says it.
fn cures(record: &Record<'_>) -> Option<Reason> {
    let cured = record.benches.iter().filter_map(|bench| Some((bench.cured_at()?, bench.id)));
    let (at, order) = cured.filter(|(at, _)| *at > record.now).max()?;
    let text =
        format!("Ride not before {}: a threadlocker of work order {order} cures.", at.strftime("%Y-%m-%d %H:%M"));
    // Waiting is no work: it takes none of the rider's minutes.
    Some(Reason::new(Verdict::Stop, "", text).cleared_at("jobs", "Leave it until then", 0))
}

/// Nothing new the day before an event.
fn shakedown(record: &Record<'_>) -> Option<Reason> {
    let next = record.log.next_planned(record.now)?;
    let Noted::Planned(planned) = &next.fact else { return None };
    let (done, work) =
        record.last_work(|work| work.state() == WorkState::Done && touched(work.job()).wants_shakedown())?;
    let ridden = record.log.rides().iter().any(|ride| ride.at > done.at);
    (planned.event() && !ridden).then(|| {
        let text = format!(
            "No shakedown: {} was done {} and not ridden since, {} is {}.",
            in_words(work),
            done.at.date(),
            planned.name(),
            crate::record::ahead(days_between(record.now, next.at))
        );
        Reason::new(Verdict::Care, "", text).cleared_by("Ride 20 min, then recheck fasteners and slack", 30)
    })
}

/// The job of a piece of work, short enough for a phone's first screen.
pub(crate) fn in_words(work: &Work) -> String {
    work.job().replace('-', " ")
}

fn checks<'r>(record: &'r Record<'_>) -> impl Iterator<Item = (&'r Entry, &'r Check)> {
    record
        .log
        .entries()
        .iter()
        .filter_map(|entry| if let Noted::Check(check) = &entry.fact { Some((entry, check)) } else { None })
}

impl Record<'_> {
    /// The last work that fits.
    pub(crate) fn last_work(&self, fits: impl Fn(&Work) -> bool) -> Option<(&Entry, &Work)> {
        self.log.entries().iter().rev().find_map(|entry| match &entry.fact {
            Noted::Work(work) if fits(work) => Some((entry, work)),
            _ => None,
        })
    }
}
