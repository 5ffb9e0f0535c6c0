//! Every field of the bike sheet to its very limits, and every tie between two of them.

use measure::Edge;
use upkeep::bike::{Bike, BikeField, Change, FIELDS, Kind, Ratio, Section, Value, field, known, nearest};

fn code(field: &BikeField, value: &Value) -> Option<&'static str> {
    field.check(value).err().map(|fault| {
        assert_eq!(fault.field, field.name);
        fault.code
    })
}

fn of(name: &str) -> &'static BikeField {
    field(name).expect("a field")
}

/// A value of every kind.
fn kinds() -> [Value; 8] {
    [
        Value::Number(1.0),
        Value::Whole(1),
        Value::Word("x".into()),
        Value::Text("x".into()),
        Value::Flag(true),
        Value::Ratio(Ratio::Number(1.0)),
        Value::Ratios(vec![Ratio::Number(1.0)]),
        Value::Curve(vec![[1000.0, 1.0], [2000.0, 1.0], [3000.0, 1.0]]),
    ]
}

#[test]
fn a_field_takes_its_own_kind_and_no_other() {
    for field in FIELDS {
        let own = match field.kind {
            Kind::Number(_) => 0,
            Kind::Whole(_) => 1,
            Kind::Word(_) => 2,
            Kind::Text => 3,
            Kind::Flag => 4,
            Kind::Ratio(_) => 5,
            Kind::Ratios(_) => 6,
            Kind::Curve => 7,
        };
        for (number, value) in kinds().iter().enumerate().filter(|(number, _)| *number != own) {
            assert_eq!(code(field, value), Some("wrong_type"), "{} {number}", field.name);
            let text = field.check(value).expect_err("another kind").text;
            assert!(text.contains(value.kind_word()) && text.contains(&field.possible()), "{text}");
        }
    }
}

#[test]
fn a_number_belongs_up_to_both_its_ends_and_not_past_them() {
    let mut seen = 0;
    for field in FIELDS {
        let Some(bound) = field.bound() else {
            assert!(matches!(field.kind, Kind::Word(_) | Kind::Text | Kind::Flag | Kind::Curve), "{}", field.name);
            continue;
        };
        let (Edge::At(low), Edge::At(high)) = (bound.low, bound.high) else { continue };
        let step = 1.0_f64.max(high.abs() * 1e-3);
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "counts are small and above zero")]
        let value = |number: f64| match field.kind {
            Kind::Number(_) => Value::Number(number),
            Kind::Whole(_) => Value::Whole(number as u32),
            Kind::Ratios(_) => Value::Ratios(vec![Ratio::Number(number)]),
            _ => Value::Ratio(Ratio::Number(number)),
        };
        assert_eq!([code(field, &value(low)), code(field, &value(high))], [None, None], "{}", field.name);
        for past in [low - step, high + step] {
            if past >= 0.0 || !matches!(field.kind, Kind::Whole(_)) {
                assert_eq!(code(field, &value(past)), Some("out_of_range"), "{} {past}", field.name);
            }
        }
        assert!(field.possible().contains(&bound.range()), "{}", field.name);
        seen += 1;
    }
    assert!(seen > 40, "{seen}");
}

#[test]
fn a_word_is_one_of_its_list_and_a_text_one_line() {
    for field in FIELDS {
        if let Kind::Word(words) = field.kind {
            assert!(words.iter().all(|word| code(field, &Value::Word((*word).into())).is_none()));
            assert_eq!(code(field, &Value::Word("xyzzy".into())), Some("no_such_word"));
            let possible = field.possible();
            assert!(words.iter().all(|word| possible.contains(word)));
            assert_eq!(possible.matches(", ").count() + possible.matches(" or ").count() + 1, words.len());
        }
    }
    assert_eq!(of("slack_kind").possible(), "free or gap");
    assert_eq!(of("slack_state").possible(), "stand, wheels on the ground or rider on");
    let text = |text: &str| code(of("slack_place"), &Value::Text(text.into()));
    assert_eq!([text("mid run"), text(&"é".repeat(200))], [None, None]);
    for wrong in ["", " ", " x", "x ", "two\nlines", "a\tb", &"é".repeat(201)] {
        assert_eq!(text(wrong), Some("not_text"), "{wrong:?}");
    }
    assert_eq!(of("slack_place").possible(), "text on one line, up to 200 characters");
    assert_eq!(of("sealed").possible(), "yes or no");
}

