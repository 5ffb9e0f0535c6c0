//! The bike sheet as a browser meets it: reading, changing, taking back, files, bikes.

use axum::Router;
use axum::http::StatusCode;
use upkeep::bike::{Bike, FIELDS};

use crate::serve::driven::{Told, fetch, fetch_with, post, post_file, server, wait};

const AXLE: &str = "rear_axle_torque_nm";

/// The hidden field `last` of a figure's form.
fn last(page: &Told, field: &str) -> String {
    let form = page.body.split(&format!("name=\"field\" value=\"{field}\"")).nth(1).expect(field);
    let rest = form.split("name=\"last\" value=\"").nth(1).expect("a last change");
    rest.split('"').next().expect("a number").to_owned()
}

/// The sheet with a figure's form open.
async fn opened(server: &Router, field: &str) -> Told {
    fetch(server, &format!("/bike?field={field}")).await
}

/// Sends a figure's form as it stands on a page, with these texts.
async fn put(server: &Router, page: &Told, field: &str, value: &str, source: &str) -> Told {
    let fields =
        format!("bike=alder-350&field={field}&last={}&{field}={value}&{field}-source={source}", last(page, field));
    post(server, "/bike", page, &fields).await
}

/// The page that a form led to.
async fn followed(server: &Router, told: &Told) -> Told {
    assert_eq!(told.status, StatusCode::SEE_OTHER, "{}", told.text());
    fetch(server, told.header("location").split('#').next().expect("an address")).await
}

/// The row of a figure, as text.
fn row(page: &Told, field: &str) -> String {
    let row = page.body.split(&format!("id=\"row-{field}\"")).nth(1).expect(field);
    let row = row.split("sheet-form").next().and_then(|row| row.split("</li>").next()).expect("a row");
    let parts = row.split('<').map(|part| part.split_once('>').map_or("", |(_, text)| text));
    parts.collect::<Vec<_>>().join(" ").split_whitespace().collect::<Vec<_>>().join(" ")
}

/// What a page says is wrong with a field.
fn fault(page: &Told, field: &str) -> String {
    let from = page.body.split(&format!("id=\"{field}-fault\">")).nth(1).unwrap_or_default();
    let text = from.split("</p>").next().unwrap_or_default().split("</span>").last().unwrap_or_default();
    text.replace("&quot;", "\"").replace("&amp;", "&").replace("&lt;", "<").replace("&gt;", ">")
}

#[test]
fn every_figure_has_its_place_its_value_or_how_to_get_it() {
    wait(async {
        let server = server();
        let page = fetch(&server, "/bike").await;
        for field in FIELDS {
            let (name, to) = (field.name, format!("href=\"/bike?field={0}#row-{0}\"", field.name));
            assert!(page.body.contains(&format!("id=\"row-{name}\"")) && page.body.contains(&to), "{name}");
            assert!(opened(&server, name).await.body.contains(&format!("id=\"{name}\"")), "{name}");
        }
        assert!(row(&page, "arm_mm").contains("605.6 mm"), "{}", row(&page, "arm_mm"));
        assert!(row(&page, "droop_deg").contains("21.8°"));
        assert!(
            row(&page, "slack_mm_min").contains("82 mm (invented sheet, page 1)"),
            "{}",
            row(&page, "slack_mm_min")
        );
        assert!(row(&page, AXLE).contains("not known"));
        let text = page.text();
        assert!(
            text.contains("The torque table of the bike's manual")
                || text.contains("The torque table of the bike&#39;s manual")
        );
        assert!(text.contains("are invented"));
    });
}

