//! The way down and up: causes that add up, cures that do what they promise, boats that turn over.

use crate::support::case;
use crate::support::fit::{HEIGHT, LeanSeen, fit_leans};
use crate::support::{assert_close, assert_within};
use proptest::prelude::*;
use std::path::Path;
use trimwright::ballast::Least;
use trimwright::boat::{Boat, Bulkhead, BulkheadDirection, Housing, Part, Tank};
use trimwright::diary::TEMPLATES;
use trimwright::dive::{
    Change, Cure, CureEffect, CureKind, LeanCauses, LeanOrigin, LossCause, Plan, Summary, Way,
    WayEnd, WeightItem, lean_causes, rank,
};
use trimwright::fit::Lean;
use trimwright::float::{
    Basin, Container, FloatModel, Happening, Heading, Order, Passage, Sweep, SweepRow,
};
use trimwright::frame::Position;
use trimwright::geometry::{Axis, Fineness, Solid};

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

/// The least GM on the way that is usual for a boat.
fn least_gm(boat: &Boat) -> f64 {
    Least::usual(model_of(boat).bounds().size().y).gm
}

fn down(boat: &Boat) -> (Passage, Sweep) {
    let model = model_of(boat);
    let plan = Plan { flood: vec![20.0; boat.tanks.len()], ..Plan::default() };
    let passage = plan.passage(&model, Basin::deep(WATER), Heading::Down).expect("good times");
    let sweep = Sweep::along(passage.clone()).expect("good tanks");
    (passage, sweep)
}

/// A boat with its way down.
struct Looked {
    boat: Boat,
    way: Way,
}

impl Looked {
    fn at(boat: Boat) -> Self {
        let (passage, sweep) = down(&boat);
        let way = Way::of(&boat, passage, sweep, HEIGHT);
        Self { boat, way: way.expect("its own passage").expect("rows") }
    }

    fn rows(&self) -> &[SweepRow] {
        &self.way.sweep.rows
    }

    fn model_in(&self, row: &SweepRow) -> FloatModel {
        self.way.model_in(row).expect("its own row")
    }

    fn causes_in(&self, row: &SweepRow) -> LeanCauses {
        lean_causes(&self.boat, &self.model_in(row), self.way.basin(), row).expect("good water")
    }

    fn cures(&self) -> Vec<Cure> {
        self.way
            .candidates(&self.boat, &model_of(&self.boat), least_gm(&self.boat))
            .expect("its own boat")
    }

    fn cure(&self, kind: CureKind) -> Cure {
        let found = self.cures().into_iter().find(|cure| cure.kind == kind);
        found.unwrap_or_else(|| panic!("no {kind:?}: {:?}", self.cures()))
    }

    fn after(&self, change: &Change) -> Self {
        Self::at(change.applied(&self.boat).expect("its own parts"))
    }

    /// What each cure does, the best first.
    fn tried(&self) -> Vec<(Cure, Summary, CureEffect)> {
        let beam = model_of(&self.boat).bounds().size().y;
        let of = |cure: Cure| {
            let summary = self.after(&cure.change).way.summary;
            let effect = CureEffect::of(&self.way.summary, &summary, beam);
            (cure, summary, effect)
        };
        let mut tried: Vec<_> = self.cures().into_iter().map(of).collect();
        tried.sort_by(|a, b| rank((&a.2, &a.1), (&b.2, &b.1)));
        tried
    }
}

const BOATS: [&str; 3] = ["c01_petrel_sweep", "c02_dabchick_sweep", "c03_grebe_sweep"];

#[test]
fn what_takes_gm_away_adds_up_to_the_whole() {
    for name in BOATS {
        let looked = Looked::at(boat_of(name));
        let (first, loss) = (&looked.rows()[0], &looked.way.loss);
        assert_close(loss.before, first.upright.across, 1e-9, &format!("{name}: before"));
        let least = looked.way.summary.worst.gm.value;
        assert_within(loss.after, least, 1e-9, &format!("{name}: after"));
        let sum: f64 = loss.parts.iter().map(|(_, loss)| loss).sum();
        assert_within(sum, first.upright.across - least, 1e-9, &format!("{name}: the sum"));
    }
}

