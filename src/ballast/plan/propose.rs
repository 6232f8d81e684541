//! Places for ballast proposed from a boat's parts: along the keel, on top, at the bow, at the stern, on both sides.

use super::slot::{Reach, Slot, SlotLimit};
use super::stock::StockItem;
use crate::boat::{Boat, Medium, Place};
use crate::float::FloatModel;
use crate::frame::Position;
use crate::geometry::{Bounds, Fineness, Mesh};
use crate::unit::MILLIMETRE;
use nalgebra::Vector3;

/// Stations along the boat at which it is looked at whether there is room.
const STATIONS: u32 = 24;
/// A run shorter than this share of the length is no place for ballast.
const SHORTEST: f64 = 0.05;
/// How wide and high a piece may be, as shares of beam and depth. Common practice, no source.
const WIDE: f64 = 0.3;
/// See [`WIDE`].
const HIGH: f64 = 0.12;
/// How far to a side the side places lie, as a share of half the beam. Common practice, no source.
const ASIDE: f64 = 0.6;

/// Where ballast may go on a boat: at the heights of its places (or along its keel and on top of it where it has none),
/// in the middle and on both sides, forward, amidships and aft, wherever there is room between its parts (or inside
/// one, for a dry place). In the dry goes no foam: it would lift nothing.
pub fn proposed_slots(boat: &Boat, model: &FloatModel, stock: &[StockItem]) -> Vec<Slot> {
    let bounds = model.bounds();
    let size = bounds.size();
    let room = [WIDE * size.y, HIGH * size.z].map(|r| r.max(5.0 * MILLIMETRE));
    let own = |name: &str, z: f64| Place { name: name.to_owned(), z, medium: Medium::Wet };
    let usual = [
        own("on the keel", bounds.low.z - room[1] / 2.0),
        own("on top", bounds.high.z + room[1] / 2.0),
    ];
    let places = if boat.places.is_empty() { &usual[..] } else { &boat.places[..] };
    let cavities = boat.tanks.iter().filter_map(|tank| tank.cavity.mesh(Fineness::WORK).ok());
    let filled: Vec<Bounds> = cavities.map(|mesh| mesh.bounds()).collect();
    let mut slots = Vec::new();
    for place in places {
        let sides = [(0.0, ""), (1.0, ", port side"), (-1.0, ", starboard side")];
        for (side, aside) in sides {
            let y = bounds.centre().y + side * ASIDE * size.y / 2.0;
            for (medium, run, room) in runs(model, place, y, room, &filled) {
                let part = along(run, bounds.low.x, size.x);
                let names = [format!("{}{part}{aside}", place.name), place.name.clone()];
                slots.push(slot(names, Reach::Rail { x: run, y, z: place.z }, room, medium, stock));
            }
        }
    }
    slots
}

/// The runs at a place's height, `y` to port. What is called dry is so inside a solid; elsewhere water comes to it under
/// water. Where no piece of the full section has room, one of half of it is tried.
fn runs(
    model: &FloatModel,
    place: &Place,
    y: f64,
    room: [f64; 2],
    filled: &[Bounds],
) -> Vec<(Medium, [f64; 2], [f64; 2])> {
    let media: &[Medium] = match place.medium {
        Medium::Dry => &[Medium::Dry, Medium::Wet],
        Medium::Wet => &[Medium::Wet],
    };
    for room in [room, room.map(|r| r / 2.0)] {
        let line = Line { model, y, z: place.z, room, filled };
        for medium in media {
            let runs = line.runs(*medium);
            if !runs.is_empty() {
                return runs.into_iter().map(|run| (*medium, run, room)).collect();
            }
        }
    }
    Vec::new()
}

