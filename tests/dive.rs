//! The way down and up: causes that add up, cures that do what they promise, boats that turn over.

mod support;

use nalgebra::Vector3;
use std::path::Path;
use std::sync::Arc;
use support::case;
use support::{assert_close, assert_within};
use trimwright::boat::{Boat, Part, Tank};
use trimwright::dive::{
    Change, Cure, CureKind, GmLoss, LeanCauses, LossCause, Patient, Summary, Verdict, Who, Whose,
    candidates, gm_loss, lean_causes, lean_of, rank,
};
use trimwright::fit::{Lean, ModelSpread};
use trimwright::float::{
    Basin, FloatModel, Flooding, Happening, Heading, Holder, Order, Passage, Steps, Sweep, SweepRow,
};
use trimwright::frame::Position;
use trimwright::geometry::{Fineness, Solid};

const WATER: f64 = 1000.0;

/// A boat of the cases.
fn boat_of(case: &str) -> Boat {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/cases");
    let text = std::fs::read_to_string(folder.join(format!("{case}.json"))).expect("the case");
    let value: serde_json::Value = serde_json::from_str(&text).expect("JSON");
    case::boat(&value["boat"], &folder)
}

fn model_of(boat: &Boat) -> FloatModel {
    FloatModel::new(boat, Fineness::WORK).expect("a good boat")
}

fn down(boat: &Boat) -> (Passage, Sweep) {
    let model = model_of(boat);
    let seconds = vec![20.0; boat.tanks.len()];
    let flooding =
        Flooding::new(&model, Heading::Down, Order::Together, &seconds).expect("good times");
    let passage =
        Passage::new(&model, Basin::deep(WATER), flooding, Arc::default(), Steps::default())
            .expect("good water");
    let sweep = Sweep::along(passage.clone()).expect("good tanks");
    (passage, sweep)
}

/// A way down taken apart.
struct Looked {
    boat: Boat,
    passage: Passage,
    sweep: Sweep,
    summary: Summary,
    loss: GmLoss,
    causes: LeanCauses,
    worst: SweepRow,
}

impl Looked {
    fn at(boat: Boat) -> Self {
        let (passage, sweep) = down(&boat);
        let summary = Summary::of(&sweep, &boat.marks).expect("rows");
        let basin = Basin::deep(WATER);
        let model = |row: &SweepRow| passage.model_in(row).expect("its own row");
        let least = &sweep.rows[summary.worst.gm.row];
        let first = &sweep.rows[0];
        let loss = gm_loss(
            basin,
            (&model(first), first.upright_pose),
            (&model(least), least.upright_pose),
        )
        .expect("good water");
        let worst = sweep.rows[summary.worst.lean.row].clone();
        let causes = lean_causes(&boat, &model(&worst), basin, &worst).expect("good water");
        Self { boat, passage, sweep, summary, loss, causes, worst }
    }

    fn cures(&self) -> Vec<Cure> {
        let model = model_of(&self.boat);
        candidates(&Patient {
            boat: &self.boat,
            model: &model,
            density: WATER,
            heading: Heading::Down,
            summary: &self.summary,
            lean: lean_of(&self.worst, ModelSpread::LEDGER),
            loss: &self.loss,
            causes: &self.causes,
            mass: self.passage.model_in(&self.worst).expect("its own row").mass(),
        })
    }

    fn beam(&self) -> f64 {
        model_of(&self.boat).bounds().size().y
    }

    /// What each cure does, the best first.
    fn tried(&self) -> Vec<(Cure, Summary, Verdict)> {
        let mut tried: Vec<_> = self
            .cures()
            .into_iter()
            .map(|cure| {
                let boat = cure.change.applied(&self.boat).expect("its own parts");
                let (_, sweep) = down(&boat);
                let summary = Summary::of(&sweep, &boat.marks).expect("rows");
                let verdict = Verdict::of(&self.summary, &summary, self.beam());
                (cure, summary, verdict)
            })
            .collect();
        tried.sort_by(|a, b| rank((&a.2, &a.1), (&b.2, &b.1)));
        tried
    }
}

