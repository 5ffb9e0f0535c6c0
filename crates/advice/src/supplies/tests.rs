//! The list against the shelf: what is missing, what it costs, when to order, what waiting costs.

use upkeep::supply::{Event, Supply};

use super::*;

fn day(text: &str) -> Date {
    text.parse().expect("a day")
}

fn shelf(facts: &[(&str, Event)]) -> Shelf {
    let facts: Vec<Supply> =
        facts.iter().map(|(role, event)| Supply::new(role, event.clone()).expect("possible")).collect();
    Shelf::of(facts.iter().map(|fact| (day("2026-09-20"), fact)))
}

fn plan() -> PlanView {
    let toml = include_str!("../../../../data/bikes/alder-350.toml");
    let bike = upkeep::bike::Bike::from_toml(toml).expect("the demo's bike");
    let setup = crate::Setup::fitted(&bike).expect("fitted");
    let choices = vec![("front-retention".to_owned(), "nut".to_owned())];
    let wish = crate::plan::Wish { jobs: vec!["final-drive-set".to_owned()], choices, ..Default::default() };
    crate::plan::view(&bike, setup, &wish).expect("a plan")
}

fn parts(facts: &[(&str, Event)]) -> PartsView {
    let shelf = shelf(facts);
    let asked = Asked { shelf: &shelf, today: day("2026-09-24"), needed: Some(day("2026-10-10")), order: None };
    view(&plan(), asked).expect("a list")
}

fn part(view: &PartsView, role: &str) -> Part {
    view.parts.iter().find(|part| part.role == role).cloned().expect(role)
}

#[test]
fn a_part_that_nobody_counted_is_not_there_and_not_known() {
    let view = parts(&[]);
    let chain = part(&view, "chain");
    assert_eq!((chain.state, chain.have, chain.to_buy), ("not counted", None, 1));
    assert_eq!(view.facts[0].text, "not known", "no price is no total");
    assert!(view.reasons.iter().any(|reason| reason.verdict == crate::Verdict::Unknown), "{:?}", view.reasons);
}

#[test]
fn what_lies_there_or_is_on_its_way_is_not_bought_again() {
    let view =
        parts(&[("chain", Event::Put(1)), ("front sprocket", Event::Ordered(1)), ("rear sprocket", Event::Counted(0))]);
    assert_eq!((part(&view, "chain").state, part(&view, "chain").to_buy), ("have", 0));
    assert_eq!((part(&view, "front sprocket").state, part(&view, "front sprocket").to_buy), ("on its way", 0));
    assert_eq!((part(&view, "rear sprocket").state, part(&view, "rear sprocket").to_buy), ("missing", 1));
    let state = |role: &str| &*view.table.rows.iter().find(|row| row[0].text == role).expect(role)[3].text;
    let states = ["chain", "front sprocket", "rear sprocket"].map(state);
    assert_eq!(states, ["have", "on its way (1 ordered)", "missing"], "the count stands where something is ordered");
}

#[test]
fn each_currency_has_its_own_total_and_a_line_without_price_makes_it_at_least() {
    let view = parts(&[
        ("chain", Event::Price(8950, 9200, "EUR".into())),
        ("rear sprocket", Event::Price(5200, 5200, "EUR".into())),
        ("front sprocket", Event::Price(3000, 3000, "JPY".into())),
        ("connecting link", Event::Put(1)),
    ]);
    let totals: Vec<&str> =
        view.facts.iter().filter(|fact| fact.key == "total_minor").map(|fact| &*fact.text).collect();
    // 89.50 + 52.00 and 92.00 + 52.00; yen have no decimals.
    assert_eq!(totals, ["at least 141.50 to 144.00 EUR", "at least 3000 JPY"]);
    assert!(view.facts[0].reason.contains("without price"), "{}", view.facts[0].reason);
}

#[test]
fn the_last_day_to_order_lies_the_delivery_before_the_work_and_a_past_one_says_so() {
    let ordered = parts(&[("chain", Event::Lead(9))]);
    assert_eq!(part(&ordered, "chain").order_by.as_deref(), Some("2026-10-01"));
    let late = parts(&[("chain", Event::Lead(30))]);
    assert!(late.reasons.iter().any(|reason| reason.text.contains("too late")), "{:?}", late.reasons);
}

#[test]
fn waiting_for_a_part_of_the_in_case_list_names_the_saturdays_it_costs() {
    let in_case = parts(&[]).in_case;
    let role = in_case.first().expect("something").role.clone();
    let view = parts(&[(&*role, Event::Lead(9))]);
    let row = view.in_case_table.rows.iter().find(|row| row[1].text == role).expect("its row");
    // Opened on Saturday 2026-10-10, there nine days later; the 17th lies between.
    assert_eq!(row[6].text, "there on 2026-10-19; Saturday 2026-10-17 lost");
    let had = parts(&[(&*role, Event::Put(50))]);
    let row = had.in_case_table.rows.iter().find(|row| row[1].text == role).expect("its row");
    assert_eq!(row[6].text, "it is there");
}

#[test]
fn the_title_names_the_order_the_work_and_the_day() {
    let shelf = shelf(&[]);
    let asked = |needed, order| {
        view(&plan(), Asked { shelf: &shelf, today: day("2026-09-24"), needed, order }).expect("a list").title
    };
    let said = asked(Some(day("2026-10-10")), Some(7));
    assert!(
        said.starts_with("Work order 7. ") && said.contains(&plan().title()) && said.ends_with("by 2026-10-10."),
        "{said}"
    );
    assert!(asked(None, None).contains("No day is set"));
}

#[test]
fn what_is_missing_stands_above_what_is_there_and_a_price_that_nobody_knows_is_a_dash() {
    let view = parts(&[("chain", Event::Put(1)), ("rear sprocket", Event::Price(5200, 5900, "EUR".into()))]);
    let missing = |row: &Vec<crate::Cell>| part(&view, row[0].text.trim_end_matches(" (if needed)")).to_buy > 0;
    let order: Vec<bool> = view.table.rows.iter().map(missing).collect();
    assert!(order.is_sorted_by(|above, below| above >= below) && order[0] && !order[order.len() - 1], "{order:?}");
    let price = |role: &str| &view.table.rows.iter().find(|row| row[0].text == role).expect(role)[4].text;
    assert_eq!(price("chain"), "–");
    assert!(
        price("rear sprocket").contains("52") && price("rear sprocket").contains("59"),
        "{}",
        price("rear sprocket")
    );
}

#[test]
fn what_is_on_its_way_for_other_work_is_shown_beside_and_a_mere_price_is_not() {
    let view = parts(&[
        ("spare tube", Event::Ordered(2)),
        ("brake pads", Event::Put(1)),
        ("visor", Event::Price(1500, 1500, "EUR".into())),
        ("chain", Event::Put(1)),
    ]);
    let mut rows: Vec<(&str, &str, &str)> =
        view.shelf.rows.iter().map(|row| (&*row[0].text, &*row[1].text, &*row[2].text)).collect();
    rows.sort_unstable();
    assert_eq!(rows, [("brake pads", "1", "0"), ("spare tube", "–", "2")], "the chain is of this work");
}
