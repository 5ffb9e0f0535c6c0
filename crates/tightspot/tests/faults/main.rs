//! What goes wrong around a store file, through the binary: killed while writing, no room, no rights, another program,
//! a clock set back, the same form twice, a file from a newer version. Each says what to do, and nothing is lost.
//!
//! Longer runs: `FAULTS_WRITES` and `FAULTS_SEED` in the environment, or `scripts/faults SECONDS SEED`.

mod bench;
mod forms;
mod killed;
mod place;
