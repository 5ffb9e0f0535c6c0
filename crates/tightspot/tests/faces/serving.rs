//! Both faces of one binary: what a command prints, and its pages asked over a socket.

use std::io::{BufRead as _, BufReader, Read as _, Write as _};
use std::net::TcpStream;
use std::process::{Child, Command, Stdio};

use serde_json::Value;

/// Where the demo's record is.
pub(crate) const DEMO: [&str; 1] = ["--demo"];

/// A record, served; ended with the value.
pub(crate) struct Serving {
    child: Child,
    port: String,
}

impl Serving {
    pub(crate) fn start(place: &[&str]) -> Self {
        let mut child = Command::new(env!("CARGO_BIN_EXE_tightspot"))
            .args(place)
            .args(["serve", "--port", "0"])
            .stdout(Stdio::piped())
            .spawn()
            .expect("the binary");
        let mut address = String::new();
        BufReader::new(child.stdout.take().expect("stdout")).read_line(&mut address).expect("an address");
        let port = address.trim().trim_end_matches('/').rsplit(':').next().expect("a port").to_owned();
        Self { child, port }
    }

    pub(crate) fn get(&self, path: &str) -> String {
        String::from_utf8(self.bytes(path, "")).expect("text")
    }

    /// What a browser is answered that keeps this cookie.
    pub(crate) fn get_as(&self, path: &str, cookie: &str) -> String {
        String::from_utf8(self.bytes(path, cookie)).expect("text")
    }

    pub(crate) fn bytes(&self, path: &str, cookie: &str) -> Vec<u8> {
        let mut stream = TcpStream::connect(format!("127.0.0.1:{}", self.port)).expect("a socket");
        let request = format!("GET {path} HTTP/1.0\r\nHost: 127.0.0.1:{}\r\nCookie: {cookie}\r\n\r\n", self.port);
        stream.write_all(request.as_bytes()).expect("sent");
        let mut answer = Vec::new();
        stream.read_to_end(&mut answer).expect("an answer");
        let end = answer.windows(4).position(|four| four == b"\r\n\r\n").expect("a body");
        let head = String::from_utf8_lossy(&answer[..end]).into_owned();
        assert!(head.contains(" 200 "), "{path}: {head}");
        answer.split_off(end + 4)
    }
}

impl Drop for Serving {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

pub(crate) fn command(place: &[&str], args: &[&str], more: &[&str]) -> String {
    let all = [place, args, more].concat();
    let done = Command::new(env!("CARGO_BIN_EXE_tightspot")).args(&all).output().expect("the binary");
    assert!(done.status.success(), "{all:?}: {}", String::from_utf8_lossy(&done.stderr));
    String::from_utf8(done.stdout).expect("text")
}

/// A page's words without its markup, blanks drawn together.
pub(crate) fn words(page: &str) -> String {
    let parts = page.split('<').map(|part| part.split_once('>').map_or(part, |(_, text)| text));
    let text = parts.collect::<Vec<_>>().join(" ").replace("&quot;", "\"").replace("&amp;", "&");
    one_line(&text)
}

/// Text with its blanks drawn together.
pub(crate) fn one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The question of each face: command, page, API.
pub(crate) const QUESTIONS: [(&[&str], &str, &str); 4] = [
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
pub(crate) fn facts<'a>(value: &'a Value, found: &mut Vec<(&'a str, f64)>) {
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
