//! The cases of kind "plan": the least ballast that makes a boat right in all its states, by an independent program.

use crate::support::case::{boat, list, number, place, text};
use crate::support::differs::Differs;
use serde_json::Value;
use std::path::{Path, PathBuf};
use trimwright::ballast::plan::{
    Bound, Demanded, Form, FreeFill, Lies, LinearAnswer, LinearPlan, Loading, PlanState, PlanTask,
    Reach, Removable, Slot, SlotLimit, StockItem, linear_plan, relaxation,
};
use trimwright::boat::Medium;
use trimwright::float::{Basin, FloatModel, Tolerance, hang, release};
use trimwright::frame::{Pose, Position};
use trimwright::geometry::Fineness;

/// Solids of many facets: the sums of the cases are of exact curves.
const FINE: Fineness = Fineness { around: 2048, along: 128 };
/// To what the objective of the linear form is held, kg.
const LINEAR: f64 = 1e-6;

/// What of a case does not agree, a line each.
pub(crate) fn check(case: &Value, folder: &Path) -> Vec<String> {
    let task = match read_task(case, folder) {
        Ok(task) => task,
        Err(problem) => return vec![problem],
    };
    let (expected, mut differs) = (&case["expected"], Differs::default());
    match linear_plan(&task) {
        Err(error) => differs.0.push(format!("no answer: {error}")),
        Ok(LinearAnswer::Met(plan)) if expected["feasible"] == true => {
            check_plan(&task, &plan, case, &mut differs);
        }
        Ok(LinearAnswer::CannotBeMet) if expected["feasible"] == false => {
            check_relaxation(&task, case, &mut differs);
        }
        Ok(other) => differs.0.push(format!("another verdict: {other:?}")),
    }
    differs.0
}

/// A case by the name of its file, and the folder.
pub(crate) fn read_case(name: &str) -> (Value, PathBuf) {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/cases");
    let text = std::fs::read_to_string(folder.join(format!("{name}.json"))).expect("a case");
    (serde_json::from_str(&text).expect("JSON"), folder)
}

/// A case as it is asked.
pub(crate) fn read_task(case: &Value, folder: &Path) -> Result<PlanTask, String> {
    let boat = boat(&case["boat"], folder);
    let model = FloatModel::new(&boat, FINE).map_err(|e| format!("the boat was refused: {e}"))?;
    let tank = |name: &str| boat.tanks.iter().position(|t| t.name == name).expect("a tank");
    let states = list(case, "demands").iter().map(|demand| {
        let (mut own, mut free) = (model.clone(), Vec::new());
        for (name, fill) in demand["fills"].as_object().expect("fills") {
            match fill.as_f64() {
                Some(fill) => own = own.with_fill(tank(name), fill).expect("a fill"),
                None => free.push(FreeFill {
                    name: name.clone(),
                    tanks: vec![(tank(name), [0.0, 1.0])],
                    range: pair(fill),
                }),
            }
        }
        let at_least = |key: &str| demand[key].as_f64().map(|mm| mm / 1000.0);
        PlanState {
            name: text(demand, "name").to_owned(),
            boat: own,
            lies: match text(demand, "condition") {
                "afloat" => Lies::Afloat(pose(&demand["waterline"])),
                _ => Lies::Under,
            },
            density: demand["water_density"].as_f64().unwrap_or(number(case, "water_density")),
            free,
            weight: [0.0; 2],
            list_moment: number(demand, "list_moment"),
            trim_moment: number(demand, "trim_moment"),
            gm: at_least("gm_mm"),
            bg: at_least("bg_mm"),
            stiffness: None,
        }
    });
    let slots = list(case, "slots");
    let removable = list(case, "removable").iter().map(|one| {
        let part = boat.parts.iter().position(|p| p.name == text(one, "part")).expect("a part");
        Removable {
            name: text(one, "part").to_owned(),
            mass: boat.parts[part].mass,
            centre: boat.parts[part].centre,
            solid: model.nesting().displaced_by_part(part).cloned(),
            density: None,
        }
    });
    Ok(PlanTask {
        states: states.collect(),
        slots: slots.iter().enumerate().map(read_slot).collect(),
        stock: slots.iter().map(read_item).collect(),
        removable: removable.collect(),
    })
}

