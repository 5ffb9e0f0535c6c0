//! The door as the home network meets it.

use axum::Router;
use axum::http::{Method, StatusCode};

use crate::serve::driven::{Told, guarded, send_from, wait};

const PASSWORD: &str = "loose spoke gate";
const PHONE: &str = "192.168.1.9";
const FORM: (&str, &str) = ("content-type", "application/x-www-form-urlencoded");
const OWN: (&str, &str) = ("sec-fetch-site", "same-origin");

async fn open(server: &Router, from: &str, path: &str, session: &str) -> Told {
    send_from(server, from, Method::GET, path, &[("cookie", session)], "").await
}

async fn form(server: &Router, from: &str, path: &str, page: &Told, session: &str, fields: &str) -> Told {
    let body = format!("form_token={}&form_key={}&{fields}", page.hidden("form_token"), page.hidden("form_key"));
    send_from(server, from, Method::POST, path, &[OWN, FORM, ("cookie", session)], &body).await
}

/// Signs in from an address; gives what came back, and the session.
async fn sign_in(server: &Router, from: &str, password: &str) -> (Told, String) {
    let page = open(server, from, "/sign-in", "").await;
    let before = page.session();
    let told = form(server, from, "/sign-in", &page, &before, &format!("password={password}&back=/drive")).await;
    let session = if told.status == StatusCode::SEE_OTHER { told.session() } else { before };
    (told, session)
}

#[test]
fn s1_nothing_of_the_record_is_given_to_whoever_is_not_signed_in() {
    wait(async {
        let server = guarded(PASSWORD, false);
        for path in ["/", "/drive", "/pages", "/access", "/bike", "/rides", "/nowhere", "/figures"] {
            let told = open(&server, PHONE, path, "").await;
            assert_eq!(told.status, StatusCode::SEE_OTHER, "{path}");
            assert!(told.header("location").starts_with("/sign-in?back="), "{path}");
            assert!(told.body.is_empty(), "{path}");
        }
        for path in ["/api/v1/figures", "/api/v1/routes", "/api/v1/nowhere"] {
            let told = open(&server, PHONE, path, "session_4717=00000000000000000000000000000000").await;
            assert_eq!(told.status, StatusCode::UNAUTHORIZED, "{path}");
            assert!(!told.header("www-authenticate").is_empty());
            assert_eq!(told.header("content-type"), "application/problem+json");
        }
        // This machine is asked too: another person may sit at it.
        assert_eq!(open(&server, "127.0.0.1", "/drive", "").await.status, StatusCode::SEE_OTHER);
        for path in ["/sign-in", "/pair"] {
            let told = open(&server, PHONE, path, "").await;
            assert_eq!(told.status, StatusCode::OK, "{path}");
            assert!(!told.body.contains("Alder"), "{path} tells the bike's name");
        }
    });
}

#[test]
fn s4_a_session_is_new_at_sign_in_dead_at_sign_out_and_bound_to_our_pages() {
    wait(async {
        let server = guarded(PASSWORD, false);
        let page = open(&server, PHONE, "/sign-in", "").await;
        let before = page.session();
        let told = form(&server, PHONE, "/sign-in", &page, &before, "password=loose+spoke+gate&back=/drive").await;
        assert_eq!((told.status, told.header("location")), (StatusCode::SEE_OTHER, "/drive"));
        let cookie = told.header("set-cookie").to_owned();
        assert!(cookie.ends_with("; HttpOnly; SameSite=Strict; Path=/"), "{cookie}");
        let session = told.session();
        let (_, id) = session.split_once('=').expect("a cookie");
        assert!(id.len() == 32 && id.bytes().all(|byte| byte.is_ascii_hexdigit()), "less than 128 bits: {id}");
        assert_ne!(session, before, "the session of before is used on");
        assert_eq!(open(&server, PHONE, "/drive", &before).await.status, StatusCode::SEE_OTHER);
        let drive = open(&server, PHONE, "/drive", &session).await;
        assert_eq!(drive.status, StatusCode::OK);
        let out = form(&server, PHONE, "/sign-out", &drive, &session, "").await;
        assert_eq!(out.header("location"), "/sign-in");
        assert_eq!(open(&server, PHONE, "/drive", &session).await.status, StatusCode::SEE_OTHER);
    });
}

