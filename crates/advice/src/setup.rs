//! A setup: the sprockets and the chain that a question is about, fitted or only thought of.

use std::fmt;

use serde::Serialize;
use upkeep::bike::Bike;

use crate::ask::{Gap, Given, with};

/// Front teeth, rear teeth and links.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
pub struct Setup {
    /// Teeth of the countershaft sprocket.
    pub front_teeth: u32,
    /// Teeth of the rear sprocket.
    pub rear_teeth: u32,
    /// Links of the closed chain.
    pub links: u32,
}

impl Setup {
    /// What is fitted, by the sheet.
    ///
    /// # Errors
    /// The first of the three that the sheet does not have.
    pub fn fitted(bike: &Bike) -> Result<Self, Gap> {
        let whole = |field: &'static str| bike.whole(field).ok_or_else(|| Gap::absent(field));
        Ok(Self { front_teeth: whole("front_teeth")?, rear_teeth: whole("rear_teeth")?, links: whole("links")? })
    }

    /// The same with other sprockets.
    #[must_use]
    pub const fn pair(self, front_teeth: u32, rear_teeth: u32) -> Self {
        Self { front_teeth, rear_teeth, links: self.links }
    }

    /// The same with another link count.
    #[must_use]
    pub const fn with_links(self, links: u32) -> Self {
        Self { links, ..self }
    }

    /// Whether both have the same sprockets.
    #[must_use]
    pub const fn same_pair(self, other: Self) -> bool {
        self.front_teeth == other.front_teeth && self.rear_teeth == other.rear_teeth
    }

    /// The pair in short: `14/48`.
    #[must_use]
    pub fn pair_words(self) -> String {
        format!("{}/{}", self.front_teeth, self.rear_teeth)
    }

    /// The two sprockets added to what is given.
    #[must_use]
    pub fn give_pair(self, given: Given) -> Given {
        with(with(given, "front_teeth", self.front_teeth), "rear_teeth", self.rear_teeth)
    }

    /// Sprockets and links added to what is given.
    #[must_use]
    pub fn give(self, given: Given) -> Given {
        with(self.give_pair(given), "links", self.links)
    }
}

impl fmt::Display for Setup {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}/{} on {} links", self.front_teeth, self.rear_teeth, self.links)
    }
}
