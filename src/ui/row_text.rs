//! What stands in the rows of the bench's lists, and the names of shapes.

use super::figures::percent;
use super::text::{THIN, grams, liquid, millimetres, number, residual};
use crate::state::Shape;
use crate::words::speech::speech;
use crate::words::{t, word};
use trimwright::ballast::UnderAim;
use trimwright::boat::{Boat, Displacer, MadePart, Nesting, SharedVolume};
use trimwright::diary::{MediumRecord, PlaceRecord, StatusRecord, TankKindRecord, TankRecord};
use trimwright::geometry::Fineness;

/// What a part weighs, in its row.
pub(crate) fn part_mass(made: &MadePart) -> String {
    grams(made.part.mass)
}

/// Where a part stands, in its row; nothing for what is fixed.
pub(crate) fn status_words(status: StatusRecord) -> String {
    t!(match status {
        StatusRecord::Fixed => return String::new(),
        StatusRecord::Temporary => word!("figures.temporary"),
        StatusRecord::Planned => word!("figures.planned"),
        StatusRecord::TakenOut => word!("figures.taken_out"),
    })
}

/// Whether a part displaces, where that is not plain: it lies inside another, or it was told.
pub(crate) fn displaces_words(boat: &Boat, nesting: &Nesting, part: usize) -> Option<String> {
    let within = nesting.within(part).map(|within| name_of(boat, within));
    let told = boat.parts.get(part).filter(|p| p.solid.is_some())?.displaces;
    Some(match (within, told) {
        (None, None) => return None,
        (None, Some(true)) => t!("inside.displaces_told"),
        (None, Some(false)) => t!("inside.not_told"),
        (Some(name), Some(true)) => t!("inside.but_displaces", name = name),
        (Some(name), _) => t!("inside.weighs_only", name = name),
    })
}

/// What counts twice because two things are partly in one place.
pub(crate) fn twice_words(boat: &Boat, twice: &SharedVolume) -> String {
    let [one, other] = twice.of.map(|what| name_of(boat, what));
    t!("inside.twice", one = other, other = one, volume = liquid(twice.volume))
}

fn name_of(boat: &Boat, what: Displacer) -> String {
    match what {
        Displacer::Part(k) => boat.parts.get(k).map(|part| part.name.clone()),
        Displacer::Tank(k) => boat.tanks.get(k).map(|tank| tank.name.clone()),
    }
    .unwrap_or_default()
}

/// What a tank holds, in its row; and its kind, unless it is an open one.
pub(crate) fn tank_words(tank: &TankRecord) -> String {
    let mesh = tank.cavity.solid().ok().and_then(|s| s.mesh(Fineness::WORK).ok());
    let capacity = mesh.map(|m| liquid(m.volume())).unwrap_or_default();
    let kind = t!(match tank.kind {
        TankKindRecord::Open => return capacity,
        TankKindRecord::Piston => word!("bench_tank.piston_short"),
        TankKindRecord::Bag => word!("bench_tank.bag_short"),
        TankKindRecord::Sealed => word!("bench_tank.sealed_short"),
    });
    t!("bench_tank.row", kind = kind, capacity = capacity)
}

/// A place for weight, in its row.
pub(crate) fn place_words(place: &PlaceRecord) -> String {
    let wet = place.medium == MediumRecord::Wet;
    let key = if wet { word!("figures.place_wet") } else { word!("figures.place_dry") };
    t!(key, height = millimetres(place.height_m))
}

/// The name of a shape.
pub(crate) fn shape_name(shape: Shape) -> String {
    t!(match shape {
        Shape::Weight => word!("figures.weight"),
        Shape::Box => word!("figures.box"),
        Shape::Cylinder => word!("figures.tube"),
        Shape::Domed => word!("figures.domed"),
        Shape::Cone => word!("figures.cone"),
        Shape::Sphere => word!("figures.ball"),
        Shape::Ellipsoid => word!("figures.ellipsoid"),
        Shape::Turned => word!("figures.turned"),
        Shape::Mesh => word!("figures.mesh"),
    })
}

/// The size of a mesh, `factor` metres in one of its own units: "412 × 78 × 91 mm, 12000 triangles".
pub(crate) fn mesh_size(size: [f64; 3], factor: f64, n_triangles: usize) -> String {
    let unit = speech().length_unit();
    let [l, w, h] = size.map(|s| number(unit.of(s * factor), unit.coarse));
    let size = format!("{l} × {w} × {h}{THIN}{}", unit.sign);
    t!("figures.mesh_size", size = size, count = n_triangles)
}

/// What is right for a boat under water: "Neutral with tanks 60 % to 95 % full".
pub(crate) fn aim_words(aim: UnderAim) -> String {
    match aim {
        UnderAim::AnyAmount { least, most } => {
            t!("bench_aim.neutral_between", least = percent(least), most = percent(most))
        }
        neutral if neutral == UnderAim::NEUTRAL => t!("bench_aim.full_neutral"),
        UnderAim::AllOrNothing { lightest, heaviest } => {
            let [from, to] = [heaviest, lightest].map(residual);
            t!("bench_aim.full_between", from = from, to = to)
        }
    }
}
