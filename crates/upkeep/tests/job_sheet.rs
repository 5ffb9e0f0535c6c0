//! The bench sheet of the shipped library: what a choice changes, and that nothing that can hurt is left out.

use std::collections::BTreeSet;

use upkeep::job::handbook::{Level, SHIPPED, Severity, Source, lint};
use upkeep::job::{Handbook, Known, Logged, SheetStep, Verb, WorkSheet, sheet, shipped};

fn laid(jobs: &[&str], choices: &[(&str, &str)], known: &Known<'_>) -> WorkSheet<'static> {
    sheet(shipped(), jobs, choices, known).expect("the shipped jobs can be done")
}

fn set(retention: &str) -> WorkSheet<'static> {
    laid(&["final-drive-set"], &[("front-retention", retention)], &Known::default())
}

fn ids(sheet: &WorkSheet<'_>) -> BTreeSet<String> {
    sheet.steps.iter().map(|step| step.token.clone()).collect()
}

fn roles(sheet: &WorkSheet<'_>) -> BTreeSet<String> {
    sheet.parts.iter().map(|part| part.line.role.to_owned()).collect()
}

fn cautions(sheet: &WorkSheet<'_>) -> BTreeSet<String> {
    sheet.steps.iter().flat_map(|step| &step.cautions).map(|shown| shown.caution.id.clone()).collect()
}

fn step<'s>(sheet: &'s WorkSheet<'static>, id: &str) -> &'s SheetStep<'static> {
    sheet.steps.iter().find(|step| step.id == id).expect("the step is on the sheet")
}

#[test]
fn each_retention_is_cracked_and_torqued_in_its_own_way() {
    let [nut, plate, ring] = ["nut", "plate", "snap-ring"].map(set);
    let only =
        |one: &WorkSheet<'_>, other: &WorkSheet<'_>| ids(one).difference(&ids(other)).cloned().collect::<Vec<_>>();
    assert_eq!(only(&nut, &plate), ["do:crack-front-sprocket-nut", "do:final-front-sprocket-nut"]);
    assert_eq!(only(&plate, &nut), ["do:crack-front-plate-bolts", "do:final-front-plate-bolts"]);
    assert_eq!(only(&nut, &ring), ["do:crack-front-sprocket-nut", "do:final-front-sprocket-nut"]);
    assert!(only(&ring, &nut).is_empty());
    let missing = |sheet: &WorkSheet<'_>, id: &str| sheet.missing.iter().any(|missing| missing.figure.id == id);
    assert!(missing(&nut, "front-sprocket-nut-torque") && !missing(&ring, "front-sprocket-nut-torque"));
    assert!(missing(&plate, "retainer-plate-torque") && !missing(&nut, "retainer-plate-torque"));
}

#[test]
fn the_new_retention_is_on_the_list_whatever_holds_the_sprocket() {
    for retention in ["nut", "plate", "snap-ring"] {
        assert!(roles(&set(retention)).contains("front sprocket retention"));
    }
    assert!(cautions(&set("snap-ring")).contains("snap-ring"));
    assert!(!cautions(&set("nut")).contains("snap-ring"));
}

#[test]
fn a_chain_left_joined_needs_the_wheel_out_and_no_connecting_link() {
    let nut = ("front-retention", "nut");
    let parted = laid(&["countershaft-seal"], &[nut], &Known::default());
    let joined = laid(&["countershaft-seal"], &[nut, ("chain-parting", "keep-joined")], &Known::default());
    assert!(ids(&parted).contains("open:chain-open") && !ids(&parted).contains("open:rear-wheel-out"));
    assert!(!ids(&joined).contains("open:chain-open") && ids(&joined).contains("open:rear-wheel-out"));
    assert!(ids(&parted).contains("do:check-connecting-link") && !ids(&joined).contains("do:check-connecting-link"));
    assert!(roles(&parted).contains("connecting link") && !roles(&joined).contains("connecting link"));
}

#[test]
fn pins_that_are_only_pressed_bring_no_grinder() {
    let with =
        |pins: &str| laid(&["final-drive-set"], &[("front-retention", "nut"), ("pins", pins)], &Known::default());
    assert!(with("grind").stops.iter().any(|caution| caution.id == "grinder"));
    assert!(!cautions(&with("press")).contains("grinder"));
    assert!(with("press").choices.iter().any(|(choice, answer)| choice.key == "pins" && *answer == "press"));
}

