//! `tightspot serve` as the home network meets it: refused without a password, never open wider than was said.

use std::io::{BufRead as _, BufReader, Read as _, Write as _};
use std::net::TcpStream;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Output, Stdio};
use std::time::Duration;

/// A home of its own for every test.
struct Home(PathBuf);

impl Home {
    fn new(name: &str) -> Self {
        let place = std::env::temp_dir().join(format!("tightspot-serve-{name}-{}", std::process::id()));
        let _ = std::fs::remove_dir_all(&place);
        std::fs::create_dir_all(&place).expect("a folder");
        Self(place)
    }

    fn command(&self, args: &[&str]) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_tightspot"));
        command.args(args).env("XDG_CONFIG_HOME", self.0.join("config")).env("XDG_DATA_HOME", self.0.join("data"));
        command.env("HOME", &self.0).current_dir(&self.0);
        command
    }

    fn password(&self, text: &str) -> Output {
        let mut child = self
            .command(&["serve", "password"])
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .expect("the binary");
        child.stdin.take().expect("stdin").write_all(text.as_bytes()).expect("written");
        child.wait_with_output().expect("an end")
    }

    fn file(&self) -> PathBuf {
        self.0.join("config/tightspot/password")
    }
}

impl Drop for Home {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.0);
    }
}

/// A server, ended with the value.
struct Serving {
    child: Child,
    address: String,
}

impl Serving {
    fn start(home: &Home, more: &[&str]) -> Self {
        let args = [&["--demo", "serve", "--port", "0"], more].concat();
        let mut child = home.command(&args).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().expect("the binary");
        let mut address = String::new();
        BufReader::new(child.stdout.take().expect("stdout")).read_line(&mut address).expect("an address");
        Self { child, address: address.trim().to_owned() }
    }

    fn port(&self) -> &str {
        self.address.trim_end_matches('/').rsplit(':').next().expect("a port")
    }

    /// The answer to a page asked for through this machine's own address, under a name.
    fn get(&self, path: &str, host: &str) -> String {
        let mut stream = TcpStream::connect(format!("127.0.0.1:{}", self.port())).expect("a socket");
        stream.set_read_timeout(Some(Duration::from_secs(20))).expect("a time limit");
        let request = format!("GET {path} HTTP/1.1\r\nHost: {host}:{}\r\nConnection: close\r\n\r\n", self.port());
        stream.write_all(request.as_bytes()).expect("sent");
        let mut answer = String::new();
        stream.read_to_string(&mut answer).expect("an answer");
        answer
    }

    fn end(mut self) {
        self.child.kill().expect("killed");
        self.child.wait().expect("an end");
    }

    /// What it says to whoever pairs a phone; then it is ended.
    fn welcome(mut self) -> String {
        let mut lines = BufReader::new(self.child.stderr.take().expect("stderr"));
        let mut said = String::new();
        while !said.contains("and type") {
            assert!(lines.read_line(&mut said).expect("a line") > 0, "it ended: {said}");
        }
        self.end();
        said
    }
}

fn words(output: &Output) -> String {
    String::from_utf8_lossy(&output.stderr).into_owned() + &String::from_utf8_lossy(&output.stdout)
}

fn mode(file: &Path) -> u32 {
    std::os::unix::fs::PermissionsExt::mode(&std::fs::metadata(file).expect("a file").permissions()) & 0o777
}

#[test]
fn s1_beyond_this_machine_only_with_a_password() {
    let home = Home::new("s1");
    let refused = home.command(&["--demo", "serve", "--port", "0", "--bind", "192.0.2.1"]).output().expect("run");
    assert_eq!(refused.status.code(), Some(2), "{}", words(&refused));
    assert!(words(&refused).contains("a password is needed") && refused.stdout.is_empty());
    let everywhere = home.command(&["--demo", "serve", "--port", "0", "--bind", "0.0.0.0"]).output().expect("run");
    assert_eq!(everywhere.status.code(), Some(2));
    assert!(words(&everywhere).contains("--name"));
    let here = Serving::start(&home, &[]);
    assert!(here.address.starts_with("http://127.0.0.1:"), "{}", here.address);
    assert!(here.get("/pages", "127.0.0.1").starts_with("HTTP/1.1 200"));
    let other = std::net::UdpSocket::bind("0.0.0.0:0").and_then(|socket| {
        socket.connect("192.0.2.1:9")?;
        socket.local_addr()
    });
    if let Ok(own) = other
        .map(|address| address.ip())
        .and_then(|ip| if ip.is_loopback() { Err(std::io::ErrorKind::NotFound.into()) } else { Ok(ip) })
    {
        assert!(TcpStream::connect(format!("{own}:{}", here.port())).is_err(), "it answers on {own} too");
    }
    if TcpStream::connect("[::1]:1").is_err_and(|why| why.kind() == std::io::ErrorKind::ConnectionRefused) {
        assert!(
            TcpStream::connect(format!("[::1]:{}", here.port())).is_ok(),
            "the newer loopback address is not served"
        );
    }
    here.end();
}

