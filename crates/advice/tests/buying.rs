//! Before buying: what fits, what does not, what nobody can say; what else goes with it; money by hour.

use std::path::Path;

use advice::Verdict;
use advice::buying::{Asked, BuyView, What, view};
use advice::record::Record;
use jiff::civil::DateTime;
use upkeep::bike::{Bike, Value};
use upkeep::record::{ElongationReading, Entry, Fact, Log, Meter, Part, Role};
use upkeep::supply::{Event, Shelf, Supply};

fn bike(guide_mm: Option<f64>, case_mm: Option<f64>) -> Bike {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../data/bikes/alder-350.toml");
    let mut bike = Bike::from_toml(&std::fs::read_to_string(path).expect("the file is there")).expect("it reads");
    for (field, value) in [("guide_width_mm", guide_mm), ("case_gap_mm", case_mm)] {
        let change = upkeep::bike::Change { field: field.into(), value: value.map(Value::Number), source: None };
        bike.change(&[change]).expect("possible");
    }
    bike
}

fn at(text: &str) -> DateTime {
    text.parse().expect("a time")
}

fn log(facts: &[(&str, Fact)]) -> Log {
    let entry = |(id, (when, fact)): (i64, &(&str, Fact))| Entry {
        id,
        change: id,
        at: at(when),
        corrects: None,
        note: None,
        fact: fact.clone(),
    };
    Log::new((1..).zip(facts).map(entry).collect(), Vec::new())
}

fn asked_on(bike: &Bike, log: &Log, asked: &Asked) -> BuyView {
    let record = Record::new(bike, log, at("2026-09-24T18:00"));
    view(&record, &Shelf::default(), asked).expect("an answer")
}

fn answer(asked: &Asked) -> BuyView {
    asked_on(&bike(Some(30.0), Some(16.0)), &log(&[]), asked)
}

/// A sealed chain like the fitted one, everything said.
fn chain() -> Asked {
    Asked {
        links: Some(118),
        size: Some("520".into()),
        sealed: Some(true),
        joint: Some("clip".into()),
        outer_width_mm: Some(24.0),
        ..Asked::of(What::Chain)
    }
}

fn says(view: &BuyView, verdict: Verdict, words: &str) -> bool {
    view.reasons.iter().any(|reason| reason.verdict == verdict && reason.text.contains(words))
}

#[test]
fn a_chain_of_which_everything_is_said_fits_with_air_on_each_side() {
    let view = answer(&chain());
    assert_eq!(view.verdict, Verdict::Ready, "{:?}", view.reasons);
    let air = |key: &str| view.facts.iter().find(|fact| fact.key == key).and_then(|fact| fact.value);
    // (30 − 24) / 2 in the guide; 16 − 24 / 2 from the middle of the teeth to the case.
    assert_eq!((air("guide_air_mm"), air("case_air_mm")), (Some(3.0), Some(4.0)));
}

#[test]
fn without_the_room_or_the_width_it_is_not_known_and_never_ready() {
    for (guide, case) in [(None, Some(16.0)), (Some(30.0), None)] {
        let view = asked_on(&bike(guide, case), &log(&[]), &chain());
        assert_eq!(view.verdict, Verdict::Unknown, "{:?}", view.reasons);
        let clears = view.reasons.iter().find_map(|reason| reason.clear.as_ref()).expect("what clears it");
        assert!(clears.place.starts_with("bike") && !clears.act.is_empty());
    }
    assert!(says(&answer(&Asked { outer_width_mm: None, ..chain() }), Verdict::Unknown, "sealed chain is wider"));
    assert!(says(&answer(&Asked { size: None, ..chain() }), Verdict::Unknown, "size is not said"));
    let plain = answer(&Asked { outer_width_mm: None, sealed: Some(false), ..chain() });
    assert_eq!(plain.verdict, Verdict::Ready, "plain for sealed of one size is no wider: {:?}", plain.reasons);
}

#[test]
fn a_chain_too_wide_for_guide_or_case_does_not_fit_and_a_close_one_asks_for_care() {
    let at_width = |wide| answer(&Asked { outer_width_mm: Some(wide), ..chain() });
    assert_eq!(at_width(28.5).verdict, Verdict::Care);
    assert!(says(&at_width(28.5), Verdict::Care, "0.8 mm of air at the chain guide"), "{:?}", at_width(28.5).reasons);
    assert!(says(&at_width(30.0), Verdict::Stop, "does not pass the chain guide"));
    assert!(says(&at_width(32.5), Verdict::Stop, "does not pass the engine case"));
}