#[test]
fn every_caution_of_a_sheet_stands_in_full_somewhere_and_every_stop_at_the_top() {
    let all: Vec<_> = shipped().jobs().iter().map(|file| file.job.id.as_str()).collect();
    for job in all {
        let sheet = laid(&[job], &[("front-retention", "snap-ring")], &Known::default());
        let top: BTreeSet<_> =
            sheet.stops.iter().chain(&sheet.more_cautions).map(|caution| caution.id.as_str()).collect();
        for shown in sheet.steps.iter().flat_map(|step| &step.cautions) {
            let id = shown.caution.id.as_str();
            let on_a_step = || {
                let all = sheet.steps.iter().flat_map(|step| &step.cautions);
                all.into_iter().any(|shown| shown.caution.id == id && shown.in_full)
            };
            assert!(top.contains(id) || on_a_step(), "{job}: {id}");
            assert!(shown.caution.level != Level::Stop || top.contains(id), "{job}: {id}");
        }
        for step in &sheet.steps {
            assert!(step.cautions.iter().filter(|shown| shown.in_full).count() <= 2, "{job}: {}", step.token);
            assert!(step.cautions.is_sorted_by_key(|shown| shown.caution.level), "{job}: {}", step.token);
        }
    }
}

#[test]
fn a_safety_torque_waits_for_the_manual_and_nothing_else() {
    let none = set("nut");
    for shown in none.steps.iter().flat_map(|step| &step.holds) {
        let asks = shown.hold.accept_figure.as_deref().and_then(|id| shipped().figure(id));
        let torque = asks.filter(|figure| figure.kind == "torque" && shown.hold.severity == Severity::Safety);
        assert_eq!(
            torque.is_some(),
            shown.waits_for.is_some_and(|figure| figure.kind == "torque"),
            "{}",
            shown.hold.id
        );
    }
    let asked: Vec<_> = none.missing.iter().map(|missing| missing.figure.id.as_str()).collect();
    let full =
        laid(&["final-drive-set"], &[("front-retention", "nut")], &Known { figures: &asked, ..Known::default() });
    assert!(full.missing.is_empty());
    assert!(full.steps.iter().flat_map(|step| &step.holds).all(|shown| shown.waits_for.is_none()));
}

#[test]
fn the_clock_runs_and_ends_at_the_total() {
    let sheet = set("nut");
    assert!(sheet.steps.windows(2).all(|two| two[0].clock.mid_min <= two[1].clock.mid_min));
    let last = sheet.steps.last().expect("steps").clock;
    assert!((last.mid_min - sheet.total.mid_min).abs() < 1e-9);
    assert!((sheet.access.mid_min - 61.0).abs() < 1e-9 && (sheet.work.mid_min - 118.0).abs() < 1e-9);
    assert!((sheet.total.low_min - 0.8 * 179.0).abs() < 1e-9 && (sheet.total.high_min - 358.0).abs() < 1e-9);
}

#[test]
fn three_logged_times_replace_the_estimate_of_a_step() {
    let logged = [Logged { step: "do:rear-sprocket-swap", minutes: &[30.0, 20.0, 25.0] }];
    let known = Known { logged: &logged, ..Known::default() };
    let sheet = laid(&["final-drive-set"], &[("front-retention", "nut")], &known);
    let minutes = step(&sheet, "rear-sprocket-swap").minutes;
    assert!((minutes.mid_min - 25.0).abs() < 1e-9 && (minutes.low_min - 20.0).abs() < 1e-9);
    assert!((sheet.total.mid_min - 189.0).abs() < 1e-9);
}

#[test]
fn groups_cover_every_step_once_and_name_the_state() {
    let sheet = set("nut");
    let mut next = 1;
    for group in &sheet.groups {
        assert_eq!(group.first, next);
        next = group.last + 1;
    }
    assert_eq!(next, sheet.steps.len() + 1);
    let wheel = sheet.groups.iter().find(|group| group.title == Some("Rear wheel out")).expect("a group");
    let inside = &sheet.steps[wheel.first - 1..wheel.last];
    assert!(inside.first().is_some_and(|step| step.verb == Verb::Open));
    assert!(inside.last().is_some_and(|step| step.verb == Verb::Close));
    assert!(inside.iter().any(|step| step.id == "rear-sprocket-swap"));
}

