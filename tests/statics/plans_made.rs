//! Plans for boats that are off by chance: with the planned pieces on them, as solids, they are right, or it is said why
//! they cannot be.

use crate::plans::read_case;
use crate::support::case::{list, text};
use crate::support::chance::Noise;
use crate::support::real::POOL;
use nalgebra::Vector3;
use trimwright::answer::ReadyBoat;
use trimwright::ballast::plan::{
    AimPlan, Aimed, Lies, Loading, Objective, Plan, PlanError, PlanTask, Reach, SlotLimit,
    StockItem, plan, plan_for_aim, proposed_slots,
};
use trimwright::ballast::{BothConditions, LEVEL};
use trimwright::boat::Medium;
use trimwright::diary::{PartRecord, SolidRecord, StatusRecord, TEMPLATES};
use trimwright::float::{
    Basin, BoatErrors, FloatModel, Tolerance, hang, release, upright_stiffness,
};
use trimwright::frame::Position;

const FINE: &Tolerance = &Tolerance::FINE;
/// GM and BG are not read: they are held to this, metres.
const STIFFNESS: f64 = 0.2e-3;
/// The water at a mark, metres: what is read by eye.
const MARK: f64 = 2e-3;

/// A boat with the pieces of a plan on it, put on one by one by what is known of them outside the plan.
fn laden(boat: &FloatModel, task: &PlanTask, loading: &Loading) -> FloatModel {
    loading.pieces.iter().fold(boat.clone(), |boat, piece| {
        let (slot, item) = (&task.slots[piece.slot], &task.stock[piece.item]);
        match slot.medium {
            Medium::Dry => boat.with_weight(piece.mass, piece.at),
            Medium::Wet => {
                let solid = item.solid(piece.mass, piece.at, slot.room);
                boat.with_solid(piece.mass, piece.at, &solid)
            }
        }
        .expect("a boat with a piece on it")
    })
}

/// How often what came.
#[derive(Debug, Default)]
struct Tally {
    right: u32,
    wrong: Vec<String>,
    cannot: u32,
    silently_wrong: Vec<String>,
}

impl Tally {
    fn count(&mut self, name: &str, plan: &Plan, wrong: &[String]) {
        match &plan.relaxation {
            Some(relaxation) => {
                self.cannot += 1;
                assert!(!relaxation.gives.is_empty(), "{name}: it does not say what must give");
            }
            None if wrong.is_empty() => self.right += 1,
            None => self.wrong.push(format!("{name}: {wrong:?}")),
        }
        if plan.is_right() && !wrong.is_empty() {
            self.silently_wrong.push(format!("{name}: {wrong:?}"));
        }
    }
}

/// An error by chance: of mass up to a twelfth, of the centre of gravity up to some hundredths of the boat's size.
fn off(boat: &FloatModel, noise: &mut Noise) -> FloatModel {
    let size = boat.bounds().size();
    let mut by = |most: f64| most * (2.0 * noise.even() - 1.0);
    let mass = by(boat.bare().mass / 12.0);
    let centre = Vector3::new(by(0.02 * size.x), by(0.02 * size.y), by(0.02 * size.z));
    boat.with_errors(&BoatErrors { mass, centre, displaces: by(0.01) }).expect("a boat")
}

/// What of an aim a boat with a plan does not meet, as the program's other parts see it.
fn misses(hand: &ReadyBoat, off: &FloatModel, made: &AimPlan) -> Vec<String> {
    let (aim, marks, basin) = (hand.aim, &hand.boat.marks, Basin::deep(POOL));
    let boat = laden(off, &made.task, &made.plan.loading);
    let both = BothConditions::of([&boat; 2], basin, aim, marks, 0.0, None).expect("water");
    let mut wrong = Vec::new();
    let mut check = |what: &str, is_right: bool| {
        if !is_right {
            wrong.push(what.to_owned());
        }
    };
    check("afloat", both.is_right_afloat());
    check("level under water", both.under.is_level());
    check("neutral under water", both.fill.lacking.abs() < 0.5e-3);
    check("BG", both.bg >= aim.least.bg - STIFFNESS);
    // At other fills than those that the plan looked at, too.
    for k in 0..=34 {
        let filled = boat.flooded(f64::from(k) / 34.0, POOL).expect("a share");
        if filled.residual_mass(POOL) < -1e-3 {
            let gm = upright_stiffness(&filled, basin, None, FINE).expect("water").0.across;
            check(&format!("GM at {k}/34: {gm}"), gm >= aim.least.gm - STIFFNESS);
        }
    }
    wrong
}

