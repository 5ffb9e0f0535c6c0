//! The sheet as a file: readable TOML, one table a section, a line a figure, `[source]` with where each stands.
//!
//! ```toml
//! schema = 1
//! [bike]
//! id = "alder-350"
//! [sheet]
//! slack_mm_min = 82.0       # least slack, mm
//! [source]
//! slack_mm_min = "manual, p. 12"
//! ```
//!
//! A `source` line inside a section stands for every figure of that section that has no line of its own in `[source]`.

mod read;
mod write;

/// The version of the file's form.
const SCHEMA: u32 = 1;

#[cfg(test)]
mod tests {
    use crate::bike::{Bike, Ratio, Value};

    fn shipped(name: &str) -> String {
        let path = format!("{}/../../data/bikes/{name}.toml", env!("CARGO_MANIFEST_DIR"));
        std::fs::read_to_string(path).unwrap()
    }

    fn faults(text: &str) -> Vec<(String, &'static str, Option<usize>)> {
        let faults = Bike::from_toml(text).expect_err("must be refused");
        faults.into_iter().map(|fault| (fault.field, fault.code, fault.line)).collect()
    }

    #[test]
    fn shipped_sheets_load_and_keep_their_sources() {
        let alder = Bike::from_toml(&shipped("alder-350")).unwrap();
        assert_eq!((alder.id.as_str(), alder.name.as_str(), alder.invented), ("alder-350", "Alder 350", true));
        assert_eq!(alder.whole("links"), Some(118));
        assert_eq!(alder.number("slack_mm_min"), Some(82.0));
        assert_eq!(alder.word("rear_tyre"), Some("140/80-18"));
        let source = |field: &str| alder.get(field).and_then(|entry| entry.source.clone());
        assert_eq!(source("slack_mm_max").as_deref(), Some("invented sheet, page 1"));
        assert_eq!(source("rollout_m").as_deref(), Some("measured, rider on, 5 turns"));
        assert_eq!(source("links"), None);
        let sorrel = Bike::from_toml(&shipped("sorrel-250")).unwrap();
        assert_eq!(sorrel.get("primary").unwrap().value, Value::Ratio(Ratio::Teeth { driver: 25, driven: 71 }));
        assert_eq!(sorrel.get("slack_mm_min"), None);
    }

    #[test]
    fn a_written_sheet_reads_back_the_same_and_is_written_the_same() {
        for name in ["alder-350", "sorrel-250"] {
            let bike = Bike::from_toml(&shipped(name)).unwrap();
            let written = bike.to_toml();
            let again = Bike::from_toml(&written).unwrap();
            assert_eq!(again, bike);
            assert_eq!(again.to_toml(), written);
        }
    }

    #[test]
    fn quotes_and_backslashes_survive_the_file() {
        let mut bike = Bike::new("a", "Say \"hi\" \\ there", false).unwrap();
        bike.set("slack_place", Value::Text("at \"B\" # mark \\".into()), Some("p. \"12\"".into())).unwrap();
        assert_eq!(Bike::from_toml(&bike.to_toml()).unwrap(), bike);
    }

    #[test]
    fn all_faults_are_named_with_their_lines() {
        let text = "schema = 1\n[bike]\nid = \"A B\"\nname = \"x\"\n[drive]\nfront_teeth = 2\nrear_teth = 48\nlinks = 118.0\n\
                    joint = \"glue\"\narm_mm = 600\n[gearbox]\nidle_rpm = 3000\nslip_rpm = 2000\n[source]\nlinks = \"x\"\npitch_mm = \"y\"\n";
        let mut found = faults(text);
        found.sort();
        let line = |field: &str, code, line| (field.to_owned(), code, Some(line));
        let mut wanted = vec![
            line("id", "not_text", 3),
            line("front_teeth", "out_of_range", 6),
            line("rear_teth", "unknown_field", 7),
            line("links", "wrong_type", 8),
            line("joint", "no_such_word", 9),
            line("arm_mm", "wrong_section", 10),
            line("slip_rpm", "against", 13),
            line("pitch_mm", "source_alone", 16),
        ];
        wanted.sort();
        assert_eq!(found, wanted);
    }

    #[test]
    fn a_file_that_is_no_sheet_says_so() {
        assert_eq!(faults("")[0], ("schema".into(), "missing", None));
        assert_eq!(faults("schema = 2\n")[0].1, "newer_schema");
        assert_eq!(faults("schema = 1\n[bike\n")[0], ("file".into(), "no_toml", Some(2)));
        assert_eq!(faults("schema = 1\n[bike]\nid='a'\nname='b'\nid='c'\n")[0].2, Some(5));
        let odd = faults("schema = 1\n[bike]\nid='a'\nname='b'\n[engine]\nx=1\n");
        assert_eq!(odd[0], ("engine".into(), "unknown_section", Some(5)));
    }

    #[test]
    fn numbers_that_are_none_and_lists_of_the_wrong_shape_are_refused() {
        let sheet = |line: &str| format!("schema = 1\n[bike]\nid='a'\nname='b'\n{line}\n");
        for line in [
            "[swingarm]\narm_mm = nan",
            "[swingarm]\narm_mm = '605'",
            "[swingarm]\narm_mm = 2024-01-01",
            "[drive]\nlinks = -118",
            "[drive]\nlinks = 99999999999",
            "[drive]\nsealed = 1",
            "[gearbox]\ngears = []",
            "[gearbox]\ngears = [1.0, 2.0]",
            "[gearbox]\ngears = [[14, 31, 2]]",
            "[gearbox]\nprimary = [25]",
            "[gearbox]\ncurve = [[2000, 17], [3000, 23]]",
            "[gearbox]\ncurve = [[2000, 17], [2000, 23], [3000, 20]]",
            "[gearbox]\ncurve = [[2000, 17], [2500, 23, 1], [3000, 20]]",
        ] {
            assert_eq!(faults(&sheet(line))[0].2, Some(6), "{line}");
        }
    }

    #[test]
    fn a_value_of_another_kind_is_named_as_it_stands_in_the_file() {
        let text = shipped("alder-350");
        for (given, said) in [
            ("\"many\"", "the text \"many\""),
            ("118.5", "118.5"),
            ("true", "true"),
            ("2026-05-01", "a date"),
            ("[118, 120]", "a list of 2 that does not fit"),
            ("{ a = 1 }", "a table"),
        ] {
            let changed = text.replace("links = 118", &format!("links = {given}"));
            let told = Bike::from_toml(&changed).expect_err("must be refused");
            assert!(told.iter().any(|fault| fault.field == "links" && fault.text.contains(said)), "{given}: {told:?}");
        }
        let told = Bike::from_toml(&text.replace("invented = true", "invented = 7")).expect_err("must be refused");
        assert!(told.iter().any(|fault| fault.text == "invented is 7; write true or false."), "{told:?}");
        let told = Bike::from_toml(&text.replace("size = \"520\"", "size = 520")).expect_err("must be refused");
        assert!(told.iter().any(|fault| fault.field == "size" && fault.text.contains("520")), "{told:?}");
    }
}