#[test]
fn what_leans_a_boat_adds_up_to_the_lean() {
    for name in ["c02_dabchick_sweep", "c03_grebe_sweep"] {
        let looked = Looked::at(boat_of(name));
        for row in looked.rows().iter().filter(|r| r.pose().heel().abs() > 1e-4) {
            let sum: f64 = looked.causes_in(row).parts.iter().map(|c| c.lean).sum();
            let what = format!("{name} at fill {}", row.fill);
            assert_within(sum, row.pose().heel(), 1e-6, &what);
        }
    }
}

#[test]
fn a_tank_whose_surface_takes_the_gm_is_the_first_cause() {
    // Closed form: i ρ / m with i = l b³ / 12 of the box tank, 0.26 × 0.15 m.
    let looked = Looked::at(boat_of("c02_dabchick_sweep"));
    let (cause, loss) = looked.way.loss.parts[0];
    assert_eq!(cause, LossCause::FreeSurface(Container::Tank(0)), "{:?}", looked.way.loss.parts);
    let mass = looked.model_in(&looked.rows()[looked.way.summary.worst.gm.row]).mass();
    let surface = 0.26 * 0.15_f64.powi(3) / 12.0 * WATER / mass;
    assert_close(loss, surface, 2e-3, "its size: the boat trims by a degree");
    assert_eq!(looked.way.lean, Lean::Loll, "and it is a loll");
    assert_eq!(looked.way.causes.parts[0].origin, LeanOrigin::TopHeavy, "{:?}", looked.way.causes);
}

#[test]
fn a_fitting_off_centre_is_named() {
    // Grebe is Dabchick, stiffer, with 40 g at 50 mm to port: its only part off centre.
    let looked = Looked::at(boat_of("c03_grebe_sweep"));
    let fitting = looked.boat.parts.iter().position(|p| p.name == "off-centre fitting");
    let wanted = LeanOrigin::One(WeightItem::Part(fitting.expect("it is there")));
    let last = looked.rows().last().expect("rows");
    assert!(last.loll.is_none(), "under water it is a list");
    let causes = looked.causes_in(last);
    assert_eq!(causes.parts[0].origin, wanted, "{causes:?}");
    assert_close(causes.parts[0].lean, last.pose().heel(), 1e-6, "all of it");
    assert_close(causes.offset * looked.model_in(last).mass(), 0.04 * 0.05, 1e-6, "2 g m");
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
    let causes = looked.causes_in(looked.rows().last().expect("rows"));
    assert_eq!(
        causes.parts[0].origin,
        LeanOrigin::Pair(WeightItem::Tank(0), WeightItem::Tank(1)),
        "{causes:?}"
    );
    // The full one holds 160 g at 40 mm, the other a fifth less.
    assert_close(causes.parts[0].moment, 0.2 * 0.16 * 0.04, 1e-6, "their difference");
}

#[test]
fn saddle_tanks_flooded_in_turn_lean_the_boat_and_together_do_not() {
    let eider = TEMPLATES.iter().find(|t| t.name == "Eider").expect("it comes with the app");
    let boat = eider.boat_record().expect("a file of ours").boat().expect("a good boat");
    let model = model_of(&boat);
    let followed = |plan: &Plan| {
        let passage = plan.passage(&model, Basin::deep(WATER), Heading::Down);
        let passage = passage.expect("good times");
        let sweep = Sweep::along(passage.clone()).expect("good tanks");
        Way::of(&boat, passage, sweep, HEIGHT).expect("its own").expect("rows")
    };
    let plan = Plan { order: Order::InTurn, flood: vec![20.0; 2], ..Plan::default() };
    let way = followed(&plan);
    assert!(way.summary.worst.lean.value.abs() > 3.0_f64.to_radians(), "{:?}", way.summary);
    let half = way.sweep.row_nearest(0.25).expect("rows");
    let causes = lean_causes(&boat, &way.model_in(half).expect("its own"), way.basin(), half);
    let first = causes.expect("good water").parts[0].origin;
    assert_eq!(
        first,
        LeanOrigin::Pair(WeightItem::Tank(0), WeightItem::Tank(1)),
        "one is fuller than the other"
    );
    let cures = way.candidates(&boat, &model, least_gm(&boat)).expect("its own boat");
    let together = cures.iter().find(|c| c.kind == CureKind::Together).expect("a candidate");
    assert!(
        !followed(&plan.changed(&together.change)).summary.leans_visibly(),
        "together it stays upright"
    );
}