fn slot(
    [name, place]: [String; 2],
    reach: Reach,
    [wide, high]: [f64; 2],
    medium: Medium,
    stock: &[StockItem],
) -> Slot {
    let length = match reach {
        Reach::Rail { x: [low, high], .. } | Reach::Area { x: [low, high], .. } => high - low,
        Reach::Point(_) => wide,
    };
    let takes = stock.iter().enumerate();
    let takes = takes.filter(|(_, item)| medium == Medium::Wet || !item.is_foam());
    Slot {
        name,
        place,
        reach,
        medium,
        limit: SlotLimit::Volume(length * wide * high),
        room: [length, wide, high],
        takes: takes.map(|(k, _)| k).collect(),
    }
}

/// A line along the boat, and the section of a piece that lies on it.
struct Line<'a> {
    model: &'a FloatModel,
    y: f64,
    z: f64,
    room: [f64; 2],
    /// The boxes around the tanks' cavities.
    filled: &'a [Bounds],
}

impl Line<'_> {
    /// From where to where there is room: inside one solid in the dry, and clear of all in the wet.
    fn runs(&self, medium: Medium) -> Vec<[f64; 2]> {
        let bounds = self.model.bounds();
        let step = bounds.size().x / f64::from(STATIONS);
        let (mut runs, mut open): (Vec<[f64; 2]>, Option<[f64; 2]>) = (Vec::new(), None);
        for k in 0..STATIONS {
            let low = bounds.low.x + f64::from(k) * step;
            let has_room = self.has_room([low, low + step], medium);
            open = match (open, has_room) {
                (Some([from, _]), true) => Some([from, low + step]),
                (None, true) => Some([low, low + step]),
                (ended, false) => {
                    runs.extend(ended);
                    None
                }
            };
        }
        runs.extend(open);
        let long = |[low, high]: &[f64; 2]| high - low >= SHORTEST * bounds.size().x;
        runs.retain(long);
        runs
    }

    /// Whether a piece of the section has room between two stations, both of which are looked at.
    fn has_room(&self, x: [f64; 2], medium: Medium) -> bool {
        let [half_wide, half_high] = self.room.map(|room| room / 2.0);
        let half = Vector3::new(0.0, half_wide, half_high);
        let at = |x: f64| Vector3::new(x, self.y, self.z);
        let own = Bounds { low: at(x[0]) - half, high: at(x[1]) + half };
        let meets = |other: &Bounds| {
            (0..3).all(|k| own.low[k] < other.high[k] && other.low[k] < own.high[k])
        };
        if self.filled.iter().any(meets) {
            return false;
        }
        let corners = [(0.0, 0.0), (1.0, 1.0), (1.0, -1.0), (-1.0, 1.0), (-1.0, -1.0)];
        let points = corners
            .iter()
            .flat_map(|(y, z)| x.map(|x| at(x) + Vector3::new(0.0, y * half_wide, z * half_high)));
        let points: Vec<Vector3<f64>> = points.collect();
        let holds = |solid: &Mesh, point: &Vector3<f64>| {
            solid.bounds().holds(point) && solid.holds(Position::from_vector(*point))
        };
        let solids = self.model.solids();
        match medium {
            Medium::Wet => {
                let near = solids.iter().filter(|solid| meets(&solid.bounds()));
                !near.into_iter().any(|s| is_block(s) || points.iter().any(|p| holds(s, p)))
            }
            Medium::Dry => solids.iter().any(|s| points.iter().all(|p| holds(s, p))),
        }
    }
}

/// What fills so much of the box around it is taken for the whole box: a plate is thinner than what lies between the
/// points that are looked at.
const BLOCK: f64 = 0.6;

fn is_block(solid: &Mesh) -> bool {
    solid.volume() >= BLOCK * solid.bounds().size().product()
}

/// Where along the boat a run lies.
fn along([low, high]: [f64; 2], aft: f64, length: f64) -> &'static str {
    let middle = (f64::midpoint(low, high) - aft) / length;
    if high - low > length / 2.0 {
        ""
    } else if middle > 0.6 {
        ", forward"
    } else if middle < 0.4 {
        ", aft"
    } else {
        ", amidships"
    }
}
