//! What `ride.mix` refuses: rides that cannot be put together.

use figures::{NoTracks, Refusal, ask};
use serde_json::{Map, Value, json};

/// A candidate as an answer of `ride.pairs` holds it.
fn candidate(front: u32, rear: u32, top_kmh: f64) -> Value {
    json!({
        "front_teeth": front, "rear_teeth": rear, "ratio": f64::from(rear) / f64::from(front), "cost_per_km": 126.0,
        "gear_pct": [60.0, 40.0], "shifts_per_km": 1.0, "slip_pct": 30.0, "over_pct": 0.0, "missed_pct": 0.0,
        "top_geared_kmh": top_kmh, "headroom_pct": 40.0, "crawl_idle_kmh": 8.5, "crawl_slip_kmh": 11.7,
        "feasible": true, "pareto": true, "rank": 1, "as_good": true
    })
}

fn ride(pairs: &[Value]) -> Value {
    json!({"pairs": pairs, "moving_s": 600.0, "distance_km": 4.0, "grip_limited_pct": 1.0, "asked_mean_n": 300.0})
}

fn asked(rides: &[Value]) -> Result<figures::Answer, Refusal> {
    let given: Map<String, Value> = json!({"rides": rides}).as_object().cloned().unwrap_or_default();
    ask("ride.mix", &given, &NoTracks)
}

fn two() -> Vec<Value> {
    vec![candidate(13, 50, 170.0), candidate(14, 48, 190.0)]
}

#[test]
fn two_rides_over_the_same_pairs_are_put_together() {
    let answer = asked(&[ride(&two()), ride(&two())]).expect("alike");
    assert!((answer.get("distance_km").expect("a sum") - 8.0).abs() < 1e-9);
}

#[test]
fn rides_over_other_pairs_cannot_be_put_together() {
    let mut more = two();
    more.push(candidate(15, 48, 200.0));
    for other in [&more[..], &two()[..1], &[candidate(13, 50, 170.0), candidate(14, 50, 186.0)][..]] {
        assert_eq!(asked(&[ride(&two()), ride(other)]).expect_err("unlike").field, "rides");
    }
    let faster = [candidate(13, 50, 171.0), candidate(14, 48, 190.0)];
    assert_eq!(asked(&[ride(&two()), ride(&faster)]).expect_err("another gearbox").field, "rides");
}

#[test]
fn an_age_out_of_bounds_is_refused_even_where_age_does_not_count() {
    let aged = |age: f64| {
        let mut one = ride(&two());
        one["age_d"] = json!(age);
        asked(&[one])
    };
    assert!(aged(30.0).is_ok());
    assert_eq!(aged(-30.0).expect_err("before it was ridden").field, "rides");
}