#[test]
fn every_cure_does_to_the_boat_what_it_promises() {
    let coot = TEMPLATES.iter().find(|t| t.name == "Coot").expect("it comes with the app");
    let record = coot.boat_record().expect("a file of ours");
    let looked = Looked::at(record.boat().expect("a good boat"));
    let tried = looked.tried();
    assert!(tried.len() >= 5, "several candidates: {tried:?}");
    let (first, summary, effect) = &tried[0];
    assert!(effect.cures && !effect.spoils && !summary.leans_visibly(), "{first:?} {summary:?}");
    for (cure, promised, _) in &tried {
        // The boat as it is kept, read and followed anew.
        let boat = record.changed(&cure.change).expect("its own parts").boat();
        let found = Looked::at(boat.expect("a good boat")).way.summary;
        let figures = |s: &Summary| {
            let WayEnd { heel, trim, gm, residual, .. } = s.start;
            let end = s.end;
            [s.worst.gm.value, s.worst.lean.value.abs(), s.worst.trim.value, s.leaning]
                .into_iter()
                .chain([heel, trim, gm, residual, end.heel, end.trim, end.gm, end.residual])
                .collect::<Vec<f64>>()
        };
        for (k, (got, promised)) in figures(&found).iter().zip(figures(promised)).enumerate() {
            assert_within(*got, promised, 1e-6, &format!("{cure:?}, figure {k}"));
        }
    }
}

#[test]
fn a_boat_with_two_troubles_is_cured_one_after_the_other() {
    // Too little stiffness, and weight off centre: neither cure is enough by itself.
    let mut looked = Looked::at(boat_of("c03_grebe_sweep"));
    let mut done = Vec::new();
    while looked.way.summary.leans_visibly() && done.len() < 4 {
        let before = looked.way.summary.worst.lean.value.abs();
        let (cure, _, effect) = looked.tried().swap_remove(0);
        assert!(effect.helps && !effect.spoils, "{cure:?}");
        looked = looked.after(&cure.change);
        assert!(looked.way.summary.worst.lean.value.abs() < before, "{cure:?} helps");
        done.push(cure.kind);
    }
    assert!(!looked.way.summary.leans_visibly(), "{done:?}: {:?}", looked.way.summary);
}

#[test]
fn a_bulkhead_leaves_a_quarter_of_the_free_surface() {
    // Closed form: 1 / n² for n equal breadths.
    let looked = Looked::at(boat_of("c02_dabchick_sweep"));
    let after = looked.after(&looked.cure(CureKind::PartTank).change);
    let of = |looked: &Looked, fill: f64| {
        looked.way.sweep.row_nearest(fill).expect("rows").upright.free_surface_across
    };
    assert_close(of(&after, 0.3), of(&looked, 0.3) / 4.0, 1e-6, "at the same fill");
}

#[test]
fn lowering_a_weight_by_so_much_raises_gm_by_its_share() {
    let looked = Looked::at(boat_of("c02_dabchick_sweep"));
    let change = looked.cure(CureKind::LowerWeight).change;
    let Change::MovePart { part, by } = change else { panic!("{change:?}") };
    let after = looked.after(&change);
    let (a, b) = (&looked.rows()[0], &after.rows()[0]);
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
    assert!(summary.capsizes && summary.leans_visibly(), "{summary:?}");
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
        let twin = without.row_nearest(row.fill).expect("rows");
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
    let (here, there) = (&looked.way.causes, &mirrored.way.causes);
    assert_within(there.whole, -here.whole, 1e-7, "the lean");
    for (a, b) in here.parts.iter().zip(&there.parts) {
        assert_eq!(a.origin, b.origin, "the same causes");
        assert_within(b.lean, -a.lean, 1e-6, "to the other side");
    }
    let shifted = |l: &Looked| match l.cure(CureKind::CentreOffset).change {
        Change::MovePart { by: [_, across, _], .. } => across,
        other => panic!("{other:?}"),
    };
    assert_within(shifted(&mirrored), -shifted(&looked), 1e-12, "the cure");
}

