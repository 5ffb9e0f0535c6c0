//! What the trade does at the final drive, held by the plans and texts of the carried library.
//! All of it: common practice, no source.

use upkeep::job::{Known, SheetStep, Verb, WorkSheet, sheet, shipped};
use upkeep::torque::star_order;

fn set(retention: &str) -> WorkSheet<'static> {
    let choices = [("front-retention", retention)];
    sheet(shipped(), &["final-drive-set"], &choices, &Known::default()).expect("the set can be done")
}

fn step<'s>(sheet: &'s WorkSheet<'static>, token: &str) -> &'s SheetStep<'static> {
    sheet.steps.iter().find(|step| step.token == token).unwrap_or_else(|| unreachable!("{token}"))
}

fn ids(sheet: &WorkSheet<'static>) -> Vec<&'static str> {
    sheet.steps.iter().filter(|step| step.verb == Verb::Do).map(|step| step.id).collect()
}

#[test]
fn the_rear_fasteners_get_medium_threadlocker_and_a_crossing_order() {
    let sheet = set("nut");
    assert!(sheet.consumables.contains(&"threadlocker, medium"));
    let swap = step(&sheet, "do:rear-sprocket-swap");
    assert!(
        swap.text.contains("star order in stages") && swap.cautions.iter().any(|one| one.caution.id == "threadlocker")
    );
    // Each next fastener lies across the circle, never beside the last one.
    for bolts in [5_u32, 6, 8] {
        let order = star_order(bolts);
        for pair in order.windows(2) {
            let apart = pair[0].abs_diff(pair[1]);
            let around = apart.min(bolts - apart);
            assert!(around > 1, "{bolts}: {order:?}");
        }
    }
}

#[test]
fn a_ring_and_a_nut_have_other_steps() {
    let (nut, ring) = (ids(&set("nut")), ids(&set("snap-ring")));
    assert!(nut.contains(&"crack-front-sprocket-nut") && nut.contains(&"final-front-sprocket-nut"));
    assert!(!ring.iter().any(|id| id.contains("sprocket-nut")));
    assert!(step(&set("snap-ring"), "close:front-sprocket-off").text.contains("whole groove must show"));
}

#[test]
fn a_pressed_joint_is_greased_has_its_rings_and_is_pressed_just_far_enough() {
    let sheet = set("nut");
    let join = step(&sheet, "close:chain-open");
    for words in ["Grease the pins", "a greased ring on each pin next to the chain and another under the loose plate"] {
        assert!(join.text.contains(words), "{words}");
    }
    assert!(join.text.contains("stop when the width over the plates equals that of a neighbour link"));
    assert!(join.text.contains("the clip goes into its grooves"));
}

#[test]
fn the_clips_closed_end_leads_wherever_the_joint_stands() {
    let sheet = set("nut");
    let join = step(&sheet, "close:chain-open");
    for words in [
        "closed end leading",
        "forward on the upper run",
        "rearward on the lower run",
        "upward behind the rear sprocket",
    ] {
        assert!(join.text.contains(words), "{words}");
    }
    assert!(join.holds.iter().any(|hold| hold.hold.prompt.contains("closed end leading")));
}

#[test]
fn slack_is_set_in_small_equal_steps_left_and_right() {
    let sheet = set("nut");
    assert!(
        step(&sheet, "do:chain-slack-set")
            .text
            .contains("Turn both adjusters by the same part of a turn, a quarter at most")
    );
}

#[test]
fn guides_are_looked_at_while_the_chain_is_off() {
    let sheet = set("nut");
    let place = |token: &str| step(&sheet, token).number;
    let look = place("do:inspect-guides");
    assert!(place("open:chain-open") < look && look < place("close:chain-open"));
}
