//! The views of a bike's sheet and a question: fit, slack, pairs, wishes, plans, parts, pictures.

use advice::alike::{self, By};
use advice::buying::{self, Asked as Bought, What};
use advice::plan::{self, PlanView, Wish};
use advice::record::Record;
use advice::slack::{self, Read};
use advice::{Gap, Setup, adjust, decision, fit, gearing, geometry, ground, map, picture, sheet_band, supplies, wish};
use jiff::civil::{Date, date};
use upkeep::bike::{Bike, Value};
use upkeep::job::bench::{Manual, Said};
use upkeep::record::SlackKind;
use upkeep::supply::{Event, Shelf, Supply};

use crate::held;
use crate::records::{bike, change, sound};
use crate::tell::{block, plain, told, value};

/// The demo's bikes, whole and with something left out or different.
fn bikes() -> Vec<(String, Bike)> {
    let mut bikes = vec![("alder".to_owned(), bike("alder-350")), ("sorrel".to_owned(), bike("sorrel-250"))];
    for field in [
        "slider_radius_mm",
        "slot_min_mm",
        "arm_mm",
        "pitch_mm",
        "links",
        "gears",
        "rollout_m",
        "max_rpm",
        "joint",
        "thread_pitch_mm",
        "size",
        "curve",
        "mass_kg",
        "track_mm",
        "slack_mm_min",
        "slack_stop_mm",
        "travel_mm",
        "limit_pct",
        "rear_fasteners",
    ] {
        let mut bike = bike("alder-350");
        change(&mut bike, field, None);
        bikes.push((format!("alder without {field}"), bike));
    }
    let mut banded = bike("alder-350");
    change(&mut banded, "slack_mm_min", Some(Value::Number(84.0)));
    change(&mut banded, "slack_mm_max", Some(Value::Number(92.0)));
    bikes.push(("alder with a band".to_owned(), banded));
    bikes
}

/// What a view says of every bike, or of those alone whose name ends with one of these words.
fn each(name: &str, ends: &[&str], say: impl Fn(&Bike, Setup) -> Vec<String>) {
    let wanted = |(name, _): &(String, Bike)| ends.is_empty() || ends.iter().any(|end| name.ends_with(end));
    let said = bikes().into_iter().filter(wanted).map(|(name, bike)| match Setup::fitted(&bike) {
        Ok(fitted) => (name, say(&bike, fitted)),
        Err(gap) => (name, value(&gap)),
    });
    held(name, &said.collect::<Vec<_>>());
}

#[test]
fn whether_it_fits() {
    each("fit", &[], |bike, fitted| {
        let tried = [
            fitted,
            fitted.pair(13, 49),
            fitted.pair(14, 52),
            fitted.pair(15, 44),
            fitted.with_links(fitted.links - 1),
            fitted.with_links(fitted.links + 2),
        ];
        tried.iter().flat_map(|setup| told(&fit::view(bike, *setup), fit::FitView::blocks)).collect()
    });
}

#[test]
fn which_setups_fit_at_all() {
    each("map", &["alder", "sorrel", "slot_min_mm", "pitch_mm"], |bike, fitted| {
        told(&map::view(bike, fitted), map::MapView::blocks)
    });
}

#[test]
fn how_much_slack() {
    each(
        "slack",
        &[
            "alder",
            "band",
            "arm_mm",
            "slot_min_mm",
            "thread_pitch_mm",
            "track_mm",
            "slack_mm_min",
            "slack_stop_mm",
            "slider_radius_mm",
        ],
        |bike, fitted| {
            let read = |slack_mm| Read { slack_mm: Some(slack_mm), ..Read::default() };
            let mut lines = told(&slack::view(bike, fitted, Read::default()), slack::SlackView::blocks);
            for read in [read(88.0), read(72.0), read(120.0), read(0.0)] {
                lines.extend(told(&slack::view(bike, fitted, read), slack::SlackView::blocks));
            }
            let sides = Read { slack_mm: Some(75.0), left_mm: Some(605.0), right_mm: Some(606.5) };
            lines.extend(told(&slack::view(bike, fitted.pair(13, 50), sides), slack::SlackView::brief));
            lines.extend(plain(&slack::band(bike, fitted)));
            lines.push(format!("{:?}", slack::setting(bike, fitted).map(|setting| setting.reasons)));
            lines.extend(plain(&adjust::adjust(bike, fitted, 70.0, 90.0)));
            lines.extend(plain(&adjust::adjust(bike, fitted, 95.0, 90.0)));
            lines
        },
    );
}

