//! Plans for the boat as it was read: made when they are asked for, one after the other, and thrown away with the
//! answer that they are of.

use super::derived::PoolAnswer;
use super::desk::Desk;
use crate::device::clock::next_turn;
use crate::signal::{Memo, RwSignal, StoredValue, memo};
use crate::words;
use leptos::prelude::*;
use leptos::task::spawn_local;
use std::sync::Arc;
use trimwright::ballast::Step;
use trimwright::ballast::plan::{AimPlan, Form, Objective, StockItem};
use trimwright::material::LEAD;

/// The most plans that are shown: more cannot be compared on a phone.
const MOST: usize = 3;

/// A plan, and what it is best by.
#[derive(Debug, Clone)]
pub(crate) struct MadePlan {
    /// All objectives by which it is the best.
    pub(crate) best_by: Vec<Objective>,
    /// The plan.
    pub(crate) made: AimPlan,
    /// The chance that it meets the aim, 0 to 1.
    pub(crate) chance: Option<f64>,
    /// What is to be done, in pieces that can be cut.
    pub(crate) steps: Vec<Step>,
}

impl MadePlan {
    fn puts_on(&self, is_such: impl Fn(&StockItem) -> bool) -> bool {
        let stock = &self.made.task.stock;
        let mut pieces = self.made.plan.loading.pieces.iter();
        pieces.any(|piece| stock.get(piece.item).is_some_and(&is_such))
    }

    /// Whether metal or foam is cut for it.
    pub(crate) fn is_cut(&self) -> bool {
        self.puts_on(|item| matches!(item.form, Form::Bar(_) | Form::Sheet(_) | Form::Foam))
    }

    /// Whether lead is handled for it.
    pub(crate) fn has_lead(&self) -> bool {
        self.puts_on(|item| item.material == LEAD.name)
    }
}

/// How far the planning is.
#[derive(Debug, Clone, Default)]
pub(crate) enum Planning {
    /// Nobody asked for plans.
    #[default]
    No,
    /// They are being made.
    Begun,
    /// They are there.
    Made(Arc<Vec<MadePlan>>),
    /// There are none: why.
    Failed(String),
}

/// The plans in the screen that shows them; a `Copy` handle.
#[derive(Clone, Copy)]
pub(crate) struct Plans {
    desk: Desk,
    /// How far they are.
    pub(crate) planning: RwSignal<Planning>,
    /// Whether they may be asked for.
    pub(crate) can_ask: Memo<bool>,
    /// How often the answer has changed.
    changes: StoredValue<u32>,
}

impl Plans {
    /// None yet: they belong to the answer on the screen.
    pub(crate) fn new(desk: Desk) -> Self {
        let (planning, changes) = (RwSignal::new(Planning::No), StoredValue::new(0_u32));
        Effect::new(move |_| {
            desk.derived.answer.track();
            changes.update_value(|n| *n = n.wrapping_add(1));
            planning.set(Planning::No);
        });
        let can_ask = memo(move || {
            let Some(Ok(hand)) = desk.derived.boat.get() else { return false };
            desk.derived
                .answer
                .with(|a| matches!(a.as_ref(), PoolAnswer::Advised(a) if a.can_be_planned(&hand)))
        });
        Self { desk, planning, can_ask, changes }
    }

    /// Makes them. Each takes longer than a frame: between them the screen has its turn.
    pub(crate) fn make(self) {
        self.planning.set(Planning::Begun);
        let when = self.changes.get_value();
        let answer = self.desk.derived.answer.get_untracked();
        spawn_local(async move {
            let PoolAnswer::Advised(advised) = answer.as_ref() else { return };
            let Some(Ok(hand)) = self.desk.derived.boat.get_untracked() else { return };
            let mut plans: Vec<MadePlan> = Vec::new();
            for objective in hand.objectives() {
                next_turn().await;
                if self.changes.try_get_value() != Some(when) {
                    return;
                }
                let density = advised.reading.water_density;
                match hand.plan(advised.fits(), density, objective) {
                    Ok(Some((made, chance))) => add(&mut plans, objective, made, chance),
                    Ok(None) => {}
                    Err(why) => {
                        self.planning.set(Planning::Failed(words::plan::problem(&why)));
                        return;
                    }
                }
            }
            plans.truncate(MOST);
            self.planning.set(Planning::Made(Arc::new(plans)));
        });
    }
}

/// A plan that does the same as another one counts once.
fn add(plans: &mut Vec<MadePlan>, objective: Objective, made: AimPlan, chance: Option<f64>) {
    let steps = made.steps();
    match plans.iter_mut().find(|plan| plan.steps == steps) {
        Some(same) => same.best_by.push(objective),
        None => plans.push(MadePlan { best_by: vec![objective], made, chance, steps }),
    }
}