#[test]
fn gears_fall_one_by_one_and_teeth_are_those_of_a_gearbox() {
    let gears =
        |list: &[Ratio]| of("gears").check(&Value::Ratios(list.to_vec())).err().map(|fault| (fault.code, fault.text));
    let number = Ratio::Number;
    let falling: Vec<Ratio> = (0..8).map(|gear| number(3.0 - 0.2 * f64::from(gear))).collect();
    assert_eq!(gears(&falling), None);
    assert_eq!(gears(&falling[..1]), None);
    let nine: Vec<Ratio> = (0..9).map(|gear| number(3.0 - 0.2 * f64::from(gear))).collect();
    for (list, given) in [(&nine[..], "a list of 9"), (&[], "a list of 0")] {
        let (code, text) = gears(list).expect("a wrong list");
        assert!(code == "wrong_list" && text.contains(given), "{text}");
    }
    let (code, text) = gears(&[number(3.0), number(2.0), number(2.0)]).expect("equal");
    assert!(code == "wrong_list" && text.contains("gear 2 is 2, gear 3 is 2"), "{text}");
    let (code, text) = gears(&[number(2.0), number(2.5), number(1.0)]).expect("rising");
    assert!(code == "wrong_list" && text.contains("gear 1 is 2, gear 2 is 2.5"), "{text}");
    let teeth = |driver: u32, driven: u32| Ratio::Teeth { driver, driven };
    assert_eq!(gears(&[teeth(14, 31), teeth(15, 26)]), None);
    for (driver, driven, possible) in
        [(5, 10, true), (4, 10, false), (60, 120, true), (60, 121, false), (121, 120, false)]
    {
        let found = gears(&[teeth(driver, driven)]);
        assert_eq!(found.is_none(), possible, "{driver}:{driven} {found:?}");
        assert!(found.is_none_or(|(code, text)| code == "out_of_range" && text.contains("5 to 120")));
    }
    let (code, text) = gears(&[teeth(120, 5)]).expect("far too low");
    assert!(code == "out_of_range" && text.contains("120:5"), "{text}");
    assert!(of("gears").possible().starts_with("1 to 8 ratios") && of("primary").possible().contains("driver:driven"));
}

#[test]
fn a_curve_has_three_to_two_hundred_points_of_rising_speed() {
    let curve = |points: &[[f64; 2]]| {
        of("curve").check(&Value::Curve(points.to_vec())).err().map(|fault| (fault.code, fault.text))
    };
    let points = |count: u32| (0..count).map(|k| [1000.0 + 10.0 * f64::from(k), 20.0]).collect::<Vec<_>>();
    assert_eq!([curve(&points(3)), curve(&points(200))], [None, None]);
    for (count, given) in [(2, "a list of 2"), (201, "a list of 201")] {
        let (code, text) = curve(&points(count)).expect("a wrong list");
        assert!(code == "wrong_list" && text.contains(given), "{text}");
    }
    let with = |at: usize, point: [f64; 2]| {
        let mut all = points(4);
        all[at] = point;
        curve(&all)
    };
    assert_eq!([with(0, [0.0, 0.0]), with(3, [22_000.0, 300.0])], [None, None]);
    for (point, word) in [([22_001.0, 1.0], "22001"), ([1030.0, 300.1], "300.1"), ([1030.0, -0.1], "-0.1")] {
        let (code, text) = with(3, point).expect("out of range");
        assert!(code == "out_of_range" && text.contains(word), "{text}");
    }
    for (point, word) in [([1020.0, 1.0], "after 1020 comes 1020"), ([900.0, 1.0], "after 1020 comes 900")] {
        let (code, text) = with(3, point).expect("not rising");
        assert!(code == "wrong_list" && text.contains(word), "{text}");
    }
}

#[test]
fn what_was_given_is_said_in_sixty_characters() {
    let said = |length: usize| of("slack_kind").check(&Value::Word("x".repeat(length))).expect_err("no word").text;
    assert!(said(60).contains(&format!("is {};", "x".repeat(60))));
    assert!(said(61).contains(&format!("is {}…;", "x".repeat(60))));
}

