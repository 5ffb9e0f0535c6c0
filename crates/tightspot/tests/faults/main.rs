//! What goes wrong around a store file, through the binary: killed while writing, cut off, no room, no rights, another
//! program, a clock set back, the same form twice, a file from a newer version. Each says what to do, and nothing is lost.
//!
//! `FAULTS_SEED` and `FAULTS_WRITES` in the environment choose the moments and how much is written, `FAULTS_BINARY` the
//! program. `scripts/faults SECONDS SEED` goes round all of it with the released one.

mod bench;
mod commands;
mod cut;
mod dice;
mod forms;
mod killed;
mod ledger;
mod place;
mod room;
mod waiting;
mod writes;