#[test]
fn a_change_of_the_record_is_the_change_of_the_boat() {
    for template in TEMPLATES {
        let record = template.boat_record().expect("a file of ours");
        let boat = record.boat().expect("a good boat");
        let cavity = Solid::Cylinder {
            axis: Axis::X,
            length: 0.1,
            diameter: 0.05,
            centre: Position::new(0.01, 0.0, 0.05),
        };
        let bulkhead =
            Bulkhead { way: BulkheadDirection::Lengthwise, at: boat.tanks[0].centre.y() };
        let changes = [
            Change::MovePart { part: 3, by: [0.01, 0.002, -0.003] },
            Change::MoveTank { tank: 0, by: [0.01, 0.0, 0.004] },
            Change::PartTank { tank: 0, bulkhead },
            Change::ReshapeTank { tank: 0, cavity },
            Change::Nothing,
        ];
        for change in changes {
            let of_boat = change.applied(&boat).expect("its own parts");
            let of_record = record.changed(&change).expect("its own parts");
            let of_record = of_record.boat().expect("a good boat");
            assert_eq!(of_record.tanks, of_boat.tanks, "{}: {change:?}", template.name);
            let half = |boat: &Boat| model_of(boat).flooded(0.5, WATER).expect("good water");
            let (a, b) = (half(&of_boat), half(&of_record));
            let centre = |m: &FloatModel| m.centre_of_gravity(nalgebra::Vector3::z_axis()).vector();
            let off = (centre(&a) - centre(&b)).norm();
            assert!(off < 1e-12, "{}: {change:?} by {off}", template.name);
            let off = (a.total_centre().vector() - b.total_centre().vector()).norm();
            assert!(off < 1e-9, "{}: {change:?} buoyancy by {off}", template.name);
        }
        let none = Change::MovePart { part: 99, by: [0.0; 3] };
        assert!(none.applied(&boat).is_err() && record.changed(&none).is_err(), "no such part");
    }
}

#[test]
fn times_change_in_the_plan_and_in_the_record_alike() {
    let mut record = TEMPLATES[0].boat_record().expect("a file of ours");
    record.dive.in_turn = true;
    let model = model_of(&record.boat().expect("a good boat"));
    for change in [Change::Flood(0.5), Change::Blow(2.0), Change::Drain(0.5), Change::Together] {
        let of_record =
            record.changed(&change).expect("no part is named").plan(&model, Heading::Up);
        let of_plan = record.plan(&model, Heading::Up).changed(&change);
        assert_eq!(of_record, of_plan, "{change:?}");
        assert_ne!(of_plan, record.plan(&model, Heading::Up), "{change:?} does something");
    }
}

#[test]
fn a_flooded_hull_is_a_space_around_what_stands_in_it() {
    // Heron's outer hull is flooded; the dry cylinder in it takes most of the room.
    let record = TEMPLATES[0].boat_record().expect("a file of ours");
    let model = model_of(&record.boat().expect("a good boat"));
    let spaces = record.plan(&model, Heading::Up).spaces;
    let names: Vec<_> = spaces.iter().map(|s| s.name.as_str()).collect();
    assert!(names.contains(&"outer hull"), "{names:?}");
    let hull = spaces.iter().find(|s| s.name == "outer hull").expect("just seen");
    let share = hull.permeability;
    assert!((0.2..0.9).contains(&share), "water can take {share} of it");
}

