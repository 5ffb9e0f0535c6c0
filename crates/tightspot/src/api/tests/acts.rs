//! Whatever a form or a command does, a program can do: each stands against a route, or has its reason here.

use axum::body::Body;
use axum::http::{Method, Request, StatusCode};
use serde_json::Value;
use tower::ServiceExt as _;

use super::openapi;
use crate::garage::Garage;
use crate::pages;
use crate::serve::driven::wait;
use crate::serve::{AppState, Clock, Reach, Site};

/// Forms by their page, and the routes that do the same.
const FORMS: &[(&str, &str)] = &[
    ("/bike", "PATCH /api/v1/bikes/{bike}"),
    ("/bike/bring-back", "POST /api/v1/changes/{change}/undo"),
    ("/bike/import", "PUT /api/v1/bikes/{bike}"),
    ("/bike/name", "PUT /api/v1/bikes/{bike}"),
    ("/bike/new", "POST /api/v1/bikes"),
    ("/bike/first", "PATCH /api/v1/bikes/{bike}"),
    ("/bike/off", "PATCH /api/v1/bikes/{bike}"),
    ("/bike/remove", "DELETE /api/v1/bikes/{bike}"),
    ("/bike/undo", "POST /api/v1/changes/{change}/undo"),
    ("/drive/first-day", "POST /api/v1/entries/used"),
    ("/drive/geometry", "PATCH /api/v1/bikes/{bike}"),
    ("/drive/measure/alignment", "POST /api/v1/entries/axle"),
    ("/drive/measure/elongation", "POST /api/v1/entries/elongation"),
    ("/drive/measure/meter", "POST /api/v1/entries/meter"),
    ("/drive/measure/slack", "POST /api/v1/entries/slack"),
    ("/drive/measure/teeth", "POST /api/v1/entries/check"),
    ("/drive/sets/confirm", "POST /api/v1/entries/check"),
    ("/drive/sets/forget", "POST /api/v1/sets/forget"),
    ("/drive/sets/keep", "POST /api/v1/sets"),
    ("/drive/sets/on", "POST /api/v1/sets/on"),
    ("/history/undo", "POST /api/v1/changes/{change}/undo"),
    ("/jobs/order/{id}/add", "POST /api/v1/orders/{order}/add"),
    ("/jobs/order/{id}/close", "POST /api/v1/orders/{order}/close"),
    ("/jobs/order/{id}/drop", "POST /api/v1/orders/{order}/drop"),
    ("/jobs/order/{id}/figure", "POST /api/v1/orders/{order}/figure"),
    ("/jobs/order/{id}/paper", "POST /api/v1/orders/{order}/tick"),
    ("/jobs/order/{id}/pause", "POST /api/v1/orders/{order}/pause"),
    ("/jobs/order/{id}/reopen", "POST /api/v1/orders/{order}/reopen"),
    ("/jobs/order/{id}/tick", "POST /api/v1/orders/{order}/tick"),
    ("/jobs/order/{id}/untick", "POST /api/v1/orders/{order}/untick"),
    ("/jobs/start", "POST /api/v1/orders"),
    ("/parts/note", "POST /api/v1/parts/note"),
    ("/parts/shelf", "POST /api/v1/entries/kept"),
    ("/rides/log", "POST /api/v1/rides"),
    ("/rides/undo", "POST /api/v1/changes/{change}/undo"),
];

/// Forms that no route stands for, each with its reason.
const FORMS_ALONE: &[(&str, &str)] = &[
    ("/access/end", "ends a browser's session; a program has none"),
    ("/access/helper", "makes a link for a person's browser"),
    ("/access/helper/end", "ends such a link"),
    ("/access/pair", "shows the code that a phone's browser types"),
    ("/access/password", "the password is set by a person"),
    ("/bike/choose", "which bike a person means unasked; a program names it each time"),
    ("/jobs/order/{id}/who", "a browser remembers who works; a program sends it with each tick"),
    ("/kit", "a sample of the parts of a page, keeps nothing"),
    ("/pair", "signs a browser in"),
    ("/rides/import", "reads track files off a person's disk; a program logs the ride's facts"),
    ("/rides/import/stop", "stops that reading"),
    ("/sign-in", "signs a browser in"),
    ("/sign-out", "signs a browser out"),
    ("/theme", "how a person's browser looks"),
    ("/units", "what a person reads in; a program reads in the units of the names"),
];

