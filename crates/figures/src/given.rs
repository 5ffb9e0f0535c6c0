//! What was given, checked against a figure's declarations before its own function runs.
//!
//! Faults are named in one order for every figure: unknown field, missing field, type, bounds (each in the table's
//! order), then what ties fields together (the figure's own function).

use std::fmt;

use measure::{Angle, Elongation, Force, Length, Links, Speed, Teeth, Torque};
use serde_json::{Map, Value};

use crate::Tracks;
use crate::field::{Field, Kind, Need};
use crate::refusal::Refusal;

/// Checked input: every field is declared, of its kind and inside its bounds.
#[derive(Clone, Copy)]
pub struct Given<'a> {
    map: &'a Map<String, Value>,
    prefix: &'a str,
    tracks: &'a dyn Tracks,
}

impl fmt::Debug for Given<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Given").field("map", self.map).field("prefix", &self.prefix).finish_non_exhaustive()
    }
}

impl<'a> Given<'a> {
    /// Checks a given object against the declared fields.
    ///
    /// # Errors
    /// The first fault in the order above.
    pub fn check(
        fields: &'static [Field],
        map: &'a Map<String, Value>,
        tracks: &'a dyn Tracks,
    ) -> Result<Self, Refusal> {
        for stage in [unknown, missing, wrong_type, out_of_range] {
            stage(fields, map, "")?;
        }
        Ok(Self { map, prefix: "", tracks })
    }

