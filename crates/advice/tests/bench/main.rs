//! A work order from its first step to the record: what stops a tick, what a "no" brings, and what closing writes.

mod closing;
mod steps;
mod told;

use advice::bench::take::{Trouble, TypedHold, TypedStep, take, untick};
use advice::bench::{Desk, Laid, close, figure, step, view};
use advice::record::Record;
use advice::{Verdict, ready};
use jiff::civil::DateTime;
use upkeep::bike::{Bike, Value};
use upkeep::job::bench::{Bench, End, Manual, Said, What};
use upkeep::job::handbook::{HoldKind, Level, shipped};
use upkeep::record::{Entry, Fact, Log};

fn bike() -> Bike {
    let path = format!("{}/../../data/bikes/alder-350.toml", env!("CARGO_MANIFEST_DIR"));
    let mut bike = Bike::from_toml(&std::fs::read_to_string(path).expect("the demo bike")).expect("a bike");
    let page = || Some("manual, p. 12".to_owned());
    for (field, torque) in
        [("rear_axle_torque_nm", 100.0), ("rear_sprocket_torque_nm", 35.0), ("front_sprocket_nut_torque_nm", 60.0)]
    {
        bike.set(field, Value::Number(torque), page()).expect("a torque");
    }
    bike
}

fn at(text: &str) -> DateTime {
    text.parse().expect("a time")
}

fn order(jobs: &[&str]) -> Bench {
    Bench {
        id: 1,
        at: at("2026-09-24T17:00"),
        jobs: jobs.iter().map(|job| (*job).to_owned()).collect(),
        choices: vec![("front-retention".to_owned(), "nut".to_owned())],
        setup: [14, 48, 118],
        lines: Vec::new(),
    }
}

/// The bench with everything that a test turns.
struct Room {
    bike: Bike,
    manual: Vec<Manual>,
    bench: Bench,
    now: DateTime,
    who: Option<String>,
}

impl Room {
    fn of(jobs: &[&str]) -> Self {
        Self { bike: bike(), manual: Vec::new(), bench: order(jobs), now: at("2026-09-24T17:05"), who: None }
    }

    fn desk(&self) -> Desk<'_> {
        Desk {
            bike: &self.bike,
            manual: &self.manual,
            bench: &self.bench,
            before: &[],
            handbook: shipped(),
            now: self.now,
            who: self.who.as_deref(),
        }
    }

    fn laid(&self) -> Laid {
        self.desk().lay_out().expect("the order can be brought to its end")
    }

    /// What a careful rider would type at a step.
    fn right(&self, laid: &Laid, token: &str) -> TypedStep {
        let step = laid.sheet.steps.iter().skip(laid.done()).find(|step| step.token == token).expect(token);
        let desk = self.desk();
        let hold = |shown: &upkeep::job::ShownHold<'_>| {
            let limit = figure::limit(&desk, shown.hold);
            let value = match shown.hold.kind {
                HoldKind::YesNo => "yes".to_owned(),
                HoldKind::Choice => shown.accept.get(1).or(shown.accept.first()).expect("an answer").to_string(),
                _ => limit
                    .as_ref()
                    .map_or(15.0, |limit| if limit.high > 1e6 { 5.0 } else { f64::midpoint(limit.low, limit.high) })
                    .to_string(),
            };
            (shown.hold.id.clone(), TypedHold { value, passes: "yes".to_owned(), ..TypedHold::default() })
        };
        TypedStep {
            step: token.to_owned(),
            read: step.cautions.iter().map(|shown| shown.caution.id.clone()).collect(),
            holds: step.holds.iter().map(hold).collect(),
            ..TypedStep::default()
        }
    }

    fn take(&mut self, typed: &TypedStep) -> Result<Vec<What>, Vec<Trouble>> {
        let what = take(&self.desk(), &self.laid(), typed)?;
        self.bench = self.bench.with(self.now, self.who.as_deref(), &what);
        Ok(what)
    }

    /// Ticks the next step as a careful rider would.
    fn next(&mut self) -> Option<String> {
        let laid = self.laid();
        let token = laid.sheet.steps.get(laid.done())?.token.clone();
        let typed = self.right(&laid, &token);
        self.take(&typed).unwrap_or_else(|troubles| panic_of(&token, &troubles));
        Some(token)
    }

    fn until(&mut self, token: &str) -> TypedStep {
        for _ in 0..80 {
            let laid = self.laid();
            if laid.sheet.steps[laid.done()].token == token {
                return self.right(&laid, token);
            }
            self.next().expect(token);
        }
        unreachable!("{token} never comes")
    }
}