fn put(name: &str, number: f64) -> Change {
    let value = match of(name).kind {
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "counts are small and above zero")]
        Kind::Whole(_) => Value::Whole(number as u32),
        _ => Value::Number(number),
    };
    Change { field: name.to_owned(), value: Some(value), source: None }
}

#[test]
fn what_rises_and_what_may_be_equal_is_told_by_the_higher_field_with_both_numbers() {
    for (low_name, low, high_name, high, may_equal) in [
        ("front_teeth", 22.0, "rear_teeth", 22.0, false),
        ("slot_min_mm", 590.0, "slot_max_mm", 590.0, false),
        ("idle_rpm", 3000.0, "slip_rpm", 3000.0, false),
        ("slip_rpm", 5000.0, "lo_rpm", 5000.0, false),
        ("lo_rpm", 7000.0, "hi_rpm", 7000.0, false),
        ("hi_rpm", 9000.0, "max_rpm", 9000.0, false),
        ("max_rpm", 9500.0, "hard_rpm", 9500.0, false),
        ("idle_rpm", 3500.0, "lo_rpm", 3500.0, false),
        ("slack_mm_min", 80.0, "slack_mm_max", 80.0, false),
        ("slot_min_mm", 590.0, "arm_mm", 590.0, true),
        ("arm_mm", 590.0, "slot_max_mm", 590.0, true),
        ("slack_stop_mm", 80.0, "slack_mm_min", 80.0, true),
        ("cg_from_front_m", 1.2, "wheelbase_m", 1.2, true),
    ] {
        let told = |high: f64| {
            let mut bike = Bike::new("b", "B", false).expect("a bike");
            let faults = bike.change(&[put(low_name, low), put(high_name, high)]).err().unwrap_or_default();
            assert_eq!(bike.get(low_name).is_some(), faults.is_empty());
            faults
        };
        let step = if high > 500.0 {
            10.0
        } else if high < 2.0 {
            0.01
        } else {
            1.0
        };
        assert!(told(high + step).is_empty(), "{low_name} {high_name}");
        assert_eq!(told(high).is_empty(), may_equal, "{low_name} {high_name}");
        let faults = told(high - step);
        assert_eq!(faults.len(), 1, "{low_name} {high_name}: {faults:?}");
        assert_eq!((faults[0].field.as_str(), faults[0].code), (high_name, "against"));
        let how = if may_equal { "at least" } else { "above" };
        let words =
            format!("{high_name} is {} and {low_name} is {low}; {high_name} must be {how} {low_name}", high - step);
        assert!(faults[0].text.starts_with(&words), "{}", faults[0].text);
    }
}

#[test]
fn a_pitch_is_written_to_a_tenth_of_its_sizes_own() {
    let refused = |pitch: f64| {
        let size = Change { field: "size".into(), value: Some(Value::Word("520".into())), source: None };
        Bike::new("b", "B", false).expect("a bike").change(&[size, put("pitch_mm", pitch)]).is_err()
    };
    assert!(!refused(15.9) && !refused(15.83) && !refused(15.875) && !refused(15.92));
    assert!(refused(15.93) && refused(15.82));
}

#[test]
fn every_section_has_its_word_and_title_and_every_figure_its_answers() {
    let words: std::collections::BTreeSet<_> =
        Section::ALL.into_iter().flat_map(|one| [one.word(), one.title()]).collect();
    assert_eq!(words.len(), 2 * Section::ALL.len());
    assert!(FIELDS.iter().all(|field| Section::ALL.contains(&field.section)));
    let mut bike = Bike::new("b", "B", true).expect("a bike");
    bike.change(&[
        put("slack_mm_min", 82.0),
        put("slack_mm_max", 88.0),
        put("limit_pct", 1.0),
        put("front_teeth", 14.0),
    ])
    .expect("fits");
    let names = |figure: &str| bike.answering(figure).map(|(field, _)| field.name).collect::<Vec<_>>();
    assert_eq!(names("chain-slack"), ["slack_mm_min", "slack_mm_max"]);
    assert_eq!((names("chain-wear-limit"), names("rear-axle-torque").len()), (vec!["limit_pct"], 0));
    assert_eq!(
        bike.entries().map(|(field, _)| field.name).collect::<Vec<_>>(),
        ["front_teeth", "slack_mm_min", "slack_mm_max", "limit_pct"]
    );
    assert_eq!(
        (bike.number("front_teeth"), bike.whole("front_teeth"), bike.whole("limit_pct")),
        (Some(14.0), Some(14), None)
    );
    assert_eq!((bike.word("front_teeth"), bike.flag("front_teeth"), bike.get("links")), (None, None, None));
    bike.set("sealed", Value::Flag(false), None).expect("a flag");
    bike.set("joint", Value::Word("clip".into()), None).expect("a word");
    bike.set("slack_place", Value::Text("mid run".into()), None).expect("a text");
    assert_eq!(
        (bike.flag("sealed"), bike.word("joint"), bike.word("slack_place")),
        (Some(false), Some("clip"), Some("mid run"))
    );
    assert_eq!((bike.number("sealed"), bike.word("sealed"), bike.flag("joint")), (None, None, None));
}

