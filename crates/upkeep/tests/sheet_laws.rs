//! Every bench sheet of the carried library, step by step, against what its plan and the job files say.

use std::collections::BTreeSet;

use upkeep::job::handbook::{CautionEntry, Level, StateEntry};
use upkeep::job::{
    Act, Chosen, Handbook, Known, Minutes, Order, OrderState, Plan, SheetStep, Verb, WorkSheet, plan, sheet_of, shipped,
};

const ANSWERS: [&[(&str, &str)]; 3] = [
    &[("front-retention", "nut")],
    &[("front-retention", "snap-ring"), ("pins", "press"), ("chain-parting", "keep-joined")],
    &[("front-retention", "plate"), ("setup", "same")],
];

/// Each job alone, and some together.
fn orders() -> Vec<Vec<&'static str>> {
    let mut all: Vec<Vec<&str>> = shipped().jobs().iter().map(|file| vec![file.job.id.as_str()]).collect();
    all.extend([
        vec!["final-drive-set", "reeds"],
        vec!["reeds", "brake-pads-rear", "chain-cut-join"],
        vec!["rear-tyre", "front-tyre"],
        vec!["chain-cut-join", "brake-fluid"],
    ]);
    all
}

struct Laid {
    order: Order<'static>,
    plan: Plan,
    chosen: Chosen<'static>,
    known: Vec<&'static str>,
    sheet: WorkSheet<'static>,
}

/// Each order under each set of answers, with some of its figures known.
fn laid() -> Vec<Laid> {
    let book = shipped();
    let mut all = Vec::new();
    for jobs in orders() {
        for (turn, choices) in ANSWERS.into_iter().enumerate() {
            let order = Order::build(book.library(), &jobs, choices).expect("an order");
            let plan = plan(&order).expect("can be done");
            let chosen = Chosen::of(book.library(), choices).expect("answers");
            let known: Vec<&str> = book.figures().map(|figure| figure.id.as_str()).skip(turn).step_by(3).collect();
            let about = Known { figures: &known, skill: Some(2), ..Known::default() };
            let sheet = sheet_of(book, &order, &plan, &chosen, &about).expect("a sheet");
            all.push(Laid { order, plan, chosen, known, sheet });
        }
    }
    all
}

/// What a step or state carries: what it names and what its tags bring, none of another answer, the loudest first.
fn carried(
    book: &'static Handbook,
    chosen: &Chosen<'_>,
    names: &[String],
    tags: &[String],
) -> Vec<&'static CautionEntry> {
    let holds = |caution: &&CautionEntry| {
        caution.when.as_ref().is_none_or(|when| {
            let (key, value) = when.split_once(':').expect("key:value");
            chosen.answer(key) == Some(value)
        })
    };
    let mut all: Vec<&CautionEntry> = Vec::new();
    let tagged = book.cautions().iter().filter(|caution| caution.applies.iter().any(|tag| tags.contains(tag)));
    for caution in names.iter().filter_map(|name| book.caution(name)).chain(tagged).filter(holds) {
        if all.iter().all(|known| known.id != caution.id) {
            all.push(caution);
        }
    }
    let mut sorted = Vec::new();
    for level in [Level::Stop, Level::Warn, Level::Note] {
        sorted.extend(all.iter().copied().filter(|caution| caution.level == level));
    }
    sorted
}

fn state_of<'o>(order: &'o Order<'static>, number: usize) -> &'o OrderState<'static> {
    &order.states[number]
}

/// What a state's step says; its minutes and tools.
fn says_its_state(step: &SheetStep<'_>, state: &'static StateEntry, opens: bool) -> (u32, &'static str) {
    assert_eq!(step.verb, if opens { Verb::Open } else { Verb::Close });
    assert_eq!((step.id, step.text), (state.id.as_str(), if opens { state.open.as_str() } else { &state.close }));
    assert_eq!(step.title == state.title, opens);
    assert!(step.title.starts_with(&state.title) && step.jobs.is_empty() && step.figures.len() <= step.holds.len());
    assert_eq!(step.holds.len(), if opens { 0 } else { state.close_holds.len() });
    assert_eq!(step.sits_in, Some(state.id.as_str()));
    (if opens { state.open_min } else { state.close_min }, &state.kit)
}

