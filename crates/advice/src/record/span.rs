//! What happened within a span of days: ground ridden, faults noted, jobs done and whether they were looked at again.

use std::collections::BTreeMap;

use jiff::civil::Date;
use upkeep::job::handbook::in_use;
use upkeep::record::{Entry, Fact as Noted, Outcome, Ride, WorkState, touched};

use super::Record;
use crate::fact::{Cell, Column, Table};
use crate::words::{count, number};

/// Rides of a span.
pub(super) fn rides<'r>(record: &'r Record<'_>, from: Date, to: Date) -> Vec<&'r Ride> {
    record.log.rides().iter().filter(|ride| (from..=to).contains(&ride.at.date())).collect()
}

fn entries<'r>(record: &'r Record<'_>, from: Date, to: Date) -> impl DoubleEndedIterator<Item = &'r Entry> {
    record.log.entries().iter().filter(move |entry| (from..=to).contains(&entry.at.date()))
}

/// Hours and rides on each ground; what was not said stands as such.
pub(super) fn grounds(rides: &[&Ride]) -> Table {
    let columns = vec![
        Column::words("ground", "Ground"),
        Column::numbers("rides", "Rides"),
        Column::numbers("hours_h", "Hours"),
        Column::numbers("share_pct", "Share of the hours, %"),
    ];
    let mut by: BTreeMap<&str, (f64, f64)> = BTreeMap::new();
    for ride in rides {
        let (rides, hours) = by.entry(ride.ground.as_deref().unwrap_or("not said")).or_default();
        *rides += 1.0;
        *hours += ride.hours_h.unwrap_or_default();
    }
    let total: f64 = by.values().map(|(_, hours)| hours).sum();
    let mut rows: Vec<(&str, f64, f64)> =
        by.into_iter().map(|(ground, (rides, hours))| (ground, rides, hours)).collect();
    rows.sort_by(|one, other| other.2.total_cmp(&one.2));
    let mut table = Table::new("ground_split", "Ground, by hours noted with the rides", columns);
    table.rows.extend(rows.into_iter().map(|(ground, rides, hours)| {
        let share = (total > 0.0).then(|| 100.0 * hours / total);
        vec![Cell::words(ground), Cell::number(rides, 0), Cell::number(hours, 1), Cell::maybe(share, 0)]
    }));
    table
}

/// What seemed odd on a ride, and what a check found.
pub(super) fn faults(record: &Record<'_>, from: Date, to: Date) -> Table {
    let columns = vec![Column::words("day", "Day"), Column::words("what", "What")];
    let mut rows: Vec<(Date, String)> = Vec::new();
    for ride in rides(record, from, to) {
        rows.extend(ride.odd.as_ref().map(|odd| (ride.at.date(), format!("odd on the ride: {odd}"))));
    }
    for entry in entries(record, from, to) {
        if let Noted::Check(check) = &entry.fact
            && check.outcome() != Outcome::Good
        {
            rows.push((entry.at.date(), format!("{}: {}", check.kind().title, check.answer())));
        }
    }
    rows.sort();
    let mut table = Table::new("faults", "Faults noted", columns);
    table.rows.extend(rows.into_iter().map(|(day, what)| vec![Cell::words(day.to_string()), Cell::words(what)]));
    table
}

/// Jobs done, and whether what they took apart was looked at again afterwards.
pub(super) fn jobs(record: &Record<'_>, from: Date, to: Date) -> Table {
    let columns = vec![
        Column::words("day", "Day"),
        Column::words("job", "Job"),
        Column::words("recheck", "Checked after the first hours"),
    ];
    let mut table = Table::new("jobs_done", "Jobs done", columns);
    for entry in entries(record, from, to) {
        let Noted::Work(work) = &entry.fact else { continue };
        if work.state() != WorkState::Done {
            continue;
        }
        let recheck = |fact: &Noted| matches!(fact, Noted::Check(check) if check.kind().name == "recheck");
        let later =
            record.log.entries().iter().find(|one| recheck(&one.fact) && (one.at, one.id) > (entry.at, entry.id));
        let word = match later {
            _ if !touched(work.job()).takes_drive_apart() => "not needed".to_owned(),
            Some(later) => later.at.date().to_string(),
            None => "no".to_owned(),
        };
        table.rows.push(vec![
            Cell::words(entry.at.date().to_string()),
            Cell::words(title_of(work.job())),
            Cell::words(word),
        ]);
    }
    table
}

