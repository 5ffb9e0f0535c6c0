//! The runs between the sprockets: where slack is measured, and where the chain draws fingers in.

use upkeep::bike::Bike;

use super::{Ink, NIP, Picture, SLACK, Shape, Spot};
use crate::Setup;
use crate::drawing::{Circle, Outline};
use crate::sheet_band;
use crate::slack::{self, Read};

/// Two sprockets with the straight runs between them, front to the right; sizes only resemble.
pub(super) struct Wheels {
    pub(super) front: Spot,
    pub(super) rear: Spot,
    pub(super) front_mm: f64,
    pub(super) rear_mm: f64,
}

impl Wheels {
    /// A drive as every bike has one, its rear sprocket at a spot.
    pub(super) const fn schematic(rear: Spot) -> Self {
        Self { front: rear.plus(430.0, 20.0), rear, front_mm: 42.0, rear_mm: 110.0 }
    }

    /// Upper and lower run, each from the front to the rear, where they leave the sprockets.
    pub(super) fn runs(&self) -> [(Spot, Spot); 2] {
        let (x, z) = (self.front.x_mm - self.rear.x_mm, self.front.z_mm - self.rear.z_mm);
        let along = z.atan2(x).to_degrees();
        // The outward normal makes this angle with the line of centres.
        let normal = ((self.rear_mm - self.front_mm) / x.hypot(z)).acos().to_degrees();
        // The larger wheel lies behind: the normal leans forward.
        [along + normal, along - normal]
            .map(|angle| (self.front.polar(self.front_mm, angle), self.rear.polar(self.rear_mm, angle)))
    }

    /// The sprockets and the chain round them.
    pub(super) fn draw(&self, picture: &mut Picture, id: &str) {
        picture.circle(&format!("{id}front"), Ink::Steel, self.front, self.front_mm);
        picture.circle(&format!("{id}rear"), Ink::Steel, self.rear, self.rear_mm);
        for (name, (front, rear)) in ["upper", "lower"].into_iter().zip(self.runs()) {
            picture.line(&format!("{id}{name}"), Ink::Chain, front, rear);
        }
    }
}

/// Where the chain runs onto a sprocket, with the wheel turned forward and back.
pub(super) fn nips() -> Picture {
    let finding = "Fingers are drawn in where the chain runs onto a sprocket. Wheel turned forward: lower run at the rear, upper run at \
                   the front. Wheel turned back: upper run at the rear, lower run at the front.";
    let mut picture = Picture::new(NIP, "Where the chain draws fingers in.", finding);
    for (id, forward, rear) in [("forward_", true, Spot::new(0.0, 0.0)), ("back_", false, Spot::new(0.0, -420.0))] {
        let wheels = Wheels::schematic(rear);
        wheels.draw(&mut picture, id);
        let [upper, lower] = wheels.runs();
        let (at_rear, at_front) = if forward { (lower.1, upper.0) } else { (upper.1, lower.0) };
        for (name, at) in [("nip_rear", at_rear), ("nip_front", at_front)] {
            picture.circle(&format!("{id}{name}"), Ink::Limit, at, 30.0);
        }
        picture.say(at_rear.plus(0.0, if forward { -62.0 } else { 36.0 }), "here");
        picture.say(at_front.plus(0.0, if forward { 36.0 } else { -62.0 }), "here");
        way(&mut picture, &format!("{id}upper_way"), upper, forward, -26.0);
        way(&mut picture, &format!("{id}lower_way"), lower, !forward, 26.0);
        turn(&mut picture, id, &wheels, forward);
        let words = if forward { "forward" } else { "back" };
        picture.say(rear.plus(235.0, -14.0), words);
    }
    picture
}

