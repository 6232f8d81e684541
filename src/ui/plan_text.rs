//! A plan in words.

use super::figures::percent;
use super::text::{
    across, along, fine_millimetres, list, lower_first, millimetres, residual, trim, whole_grams,
};
use crate::state::{Datum, MadePlan};
use crate::words::material::shown;
use crate::words::speech::speech;
use crate::words::{t, word};
use trimwright::ballast::plan::{
    AimPlan, Form, Gap, InTheWay, Lies, Objective, Placed, PlanState, Section, StateAfter,
};
use trimwright::unit::{GRAM, Mass, OUNCE};

/// A plan, part by part.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct PlanText {
    /// What it is best by.
    pub(crate) heading: String,
    /// Why it is not the whole of it: what is in the way.
    pub(crate) in_the_way: Vec<String>,
    /// It misses the aim, and nothing is in its way but the pieces.
    pub(crate) just_misses: bool,
    /// What is to be done, a line each: what, and where.
    pub(crate) to_do: Vec<[String; 2]>,
    /// How it lies then, and whether that is right.
    pub(crate) after: Vec<(bool, String)>,
    /// The chance of that.
    pub(crate) chance: Option<String>,
}

impl PlanText {
    /// What is to be done, a line each, for the diary.
    pub(crate) fn lines(&self) -> Vec<String> {
        let line = |[what, place]: &[String; 2]| {
            if place.is_empty() { what.clone() } else { format!("{what}, {place}") }
        };
        self.to_do.iter().map(line).collect()
    }
}

/// A plan in words.
pub(crate) fn plan_text(plan: &MadePlan, datum: Datum) -> PlanText {
    let made = &plan.made;
    let in_the_way: Vec<String> = made.in_the_way().iter().map(gap).collect();
    let removed = made.task.removable.iter().zip(&made.plan.loading.removed);
    let off = removed.filter(|(_, mass)| **mass >= GRAM / 2.0).map(|(part, mass)| {
        let what = if part.mass - mass < GRAM / 2.0 {
            t!("plan.take_off_whole", part = part.name)
        } else {
            t!("plan.take_off", mass = whole_grams(*mass), part = part.name)
        };
        [what, String::new()]
    });
    let on = made.plan.loading.pieces.iter().map(|piece| put_on(made, piece, datum));
    let also = |(k, name): (usize, String)| if k == 0 { name } else { lower_first(&name) };
    let names = plan.best_by.iter().map(|objective| best_by(*objective)).enumerate().map(also);
    PlanText {
        heading: names.collect::<Vec<_>>().join(", "),
        just_misses: in_the_way.is_empty() && !made.plan.is_right(),
        in_the_way,
        to_do: off.chain(on).collect(),
        after: after(made),
        chance: plan.chance.map(chance),
    }
}

fn best_by(objective: Objective) -> String {
    t!(match objective {
        Objective::LeastMass => word!("plan.least_mass"),
        Objective::FewestPieces => word!("plan.fewest_pieces"),
        Objective::LeastChange => word!("plan.least_change"),
        Objective::MostStability => word!("plan.most_stability"),
    })
}

/// A piece, and where it goes.
fn put_on(made: &AimPlan, piece: &Placed, datum: Datum) -> [String; 2] {
    let (slot, item) = (&made.task.slots[piece.slot], &made.task.stock[piece.item]);
    let [mass, material] = [whole_grams(piece.mass), shown(&item.material)];
    let [length, width, height] = item.size(piece.mass, slot.room).map(millimetres);
    let what = match item.form {
        Form::Bar(Section::Round(_)) => {
            t!("plan.round_bar", mass = mass, material = material, width = width, length = length)
        }
        Form::Bar(Section::Flat(..)) => t!(
            "plan.flat_bar",
            mass = mass,
            material = material,
            width = width,
            height = height,
            length = length
        ),
        Form::Bar(_) => t!("plan.bar", mass = mass, material = material, length = length),
        Form::Shot => t!("plan.shot", mass = mass, material = material),
        Form::Sheet(thick) => {
            let height = fine_millimetres(thick);
            t!("plan.sheet", mass = mass, material = material, height = height)
        }
        Form::Washers(_) => t!("plan.washers", mass = mass, material = material),
        Form::Foam => {
            let volume = speech().cut_volume(piece.mass / item.density);
            t!("plan.foam", volume = volume, material = material)
        }
    };
    let [x, y] = [along(piece.at.x(), datum), across(piece.at.y())];
    [what, format!("{}, {x}, {y}", slot.place)]
}

