//! Plans are made, not told: another retention or another pair changes steps, parts and links.

use std::path::Path;

use advice::Setup;
use advice::plan::{self, PlanView, Wish};
use upkeep::bike::{Bike, Value};
use upkeep::job::bench::{Manual, Said};

fn bike() -> Bike {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../data/bikes/alder-350.toml");
    Bike::from_toml(&std::fs::read_to_string(path).expect("the file is there")).expect("it reads")
}

fn planned(bike: &Bike, setup: Setup, job: &str, retention: &str) -> PlanView {
    let jobs = if job.is_empty() { Vec::new() } else { vec![job.to_owned()] };
    let choices = vec![("front-retention".to_owned(), retention.to_owned())];
    plan::view(bike, setup, &Wish { jobs, choices, ..Wish::default() }).expect("a plan")
}

fn tokens(view: &PlanView) -> Vec<&str> {
    view.steps.iter().map(|step| step.token.as_str()).collect()
}

fn part(view: &PlanView, role: &str) -> Option<String> {
    view.parts.rows.iter().find(|row| row[0].text == role).map(|row| row[2].text.clone())
}

#[test]
fn another_retention_changes_steps_cautions_and_missing_figures() {
    let bike = bike();
    let fitted = Setup::fitted(&bike).expect("a setup");
    let [nut, plate, ring] = ["nut", "plate", "snap-ring"].map(|word| planned(&bike, fitted, "final-drive-set", word));
    assert!(
        tokens(&nut).contains(&"do:crack-front-sprocket-nut") && tokens(&nut).contains(&"do:final-front-sprocket-nut")
    );
    assert!(
        tokens(&plate).contains(&"do:crack-front-plate-bolts")
            && tokens(&plate).contains(&"do:final-front-plate-bolts")
    );
    assert!(!tokens(&ring).iter().any(|token| token.contains("front-sprocket-nut") || token.contains("plate-bolts")));
    let says = |view: &PlanView, words: &str| {
        view.steps.iter().any(|step| step.figures.iter().any(|figure| figure.contains(words)))
    };
    assert!(says(&nut, "countershaft nut") && !says(&ring, "countershaft nut"));
}

#[test]
fn two_links_say_what_each_is_for_and_a_chain_only_parted_asks_for_one() {
    let bike = bike();
    let fitted = Setup::fitted(&bike).expect("a setup");
    for job in ["final-drive-set", "chain-cut-join"] {
        let plan = planned(&bike, fitted, job, "nut");
        let link = plan.parts.rows.iter().find(|row| row[0].text == "connecting link").expect(job);
        assert_eq!(link[1].text, "2", "{job}");
        assert!(link[2].text.ends_with(". One to fit, one spare to carry"), "{job}: {link:?}");
    }
    let parted = planned(&bike, fitted, "countershaft-seal", "nut");
    let link = parted.parts.rows.iter().find(|row| row[0].text == "connecting link").expect("a link");
    assert!(link[1].text == "1" && !link[2].text.contains("spare"), "{link:?}");
}

#[test]
fn another_pair_changes_job_parts_and_links() {
    let bike = bike();
    let fitted = Setup::fitted(&bike).expect("a setup");
    let rear = planned(&bike, fitted.pair(14, 50), "", "nut");
    assert_eq!(rear.jobs[0].0, "rear-sprocket-only");
    assert!(part(&rear, "rear sprocket").is_some_and(|spec| spec.starts_with("50 teeth")));
    assert!(part(&rear, "chain").is_none());
    let front = planned(&bike, fitted.pair(13, 48), "", "nut");
    assert_eq!(front.jobs[0].0, "front-sprocket-only");
    assert!(part(&front, "front sprocket").is_some_and(|spec| spec.starts_with("13 teeth")));
    let chain = planned(&bike, fitted.pair(14, 52).with_links(120), "", "nut");
    assert_eq!(chain.jobs[0].0, "final-drive-set");
    let spec = part(&chain, "chain").unwrap_or_else(|| format!("{:?}", chain.parts.rows));
    assert!(spec.contains("120 links") && spec.contains("inner width 6.30 mm"), "{spec}");
    assert!(chain.steps.iter().any(|step| step.figures.iter().any(|figure| figure == "links: 120")));
}

#[test]
fn a_figure_of_the_manual_that_is_missing_is_named_and_none_is_made_up() {
    let mut bike = bike();
    let fitted = Setup::fitted(&bike).expect("a setup");
    let before = planned(&bike, fitted.pair(14, 50), "", "nut");
    assert!(before.reasons.iter().any(|reason| reason.text.contains("rear axle nut")));
    assert!(!before.steps.iter().any(|step| step.figures.iter().any(|figure| figure.contains("35 N·m"))));
    bike.set("rear_sprocket_torque_nm", Value::Number(35.0), Some("invented manual, page 9".to_owned())).expect("set");
    let after = planned(&bike, fitted.pair(14, 50), "", "nut");
    let figures: Vec<&String> = after.steps.iter().flat_map(|step| &step.figures).collect();
    assert!(figures.iter().any(|figure| figure.contains("35 N·m (invented manual, page 9)")), "{figures:?}");
    assert!(
        figures.iter().any(|figure| figure.contains("1-4-2-5-3-6") && figure.contains("10.5 / 24.5 / 35.0")),
        "{figures:?}"
    );
}

#[test]
fn a_bike_that_does_not_say_what_holds_the_front_sprocket_is_asked() {
    let mut bike = bike();
    bike.change(&[upkeep::bike::Change { field: "front_retention".to_owned(), value: None, source: None }])
        .expect("taken off");
    let fitted = Setup::fitted(&bike).expect("a setup");
    let gap = plan::view(&bike, fitted.pair(13, 48), &Wish::default()).expect_err("must ask");
    assert!(gap.missing && gap.field == "front_retention", "{gap:?}");
}

#[test]
fn a_chain_step_carries_the_caution_at_the_step() {
    let bike = bike();
    let fitted = Setup::fitted(&bike).expect("a setup");
    let view = planned(&bike, fitted, "final-drive-set", "nut");
    let open = view.steps.iter().find(|step| step.token == "open:chain-open").expect("the chain is opened");
    assert!(open.cautions.iter().any(|caution| caution.id == "engine-off-chain" && caution.level == "stop"));
}

#[test]
fn a_figure_of_the_manual_stands_under_its_own_name_and_no_other() {
    let bike = bike();
    let fitted = Setup::fitted(&bike).expect("a setup");
    let said = Manual::new("rear-axle-torque", Said::Number { low: 93.0, high: 93.0 }, "manual, p. 40");
    let choices = vec![("front-retention".to_owned(), "nut".to_owned())];
    let wish = Wish { jobs: vec!["final-drive-set".to_owned()], choices, manual: vec![said.expect("a figure")] };
    let view = plan::view(&bike, fitted, &wish).expect("a plan");
    let lines: Vec<&String> = view.steps.iter().flat_map(|step| &step.figures).collect();
    let given: Vec<&&String> = lines.iter().filter(|line| line.contains("93")).collect();
    assert!(!given.is_empty() && given.iter().all(|line| line.starts_with("rear axle nut: 93")), "{given:?}");
    let still = lines.iter().find(|line| line.starts_with("rear sprocket bolts")).expect("the sprocket's own line");
    assert!(still.contains("missing: enter the manual's figure"), "{still}");
    assert!(!lines.iter().any(|line| line.starts_with("rear axle nut") && line.contains("missing")), "{lines:?}");
}
