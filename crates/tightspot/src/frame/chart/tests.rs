//! What a chart must hold: round ticks, gaps, every figure told twice.

use super::scale::Scale;
use super::{Axis, Chart, Layer, chart};

#[test]
fn ticks_are_round_and_hold_every_number() {
    for (numbers, wanted) in [
        (vec![0.52, 1.07], vec![0.4, 0.6, 0.8, 1.0, 1.2]),
        (vec![142.3, 288.9], vec![100.0, 150.0, 200.0, 250.0, 300.0]),
        (vec![-3.0, 4.0], vec![-4.0, -2.0, 0.0, 2.0, 4.0]),
    ] {
        let scale = Scale::over(numbers.into_iter(), 4);
        let ticks: Vec<f64> = scale.ticks().collect();
        assert_eq!(ticks.len(), wanted.len(), "{ticks:?}");
        assert!(ticks.iter().zip(&wanted).all(|(one, other)| (one - other).abs() < 1e-9), "{ticks:?}");
    }
}

#[test]
fn one_number_or_none_still_makes_an_axis() {
    let one = Scale::over([85.0].into_iter(), 4);
    assert!(one.low < 85.0 && 85.0 < one.high);
    let none = Scale::over(std::iter::empty(), 4);
    assert!(none.high > none.low);
    let mad = Scale::over([f64::NAN, f64::INFINITY].into_iter(), 4);
    assert!(mad.high > mad.low);
}

fn drawn(layers: &[Layer<'_>]) -> String {
    let along = Axis { name: "hours", unit: "h", decimals: 1, reach: &[] };
    let up = Axis { name: "elongation", unit: "%", decimals: 2, reach: &[0.0] };
    chart(&Chart { id: "wear", title: "Wear", finding: "It grows.", along, up, layers }).into_string()
}

#[test]
fn what_is_not_known_is_a_gap_and_a_dash_in_the_table() {
    let points = [(0.0, Some(0.1)), (10.0, None), (20.0, Some(0.3)), (30.0, Some(0.4))];
    let page = drawn(&[Layer::Line { name: "chain B", points: &points }]);
    let path = page.split(" d=\"").nth(1).and_then(|rest| rest.split('"').next()).expect("a path");
    assert_eq!(path.matches('M').count(), 2, "{path}");
    assert_eq!(page.matches("not known").count(), 1);
}

#[test]
fn every_point_is_a_row_of_the_table() {
    let read = [(173.1, Some(0.0)), (190.0, Some(0.16)), (205.0, Some(0.3))];
    let ahead = [(205.0, Some(0.3)), (260.0, Some(0.8))];
    let page = drawn(&[
        Layer::Marks { name: "read", points: &read },
        Layer::Ahead { name: "ahead", points: &ahead },
        Layer::Limit { words: "limit 1.0 % (bike sheet)", at: 1.0 },
    ]);
    assert_eq!(page.matches("<tr").count(), 1 + 4);
    assert!(page.contains("limit 1.0 % (bike sheet)"));
}

#[test]
fn the_picture_is_named_by_its_title_first_and_told_by_its_finding() {
    let page = drawn(&[]);
    let inside = page.split("role=\"img\"").nth(1).expect("a picture");
    let first = inside.split('>').nth(1).expect("a child");
    assert!(first.starts_with("<title id=\"wear-title\""), "{first}");
    assert!(page.contains("<desc id=\"wear-desc\">It grows.</desc>"));
    assert!(!page.contains("style="));
}

#[test]
fn a_hostile_name_stays_text() {
    let page = drawn(&[Layer::Limit { words: "<script>alert(1)</script>", at: 1.0 }]);
    assert!(!page.contains("<script>"));
}
