//! A bench plan on all four faces: the figures to set, what it takes and which parts, by page, command, API and PDF.

use std::fs;
use std::path::PathBuf;
use std::process::Command;

use serde_json::Value;

use crate::serving::{Serving, command, one_line, words};

/// A record whose bike has the manual's figures that the plan asks for; invented as the bike is.
struct Record {
    folder: PathBuf,
    store: String,
}

impl Record {
    fn new(name: &str) -> Self {
        let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(format!("sheet-{name}-{}", std::process::id()));
        let _ = fs::remove_dir_all(&folder);
        fs::create_dir_all(&folder).expect("a folder");
        let store = folder.join("record.tightspot").display().to_string();
        let record = Self { folder, store };
        let bike = format!("{}/../../data/bikes/alder-350.toml", env!("CARGO_MANIFEST_DIR"));
        command(&record.place(), &["bike", "import", &bike], &[]);
        let figures = [
            "rear_axle_torque_nm=97.3",
            "rear_sprocket_torque_nm=34.6",
            "front_sprocket_nut_torque_nm=61.2",
            "rear_caliper_torque_nm=23.9",
        ];
        command(&record.place(), &[&["bike", "set"], &figures[..]].concat(), &["--source", "invented sheet, page 3"]);
        record
    }

    fn place(&self) -> [&str; 2] {
        ["--store", &self.store]
    }

    /// The words of the sheet, read by another program.
    fn sheet(&self, pair: &str, more: &[&str]) -> String {
        let file = self.folder.join("sheet.pdf");
        let _ = fs::remove_file(&file);
        let out = file.display().to_string();
        command(&self.place(), &["job", "sheet", "--pair", pair, "--out", &out], more);
        read(&fs::read(&file).expect("the sheet"), &self.folder)
    }
}

impl Drop for Record {
    fn drop(&mut self) {
        let _ = fs::remove_dir_all(&self.folder);
    }
}

fn read(pdf: &[u8], folder: &std::path::Path) -> String {
    let file = folder.join("read.pdf");
    fs::write(&file, pdf).expect("written");
    let told = Command::new("pdftotext").arg("-raw").arg(&file).arg("-").output().expect("pdftotext");
    assert!(told.status.success(), "{}", String::from_utf8_lossy(&told.stderr));
    one_line(&String::from_utf8(told.stdout).expect("text"))
}

/// The figures of a plan as they are said: those to set with their values, links, minutes, parts.
fn said(plan: &Value) -> Vec<String> {
    let list = |value: &'_ Value| value.as_array().cloned().unwrap_or_default();
    let text = |value: &Value| value.as_str().expect("words").to_owned();
    let mut all: Vec<String> = Vec::new();
    for step in list(&plan["steps"]) {
        all.extend(list(&step["to_set"]).iter().map(|figure| text(&figure["value"])));
    }
    for row in list(&plan["parts"]["rows"]) {
        all.push(text(&row[2]["text"]));
    }
    let minutes = list(&plan["minutes_min"]);
    let end = |end: Option<&Value>| end.and_then(Value::as_f64).expect("minutes");
    all.push(format!("{:.0} to {:.0} min", end(minutes.first()), end(minutes.last())));
    all.retain(|figure| figure.contains(|letter: char| letter.is_ascii_digit()));
    all.sort();
    all.dedup();
    all
}

#[test]
fn k11_ten_figures_are_the_same_to_the_last_digit_on_page_command_api_and_sheet() {
    let record = Record::new("metric");
    let served = Serving::start(&record.place());
    let args = ["job", "plan", "--pair", "13/50"];
    let by_command: Value = serde_json::from_str(&command(&record.place(), &args, &["--json"])).expect("JSON");
    let asked = "front_teeth=13&rear_teeth=50";
    let by_api: Value = serde_json::from_str(&served.get(&format!("/api/v1/jobs/plan?{asked}"))).expect("JSON");
    assert_eq!(by_command, by_api);
    let figures = said(&by_command);
    assert!(figures.len() >= 10, "only {figures:#?}");
    let faces = [
        ("command", one_line(&command(&record.place(), &args, &[]))),
        ("page", words(&served.get(&format!("/jobs/plan?{asked}")))),
        ("sheet of the command", record.sheet("13/50", &[])),
        ("sheet of the page", read(&served.bytes(&format!("/jobs/plan.pdf?{asked}"), ""), &record.folder)),
    ];
    let missing: Vec<String> = figures
        .iter()
        .flat_map(|figure| faces.iter().map(move |(face, text)| (figure, face, text)))
        .filter(|(figure, _, text)| !text.contains(&one_line(figure)))
        .map(|(figure, face, _)| format!("{face}: \"{figure}\""))
        .collect();
    assert!(missing.is_empty(), "{missing:#?}\n{:#?}", faces[2]);
}

#[test]
fn a_sheet_in_inches_says_torque_in_both_scales_and_lengths_in_one() {
    let record = Record::new("inch");
    let sheet = record.sheet("13/50", &["--units", "inch"]);
    // 97.3 N·m is 97.3 / 1.3558179483314004 lbf ft; 82 mm is 3.228 in.
    for words in ["97.3 N·m (71.8 lbf ft)", "3.228 in", "3.465 in", "0.62500 in"] {
        assert!(sheet.contains(words), "{words} is not on the sheet:\n{sheet}");
    }
    assert!(!sheet.contains("82 mm") && !sheet.contains("88 mm"), "{sheet}");
}
