//! What is not known is told as such: no gap of sheet or record is read as nothing, as nought or as ready.

use std::path::Path;

use advice::plan::{self, Wish};
use advice::record::replace::{self, AT_LIMIT};
use advice::record::{Record, forecast, reading, through};
use advice::slack::{self, Read};
use advice::supplies;
use advice::{Setup, Verdict, adjust, decision, ground, ready};
use jiff::civil::DateTime;
use upkeep::bike::{Bike, Change, Value};
use upkeep::record::{
    AxleReading, ElongationReading, Entry, Fact, Log, Meter, Part, Ride, Role, SlackKind, SlackReading, SlackState,
};
use upkeep::supply::{Event, Shelf, Supply};

fn bike(without: &[&str]) -> Bike {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../data/bikes/alder-350.toml");
    let mut bike = Bike::from_toml(&std::fs::read_to_string(path).expect("the file is there")).expect("it reads");
    let off: Vec<Change> = without
        .iter()
        .filter(|field| bike.get(field).is_some())
        .map(|field| Change { field: (*field).to_owned(), value: None, source: None })
        .collect();
    bike.change(&off).expect("a sheet");
    bike
}

fn set(mut bike: Bike, numbers: &[(&str, f64)]) -> Bike {
    let change = |(field, number): &(&str, f64)| Change {
        field: (*field).to_owned(),
        value: Some(Value::Number(*number)),
        source: None,
    };
    bike.change(&numbers.iter().map(change).collect::<Vec<_>>()).expect("the sheet takes it");
    bike
}

fn fitted(bike: &Bike) -> Setup {
    Setup::fitted(bike).expect("a setup")
}

fn at(text: &str) -> DateTime {
    text.parse().expect("a time")
}

fn record<'a>(bike: &'a Bike, facts: Vec<(&str, Fact)>, rides: Vec<Ride>) -> Record<'a> {
    let entry = |(id, (when, fact))| Entry { id, change: id, at: at(when), corrects: None, note: None, fact };
    Record::new(bike, &Log::new((1..).zip(facts).map(entry).collect(), rides), at("2026-08-05T09:00"))
}

fn meter(hours: f64) -> Fact {
    Fact::Meter(Meter::read(hours).expect("hours"))
}

fn read(slack_mm: &[f64]) -> Fact {
    let reading = SlackReading::new(slack_mm.to_vec(), None, 0.5, SlackState::Stand, SlackKind::Free);
    Fact::Slack(reading.expect("a reading"))
}

fn axle(left_mm: f64, right_mm: f64) -> Fact {
    Fact::Axle(AxleReading::new(left_mm, right_mm).expect("possible"))
}

/// A chain of twenty pitches longer than new by so many percent.
fn longer(pct: f64) -> Fact {
    let places = vec![vec![317.5 * (1.0 + pct / 100.0)]; 3];
    Fact::Elongation(ElongationReading::new(20, places, 0.05, 0.1).expect("a reading"))
}

/// Slack and length read, nothing else recorded: nothing stands against riding.
fn in_order() -> Vec<(&'static str, Fact)> {
    vec![("2026-08-04T10:00", meter(100.0)), ("2026-08-04T10:10", read(&[85.0])), ("2026-08-04T10:20", longer(0.2))]
}

