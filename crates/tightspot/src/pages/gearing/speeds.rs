//! The gears of one pair or two over speed, and above them how fast a ride was for how long.

use advice::Setup;
use advice::demand::Demand;
use advice::gearing::Gear;
use advice::words::kmh;
use maud::Markup;

use crate::frame::chart::Axis;
use crate::frame::chart::lanes::{Heap, Lane, Lanes, lanes};

/// Width of the speed classes where a ride has just one of them.
const CLASS_KMH: f64 = 5.0;

/// The picture; the first pair is drawn solid, a second one dashed below it.
pub(crate) fn speeds(pairs: &[(Setup, &[Gear])], demand: Option<&Demand>) -> Markup {
    let series: Vec<String> = pairs.iter().map(|(setup, _)| setup.pair_words()).collect();
    let count = pairs.first().map_or(0, |(_, gears)| gears.len());
    let lane = |n: usize| Lane {
        name: (n + 1).to_string(),
        stretches: pairs
            .iter()
            .filter_map(|(_, gears)| gears.get(n))
            .map(|gear| (gear.from_kmh, gear.to_kmh))
            .collect(),
    };
    let all: Vec<Lane> = (0..count).map(lane).collect();
    let heap = demand.map(|demand| Heap { name: "moving time", classes: &demand.classes, width: class_width(demand) });
    let title = match demand {
        Some(_) => format!("How fast the ride was, and what each gear of {} covers.", series.join(" and ")),
        None => format!("Speed in each gear with {}.", series.join(" and ")),
    };
    lanes(&Lanes {
        id: "speeds",
        title: &title,
        finding: &finding(pairs, demand),
        along: Axis { name: "speed", unit: "km/h", decimals: 1, reach: &[0.0] },
        each: "gear",
        series: &series,
        lanes: &all,
        heap,
    })
}

fn class_width(demand: &Demand) -> f64 {
    match demand.classes.as_slice() {
        [[first, _], [second, _], ..] => second - first,
        _ => CLASS_KMH,
    }
}

fn finding(pairs: &[(Setup, &[Gear])], demand: Option<&Demand>) -> String {
    let reach = |(setup, gears): &(Setup, &[Gear])| {
        let (first, top) = (gears.first()?, gears.last()?);
        Some(format!(
            "{}: first gear from {} at the lower end of the comfortable rpm, top gear to {} at the limiter.",
            setup.pair_words(),
            kmh(first.from_kmh),
            kmh(top.to_kmh)
        ))
    };
    let mut said: Vec<String> = pairs.iter().filter_map(reach).collect();
    said.extend(demand.map(|demand| format!("Half of the moving time was slower than {}.", kmh(demand.median_kmh))));
    said.join(" ")
}
