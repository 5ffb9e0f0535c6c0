//! No room: a file that may not grow, and a disk that is full, for commands and for a server that goes on.

use std::io::Write as _;
use std::process::Command;

use crate::bench::{Bench, Said, Server, binary, said, taken};
use crate::dice::{Dice, seed};

const AFTER: [&str; 5] = ["drive", "meter", "101", "--at", "2026-01-02"];

/// The binary, run so that no file may grow past so many blocks of 1024 bytes: a full disk without one.
fn with_room(bench: &Bench, blocks: u64) -> Command {
    let line = format!("trap '' XFSZ; ulimit -f {blocks}; exec \"$@\"");
    let mut command = Command::new("bash");
    command.args(["-c", &line, "bash"]).arg(binary()).arg("--store").arg(bench.store());
    command
}

/// A refusal for want of room says so.
fn told(said: &Said) {
    assert_ne!(said.status, Some(0));
    assert!(said.err.to_lowercase().contains("nothing was written"), "{}", said.err);
    assert!(said.err.contains("disk"), "{}", said.err);
}

#[test]
fn a_full_disk_says_so_and_loses_nothing() {
    let bench = Bench::new("full");
    bench.done(&["drive", "meter", "100", "--at", "2026-01-01"]);
    let before = bench.done(&["export"]);
    told(&said(with_room(&bench, 1).args(AFTER)));
    assert_eq!(bench.done(&["export"]), before);
    bench.whole();
    bench.done(&AFTER);
}

#[test]
fn a_disk_that_fills_up_anywhere_within_a_write_leaves_all_of_it_or_nothing() {
    let bench = Bench::new("filling");
    let mut dice = Dice::of("filling");
    let sheet = format!("{}/../../data/bikes/alder-350.toml", env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(sheet).expect("a sheet");
    for turn in 0..10 {
        let before = bench.done(&["export"]);
        let file = bench.folder.join("more.toml");
        let id = format!("more-{turn}");
        std::fs::write(&file, text.replace("alder-350", &id)).expect("a file");
        // The rows of a whole sheet take some twenty pages of 4096 bytes.
        let said = said(with_room(&bench, dice.roll(120)).args(["bike", "import"]).arg(&file));
        let after = bench.whole();
        let facts = after["tables"]["fact"].as_array().expect("facts");
        let rows = |id: &str| facts.iter().filter(|fact| fact["bike"] == id).count();
        if said.status == Some(0) {
            assert_eq!(rows(&id), rows("alder-350"), "seed {}: half a sheet", seed());
        } else {
            told(&said);
            assert_eq!(bench.done(&["export"]), before, "seed {}", seed());
        }
    }
}

#[test]
fn a_server_without_room_says_so_serves_on_and_keeps_all_that_it_acknowledged() {
    let bench = Bench::new("full-server");
    let server = Server::start(&mut with_room(&bench, 256));
    let visitor = server.visitor("/bike").expect("a page");
    let post = |name: &str| visitor.post("/bike/new", &format!("key-{name}"), &format!("id={name}&name=Name+{name}"));
    let mut ledger = crate::ledger::Ledger::default();
    let mut refused = None;
    for number in 0..400 {
        let name = format!("b-{number}");
        ledger.send(&name);
        let answer = post(&name);
        if !taken(answer.as_ref()) {
            refused = answer;
            break;
        }
        ledger.tell(&name);
    }
    let refused = refused.expect("a write that finds no room, and an answer to it");
    assert!(refused.starts_with("HTTP/1.1 507"), "{refused}");
    assert!(refused.contains("disk"), "{refused}");
    assert!(server.visitor("/bike").is_some(), "it serves on");
    drop(server);
    let faults = ledger.faults(&bench.whole());
    assert!(faults.is_empty(), "{}", faults.join("\n"));
    assert!(ledger.told() > 0);
}

/// What happens on a small disk of its own, which lasts as long as this line.
const ON_A_SMALL_DISK: &str = r#"
mount -t tmpfs -o size=700k tmpfs "$DISK" || exit 99
cp "$STORE" "$DISK/record.db"
run() { local step=$1; shift; "$BIN" --store "$DISK/record.db" "$@" >"$SAID/$step.out" 2>"$SAID/$step.err"; echo $? >"$SAID/$step.rc"; }
run first drive meter 100 --at 2026-01-01
run before export
dd if=/dev/zero of="$DISK/ballast" bs=1024 2>"$SAID/dd" && exit 98
truncate -s "-$LEFT" "$DISK/ballast"
run full drive meter 101 --at 2026-01-02
rm "$DISK/ballast"
run after export
run again drive meter 101 --at 2026-01-02
run doctor doctor
"#;

/// Runs the steps on a disk that has so many bytes left; `None` where this machine lets nobody make a disk.
fn on_a_small_disk(bench: &Bench, left: u64) -> Option<()> {
    let (disk, words) = (bench.folder.join("disk"), bench.folder.join("said"));
    for folder in [&disk, &words] {
        let _ = std::fs::remove_dir_all(folder);
        std::fs::create_dir(folder).expect("a folder");
    }
    // The superuser needs a mount of its own only to leave nothing behind; anybody else becomes one inside it.
    let superuser = said(Command::new("id").arg("-u")).out.trim() == "0";
    let ways: &[&str] = if superuser { &["--mount"] } else { &["--mount", "--user", "--map-root-user"] };
    let told = said(
        Command::new("unshare")
            .args(ways)
            .args(["bash", "-c", ON_A_SMALL_DISK])
            .envs([("DISK", &disk), ("SAID", &words), ("STORE", &bench.store()), ("BIN", &binary())])
            .env("LEFT", left.to_string()),
    );
    assert_ne!(told.status, Some(98), "the disk cannot be filled");
    if words.join("doctor.rc").exists() {
        return Some(());
    }
    writeln!(std::io::stderr(), "SKIPPED the really full disk: no small disk can be made here: {}", told.err.trim())
        .expect("told");
    None
}

#[test]
fn a_really_full_disk_says_so_and_loses_nothing() {
    let bench = Bench::new("small");
    let mut dice = Dice::of("small");
    for left in [0, 4096 * (1 + dice.roll(12))] {
        if on_a_small_disk(&bench, left).is_none() {
            return;
        }
        let read = |name: &str| std::fs::read_to_string(bench.folder.join("said").join(name)).expect("it was said");
        let ended = |step: &str| read(&format!("{step}.rc")).trim().parse::<i32>().expect("a number");
        assert_eq!(ended("first"), 0, "{}", read("first.err"));
        if ended("full") == 0 {
            assert!(left > 0, "a write into no room is acknowledged");
            assert!(read("after.out").contains("101.0"), "seed {}: acknowledged and lost", seed());
        } else {
            let full = Said { status: Some(ended("full")), out: read("full.out"), err: read("full.err") };
            assert!(full.err.to_lowercase().contains("disk"), "{}", full.err);
            assert_eq!(read("after.out"), read("before.out"), "seed {}", seed());
        }
        assert_eq!(ended("again"), 0, "{}", read("again.err"));
        assert!(read("doctor.out").contains("Whole: every row was read back."), "{}", read("doctor.out"));
    }
}
