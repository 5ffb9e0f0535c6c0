//! `slack.distance`: countershaft to axle over the travel.

use drive::slack::swing::{self, LongestAt};

use super::fields::{ARM, COUNTERSHAFT_X, COUNTERSHAFT_Z, DROOP, MEASURED_AT, TRAVEL};
use super::geometry::{self, countershaft, measured_at, placed};
use crate::{Answer, Figure, Given, Refusal};

pub(super) const FIGURE: Figure = Figure {
    name: "slack.distance",
    says: "Distance countershaft to axle over the travel of the suspension, and where it is longest.",
    given: &[
        COUNTERSHAFT_X,
        COUNTERSHAFT_Z,
        ARM,
        DROOP,
        TRAVEL,
        MEASURED_AT.meaning("arm angle asked, + with the axle below the pivot"),
    ],
    answer: &[
        ("centre_mm", "countershaft to axle at the arm angle"),
        ("compression_deg", "arm angle at full compression"),
        ("longest_mm", "longest distance over the travel"),
        ("longest_at", "in_line, full_extension, full_compression or constant"),
        ("longest_angle_deg", "arm angle there; null if constant"),
        ("longest_travel_mm", "wheel travel there; null if constant"),
    ],
    formula: "D² = c² + arm² + 2 c arm cos(φ - φ*), φ* = atan2(cz, cx); sin φ = sin φ_ext - z / arm",
    sources: &["geometry"],
    ask,
};

fn ask(given: &Given<'_>) -> Result<Answer, Refusal> {
    let swing = geometry::swing(given)?;
    let angle = measured_at(given, &swing)?;
    let (shaft, arm) = (countershaft(given), given.mm("arm_mm")?);
    let longest = swing::longest(shaft, arm, &swing);
    let at = match longest.at {
        LongestAt::InLine => "in_line",
        LongestAt::FullExtension => "full_extension",
        LongestAt::FullCompression => "full_compression",
        LongestAt::Constant => "constant",
    };
    let answer = Answer::new()
        .num("centre_mm", swing::centre_distance(shaft, arm, angle).mm())
        .num("compression_deg", swing.compression.deg())
        .num("longest_mm", longest.centre.mm())
        .text("longest_at", at)
        .num_or_null("longest_angle_deg", longest.arm.map(measure::Angle::deg))
        .num_or_null("longest_travel_mm", longest.arm.map(|arm| swing.travel_at(arm).mm()));
    Ok(placed(answer, given, &swing).notice_if(longest.at == LongestAt::Constant, "constant", || {
        format!(
            "the distance stays {:.1} mm over {} mm of travel: no place is tightest.",
            longest.centre.mm(),
            given.num_or("travel_mm", 0.0)
        )
    }))
}
