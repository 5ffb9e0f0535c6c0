//! The list against the shelf, noted by hand, taken back; typed text kept.

use axum::http::StatusCode;

use crate::serve::driven::{Told, demo_server, fetch, post, wait};

/// The text of a page, its quotation marks as they are seen.
fn said(page: &Told) -> String {
    page.text().replace("&quot;", "\"")
}

const LIST: &str = "/parts?job=final-drive-set&front_retention=nut&by=2026-10-10";

#[test]
fn what_is_noted_stands_in_the_list_and_is_taken_back_from_there() {
    wait(async {
        let server = demo_server();
        let before = fetch(&server, LIST).await.text();
        assert!(before.contains("not counted") && before.contains("The parts must be there by 2026-10-10"), "{before}");
        let form = fetch(&server, "/parts/note?role=connecting+link").await;
        let typed = "role=connecting+link&event=ordered&qty=1&price=89,50+EUR&price_to=92+EUR&lead_d=9&use_by=&for_job=final-drive-set";
        let sent = post(&server, "/parts/note", &form, typed).await;
        assert_eq!(sent.status, StatusCode::SEE_OTHER, "{}", sent.text());
        let to = sent.header("location").to_owned();
        assert!(to.starts_with("/parts?job=final-drive-set&saved="), "{to}");
        let after = fetch(&server, &format!("{to}&front_retention=nut")).await;
        for words in ["on its way (1 ordered)", "89.50 to 92.00 EUR", "Saved."] {
            assert!(after.text().contains(words), "{words}: {}", after.text());
        }
        let change = to.split("saved=").nth(1).expect("a change").to_owned();
        let history = fetch(&server, "/history").await.text();
        assert!(
            history.contains("connecting link: 1 ordered") && history.contains("connecting link: 9 days of delivery"),
            "{history}"
        );
        let undone = post(&server, "/history/undo", &after, &format!("change={change}&want=undone")).await;
        assert_eq!(undone.status, StatusCode::SEE_OTHER);
        let again = fetch(&server, LIST).await.text();
        assert!(!again.contains("on its way") && !again.contains("89.50"), "{again}");
    });
}

#[test]
fn what_is_at_fault_is_named_and_what_was_typed_stays() {
    wait(async {
        let server = demo_server();
        let form = fetch(&server, "/parts/note?role=chain").await;
        let sent = post(&server, "/parts/note", &form, "role=chain&event=taken&qty=7&price=9+euro").await;
        assert_eq!(sent.status, StatusCode::UNPROCESSABLE_ENTITY);
        for words in ["value=\"7\"", "value=\"9 euro\"", "cannot be taken", "Error:"] {
            assert!(sent.body.contains(words), "{words}");
        }
        for (path, words) in [("/parts?by=soon", "value=\"soon\""), ("/parts?job=none", "not in the library")] {
            let page = fetch(&server, path).await;
            assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY, "{path}");
            assert!(page.body.contains(words), "{path}: {}", page.text());
        }
    });
}

#[test]
fn a_chance_is_the_riders_own_and_stands_at_its_look() {
    wait(async {
        let server = demo_server();
        let list = fetch(&server, LIST).await;
        assert!(list.text().contains("not said"), "{}", list.text());
        let hold = list.body.split("<select id=\"hold\"").nth(1).expect("looks");
        let hold = hold.split("value=\"").nth(1).and_then(|rest| rest.split('"').next()).expect("a look").to_owned();
        let form = fetch(&server, &format!("/parts/note?hold={hold}")).await;
        let sent = post(&server, "/parts/note", &form, &format!("hold={hold}&chance_low=10&chance_high=20")).await;
        assert_eq!(sent.status, StatusCode::SEE_OTHER, "{}", sent.text());
        assert!(fetch(&server, LIST).await.text().contains("10 to 20 %"));
    });
}

#[test]
fn a_part_laid_on_the_shelf_keeps_its_hours_is_undone_and_leaves_the_list_when_it_is_gone() {
    wait(async {
        let server = demo_server();
        let form = fetch(&server, "/parts/shelf").await;
        let typed = "where=shelf&role=front&name=old+14&count=14&used=40,5&price=6+EUR";
        let sent = post(&server, "/parts/shelf", &form, typed).await;
        assert_eq!(sent.status, StatusCode::SEE_OTHER, "{}", sent.text());
        let list = fetch(&server, sent.header("location")).await;
        for words in ["Saved.", "old 14", "40.5", "6.00 EUR"] {
            assert!(list.text().contains(words), "{words}: {}", list.text());
        }
        // Sent once more from the same page, it is the same part.
        let again = post(&server, "/parts/shelf", &form, typed).await;
        assert_eq!(again.header("location"), sent.header("location"));
        assert_eq!(fetch(&server, "/parts").await.text().matches("old 14").count(), 1);
        let gone = fetch(&server, "/parts/shelf").await;
        let sold = post(&server, "/parts/shelf", &gone, "where=gone&role=front&name=old+14").await;
        assert_eq!(sold.status, StatusCode::SEE_OTHER, "{}", sold.text());
        let after = fetch(&server, sold.header("location")).await;
        assert!(!after.text().contains("old 14"), "{}", after.text());
        let change = sold.header("location").split("saved=").nth(1).expect("a change").to_owned();
        post(&server, "/history/undo", &after, &format!("change={change}&want=undone")).await;
        assert!(fetch(&server, "/parts").await.text().contains("old 14"));
    });
}

