//! The place of the file: no rights, held by another program, newer than the program, a clock set back.

use std::os::unix::fs::PermissionsExt as _;
use std::process::Command;

use crate::bench::{Bench, binary, said};

#[test]
fn a_folder_without_rights_to_write_says_so_and_loses_nothing() {
    let bench = Bench::new("rights");
    let before = bench.done(&["export"]);
    let lock = |mode_file, mode_folder| {
        let set = |path: &std::path::Path, mode| {
            std::fs::set_permissions(path, std::fs::Permissions::from_mode(mode)).expect("rights");
        };
        for entry in std::fs::read_dir(&bench.folder).expect("the folder") {
            set(&entry.expect("a file").path(), mode_file);
        }
        set(&bench.folder, mode_folder);
    };
    lock(0o444, 0o555);
    let args = ["drive", "meter", "101", "--at", "2026-01-02"];
    // Rights do not hold the superuser: then somebody without them is asked to try.
    let superuser = said(Command::new("id").arg("-u")).out.trim() == "0";
    let said = if superuser { as_nobody(&bench, &args) } else { bench.run(&args) };
    lock(0o644, 0o755);
    assert_ne!(said.status, Some(0));
    assert!(said.err.contains("write-protected") || said.err.contains("rights"), "{}", said.err);
    assert_eq!(bench.done(&["export"]), before);
}

/// The binary on the store, run by somebody who owns nothing.
fn as_nobody(bench: &Bench, args: &[&str]) -> crate::bench::Said {
    // A folder that everybody can reach: a target folder may lie in somebody's home.
    let open = std::env::temp_dir().join(format!("faults-rights-{}", std::process::id()));
    std::fs::create_dir_all(&open).expect("a folder");
    for (from, name) in [(bench.store(), "record.db"), (binary(), "tightspot")] {
        std::fs::copy(from, open.join(name)).expect("a copy");
    }
    let set = |path: &std::path::Path, mode| {
        std::fs::set_permissions(path, std::fs::Permissions::from_mode(mode)).expect("rights");
    };
    set(&open.join("record.db"), 0o444);
    set(&open.join("tightspot"), 0o755);
    set(&open, 0o555);
    let before = std::fs::read(open.join("record.db")).expect("the store");
    let nobody = ["--reuid=65534", "--regid=65534", "--clear-groups"];
    let said = said(
        Command::new("setpriv")
            .args(nobody)
            .arg(open.join("tightspot"))
            .arg("--store")
            .arg(open.join("record.db"))
            .args(args)
            // Folders of its own: those of whoever runs the tests are closed to it.
            .env("HOME", &open)
            .env("XDG_CONFIG_HOME", open.join("config"))
            .env("XDG_DATA_HOME", open.join("data"))
            .current_dir(&open),
    );
    assert_eq!(std::fs::read(open.join("record.db")).expect("the store"), before);
    set(&open, 0o755);
    std::fs::remove_dir_all(&open).expect("gone");
    said
}

#[test]
fn settings_that_must_not_be_read_are_not_taken_for_none() {
    let open = std::env::temp_dir().join(format!("faults-settings-{}", std::process::id()));
    let settings = open.join("config/tightspot/config.toml");
    std::fs::create_dir_all(settings.parent().expect("a folder")).expect("a folder");
    let binary = open.join("tightspot");
    std::fs::copy(crate::bench::binary(), &binary).expect("a copy");
    std::fs::write(&settings, "port = 4718\n").expect("written");
    let set = |path: &std::path::Path, mode| {
        std::fs::set_permissions(path, std::fs::Permissions::from_mode(mode)).expect("rights");
    };
    set(&settings, 0o000);
    set(&binary, 0o755);
    let superuser = said(Command::new("id").arg("-u")).out.trim() == "0";
    let mut command = Command::new(if superuser { "setpriv".into() } else { binary.clone() });
    if superuser {
        command.args(["--reuid=65534", "--regid=65534", "--clear-groups"]).arg(&binary);
    }
    let told = said(
        command
            .args(["--demo", "ready"])
            .env("HOME", &open)
            .env("XDG_CONFIG_HOME", open.join("config"))
            .env("XDG_DATA_HOME", open.join("data"))
            .current_dir(&open),
    );
    std::fs::remove_dir_all(&open).expect("gone");
    assert_eq!((told.status, told.out.as_str()), (Some(1), ""), "{}", told.err);
    for words in ["config.toml", "must not be read by you", "chmod u+r", "XDG_CONFIG_HOME"] {
        assert!(told.err.contains(words), "{words}: {}", told.err);
    }
}