fn pair(value: &Value) -> [f64; 2] {
    [0, 1].map(|k| value[k].as_f64().expect("two numbers"))
}

/// The upright pose with the water's surface through two points [x, z].
fn pose(waterline: &Value) -> Pose {
    let ([bow_x, bow_z], [stern_x, stern_z]) = (pair(&waterline["bow"]), pair(&waterline["stern"]));
    let trim = ((bow_z - stern_z) / (bow_x - stern_x)).atan();
    let up = Pose::from_angles(0.0, 0.0, trim);
    Pose::from_angles(-up.height_of(Position::new(bow_x, 0.0, bow_z)), 0.0, trim)
}

/// A slot takes the item of its own number.
fn read_slot((k, slot): (usize, &Value)) -> Slot {
    Slot {
        name: text(slot, "name").to_owned(),
        place: text(slot, "name").to_owned(),
        reach: Reach::Point(place(&slot["at"])),
        medium: if slot["displaces"] == true { Medium::Wet } else { Medium::Dry },
        limit: match slot["max_mass"].as_f64() {
            Some(mass) => SlotLimit::Mass(mass),
            None => SlotLimit::Volume(number(slot, "max_volume")),
        },
        // Low enough to lie wholly on one side of the water.
        room: [f64::INFINITY, f64::INFINITY, 0.04],
        takes: vec![k],
    }
}

fn read_item(slot: &Value) -> StockItem {
    let density = number(slot, "material_density");
    let form = if density < 1000.0 { Form::Foam } else { Form::Shot };
    StockItem { material: text(slot, "name").to_owned(), density, form, amount: None }
}

fn check_plan(task: &PlanTask, plan: &LinearPlan, case: &Value, differs: &mut Differs) {
    let (expected, tolerance) = (&case["expected"], &case["tolerance"]);
    let Loading { pieces, removed, fills } = &plan.loading;
    let objective = plan.loading.changed_mass();
    differs.within("objective", objective, number(expected, "objective"), LINEAR);
    let masses = number(tolerance, "masses");
    for (k, slot) in task.slots.iter().enumerate() {
        let got = pieces.iter().filter(|p| p.slot == k).map(|p| p.mass).sum();
        differs.within(&slot.name, got, number(&expected["masses"], &slot.name), masses);
    }
    for (part, got) in task.removable.iter().zip(removed) {
        let want = number(&expected["removed"], &part.name);
        differs.within(&part.name, *got, want, masses);
    }
    for (state, fills) in task.states.iter().zip(fills) {
        for (free, got) in state.free.iter().zip(fills) {
            let want = number(&expected["fills"][&state.name], &free.name);
            differs.within(&free.name, *got, want, number(tolerance, "fills"));
        }
    }
    check_binding(task, plan, case, differs);
    for (k, state) in task.states.iter().enumerate() {
        check_floats(task, &plan.loading, k, case, differs);
        assert!(fills.len() > k, "each state has its fills: {}", state.name);
    }
}

fn name(task: &PlanTask, bound: Bound) -> String {
    let state = |k: usize| &task.states[k];
    match bound {
        Bound::Demand(k, what) => format!("{} {}", state(k).name, what.name()),
        Bound::Slot(k) => format!("slot {}", task.slots[k].name),
        Bound::Stock(k) => format!("stock {}", task.stock[k].material),
        Bound::Fill(k, free) => format!("{} fill {}", state(k).name, state(k).free[free].name),
    }
}

fn check_binding(task: &PlanTask, plan: &LinearPlan, case: &Value, differs: &mut Differs) {
    let relative = number(&case["tolerance"], "price_rel");
    let want = list(&case["expected"], "binding");
    for binding in &plan.binding {
        let name = name(task, binding.what);
        match want.iter().find(|w| text(w, "demand") == name) {
            Some(w) => {
                let price = number(w, "price");
                differs.within(&name, binding.price, price, relative * price);
            }
            None => differs.0.push(format!("{name} binds by {}", binding.price)),
        }
    }
    for w in want {
        let is_there = plan.binding.iter().any(|b| name(task, b.what) == text(w, "demand"));
        if !is_there {
            differs.0.push(format!("{} does not bind", text(w, "demand")));
        }
    }
}

