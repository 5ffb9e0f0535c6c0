//! From checked fields to a drive that can be asked, and from its faults to refusals. Notices on odd geometry.

use drive::slack::gap::GapPlace;
use drive::slack::swing::line_is_reached;
use drive::slack::{Fault, Layout, Point, Sheet, Slider, Swing};
use measure::shown::{quantity, written};
use measure::{Angle, Length, Links};

use crate::{Answer, Given, Refusal};

/// Beyond these a countershaft's place is more likely a slip than a bike; the tool's own thresholds.
const FAR_COUNTERSHAFT_MM: f64 = 120.0;
const HIGH_COUNTERSHAFT_MM: f64 = 40.0;
/// More elongation than this is a slip or a chain past any use; the tool's own threshold.
const MUCH_ELONGATION_PCT: f64 = 3.0;
/// More slack than this no bike runs; the tool's own threshold.
const LARGE_SLACK_MM: f64 = 120.0;

/// The drive of the geometry fields.
pub(super) fn layout(given: &Given<'_>) -> Result<Layout, Refusal> {
    Ok(Layout::new(&sheet(given, countershaft(given), slider(given))?))
}

/// What is measured on the bike, with a countershaft and a slider from wherever they are known.
pub(super) fn sheet(given: &Given<'_>, countershaft: Point, slider: Option<Slider>) -> Result<Sheet, Refusal> {
    Ok(Sheet {
        countershaft_x: Length::from_mm(countershaft.x_mm),
        countershaft_z: Length::from_mm(countershaft.z_mm),
        arm: given.mm("arm_mm")?,
        pitch: given.mm("pitch_mm")?,
        front: given.teeth("front_teeth")?,
        rear: given.teeth("rear_teeth")?,
        elongation: given.elongation("elongation_pct"),
        slider,
    })
}

/// The slider, if it has a radius.
pub(super) fn slider(given: &Given<'_>) -> Option<Slider> {
    let radius = given.opt("slider_radius_mm").filter(|radius| *radius > 0.0)?;
    Some(slider_of(given, Length::from_mm(radius)))
}

/// A slider of that radius where the fields say.
pub(super) fn slider_of(given: &Given<'_>, radius: Length) -> Slider {
    let at = |name| Length::from_mm(given.num_or(name, 0.0));
    Slider { along: at("slider_u_mm"), above: at("slider_w_mm"), radius }
}

/// The drive at one arm angle.
pub(super) fn at_angle(given: &Given<'_>) -> Result<(Layout, Angle), Refusal> {
    let (layout, arm) = (layout(given)?, given.deg("arm_angle_deg")?);
    layout.possible(arm, arm).map_err(refusal)?;
    Ok((layout, arm))
}

/// The drive with its travel.
pub(super) fn with_travel(given: &Given<'_>) -> Result<(Layout, Swing), Refusal> {
    let (layout, swing) = (layout(given)?, swing(given)?);
    layout.possible(swing.compression, swing.extension).map_err(refusal)?;
    Ok((layout, swing))
}

/// The travel alone.
pub(super) fn swing(given: &Given<'_>) -> Result<Swing, Refusal> {
    Swing::new(given.mm("arm_mm")?, given.deg("droop_deg")?, given.mm("travel_mm")?).map_err(refusal)
}

/// Where a reading is taken: the angle given, else full extension.
pub(super) fn measured_at(given: &Given<'_>, swing: &Swing) -> Result<Angle, Refusal> {
    let arm = if given.has("arm_angle_deg") { given.deg("arm_angle_deg")? } else { swing.extension };
    swing.reaches(arm).map_err(refusal)
}

/// Where the gap is read, if asked: all three fields or none.
pub(super) fn gap_place(given: &Given<'_>) -> Result<Option<GapPlace>, Refusal> {
    const FIELDS: [&str; 3] = ["gap_u_mm", "gap_surface_mm", "plate_height_mm"];
    if !FIELDS.iter().any(|name| given.has(name)) {
        return Ok(None);
    }
    if let Some(name) = FIELDS.iter().find(|name| !given.has(name)) {
        return Err(Refusal::missing(name));
    }
    Ok(Some(GapPlace { along: given.mm(FIELDS[0])?, surface: given.mm(FIELDS[1])?, plate: given.mm(FIELDS[2])? }))
}

/// Surplus of a whole chain at an arm angle.
pub(super) fn surplus_of(layout: &Layout, arm: Angle, links: Links) -> Length {
    layout.pitch() * links.real() - layout.taut_length(arm)
}

/// The refusal of a fault under the field that is at fault where nothing else is said.
pub(super) fn refusal(fault: Fault) -> Refusal {
    match fault {
        Fault::Overlap { .. } => at_field("arm_mm", fault),
        Fault::DiscInside { .. } | Fault::OffSprocket => at_field("slider_radius_mm", fault),
        Fault::BeyondReach { .. } => at_field("travel_mm", fault),
        Fault::OutsideTravel { .. } => at_field("arm_angle_deg", fault),
        Fault::Rests => at_field("slack_mm", fault),
        Fault::TooShort { .. } => at_field("links", fault),
        Fault::NoChainHere { .. } => at_field("gap_u_mm", fault),
        Fault::BelowTaut { .. } => at_field("gap_mm", fault),
        Fault::NoAxlePlace => at_field("target_slack_mm", fault),
        Fault::TooManyRounds { .. } => at_field("round_flats", fault),
    }
}

