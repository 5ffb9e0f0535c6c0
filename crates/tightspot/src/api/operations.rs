//! The operations of places, lists, bikes and the record, for the description: made of the tables that route and check them.

use figures::{Field, Need};
use serde_json::{Map, Value, json};

use super::answers::{self, Shape};
use super::openapi::fault;
use super::{bikes, describe, entries, kinds, lists, order_given, places, rides, sets, supply};

/// What a refusal of each status means.
fn meaning(status: &str) -> &'static str {
    match status {
        "400" => "No JSON, or a member that is not known here: `errors` points at it",
        "401" => "Not signed in, where the server is open to the home network",
        "403" => "Sent from another site, or not as JSON",
        "404" => "There is no such thing",
        "412" => "Changed meanwhile: the present ETag comes with it",
        "413" => "The body is too large",
        "415" => "The body is not sent as JSON",
        "422" => "A field is refused, or a fact is missing for the answer: `errors` points at it",
        "428" => "If-Match is missing: say what you have seen",
        _ => "Too many requests from this address",
    }
}

/// The responses of an operation.
pub(super) fn responses(good: &str, says: &str, schema: Value, refusals: &[&str]) -> Value {
    let mut all = Map::new();
    all.insert(good.to_owned(), json!({"description": says, "content": {"application/json": {"schema": schema}}}));
    for status in refusals.iter().chain(&["401", "429"]) {
        all.insert((*status).to_owned(), fault(meaning(status)));
    }
    Value::Object(all)
}

fn tagged(mut responses: Value, status: &str) -> Value {
    responses[status]["headers"] = json!({"ETag": {"required": true, "schema": {"type": "string"}}});
    responses
}

fn located(mut responses: Value) -> Value {
    responses["201"]["headers"]["Location"] = json!({"required": true, "schema": {"type": "string"}});
    responses
}

fn query(fields: &[Field]) -> Vec<Value> {
    let told = |field: &Field| json!({"name": field.name, "in": "query", "required": field.need == Need::Required, "schema": describe::schema(field)});
    fields.iter().map(told).collect()
}

fn in_path(name: &str, schema: &Value) -> Value {
    json!({"name": name, "in": "path", "required": true, "schema": schema})
}

fn header(name: &str, says: &str, schema: &Value) -> Value {
    json!({"name": name, "in": "header", "required": false, "description": says, "schema": schema})
}

fn key() -> Value {
    header(
        "Idempotency-Key",
        "The same key with the same body is done once",
        &json!({"type": "string", "pattern": "^[!-~]{1,100}$"}),
    )
}

fn if_match() -> Value {
    header("If-Match", "The ETag of what you have seen; without it nothing is changed", &json!({"type": "string"}))
}

/// A reading operation.
fn reading(id: &str, summary: &str, parameters: Vec<Value>, schema: Value, refusals: &[&str]) -> Value {
    let mut responses = tagged(responses("200", "The answer", schema, refusals), "200");
    responses["304"] = json!({"description": "Unchanged since the ETag given"});
    json!({"operationId": id, "summary": summary, "parameters": parameters, "responses": responses})
}

/// A writing operation.
fn writing(id: &str, summary: &str, parameters: Vec<Value>, body: Value, responses: Value) -> Value {
    json!({
        "operationId": id, "summary": summary, "parameters": parameters, "responses": responses,
        "requestBody": {"required": true, "content": {"application/json": {"schema": body}}},
    })
}

const READ: &[&str] = &["400", "404", "422"];
const WRITE: &[&str] = &["400", "403", "404", "413", "415", "422"];
const SEEN: &[&str] = &["400", "403", "404", "412", "413", "415", "422", "428"];

/// Adds every operation but those of the figures.
pub(super) fn add(paths: &mut Map<String, Value>) {
    let any = json!({"type": "object"});
    let fixed = [
        ("/api/v1/figures", "listFigures", "Every figure with its inputs, bounds and sources"),
        ("/api/v1/routes", "listRoutes", "Every page of this server"),
        ("/api/v1/openapi.json", "describe", "This document"),
    ];
    for (path, id, summary) in fixed {
        paths.insert(path.into(), json!({"get": reading(id, summary, Vec::new(), any.clone(), &[])}));
    }
    for place in places::all() {
        let get = reading(place.id, place.summary, query(place.fields), answers::object(place.answer), READ);
        paths.insert(place.path.into(), json!({ "get": get }));
    }
    of_bikes(paths);
    of_record(paths);
    of_orders(paths);
    of_shelf(paths);
}