#[test]
fn s4_browsers_are_listed_and_each_can_be_signed_out() {
    wait(async {
        let server = guarded(PASSWORD, false);
        let (_, phone) = sign_in(&server, PHONE, "loose+spoke+gate").await;
        let (_, desk) = sign_in(&server, "192.168.1.20", "loose+spoke+gate").await;
        let list = open(&server, "192.168.1.20", "/access", &desk).await;
        assert!(list.text().contains("from 192.168.1.9") && list.text().contains("(this one)"));
        assert!(!list.body.contains(phone.split_once('=').expect("a cookie").1), "the list shows a session's secret");
        let number = list.hidden("number");
        form(&server, "192.168.1.20", "/access/end", &list, &desk, &format!("number={number}")).await;
        assert_eq!(open(&server, PHONE, "/drive", &phone).await.status, StatusCode::SEE_OTHER);
        assert_eq!(open(&server, "192.168.1.20", "/drive", &desk).await.status, StatusCode::OK);
    });
}

#[test]
fn s4_encrypted_a_cookie_travels_in_no_other_way() {
    wait(async {
        let server = guarded(PASSWORD, true);
        let page = open(&server, PHONE, "/sign-in", "").await;
        let cookie = page.header("set-cookie");
        assert!(cookie.starts_with("__Host-session_4717=") && cookie.ends_with("; Secure"), "{cookie}");
        assert!(!cookie.contains("Domain") && cookie.contains("Path=/;"), "{cookie}");
        let told = form(&server, PHONE, "/theme", &page, &page.session(), "theme=dark").await;
        assert!(told.header("set-cookie").ends_with("; Secure"));
        let headers = [FORM, ("origin", "http://127.0.0.1:4717")];
        let plain = send_from(&server, PHONE, Method::POST, "/sign-in", &headers, "").await;
        assert_eq!(plain.status, StatusCode::FORBIDDEN, "a page that is not encrypted may post to one that is");
    });
}

#[test]
fn s5_where_the_network_can_read_along_every_page_says_so() {
    wait(async {
        for (secure, said) in [(false, true), (true, false)] {
            let server = guarded(PASSWORD, secure);
            let (_, session) = sign_in(&server, PHONE, "loose+spoke+gate").await;
            for path in ["/sign-in", "/pair", "/", "/drive"] {
                let told = open(&server, PHONE, path, &session).await;
                assert_eq!(told.body.contains("Not encrypted"), said, "{path}");
            }
        }
        let here = crate::serve::driven::fetch(&crate::serve::driven::server(), "/drive").await;
        assert!(!here.body.contains("Not encrypted"));
    });
}

#[test]
fn s6_another_password_needs_the_present_one_and_signs_the_others_out() {
    wait(async {
        let server = guarded(PASSWORD, false);
        let (_, session) = sign_in(&server, PHONE, "loose+spoke+gate").await;
        let page = open(&server, PHONE, "/access", &session).await;
        let fields = page.body.matches("autocomplete=\"current-password\"").count();
        assert!(fields == 1 && page.body.contains("autocomplete=\"new-password\"") && !page.body.contains("onpaste"));
        for (typed, word) in [
            ("present=wrong+one+here&new=another+good+one", "This is not the present password"),
            ("present=loose+spoke+gate&new=short", "at least 8 are wanted"),
            ("present=loose+spoke+gate&new=password123", "one of the first"),
        ] {
            let told = form(&server, PHONE, "/access/password", &page, &session, typed).await;
            assert_eq!(told.status, StatusCode::UNPROCESSABLE_ENTITY, "{typed}");
            assert!(told.body.contains(word) && told.body.contains("<title>Error:"), "{typed}");
            assert!(!told.body.contains("another good one"), "a password is shown");
        }
    });
}

