//! Each step of an order by itself: what kept it open, what is asked at it, whether it is done or next.

use advice::Block;
use advice::bench::{clock, close, step};
use upkeep::job::handbook::HoldKind;

use super::Room;

#[test]
fn what_kept_a_step_open_is_said_at_that_step_until_it_is_ticked() {
    let mut room = Room::of(&["final-drive-set"]);
    let mut typed = room.until("do:chain-slack-recheck");
    typed.holds[0].1.value = "78".to_owned();
    room.take(&typed).expect("a no is an answer");
    let held = |room: &Room| -> Vec<(String, Vec<String>)> {
        let laid = room.laid();
        let all = (0..laid.sheet.steps.len()).map(|at| {
            let shown = step::view(&room.desk(), &laid, at).expect("a step");
            let said = shown.blocks().iter().any(|block| matches!(block, Block::List(lines) if lines.iter().any(|line| line.starts_with("Stays open: "))));
            assert_eq!(said, !shown.held.is_empty(), "{}", shown.step.token);
            (shown.step.token, shown.held)
        });
        all.filter(|(_, held)| !held.is_empty()).collect()
    };
    let told = held(&room);
    assert_eq!(told.len(), 1, "{told:?}");
    assert_eq!(told[0].0, "do:chain-slack-recheck");
    // Of its two answers the one that does not pass kept it open.
    assert!(told[0].1.len() == 1 && told[0].1[0].contains("78 mm (does not pass)"), "{told:?}");
    while room.next().is_some() {}
    assert_eq!(held(&room), []);
}

#[test]
fn every_step_is_done_next_or_to_come_and_asks_only_while_it_is_open() {
    let mut room = Room::of(&["final-drive-set"]);
    room.until("do:inspect-guides");
    let laid = room.laid();
    let (desk, done) = (room.desk(), laid.done());
    assert!(step::view(&desk, &laid, laid.sheet.steps.len()).is_none());
    for at in 0..laid.sheet.steps.len() {
        let shown = step::view(&desk, &laid, at).expect("a step");
        assert_eq!((shown.done, shown.next, shown.of), (at < done, at == done, laid.sheet.steps.len()));
        let blocks = shown.blocks();
        let heading = |words: &str| blocks.iter().any(|block| matches!(block, Block::Heading(one) if *one == words));
        assert_eq!((heading("Done"), heading("Step")), (at < done, at >= done), "{}", shown.step.token);
        assert_eq!(heading("Read first"), !shown.unread.is_empty());
        if at < done {
            assert!(
                shown.unread.is_empty() && shown.missing.is_empty() && shown.out_of_turn.is_empty() && !shown.cures
            );
        }
        // What is next is not out of turn, what comes later waits for what is before it.
        if at == done {
            assert!(shown.out_of_turn.is_empty(), "{:?}", shown.out_of_turn);
        }
        for (blank, hold) in shown.blanks.iter().zip(&laid.sheet.steps[at].holds) {
            let kind = match hold.hold.kind {
                HoldKind::YesNo => "yes-no",
                HoldKind::Choice => "choice",
                _ => "number",
            };
            assert_eq!(blank.kind, kind, "{}", blank.hold);
            assert_eq!(blank.choices.is_empty(), kind != "choice", "{}", blank.hold);
            assert_eq!(blank.unit.is_empty(), kind != "number", "{}", blank.hold);
            assert_eq!(blank.answered.is_empty(), at >= done, "{}", blank.hold);
            assert!(kind == "number" || !blank.asks_whether, "{}", blank.hold);
        }
    }
    let cures =
        (done..laid.sheet.steps.len()).filter(|at| step::view(&desk, &laid, *at).is_some_and(|one| one.cures)).count();
    let carries = laid.sheet.steps[done..]
        .iter()
        .filter(|step| step.cautions.iter().any(|shown| shown.caution.id == "threadlocker"))
        .count();
    assert_eq!(cures, carries);
}

#[test]
fn the_clock_is_the_sum_of_what_is_left_and_runs_down() {
    let mut room = Room::of(&["final-drive-set"]);
    let mut before = f64::INFINITY;
    loop {
        let laid = room.laid();
        let told = clock::view(&room.desk(), &laid, None);
        let left = &laid.sheet.steps[laid.done()..];
        let sum = |of: fn(&upkeep::job::Minutes) -> f64| left.iter().map(|step| of(&step.minutes)).sum::<f64>();
        for (told, sum) in
            told.left_min.iter().zip([sum(|one| one.low_min), sum(|one| one.mid_min), sum(|one| one.high_min)])
        {
            assert!((told - sum).abs() < 1e-9, "{told} {sum}");
        }
        assert_eq!(told.steps, left.len());
        assert!(told.left_min[1] <= before, "{} after {before}", told.left_min[1]);
        before = told.left_min[1];
        assert_eq!(told.here.after, laid.done());
        if let Some(stop) = &told.safest {
            assert!(
                stop.after > laid.done()
                    && stop.after < laid.sheet.steps.len()
                    && stop.open.len() <= told.here.open.len()
            );
        }
        if room.next().is_none() {
            break;
        }
    }
    assert!(before.abs() < 1e-9, "nothing is left at the end: {before}");
}

#[test]
fn an_order_may_be_closed_once_neither_safety_nor_anything_else_is_open() {
    let may = |safety: bool, other: bool| {
        let open = |is: bool| if is { vec!["a step".to_owned()] } else { Vec::new() };
        let closing = close::Closing {
            safety: open(safety),
            other: open(other),
            fitted: Vec::new(),
            later: Vec::new(),
            ride_not_before: None,
        };
        (closing.may(), closing.refusal().len())
    };
    assert_eq!(
        [may(false, false), may(true, false), may(false, true), may(true, true)],
        [(true, 0), (false, 1), (false, 1), (false, 2)]
    );
}
