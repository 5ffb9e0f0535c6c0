//! `ride.shares`: a ride's speeds laid against the gears of a pair, without a replay.

use ::ride::shares::{CLASS, Gears, lay};
use drive::gearing::speed_kmh;
use measure::Speed;
use measure::bounds::gearing as bounds;
use measure::bounds::ride::GROUND_SPEED;
use serde_json::{Value, json};

use crate::gearing::bike::{self, FRONT_TEETH, GEARS, PRIMARY, REAR_TEETH, ROLLOUT_M, SLIP};
use crate::{Answer, Field, Figure, Given, Refusal};

pub(super) const FIGURE: Figure = Figure {
    name: "ride.shares",
    says: "How long a ride was ridden at which speed, and in which gear it would have been by a plain rule.",
    given: &[
        PRIMARY,
        GEARS,
        FRONT_TEETH,
        REAR_TEETH,
        ROLLOUT_M,
        Field::number("slip_rpm", &bounds::ENGINE_RPM).meaning("clutch fully out from here"),
        Field::number("lo_rpm", &bounds::ENGINE_RPM).meaning("lower end of the comfort band"),
        Field::number("max_rpm", &bounds::ENGINE_RPM).meaning("limiter"),
        SLIP,
        Field::numbers("speed_mps", &GROUND_SPEED).meaning("ground speed on an even grid of time"),
    ],
    answer: &[
        (
            "gear_pct",
            "share of the moving samples in each gear, first gear first: the highest gear that turns at least lo_rpm, else first",
        ),
        ("below_crawl_pct", "share slower than first gear at slip_rpm"),
        ("over_pct", "share faster than top gear at max_rpm"),
        ("crawl_slip_kmh", "first gear at slip_rpm"),
        ("slow_kmh", "0.1 quantile of the moving samples"),
        ("median_kmh", "0.5 quantile"),
        ("fast_kmh", "0.995 quantile"),
        ("top_geared_kmh", "top gear at max_rpm"),
        ("headroom_pct", "top_geared_kmh over fast_kmh, less one"),
        ("classes", "list of {from_kmh, pct}: share of the moving samples by speed, in steps of 5 km/h"),
    ],
    formula: "v = n/i · U · 0.06 · (1 − s) for every gear; samples of 0.5 m/s and more count; quantiles of type 7",
    sources: &["gearing", "ours"],
    ask,
};

fn ask(given: &Given<'_>) -> Result<Answer, Refusal> {
    let gearbox = bike::gearbox(given)?;
    let totals = gearbox.totals(bike::pair(given, "front_teeth", "rear_teeth")?);
    let (slip_rpm, lo_rpm, max_rpm) = (given.num("slip_rpm")?, given.num("lo_rpm")?, given.num("max_rpm")?);
    for (name, value, below, least) in
        [("lo_rpm", lo_rpm, "slip_rpm", slip_rpm), ("max_rpm", max_rpm, "lo_rpm", lo_rpm)]
    {
        if value <= least {
            return Err(bike::not_above(name, value, below, least));
        }
    }
    let (rollout, slip) = (given.num("rollout_m")?, given.num_or("slip", 0.0));
    let speed = |rpm: f64, total: f64| Speed::from_kmh(speed_kmh(rpm, total, rollout, slip));
    let (first, last) = (totals[0], totals[totals.len() - 1]);
    let gears = Gears {
        low: totals.iter().map(|total| speed(lo_rpm, *total)).collect(),
        crawl: speed(slip_rpm, first),
        top: speed(max_rpm, last),
    };
    let shares = lay(&given.numbers("speed_mps"), &gears).ok_or_else(|| {
        let text = "speed_mps holds no sample of 0.5 m/s or more: nothing moves. Give a ride that moves.";
        Refusal::new("speed_mps", "nothing_moves", text)
    })?;
    let [slow, median, fast] = shares.slow_median_fast;
    let from = (0_u32..).map(|n| CLASS.kmh() * f64::from(n));
    let classes: Vec<Value> =
        shares.class_pct.iter().zip(from).map(|(pct, from_kmh)| json!({"from_kmh": from_kmh, "pct": pct})).collect();
    Ok(Answer::new()
        .json("gear_pct", shares.gear_pct)
        .num("below_crawl_pct", shares.below_crawl_pct)
        .num("over_pct", shares.over_pct)
        .num("crawl_slip_kmh", gears.crawl.kmh())
        .num("slow_kmh", slow.kmh())
        .num("median_kmh", median.kmh())
        .num("fast_kmh", fast.kmh())
        .num("top_geared_kmh", gears.top.kmh())
        .num("headroom_pct", shares.headroom_pct)
        .json("classes", classes))
}
