//! A folder of its own for one test, and the binary run on a store in it.

use std::io::Write as _;
use std::path::PathBuf;
use std::process::{Command, Output, Stdio};

/// A folder with a store, gone with the value.
pub(crate) struct Shed {
    pub(crate) folder: PathBuf,
}

/// What a command said.
pub(crate) struct Said {
    pub(crate) status: Option<i32>,
    pub(crate) out: String,
    pub(crate) err: String,
}

impl From<Output> for Said {
    fn from(output: Output) -> Self {
        let text = |bytes: Vec<u8>| String::from_utf8(bytes).expect("text");
        Self { status: output.status.code(), out: text(output.stdout), err: text(output.stderr) }
    }
}

/// A file that comes with the program.
pub(crate) fn shipped(name: &str) -> String {
    format!("{}/../../data/{name}", env!("CARGO_MANIFEST_DIR"))
}

/// Text with its blanks drawn together.
pub(crate) fn squeezed(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

impl Shed {
    /// With nothing in its store yet.
    pub(crate) fn empty(name: &str) -> Self {
        let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(format!("shed-{name}-{}", std::process::id()));
        let _ = std::fs::remove_dir_all(&folder);
        std::fs::create_dir_all(&folder).expect("a folder");
        Self { folder }
    }

    /// With the demo's first bike in its store.
    pub(crate) fn new(name: &str) -> Self {
        let shed = Self::empty(name);
        shed.done(&["bike", "import", &shipped("bikes/alder-350.toml")]);
        shed
    }

    /// The binary on a store of the folder. Settings of whoever runs the tests say nothing here.
    pub(crate) fn command(&self, store: &str) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_tightspot"));
        command.env("XDG_CONFIG_HOME", &self.folder).env_remove("TIGHTSPOT_JOBS");
        command.arg("--store").arg(self.folder.join(store));
        command
    }

    pub(crate) fn run(&self, args: &[&str]) -> Said {
        self.run_in("bikes.db", args)
    }

    pub(crate) fn run_in(&self, store: &str, args: &[&str]) -> Said {
        self.command(store).args(args).output().expect("it runs").into()
    }

    /// The same with something piped in.
    pub(crate) fn run_with(&self, args: &[&str], input: &str) -> Said {
        let mut command = self.command("bikes.db");
        command.args(args).stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped());
        let mut child = command.spawn().expect("the command starts");
        // A command that fails early closes its input; that is no fault of the test.
        let _ = child.stdin.take().expect("its input").write_all(input.as_bytes());
        child.wait_with_output().expect("it ends").into()
    }

    pub(crate) fn done(&self, args: &[&str]) -> String {
        let said = self.run(args);
        assert_eq!(said.status, Some(0), "{args:?}: {}{}", said.out, said.err);
        said.out
    }

    pub(crate) fn json(&self, args: &[&str]) -> serde_json::Value {
        serde_json::from_str(&self.done(&[args, &["--json"]].concat())).expect("JSON")
    }

    /// Refused with this status and these words, and nothing answered.
    pub(crate) fn refused(&self, args: &[&str], status: i32, words: &[&str]) {
        let said = self.run(args);
        assert_eq!((said.status, said.out.as_str()), (Some(status), ""), "{args:?}: {}", said.err);
        let err = squeezed(&said.err);
        for word in words {
            assert!(err.contains(word), "{args:?} says {err}");
        }
    }

    /// Why it was refused, whatever the status.
    pub(crate) fn why_not(&self, args: &[&str]) -> String {
        let said = self.run(args);
        assert_ne!(said.status, Some(0), "{args:?}: {}", said.out);
        said.err
    }

    pub(crate) fn file(&self, name: &str) -> String {
        self.folder.join(name).to_str().expect("a plain name").to_owned()
    }
}

impl Drop for Shed {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.folder);
    }
}
