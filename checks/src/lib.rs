//! The outside world's answers, and the runner that holds every figure against them.
//!
//! [`rows`] reads a check file · [`compare`] judges one answer · [`ledger`] counts · [`witness`] says who vouches for a figure · [`replay`] judges a
//! work order's plan. The rows themselves travel in
//! the binary, compressed ([`carried`]), so that anybody can prove their own copy. No computing room sees this one.

pub mod carried;
pub mod compare;
pub mod ledger;
pub mod replay;
pub mod rows;
pub mod witness;
