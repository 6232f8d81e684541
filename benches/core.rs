//! Benchmarks of the core: one cut of a large mesh, the import of one, an equilibrium, a way down,
//! a back-solve, an answer, a plan.
//!
//! The 18-part boat is Petrel of the JSON cases, half way down.

#[path = "../tests/support/case.rs"]
#[expect(unreachable_pub, reason = "shared with the tests, where it is reachable")]
mod case;

use divan::{Bencher, black_box};
use nalgebra::{Unit, Vector3};
use serde_json::Value;
use std::path::Path;
use std::sync::Arc;
use stl_io::{Normal, Triangle, Vertex};
use trimwright::answer::{
    AdviceRequest, Evidence, KeptSession, KeptSighting, KeptWhat, ReadyBoat, look_at,
};
use trimwright::ballast::plan::{
    Aimed, Objective, Reach, Slot, SlotLimit, StockItem, plan_for_aim,
};
use trimwright::ballast::{Remedy, Target, advise, outlook};
use trimwright::boat::{Boat, Mark, Medium, Place};
use trimwright::diary::TEMPLATES;
use trimwright::fit::{KnownErrors, back_solve};
use trimwright::float::{
    Basin, FloatModel, Flooding, Heading, Order, Passage, Steps, Sweep, Tolerance, release,
    settle_from,
};
use trimwright::frame::Position;
use trimwright::geometry::{Fineness, Solid, StlImport};
use trimwright::reading::{ANGLE_SPREAD, Condition, MARK_SPREAD, Observation, Reading, Seen};

fn main() {
    divan::main();
}

/// What is below a plane through a mesh of about 100,000 triangles.
#[divan::bench]
fn clip_100k_triangles(bencher: Bencher<'_, '_>) {
    let ball = Solid::Sphere { diameter: 0.2, centre: Position::ORIGIN }
        .mesh(Fineness { around: 224, along: 224 })
        .expect("a sphere");
    let up = Unit::new_normalize(Vector3::new(0.1, 0.2, 1.0));
    bencher.bench(|| black_box(&ball).below(black_box(up), black_box(0.01)));
}

/// A binary STL of about 200,000 triangles to a checked mesh, in the steps that the app takes.
#[divan::bench]
fn stl_200k_triangles(bencher: Bencher<'_, '_>) {
    let ball = Solid::Sphere { diameter: 0.2, centre: Position::ORIGIN }
        .mesh(Fineness { around: 316, along: 318 })
        .expect("a sphere");
    #[expect(clippy::cast_possible_truncation, reason = "an STL has single precision")]
    let corner = |c: Vector3<f64>| Vertex::new([c.x as f32, c.y as f32, c.z as f32]);
    let triangles: Vec<Triangle> = ball
        .triangles()
        .map(|t| Triangle { normal: Normal::default(), vertices: t.map(corner) })
        .collect();
    let mut bytes = Vec::new();
    stl_io::write_stl(&mut bytes, triangles.iter()).expect("it is written into memory");
    bencher.with_inputs(|| bytes.clone()).bench_values(|bytes| {
        let mut import = StlImport::new(bytes).expect("a good file");
        loop {
            if let Some(imported) = import.step(4000).expect("a good file") {
                break imported;
            }
        }
    });
}

/// A boat of which little is known before it is read.
fn known(model: &FloatModel) -> KnownErrors {
    let size = model.bounds().size();
    KnownErrors::independent([0.03 * model.mass(), 0.02 * size.x, 0.05 * size.y, 5e-3, 0.01])
}

/// The 18-part boat's equilibrium from the one before a small change.
#[divan::bench]
fn equilibrium_18_parts(bencher: Bencher<'_, '_>) {
    let model = FloatModel::new(&petrel(), Fineness::WORK).expect("a good boat");
    let basin = Basin::deep(1000.0);
    let before = release(&model, basin, &Tolerance::FINE).expect("good water");
    let start = before.afloat().expect("it floats").pose;
    let changed = model.with_weight(0.02, Position::new(0.1, 0.01, 0.0)).expect("a boat");
    bencher.bench(|| settle_from(black_box(&changed), basin, start, &Tolerance::FINE));
}

/// What the bench shows of a template of 18 parts, from the pose of a boat a little different.
#[divan::bench]
fn outlook_18_parts(bencher: Bencher<'_, '_>) {
    let heron = TEMPLATES.first().expect("it is there").boat_record().expect("a good file");
    let boat = heron.boat().expect("a good boat");
    let model = FloatModel::new(&boat, Fineness::WORK).expect("a good boat");
    let basin = Basin::deep(998.2);
    let near = outlook(&model, basin, None, &boat.marks).expect("good water").afloat.pose;
    let changed = model.with_weight(0.02, Position::new(0.1, 0.0, 0.0)).expect("a boat");
    bencher.bench(|| outlook(black_box(&changed), basin, Some(near), &boat.marks));
}

/// The whole way down of the 18-part boat at 101 rows.
#[divan::bench]
fn sweep_101_rows(bencher: Bencher<'_, '_>) {
    let model = FloatModel::new(&petrel(), Fineness::WORK).expect("a good boat");
    let flooding = Flooding::new(&model, Heading::Down, Order::Together, &[20.0]).expect("a tank");
    let passage =
        Passage::new(&model, Basin::deep(1000.0), flooding, Arc::default(), Steps::default())
            .expect("good water");
    bencher.bench(|| Sweep::along(black_box(passage.clone())));
}

