//! Orders, their parts and their offers, from small made-up libraries and from the carried one.

mod made;

use made::{job, owned, plain, rests};
use upkeep::job::{
    Choice, Consumable, Job, JobOp, Kit, Library, LibraryFault, Line, Literal, MightNeed, Offer, OnFail, Operation,
    Order, OrderFault, Part, State, Variant, When, demand, in_there, least_access, shipped,
};

fn when(key: &str, value: &str) -> Option<When> {
    Some(When { key: key.to_owned(), value: value.to_owned() })
}

fn choice(key: &str, default: Option<&str>) -> Choice {
    Choice { key: key.to_owned(), values: owned(&["one", "two"]), default: default.map(str::to_owned) }
}

fn variant(value: &str, needs: &str) -> Variant {
    Variant {
        key: "asked".to_owned(),
        value: value.to_owned(),
        state: "top".to_owned(),
        needs: vec![Literal::of(needs)],
    }
}

fn library() -> Library {
    let mut top = rests("top", &["base"]);
    top.close_needs = vec![Literal::of("aside"), Literal::of("!never-opened")];
    top.open_after = owned(&["crack", "not-of-this-order"]);
    let opener = Operation { opens: owned(&["top"]), ..plain("opener", &["!*"]) };
    let sealer = Operation { finishes: owned(&["base", "never-opened"]), ..plain("sealer", &[]) };
    let other = Operation { finishes: owned(&["never-opened"]), ..plain("other-sealer", &[]) };
    let only_two = Operation { opens: owned(&["top"]), when: when("asked", "two"), ..plain("opener-of-two", &[]) };
    let ride = Operation { rides: true, ..plain("a-ride", &[]) };
    let by_choice = JobOp::Use { id: "crack".to_owned(), when: when("usual", "two") };
    let work = Job {
        ops: vec![
            JobOp::Own(plain("work", &["top", "!never-opened", "!base-not"])),
            by_choice,
            JobOp::Use { id: "a-ride".to_owned(), when: None },
        ],
        ..job("j", &[])
    };
    Library {
        states: vec![rests("base", &[]), top, rests("aside", &[]), rests("never-opened", &[]), rests("base-not", &[])],
        finishers: vec![sealer, other],
        shared: vec![opener, only_two, plain("crack", &[]), ride, plain("more", &[])],
        variants: vec![variant("one", "aside"), variant("two", "base")],
        choices: vec![choice("asked", None), choice("usual", Some("one"))],
        jobs: vec![work, job("k", &["more", "crack"]), job("l", &["more"])],
    }
}

fn built<'l>(library: &'l Library, jobs: &[&str], asked: &str) -> Order<'l> {
    Order::build(library, jobs, &[("asked", asked)]).expect("an order")
}

fn ops(order: &Order<'_>) -> Vec<String> {
    order.ops.iter().map(|op| op.source.id.clone()).collect()
}

fn states(order: &Order<'_>) -> Vec<String> {
    order.states.iter().map(|state| state.source.id.clone()).collect()
}

#[test]
fn an_order_holds_what_opening_brings_along_under_the_answers_given() {
    let library = library();
    let one = built(&library, &["j"], "one");
    assert_eq!(states(&one), ["aside", "top"], "the answer's own access, and what shutting needs open");
    assert_eq!(ops(&one), ["a-ride", "opener", "work"]);
    assert_eq!(one.turns_on, ["asked", "usual"]);
    let two = built(&library, &["j"], "two");
    assert_eq!(states(&two), ["aside", "base", "top"]);
    assert_eq!(ops(&two), ["a-ride", "opener", "opener-of-two", "sealer", "work"]);
    let top = two.states.last().expect("three");
    assert_eq!((&top.needs.open, &top.close_needs.open, &top.close_needs.shut), (&vec![1], &vec![0], &vec![]));
    assert_eq!(top.open_after, [1, 2], "the openers; what is not of the order falls away");
    assert!(two.ops[1].needs.all_shut && !two.ops[4].needs.all_shut);
    assert_eq!((&two.ops[4].needs.open, &two.ops[4].needs.shut), (&vec![2], &vec![]));
    assert_eq!(two.ops[3].finishes, [1]);
    // A ride comes after all that is no ride; beside that each comes after the one before it.
    assert_eq!(two.ops[0].after, [1, 2, 3, 4]);
    let library = Library { jobs: vec![job("m", &["more", "crack"]), job("k", &["crack"])], ..library };
    let both = built(&library, &["k", "m"], "one");
    assert_eq!((ops(&both), &both.ops[0].after, &both.ops[1].after), (owned(&["crack", "more"]), &vec![1], &vec![]));
    assert_eq!((both.ops[0].label(), both.ops[1].label()), (None, Some("m")));
    assert_eq!((&both.ops[0].jobs, &both.jobs), (&vec!["k", "m"], &vec!["k", "m"]));
    assert!(both.turns_on.is_empty());
}