#[test]
fn a_figure_is_saved_in_another_unit_told_back_and_undone() {
    wait(async {
        let server = server();
        let saved = put(&server, &opened(&server, AXLE).await, AXLE, "74+lbf+ft", "manual,+p.+88").await;
        assert!(saved.header("location").ends_with(&format!("#row-{AXLE}")));
        // 74 lbf·ft are 100.33 N·m by the exact factor; the record keeps more digits than are shown.
        let page = followed(&server, &saved).await;
        let told = row(&page, AXLE);
        assert!(told.contains("100.3 N·m (manual, p. 88)"), "{told}");
        assert!(told.contains("Saved: rear axle torque, 100.3 N·m."), "{told}");
        assert!(page.text().contains("Rear axle torque: not known → 100.3 N·m (manual, p. 88)"));
        let number = saved.header("location").split(['=', '#']).nth(1).expect("a change").to_owned();
        let (undo, again) = (format!("change={number}&want=undone"), format!("change={number}&want=stands"));
        let undone = followed(&server, &post(&server, "/bike/undo", &page, &undo).await).await;
        assert!(row(&undone, AXLE).contains("Undone: rear axle torque, not on the sheet."), "{}", row(&undone, AXLE));
        // Asked for once more by another page, it stays undone.
        let still = followed(&server, &post(&server, "/bike/undo", &fetch(&server, "/bike").await, &undo).await).await;
        assert!(row(&still, AXLE).contains("not known"));
        let back = followed(&server, &post(&server, "/bike/undo", &undone, &again).await).await;
        assert!(row(&back, AXLE).contains("Brought back: rear axle torque, 100.3 N·m."), "{}", row(&back, AXLE));
        // It goes back and forth as often as somebody wants.
        let gone = followed(&server, &post(&server, "/bike/undo", &back, &undo).await).await;
        assert!(row(&gone, AXLE).contains("not known"));
    });
}

