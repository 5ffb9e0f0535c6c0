//! Replace together or singly: facts of the trade (common practice, no source) held against the model, with what it says
//! about each and where it disagrees; the shelf; safety; what is never invented.

use std::path::Path;

use advice::record::replace::{Asked, Known, ReplaceView, view};
use advice::record::{Record, order};
use advice::{Setup, Verdict};
use jiff::civil::DateTime;
use upkeep::bike::Bike;
use upkeep::record::{
    Check, ElongationReading, Entry, Fact, Kept, Log, Meter, Part, Role, SlackKind, SlackReading, SlackState,
};

fn bike() -> Bike {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../data/bikes/alder-350.toml");
    Bike::from_toml(&std::fs::read_to_string(path).expect("the file is there")).expect("it reads")
}

fn at(text: &str) -> DateTime {
    text.parse().expect("a time")
}

fn part(role: Role, count: u32, used_h: f64) -> Part {
    Part::new(role, format!("{} {count}", role.word()), Some(count), used_h, None).expect("a part")
}

/// A set with these hours on chain, front and rear, the chain read at what 60 h to 1 % make of its hours.
fn set([chain, front, rear]: [f64; 3], more: Vec<Fact>) -> Log {
    let length = 317.5 * (1.0 + 0.01 * (chain / 60.0 + 0.01));
    let places = vec![vec![length]; 3];
    let mut facts = vec![
        Fact::Meter(Meter::read(100.0).expect("hours")),
        Fact::Part(part(Role::Chain, 118, chain)),
        Fact::Part(part(Role::Front, 14, front)),
        Fact::Part(part(Role::Rear, 48, rear)),
        Fact::Elongation(ElongationReading::new(20, places, 0.05, 0.1).expect("a reading")),
    ];
    facts.extend(more);
    let entry = |(id, fact)| Entry { id, change: id, at: at("2026-06-01T10:00"), corrects: None, note: None, fact };
    Log::new((1..).zip(facts).map(entry).collect(), Vec::new())
}

fn euro(amount: i64) -> Option<(i64, String)> {
    Some((100 * amount, "EUR".to_owned()))
}

/// Prices 90, 25 and 60; lives 60, 80 and 120 h; a stranding worth 200. All invented.
fn asked(labour: i64, wanted: Option<(u32, u32)>) -> Asked {
    let fitted = Setup { front_teeth: 14, rear_teeth: 48, links: 118 };
    Asked {
        price_minor: [euro(90), euro(25), euro(60)],
        life_h: [Some(60.0), Some(80.0), Some(120.0)],
        labour_minor: euro(labour),
        trail_minor: euro(200),
        wanted: wanted.map(|(front, rear)| fitted.pair(front, rear)),
    }
}

fn answered(log: &Log, asked: &Asked) -> ReplaceView {
    let bike = bike();
    view(&Record::new(&bike, log, at("2026-06-02T10:00")), asked).expect("an answer")
}

fn lost(view: &ReplaceView, choice: &str) -> [f64; 3] {
    view.choices.iter().find(|one| one.choice == choice).expect(choice).lost_minor.map(|minor| minor / 100.0)
}

#[test]
fn practice_fifty_hours_together_are_changed_together_and_the_model_agrees_where_work_is_worth_something() {
    // Practice: worn together for some fifty hours, changed together even when only one ratio is wanted.
    let worn = set([50.0; 3], Vec::new());
    let view = answered(&worn, &asked(30, Some((14, 50))));
    assert_eq!(view.best.as_deref(), Some("new_new_new"), "{}", view.sentence);
    assert!(lost(&view, "keep_keep_new").iter().all(|lost| *lost > 2.0));
    // It disagrees where the work is worth nothing: then the one sprocket alone, and the set loses 12 to 17.
    let idle = answered(&worn, &asked(0, Some((14, 50))));
    assert_eq!(idle.best.as_deref(), Some("keep_keep_new"));
    assert!(lost(&idle, "new_new_new").iter().all(|lost| (12.0..17.0).contains(lost)));
    // And where the front is wanted: chain and front, the rear that lives twice as long stays; the set loses 11 to 28.
    let front = answered(&worn, &asked(30, Some((13, 48))));
    assert_eq!(front.best.as_deref(), Some("new_new_keep"));
    assert!(lost(&front, "new_new_new").iter().all(|lost| (11.0..28.5).contains(lost)));
}