#[test]
fn a_file_that_another_program_holds_says_so_and_loses_nothing() {
    let bench = Bench::new("held");
    let before = bench.done(&["export"]);
    let other = rusqlite::Connection::open(bench.store()).expect("another program");
    other.execute_batch("BEGIN IMMEDIATE").expect("it writes");
    let said = bench.run(&["drive", "meter", "101", "--at", "2026-01-02"]);
    assert_ne!(said.status, Some(0));
    assert!(said.err.contains("Another program is writing"), "{}", said.err);
    other.execute_batch("ROLLBACK").expect("it is done");
    drop(other);
    assert_eq!(bench.done(&["export"]), before);
    bench.done(&["drive", "meter", "101", "--at", "2026-01-02"]);
}

#[test]
fn a_page_sent_while_another_program_holds_the_file_says_so_and_keeps_what_was_typed() {
    let bench = Bench::new("held-page");
    let server = bench.serve();
    let visitor = server.visitor("/bike").expect("a page");
    let other = rusqlite::Connection::open(bench.store()).expect("another program");
    other.execute_batch("BEGIN IMMEDIATE").expect("it writes");
    let told = visitor.post("/bike/new", "key", "id=b-1&name=Name+b-1").expect("an answer");
    assert!(told.starts_with("HTTP/1.1 503"), "{told}");
    assert!(told.contains("Another program is writing"), "{told}");
    other.execute_batch("ROLLBACK").expect("it is done");
    // The same form under the same key is taken now.
    assert!(crate::bench::taken(visitor.post("/bike/new", "key", "id=b-1&name=Name+b-1").as_ref()));
    assert!(bench.whole()["tables"]["bike"].to_string().contains("b-1"));
}

#[test]
fn a_file_from_a_newer_version_is_named_and_left_as_it_is() {
    let bench = Bench::new("newer");
    let other = rusqlite::Connection::open(bench.store()).expect("a later version");
    other.pragma_update(None, "user_version", 4807).expect("its schema");
    drop(other);
    let before = std::fs::read(bench.store()).expect("the file");
    for args in [&["ready"][..], &["drive", "meter", "1"], &["doctor"], &["export"], &["serve", "--port", "0"]] {
        let said = bench.run(args);
        assert_eq!((said.status, said.out.as_str()), (Some(1), ""), "{args:?}");
        assert!(said.err.contains("4807") && said.err.contains("newer"), "{}", said.err);
    }
    assert_eq!(std::fs::read(bench.store()).expect("the file"), before);
}

#[test]
fn a_clock_set_back_hides_nothing_and_refuses_what_lies_ahead() {
    let bench = Bench::new("clock");
    // Written while the clock stood two years ahead; a clock set back since sees a record from the future.
    let ahead = "2027-12-01T10:00:00";
    let text = bench.done(&["export"]).replace(
        "\"entry\": []",
        &format!(
            "\"entry\": [\n{{\"at\":\"{ahead}\",\"bike\":\"alder-350\",\"change\":1,\"id\":1,\"kind\":\"meter\"}}]"
        ),
    );
    let text = text.replace("\"meter\": []", "\"meter\": [\n{\"entry\":1,\"read_h\":500.0}]");
    let file = bench.folder.join("ahead.json");
    std::fs::write(&file, &text).expect("a file");
    let store = bench.folder.join("ahead.db");
    let run = |args: &[&str]| said(Command::new(binary()).arg("--store").arg(&store).args(args));
    let brought = run(&["import", file.to_str().expect("a name")]);
    assert_eq!(brought.status, Some(0), "{}", brought.err);
    let history = run(&["drive", "history", "--plain"]).out;
    assert!(history.contains("2027-12-01") && history.contains("500"), "{history}");
    assert!(run(&["doctor"]).out.contains("Whole"));
    let said = run(&["drive", "meter", "1", "--at", "2031-01-01"]);
    assert_eq!(said.status, Some(2));
    assert!(said.err.contains("still to come"), "{}", said.err);
    // What is written now stands, and the entry from ahead stays.
    let now = run(&["drive", "meter", "400"]);
    assert_eq!(now.status, Some(0), "{}", now.err);
    let text = run(&["export"]).out;
    assert!(text.contains("500.0") && text.contains("400.0"));
}
