//! Judges a work order's plan on its own, by the five rules, and counts what it costs. It reads the question as it was
//! asked and shares nothing with the planner.
//!
//! 1. A state may be open only while every state that it rests on is.
//! 2. A shutting meets its close rule.
//! 3. What must precede an opening is done.
//! 4. An operation's needs hold and its predecessors are done.
//! 5. A finisher finds its states shut, and they stay shut.

use std::collections::{BTreeMap, BTreeSet};

use serde_json::Value;

/// What a plan costs, compared in this order.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub struct Spent {
    /// Minutes of opening and shutting.
    pub access_min: u64,
    /// Minutes that findings wait.
    pub find_wait_min: u64,
    /// Changes of tools.
    pub kit_changes: u64,
    /// Changes of job.
    pub job_switches: u64,
}

impl Spent {
    /// With more on top.
    #[must_use]
    pub const fn and(self, more: Self) -> Self {
        Self {
            access_min: self.access_min + more.access_min,
            find_wait_min: self.find_wait_min + more.find_wait_min,
            kit_changes: self.kit_changes + more.kit_changes,
            job_switches: self.job_switches + more.job_switches,
        }
    }
}

/// How far the work is.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Default)]
pub struct Place {
    open: BTreeSet<usize>,
    done: BTreeSet<usize>,
    kit: String,
    job: String,
}

struct State {
    id: String,
    minutes: [u64; 2],
    needs: Vec<String>,
    close_needs: Vec<String>,
    first: Vec<usize>,
    kit: String,
}

struct Work {
    id: String,
    minutes: u64,
    needs: Vec<String>,
    first: BTreeSet<usize>,
    finishes: Vec<String>,
    kit: String,
    finds: bool,
    job: Option<String>,
}

/// What one order asks for.
pub struct Bench {
    states: Vec<State>,
    work: Vec<Work>,
}

fn words(value: &Value, key: &str) -> Vec<String> {
    let items = value[key].as_array().into_iter().flatten();
    items.filter_map(Value::as_str).map(str::to_owned).collect()
}

fn word(value: &Value, key: &str) -> String {
    value[key].as_str().unwrap_or_default().to_owned()
}

fn list<'v>(library: &'v Value, key: &str) -> impl Iterator<Item = &'v Value> {
    library[key].as_array().into_iter().flatten()
}

/// The answers that hold: the defaults, then those given.
fn answers(given: &Value) -> BTreeMap<String, String> {
    let library = &given["library"];
    let defaults = list(library, "choices").filter(|choice| choice["default"].is_string());
    let mut answers: BTreeMap<_, _> = defaults.map(|choice| (word(choice, "key"), word(choice, "default"))).collect();
    for (key, value) in given["choices"].as_object().into_iter().flatten() {
        answers.insert(key.clone(), value.as_str().unwrap_or_default().to_owned());
    }
    answers
}

/// An operation on its way into the order: its entry, the jobs that list it, what those put before it.
struct Draft<'v> {
    entry: &'v Value,
    jobs: BTreeSet<String>,
    before: BTreeSet<String>,
}

impl Bench {
    /// From the `given` object of a question.
    ///
    /// # Errors
    /// A sentence, if the order names what is not there.
    pub fn of(given: &Value) -> Result<Self, String> {
        let library = &given["library"];
        let answers = answers(given);
        let applies = |entry: &Value| match entry["when"].as_str().and_then(|when| when.split_once(':')) {
            Some((key, value)) => answers.get(key).is_some_and(|answer| answer == value),
            None => true,
        };
        let common: BTreeMap<_, _> =
            list(library, "finishers").chain(list(library, "shared_ops")).map(|op| (word(op, "id"), op)).collect();
        let mut drafts: BTreeMap<String, Draft<'_>> = BTreeMap::new();
        for job in words(given, "jobs") {
            let entry = list(library, "jobs").find(|entry| word(entry, "id") == job).ok_or("no such job")?;
            let mut last: Option<String> = None;
            for line in list(entry, "ops").filter(|line| applies(line)) {
                let used = line["use"].as_str().map(|id| common.get(id).copied().ok_or("no such operation"));
                let op = used.transpose()?.unwrap_or(line);
                if !applies(op) {
                    continue;
                }
                let draft = drafts.entry(word(op, "id")).or_insert_with(|| fresh(op));
                draft.jobs.insert(job.clone());
                draft.before.extend(last.replace(word(op, "id")));
            }
        }
        let needs = state_needs(library, &answers);
        let mut below = needs.clone();
        for state in list(library, "states") {
            below.entry(word(state, "id")).or_default().extend(words(state, "close_needs"));
        }
        let touched = imply(&mut drafts, &below, common.values().copied().filter(|op| applies(op)));
        Ok(Self::laid_out(library, &drafts, &needs, &touched))
    }

