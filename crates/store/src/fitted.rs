//! What was fitted on a ride: sprockets and links, kept beside it.

use crate::change::Appender;
use crate::{Engine, Result, Row, StoreError};

/// Sprockets and links that a ride was ridden on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Fitted {
    /// Teeth of the countershaft sprocket, 8 to 25.
    pub front_teeth: u32,
    /// Teeth of the rear sprocket, 20 to 80.
    pub rear_teeth: u32,
    /// Links of the chain, 40 to 250.
    pub links: u32,
}

impl Fitted {
    /// Refuses what no drive can have.
    pub(crate) fn check(self) -> Result<()> {
        let counts = [
            ("front_teeth", self.front_teeth, 8..=25, "8 to 25"),
            ("rear_teeth", self.rear_teeth, 20..=80, "20 to 80"),
            ("links", self.links, 40..=250, "40 to 250"),
        ];
        match counts.into_iter().find(|(_, count, range, _)| !range.contains(count)) {
            Some((field, count, _, possible)) => Err(StoreError::Ride { field, given: count.to_string(), possible }),
            None => Ok(()),
        }
    }

    pub(crate) fn insert(self, to: &mut Appender<'_, impl Engine>, ride: i64) -> Result<()> {
        let Self { front_teeth, rear_teeth, links } = self;
        to.beside(
            "ride_fitted",
            &[("ride", &ride), ("front_teeth", &front_teeth), ("rear_teeth", &rear_teeth), ("links", &links)],
        )
    }

    /// The three columns from `at` on; none if the ride has no row.
    pub(crate) fn read(row: &impl Row, at: usize) -> Result<Option<Self>> {
        let count = |n: usize| row.get::<Option<u32>>(at + n);
        Ok(match (count(0)?, count(1)?, count(2)?) {
            (Some(front_teeth), Some(rear_teeth), Some(links)) => Some(Self { front_teeth, rear_teeth, links }),
            _ => None,
        })
    }
}
