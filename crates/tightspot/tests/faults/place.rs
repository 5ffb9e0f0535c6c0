//! The place of the file: no room, no rights, held by another program, newer than the program, a clock set back.

use std::os::unix::fs::PermissionsExt as _;
use std::process::Command;

use crate::bench::{Bench, said};

/// Runs the binary so that no file may grow past so many blocks of 1024 bytes: a full disk without one.
fn with_room(bench: &Bench, blocks: u32, args: &[&str]) -> crate::bench::Said {
    let line = format!("trap '' XFSZ; ulimit -f {blocks}; exec \"$@\"");
    said(
        Command::new("bash")
            .args(["-c", &line, "bash", env!("CARGO_BIN_EXE_tightspot"), "--store"])
            .arg(bench.store())
            .args(args),
    )
}

#[test]
fn a_full_disk_says_so_and_loses_nothing() {
    let bench = Bench::new("full");
    bench.done(&["drive", "meter", "100", "--at", "2026-01-01"]);
    let before = bench.done(&["export"]);
    let said = with_room(&bench, 1, &["drive", "meter", "101", "--at", "2026-01-02"]);
    assert_ne!(said.status, Some(0));
    assert!(said.err.contains("Nothing was written") || said.err.contains("nothing was written"), "{}", said.err);
    assert!(said.err.contains("disk"), "{}", said.err);
    assert_eq!(bench.done(&["export"]), before);
    bench.whole();
    bench.done(&["drive", "meter", "101", "--at", "2026-01-02"]);
}

#[test]
fn a_really_full_disk_says_so_and_loses_nothing() {
    if said(Command::new("id").arg("-u")).out.trim() != "0" {
        // Only the superuser can make a small disk; the test before this one limits the file instead.
        return;
    }
    let bench = Bench::new("small");
    let disk = bench.folder.join("disk");
    std::fs::create_dir(&disk).expect("a folder");
    let mount = |args: &[&str]| said(Command::new("mount").args(args).arg(&disk));
    if mount(&["-t", "tmpfs", "-o", "size=700k", "tmpfs"]).status != Some(0) {
        // A container may forbid it even to its superuser.
        return;
    }
    let store = disk.join("record.db");
    std::fs::copy(bench.store(), &store).expect("a copy fits");
    let run = |args: &[&str]| said(Command::new(env!("CARGO_BIN_EXE_tightspot")).arg("--store").arg(&store).args(args));
    assert_eq!(run(&["drive", "meter", "100", "--at", "2026-01-01"]).status, Some(0));
    let before = run(&["export"]).out;
    // Whatever room is left is taken.
    let filled = std::fs::write(disk.join("ballast"), vec![7_u8; 1 << 20]);
    let told = run(&["drive", "meter", "101", "--at", "2026-01-02"]);
    std::fs::remove_file(disk.join("ballast")).expect("room again");
    let after = run(&["export"]).out;
    let again = run(&["drive", "meter", "101", "--at", "2026-01-02"]);
    said(Command::new("umount").arg(&disk));
    assert!(filled.is_err(), "the disk is full");
    assert_ne!(told.status, Some(0));
    assert!(told.err.to_lowercase().contains("disk"), "{}", told.err);
    assert_eq!(after, before);
    assert_eq!(again.status, Some(0), "{}", again.err);
}

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
    for (from, name) in [(bench.store(), "record.db"), (env!("CARGO_BIN_EXE_tightspot").into(), "tightspot")] {
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
    std::fs::copy(env!("CARGO_BIN_EXE_tightspot"), &binary).expect("a copy");
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
fn a_file_from_a_newer_version_is_named_and_left_as_it_is() {
    let bench = Bench::new("newer");
    let other = rusqlite::Connection::open(bench.store()).expect("a later version");
    other.pragma_update(None, "user_version", 4807).expect("its schema");
    drop(other);
    let before = std::fs::read(bench.store()).expect("the file");
    for args in [&["ready"][..], &["drive", "meter", "1"], &["doctor"], &["export"]] {
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
    let run = |args: &[&str]| said(Command::new(env!("CARGO_BIN_EXE_tightspot")).arg("--store").arg(&store).args(args));
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