#[test]
fn practice_unless_a_part_is_nearly_new_and_the_model_agrees() {
    let new_chain = answered(&set([2.0, 50.0, 50.0], Vec::new()), &asked(30, Some((14, 50))));
    assert_eq!(new_chain.best.as_deref(), Some("keep_new_new"));
    assert!(lost(&new_chain, "new_new_new").iter().all(|lost| *lost > 80.0), "a new chain thrown away");
    let new_front = answered(&set([50.0, 2.0, 50.0], Vec::new()), &asked(30, Some((14, 50))));
    assert_eq!(new_front.best.as_deref(), Some("new_keep_new"));
}

#[test]
fn practice_slack_at_several_places_tells_more_the_older_the_chain_and_a_bent_sprocket_tells_as_much_on_a_new_one() {
    let spot = |slack_mm: &[f64]| {
        let places = (0_u32..).map(|n| 12.0 * f64::from(n)).take(slack_mm.len()).collect();
        let reading = SlackReading::new(slack_mm.to_vec(), Some(places), 0.5, SlackState::Stand, SlackKind::Free);
        let fitted = Setup { front_teeth: 14, rear_teeth: 48, links: 118 };
        advice::record::slack::view(&bike(), fitted, &reading.expect("possible")).expect("an answer")
    };
    // The invented set of the demo: new, and worn out with one ring gone.
    let (new, old) = (
        spot(&[85.0, 85.5, 86.0, 85.5]),
        spot(&[84.0, 85.0, 88.0, 92.0, 96.0, 98.0, 98.0, 96.0, 92.0, 88.0, 85.0, 84.0]),
    );
    let range = |view: &advice::record::slack::TightSpotView| view.slack_max_mm - view.slack_min_mm;
    assert!(
        range(&old) > 10.0 * range(&new),
        "one place misses the tightest by up to 14 mm on the old chain, 1 on the new"
    );
    // Where it disagrees: the model knows no age. A new chain on a sprocket that runs out reads as unevenly.
    let bent = spot(&[84.0, 91.0, 98.0, 91.0, 84.0, 91.0, 98.0, 91.0, 84.0, 91.0, 98.0, 91.0]);
    assert!(range(&bent) >= range(&old) - 1e-9);
    assert_eq!(bent.cause.as_deref(), Some("wheel"));
}

#[test]
fn a_part_worn_sprocket_on_the_shelf_decides_between_new_and_kept() {
    let shelf = |used_h| vec![Fact::Kept(Kept::new(part(Role::Front, 14, used_h), false))];
    // The chain is at its limit, the front five sevenths worn; names differ, so the shelf's one is not the fitted one.
    let with = |more: Vec<Fact>| {
        let mut log = vec![Fact::Part(Part::new(Role::Front, "worn".into(), Some(14), 60.0, None).expect("a part"))];
        log.extend(more);
        answered(&set([61.0, 60.0, 60.0], log), &asked(0, None))
    };
    let without = with(Vec::new());
    let with_shelf = with(shelf(12.0));
    assert_eq!(without.best.as_deref(), Some("new_new_keep"), "{}", without.sentence);
    assert_eq!(with_shelf.best.as_deref(), Some("new_shelf_keep"), "{}", with_shelf.sentence);
    assert!(with_shelf.by_coupling.iter().all(|one| one.shelf_worth_minor > 0.0));
    // One as worn as what is fitted decides nothing.
    assert_eq!(with(shelf(79.0)).best.as_deref(), Some("new_new_keep"));
    // Another count does not fit, and what is gone is not there.
    let other = with(vec![Fact::Kept(Kept::new(part(Role::Front, 13, 12.0), false))]);
    assert_eq!(other.best.as_deref(), Some("new_new_keep"));
    let gone = with(vec![shelf(12.0).remove(0), Fact::Kept(Kept::new(part(Role::Front, 14, 12.0), true))]);
    assert_eq!(gone.best.as_deref(), Some("new_new_keep"));
}

