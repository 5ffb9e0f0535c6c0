//! The program and its rival as servers, and the pages to ask: what the benches of many pages share.

use std::ffi::OsString;
use std::io::{self, Write as _};
use std::process::Command;

use crate::served::{Connection, Outcome, Server};

/// The program itself on a store, or on the demo.
pub(crate) fn ours() -> Command {
    on(std::env::var_os("STORE"))
}

/// The program on a file, or on the demo.
pub(crate) fn on(file: Option<OsString>) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_tightspot"));
    match file {
        Some(file) => command.arg("--store").arg(file),
        None => command.arg("--demo"),
    };
    command.args(["serve", "--port", "0"]);
    command
}

/// The rival: the same framework and runtime, one route, a few bytes.
pub(crate) fn bare() -> Outcome<()> {
    let runtime = tokio::runtime::Builder::new_multi_thread().enable_all().build()?;
    runtime.block_on(async {
        let listener = tokio::net::TcpListener::bind(("127.0.0.1", 0)).await?;
        println!("http://{}/", listener.local_addr()?);
        io::stdout().flush()?;
        let hello = axum::Router::new().route("/", axum::routing::get(|| async { "hello" }));
        axum::serve(listener, hello).await?;
        Ok(())
    })
}

/// A page of the router that is measured.
pub(crate) struct Visited {
    /// Its first address.
    pub(crate) address: String,
    /// Whether it lists what is recorded.
    pub(crate) list: bool,
}

/// The first address of every page of the router.
pub(crate) fn visits(server: &Server) -> Outcome<Vec<Visited>> {
    let text = Connection::open(&server.address)?.ask("/api/v1/routes")?;
    let routes: serde_json::Value = serde_json::from_slice(&text)?;
    let pages = routes["pages"].as_array().ok_or("no list of pages")?;
    let first = pages.iter().filter_map(|page| {
        let address = page["visits"].get(0)?.as_str()?.to_owned();
        Some(Visited { address, list: page["list"] == true })
    });
    let found: Vec<Visited> = first.collect();
    if found.iter().any(|page| page.list) { Ok(found) } else { Err("the router names no list".into()) }
}
