//! A whole day brought in by the page's own form, until the page with the recommendation has come: 40 000 points sent,
//! read, smoothed and kept, then replayed on every pair that could be fitted.
//!
//! Beside it, in the same run, the usual Python library only reads the same file. Fails if that did not run
//! (`pip install gpxpy`), if the page recommends nothing, or if the bar is missed.
#![expect(clippy::print_stdout, reason = "a bench reports on the terminal")]

mod served;

use std::fmt::Write as _;
use std::io::Write as _;
use std::process::{Command, Stdio};
use std::time::Instant;

use served::{Answer, Connection, Outcome, Server};

/// Points of the day, one a second.
const POINTS: u32 = 40_000;
/// From the first byte sent to the last of the page with the recommendation.
const BAR_S: f64 = 1.0;
/// Days brought in; the middle one counts.
const DAYS: u32 = 5;
/// Ends the file within the form.
const EDGE: &str = "edge-of-the-form-3ac1";

fn main() -> Outcome<()> {
    let server = Server::start(Command::new(env!("CARGO_BIN_EXE_tightspot")).args(["--demo", "serve", "--port", "0"]))?;
    let mut waits = Vec::new();
    for day in 0..DAYS {
        // Each starts a second later: the same recording twice would be refused.
        let text = recording(POINTS, day)?;
        waits.push(bring_in(&server, &text)?);
    }
    waits.sort_by(|one, other| one.whole_s.total_cmp(&other.whole_s));
    let middle = waits.get(waits.len() / 2).ok_or("no day")?;
    let (whole_s, rival_s) = (middle.whole_s, rival(&recording(POINTS, 0)?)?);
    println!("{POINTS} points, {:.1} MB, {DAYS} times", middle.bytes as f64 / 1e6);
    println!("sent, read, kept          {:7.0} ms", middle.kept_s * 1000.0);
    println!("the page that recommends  {:7.0} ms, {} KiB", middle.page_s * 1000.0, middle.page_bytes / 1024);
    println!("from import to page       {:7.0} ms (bar {:.0})", whole_s * 1000.0, BAR_S * 1000.0);
    println!("the Python library reads  {:7.0} ms, {:.1} times as long", rival_s * 1000.0, rival_s / whole_s);
    println!("memory after all of it    {:7} KiB resident", server.resident_kib()?);
    if whole_s <= BAR_S { Ok(()) } else { Err("a day takes longer than its bar".into()) }
}

/// How long one day took, and how large things were.
struct Waited {
    kept_s: f64,
    page_s: f64,
    whole_s: f64,
    bytes: usize,
    page_bytes: usize,
}

fn bring_in(server: &Server, text: &str) -> Outcome<Waited> {
    let mut connection = Connection::open(&server.address)?;
    let form = connection.ask("/rides/import")?;
    let body = filled(&form, text)?;
    let lines = format!(
        "Origin: http://{}\r\nContent-Type: multipart/form-data; boundary={EDGE}\r\nContent-Length: {}\r\n",
        server.address,
        body.len()
    );
    let began = Instant::now();
    let kept = connection.send("POST /rides/import", &lines, body.as_bytes())?;
    let kept_s = began.elapsed().as_secs_f64();
    let ride = kept.location.strip_prefix("/rides/").ok_or_else(|| refused(&kept))?;
    let ride: String = ride.chars().take_while(char::is_ascii_digit).collect();
    let began = Instant::now();
    let page = String::from_utf8(connection.ask(&format!("/gearing?ride={ride}"))?)?;
    let page_s = began.elapsed().as_secs_f64();
    if !page.contains("How sure") {
        return Err("the page recommends nothing".into());
    }
    Ok(Waited { kept_s, page_s, whole_s: kept_s + page_s, bytes: text.len(), page_bytes: page.len() })
}

fn refused(answer: &Answer) -> String {
    format!("not kept: {} {}", answer.status, String::from_utf8_lossy(&answer.body))
}

/// The form as a browser sends it: its hidden values, the file, nothing else typed.
fn filled(form: &[u8], text: &str) -> Outcome<String> {
    let page = String::from_utf8_lossy(form);
    let own = page.split("action=\"/rides/import\"").nth(1).ok_or("no form")?;
    let mut body = String::with_capacity(text.len() + 1024);
    for name in ["form_token", "form_key"] {
        let after = own.split(&format!("name=\"{name}\" value=\"")).nth(1).ok_or("no hidden value")?;
        let value = after.split('"').next().unwrap_or_default();
        write!(body, "--{EDGE}\r\nContent-Disposition: form-data; name=\"{name}\"\r\n\r\n{value}\r\n")?;
    }
    write!(body, "--{EDGE}\r\nContent-Disposition: form-data; name=\"file\"; filename=\"day.gpx\"\r\n\r\n")?;
    write!(body, "{text}\r\n--{EDGE}--\r\n")?;
    Ok(body)
}

/// A made day: a point a second with height and time, as recorders write it.
fn recording(points: u32, later_s: u32) -> Outcome<String> {
    let mut text = String::from(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<gpx version=\"1.1\" creator=\"made\" \
         xmlns=\"http://www.topografix.com/GPX/1/1\">\n <trk>\n  <name>made</name>\n  <trkseg>\n",
    );
    for n in 0..points {
        let t = f64::from(n);
        let (lat, lon) = (47.0 + 0.05 * (t / 900.0).sin(), 11.0 + 0.05 * (t / 700.0).cos());
        let s = n + later_s;
        writeln!(
            text,
            "   <trkpt lat=\"{lat:.7}\" lon=\"{lon:.7}\">\n    <ele>{:.1}</ele>\n    <time>2026-05-01T{:02}:{:02}:{:02}Z</time>\n   </trkpt>",
            600.0 + 80.0 * (t / 500.0).sin(),
            s / 3600 % 24,
            s / 60 % 60,
            s % 60
        )?;
    }
    text.push_str("  </trkseg>\n </trk>\n</gpx>\n");
    Ok(text)
}

/// Seconds of the Python library for reading the same text, by the script that the reader's own bench uses.
fn rival(text: &str) -> Outcome<f64> {
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/../ride/benches/rival_reading.py");
    let mut child = Command::new("python3")
        .args([script, "/dev/stdin", "3"])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()?;
    child.stdin.take().ok_or("it takes no input")?.write_all(text.as_bytes())?;
    let done = child.wait_with_output()?;
    if !done.status.success() {
        return Err("the rival did not run, so nothing is proven (pip install gpxpy)".into());
    }
    let said = String::from_utf8(done.stdout)?;
    Ok(said.lines().nth(1).ok_or("its answer cannot be read")?.trim().parse()?)
}
