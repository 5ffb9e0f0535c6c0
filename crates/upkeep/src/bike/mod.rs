//! The bike's own sheet: every figure a rider gives of it, with its source.
//!
//! Lives here: the table of fields ([`FIELDS`]), the sheet itself ([`Bike`]), what ties its fields together, its file
//! form. Does not live here: any default, any figure computed from a sheet. What is not on the sheet is not known.

mod fault;
mod field;
mod file;
mod table;
mod ties;
mod typed;
mod value;

use std::collections::BTreeMap;

pub use fault::Fault;
pub use field::{BikeField, Kind, Section};
pub use table::{FIELDS, field, nearest};
pub use typed::TypedValue;
pub use value::{Ratio, Value};

/// One value of a sheet and where the rider has it from ("manual, p. 12").
#[derive(Debug, Clone, PartialEq)]
pub struct Entry {
    /// The value, inside its field's bounds.
    pub value: Value,
    /// Where it stands or how it was measured; `None` if the rider did not say.
    pub source: Option<String>,
}

/// One change of a sheet: a value put, or taken away.
#[derive(Debug, Clone, PartialEq)]
pub struct Change {
    /// The field.
    pub field: String,
    /// The value; `None` takes the field off the sheet.
    pub value: Option<Value>,
    /// Where the value stands or how it was measured.
    pub source: Option<String>,
}

/// A bike and its sheet; every value on it is of its field's kind, inside its bounds, and fits the others.
#[derive(Debug, Clone, PartialEq)]
pub struct Bike {
    /// The short name in addresses and commands: lower-case letters, digits, hyphens.
    pub id: String,
    /// The name that the rider calls it by.
    pub name: String,
    /// Whether its figures are invented, as those of the demo are; shown wherever one of them is.
    pub invented: bool,
    sheet: BTreeMap<&'static str, Entry>,
}

/// The longest id.
const ID_LIMIT: usize = 40;
/// The longest name.
const NAME_LIMIT: usize = 60;

impl Bike {
    /// A bike with nothing on its sheet yet.
    ///
    /// # Errors
    /// `id` or `name` is not one.
    pub fn new(id: impl Into<String>, name: impl Into<String>, invented: bool) -> Result<Self, Fault> {
        let (id, name) = (id.into(), name.into());
        check_id(&id)?;
        check_name(&name)?;
        Ok(Self { id, name, invented, sheet: BTreeMap::new() })
    }

    /// The entry of a field; `None` if it is not on the sheet.
    #[must_use]
    pub fn get(&self, field: &str) -> Option<&Entry> {
        self.sheet.get(field)
    }

    /// The number of a field: a number, a count, a single ratio.
    #[must_use]
    pub fn number(&self, field: &str) -> Option<f64> {
        self.get(field)?.value.number()
    }

    /// The count of a field.
    #[must_use]
    pub fn whole(&self, field: &str) -> Option<u32> {
        match self.get(field)?.value {
            Value::Whole(count) => Some(count),
            _ => None,
        }
    }

    /// The word or text of a field.
    #[must_use]
    pub fn word(&self, field: &str) -> Option<&str> {
        match &self.get(field)?.value {
            Value::Word(text) | Value::Text(text) => Some(text),
            _ => None,
        }
    }

    /// The yes or no of a field.
    #[must_use]
    pub fn flag(&self, field: &str) -> Option<bool> {
        match self.get(field)?.value {
            Value::Flag(flag) => Some(flag),
            _ => None,
        }
    }

    /// What is on the sheet, in the order of [`FIELDS`].
    pub fn entries(&self) -> impl Iterator<Item = (&'static BikeField, &Entry)> {
        FIELDS.iter().filter_map(|field| Some((field, self.get(field.name)?)))
    }

    /// The entry that answers a figure of the job library ("rear-axle-torque"), with its field.
    pub fn answering(&self, job_figure: &str) -> impl Iterator<Item = (&'static BikeField, &Entry)> {
        self.entries().filter(move |(field, _)| field.job_figure == Some(job_figure))
    }

    /// Puts one value on the sheet, in place of the one that is there.
    ///
    /// # Errors
    /// The field is unknown, the value is not one of it, or it goes against another field; the sheet is then unchanged.
    pub fn set(&mut self, field: &str, value: Value, source: Option<String>) -> Result<(), Fault> {
        self.change(&[Change { field: field.to_owned(), value: Some(value), source }])
            .map_err(|faults| faults.into_iter().next().unwrap_or_else(|| Fault::new(field, "wrong_type", field)))
    }

