//! What the drawing shows, as values: the boat's parts, its centres, what to do.

use crate::state::BoatInHand;
use std::sync::Arc;
use trimwright::ballast::{Advice, Forecast, Step};
use trimwright::float::Outcome;
use trimwright::frame::Pose;
use trimwright::geometry::{Fineness, Mesh};

/// A weight in the drawing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Load {
    /// Put on at (x, y, z), metres.
    Add([f64; 3]),
    /// Taken off there.
    TakeOff([f64; 3]),
    /// Shifted by (forward, to port), metres.
    Shift([f64; 2]),
}

impl Load {
    /// The first step of an advice, if it has one.
    pub(crate) fn of(advice: &Advice) -> Option<Self> {
        Some(match advice.steps.first()? {
            Step::Add(w) => Self::Add([w.x.value, w.y.value, w.place.z]),
            Step::TakeOff(w) => Self::TakeOff([w.x.value, w.y.value, w.place.z]),
            Step::Shift { forward, to_port, .. } => Self::Shift([forward.value, to_port.value]),
        })
    }
}

/// What the drawing shows.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Scene {
    /// How the boat lies.
    pub(crate) pose: Pose,
    /// Wholly under: there is no surface in the picture.
    pub(crate) under: bool,
    /// Centre of gravity, body axes, metres.
    pub(crate) gravity: [f64; 3],
    /// Centre of buoyancy, if it is to be drawn.
    pub(crate) buoyancy: Option<[f64; 3]>,
    /// The metacentre against heel, if it is to be drawn.
    pub(crate) metacentre: Option<[f64; 3]>,
    /// What to do.
    pub(crate) load: Option<Load>,
    /// Whether its place along, and across, the boat was read; if not, no distance is drawn.
    pub(crate) told: [bool; 2],
    /// Of a scene between others: how it is drawn so that nothing jumps.
    pub(crate) passing: Option<Passing>,
}

/// How a scene is drawn that is one of many on a way.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Passing {
    /// How far the boat has gone from the surface to where it hangs, 0 to 1.
    pub(crate) sunk: f64,
    /// Angles are drawn larger, here as anywhere on the way.
    pub(crate) larger: bool,
}

impl Scene {
    /// The boat upright on its keel line, before anything is known of how it lies.
    pub(crate) fn upright(gravity: [f64; 3]) -> Self {
        Self {
            pose: Pose::upright(0.0),
            under: false,
            gravity,
            buoyancy: None,
            metacentre: None,
            load: None,
            told: [true; 2],
            passing: None,
        }
    }

    /// The boat as it is forecast to lie, with all its centres.
    pub(crate) fn of(forecast: &Forecast) -> Self {
        Self::lying(forecast.pose, &forecast.outcome)
    }

    /// The boat as it lies in the water, with all its centres.
    pub(crate) fn lying(pose: Pose, outcome: &Outcome) -> Self {
        let under = outcome.submerged();
        let afloat = outcome.afloat();
        let buoyancy = afloat
            .map(|a| a.centre_of_buoyancy)
            .or(under.map(|u| u.centre_of_buoyancy))
            .map(trimwright::frame::Position::vector);
        let metacentre = afloat.zip(buoyancy).map(|(a, b)| {
            // Less what free surfaces take: its distance from G is the GM of the figures.
            let height = a.metacentric_radius() - a.stiffness.free_surface_across;
            (b + a.pose.up().into_inner() * height).into()
        });
        Self {
            pose,
            under: under.is_some(),
            gravity: outcome.centre_of_gravity().vector().into(),
            buoyancy: buoyancy.map(Into::into),
            metacentre,
            load: None,
            told: [true; 2],
            passing: None,
        }
    }
}

/// What can be tapped in the drawing, by its number in the boat's list.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Picked {
    /// A part.
    Part(usize),
    /// A tank.
    Tank(usize),
    /// A mark.
    Mark(usize),
    /// The phone that lies aboard.
    Phone,
}

/// A thing on its way to another place, in the plane of the view it is moved in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Drag {
    /// Which.
    pub(crate) what: Picked,
    /// How far since the drag began, body axes, metres; whole millimetres.
    pub(crate) by: [f64; 3],
    /// The finger was lifted: this is the last of the drag.
    pub(crate) done: bool,
}

