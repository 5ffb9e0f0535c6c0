//! Answers JSON lines from standard input without the rest of the program:
//! `cargo run -p figures --example lines < questions.jsonl`.
#![expect(clippy::print_stdout, reason = "a tool for the terminal")]

use std::io::{BufRead, stdin};

use figures::{NoTracks, line};

fn main() -> std::io::Result<()> {
    for (number, text) in (1..).zip(stdin().lock().lines()) {
        println!("{}", line::answer(&text?, number, &NoTracks));
    }
    Ok(())
}