#[test]
fn what_a_sheets_own_band_says() {
    let (_, banded) = bikes().pop().expect("the one with a band");
    let said = [0.0, 79.9, 80.0, 83.9, 84.0, 88.0, 92.0, 92.1, 100.0].map(|slack_mm| {
        let lines = [SlackKind::Free, SlackKind::Gap].map(|kind| {
            let mut lines = value(&sheet_band::against(&banded, kind, slack_mm));
            lines.extend(value(&sheet_band::alone(&banded, kind, slack_mm)));
            lines.push(format!("{:?}", sheet_band::of(&banded, kind)));
            lines
        });
        (slack_mm.to_string(), lines.concat())
    });
    held("sheet_band", &said);
}

#[test]
fn which_pair() {
    each("gearing", &[], |bike, _| told(&gearing::view(bike, None, ground::USUAL), gearing::GearingView::blocks));
}

#[test]
fn the_whole_answer_without_a_record() {
    each("decision_alone", &["alder", "links", "gears", "arm_mm"], |bike, fitted| {
        let read = Read { slack_mm: Some(80.0), ..Read::default() };
        let wanted = Some(fitted.pair(13, 48));
        let mut lines = told(&decision::view(bike, None, None, ground::USUAL, read), decision::DecisionView::blocks);
        lines.extend(
            decision::view(bike, wanted, None, ground::USUAL, Read::default())
                .map_or_else(|gap| value(&gap), |view| view.blocks().iter().flat_map(block).collect()),
        );
        lines
    });
}

#[test]
fn a_pair_for_a_wish() {
    each("wish", &["alder", "slot_min_mm", "gears", "max_rpm"], |bike, _| {
        let wishes = [(4.5, None), (7.0, Some(110.0)), (3.0, Some(150.0)), (9.0, Some(80.0))];
        let shelf = advice::shelf::Shelf::of(&[13, 50, 116]);
        wishes
            .iter()
            .flat_map(|(crawl_kmh, top_kmh)| {
                let wish = wish::Wish { crawl_kmh: *crawl_kmh, top_kmh: *top_kmh };
                told(&wish::view(bike, wish, &shelf), wish::WishView::blocks)
            })
            .collect()
    });
}

#[test]
fn a_pair_to_be_geared_like_another_bike() {
    let sorrel = bike("sorrel-250");
    each("alike", &[], |bike, _| {
        [By::Speed, By::Thrust]
            .iter()
            .flat_map(|by| told(&alike::view(bike, &sorrel, *by, None), alike::AlikeView::blocks))
            .collect()
    });
}

#[test]
fn what_readings_along_the_travel_tell() {
    let readings = [
        vec![[0.0, 88.8], [50.0, 69.5], [100.0, 52.0], [150.0, 41.3], [200.0, 45.1], [240.0, 55.9]],
        vec![[0.0, 88.8], [100.0, 52.0], [200.0, 45.1]],
        vec![[0.0, 88.8]],
    ];
    each("geometry", &["alder", "arm_mm", "slider_radius_mm"], |bike, _| {
        let mut lines = Vec::new();
        for readings_mm in &readings {
            for fits_slider in [false, true] {
                let asked = geometry::Asked { readings_mm: readings_mm.clone(), fits_slider };
                lines.extend(told(&geometry::view(bike, &asked, date(2026, 9, 24)), geometry::GeometryView::blocks));
            }
        }
        lines
    });
}

fn wish_of(jobs: &[&str]) -> Wish {
    let choices = vec![("front-retention".to_owned(), "nut".to_owned())];
    Wish { jobs: jobs.iter().map(|job| (*job).to_owned()).collect(), choices, manual: Vec::new() }
}

