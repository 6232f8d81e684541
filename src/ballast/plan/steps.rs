//! A plan as steps: what it takes off and puts on, as an advice has it, so that both are done in the same way.

use super::for_aim::AimPlan;
use super::task::{Placed, Removable};
use crate::ballast::advice::Step;
use crate::ballast::weight::{Weight, least_cut, rounded};
use crate::boat::{Medium, Place};
use crate::fit::Estimate;
use crate::material::LEAD;
use crate::unit::MILLIMETRE;

impl AimPlan {
    /// What it takes off and then puts on: in whole grams, or whole cubic centimetres of what floats, at whole
    /// millimetres.
    pub fn steps(&self) -> Vec<Step> {
        let loading = &self.plan.loading;
        let removed = self.task.removable.iter().zip(&loading.removed);
        let off = removed.filter_map(|(part, mass)| taken_off(part, *mass)).map(Step::TakeOff);
        let on = loading.pieces.iter().filter_map(|piece| self.put_on(piece)).map(Step::Add);
        off.chain(on).collect()
    }

    fn put_on(&self, piece: &Placed) -> Option<Weight> {
        let (slot, item) = (self.task.slots.get(piece.slot)?, self.task.stock.get(piece.item)?);
        let mass = rounded(piece.mass, least_cut(item.density));
        let is_wet = slot.medium == Medium::Wet;
        let water = self.task.states.first().map_or(0.0, |state| state.density);
        (mass > 0.0).then(|| Weight {
            mass: Estimate::new(mass, 0.0),
            x: Estimate::new(rounded(piece.at.x(), MILLIMETRE), 0.0),
            y: Estimate::new(rounded(piece.at.y(), MILLIMETRE), 0.0),
            counts: if is_wet { 1.0 - water / item.density } else { 1.0 },
            material: item.density,
            displaces: is_wet.then_some(item.density),
            place: Place { name: slot.place.clone(), z: piece.at.z(), medium: slot.medium },
        })
    }
}

/// What is taken off a part: by so little less than all of it nothing is left.
fn taken_off(part: &Removable, mass: f64) -> Option<Weight> {
    // A mere weight is of lead as far as anyone knows: foam that displaces nothing is no ballast.
    let density = part.density.unwrap_or(LEAD.density);
    let cut = least_cut(density);
    let is_all = part.mass - mass < cut / 2.0;
    let mass = if is_all { part.mass } else { rounded(mass, cut) };
    let displaces = part.solid.as_ref().map(|_| density);
    let medium = if displaces.is_some() { Medium::Wet } else { Medium::Dry };
    (mass > 0.0).then(|| Weight {
        mass: Estimate::new(mass, 0.0),
        // Where it lies to the last digit: it is found by that.
        x: Estimate::new(part.centre.x(), 0.0),
        y: Estimate::new(part.centre.y(), 0.0),
        counts: 1.0,
        material: density,
        displaces,
        place: Place { name: part.name.clone(), z: part.centre.z(), medium },
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ballast::plan::{Loading, Plan, PlanTask, Reach, Slot, SlotLimit, StockItem};
    use crate::frame::Position;
    use crate::unit::GRAM;

    fn slot(name: &str, medium: Medium) -> Slot {
        Slot {
            name: format!("{name}, aft"),
            place: name.to_owned(),
            reach: Reach::Point(Position::new(-0.2, 0.0, 0.01)),
            medium,
            limit: SlotLimit::Mass(1.0),
            room: [1.0; 3],
            takes: vec![0, 3],
        }
    }

    fn removable(name: &str, mass: f64) -> Removable {
        let centre = Position::new(0.1, 0.0123, 0.0);
        Removable { name: name.to_owned(), mass, centre, solid: None, density: None }
    }

    #[test]
    fn a_plan_s_pieces_and_what_it_takes_off_become_steps() {
        let at = Position::new(-0.2004, 0.0, 0.01);
        let placed = |slot, item, mass| Placed { slot, item, mass, at };
        let made = AimPlan {
            task: PlanTask {
                states: Vec::new(),
                slots: vec![slot("on the keel", Medium::Wet), slot("inside", Medium::Dry)],
                stock: StockItem::usual(),
                removable: vec![removable("a", 0.02), removable("b", 0.05), removable("c", 0.03)],
            },
            plan: Plan {
                loading: Loading {
                    pieces: vec![
                        placed(0, 0, 84.3 * GRAM),
                        placed(1, 0, 20.0 * GRAM),
                        placed(0, 3, 3.01 * GRAM),
                        placed(0, 2, 0.2 * GRAM),
                    ],
                    removed: vec![19.8 * GRAM, 12.4 * GRAM, 0.0],
                    fills: Vec::new(),
                },
                binding: Vec::new(),
                after: Vec::new(),
                relaxation: None,
            },
        };
        let said: Vec<String> = made
            .steps()
            .iter()
            .map(|step| match step {
                Step::Add(w) => format!(
                    "+ {:.2} g {} {:.4} {}",
                    w.mass.value / GRAM,
                    w.place.name,
                    w.x.value,
                    w.displaces.is_some()
                ),
                Step::TakeOff(w) => {
                    format!("- {:.2} g {} {:.4}", w.mass.value / GRAM, w.place.name, w.y.value)
                }
                Step::Shift { .. } => "shift".to_owned(),
            })
            .collect();
        let expected = [
            "- 20.00 g a 0.0123",
            "- 12.00 g b 0.0123",
            "+ 84.00 g on the keel -0.2000 true",
            "+ 20.00 g inside -0.2000 false",
            "+ 3.00 g on the keel -0.2000 true",
        ];
        assert_eq!(said, expected, "less than half a gram is nothing");
    }
}