const BOATS: [&str; 3] = ["c01_petrel_sweep", "c02_dabchick_sweep", "c03_grebe_sweep"];

#[test]
fn what_takes_gm_away_adds_up_to_the_whole() {
    for name in BOATS {
        let looked = Looked::at(boat_of(name));
        let first = &looked.sweep.rows[0];
        assert_close(looked.loss.before, first.upright.across, 1e-9, &format!("{name}: before"));
        let least = looked.summary.worst.gm.value;
        assert_within(looked.loss.after, least, 1e-9, &format!("{name}: after"));
        let sum: f64 = looked.loss.parts.iter().map(|(_, loss)| loss).sum();
        assert_within(sum, first.upright.across - least, 1e-9, &format!("{name}: the sum"));
    }
}

#[test]
fn what_leans_a_boat_adds_up_to_the_lean() {
    for name in ["c02_dabchick_sweep", "c03_grebe_sweep"] {
        let looked = Looked::at(boat_of(name));
        let model = |row| looked.passage.model_in(row).expect("its own row");
        for row in looked.sweep.rows.iter().filter(|r| r.pose().heel().abs() > 1e-4) {
            let causes = lean_causes(&looked.boat, &model(row), Basin::deep(WATER), row)
                .expect("good water");
            let sum: f64 = causes.parts.iter().map(|c| c.lean).sum();
            let what = format!("{name} at fill {}", row.fill);
            assert_within(sum, row.pose().heel(), 1e-6, &what);
        }
    }
}

#[test]
fn a_tank_whose_surface_takes_the_gm_is_the_first_cause() {
    // Closed form: i ρ / m with i = l b³ / 12 of the box tank, 0.26 × 0.15 m.
    let looked = Looked::at(boat_of("c02_dabchick_sweep"));
    let (cause, loss) = looked.loss.parts[0];
    assert_eq!(cause, LossCause::FreeSurface(Holder::Tank(0)), "{:?}", looked.loss.parts);
    let mass = looked.passage.model_in(&looked.sweep.rows[looked.summary.worst.gm.row]);
    let surface = 0.26 * 0.15_f64.powi(3) / 12.0 * WATER / mass.expect("its own row").mass();
    assert_close(loss, surface, 2e-3, "its size: the boat trims by a degree");
    assert_eq!(lean_of(&looked.worst, ModelSpread::LEDGER), Lean::Loll, "and it is a loll");
    assert_eq!(looked.causes.parts[0].whose, Whose::TopHeavy, "{:?}", looked.causes.parts);
}

#[test]
fn a_fitting_off_centre_is_named() {
    // Grebe is Dabchick, stiffer, with 40 g at 50 mm to port: its only part off centre.
    let looked = Looked::at(boat_of("c03_grebe_sweep"));
    let fitting = looked.boat.parts.iter().position(|p| p.name == "off-centre fitting");
    let wanted = Whose::One(Who::Part(fitting.expect("it is there")));
    let last = looked.sweep.rows.last().expect("rows");
    assert!(last.loll.is_none(), "under water it is a list");
    let model = looked.passage.model_in(last).expect("its own row");
    let causes = lean_causes(&looked.boat, &model, Basin::deep(WATER), last).expect("water");
    assert_eq!(causes.parts[0].whose, wanted, "{causes:?}");
    assert_close(causes.parts[0].lean, last.pose().heel(), 1e-6, "all of it");
    assert_close(causes.offset * model.mass(), 0.04 * 0.05, 1e-6, "2 g m");
}

#[test]
fn two_tanks_on_either_side_are_one_cause() {
    let mut boat = boat_of("c01_petrel_sweep");
    let saddle = |y: f64, fill: f64| Tank {
        liquid_density: WATER,
        range: Some([0.0, fill]),
        centre: Position::new(0.0, y, -0.02),
        ..Tank::new(
            "saddle",
            Solid::Box { size: [0.2, 0.02, 0.04], centre: Position::new(0.0, y, -0.02) },
        )
    };
    boat.tanks = vec![saddle(0.04, 1.0), saddle(-0.04, 0.8)];
    let looked = Looked::at(boat);
    let last = looked.sweep.rows.last().expect("rows");
    let model = looked.passage.model_in(last).expect("its own row");
    let causes = lean_causes(&looked.boat, &model, Basin::deep(WATER), last).expect("water");
    assert_eq!(causes.parts[0].whose, Whose::Pair(Who::Tank(0), Who::Tank(1)), "{causes:?}");
    // The full one holds 160 g at 40 mm, the other a fifth less.
    assert_close(causes.parts[0].moment, 0.2 * 0.16 * 0.04, 1e-6, "their difference");
}

