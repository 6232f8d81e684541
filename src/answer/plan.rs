//! Plans for the boat in hand: which ballast goes where, for each objective; as they are printed for other programs.

use super::advised::{Advised, look_at};
use super::evidence::Evidence;
use super::in_hand::{InHand, PrintError};
use super::ready_boat::ReadyBoat;
use crate::ballast::plan::{
    AimPlan, Aimed, Bound, Lies, Objective, Placed, PlanError, PlanState, PlanTask, Removable,
    StateAfter, StockItem, chance, plan_for_aim, proposed_slots,
};
use crate::ballast::{ConditionFits, Target, Verdict};
use crate::boat::{Medium, Status};
use crate::diary::Diary;
use crate::fit::{Fit, Lean};
use crate::unit::DEGREE;
use serde::Serialize;
use std::sync::Arc;

impl Advised {
    /// Whether the boat is known well enough for a plan: all was read of it that counts, it is one that was described
    /// part by part, and nothing about it has to be found out first.
    pub fn can_be_planned(&self, hand: &ReadyBoat) -> bool {
        let is_open = match self.advice.verdict {
            Verdict::LiesOver { .. }
            | Verdict::LeanUntold
            | Verdict::ZeroFirst
            | Verdict::TankUntold => true,
            Verdict::LeaveIt
            | Verdict::Do
            | Verdict::ShiftMore { .. }
            | Verdict::NoLift
            | Verdict::Lower { .. }
            | Verdict::TankTooSmall { .. } => false,
        };
        let is_told = self.fit.untold.is_empty() && self.fit.lean != Lean::ListOrLoll;
        let is_described = !hand.is_quick && !hand.boat.marks.is_empty();
        is_told && is_described && !is_open && self.changed.is_none()
    }
}

impl ReadyBoat {
    /// The objectives by which plans for it may differ, what most builders want first: with nothing strapped on, the
    /// least change is the least mass.
    pub fn objectives(&self) -> Vec<Objective> {
        let is_bare = self.strapped_on().is_empty();
        let differs = |objective: &Objective| !is_bare || *objective != Objective::LeastChange;
        let few_first = [
            Objective::FewestPieces,
            Objective::LeastMass,
            Objective::LeastChange,
            Objective::MostStability,
        ];
        few_first.into_iter().filter(differs).collect()
    }

    /// What is strapped on, and may be shifted or taken off.
    pub fn strapped_on(&self) -> Vec<Removable> {
        let nesting = self.model.nesting();
        let parts = self.boat.parts.iter().enumerate();
        let loose = parts.filter(|(_, part)| {
            part.status == Status::Temporary
                && part.mass > 0.0
                && self.strapped.contains(&part.name)
        });
        let removable = loose.map(|(k, part)| Removable {
            name: part.name.clone(),
            mass: part.mass,
            centre: part.centre,
            solid: nesting.displaced_by_part(k).map(Arc::clone),
            density: nesting.shape(k).map(|mesh| part.mass / mesh.volume()),
        });
        removable.collect()
    }

    /// The best plan by an objective for this boat as it was found, from the usual stock at places that follow from its
    /// parts, with the chance (0 to 1) that it meets the aim. None without a mark.
    ///
    /// # Errors
    /// [`PlanError`] for what cannot be calculated.
    pub fn plan(
        &self,
        found: ConditionFits<'_>,
        density: f64,
        objective: Objective,
    ) -> Result<Option<(AimPlan, Option<f64>)>, PlanError> {
        let stock = StockItem::usual();
        let slots = proposed_slots(&self.boat, &self.model, &stock);
        let aimed = Aimed {
            afloat: &found.afloat.found,
            under: &found.under.found,
            density,
            aim: self.aim,
            marks: &self.boat.marks,
            spread: found.under.residual_spread(density),
        };
        let made = plan_for_aim(&aimed, &slots, &stock, &self.strapped_on(), objective)?;
        let Some(made) = made else { return Ok(None) };
        let chance = chance(&made, &aimed, found)?;
        Ok(Some((made, chance)))
    }
}

/// Plans for the boat in hand, one for each objective: they serialize as DEVELOPERS.md describes.
#[derive(Debug, Serialize)]
pub struct PlansPrinted {
    boat: String,
    plans: Vec<PlanPrinted>,
}

#[derive(Debug, Serialize)]
struct PlanPrinted {
    objective: &'static str,
    is_right: bool,
    chance: Option<f64>,
    pieces: Vec<PiecePrinted>,
    removed: Vec<RemovedPrinted>,
    after: Vec<StatePrinted>,
    binding: Vec<BindingPrinted>,
    in_the_way: Vec<GivesPrinted>,
}

#[derive(Debug, Serialize)]
struct PiecePrinted {
    material: String,
    form: &'static str,
    size_m: [f64; 3],
    mass_kg: f64,
    place: String,
    at_m: [f64; 3],
    in_the_wet: bool,
}

#[derive(Debug, Serialize)]
struct RemovedPrinted {
    part: String,
    mass_kg: f64,
}

