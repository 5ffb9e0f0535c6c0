//! A whole order told step by step: what is shown, what the clock says, what closing would write; kept as read text.

use advice::Block;
use advice::bench::take::{Trouble, TypedHold, TypedStep, take};
use advice::bench::{clock, close, offer, step, view};
use serde::Serialize;
use upkeep::job::handbook::shipped;
use upkeep::record::{Entry, Fact, Log, Part, Role};

use super::{Room, at};

fn block(block: &Block<'_>) -> String {
    match block {
        Block::Reasons(reasons) => {
            reasons.iter().map(|reason| format!("! {:?} {}\n", reason.verdict, reason.text)).collect()
        }
        Block::List(items) => items.iter().map(|item| format!("- {item}\n")).collect(),
        Block::Text(words) => format!("> {words}\n"),
        other => format!("{other:?}\n"),
    }
}

fn json<T: Serialize>(value: &T) -> String {
    serde_json::to_string(value).expect("it can be written")
}

fn troubles(told: &[Trouble]) -> String {
    told.iter().map(|one| format!("x {}: {}\n", one.field, one.text)).collect()
}

/// What is said of each way to answer a step wrongly.
fn wrongly(room: &Room, typed: &TypedStep) -> String {
    let laid = room.laid();
    let answered = |value: &str| {
        let hold = |(id, hold): &(String, TypedHold)| {
            (id.clone(), TypedHold { value: value.to_owned(), passes: String::new(), ..hold.clone() })
        };
        TypedStep { holds: typed.holds.iter().map(hold).collect(), ..typed.clone() }
    };
    let mut ways = vec![TypedStep { read: Vec::new(), ..typed.clone() }];
    if !typed.holds.is_empty() {
        ways.extend(["", "no", "maybe", "-5", "1e9", "70", "12 Nm"].map(answered));
    }
    ways.iter()
        .map(|typed| match take(&room.desk(), &laid, typed) {
            Ok(what) => format!("takes {} lines\n", what.len()),
            Err(told) => troubles(&told),
        })
        .collect()
}

fn walked(name: &str, jobs: &[&str]) {
    let mut room = Room::of(jobs);
    let mut text = String::new();
    for minute in 0..80 {
        let laid = room.laid();
        let Some(token) = laid.sheet.steps.get(laid.done()).map(|step| step.token.clone()) else { break };
        text.push_str(&format!("=== {token}\n"));
        let shown = step::view(&room.desk(), &laid, laid.done()).expect("a step");
        text.extend(shown.blocks().iter().map(block));
        text.push_str(&format!("{}\n", json(&shown.blanks)));
        let typed = room.right(&laid, &token);
        text.push_str(&wrongly(&room, &typed));
        let told = clock::view(&room.desk(), &laid, (minute % 3 == 0).then(|| at("2026-09-24T18:30")));
        text.extend(told.lines().iter().map(|line| format!("{line}\n")));
        room.now = at(&format!("2026-09-24T{:02}:{:02}", 17 + minute / 10, minute % 10 * 6));
        room.next().expect("it goes on");
    }
    let whole = view(&room.desk()).expect("a view");
    text.extend(whole.blocks().iter().map(block));
    text.push_str(&json(&whole.list));
    let closing = close::view(&room.desk(), &room.laid());
    text.extend(closing.blocks().iter().map(block));
    text.push_str(&format!("{}\n", json(&closing)));
    insta::with_settings!({ omit_expression => true, prepend_module_to_snapshot => false }, {
        insta::assert_snapshot!(name, text);
    });
}

#[test]
fn a_set_from_the_first_step_to_the_last() {
    walked("bench_set", &["final-drive-set"]);
}

#[test]
fn slack_alone_from_the_first_step_to_the_last() {
    walked("bench_slack", &["chain-slack"]);
}

#[test]
fn what_is_cheap_while_it_is_open() {
    let part = Part::new(Role::Other, "countershaft seal, old".into(), None, 0.0, Some((1400, "EUR".into())));
    let fact = Fact::Part(part.expect("a part"));
    let entry = Entry { id: 1, change: 1, at: at("2026-03-01T09:00"), corrects: None, note: None, fact };
    let choices = vec![("front-retention".to_owned(), "nut".to_owned())];
    let mut text = String::new();
    for jobs in [&["final-drive-set"][..], &["rear-tyre"], &["top-end-4t"]] {
        for log in [Log::default(), Log::new(vec![entry.clone()], Vec::new())] {
            let offers = offer::view(shipped(), jobs, &choices, &log).expect("offers");
            text.extend(offers.iter().map(|one| format!("{}\n", json(one))));
            text.push_str(&format!("{}\n", json(&offer::table(&offers))));
        }
    }
    insta::with_settings!({ omit_expression => true, prepend_module_to_snapshot => false }, {
        insta::assert_snapshot!("bench_offers", text);
    });
}
