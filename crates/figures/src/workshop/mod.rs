//! Figures of the workshop: torque, order of work, shopping and money.

mod asked;
mod bolt;
mod class;
mod convert;
mod extension;
mod fallback;
mod from_preload;
mod in_there;
mod json;
mod library;
mod money;
mod order;
mod preload;
mod prices;
mod shopping;
mod star;
mod thread;

use crate::Figure;

/// The figures of this domain.
pub(crate) const FIGURES: &[Figure] = &[
    thread::FIGURE,
    class::FIGURE,
    from_preload::FIGURE,
    preload::FIGURE,
    fallback::FIGURE,
    convert::FIGURE,
    extension::FIGURE,
    star::FIGURE,
    order::FIGURE,
    in_there::FIGURE,
    shopping::FIGURE,
    money::FIGURE,
];
