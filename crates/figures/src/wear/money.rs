//! The currency beside money: three capital letters.

use crate::{Field, Given, Refusal};

pub(super) const CURRENCY: Field = Field::text("currency").meaning("three capital letters, as EUR");

/// The currency given.
pub(super) fn currency<'a>(given: &Given<'a>) -> Result<&'a str, Refusal> {
    let code = given.text("currency")?;
    if code.len() == 3 && code.bytes().all(|byte| byte.is_ascii_uppercase()) {
        return Ok(code);
    }
    let text = format!("currency is \"{code}\"; three capital letters are wanted, as EUR.");
    Err(Refusal::new("currency", "no_currency", text))
}