/// The refusal of a fault, worded, under a field.
pub(super) fn at_field(field: &'static str, fault: Fault) -> Refusal {
    let (code, text) = words(fault);
    Refusal::new(field, code, format!("{field}: {text}"))
}

fn words(fault: Fault) -> (&'static str, String) {
    match fault {
        Fault::Overlap { distance, least } => (
            "sprockets_overlap",
            format!(
                "countershaft and axle come as near as {:.1} mm, the sprockets need {:.1} mm. Check arm length, \
                 countershaft and teeth.",
                distance.mm(),
                least.mm()
            ),
        ),
        Fault::DiscInside { distance } => (
            "disc_inside",
            format!(
                "the slider disc and a sprocket, {:.1} mm apart, lie one inside the other. Give the radius of the \
                 pin line and the place of its middle, or leave the slider out.",
                distance.mm()
            ),
        ),
        Fault::OffSprocket => (
            "off_sprocket",
            "a slider of this size would keep the chain off a sprocket. Check its radius and place.".to_owned(),
        ),
        Fault::BeyondReach { most } => (
            "beyond_reach",
            format!("the arm makes at most {:.1} mm of wheel travel from this droop. Check both.", most.mm()),
        ),
        Fault::OutsideTravel { compression, extension } => (
            "outside_travel",
            format!("the arm reaches {:.2} to {:.2} deg. Give an angle inside.", compression.deg(), extension.deg()),
        ),
        Fault::Rests => (
            "rests_on_slider",
            "the run rests on the slider when taut, so free slack cannot be read there. Use the gap kind.".to_owned(),
        ),
        Fault::TooShort { surplus } => (
            "too_short",
            format!("{:.2} mm of chain are missing here. Use more links or move the axle forward.", -surplus.mm()),
        ),
        Fault::NoChainHere { last } => (
            "no_chain_here",
            format!("the chain over the arm ends at {:.1} mm from the pivot. Give a place before it.", last.mm()),
        ),
        Fault::BelowTaut { taut } => (
            "below_taut",
            format!("with the chain just taut the gap is {:.2} mm already; a smaller one cannot be.", taut.mm()),
        ),
        Fault::NoAxlePlace => (
            "no_axle_place",
            "no place of the axle gives this slack without the sprockets touching. Use fewer links.".to_owned(),
        ),
        Fault::TooManyRounds { rounds } => (
            "too_many_rounds",
            format!("{rounds:.0} rounds are no plan; up to 1000 are possible. Check round_flats and the thread."),
        ),
    }
}

/// Notices that every figure with a drive shares.
pub(super) fn noted(answer: Answer, given: &Given<'_>) -> Answer {
    let slider = given.opt("slider_radius_mm").is_some_and(|radius| radius > 0.0);
    let elongation = given.num_or("elongation_pct", 0.0);
    answer
        .notice_if(!slider, "slider_left_out", || {
            "slider_radius_mm is 0 or not given: the slider is left out, though chain that rests on it takes up to \
             1 mm of surplus near full extension."
                .to_owned()
        })
        .notice_if(elongation > MUCH_ELONGATION_PCT, "much_elongation", || {
            format!(
                "elongation_pct is {elongation}: above {MUCH_ELONGATION_PCT} a chain is past any use. Measure again, and \
                 do not ride on it."
            )
        })
}

/// A notice on slack that no bike runs.
pub(super) fn large_slack(answer: Answer, slack_mm: f64) -> Answer {
    answer.notice_if(slack_mm > LARGE_SLACK_MM, "large_slack", || {
        format!(
            "{} of slack is more than {}: the chain can jump off. Check the reading and the geometry.",
            quantity(slack_mm, "mm", 0),
            written(LARGE_SLACK_MM, "mm")
        )
    })
}

/// Notices on where the countershaft lies.
pub(super) fn placed(answer: Answer, given: &Given<'_>, swing: &Swing) -> Answer {
    placed_at(answer, countershaft(given), swing)
}

/// The same for a countershaft that no field gives.
pub(super) fn placed_at(answer: Answer, shaft: Point, swing: &Swing) -> Answer {
    let odd = shaft.size() > FAR_COUNTERSHAFT_MM || shaft.z_mm.abs() > HIGH_COUNTERSHAFT_MM;
    let off = shaft.size() > 0.0 && !line_is_reached(shaft, swing);
    answer
        .notice_if(off, "line_outside_travel", || {
            format!(
                "countershaft, pivot and axle are in line at {:.2} deg, outside the travel of {:.2} to {:.2} deg: the \
                 longest distance lies at an end.",
                shaft.angle_rad().to_degrees(),
                swing.compression.deg(),
                swing.extension.deg()
            )
        })
        .notice_if(odd, "odd_geometry", || {
            format!(
                "the countershaft lies {} ahead of and {} above the pivot; beyond {} away or {} up or down is unusual. \
                 Measure again.",
                quantity(shaft.x_mm, "mm", 0),
                quantity(shaft.z_mm, "mm", 0),
                written(FAR_COUNTERSHAFT_MM, "mm"),
                written(HIGH_COUNTERSHAFT_MM, "mm")
            )
        })
}

/// A notice on a link count that needs a cranked link.
pub(super) fn odd_links(answer: Answer, links: Links) -> Answer {
    answer.notice_if(!links.is_even(), "odd_links", || {
        format!("{} links is odd: only a cranked link closes it, and that link is weaker.", links.count())
    })
}

/// The countershaft's place.
pub(super) fn countershaft(given: &Given<'_>) -> Point {
    Point::new(given.num_or("countershaft_x_mm", 0.0), given.num_or("countershaft_z_mm", 0.0))
}