/// What a job is called; its name where the library does not know it.
pub(super) fn title_of(job: &str) -> &str {
    in_use().job(job).map_or(job, |file| file.job.title.as_str())
}

/// Rides and entries whose hours are not known.
pub(super) fn gaps(rides: &[&Ride]) -> Vec<String> {
    let silent: Vec<&Ride> = rides.iter().copied().filter(|ride| ride.hours_h.is_none()).collect();
    let mut gaps = Vec::new();
    if !silent.is_empty() {
        let days: Vec<String> = silent.iter().map(|ride| ride.at.date().to_string()).collect();
        let verb = if silent.len() == 1 { "says" } else { "say" };
        gaps.push(format!(
            "{} {verb} nothing about hours ({}); {} not filled in.",
            count(silent.len(), "ride"),
            days.join(", "),
            if silent.len() == 1 { "it is" } else { "they are" }
        ));
    }
    let unsaid = rides.iter().filter(|ride| ride.ground.is_none()).count();
    if unsaid > 0 {
        gaps.push(format!("{} without ground.", count(unsaid, "ride")));
    }
    let hours: f64 = rides.iter().filter_map(|ride| ride.hours_h).sum();
    // What the rides say is a gap only where some say nothing.
    if hours > 0.0 && !silent.is_empty() {
        let known = rides.len() - silent.len();
        gaps.push(format!("{} h are noted with {}.", number(hours, 1), count(known, "ride")));
    }
    gaps
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ride(id: i64, hours_h: Option<f64>, ground: Option<&str>) -> Ride {
        let at = jiff::civil::date(2026, 5, 1).at(10, 0, 0, 0);
        Ride { id, name: "r".into(), at, hours_h, ground: ground.map(str::to_owned), wet: None, odd: None }
    }

    fn rows(rides: &[Ride]) -> Vec<Vec<String>> {
        let table = grounds(&rides.iter().collect::<Vec<_>>());
        table.rows.iter().map(|row| row.iter().map(|cell| cell.text.clone()).collect()).collect()
    }

    #[test]
    fn hours_and_rides_of_each_ground_add_up_the_most_ridden_first() {
        let rides = [
            ride(1, Some(1.0), Some("sand")),
            ride(2, Some(5.0), Some("hard")),
            ride(3, Some(2.0), Some("sand")),
            ride(4, None, Some("mud")),
            ride(5, Some(2.0), None),
        ];
        assert_eq!(
            rows(&rides),
            [
                ["hard", "1", "5.0", "50"],
                ["sand", "2", "3.0", "30"],
                ["not said", "1", "2.0", "20"],
                ["mud", "1", "0.0", "0"]
            ]
        );
    }

    #[test]
    fn a_share_of_no_hours_is_not_known() {
        let unknown = Cell::maybe(None, 0).text;
        assert_eq!(rows(&[ride(1, None, Some("sand"))]), [["sand", "1", "0.0", unknown.as_str()]]);
    }

    #[test]
    fn rides_that_say_nothing_are_named_with_what_the_others_say() {
        let told = |rides: &[Ride]| gaps(&rides.iter().collect::<Vec<_>>());
        let (silent, said) = (ride(1, None, Some("sand")), ride(2, Some(2.5), Some("sand")));
        assert!(told(std::slice::from_ref(&said)).is_empty());
        assert_eq!(
            told(std::slice::from_ref(&silent)),
            ["1 ride says nothing about hours (2026-05-01); it is not filled in."]
        );
        assert_eq!(
            told(&[silent.clone(), silent, said, ride(3, Some(0.5), None)]),
            [
                "2 rides say nothing about hours (2026-05-01, 2026-05-01); they are not filled in.",
                "1 ride without ground.",
                "3.0 h are noted with 2 rides."
            ]
        );
    }
}
