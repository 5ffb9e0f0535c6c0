//! Settings of the whole tool: the latest live value of each name.

use crate::{Done, Engine, Post, Result, Row as _, Store, StoreError};

impl<E: Engine> Store<E> {
    /// The value of a setting; `None` if it was never set.
    ///
    /// # Errors
    /// The store cannot be read.
    pub fn setting(&self, name: &str) -> Result<Option<String>> {
        self.db.first(
            "SELECT value FROM setting JOIN live ON live.id = setting.change
             WHERE name = ?1 ORDER BY setting.id DESC LIMIT 1",
            &[&name],
            |row| row.get(0),
        )
    }

    /// Sets a setting.
    ///
    /// # Errors
    /// The name or the value is too long or the name empty, or the store cannot be written.
    pub fn set_setting(&mut self, name: &str, value: &str, post: &Post<'_>) -> Result<Done> {
        if !(1..=60).contains(&name.chars().count())
            || value.chars().count() > 4000
            || name.contains('\0')
            || value.contains('\0')
        {
            return Err(StoreError::Setting { name: name.chars().take(60).collect() });
        }
        if post.key.is_none() && self.setting(name)?.as_deref() == Some(value) {
            return Ok(Done { change: None, again: false });
        }
        self.once(post, "setting", &format!("{name}\n{value}"), |to| {
            to.put("setting", &[("name", &name), ("value", &value)]).map(drop)
        })
    }
}