#[test]
fn s7_wrong_passwords_wait_longer_each_time_but_never_on_this_machine() {
    wait(async {
        let server = guarded(PASSWORD, false);
        let mut statuses = Vec::new();
        for _ in 0..4 {
            statuses.push(sign_in(&server, PHONE, "not+this+one").await.0);
        }
        let codes: Vec<u16> = statuses.iter().map(|told| told.status.as_u16()).collect();
        assert_eq!(codes, [422, 422, 422, 429]);
        assert!(statuses[0].body.contains("This is not the password"));
        assert!(!statuses[3].header("retry-after").is_empty());
        // The right one waits too; another phone and this machine do not.
        assert_eq!(sign_in(&server, PHONE, "loose+spoke+gate").await.0.status, StatusCode::TOO_MANY_REQUESTS);
        assert_eq!(sign_in(&server, "192.168.1.10", "loose+spoke+gate").await.0.status, StatusCode::SEE_OTHER);
        for _ in 0..6 {
            assert_eq!(sign_in(&server, "127.0.0.1", "not+this+one").await.0.status, StatusCode::UNPROCESSABLE_ENTITY);
        }
        assert_eq!(sign_in(&server, "127.0.0.1", "loose+spoke+gate").await.0.status, StatusCode::SEE_OTHER);
    });
}

#[test]
fn a_phone_is_paired_once_by_a_code_that_is_posted() {
    wait(async {
        let server = guarded(PASSWORD, false);
        let (_, desk) = sign_in(&server, "192.168.1.20", "loose+spoke+gate").await;
        let page = open(&server, "192.168.1.20", "/access", &desk).await;
        let told = form(&server, "192.168.1.20", "/access/pair", &page, &desk, "").await;
        assert_eq!(told.header("location"), "/access?pairing=1#code");
        let shown = open(&server, "192.168.1.20", "/access?pairing=1", &desk).await;
        assert!(shown.body.contains("<svg class=\"camera\""));
        let code =
            shown.body.split("<code>").nth(1).and_then(|rest| rest.split('<').next()).expect("a code").to_owned();
        for (phone, code, want) in
            [("192.168.1.30", "wrong", 422), ("192.168.1.31", code.as_str(), 303), ("192.168.1.32", code.as_str(), 422)]
        {
            let page = open(&server, phone, "/pair", "").await;
            let told = form(&server, phone, "/pair", &page, &page.session(), &format!("code={code}")).await;
            assert_eq!(told.status.as_u16(), want, "{phone}");
            let then = open(&server, phone, "/drive", &if want == 303 { told.session() } else { page.session() }).await;
            assert_eq!(then.status == StatusCode::OK, want == 303, "{phone}");
        }
        let get = open(&server, "192.168.1.33", &format!("/pair?code={code}"), "").await;
        assert!(!get.body.contains(&format!("value=\"{code}\"")), "a code in the address is taken");
    });
}