#[test]
fn links_are_named_that_the_pair_takes_and_an_odd_count_is_refused() {
    let long = answer(&Asked { links: Some(120), ..chain() });
    assert!(says(&long, Verdict::Stop, "1.2 mm past the rear stop"), "{:?}", long.reasons);
    assert!(long.chain.contains("14/48 takes 118 links"), "{}", long.chain);
    let open = answer(&Asked { links: None, rear_teeth: Some(52), ..chain() });
    assert_eq!(open.setup.links, 120, "the count that fits is taken where none is said");
    assert!(open.sentence.contains("Order 120 links"), "{}", open.sentence);
    let (bike, log) = (bike(None, None), log(&[]));
    let record = Record::new(&bike, &log, at("2026-09-24T18:00"));
    let odd = view(&record, &Shelf::default(), &Asked { links: Some(117), ..chain() }).expect_err("odd");
    assert_eq!((odd.field.as_str(), odd.missing), ("links", false));
}

#[test]
fn a_larger_rear_sprocket_brings_its_chain_and_says_how_far_it_stands_out() {
    let view = answer(&Asked { rear_teeth: Some(52), size: Some("520".into()), ..Asked::of(What::Rear) });
    assert_eq!(view.verdict, Verdict::Stop);
    let along: Vec<&str> = view.along.rows.iter().map(|row| row[0].text.as_str()).collect();
    assert!(along.contains(&"chain of 120 links"), "{along:?}");
    assert!(along.iter().any(|role| role.contains("rear sprocket bolts and nuts")), "{along:?}");
    let larger = answer(&Asked { rear_teeth: Some(51), size: Some("520".into()), ..Asked::of(What::Rear) });
    let growth = larger.facts.iter().find(|fact| fact.key == "radius_growth_mm").and_then(|fact| fact.value);
    // The worked example of three teeth more.
    assert!((growth.expect("known") - 7.574_654).abs() < 0.02, "{growth:?}");
}

#[test]
fn sizes_run_loose_or_not_at_all_and_a_caliper_finds_the_number() {
    let sprocket = |size: &str| answer(&Asked { size: Some(size.into()), ..Asked::of(What::Rear) });
    assert!(says(&sprocket("525"), Verdict::Stop, "tooth is too wide"), "{:?}", sprocket("525").reasons);
    let wide = answer(&Asked { size: Some("525".into()), ..chain() });
    assert!(says(&wide, Verdict::Care, "runs loose"), "{:?}", wide.reasons);
    let by_caliper =
        |pitch, width| answer(&Asked { size: None, pitch_mm: Some(pitch), inner_width_mm: Some(width), ..chain() });
    assert_eq!(by_caliper(15.9, 6.4).verdict, Verdict::Ready);
    assert!(says(&by_caliper(12.7, 7.8), Verdict::Stop, "another pitch"));
    assert!(says(&by_caliper(14.0, 6.0), Verdict::Unknown, "No size in the tables"));
}

#[test]
fn a_riveted_joint_asks_for_its_tool_until_one_is_noted() {
    let riveted = Asked { joint: Some("rivet".into()), ..chain() };
    assert!(says(&answer(&riveted), Verdict::Care, "press and rivet tool"));
    let has = Supply::new("chain press and rivet tool", Event::Counted(1)).expect("possible");
    let shelf = Shelf::of([(at("2026-09-01T10:00").date(), &has)]);
    let (bike, log) = (bike(Some(30.0), Some(16.0)), log(&[]));
    let record = Record::new(&bike, &log, at("2026-09-24T18:00"));
    assert_eq!(view(&record, &shelf, &riveted).expect("an answer").verdict, Verdict::Ready);
    let link = answer(&riveted).along.rows.into_iter().find(|row| row[0].text.contains("connecting link"));
    let link = link.expect("a link");
    assert!(link[1].text.contains("rivet type") && link[1].text.contains("4 seal rings"), "{link:?}");
    // Why there are two stands beside them.
    assert!(link[0].text.starts_with("2 ×") && link[1].text.contains("One to fit, one spare to carry"), "{link:?}");
}

#[test]
fn a_chain_whose_joint_is_not_said_asks_for_its_link_once() {
    let links = |asked: &Asked| {
        let rows = answer(asked).along.rows;
        rows.into_iter().filter(|row| row[0].text.contains("connecting link")).collect::<Vec<_>>()
    };
    let open = links(&Asked { joint: None, ..chain() });
    assert!(open.len() == 1 && open[0][1].text.contains("is not said"), "{open:?}");
    let said = links(&chain());
    assert!(said.len() == 1 && !said[0][1].text.contains("is not said"), "{said:?}");
}

