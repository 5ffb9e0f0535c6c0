//! Plans replayed by a checker of its own: it reads the job files itself, knows only the rules, and shares nothing with
//! the planner. Run over every shipped job, drawn orders, orders taken up again, and orders that grew on the way.

use std::collections::{BTreeMap, BTreeSet};

use jiff::civil::DateTime;
use proptest::prelude::*;
use proptest::sample::subsequence;
use toml::{Table, Value};
use upkeep::job::bench::{Bench, What};
use upkeep::job::{Act, Order, Plan, Progress, plan, plan_from, shipped};

const RETENTION: [&str; 3] = ["nut", "plate", "snap-ring"];

/// The job files as they are written.
struct Files {
    access: Table,
    jobs: BTreeMap<String, Vec<Table>>,
}

impl Files {
    fn read() -> Self {
        let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../data/jobs");
        let table = |path: &std::path::Path| -> Table {
            std::fs::read_to_string(path).expect("a file").parse().expect("a table")
        };
        let mut jobs = BTreeMap::new();
        for entry in std::fs::read_dir(&folder).expect("the job files") {
            let path = entry.expect("an entry").path();
            if !path.ends_with("_access.toml") {
                let file = table(&path);
                jobs.insert(word(file["job"].as_table().expect("a job"), "id").to_owned(), tables(&file, "op"));
            }
        }
        Self { access: table(&folder.join("_access.toml")), jobs }
    }
}

fn tables(of: &Table, key: &str) -> Vec<Table> {
    let list = of.get(key).and_then(Value::as_array).cloned().unwrap_or_default();
    list.into_iter().map(|one| one.as_table().expect("a table").clone()).collect()
}

fn word<'t>(of: &'t Table, key: &str) -> &'t str {
    of.get(key).and_then(Value::as_str).unwrap_or("")
}

fn words(of: &Table, key: &str) -> Vec<String> {
    let list = of.get(key).and_then(Value::as_array).cloned().unwrap_or_default();
    list.iter().filter_map(|one| one.as_str().map(str::to_owned)).collect()
}

fn whole(of: &Table, key: &str) -> i64 {
    of.get(key).and_then(Value::as_integer).unwrap_or(0)
}

/// The careful defaults, and what holds the front sprocket.
fn answers(files: &Files, retention: &str) -> BTreeMap<String, String> {
    let default = |choice: &Table| {
        let answer = choice.get("default")?.as_str()?;
        Some((word(choice, "key").to_owned(), answer.to_owned()))
    };
    let mut answers: BTreeMap<String, String> = tables(&files.access, "choice").iter().filter_map(default).collect();
    answers.insert("front-retention".to_owned(), retention.to_owned());
    answers
}

/// What an order asks for.
struct Asked {
    states: BTreeMap<String, Table>,
    ops: BTreeMap<String, Table>,
    before: BTreeMap<String, BTreeSet<String>>,
    owners: BTreeMap<String, BTreeSet<String>>,
}

/// What a plan costs: access, minutes that findings wait, kit changes, job switches.
type Cost = [i64; 4];

impl Asked {
    fn of(files: &Files, jobs: &[&str], retention: &str) -> Self {
        let answers = answers(files, retention);
        let holds = |one: &Table| {
            one.get("when").and_then(Value::as_str).is_none_or(|when| {
                let (key, value) = when.split_once(':').expect("key:value");
                answers.get(key).map(String::as_str) == Some(value)
            })
        };
        let mut states: BTreeMap<String, Table> =
            tables(&files.access, "state").into_iter().map(|state| (word(&state, "id").to_owned(), state)).collect();
        for variant in tables(&files.access, "variant") {
            if answers.get(word(&variant, "key")).map(String::as_str) == Some(word(&variant, "value")) {
                let state = states.get_mut(word(&variant, "state")).expect("a state");
                state.insert("needs".to_owned(), variant["needs"].clone());
            }
        }
        let mut shared = tables(&files.access, "shared_op");
        shared.extend(tables(&files.access, "finisher"));
        let mut asked = Self { states, ops: BTreeMap::new(), before: BTreeMap::new(), owners: BTreeMap::new() };
        for job in jobs {
            let mut last: Option<String> = None;
            for line in &files.jobs[*job] {
                let op = match line.get("use").and_then(Value::as_str) {
                    Some(id) => shared.iter().find(|op| word(op, "id") == id).expect("a shared operation"),
                    None => line,
                };
                if !holds(line) || !holds(op) {
                    continue;
                }
                let id = asked.take(op);
                asked.owners.entry(id.clone()).or_default().insert((*job).to_owned());
                asked.before.entry(id.clone()).or_default().extend(last.take());
                last = Some(id);
            }
        }
        loop {
            let touched = asked.touched();
            let meets = |op: &&Table| {
                words(op, "opens").iter().chain(&words(op, "finishes")).any(|state| touched.contains(state))
            };
            let new: Vec<Table> = shared
                .iter()
                .filter(|op| !asked.ops.contains_key(word(op, "id")) && holds(op))
                .filter(meets)
                .cloned()
                .collect();
            if new.is_empty() {
                break;
            }
            new.iter().for_each(|op| drop(asked.take(op)));
        }
        asked.wait();
        asked
    }