/// What an operation's step says; its minutes and tools.
fn says_its_operation(laid: &Laid, step: &SheetStep<'_>, at: usize) -> (u32, &'static str) {
    let wants = &laid.order.ops[at];
    let op = shipped().op(&wants.source.id).expect("an operation");
    assert_eq!((step.verb, step.id, step.text, &step.jobs), (Verb::Do, op.id.as_str(), op.text.as_str(), &wants.jobs));
    assert_eq!(step.holds.len(), usize::from(op.hold.is_some()));
    match &op.title {
        Some(title) => assert_eq!(&step.title, title),
        None => assert_eq!(step.title.to_lowercase(), op.id.replace('-', " ").to_lowercase()),
    }
    assert!(step.title.chars().next().is_some_and(char::is_uppercase), "{}", step.title);
    // In the state that was opened last of those that it needs.
    let mut open: Vec<usize> = Vec::new();
    for before in &laid.plan.steps[..step.number - 1] {
        match before {
            Act::Open(state) => open.push(*state),
            Act::Close(state) => open.retain(|known| known != state),
            Act::Do(_) => {}
        }
    }
    let inside = open.iter().rev().find(|state| wants.needs.open.contains(state));
    assert_eq!(step.sits_in, inside.map(|state| state_of(&laid.order, *state).source.id.as_str()));
    (op.min, &op.kit)
}

/// What a step asks for, and what it waits for.
fn asks_for_its_figures(laid: &Laid, step: &SheetStep<'_>) {
    let (book, known) = (shipped(), &laid.known);
    for figure in &step.figures {
        assert_eq!(figure.known, known.contains(&figure.figure.id.as_str()));
    }
    for shown in &step.holds {
        let accept: Vec<&str> = shown.hold.accept.iter().flat_map(|accept| accept.split('|')).map(str::trim).collect();
        assert_eq!(shown.accept, accept);
        let why = shown.hold.why.as_ref().and_then(|why| book.caution(why));
        assert_eq!(shown.why, why.map(|caution| caution.text.as_str()));
        let figure = shown.hold.accept_figure.as_ref().and_then(|id| book.figure(id));
        let asked = step.figures.iter().any(|asked| Some(&asked.figure.id) == shown.hold.accept_figure.as_ref());
        assert_eq!(figure.is_some(), asked);
        let waits = figure
            .filter(|figure| (figure.required || figure.fallback == "none") && !known.contains(&figure.id.as_str()));
        assert_eq!(shown.waits_for, waits);
    }
}

#[test]
fn each_step_says_what_the_files_say_of_it() {
    for laid in &laid() {
        let Laid { order, plan, sheet, .. } = laid;
        assert_eq!(sheet.steps.len(), plan.steps.len());
        assert_eq!((sheet.cost, sheet.proven), (plan.cost, plan.proven));
        let (mut clock, mut kit) = (0.0, "");
        for ((number, step), act) in (1..).zip(&sheet.steps).zip(&plan.steps) {
            assert_eq!((step.number, &step.token), (number, &order.token(*act)));
            let (min, tools) = match *act {
                Act::Open(at) | Act::Close(at) => {
                    let state = shipped().state(&state_of(order, at).source.id).expect("a state");
                    says_its_state(step, state, matches!(act, Act::Open(_)))
                }
                Act::Do(at) => says_its_operation(laid, step, at),
            };
            asks_for_its_figures(laid, step);
            clock += f64::from(min);
            let minutes = |minutes: Minutes, mid: f64| {
                (minutes.mid_min - mid).abs() < 1e-9
                    && (minutes.low_min - 0.8 * mid).abs() < 1e-9
                    && (minutes.high_min - 2.0 * mid).abs() < 1e-9
            };
            assert!(minutes(step.minutes, f64::from(min)) && minutes(step.clock, clock), "{}", step.token);
            assert_eq!(step.kit.map_or("", |kit| kit.id.as_str()), tools);
            assert_eq!(step.picks_up, !tools.is_empty() && tools != kit);
            if !tools.is_empty() {
                kit = tools;
            }
        }
        let by = |of: fn(Verb) -> bool| {
            sheet.steps.iter().filter(|step| of(step.verb)).map(|step| step.minutes.mid_min).sum::<f64>()
        };
        assert!((sheet.access.mid_min - by(|verb| verb != Verb::Do)).abs() < 1e-9);
        assert!((sheet.work.mid_min - by(|verb| verb == Verb::Do)).abs() < 1e-9);
        assert!((sheet.total.mid_min - clock).abs() < 1e-9 && (sheet.total.high_min - 2.0 * clock).abs() < 1e-9);
    }
}

