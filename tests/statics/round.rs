//! A round hull: buoyancy always passes through its axis, so that GM is how far its weight lies below the axis.
//! Closed form, of any attitude and draught.

use crate::support::assert_within;
use crate::support::fit::HEIGHT;
use trimwright::ballast::{InitialStability, outlook};
use trimwright::boat::{Boat, Housing, Part, Tank};
use trimwright::dive::{Plan, Way};
use trimwright::float::{Basin, FloatModel, Heading, Sweep};
use trimwright::frame::Position;
use trimwright::geometry::{Axis, Fineness, Solid};
use trimwright::unit::MILLIMETRE;

/// A tube 0.6 m long and 0.1 m across that weighs 2.8 kg, its weight so far (m) below its axis.
fn tube(below: f64) -> FloatModel {
    let centre = Position::new(0.0, 0.0, 0.05);
    let shape = Solid::Cylinder { axis: Axis::X, length: 0.6, diameter: 0.1, centre };
    let hull = Part::solid("tube", 2.8, Position::new(0.0, 0.0, 0.05 - below), shape);
    let boat = Boat { parts: vec![hull], ..Boat::default() };
    FloatModel::new(&boat, Fineness::WORK).expect("a good boat")
}

#[test]
fn a_round_hull_with_its_weight_on_the_axis_lies_as_it_is_turned() {
    for (below, standing) in [
        (0.0, InitialStability::AsTurned),
        (2.0 * MILLIMETRE, InitialStability::Stands),
        (-2.0 * MILLIMETRE, InitialStability::Falls),
    ] {
        let outlook = outlook(&tube(below), Basin::deep(1000.0), None, &[]).expect("good water");
        assert_eq!(outlook.initial_stability(), standing, "weight {below} m below the axis");
        // The chords of the mesh cost a hundredth of a millimetre.
        assert_within(outlook.upright_gm, below, 0.1 * MILLIMETRE, "GM");
    }
}

/// The same tube on its way down, with a round tank on its axis: water in it can turn as it likes, and counts as
/// if it were in the axis at any fill. Closed form, as above.
fn way_down(below: f64, aside: f64) -> Way {
    let centre = Position::new(0.0, 0.0, 0.05);
    let shape = Solid::Cylinder { axis: Axis::X, length: 0.6, diameter: 0.1, centre };
    let hull = Part::solid("tube", 2.8, Position::new(0.0, aside, 0.05 - below), shape);
    let cavity = Solid::Cylinder { axis: Axis::X, length: 0.3, diameter: 0.06, centre };
    let housing = Housing::InsideAPart;
    let tank = Tank { centre, housing, ..Tank::new("tank", cavity) };
    let boat = Boat { parts: vec![hull], tanks: vec![tank], ..Boat::default() };
    let model = FloatModel::new(&boat, Fineness::WORK).expect("a good boat");
    let plan = Plan { flood: vec![20.0], ..Plan::default() };
    let passage = plan.passage(&model, Basin::deep(998.2), Heading::Down).expect("good times");
    let sweep = Sweep::along(passage.clone()).expect("good tanks");
    Way::of(&boat, passage, sweep, HEIGHT).expect("its own").expect("rows")
}

#[test]
fn a_round_hull_with_a_round_tank_lies_as_it_is_turned_all_the_way_down() {
    for (below, aside, as_turned) in [
        (0.0, 0.0, true),
        (0.003, 0.0, false),
        (-0.003, 0.0, false),
        // It turns until this is below: that is no rest as it is turned.
        (0.0, 0.003, false),
    ] {
        let way = way_down(below, aside);
        let gm = way.summary.worst.gm.value;
        assert_eq!(way.lies_as_turned(), as_turned, "{below} m below, {aside} m aside: GM {gm} m");
    }
}