/// What of the demands of a case a boat with a plan does not meet.
fn misses_of_case(task: &PlanTask, plan: &Plan) -> Vec<String> {
    let mut wrong = Vec::new();
    for (k, state) in task.states.iter().enumerate() {
        let mut check = |what: &str, is_right: bool| {
            if !is_right {
                wrong.push(format!("{} {what}", state.name));
            }
        };
        let removed = task.removable.iter().zip(&plan.loading.removed);
        let bare = removed.fold(state.boat.clone(), |boat, (part, mass)| {
            assert!(part.solid.is_none(), "those of the cases displace nothing");
            boat.with_weight(-mass, part.centre).expect("a boat")
        });
        let mut boat = laden(&bare, task, &plan.loading);
        for (free, share) in state.free.iter().zip(&plan.after[k].fills) {
            boat = boat.with_fill(free.tanks[0].0, *share).expect("a fill");
            check("fill", (free.range[0]..=free.range[1]).contains(share));
        }
        let basin = Basin::deep(state.density);
        match state.lies {
            Lies::Under => {
                let hangs = hang(&boat, basin, FINE).expect("water");
                check("residual", hangs.residual.abs() < 0.5e-3);
                check("level", hangs.pose.heel().abs().max(hangs.pose.trim().abs()) < LEVEL);
                check("BG", state.bg.is_none_or(|bg| hangs.bg >= bg - STIFFNESS));
            }
            Lies::Afloat(pose) | Lies::OnTheWay(pose) => {
                let lies = release(&boat, basin, FINE).expect("water");
                let at = |x: f64| {
                    (lies.pose().water_height_at(x, 0.0) - pose.water_height_at(x, 0.0)).abs()
                };
                let bounds = boat.bounds();
                check("marks", at(bounds.low.x).max(at(bounds.high.x)) < MARK);
                check("list", lies.pose().heel().abs() < LEVEL);
                let gm = lies.stiffness().across;
                check("GM", state.gm.is_none_or(|least| gm >= least - STIFFNESS));
            }
        }
    }
    wrong
}

#[test]
fn planned_pieces_make_boats_right_that_are_off_by_chance() {
    let mut tally = Tally::default();
    let mut noise = Noise(16);
    for template in &TEMPLATES {
        let record = template.boat_record().expect("a boat");
        let hand = ReadyBoat::of(&record).expect("a boat");
        let stock = StockItem::usual();
        let slots = proposed_slots(&hand.boat, &hand.model, &stock);
        assert!(slots.len() >= 3, "{}: only {} places", template.name, slots.len());
        for k in 0..35 {
            let off = off(&hand.model, &mut noise);
            let aimed = Aimed {
                afloat: &off,
                under: &off,
                density: POOL,
                aim: hand.aim,
                marks: &hand.boat.marks,
                spread: 0.0,
            };
            let objective = Objective::ALL[k % Objective::ALL.len()];
            let made = plan_for_aim(&aimed, &slots, &stock, &[], objective);
            let name = format!("{} {k} {objective:?}", template.name);
            let made = made.unwrap_or_else(|e| panic!("{name}: {e}")).expect("it has marks");
            tally.count(&name, &made.plan, &misses(&hand, &off, &made));
        }
    }
    for name in ["f01_avocet", "f02_bittern", "f03_mallard_inclined"] {
        let (case, folder) = read_case(name);
        let asked = crate::plans::read_task(&case, &folder).expect("a task");
        assert_eq!(list(&case, "demands").len(), asked.states.len(), "{}", text(&case, "name"));
        for k in 0..20 {
            let seed = 1000 + k;
            let mut task = asked.clone();
            for state in &mut task.states {
                // The same boat in each of its states.
                state.boat = off(&state.boat, &mut Noise(seed));
            }
            let made = plan(&task, Objective::ALL[usize::try_from(k % 4).expect("small")]);
            let made = made.expect("a plan");
            tally.count(&format!("{name} {k}"), &made, &misses_of_case(&task, &made));
        }
    }
    let feasible = tally.right + u32::try_from(tally.wrong.len()).expect("few");
    println!(
        "{} right of {feasible}, {} cannot be met: {:#?}",
        tally.right, tally.cannot, tally.wrong
    );
    assert!(tally.silently_wrong.is_empty(), "silently wrong: {:#?}", tally.silently_wrong);
    assert!(feasible >= 100, "only {feasible} could be met: the test says little");
    assert!(
        tally.right * 100 >= feasible * 99,
        "{} right of {feasible}: {:#?}",
        tally.right,
        tally.wrong
    );
}