/// An arrow beside the middle of a run.
fn way(picture: &mut Picture, id: &str, (front, rear): (Spot, Spot), forward: bool, off_mm: f64) {
    let part = |share: f64| {
        Spot::new(rear.x_mm + (front.x_mm - rear.x_mm) * share, rear.z_mm + (front.z_mm - rear.z_mm) * share + off_mm)
    };
    let (from, to) = if forward { (part(0.35), part(0.65)) } else { (part(0.65), part(0.35)) };
    picture.arrow(id, Ink::Chain, from, to, 16.0);
}

/// A bent arrow inside the rear sprocket.
fn turn(picture: &mut Picture, id: &str, wheels: &Wheels, forward: bool) {
    let on = |degrees: f64| wheels.rear.polar(70.0, degrees);
    let (from, to) = if forward { (150.0, 30.0) } else { (30.0, 150.0) };
    let shape = Shape::Arc { centre: wheels.rear, radius_mm: 70.0, from: on(from), to: on(to), clockwise: forward };
    picture.add(&format!("{id}turn"), Ink::Steel, shape);
    let back = if forward { to + 90.0 } else { to - 90.0 };
    let tip = on(to);
    let head = vec![tip.polar(18.0, back + 25.0), tip, tip.polar(18.0, back - 25.0)];
    picture.add(&format!("{id}turn_head"), Ink::Steel, Shape::Through(head));
}

/// Where slack is measured, to the scale of this bike; none where the sheet lacks its geometry.
pub(super) fn slack(bike: &Bike, setup: Setup) -> Option<Picture> {
    let view = slack::view(bike, setup, Read::default()).ok()?;
    let outline = view.outlines.first()?;
    // Where that run rests on the slider no slack is read: here it is one piece.
    let lower = outline.lower.first()?;
    let band = sheet_band::words(view.band.from_to_mm);
    let finding = format!(
        "Slack is the whole way of the lower run, midway between the sprockets, from pushed fully down to pulled fully up: \
         {} on the stand with the wheel hanging ({}).",
        band, view.band.whose
    );
    let mut picture = Picture::new(SLACK, "Where slack is measured.", finding);
    picture.to_scale = true;
    drive(&mut picture, outline);
    let (front, rear) = (Spot::new(lower.from_x_mm, lower.from_z_mm), Spot::new(lower.to_x_mm, lower.to_z_mm));
    let middle = Spot::new((front.x_mm + rear.x_mm) / 2.0, (front.z_mm + rear.z_mm) / 2.0);
    let across = (front.z_mm - rear.z_mm).atan2(front.x_mm - rear.x_mm).to_degrees() + 90.0;
    let half = view.target_mm / 2.0;
    let (up, down) = (middle.polar(half, across), middle.polar(-half, across));
    picture.add("pulled_up", Ink::Other, Shape::Through(vec![rear, up, front]));
    picture.add("pushed_down", Ink::Other, Shape::Through(vec![rear, down, front]));
    picture.arrow("slack_up", Ink::Chain, middle, up, 16.0);
    picture.arrow("slack_down", Ink::Chain, middle, down, 16.0);
    picture.say(up.plus(-10.0, 12.0), "fully up");
    picture.say(down.plus(10.0, -52.0), "fully down");
    picture.say(Spot::new(front.x_mm, front.z_mm).plus(-20.0, -60.0), "front");
    Some(picture)
}

/// The sprockets and runs of an outline.
fn drive(picture: &mut Picture, outline: &Outline) {
    let centre = |circle: &Circle| Spot::new(circle.x_mm, circle.z_mm);
    picture.circle("front", Ink::Steel, centre(&outline.countershaft), outline.countershaft.radius_mm);
    picture.circle("rear", Ink::Steel, centre(&outline.axle), outline.axle.radius_mm);
    for (name, runs) in [("upper", &outline.upper), ("lower", &outline.lower)] {
        for (at, run) in runs.iter().enumerate() {
            let (from, to) = (Spot::new(run.from_x_mm, run.from_z_mm), Spot::new(run.to_x_mm, run.to_z_mm));
            picture.line(&format!("{name}_{}", at + 1), Ink::Chain, from, to);
        }
    }
}
