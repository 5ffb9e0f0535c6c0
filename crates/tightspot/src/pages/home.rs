//! The first screen: can I ride, and what first. The answer, its reasons, then pair, fit, slack and bench work in short.

use std::sync::Arc;

use advice::decision::{self, DecisionView, Part, Standing};
use advice::ready::{OpenJob, ReadyView};
use advice::slack::Read;
use advice::{Fact, Reason, Table, Verdict};
use axum::extract::State;
use axum::response::Response;
use axum::routing::get;
use jiff::civil::DateTime;
use maud::{Markup, html};
use upkeep::bike::Bike;

use super::answer::{blocks, fact_list, gap, reason_list, table_of};
use super::cautions;
use super::gearing::address;
use super::typed::Typed;
use crate::asked::{self, Door, Faulty};
use crate::frame::field::Field;
use crate::frame::figure::pairs;
use crate::frame::verdict::verdict;
use crate::frame::{Head, Place, actions, details, folded, live_part};
use crate::problem::Problem;
use crate::serve::{AppState, Page, Visit, beside};

/// This slice's pages.
pub(crate) const PAGES: &[Page] = &[Page::new("/", "Fit to ride", || get(show)).at(visits)];

const HEAD: Head<'static> = Head::new("Fit to ride", Place::Fit);
/// The part that the script renews.
const ANSWER: &str = "answer";

fn visits(_: &AppState) -> Vec<String> {
    ["/", "/?slack_mm=85", "/?slack_mm=70", "/?slack_mm=3+fingers"].map(str::to_owned).to_vec()
}

async fn show(State(state): State<AppState>, visit: Visit, typed: Typed) -> Result<Response, Response> {
    let bike = visit.bike()?.clone();
    let asking = move || {
        let names = ride_names(&state, &bike.id);
        match answered(&state, &bike, &typed) {
            Ok(answer) => (Some(answer), typed, names),
            Err(faults) => (None, typed.faulty(faults), names),
        }
    };
    let (answer, typed, names) = beside(asking).await?;
    if let Some(answer) = answer.as_deref().filter(|_| visit.wants(ANSWER)) {
        return Ok(visit.fragment(answer.clone()));
    }
    let main = html! {
        @if let Some(answer) = &answer { (answer) } @else { h1 { (HEAD.title) } }
        (form(&typed, &names))
    };
    Ok(typed.answer(&visit, HEAD, &main))
}

/// The whole answer, or what is wrong with the question.
fn answered(state: &AppState, bike: &Bike, typed: &Typed) -> Result<Arc<Markup>, Vec<Faulty>> {
    let work = |now| worked_out(state, bike, typed, now).map(|answer| answer_part(&answer));
    state.answered(bike, format!("home {:?}", typed.texts()), work)
}

fn worked_out(state: &AppState, bike: &Bike, typed: &Typed, now: DateTime) -> Result<Part<DecisionView>, Vec<Faulty>> {
    let mut door = Door::default();
    let slack_mm = door.read(typed.given("slack_mm"), None, None).slack_mm;
    let ground = match asked::ground(typed.given("ground")) {
        Ok(ground) => ground,
        Err(faults) => {
            door.faults.extend(faults);
            advice::ground::USUAL
        }
    };
    if !door.faults.is_empty() {
        return Err(door.faults);
    }
    let at_ride = |problem: Problem| vec![Faulty { field: "ride", text: problem.lines().join(" ") }];
    let name = typed.given("ride").filter(|name| !name.is_empty());
    let ride = name.map(|name| state.garage().stored_ride(bike, name)).transpose().map_err(at_ride)?;
    let record = state.garage().record_at(bike, now).map_err(at_ride)?;
    let standing = match &ride {
        Some(ride) => Standing::of(bike, None, Some(ride), ground),
        None => state
            .of_sheet(bike, &format!("standing on {}", ground.word), || Standing::of(bike, None, None, ground))
            .map(|standing| Standing::clone(&standing)),
    };
    let view = standing.map(|standing| decision::on_record(&record, standing, Read { slack_mm, ..Read::default() }));
    Ok(view.map_or_else(Part::NotKnown, Part::Known))
}

fn ride_names(state: &AppState, bike: &str) -> Vec<String> {
    let rides = state.garage().rides(bike).unwrap_or_default();
    rides.iter().filter(|ride| ride.has_track).map(|ride| ride.about.name.clone()).collect()
}

fn answer_part(answer: &Part<DecisionView>) -> Markup {
    match answer {
        Part::NotKnown(missing) => live_part(ANSWER, "Not known", &html! { h1 { (HEAD.title) } (gap(missing)) }),
        Part::Known(view) => live_part(ANSWER, view.verdict.words(), &known(view)),
    }
}

/// As many lines of a list as the first screen shows.
const FEW: usize = 5;
/// As many reasons as stand unfolded.
const FIRST_REASONS: usize = 3;

