//! Rides as a browser meets them, over the demo's garage.

use axum::Router;
use axum::http::StatusCode;

use crate::serve::driven::{Told, fetch, fetch_with, post, post_file, post_files, server, wait};

const TRACK: &str = include_str!("../../../../../data/gpx/synthetic_single_track_clean.gpx");
const WALK: &str = include_str!("../../../../../data/gpx/mountain_walk.gpx");

/// The list of rides from its first page to its last.
async fn every_ride(server: &Router) -> String {
    let mut all = String::new();
    for page in 1.. {
        let part = fetch(server, &format!("/rides?page={page}")).await;
        if part.status == StatusCode::NOT_FOUND {
            break;
        }
        all.push_str(&part.text());
    }
    all
}

#[test]
fn a_ride_is_brought_in_once_and_taken_out_and_brought_back() {
    wait(async {
        let server = server();
        let form = fetch(&server, "/rides/import").await;
        let fields = [("name", "Sunday loop"), ("ground", "sand"), ("note", "chain slapped")];
        let sent = post_file(&server, "/rides/import", &form, &fields, ("loop.gpx", TRACK.as_bytes())).await;
        assert_eq!(sent.status, StatusCode::SEE_OTHER, "{}", sent.text());
        let to = sent.header("location").to_owned();
        let ride = to.strip_suffix("?saved=1").expect("where it is").to_owned();
        let page = fetch(&server, &to).await;
        let text = page.text();
        for words in [
            "Sunday loop",
            "Saved.",
            "Undo",
            "No places are kept.",
            "loose sand",
            "chain slapped",
            "loop.gpx",
            "every point has its time",
        ] {
            assert!(text.contains(words), "{words}: {text}");
        }
        // The same post again, and the same file in another form: told, not doubled.
        let again = post_file(&server, "/rides/import", &form, &fields, ("loop.gpx", TRACK.as_bytes())).await;
        assert_eq!(again.header("location"), to);
        let twice = post_file(
            &server,
            "/rides/import",
            &fetch(&server, "/rides/import").await,
            &[],
            ("copy.gpx", TRACK.as_bytes()),
        )
        .await;
        assert_eq!(twice.header("location"), format!("{ride}?there=1"));
        assert_eq!(every_ride(&server).await.matches("Sunday loop").count(), 1);
        // The gearing sees it by its ground.
        let number = ride.rsplit('/').next().expect("a number");
        assert!(fetch(&server, &format!("/gearing?ride={number}")).await.text().contains("taken as loose sand"));

        let out = post(&server, "/rides/undo", &page, &format!("ride={number}")).await;
        assert_eq!(out.status, StatusCode::SEE_OTHER, "{}", out.text());
        let list = fetch(&server, out.header("location")).await;
        assert!(list.text().contains("Bring it back") && !every_ride(&server).await.contains("Sunday loop"));
        assert_eq!(fetch(&server, &ride).await.status, StatusCode::NOT_FOUND);
        let change = out.header("location").rsplit('=').next().expect("a change").to_owned();
        let back = post(&server, "/rides/undo", &list, &format!("change={change}")).await;
        assert_eq!(back.header("location"), "/rides?back=1");
        assert!(every_ride(&server).await.contains("Sunday loop"));
    });
}

#[test]
fn a_file_that_cannot_be_read_is_refused_in_words_and_nothing_is_kept() {
    wait(async {
        let server = server();
        let before = fetch(&server, "/rides").await.text();
        let untimed = TRACK
            .split("<g:time>")
            .map(|part| part.split_once("</g:time>").map_or(part, |(_, rest)| rest))
            .collect::<String>();
        let cases: [(&str, &[u8], &str); 6] = [
            ("", b"", "No file was chosen."),
            ("empty.gpx", b"", "The file is empty."),
            ("photo.jpg", &[0xff, 0xd8, 0xff, 0xe0, 0, 16], "photo.jpg: "),
            ("table.csv", b"a;b;c\n1;2;3\n", "table.csv: "),
            ("entities.gpx", b"<!DOCTYPE gpx [<!ENTITY a \"b\">]><gpx>&a;</gpx>", "entities.gpx: "),
            ("line.gpx", untimed.as_bytes(), "no usable times"),
        ];
        for (name, bytes, words) in cases {
            let form = fetch(&server, "/rides/import").await;
            let told = post_file(&server, "/rides/import", &form, &[("name", "kept <name>")], (name, bytes)).await;
            assert_eq!(told.status, StatusCode::UNPROCESSABLE_ENTITY, "{name}");
            assert!(told.text().contains(words), "{name}: {}", told.text());
            assert!(told.body.contains("value=\"kept &lt;name&gt;\""), "{name}: the typed name is lost");
            assert!(told.body.contains("href=\"#file\"") && told.body.contains("id=\"file-fault\""), "{name}");
        }
        assert_eq!(fetch(&server, "/rides").await.text(), before);
    });
}

