//! The command line as people and scripts meet it; each test names the line that it holds.

use std::io::Write as _;
use std::path::PathBuf;
use std::process::{Command, Output, Stdio};

/// A home of its own for every test.
struct Home(PathBuf);

impl Home {
    fn new(name: &str) -> Self {
        let place = std::env::temp_dir().join(format!("tightspot-cli-{name}-{}", std::process::id()));
        let _ = std::fs::remove_dir_all(&place);
        std::fs::create_dir_all(place.join("config/tightspot")).expect("a folder");
        Self(place)
    }

    fn command(&self, args: &[&str]) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_tightspot"));
        command.args(args).env("XDG_CONFIG_HOME", self.0.join("config")).env("XDG_DATA_HOME", self.0.join("data"));
        command.env("HOME", &self.0).current_dir(&self.0).stdin(Stdio::null());
        command
    }

    fn run(&self, args: &[&str]) -> Output {
        self.command(args).output().expect("the binary")
    }

    fn write(&self, name: &str, text: &str) {
        std::fs::write(self.0.join(name), text).expect("written");
    }
}

impl Drop for Home {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.0);
    }
}

fn out(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).expect("text")
}

fn err(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).expect("text")
}

/// The commands that only read, over the demo.
const READING: [&[&str]; 16] = [
    &["ready"],
    &["ready", "--slack", "70"],
    &["gearing"],
    &["gearing", "fit", "--pair", "14/50"],
    &["gearing", "map"],
    &["gearing", "swap", "--pair", "13/48"],
    &["drive", "slack", "--reading", "72"],
    &["drive", "history"],
    &["drive", "forecast"],
    &["job", "list"],
    &["job", "plan", "--pair", "13/48"],
    &["parts", "--pair", "13/48"],
    &["ride", "list"],
    &["bike", "list"],
    &["doctor"],
    &["config", "show"],
];

#[test]
fn k1_without_arguments_short_help_with_examples_and_status_0() {
    let home = Home::new("k1");
    let bare = home.run(&[]);
    assert_eq!(bare.status.code(), Some(0), "{}", err(&bare));
    assert!(out(&bare).matches("tightspot --demo").count() >= 2 && err(&bare).is_empty());
    assert!(out(&bare).find("Examples:") < out(&bare).find("Usage:"));
    for level in
        [vec![], vec!["ready"], vec!["gearing"], vec!["gearing", "fit"], vec!["drive", "measure"], vec!["bike", "set"]]
    {
        for help in ["-h", "--help"] {
            let told = home.run(&[level.as_slice(), &[help]].concat());
            assert!(told.status.success() && out(&told).contains("Usage:"), "{level:?} {help}");
        }
    }
    assert!(out(&home.run(&["--version"])).starts_with("tightspot "));
    // A command that only groups others says what there is, and no line is longer than a terminal.
    for group in [vec!["drive"], vec!["job"], vec!["ride"], vec!["bike"], vec!["drive", "measure"], vec![]] {
        let told = home.run(&[group.as_slice(), &["--demo"]].concat());
        assert_eq!((told.status.code(), out(&told).as_str()), (Some(2), ""), "{group:?}");
        let told = err(&told);
        assert!(told.contains("Usage: tightspot") && told.contains("Commands:"), "{group:?}: {told}");
        let long: Vec<&str> = told.lines().filter(|line| line.chars().count() > 80).collect();
        assert!(long.is_empty(), "{group:?}: {long:?}");
    }
}

#[test]
fn k2_results_and_messages_apart_and_the_status_tells() {
    let home = Home::new("k2");
    let done = home.run(&["--demo", "ready"]);
    assert!(done.status.success() && !out(&done).is_empty() && err(&done).is_empty(), "{}", err(&done));
    let usage = home.run(&["--demo", "ready", "--slack", "3 fingers"]);
    assert_eq!((usage.status.code(), out(&usage).as_str()), (Some(2), ""));
    assert!(err(&usage).contains("slack_mm"));
    let failed = home.run(&["ready"]);
    assert_eq!((failed.status.code(), out(&failed).as_str()), (Some(1), ""));
    for (verdict, status) in [("STOP", 11), ("CARE", 10), ("READY", 0), ("UNKNOWN", 12)] {
        let Some(args) = asking_for(&home, verdict) else { continue };
        let args: Vec<&str> = args.iter().map(String::as_str).collect();
        assert_eq!(home.run(&args).status.code(), Some(status), "{verdict}");
        let plain: Vec<&str> = args.iter().copied().filter(|arg| *arg != "--verdict-exit").collect();
        assert_eq!(home.run(&plain).status.code(), Some(0), "{verdict} without asking for it");
    }
    assert!(asking_for(&home, "STOP").is_some(), "the demo shows a stop");
}

