//! What a drawing must hold: the geometry can be read back from the picture to a thousandth of a millimetre.

use measure::shown::{self, Units};

use super::{Drawing, Ink, Label, Piece, Shape, Spot, drawing};

fn drawn(pieces: &[Piece<'_>]) -> String {
    let labels = [Label { at: Spot::new(0.0, 0.0), words: "pivot" }];
    drawing(&Drawing { id: "side", title: "Side", finding: "It fits.", pieces, labels: &labels }).into_string()
}

/// The value of an attribute of the element of that name.
fn read(page: &str, id: &str, attribute: &str) -> String {
    let element = page.split('<').find(|element| element.contains(&format!("data-id=\"{id}\""))).expect(id);
    let rest = element.split(&format!(" {attribute}=\"")).nth(1).expect(attribute);
    rest.split('"').next().expect("a value").to_owned()
}

#[test]
fn circles_and_lines_are_read_back_in_millimetres_with_z_up() {
    let page = drawn(&[
        Piece {
            id: "front_pitch_circle",
            ink: Ink::Steel,
            shape: Shape::Circle { centre: Spot::new(72.5, 12.25), radius_mm: 35.672_4 },
        },
        Piece {
            id: "upper_run",
            ink: Ink::Chain,
            shape: Shape::Segment { from: Spot::new(70.0, 47.9), to: Spot::new(-600.0, 121.4) },
        },
    ]);
    assert_eq!(read(&page, "front_pitch_circle", "cx"), "72.500");
    assert_eq!(read(&page, "front_pitch_circle", "cy"), "-12.250");
    assert_eq!(read(&page, "front_pitch_circle", "r"), "35.672");
    assert_eq!(read(&page, "upper_run", "y2"), "-121.400");
}

#[test]
fn an_arc_takes_the_way_that_its_turning_says() {
    let quarter = |clockwise| Piece {
        id: "wrap",
        ink: Ink::Chain,
        shape: Shape::Arc {
            centre: Spot::new(0.0, 0.0),
            radius_mm: 10.0,
            from: Spot::new(10.0, 0.0),
            to: Spot::new(0.0, 10.0),
            clockwise,
        },
    };
    assert_eq!(read(&drawn(&[quarter(false)]), "wrap", "d"), "M10.000 0.000A10.000 10.000 0 0 0 0.000 -10.000");
    assert_eq!(read(&drawn(&[quarter(true)]), "wrap", "d"), "M10.000 0.000A10.000 10.000 0 1 1 0.000 -10.000");
}

#[test]
fn everything_drawn_is_in_view() {
    let page = drawn(&[Piece {
        id: "rear",
        ink: Ink::Steel,
        shape: Shape::Circle { centre: Spot::new(-610.0, -40.0), radius_mm: 121.3 },
    }]);
    let view: Vec<f64> = page
        .split("viewBox=\"")
        .nth(1)
        .and_then(|rest| rest.split('"').next())
        .expect("a view")
        .split(' ')
        .map(|n| n.parse().expect("a number"))
        .collect();
    assert!(view[0] <= -610.0 - 121.3 && view[0] + view[2] >= -610.0 + 121.3);
    assert!(view[1] <= 40.0 - 121.3 && view[1] + view[3] >= 40.0 + 121.3);
}

#[test]
fn the_scale_bar_is_as_long_as_its_words_say() {
    let page = drawn(&[Piece {
        id: "rear",
        ink: Ink::Steel,
        shape: Shape::Circle { centre: Spot::new(0.0, 0.0), radius_mm: 200.0 },
    }]);
    let length = read(&page, "scale_bar", "x2").parse::<f64>().expect("a number")
        - read(&page, "scale_bar", "x1").parse::<f64>().expect("a number");
    assert!((length - 100.0).abs() < 2e-3);
    assert!(page.contains(">100 mm</text>"));
}

#[test]
fn the_scale_bar_is_round_in_the_unit_that_is_read_and_as_long_as_it_says() {
    assert_eq!(super::scale_bar(500.0), (100.0, "100 mm".to_owned()));
    let (length_mm, words) = shown::in_units(Units::Inch, || super::scale_bar(500.0));
    assert_eq!(words, "2 in");
    assert!((length_mm - 50.8).abs() < 1e-9);
}
