//! `ride.track`: what a recorded track holds, and how a figure is handed one.

use measure::Speed;
use measure::bounds::ride as bounds;
use ride::track::{Class, Limits, Rules, Sifted, Track, read, sift};

use crate::{Answer, Field, Figure, Given, Refusal};

/// The fields by which any figure takes a track.
pub(super) const GPX_FILE: Field = Field::text("gpx_file")
    .optional("none")
    .meaning("path of the track, relative to the file of lines that names it or to the current folder");
/// See [`GPX_FILE`].
pub(super) const GPX: Field = Field::text("gpx").optional("none").meaning("the document itself");
/// The fastest hop believed.
pub(super) const CAP: Field = Field::number("cap_mps", &bounds::HOP_CAP).optional("60");
/// The longest pause inside a part.
pub(super) const GAP: Field = Field::number("gap_s", &bounds::PAUSE).optional("60");

pub(super) const FIGURE: Figure = Figure {
    name: "ride.track",
    says: "What a recorded track holds: points, parts, times, distances, and what had to be left out.",
    given: &[GPX_FILE, GPX, CAP, GAP],
    answer: &[
        ("class", "timed, partly timed (some points without time) or geometry only (no speed can be told)"),
        ("tracks", "track elements"),
        ("routes", "route elements, counted and not read"),
        ("waypoints", "waypoints, counted and not read"),
        ("segments", "track segments, empty ones too"),
        ("points", "points with a valid position"),
        ("points_dropped", "points without a valid position, left out"),
        ("with_elevation", "points with an elevation"),
        ("with_time", "points with a readable time"),
        ("time_dropped", "timed points left out because their time does not rise"),
        ("spikes", "points left out because they could not have been reached"),
        ("parts", "parts without a pause"),
        ("distance_raw_m", "length over all points within each segment, m; noise makes it long"),
        ("distance_parts_m", "length over the parts, m"),
        ("duration_s", "time inside the parts, s"),
        ("max_hop_kmh", "fastest hop inside a part, km/h; absent without a hop"),
        ("interval_s", "median time between two points, s; absent without a hop"),
    ],
    formula: "longest rising run of times per segment; a hop above cap_mps is a spike unless three points agree; \
              a pause above gap_s starts a part; lengths are geodesics on WGS84",
    sources: &["track-rules", "karney"],
    ask,
};

/// The track of `gpx_file` or `gpx`, exactly one of which must be given.
///
/// # Errors
/// Neither or both (`gpx_file`), or the one given cannot be read.
pub(super) fn given_track(given: &Given<'_>) -> Result<Track, Refusal> {
    let (field, text) = match (given.has("gpx_file"), given.opt_text("gpx")) {
        (true, None) => ("gpx_file", given.track("gpx_file")?),
        (false, Some(text)) => ("gpx", text.to_owned()),
        (named, _) => {
            let said = if named { "both gpx_file and gpx are given" } else { "neither gpx_file nor gpx is given" };
            let text = format!("{said}. Give the path of one track, or one document.");
            return Err(Refusal::new("gpx_file", "one_track", text));
        }
    };
    read(&text, &Limits::USUAL)
        .map_err(|fault| Refusal::new(field, "no_track", format!("{field} cannot be read: {fault}.")))
}

/// The rules of `cap_mps` and `gap_s`.
pub(super) fn given_rules(given: &Given<'_>) -> Rules {
    Rules {
        cap: given.opt("cap_mps").map_or(Rules::USUAL.cap, Speed::from_mps),
        gap_s: given.num_or("gap_s", Rules::USUAL.gap_s),
    }
}

/// What a person must know about a track before believing anything made of it.
pub(super) fn track_notices(answer: Answer, track: &Track, class: Class) -> Answer {
    let points = track.points();
    let answer = match &track.cut {
        Some(cut) => answer.notice(
            "truncated",
            format!(
                "The document breaks off at line {} ({}); the {points} points before it are used.",
                cut.line, cut.why
            ),
        ),
        None => answer,
    };
    let none = || format!("The track has no point with a valid position; {} were dropped.", track.points_dropped);
    let bare = || format!("No usable times among {points} points: distance and grade can be told, speed cannot.");
    answer.notice_if(points == 0, "no_points", none).notice_if(
        points > 0 && class == Class::GeometryOnly,
        "geometry_only",
        bare,
    )
}

fn ask(given: &Given<'_>) -> Result<Answer, Refusal> {
    let track = given_track(given)?;
    let sifted = sift(&track, &given_rules(given));
    Ok(track_notices(answer(&track, &sifted), &track, sifted.class))
}

fn answer(track: &Track, sifted: &Sifted) -> Answer {
    let count = |answer: Answer, name, count: usize| answer.json(name, count);
    let answer = Answer::new().text("class", sifted.class.word());
    [
        ("tracks", track.tracks),
        ("routes", track.routes),
        ("waypoints", track.waypoints),
        ("segments", track.segments.len()),
        ("points", track.points()),
        ("points_dropped", track.points_dropped),
        ("with_elevation", sifted.with_elevation),
        ("with_time", sifted.with_time),
        ("time_dropped", sifted.time_dropped),
        ("spikes", sifted.spikes),
        ("parts", sifted.parts.len()),
    ]
    .into_iter()
    .fold(answer, |answer, (name, found)| count(answer, name, found))
    .num("distance_raw_m", sifted.distance_raw_m)
    .num("distance_parts_m", sifted.distance_parts_m)
    .num("duration_s", sifted.duration_s)
    .num_if("max_hop_kmh", sifted.hops.map(|hops| hops.fastest.kmh()))
    .num_if("interval_s", sifted.hops.map(|hops| hops.interval_s))
}