#[test]
fn s6_a_password_comes_from_a_pipe_is_kept_as_a_hash_and_changed_with_the_present_one() {
    let home = Home::new("s6");
    for bad in ["", "short\n", "password123\n", "12345678\n"] {
        let told = home.password(bad);
        assert_eq!(told.status.code(), Some(2), "{bad}: {}", words(&told));
        assert!(!home.file().exists() && (bad.trim().len() < 3 || !words(&told).contains(bad.trim())));
    }
    let set = home.password("eightchr\n");
    assert!(set.status.success() && words(&set).contains("15 or more are better"), "{}", words(&set));
    assert_eq!(mode(&home.file()), 0o600);
    let kept = std::fs::read_to_string(home.file()).expect("a hash");
    assert!(kept.starts_with("$argon2id$") && !kept.contains("eightchr"));
    for bad in ["another long one\n", "wrong one\nanother long one\n"] {
        assert_eq!(home.password(bad).status.code(), Some(1));
        assert_eq!(std::fs::read_to_string(home.file()).expect("a hash"), kept);
    }
    assert!(home.password("eightchr\nanother long one\n").status.success());
    assert_ne!(std::fs::read_to_string(home.file()).expect("a hash"), kept);
}

#[test]
fn k8_no_flag_and_no_variable_takes_a_password() {
    let home = Home::new("k8");
    let help = home.command(&["serve", "--help"]).output().expect("run");
    assert!(!words(&help).contains("--password") && !words(&help).contains("env:"));
    let tried = home.command(&["serve", "--password", "loose spoke gate"]).output().expect("run");
    assert_eq!(tried.status.code(), Some(2));
    assert!(!home.file().exists());
    let variable = home
        .command(&["--demo", "serve", "--port", "0", "--bind", "192.0.2.1"])
        .env("TIGHTSPOT_PASSWORD", "loose spoke gate")
        .output()
        .expect("run");
    assert_eq!(variable.status.code(), Some(2));
}

#[test]
fn s1_with_a_password_the_network_is_asked_for_it_and_a_phone_is_paired_by_a_picture() {
    let home = Home::new("paired");
    assert!(home.password("loose spoke gate\n").status.success());
    let served = Serving::start(&home, &["--bind", "0.0.0.0", "--name", "garage.local"]);
    assert!(served.address.starts_with("http://garage.local:"), "{}", served.address);
    assert!(served.get("/drive", "garage.local").starts_with("HTTP/1.1 303"));
    assert!(served.get("/sign-in", "garage.local").contains("Not encrypted"));
    assert!(served.get("/sign-in", "evil.example").starts_with("HTTP/1.1 421"));
    let said = served.welcome();
    assert!(said.contains("Not encrypted") && said.contains("/pair") && said.contains('█'), "{said}");
    assert!(!said.contains("loose spoke gate"));
}

#[test]
fn s5_a_certificate_is_made_on_the_spot_and_kept_private() {
    let home = Home::new("tls");
    assert!(home.password("loose spoke gate\n").status.success());
    let marks: Vec<String> = (0..2)
        .map(|_| {
            let served = Serving::start(&home, &["--bind", "0.0.0.0", "--name", "garage.local", "--tls"]);
            assert!(served.address.starts_with("https://garage.local:"), "{}", served.address);
            // Whoever speaks without encryption gets no page.
            let mut plain = TcpStream::connect(format!("127.0.0.1:{}", served.port())).expect("a socket");
            plain.write_all(b"GET / HTTP/1.1\r\nHost: garage.local\r\n\r\n").expect("sent");
            let mut answer = Vec::new();
            let _ = plain.read_to_end(&mut answer);
            assert!(!answer.starts_with(b"HTTP/"));
            let said = served.welcome();
            said.split("SHA-256: ").nth(1).and_then(|rest| rest.lines().next()).expect("a mark").to_owned()
        })
        .collect();
    assert_eq!(marks[0], marks[1], "each start makes another certificate");
    assert_eq!(mode(&home.0.join("config/tightspot/made-key.pem")), 0o600);
    let own = [home.0.join("config/tightspot/made-certificate.pem"), home.0.join("config/tightspot/made-key.pem")];
    let [certificate, key] = own.each_ref().map(|file| file.to_str().expect("a path"));
    let files = ["--bind", "0.0.0.0", "--name", "garage.local", "--cert", certificate, "--key", key];
    let served = Serving::start(&home, &files);
    assert!(served.address.starts_with("https://") && served.welcome().contains(&marks[0]));
    let wrong =
        home.command(&["--demo", "serve", "--port", "0", "--cert", key, "--key", certificate]).output().expect("run");
    assert_eq!(wrong.status.code(), Some(1), "{}", words(&wrong));
}