fn with(more: Vec<(&'static str, Fact)>) -> Vec<(&'static str, Fact)> {
    in_order().into_iter().chain(more).collect()
}

const NO_OIL: &str = "oil_interval_h";

#[test]
fn sides_that_differ_are_not_called_straight_without_the_distance_between_them() {
    let bare = bike(&[NO_OIL, "track_mm"]);
    let verdict = |left, right| {
        let facts = with(vec![("2026-08-04T11:00", axle(left, right))]);
        let record = record(&bare, facts, Vec::new());
        let told = reading::view(&record, record.log.entries().last().expect("an entry")).expect("a view");
        (ready::view(&record).verdict, told.expect("a reading").verdict)
    };
    assert_eq!(verdict(610.0, 600.0), (Verdict::Unknown, Verdict::Unknown));
    assert_eq!(verdict(605.6, 605.6), (Verdict::Ready, Verdict::Ready), "alike they need no distance");
}

#[test]
fn sides_that_are_read_now_weigh_on_the_whole_answer() {
    let bike = set(bike(&[NO_OIL]), &[("track_mm", 225.0)]);
    let whole = |left_mm, right_mm| {
        let read = Read { left_mm: Some(left_mm), right_mm: Some(right_mm), ..Read::default() };
        decision::with_record(&record(&bike, in_order(), Vec::new()), None, None, ground::USUAL, read).expect("a view")
    };
    assert_eq!(whole(605.6, 605.6).verdict, Verdict::Ready);
    let skew = whole(605.1, 606.1);
    assert_eq!(skew.verdict, Verdict::Care);
    assert!(skew.reasons[0].text.contains("off straight, to the right"), "{:?}", skew.reasons);
    assert_eq!(skew.record.map(|record| record.verdict), Some(Verdict::Care), "both say the same");
}

#[test]
fn what_the_sheet_lacks_is_left_out_of_the_alignment_and_not_told_as_nought() {
    let bare = set(bike(&["wheelbase_m", "thread_pitch_mm"]), &[("track_mm", 225.0)]);
    let read = Read { slack_mm: None, left_mm: Some(605.0), right_mm: Some(606.0) };
    let view = slack::view(&bare, fitted(&bare), read).expect("a view");
    let skew = view.alignment.iter().find(|fact| fact.key == "skew_deg").expect("a skew");
    assert!(!skew.reason.contains("front wheel") && skew.reason.contains("front sprocket"), "{}", skew.reason);
    assert!(skew.changes.contains("not known"), "{}", skew.changes);
}

#[test]
fn a_run_that_rests_on_the_slider_asks_for_no_slack_of_nought() {
    let high =
        set(bike(&["slack_mm_min", "slack_mm_max", "slack_stop_mm"]), &[("droop_deg", -4.0), ("travel_mm", 60.0)]);
    let gap = slack::view(&high, fitted(&high), Read::default()).expect_err("free slack says nothing there");
    assert!(gap.field == "slack_mm" && gap.text.contains("rests on the slider"), "{gap:?}");
}

#[test]
fn the_reading_to_set_says_which_part_of_which_band_it_is() {
    let why = |bike: &Bike| {
        let view = slack::view(bike, fitted(bike), Read::default()).expect("a view");
        (view.facts[0].reason.clone(), view.target_mm, view.band.from_to_mm)
    };
    let (sheet, target, [low, high]) = why(&bike(&[]));
    assert!(sheet.starts_with("middle of the band") && (target - f64::midpoint(low, high)).abs() < 1e-9, "{sheet}");
    let (own, target, [low, _]) = why(&bike(&["slack_mm_min", "slack_mm_max"]));
    assert!(own.starts_with("low end of the band") && (target - low).abs() < 1e-9, "{own}");
    let (more, target, [low, high]) =
        why(&set(bike(&["slack_stop_mm"]), &[("slack_mm_min", 60.0), ("slack_mm_max", 82.0)]));
    assert!(more.starts_with("above the middle") && target > f64::midpoint(low, high), "{more}");
}

#[test]
fn adjusters_that_do_not_go_alike_are_each_told_their_way() {
    let bike = set(bike(&[]), &[("track_mm", 225.0)]);
    let words = |slack_mm, sides: Option<[f64; 2]>| {
        let (left_mm, right_mm) = (sides.map(|[left, _]| left), sides.map(|[_, right]| right));
        let read = Read { slack_mm: None, left_mm, right_mm };
        adjust::with_skew(&bike, fitted(&bike), [slack_mm, 85.0], read).expect("turns")
    };
    assert!(words(72.0, None).words.contains("at each adjuster"));
    let skew = words(85.0, Some([605.0, 606.0]));
    assert!(skew.words.contains("left adjuster") && skew.words.contains("right adjuster"), "{}", skew.words);
    assert!(!skew.words.contains("at each adjuster"), "{}", skew.words);
    let [left, right] = skew.rounds.iter().fold([0.0, 0.0], |sum, round| [sum[0] + round[0], sum[1] + round[1]]);
    for (side, flats) in [("left", left), ("right", right)] {
        let way = if flats < 0.0 { "forward" } else { "back" };
        assert!(skew.words.contains(&format!("{side} adjuster {:.1} flats {way}", flats.abs())), "{}", skew.words);
    }
}

#[test]
fn what_cannot_be_dated_is_not_known_and_hides_nothing() {
    let bike = set(bike(&[]), &[(NO_OIL, 300.0)]);
    let oil = Fact::Work(upkeep::record::Work::new("gearbox-oil", "done").expect("a job"));
    let ride = |id, hours_h| Ride {
        id,
        name: "yard".into(),
        at: at("2026-08-04T18:00"),
        hours_h: Some(hours_h),
        ground: None,
        wet: None,
        odd: Some("clunk".into()),
    };
    let facts = || vec![("2026-08-04T09:00", meter(100.0)), ("2026-08-04T09:00", oil.clone())];
    let view = ready::view(&record(&bike, facts(), vec![ride(1, 0.01)]));
    let undated = view.reasons.iter().find(|reason| reason.text.starts_with("What is due not known"));
    assert_eq!(undated.map(|reason| reason.verdict), Some(Verdict::Unknown), "{:#?}", view.reasons);
    let view = ready::view(&record(&bike, facts(), vec![ride(1, 2.0)]));
    assert!(view.reasons.iter().any(|reason| reason.text.contains("clunk")), "{:#?}", view.reasons);
}

#[test]
fn a_reading_that_nothing_judges_is_not_ready_because_it_is_even() {
    let bare = bike(&["travel_mm", "slack_mm_min", "slack_mm_max", "slack_stop_mm"]);
    let record = record(&bare, vec![("2026-08-04T10:00", read(&[85.0, 85.5, 86.0, 85.5]))], Vec::new());
    let told = reading::view(&record, &record.log.entries()[0]).expect("a view").expect("a reading");
    assert!(told.reasons.iter().any(|reason| reason.text.contains("even")), "{:?}", told.reasons);
    assert_eq!(told.verdict, Verdict::Unknown, "{:?}", told.reasons);
}

#[test]
fn a_bike_without_its_geometry_is_not_ready_by_its_band_alone() {
    let bare = bike(&[NO_OIL, "slot_min_mm"]);
    let record = record(&bare, in_order(), Vec::new());
    let whole = decision::with_record(&record, None, None, ground::USUAL, Read::default()).expect("a view");
    assert_eq!((ready::view(&record).verdict, whole.verdict), (Verdict::Unknown, Verdict::Unknown));
}

#[test]
fn slack_that_is_too_tight_now_does_not_last_because_wear_lengthens_the_chain() {
    let bike = bike(&[]);
    let verdict = |slack_mm| {
        let asked = through::Asked { hours_h: Some(0.5), slack_mm: Some(slack_mm), ..through::Asked::default() };
        let mut facts = vec![
            ("2026-03-01T10:00", meter(0.0)),
            ("2026-03-01T10:01", Fact::Part(Part::new(Role::Chain, "c".into(), Some(118), 0.0, None).expect("a part"))),
        ];
        for (n, day) in (1_u32..).zip(["2026-04-01T10:00", "2026-05-01T10:00", "2026-06-01T10:00"]) {
            facts.extend([(day, meter(10.0 * f64::from(n))), (day, longer(0.05 * f64::from(n)))]);
        }
        through::view(&record(&bike, facts, Vec::new()), &asked).expect("an answer").verdict
    };
    assert_eq!(verdict(84.0), Verdict::Ready);
    assert_eq!(verdict(70.0), Verdict::Stop, "below the sheet's stop figure");
    assert_eq!(verdict(81.0), Verdict::Care, "tighter than the sheet's band");
}

#[test]
fn a_length_that_cannot_be_right_says_nothing_of_wear() {
    let bike = bike(&[]);
    let level = |facts| {
        let view = replace::view(&record(&bike, facts, Vec::new()), &replace::Asked::default()).expect("a view");
        view.parts[0].level
    };
    assert_eq!(level(vec![("2026-08-04T10:00", longer(-4.9))]), [0, AT_LIMIT], "miscounted by a pitch");
    assert_eq!(level(vec![("2026-08-04T10:00", longer(0.5))]), [3, 3]);
}

#[test]
fn what_a_meter_showed_before_it_was_noted_is_not_the_chains() {
    let bike = bike(&[]);
    let chain = Fact::Part(Part::new(Role::Chain, "c".into(), Some(118), 0.0, None).expect("a part"));
    let facts = vec![
        ("2026-05-01T10:00", chain),
        ("2026-05-02T10:00", meter(200.0)),
        ("2026-06-01T10:00", meter(210.0)),
        ("2026-06-01T10:10", longer(0.3)),
    ];
    let points = forecast::points(&record(&bike, facts, Vec::new())).expect("points");
    let [point] = points.as_slice() else { unreachable!("one reading: {points:?}") };
    assert!((point.hours_h - 10.0).abs() < 1e-9, "{points:?}");
}

#[test]
fn minutes_that_nobody_knows_are_not_added_up_as_none() {
    let bike = bike(&[NO_OIL]);
    let mut short = bike.clone();
    let links = Change { field: "links".to_owned(), value: Some(Value::Whole(114)), source: None };
    short.change(&[links]).expect("a sheet");
    let view = ready::view(&record(&short, in_order(), Vec::new()));
    assert!(view.reasons.iter().any(|reason| reason.verdict == Verdict::Stop && reason.clear.is_none()));
    assert!(!view.sentence.contains("about"), "{}", view.sentence);
    let view = ready::view(&record(&bike, Vec::new(), Vec::new()));
    assert!(view.sentence.contains("2 reasons to clear, about 8 min"), "{}", view.sentence);
}

#[test]
fn a_joint_that_nobody_looked_at_is_no_clip() {
    let bare = bike(&["joint"]);
    let setup = fitted(&bare);
    let plan = plan::view(&bare, setup.pair(13, 50).with_links(116), &Wish::default()).expect("a plan");
    let spec = plan.spec("chain");
    assert!(spec.contains("not on the sheet") && !spec.contains("clip joint"), "{spec}");
    let link = plan.spec("connecting link");
    assert!(link.is_empty() || link.contains("not on the sheet"), "{link}");
}

#[test]
fn a_delivery_time_that_nobody_said_is_no_number() {
    let bike = bike(&[]);
    let plan = plan::view(&bike, fitted(&bike).pair(13, 48), &Wish::default()).expect("a plan");
    let lead = |lies: &[Supply]| {
        let day = at("2026-08-01T09:00").date();
        let shelf = Shelf::of(lies.iter().map(|supply| (day, supply)));
        let asked = supplies::Asked { shelf: &shelf, today: day, needed: None, order: None };
        let view = supplies::view(&plan, asked).expect("a list");
        let fact = view.facts.into_iter().find(|fact| fact.key == "lead_d").expect("a delivery");
        (fact.text, fact.value)
    };
    assert_eq!(lead(&[]), ("not known".to_owned(), None));
    let said = [Event::Price(2000, 2000, "EUR".into()), Event::Lead(4)];
    let said = said.map(|event| Supply::new("front sprocket", event).expect("said"));
    assert_eq!(lead(&said).1, Some(4.0));
}