fn panic_of(token: &str, troubles: &[Trouble]) -> Vec<What> {
    assert!(troubles.is_empty(), "{token}: {troubles:?}");
    Vec::new()
}

fn fields(troubles: &[Trouble]) -> Vec<&str> {
    troubles.iter().map(|one| one.field.as_str()).collect()
}

#[test]
fn a_set_goes_from_the_first_step_to_the_record() {
    let mut room = Room::of(&["final-drive-set"]);
    let mut steps = 0;
    while room.next().is_some() {
        steps += 1;
        assert!(steps < 80, "it never ends");
    }
    let (desk, laid) = (room.desk(), room.laid());
    let closing = close::view(&desk, &laid);
    assert!(closing.may() && steps == laid.sheet.steps.len(), "{:?}", closing.refusal());
    let parts = closing.fitted.iter().map(|part| close::part(part, "", 0.0, None).expect("a part")).collect();
    let facts = close::facts(&desk, &laid, parts).expect("facts");
    let said: Vec<String> = facts
        .iter()
        .map(|fact| match fact {
            Fact::Work(work) => format!("{} {}", work.job(), work.state_word()),
            Fact::Part(part) => format!("{} {:?}", part.role().word(), part.count()),
            Fact::Check(check) => format!("{}={}", check.kind().name, check.answer()),
            Fact::Slack(slack) => format!("slack {:?}", slack.slack_mm()),
            other => other.kind().to_owned(),
        })
        .collect();
    for wanted in [
        "final-drive-set done",
        "chain Some(118)",
        "front Some(14)",
        "rear Some(48)",
        "brake=firm",
        "joint=closed-end-leads",
        "axle=set",
        "rear-fasteners=set",
        "front-retainer=set",
        "bearings=smooth",
    ] {
        assert!(said.iter().any(|one| one == wanted), "{wanted} is not in {said:?}");
    }
    // Slack stands last, for the axle nut moves it.
    assert_eq!(said.last().map(String::as_str), Some("slack [85.0]"));
    assert!(close::sheet(&desk).is_empty());
}

#[test]
fn a_stop_is_read_before_its_step_is_ticked_and_again_by_another_person_and_after_a_night() {
    let mut room = Room::of(&["final-drive-set"]);
    let laid = room.laid();
    let token = laid.sheet.steps[0].token.clone();
    let unread = TypedStep { read: Vec::new(), ..room.right(&laid, &token) };
    let refused = room.take(&unread).expect_err("nothing was read");
    assert!(!refused.is_empty() && refused.iter().all(|one| one.field.starts_with("read-")), "{refused:?}");
    room.next();
    let stops = |room: &Room| {
        let laid = room.laid();
        (laid.done()..laid.sheet.steps.len()).map(|at| room.desk().unread(&laid, at).len()).sum::<usize>()
    };
    let alone = stops(&room);
    room.who = Some("Ann".to_owned());
    assert!(stops(&room) > alone, "another person has read nothing yet");
    room.who = None;
    room.now = at("2026-09-24T21:04");
    assert_eq!(stops(&room), alone, "under four hours");
    room.now = at("2026-09-24T21:06");
    assert!(stops(&room) > alone, "over four hours");
    let levels = room.laid().sheet.stops.iter().all(|stop| stop.level == Level::Stop);
    assert!(levels);
}