/// What a part is made of, as far as it is drawn differently.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Look {
    /// Hatched.
    Metal,
    /// Hatched the other way, wider.
    Plastic,
    /// Grain.
    Wood,
    /// Dots.
    Foam,
    /// A weave.
    Composite,
    /// A free-flooding skin: outline only.
    Shell,
    /// No solid: a dot whose size tells the mass.
    Weight,
    /// A space with water in it.
    Tank,
    /// Plain.
    Other,
}

impl Look {
    /// The class in the style sheet.
    pub(crate) fn class(self) -> &'static str {
        match self {
            Self::Metal => "metal",
            Self::Plastic => "plastic",
            Self::Wood => "wood",
            Self::Foam => "foam",
            Self::Composite => "composite",
            Self::Shell => "shell",
            Self::Weight => "weight",
            Self::Tank => "tank",
            Self::Other => "other",
        }
    }
}

/// A part or tank to draw.
#[derive(Debug, Clone)]
pub(crate) struct Drawn {
    /// Which it is.
    pub(crate) what: Picked,
    /// Its solid, or the space of a tank; none for what is only a weight.
    pub(crate) mesh: Option<Arc<Mesh>>,
    /// Its centre of mass, body axes, metres.
    pub(crate) at: [f64; 3],
    /// What it looks like.
    pub(crate) look: Look,
    /// Planned or taken out: drawn dashed.
    pub(crate) faint: bool,
    /// Inside another part: it does not displace.
    pub(crate) inside: bool,
    /// What the builder calls it.
    pub(crate) name: String,
    /// Kilograms; sizes the dot of a weight.
    pub(crate) mass: f64,
    /// Share of a tank that is water, 0 to 1.
    pub(crate) fill: f64,
}

// By hand: comparing meshes point by point to see whether anything changed would cost more than
// drawing them.
impl PartialEq for Drawn {
    fn eq(&self, other: &Self) -> bool {
        let same_mesh = match (&self.mesh, &other.mesh) {
            (Some(a), Some(b)) => Arc::ptr_eq(a, b),
            (None, None) => true,
            _ => false,
        };
        same_mesh
            && (self.what, self.look, self.faint) == (other.what, other.look, other.faint)
            && self.inside == other.inside
            && self.at == other.at
            && [self.mass, self.fill] == [other.mass, other.fill]
            && self.name == other.name
    }
}

/// All of a boat, without knowledge of what it is made of.
pub(crate) fn drawn_of(hand: &BoatInHand) -> Vec<Drawn> {
    let nesting = hand.model.nesting();
    let parts = hand.boat.parts.iter().enumerate().map(|(k, part)| Drawn {
        what: Picked::Part(k),
        mesh: part.solid.as_ref().and_then(|solid| {
            nesting.shape(k).cloned().or_else(|| solid.mesh(Fineness::WORK).ok())
        }),
        at: part.centre.vector().into(),
        look: if part.solid.is_some() { Look::Other } else { Look::Weight },
        faint: !part.status.is_aboard(),
        inside: nesting.within(k).is_some() && nesting.displaced_by_part(k).is_none(),
        name: part.name.clone(),
        mass: part.mass,
        fill: 0.0,
    });
    let mut drawn: Vec<Drawn> = parts.collect();
    if hand.is_quick {
        // Where its tank lies is not known.
        return drawn;
    }
    drawn.extend(hand.boat.tanks.iter().enumerate().map(|(k, tank)| Drawn {
        what: Picked::Tank(k),
        mesh: tank.cavity.mesh(Fineness::WORK).ok(),
        at: tank.centre.vector().into(),
        look: Look::Tank,
        faint: false,
        inside: false,
        name: tank.name.clone(),
        mass: tank.mass,
        fill: tank.fill,
    }));
    drawn
}

/// What of a boat displaces water, plain and without names: enough where nothing is picked.
pub(crate) fn solids_of(hand: &BoatInHand) -> Vec<Drawn> {
    let plain = |(k, mesh): (usize, &Arc<Mesh>)| Drawn {
        what: Picked::Part(k),
        mesh: Some(Arc::clone(mesh)),
        at: [0.0; 3],
        look: Look::Other,
        faint: false,
        inside: false,
        name: String::new(),
        mass: 0.0,
        fill: 0.0,
    };
    hand.model.solids().iter().enumerate().map(plain).collect()
}