/// Least single-character edits, by trying each way.
fn edits(from: &[char], to: &[char]) -> usize {
    match (from, to) {
        ([], rest) | (rest, []) => rest.len(),
        ([one, from @ ..], [other, to @ ..]) if one == other => edits(from, to),
        ([_, shorter @ ..], [_, rest @ ..]) => 1 + edits(shorter, to).min(edits(from, rest)).min(edits(shorter, rest)),
    }
}

#[test]
fn a_mistyped_name_finds_the_nearest_field_as_far_as_its_length_lets_it() {
    let letters = |text: &str| text.chars().collect::<Vec<_>>();
    for typed in ["lnks", "links", "lins_", "arm", "armm", "etaa", "joit", "pich_mm", "sealled"] {
        let reach = (typed.len() / 3).clamp(1, 4);
        // Names far longer or shorter are further away than that.
        let near = FIELDS.iter().filter(|field| field.name.len().abs_diff(typed.len()) <= reach);
        let least =
            near.map(|field| (edits(&letters(typed), &letters(field.name)), field.name)).min_by_key(|one| one.0);
        let want = least.filter(|one| one.0 <= reach).map(|one| one.1);
        let begins = || FIELDS.iter().find(|field| field.name.starts_with(typed)).map(|field| field.name);
        assert_eq!(nearest(typed).map(|field| field.name), want.or_else(begins), "{typed}");
    }
    assert_eq!(nearest("rear_axle_torque").map(|field| field.name), Some("rear_axle_torque_nm"));
    assert!(nearest("x").is_none() && nearest("").is_none() && nearest("fr").is_none());
    assert!(known("lnks").expect_err("no field").text.contains("Did you mean links"));
    assert!(known("colour").expect_err("no field").text.contains("--missing"));
    assert_eq!(known("links").map(|field| field.name), Ok("links"));
}

#[test]
fn a_written_sheet_says_beside_each_figure_what_it_is_and_in_which_unit() {
    let mut bike = Bike::new("b", "B", true).expect("a bike");
    bike.change(&[put("slack_mm_min", 82.0), put("front_teeth", 14.0)]).expect("fits");
    bike.set("curve", Value::Curve(vec![[1000.0, 1.0], [2000.0, 2.5], [3000.0, 2.0]]), None).expect("a curve");
    bike.set("gears", Value::Ratios(vec![Ratio::Teeth { driver: 14, driven: 31 }, Ratio::Number(1.5)]), None)
        .expect("gears");
    let file = bike.to_toml();
    for line in [
        "slack_mm_min = 82.0                 # least slack, mm",
        "front_teeth = 14                    # front teeth",
        "invented = true                     # true: figures made up, for show only",
        "curve = [[1000.0, 1.0], [2000.0, 2.5], [3000.0, 2.0]]  # torque curve, rpm, N·m",
        "gears = [[14, 31], 1.5]             # gears",
    ] {
        assert!(file.lines().any(|known| known == line), "{line}\n{file}");
    }
    let sections: Vec<&str> = file.lines().filter(|line| line.starts_with('[')).collect();
    assert_eq!(sections, ["[bike]", "[drive]", "[gearbox]", "[sheet]"], "no section without a figure, no sources");
}