#[test]
fn a_use_under_another_answer_is_not_of_the_order() {
    let library = library();
    let order = Order::build(&library, &["j"], &[("asked", "one"), ("usual", "two")]).expect("an order");
    let work = order.ops.iter().position(|op| op.source.id == "work").expect("it is");
    assert_eq!(ops(&order), ["a-ride", "crack", "opener", "work"]);
    assert_eq!(order.ops[1].after, [work]);
    assert_eq!(order.states[1].open_after, [1, 2]);
}

#[test]
fn what_makes_no_order_is_told_with_what_is_possible() {
    let library = library();
    let fault = |jobs: &[&str], choices: &[(&str, &str)]| Order::build(&library, jobs, choices).expect_err("no order");
    let possible = || owned(&["one", "two"]);
    assert_eq!(fault(&["j", "x"], &[]), OrderFault::UnknownJob("x".to_owned()));
    assert_eq!(fault(&["k", "l", "k"], &[]), OrderFault::Twice("k".to_owned()));
    assert_eq!(fault(&["j"], &[]), OrderFault::MissingChoice { key: "asked".to_owned(), possible: possible() });
    let unknown = |key: &str, value: &str, possible: Vec<String>| OrderFault::UnknownChoice {
        key: key.to_owned(),
        value: value.to_owned(),
        possible,
    };
    assert_eq!(fault(&["k"], &[("asked", "three")]), unknown("asked", "three", possible()));
    assert_eq!(fault(&["k"], &[("who", "one")]), unknown("who", "one", Vec::new()));
    let dangling = |owner: &str, field, target: &str| {
        OrderFault::Library(LibraryFault::Dangling { owner: owner.to_owned(), field, target: target.to_owned() })
    };
    let lost = Library { jobs: vec![job("j", &["nowhere"])], ..library.clone() };
    assert_eq!(Order::build(&lost, &["j"], &[]).expect_err("no order"), dangling("j", "use", "nowhere"));
    let lost = Library { shared: vec![plain("more", &["nowhere"])], ..library.clone() };
    assert_eq!(Order::build(&lost, &["l"], &[]).expect_err("no order"), dangling("more", "needs", "nowhere"));
    let lost = Library { states: vec![rests("s", &["nowhere"])], shared: vec![plain("more", &["s"])], ..library };
    assert_eq!(Order::build(&lost, &["l"], &[]).expect_err("no order"), dangling("s", "needs", "nowhere"));
}