/// How it lies afloat and under, and how stiff it is on the way.
fn after(made: &AimPlan) -> Vec<(bool, String)> {
    let states = || made.task.states.iter().zip(&made.plan.after);
    let at_rest = states()
        .filter_map(|(state, after)| Some((after.misses.is_empty(), lies_then(state, after)?)));
    let on_the_way = || states().filter(|(state, _)| matches!(state.lies, Lies::OnTheWay(_)));
    let least = on_the_way().map(|(_, after)| after.stiffness.across).reduce(f64::min);
    let is_stiff = on_the_way().all(|(_, after)| after.misses.is_empty());
    let way = least.map(|gm| (is_stiff, t!("plan.way", gm = fine_millimetres(gm))));
    let lines = at_rest.chain(way);
    lines
        .map(|(holds, line)| {
            (holds, if holds { line } else { format!("{line} – {}", t!("plan.off")) })
        })
        .collect()
}

fn lies_then(state: &PlanState, after: &StateAfter) -> Option<String> {
    let lies = format!("{}, {}", list(after.pose.heel()), trim(after.pose.trim()));
    match state.lies {
        Lies::Afloat(_) => {
            Some(t!("plan.afloat", lies = lies, gm = fine_millimetres(after.stiffness.across)))
        }
        Lies::Under => {
            let lies = format!("{lies}, {}", residual(after.residual));
            let bg = fine_millimetres(after.bg.unwrap_or_default());
            Some(match after.fills.first() {
                Some(fill) => {
                    t!("plan.under_filled", fill = percent(*fill), lies = lies, bg = bg)
                }
                None => t!("plan.under", lies = lies, bg = bg),
            })
        }
        Lies::OnTheWay(_) => None,
    }
}

/// A hundredth: no chance is told as sure, or as none.
const HUNDREDTH: f64 = 0.01;

fn chance(chance: f64) -> String {
    let (key, shown) = if chance < HUNDREDTH {
        (word!("plan.small_chance"), HUNDREDTH)
    } else if chance > 1.0 - HUNDREDTH {
        (word!("plan.great_chance"), 1.0 - HUNDREDTH)
    } else {
        (word!("plan.chance"), chance)
    };
    t!(key, chance = percent(shown))
}

/// What is in the way, in figures that can be pictured.
fn gap(one: &InTheWay) -> String {
    // A handy weight to think with.
    let handy = match speech().mass {
        Mass::Gram => 100.0 * GRAM,
        Mass::Ounce => 4.0 * OUNCE,
    };
    let moved = |moment: f64| [whole_grams(handy), millimetres(moment / handy)];
    let gap = match one.gap {
        Gap::Mass(mass) => residual(mass),
        Gap::Across(moment) => {
            let [mass, length] = moved(moment);
            t!("plan.gap_across", mass = mass, length = length)
        }
        Gap::Along(moment) => {
            let [mass, length] = moved(moment);
            t!("plan.gap_along", mass = mass, length = length)
        }
        Gap::Gm(short) => t!("plan.gap_gm", length = fine_millimetres(short)),
        Gap::Bg(short) => t!("plan.gap_bg", length = fine_millimetres(short)),
    };
    let key = match one.lies {
        Lies::Afloat(_) => word!("plan.gap_afloat"),
        Lies::Under => word!("plan.gap_under"),
        Lies::OnTheWay(_) => word!("plan.gap_way"),
    };
    t!(key, gap = gap)
}