/// Two marks and a list to the errors of mass and balance.
#[divan::bench]
fn backsolve(bencher: Bencher<'_, '_>) {
    let model = FloatModel::new(&petrel(), Fineness::WORK).expect("a good boat");
    let (reading, marks) = reading();
    bencher.bench(|| back_solve(black_box(&model), black_box(&reading), &marks, &known(&model)));
}

/// The advice that follows, with the boat before and after.
#[divan::bench]
fn advice(bencher: Bencher<'_, '_>) {
    let model = FloatModel::new(&petrel(), Fineness::WORK).expect("a good boat");
    let (reading, marks) = reading();
    let fit = back_solve(&model, &reading, &marks, &known(&model)).expect("a fit");
    let target = Target::at_the_marks(&marks).expect("marks");
    let place = Place { name: "on the keel".to_owned(), z: -0.08, medium: Medium::Wet };
    let remedy = Remedy::Weight { place, density: 11340.0 };
    bencher
        .bench(|| advise(black_box(&fit), Basin::deep(1000.0), target, &marks, black_box(&remedy)));
}

/// A template's boat that was read and is 100 g heavier at its next reading, to what may have happened and what to do.
#[divan::bench(args = [0, 1, 2, 3])]
fn what_changed(bencher: Bencher<'_, '_>, template: usize) {
    let record = TEMPLATES[template].boat_record().expect("a good file");
    let hand = ReadyBoat::of(&record).expect("a good boat");
    let read = |boat: &FloatModel| {
        let pose = release(boat, Basin::deep(998.2), &Tolerance::FINE).expect("water").pose();
        let marks = hand.boat.marks.iter();
        let marks = marks.map(|m| Seen::WaterAtMark { mark: m.clone(), above: 0.0 });
        let seen = marks.map(|seen| (seen, MARK_SPREAD)).chain([(Seen::List(0.0), ANGLE_SPREAD)]);
        let observation = |(seen, spread): (Seen, f64)| {
            let is = seen.in_pose(pose, 0.0);
            Observation { seen: seen.with_value(is), spread }
        };
        let observations = seen.map(observation).collect();
        let condition = Condition::Afloat;
        Reading { condition, water_density: 998.2, observations, ..Reading::default() }
    };
    let blown = hand.model.flooded(0.0, 998.2).expect("a share");
    let heavier = blown.with_weight(0.1, Position::new(0.05, 0.005, 0.08)).expect("a boat");
    let what = KeptWhat::Reading(read(&blown), 0.0);
    let sightings = vec![KeptSighting { what, was_changed: false }];
    let kept = KeptSession { sightings, ..KeptSession::default() };
    let evidence = Evidence::of(&hand, &record, &[kept]);
    let place = hand.boat.places.first().expect("a place").clone();
    let reading = read(&heavier);
    bencher.bench(|| {
        let (reading, place) = (reading.clone(), place.clone());
        let remedy = Remedy::Weight { place, density: 11340.0 };
        let asked = AdviceRequest { reading, fill: 0.0, remedy, part: None };
        look_at(black_box(&hand), asked, &evidence).expect("an answer").changed.is_some()
    });
}

/// A plan for a template that is off, with forty places for ballast, two things in each.
#[divan::bench]
fn plan_40_slots(bencher: Bencher<'_, '_>) {
    let record = TEMPLATES.first().expect("it is there").boat_record().expect("a good file");
    let hand = ReadyBoat::of(&record).expect("a good boat");
    let bounds = hand.model.bounds();
    let slot = |k: u32| {
        let side = f64::from(k % 4) / 3.0 - 0.5;
        let x = bounds.low.x + bounds.size().x * (f64::from(k / 4) + 0.5) / 10.0;
        let high = k % 2 == 1;
        let z = if high { bounds.high.z + 0.02 } else { bounds.low.z - 0.02 };
        Slot {
            name: format!("place {k}"),
            place: "here".to_owned(),
            reach: Reach::Point(Position::new(x, side * bounds.size().y, z)),
            medium: Medium::Wet,
            limit: SlotLimit::Volume(1e-4),
            room: [0.1, 0.03, 0.03],
            takes: vec![2, 3],
        }
    };
    let slots: Vec<Slot> = (0..40).map(slot).collect();
    let off = Vector3::new(0.01, 0.001, 0.0);
    let off = hand.model.with_error(-0.1, off).expect("a good boat");
    let aimed = Aimed {
        afloat: &off,
        under: &off,
        density: 998.2,
        aim: hand.aim,
        marks: &hand.boat.marks,
        spread: 0.0,
    };
    let stock = StockItem::usual();
    bencher.bench(|| plan_for_aim(black_box(&aimed), &slots, &stock, &[], Objective::LeastMass));
}

fn petrel() -> Boat {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/cases");
    let text = std::fs::read_to_string(folder.join("a12_petrel_half.json")).expect("the case");
    let case: Value = serde_json::from_str(&text).expect("good JSON");
    case::boat(&case["boat"], &folder)
}

fn reading() -> (Reading, Vec<Mark>) {
    let mark =
        |name: &str, x: f64| Mark { name: name.to_owned(), at: Position::new(x, 0.0, 0.042) };
    let marks = vec![mark("stern", -0.36), mark("bow", 0.38)];
    let water = |mark: &Mark, above: f64| Observation {
        seen: Seen::WaterAtMark { mark: mark.clone(), above },
        spread: MARK_SPREAD,
    };
    let observations = vec![
        water(&marks[0], 0.003),
        water(&marks[1], -0.007),
        Observation { seen: Seen::List(0.055), spread: ANGLE_SPREAD },
    ];
    let condition = Condition::Afloat;
    (Reading { condition, water_density: 1000.0, observations, ..Reading::default() }, marks)
}