/// A question to the demo that is answered with that verdict, if there is one.
fn asking_for(home: &Home, verdict: &str) -> Option<Vec<String>> {
    for bike in ["alder-350", "sorrel-250"] {
        for slack in [None, Some("70"), Some("85"), Some("90")] {
            let mut args = vec!["--demo", "--bike", bike, "ready", "--verdict-exit"];
            args.extend(slack.into_iter().flat_map(|slack| ["--slack", slack]));
            let json: Vec<&str> = args.iter().copied().chain(["--json"]).collect();
            let told: serde_json::Value = serde_json::from_str(&out(&home.run(&json))).ok()?;
            if told["verdict"] == verdict {
                return Some(args.into_iter().map(str::to_owned).collect());
            }
        }
    }
    None
}

#[test]
fn k3_each_reading_command_as_json_and_as_one_record_a_line() {
    let home = Home::new("k3");
    for args in READING {
        let json = home.run(&[&["--demo", "--json"], args].concat());
        assert!(json.status.success(), "{args:?}: {}", err(&json));
        let value = serde_json::from_str::<serde_json::Value>(&out(&json));
        assert!(value.is_ok_and(|value| value.is_object() || value.is_array()), "{args:?}");
        let plain = home.run(&[&["--demo", "--plain"], args].concat());
        assert!(plain.status.success() && out(&plain).contains('\t'), "{args:?}: {}", out(&plain));
        assert!(!out(&plain).contains('\x1b') && !out(&plain).contains('│'), "{args:?}");
        assert_eq!(home.run(&[&["--demo", "--json", "--plain"], args].concat()).status.code(), Some(2));
    }
}

#[test]
fn k4_no_colour_and_no_animation_into_a_pipe() {
    let home = Home::new("k4");
    for more in [("NO_COLOR", "1"), ("TERM", "dumb"), ("TERM", "xterm-256color")] {
        let told = home.command(&["--demo", "ready"]).env(more.0, more.1).output().expect("run");
        assert!(!out(&told).contains('\x1b') && !out(&told).contains('\r'), "{more:?}");
    }
    assert!(!out(&home.run(&["--demo", "ready", "--no-color"])).contains('\x1b'));
}

/// What a command prints when it stands at a terminal, by the system's own `script`.
fn at_a_terminal(home: &Home, line: &str, more: &[(&str, &str)]) -> Option<String> {
    let mut command = Command::new("script");
    command.args(["-qec", line, "/dev/null"]).env("HOME", &home.0).env("XDG_DATA_HOME", home.0.join("data"));
    command
        .env("XDG_CONFIG_HOME", home.0.join("config"))
        .env_remove("NO_COLOR")
        .current_dir(&home.0)
        .stdin(Stdio::null());
    command.envs(more.iter().copied());
    command.output().ok().map(|output| out(&output))
}

#[test]
fn k4_colour_at_a_terminal_that_wants_it() {
    let home = Home::new("k4-terminal");
    let line = format!("{} --demo ready", env!("CARGO_BIN_EXE_tightspot"));
    let Some(coloured) = at_a_terminal(&home, &line, &[("TERM", "xterm")]) else { return };
    assert!(coloured.contains("\x1b["), "no colour at a terminal");
    for (line, more) in [
        (line.clone(), ("NO_COLOR", "1")),
        (line.clone(), ("TERM", "dumb")),
        (format!("{line} --no-color"), ("TERM", "xterm")),
    ] {
        let plain = at_a_terminal(&home, &line, &[more]).expect("script");
        assert!(!plain.contains("\x1b["), "{more:?}");
    }
}

#[test]
fn k5_a_dash_is_the_pipe_and_a_terminal_is_not_waited_for() {
    let home = Home::new("k5");
    let mut child =
        home.command(&["figures", "-"]).stdin(Stdio::piped()).stdout(Stdio::piped()).spawn().expect("the binary");
    let line = r#"{"figure": "slack.alignment", "given": {"left_mm": 600, "right_mm": 601, "track_mm": 220}}"#;
    child.stdin.take().expect("stdin").write_all(line.as_bytes()).expect("written");
    assert!(out(&child.wait_with_output().expect("an end")).contains("\"answer\""));
    assert!(out(&home.run(&["--demo", "export", "-"])).starts_with('{'));
    assert!(out(&home.run(&["--demo", "bike", "export", "alder-350", "-o", "-"])).contains("front_teeth"));
    for asking in ["figures", "import -", "bike import -", "ride import -"] {
        let line = format!("timeout 20 {} --demo {asking} </dev/tty; echo status $?", env!("CARGO_BIN_EXE_tightspot"));
        let Some(told) = at_a_terminal(&home, &line, &[]) else { return };
        assert!(!told.contains("status 124") && !told.contains("status 0"), "{asking}: {told}");
        assert!(told.contains("--help") || told.contains("Give a file"), "{asking}: {told}");
    }
}