    fn need(&self, name: &str) -> Result<&'a Value, Refusal> {
        self.map.get(name).ok_or_else(|| Refusal::missing(&self.name(name)))
    }

    /// The raw value of a field, if given.
    #[must_use]
    pub fn raw(&self, name: &str) -> Option<&'a Value> {
        self.map.get(name)
    }

    /// Whether a field is given.
    #[must_use]
    pub fn has(&self, name: &str) -> bool {
        self.map.contains_key(name)
    }

    /// The name as refusals say it: with the outer object's name before it.
    #[must_use]
    pub fn name(&self, name: &str) -> String {
        format!("{}{name}", self.prefix)
    }

    /// A number.
    ///
    /// # Errors
    /// Missing.
    pub fn num(&self, name: &str) -> Result<f64, Refusal> {
        let value = self.need(name)?;
        value.as_f64().ok_or_else(|| Refusal::wrong_type(&self.name(name), value, "a number"))
    }

    /// A number, if given.
    #[must_use]
    pub fn opt(&self, name: &str) -> Option<f64> {
        self.map.get(name).and_then(Value::as_f64)
    }

    /// A number, or its default.
    #[must_use]
    pub fn num_or(&self, name: &str, default: f64) -> f64 {
        self.opt(name).unwrap_or(default)
    }

    /// A whole number, not negative.
    ///
    /// # Errors
    /// Missing.
    pub fn whole(&self, name: &str) -> Result<u32, Refusal> {
        let value = self.need(name)?;
        as_whole(value).ok_or_else(|| Refusal::wrong_type(&self.name(name), value, "a whole number"))
    }

    /// A whole number, if given.
    #[must_use]
    pub fn opt_whole(&self, name: &str) -> Option<u32> {
        self.map.get(name).and_then(as_whole)
    }

    /// Teeth of a sprocket.
    ///
    /// # Errors
    /// Missing.
    pub fn teeth(&self, name: &str) -> Result<Teeth, Refusal> {
        let count = self.whole(name)?;
        u16::try_from(count)
            .ok()
            .and_then(Teeth::new)
            .ok_or_else(|| Refusal::out_of_range(&self.name(name), f64::from(count), &measure::bounds::TEETH))
    }

    /// Links of a chain.
    ///
    /// # Errors
    /// Missing.
    pub fn links(&self, name: &str) -> Result<Links, Refusal> {
        let count = self.whole(name)?;
        u16::try_from(count)
            .ok()
            .and_then(Links::new)
            .ok_or_else(|| Refusal::out_of_range(&self.name(name), f64::from(count), &measure::bounds::LINKS))
    }

    /// A length in millimetres.
    ///
    /// # Errors
    /// Missing.
    pub fn mm(&self, name: &str) -> Result<Length, Refusal> {
        self.num(name).map(Length::from_mm)
    }

    /// An angle in degrees.
    ///
    /// # Errors
    /// Missing.
    pub fn deg(&self, name: &str) -> Result<Angle, Refusal> {
        self.num(name).map(Angle::from_deg)
    }

    /// A torque in newton metres.
    ///
    /// # Errors
    /// Missing.
    pub fn nm(&self, name: &str) -> Result<Torque, Refusal> {
        self.num(name).map(Torque::from_nm)
    }

    /// A force in newtons.
    ///
    /// # Errors
    /// Missing.
    pub fn newton(&self, name: &str) -> Result<Force, Refusal> {
        self.num(name).map(Force::from_n)
    }

    /// A speed in km/h.
    ///
    /// # Errors
    /// Missing.
    pub fn kmh(&self, name: &str) -> Result<Speed, Refusal> {
        self.num(name).map(Speed::from_kmh)
    }

    /// An elongation in percent, 0 if left out.
    #[must_use]
    pub fn elongation(&self, name: &str) -> Elongation {
        Elongation::from_pct(self.num_or(name, 0.0))
    }

    /// A text or word.
    ///
    /// # Errors
    /// Missing.
    pub fn text(&self, name: &str) -> Result<&'a str, Refusal> {
        let value = self.need(name)?;
        value.as_str().ok_or_else(|| Refusal::wrong_type(&self.name(name), value, "text"))
    }

    /// A text or word, if given.
    #[must_use]
    pub fn opt_text(&self, name: &str) -> Option<&'a str> {
        self.map.get(name).and_then(Value::as_str)
    }

    /// `true` or `false`, or the default.
    #[must_use]
    pub fn flag_or(&self, name: &str, default: bool) -> bool {
        self.map.get(name).and_then(Value::as_bool).unwrap_or(default)
    }

    /// A list of numbers; empty if left out.
    #[must_use]
    pub fn numbers(&self, name: &str) -> Vec<f64> {
        self.list(name).iter().filter_map(Value::as_f64).collect()
    }

    /// A list of numbers or missing values; empty if left out.
    #[must_use]
    pub fn numbers_or_null(&self, name: &str) -> Vec<Option<f64>> {
        self.list(name).iter().map(Value::as_f64).collect()
    }

    /// The items of a list; empty if left out or no list.
    #[must_use]
    pub fn list(&self, name: &str) -> &'a [Value] {
        self.map.get(name).and_then(Value::as_array).map_or(&[], Vec::as_slice)
    }

    /// The members of an object field, checked like the outer fields; `prefix` is its name with a dot.
    ///
    /// # Errors
    /// Missing.
    pub fn object(&self, name: &str, prefix: &'a str) -> Result<Given<'a>, Refusal> {
        let value = self.need(name)?;
        let map = value.as_object().ok_or_else(|| Refusal::wrong_type(&self.name(name), value, "an object"))?;
        Ok(Given { map, prefix, tracks: self.tracks })
    }

    /// The text of a named track.
    ///
    /// # Errors
    /// Missing, or the track cannot be had.
    pub fn track(&self, name: &str) -> Result<String, Refusal> {
        let track = self.text(name)?;
        self.tracks
            .text(track)
            .map_err(|why| Refusal::new(self.name(name), "no_track", format!("{name} \"{track}\": {why}.")))
    }
}

/// A whole, non-negative JSON number (14 and 14.0 are both whole).
pub(crate) fn as_whole(value: &Value) -> Option<u32> {
    if let Some(whole) = value.as_u64() {
        return u32::try_from(whole).ok();
    }
    let real = value.as_f64()?;
    if real.fract() != 0.0 || !(0.0..=f64::from(u32::MAX)).contains(&real) {
        return None;
    }
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "checked whole and in range above")]
    Some(real as u32)
}

type Members = Map<String, Value>;

