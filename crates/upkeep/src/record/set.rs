//! A chain and its sprockets kept together under a name: they wear as one and go on and come off as one.

use super::{Role, text_of};
use crate::bike::Fault;

/// The roles that a set can have.
pub const SET_ROLES: [Role; 3] = [Role::Chain, Role::Front, Role::Rear];

/// A set: which chain and sprockets belong together, or that they no longer do.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Set {
    name: String,
    parts: Vec<(Role, String)>,
    gone: bool,
}

impl Set {
    /// Two or three parts of different roles under a name.
    ///
    /// # Errors
    /// A name that is none, fewer than two parts, a role twice or one that no set has.
    pub fn new(name: String, parts: Vec<(Role, String)>, gone: bool) -> Result<Self, Fault> {
        let name = text_of("set", name, 60)?;
        let of = |role: Role| parts.iter().filter(|(known, _)| *known == role).count();
        if parts.len() < 2 || SET_ROLES.iter().map(|role| of(*role)).sum::<usize>() != parts.len() {
            let text = "set: two parts or three belong together: chain, front sprocket, rear sprocket.";
            return Err(Fault::new("set", "not_a_set", text.to_owned()));
        }
        if SET_ROLES.iter().any(|role| of(*role) > 1) {
            return Err(Fault::new("set", "not_a_set", "set: each kind of part goes once into a set.".to_owned()));
        }
        let parts = parts.into_iter().map(|(role, part)| Ok((role, text_of("name", part, 100)?)));
        Ok(Self { name, parts: parts.collect::<Result<_, Fault>>()?, gone })
    }

    /// What it is called.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.name
    }

    /// Its parts by what they are called.
    #[must_use]
    pub fn parts(&self) -> &[(Role, String)] {
        &self.parts
    }

    /// What its part of a role is called, if it has one.
    #[must_use]
    pub fn part(&self, role: Role) -> Option<&str> {
        self.parts.iter().find(|(known, _)| *known == role).map(|(_, name)| name.as_str())
    }

    /// Whether it is a set no longer; its parts are where they are.
    #[must_use]
    pub const fn gone(&self) -> bool {
        self.gone
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn set(parts: &[(Role, &str)]) -> Result<Set, Fault> {
        Set::new("mud".into(), parts.iter().map(|(role, name)| (*role, (*name).to_owned())).collect(), false)
    }

    #[test]
    fn two_or_three_parts_of_different_kinds_make_a_set() {
        assert!(set(&[(Role::Chain, "a"), (Role::Front, "b"), (Role::Rear, "c")]).is_ok());
        assert!(set(&[(Role::Chain, "a"), (Role::Rear, "c")]).is_ok());
        for wrong in [
            &[(Role::Chain, "a")][..],
            &[(Role::Chain, "a"), (Role::Chain, "b")],
            &[(Role::Chain, "a"), (Role::Other, "b")],
        ] {
            assert_eq!(set(wrong).expect_err("no set").code, "not_a_set", "{wrong:?}");
        }
        assert_eq!(Set::new(" ".into(), Vec::new(), false).expect_err("no name").field, "set");
    }
}
