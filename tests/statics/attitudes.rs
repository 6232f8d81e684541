//! How else a boat can lie: boxes against closed forms, and the boats that come with the app.

use crate::support::assert_within;
use crate::support::bodies::{WATER, homogeneous_box, model};
use nalgebra::Vector3;
use trimwright::diary::TEMPLATES;
use trimwright::float::{
    AttitudeKind, Basin, FloatModel, MOST_NAMED, OtherAttitude, Tolerance, other_attitudes,
    release, stable_attitudes,
};
use trimwright::frame::Position;
use trimwright::geometry::{Fineness, Solid};
use trimwright::unit::DEGREE;

/// Fresh water of 20 °C, kg/m³.
const POOL: f64 = 998.2067;

#[track_caller]
fn others(model: &FloatModel) -> Vec<OtherAttitude> {
    other_attitudes(model, Basin::deep(WATER), &Tolerance::FINE).expect("good water")
}

fn kinds(found: &[OtherAttitude]) -> Vec<(AttitudeKind, bool)> {
    found.iter().map(|o| (o.lying, o.to_either_side)).collect()
}

#[test]
fn a_square_log_that_is_light_lies_on_any_of_its_faces() {
    // Source: closed form: face up where s < (3 − √3) / 6 = 0.2113, and on its end never: there GM = sL/2 +
    // 1/(12 sL) − L/2 = −1.6 at L = 4.
    let found = others(&homogeneous_box([4.0, 1.0, 1.0], 0.1));
    assert_eq!(kinds(&found), [(AttitudeKind::OnItsSide, true), (AttitudeKind::BottomUp, false)]);
    assert_within(found[0].pose.heel().abs(), 90.0 * DEGREE, 1e-6, "on its side");
    assert_within(found[1].pose.heel().abs(), 180.0 * DEGREE, 1e-6, "bottom up");
}

#[test]
fn a_plank_lies_on_either_of_its_faces_and_on_no_edge() {
    // Source: closed form, on its edge: GM = sb/2 + d²/(12 sb) − b/2 = −0.24 at b = 1, d = 0.2, s = 0.5.
    let found = others(&homogeneous_box([4.0, 1.0, 0.2], 0.5));
    assert_eq!(kinds(&found), [(AttitudeKind::BottomUp, false)]);
}

#[test]
fn a_wide_log_lies_on_its_bow_and_on_its_stern() {
    // Source: closed form, the square log above with its length across.
    let found = others(&homogeneous_box([1.0, 4.0, 1.0], 0.1));
    let mut kinds = kinds(&found);
    kinds.sort_by_key(|(lying, _)| *lying == AttitudeKind::OnItsStern);
    assert_eq!(kinds, [(AttitudeKind::OnItsBow, false), (AttitudeKind::OnItsStern, false)]);
    for other in &found {
        assert_within(other.pose.trim().abs(), 90.0 * DEGREE, 1e-6, "on its end");
    }
}

#[test]
fn the_loll_to_the_other_side_is_not_another_attitude() {
    // Source: closed form: a square log of s = 0.5 lies at 45° to either side, and at 135°.
    let found = others(&homogeneous_box([4.0, 1.0, 1.0], 0.5));
    assert_eq!(kinds(&found), [(AttitudeKind::BottomUp, true)]);
    assert_within(found[0].pose.heel().abs(), 135.0 * DEGREE, 1e-6, "135°");
}

#[test]
fn a_boat_whose_weight_lies_low_has_no_other_attitude_and_one_that_sinks_has_none() {
    // Source: closed form: a ball rights itself from everywhere when its weight lies below its middle.
    let ball = Solid::Sphere { diameter: 1.0, centre: Position::ORIGIN };
    assert!(others(&model(ball, 0.3 * WATER, [0.0, 0.0, -0.1])).is_empty());
    assert!(others(&homogeneous_box([4.0, 1.0, 1.0], 1.1)).is_empty());
}

#[test]
fn the_few_starts_find_of_the_boats_that_come_with_the_app_what_the_many_find() {
    for template in TEMPLATES {
        let boat = template.boat_record().expect("a boat of ours").boat().expect("a good boat");
        let model = FloatModel::new(&boat, Fineness::WORK).expect("a good boat");
        let blown = model.flooded(0.0, POOL).expect("good water");
        let basin = Basin::deep(POOL);
        let few = other_attitudes(&blown, basin, &Tolerance::FINE).expect("good water");
        let own = release(&blown, basin, &Tolerance::FINE).expect("good water").pose().up();
        let mirrored = |up: Vector3<f64>| Vector3::new(up.x, -up.y, up.z);
        let alike = |a: Vector3<f64>, b: Vector3<f64>| {
            a.angle(&b) < 2.0 * DEGREE || mirrored(a).angle(&b) < 2.0 * DEGREE
        };
        let mut many: Vec<Vector3<f64>> = Vec::new();
        for state in stable_attitudes(&blown, basin, &Tolerance::FINE).expect("good water") {
            let up = state.pose.up().into_inner();
            if !alike(own.into_inner(), up) && !many.iter().any(|m| alike(*m, up)) {
                many.push(up);
            }
        }
        many.truncate(MOST_NAMED);
        assert_eq!(few.len(), many.len(), "{}: {few:?}, {many:?}", template.name);
        for (found, wanted) in few.iter().zip(&many) {
            let up = found.pose.up().into_inner();
            assert!(alike(up, *wanted), "{}: {up:?}, {wanted:?}", template.name);
        }
    }
}
