//! What a rider types for a field of the sheet → its value, with an echo of what was understood.
//!
//! Numbers go by `measure::entry`. Ratios by teeth are typed driver first, `25:71`; lists are typed with blanks or
//! semicolons between their items, points of a curve with semicolons. A value's own words can be typed back.

use measure::{Bound, entry};

use super::{BikeField, Fault, Kind, Ratio, Value};

/// A typed value, understood; not yet held against the other fields of the sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct TypedValue {
    /// The value, one of its field.
    pub value: Value,
    /// What was understood, for an echo beside the field: `= 35.3 N·m`.
    pub understood: String,
}

impl BikeField {
    /// Reads what was typed for this field.
    ///
    /// # Errors
    /// Why it is no value of the field, and what to type.
    pub fn typed(&self, text: &str) -> Result<TypedValue, Fault> {
        let text = text.trim();
        if text.is_empty() {
            let (name, word, possible) = (self.name, self.word, self.possible());
            return Err(Fault::new(
                name,
                "empty",
                format!("Nothing is given for {name} ({word}). Possible: {possible}."),
            ));
        }
        let value = match self.kind {
            Kind::Number(bound) => return self.count_or_number(text, bound, false),
            Kind::Whole(bound) => return self.count_or_number(text, bound, true),
            Kind::Word(words) => Value::Word(self.one_of(words, text)?),
            Kind::Text => Value::Text(text.to_owned()),
            Kind::Flag => Value::Flag(self.flag(text)?),
            Kind::Ratio(bound) => Value::Ratio(self.ratio_typed(text, bound)?),
            Kind::Ratios(bound) => {
                Value::Ratios(items(text).map(|item| self.ratio_typed(item, bound)).collect::<Result<_, _>>()?)
            }
            Kind::Curve => Value::Curve(points(text).map(|point| self.point(point)).collect::<Result<_, _>>()?),
        };
        self.check(&value)?;
        let understood = format!("= {value}");
        Ok(TypedValue { value, understood })
    }

    fn count_or_number(&self, text: &str, bound: &Bound, whole: bool) -> Result<TypedValue, Fault> {
        let named = Bound { word: self.word, ..*bound };
        let typed = if whole { entry::whole(text, &named) } else { entry::number(text, &named) };
        let typed = typed.map_err(|why| self.unread(&why))?;
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "whole, and counts are bounded above zero"
        )]
        let value = if whole { Value::Whole(typed.value as u32) } else { Value::Number(typed.value) };
        self.check(&value)?;
        Ok(TypedValue { value, understood: typed.understood })
    }

    fn unread(&self, why: &entry::EntryFault) -> Fault {
        Fault::new(self.name, why.code(), format!("{}: {why}", self.name))
    }

    fn one_of(&self, words: &[&str], text: &str) -> Result<String, Fault> {
        let plain = |word: &str| word.to_lowercase().replace(['-', '_'], " ");
        let found = words.iter().find(|word| plain(word) == plain(text));
        found.map(|word| (*word).to_owned()).ok_or_else(|| self.fault("no_such_word", text))
    }

    fn flag(&self, text: &str) -> Result<bool, Fault> {
        match text.to_lowercase().as_str() {
            "yes" | "y" | "true" => Ok(true),
            "no" | "n" | "false" => Ok(false),
            _ => Err(self.fault("no_such_word", text)),
        }
    }

    fn ratio_typed(&self, text: &str, bound: &Bound) -> Result<Ratio, Fault> {
        if text.contains('/') {
            let text = format!("{} is \"{text}\"; write the teeth with a colon, driver first, as 25:71.", self.name);
            return Err(Fault::new(self.name, "no_number", text));
        }
        if let Some((driver, driven)) = text.split_once(':') {
            let teeth = |text: &str| text.trim().parse::<u32>().map_err(|_| self.fault("no_number", text));
            return Ok(Ratio::Teeth { driver: teeth(driver)?, driven: teeth(driven)? });
        }
        let named = Bound { word: self.word, ..*bound };
        entry::number(text, &named).map(|typed| Ratio::Number(typed.value)).map_err(|why| self.unread(&why))
    }

    fn point(&self, text: &str) -> Result<[f64; 2], Fault> {
        let bounds = [&measure::bounds::bike::CURVE_RPM, &measure::bounds::bike::CURVE_TORQUE];
        let units = ["rpm", "nm", "n·m", "n.m"];
        let numbers: Vec<_> = text
            .split(|letter: char| letter.is_whitespace() || letter == ':')
            .filter(|part| !part.is_empty() && !units.contains(&part.to_lowercase().as_str()))
            .collect();
        let [rpm, torque] = numbers.as_slice() else {
            let text =
                format!("{} has the point \"{text}\"; write each as rpm and N·m, as 6000 34.5; 7000 36.", self.name);
            return Err(Fault::new(self.name, "wrong_list", text));
        };
        let read = |text: &str, bound| entry::number(text, bound).map_err(|why| self.unread(&why));
        Ok([read(rpm, bounds[0])?.value, read(torque, bounds[1])?.value])
    }
}