#[test]
fn a_loll_seen_as_modelled_on_either_side_tells_nothing_new() {
    let coot = TEMPLATES.iter().find(|t| t.name == "Coot").expect("it comes with the app");
    let boat = coot.boat_record().expect("a file of ours").boat().expect("a good boat");
    let model = model_of(&boat);
    let plan = Plan { flood: vec![20.0], ..Plan::default() };
    let filled = |fill: f64| plan.filled(&model, fill, WATER);
    let looked = Looked::at(boat.clone());
    let heel = looked.way.sweep.row_nearest(0.33).expect("rows").pose().heel().abs();
    for side in [1.0, -1.0] {
        let fit = |seen: f64| {
            let seen = [LeanSeen::by_eye(0.33, side * seen)];
            fit_leans(&filled, Basin::deep(WATER), &seen, HEIGHT).expect("a fit")
        };
        let same = fit(heel);
        assert!(!same.tells(), "{same:?}");
        let farther = fit(heel + 20.0_f64.to_radians());
        assert!(farther.tells(), "twenty degrees more say that something is off: {farther:?}");
    }
}

/// A box with a tank in it and a weight anywhere: many of them lean, turn over or sink.
fn any_boat() -> impl Strategy<Value = (Boat, bool)> {
    let hull = [0.3..1.0, 0.05..0.3, 0.05..0.3];
    let tank = [0.1..0.9, 0.1..0.9, 0.1..0.9, -0.9..0.9, -0.9..0.9, -0.9..0.9];
    let weight = [0.01..2.0, -0.6..0.6, -0.3..0.3, -0.5..0.5];
    (hull, tank, weight, 0.1..1.2, any::<bool>()).prop_map(|(hull, tank, weight, share, up)| {
        let centre = Position::ORIGIN;
        let volume: f64 = hull.iter().product();
        let body =
            Part::solid("hull", share * volume * WATER, centre, Solid::Box { size: hull, centre });
        let [length, breadth, height, x, y, z] = tank;
        let size = [length * hull[0], breadth * hull[1], height * hull[2]];
        let place = |k: usize, at: f64| at * (hull[k] - size[k]) / 2.0;
        let centre = Position::new(place(0, x), place(1, y), place(2, z));
        let tank = Tank {
            housing: Housing::InsideAPart,
            ..Tank::new("tank", Solid::Box { size, centre })
        };
        let [mass, x, y, z] = weight;
        let load = Part::weight("load", mass * body.mass, Position::new(x, y, z));
        (Boat { parts: vec![body, load], tanks: vec![tank], ..Boat::default() }, up)
    })
}

proptest! {
    #![proptest_config(crate::support::random_cases(150, 20_261_125))]

    #[test]
    fn any_boat_is_followed_to_the_end_and_its_causes_add_up((boat, up) in any_boat()) {
        let model = model_of(&boat);
        let plan = Plan { flood: vec![20.0], blow: vec![10.0], ..Plan::default() };
        let heading = if up { Heading::Up } else { Heading::Down };
        let passage = plan.passage(&model, Basin::deep(WATER), heading).expect("good times");
        let sweep = Sweep::along(passage.clone()).expect("a good tank");
        prop_assert!(sweep.rows.len() >= 101, "{} rows", sweep.rows.len());
        let onward = |a: &SweepRow, b: &SweepRow| if up { a.fill >= b.fill } else { a.fill <= b.fill };
        prop_assert!(sweep.rows.windows(2).all(|w| onward(&w[0], &w[1])), "the fill goes one way");
        for row in &sweep.rows {
            let figures = [row.pose().heel(), row.pose().trim(), row.upright.across, row.offset];
            prop_assert!(figures.iter().all(|f| f.is_finite()), "{figures:?} at {}", row.fill);
        }
        let way = Way::of(&boat, passage, sweep, HEIGHT).expect("its own");
        let way = way.expect("rows");
        let lost: f64 = way.loss.parts.iter().map(|(_, loss)| loss).sum();
        prop_assert!((lost - way.loss.total()).abs() < 1e-9, "{:?}", way.loss);
        let lean: f64 = way.causes.parts.iter().map(|cause| cause.lean).sum();
        prop_assert!((lean - way.causes.whole).abs() < 1e-6, "{:?}", way.causes);
        for cure in way.candidates(&boat, &model, least_gm(&boat)).expect("its own boat") {
            let changed = cure.change.applied(&boat).expect("its own parts");
            let again = FloatModel::new(&changed, Fineness::WORK);
            prop_assert!(again.is_ok(), "{cure:?} makes no boat: {again:?}");
        }
    }
}