/// What a step of a plan carries; for a state also while it stays open.
fn carried_on(laid: &Laid, act: Act) -> Vec<&'static CautionEntry> {
    match act {
        Act::Open(at) | Act::Close(at) => {
            let state = shipped().state(&state_of(&laid.order, at).source.id).expect("a state");
            carried(shipped(), &laid.chosen, &state.cautions, &state.tags)
        }
        Act::Do(at) => {
            let op = shipped().op(&laid.order.ops[at].source.id).expect("an operation");
            carried(shipped(), &laid.chosen, &op.cautions, &op.tags)
        }
    }
}

#[test]
fn cautions_stand_where_the_files_bring_them_two_in_full_and_each_once() {
    let (mut joined, mut cold) = (0, 0);
    for laid in &laid() {
        let Laid { plan, sheet, .. } = laid;
        let (mut met, mut full): (BTreeSet<&str>, BTreeSet<&str>) = (BTreeSet::new(), BTreeSet::new());
        let mut all: Vec<&CautionEntry> = Vec::new();
        let (mut open, mut after_sparks): (Vec<usize>, bool) = (Vec::new(), false);
        for (step, act) in sheet.steps.iter().zip(&plan.steps) {
            let here = carried_on(laid, *act);
            if let Act::Open(at) = act {
                open.push(*at);
            }
            let mut room = 2;
            assert_eq!(step.cautions.len(), here.len(), "{}", step.token);
            for (shown, caution) in step.cautions.iter().zip(&here) {
                let in_full = room > 0 && full.insert(&caution.id);
                room -= usize::from(in_full);
                assert_eq!(
                    (&shown.caution.id, shown.in_full, shown.first),
                    (&caution.id, in_full, met.insert(&caution.id)),
                    "{}",
                    step.token
                );
                if all.iter().all(|known| known.id != caution.id) {
                    all.push(caution);
                }
            }
            let text = |cautions: &[&CautionEntry], id: &str| {
                cautions.iter().find(|caution| caution.id == id).map(|caution| caution.text.clone())
            };
            let around: Vec<&CautionEntry> = open.iter().flat_map(|at| carried_on(laid, Act::Open(*at))).collect();
            let sparks = text(&here, "grinder");
            let vapour = text(&around, "fuel-vapour").or(text(&here, "fuel-vapour"));
            let meets_fuel = sparks.clone().zip(vapour).map(|(sparks, vapour)| format!("{sparks} {vapour}"));
            let solvent = text(&here, "brake-cleaner").filter(|_| sparks.is_some() || after_sparks);
            after_sparks = sparks.is_some();
            joined += usize::from(meets_fuel.is_some());
            match (meets_fuel, solvent) {
                (Some(both), _) => assert_eq!(step.conflict.as_ref(), Some(&both)),
                (None, Some(solvent)) => {
                    cold += 1;
                    assert!(
                        step.conflict
                            .as_ref()
                            .is_some_and(|told| told.ends_with(&solvent) && told.contains("pins are cold"))
                    );
                }
                (None, None) => assert_eq!(step.conflict, None, "{}", step.token),
            }
            if let Act::Close(at) = act {
                open.retain(|known| known != at);
            }
        }
        let ids = |cautions: &[&CautionEntry]| cautions.iter().map(|caution| caution.id.clone()).collect::<Vec<_>>();
        let (stops, others): (Vec<_>, Vec<_>) = all.into_iter().partition(|caution| caution.level == Level::Stop);
        assert_eq!(ids(&sheet.stops), ids(&stops));
        let left: Vec<_> = others.into_iter().filter(|caution| !full.contains(caution.id.as_str())).collect();
        assert_eq!(ids(&sheet.more_cautions), ids(&left));
    }
    assert!(joined > 0, "fuel {joined}, pins {cold}");
}

