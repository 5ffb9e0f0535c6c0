//! Roots and tops are found, by the very places at which an independent implementation of the same methods looks.

use std::cell::RefCell;

use super::*;

/// A function with its bracket, how often an independent solver asks it, and where at first.
type Known<'a> = (fn(f64) -> f64, f64, f64, usize, &'a str);

/// What a search finds in a function, and the places at which it asks.
fn asked<T>(f: fn(f64) -> f64, search: impl FnOnce(&dyn Fn(f64) -> f64) -> T) -> (T, Vec<f64>) {
    let places = RefCell::new(Vec::new());
    let found = search(&|x| {
        places.borrow_mut().push(x);
        f(x)
    });
    (found, places.into_inner())
}

fn same_places(ours: &[f64], known: &str, share: f64) {
    let known = known.split(' ').map(|place| place.parse::<f64>().expect("a number"));
    for (n, (one, other)) in ours.iter().zip(known).enumerate() {
        assert!((one - other).abs() <= share * other.abs() + share * 1e-3, "{n}: {one} for {other}");
    }
}

/// Places: `scipy.optimize.fminbound` of SciPy 1.17.1, xtol 1e-12, of the negated function.
const TOPS: [Known<'static>; 10] = [
    (|x| x.sin(), 0.0, 3.0, 9, "1.145898034 1.854101966 2.291796068 1.572587487 1.570082537 1.570792695"),
    (
        |x| x * (-x).exp(),
        0.0,
        10.0,
        14,
        "3.819660113 6.180339887 2.360679775 1.458980338 0.9016994375 0.7472130716 1.044498105 \
             0.9970608097 1.001379863 1.000024812 1.000001364",
    ),
    (
        |x| -(x - 0.7).abs(),
        -1.0,
        2.0,
        25,
        "0.1458980338 0.8541019662 1.291796068 0.7068027373 0.601227705 0.7128797387 0.6800057789 \
             0.69656721 0.6976814982 0.7005553514 0.7029416405 0.7001184695 0.6995817355 0.7000245646 \
             0.699929453 0.700007809",
    ),
    (
        |x| -(x + 1.0).powi(4),
        -5.0,
        1.5,
        36,
        "-2.517220927 -0.9827790731 -0.03444185375 -0.768977028 -0.8812953937 -0.9416988401 -0.9672668153 \
             -0.979168114 -0.9850540397 -1.570289714 -0.988361387 -0.9904133825 -1.211906432 -0.9921307122 \
             -0.9936362638 -1.077008049",
    ),
    (
        |x| x,
        -1.0,
        1.0,
        38,
        "-0.2360679775 0.2360679775 0.527864045 0.7082039325 0.8196601125 0.88854382 0.9311162925 \
             0.9574275275 0.973688765 0.9837387625 0.9899500025 0.99378876 0.9961612425 0.9976275174 \
             0.9985337251 0.9990937923",
    ),
    (
        |x| -x,
        -1.0,
        1.0,
        38,
        "-0.2360679775 0.2360679775 -0.527864045 -0.7082039325 -0.8196601125 -0.88854382 -0.9311162925 \
             -0.9574275275 -0.973688765 -0.9837387625 -0.9899500025 -0.99378876 -0.9961612425 -0.9976275174 \
             -0.9985337251 -0.9990937923",
    ),
    (
        |x| -(3.0 * x).exp() - (-x).exp(),
        -6.0,
        3.0,
        13,
        "-2.562305899 -0.4376941013 0.8753882025 -0.8866824812 -0.3230208351 -0.2409324918 -0.2744900557 \
             -0.275195714 -0.2746573966 -0.2746531011",
    ),
    (
        |x| -(x - 0.2).abs().sqrt(),
        -1.0,
        1.0,
        29,
        "-0.2360679775 0.2360679775 0.527864045 0.1649113528 0.1952966452 0.2003010998 0.2139628314 \
             0.2032223822 0.1995084745 0.2004815635 0.1999986005 0.199811389 0.2000412282 0.1999455611 \
             0.1999953918 0.2000132601",
    ),
    (
        |x| x.min(2.0 - 3.0 * x),
        -3.0,
        4.0,
        39,
        "-0.3262379212 1.326237921 -1.347524158 -0.1684405197 0.4024758425 0.7553215591 0.2765936358 \
             0.5372509134 0.4574181004 0.4660517003 0.4932473798 0.510055234 0.4888438186 0.4954775992 \
             0.5010457602 0.4995528091",
    ),
    (
        |x| x.ln() - x,
        0.01,
        8.0,
        16,
        "3.06190843 4.94809157 1.89618314 1.17572529 0.2779707675 1.247142022 0.8629317925 0.639496563 \
             1.006195077 1.007975682 1.000639765 0.9999805241 0.999998724",
    ),
];

