//! What bike it is, its chain and its sprockets.

use measure::bounds::{self, bike};

use crate::bike::{BikeField, Kind, Section};

/// The trade names of the chains that the tool knows.
const SIZES: &[&str] = &{
    let mut names = [""; drive::chain::size::SIZES.len()];
    let mut place = 0;
    while place < names.len() {
        names[place] = drive::chain::size::SIZES[place].name;
        place += 1;
    }
    names
};

const D: Section = Section::Drive;

pub(super) const FIELDS: &[BikeField] = &[
    BikeField::new(Section::Bike, "engine", Kind::Word(&["four-stroke", "two-stroke"]), "engine").says(
        "Two-stroke or four-stroke.",
        "The manual's first pages, or the oil filler: a two-stroke burns oil with its fuel.",
    ),
    BikeField::number(D, "pitch_mm", &bounds::PITCH).says(
        "Distance from one pin to the next.",
        "From the chain size: 520, 525 and 530 have 15.875 mm, 420 and 428 have 12.7 mm.",
    ),
    BikeField::new(D, "size", Kind::Word(SIZES), "chain size")
        .says("The number stamped on the plates.", "Read it on an outer plate, on the box, or on the sprocket."),
    BikeField::whole(D, "front_teeth", &bike::FRONT_TEETH).says(
        "Teeth of the sprocket on the countershaft.",
        "Stamped on the sprocket; else mark one tooth and count round.",
    ),
    BikeField::whole(D, "rear_teeth", &bike::REAR_TEETH).says(
        "Teeth of the sprocket on the rear wheel.",
        "Stamped on the sprocket; else mark one tooth and count round.",
    ),
    BikeField::whole(D, "links", &bike::LINKS).says(
        "Links of the closed chain, inner and outer each counted as one.",
        "Mark the joining link and count pin by pin once round.",
    ),
    BikeField::new(D, "sealed", Kind::Flag, "sealed chain").says(
        "Whether the chain has seal rings between its plates.",
        "Look between inner and outer plates for rubber rings.",
    ),
    BikeField::new(D, "joint", Kind::Word(&["clip", "rivet", "endless"]), "chain joint")
        .says("How the chain is closed.", "Find the link that differs: spring clip, flared pins, or none at all."),
    BikeField::new(D, "front_retention", Kind::Word(&["nut", "snap-ring", "plate"]), "front sprocket held by").says(
        "What keeps the front sprocket on its shaft.",
        "Take the cover off: one large nut, a snap ring, or a plate with two bolts.",
    ),
    BikeField::whole(D, "rear_fasteners", &bike::REAR_FASTENERS)
        .says("Bolts or nuts that hold the rear sprocket.", "Count them round the hub."),
    BikeField::number(D, "roller_mm", &bike::ROLLER)
        .says("Diameter of a chain roller.", "Caliper over one roller of a new chain."),
    BikeField::number(D, "inner_width_mm", &bike::INNER_WIDTH)
        .says("Clear width between the inner plates.", "Inside jaws of a caliper, between two inner plates."),
    BikeField::number(D, "tensile_kn", &bike::TENSILE)
        .says("Tensile strength that the chain's own sheet states.", "The sheet or box of the chain, in kN."),
    BikeField::number(D, "mass_kg_per_m", &bike::CHAIN_MASS)
        .says("Mass of one metre of chain.", "Weigh the new chain, divide by links times pitch in metres."),
];
