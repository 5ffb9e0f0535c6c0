//! What this machine can do at most: the limits that every other bench's figure is set against.
//!
//! Memory read in a row, numbers multiplied and added side by side, and one after the other, where each waits for the
//! one before. No bar: a limit is measured, not held.
#![expect(clippy::print_stdout, reason = "a bench reports on the terminal")]

use std::hint::black_box;
use std::thread;
use std::time::Instant;

/// Larger than any cache.
const MEMORY: usize = 256 << 20;
const ROUNDS: usize = 9;
/// Numbers worked on side by side: more than the processor has steps under way.
const WIDE: usize = 32;
const STEPS: usize = 2_000_000;

fn main() {
    let memory = vec![1_u64; MEMORY / size_of::<u64>()];
    let half = memory.len() / 2;
    let one_s = best_s(|| sum(&memory));
    let two_s = best_s(|| {
        thread::scope(|both| {
            let other = both.spawn(|| sum(&memory[half..]));
            sum(&memory[..half]).wrapping_add(other.join().unwrap_or_default())
        })
    });
    println!("memory read in a row   {:8.1} GB/s, by two threads {:.1}", giga(MEMORY, one_s), giga(MEMORY, two_s));
    println!(
        "multiply and add       {:8.1} G operations a second, side by side",
        giga(2 * WIDE * STEPS, best_s(side_by_side))
    );
    one_by_one("add", |x| x + 1e-9);
    one_by_one("add, keep the smaller", |x| if x + 1e-9 <= 4.0 { x + 1e-9 } else { 4.0 });
    one_by_one("divide", |x| 2.0 / x);
    one_by_one("square root", |x| (x + 1.0).sqrt());
    one_by_one("arc sine", |x| (x * 0.5).asin() + 0.5);
    one_by_one("logarithm", |x| (x + 1.5).ln());
}

fn sum(words: &[u64]) -> u64 {
    black_box(words).iter().fold(0, |sum, word| sum.wrapping_add(*word))
}

fn side_by_side() -> f64 {
    let (factor, summand) = (black_box(0.999_999), black_box(1e-7));
    let mut numbers = [black_box(1.0); WIDE];
    for _ in 0..STEPS {
        for number in &mut numbers {
            *number = *number * factor + summand;
        }
    }
    numbers.iter().sum()
}

/// Times a step whose result the next one needs.
fn one_by_one(what: &str, step: impl Fn(f64) -> f64) {
    let took_s = best_s(|| (0..STEPS).fold(black_box(1.25), |x, _| step(x)));
    println!("{what:22} {:8.2} ns, each after the one before", took_s / real(STEPS) * 1e9);
}

/// Best time of one call, s: a machine shared with others is quiet only now and then.
fn best_s<T>(work: impl Fn() -> T) -> f64 {
    (0..ROUNDS).fold(f64::INFINITY, |best, _| {
        let start = Instant::now();
        black_box(work());
        best.min(start.elapsed().as_secs_f64())
    })
}

fn giga(count: usize, seconds: f64) -> f64 {
    real(count) / seconds / 1e9
}

#[expect(clippy::cast_precision_loss, reason = "counts far below 2^53")]
const fn real(count: usize) -> f64 {
    count as f64
}
