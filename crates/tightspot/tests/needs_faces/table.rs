//! One row a need: what is typed into each face, and the words that must be read there.

use std::path::Path;

/// One example of a need.
pub(crate) struct Need {
    /// Its name in the examples.
    pub(crate) case: &'static str,
    /// Values that the example gives, as they stand there.
    pub(crate) given: &'static [&'static str],
    /// The commands, the last of which answers.
    pub(crate) commands: &'static [&'static str],
    /// The forms: path and fields, the last of which answers.
    pub(crate) forms: &'static [(&'static str, &'static str)],
    /// What a person must read.
    pub(crate) words: &'static [&'static str],
}

/// All examples.
pub(crate) fn examples() -> Vec<serde_json::Value> {
    let place = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../checks/needs/examples.json");
    serde_json::from_str(&std::fs::read_to_string(place).expect("the examples")).expect("a list")
}

const SLACK: &str = "/drive/measure/slack";
const LENGTH: &str = "/drive/measure/elongation";
const METER: &str = "/drive/measure/meter";
const LOG: &str = "/rides/log";

/// The needs that belong to the record. Of a tight spot the examples give half the range of the surplus; what is read is
/// that over the cosine of the run's angle, up to 1 % more, within the examples' own tolerance.
pub(crate) const NEEDS: &[Need] = &[
    Need {
        case: "n01-1",
        given: &["70.0"],
        commands: &["drive measure slack 70"],
        forms: &[(SLACK, "slack_1=70&kind=free")],
        words: &["Not ready", "1.06 mm of chain short", "79.6 mm on the stand is just taut"],
    },
    Need {
        case: "n01-2",
        given: &["85.0"],
        commands: &["drive measure slack 85"],
        forms: &[(SLACK, "slack_1=85&kind=free")],
        words: &["Ready", "0.65 mm of chain left", "29.7 mm of slack"],
    },
    Need {
        case: "n01-5",
        given: &["72.0"],
        commands: &["drive measure slack 72"],
        forms: &[(SLACK, "slack_1=72&kind=free")],
        words: &["Not ready", "0.85 mm of chain short"],
    },
    Need {
        case: "n02-2",
        given: &["3 fingers"],
        commands: &["ready --slack 3_fingers"],
        forms: &[(SLACK, "slack_1=3+fingers&kind=free")],
        words: &["fingers"],
    },
    Need {
        case: "n09-2",
        given: &["319.4,320.9,319.8", "0.5"],
        commands: &["drive measure elongation 319.4 320.9 319.8 --error 0.5 --step 0.5"],
        forms: &[(LENGTH, "pitches=20&length_1=319,4&length_2=320,9&length_3=319,8&instrument=rule")],
        words: &["Ready with care", "at the limit within reading error", "1.07", "0.16 %", "0.60", "0.72"],
    },
    Need {
        case: "n11-1",
        given: &["301.9"],
        commands: &["drive measure elongation 301.9 --error 0.05 --step 0.01"],
        forms: &[(LENGTH, "pitches=20&length_1=301.9&instrument=calliper")],
        words: &["Not ready", "looks like 19", "0.09 %", "count again"],
    },
    Need {
        case: "n11-2",
        given: &["334.6"],
        commands: &["drive measure elongation 334.6 --error 0.05 --step 0.01"],
        forms: &[(LENGTH, "pitches=20&length_1=334.6&instrument=calliper")],
        words: &["Not ready", "looks like 21", "0.37 %"],
    },
    Need {
        case: "n14-1",
        given: &["84.0", "98.0"],
        commands: &["drive measure slack 84 98"],
        forms: &[(SLACK, "slack_1=84&slack_2=98&kind=free")],
        words: &["Not ready", "Tight spot", "0.94 mm at the axle"],
    },
    Need {
        case: "n14-2",
        given: &["84,83,86,90,94,97,97,95,90,86,83,84", "12"],
        commands: &["drive measure slack 84 83 86 90 94 97 97 95 90 86 83 84 --step-links 12"],
        forms: &[(
            SLACK,
            "places=12&kind=free&step_links=12&slack_1=84&slack_2=83&slack_3=86&slack_4=90&slack_5=94&slack_6=97&slack_7=97&slack_8=95&slack_9=90&slack_10=86&slack_11=83&slack_12=84",
        )],
        words: &["Not ready", "0.93 mm at the axle", "the chain's own loop", "2 and 11 (83.0 mm)"],
    },
    Need {
        case: "n14-3",
        given: &["90,86,82,86", "12"],
        commands: &["drive measure slack 90 86 82 86 90 86 82 86 90 86 82 86 --step-links 12"],
        forms: &[(
            SLACK,
            "places=12&kind=free&step_links=12&slack_1=90&slack_2=86&slack_3=82&slack_4=86&slack_5=90&slack_6=86&slack_7=82&slack_8=86&slack_9=90&slack_10=86&slack_11=82&slack_12=86",
        )],
        words: &["0.51 mm at the axle", "every turn of the wheel: rear sprocket, hub or bearing"],
    },
    Need {
        case: "n30-1",
        given: &["213.8", "3.1"],
        commands: &["drive meter 213.8", "drive meter --swap 213.8 0", "drive meter 3.1"],
        forms: &[(METER, "hours=213.8"), (METER, "swapped=yes&old=213.8&new=0"), (METER, "hours=3.1")],
        words: &["216.9 h"],
    },
    Need {
        case: "n30-2",
        given: &["3.1", "2.0"],
        commands: &["drive meter 3.1", "drive meter 2.0"],
        forms: &[(METER, "hours=3.1"), (METER, "hours=2.0")],
        words: &["went back 1.1 h", "it showed 3.1 h", "2 h is given"],
    },
    Need {
        case: "n32-1",
        given: &["2:45", "bog", "clunk"],
        commands: &["ride log --hours 2:45 --ground bog --wet --odd clunk"],
        forms: &[(LOG, "at=&hours=2:45&ground=&other_ground=bog&wet=wet&odd=clunk")],
        words: &["2.75 h, bog, wet, odd: clunk", "Inspection: clunk"],
    },
    Need {
        case: "n55-1",
        given: &["0.62", "0.32"],
        commands: &["drive measure elongation 319.47 --error 0.5", "drive measure elongation 318.2 --error 0.5"],
        forms: &[
            (LENGTH, "pitches=20&length_1=319.47&instrument=rule"),
            (LENGTH, "pitches=20&length_1=318.2&instrument=rule"),
        ],
        words: &["lower than last time", "Both are kept"],
    },
];