#[test]
fn s12_a_helper_reads_one_page_for_a_while_and_nothing_else() {
    wait(async {
        let server = guarded(PASSWORD, false);
        let (_, desk) = sign_in(&server, PHONE, "loose+spoke+gate").await;
        let page = open(&server, PHONE, "/access?page=/jobs/plan%3Frear_teeth=50", &desk).await;
        assert!(page.body.contains("value=\"/jobs/plan?rear_teeth=50\" selected"));
        for wrong in ["/bike", "/access", "//evil.example/jobs", "/jobsite", "https://evil.example", "/jobs\r\nx"] {
            let told = form(&server, PHONE, "/access/helper", &page, &desk, &format!("page={wrong}&hours=24")).await;
            assert_eq!(told.status, StatusCode::UNPROCESSABLE_ENTITY, "{wrong}");
        }
        let fields = "page=/jobs/plan%3Frear_teeth=50&hours=24";
        assert_eq!(form(&server, PHONE, "/access/helper", &page, &desk, fields).await.header("location"), "/access");
        let list = open(&server, PHONE, "/access", &desk).await;
        let link = list.body.split("href=\"/help/").nth(1).and_then(|rest| rest.split('"').next()).expect("a link");
        assert!(link.len() == 32, "{link}");
        let path = format!("/help/{link}");
        let shown = open(&server, "192.168.1.77", &path, "").await;
        assert_eq!(shown.status, StatusCode::OK, "{}", shown.body);
        assert!(shown.body.contains("to read only") && shown.text().contains("50"));
        assert!(!shown.body.contains("class=\"bike\" href") && !shown.body.contains("aria-label=\"Places\""));
        assert_eq!((shown.header("set-cookie"), shown.header("cache-control")), ("", "no-store"));
        for method in [Method::POST, Method::PUT, Method::DELETE, Method::PATCH] {
            let told = send_from(&server, "192.168.1.77", method.clone(), &path, &[OWN, FORM], "x=1").await;
            assert_eq!(told.status, StatusCode::METHOD_NOT_ALLOWED, "{method}");
        }
        let other = open(&server, "192.168.1.77", "/jobs", "").await;
        assert_eq!(other.status, StatusCode::SEE_OTHER, "a helper goes elsewhere");
        let guess = open(&server, "192.168.1.77", "/help/00000000000000000000000000000000", "").await;
        assert_eq!(guess.status, StatusCode::NOT_FOUND);
        form(&server, PHONE, "/access/helper/end", &list, &desk, &format!("number={}", number_of(&list))).await;
        assert_eq!(open(&server, "192.168.1.77", &path, "").await.status, StatusCode::NOT_FOUND);
    });
}

/// The number in the form that ends a link.
fn number_of(list: &Told) -> String {
    let form = list.body.split("action=\"/access/helper/end\"").nth(1).expect("a form");
    form.split("name=\"number\" value=\"").nth(1).and_then(|rest| rest.split('"').next()).expect("a number").to_owned()
}

#[test]
fn a11_a_form_sent_after_the_session_ended_loses_nothing_typed() {
    wait(async {
        let server = guarded(PASSWORD, false);
        let headers = [OWN, FORM];
        let typed = "form_token=old&form_key=1&rear_teeth=50&note=two+%3Cb%3E";
        let told = send_from(&server, PHONE, Method::POST, "/bike/set", &headers, typed).await;
        assert_eq!(told.status, StatusCode::UNAUTHORIZED);
        assert!(told.body.contains("name=\"rear_teeth\" value=\"50\"") && told.body.contains("two &lt;b&gt;"));
        assert!(told.body.contains("action=\"/bike/set\"") && told.body.contains("href=\"/sign-in\""));
    });
}

#[test]
fn a_flood_from_one_address_is_slowed() {
    wait(async {
        let server = guarded(PASSWORD, false);
        let mut slowed = 0;
        for _ in 0..400 {
            let told = open(&server, PHONE, "/favicon.ico", "").await;
            slowed += u32::from(told.status == StatusCode::TOO_MANY_REQUESTS);
        }
        assert!(slowed > 50, "{slowed} of 400");
        assert_eq!(open(&server, "192.168.1.10", "/favicon.ico", "").await.status, StatusCode::OK);
    });
}

/// Name or origin, and whether it is let in.
type Site<'a> = (&'a str, bool);

