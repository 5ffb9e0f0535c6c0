//! SQLite: facts in, facts out.