    /// Who waits for whom beside the order of each job.
    fn wait(&mut self) {
        let known: BTreeSet<String> = self.ops.keys().cloned().collect();
        for (id, op) in &self.ops {
            let before = self.before.entry(id.clone()).or_default();
            before.extend(words(op, "after").into_iter().filter(|after| known.contains(after)));
            if word(op, "stage") == "ride" {
                before.extend(
                    self.ops.iter().filter(|(_, other)| word(other, "stage") != "ride").map(|(id, _)| id.clone()),
                );
            }
        }
    }

    fn take(&mut self, op: &Table) -> String {
        let id = word(op, "id").to_owned();
        self.ops.insert(id.clone(), op.clone());
        id
    }

    /// States that the work needs open, with all that they rest on.
    fn touched(&self) -> BTreeSet<String> {
        let mut todo: Vec<String> = self.ops.values().flat_map(|op| words(op, "needs")).collect();
        let mut touched = BTreeSet::new();
        while let Some(state) = todo.pop() {
            if !state.starts_with('!') && touched.insert(state.clone()) {
                todo.extend(words(&self.states[&state], "needs"));
                todo.extend(words(&self.states[&state], "close_needs"));
            }
        }
        touched
    }

    /// Plays a plan; its cost, or the first step that breaks a rule.
    fn play(&self, plan: &[String]) -> Result<Cost, String> {
        let mut at = Played::default();
        for (number, step) in plan.iter().enumerate() {
            self.step(&mut at, step).map_err(|why| format!("step {} {step}: {why}", number + 1))?;
        }
        if let Some(open) = at.open.first() {
            return Err(format!("{open} is open at the end"));
        }
        match self.ops.keys().find(|id| !at.done.contains(*id)) {
            Some(left) => Err(format!("{left} is never done")),
            None => Ok(at.cost),
        }
    }

    fn step(&self, at: &mut Played, step: &str) -> Result<(), String> {
        let (verb, id) = step.split_once(':').ok_or("no verb")?;
        let kit = match verb {
            "do" => self.work(at, id)?,
            "open" => self.open(at, id)?,
            "close" => self.close(at, id)?,
            _ => return Err("no such verb".to_owned()),
        };
        if !kit.is_empty() && kit != at.kit {
            at.kit = kit;
            at.cost[2] += 1;
        }
        Ok(())
    }

    /// A step of the past: it is so, whether it was in turn or not.
    fn is_so(&self, at: &mut Played, step: &str) {
        match step.split_once(':') {
            Some(("open", id)) => at.open.push(id.to_owned()),
            Some(("close", id)) => at.open.retain(|open| open != id),
            Some((_, id)) => {
                at.done.insert(id.to_owned());
                at.sealed.extend(self.ops.get(id).map(|op| words(op, "finishes")).unwrap_or_default());
            }
            None => {}
        }
    }