#[test]
fn other_fields_are_held_too() {
    wait(async {
        let server = server();
        let long = "n".repeat(201);
        for (fields, field) in [([("name", long.as_str())], "name"), ([("ground", "ice")], "ground")] {
            let form = fetch(&server, "/rides/import").await;
            let told = post_file(&server, "/rides/import", &form, &fields, ("walk.gpx", WALK.as_bytes())).await;
            assert_eq!(told.status, StatusCode::UNPROCESSABLE_ENTITY, "{field}");
            assert!(told.body.contains(&format!("id=\"{field}-fault\"")), "{field}: {}", told.text());
        }
    });
}

#[test]
fn a_stranger_brings_nothing_in_and_a_huge_file_is_told() {
    wait(async {
        let server = server();
        let (one, other) = (fetch(&server, "/rides/import").await, fetch(&server, "/rides/import").await);
        let mut mixed = one;
        mixed.headers.insert("set-cookie", other.session().parse().expect("a header"));
        let told = post_file(&server, "/rides/import", &mixed, &[], ("loop.gpx", TRACK.as_bytes())).await;
        assert_eq!(told.status, StatusCode::FORBIDDEN);
        assert!(told.text().contains("Choose the file again"));
        let huge = vec![b' '; 17 << 20];
        let told = post_file(&server, "/rides/import", &other, &[], ("huge.gpx", &huge)).await;
        assert_eq!(told.status, StatusCode::PAYLOAD_TOO_LARGE);
        assert!(told.text().contains("16 MiB"), "{}", told.text());
        // Above the usual limit of a form, below that of a file: read, and refused for what it is.
        let large = vec![b' '; 2 << 20];
        let told = post_file(&server, "/rides/import", &other, &[], ("blank.gpx", &large)).await;
        assert_eq!(told.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", told.text());
    });
}

#[test]
fn the_made_ride_says_so_and_its_speed_is_thinned() {
    wait(async {
        let server = server();
        let told = fetch(&server, "/rides/1").await;
        let text = told.text();
        assert!(text.contains("This ride is synthetic"), "{text}");
        assert!(text.contains("10.1 km") && text.contains("18 min"), "{text}");
        let rows = told
            .body
            .split("id=\"speed-figures\"")
            .nth(1)
            .and_then(|rest| rest.split("</table>").next())
            .expect("a table");
        let rows = rows.matches("<tr").count() - 1;
        assert!(rows > 200 && rows <= 400, "{rows}");
        for nowhere in ["/rides/99", "/rides/monday", "/rides/-1"] {
            assert_eq!(fetch(&server, nowhere).await.status, StatusCode::NOT_FOUND, "{nowhere}");
        }
    });
}

/// The page of a batch once it is over.
async fn over(server: &axum::Router, address: &str) -> Told {
    for _ in 0..600 {
        let page = fetch(server, address).await;
        if !page.body.contains("data-again") {
            return page;
        }
        tokio::time::sleep(std::time::Duration::from_millis(50)).await;
    }
    panic!("it does not come to an end");
}

#[test]
fn a_season_goes_on_with_the_good_files_and_names_the_bad_ones_by_line() {
    wait(async {
        let server = server();
        let form = fetch(&server, "/rides/import").await;
        let made = |shift: &str| TRACK.replacen("<g:name>", &format!("<g:name>{shift}"), 1).into_bytes();
        let (one, two, cut) = (made("a"), made("b"), &TRACK.as_bytes()[..TRACK.len() - 2000]);
        let files: [(&str, &[u8]); 6] = [
            ("one.gpx", &one),
            ("photo.gpx", &[0xff, 0xd8, 0xff]),
            ("two.gpx", &two),
            ("ragged.csv", b"t_s;rpm\n0;1;2\n"),
            ("cut.gpx", cut),
            ("again.gpx", &one),
        ];
        let fields = [("ground", "sand"), ("pair", "13/50"), ("note", "cold morning")];
        let sent = post_files(&server, "/rides/import", &form, &fields, &files).await;
        assert_eq!(sent.status, StatusCode::SEE_OTHER, "{}", sent.text());
        let page = over(&server, sent.header("location")).await;
        let text = page.text();
        assert!(text.contains("3 of 6 kept, 1 there already, 2 bad."), "{text}");
        for words in
            ["photo.gpx", "ragged.csv", "line 2 has 3 cells", "breaks off at line", "Which pair for ground like these?"]
        {
            assert!(text.contains(words), "{words}: {text}");
        }
        // What the reader noticed is no note of the rider's.
        let ride = page.body.split("href=\"/rides/").nth(1).and_then(|rest| rest.split('"').next()).expect("a ride");
        let told = fetch(&server, &format!("/rides/{ride}")).await.text();
        assert!(told.contains("Your words cold morning") && told.contains("13/50 on 118"), "{told}");
        assert!(!told.contains("breaks off"), "{told}");
        // Several rides, weighed, give one answer; every pair shown went through its fit.
        let several = fetch(&server, &format!("/gearing?ride=several&weight_1=0&weight_{ride}=2")).await.text();
        assert!(several.contains("(×2)") && several.contains("Counts, %"), "{several}");
        assert!(several.contains("What fitting each of them takes"), "{several}");
    });
}

#[test]
fn a_stop_leaves_the_rest_unread_and_says_so() {
    wait(async {
        let server = server();
        let form = fetch(&server, "/rides/import").await;
        let files: Vec<(String, Vec<u8>)> = (0..40)
            .map(|n| (format!("{n}.gpx"), TRACK.replacen("<g:name>", &format!("<g:name>{n}"), 1).into_bytes()))
            .collect();
        let files: Vec<(&str, &[u8])> = files.iter().map(|(name, bytes)| (name.as_str(), bytes.as_slice())).collect();
        let sent = post_files(&server, "/rides/import", &form, &[], &files).await;
        let address = sent.header("location").to_owned();
        let page = fetch(&server, &address).await;
        assert!(page.body.contains("<progress") && page.text().contains("Stop after this file"), "{}", page.text());
        let part = fetch_with(&server, &address, &[("x-part", "season")]).await;
        assert!(part.body.starts_with("<div id=\"season\""), "{}", part.body);
        let batch = address.rsplit('/').next().expect("its name");
        let stopped = post(&server, "/rides/import/stop", &page, &format!("batch={batch}")).await;
        assert_eq!(stopped.status, StatusCode::SEE_OTHER);
        let text = over(&server, &address).await.text();
        assert!(text.contains(" not read.") && text.contains("39.gpx"), "{text}");
        assert_eq!(fetch(&server, "/rides/import/nothing").await.status, StatusCode::NOT_FOUND);
    });
}

#[test]
fn with_rpm_the_gear_is_known_and_places_are_kept_only_where_asked() {
    wait(async {
        let server = server();
        let mut table = String::from("time;lat;lon;ele_m;speed_kmh;rpm;other\n");
        for n in 0..900 {
            let lat = 47.0 + 8.0 * f64::from(n) / 111_195.0;
            // 8 m/s in fourth gear of 14/48: 8 · 60 / 2.10 · 3.10 · 1.20 · 48 / 14 rpm.
            let stamp = format!("2026-05-02T10:{:02}:{:02}Z", n / 60, n % 60);
            table.push_str(&format!("{stamp};{lat:.7};11;600;28.8;2915;x\n"));
        }
        let form = fetch(&server, "/rides/import").await;
        let fields = [("pair", "14/48"), ("places", "yes")];
        let sent = post_file(&server, "/rides/import", &form, &fields, ("log.csv", table.as_bytes())).await;
        assert_eq!(sent.status, StatusCode::SEE_OTHER, "{}", sent.text());
        let text = fetch(&server, sent.header("location")).await.text();
        assert!(text.contains("the gear is known in 100 % of the moving samples, not modelled"), "{text}");
        assert!(text.contains("4: 100 %") && text.contains("Columns that are not read here: other."), "{text}");
        assert!(text.contains("Its places are kept,") && text.contains("points off it"), "{text}");
    });
}

#[test]
fn a_page_of_the_list_that_is_none_is_not_found() {
    wait(async {
        let server = server();
        assert_eq!(fetch(&server, "/rides?page=1").await.status, StatusCode::OK);
        for (list, page) in [("/rides", "0"), ("/rides", "99"), ("/rides", "x"), ("/history", "99"), ("/history", "-1")]
        {
            let told = fetch(&server, &format!("{list}?page={page}")).await;
            assert_eq!(told.status, StatusCode::NOT_FOUND, "{list} {page}");
        }
    });
}
