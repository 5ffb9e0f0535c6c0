//! `money.parse`: a price as typed, in whole minor units.

use upkeep::money::{Currency, TypedFault, minor_units};

use crate::{Answer, Field, Figure, Given, Refusal};

pub(super) const FIGURE: Figure = Figure {
    name: "money.parse",
    says: "A typed price in whole minor units of its currency.",
    given: &[
        Field::text("text").meaning("digits with at most one point or comma as decimal mark; a leading minus is taken"),
        Field::text("currency").meaning("code of ISO 4217, three capitals"),
    ],
    answer: &[("amount_minor", "whole minor units")],
    formula: "amount × 10^decimals of the currency; nothing is rounded",
    sources: &["iso-4217"],
    ask,
};

fn ask(given: &Given<'_>) -> Result<Answer, Refusal> {
    let currency = currency("currency", given.text("currency")?)?;
    let text = given.text("text")?;
    let amount = minor_units(text, currency).map_err(|fault| refused(text, currency, fault))?;
    Ok(Answer::new().whole("amount_minor", amount))
}

/// The currency of a code; `field` is named where there is none.
pub(super) fn currency(field: &str, code: &str) -> Result<Currency, Refusal> {
    Currency::of(code).ok_or_else(|| {
        Refusal::new(
            field,
            "unknown_currency",
            format!("{field}: \"{code}\" is no currency code. Give the three capitals of ISO 4217, for instance EUR."),
        )
    })
}

fn refused(text: &str, currency: Currency, fault: TypedFault) -> Refusal {
    let (code, why) = match fault {
        TypedFault::Empty => ("empty", "nothing is there".to_owned()),
        TypedFault::NoDigit => ("no_digit", "there is no digit".to_owned()),
        TypedFault::TwoMarks => ("two_marks", "there is more than one decimal mark; grouping is not taken".to_owned()),
        TypedFault::Strange(c) => {
            ("not_a_number", format!("\"{c}\" belongs to no number; no symbol, grouping or exponent is taken"))
        }
        TypedFault::TooManyDecimals => (
            "too_many_decimals",
            format!("{} has {} decimals and nothing is rounded", currency.code(), currency.decimals()),
        ),
        TypedFault::TooLarge => ("too_large", "it is beyond what can be kept exactly".to_owned()),
    };
    let shown: String = text.chars().take(40).collect();
    Refusal::new(
        "text",
        code,
        format!("text is \"{shown}\": {why}. Give digits with at most one point or comma, for instance 74.90."),
    )
}