fn part(role: Role, count: u32, name: &str, price: Option<i64>) -> Fact {
    let price = price.map(|minor| (minor, "EUR".to_owned()));
    Fact::Part(Part::new(role, name.to_owned(), Some(count), 0.0, price).expect("a part"))
}

fn meter(hours: f64) -> Fact {
    Fact::Meter(Meter::read(hours).expect("hours"))
}

#[test]
fn an_hour_of_it_is_weighed_against_whole_lives_only() {
    let priced = Asked {
        rear_teeth: None,
        size: Some("520".into()),
        price_minor: [None, None, Some((3600, "EUR".into()))],
        ..Asked::of(What::Rear)
    };
    let none = answer(&priced);
    assert_eq!(none.worth.rows[0][3].text, "no claim", "{:?}", none.worth.rows);
    let ran = log(&[
        ("2025-01-01T10:00", meter(10.0)),
        ("2025-01-01T10:01", part(Role::Rear, 48, "steel", Some(4800))),
        ("2026-01-01T10:00", meter(120.0)),
        ("2026-01-01T10:01", part(Role::Rear, 48, "second", None)),
    ]);
    let worth = asked_on(&bike(Some(30.0), Some(16.0)), &ran, &priced).worth;
    // 48 over the 110 h that it ran; the offer over the same 110 h.
    assert_eq!(worth.rows[1][3].text, "0.44 EUR", "{:?}", worth.rows);
    assert_eq!(worth.rows[0][3].text, "0.33 EUR");
    assert_eq!(worth.rows.len(), 2, "what is fitted still has not lived its life");
}

/// A chain 1.4 % longer than new.
fn worn() -> ElongationReading {
    ElongationReading::new(20, vec![vec![322.0]; 3], 0.05, 0.1).expect("a reading")
}

#[test]
fn a_new_part_on_a_worn_one_is_said() {
    let ran = log(&[
        ("2025-01-01T10:00", meter(10.0)),
        ("2025-01-01T10:01", part(Role::Chain, 118, "old", None)),
        ("2026-01-01T10:00", meter(90.0)),
        ("2026-01-01T10:02", Fact::Elongation(worn())),
    ]);
    let front = Asked { size: Some("520".into()), ..Asked::of(What::Front) };
    let view = asked_on(&bike(None, None), &ran, &front);
    assert!(says(&view, Verdict::Care, "The chain that stays"), "{:?}", view.reasons);
    assert!(view.along.rows.iter().any(|row| row[0].text == "new chain"), "{:?}", view.along.rows);
}

#[test]
fn a_bike_without_its_slot_measured_is_asked_for_it() {
    let mut bike = bike(Some(30.0), Some(16.0));
    let change = upkeep::bike::Change { field: "slot_max_mm".into(), value: None, source: None };
    bike.change(&[change]).expect("possible");
    let view = asked_on(&bike, &log(&[]), &chain());
    assert_eq!(view.verdict, Verdict::Unknown);
    assert!(view.chain.is_empty() && says(&view, Verdict::Unknown, "Where the axle would land is not known"));
}

#[test]
fn prices_decide_whether_what_stays_should_be_new_as_well() {
    let ran = log(&[
        ("2025-01-01T10:00", meter(10.0)),
        ("2025-01-01T10:01", part(Role::Chain, 118, "old", None)),
        ("2025-01-01T10:02", part(Role::Front, 14, "old", None)),
        ("2025-01-01T10:03", part(Role::Rear, 48, "old", None)),
        ("2026-01-01T10:00", meter(90.0)),
        ("2026-01-01T10:02", Fact::Elongation(worn())),
    ]);
    let euro = |amount: i64| Some((100 * amount, "EUR".to_owned()));
    let with = |price_minor| asked_on(&bike(None, None), &ran, &Asked { price_minor, ..chain() });
    let words = "The front sprocket that stays: the decision about the set takes it new as well";
    let priced = with([euro(90), euro(25), euro(60)]);
    assert!(says(&priced, Verdict::Care, words), "{:?}", priced.reasons);
    assert!(priced.along.rows.iter().any(|row| row[0].text == "new front sprocket"), "{:?}", priced.along.rows);
    let open = with([euro(90), None, None]);
    assert!(!says(&open, Verdict::Care, "takes it new as well"), "without its price nothing is decided");
}