/// Two screens of a phone: verdict, reasons, the work that lies open, the three buttons. Behind them a line for each of
/// chain, gearing, due and order, that says the chief thing and opens to the rest.
fn known(view: &DecisionView) -> Markup {
    let sentence = view.record.as_ref().map_or(&view.sentence, |record| &record.sentence);
    html! {
        (verdict(view.verdict, sentence, &html! {}))
        (why(&view.reasons))
        @if let Some(record) = &view.record { (open_jobs(record)) }
        p class="buttons thirds" {
            a class="button primary" href="/rides/log" { "Log ride" }
            a class="button" href="/drive/measure" { "Measure chain" }
            a class="button" href="/jobs" { "Start job" }
        }
        @if let Some(record) = &view.record { (ahead(record)) (strip(record)) }
        (line("Gearing", &pair_in_short(view), &html! {
            (part_of(&view.gearing, |part| blocks(part.brief().get(1..3).unwrap_or_default())))
            p { a href="/gearing" { "All about the gearing" } }
        }))
        (details("Fit, slack, bench work", &parts(view)))
    }
}

/// The first reasons at a glance; the others, and what is in order, one tap away. What says stop, and what is not known,
/// is never folded away, however much of it there is.
fn why(reasons: &[Reason]) -> Markup {
    let (against, fine): (Vec<Reason>, Vec<Reason>) =
        reasons.iter().cloned().partition(|reason| reason.verdict > Verdict::Ready);
    let must = against.iter().filter(|reason| reason.verdict > Verdict::Care).count();
    let (first, more) = against.split_at(against.len().min(FIRST_REASONS.max(must)));
    html! {
        (reason_list(first))
        @if !more.is_empty() { (details(&format!("{} more to clear", more.len()), &reason_list(more))) }
        @if !fine.is_empty() { (details(&format!("In order: {}", fine.len()), &reason_list(&fine))) }
    }
}

/// The chain in short: each figure a line, what is not known with the way to know it.
fn strip(record: &ReadyView) -> Markup {
    let lines = record.strip.iter().map(|fact| (fact.label.as_str(), html! { (fact.text) }));
    let told = |fact: &&Fact| matches!(fact.key, "slack_mm" | "elongation_pct");
    let short = |fact: &Fact| fact.text.split(':').next().unwrap_or_default().to_owned();
    let short: Vec<String> = record.strip.iter().filter(told).map(short).collect();
    let inside = html! { (pairs(lines)) p { a href="/drive/history" { "What was read, and what ran" } } };
    line("Slack and chain", &short.join("; "), &inside)
}

/// The pair to run in one line: what is proposed, else what is fitted and between which speeds it goes.
fn pair_in_short(view: &DecisionView) -> String {
    let Some(gearing) = view.gearing.known() else { return "not known".to_owned() };
    let ends: Vec<&str> = gearing.facts.iter().map(|fact| fact.text.as_str()).collect();
    match &gearing.proposal {
        Some(proposal) => proposal.headline.clone(),
        None => format!("{}, {}", gearing.fitted.pair_words(), ends.join(" to ")),
    }
}

/// What falls due, and what to order by when: the first of each in the line, a few inside.
fn ahead(record: &ReadyView) -> Markup {
    html! {
        @if !record.due.rows.is_empty() {
            (line("Due", &first_of(&record.due), &table_of(&few(&record.due), |_| false)))
        }
        @if !record.order.rows.is_empty() {
            (line("To order", &first_of(&record.order), &html! {
                (table_of(&few(&record.order), |_| false))
                p { a href="/parts/order" { "What to order by when" } }
            }))
        }
    }
}

/// A fold whose line says the chief thing.
fn line(name: &str, short: &str, inside: &Markup) -> Markup {
    folded(None, false, &html! { span { (name) ": " span class="soft" { (short) } } }, inside)
}

/// The first lines of a list.
fn few(table: &Table) -> Table {
    Table { rows: table.rows.iter().take(FEW).cloned().collect(), ..table.clone() }
}

/// The first line of a list in words, and how many more there are.
fn first_of(table: &Table) -> String {
    let cells = table.rows.first().into_iter().flatten().take(2).map(|cell| cell.text.as_str());
    let first = cells.collect::<Vec<_>>().join(", ");
    match table.rows.len() {
        0 | 1 => first,
        rows => format!("{first}; {} more", rows - 1),
    }
}

/// The work that lies open, each leading to the step that comes next.
fn open_jobs(record: &ReadyView) -> Markup {
    html! {
        @for job in record.open_jobs.iter().take(FEW) { p class="opened" { "Open: " (open_job(job)) } }
    }
}

/// A job that is open, leading to the step that comes next.
fn open_job(job: &OpenJob) -> Markup {
    html! {
        @match &job.at {
            Some(at) => a href={ "/jobs/order/" (at.order) } { (job.words()) },
            None => b { (job.title) },
        }
        ", since " (job.since)
    }
}