#[test]
fn what_lies_on_the_shelf_is_offered_while_it_has_life_left_and_fits() {
    let offered = |kept: &[(Role, u32, f64)]| {
        let name = |role: Role, count, used_h| {
            Part::new(role, format!("spare of {used_h} h"), Some(count), used_h, Some((1500, "EUR".to_owned())))
        };
        let kept = kept.iter().map(|(role, count, used_h)| name(*role, *count, *used_h).expect("a part"));
        let kept = kept.map(|part| Fact::Kept(Kept::new(part, false))).collect();
        let view = answered(&set([10.0; 3], kept), &asked(30, None));
        let told = |part: &Known| {
            let shelf = part.shelf.as_ref()?;
            Some(format!("{}, {} of 7, {}", shelf.name, shelf.level, shelf.sells_minor))
        };
        view.parts.iter().map(told).collect::<Vec<_>>()
    };
    // The front lives 80 h: at 79 it has something left, at 80 it is as worn out as one at the limit.
    assert_eq!(offered(&[(Role::Front, 14, 79.0)])[1].as_deref(), Some("spare of 79 h, 6 of 7, 1500"));
    for used_h in [80.0, 200.0] {
        assert_eq!(offered(&[(Role::Front, 14, used_h)]), [None, None, None], "{used_h} h");
    }
    // The least worn of them, each in its own place.
    let both = offered(&[(Role::Rear, 48, 40.0), (Role::Rear, 48, 20.0), (Role::Front, 13, 0.0)]);
    assert_eq!(both, [None, None, Some("spare of 20 h, 1 of 7, 1500".to_owned())]);
    // A chain is cut to length: longer is good, shorter never; a sprocket has its teeth.
    for (links, fits) in [(114, false), (116, false), (118, true), (120, true), (122, true)] {
        assert_eq!(offered(&[(Role::Chain, links, 10.0)])[0].is_some(), fits, "{links} links");
    }
    assert_eq!(offered(&[(Role::Rear, 50, 10.0)]), [None, None, None]);
}

#[test]
fn what_comes_off_only_for_its_ratio_has_its_worth() {
    let view = answered(&set([10.0; 3], Vec::new()), &asked(30, Some((14, 50))));
    assert_eq!(view.best.as_deref(), Some("keep_keep_new"));
    for one in &view.by_coupling {
        assert!(one.change_costs_minor > 0.0);
        assert!(one.off_worth_minor[2].is_some_and(|worth| worth > 0.0), "{one:?}");
        assert_eq!(one.off_worth_minor[0], None, "the chain stays on");
    }
}

#[test]
fn safety_is_changed_whatever_it_costs() {
    let hooked = vec![Fact::Check(Check::new("rear-teeth", "hooked", None).expect("a check"))];
    let dear = Asked { price_minor: [euro(90), euro(25), euro(6000)], ..asked(0, None) };
    let view = answered(&set([10.0; 3], hooked), &dear);
    assert_eq!(view.verdict, Verdict::Stop);
    assert!(view.reasons[0].text.contains("hooked") && view.reasons[0].text.contains("whatever it costs"));
    assert!(view.choices.iter().all(|choice| choice.choice.ends_with("_new")), "the rear is never kept");
}