#[test]
fn a_boat_that_is_right_is_left_alone() {
    for template in &TEMPLATES[..3] {
        let hand = ReadyBoat::of(&template.boat_record().expect("a boat")).expect("a boat");
        let stock = StockItem::usual();
        let slots = proposed_slots(&hand.boat, &hand.model, &stock);
        let aimed = Aimed {
            afloat: &hand.model,
            under: &hand.model,
            density: POOL,
            aim: hand.aim,
            marks: &hand.boat.marks,
            spread: 0.05,
        };
        for objective in Objective::ALL {
            let made = plan_for_aim(&aimed, &slots, &stock, &[], objective);
            let made = made.expect("a plan").expect("it has marks");
            assert!(made.plan.is_right(), "{}: {:?}", template.name, made.plan);
            assert!(made.plan.loading.pieces.is_empty(), "{}: {:?}", template.name, made.plan);
        }
    }
}

#[test]
fn each_objective_is_as_good_at_its_own_as_the_least_mass() {
    for name in ["f01_avocet", "f02_bittern", "f03_mallard_inclined"] {
        let (case, folder) = read_case(name);
        let mut task = crate::plans::read_task(&case, &folder).expect("a task");
        for part in &mut task.removable {
            part.density = Some(11340.0);
        }
        let [least, few, change, stiff] = Objective::ALL.map(|objective| {
            let made = plan(&task, objective).expect("a plan");
            assert!(made.is_right(), "{name} {objective:?}: {made:?}");
            made
        });
        let pieces = |plan: &Plan| plan.loading.pieces.len();
        assert!(pieces(&few) <= pieces(&least), "{name}: {few:?}");
        // What is bought: all that is put on, less what was there.
        let bought = |plan: &Plan| {
            let on: f64 = plan.loading.pieces.iter().map(|p| p.mass).sum();
            on - plan.loading.removed.iter().sum::<f64>()
        };
        assert!(bought(&change) <= bought(&least) + 2e-3, "{name}: {change:?} {least:?}");
        let bg = |plan: &Plan| plan.after[1].bg.expect("under water");
        assert!(bg(&stiff) >= bg(&least) - STIFFNESS, "{name}: {} {}", bg(&stiff), bg(&least));
        let most = 1.5 * least.loading.changed_mass() + 5e-3;
        assert!(stiff.loading.changed_mass() <= most, "{name}: {stiff:?}");
    }
}

