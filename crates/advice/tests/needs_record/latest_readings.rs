//! What the latest readings of the drive still say, and what the record counts of its hours and its open work.

use advice::record::{first_day, kept_sets};
use jiff::Span;
use upkeep::job::bench::Bench;
use upkeep::record::{Kept, Set as Together};

use super::*;

#[test]
fn a_taut_run_is_a_slack_of_nothing_only_where_slack_itself_was_read() {
    let bike = bike();
    let with = |kind| {
        let taut = SlackReading::new(vec![0.0], None, 0.5, SlackState::Stand, kind).expect("possible");
        let mut list = all_inside();
        list.push(("2026-08-03T18:40", Fact::Slack(taut)));
        ready::view(&record(&bike, list, Vec::new(), "2026-08-04T09:00"))
    };
    let (free, gap) = (with(SlackKind::Free), with(SlackKind::Gap));
    assert_eq!((free.slack_mm, gap.slack_mm), (Some(0.0), None));
    for view in [free, gap] {
        assert_eq!(reason(&view, "No slack at all").verdict, Verdict::Stop);
    }
}

#[test]
fn where_no_hours_are_counted_a_length_speaks_for_sixty_days_and_not_for_one_more() {
    let bike = bike();
    let read = at("2026-06-01T10:00");
    let old = |days: i64| {
        let now = read.checked_add(Span::new().days(days)).expect("a day").to_string();
        let view = ready::view(&record(&bike, vec![("2026-06-01T10:00", sound())], Vec::new(), &now));
        view.reasons
            .iter()
            .find(|reason| reason.text.contains("length reading of the chain"))
            .map(|one| one.text.clone())
    };
    assert_eq!((old(0), old(60)), (None, None));
    assert!(old(61).is_some_and(|text| text.contains("61 days old")), "{:?}", old(61));
}

#[test]
fn a_range_narrower_than_a_sellers_log_is_not_widened_by_asking_for_it() {
    let bike = bike();
    let list = vec![("2026-08-01T09:00", meter(100.0)), ("2026-08-03T18:30", sound())];
    let record = record(&bike, list, Vec::new(), "2026-08-04T09:00");
    let row = |low_h, high_h| {
        let view = first_day::view(&record, low_h, high_h).expect("an answer");
        view.narrows.rows.iter().map(|row| row[0].text.clone()).find(|text| text.contains("seller")).expect("a row")
    };
    assert!(row(40.0, 44.0).ends_with("hours within 4, here 42"), "{}", row(40.0, 44.0));
    assert!(row(20.0, 60.0).ends_with("hours within 10, here 40"), "{}", row(20.0, 60.0));
    // What the seller's log would make of it is what is answered once it is given.
    let left = |low_h, high_h, row: usize| {
        let view = first_day::view(&record, low_h, high_h).expect("an answer");
        view.narrows.rows[row][2].text.clone()
    };
    assert_eq!(left(20.0, 60.0, 1), left(35.0, 45.0, 0));
    assert_ne!(left(20.0, 60.0, 1), left(20.0, 60.0, 0));
}

#[test]
fn a_part_has_the_hours_it_ran_here_and_those_it_came_with_wherever_it_lies() {
    let bike = bike();
    let chain = |name: &str, used_h| Part::new(Role::Chain, name.into(), Some(118), used_h, None).expect("a part");
    let parts = vec![(Role::Chain, "first".to_owned()), (Role::Front, "steel".to_owned())];
    let list = vec![
        ("2026-08-01T09:00", meter(100.0)),
        ("2026-08-01T10:00", Fact::Part(chain("first", 5.0))),
        ("2026-08-02T09:00", meter(112.0)),
        ("2026-08-02T10:00", Fact::Part(chain("second", 0.0))),
        ("2026-08-02T11:00", Fact::Kept(Kept::new(chain("third", 8.0), false))),
        ("2026-08-03T09:00", meter(115.5)),
        ("2026-08-03T10:00", Fact::Part(Part::new(Role::Front, "steel".into(), Some(14), 2.0, None).expect("a part"))),
        ("2026-08-03T11:00", Fact::Set(Together::new("dry".into(), parts, false).expect("a set"))),
    ];
    let record = record(&bike, list, Vec::new(), "2026-08-04T09:00");
    let view = kept_sets::view(&record).expect("sets");
    let hours = |member: &kept_sets::Member| (member.name.clone(), member.hours_h);
    let steel = ("steel".to_owned(), Some(2.0));
    let fitted: Vec<_> = view.fitted.iter().map(hours).collect();
    assert_eq!(fitted, [("second".to_owned(), Some(3.5)), steel.clone()]);
    let of_set: Vec<_> = view.sets[0].parts.iter().map(hours).collect();
    assert_eq!(of_set, [("first".to_owned(), Some(17.0)), steel]);
}

#[test]
fn every_job_of_an_open_order_is_open_once_also_where_it_was_begun_without_one() {
    let bike = bike();
    let order = Bench {
        id: 1,
        at: at("2026-08-03T17:00"),
        jobs: ["chain-slack", "gearbox-oil"].map(str::to_owned).to_vec(),
        choices: Vec::new(),
        setup: [14, 48, 118],
        lines: Vec::new(),
    };
    let open = |list| {
        let record = record(&bike, list, Vec::new(), "2026-08-04T09:00").with_benches(vec![order.clone()]);
        ready::view(&record).open_jobs.iter().map(|job| job.job.clone()).collect::<Vec<_>>()
    };
    assert_eq!(open(Vec::new()), ["chain-slack", "gearbox-oil"]);
    assert_eq!(open(vec![("2026-08-03T16:00", work("gearbox-oil", "begun"))]), ["gearbox-oil", "chain-slack"]);
}
