//! Where ballast may go: points, rails and areas, with how much they take and what fits there.

use super::stock::StockItem;
use crate::boat::Medium;
use crate::frame::{Body, Position};

/// Where in a slot the centre of a piece may be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Reach {
    /// At one place.
    Point(Position<Body>),
    /// Anywhere between two values of x (metres), at one y and z: the piece lies wholly between them.
    Rail {
        /// From and to.
        x: [f64; 2],
        /// To port, metres.
        y: f64,
        /// Height, metres.
        z: f64,
    },
    /// Anywhere in a rectangle at one height: the piece lies wholly inside.
    Area {
        /// From and to, along.
        x: [f64; 2],
        /// From and to, across.
        y: [f64; 2],
        /// Height, metres.
        z: f64,
    },
}

/// How much a slot takes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum SlotLimit {
    /// So much mass, kg.
    Mass(f64),
    /// So much volume, m³.
    Volume(f64),
}

/// A place where ballast may go.
#[derive(Debug, Clone, PartialEq)]
pub struct Slot {
    /// What it is called, told from all others: "on the keel, aft, port side".
    pub name: String,
    /// The place that it belongs to, as it is said after an amount: "on the keel".
    pub place: String,
    /// Where the centre of a piece may be.
    pub reach: Reach,
    /// In the dry a piece displaces nothing; in the wet it displaces wherever it is under.
    pub medium: Medium,
    /// How much it takes of all stock together.
    pub limit: SlotLimit,
    /// The largest piece along, across and up, metres; may be infinite.
    pub room: [f64; 3],
    /// What of the stock may go there, by number.
    pub takes: Vec<usize>,
}

impl Slot {
    /// The places between which the centre of a piece of this size (metres) may be: one, the ends of a rail, or the
    /// corners of an area. A piece too long for its rail lies in the middle of it.
    pub(super) fn ends(&self, size: [f64; 3]) -> Vec<Position<Body>> {
        let within = |[low, high]: [f64; 2], size: f64| {
            let half = (size / 2.0).min((high - low) / 2.0);
            [low + half, high - half]
        };
        let few = |[low, high]: [f64; 2]| if high > low { vec![low, high] } else { vec![low] };
        match self.reach {
            Reach::Point(at) => vec![at],
            Reach::Rail { x, y, z } => {
                few(within(x, size[0])).into_iter().map(|x| Position::new(x, y, z)).collect()
            }
            Reach::Area { x, y, z } => {
                let across = few(within(y, size[1]));
                let along = few(within(x, size[0])).into_iter();
                along.flat_map(|x| across.iter().map(move |&y| Position::new(x, y, z))).collect()
            }
        }
    }

    /// How much of an item it takes at most, kg: by its limit, by what is as long as its room, and by what there is.
    pub(super) fn takes_at_most(&self, item: &StockItem) -> f64 {
        let by_limit = match self.limit {
            SlotLimit::Mass(mass) => mass,
            SlotLimit::Volume(volume) => volume * item.density,
        };
        let [length, width, height] = self.room;
        let by_room = match item.mass_per_length() {
            Some(per_metre) => {
                let [_, wide, high] = item.size(1.0, self.room);
                if wide <= width && high <= height { per_metre * length } else { 0.0 }
            }
            None => length * width * height * item.density,
        };
        by_limit.min(by_room).min(item.amount.unwrap_or(f64::INFINITY))
    }

    /// What a kilogram of an item counts of its limit.
    pub(super) fn share_of_limit(&self, item: &StockItem) -> f64 {
        match self.limit {
            SlotLimit::Mass(_) => 1.0,
            SlotLimit::Volume(_) => 1.0 / item.density,
        }
    }

    /// Its limit, kg or m³.
    pub(super) fn most(&self) -> f64 {
        let (SlotLimit::Mass(most) | SlotLimit::Volume(most)) = self.limit;
        most
    }

    /// True when its figures can be calculated with.
    pub(super) fn is_sound(&self) -> bool {
        let range = |[low, high]: [f64; 2]| low.is_finite() && high.is_finite() && low <= high;
        let reach = match self.reach {
            Reach::Point(at) => at.is_finite(),
            Reach::Rail { x, y, z } => range(x) && y.is_finite() && z.is_finite(),
            Reach::Area { x, y, z } => range(x) && range(y) && z.is_finite(),
        };
        reach && self.most() >= 0.0 && self.most().is_finite() && self.room.iter().all(|r| *r > 0.0)
    }
}
