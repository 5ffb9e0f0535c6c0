//! What the length figures share: the pair as given, and its refusals.

use drive::chain::{Sprockets, Stops};
use measure::{Length, Links, Teeth, bounds};

use crate::{Field, Given, Refusal};

pub(super) const PITCH: Field = Field::number("pitch_mm", &bounds::PITCH).meaning("pin to pin, new");
pub(super) const FRONT: Field = Field::whole("front_teeth", &bounds::TEETH);
pub(super) const REAR: Field = Field::whole("rear_teeth", &bounds::TEETH);
pub(super) const LINKS: Field =
    Field::whole("links", &bounds::LINKS).meaning("pitches of the closed chain, inner and outer each counted");

/// The two sprockets as given, and with the pitch of their chain.
pub(super) struct Drive {
    pub(super) front: Teeth,
    pub(super) rear: Teeth,
    pub(super) pair: Sprockets,
}

impl Drive {
    pub(super) fn of(given: &Given<'_>) -> Result<Self, Refusal> {
        let (front, rear) = (given.teeth("front_teeth")?, given.teeth("rear_teeth")?);
        Ok(Self { front, rear, pair: Sprockets::new(given.mm("pitch_mm")?, front, rear) })
    }

    pub(super) const fn sprockets(&self) -> [(&'static str, Teeth); 2] {
        [("front_teeth", self.front), ("rear_teeth", self.rear)]
    }

    fn words(&self) -> String {
        format!("{} and {} teeth of {} mm pitch", self.front.count(), self.rear.count(), self.pair.pitch().mm())
    }

    /// A centre distance at which the sprockets clear each other.
    pub(super) fn centre(&self, given: &Given<'_>, field: &str) -> Result<Length, Refusal> {
        let centre = given.mm(field)?;
        if self.pair.clears(centre) {
            return Ok(centre);
        }
        Err(Refusal::new(
            field,
            "sprockets_touch",
            format!(
                "{field} is {} mm; with {} the tooth tips touch below {:.1} mm. \
                 Measure countershaft to axle again, in millimetres.",
                centre.mm(),
                self.words(),
                self.pair.least_centre().mm()
            ),
        ))
    }

    /// The taut centre of a chain; refused under `field` where it cannot go round.
    pub(super) fn taut(&self, field: &str, links: Links) -> Result<Length, Refusal> {
        self.pair.centre(links.real()).ok_or_else(|| self.too_few(field, links))
    }

    pub(super) fn too_few(&self, field: &str, links: Links) -> Refusal {
        Refusal::new(
            field,
            "too_few_links",
            format!(
                "{field} is {}; with {} the tooth tips would touch below {} links. \
                 Count the links again, inner and outer each as one.",
                links.count(),
                self.words(),
                self.pair.least_links().ceil()
            ),
        )
    }
}

/// Both stops, in order and clear of each other's sprockets.
pub(super) fn stops(given: &Given<'_>, drive: &Drive) -> Result<Stops, Refusal> {
    let front = drive.centre(given, "centre_min_mm")?;
    let rear = given.mm("centre_max_mm")?;
    if rear < front {
        return Err(Refusal::new(
            "centre_max_mm",
            "stops_in_wrong_order",
            format!(
                "centre_max_mm is {} mm, less than centre_min_mm {} mm. \
                 The rear stop is the larger distance; swap them if they were entered the wrong way round.",
                rear.mm(),
                front.mm()
            ),
        ));
    }
    Ok(Stops { front, rear })
}