#[test]
fn a_ring_is_told_in_its_own_order_and_without_what_leads_into_it() {
    let after = |id: &str, before: &[&str]| Operation { after: owned(before), ..plain(id, &[]) };
    let library = Library {
        shared: vec![
            after("a", &["b"]),
            after("b", &["d", "c"]),
            after("c", &["a"]),
            after("d", &[]),
            after("e", &["a"]),
        ],
        jobs: ["a", "b", "c", "d", "e"].iter().map(|op| job(&format!("j{op}"), &[op])).collect(),
        ..Library::default()
    };
    let ring = |jobs: &[&str]| match Order::build(&library, jobs, &[]) {
        Err(OrderFault::Cycle(ring)) => ring,
        other => unreachable!("{other:?}"),
    };
    for jobs in [&["ja", "jb", "jc"][..], &["je", "jc", "jb", "ja", "jd"]] {
        let found = ring(jobs);
        let turned = |by: usize| {
            let mut turned = found.clone();
            turned.rotate_left(by);
            turned
        };
        // Each before the next, the last before the first.
        assert!((0..found.len()).any(|by| turned(by) == ["c", "b", "a"] || turned(by) == ["a", "c", "b"]), "{found:?}");
        let before = |one: &str, next: &str| [("b", "a"), ("c", "b"), ("a", "c")].contains(&(one, next));
        for at in 0..3 {
            assert!(before(&found[at], &found[(at + 1) % 3]), "{found:?}");
        }
    }
    assert!(Order::build(&library, &["jb", "jc", "jd", "je"], &[]).is_ok());
}

fn part(role: &str, qty: u32, optional: bool) -> Part {
    Part { role: role.to_owned(), qty, optional }
}

fn fail(hold: &str, job: Option<&str>, parts: &[&str]) -> OnFail {
    OnFail { hold: hold.to_owned(), job: job.map(str::to_owned), parts: owned(parts) }
}

fn stocked() -> Library {
    let mut seat = rests("seat", &[]);
    seat.parts = vec![part("clip", 2, false), part("seal", 4, true)];
    seat.on_fail = vec![fail("seat-look", None, &["bolt"])];
    let mut lid: State = rests("lid", &[]);
    lid.parts = vec![part("gasket", 9, false), part("bolt", 6, true)];
    let look =
        Operation { on_fail: vec![fail("look", Some("bearings"), &["clip", "grease"])], ..plain("look", &["seat"]) };
    let again = Operation { on_fail: vec![fail("again", Some("wheel"), &["bolt"])], ..plain("again", &[]) };
    let wheel = Job {
        covers: owned(&["hub"]),
        parts: vec![part("seal", 1, false), part("tube", 1, true)],
        consumables: owned(&["grease", "rag"]),
        ops: vec![JobOp::Own(look), JobOp::Use { id: "again".to_owned(), when: None }],
        ..job("wheel", &[])
    };
    let tyre = Job {
        parts: vec![part("tube", 2, true), part("seal", 3, true)],
        consumables: owned(&["rag"]),
        ops: vec![JobOp::Own(plain("mount", &["seat"]))],
        ..job("tyre", &[])
    };
    let bearings = Job { parts: vec![part("bearing", 2, false), part("tool", 1, true)], ..job("bearings", &["more"]) };
    let hub = Job { parts: vec![part("grease", 5, false)], ..job("hub", &["more"]) };
    Library {
        states: vec![seat, lid],
        shared: vec![again, plain("more", &["lid"])],
        jobs: vec![wheel, tyre, bearings, hub],
        ..Library::default()
    }
}

fn line(role: &'static str, qty: u32, optional: bool, jobs: &[&'static str]) -> Line<'static> {
    Line { role, qty, optional, jobs: jobs.to_vec() }
}