fn parts(view: &DecisionView) -> Markup {
    html! {
        (section("Fit", &address("/gearing/fit", view.setup), &view.fit, |part| html! {
            (blocks(&part.brief()[1..3]))
            (fact_list(&part.facts[1..3]))
        }))
        (section("Slack", "/drive", &view.slack, |part| fact_list(part.facts.get(..2).unwrap_or(&part.facts))))
        @if let Some(next) = &view.next_slack {
            (section(&format!("Slack for {}", view.setup), &address("/drive", view.setup), next, |part| fact_list(part.facts.get(..2).unwrap_or(&part.facts))))
        }
        (section("Bench", &address("/jobs/plan", view.setup), &view.plan, |plan| blocks(&plan.brief()[1..])))
    }
}

/// One part of the answer with the way to the whole of it, or what is missing for it.
fn section<T>(title: &str, address: &str, part: &Part<T>, inside: impl Fn(&T) -> Markup) -> Markup {
    html! {
        section {
            h2 { a href=(address) { (title) } }
            (part_of(part, inside))
        }
    }
}

/// One part of the answer, or what is missing for it.
fn part_of<T>(part: &Part<T>, inside: impl Fn(&T) -> Markup) -> Markup {
    match part {
        Part::Known(view) => inside(view),
        Part::NotKnown(missing) => gap(missing),
    }
}

fn form(typed: &Typed, rides: &[String]) -> Markup {
    let slack = Field::decimal("slack_mm", "Slack as read", "mm")
        .hint("On the stand, mid lower run, pushed fully down to fully up.");
    let mut ride_options: Vec<(&str, &str)> = vec![("", "no ride: what one tooth changes")];
    ride_options.extend(rides.iter().map(|name| (name.as_str(), name.as_str())));
    let grounds: Vec<(&str, &str)> = advice::ground::GROUNDS.iter().map(|ground| (ground.word, ground.name)).collect();
    let usual = advice::ground::USUAL.word;
    let inside = html! {
        form method="get" action="/" data-live=(ANSWER) {
            (typed.field(slack.optional()))
            (typed.select(Field::text("ride", "A ride on like ground").optional(), &ride_options))
            (typed.select(Field::text("ground", "The ground").value(usual).optional(), &grounds))
            (actions(&html! { button type="submit" class="button" { "Ask" } }))
        }
        (details("How the slack is read", &html! {
            (cautions::by_hand())
            p { "Engine off, out of gear, bike on the stand. Turn the wheel by hand, hand on the tyre, and find the tightest place of the chain." }
            p { "There, at the middle of the lower run, push the chain fully down, then fully up, square to the run; the whole way is the reading." }
        }))
    };
    html! { (typed.not_answered()) (typed.unfolding("Ask with what you know", &["slack_mm", "ride", "ground"], &inside)) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::garage::Garage;
    use crate::serve::driven::{fetch, server, wait};

    #[test]
    fn the_first_screen_and_the_record_give_one_verdict() {
        let garage = Garage::demo().expect("the demo");
        let bike = garage.bike(None).expect("a bike");
        let record = garage.record_at(&bike, jiff::ZonedDateTime::now().datetime()).expect("a record");
        let read = advice::slack::Read::default();
        let view = decision::with_record(&record, None, None, advice::ground::USUAL, read).expect("a view");
        let page = wait(async { fetch(&server(), "/").await.text() });
        assert!(page.contains(view.verdict.words()), "{} is not on {page}", view.verdict.words());
    }

    /// What stands on the first screen's page outside its folds.
    fn in_sight(reasons: &[Reason]) -> String {
        let page = why(reasons).into_string();
        page.split("<details").next().unwrap_or_default().to_owned()
    }

    fn several(verdict: Verdict, count: usize) -> Vec<Reason> {
        (0..count).map(|at| Reason::new(verdict, "", format!("{verdict:?} {at}."))).collect()
    }

    #[test]
    fn no_stop_and_nothing_unknown_is_ever_folded_away() {
        let all = [several(Verdict::Stop, 5), several(Verdict::Unknown, 2), several(Verdict::Care, 3)].concat();
        let seen = in_sight(&all);
        for reason in &all {
            assert_eq!(seen.contains(&reason.text), reason.verdict > Verdict::Care, "{}", reason.text);
        }
    }

    #[test]
    fn of_cares_alone_the_first_three_stand_in_sight_and_the_rest_is_counted() {
        let all = several(Verdict::Care, 5);
        let seen = in_sight(&all);
        assert_eq!(all.iter().filter(|reason| seen.contains(&reason.text)).count(), FIRST_REASONS);
        assert!(why(&all).into_string().contains("2 more to clear"));
    }

    #[test]
    fn the_line_of_a_list_says_its_first_entry_and_how_many_more_there_are() {
        let row = |part: &str, by: &str| [part, by, "why"].map(advice::Cell::words).to_vec();
        let mut table = Table::new("order", "", Vec::new());
        assert_eq!(first_of(&table), "");
        table.rows.push(row("chain", "2026-09-26"));
        assert_eq!(first_of(&table), "chain, 2026-09-26");
        table.rows.push(row("front sprocket", "2026-12-14"));
        assert_eq!(first_of(&table), "chain, 2026-09-26; 1 more");
    }
}