/// Work orders: a write says which lines it has seen, and is answered with the order as it is then.
fn of_orders(paths: &mut Map<String, Value>) {
    let number = json!({"type": "integer", "minimum": 1, "maximum": 1_000_000_000});
    let id = || in_path("order", &number);
    let order = || answers::object(answers::ORDER);
    let list = answers::page(answers::ORDER_LISTED);
    let listed = reading("listOrders", "Work orders, newest first", query(lists::OF_BIKE), list, READ);
    let begun = located(tagged(responses("201", "The order as it is now", order(), WRITE), "201"));
    let start = with_inside(order_given::START, &order_given::inside());
    let address = [query(entries::ADDRESS), vec![key()]].concat();
    let begin = writing("beginOrder", "A work order of several jobs, or of what is due", address, start, begun);
    paths.insert("/api/v1/orders".into(), json!({ "get": listed, "post": begin }));
    let shown = reading("showOrder", "A work order with all its steps", vec![id()], order(), READ);
    paths.insert("/api/v1/orders/{order}".into(), json!({ "get": shown }));
    let step = in_path("step", &json!({"type": "string", "minLength": 1, "description": "its number or its name"}));
    let shape = answers::object(answers::ORDER_STEP);
    let one = reading("showStep", "One step: read first, figures, what is captured", vec![id(), step], shape, READ);
    paths.insert("/api/v1/orders/{order}/steps/{step}".into(), json!({ "get": one }));
    let offers = answers::object(&[("items", answers::Is::Each(&answers::Is::Any))]);
    let offers = reading("listOffers", "What is cheap while it is open anyway", vec![id()], offers, READ);
    paths.insert("/api/v1/orders/{order}/offers".into(), json!({ "get": offers }));
    let writes: [(&str, &str, &str, &'static [Field]); 9] = [
        ("tick", "tickStep", "A step is done, with what was captured", order_given::TICK),
        ("fail", "failHold", "A stop point does not pass", order_given::FAIL),
        ("untick", "untickStep", "A tick is taken back, with the reason", order_given::UNTICK),
        ("add", "addJob", "A job comes into the order", order_given::ADD),
        ("figure", "giveFigure", "A figure of the manual that a step waits for, with its source", order_given::FIGURE),
        ("pause", "pauseOrder", "Stopped for now; everything is kept, the next tick goes on", order_given::WHO_ONLY),
        ("drop", "giveUpOrder", "Given up, with nothing open on the bike", order_given::WHO_ONLY),
        ("reopen", "reopenOrder", "The closing is undone whole", order_given::WHO_ONLY),
        ("close", "closeOrder", "Every step is done; refused with the open safety steps by name", order_given::CLOSE),
    ];
    for (word, id_of, summary, fields) in writes {
        let body = with_inside(fields, &order_given::inside());
        let now = tagged(responses("200", "The order as it is now", order(), SEEN), "200");
        let post = writing(id_of, summary, vec![id(), if_match(), key()], body, now);
        paths.insert(format!("/api/v1/orders/{{order}}/{word}"), json!({ "post": post }));
    }
}

/// The body of an object, the inside of some members as given.
fn with_inside(fields: &'static [Field], inside: &[(&'static str, Value)]) -> Value {
    let mut body = describe::object(fields);
    for (member, schema) in inside {
        if body["properties"].get(*member).is_some() {
            body["properties"][*member] = schema.clone();
        }
    }
    body
}

