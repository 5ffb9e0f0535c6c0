//! `chain.size` and `chain.match`: dimensions of a size, and whether a chain runs on another size's sprocket.

use drive::chain::size::{LOOSE, Match, Mismatch, ROLLER_TOLERANCE, SIZES, Size, runs_on, size as lookup};
use measure::Standing;

use crate::{Answer, Field, Figure, Given, Refusal};

/// The names of all sizes, in the table's order.
const NAMES: [&str; SIZES.len()] = {
    let mut names = [""; SIZES.len()];
    let mut at = 0;
    while at < SIZES.len() {
        names[at] = SIZES[at].name;
        at += 1;
    }
    names
};

pub(super) const SIZE: Figure = Figure {
    name: "chain.size",
    says: "Dimensions, strength and mass of a chain size.",
    given: &[Field::word("size", &NAMES).meaning("as text: 520, 08B")],
    answer: &[
        ("pitch_mm", "pin to pin, mm"),
        ("roller_mm", "roller diameter, mm"),
        ("inner_width_mm", "between inner plates, mm"),
        ("pin_mm", "pin diameter, mm; null where unknown"),
        ("tensile_kn", "minimum tensile strength, kN: the lower where two figures are known"),
        ("mass_kg_per_m", "mass, kg/m; null where unknown"),
        ("series", "iso606, ansi or motorcycle"),
        ("tensile_standing", "published, or memory: typical and unverified"),
    ],
    formula: "from the tables of sizes",
    sources: &["chain-catalogue", "inch-chain-table", "trade-tables", "motorcycle-chain-memory"],
    ask: size,
};

fn find(given: &Given<'_>, field: &str) -> Result<&'static Size, Refusal> {
    let name = given.text(field)?;
    lookup(name).ok_or_else(|| Refusal::no_such_word(field, name, &NAMES))
}

fn size(given: &Given<'_>) -> Result<Answer, Refusal> {
    let size = find(given, "size")?;
    Ok(Answer::new()
        .num("pitch_mm", size.pitch_mm)
        .num("roller_mm", size.roller_mm)
        .num("inner_width_mm", size.inner_width_mm)
        .num_or_null("pin_mm", size.pin_mm)
        .num("tensile_kn", size.tensile_kn)
        .num_or_null("mass_kg_per_m", size.mass_kg_per_m)
        .text("series", size.series.word())
        .text("tensile_standing", size.tensile_standing.word())
        .notice_if(size.tensile_standing == Standing::Memory, "unverified_tensile", || {
            format!(
                "tensile_kn {} of {} is typical and unverified; types of one size differ up to one to two. \
                 Take the figure of the chain itself.",
                size.tensile_kn, size.name
            )
        }))
}

pub(super) const MATCH: Figure = Figure {
    name: "chain.match",
    says: "Whether a chain of one size runs on a sprocket of another.",
    given: &[
        Field::word("chain_size", &NAMES).meaning("as text: 520, 08B"),
        Field::word("sprocket_size", &NAMES).meaning("as text: 520, 08B"),
    ],
    answer: &[
        ("verdict", "runs, runs loose or does not run"),
        ("because", "list of pitch, roller, width; empty when it runs"),
    ],
    formula: "pitch equal, rollers within 2 %, tooth width ≤ inner width; loose where inner widths differ by over 0.4 mm",
    sources: &["chain-catalogue", "inch-chain-table", "trade-tables", "ours"],
    ask: matched,
};

fn matched(given: &Given<'_>) -> Result<Answer, Refusal> {
    let (chain, sprocket) = (find(given, "chain_size")?, find(given, "sprocket_size")?);
    let (verdict, because) = match runs_on(chain, sprocket) {
        Match::Runs => ("runs", Vec::new()),
        Match::RunsLoose => ("runs loose", vec![Mismatch::Width]),
        Match::DoesNotRun(reasons) => ("does not run", reasons),
    };
    let because: Vec<_> = because.into_iter().map(word).collect();
    Ok(Answer::new().text("verdict", verdict).json("because", because).notice(
        "own_threshold",
        format!(
            "Rollers within {} % and inner widths within {} mm of the sprocket's size are this tool's own thresholds.",
            ROLLER_TOLERANCE * 100.0,
            LOOSE.mm()
        ),
    ))
}

const fn word(mismatch: Mismatch) -> &'static str {
    match mismatch {
        Mismatch::Pitch => "pitch",
        Mismatch::Roller => "roller",
        Mismatch::Width => "width",
    }
}