#[test]
fn a_missing_figure_of_the_manual_stops_its_step_until_it_is_given() {
    let mut room = Room::of(&["final-drive-set"]);
    let mut bare = bike();
    bare.change(&[upkeep::bike::Change { field: "rear_axle_torque_nm".to_owned(), value: None, source: None }])
        .expect("off");
    room.bike = bare;
    let typed = room.until("do:rear-axle-torque");
    let shown = step::view(&room.desk(), &room.laid(), room.laid().done()).expect("a step");
    assert_eq!(shown.missing.len(), 1);
    assert_eq!(shown.missing[0].entries[0].name, "rear_axle_torque_nm");
    let refused = room.take(&typed).expect_err("nothing stands in for it");
    assert_eq!(fields(&refused), ["value-rear-axle-torque"]);
    assert!(refused[0].text.contains("STOP"));
    room.bike = bike();
    let typed = room.until("do:rear-axle-torque");
    room.take(&typed).expect("given now");
}

#[test]
fn a_torque_off_by_more_than_a_tenth_is_asked_back_and_kept_with_its_reason() {
    let mut room = Room::of(&["final-drive-set"]);
    let mut typed = room.until("do:rear-axle-torque");
    typed.holds[0].1.value = "88 Nm".to_owned();
    let refused = room.take(&typed).expect_err("off by 12 %");
    assert_eq!(fields(&refused), ["reason-rear-axle-torque"]);
    assert!(refused[0].text.contains("100 N·m (manual, p. 12)"), "{}", refused[0].text);
    typed.holds[0].1.reason = "set through an adapter in line".to_owned();
    room.take(&typed).expect("confirmed");
    let told = view(&room.desk()).expect("a view").confirmed;
    assert!(told.iter().any(|one| one.contains("88 N·m") && one.contains("adapter")), "{told:?}");
}

#[test]
fn slack_outside_the_manuals_band_is_a_no_and_the_steps_before_it_are_done_again() {
    let mut room = Room::of(&["final-drive-set"]);
    let mut typed = room.until("do:chain-slack-recheck");
    let done = room.laid().done();
    typed.holds[0].1.value = "78".to_owned();
    let what = room.take(&typed).expect("a no is an answer");
    assert!(matches!(what.iter().find(|one| matches!(one, What::Held { .. })), Some(What::Held { .. })));
    let again: Vec<&str> = what
        .iter()
        .filter_map(|one| if let What::Unticked { step, .. } = one { Some(step.as_str()) } else { None })
        .collect();
    assert_eq!(again, ["do:rear-axle-torque", "do:nip-axle", "do:chain-slack-set"]);
    assert!(room.laid().done() < done);
    assert!(!close::view(&room.desk(), &room.laid()).may());
    while room.next().is_some() {}
    assert!(close::view(&room.desk(), &room.laid()).may());
}

#[test]
fn a_failed_look_brings_its_job_from_where_the_work_stands() {
    let mut room = Room::of(&["final-drive-set"]);
    let mut typed = room.until("do:look-at-countershaft-seal");
    typed.holds[0].1.value = "no".to_owned();
    room.take(&typed).expect("a look that fails is an answer");
    assert_eq!(room.bench.jobs_now(), ["final-drive-set", "countershaft-seal"]);
    let told = view(&room.desk()).expect("a view");
    assert!(
        told.added[0].contains("Countershaft") || told.added[0].to_lowercase().contains("seal"),
        "{:?}",
        told.added
    );
    while room.next().is_some() {}
    let ticks = room.bench.ticks();
    assert!(ticks.iter().any(|(_, step, _)| *step == "do:refit-spacer"));
    assert!(close::view(&room.desk(), &room.laid()).may());
}

#[test]
fn a_look_that_fails_late_has_the_steps_done_again_that_it_undoes() {
    let mut room = Room::of(&["final-drive-set"]);
    room.until("do:drive-first-ride");
    let what = advice::bench::take::add(&room.desk(), &room.laid(), "rear-wheel-bearings").expect("it can come in");
    assert!(
        what.iter().any(|one| matches!(one, What::Unticked { step, .. } if step == "do:rear-axle-torque")),
        "{what:?}"
    );
    room.bench = room.bench.with(room.now, None, &what);
    while room.next().is_some() {}
    assert!(close::view(&room.desk(), &room.laid()).may());
}

