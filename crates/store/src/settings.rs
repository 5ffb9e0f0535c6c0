//! Settings of the whole tool: the latest live value of each name.

use rusqlite::OptionalExtension as _;

use crate::{Done, Post, Result, Store, StoreError};

impl Store {
    /// The value of a setting; `None` if it was never set.
    ///
    /// # Errors
    /// The store cannot be read.
    pub fn setting(&self, name: &str) -> Result<Option<String>> {
        let mut query = self.db.prepare_cached(
            "SELECT value FROM setting JOIN live ON live.id = setting.change
             WHERE name = ?1 ORDER BY setting.id DESC LIMIT 1",
        )?;
        Ok(query.query_row([name], |row| row.get(0)).optional()?)
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
        self.once(post, "setting", &format!("{name}\n{value}"), |db, appender| {
            let change = appender.change()?;
            db.prepare_cached("INSERT INTO setting (change, name, value) VALUES (?1, ?2, ?3)")?
                .execute((change, name, value))?;
            Ok(())
        })
    }
}