/// Sets and the shelf: each act one write.
fn of_shelf(paths: &mut Map<String, Value>) {
    let address = || [query(entries::ADDRESS), vec![key()]].concat();
    let writes: [(&str, &str, &str, &'static [Field], Shape); 5] = [
        ("/api/v1/sets", "keepSet", "Parts are kept together under a name", sets::KEEP, answers::DONE_ENTRIES),
        (
            "/api/v1/sets/on",
            "putSetOn",
            "A set goes on: what was on goes to the shelf, hours and sheet follow",
            sets::ON,
            answers::DONE_ENTRIES,
        ),
        (
            "/api/v1/sets/off",
            "takeSetOff",
            "Chain and sprockets come off and lie on the shelf",
            sets::OFF,
            answers::DONE_ENTRIES,
        ),
        (
            "/api/v1/sets/forget",
            "forgetSet",
            "A set is kept no longer; its parts stay where they are",
            sets::FORGET,
            answers::DONE_ENTRIES,
        ),
        (
            "/api/v1/parts/note",
            "noteParts",
            "What lies on the shelf, was ordered, came, costs and takes",
            supply::NOTE,
            answers::DONE,
        ),
    ];
    for (path, id, summary, fields, shape) in writes {
        let done = responses("201", "What was written, and how to take it back", answers::object(shape), WRITE);
        let body = with_inside(fields, &kinds::inside());
        paths.insert(path.into(), json!({ "post": writing(id, summary, address(), body, located(done)) }));
    }
}

fn of_bikes(paths: &mut Map<String, Value>) {
    let bike = answers::object(answers::BIKE);
    let id = in_path("bike", &json!({"type": "string", "minLength": 1}));
    let made = located(tagged(responses("201", "The bike as it is now", bike.clone(), WRITE), "201"));
    let now = || tagged(responses("200", "The bike as it is now", bike.clone(), SEEN), "200");
    paths.insert(
        "/api/v1/bikes".into(),
        json!({
            "get": reading("listBikes", "The bikes", query(lists::OF_ALL), answers::page(answers::LISTED), READ),
            "post": writing("addBike", "A bike with nothing on its sheet", vec![key()], describe::object(bikes::NEW), made),
        }),
    );
    let of_sheet =
        |fields, name: &str| with_inside(fields, &[("sheet", json!({"$ref": format!("#/components/schemas/{name}")}))]);
    let (put, patch) = (of_sheet(bikes::PUT, "WholeSheet"), of_sheet(bikes::PATCH, "SheetChange"));
    let gone =
        responses("200", "Off the list; undoing the change brings it back", answers::object(answers::DONE), SEEN);
    paths.insert(
        "/api/v1/bikes/{bike}".into(),
        json!({
            "get": reading("showBike", "A bike with its sheet", vec![id.clone()], bike.clone(), READ),
            "put": writing("putBike", "Name and whole sheet", vec![id.clone(), if_match()], put, now()),
            "patch": writing("changeBike", "Some figures of the sheet", vec![id.clone(), if_match()], patch, now()),
            "delete": {
                "operationId": "removeBike", "summary": "Takes a bike off the list", "parameters": [id, if_match()],
                "responses": gone,
            },
        }),
    );
}

fn of_record(paths: &mut Map<String, Value>) {
    let number = json!({"type": "integer", "minimum": 1, "maximum": 1_000_000_000});
    let address = || [query(entries::ADDRESS), vec![key()]].concat();
    let done = |shape: Shape| {
        located(responses("201", "What was written, and how to take it back", answers::object(shape), WRITE))
    };
    let one = |id: &str, summary: &str, name: &str, shape: Shape| json!({"get": reading(id, summary, vec![in_path(name, &number)], answers::object(shape), READ)});
    let list =
        |id: &str, summary: &str, shape: Shape| reading(id, summary, query(lists::OF_BIKE), answers::page(shape), READ);
    let ride = describe::object(rides::NEW);
    paths.insert(
        "/api/v1/rides".into(),
        json!({
            "get": list("listRides", "Rides, newest first", answers::RIDE),
            "post": writing("logRide", "A ride was ridden", address(), ride, done(answers::DONE_RIDE)),
        }),
    );
    paths.insert("/api/v1/rides/{ride}".into(), one("showRide", "A ride", "ride", answers::RIDE));
    let entries = list("listEntries", "Readings and work, newest first", answers::ENTRY);
    paths.insert("/api/v1/entries".into(), json!({ "get": entries }));
    paths.insert("/api/v1/entries/{entry}".into(), one("showEntry", "A reading or work", "entry", answers::ENTRY));
    for kind in kinds::KINDS {
        let body = with_inside(kind.fields, &kinds::inside());
        let post = writing(kind.id, kind.summary, address(), body, done(answers::DONE_ENTRIES));
        paths.insert(kind.path.into(), json!({ "post": post }));
    }
    paths.insert(
        "/api/v1/changes".into(),
        json!({"get": list("listChanges", "Figures of the sheet as they were changed, newest first", answers::CHANGE)}),
    );
    let undone = responses("200", "The change that undid it", answers::object(answers::DONE), WRITE);
    let undo = json!({
        "operationId": "undo", "summary": "Takes a change back; undoing that brings it again",
        "parameters": [in_path("change", &number), key()], "responses": undone,
    });
    paths.insert("/api/v1/changes/{change}/undo".into(), json!({ "post": undo }));
}