#[test]
fn a_step_out_of_turn_is_warned_of_and_goes_on_with_a_reason() {
    let mut room = Room::of(&["final-drive-set"]);
    room.next();
    room.next();
    let laid = room.laid();
    assert!(laid.sheet.steps[laid.done()].token == "do:crack-front-sprocket-nut");
    let shown = step::out_of_turn(&room.desk(), &laid, "open:chain-open");
    assert!(shown.iter().any(|one| one.contains("crack front sprocket nut")), "{shown:?}");
    let typed = room.right(&laid, "open:chain-open");
    assert_eq!(fields(&room.take(&typed).expect_err("out of turn")), ["reason"]);
    let typed = TypedStep { reason: "impact wrench at hand".to_owned(), ..typed };
    room.take(&typed).expect("with a reason");
    assert!(view(&room.desk()).expect("a view").open.iter().any(|one| one == "Chain parted"));
}

#[test]
fn a_tick_is_taken_back_with_a_reason_and_both_stay() {
    let mut room = Room::of(&["chain-slack"]);
    let token = room.next().expect("a step");
    assert_eq!(fields(&untick(&room.desk(), &token, " ").expect_err("no reason")), ["reason"]);
    let what = untick(&room.desk(), &token, "wrong bike").expect("taken back");
    room.bench = room.bench.with(room.now, None, &what);
    assert_eq!(room.laid().done(), 0);
    assert!(room.bench.lines.len() >= 2, "the tick and the reason both stay");
    assert!(untick(&room.desk(), &token, "again").is_err());
}

#[test]
fn an_open_order_says_at_which_step_of_how_many_it_stands() {
    let mut room = Room::of(&["final-drive-set"]);
    room.until("do:inspect-guides");
    let laid = room.laid();
    let record = Record::new(&room.bike, &Log::default(), room.now).with_benches(vec![room.bench.clone()]);
    let told = ready::view(&record).open_jobs;
    let [job] = told.as_slice() else { unreachable!("one job is open: {told:?}") };
    let stands = job.at.as_ref().expect("it has an order");
    assert_eq!((stands.order, stands.step, stands.of), (1, laid.done() + 1, laid.sheet.steps.len()));
    assert!(job.words().contains(&format!("step {} of {}", laid.done() + 1, laid.sheet.steps.len())));
}

#[test]
fn the_clock_is_a_range_and_the_safest_stop_leaves_less_open_than_here() {
    let mut room = Room::of(&["final-drive-set"]);
    room.until("do:inspect-guides");
    let told = view(&room.desk()).expect("a view").clock;
    assert!(told.left_min[0] < told.left_min[1] && told.left_min[1] < told.left_min[2]);
    assert_eq!(told.here.open.len(), 3, "{:?}", told.here.open);
    let stop = told.safest.expect("there is a better place within two hours");
    assert!(stop.open.len() <= told.here.open.len());
    assert!(told.own_times == 0 && told.steps > 20);
}

#[test]
fn a_figure_without_a_field_on_the_sheet_is_kept_beside_it_and_holds_the_number() {
    let mut room = Room::of(&["steering-head"]);
    let missing = figure::missing(shipped().figure("check-torques").expect("a figure"));
    assert!(!missing.entries[0].on_sheet);
    room.manual.push(
        Manual::new("valve-clearance", Said::Number { low: 0.1, high: 0.15 }, "manual, p. 40").expect("a figure"),
    );
    let hold = shipped().holds().find(|(_, hold)| hold.id == "valve-clearance").expect("a stop point").1;
    let limit = figure::limit(&room.desk(), hold).expect("a limit");
    assert!((limit.low - 0.1).abs() < 1e-12 && limit.words.contains("p. 40"));
}

#[test]
fn blanks_carry_the_steps_number_and_a_letter_where_there_are_several() {
    let room = Room::of(&["gearbox-oil"]);
    let laid = room.laid();
    let all: Vec<String> =
        laid.sheet.steps.iter().flat_map(|step| step::blanks(&room.desk(), step)).map(|blank| blank.number).collect();
    let mut seen = all.clone();
    seen.dedup();
    assert_eq!(seen, all, "each number once");
    assert!(
        all.iter().any(|number| number.ends_with('a')) && all.iter().any(|number| number.ends_with('b')),
        "{all:?}"
    );
}
