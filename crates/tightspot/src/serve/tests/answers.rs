//! What comes back: pages, problems, documents, files.

use axum::http::{Method, StatusCode};

use super::{HOST, Told, asking, fetch, send, server, wait};

#[test]
fn refusals_are_pages_for_people_and_problems_for_programs() {
    wait(async {
        let server = server();
        let own = [("host", HOST), ("sec-fetch-site", "same-origin")];
        let json = [("host", HOST), ("content-type", "application/json")];
        let large = "x".repeat(1 << 21);
        let cases = [
            (asking(Method::GET, "/nowhere", &own, ""), 404),
            (asking(Method::GET, "/figures/slack.nonsense", &own, ""), 404),
            (asking(Method::PUT, "/pages", &own, ""), 405),
            (asking(Method::TRACE, "/pages", &own, ""), 405),
            (asking(Method::POST, "/theme", &own, "theme=dark"), 415),
            (asking(Method::GET, "/broken", &own, ""), 500),
            (asking(Method::GET, "/api/v1/nowhere", &own, ""), 404),
            (asking(Method::POST, "/api/v1/figures/no.such", &json, "{}"), 404),
            (asking(Method::GET, "/api/v1/figures/slack.alignment", &own, ""), 405),
            (asking(Method::POST, "/api/v1/figures/slack.alignment", &json, "{"), 400),
            (asking(Method::POST, "/api/v1/figures/slack.alignment", &json, "{} {}"), 400),
            (asking(Method::POST, "/api/v1/figures/slack.alignment", &json, "{},\"id\":{}"), 400),
            (asking(Method::POST, "/api/v1/figures/slack.alignment", &json, "[]"), 422),
            (asking(Method::POST, "/api/v1/figures/slack.alignment", &json, "{}"), 422),
            (asking(Method::POST, "/api/v1/figures/slack.alignment", &json, &large), 413),
            (asking(Method::POST, "/api/v1/figures/slack.alignment", &own, "{}"), 415),
        ];
        for (request, want) in cases {
            let (name, api) =
                (format!("{} {}", request.method(), request.uri()), request.uri().path().starts_with("/api"));
            let told = send(&server, request).await;
            assert_eq!(told.status.as_u16(), want, "{name}: {}", told.body);
            assert_eq!(want == 405, !told.header("allow").is_empty(), "{name}");
            assert!(!told.body.contains("rider") && !told.body.contains("panic"), "{name}");
            if api {
                assert_eq!(told.header("content-type"), "application/problem+json", "{name}");
                let problem: serde_json::Value = serde_json::from_str(&told.body).expect(&name);
                assert_eq!(problem["status"], want, "{name}");
                for member in ["type", "title", "detail", "instance"] {
                    assert!(problem[member].as_str().is_some_and(|text| !text.is_empty()), "{name}: {member}");
                }
            } else {
                assert!(told.body.contains("<h1>") && told.body.contains("All pages"), "{name}");
            }
        }
    });
}