/// Commands, and the routes that do the same.
const COMMANDS: &[(&str, &str)] = &[
    ("bike add", "POST /api/v1/bikes"),
    ("bike export", "GET /api/v1/bikes/{bike}"),
    ("bike history", "GET /api/v1/changes"),
    ("bike import", "PUT /api/v1/bikes/{bike}"),
    ("bike list", "GET /api/v1/bikes"),
    ("bike remove", "DELETE /api/v1/bikes/{bike}"),
    ("bike rename", "PUT /api/v1/bikes/{bike}"),
    ("bike set", "PATCH /api/v1/bikes/{bike}"),
    ("bike show", "GET /api/v1/bikes/{bike}"),
    ("bike undo", "POST /api/v1/changes/{change}/undo"),
    ("drive first-day", "POST /api/v1/entries/used"),
    ("drive fitted", "POST /api/v1/entries/part"),
    ("drive forecast", "GET /api/v1/drive/forecast"),
    ("drive geometry", "POST /api/v1/figures/slack.fitted"),
    ("drive history", "GET /api/v1/drive/history"),
    ("drive measure alignment", "POST /api/v1/entries/axle"),
    ("drive measure elongation", "POST /api/v1/entries/elongation"),
    ("drive measure slack", "POST /api/v1/entries/slack"),
    ("drive meter", "POST /api/v1/entries/meter-change"),
    ("drive next", "GET /api/v1/drive/next"),
    ("drive order", "GET /api/v1/drive/order"),
    ("drive replace", "GET /api/v1/drive/replace"),
    ("drive sets", "GET /api/v1/drive/sets"),
    ("drive sets forget", "POST /api/v1/sets/forget"),
    ("drive sets keep", "POST /api/v1/sets"),
    ("drive sets off", "POST /api/v1/sets/off"),
    ("drive sets on", "POST /api/v1/sets/on"),
    ("drive shelf", "POST /api/v1/entries/kept"),
    ("drive slack", "GET /api/v1/drive"),
    ("drive through", "GET /api/v1/drive/through"),
    ("figures", "GET /api/v1/figures"),
    ("gearing", "GET /api/v1/gearing"),
    ("gearing fit", "GET /api/v1/gearing/fit"),
    ("gearing map", "GET /api/v1/gearing/map"),
    ("job add", "POST /api/v1/orders/{order}/add"),
    ("job begin", "POST /api/v1/entries/work"),
    ("job check", "POST /api/v1/entries/check"),
    ("job close", "POST /api/v1/orders/{order}/close"),
    ("job done", "POST /api/v1/entries/work"),
    ("job fail", "POST /api/v1/orders/{order}/fail"),
    ("job figure", "POST /api/v1/orders/{order}/figure"),
    ("job give-up", "POST /api/v1/orders/{order}/drop"),
    ("job list", "GET /api/v1/jobs"),
    ("job offers", "GET /api/v1/orders/{order}/offers"),
    ("job orders", "GET /api/v1/orders"),
    ("job plan", "GET /api/v1/jobs/plan"),
    ("job show", "GET /api/v1/orders/{order}"),
    ("job start", "POST /api/v1/orders"),
    ("job step", "GET /api/v1/orders/{order}/steps/{step}"),
    ("job stop", "POST /api/v1/orders/{order}/pause"),
    ("job tick", "POST /api/v1/orders/{order}/tick"),
    ("job untick", "POST /api/v1/orders/{order}/untick"),
    ("parts", "GET /api/v1/parts"),
    ("parts check", "GET /api/v1/parts/check"),
    ("parts have", "POST /api/v1/parts/note"),
    ("parts list", "GET /api/v1/parts"),
    ("parts ordered", "POST /api/v1/parts/note"),
    ("parts put", "POST /api/v1/parts/note"),
    ("parts received", "POST /api/v1/parts/note"),
    ("parts say", "POST /api/v1/parts/note"),
    ("parts taken", "POST /api/v1/parts/note"),
    ("ready", "GET /api/v1/ready"),
    ("ride list", "GET /api/v1/rides"),
    ("ride log", "POST /api/v1/rides"),
    ("ride plan", "POST /api/v1/entries/planned"),
    ("ride season", "GET /api/v1/season"),
    ("ride show", "GET /api/v1/rides/{ride}"),
];

