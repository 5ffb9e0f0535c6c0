//! One answer, many faces: what the command prints, the page shows and the API gives is the same to the last digit.

use std::io::{BufRead as _, BufReader, Read as _, Write as _};
use std::net::TcpStream;
use std::process::{Child, Command, Stdio};

use serde_json::Value;

/// The demo, served; ended with the value.
struct Serving {
    child: Child,
    port: String,
}

impl Serving {
    fn start() -> Self {
        let mut child = Command::new(env!("CARGO_BIN_EXE_tightspot"))
            .args(["--demo", "serve", "--port", "0"])
            .stdout(Stdio::piped())
            .spawn()
            .expect("the binary");
        let mut address = String::new();
        BufReader::new(child.stdout.take().expect("stdout")).read_line(&mut address).expect("an address");
        let port = address.trim().trim_end_matches('/').rsplit(':').next().expect("a port").to_owned();
        Self { child, port }
    }

    fn get(&self, path: &str) -> String {
        let mut stream = TcpStream::connect(format!("127.0.0.1:{}", self.port)).expect("a socket");
        let request = format!("GET {path} HTTP/1.0\r\nHost: 127.0.0.1:{}\r\n\r\n", self.port);
        stream.write_all(request.as_bytes()).expect("sent");
        let mut answer = String::new();
        stream.read_to_string(&mut answer).expect("an answer");
        let (head, body) = answer.split_once("\r\n\r\n").expect("a body");
        assert!(head.contains(" 200 "), "{path}: {head}");
        body.to_owned()
    }
}

impl Drop for Serving {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

fn command(args: &[&str], more: &[&str]) -> String {
    let all = [&["--demo"], args, more].concat();
    let done = Command::new(env!("CARGO_BIN_EXE_tightspot")).args(&all).output().expect("the binary");
    assert!(done.status.success(), "{all:?}: {}", String::from_utf8_lossy(&done.stderr));
    String::from_utf8(done.stdout).expect("text")
}

/// A page's words without its markup, blanks drawn together.
fn words(page: &str) -> String {
    let parts = page.split('<').map(|part| part.split_once('>').map_or(part, |(_, text)| text));
    let text = parts.collect::<Vec<_>>().join(" ").replace("&quot;", "\"").replace("&amp;", "&");
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The question of each face: command, page, API.
const QUESTIONS: [(&[&str], &str, &str); 4] = [
    (&["drive", "slack", "--reading", "72"], "/drive?slack_mm=72", "/api/v1/drive?slack_mm=72"),
    (
        &["drive", "slack", "--reading", "85", "--pair", "13/50"],
        "/drive?slack_mm=85&front_teeth=13&rear_teeth=50",
        "/api/v1/drive?slack_mm=85&front_teeth=13&rear_teeth=50",
    ),
    (
        &["gearing", "fit", "--pair", "14/50"],
        "/gearing/fit?front_teeth=14&rear_teeth=50",
        "/api/v1/gearing/fit?front_teeth=14&rear_teeth=50",
    ),
    (&["gearing"], "/gearing", "/api/v1/gearing"),
];

/// Every fact of an answer, wherever it stands: its words, and its number in full.
fn facts<'a>(value: &'a Value, found: &mut Vec<(&'a str, f64)>) {
    match value {
        Value::Object(members) => {
            if let (Some(text), Some(number), true) =
                (value["text"].as_str(), value["value"].as_f64(), members.contains_key("certainty"))
            {
                found.push((text, number));
            }
            members.values().for_each(|member| facts(member, found));
        }
        Value::Array(items) => items.iter().for_each(|item| facts(item, found)),
        _ => {}
    }
}

#[test]
fn k11_ten_figures_and_more_are_the_same_to_the_last_digit_on_page_command_and_api() {
    let served = Serving::start();
    let (mut compared, mut different) = (0, Vec::new());
    for (args, page, api) in QUESTIONS {
        let by_command: Value = serde_json::from_str(&command(args, &["--json"])).expect("JSON");
        let by_api: Value = serde_json::from_str(&served.get(api)).expect("JSON");
        assert_eq!(by_command, by_api, "{api} differs from {args:?}");
        let (page, printed) = (words(&served.get(page)), command(args, &[]));
        let printed = printed.split_whitespace().collect::<Vec<_>>().join(" ");
        let plain = command(args, &["--plain"]);
        let mut all = Vec::new();
        facts(&by_command, &mut all);
        for (text, number) in all {
            if !printed.contains(text) {
                continue;
            }
            compared += 1;
            if !page.contains(text) {
                different.push(format!("{args:?}: \"{text}\" is not on the page"));
            }
            if !plain.contains(&number.to_string()) && !plain.contains(text) {
                different.push(format!("{args:?}: {number} is not among the plain records"));
            }
        }
    }
    assert!(different.is_empty(), "{different:#?}");
    assert!(compared >= 10, "only {compared} figures were compared");
}

#[test]
fn k11_whole_answers_are_the_same_by_command_and_by_api() {
    let served = Serving::start();
    let pairs: [(&[&str], &str); 9] = [
        (&["ready"], "/api/v1/ready"),
        (&["ready", "--slack", "85", "--pair", "14/50"], "/api/v1/ready?slack_mm=85&front_teeth=14&rear_teeth=50"),
        (&["gearing", "map"], "/api/v1/gearing/map"),
        (&["job", "plan", "--pair", "13/48"], "/api/v1/jobs/plan?front_teeth=13"),
        (&["parts"], "/api/v1/parts"),
        (&["parts", "--pair", "13/48"], "/api/v1/parts?front_teeth=13"),
        (
            &["parts", "--job", "final-drive-set", "--by", "2026-10-10"],
            "/api/v1/parts?job=final-drive-set&by=2026-10-10",
        ),
        (&["drive", "forecast"], "/api/v1/drive/forecast"),
        (&["drive", "history"], "/api/v1/drive/history"),
    ];
    for (args, api) in pairs {
        let by_command: Value = serde_json::from_str(&command(args, &["--json"])).expect("JSON");
        let by_api: Value = serde_json::from_str(&served.get(api)).expect("JSON");
        assert_eq!(by_command, by_api, "{api} differs from {args:?}");
    }
}
