//! The commands as a person runs them on a store of their own: what is printed where, what is kept, what is refused.

mod bike;
mod order;
mod record;
mod rides;
mod sets;
mod shed;