#[test]
fn jobs_planned() {
    let bike = bike("alder-350");
    let fitted = Setup::fitted(&bike).expect("a setup");
    let jobs = ["final-drive-set", "chain-slack", "rear-tyre", "countershaft-seal", "valve-clearance"];
    let said = jobs.map(|id| {
        let view = plan::view(&bike, fitted, &wish_of(&[id]));
        let words = |view: PlanView| view.blocks().iter().flat_map(block).collect::<Vec<_>>();
        (
            id.to_owned(),
            if id == "final-drive-set" { told(&view, PlanView::blocks) } else { words(view.expect("a plan")) },
        )
    });
    held("plan", &said);
}

#[test]
fn a_change_of_the_pair_planned() {
    each("plan_pairs", &["alder", "joint", "front_retention", "slot_min_mm"], |bike, fitted| {
        let mut lines = Vec::new();
        for setup in
            [fitted, fitted.pair(13, 48), fitted.pair(14, 50), fitted.pair(13, 50).with_links(fitted.links + 2)]
        {
            let wish = Wish {
                manual: vec![
                    Manual::new("rear-axle-torque", Said::Number { low: 91.0, high: 97.0 }, "manual, p. 40")
                        .expect("a figure"),
                ],
                ..Wish::default()
            };
            let view = plan::view(bike, setup, &wish);
            lines.extend(
                view.as_ref()
                    .map_or_else(value, |view| view.brief().iter().chain(&view.blocks()).flat_map(block).collect()),
            );
            lines.push(format!("{:?} {:?}", plan::jobs_for(fitted, setup), plan::answers(bike, &wish)));
        }
        lines
    });
}

/// A shelf with something of everything.
fn laid() -> Shelf {
    let day = |text: &str| -> Date { text.parse().expect("a day") };
    let facts: Vec<(Date, Supply)> = [
        ("2026-09-01", "chain", Event::Put(1)),
        ("2026-09-01", "chain", Event::Price(9200, 9900, "EUR".into())),
        ("2026-09-01", "front sprocket", Event::Ordered(1)),
        ("2026-09-01", "front sprocket", Event::Lead(9)),
        ("2026-09-01", "rear sprocket", Event::Counted(0)),
        ("2026-09-01", "rear sprocket", Event::Price(4800, 4800, "EUR".into())),
        ("2026-09-01", "rear sprocket", Event::Lead(2)),
        ("2026-09-02", "connecting link", Event::Put(3)),
        ("2026-09-03", "connecting link", Event::Taken(1)),
        ("2026-09-03", "threadlocker, medium", Event::Put(1)),
        ("2026-09-03", "threadlocker, medium", Event::UseBy(day("2026-08-31"))),
        ("2026-09-03", "countershaft seal", Event::Chance(5.0, 15.0)),
        ("2026-09-03", "countershaft seal", Event::Price(1200, 1600, "EUR".into())),
        ("2026-09-03", "a spare lever", Event::Put(2)),
        ("2026-09-03", "gearbox oil", Event::Price(1800, 1800, "CHF".into())),
    ]
    .into_iter()
    .map(|(when, role, event)| (day(when), Supply::new(role, event).expect("a supply")))
    .collect();
    Shelf::of(facts.iter().map(|(day, supply)| (*day, supply)))
}

#[test]
fn which_parts_are_there() {
    let bike = bike("alder-350");
    let fitted = Setup::fitted(&bike).expect("a setup");
    let (full, empty) = (laid(), Shelf::default());
    let today = date(2026, 9, 24);
    let mut said = Vec::new();
    for jobs in [vec!["final-drive-set"], vec!["gearbox-oil", "rear-tyre"], vec!["countershaft-seal"], vec![]] {
        for (shelf, needed, order) in [
            (&empty, None, None),
            (&full, None, Some(4)),
            (&full, Some(date(2026, 9, 26)), None),
            (&full, Some(date(2026, 9, 24)), None),
            (&full, Some(date(2026, 10, 30)), Some(4)),
        ] {
            let asked = supplies::Asked { shelf, today, needed, order };
            let view = supplies::of_wish(&bike, fitted.pair(13, 48), &wish_of(&jobs), asked);
            said.push((format!("{jobs:?} {needed:?} {order:?}"), told(&view, supplies::PartsView::blocks)));
        }
    }
    held("supplies", &said);
    let items: Vec<String> = full.items().map(|(role, item)| format!("{role}: {}", supplies::standing(item))).collect();
    held("supplies_shelf", &[("all".to_owned(), items)]);
}