#[test]
fn s2_the_names_of_the_network_are_known_and_no_others() {
    wait(async {
        let server = guarded(PASSWORD, false);
        let names: [Site<'_>; 9] = [
            ("garage.local:4717", true),
            ("GARAGE.local:4717", true),
            ("127.0.0.1:4717", true),
            ("garage.local", false),
            ("garage.local.:4717", false),
            ("garage.local:4718", false),
            ("garage.local.evil.example:4717", false),
            ("192.168.1.5.evil.example:4717", false),
            ("garage.local:4717@evil.example", false),
        ];
        for (name, known) in names {
            for path in ["/sign-in", "/drive", "/help/x", "/api/v1/figures", "/assets/../x"] {
                let told = send_from(&server, PHONE, Method::GET, path, &[("host", name)], "").await;
                assert_eq!(told.status != StatusCode::MISDIRECTED_REQUEST, known, "{name} {path}");
            }
        }
    });
}

#[test]
fn s3_a_state_change_from_a_foreign_origin_is_always_refused() {
    wait(async {
        let server = guarded(PASSWORD, false);
        let (_, session) = sign_in(&server, PHONE, "loose+spoke+gate").await;
        let page = open(&server, PHONE, "/access", &session).await;
        let body = format!("form_token={}&form_key={}", page.hidden("form_token"), page.hidden("form_key"));
        let foreign = [
            vec![("origin", "http://evil.example")],
            vec![("origin", "http://evil.example:4717")],
            vec![("origin", "null")],
            vec![("origin", "https://garage.local:4717")],
            vec![("origin", "http://garage.local")],
            vec![("origin", "http://garage.local:4717.evil.example")],
            vec![("sec-fetch-site", "cross-site")],
            vec![("sec-fetch-site", "same-site"), ("origin", "http://garage.local:4717")],
            vec![("sec-fetch-site", "cross-site"), ("origin", "http://garage.local:4717")],
            vec![("sec-fetch-site", "")],
            vec![],
        ];
        let kinds = ["application/x-www-form-urlencoded", "multipart/form-data; boundary=x", "text/plain", ""];
        let state = crate::serve::Site::new(crate::pages::all());
        let targets: Vec<&str> =
            state.pages().iter().map(|page| page.path).filter(|path| !path.contains('{')).collect();
        assert!(targets.len() > 15);
        for headers in &foreign {
            for kind in kinds {
                for target in &targets {
                    for method in [Method::POST, Method::PUT, Method::PATCH, Method::DELETE] {
                        let mut all = headers.clone();
                        all.extend([("cookie", session.as_str()), ("content-type", kind)]);
                        // Each from an address of its own: the matrix is no flood.
                        let told = send_from(&server, "127.0.0.1", method.clone(), target, &all, &body).await;
                        assert_eq!(told.status, StatusCode::FORBIDDEN, "{method} {target} {headers:?} {kind}");
                        assert!(told.header("access-control-allow-origin").is_empty());
                    }
                }
            }
        }
        let own = [vec![("origin", "http://garage.local:4717")], vec![OWN]];
        for headers in own {
            let mut all = headers.clone();
            all.extend([("cookie", session.as_str()), FORM, ("host", "garage.local:4717")]);
            let told = send_from(&server, PHONE, Method::POST, "/access/pair", &all, &body).await;
            assert_eq!(told.status, StatusCode::SEE_OTHER, "{headers:?}");
        }
    });
}

#[test]
fn s9_no_path_leads_out_of_the_server() {
    wait(async {
        let server = guarded(PASSWORD, false);
        let (_, session) = sign_in(&server, PHONE, "loose+spoke+gate").await;
        let ways = ["../", "..%2f", "%2e%2e/", "%2e%2e%2f", "..%5c", "....//", "%252e%252e%252f", "%00", "..;/"];
        for place in ["/assets/", "/help/", "/figures/", "/rides/", "/api/v1/figures/"] {
            for way in ways {
                for end in ["etc/passwd", "Cargo.toml", "record.tightspot"] {
                    let path = format!("{place}{}{end}", way.repeat(4));
                    let told = send_from(&server, "127.0.0.1", Method::GET, &path, &[("cookie", &session)], "").await;
                    assert!(told.status.is_client_error(), "{path}: {}", told.status);
                    assert!(!told.body.contains("root:") && !told.body.contains("[workspace]"), "{path}");
                }
            }
        }
    });
}