    fn open(&self, at: &mut Played, id: &str) -> Result<String, String> {
        let state = self.states.get(id).ok_or("no such state")?;
        if at.open.iter().any(|open| open == id) {
            return Err("it is open".to_owned());
        }
        if at.sealed.contains(id) {
            return Err("it was sealed by a finisher".to_owned());
        }
        at.hold(&words(state, "needs"))?;
        let openers = self.ops.iter().filter(|(_, op)| words(op, "opens").iter().any(|opened| opened == id));
        let first = words(state, "open_after").into_iter().filter(|op| self.ops.contains_key(op));
        for before in first.chain(openers.map(|(id, _)| id.clone())) {
            if !at.done.contains(&before) {
                return Err(format!("{before} comes first"));
            }
        }
        at.open.push(id.to_owned());
        at.cost[0] += whole(state, "open_min");
        Ok(word(state, "kit").to_owned())
    }

    fn close(&self, at: &mut Played, id: &str) -> Result<String, String> {
        let state = self.states.get(id).ok_or("no such state")?;
        let place = at.open.iter().position(|open| open == id).ok_or("it is shut")?;
        if let Some(resting) =
            at.open.iter().find(|open| words(&self.states[*open], "needs").iter().any(|need| need == id))
        {
            return Err(format!("{resting} rests on it"));
        }
        at.hold(&words(state, "close_needs"))?;
        at.open.remove(place);
        at.cost[0] += whole(state, "close_min");
        Ok(word(state, "kit").to_owned())
    }

    fn work(&self, at: &mut Played, id: &str) -> Result<String, String> {
        let op = self.ops.get(id).ok_or("no such operation in this order")?;
        if at.done.contains(id) {
            return Err("it is done".to_owned());
        }
        at.hold(&words(op, "needs"))?;
        if let Some(before) = self.before.get(id).into_iter().flatten().find(|before| !at.done.contains(*before)) {
            return Err(format!("{before} comes first"));
        }
        for state in words(op, "finishes") {
            if at.open.contains(&state) {
                return Err(format!("{state} must be shut"));
            }
            at.sealed.insert(state);
        }
        at.done.insert(id.to_owned());
        let finds = |op: &Table| !words(op, "finds").is_empty();
        if !finds(op) {
            let due = self.ops.iter().filter(|(id, op)| finds(op) && !at.done.contains(*id)).count();
            at.cost[1] += whole(op, "min") * i64::try_from(due).expect("few");
        }
        let implied = !words(op, "opens").is_empty() || !words(op, "finishes").is_empty();
        let owners = self.owners.get(id).cloned().unwrap_or_default();
        if let (false, 1, Some(owner)) = (implied, owners.len(), owners.first())
            && *owner != at.job
        {
            at.job.clone_from(owner);
            at.cost[3] += 1;
        }
        Ok(word(op, "kit").to_owned())
    }
}

/// How far a plan was played.
#[derive(Default)]
struct Played {
    open: Vec<String>,
    done: BTreeSet<String>,
    sealed: BTreeSet<String>,
    kit: String,
    job: String,
    cost: Cost,
}

impl Played {
    fn hold(&self, needs: &[String]) -> Result<(), String> {
        for need in needs {
            let fits = match need.strip_prefix('!') {
                Some("*") => self.open.is_empty(),
                Some(state) => !self.open.iter().any(|open| open == state),
                None => self.open.contains(need),
            };
            if !fits {
                return Err(format!("{need} does not hold, open is {:?}", self.open));
            }
        }
        Ok(())
    }
}

fn order(jobs: &[&'static str], retention: &'static str) -> Order<'static> {
    Order::build(shipped().library(), jobs, &[("front-retention", retention)]).expect("shipped jobs make an order")
}

fn tokens(order: &Order<'_>, steps: &[Act]) -> Vec<String> {
    steps.iter().map(|act| order.token(*act)).collect()
}

fn same(cost: Cost, plan: &Plan) -> bool {
    let [access, wait, kits, jobs] = cost;
    let is = |left: i64, right: u64| u64::try_from(left) == Ok(right);
    is(access, plan.cost.access_min)
        && is(wait, plan.cost.find_wait_min)
        && is(kits, u64::from(plan.cost.kit_changes))
        && is(jobs, u64::from(plan.cost.job_switches))
}

fn all() -> Vec<&'static str> {
    shipped().jobs().iter().map(|file| file.job.id.as_str()).collect()
}