#[test]
fn what_is_thought_of_buying() {
    let state = sound("sound", "2026-08-04T10:00 elongation 20 319.4 319.5 319.4\n");
    let mut said = Vec::new();
    let mut ask = |name: &str, asked: Bought| {
        let view = buying::view(&state.record(), &laid(), &asked);
        said.push((name.to_owned(), told(&view, buying::BuyView::blocks)));
    };
    for what in ["chain", "front", "rear", "sprockets", "set"] {
        let what = What::of(what).expect("it can be bought");
        ask(what.words(), Bought::of(what));
    }
    let chain = Bought::of(What::Chain);
    let full = Bought {
        links: Some(120),
        size: Some("520".into()),
        sealed: Some(true),
        joint: Some("clip".into()),
        outer_width_mm: Some(24.0),
        price_minor: [Some((9000, "EUR".into())), None, None],
        lead_d: Some(5),
        ..chain.clone()
    };
    ask("a chain, everything said", full.clone());
    ask("a rivet joint", Bought { joint: Some("rivet".into()), ..full.clone() });
    ask("an endless one", Bought { joint: Some("endless".into()), ..full.clone() });
    ask("another size", Bought { size: Some("428".into()), ..full.clone() });
    ask("by caliper", Bought { size: None, pitch_mm: Some(15.9), inner_width_mm: Some(6.4), ..full.clone() });
    ask("wide", Bought { outer_width_mm: Some(30.0), ..full.clone() });
    ask("too short", Bought { links: Some(112), sealed: Some(false), ..full.clone() });
    ask("odd", Bought { links: Some(119), ..full });
    let euro = |amount| Some((amount, "EUR".to_owned()));
    ask(
        "a set with other teeth",
        Bought {
            front_teeth: Some(13),
            rear_teeth: Some(50),
            links: Some(120),
            price_minor: [euro(9000), euro(2500), euro(6000)],
            lead_d: Some(20),
            ..Bought::of(What::Set)
        },
    );
    held("buying", &said);
    let bare = Record::new(&state.bike, &crate::records::log(""), state.now);
    let view = buying::view(&bare, &Shelf::default(), &Bought::of(What::Set));
    held("buying_bare", &[("nothing recorded".to_owned(), told(&view, buying::BuyView::blocks))]);
}

#[test]
fn every_picture() {
    each("pictures", &[], |bike, fitted| {
        let mut lines = Vec::new();
        for (token, full) in [
            ("do:rear-sprocket-swap", &[][..]),
            ("do:measure-drivetrain", &["pinch"]),
            ("do:count-twice", &[]),
            ("close:chain-open", &[]),
            ("do:nip-axle", &["pinch"]),
            ("do:chain-slack-set", &[]),
        ] {
            for name in picture::names_for(bike, token, full) {
                lines.push(format!("{token} {name}"));
                lines.extend(picture::of(name, bike, fitted).map_or_else(|| vec!["none".to_owned()], |it| value(&it)));
            }
        }
        lines
    });
}

#[test]
fn one_setup_against_another() {
    each("swap", &[], |bike, fitted| {
        let slot = fit::Slot::of(bike).ok();
        [fitted, fitted.pair(13, 48), fitted.pair(15, 51), fitted.pair(14, 49), fitted.pair(14, 47)]
            .iter()
            .flat_map(|to| {
                let swap: Result<_, Gap> = gearing::swap(fitted, *to, slot.as_ref());
                let mut lines = plain(&swap);
                lines.extend(swap.map(|swap| swap.chain_words()));
                lines
            })
            .collect()
    });
}