#[test]
fn a_top_is_looked_for_where_another_solver_looks() {
    for (f, low, high, count, places) in TOPS {
        let (found, ours) = asked(f, |f| top(f, low, high));
        same_places(&ours, places, 1e-8);
        // Its last steps are set by another tolerance: one look more or less.
        assert!(ours.len().abs_diff(count) <= 1, "{} looks for {count}", ours.len());
        let highest = ours.iter().map(|x| f(*x)).fold(f64::NEG_INFINITY, f64::max);
        assert!(found == (found.0, highest) && f(found.0).to_bits() == highest.to_bits());
    }
}

/// Places: `scipy.optimize.elementwise.find_root` of SciPy 1.17.1, relative tolerance of two roundings, no other.
const CROSSINGS: [Known<'static>; 10] = [
    (
        |x| x * x - 2.0,
        0.0,
        2.0,
        8,
        "1.0 1.5 1.40952380952 1.4142641817 1.41421355749 1.41421356237 1.41421356237 1.41421356237",
    ),
    (
        |x| x.cos() - x,
        -1.0,
        3.0,
        7,
        "1.0 0.595802453454 0.765189940087 0.73893392904 0.739085231403 0.739085133215 0.739085133215",
    ),
    (
        |x| x.powi(9),
        -1.0,
        1.5,
        119,
        "0.25 -0.375 -0.0625 0.09375 0.015625 -0.0234375 -0.00390625 0.005859375 0.0009765625 \
             -0.00146484375 -0.000244140625 0.0003662109375 6.103515625e-05 -9.1552734375e-05",
    ),
    (
        |x| x.exp() - 100.0,
        -5.0,
        20.0,
        11,
        "7.5 1.25 4.375 5.9375 5.15625 4.56846557132 4.60660178139 4.60516174024 4.60517018614 \
             4.60517018599 4.60517018599",
    ),
    (
        |x| x.powi(3) - 2.0 * x - 5.0,
        2.0,
        3.0,
        7,
        "2.5 2.08449781367 2.09472815631 2.09455116882 2.09455148154 2.09455148154 2.09455148154",
    ),
    (
        |x| 1.0 / x - 3.0,
        0.01,
        10.0,
        12,
        "5.005 2.5075 1.25875 0.634375 0.3221875 0.47828125 0.328956161041 0.333396977803 0.333332969913 \
             0.333333333334 0.333333333333 0.333333333333",
    ),
    (
        |x| x.ln(),
        0.1,
        50.0,
        11,
        "25.05 12.575 6.3375 3.21875 1.659375 0.8796875 1.26953125 0.996969372541 1.00001592512 \
             0.999999997959 1.0",
    ),
    (
        |x| (30.0 * (x - 0.37)).tanh(),
        0.0,
        1.0,
        9,
        "0.5 0.25 0.375 0.355947371352 0.365473685676 0.370099369826 0.369999326191 0.370000000091 0.37",
    ),
    (
        |x| 5.0 - x.powi(3),
        0.0,
        7.0,
        10,
        "3.5 1.75 0.875 1.3125 1.72733433202 1.70978216128 1.70997690947 1.70997594667 1.70997594668 \
             1.70997594668",
    ),
    (
        |x| (x - 1.5).atan(),
        -10.0,
        4.0,
        9,
        "-3.0 0.5 2.25 1.375 1.5270188146 1.49915344728 1.50000095282 1.49999999999 1.5",
    ),
];

