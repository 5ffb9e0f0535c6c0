//! Rows of an answer held against one another: what is called close, safest or best is so by the numbers beside it.

use figures::{Answer, NoTracks, ask};
use serde_json::{Value, json};

fn answered(figure: &str, given: &Value) -> Answer {
    ask(figure, given.as_object().expect("an object"), &NoTracks).expect("an answer")
}

/// A set of a chain and two sprockets, invented, with the wear of each.
fn set(levels: [u32; 3], more: &[(&str, Value)]) -> Value {
    let mut given = json!({"chain_life_h": 60, "front_life_h": 80, "rear_life_h": 120, "chain_price_minor": 9000,
        "front_price_minor": 2500, "rear_price_minor": 6000, "labour_minor": 4000, "trail_minor": 20000,
        "currency": "EUR", "levels": 5, "chain_level": levels[0], "front_level": levels[1], "rear_level": levels[2]});
    for (key, value) in more {
        given[*key] = value.clone();
    }
    given
}

const NAMES: [&str; 8] = ["none", "chain", "front", "chain_front", "rear", "chain_rear", "front_rear", "all"];

#[test]
fn an_action_is_close_where_it_loses_under_a_thirtieth_of_a_chain_and_the_best_loses_nothing() {
    let mut seen = [0; 2];
    for levels in (0..4).flat_map(|chain| (0..4).flat_map(move |front| (0..4).map(move |rear| [chain, front, rear]))) {
        let answer = answered("life.set_policy", &set(levels, &[("coupling", json!([0.5, 2.0]))]));
        let rows = answer.at("by_coupling").and_then(Value::as_array).cloned().expect("rows");
        for row in &rows {
            let lost = |name: &str| row["lost_minor"][name].as_f64();
            let close: Vec<&str> = row["close"].as_array().into_iter().flatten().filter_map(Value::as_str).collect();
            for name in NAMES {
                let is_close = lost(name).is_some_and(|lost| lost < 0.03 * 9000.0);
                assert_eq!(close.contains(&name), is_close, "{levels:?} {name}: {:?}", lost(name));
                seen[usize::from(is_close)] += 1;
            }
            let best = row["best"].as_str().expect("a name");
            let least = NAMES.iter().filter_map(|name| lost(name)).fold(f64::INFINITY, f64::min);
            assert!(least.abs() < 1e-6 && lost(best).is_some_and(|lost| lost.abs() < 1e-6), "{levels:?} {best}");
        }
        let agreed = rows.iter().all(|row| row["best"] == rows[0]["best"]);
        assert_eq!(answer.at("agreed"), Some(&json!(agreed)));
        assert_eq!(answer.at("best"), Some(if agreed { &rows[0]["best"] } else { &Value::Null }));
        let told = answer.notices.iter().any(|notice| notice.code == "depends_on_coupling");
        assert_eq!(told, !agreed);
    }
    assert!(seen.iter().all(|count| *count > 20), "{seen:?}");
}

#[test]
fn what_is_asked_briefly_is_answered_alike_without_the_simple_rules() {
    for levels in [[3, 1, 1], [2, 2, 2], [0, 3, 0]] {
        let shelf = ("shelf", json!([{"part": "chain", "level": 1, "price_minor": 3000}]));
        let whole = answered("life.set_policy", &set(levels, std::slice::from_ref(&shelf)));
        let brief = answered("life.set_policy", &set(levels, &[shelf, ("brief", json!(true))]));
        assert_eq!((whole.at("best"), whole.at("agreed")), (brief.at("best"), brief.at("agreed")));
        let (whole, brief) = (whole.at("by_coupling").expect("rows"), brief.at("by_coupling").expect("rows"));
        for at in 0..3 {
            for key in ["best", "close", "lost_minor", "cost_per_h_minor", "coupling"] {
                assert_eq!(whole[at][key], brief[at][key], "{key}");
            }
            for key in ["each_at_limit_per_h_minor", "all_at_limit_per_h_minor", "all_three_from_level"] {
                assert!(!whole[at][key].is_null() || key == "all_three_from_level", "{key}");
                assert!(brief[at].get(key).is_none(), "{key}");
            }
            assert!(whole[at]["cost_per_h_minor"].as_f64() <= whole[at]["each_at_limit_per_h_minor"].as_f64());
            assert!(
                whole[at]["choice"]["off_worth_minor"].is_object()
                    && brief[at]["choice"].get("off_worth_minor").is_none()
            );
            assert_eq!(whole[at]["choice"]["lost_minor"], brief[at]["choice"]["lost_minor"]);
        }
    }
}

#[test]
fn over_a_range_the_safest_loses_least_at_worst() {
    let range = |low: u32, high: u32| {
        let mut given = set([0, 1, 2], &[("chain_level_low", json!(low)), ("chain_level_high", json!(high))]);
        given.as_object_mut().expect("an object").remove("chain_level");
        answered("life.set_policy", &given)
    };
    for (low, high) in [(0, 1), (0, 3), (1, 4), (2, 2), (3, 4)] {
        let answer = range(low, high);
        let told = answer.at("range").expect("a range");
        let most = told["most_lost_minor"].as_object().expect("an object");
        let safest = told["safest"].as_str().expect("a name");
        let least = most.values().filter_map(Value::as_f64).fold(f64::INFINITY, f64::min);
        assert_eq!(most[safest].as_f64(), Some(least), "{low} to {high}");
        let same = answer.at("best").is_some_and(|best| !best.is_null());
        assert_eq!(told["same"], json!(same));
        let said = answer.notices.iter().find(|notice| notice.code == "depends_on_level_or_coupling");
        let words = format!("{safest} risks least, at most {least:.0} minor units");
        assert_eq!(said.is_some(), !same);
        assert!(said.is_none_or(|said| said.text.contains(&words)), "{said:?}: {words}");
        for end in told["ends"].as_array().expect("ends") {
            let level = end["chain_level"].as_u64().expect("a level");
            assert!(level == u64::from(low) || level == u64::from(high), "{level}");
        }
    }
}
