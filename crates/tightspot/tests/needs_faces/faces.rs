//! Both faces of one binary: the command on a store file, and its pages asked over a socket as a browser asks.

use std::io::{BufRead as _, BufReader, Read as _, Write as _};
use std::net::TcpStream;
use std::path::PathBuf;
use std::process::{Child, Command, Stdio};

/// A store file with the demo's first bike in it.
pub(crate) struct Bench {
    folder: PathBuf,
}

impl Bench {
    pub(crate) fn new(name: &str) -> Self {
        let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(format!("faces-{name}-{}", std::process::id()));
        let _ = std::fs::remove_dir_all(&folder);
        std::fs::create_dir_all(&folder).expect("a folder");
        let bench = Self { folder };
        let sheet = format!("{}/../../data/bikes/alder-350.toml", env!("CARGO_MANIFEST_DIR"));
        bench.said(&["bike", "import", &sheet]);
        bench
    }

    fn command(&self) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_tightspot"));
        command.arg("--store").arg(self.folder.join("bikes.db"));
        command
    }

    /// What a command says, refusals included.
    pub(crate) fn said(&self, args: &[&str]) -> String {
        let output = self.command().args(args).output().expect("it runs");
        [output.stdout, output.stderr].map(|bytes| String::from_utf8(bytes).expect("text")).concat()
    }

    /// The pages of the same file.
    pub(crate) fn serve(&self) -> Server {
        let mut child =
            self.command().args(["serve", "--port", "0"]).stdout(Stdio::piped()).spawn().expect("it serves");
        let mut first = String::new();
        BufReader::new(child.stdout.take().expect("its output")).read_line(&mut first).expect("its address");
        let host = first.trim().trim_start_matches("http://").trim_end_matches('/').to_owned();
        Server { child, host }
    }
}

impl Drop for Bench {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.folder);
    }
}

/// The pages of one store file.
pub(crate) struct Server {
    child: Child,
    host: String,
}

impl Drop for Server {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

impl Server {
    fn ask(&self, request: &str) -> String {
        let mut socket = TcpStream::connect(&self.host).expect("it listens");
        socket.write_all(request.as_bytes()).expect("sent");
        let mut answer = Vec::new();
        socket.read_to_end(&mut answer).expect("answered");
        String::from_utf8(answer).expect("text")
    }

    fn get(&self, path: &str, cookie: &str) -> String {
        self.ask(&format!(
            "GET {path} HTTP/1.1\r\nHost: {}\r\nCookie: {cookie}\r\nConnection: close\r\n\r\n",
            self.host
        ))
    }

    /// A page as a person reads it.
    pub(crate) fn read(&self, path: &str) -> String {
        let answer = self.get(path, "");
        assert!(answer.starts_with("HTTP/1.1 200 "), "{path}: {answer}");
        text(&answer)
    }

    /// Opens a form, sends it filled in, follows to where it leads; the text that a person reads there.
    pub(crate) fn send(&self, path: &str, fields: &str) -> String {
        let page = self.get(path, "");
        let cookie = between(&page, "set-cookie: ", ";").expect("a session");
        let hidden = |name: &str| between(&page, &format!("name=\"{name}\" value=\""), "\"").expect("a hidden field");
        let body = format!("form_token={}&form_key={}&{fields}", hidden("form_token"), hidden("form_key"));
        let answer = self.ask(&format!(
            "POST {path} HTTP/1.1\r\nHost: {}\r\nCookie: {cookie}\r\nSec-Fetch-Site: same-origin\r\nContent-Type: application/x-www-form-urlencoded\r\nContent-Length: {}\r\nConnection: close\r\n\r\n{body}",
            self.host,
            body.len()
        ));
        let status = answer.split(' ').nth(1).unwrap_or_default();
        if status == "303" {
            return text(&self.get(&between(&answer, "location: ", "\r\n").expect("a place"), &cookie));
        }
        assert_eq!(status, "422", "{path} {fields}: {answer}");
        text(&answer)
    }
}

fn between(text: &str, before: &str, after: &str) -> Option<String> {
    let rest = text.split_once(before)?.1;
    Some(rest.split_once(after)?.0.to_owned())
}

/// A page without its head and its markup, and with its characters as they are read.
fn text(answer: &str) -> String {
    let body = answer.split_once("\r\n\r\n").map_or(answer, |(_, body)| body);
    let parts = body.split('<').map(|part| part.split_once('>').map_or(part, |(_, text)| text));
    let plain = parts.collect::<Vec<_>>().join(" ");
    plain.replace("&quot;", "\"").replace("&lt;", "<").replace("&gt;", ">").replace("&amp;", "&")
}
