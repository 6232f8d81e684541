//! What could cure a lean on the way: candidates, sized from its causes. What each of them does is
//! found by following the changed boat.

use super::cause::{LeanCauses, LeanOrigin, WeightItem};
use super::change::Change;
use super::gm_loss::{GmLoss, LossCause};
use super::room::Room;
use super::summary::{LEANS, Summary};
use crate::boat::{Boat, Bulkhead, BulkheadDirection, Tank};
use crate::fit::Lean;
use crate::float::{Container, FloatModel, Heading, Order};
use crate::geometry::{Axis, Solid};
use crate::unit::{GRAM, MILLIMETRE};

/// What kind of cure it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CureKind {
    /// A bulkhead lengthwise in a tank.
    PartTank,
    /// A tank as long as it must be and narrower.
    NarrowTank,
    /// The tank put lower.
    LowerTank,
    /// A weight put lower.
    LowerWeight,
    /// Foam put higher.
    RaiseFoam,
    /// Weight shifted across, to the centre.
    CentreOffset,
    /// Tanks that flood at once instead of one after the other.
    Together,
    /// Less time with the tanks half full.
    FloodFaster,
    /// More time for trapped water to leave.
    BlowSlower,
    /// Holes through which trapped water leaves sooner.
    LargerHoles,
    /// Nothing but a calm start.
    QuietStart,
}

/// A candidate.
#[derive(Debug, Clone, PartialEq)]
pub struct Cure {
    /// What kind.
    pub kind: CureKind,
    /// What it is done to; none for all of the boat.
    pub item: Option<WeightItem>,
    /// What is done.
    pub change: Change,
}

/// A boat that leans on the way, and why.
#[derive(Debug, Clone, Copy)]
pub struct LeaningBoat<'a> {
    /// The boat.
    pub boat: &'a Boat,
    /// Its model.
    pub model: &'a FloatModel,
    /// Density of the water, kg/m³.
    pub density: f64,
    /// Down or up.
    pub heading: Heading,
    /// Which tank begins when.
    pub order: Order,
    /// The least GM that is right on the way, metres.
    pub least_gm: f64,
    /// The way it goes.
    pub summary: &'a Summary,
    /// What kind of lean it has where it leans most.
    pub lean: Lean,
    /// Why GM is least where it is.
    pub loss: &'a GmLoss,
    /// Why it leans where it leans most.
    pub causes: &'a LeanCauses,
    /// Mass with liquids where it is worst, kg.
    pub mass: f64,
}

/// GM that a cure aims at: half as much again as the least that is right.
const AIM: f64 = 1.5;
/// Lean that a stiffer boat aims at, as a share of the least that is seen.
const AIM_OF_LEAN: f64 = 0.75;
/// A free surface that takes less is not worth a bulkhead, metres.
const LEAST_LOSS: f64 = 0.2 * MILLIMETRE;
/// An offset that is not worth centring, metres.
const LEAST_OFFSET: f64 = 0.02 * MILLIMETRE;
/// A move that is worth making, metres.
const LEAST_MOVE: f64 = 2.0 * MILLIMETRE;
/// A weight that is worth moving, kg.
const LEAST_WEIGHT: f64 = 20.0 * GRAM;
/// A narrower tank: its breadth as a share of what it was.
const NARROWER: f64 = 0.7;

/// What might cure a boat, in no order. Empty for one that stays upright and stiff.
pub fn candidates(leaning: &LeaningBoat<'_>) -> Vec<Cure> {
    if leaning.summary.is_good(leaning.least_gm) {
        return Vec::new();
    }
    let room = Room::of(leaning.boat, leaning.model);
    // Stiff enough in itself, and so stiff that what lies off centre does not lean it visibly.
    let aim = (AIM * leaning.least_gm).max(leaning.causes.offset.abs() / (AIM_OF_LEAN * LEANS));
    let lacking = (aim - leaning.summary.worst.gm.value).max(0.0);
    let mut cures = Vec::new();
    if lacking > 0.0 {
        cures.extend(leaning.of_tanks(&room));
        cures.extend(leaning.lower_weight(&room, lacking));
        cures.extend(leaning.raise_foam(&room, lacking));
    }
    cures.extend(leaning.centre(&room));
    cures.extend(leaning.timing());
    cures
}

