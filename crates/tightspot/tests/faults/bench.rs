//! A folder with a store, the binary run on it, and a plain HTTP client.

use std::io::{BufRead as _, BufReader, Read as _, Write as _};
use std::net::TcpStream;
use std::path::PathBuf;
use std::process::{Child, ChildStdout, Command, Stdio};
use std::time::Duration;

/// The program under test: the one just built, or a released one that `FAULTS_BINARY` names.
pub(crate) fn binary() -> PathBuf {
    std::env::var_os("FAULTS_BINARY").map_or_else(|| env!("CARGO_BIN_EXE_tightspot").into(), PathBuf::from)
}

/// A folder of its own for one test.
pub(crate) struct Bench {
    pub(crate) folder: PathBuf,
}

pub(crate) struct Said {
    pub(crate) status: Option<i32>,
    pub(crate) out: String,
    pub(crate) err: String,
}

impl Bench {
    /// A folder with the demo's first bike in its store.
    pub(crate) fn new(name: &str) -> Self {
        let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(format!("faults-{name}-{}", std::process::id()));
        let _ = std::fs::remove_dir_all(&folder);
        std::fs::create_dir_all(&folder).expect("a folder");
        let bench = Self { folder };
        let sheet = format!("{}/../../data/bikes/alder-350.toml", env!("CARGO_MANIFEST_DIR"));
        bench.done(&["bike", "import", &sheet]);
        bench
    }

    pub(crate) fn store(&self) -> PathBuf {
        self.folder.join("record.db")
    }

    pub(crate) fn command(&self) -> Command {
        let mut command = Command::new(binary());
        command.arg("--store").arg(self.store());
        command
    }

    pub(crate) fn run(&self, args: &[&str]) -> Said {
        said(self.command().args(args))
    }

    pub(crate) fn done(&self, args: &[&str]) -> String {
        let said = self.run(args);
        assert_eq!(said.status, Some(0), "{args:?}: {}{}", said.out, said.err);
        said.out
    }

    /// The whole record, once it is found whole.
    pub(crate) fn whole(&self) -> serde_json::Value {
        assert!(self.done(&["doctor"]).contains("Whole: every row was read back."));
        serde_json::from_str(&self.done(&["export"])).expect("a document")
    }

    /// Serves the store on a free port.
    pub(crate) fn serve(&self) -> Server {
        Server::start(&mut self.command())
    }
}

impl Server {
    /// Runs a program that names the store as a server on a free port.
    pub(crate) fn start(command: &mut Command) -> Self {
        command.args(["serve", "--port", "0"]).stdout(Stdio::piped()).stderr(Stdio::null());
        let mut child = command.spawn().expect("it serves");
        let mut out = BufReader::new(child.stdout.take().expect("its output"));
        let mut line = String::new();
        out.read_line(&mut line).expect("its address");
        let port =
            line.trim().trim_end_matches('/').rsplit(':').next().and_then(|port| port.parse().ok()).expect("a port");
        Self { child, port, _out: out }
    }
}

impl Drop for Bench {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.folder);
    }
}

pub(crate) fn said(command: &mut Command) -> Said {
    let output = command.output().expect("it runs");
    let text = |bytes: Vec<u8>| String::from_utf8_lossy(&bytes).into_owned();
    Said { status: output.status.code(), out: text(output.stdout), err: text(output.stderr) }
}

/// The binary serving a store; dropped, it is gone at once.
pub(crate) struct Server {
    child: Child,
    pub(crate) port: u16,
    _out: BufReader<ChildStdout>,
}

impl Server {
    /// Ends it as no program can foresee.
    pub(crate) fn kill(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }

    /// Files and sockets that it holds open.
    pub(crate) fn open(&self) -> usize {
        std::fs::read_dir(format!("/proc/{}/fd", self.child.id())).expect("it runs").count()
    }

    /// One page with its session and token.
    pub(crate) fn visitor(&self, path: &str) -> Option<Visitor> {
        let page = ask(self.port, &page(self.port, path))?;
        let cookie = page.lines().find_map(|line| line.strip_prefix("set-cookie: "))?.split(';').next()?.to_owned();
        let token = page.split("name=\"form_token\" value=\"").nth(1)?.split('"').next()?.to_owned();
        Some(Visitor { port: self.port, cookie, token, page })
    }
}

impl Drop for Server {
    fn drop(&mut self) {
        self.kill();
    }
}

/// Somebody at a page.
pub(crate) struct Visitor {
    port: u16,
    cookie: String,
    token: String,
    pub(crate) page: String,
}

impl Visitor {
    /// Posts a form under a key; `None` where no whole answer came.
    pub(crate) fn post(&self, path: &str, key: &str, fields: &str) -> Option<String> {
        ask(self.port, &self.form(path, key, fields))
    }

    /// The bytes of such a form.
    pub(crate) fn form(&self, path: &str, key: &str, fields: &str) -> String {
        let body = format!("form_token={}&form_key={key}&{fields}", self.token);
        let head = format!("Cookie: {}\r\nContent-Type: application/x-www-form-urlencoded\r\n", self.cookie);
        request(self.port, "POST", path, &head, &body)
    }
}

/// Whether an answer tells that a write is kept: a form sends to the next page, a program is told what was made.
pub(crate) fn taken(answer: Option<&String>) -> bool {
    answer.is_some_and(|answer| answer.starts_with("HTTP/1.1 303") || answer.starts_with("HTTP/1.1 201"))
}

/// The bytes of what a program sends.
pub(crate) fn program(port: u16, path: &str, key: &str, body: &serde_json::Value) -> String {
    let head = format!("Content-Type: application/json\r\nIdempotency-Key: {key}\r\n");
    request(port, "POST", path, &head, &body.to_string())
}

/// The bytes of a look at an address.
pub(crate) fn page(port: u16, path: &str) -> String {
    request(port, "GET", path, "", "")
}

fn request(port: u16, method: &str, path: &str, head: &str, body: &str) -> String {
    let long = body.len();
    format!(
        "{method} {path} HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nOrigin: http://127.0.0.1:{port}\r\nConnection: close\r\n{head}Content-Length: {long}\r\n\r\n{body}"
    )
}

/// Sends a request and reads the answer to its end.
pub(crate) fn ask(port: u16, request: &str) -> Option<String> {
    let mut stream = TcpStream::connect(("127.0.0.1", port)).ok()?;
    stream.set_read_timeout(Some(Duration::from_secs(30))).ok()?;
    stream.write_all(request.as_bytes()).ok()?;
    let mut answer = Vec::new();
    stream.read_to_end(&mut answer).ok()?;
    let text = String::from_utf8_lossy(&answer).into_owned();
    text.contains("\r\n\r\n").then_some(text)
}