#[test]
fn a_crossing_is_looked_for_where_another_solver_looks() {
    for (f, low, high, count, places) in CROSSINGS {
        let (found, ours) = asked(f, |f| crossing(f, low, high));
        assert_eq!(ours[..2], [low, high]);
        same_places(&ours[2..], places, 1e-10);
        assert!(ours.len().abs_diff(count + 2) <= 1, "{} looks for {count}", ours.len());
        let nearest = ours.iter().map(|x| f(*x).abs()).fold(f64::INFINITY, f64::min);
        assert!(f(found).abs().to_bits() == nearest.to_bits());
        assert_eq!(root(f, low, high).map(f64::to_bits), Some(found.to_bits()));
    }
}

#[test]
fn three_points_of_a_function_whose_inverse_is_a_parabola_give_its_root_at_once() {
    // x = 0.3 + 2 y + y², on its rising half.
    let at = |y: f64| (0.3 + 2.0 * y + y * y, y);
    for ys in [[0.5, -0.2, 0.9], [-0.2, 0.5, -0.3], [0.1, -0.1, 0.3]] {
        let [a, b, c] = ys.map(at);
        let share = quadratic_step([a, b, c]).expect("trusted");
        assert!((a.0 + share * (b.0 - a.0) - 0.3).abs() < 1e-12, "{ys:?}");
    }
}

#[test]
fn three_points_of_a_parabola_give_its_top_at_once() {
    for places in [[0.0, 1.0, 2.0], [1.5, -3.0, 0.25], [-1.0, 4.0, 9.0]] {
        let [one, other, third] = places.map(|x: f64| (x, 5.0 - 2.0 * (x - 0.7).powi(2)));
        assert!((one.0 + vertex(one, other, third).expect("turns") - 0.7).abs() < 1e-12, "{places:?}");
    }
    assert!(vertex((0.0, 1.0), (1.0, 2.0), (3.0, 4.0)).is_none());
}

#[test]
fn a_root_is_found_to_the_last_digits() {
    let found = root(|x| x * x - 2.0, 0.0, 2.0).expect("a root");
    assert!((found - 2.0_f64.sqrt()).abs() < 1e-15);
    let steep = root(|x| x.powi(9) - 1e-9, 0.0, 1.0).expect("a root");
    assert!((steep - 0.1).abs() < 1e-12);
}

#[test]
fn a_crossing_is_found_whichever_side_is_named_first() {
    for (low, high) in [(0.0, 2.0), (2.0, 0.0)] {
        assert!((crossing(|x| x * x - 2.0, low, high) - 2.0_f64.sqrt()).abs() < 1e-15);
    }
    for far in [-1.0, 1.0] {
        assert_eq!((crossing(|x| x, 0.0, far), crossing(|x| x, far, 0.0)), (0.0, 0.0));
    }
    assert!((crossing(|x| x.powi(9), -1.0, 1.5)).abs() < 1e-20);
    assert!((crossing(|x| (x - 1e-9).signum(), 0.0, 1e6) - 1e-9).abs() < 1e-24);
}

#[test]
fn without_bounds_or_values_it_ends() {
    assert!(!crossing(|x| x, f64::INFINITY, f64::INFINITY).is_finite());
    for end in [f64::NAN, f64::INFINITY] {
        let _ends = crossing(|x| x, end, 1.0);
    }
    let _ends = crossing(|_| f64::NAN, 0.0, 1.0);
}

#[test]
fn no_change_of_sign_is_no_root() {
    assert!(root(|x| x * x + 1.0, -1.0, 1.0).is_none());
    assert!(root(|_| f64::NAN, -1.0, 1.0).is_none());
}

#[test]
fn a_top_is_found_inside_and_at_an_end() {
    assert!((top(|x| -(x - 0.3).powi(2), -1.0, 1.0).0 - 0.3).abs() < 1e-7);
    assert!((top(|x| x, -1.0, 1.0).0 - 1.0).abs() < 1e-7);
}
