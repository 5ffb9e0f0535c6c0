//! Sets by command: kept together, put on as one act with each part's hours, taken back as one.

use serde_json::Value;

use crate::shed::Shed as Folder;

/// A record with two sets' worth of parts.
struct Shed(Folder);

impl Shed {
    fn new(name: &str) -> Self {
        let shed = Self(Folder::new(&format!("sets-{name}")));
        let on = [["chain", "a", "118"], ["front", "fourteen", "14"], ["rear", "forty-eight", "48"]];
        shed.good(&["drive", "meter", "100", "--at", "2026-05-01T10:00"]);
        for [role, name, count] in on {
            shed.good(&["drive", "fitted", role, name, "--count", count, "--at", "2026-05-01T10:00"]);
        }
        let off = [["chain", "b", "116", "12.5"], ["front", "thirteen", "13", "3"], ["rear", "fifty", "50", "3"]];
        for [role, name, count, used] in off {
            shed.good(&["drive", "shelf", role, name, "--count", count, "--used", used, "--at", "2026-05-01T11:00"]);
        }
        shed.good(&["drive", "sets", "keep", "dry", "--at", "2026-05-01T12:00"]);
        shed.good(&[
            "drive",
            "sets",
            "keep",
            "mud",
            "--chain",
            "b",
            "--front",
            "thirteen",
            "--rear",
            "fifty",
            "--at",
            "2026-05-01T12:00",
        ]);
        shed
    }

    fn good(&self, args: &[&str]) -> String {
        self.0.done(args)
    }

    fn refused(&self, args: &[&str]) -> String {
        self.0.why_not(args)
    }

    /// Every part of every set: set, part, hours, where.
    fn parts(&self) -> Vec<(String, String, f64, String)> {
        let view: Value = serde_json::from_str(&self.good(&["drive", "sets", "--json"])).expect("JSON");
        let mut all = Vec::new();
        for set in view["sets"].as_array().expect("sets") {
            for part in set["parts"].as_array().expect("parts") {
                let text = |value: &Value| value.as_str().expect("words").to_owned();
                let hours = part["hours_h"].as_f64().expect("hours");
                all.push((
                    text(&set["name"]),
                    text(&part["name"]),
                    (hours * 10.0).round() / 10.0,
                    text(&part["place"]),
                ));
            }
        }
        all
    }

    fn hours(&self) -> Vec<f64> {
        self.parts().into_iter().map(|(_, _, hours, _)| hours).collect()
    }

    fn sheet(&self) -> [u64; 3] {
        let sheet: Value = serde_json::from_str(&self.good(&["bike", "show", "--json"])).expect("JSON");
        ["front_teeth", "rear_teeth", "links"].map(|field| sheet["fields"][field].as_u64().expect("a count"))
    }
}

#[test]
fn a_set_goes_on_as_one_act_and_every_parts_hours_follow() {
    let shed = Shed::new("hours");
    // 10.4 h on what was fitted at 100 h; the shelf does not age.
    shed.good(&["drive", "meter", "110.4", "--at", "2026-05-10T10:00"]);
    assert_eq!(shed.hours(), [10.4, 10.4, 10.4, 12.5, 3.0, 3.0]);
    let tried = shed.good(&["drive", "sets", "on", "mud", "--at", "2026-05-10T11:00", "--dry-run"]);
    assert!(tried.contains("To the shelf: chain \"a\", 118, 10.4 h") && tried.contains("front_teeth = 13"), "{tried}");
    assert_eq!(shed.sheet(), [14, 48, 118], "a trial writes nothing");
    shed.good(&["drive", "sets", "on", "mud", "--at", "2026-05-10T11:00"]);
    assert_eq!(shed.sheet(), [13, 50, 116]);
    // Five hours on the other one.
    shed.good(&["drive", "meter", "115.4", "--at", "2026-05-17T10:00"]);
    let parts = shed.parts();
    let of = |name: &str| {
        parts.iter().find(|(_, part, ..)| part == name).map(|(_, _, hours, place)| (*hours, place.clone()))
    };
    assert_eq!(of("a"), Some((10.4, "on the shelf".to_owned())));
    assert_eq!(of("b"), Some((17.5, "on the bike".to_owned())));
    assert_eq!(of("fifty"), Some((8.0, "on the bike".to_owned())));
    // The meter of the day itself is counted in: 1.2 h more go to the mud set.
    shed.good(&["drive", "sets", "on", "dry", "--at", "2026-05-18T11:00", "--meter", "116.6"]);
    assert_eq!(shed.hours(), [10.4, 10.4, 10.4, 18.7, 9.2, 9.2]);
    assert_eq!(shed.sheet(), [14, 48, 118]);
}

