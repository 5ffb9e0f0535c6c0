//! The same answers in inches: every figure turned once, from its full number, on every face; programs see none of it.

use serde_json::Value;

use crate::serving::{DEMO, QUESTIONS, Serving, command, one_line, words};

const INCH: [&str; 3] = ["--demo", "--units", "inch"];

/// Every figure with its unit in its name: the name, and the number in full.
fn named<'a>(value: &'a Value, found: &mut Vec<(&'a str, &'a str, f64)>) {
    match value {
        Value::Object(members) => {
            if let (Some(key), Some(text), Some(number)) =
                (value["key"].as_str(), value["text"].as_str(), value["value"].as_f64())
            {
                found.push((key, text, number));
            }
            members.values().for_each(|member| named(member, found));
        }
        Value::Array(items) => items.iter().for_each(|item| named(item, found)),
        _ => {}
    }
}

/// What a figure is called in inches, worked out here from its number: an inch is 25.4 mm, a mile 1.609344 km.
fn expected(key: &str, text: &str, number: f64) -> Option<String> {
    let decimals = text.split(' ').next()?.split_once('.').map_or(0, |(_, behind)| behind.len());
    let (value, decimals, unit) = match key {
        _ if text.ends_with(" mm") && key.ends_with("_mm") => (number / 25.4, decimals + 2, "in"),
        _ if text.ends_with(" km/h") && key.ends_with("_kmh") => (number / 1.609_344, decimals, "mph"),
        _ => return None,
    };
    Some(format!("{value:.decimals$} {unit}").replacen('-', "−", 1))
}

#[test]
fn every_figure_in_inches_is_its_full_number_turned_once_on_page_and_command() {
    let served = Serving::start(&DEMO);
    let mut compared = 0;
    for (args, page, _) in QUESTIONS {
        let answer: Value = serde_json::from_str(&command(&DEMO, args, &["--json"])).expect("JSON");
        let metric = one_line(&command(&DEMO, args, &[]));
        let printed = one_line(&command(&INCH, args, &[]));
        let shown = words(&served.get_as(page, "units=inch"));
        let mut all = Vec::new();
        named(&answer, &mut all);
        for (key, text, number) in all.into_iter().filter(|(_, text, _)| metric.contains(text)) {
            let Some(wanted) = expected(key, text, number) else { continue };
            assert!(printed.contains(&wanted), "{args:?}: {key} is {text}; {wanted} is not printed:\n{printed}");
            assert!(shown.contains(&wanted), "{page}: {key} is {text}; {wanted} is not shown");
            compared += 1;
        }
    }
    assert!(compared >= 10, "only {compared} figures were compared");
}

#[test]
fn no_figure_stays_in_millimetres_where_inches_are_read() {
    // Sizes of tools are names, not lengths: a 32 mm wrench is none of 1.26 in.
    let is_name = |line: &str| line.contains("Socket set") || line.contains("kg·m²");
    let questions: [&[&str]; 12] = [
        &["ready"],
        &["ready", "--slack", "72"],
        &["drive", "slack", "--reading", "85", "--left", "600", "--right", "601"],
        &["drive", "history"],
        &["gearing"],
        &["gearing", "fit", "--pair", "14/51"],
        &["gearing", "map"],
        &["job", "plan", "--pair", "13/48"],
        &["parts", "--pair", "13/48"],
        &["parts", "check", "chain", "--pair", "14/51", "--size", "520", "--outer-width", "28.5 mm"],
        &["ride", "list"],
        &["bike", "show", "alder-350"],
    ];
    for args in questions {
        let inches = command(&INCH, args, &[]);
        let left: Vec<&str> = inches.lines().filter(|line| !is_name(line) && has_metric(line)).collect();
        assert!(left.is_empty(), "{args:?}: {left:#?}");
        assert_ne!(inches, command(&DEMO, args, &[]), "{args:?} shows no length at all");
    }
}