    /// Makes several changes at once; what ties fields is checked after all of them. All or nothing.
    ///
    /// # Errors
    /// Every fault; the sheet is then unchanged.
    pub fn change(&mut self, changes: &[Change]) -> Result<(), Vec<Fault>> {
        let (mut faults, mut sheet) = (Vec::new(), self.sheet.clone());
        for change in changes {
            match checked(change) {
                Ok((name, Some(entry))) => drop(sheet.insert(name, entry)),
                Ok((name, None)) => drop(sheet.remove(name)),
                Err(fault) => faults.push(fault),
            }
        }
        faults.extend(ties::faults(&sheet));
        if faults.is_empty() {
            self.sheet = sheet;
            Ok(())
        } else {
            Err(faults)
        }
    }
}

/// The field of a change and its entry, checked by themselves.
fn checked(change: &Change) -> Result<(&'static str, Option<Entry>), Fault> {
    let field = known(&change.field)?;
    let Some(value) = &change.value else { return Ok((field.name, None)) };
    field.check(value)?;
    if let Some(source) = &change.source {
        check_source(field.name, source)?;
    }
    Ok((field.name, Some(Entry { value: value.clone(), source: change.source.clone() })))
}

/// The field of a name.
///
/// # Errors
/// There is none; the nearest one is named.
pub fn known(name: &str) -> Result<&'static BikeField, Fault> {
    field(name).ok_or_else(|| unknown(name))
}

/// The fault of a name that is no field, with the nearest one.
fn unknown(name: &str) -> Fault {
    let advice = match nearest(name) {
        Some(near) => format!("Did you mean {} ({})?", near.name, near.word),
        None => "`tightspot bike show --missing` lists the fields.".to_owned(),
    };
    Fault::new(name, "unknown_field", format!("{name} is no field of the sheet. {advice}"))
}

fn check_source(field_name: &str, source: &str) -> Result<(), Fault> {
    if field::is_line(source, field::TEXT_LIMIT) {
        return Ok(());
    }
    Err(Fault::new(
        field_name,
        "not_text",
        format!("The source of {field_name} is \"{source}\"; give one line of up to 200 characters, or leave it out."),
    ))
}

/// Checks a bike's id.
///
/// # Errors
/// It is empty, too long, or holds something else than lower-case letters, digits and hyphens.
pub fn check_id(id: &str) -> Result<(), Fault> {
    let letters = id.bytes().all(|byte| byte.is_ascii_lowercase() || byte.is_ascii_digit() || byte == b'-');
    let ends = !id.starts_with('-') && !id.ends_with('-');
    if letters && ends && (1..=ID_LIMIT).contains(&id.len()) {
        return Ok(());
    }
    Err(Fault::new(
        "id",
        "not_text",
        format!(
            "id is \"{id}\"; possible: 1 to {ID_LIMIT} lower-case letters, digits and inner hyphens, as alder-350."
        ),
    ))
}

