//! A server started for a bench and a connection to it that stays open; what both benches of the served pages share.

use std::io::{BufRead as _, BufReader, Read as _, Write as _};
use std::net::TcpStream;
use std::process::{Child, Command, Stdio};

pub(crate) type Outcome<T> = Result<T, Box<dyn std::error::Error + Send + Sync>>;

/// A running server, ended when it is let go.
pub(crate) struct Server {
    process: Child,
    /// `127.0.0.1:PORT`.
    pub(crate) address: String,
}

impl Server {
    pub(crate) fn start(command: &mut Command) -> Outcome<Self> {
        let mut process = command.stdout(Stdio::piped()).spawn()?;
        let mut line = String::new();
        BufReader::new(process.stdout.take().ok_or("no output")?).read_line(&mut line)?;
        let address = line.trim().trim_start_matches("http://").trim_end_matches('/').to_owned();
        Ok(Self { process, address })
    }

    pub(crate) fn resident_kib(&self) -> Outcome<u64> {
        let status = std::fs::read_to_string(format!("/proc/{}/status", self.process.id()))?;
        let line = status.lines().find_map(|line| line.strip_prefix("VmRSS:")).ok_or("no resident size")?;
        Ok(line.trim().trim_end_matches(" kB").parse()?)
    }
}

impl Drop for Server {
    fn drop(&mut self) {
        let _ = self.process.kill();
        let _ = self.process.wait();
    }
}

/// One connection that stays open.
pub(crate) struct Connection {
    stream: BufReader<TcpStream>,
    address: String,
    /// `NAME=VALUE` of the cookie that was set last, or nothing.
    cookie: String,
}

impl Connection {
    pub(crate) fn open(address: &str) -> Outcome<Self> {
        let stream = TcpStream::connect(address)?;
        stream.set_nodelay(true)?;
        Ok(Self {
            stream: BufReader::with_capacity(1 << 16, stream),
            address: address.to_owned(),
            cookie: String::new(),
        })
    }

    /// Asks for one page and reads it whole; anything but 200 is an error.
    pub(crate) fn ask(&mut self, page: &str) -> Outcome<Vec<u8>> {
        let answer = self.send(&format!("GET {page}"), "", &[])?;
        match answer.status {
            200 => Ok(answer.body),
            other => Err(format!("{page}: {other} {}", answer.location).into()),
        }
    }

    /// Sends a request with further header lines, each ended, and a body; reads the whole answer.
    pub(crate) fn send(&mut self, what: &str, lines: &str, body: &[u8]) -> Outcome<Answer> {
        let (address, cookie) = (&self.address, &self.cookie);
        let head = format!("{what} HTTP/1.1\r\nHost: {address}\r\nCookie: {cookie}\r\n{lines}\r\n");
        self.stream.get_mut().write_all(head.as_bytes())?;
        self.stream.get_mut().write_all(body)?;
        let mut line = String::new();
        self.stream.read_line(&mut line)?;
        let status = line.split(' ').nth(1).ok_or("no status")?.parse()?;
        let (mut length, mut answer) = (None, Answer { status, ..Answer::default() });
        loop {
            line.clear();
            self.stream.read_line(&mut line)?;
            let Some((name, value)) = line.split_once(':').map(|(name, value)| (name.trim(), value.trim())) else {
                break;
            };
            match name {
                "content-length" => length = Some(value.parse::<usize>()?),
                "location" => value.clone_into(&mut answer.location),
                "set-cookie" => self.cookie = value.split(';').next().unwrap_or_default().to_owned(),
                _ => {}
            }
        }
        answer.body = vec![0; length.ok_or("an answer without its length")?];
        self.stream.read_exact(&mut answer.body)?;
        Ok(answer)
    }
}

/// What came back.
#[derive(Default)]
pub(crate) struct Answer {
    pub(crate) status: u16,
    pub(crate) location: String,
    pub(crate) body: Vec<u8>,
}