#[test]
fn k6_a_change_says_what_changed_and_what_comes_next_and_large_ones_are_asked_back() {
    let home = Home::new("k6");
    let bike = "../../data/bikes/alder-350.toml";
    let bike = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join(bike);
    let bike = bike.to_str().expect("a path");
    let dry = home.run(&["bike", "import", bike, "--dry-run"]);
    assert!(dry.status.success(), "{}", err(&dry));
    assert_eq!(out(&home.run(&["bike", "list", "--plain"])), "", "a trial wrote something");
    assert!(home.run(&["bike", "import", bike]).status.success());
    let set = home.run(&["bike", "set", "front_teeth=13"]);
    assert!(out(&set).contains("undo"), "{}", out(&set));
    let logged = home.run(&["ride", "log", "--hours", "2:45", "--ground", "bog"]);
    assert!(out(&logged).contains("Saved as change") && out(&logged).contains("Next: tightspot"), "{}", out(&logged));
    assert!(home.run(&["backup", "copy"]).status.success());
    for more in [&[][..], &["--no-input"]] {
        let asked = home.run(&[&["restore", "copy"], more].concat());
        assert_eq!(asked.status.code(), Some(2), "{}", out(&asked));
        assert!(err(&asked).contains("--yes"));
    }
    let restored = home.run(&["restore", "copy", "--yes"]);
    assert!(restored.status.success() && out(&restored).contains("is kept"), "{}", err(&restored));
    assert_eq!(home.run(&["restore", "copy", "--yes", "--no-input"]).status.code(), Some(2));
}

#[test]
fn k7_a_mistyped_command_gets_a_suggestion_and_none_is_abbreviated() {
    let home = Home::new("k7");
    for (typed, meant) in [("redy", "ready"), ("geering", "gearing"), ("serv", "serve")] {
        let told = home.run(&["--demo", typed]);
        assert_eq!(told.status.code(), Some(2));
        assert!(err(&told).contains(&format!("'{meant}'")), "{}", err(&told));
    }
    for short in ["rea", "gear", "jo", "b", "whatever"] {
        assert_eq!(home.run(&["--demo", short]).status.code(), Some(2), "{short} is taken");
    }
    let option = home.run(&["--demo", "ready", "--slak", "85"]);
    assert!(option.status.code() == Some(2) && err(&option).contains("--slack"));
    let field = home.run(&["--demo", "bike", "set", "alder-350", "front_tooth=13"]);
    assert!(err(&field).contains("front_teeth"), "{}", err(&field));
}

#[test]
fn k8_faults_say_what_where_and_what_to_do_without_a_trace() {
    let home = Home::new("k8");
    for (args, words) in [
        (vec!["--demo", "gearing", "fit", "--pair", "14-50"], "14/48"),
        (vec!["--demo", "ride", "show", "nowhere"], "is not a stored ride"),
        (vec!["--store", "/proc/none/x", "bike", "list"], "name another file"),
        (vec!["--demo", "--bike", "nobody", "ready"], "There are: alder-350"),
        (vec!["import", "nowhere.json"], "Name another file"),
    ] {
        let told = home.command(&args).env("RUST_BACKTRACE", "1").output().expect("run");
        assert!(matches!(told.status.code(), Some(1 | 2)), "{args:?}");
        let said = err(&told);
        assert!(said.contains(words), "{args:?}: {said}");
        assert!(!said.contains("panicked") && !said.contains("stack backtrace") && !said.contains(".rs:"), "{said}");
    }
}

/// Value and origin of a setting.
fn setting(home: &Home, name: &str, args: &[&str], more: &[(&str, &str)]) -> (String, String) {
    let all = [args, &["--plain", "config", "show"]].concat();
    let told = home.command(&all).envs(more.iter().copied()).output().expect("run");
    assert!(told.status.success(), "{}", err(&told));
    let lines = out(&told);
    let line = lines.lines().find(|line| line.split('\t').nth(2) == Some(name)).expect("the setting").to_owned();
    let cells: Vec<&str> = line.split('\t').collect();
    (cells[3].to_owned(), cells[4].to_owned())
}