fn has_metric(line: &str) -> bool {
    let words: Vec<&str> = line.split_whitespace().collect();
    words.windows(2).any(|two| {
        let unit = two[1].trim_end_matches(['.', ',', ';', ':', ')']);
        two[0].ends_with(|letter: char| letter.is_ascii_digit()) && matches!(unit, "mm" | "km/h" | "km" | "kg")
    })
}

#[test]
fn programs_are_answered_in_the_units_of_the_names_whatever_is_read() {
    let served = Serving::start(&INCH);
    for (args, page, api) in QUESTIONS {
        let json = command(&DEMO, args, &["--json"]);
        assert_eq!(command(&INCH, args, &["--json"]), json, "{args:?}");
        let by_api: Value = serde_json::from_str(&served.get_as(api, "units=inch")).expect("JSON");
        let by_command: Value = serde_json::from_str(&json).expect("JSON");
        assert_eq!(by_api, by_command, "{api}");
        // The last column of a plain record is the number that its name speaks of.
        let number = |text: &str| -> Vec<String> {
            let lines = text.lines().filter(|line| line.starts_with("fact\t"));
            lines.filter_map(|line| line.rsplit_once('\t').map(|(_, number)| number.to_owned())).collect()
        };
        let plain = [&DEMO[..], &INCH[..]].map(|place| number(&command(place, args, &["--plain"])));
        assert_eq!(plain[0], plain[1], "{args:?}");
        // What the program was started with holds for pages until a browser says otherwise.
        assert_ne!(words(&served.get(page)), words(&served.get_as(page, "units=mm")), "{page}");
    }
}

#[test]
fn what_is_typed_in_inches_is_understood_once_and_stands_in_its_field_again() {
    let served = Serving::start(&DEMO);
    // A field read in inches brings its unit along; the same slack typed in millimetres gives the same answer.
    let typed = "/drive?slack_mm=3.35&unit.slack_mm=in";
    let same = "/drive?slack_mm=85.09";
    let figures = |page: &str| {
        let shown = served.get_as(page, "units=inch");
        let from = shown.find("class=\"figures\"").expect("figures");
        words(&shown[from..])
    };
    assert_eq!(figures(typed), figures(same));
    let field = |page: &str, cookie: &str| {
        let shown = served.get_as(page, cookie);
        let at = shown.find("id=\"slack_mm\"").expect("the field");
        let end = shown[at..].find("</div>").expect("its end") + at;
        shown[at..end].to_owned()
    };
    let inch = field(typed, "units=inch");
    assert!(inch.contains("value=\"3.35\"") && inch.contains("name=\"unit.slack_mm\" value=\"in\""), "{inch}");
    // Switched over, what was typed still says what it means; a number of the record keeps all its digits.
    let metric = field(typed, "units=mm");
    assert!(metric.contains("value=\"3.35 in\"") && !metric.contains("unit.slack_mm"), "{metric}");
    let kept = field(same, "units=inch");
    assert!(kept.contains("value=\"85.09 mm\""), "{kept}");
    assert!(words(&served.get_as(typed, "units=inch")).contains("= 85.09 mm (3.350 in)"));
}

#[test]
fn what_a_page_works_out_apart_is_read_in_the_units_of_the_page() {
    fn walk(folder: &std::path::Path, found: &mut Vec<String>) {
        for path in std::fs::read_dir(folder).expect("a folder").map(|entry| entry.expect("an entry").path()) {
            if path.is_dir() {
                walk(&path, found);
                continue;
            }
            let text = std::fs::read_to_string(&path).expect("text");
            if ["spawn_blocking", "thread::spawn"].iter().any(|way| text.contains(way)) {
                found.push(path.file_name().expect("a name").to_string_lossy().into_owned());
            }
        }
    }
    let mut apart = Vec::new();
    walk(&std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("src/pages"), &mut apart);
    apart.sort_unstable();
    // These three say no quantity: reading files in, and passwords. All others go by `serve::beside`.
    assert_eq!(apart, ["batch.rs", "password.rs", "sign_in.rs"]);
}