#[derive(Debug, Serialize)]
struct StatePrinted {
    state: String,
    fill: Option<f64>,
    list_deg: f64,
    trim_deg: f64,
    residual_kg: f64,
    gm_m: Option<f64>,
    bg_m: Option<f64>,
    misses: Vec<MissPrinted>,
}

#[derive(Debug, Serialize)]
struct MissPrinted {
    demand: &'static str,
    by: f64,
}

#[derive(Debug, Serialize)]
struct BindingPrinted {
    what: String,
    price: f64,
}

#[derive(Debug, Serialize)]
struct GivesPrinted {
    what: String,
    amount: f64,
}

impl PlansPrinted {
    /// The plans for the boat in hand, as its newest reading and all before it have it; as it is described where it
    /// was not read. None of them for a boat without a mark.
    ///
    /// # Errors
    /// [`PrintError`] when there is no such boat, or it cannot be calculated.
    pub fn of(diary: &Diary) -> Result<Self, PrintError> {
        let InHand { record, hand, density, newest } = InHand::of(diary)?;
        let plans = match newest {
            Some(asked) => {
                let advised = look_at(&hand, asked, &Evidence::in_hand(diary, &hand))?;
                let density = advised.reading.water_density;
                plans(&hand, advised.fits(), density)?
            }
            None => match Target::at_the_marks(&hand.boat.marks).and_then(|target| target.pose()) {
                Some(pose) => {
                    let fit = Fit::as_described(&hand.model, pose, &hand.known);
                    plans(&hand, ConditionFits { afloat: &fit, under: &fit }, density)?
                }
                None => Vec::new(),
            },
        };
        Ok(Self { boat: record.id.clone(), plans })
    }
}

fn plans(
    hand: &ReadyBoat,
    found: ConditionFits<'_>,
    density: f64,
) -> Result<Vec<PlanPrinted>, PlanError> {
    let mut printed = Vec::new();
    for objective in Objective::ALL {
        if let Some((made, chance)) = hand.plan(found, density, objective)? {
            printed.push(PlanPrinted::of(&made, chance, objective));
        }
    }
    Ok(printed)
}

impl PlanPrinted {
    fn of(made: &AimPlan, chance: Option<f64>, objective: Objective) -> Self {
        let AimPlan { task, plan } = made;
        let removed = task.removable.iter().zip(&plan.loading.removed);
        let removed = removed.filter(|(_, mass)| **mass > 0.0);
        let binding = plan.binding.iter();
        let gives = plan.relaxation.iter().flat_map(|relaxation| &relaxation.gives);
        Self {
            objective: objective.name(),
            is_right: plan.is_right(),
            chance: chance.filter(|chance| chance.is_finite()),
            pieces: plan.loading.pieces.iter().map(|piece| PiecePrinted::of(task, piece)).collect(),
            removed: removed
                .map(|(part, mass)| RemovedPrinted { part: part.name.clone(), mass_kg: *mass })
                .collect(),
            after: task
                .states
                .iter()
                .zip(&plan.after)
                .map(|(state, after)| StatePrinted::of(state, after))
                .collect(),
            binding: binding
                .map(|b| BindingPrinted { what: name(task, b.what), price: b.price })
                .collect(),
            in_the_way: gives
                .map(|g| GivesPrinted {
                    what: name(task, Bound::Demand(g.state, g.what)),
                    amount: g.amount,
                })
                .collect(),
        }
    }
}

/// What a limit is called.
fn name(task: &PlanTask, bound: Bound) -> String {
    let state = |k: usize| task.states.get(k).map_or("", |state| state.name.as_str());
    match bound {
        Bound::Demand(k, what) => format!("{} {}", state(k), what.name()),
        Bound::Slot(k) => {
            format!("place {}", task.slots.get(k).map_or("", |slot| slot.name.as_str()))
        }
        Bound::Stock(k) => {
            format!("stock {}", task.stock.get(k).map_or("", |item| item.material.as_str()))
        }
        Bound::Fill(k, _) => format!("{} fill", state(k)),
    }
}

impl PiecePrinted {
    fn of(task: &PlanTask, piece: &Placed) -> Self {
        let (slot, item) = (&task.slots[piece.slot], &task.stock[piece.item]);
        Self {
            material: item.material.clone(),
            form: item.form.name(),
            size_m: item.size(piece.mass, slot.room),
            mass_kg: piece.mass,
            place: slot.name.clone(),
            at_m: piece.at.vector().into(),
            in_the_wet: slot.medium == Medium::Wet,
        }
    }
}

impl StatePrinted {
    fn of(state: &PlanState, after: &StateAfter) -> Self {
        let is_under = state.lies == Lies::Under;
        Self {
            state: state.name.clone(),
            fill: after.fills.first().copied(),
            list_deg: after.pose.heel() / DEGREE,
            trim_deg: after.pose.trim() / DEGREE,
            residual_kg: after.residual,
            gm_m: (!is_under).then_some(after.stiffness.across),
            bg_m: after.bg,
            misses: after
                .misses
                .iter()
                .map(|miss| MissPrinted { demand: miss.what.name(), by: miss.by })
                .collect(),
        }
    }
}