#[test]
fn the_checker_refuses_what_breaks_a_rule() {
    let asked = Asked::of(&Files::read(), &["final-drive-set"], "nut");
    let order = order(&["final-drive-set"], "nut");
    let right = tokens(&order, &plan(&order).expect("can be done").steps);
    assert!(asked.play(&right).is_ok());
    for left_out in 0..right.len() {
        let mut wrong = right.clone();
        wrong.remove(left_out);
        assert!(asked.play(&wrong).is_err(), "without {}", right[left_out]);
    }
    let late = right.iter().position(|step| step == "do:rear-axle-torque").expect("the axle");
    let mut early = right.clone();
    let torque = early.remove(late);
    early.insert(0, torque);
    assert!(asked.play(&early).is_err());
}

#[test]
fn every_shipped_job_alone_is_replayed_by_the_checker() {
    let files = Files::read();
    for job in all() {
        for retention in RETENTION {
            let order = order(&[job], retention);
            let plan = plan(&order).expect("can be done");
            let cost = Asked::of(&files, &[job], retention).play(&tokens(&order, &plan.steps));
            let cost = cost.unwrap_or_else(|why| unreachable!("{job}, {retention}: {why}"));
            assert!(same(cost, &plan), "{job}, {retention}: {cost:?} is not {:?}", plan.cost);
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    #[test]
    fn drawn_orders_and_orders_taken_up_again_are_replayed(
        jobs in subsequence(all(), 1..=4).prop_shuffle(),
        retention in proptest::sample::select(RETENTION.to_vec()),
        at in 0.0..1.0,
    ) {
        let files = Files::read();
        let order = order(&jobs, retention);
        let whole = plan(&order).expect("can be done");
        let asked = Asked::of(&files, &jobs, retention);
        let cost = asked.play(&tokens(&order, &whole.steps)).map_err(TestCaseError::fail)?;
        prop_assert!(same(cost, &whole), "{cost:?} is not {:?}", whole.cost);
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, clippy::cast_precision_loss, reason = "a place in a short list")]
        let split = (at * whole.steps.len() as f64) as usize;
        let mut progress = Progress::default();
        for act in &whole.steps[..split] {
            progress.take(&order, *act);
        }
        let rest = plan_from(&order, &progress).expect("can be gone on with");
        let again: Vec<Act> = whole.steps[..split].iter().chain(&rest.steps).copied().collect();
        asked.play(&tokens(&order, &again)).map_err(TestCaseError::fail)?;
    }

    #[test]
    fn an_order_that_a_job_comes_into_on_the_way_is_replayed_with_what_is_done_again(
        jobs in subsequence(all(), 2..=3).prop_shuffle(),
        retention in proptest::sample::select(RETENTION.to_vec()),
        at in 0.0..1.0,
    ) {
        let (added, first) = jobs.split_last().expect("two or more");
        let begun: DateTime = "2026-09-24T17:00".parse().expect("a time");
        let bench = Bench {
            id: 1,
            at: begun,
            jobs: first.iter().map(|job| (*job).to_owned()).collect(),
            choices: vec![("front-retention".to_owned(), retention.to_owned())],
            setup: [14, 48, 118],
            lines: Vec::new(),
        };
        let start = bench.stand(shipped()).expect("an order");
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, clippy::cast_precision_loss, reason = "a place in a short list")]
        let split = (at * start.rest.steps.len() as f64) as usize;
        let ticks: Vec<What> = tokens(&start.order, &start.rest.steps[..split])
            .into_iter()
            .map(|step| What::Ticked { step, reason: None, answers: Vec::new() })
            .collect();
        let bench = bench.with(begun, None, &ticks);
        // A job that cannot come in any more is told, and nothing is written.
        let Ok(more) = bench.taking_in(shipped(), added, "found on the way") else { return Ok(()) };
        let grown = bench.with(begun, None, &more);
        let stand = grown.stand(shipped()).expect("it can be brought to its end");
        // What is done is done, whatever came in since: from there the rest must keep every rule to the end.
        let asked = Asked::of(&Files::read(), &grown.jobs_now(), retention);
        let mut played = Played::default();
        tokens(&stand.order, &stand.done).iter().for_each(|step| asked.is_so(&mut played, step));
        for step in tokens(&stand.order, &stand.rest.steps) {
            asked.step(&mut played, &step).map_err(|why| TestCaseError::fail(format!("{step}: {why}")))?;
        }
        prop_assert!(played.open.is_empty() && asked.ops.keys().all(|id| played.done.contains(id)));
    }
}