#[test]
fn k9_a_flag_before_the_environment_before_the_projects_file_before_ones_own() {
    let home = Home::new("k9");
    assert_eq!(setting(&home, "bike", &[], &[]).1, "default");
    home.write("config/tightspot/config.toml", "bike = \"own\"\nport = 5001\n");
    let (value, origin) = setting(&home, "bike", &[], &[]);
    assert!(value == "own" && origin.starts_with("own file") && origin.contains("config.toml"), "{origin}");
    home.write("tightspot.toml", "bike = \"project\"\nstore = \"kept/here\"\n");
    let (value, origin) = setting(&home, "bike", &[], &[]);
    assert!(value == "project" && origin.starts_with("project file"), "{origin}");
    assert_eq!(setting(&home, "port", &[], &[]).0, "5001");
    assert!(setting(&home, "store", &[], &[]).0.ends_with("/kept/here"), "a path is meant from its file's folder");
    let variable = [("TIGHTSPOT_BIKE", "variable")];
    assert_eq!(setting(&home, "bike", &[], &variable), ("variable".into(), "environment TIGHTSPOT_BIKE".into()));
    assert_eq!(setting(&home, "bike", &["--bike", "flag"], &variable), ("flag".into(), "flag".into()));
    // What is said is also done.
    home.write("tightspot.toml", "store = \"elsewhere.tightspot\"\n");
    assert!(home.run(&["doctor"]).status.success() && home.0.join("elsewhere.tightspot").exists());
    for (text, word) in [("prot = 1\n", "Possible:"), ("port = 99999\n", "0 to 65535"), ("port = \n", "tightspot.toml")]
    {
        home.write("tightspot.toml", text);
        let told = home.run(&["doctor"]);
        assert!(told.status.code() == Some(2) && err(&told).contains(word), "{text}: {}", err(&told));
    }
}

#[test]
fn k10_an_interrupt_leaves_the_store_whole() {
    let home = Home::new("k10");
    let bike = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../data/bikes/alder-350.toml");
    assert!(home.run(&["bike", "import", bike.to_str().expect("a path")]).status.success());
    for signal in ["INT", "KILL"] {
        for pause in [1_u64, 5, 20, 60] {
            let mut child =
                home.command(&["ride", "log", "--hours", "1"]).stdout(Stdio::null()).spawn().expect("the binary");
            std::thread::sleep(std::time::Duration::from_millis(pause));
            let _ = Command::new("kill").args([format!("-{signal}"), child.id().to_string()]).status();
            child.wait().expect("an end");
        }
    }
    assert!(home.run(&["doctor"]).status.success());
}

#[test]
fn k12_nothing_is_asked_of_a_network() {
    let home = Home::new("k12");
    // Where a space without any network can be made, everything works in it.
    let alone = Command::new("unshare").args(["-rn", "true"]).status().is_ok_and(|status| status.success());
    for args in READING {
        let mut command = if alone { Command::new("unshare") } else { Command::new("env") };
        if alone {
            command.args(["-rn", env!("CARGO_BIN_EXE_tightspot")]);
        } else {
            command.arg(env!("CARGO_BIN_EXE_tightspot"));
        }
        let told = command.arg("--demo").args(args).env("HOME", &home.0).stdin(Stdio::null()).output().expect("run");
        assert!(told.status.success(), "{args:?}: {}", err(&told));
    }
}

#[test]
fn completions_and_manual_pages_are_made_from_the_command_line_itself() {
    let home = Home::new("man");
    for shell in ["bash", "zsh", "fish", "elvish", "powershell"] {
        let told = home.run(&["completions", shell]);
        assert!(
            told.status.success() && out(&told).contains("gearing") && out(&told).contains("verdict-exit"),
            "{shell}"
        );
    }
    assert!(out(&home.run(&["man"])).starts_with(".ie"), "{}", &out(&home.run(&["man"]))[..60]);
    let made = home.run(&["man", "--folder", "pages"]);
    assert!(made.status.success(), "{}", err(&made));
    for page in ["tightspot.1", "tightspot-ready.1", "tightspot-drive-measure-slack.1", "tightspot-serve-password.1"] {
        let text = std::fs::read_to_string(home.0.join("pages").join(page)).expect(page);
        assert!(text.contains(".TH TIGHTSPOT"), "{page}: {text}");
    }
}