/// Commands that no route stands for, each with its reason.
const COMMANDS_ALONE: &[(&str, &str)] = &[
    ("backup", "a file on the machine of the store"),
    ("bike choose", "which bike a person means unasked; a program names it each time"),
    ("bike removed", "a person looks for the way back; a program keeps the change that its removal answered with"),
    ("completions", "for a shell"),
    ("config show", "settings of a person at the machine"),
    ("doctor", "reads every row of the file, at the machine"),
    ("export", "the whole record as a file on the machine"),
    ("gearing kit", "over a season's stored tracks; a program asks the figure gearing.kit with its own"),
    ("gearing like", "over the bikes of the store; a program asks the figure gearing.matching"),
    ("gearing outcome", "over stored tracks; a program asks the figure ride.outcome"),
    ("gearing stretch", "over one stored track; a program asks the figure ride.stretch"),
    ("gearing swap", "two pairs of words; a program asks the figure gearing.swap"),
    ("gearing wish", "a person's wish without a ride; a program asks the figures of speed"),
    ("import", "a whole record into an empty store, at the machine"),
    ("job sheet", "paper; a program reads the plan"),
    ("man", "for a shell"),
    ("prove", "the outside checks of the binary at hand"),
    ("restore", "a file on the machine of the store"),
    ("ride import", "reads track files off a person's disk; a program logs the ride's facts"),
    ("serve", "what answers programs"),
    ("serve password", "the password is set by a person"),
];

/// Every form of the site.
fn forms() -> Vec<&'static str> {
    let state =
        || AppState::new(Garage::demo().expect("the demo"), Clock::System, Reach::here(4717), Site::new(pages::all()));
    let takes = |page: &crate::serve::Page| {
        let router = Site::new(vec![*page]).router().with_state(state());
        let path = page.path.split('/').map(|part| if part.starts_with('{') { "1" } else { part });
        let request = Request::builder().method(Method::POST).uri(path.collect::<Vec<_>>().join("/"));
        let asked = router.oneshot(request.body(Body::empty()).expect("a request"));
        wait(asked).expect("an answer").status() != StatusCode::METHOD_NOT_ALLOWED
    };
    pages::all().iter().filter(|page| takes(page)).map(|page| page.path).collect()
}

/// Every command that does something by itself, by its words.
fn commands(command: &clap::Command, before: &str, all: &mut Vec<String>) {
    for one in command.get_subcommands().filter(|one| one.get_name() != "help") {
        let name = format!("{before}{}", one.get_name());
        if !one.is_subcommand_required_set() {
            all.push(name.clone());
        }
        commands(one, &format!("{name} "), all);
    }
}

/// Faults of a list of acts against those there are.
fn unmatched(there: &[String], with: &[(&str, &str)], alone: &[(&str, &str)]) -> Vec<String> {
    let known: Vec<&str> = with.iter().chain(alone).map(|(act, _)| *act).collect();
    let missing = there.iter().filter(|act| !known.contains(&act.as_str()));
    let gone = known.iter().filter(|act| !there.iter().any(|one| one == **act));
    let twice = known.iter().enumerate().filter(|(at, act)| known[..*at].contains(act)).map(|(_, act)| act);
    missing
        .map(|act| format!("{act} has neither a route nor a reason"))
        .chain(gone.map(|act| format!("{act} is not there any more")))
        .chain(twice.map(|act| format!("{act} stands twice")))
        .collect()
}

#[test]
fn every_form_has_its_route_or_its_reason() {
    let there: Vec<String> = forms().into_iter().map(str::to_owned).collect();
    assert!(there.len() > 30, "{there:?}");
    let faults = unmatched(&there, FORMS, FORMS_ALONE);
    assert!(faults.is_empty(), "{faults:#?}");
}

#[test]
fn every_command_has_its_route_or_its_reason() {
    let mut there = Vec::new();
    commands(&crate::help::command(), "", &mut there);
    assert!(there.len() > 60, "{there:?}");
    let faults = unmatched(&there, COMMANDS, COMMANDS_ALONE);
    assert!(faults.is_empty(), "{faults:#?}");
}

#[test]
fn every_route_that_is_named_is_described() {
    let document = openapi::document();
    let described = |route: &str| {
        let (method, path) = route.split_once(' ').expect("a method and a path");
        document["paths"][path].get(method.to_lowercase()).is_some_and(Value::is_object)
    };
    let none: Vec<&str> =
        FORMS.iter().chain(COMMANDS).map(|(_, route)| *route).filter(|route| !described(route)).collect();
    assert!(none.is_empty(), "{none:#?}");
    assert!(FORMS_ALONE.iter().chain(COMMANDS_ALONE).all(|(_, reason)| reason.len() > 10));
}