#[test]
fn undoing_it_brings_parts_hours_and_sheet_back_as_one() {
    let shed = Shed::new("undo");
    shed.good(&["drive", "meter", "110.4", "--at", "2026-05-10T10:00"]);
    let before = (shed.parts(), shed.sheet());
    let told: Value =
        serde_json::from_str(&shed.good(&["drive", "sets", "on", "mud", "--at", "2026-05-10T11:00", "--json"]))
            .expect("JSON");
    assert_ne!((shed.parts(), shed.sheet()), before);
    shed.good(&["bike", "undo", &told["change"].to_string()]);
    assert_eq!((shed.parts(), shed.sheet()), before);
}

#[test]
fn a_set_put_on_is_not_ready_until_what_safety_hangs_on_is_confirmed() {
    let shed = Shed::new("checks");
    shed.good(&["drive", "sets", "on", "mud", "--at", "2026-05-10T11:00"]);
    let answer = shed.good(&["ready"]);
    for words in ["not confirmed: joint of the chain", "rear brake", "front sprocket held", "Not ready"] {
        assert!(answer.contains(words), "{words}: {answer}");
    }
    let missing = shed.refused(&["drive", "sets", "on", "dry", "--check", "axle=set"]);
    assert!(missing.contains("rear_axle_torque_nm") || missing.contains("torque"), "{missing}");
    shed.good(&[
        "job",
        "check",
        "joint=closed-end-leads",
        "brake=firm",
        "axle=set:100",
        "rear-fasteners=set:35",
        "front-ring=seated-full-circle",
        "--at",
        "2026-05-10T12:00",
    ]);
    let answer = shed.good(&["ready"]);
    assert!(!answer.contains("not confirmed"), "{answer}");
}

#[test]
fn taken_off_the_work_stays_open_until_a_set_is_on() {
    let shed = Shed::new("off");
    shed.good(&["drive", "meter", "104", "--at", "2026-05-08T10:00"]);
    shed.good(&["drive", "sets", "off", "--at", "2026-05-10T11:00"]);
    assert_eq!(shed.hours()[..3], [4.0, 4.0, 4.0]);
    assert!(shed.parts().iter().all(|(.., place)| place == "on the shelf"));
    assert!(shed.good(&["ready"]).contains("Drive apart since 2026-05-10"));
    assert!(shed.refused(&["drive", "sets", "off"]).contains("No chain or sprocket is recorded"));
    shed.good(&["drive", "sets", "on", "dry", "--at", "2026-05-11T11:00"]);
    assert!(!shed.good(&["ready"]).contains("Drive apart since"));
    assert_eq!(shed.hours()[..3], [4.0, 4.0, 4.0], "what lay on the shelf did not run");
}

#[test]
fn what_cannot_be_is_refused_with_what_to_do() {
    let shed = Shed::new("refused");
    assert!(shed.refused(&["drive", "sets", "on", "sand"]).contains("there: \"dry\" and \"mud\""));
    assert!(shed.refused(&["drive", "sets", "on", "dry"]).contains("is on the bike"));
    assert!(shed.refused(&["drive", "sets", "keep", "x", "--chain", "none such"]).contains("No chain is called"));
    assert!(
        shed.refused(&["drive", "sets", "keep", "x", "--front", "-", "--rear", "-"]).contains("two parts or three")
    );
    // Somebody changed the sprocket on the sheet alone: what is on is not what was recorded.
    shed.good(&["bike", "set", "front_teeth=15"]);
    let refused = shed.refused(&["drive", "sets", "on", "mud"]);
    assert!(refused.contains("The bike sheet says 15") && refused.contains("drive fitted"), "{refused}");
    shed.good(&["bike", "set", "front_teeth=14"]);
    let typo = shed.refused(&["drive", "shelf", "chain", "bb", "--gone"]);
    assert!(
        typo.contains("name: chain \"bb\"") && typo.contains("There lay: chain \"b\", front \"thirteen\""),
        "{typo}"
    );
    assert!(shed.refused(&["drive", "shelf", "chain", "a", "--gone"]).contains("was on the bike by the record"));
    assert!(!shed.good(&["drive", "sets"]).contains("no longer there"), "a refusal stored something");
    shed.good(&["drive", "shelf", "chain", "b", "--gone"]);
    assert!(shed.refused(&["drive", "shelf", "chain", "b", "--gone"]).contains("was gone by the record already"));
    assert!(shed.refused(&["drive", "sets", "on", "mud"]).contains("no longer there"));
    shed.good(&["drive", "sets", "forget", "mud", "--dry-run"]);
    shed.good(&["drive", "sets", "forget", "mud"]);
    assert!(shed.parts().iter().all(|(set, ..)| set == "dry"));
}