#[test]
fn every_cure_does_to_the_boat_what_it_promises() {
    let looked = Looked::at(boat_of("c02_dabchick_sweep"));
    let tried = looked.tried();
    assert!(tried.len() >= 5, "several candidates: {tried:?}");
    let (first, summary, verdict) = &tried[0];
    assert!(verdict.cures && !verdict.spoils && !summary.leans(), "{first:?} {summary:?}");
}

#[test]
fn a_boat_with_two_troubles_is_cured_one_after_the_other() {
    // Too little stiffness, and weight off centre: neither cure is enough by itself.
    let mut looked = Looked::at(boat_of("c03_grebe_sweep"));
    let mut done = Vec::new();
    while looked.summary.leans() && done.len() < 4 {
        let before = looked.summary.worst.lean.value.abs();
        let (cure, _, verdict) = looked.tried().swap_remove(0);
        assert!(verdict.helps && !verdict.spoils, "{cure:?}");
        looked = Looked::at(cure.change.applied(&looked.boat).expect("its own part"));
        assert!(looked.summary.worst.lean.value.abs() < before, "{cure:?} helps");
        done.push(cure.kind);
    }
    assert!(!looked.summary.leans(), "{done:?}: {:?}", looked.summary);
}

#[test]
fn a_bulkhead_leaves_a_quarter_of_the_free_surface() {
    // Closed form: 1 / n² for n equal breadths.
    let looked = Looked::at(boat_of("c02_dabchick_sweep"));
    let part = looked.cures().into_iter().find(|c| c.kind == CureKind::PartTank);
    let part = part.expect("the tank takes GM");
    let after = Looked::at(part.change.applied(&looked.boat).expect("its own tank"));
    let of = |looked: &Looked, fill: f64| {
        looked.sweep.nearest(fill).expect("rows").upright.free_surface_across
    };
    assert_close(of(&after, 0.3), of(&looked, 0.3) / 4.0, 1e-6, "at the same fill");
}

#[test]
fn lowering_a_weight_by_so_much_raises_gm_by_its_share() {
    let looked = Looked::at(boat_of("c02_dabchick_sweep"));
    let lower = looked.cures().into_iter().find(|c| c.kind == CureKind::LowerWeight);
    let Cure { change, .. } = lower.expect("battery and drive can go lower");
    let Change::MovePart { part, by } = change.clone() else { panic!("{change:?}") };
    let after = Looked::at(change.applied(&looked.boat).expect("its own part"));
    let (a, b) = (&looked.sweep.rows[0], &after.sweep.rows[0]);
    let mass = model_of(&looked.boat).mass();
    let share = looked.boat.parts[part].mass * -by[2] / mass;
    // It trims by 0.7 degrees, whose cosine is 7e-5 short of one.
    assert_close(b.upright.across - a.upright.across, share, 1e-4, "m d / M");
}

#[test]
fn a_boat_that_turns_over_at_once_is_followed_all_the_same() {
    let mut boat = boat_of("c01_petrel_sweep");
    // Half a kilogram on a mast.
    boat.parts.push(Part::weight("masthead", 0.5, Position::new(0.0, 0.001, 0.9)));
    let (_, sweep) = down(&boat);
    assert_eq!(sweep.events[0].what, Happening::Capsizes, "{:?}", sweep.events);
    assert_within(sweep.events[0].fill, 0.0, 1e-12, "at once");
    assert!(sweep.rows.len() >= 101, "{} rows", sweep.rows.len());
    assert!(sweep.rows.iter().all(|r| r.pose().heel().is_finite()), "all of them numbers");
    let summary = Summary::of(&sweep, &boat.marks).expect("rows");
    assert!(summary.capsizes && summary.leans(), "{summary:?}");
}