#[test]
fn the_lists_of_a_sheet_hold_what_its_steps_use_in_the_order_of_first_use() {
    let book = shipped();
    for Laid { order, chosen, sheet, .. } in &laid() {
        let mut kits: Vec<(&str, Vec<usize>)> = Vec::new();
        let mut missing: Vec<(&str, Vec<usize>)> = Vec::new();
        let note = |list: &mut Vec<(&'static str, Vec<usize>)>, id: &'static str, number: usize| match list
            .iter_mut()
            .find(|known| known.0 == id)
        {
            Some(known) => known.1.push(number),
            None => list.push((id, vec![number])),
        };
        for step in &sheet.steps {
            if let Some(kit) = step.kit {
                note(&mut kits, &kit.id, step.number);
            }
            for figure in step.figures.iter().filter(|figure| !figure.known) {
                note(&mut missing, &figure.figure.id, step.number);
            }
        }
        assert_eq!(sheet.tools.iter().map(|tool| (tool.kit.id.as_str(), tool.steps.clone())).collect::<Vec<_>>(), kits);
        assert_eq!(
            sheet.missing.iter().map(|one| (one.figure.id.as_str(), one.steps.clone())).collect::<Vec<_>>(),
            missing
        );
        let jobs: Vec<&str> = sheet.jobs.iter().map(|job| job.job.id.as_str()).collect();
        assert_eq!(jobs, order.jobs);
        assert!(sheet.jobs.iter().all(|job| job.above_skill == (job.job.skill > 2)));
        let files = || jobs.iter().filter_map(|id| book.job(id));
        let later: Vec<&str> = files().flat_map(|file| file.follow_up.iter().map(|one| one.text.as_str())).collect();
        assert_eq!(sheet.due_later.iter().map(|one| one.follow_up.text.as_str()).collect::<Vec<_>>(), later);
        for part in &sheet.parts {
            let entry = part.part.expect("it is described");
            assert_eq!(entry.role, part.line.role);
            let own = files().flat_map(|file| &file.part).any(|one| one == entry);
            let state = || {
                order
                    .states
                    .iter()
                    .filter_map(|state| book.state(&state.source.id))
                    .flat_map(|state| &state.part)
                    .any(|one| one == entry)
            };
            assert!(own || state(), "{}", entry.role);
        }
        let used: BTreeSet<&str> = files().flat_map(|file| &file.consumable).map(|one| one.role.as_str()).collect();
        assert_eq!(sheet.consumables.iter().copied().collect::<BTreeSet<_>>(), used);
        for (choice, answer) in &sheet.choices {
            assert_eq!(chosen.answer(&choice.key), Some(*answer));
        }
        let told: BTreeSet<&str> = sheet.choices.iter().map(|(choice, _)| choice.key.as_str()).collect();
        let named = sheet.steps.iter().flat_map(|step| match step.verb {
            Verb::Do => &book.op(step.id).expect("an operation").cautions,
            _ => &book.state(step.id).expect("a state").cautions,
        });
        let keys = named.filter_map(|id| book.caution(id)?.when.as_deref()?.split_once(':')).map(|when| when.0);
        assert_eq!(told, keys.chain(order.turns_on.iter().copied()).collect::<BTreeSet<_>>());
    }
}

#[test]
fn groups_are_the_runs_of_steps_that_sit_in_one_state() {
    let book = shipped();
    for Laid { sheet, .. } in &laid() {
        let mut next = 1;
        for group in &sheet.groups {
            assert_eq!(group.first, next);
            let inside = sheet.steps[group.first - 1].sits_in;
            assert!(sheet.steps[group.first - 1..group.last].iter().all(|step| step.sits_in == inside));
            assert_eq!(group.title, inside.and_then(|id| book.state(id)).map(|state| state.title.as_str()));
            assert!(sheet.steps.get(group.last).is_none_or(|step| step.sits_in != inside));
            next = group.last + 1;
        }
        assert_eq!(next, sheet.steps.len() + 1);
    }
}