impl LeaningBoat<'_> {
    fn loss_by(&self, wanted: LossCause) -> f64 {
        self.loss.parts.iter().find(|(cause, _)| *cause == wanted).map_or(0.0, |(_, loss)| *loss)
    }

    fn of_tanks(&self, room: &Room) -> Vec<Cure> {
        let mut cures = Vec::new();
        for (k, tank) in self.boat.tanks.iter().enumerate() {
            let item = Some(WeightItem::Tank(k));
            if self.loss_by(LossCause::FreeSurface(Container::Tank(k))) > LEAST_LOSS {
                if let Some(bulkhead) = room.middle_of(k, tank) {
                    let change = Change::PartTank { tank: k, bulkhead };
                    cures.push(Cure { kind: CureKind::PartTank, item, change });
                }
                if let Some(cavity) = narrower(&tank.cavity) {
                    let change = Change::ReshapeTank { tank: k, cavity };
                    cures.push(Cure { kind: CureKind::NarrowTank, item, change });
                }
            }
            let down = whole_millimetres_within(room.under_tank(k));
            if down >= LEAST_MOVE {
                let change = Change::MoveTank { tank: k, by: [0.0, 0.0, -down] };
                cures.push(Cure { kind: CureKind::LowerTank, item, change });
            }
        }
        cures
    }

    /// The weight that can bring most of what is lacking, moved no farther than needed.
    fn lower_weight(&self, room: &Room, lacking: f64) -> Option<Cure> {
        let moves = (0..self.boat.parts.len()).filter_map(|part| {
            let weight = room.weight_in_water(part, self.density)?;
            let below = room.under_part(part)?;
            (weight > LEAST_WEIGHT).then_some((part, weight, below))
        });
        let (part, down) = self.best_move(moves, lacking)?;
        let change = Change::MovePart { part, by: [0.0, 0.0, -down] };
        Some(Cure { kind: CureKind::LowerWeight, item: Some(WeightItem::Part(part)), change })
    }

    /// The foam that can bring most of what is lacking.
    fn raise_foam(&self, room: &Room, lacking: f64) -> Option<Cure> {
        let in_the_middle = |part: &usize| room.is_in_the_middle(*part);
        let moves = (0..self.boat.parts.len()).filter(in_the_middle).filter_map(|part| {
            let lift = -room.weight_in_water(part, self.density)?;
            let above = room.over_part(part)?;
            (lift > LEAST_WEIGHT).then_some((part, lift, above))
        });
        let (part, up) = self.best_move(moves, lacking)?;
        let change = Change::MovePart { part, by: [0.0, 0.0, up] };
        Some(Cure { kind: CureKind::RaiseFoam, item: Some(WeightItem::Part(part)), change })
    }

    /// Of parts with the force on each (kg) and the room that it has (metres), the one that can
    /// bring most, and how far it must go; none when that is not worth it.
    fn best_move(
        &self,
        moves: impl Iterator<Item = (usize, f64, f64)>,
        lacking: f64,
    ) -> Option<(usize, f64)> {
        let (part, force, room) = moves.max_by(|a, b| (a.1 * a.2).total_cmp(&(b.1 * b.2)))?;
        let by = whole_millimetres_within(room.min(lacking * self.mass / force + MILLIMETRE));
        (by >= LEAST_MOVE).then_some((part, by))
    }

    /// Takes the offset away: by the part that makes most of it if that comes no farther than the
    /// centre, and by the heaviest weight.
    fn centre(&self, room: &Room) -> Vec<Cure> {
        // Weight shifted sideways makes a loll worse: stiffness first.
        if self.causes.offset.abs() < LEAST_OFFSET || self.lean == Lean::Loll {
            return Vec::new();
        }
        let moment = self.causes.offset * self.mass;
        let culprit = self.causes.parts.iter().find_map(|cause| match cause.origin {
            LeanOrigin::One(WeightItem::Part(part)) if cause.moment * moment > 0.0 => Some(part),
            _ => None,
        });
        let heaviest = (0..self.boat.parts.len())
            .filter(|&part| room.under_part(part).is_some())
            .max_by(|&a, &b| {
                let weight = |part| room.weight_in_water(part, self.density).unwrap_or(0.0);
                weight(a).total_cmp(&weight(b))
            });
        let mut cures: Vec<Cure> = Vec::new();
        for part in [culprit, heaviest].into_iter().flatten() {
            let Some(weight) = room.weight_in_water(part, self.density) else { continue };
            if weight.abs() < LEAST_WEIGHT
                || cures.iter().any(|c| c.item == Some(WeightItem::Part(part)))
            {
                continue;
            }
            let across = (-moment / weight / MILLIMETRE).round() * MILLIMETRE;
            let from = self.boat.parts.get(part).map_or(0.0, |p| p.centre.y());
            if across != 0.0 && room.has_breadth_for(from + across) {
                let change = Change::MovePart { part, by: [0.0, across, 0.0] };
                let item = Some(WeightItem::Part(part));
                cures.push(Cure { kind: CureKind::CentreOffset, item, change });
            }
        }
        cures
    }

    fn timing(&self) -> Vec<Cure> {
        let of = |kind, change| Cure { kind, item: None, change };
        let trapped = self.loss.parts.iter().any(|(cause, loss)| {
            let of_space = matches!(
                cause,
                LossCause::FreeSurface(Container::Space(_))
                    | LossCause::Weight(Container::Space(_))
            );
            of_space && *loss > LEAST_LOSS
        });
        let mut cures = Vec::new();
        if self.order == Order::InTurn && self.boat.tanks.len() > 1 {
            cures.push(of(CureKind::Together, Change::Together));
        }
        match self.heading {
            Heading::Up if trapped => {
                cures.push(of(CureKind::BlowSlower, Change::Blow(2.0)));
                cures.push(of(CureKind::LargerHoles, Change::Drain(0.5)));
            }
            Heading::Up => {}
            Heading::Down => cures.push(of(CureKind::FloodFaster, Change::Flood(0.5))),
        }
        if self.lean == Lean::Loll {
            cures.push(of(CureKind::QuietStart, Change::Nothing));
        }
        cures
    }
}