#[test]
fn a_sudden_lurch_is_an_event_with_its_fill() {
    // A heavy deck load: upright while the waterplane is broad, over when it narrows.
    let mut boat = boat_of("c02_dabchick_sweep");
    boat.parts.push(Part::weight("deck load", 0.35, Position::new(0.0, 0.0, 0.2)));
    let (_, sweep) = down(&boat);
    let steps: Vec<_> = sweep
        .rows
        .windows(2)
        .map(|w| (w[1].fill, w[0].pose().up().angle(&w[1].pose().up()).to_degrees()))
        .collect();
    for (fill, turned) in &steps {
        let told = sweep.events.iter().any(|e| (e.fill - fill).abs() < 1e-9);
        assert!(*turned < 3.0001 || told, "{turned} degrees at {fill} and no event");
    }
    assert!(!sweep.events.is_empty(), "it does lurch: {steps:?}");
}

#[test]
fn where_the_boat_turns_quickly_there_are_more_rows() {
    let (_, sweep) = down(&boat_of("c02_dabchick_sweep"));
    assert!(sweep.rows.len() > 101, "{} rows", sweep.rows.len());
    for pair in sweep.rows.windows(2) {
        let turned = pair[0].pose().up().angle(&pair[1].pose().up()).to_degrees();
        let step = pair[1].fill - pair[0].fill;
        let is_event = sweep.events.iter().any(|e| (e.fill - pair[1].fill).abs() < 1e-12);
        assert!(turned <= 3.0 || is_event, "{turned} degrees at fill {}", pair[1].fill);
        assert!(!is_event || step < 0.0007, "an event is found to a sixteenth of a step: {step}");
    }
    // The boat that lolls comes upright at once when its stiffness returns.
    let [event] = sweep.events[..] else { panic!("{:?}", sweep.events) };
    assert_eq!(event.what, Happening::Heels, "{event:?}");
    assert!(event.to.heel().abs() < 0.01 && event.from.heel().abs() > 0.1, "{event:?}");
}

#[test]
fn the_angle_of_loll_is_that_of_the_boat_without_its_offset() {
    let with = down(&boat_of("c03_grebe_sweep")).1;
    let mut centred = boat_of("c03_grebe_sweep");
    for part in &mut centred.parts {
        part.centre = Position::new(part.centre.x(), 0.0, part.centre.z());
    }
    let without = down(&centred).1;
    let mut compared = 0;
    for row in with.rows.iter().filter(|r| r.loll.is_some()) {
        let twin = without.nearest(row.fill).expect("rows");
        if (twin.fill - row.fill).abs() < 1e-9 {
            let angle = row.loll.expect("filtered");
            assert_within(angle, twin.pose().heel().abs(), 1e-5, &format!("at {}", row.fill));
            assert!(row.pose().heel().abs() > angle, "the offset adds to it");
            compared += 1;
        }
    }
    assert!(compared > 5, "{compared} rows compared");
}

#[test]
fn mirrored_boats_have_mirrored_causes() {
    let looked = Looked::at(boat_of("c03_grebe_sweep"));
    let mirrored = Looked::at(looked.boat.mirrored());
    assert_within(mirrored.causes.whole, -looked.causes.whole, 1e-7, "the lean");
    for (a, b) in looked.causes.parts.iter().zip(&mirrored.causes.parts) {
        assert_eq!(a.whose, b.whose, "the same causes");
        assert_within(b.lean, -a.lean, 1e-6, "to the other side");
    }
    let shifted = |l: &Looked| {
        let cure = l.cures().into_iter().find(|c| c.kind == CureKind::CentreOffset);
        match cure.expect("it is off centre").change {
            Change::MovePart { by, .. } => Vector3::from(by),
            other => panic!("{other:?}"),
        }
    };
    assert_within(shifted(&mirrored).y, -shifted(&looked).y, 1e-12, "the cure");
}