    fn laid_out(
        library: &Value,
        drafts: &BTreeMap<String, Draft<'_>>,
        needs: &BTreeMap<String, Vec<String>>,
        touched: &BTreeSet<String>,
    ) -> Self {
        let names: Vec<_> = drafts.keys().cloned().collect();
        let place = |id: &String| names.iter().position(|name| name == id);
        let rides = |draft: &Draft<'_>| draft.entry["stage"] == "ride";
        let work = drafts.values().map(|draft| {
            let mut first: BTreeSet<_> =
                draft.before.iter().chain(&words(draft.entry, "after")).filter_map(place).collect();
            if rides(draft) {
                first.extend(drafts.values().zip(0..).filter(|(other, _)| !rides(other)).map(|(_, number)| number));
            }
            let implied = !words(draft.entry, "opens").is_empty() || !words(draft.entry, "finishes").is_empty();
            Work {
                id: word(draft.entry, "id"),
                minutes: draft.entry["min"].as_u64().unwrap_or(0),
                needs: words(draft.entry, "needs"),
                first,
                finishes: words(draft.entry, "finishes"),
                kit: word(draft.entry, "kit"),
                finds: draft.entry["finds"].as_array().is_some_and(|finds| !finds.is_empty()),
                job: draft.jobs.first().filter(|_| draft.jobs.len() == 1 && !implied).cloned(),
            }
        });
        let states = list(library, "states").filter(|entry| touched.contains(&word(entry, "id"))).map(|entry| {
            let id = word(entry, "id");
            let openers = drafts.values().zip(0..).filter(|(draft, _)| words(draft.entry, "opens").contains(&id));
            let openers = openers.map(|(_, number)| number);
            State {
                minutes: [entry["open_min"].as_u64().unwrap_or(0), entry["close_min"].as_u64().unwrap_or(0)],
                needs: needs.get(&id).cloned().unwrap_or_default(),
                close_needs: words(entry, "close_needs"),
                first: words(entry, "open_after").iter().filter_map(place).chain(openers).collect(),
                kit: word(entry, "kit"),
                id,
            }
        });
        Self { states: states.collect(), work: work.collect() }
    }

    /// Every step that could be written down for this order.
    #[must_use]
    pub fn tokens(&self) -> Vec<String> {
        let states = self.states.iter().flat_map(|state| ["open", "close"].map(|verb| format!("{verb}:{}", state.id)));
        states.chain(self.work.iter().map(|work| format!("do:{}", work.id))).collect()
    }

    /// Whether the work may end here.
    #[must_use]
    pub fn is_done(&self, place: &Place) -> bool {
        place.open.is_empty() && place.done.len() == self.work.len()
    }

    /// Takes one step.
    ///
    /// # Errors
    /// The rule that it breaks; the place is then of no use.
    pub fn step(&self, place: &mut Place, token: &str) -> Result<Spent, String> {
        let (verb, id) = token.split_once(':').ok_or("not a step")?;
        let (mut spent, kit) = if verb == "do" {
            let number = self.work.iter().position(|work| work.id == id).ok_or("no such operation in this order")?;
            (self.work(place, number)?, &self.work[number].kit)
        } else {
            let number = self.states.iter().position(|state| state.id == id).ok_or("no such state in this order")?;
            let access_min = match verb {
                "open" => self.open(place, number)?,
                "close" => self.close(place, number)?,
                _ => return Err("not a step".to_owned()),
            };
            (Spent { access_min, ..Spent::default() }, &self.states[number].kit)
        };
        if !kit.is_empty() && *kit != place.kit {
            place.kit.clone_from(kit);
            spent.kit_changes = 1;
        }
        Ok(spent)
    }

    fn is_open(&self, place: &Place, id: &str) -> bool {
        place.open.iter().any(|open| self.states[*open].id == id)
    }

    fn holds(&self, place: &Place, needs: &[String]) -> Result<(), String> {
        for need in needs {
            let held = match need.strip_prefix('!') {
                Some("*") => place.open.is_empty(),
                Some(id) => !self.is_open(place, id),
                None => self.is_open(place, need),
            };
            if !held {
                return Err(format!("{need} does not hold"));
            }
        }
        Ok(())
    }

    fn done(&self, place: &Place, first: impl IntoIterator<Item = usize>) -> Result<(), String> {
        match first.into_iter().find(|first| !place.done.contains(first)) {
            Some(first) => Err(format!("{} comes first", self.work[first].id)),
            None => Ok(()),
        }
    }