/// Checks a bike's name.
///
/// # Errors
/// It is empty, too long, or no single line.
pub fn check_name(name: &str) -> Result<(), Fault> {
    if field::is_line(name, NAME_LIMIT) {
        return Ok(());
    }
    Err(Fault::new(
        "name",
        "not_text",
        format!("name is \"{name}\"; possible: one line of 1 to {NAME_LIMIT} characters."),
    ))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn bike() -> Bike {
        Bike::new("b", "B", false).unwrap()
    }

    fn put(field: &str, value: Value) -> Change {
        Change { field: field.to_owned(), value: Some(value), source: None }
    }

    #[test]
    fn a_value_outside_its_bound_is_refused_with_what_is_possible() {
        let fault = bike().set("front_teeth", Value::Whole(140), None).expect_err("must be refused");
        assert_eq!((fault.field.as_str(), fault.code), ("front_teeth", "out_of_range"));
        assert!(fault.text.contains("140") && fault.text.contains("8 to 25"), "{}", fault.text);
        assert_eq!(bike().set("front_teeth", Value::Number(14.0), None).unwrap_err().code, "wrong_type");
        assert_eq!(bike().set("arm_mm", Value::Number(f64::NAN), None).unwrap_err().code, "out_of_range");
        assert!(bike().set("front_teth", Value::Whole(14), None).unwrap_err().text.contains("front_teeth"));
    }

    #[test]
    fn fields_that_do_not_fit_together_name_both_values() {
        let mut bike = bike();
        bike.set("slack_mm_min", Value::Number(88.0), None).unwrap();
        let before = bike.clone();
        let fault = bike.set("slack_mm_max", Value::Number(82.0), None).expect_err("must be refused");
        assert!(fault.text.contains("82") && fault.text.contains("88"), "{}", fault.text);
        assert_eq!(bike, before);
    }

    #[test]
    fn engine_speeds_are_compared_with_the_nearest_that_is_known() {
        let mut bike = bike();
        bike.set("idle_rpm", Value::Number(3000.0), None).unwrap();
        assert_eq!(bike.set("hi_rpm", Value::Number(2500.0), None).unwrap_err().code, "against");
        bike.set("hi_rpm", Value::Number(9000.0), None).unwrap();
        assert_eq!(bike.set("lo_rpm", Value::Number(9000.0), None).unwrap_err().field, "hi_rpm");
    }

    #[test]
    fn a_size_and_a_pitch_say_the_same() {
        let mut bike = bike();
        bike.set("size", Value::Word("520".into()), None).unwrap();
        bike.set("pitch_mm", Value::Number(15.88), None).unwrap();
        let fault = bike.set("pitch_mm", Value::Number(12.7), None).expect_err("must be refused");
        assert!(fault.text.contains("12.7") && fault.text.contains("520") && fault.text.contains("15.875"));
    }

    #[test]
    fn a_band_is_moved_past_itself_in_one_change_but_not_in_two() {
        let mut bike = bike();
        bike.change(&[put("slack_mm_min", Value::Number(82.0)), put("slack_mm_max", Value::Number(88.0))]).unwrap();
        assert!(bike.set("slack_mm_min", Value::Number(95.0), None).is_err());
        bike.change(&[put("slack_mm_min", Value::Number(95.0)), put("slack_mm_max", Value::Number(105.0))]).unwrap();
        assert_eq!(bike.number("slack_mm_max"), Some(105.0));
    }

    #[test]
    fn a_field_is_taken_off_the_sheet_by_a_change_without_value() {
        let mut bike = bike();
        bike.set("links", Value::Whole(118), Some("counted".into())).unwrap();
        bike.change(&[Change { field: "links".into(), value: None, source: None }]).unwrap();
        assert_eq!(bike.get("links"), None);
        assert_eq!(bike.entries().count(), 0);
    }

    #[test]
    fn every_torque_of_the_job_library_has_its_field() {
        let folder = format!("{}/../../data/jobs", env!("CARGO_MANIFEST_DIR"));
        let mut seen = 0;
        for file in std::fs::read_dir(folder).unwrap() {
            let text = std::fs::read_to_string(file.unwrap().path()).unwrap();
            for block in text.split("[[figure]]").skip(1).filter(|block| block.contains("kind = \"torque\"")) {
                let id = block.split('"').nth(1).unwrap();
                // A list of fasteners, not one figure.
                if id != "check-torques" {
                    assert!(FIELDS.iter().any(|field| field.job_figure == Some(id)), "{id} has no field");
                    seen += 1;
                }
            }
        }
        assert!(seen > 30, "only {seen} torques found");
    }

    #[test]
    fn a_source_is_one_line_of_text_and_nothing_changes_with_another() {
        let with_source = |source: String| {
            let mut bike = bike();
            let change = Change { field: "links".into(), value: Some(Value::Whole(116)), source: Some(source) };
            let refused = bike.change(&[change]).is_err();
            (refused, bike.whole("links") == Some(116))
        };
        for good in ["the manual, page 3".to_owned(), "x".repeat(field::TEXT_LIMIT)] {
            assert_eq!(with_source(good.clone()), (false, true), "{good:?}");
        }
        for bad in ["two\nlines".to_owned(), "x".repeat(field::TEXT_LIMIT + 1)] {
            assert_eq!(with_source(bad.clone()), (true, false), "{bad:?}");
        }
    }

    #[test]
    fn ids_and_names_end_at_their_limits() {
        for (id, good) in
            [("a", true), ("alder-350", true), ("", false), ("-a", false), ("a-", false), ("A", false), ("a b", false)]
        {
            assert_eq!(check_id(id).is_ok(), good, "{id}");
        }
        assert!(check_id(&"a".repeat(ID_LIMIT)).is_ok() && check_id(&"a".repeat(ID_LIMIT + 1)).is_err());
        assert!(check_name(&"é".repeat(NAME_LIMIT)).is_ok() && check_name(&"é".repeat(NAME_LIMIT + 1)).is_err());
        assert!(check_name("two\nlines").is_err() && check_name("").is_err());
    }
}
