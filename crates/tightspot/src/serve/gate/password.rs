//! The password of a server on the home network: what it must be, how it is kept and checked.
//!
//! Any characters, no rules about kinds of them; long enough and not one that everybody tries first.

use std::io::{self, Write as _};
use std::path::{Path, PathBuf};

use argon2::Argon2;
use argon2::password_hash::phc::PasswordHash;
use argon2::password_hash::{PasswordHasher as _, PasswordVerifier as _};

use crate::folders;
use crate::problem::Problem;

/// The fewest characters.
const LEAST: usize = 8;
/// As many as are advised.
const ADVISED: usize = 15;
/// The most: nobody types more, and hashing must end.
const MOST: usize = 1024;
/// What everybody tries first, in small letters.
const COMMON: &str = include_str!("common.txt");
/// Rows of keys and of the alphabet that are no secret forwards or backwards.
const ROWS: [&str; 5] = ["01234567890", "abcdefghijklmnopqrstuvwxyz", "qwertyuiop", "qwertzuiop", "asdfghjkl"];

/// Why a password is not taken; a sentence for a person, without the password.
///
/// # Errors
/// The sentence.
pub(crate) fn check(password: &str) -> Result<(), String> {
    let count = password.chars().count();
    if count < LEAST {
        return Err(format!(
            "The password has {count} characters; at least {LEAST} are wanted, {ADVISED} or more are better: four words, say."
        ));
    }
    if count > MOST {
        return Err(format!("The password has {count} characters; at most {MOST} are possible."));
    }
    if is_common(password) {
        return Err("This password is one of the first that anybody tries. Take another: four words, say.".to_owned());
    }
    Ok(())
}

/// A word to whoever took a short one.
pub(crate) fn advice(password: &str) -> Option<String> {
    let count = password.chars().count();
    (count < ADVISED).then(|| format!("It has {count} characters; {ADVISED} or more are better."))
}

fn is_common(password: &str) -> bool {
    let small = password.trim().to_lowercase();
    let bare = small.trim_end_matches(|one: char| one.is_ascii_digit() || one.is_ascii_punctuation());
    let listed = COMMON.lines().any(|word| word == small || (!bare.is_empty() && word == bare));
    let mut letters: Vec<char> = small.chars().collect();
    letters.sort_unstable();
    letters.dedup();
    let backwards: String = small.chars().rev().collect();
    let row = ROWS.iter().any(|row| {
        let twice = row.repeat(2);
        twice.contains(&small) || twice.contains(&backwards)
    });
    listed || letters.len() <= 2 || row
}

/// A password as it is kept: salted and hashed by a function that costs memory and time.
#[derive(Clone)]
pub(crate) struct Kept {
    hash: String,
}

impl Kept {
    /// Hashes a password that was found good.
    ///
    /// # Errors
    /// The system has no randomness to give.
    pub(crate) fn new(password: &str) -> Result<Self, String> {
        let hash = Argon2::default().hash_password(password.as_bytes()).map_err(|why| why.to_string())?;
        Ok(Self { hash: hash.to_string() })
    }

    /// Whether this is the password. Takes as long for a wrong one.
    pub(crate) fn is(&self, password: &str) -> bool {
        PasswordHash::new(&self.hash)
            .is_ok_and(|hash| Argon2::default().verify_password(password.as_bytes(), &hash).is_ok())
    }

    /// The password that is set; `None` if none is.
    ///
    /// # Errors
    /// The file cannot be read, or holds something else.
    pub(crate) fn read() -> Result<Option<Self>, Problem> {
        let file = file()?;
        let text = match std::fs::read_to_string(&file) {
            Ok(text) => text,
            Err(why) if why.kind() == io::ErrorKind::NotFound => return Ok(None),
            Err(why) => return Err(told(&file, &why)),
        };
        let hash = text.trim().to_owned();
        match PasswordHash::new(&hash) {
            Ok(_) => Ok(Some(Self { hash })),
            Err(why) => {
                Err(told(&file, &format!("no password is kept there ({why}). Remove the file and set one anew")))
            }
        }
    }

    /// Keeps it, readable by its owner only; the one before is replaced whole or not at all.
    ///
    /// # Errors
    /// The file cannot be written.
    pub(crate) fn write(&self) -> Result<PathBuf, Problem> {
        let file = file()?;
        folders::write_private(&file, self.hash.as_bytes()).map_err(|why| told(&file, &why))?;
        Ok(file)
    }
}

fn file() -> Result<PathBuf, Problem> {
    Ok(folders::config()?.join("password"))
}

fn told(file: &Path, why: &dyn std::fmt::Display) -> Problem {
    Problem::failed(format!("{}: {why}.", file.display()))
}

/// Says something of the gate to whoever watches the program; never a secret.
pub(crate) fn log(line: &str) {
    let _ = writeln!(io::stderr(), "gate: {line}");
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn short_and_common_ones_are_refused_long_ones_of_any_kind_are_taken() {
        let common =
            ["password", "Password123!", "12345678", "87654321", "qwertyui", "aaaaaaaa", "abababab", "ABCDEFGH"];
        for wrong in ["", "short", "1234567", "chain 1"].iter().chain(&common) {
            assert!(check(wrong).is_err(), "{wrong} is taken");
        }
        let long = "x1 ".repeat(21) + "y";
        for right in ["loose spoke gate", "ключ от гаража", "        a b", &long, &"words and more words ".repeat(20)]
        {
            assert_eq!(check(right), Ok(()), "{right} is refused");
        }
        assert!(check(&"ab c".repeat(300)).is_err());
        assert!(advice("eightchr").is_some() && advice("four words of mine").is_none());
        assert!(!check("chain 1").unwrap_err().contains("chain 1"));
    }

    #[test]
    fn it_is_kept_by_a_hash_that_costs_memory_and_never_the_same_twice() {
        let (one, two) =
            (Kept::new("loose spoke gate").expect("a hash"), Kept::new("loose spoke gate").expect("a hash"));
        assert!(one.hash.starts_with("$argon2id$v=19$m=19456,t=2,p=1$") && one.hash != two.hash);
        assert!(one.is("loose spoke gate") && !one.is("loose spoke gat") && !one.is("Loose spoke gate") && !one.is(""));
    }
}