    fn open(&self, place: &mut Place, number: usize) -> Result<u64, String> {
        let state = &self.states[number];
        if place.open.contains(&number) {
            return Err("is open already".to_owned());
        }
        if let Some(seal) = place.done.iter().find(|done| self.work[**done].finishes.contains(&state.id)) {
            return Err(format!("opened again after {}", self.work[*seal].id));
        }
        self.holds(place, &state.needs)?;
        self.done(place, state.first.iter().copied())?;
        place.open.insert(number);
        Ok(state.minutes[0])
    }

    fn close(&self, place: &mut Place, number: usize) -> Result<u64, String> {
        let state = &self.states[number];
        if !place.open.contains(&number) {
            return Err("is not open".to_owned());
        }
        if let Some(above) = place.open.iter().find(|open| self.states[**open].needs.contains(&state.id)) {
            return Err(format!("{} still rests on it", self.states[*above].id));
        }
        self.holds(place, &state.close_needs)?;
        place.open.remove(&number);
        Ok(state.minutes[1])
    }

    fn work(&self, place: &mut Place, number: usize) -> Result<Spent, String> {
        let work = &self.work[number];
        if place.done.contains(&number) {
            return Err("done twice".to_owned());
        }
        self.holds(place, &work.needs)?;
        self.done(place, work.first.iter().copied())?;
        if let Some(open) = work.finishes.iter().find(|id| self.is_open(place, id)) {
            return Err(format!("{open} must be shut first"));
        }
        place.done.insert(number);
        let due = (0..self.work.len()).filter(|other| self.work[*other].finds && !place.done.contains(other)).count();
        let waits = if work.finds { 0 } else { work.minutes * due as u64 };
        let switches = work.job.as_ref().is_some_and(|job| *job != place.job);
        if let Some(job) = work.job.as_ref().filter(|_| switches) {
            place.job.clone_from(job);
        }
        Ok(Spent { find_wait_min: waits, job_switches: u64::from(switches), ..Spent::default() })
    }

    /// Replays a whole plan.
    ///
    /// # Errors
    /// The first step that breaks a rule, and which.
    pub fn replay<'t>(&self, plan: impl IntoIterator<Item = &'t str>) -> Result<Spent, String> {
        let (mut place, mut spent) = (Place::default(), Spent::default());
        for (number, token) in (1..).zip(plan) {
            let step = self.step(&mut place, token).map_err(|why| format!("step {number} {token}: {why}"))?;
            spent = spent.and(step);
        }
        if self.is_done(&place) { Ok(spent) } else { Err("end: something is open or not done".to_owned()) }
    }
}

fn fresh(entry: &Value) -> Draft<'_> {
    Draft { entry, jobs: BTreeSet::new(), before: BTreeSet::new() }
}

/// What each state rests on under the answers.
fn state_needs(library: &Value, answers: &BTreeMap<String, String>) -> BTreeMap<String, Vec<String>> {
    let mut needs: BTreeMap<_, _> =
        list(library, "states").map(|state| (word(state, "id"), words(state, "needs"))).collect();
    for variant in list(library, "variants") {
        if answers.get(&word(variant, "key")) == Some(&word(variant, "value")) {
            needs.insert(word(variant, "state"), words(variant, "needs"));
        }
    }
    needs
}

/// Adds openers and finishers until nothing is added; the states that the order touches: what operations need open,
/// and what these states need `below` them, open or shutting.
fn imply<'v>(
    drafts: &mut BTreeMap<String, Draft<'v>>,
    below: &BTreeMap<String, Vec<String>>,
    common: impl Iterator<Item = &'v Value>,
) -> BTreeSet<String> {
    let common: Vec<_> = common.collect();
    loop {
        let mut todo: Vec<_> = drafts.values().flat_map(|draft| words(draft.entry, "needs")).collect();
        let mut touched = BTreeSet::new();
        while let Some(state) = todo.pop() {
            if !state.starts_with('!') && touched.insert(state.clone()) {
                todo.extend(below.get(&state).into_iter().flatten().cloned());
            }
        }
        let meets = |op: &&&Value| {
            let states = words(op, "opens").into_iter().chain(words(op, "finishes"));
            !drafts.contains_key(&word(op, "id")) && states.into_iter().any(|state| touched.contains(&state))
        };
        let new: Vec<_> = common.iter().filter(meets).copied().collect();
        if new.is_empty() {
            return touched;
        }
        for op in new {
            drafts.insert(word(op, "id"), fresh(op));
        }
    }
}