#[test]
fn a_refused_field_is_pointed_at() {
    wait(async {
        let server = server();
        let json = [("host", HOST), ("content-type", "application/json; charset=utf-8")];
        let path = "/api/v1/figures/slack.alignment";
        let given = r#"{"left_mm": 600, "right_mm": 600, "track_mm": 9000}"#;
        let told = send(&server, asking(Method::POST, path, &json, given)).await;
        let problem: serde_json::Value = serde_json::from_str(&told.body).expect("json");
        assert_eq!(problem["errors"][0]["pointer"], "/track_mm");
        assert_eq!(problem["errors"][0]["code"], "out_of_range");
        let twice = r#"{"left_mm": 600, "left_mm": 601, "right_mm": 600, "track_mm": 200}"#;
        let told = send(&server, asking(Method::POST, path, &json, twice)).await;
        assert_eq!(told.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", told.body);
    });
}

#[test]
fn the_api_answers_with_the_digits_of_the_command() {
    wait(async {
        let server = server();
        let json = [("host", HOST), ("content-type", "application/json")];
        let given = r#"{"left_mm": 601.3, "right_mm": 600, "track_mm": 221.7}"#;
        let told = send(&server, asking(Method::POST, "/api/v1/figures/slack.alignment", &json, given)).await;
        assert_eq!(told.status, StatusCode::OK, "{}", told.body);
        let line = format!(r#"{{"figure":"slack.alignment","given":{given}}}"#);
        let mut line = figures::line::answer(&line, 1, &figures::NoTracks);
        line.as_object_mut().map(|line| line.shift_remove("id"));
        assert_eq!(told.body, line.to_string());
    });
}

#[test]
fn head_is_get_without_its_body() {
    wait(async {
        let server = server();
        for path in ["/pages", "/api/v1/figures", "/nowhere", "/api/nowhere"] {
            let got = fetch(&server, path).await;
            let head = send(&server, asking(Method::HEAD, path, &[("host", HOST)], "")).await;
            assert_eq!(head.status, got.status, "{path}");
            assert_eq!(head.header("content-type"), got.header("content-type"), "{path}");
            assert!(head.body.is_empty() && !got.body.is_empty(), "{path}");
        }
    });
}

#[test]
fn documents_have_a_tag_and_are_not_sent_twice() {
    wait(async {
        let server = server();
        for path in ["/api/v1/figures", "/api/v1/openapi.json", "/api/v1/routes"] {
            let tag = fetch(&server, path).await.header("etag").to_owned();
            for known in [tag.clone(), format!("W/{tag}"), format!("\"other\", {tag}"), "*".to_owned()] {
                let headers = [("host", HOST), ("if-none-match", known.as_str())];
                let told = send(&server, asking(Method::GET, path, &headers, "")).await;
                assert_eq!(told.status, StatusCode::NOT_MODIFIED, "{path} {known}");
                assert!(told.body.is_empty());
            }
        }
    });
}

#[test]
fn large_answers_are_compressed_and_small_ones_are_not() {
    wait(async {
        let server = server();
        let zipped = [("host", HOST), ("accept-encoding", "gzip")];
        let page = send(&server, asking(Method::GET, "/kit", &zipped, "")).await;
        assert_eq!(page.header("content-encoding"), "gzip");
        let icon = send(&server, asking(Method::GET, "/favicon.ico", &zipped, "")).await;
        assert_eq!(icon.header("content-encoding"), "");
    });
}

#[test]
fn files_are_kept_for_good_under_names_of_their_content() {
    wait(async {
        let server = server();
        let page = fetch(&server, "/pages").await.body;
        for address in [crate::serve::assets::style(), crate::serve::assets::script(), crate::serve::assets::icon()] {
            assert!(page.contains(&address), "{address}");
            let file = fetch(&server, &address).await;
            assert_eq!(file.status, StatusCode::OK);
            assert!(file.header("cache-control").contains("immutable"));
        }
        assert_eq!(fetch(&server, "/assets/frame.0.css").await.status, StatusCode::NOT_FOUND);
        assert_eq!(fetch(&server, "/assets/..%2fCargo.toml").await.status, StatusCode::NOT_FOUND);
    });
}

#[test]
fn one_part_is_answered_alone_where_it_is_asked_for() {
    wait(async {
        let server = server();
        let headers = [("host", HOST), ("x-part", "answer")];
        let path = "/figures/slack.alignment?left_mm=600&right_mm=601&track_mm=220";
        let part = send(&server, asking(Method::GET, path, &headers, "")).await;
        assert!(part.body.starts_with("<div id=\"answer\""), "{}", part.body);
        assert!(part.headers.get_all("vary").iter().any(|names| names == "x-part, cookie"));
        assert!(fetch(&server, path).await.body.contains(&part.body));
    });
}

/// Every page that the list names, as it is answered.
async fn every_page() -> Vec<(String, Told)> {
    let server = server();
    let routes: serde_json::Value = serde_json::from_str(&fetch(&server, "/api/v1/routes").await.body).expect("json");
    let pages = routes["pages"].as_array().expect("pages").iter().filter(|page| page["path"] != "/broken");
    let mut all = Vec::new();
    for visit in pages.flat_map(|page| page["visits"].as_array().expect("visits")).filter_map(|one| one.as_str()) {
        all.push((visit.to_owned(), fetch(&server, visit).await));
    }
    assert!(all.len() > 10, "only {} pages", all.len());
    all
}

#[test]
fn every_page_of_the_list_can_be_visited() {
    wait(async {
        for (visit, told) in every_page().await {
            assert!(matches!(told.status.as_u16(), 200 | 422), "{visit}: {}", told.status);
            assert!(told.body.starts_with("<!DOCTYPE html>"), "{visit}");
            assert!(!told.body.contains(" style=") && !told.body.contains(" onclick="), "{visit}");
        }
    });
}

#[test]
fn no_instruction_hangs_on_colour_or_place_alone() {
    wait(async {
        let words =
            ["the red ", "the green ", "the yellow ", "in red", "in green", "box below", "to the right of this"];
        for (visit, told) in every_page().await {
            let text = told.body.to_lowercase();
            for word in words {
                assert!(!text.contains(word), "{visit} says \"{word}\"");
            }
        }
    });
}

#[test]
fn f3_numbers_are_text_with_a_number_pad() {
    wait(async {
        let mut pads = 0;
        for (visit, told) in every_page().await {
            assert!(!told.body.contains("type=\"number\""), "{visit}");
            pads += ["decimal", "numeric"]
                .map(|pad| told.body.matches(&format!("inputmode=\"{pad}\"")).count())
                .iter()
                .sum::<usize>();
        }
        assert!(pads > 10, "only {pads} number pads");
    });
}

#[test]
fn f11_a_hint_has_two_sentences_at_most() {
    wait(async {
        let mut counted = 0;
        for (visit, told) in every_page().await {
            for rest in told.body.split("class=\"hint\"").skip(1) {
                let hint =
                    rest.split_once('>').and_then(|(_, text)| text.split_once("</p>")).map_or("", |(text, _)| text);
                let ends = hint.trim_end().matches(". ").count() + 1;
                assert!(ends <= 2, "{visit}: {hint}");
                counted += 1;
            }
        }
        assert!(counted > 20, "only {counted} hints");
    });
}

#[test]
fn a14_nothing_is_dragged_and_nothing_has_a_slider() {
    wait(async {
        for (visit, told) in every_page().await {
            for mark in ["type=\"range\"", "draggable", "ontouch", "ondrag"] {
                assert!(!told.body.contains(mark), "{visit} has {mark}");
            }
        }
        for mark in ["touchmove", "dragstart", "pointermove", "gesture"] {
            assert!(!crate::frame::SCRIPT.contains(mark), "the script listens to {mark}");
        }
    });
}

#[test]
fn a9_what_a_pointer_hovers_over_changes_its_look_and_brings_nothing_out() {
    let mut seen = 0;
    for rule in crate::frame::STYLE.split('}') {
        let Some((selector, looks)) = rule.rsplit_once('{') else { continue };
        if !selector.contains(":hover") {
            continue;
        }
        seen += 1;
        let hidden = ["display", "visibility", "opacity", "content", "position", "clip", "height"];
        assert!(!hidden.iter().any(|word| looks.contains(word)), "{selector} {looks}");
    }
    assert!(seen > 0, "no rule for a pointer was found");
}