#[test]
fn what_never_lay_there_is_not_gone_and_what_lies_there_is_named() {
    wait(async {
        let server = demo_server();
        let form = fetch(&server, "/parts/shelf").await;
        let none = post(&server, "/parts/shelf", &form, "where=gone&role=front&name=old+14").await;
        assert_eq!(none.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(said(&none).contains("Front \"old 14\" was not on the shelf on 2026-"), "{}", said(&none));
        for (role, name, count) in [("front", "old+14", 14), ("chain", "mud+chain", 118)] {
            let form = fetch(&server, "/parts/shelf").await;
            let typed = format!("where=shelf&role={role}&name={name}&count={count}&used=40");
            let laid = post(&server, "/parts/shelf", &form, &typed).await;
            assert_eq!(laid.status, StatusCode::SEE_OTHER, "{}", laid.text());
        }
        let record = fetch(&server, "/history").await.text();
        for (typed, words) in [
            ("role=front&name=old+41", "front \"old 14\", "),
            ("role=chain&name=x", "There lay: chain \"mud chain\", "),
            ("role=rear&name=old+14", "Give what it is and its name as they stand there"),
            ("role=front&name=old+14&at=2026-09-01", "was not on the shelf on 2026-09-01 at 18:00"),
        ] {
            let form = fetch(&server, "/parts/shelf").await;
            let sent = post(&server, "/parts/shelf", &form, &format!("where=gone&price=3+EUR&{typed}")).await;
            assert_eq!(sent.status, StatusCode::UNPROCESSABLE_ENTITY, "{typed}");
            assert!(sent.body.contains("href=\"#name\"") && said(&sent).contains(words), "{typed}: {}", sent.text());
            assert!(sent.body.contains("value=\"3 EUR\"") && sent.body.contains("Error:"), "{typed}: {}", sent.body);
        }
        assert_eq!(fetch(&server, "/history").await.text(), record, "something was stored");
        // Once gone it is gone; the form that said so, sent again, says no more.
        let form = fetch(&server, "/parts/shelf").await;
        let gone = "where=gone&role=front&name=old+14";
        let first = post(&server, "/parts/shelf", &form, gone).await;
        assert_eq!(first.status, StatusCode::SEE_OTHER, "{}", first.text());
        assert_eq!(post(&server, "/parts/shelf", &form, gone).await.header("location"), first.header("location"));
        let form = fetch(&server, "/parts/shelf").await;
        let again = post(&server, "/parts/shelf", &form, gone).await;
        assert_eq!(again.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(again.text().contains("was gone by the record already"), "{}", again.text());
    });
}

#[test]
fn what_is_on_the_bike_goes_only_after_another_took_its_place() {
    wait(async {
        let server = demo_server();
        let sent = async |typed: &str| {
            let form = fetch(&server, "/parts/shelf").await;
            post(&server, "/parts/shelf", &form, typed).await
        };
        let fitted = "where=bike&role=rear&name=steel+48&count=48&used=12";
        assert_eq!(sent(fitted).await.status, StatusCode::SEE_OTHER);
        let gone = "where=gone&role=rear&name=steel+48";
        let on = sent(gone).await;
        assert_eq!(on.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(
            said(&on).contains("was on the bike by the record. Write down first what took its place"),
            "{}",
            said(&on)
        );
        assert_eq!(sent("where=bike&role=rear&name=next&count=48&used=0").await.status, StatusCode::SEE_OTHER);
        assert_eq!(sent(gone).await.status, StatusCode::SEE_OTHER, "taken off and scrapped");
    });
}

#[test]
fn a_part_written_down_as_fitted_is_on_the_bike() {
    wait(async {
        let server = demo_server();
        let form = fetch(&server, "/parts/shelf?where=bike").await;
        let typed = "where=bike&role=rear&name=steel+48&count=48&used=12";
        let sent = post(&server, "/parts/shelf", &form, typed).await;
        assert_eq!(sent.status, StatusCode::SEE_OTHER, "{}", sent.text());
        let sets = fetch(&server, "/drive/sets").await.text();
        assert!(sets.contains("steel 48"), "{sets}");
        assert!(!fetch(&server, "/parts").await.text().contains("steel 48"));
    });
}

#[test]
fn what_is_no_part_is_told_at_its_field_and_kept_as_typed() {
    wait(async {
        let server = demo_server();
        for (typed, field, words) in [
            ("where=shelf&role=chain&name=&count=118&used=0", "name", "value=\"118\""),
            ("where=shelf&role=chain&name=a&count=117&used=0", "count", "half link"),
            ("where=shelf&role=front&name=a&count=99&used=0", "count", "value=\"99\""),
            ("where=shelf&role=front&name=a", "used", "the most it may have had"),
            ("where=shelf&role=front&name=a&used=soon", "used", "value=\"soon\""),
            ("where=shelf&role=front&name=a&used=0&price=6", "price", "no currency"),
            ("where=moon&role=front&name=a&used=0", "where", "possible: shelf"),
            ("where=shelf&role=wing&name=a&used=0", "role", "wing"),
        ] {
            let form = fetch(&server, "/parts/shelf").await;
            let sent = post(&server, "/parts/shelf", &form, typed).await;
            assert_eq!(sent.status, StatusCode::UNPROCESSABLE_ENTITY, "{typed}");
            assert!(sent.body.contains(&format!("href=\"#{field}\"")), "{typed}: {}", sent.text());
            assert!(sent.body.contains(words), "{typed}: {}", sent.body);
        }
    });
}