/// In the linear form the block of foam at the stern is taken for as large as its first gram, and the water comes to
/// 0.37 mm from where it should.
#[test]
fn a_piece_that_pierces_the_water_is_planned_for_as_it_is() {
    let (case, folder) = read_case("f03_mallard_inclined");
    let mut task = crate::plans::read_task(&case, &folder).expect("a task");
    for slot in &mut task.slots {
        slot.room = [f64::INFINITY; 3];
    }
    let made = plan(&task, Objective::LeastMass).expect("a plan");
    assert!(made.is_right(), "{made:?}");
    let Lies::Afloat(wanted) = task.states[0].lies else { panic!("afloat comes first") };
    let (mut pierced, mut tallest) = (0, 0.0_f64);
    for piece in &made.loading.pieces {
        let size = task.stock[piece.item].size(piece.mass, task.slots[piece.slot].room);
        let below = wanted.water_height_at(piece.at.x(), piece.at.y()) - piece.at.z();
        pierced += usize::from(below.abs() < size[2] / 2.0);
        tallest = tallest.max(size[2]);
    }
    assert!(
        pierced > 0,
        "none pierces the water, the tallest is {tallest} m: the test says nothing"
    );
    let boat = laden(&task.states[0].boat, &task, &made.loading);
    let lies = release(&boat, Basin::deep(task.states[0].density), FINE).expect("water").pose();
    for x in [-0.3, 0.3] {
        let off = lies.water_height_at(x, 0.0) - wanted.water_height_at(x, 0.0);
        // As near as a gram and a cubic centimetre come, with the trim that the case lets in.
        assert!(off.abs() < 0.1e-3, "at {x}: {off} m");
    }
}

#[test]
fn impossible_figures_are_refused_and_never_stop_the_program() {
    let (case, folder) = read_case("f01_avocet");
    let asked = crate::plans::read_task(&case, &folder).expect("a task");
    let hostile = [f64::NAN, f64::INFINITY, -1.0, 0.0, 1e300, -1e300, 1e-300];
    let changes: [fn(&mut PlanTask, f64); 9] = [
        |task, v| task.states[0].density = v,
        |task, v| task.states[1].weight = [v, v],
        |task, v| task.states[0].list_moment = v,
        |task, v| task.states[0].gm = Some(v),
        |task, v| task.states[1].free[0].range = [v, v],
        |task, v| task.stock[0].density = v,
        |task, v| task.slots[0].room = [v; 3],
        |task, v| task.slots[0].limit = SlotLimit::Mass(v),
        |task, v| task.slots[0].reach = Reach::Point(Position::new(v, 0.0, 0.0)),
    ];
    let (mut refused, mut answered) = (0, 0);
    for change in changes {
        for value in hostile {
            let mut task = asked.clone();
            change(&mut task, value);
            match plan(&task, Objective::LeastMass) {
                Ok(_) => answered += 1,
                Err(error) => {
                    assert!(!error.to_string().is_empty(), "it says what is wrong");
                    refused += 1;
                }
            }
        }
    }
    assert!(refused > 20 && answered > 5, "{refused} refused, {answered} answered");
    let nothing = PlanTask { slots: Vec::new(), states: Vec::new(), ..asked };
    let error = plan(&nothing, Objective::LeastMass).expect_err("nothing to choose");
    assert_eq!(error, PlanError::NothingToChoose);
}

/// A plan takes off only what the boat's list can do without: the rest would be said to be off, and stay.
#[test]
fn only_what_can_be_taken_off_the_list_may_be_planned_off() {
    let mut record = TEMPLATES[0].boat_record().expect("a good file");
    let strapped = |name: &str, solid: Option<SolidRecord>| PartRecord {
        name: name.to_owned(),
        solid,
        mass_kg: Some(0.1),
        centre_m: Some([0.1, 0.0, -0.2]),
        status: StatusRecord::Temporary,
        ..PartRecord::default()
    };
    let ball = SolidRecord::Sphere {
        diameter_m: 0.02,
        centre_m: [0.1, 0.0, -0.2],
        extra: serde_json::Map::new(),
    };
    record.parts.push(strapped("a weight", None));
    record.parts.push(strapped("a ball", Some(ball)));
    let hand = ReadyBoat::of(&record).expect("a good boat");
    let names: Vec<String> = hand.strapped_on().into_iter().map(|part| part.name).collect();
    assert_eq!(names, ["a weight"]);
}