#[test]
fn a_demand_asks_for_each_part_once_as_many_as_the_most_and_whether_anybody_insists() {
    let library = stocked();
    let full = demand(&library, &["tyre", "wheel"], &[], Kit::Full).expect("an order");
    let want = [
        line("clip", 2, false, &["tyre", "wheel"]),
        line("seal", 4, false, &["tyre", "wheel"]),
        line("tube", 2, true, &["tyre", "wheel"]),
    ];
    assert_eq!(full.lines, want);
    let used = |role, jobs: &[&'static str]| Consumable { role, jobs: jobs.to_vec() };
    assert_eq!(full.consumables, [used("grease", &["wheel"]), used("rag", &["tyre", "wheel"])]);
    let minimal = demand(&library, &["tyre", "wheel"], &[], Kit::Minimal).expect("an order");
    assert_eq!(minimal.lines, [line("clip", 2, false, &["tyre", "wheel"]), line("seal", 1, false, &["wheel"])]);
    assert_eq!(minimal.consumables, full.consumables);
}

#[test]
fn what_a_no_could_bring_is_counted_by_the_most_that_anything_asks_for() {
    let library = stocked();
    let might = |role, qty, hold, job| MightNeed { role, qty, hold, job };
    let found = demand(&library, &["wheel"], &[], Kit::Full).expect("an order");
    // The clip is on the list already; of the bearings only what they cannot do without.
    let want = [
        might("bearing", 2, "look", Some("bearings")),
        might("bolt", 6, "again", None),
        might("bolt", 6, "seat-look", None),
        might("grease", 5, "look", None),
    ];
    assert_eq!(found.might_need, want);
    assert_eq!(found.holds.into_iter().collect::<Vec<_>>(), ["again", "look", "seat-look"]);
    // A job that is of the order or covered by it is not brought.
    let found = demand(&library, &["wheel", "bearings"], &[], Kit::Full).expect("an order");
    assert!(found.might_need.iter().all(|might| might.job.is_none() && might.role != "bolt"));
    let mut covering = library.clone();
    covering.jobs[0].covers.push("bearings".to_owned());
    let found = demand(&covering, &["wheel"], &[], Kit::Full).expect("an order");
    assert!(found.might_need.iter().all(|might| might.role != "bearing"));
    let tyre = demand(&library, &["tyre"], &[], Kit::Full).expect("an order");
    assert_eq!(tyre.might_need, [might("bolt", 6, "seat-look", None)]);
    let mut lost = library;
    lost.states[0].on_fail.push(fail("seat-look", None, &["nowhere"]));
    let dangling =
        LibraryFault::Dangling { owner: "seat-look".to_owned(), field: "on_fail", target: "nowhere".to_owned() };
    assert_eq!(demand(&lost, &["tyre"], &[], Kit::Full), Err(OrderFault::Library(dangling)));
}

#[test]
fn an_offer_is_a_job_that_saves_access_by_being_done_along() {
    let library = shipped().library();
    let all: Vec<&str> = library.jobs.iter().map(|job| job.id.as_str()).collect();
    let order = |jobs: &[&str], choices: &[(&str, &str)]| Order::build(library, jobs, choices);
    let signed = |minutes: u64| i64::try_from(minutes).expect("few");
    let access = |order: &Order<'_>| signed(least_access(order).expect("can be done"));
    let work = |order: &Order<'_>| signed(order.work_min());
    let mut offered = 0;
    for (jobs, choices) in [
        (&["final-drive-set"][..], &[("front-retention", "nut")][..]),
        (&["rear-tyre"], &[]),
        (&["swingarm-linkage-grease", "coolant"], &[("front-retention", "plate")]),
        (&["steering-head"], &[]),
    ] {
        let found = in_there(library, jobs, choices, &all).expect("an order");
        let base = order(jobs, choices).expect("an order");
        let (mut want, mut undecided) = (Vec::new(), Vec::new());
        for &id in &all {
            let covered = |job: &&str| library.job(job).expect("there").covers.iter().any(|covered| covered == id);
            if jobs.contains(&id) || jobs.iter().any(covered) {
                continue;
            }
            let Ok(alone) = order(&[id], choices) else {
                undecided.push(id);
                continue;
            };
            let inside = |state: &str| base.states.iter().any(|known| known.source.id == state);
            if !alone.states.iter().all(|state| inside(&state.source.id)) {
                continue;
            }
            let both = order(&[jobs, &[id]].concat(), choices).expect("an order");
            let extra_access_min = access(&both) - access(&base);
            let saved_access_min = access(&alone) - extra_access_min;
            if saved_access_min > 0 {
                let extra_work_min = work(&both) - work(&base);
                want.push(Offer { job: id, extra_access_min, extra_work_min, saved_access_min });
            }
        }
        want.sort_by_key(|offer| (offer.extra_access_min, -offer.saved_access_min, offer.job));
        assert_eq!((&found.offers, &found.undecided), (&want, &undecided), "{jobs:?}");
        offered += want.len();
    }
    assert!(offered > 8, "{offered}");
    assert_eq!(in_there(library, &["rear-tyre"], &[], &[]).expect("an order").offers, []);
}
