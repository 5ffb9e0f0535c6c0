//! What to buy, described so that the right one comes: pitch, width, teeth, links, joint; the rest as fitted.

use upkeep::bike::Bike;
use upkeep::job::{SheetPart, WorkSheet};

use crate::ask::{Given, ask, with};
use crate::fact::{Cell, Column, Table};
use crate::setup::Setup;
use crate::words;

/// What stands for the joint of a chain that nobody looked at.
const NO_JOINT: &str = "clip, rivet or endless is not on the sheet";

/// The parts of a plan.
pub(super) fn table(bike: &Bike, setup: Setup, sheet: &WorkSheet<'_>) -> Table {
    let columns = vec![Column::words("role", "Part"), Column::numbers("qty", "Qty"), Column::words("spec", "Exactly")];
    let mut table = Table::new("parts", "Parts to have before the first bolt is loosened", columns);
    let chain = Chain::of(bike);
    for part in &sheet.parts {
        let qty = quantity(bike, part);
        let role =
            if part.line.optional { format!("{} (if needed)", part.line.role) } else { part.line.role.to_owned() };
        table.rows.push(vec![
            Cell::words(role),
            Cell::number(f64::from(qty), 0),
            Cell::words(spec(bike, setup, &chain, part)),
        ]);
    }
    table
}

/// As many fasteners as the sheet counts, else as the library says.
fn quantity(bike: &Bike, part: &SheetPart<'_>) -> u32 {
    let fasteners = part.line.role.starts_with("rear sprocket bolts").then(|| bike.whole("rear_fasteners")).flatten();
    fasteners.unwrap_or(part.line.qty)
}

fn spec(bike: &Bike, setup: Setup, chain: &Chain, part: &SheetPart<'_>) -> String {
    let library = part.part.map_or("", |part| part.spec.as_str());
    match part.line.role {
        "chain" => {
            let joint = bike.word("joint").map_or_else(|| NO_JOINT.to_owned(), |joint| format!("{joint} joint"));
            format!("{}, {} links, {joint}", chain.words(bike), setup.links)
        }
        "front sprocket" => format!("{} teeth for {}; spline and offset as fitted", setup.front_teeth, chain.short()),
        "rear sprocket" => format!(
            "{} teeth for {}; bolt circle{}, bore and offset as fitted",
            setup.rear_teeth,
            chain.short(),
            bike.whole("rear_fasteners").map(|count| format!(" of {count} fasteners")).unwrap_or_default()
        ),
        "connecting link" => link_words(bike, chain, library),
        "front sprocket retention" => match bike.word("front_retention") {
            Some("nut") => "new lock washer for the countershaft nut; nut if the manual says so".to_owned(),
            Some("snap-ring") => "new snap ring, size as fitted".to_owned(),
            Some("plate") => "new bolts or washers for the retaining plate, as the manual says".to_owned(),
            _ => library.to_owned(),
        },
        _ => library.to_owned(),
    }
}

/// The link, and what each is for where the job wants more than one.
fn link_words(bike: &Bike, chain: &Chain, library: &str) -> String {
    let kind = match bike.word("joint") {
        Some("rivet") => "rivet type",
        Some("endless") => "rivet type, made for the chain (the fitted chain has no joint)",
        Some(_) => "clip type, with a new clip",
        None => "clip or rivet type: the joint is not on the sheet",
    };
    let rings = if bike.flag("sealed") == Some(true) { ", with 4 seal rings and grease" } else { "" };
    let each = library.split_once(": ").map(|(_, each)| format!(". {}", words::capital(each))).unwrap_or_default();
    format!("for {}, made for that chain, {kind}{rings}{each}", chain.short())
}

/// What the sheet and the size table say of the chain.
struct Chain {
    size: Option<String>,
    pitch_mm: Option<f64>,
    inner_width_mm: Option<f64>,
}

impl Chain {
    fn of(bike: &Bike) -> Self {
        let size = bike.word("size").map(str::to_owned);
        let table = size.as_ref().and_then(|size| ask("chain.size", &with(Given::new(), "size", size.as_str())).ok());
        let from_table = |key: &str| table.as_ref().and_then(|answer| answer.get(key));
        Self {
            pitch_mm: bike.number("pitch_mm").or_else(|| from_table("pitch_mm")),
            inner_width_mm: bike.number("inner_width_mm").or_else(|| from_table("inner_width_mm")),
            size,
        }
    }

    fn short(&self) -> String {
        let size =
            self.size.as_ref().map_or_else(|| "chain size not on the sheet".to_owned(), |size| format!("{size} chain"));
        match self.pitch_mm {
            Some(pitch) => format!("{size} (pitch {})", words::quantity(pitch, "mm", 3)),
            None => size,
        }
    }

    fn words(&self, bike: &Bike) -> String {
        let width = self
            .inner_width_mm
            .map(|width| format!(", inner width {}", words::quantity(width, "mm", 2)))
            .unwrap_or_default();
        let sealed = match bike.flag("sealed") {
            Some(true) => ", sealed",
            Some(false) => ", plain",
            None => "",
        };
        format!("{}{width}{sealed}", self.short())
    }
}
