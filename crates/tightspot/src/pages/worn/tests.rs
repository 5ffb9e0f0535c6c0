//! Lists of readings page by page: every one stands on one page, the newest beside the picture.

use axum::Router;
use axum::http::StatusCode;
use jiff::Timestamp;
use jiff::civil::date;
use store::{NewEntry, Post};
use upkeep::record::{ElongationReading, Fact, SlackKind, SlackReading, SlackState};

use super::{NEWEST, lists};
use crate::garage::Garage;
use crate::serve::driven::{Told, fetch, of_garage, wait};

/// The demo with so many more readings of slack and of length, a minute apart.
fn with_readings(more: i8) -> Router {
    let mut garage = Garage::demo().expect("the demo");
    let bike = garage.bike(None).expect("a bike").id;
    let entries: Vec<NewEntry> = (0..more)
        .flat_map(|minute| {
            let at = date(2026, 9, 1).at(8, minute, 0, 0);
            let slack = SlackReading::new(vec![84.0], None, 0.5, SlackState::Stand, SlackKind::Free);
            let length = ElongationReading::new(20, vec![vec![318.0 + f64::from(minute) / 100.0]; 3], 0.1, 0.1);
            [Fact::Slack(slack.expect("a reading")), Fact::Elongation(length.expect("a reading"))]
                .map(|fact| NewEntry::new(at, fact))
        })
        .collect();
    garage.store_mut().note(&bike, &entries, &Post::at(Timestamp::now())).expect("kept");
    of_garage(garage)
}

/// The readings that a page leads to.
fn led_to(page: &Told) -> Vec<String> {
    let rest = page.body.split("href=\"/drive/reading/").skip(1);
    rest.filter_map(|rest| rest.split('"').next()).map(str::to_owned).collect()
}

/// The rows of a table on a page.
fn rows(page: &Told, table: &str) -> usize {
    let from = page.body.split(&format!("<table id=\"{table}\"")).nth(1).unwrap_or_default();
    from.split("</table>").next().unwrap_or_default().matches("<th scope=\"row\"").count()
}

#[test]
fn every_reading_stands_on_one_page_of_its_list_and_the_newest_beside_the_picture() {
    wait(async {
        let server = with_readings(59);
        let mut all = Vec::new();
        let mut pages = 0;
        loop {
            let page = fetch(&server, &format!("{}?page={}", lists::READINGS, pages + 1)).await;
            if page.status == StatusCode::NOT_FOUND {
                break;
            }
            let on_it = led_to(&page);
            assert!((1..=50).contains(&on_it.len()), "{}", on_it.len());
            all.extend(on_it);
            pages += 1;
        }
        let (many, mut once) = (all.len(), all.clone());
        once.sort();
        once.dedup();
        assert!(
            pages > 2 && many >= 118 && once.len() == many,
            "{pages} pages, {many} readings, {} of them once",
            once.len()
        );
        let beside = fetch(&server, "/drive/history").await;
        assert_eq!(led_to(&beside), all[..NEWEST], "the newest ones, in the same order");
        assert!(beside.body.contains(&format!("All {many} readings, page by page")));
        for (address, table, folded) in
            [(lists::LENGTHS, "readings", "earlier-lengths"), (lists::SLACKS, "tight_spots", "earlier-slacks")]
        {
            // Ten of them in sight, the earlier ones folded.
            let rows = |page: &Told, table: &str| match rows(page, table) {
                10 => 10 + rows(page, folded),
                few => few,
            };
            assert_eq!(rows(&beside, table), NEWEST);
            let (first, second) = (fetch(&server, address).await, fetch(&server, &format!("{address}?page=2")).await);
            assert_eq!(rows(&first, table), 50, "{address}");
            assert!((9..50).contains(&rows(&second, table)), "{address}");
            assert!(beside.body.contains(&format!("href=\"{address}\"")), "{address}");
        }
    });
}

#[test]
fn a_short_list_stands_whole_beside_the_picture_with_the_picture_s_own_figures() {
    wait(async {
        let page = fetch(&with_readings(3), "/drive/history").await;
        assert!(page.body.contains("<table id=\"wear-figures\""), "the figures of the picture are gone");
        for list in [lists::LENGTHS, lists::SLACKS] {
            assert!(!page.body.contains(list), "{list} has no more than stands here");
        }
    });
}

#[test]
fn a_page_that_a_list_does_not_have_is_told() {
    wait(async {
        let server = with_readings(3);
        for page in ["0", "9", "all", "-1"] {
            for list in [lists::LENGTHS, lists::SLACKS, lists::READINGS] {
                assert_eq!(
                    fetch(&server, &format!("{list}?page={page}")).await.status,
                    StatusCode::NOT_FOUND,
                    "{list} {page}"
                );
            }
        }
    });
}