#[test]
fn a_stop_point_says_its_reason_and_what_a_no_brings() {
    let sheet = set("nut");
    let shown = &step(&sheet, "route-new-chain").holds[0];
    assert!(shown.why.is_some_and(|why| why.contains("jam")));
    assert_eq!(shown.accept, ["yes"]);
    let looked = &step(&sheet, "look-at-countershaft-seal").holds[0];
    assert!(looked.hold.on_fail.as_ref().is_some_and(|fail| fail.job.as_deref() == Some("countershaft-seal")));
    let close = sheet.steps.iter().find(|step| step.token == "close:front-sprocket-off").expect("shut again");
    assert_eq!(close.holds[0].accept.len(), 3);
}

#[test]
fn grinding_near_open_fuel_joins_both_texts() {
    let sheet = laid(&["final-drive-set", "reeds"], &[("front-retention", "nut")], &Known::default());
    let mut fuel_open = false;
    for step in &sheet.steps {
        let opens_fuel = ["tank-off", "carb-out"].contains(&step.id);
        fuel_open |= opens_fuel && step.verb == Verb::Open;
        let grinds = step.cautions.iter().any(|shown| shown.caution.id == "grinder");
        let joined = step.conflict.as_ref().is_some_and(|text| text.contains("grind") && text.contains("vapour"));
        assert_eq!(grinds && fuel_open, joined, "{}", step.token);
        if opens_fuel && step.verb == Verb::Close && step.id == "tank-off" {
            fuel_open = false;
        }
    }
}

#[test]
fn a_job_above_the_stated_skill_is_told() {
    let known = Known { skill: Some(2), ..Known::default() };
    let sheet = laid(&["shock-service", "coolant"], &[], &known);
    let above: Vec<_> = sheet.jobs.iter().filter(|job| job.above_skill).map(|job| job.job.id.as_str()).collect();
    assert_eq!(above, ["shock-service"]);
    assert!(laid(&["shock-service"], &[], &Known::default()).jobs.iter().all(|job| !job.above_skill));
}

#[test]
fn drive_work_is_looked_at_again_after_one_to_three_hours() {
    let sheet = set("nut");
    let later = sheet.due_later.first().expect("a follow-up");
    assert!((later.follow_up.after_hours[0] - 1.0).abs() < 1e-9 && (later.follow_up.after_hours[1] - 3.0).abs() < 1e-9);
    assert!(sheet.closing.contains("manual"));
}

#[test]
fn a_tag_on_an_operation_brings_every_caution_of_that_tag() {
    let tagged: Vec<_> = SHIPPED
        .iter()
        .map(|file| {
            let id = "id = \"lay-up-new-chain\"";
            (file.name, file.text.replace(id, &format!("{id}\ntags = [\"coolant\", \"snap-ring\"]")))
        })
        .collect();
    let files: Vec<_> = tagged.iter().map(|(name, text)| Source { name, text }).collect();
    assert!(lint(&files).is_empty());
    let handbook = Handbook::read(&files).expect("is read");
    let sheet = sheet(&handbook, &["final-drive-set"], &[("front-retention", "nut")], &Known::default());
    let sheet = sheet.expect("can be done");
    let step = sheet.steps.iter().find(|step| step.id == "lay-up-new-chain").expect("the step is on the sheet");
    let mut brought: Vec<_> = step.cautions.iter().map(|shown| shown.caution.id.as_str()).collect();
    brought.sort_unstable();
    assert_eq!(brought, ["eye-protection", "hot-coolant", "waste-fluids"]);
}

#[test]
fn tools_are_named_where_they_are_taken_up_and_not_again_while_they_stay_in_hand() {
    let (mut taken, mut kept) = (0, 0);
    for file in shipped().jobs() {
        let sheet = laid(&[file.job.id.as_str()], &[("front-retention", "nut")], &Known::default());
        let mut in_hand = None;
        for step in &sheet.steps {
            let needs = step.kit.map(|kit| kit.id.as_str());
            assert_eq!(step.picks_up, needs.is_some() && needs != in_hand, "{}: {}", file.job.id, step.token);
            taken += usize::from(step.picks_up);
            kept += usize::from(needs.is_some() && !step.picks_up);
            in_hand = needs.or(in_hand);
        }
    }
    assert!(taken > 30 && kept > 30, "{taken} times taken up, {kept} times in hand already");
}
