//! Two tabs with the same form, and one form sent twice: nothing is stored twice, and nobody overwrites unawares.

use crate::bench::{Bench, Server, Visitor, taken};

/// Somebody at the form of the link count.
fn tab(server: &Server) -> Visitor {
    server.visitor("/bike?field=links").expect("a page")
}

/// Sends the link count as the form of a tab does.
fn send(tab: &Visitor, key: &str, links: &str) -> Option<String> {
    let last = tab
        .page
        .split("name=\"field\" value=\"links\"")
        .nth(1)
        .and_then(|rest| rest.split("name=\"last\" value=\"").nth(1));
    let last = last.and_then(|rest| rest.split('"').next()).expect("what it was opened on");
    tab.post("/bike", key, &format!("bike=alder-350&field=links&last={last}&links={links}"))
}

fn links(bench: &Bench) -> Vec<i64> {
    let document = bench.whole();
    let facts = document["tables"]["fact"].as_array().cloned().unwrap_or_default();
    facts.iter().filter(|fact| fact["field"] == "links").filter_map(|fact| fact["value"].as_i64()).collect()
}

#[test]
fn of_two_tabs_the_second_is_told_what_the_first_one_saved() {
    let bench = Bench::new("tabs");
    let server = bench.serve();
    let (one, two) = (tab(&server), tab(&server));
    assert!(taken(send(&one, "one", "116").as_ref()));
    let told = send(&two, "two", "120").expect("an answer");
    assert!(told.starts_with("HTTP/1.1 422"), "{}", told.lines().next().unwrap_or_default());
    assert!(told.contains("Changed meanwhile: it says 116 now, you typed 120"), "both values are named");
    assert!(told.contains("value=\"120\""), "what was typed is kept");
    assert_eq!(links(&bench), [118, 116]);
    // Sent again from the page that told, it takes its place; both stay in the history.
    assert!(taken(send(&tab(&server), "three", "120").as_ref()));
    assert_eq!(links(&bench), [118, 116, 120]);
}

#[test]
fn the_same_form_sent_twice_is_stored_once_even_over_a_restart() {
    let bench = Bench::new("twice");
    let mut server = bench.serve();
    let one = tab(&server);
    let (first, second) = (send(&one, "same", "116"), send(&one, "same", "116"));
    assert!(taken(first.as_ref()) && taken(second.as_ref()), "{first:?} {second:?}");
    assert_eq!(links(&bench), [118, 116]);
    let other = send(&one, "same", "120").expect("an answer");
    assert!(other.starts_with("HTTP/1.1 422"), "one key is one form: {}", other.lines().next().unwrap_or_default());
    server.kill();
    let server = bench.serve();
    let again = send(&tab(&server), "same", "116");
    assert!(again.is_some());
    assert_eq!(links(&bench), [118, 116]);
}

#[test]
fn a_new_bike_and_a_ride_sent_again_after_a_restart_are_answered_as_the_first_time() {
    let bench = Bench::new("again");
    let mut first = None;
    for round in 0..2 {
        let server = bench.serve();
        let made = server.visitor("/bike").and_then(|visitor| visitor.post("/bike/new", "one", "id=b-1&name=Name+b-1"));
        assert!(taken(made.as_ref()), "round {round}: {made:?}");
        let ride = "bike=b-1&at=&hours=2&ground=loam&other_ground=&wet=dry&odd=&note=";
        let logged = server.visitor("/rides/log").and_then(|visitor| visitor.post("/rides/log", "two", ride));
        assert!(taken(logged.as_ref()), "round {round}: {logged:?}");
        let tables = bench.whole()["tables"].clone();
        assert_eq!(first.get_or_insert_with(|| tables.clone()), &tables, "something is stored twice");
    }
}

#[test]
fn two_programs_write_to_one_store_and_both_are_kept() {
    let bench = Bench::new("both");
    let server = bench.serve();
    let page = tab(&server);
    bench.done(&["drive", "meter", "100", "--at", "2026-01-01"]);
    assert!(taken(send(&page, "k", "116").as_ref()));
    assert_eq!(links(&bench), [118, 116]);
    assert!(bench.done(&["drive", "history", "--plain"]).contains("meter 100.0 h"));
}