/// Rounded down, so that there is room.
fn whole_millimetres_within(metres: f64) -> f64 {
    (metres / MILLIMETRE).floor() * MILLIMETRE
}

/// A space of the same capacity that is narrower and longer; none for other shapes than boxes and
/// cylinders fore and aft.
fn narrower(cavity: &Solid) -> Option<Solid> {
    match cavity {
        Solid::Box { size: [length, breadth, height], centre } => Some(Solid::Box {
            size: [length / NARROWER, breadth * NARROWER, *height],
            centre: *centre,
        }),
        &Solid::Cylinder { axis: Axis::X, length, diameter, centre } => Some(Solid::Cylinder {
            axis: Axis::X,
            length: length / (NARROWER * NARROWER),
            diameter: diameter * NARROWER,
            centre,
        }),
        _ => None,
    }
}

impl Room {
    /// A bulkhead in the middle of the broadest of a tank's compartments.
    fn middle_of(&self, number: usize, tank: &Tank) -> Option<Bulkhead> {
        let (low, high) = self.breadth_of_tank(number)?;
        let own =
            tank.bulkheads.iter().filter(|b| b.way == BulkheadDirection::Lengthwise).map(|b| b.at);
        let mut walls: Vec<f64> = own.chain([low, high]).collect();
        walls.sort_by(f64::total_cmp);
        let gaps = walls.windows(2).filter_map(|pair| match pair {
            [a, b] => Some((b - a, f64::midpoint(*a, *b))),
            _ => None,
        });
        let (_, at) = gaps.max_by(|a, b| a.0.total_cmp(&b.0))?;
        Some(Bulkhead { way: BulkheadDirection::Lengthwise, at })
    }
}