/// The items of a typed list: between blanks, semicolons or raised dots, a comma behind an item left off.
fn items(text: &str) -> impl Iterator<Item = &str> {
    text.split(|letter: char| letter.is_whitespace() || matches!(letter, ';' | '·'))
        .map(|item| item.trim_end_matches(','))
        .filter(|item| !item.is_empty())
}

/// The points of a typed curve: between semicolons, line ends or raised dots with blanks round them.
fn points(text: &str) -> impl Iterator<Item = &str> {
    text.split([';', '\n']).flat_map(|part| part.split(" · ")).map(str::trim).filter(|point| !point.is_empty())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bike::field;

    fn typed(name: &str, text: &str) -> Result<TypedValue, Fault> {
        field(name).unwrap().typed(text)
    }

    #[test]
    fn each_kind_is_typed_as_riders_type_it() {
        let value = |name: &str, text: &str| typed(name, text).unwrap().value;
        assert_eq!(value("front_teeth", "14"), Value::Whole(14));
        assert_eq!(value("arm_mm", "60,56 cm"), Value::Number(605.6));
        assert_eq!(value("front_retention", "Snap ring"), Value::Word("snap-ring".into()));
        assert_eq!(value("sealed", "Yes"), Value::Flag(true));
        assert_eq!(value("primary", "25:71"), Value::Ratio(Ratio::Teeth { driver: 25, driven: 71 }));
        assert_eq!(value("gears", "2,40 1,85; 1.45"), value("gears", "2.4, 1.85, 1.45"));
        assert_eq!(value("gears", "14:31 15:26").to_string(), "14:31 · 15:26");
        assert_eq!(
            value("curve", "2000 17; 3000:23; 4000 rpm 28 Nm").to_string(),
            value("curve", "2000 17\n3000 23\n4000 28").to_string()
        );
        assert_eq!(typed("rear_axle_torque_nm", "74 lbf ft").unwrap().understood, "= 100.3 N·m");
    }

    #[test]
    fn what_is_no_value_says_what_to_type() {
        let code = |name: &str, text: &str| typed(name, text).err().map_or("", |fault| fault.code);
        assert_eq!(code("front_teeth", "14,5"), "not_whole");
        assert_eq!(code("front_teeth", "140"), "out_of_range");
        assert_eq!(code("slack_mm_min", "3 fingers"), "no_unit");
        assert_eq!(code("arm_mm", ""), "empty");
        assert_eq!(code("joint", "glue"), "no_such_word");
        assert_eq!(code("sealed", "maybe"), "no_such_word");
        assert_eq!(code("primary", "71/25"), "no_number");
        assert_eq!(code("primary", "71:25"), "out_of_range");
        assert_eq!(code("gears", "1.0 2.0"), "wrong_list");
        assert_eq!(code("gears", "2,4,1,85"), "no_number");
        assert_eq!(code("curve", "2000; 3000; 4000"), "wrong_list");
        let fault = typed("rear_axle_torque_nm", "1000").expect_err("must be refused");
        assert!(fault.text.contains("1000 N·m is not possible for rear axle torque"), "{}", fault.text);
    }
}
