//! A round hull: buoyancy always passes through its axis, so that GM is how far its weight lies below the axis.
//! Closed form, of any attitude and draught.

use crate::support::assert_within;
use trimwright::ballast::{Standing, outlook};
use trimwright::boat::{Boat, Part};
use trimwright::float::{Basin, FloatModel};
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
        (0.0, Standing::AsTurned),
        (2.0 * MILLIMETRE, Standing::Stands),
        (-2.0 * MILLIMETRE, Standing::Falls),
    ] {
        let outlook = outlook(&tube(below), Basin::deep(1000.0), None, &[]).expect("good water");
        assert_eq!(outlook.standing(), standing, "weight {below} m below the axis");
        // The chords of the mesh cost a hundredth of a millimetre.
        assert_within(outlook.upright_gm, below, 0.1 * MILLIMETRE, "GM");
    }
}
