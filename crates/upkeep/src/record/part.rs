//! A part that was fitted: what it is, how worn it came, what it cost.

use measure::bounds::{bike, record as bounds};

use super::{held, text_of, word_for, word_of};
use crate::bike::Fault;

/// What a part is on the bike.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Role {
    /// The chain.
    Chain,
    /// The front sprocket.
    Front,
    /// The rear sprocket.
    Rear,
    /// Anything else that is bought for the bike.
    Other,
}

/// Words and roles.
pub const ROLES: &[(&str, Role)] =
    &[("chain", Role::Chain), ("front", Role::Front), ("rear", Role::Rear), ("other", Role::Other)];

impl Role {
    /// Its word.
    #[must_use]
    pub fn word(self) -> &'static str {
        word_for(ROLES, self)
    }

    /// The role of a word.
    ///
    /// # Errors
    /// No such word.
    pub fn of(word: &str) -> Result<Self, Fault> {
        word_of("role", word, ROLES)
    }
}

/// A part that was fitted.
#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    role: Role,
    name: String,
    count: Option<u32>,
    used_h: f64,
    price: Option<(i64, String)>,
}

impl Part {
    /// A part: what it is and is called, teeth or links, hours that it had, its price in minor units with its currency.
    ///
    /// # Errors
    /// A count that the role cannot have, hours or a price out of bounds, no currency.
    pub fn new(
        role: Role,
        name: String,
        count: Option<u32>,
        used_h: f64,
        price: Option<(i64, String)>,
    ) -> Result<Self, Fault> {
        if let Some(count) = count {
            counted(role, count)?;
        }
        if let Some((minor, currency)) = &price {
            #[expect(clippy::cast_precision_loss, reason = "bounds of money lie far below 2^53")]
            held("price_minor", *minor as f64, &bounds::PRICE)?;
            if currency.len() != 3 || !currency.bytes().all(|byte| byte.is_ascii_uppercase()) {
                let text = format!("currency: \"{currency}\" is none; three capital letters are wanted, such as EUR.");
                return Err(Fault::new("currency", "no_such_word", text));
            }
        }
        let name = text_of("name", name, 100)?;
        Ok(Self { role, name, count, used_h: held("used_h", used_h, &bounds::USED)?, price })
    }

    /// What it is.
    #[must_use]
    pub const fn role(&self) -> Role {
        self.role
    }

    /// What it is called.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.name
    }

    /// Teeth or links.
    #[must_use]
    pub const fn count(&self) -> Option<u32> {
        self.count
    }

    /// Hours that it had when it was fitted.
    #[must_use]
    pub const fn used_h(&self) -> f64 {
        self.used_h
    }

    /// Price in minor units with its currency.
    #[must_use]
    pub fn price(&self) -> Option<(i64, &str)> {
        self.price.as_ref().map(|(minor, currency)| (*minor, currency.as_str()))
    }
}

fn counted(role: Role, count: u32) -> Result<(), Fault> {
    let number = f64::from(count);
    match role {
        Role::Front => held("front_teeth", number, &bike::FRONT_TEETH).map(drop),
        Role::Rear => held("rear_teeth", number, &bike::REAR_TEETH).map(drop),
        Role::Chain if !count.is_multiple_of(2) => {
            let text = format!(
                "links is {count}, an odd count: it needs a half link, not for this drive. Were only the outer plates counted? {count} × 2 = {}.",
                2 * u64::from(count)
            );
            Err(Fault::new("links", "odd", text))
        }
        Role::Chain => held("links", number, &bike::LINKS).map(drop),
        Role::Other => held("count", number, &bounds::COUNT).map(drop),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn half_a_count_of_links_is_asked_back() {
        let fault = Part::new(Role::Chain, "chain".into(), Some(59), 0.0, None).expect_err("odd");
        assert_eq!(fault.field, "links");
        assert!(fault.text.contains("59 × 2 = 118"));
        assert!(Part::new(Role::Chain, "chain".into(), Some(118), 0.0, None).is_ok());
    }

    #[test]
    fn a_price_has_a_currency() {
        let priced =
            |currency: &str| Part::new(Role::Rear, "steel".into(), Some(48), 0.0, Some((4800, currency.into())));
        assert!(priced("EUR").is_ok());
        assert_eq!(priced("euro").expect_err("none").field, "currency");
    }

    #[test]
    fn a_part_is_kept_as_it_was_said_and_every_limit_is_met_exactly() {
        let part = Part::new(Role::Rear, "steel".into(), Some(48), 12.5, Some((4800, "EUR".into()))).expect("a part");
        assert_eq!((part.role(), part.name(), part.count(), part.used_h()), (Role::Rear, "steel", Some(48), 12.5));
        assert_eq!(part.price(), Some((4800, "EUR")));
        let field =
            |role: Role, count: u32| Part::new(role, "x".into(), Some(count), 0.0, None).err().map(|fault| fault.field);
        for (role, low, high, name, step) in [
            (Role::Front, 8, 25, "front_teeth", 1),
            (Role::Rear, 20, 80, "rear_teeth", 1),
            (Role::Other, 1, 250, "count", 1),
        ] {
            assert_eq!([field(role, low), field(role, high)], [None, None], "{role:?}");
            assert_eq!(
                [field(role, low - step), field(role, high + step)],
                [Some(name.to_owned()), Some(name.to_owned())],
                "{role:?}"
            );
        }
        let plain = Part::new(Role::Chain, "x".into(), None, 0.0, None).expect("a part");
        assert_eq!((plain.count(), plain.price()), (None, None));
        let hours = |used_h: f64| Part::new(Role::Chain, "x".into(), None, used_h, None).err().map(|fault| fault.field);
        assert_eq!([hours(5000.0), hours(0.0)], [None, None]);
        assert_eq!([hours(-0.1), hours(5000.1)], [Some("used_h".to_owned()), Some("used_h".to_owned())]);
        let price = |minor: i64, currency: &str| {
            Part::new(Role::Chain, "x".into(), None, 0.0, Some((minor, currency.into()))).err().map(|fault| fault.field)
        };
        assert_eq!([price(0, "EUR"), price(1_000_000_000, "EUR")], [None, None]);
        assert_eq!(
            [price(-1, "EUR"), price(1_000_000_001, "EUR")],
            [Some("price_minor".to_owned()), Some("price_minor".to_owned())]
        );
        assert_eq!(
            [price(1, "EURO"), price(1, "EU"), price(1, "EUr")].map(|field| field.as_deref() == Some("currency")),
            [true; 3]
        );
        assert_eq!(Part::new(Role::Chain, " ".into(), None, 0.0, None).expect_err("no name").field, "name");
    }
}
