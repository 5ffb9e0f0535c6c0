//! Where a part is: on the bike, on the shelf, taken off and not seen since, or gone. The last word on it counts.

use jiff::civil::DateTime;

use super::{Entry, Fact, Kept, Log, Part, Role, Set};

/// Where a part is by the record.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Whereabouts<'l> {
    /// On the bike since that entry.
    Fitted(&'l Entry, &'l Part),
    /// On the shelf.
    Shelf(&'l Kept),
    /// It was on the bike from that entry on until another took its place, and nobody laid it on the shelf.
    Off(&'l Entry, &'l Part, DateTime),
    /// Sold, lost or scrapped.
    Gone(&'l Kept),
}

impl Log {
    /// Where the part of a role and name is; `None` if no such part is recorded.
    #[must_use]
    pub fn whereabouts(&self, role: Role, name: &str) -> Option<Whereabouts<'_>> {
        let is = |part: &Part| part.role() == role && part.name() == name;
        let (at, entry) = self.entries().iter().enumerate().rfind(|(_, entry)| match &entry.fact {
            Fact::Part(part) => is(part),
            Fact::Kept(kept) => is(kept.part()),
            _ => false,
        })?;
        Some(match &entry.fact {
            Fact::Kept(kept) if kept.gone() => Whereabouts::Gone(kept),
            Fact::Kept(kept) => Whereabouts::Shelf(kept),
            Fact::Part(part) => {
                let next = self.entries()[at + 1..]
                    .iter()
                    .find(|later| matches!(&later.fact, Fact::Part(other) if other.role() == role));
                next.map_or(Whereabouts::Fitted(entry, part), |next| Whereabouts::Off(entry, part, next.at))
            }
            _ => return None,
        })
    }

    /// The part of a role that is on the bike by the record; `None` if none is, or if it was laid on the shelf since.
    #[must_use]
    pub fn on_the_bike(&self, role: Role) -> Option<(&Entry, &Part)> {
        let Fact::Part(part) = &self.fitted(role)?.fact else { return None };
        match self.whereabouts(role, part.name())? {
            Whereabouts::Fitted(entry, part) => Some((entry, part)),
            _ => None,
        }
    }

    /// The sets there are, oldest first; the last word on each name counts.
    #[must_use]
    pub fn sets(&self) -> Vec<(&Entry, &Set)> {
        let all: Vec<(&Entry, &Set)> =
            self.of(|fact| if let Fact::Set(set) = fact { Some(set) } else { None }).collect();
        let last = |at: usize, name: &str| !all[at + 1..].iter().any(|(_, later)| later.name() == name);
        let standing = all.iter().enumerate().filter(|(at, (_, set))| !set.gone() && last(*at, set.name()));
        standing.map(|(_, one)| *one).collect()
    }

    /// Every chain and sprocket that is on the bike, lies on the shelf or was taken off, once each, by role and name.
    #[must_use]
    pub fn parts_at_hand(&self, role: Role) -> Vec<&str> {
        let mut names: Vec<&str> = Vec::new();
        for entry in self.entries() {
            let part = match &entry.fact {
                Fact::Part(part) => part,
                Fact::Kept(kept) => kept.part(),
                _ => continue,
            };
            if part.role() == role && !names.contains(&part.name()) {
                names.push(part.name());
            }
        }
        names.retain(|name| !matches!(self.whereabouts(role, name), None | Some(Whereabouts::Gone(_))));
        names
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn part(name: &str, used_h: f64) -> Part {
        Part::new(Role::Front, name.into(), Some(14), used_h, None).expect("a part")
    }

    fn log(facts: Vec<Fact>) -> Log {
        let entry = |(id, fact): (i64, Fact)| {
            let at = jiff::civil::date(2026, 5, i8::try_from(id).expect("a day")).at(12, 0, 0, 0);
            Entry { id, change: id, at, corrects: None, note: None, fact }
        };
        Log::new((1..).zip(facts).map(entry).collect(), Vec::new())
    }

    #[test]
    fn a_part_is_where_the_last_word_says() {
        let kept = |name: &str, gone| Fact::Kept(Kept::new(part(name, 12.0), gone));
        let all = log(vec![
            Fact::Part(part("a", 0.0)),
            Fact::Part(part("b", 0.0)),
            kept("a", false),
            Fact::Part(part("c", 0.0)),
            kept("d", true),
        ]);
        assert!(
            matches!(all.whereabouts(Role::Front, "a"), Some(Whereabouts::Shelf(kept)) if kept.part().used_h() > 11.0)
        );
        let off = all.whereabouts(Role::Front, "b");
        assert!(matches!(off, Some(Whereabouts::Off(_, _, until)) if until.day() == 4), "{off:?}");
        assert!(matches!(all.whereabouts(Role::Front, "c"), Some(Whereabouts::Fitted(..))));
        assert!(matches!(all.whereabouts(Role::Front, "d"), Some(Whereabouts::Gone(_))));
        assert_eq!(all.whereabouts(Role::Rear, "a"), None);
        assert_eq!(all.parts_at_hand(Role::Front), ["a", "b", "c"]);
    }

    #[test]
    fn a_part_that_was_never_fitted_is_at_hand_on_the_shelf() {
        let all = log(vec![Fact::Kept(Kept::new(part("spare", 0.0), false)), Fact::Part(part("a", 0.0))]);
        assert_eq!(all.parts_at_hand(Role::Front), ["spare", "a"]);
    }

    #[test]
    fn what_was_laid_on_the_shelf_is_no_longer_on_the_bike() {
        let off = log(vec![Fact::Part(part("a", 0.0)), Fact::Kept(Kept::new(part("a", 3.0), false))]);
        assert_eq!(off.on_the_bike(Role::Front), None);
        let on = log(vec![Fact::Part(part("a", 0.0))]);
        assert_eq!(on.on_the_bike(Role::Front).map(|(_, part)| part.name()), Some("a"));
    }

    #[test]
    fn the_last_word_on_a_set_counts() {
        let set = |name: &str, chain: &str, gone| {
            let parts = vec![(Role::Chain, chain.to_owned()), (Role::Rear, "r".to_owned())];
            Fact::Set(Set::new(name.into(), parts, gone).expect("a set"))
        };
        let all =
            log(vec![set("mud", "a", false), set("dry", "b", false), set("mud", "c", false), set("dry", "b", true)]);
        let names: Vec<_> = all.sets().into_iter().map(|(_, set)| (set.name(), set.part(Role::Chain))).collect();
        assert_eq!(names, [("mud", Some("c"))]);
    }
}