#[test]
fn what_is_no_figure_is_told_at_its_field_and_nothing_is_stored() {
    wait(async {
        let server = server();
        let page = opened(&server, "arm_mm").await;
        let told = put(&server, &page, "arm_mm", "60,56+kg", "%3Cb%3Etape").await;
        assert_eq!(told.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(told.body.contains("<title>Error: ") && told.body.contains("href=\"#arm_mm\""));
        assert!(told.body.contains("value=\"60,56 kg\"") && told.body.contains("value=\"&lt;b&gt;tape\""));
        assert!(fault(&told, "arm_mm").contains("\"kg\" is no unit for arm length"), "{}", fault(&told, "arm_mm"));
        // The front stop behind the rear one: the sentence names both in words.
        let against = put(&server, &opened(&server, "slot_min_mm").await, "slot_min_mm", "700", "").await;
        let words = fault(&against, "slot_min_mm");
        assert!(words.contains("arm length at the front stop is 700") && !words.contains('_'), "{words}");
        let empty = put(&server, &page, "arm_mm", "", "").await;
        assert!(fault(&empty, "arm_mm").starts_with("Nothing is given for arm length"), "{}", fault(&empty, "arm_mm"));
        assert_eq!(row(&fetch(&server, "/bike").await, "arm_mm"), row(&page, "arm_mm"));
    });
}

#[test]
fn a_change_meanwhile_is_shown_with_both_values() {
    wait(async {
        let server = server();
        let mine = opened(&server, "front_teeth").await;
        let theirs = opened(&server, "front_teeth").await;
        assert_eq!(put(&server, &theirs, "front_teeth", "13", "").await.status, StatusCode::SEE_OTHER);
        let told = put(&server, &mine, "front_teeth", "12", "").await;
        assert_eq!(told.status, StatusCode::UNPROCESSABLE_ENTITY);
        let words = fault(&told, "front_teeth");
        assert!(words.contains("it says 13 now, you typed 12"), "{words}");
        // The page shown again knows of the change: sent once more it goes through.
        let page = opened(&server, "front_teeth").await;
        assert_eq!(last(&told, "front_teeth"), last(&page, "front_teeth"));
        assert_eq!(put(&server, &page, "front_teeth", "12", "").await.status, StatusCode::SEE_OTHER);
    });
}

#[test]
fn a_double_tap_changes_once_and_going_back_to_another_form_is_no_double_tap() {
    wait(async {
        let server = server();
        let page = opened(&server, "links").await;
        let first = put(&server, &page, "links", "116", "").await;
        let again = put(&server, &page, "links", "116", "").await;
        assert_eq!(first.header("location"), again.header("location"));
        // Every form of the page has a key of its own.
        let keys: Vec<&str> =
            page.body.split("name=\"form_key\" value=\"").skip(1).filter_map(|rest| rest.split('"').next()).collect();
        let mut once = keys.clone();
        once.sort_unstable();
        once.dedup();
        assert_eq!(once.len(), keys.len());
        assert!(keys.len() > 4, "the figure's two, the switches, the list of changes: {keys:?}");
    });
}

#[test]
fn a_figure_is_taken_off_and_what_is_sent_unchanged_changes_nothing() {
    wait(async {
        let server = server();
        let page = opened(&server, "arm_mm").await;
        let same = put(&server, &page, "arm_mm", "605.6", "").await;
        let location = same.header("location").to_owned();
        assert!(location.starts_with("/bike?same=arm_mm"), "{location}");
        let fields = format!("bike=alder-350&field=links&last={}", last(&opened(&server, "links").await, "links"));
        let off = post(&server, "/bike/off", &fetch(&server, "/bike").await, &fields).await;
        let page = followed(&server, &off).await;
        assert!(row(&page, "links").contains("not known"), "{}", row(&page, "links"));
        assert!(page.text().contains("Links: 118 → not known"));
    });
}

#[test]
fn the_echo_says_what_is_understood_while_it_is_typed() {
    wait(async {
        let server = server();
        let part = [("x-part", "echo-rear_axle_torque_nm")];
        let path = "/bike?field=rear_axle_torque_nm&rear_axle_torque_nm=26+lbf+ft";
        let echo = fetch_with(&server, path, &part).await;
        assert!(
            echo.body.starts_with("<div id=\"echo-rear_axle_torque_nm\"") && echo.body.contains("= 35.3 N·m"),
            "{}",
            echo.body
        );
        let half = fetch_with(&server, "/bike?field=rear_axle_torque_nm&rear_axle_torque_nm=26,", &part).await;
        assert_eq!((half.status, half.text().as_str()), (StatusCode::OK, ""));
        // Without script the same address is the whole page, and nothing is saved by it.
        assert!(fetch(&server, path).await.text().contains("= 35.3 N·m"));
        assert!(row(&fetch(&server, "/bike").await, AXLE).contains("not known"));
    });
}

#[test]
fn a_file_taken_out_and_brought_in_is_the_same_bike() {
    wait(async {
        let server = server();
        let file = fetch(&server, "/bike/export").await;
        assert_eq!(file.header("content-disposition"), "attachment; filename=\"alder-350.toml\"");
        assert!(file.header("content-type").contains("charset=utf-8"));
        let bike = Bike::from_toml(&file.body).expect("a bike");
        assert_eq!(bike.to_toml(), file.body);
        let page = fetch(&server, "/bike").await;
        let same = post_file(&server, "/bike/import", &page, &[], ("alder-350.toml", file.body.as_bytes())).await;
        assert_eq!(same.header("location"), "/bike?same=1");
        let other = file.body.replace("\"alder-350\"", "\"birch-1\"").replace("Alder 350", "Birch");
        let page = fetch(&server, "/bike").await;
        let made = post_file(&server, "/bike/import", &page, &[("text", &other)], ("", b"")).await;
        assert!(made.header("location").starts_with("/bike?saved="), "{}", made.text());
        assert!(
            made.headers
                .get_all("set-cookie")
                .iter()
                .any(|cookie| cookie.to_str().is_ok_and(|text| text.starts_with("bike=birch-1;")))
        );
        let shown = fetch_with(&server, "/bike", &[("cookie", "bike=birch-1")]).await;
        assert!(shown.body.contains("<h1>Birch</h1>"));
    });
}

#[test]
fn a_file_with_faults_names_every_line_and_stores_nothing() {
    wait(async {
        let server = server();
        let page = fetch(&server, "/bike").await;
        let text = "schema = 1\n[bike]\nid = \"oak\"\nname = \"Oak\"\n[drive]\nfront_teeth = 140\nlinks = \"many\"\nteeth = 3\n";
        let told = post_file(&server, "/bike/import", &page, &[], ("oak.toml", text.as_bytes())).await;
        assert_eq!(told.status, StatusCode::UNPROCESSABLE_ENTITY);
        let words = told.text();
        for line in ["line 6: ", "line 7: ", "line 8: "] {
            assert!(words.contains(line), "{line}: {words}");
        }
        // The file's text stands in the field, to be put right there.
        assert!(told.body.contains("front_teeth = 140"));
        assert!(!fetch(&server, "/bike").await.text().contains("Oak"));
        for (name, bytes, says) in [
            ("", &b""[..], "Nothing was given."),
            ("x.toml", &b"\xff\xfe"[..], "x.toml is no text."),
            ("x.toml", &b"not = [a"[..], "no TOML"),
        ] {
            let told = post_file(&server, "/bike/import", &fetch(&server, "/bike").await, &[], (name, bytes)).await;
            assert_eq!(told.status, StatusCode::UNPROCESSABLE_ENTITY);
            assert!(told.text().contains(says), "{says}: {}", told.text());
        }
    });
}

#[test]
fn another_bike_is_chosen_made_and_named() {
    wait(async {
        let server = server();
        let page = fetch(&server, "/bike").await;
        let chosen = post(&server, "/bike/choose", &page, "bike=sorrel-250").await;
        let cookie = chosen
            .headers
            .get_all("set-cookie")
            .iter()
            .filter_map(|cookie| cookie.to_str().ok())
            .find(|cookie| cookie.starts_with("bike="))
            .expect("a cookie")
            .to_owned();
        assert!(cookie.starts_with("bike=sorrel-250; HttpOnly; SameSite=Strict"), "{cookie}");
        let sorrel = fetch_with(&server, "/bike", &[("cookie", "bike=sorrel-250")]).await;
        assert!(sorrel.body.contains("<h1>Sorrel 250</h1>"));
        let none = post(&server, "/bike/choose", &fetch(&server, "/bike").await, "bike=elm").await;
        assert_eq!(none.status, StatusCode::NOT_FOUND);
        let faulty = post(&server, "/bike/new", &fetch(&server, "/bike").await, "id=Alder+350&name=").await;
        assert_eq!(faulty.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(
            fault(&faulty, "id").contains("lower-case letters") && fault(&faulty, "name").starts_with("Nothing"),
            "{}",
            faulty.text()
        );
        let taken = post(&server, "/bike/new", &fetch(&server, "/bike").await, "id=sorrel-250&name=Mine").await;
        assert!(fault(&taken, "id").contains("already"), "{}", fault(&taken, "id"));
        let made = post(&server, "/bike/new", &fetch(&server, "/bike").await, "id=elm-1&name=Elm").await;
        assert_eq!(made.status, StatusCode::SEE_OTHER);
        let named = post(&server, "/bike/name", &fetch(&server, "/bike").await, "bike=elm-1&called=Elm+one").await;
        let number = named.header("location").rsplit('=').next().expect("a change").to_owned();
        let elm = [("cookie", "bike=elm-1")];
        assert!(fetch_with(&server, "/bike", &elm).await.body.contains("<h1>Elm one</h1>"));
        post(&server, "/bike/undo", &fetch(&server, "/bike").await, &format!("change={number}&want=undone")).await;
        assert!(fetch_with(&server, "/bike", &elm).await.body.contains("<h1>Elm</h1>"));
    });
}

#[test]
fn a_form_of_another_bike_is_not_put_on_this_one() {
    wait(async {
        let server = server();
        let page = opened(&server, "links").await;
        let fields = format!("bike=sorrel-250&field=links&last={}&links=112", last(&page, "links"));
        let told = post(&server, "/bike", &page, &fields).await;
        assert_eq!(told.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(fault(&told, "links").contains("another bike than Alder 350"), "{}", fault(&told, "links"));
    });
}

#[test]
fn a_bike_is_taken_off_the_list_and_brought_back_whole() {
    wait(async {
        let server = server();
        let before = fetch(&server, "/bike").await;
        assert!(!before.body.contains("id=\"removed\""));
        let off = post(&server, "/bike/remove", &before, "bike=sorrel-250").await;
        assert_eq!(off.status, StatusCode::SEE_OTHER);
        let page = fetch(&server, "/bike").await;
        assert!(
            page.text().contains("Taken off the list") && !page.text().contains("Look at Sorrel"),
            "{}",
            page.text()
        );
        // Only what was taken off is brought back here, and once.
        let none = post(&server, "/bike/bring-back", &page, "bike=alder-350").await;
        assert_eq!(none.status, StatusCode::NOT_FOUND);
        let page = fetch(&server, "/bike").await;
        let back = post(&server, "/bike/bring-back", &page, "bike=sorrel-250").await;
        assert_eq!(back.status, StatusCode::SEE_OTHER);
        let page = fetch(&server, "/bike").await;
        assert!(page.text().contains("Look at Sorrel") && !page.body.contains("id=\"removed\""));
    });
}