/// Walks a field's declared object, if it is one and was given as one.
fn inside(
    field: &Field,
    map: &Members,
    prefix: &str,
    stage: fn(&'static [Field], &Members, &str) -> Result<(), Refusal>,
) -> Result<(), Refusal> {
    match (field.kind, map.get(field.name)) {
        (Kind::Object(members), Some(Value::Object(inner))) => {
            stage(members, inner, &format!("{prefix}{}.", field.name))
        }
        _ => Ok(()),
    }
}

fn unknown(fields: &'static [Field], map: &Members, prefix: &str) -> Result<(), Refusal> {
    for key in map.keys() {
        if !fields.iter().any(|field| field.name == key) {
            let known: Vec<_> = fields.iter().map(|field| field.name).collect();
            return Err(Refusal::unknown_field(&format!("{prefix}{key}"), &known));
        }
    }
    fields.iter().try_for_each(|field| inside(field, map, prefix, unknown))
}

fn missing(fields: &'static [Field], map: &Members, prefix: &str) -> Result<(), Refusal> {
    for field in fields {
        if field.need == Need::Required && !map.contains_key(field.name) {
            return Err(Refusal::missing(&format!("{prefix}{}", field.name)));
        }
        inside(field, map, prefix, missing)?;
    }
    Ok(())
}

fn wrong_type(fields: &'static [Field], map: &Members, prefix: &str) -> Result<(), Refusal> {
    for field in fields {
        let Some(value) = map.get(field.name) else { continue };
        let wanted = match field.kind {
            Kind::Number(_) if !value.is_number() => "a number",
            Kind::Whole(_) if !value.is_number() => "a whole number",
            Kind::Whole(_) if value.as_f64().is_none_or(|real| real.fract() != 0.0) => "a whole number",
            Kind::Text | Kind::Word(_) if !value.is_string() => "text",
            Kind::Flag if !value.is_boolean() => "true or false",
            Kind::Numbers(_) if !list_of(value, Value::is_number) => "a list of numbers",
            Kind::NumbersOrNull(_) if !list_of(value, |item| item.is_number() || item.is_null()) => {
                "a list of numbers, null where one is missing,"
            }
            Kind::Nested if !value.is_array() && !value.is_object() => "a list or an object",
            Kind::Object(_) if !value.is_object() => "an object",
            _ => {
                inside(field, map, prefix, wrong_type)?;
                continue;
            }
        };
        return Err(Refusal::wrong_type(&format!("{prefix}{}", field.name), value, wanted));
    }
    Ok(())
}

fn list_of(value: &Value, fits: impl Fn(&Value) -> bool) -> bool {
    value.as_array().is_some_and(|items| items.iter().all(fits))
}

fn out_of_range(fields: &'static [Field], map: &Members, prefix: &str) -> Result<(), Refusal> {
    for field in fields {
        let Some(value) = map.get(field.name) else { continue };
        let name = || format!("{prefix}{}", field.name);
        match field.kind {
            Kind::Number(bound) | Kind::Whole(bound) => {
                let real = value.as_f64().unwrap_or(f64::NAN);
                if !bound.holds(real) {
                    return Err(Refusal::out_of_range(&name(), real, bound));
                }
            }
            Kind::Word(words) => {
                let word = value.as_str().unwrap_or_default();
                if !words.contains(&word) {
                    return Err(Refusal::no_such_word(&name(), word, words));
                }
            }
            Kind::Numbers(bound) | Kind::NumbersOrNull(bound) => {
                let outside = |item: &&Value| item.as_f64().is_some_and(|real| !bound.holds(real));
                if let Some(item) = value.as_array().and_then(|items| items.iter().find(outside)) {
                    return Err(Refusal::out_of_range(&name(), item.as_f64().unwrap_or(f64::NAN), bound));
                }
            }
            _ => inside(field, map, prefix, out_of_range)?,
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::NoTracks;
    use measure::bounds;
    use serde_json::json;

    static FIELDS: [Field; 3] = [
        Field::whole("front_teeth", &bounds::TEETH),
        Field::number("pitch_mm", &bounds::PITCH),
        Field::number("slack_mm", &bounds::CENTRE).optional("none"),
    ];

    fn refused(given: Value) -> (String, &'static str) {
        let map = given.as_object().cloned().unwrap_or_default();
        let refusal = Given::check(&FIELDS, &map, &NoTracks).expect_err("must be refused");
        (refusal.field, refusal.code)
    }

    #[test]
    fn faults_are_named_in_the_agreed_order() {
        assert_eq!(refused(json!({"pitch": 1, "front_teeth": "x"})), ("pitch".into(), "unknown_field"));
        assert_eq!(refused(json!({"front_teeth": "x"})), ("pitch_mm".into(), "missing"));
        assert_eq!(refused(json!({"front_teeth": 2, "pitch_mm": "x"})), ("pitch_mm".into(), "wrong_type"));
        assert_eq!(refused(json!({"front_teeth": 2, "pitch_mm": 1})), ("front_teeth".into(), "out_of_range"));
    }

    #[test]
    fn null_true_and_fractions_are_no_counts() {
        for bad in [json!(null), json!(true), json!([14]), json!(14.5), json!("14")] {
            assert_eq!(refused(json!({"front_teeth": bad, "pitch_mm": 15.875})).1, "wrong_type");
        }
    }
}
