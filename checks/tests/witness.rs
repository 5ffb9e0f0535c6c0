//! Every figure has rows; one without other people's values says why; `docs/sources.md` is what the figures say now.

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

use checks::carried::Carried;
use checks::witness;

#[test]
fn no_figure_is_without_a_row_and_no_row_without_a_figure() {
    let asked: BTreeSet<_> = witness::all(&Carried::unpack().expect("unpacks")).expect("reads").into_keys().collect();
    let known: BTreeSet<_> = figures::all().map(|figure| figure.name.to_owned()).collect();
    assert_eq!(known, asked);
}

#[test]
fn a_figure_without_other_peoples_values_says_why_and_only_such_a_one() {
    let witnesses = witness::all(&Carried::unpack().expect("unpacks")).expect("reads");
    let alone: BTreeSet<_> =
        witnesses.into_iter().filter(|(_, witness)| !witness.is_outside()).map(|(figure, _)| figure).collect();
    let explained: BTreeSet<_> = witness::reasons().expect("reads").into_keys().collect();
    assert_eq!(alone, explained);
}

#[test]
fn the_page_of_sources_is_what_the_figures_say() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../docs/sources.md");
    let page = witness::page(&Carried::unpack().expect("unpacks")).expect("reads");
    if std::env::var_os("WRITE").is_some() {
        fs::write(&path, &page).expect("writes");
    }
    let written = fs::read_to_string(&path).unwrap_or_default();
    assert!(page == written, "docs/sources.md is stale: WRITE=1 cargo test -p checks --test witness");
}