#[test]
fn without_a_price_there_is_no_decision_and_nothing_is_invented() {
    let no_price = Asked { price_minor: [euro(90), None, euro(60)], ..asked(30, None) };
    let view = answered(&set([50.0; 3], Vec::new()), &no_price);
    assert_eq!((view.verdict, view.best, view.choices.len()), (Verdict::Unknown, None, 0));
    assert!(view.reasons.iter().any(|reason| reason.text.contains("front sprocket")));
    let mixed = Asked { price_minor: [euro(90), Some((2000, "GBP".into())), euro(60)], ..asked(30, None) };
    assert_eq!(answered(&set([50.0; 3], Vec::new()), &mixed).verdict, Verdict::Unknown);
}

#[test]
fn a_sprocket_that_nobody_looked_at_leaves_a_range_that_says_what_to_look_at() {
    let bike = bike();
    let log = set([50.0; 3], Vec::new());
    let kept: Vec<Entry> = log
        .entries()
        .iter()
        .filter(|entry| !matches!(&entry.fact, Fact::Part(part) if part.role() == Role::Rear))
        .cloned()
        .collect();
    let record = Record::new(&bike, &Log::new(kept, Vec::new()), at("2026-06-02T10:00"));
    let view = view(&record, &asked(30, None)).expect("an answer");
    assert_eq!(view.parts[2].level, [0, 7]);
    assert!(view.best.is_some() || view.sentence.contains("Look at the teeth first"), "{}", view.sentence);
    assert!(!view.choice_table.rows.is_empty());
}

/// A worn chain on younger sprockets, ridden 2 h each fourth day.
fn ridden() -> Log {
    let log = set([61.0, 20.0, 20.0], Vec::new());
    let rides = (1..=20_i64).map(|n| upkeep::record::Ride {
        id: n,
        name: format!("ride {n}"),
        at: at("2026-06-01T12:00").checked_sub(jiff::Span::new().days(4 * n)).expect("a day"),
        hours_h: Some(2.0),
        ground: None,
        wet: None,
        odd: None,
    });
    Log::new(log.entries().to_vec(), rides.collect())
}

#[test]
fn the_first_screen_dates_its_orders_as_the_decision_about_the_set_does() {
    let bike = bike();
    let record = Record::new(&bike, &ridden(), at("2026-06-02T10:00"));
    let decided = order::view(&record, &Asked::default(), None).expect("an answer");
    let mut wanted: Vec<String> = decided.lines.iter().filter_map(|line| line.needed.clone()).collect();
    wanted.sort();
    assert!(wanted.len() > 1, "{:?}", decided.lines);
    let shown: Vec<String> = advice::ready::view(&record).order.rows.iter().map(|row| row[1].text.clone()).collect();
    assert_eq!(shown, wanted);
}

#[test]
fn an_order_has_its_last_day_its_money_per_hour_and_its_period() {
    let bike = bike();
    let record = Record::new(&bike, &ridden(), at("2026-06-02T10:00"));
    let view = order::view(&record, &asked(0, None), Some(9)).expect("an answer");
    let chain = &view.lines[0];
    assert!(chain.now && chain.too_late, "nothing planned: needed today");
    assert_eq!(chain.order_by.as_deref(), Some("2026-05-24"));
    assert!((chain.cost_per_h.expect("money") - 1.5).abs() < 1e-12, "90 over 60 h");
    let rear = &view.lines[2];
    assert!(!rear.now && !rear.too_late && rear.order_by < rear.needed);
    // Some 2 h each 4 to 5 days: 120 h last 240 days or a little more.
    assert!(rear.repeat_d.is_some_and(|days| (220.0..320.0).contains(&days)), "{rear:?}");
}

#[test]
fn a_decision_is_told_in_a_sentence_with_its_choices_and_its_money() {
    let view = answered(&set([50.0; 3], Vec::new()), &asked(30, Some((14, 50))));
    assert!(view.best.is_some() && !view.sentence.starts_with("No decision"), "{}", view.sentence);
    assert_eq!(view.choice_table.rows.len(), view.choices.len());
    assert!(!view.facts.is_empty() && view.facts.iter().any(|fact| fact.text.contains("EUR")), "{:?}", view.facts);
}