/// Floats the boat with its ballast as real solids, let go upright.
fn check_floats(task: &PlanTask, loading: &Loading, k: usize, case: &Value, differs: &mut Differs) {
    let (state, tolerance) = (&task.states[k], &case["tolerance"]);
    let want = &case["expected"]["floats"][&state.name];
    let (basin, fine) = (Basin::deep(state.density), &Tolerance::FINE);
    let laden = loading.done_to(&state.boat, task).expect("solids");
    let laden = state.free.iter().zip(&loading.fills[k]).fold(laden, |model, (free, share)| {
        model.with_fill(free.tanks[0].0, *share).expect("a fill")
    });
    let named = |what: &str| format!("{} {what}", state.name);
    let pose = match state.lies {
        Lies::Under => {
            let residual = laden.residual_mass(state.density) * 1e3;
            let want_residual = number(want, "residual_g");
            differs.within(
                &named("residual"),
                residual,
                want_residual,
                number(tolerance, "residual_g"),
            );
            // Neutral to the last digit or not, it hangs as it does when it is held.
            let hangs = hang(&laden, basin, fine).expect("water");
            differs.within(&named("bg"), hangs.bg * 1e3, number(want, "bg_mm"), 0.05);
            let gm = hangs.stiffness.across * 1e3;
            differs.within(&named("stiffness across"), gm, number(want, "gm_t_mm"), 0.05);
            hangs.pose
        }
        Lies::Afloat(wanted) | Lies::OnTheWay(wanted) => {
            let lies = release(&laden, basin, fine).expect("water");
            let gm = lies.stiffness().across * 1e3;
            differs.within(&named("gm"), gm, number(want, "gm_t_mm"), 0.1);
            let waterline = &list(case, "demands")[k]["waterline"];
            for (end, want) in ["bow", "stern"].iter().zip(list(want, "marks_off_mm")) {
                let [x, _] = pair(&waterline[*end]);
                let off = lies.pose().water_height_at(x, 0.0) - wanted.water_height_at(x, 0.0);
                let want = want.as_f64().expect("mm");
                differs.within(&named(end), off * 1e3, want, number(tolerance, "marks_mm"));
            }
            lies.pose()
        }
    };
    let list_deg = number(want, "list_deg");
    differs.within(
        &named("list"),
        pose.heel().to_degrees(),
        list_deg,
        number(tolerance, "list_deg"),
    );
    let trim_deg = number(want, "trim_deg");
    differs.within(
        &named("trim"),
        pose.trim().to_degrees(),
        trim_deg,
        number(tolerance, "trim_deg"),
    );
}

fn check_relaxation(task: &PlanTask, case: &Value, differs: &mut Differs) {
    let (expected, tolerance) = (&case["expected"]["relaxation"], &case["tolerance"]);
    let name = |k: usize, what: Demanded| format!("{} {}", task.states[k].name, what.name());
    let price = |k: usize, what: Demanded| number(&case["relax_prices"], &name(k, what));
    let got = match relaxation(task, &price) {
        Ok(got) => got,
        Err(error) => return differs.0.push(format!("no relaxation: {error}")),
    };
    let total = number(expected, "total");
    let relative = number(tolerance, "relaxation_total_rel");
    differs.within("relaxation", got.total, total, relative * total);
    let want = list(expected, "gives");
    for given in &got.gives {
        let name = name(given.state, given.what);
        let Some(w) = want.iter().find(|w| text(w, "demand") == name) else {
            differs.0.push(format!("{name} gives {}", given.amount));
            continue;
        };
        let amount = number(w, "amount");
        let relative = number(tolerance, "gives_rel");
        differs.within(&name, given.amount, amount, relative * amount.abs());
    }
    if got.gives.len() != want.len() {
        differs.0.push(format!("{} demands give, expected {}", got.gives.len(), want.len()));
    }
}
