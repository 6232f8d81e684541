//! Properties that hold for every boat: nothing here needs a number from outside.
//!
//! Each test runs a bounded number of random cases from a fixed seed, so that a failure repeats.

use crate::support::bodies::{
    WATER, boat, direction, energy, homogeneous, inner_tank, keeled_box, released, tanked,
};
use crate::support::random_cases;
use nalgebra::{Rotation3, Unit, Vector3};
use proptest::prelude::*;
use trimwright::boat::{Boat, Part};
use trimwright::float::{
    Basin, FloatModel, Tolerance, righting_lever, settle_from, stable_attitudes, upright_stiffness,
};
use trimwright::frame::{Pose, Position};
use trimwright::geometry::{Axis, Fineness, Mesh, Solid, level_of_volume};

/// Any number will do.
const SEED: u64 = 20_260_214;

fn cases(n: u32) -> ProptestConfig {
    random_cases(n, SEED)
}

/// Coarse enough to be quick; the properties hold at any fineness.
const COARSE: Fineness = Fineness { around: 16, along: 8 };

fn size() -> impl Strategy<Value = f64> {
    0.05..1.0
}

fn place() -> impl Strategy<Value = [f64; 3]> {
    [-0.5..0.5, -0.5..0.5, -0.5..0.5]
}

/// Any direction that is up for somebody.
fn up() -> impl Strategy<Value = Unit<Vector3<f64>>> {
    [-1.0..1.0, -1.0..1.0, -1.0..1.0]
        .prop_filter("long enough to have a direction", |v: &[f64; 3]| {
            Vector3::from(*v).norm() > 0.1
        })
        .prop_map(direction)
}

/// Any simple solid anywhere near the origin.
fn any_solid() -> impl Strategy<Value = Solid> {
    let axis = prop_oneof![Just(Axis::X), Just(Axis::Y), Just(Axis::Z)];
    (0..5_u32, [size(), size(), size()], place(), axis).prop_map(|(kind, size, [x, y, z], axis)| {
        let centre = Position::new(x, y, z);
        let [length, diameter, other] = size;
        match kind {
            0 => Solid::Box { size, centre },
            1 => Solid::Cylinder { axis, length, diameter, centre },
            2 => {
                Solid::DomedCylinder { length: length + 2.0 * other, diameter, dome: other, centre }
            }
            3 => Solid::Ellipsoid { size, centre },
            _ => Solid::Frustum { length, diameter_aft: diameter, diameter_fore: other, centre },
        }
    })
}

/// A wall-sided boat with a weight off its middle, and where that weight is.
fn any_boat() -> impl Strategy<Value = Boat> {
    let hull = (0.6..1.2, 0.15..0.3, 0.1..0.2);
    let weight = (0.0..0.5, -0.1..0.1, -0.02..0.02, 0.0..0.1);
    (hull, 0.3..0.7, weight).prop_map(|((length, beam, depth), s, (share, x, y, z))| {
        let mass = s * WATER * length * beam * depth;
        let hull = keeled_box([length, beam, depth]);
        let mut boat = boat(hull, (1.0 - share) * mass, [0.0, 0.0, 0.3 * depth]);
        boat.parts.push(Part::weight("ballast", share * mass, Position::new(x, y, z)));
        boat
    })
}

fn ready(boat: &Boat) -> FloatModel {
    FloatModel::new(boat, COARSE).expect("a good boat")
}

/// The same boat with its body axes put elsewhere: everything moves by `offset`.
fn moved(boat: &Boat, offset: Vector3<f64>) -> Boat {
    let place = |at: Position<_>| Position::from_vector(at.vector() + offset);
    let part = |part: &Part| {
        let solid = part.solid.as_ref().map(|solid| {
            Solid::Mesh(solid.mesh(COARSE).expect("a good solid").shifted(offset).into())
        });
        Part { centre: place(part.centre), solid, ..part.clone() }
    };
    Boat { parts: boat.parts.iter().map(part).collect(), ..boat.clone() }
}

fn close(got: f64, expected: f64, tolerance: f64, what: &str) -> Result<(), TestCaseError> {
    let agrees = (got - expected).abs() <= tolerance;
    prop_assert!(agrees, "{what}: got {got}, expected {expected} ± {tolerance}");
    Ok(())
}

fn alike(
    a: Vector3<f64>,
    b: Vector3<f64>,
    tolerance: f64,
    what: &str,
) -> Result<(), TestCaseError> {
    prop_assert!((a - b).norm() <= tolerance, "{what}: {a:?} and {b:?}");
    Ok(())
}

proptest! {
    #![proptest_config(cases(1000))]

    #[test]
    fn what_is_below_and_above_a_plane_makes_the_whole(
        solid in any_solid(), up in up(), share in -0.1..1.1_f64,
    ) {
        let mesh = solid.mesh(COARSE).expect("a good solid");
        let (low, high) = mesh.bounds().reach(&up);
        let height = -(low + share * (high - low));
        let below = mesh.below(up, height);
        let above = mesh.below(-up, -height);
        let scale = mesh.bounds().size().norm();
        let volume = scale.powi(3);
        close(below.volume + above.volume, mesh.volume(), 1e-13 * volume, "volume")?;
        let sum = below.first_moment + above.first_moment;
        alike(sum, mesh.first_moment(), 1e-12 * volume, "first moment")?;
        let (a, b) = (below.waterplane, above.waterplane);
        close(a.area, b.area, 1e-12 * scale * scale, "waterplane")?;
        alike(a.first, b.first, 1e-12 * volume, "first moment of the waterplane")?;
        prop_assert!((a.second - b.second).norm() < 1e-12 * volume * scale, "second moments");
    }

    #[test]
    fn the_waterplane_is_the_slope_of_the_volume(
        solid in any_solid(), up in up(), share in 0.15..0.85_f64,
    ) {
        let mesh = solid.mesh(COARSE).expect("a good solid");
        let (low, high) = mesh.bounds().reach(&up);
        let step = 1e-5 * (high - low);
        let height = -(low + share * (high - low));
        let at = |h: f64| mesh.below(up, h);
        let slope = (at(height - step).volume - at(height + step).volume) / (2.0 * step);
        let area = at(height).waterplane.area;
        // Convex facets of these sizes bend the area by no more than this between the two.
        let most = mesh.bounds().size().norm_squared();
        close(slope, area, 1e-4 * most, "slope")?;
        let moment = (at(height - step).first_moment - at(height + step).first_moment)
            / (2.0 * step);
        alike(moment, at(height).waterplane.first, 1e-4 * most, "slope of the first moment")?;
    }

    #[test]
    fn a_turned_solid_under_a_turned_plane_is_cut_alike(
        solid in any_solid(), up in up(), share in 0.05..0.95, turn in [-3.0..3.0, -3.0..3.0, -3.0..3.0],
    ) {
        let mesh = solid.mesh(COARSE).expect("a good solid");
        let turn = Rotation3::from_scaled_axis(Vector3::from(turn));
        let vertices = mesh.vertices().iter().map(|v| turn * v).collect();
        let turned = Mesh::closed(vertices, mesh.faces().to_vec()).expect("still closed");
        let a = level_of_volume(&mesh, up, share * mesh.volume());
        let b = level_of_volume(&turned, turn * up, share * mesh.volume());
        close(a.height, b.height, 1e-9, "level")?;
        let moment = turn * a.cut.first_moment;
        alike(moment, b.cut.first_moment, 1e-9 * mesh.volume(), "first moment")?;
        let second = turn.matrix() * a.cut.waterplane.second * turn.matrix().transpose();
        let off = (second - b.cut.waterplane.second).norm();
        prop_assert!(off < 1e-7, "second moments differ by {off}");
    }

    #[test]
    fn lengths_times_k_give_volume_k_cubed_and_bm_k(
        solid in any_solid(), up in up(), share in 0.1..0.9, k in 0.2..5.0_f64,
    ) {
        let mesh = solid.mesh(COARSE).expect("a good solid");
        let vertices = mesh.vertices().iter().map(|v| v * k).collect();
        let grown = Mesh::closed(vertices, mesh.faces().to_vec()).expect("still closed");
        let a = level_of_volume(&mesh, up, share * mesh.volume());
        let b = level_of_volume(&grown, up, share * grown.volume());
        close(b.height / k, a.height, 1e-9, "level")?;
        close(b.cut.volume / k.powi(3), a.cut.volume, 1e-12, "volume")?;
        let bm = |l: &trimwright::geometry::Level| l.cut.waterplane.central_second() / l.cut.volume;
        let off = (bm(&b) / k - bm(&a)).norm();
        prop_assert!(off < 1e-7 * bm(&a).norm().max(1.0), "BM differs by {off}");
    }
}

proptest! {
    #![proptest_config(cases(500))]

    #[test]
    fn moving_the_axes_of_the_body_changes_nothing(boat in any_boat(), offset in place()) {
        let offset = Vector3::from(offset);
        let (a, b) = (ready(&boat), ready(&moved(&boat, offset)));
        let (a, b) = (released(&a, WATER), released(&b, WATER));
        alike(a.pose.up().into_inner(), b.pose.up().into_inner(), 1e-7, "up")?;
        let origin = b.pose.height_of(Position::from_vector(offset));
        close(origin, a.pose.height(), 1e-8, "height")?;
        let (ca, cb) = (a.centre_of_buoyancy.vector(), b.centre_of_buoyancy.vector());
        alike(ca + offset, cb, 1e-8, "centre of buoyancy")?;
        close(a.stiffness.across, b.stiffness.across, 1e-6, "GM")?;
    }

    #[test]
    fn a_mirrored_boat_floats_as_the_mirror_image(boat in any_boat()) {
        let (a, b) = (released(&ready(&boat), WATER), released(&ready(&boat.mirrored()), WATER));
        let flip = |v: Vector3<f64>| Vector3::new(v.x, -v.y, v.z);
        let tilted = a.pose.heel().abs() > 1e-6;
        // Upright and unstable, either side will do.
        prop_assume!(tilted || a.stiffness.least > 1e-4);
        alike(flip(a.pose.up().into_inner()), b.pose.up().into_inner(), 1e-7, "up")?;
        close(a.pose.height(), b.pose.height(), 1e-8, "height")?;
        let (ca, cb) = (a.centre_of_buoyancy.vector(), b.centre_of_buoyancy.vector());
        alike(flip(ca), cb, 1e-8, "centre of buoyancy")?;
        close(a.stiffness.least, b.stiffness.least, 1e-6, "least GM")?;
    }

    #[test]
    fn at_rest_weight_is_buoyancy_and_the_centres_are_in_one_vertical(boat in any_boat()) {
        let got = released(&ready(&boat), WATER);
        close(got.volume * WATER, got.mass, 1e-9 * got.mass, "buoyancy")?;
        let arm = got.centre_of_gravity.vector() - got.centre_of_buoyancy.vector();
        let across = arm.cross(&got.pose.up()).norm();
        prop_assert!(across < 1e-9, "the centres are {across} m apart sideways");
        prop_assert!(got.stiffness.least > -1e-9, "it is a minimum: {:?}", got.stiffness);
    }

    #[test]
    fn the_righting_lever_starts_with_the_slope_of_the_metacentric_height(boat in any_boat()) {
        // Symmetric, so that upright is balanced.
        let mut even = boat.clone();
        for part in &mut even.parts {
            part.centre = Position::new(part.centre.x(), 0.0, part.centre.z());
        }
        let (model, basin) = (ready(&even), Basin::deep(WATER));
        let (stiffness, pose) =
            upright_stiffness(&model, basin, None, &Tolerance::FINE).expect("good water");
        let step = 1e-4;
        let at = |heel: f64| {
            righting_lever(&model, basin, heel, &Tolerance::FINE).expect("good water").lever
        };
        // A change of heel turns "up" by the cosine of the trim of it.
        let slope = stiffness.across * pose.trim().cos();
        close(at(step) / step, slope, 1e-6, "slope to starboard")?;
        close(at(-step) / step, slope, 1e-6, "slope to port")?;
    }

    #[test]
    fn the_righting_lever_is_the_slope_of_the_energy(boat in any_boat(), heel in -0.6..0.6) {
        let (model, basin) = (ready(&boat), Basin::deep(WATER));
        // The trim is free, so the energy is the least over all trims, and its slope by heel at
        // constant volume is the lever (dB · n = 0).
        let at = |heel: f64| {
            let got = righting_lever(&model, basin, heel, &Tolerance::FINE).expect("good water");
            let up = Pose::from_angles(0.0, heel, got.trim).up();
            let mesh = boat.parts[0].solid.as_ref().expect("the hull").mesh(COARSE);
            let level = level_of_volume(&mesh.expect("a good solid"), up, model.mass() / WATER);
            let centre = level.cut.first_moment / level.cut.volume;
            let arm = model.centre_of_gravity(up).vector() - centre;
            (up.dot(&arm), got)
        };
        let step = 1e-4;
        let slope = (at(heel + step).0 - at(heel - step).0) / (2.0 * step);
        let (_, got) = at(heel);
        let lever = if heel < 0.0 { -got.lever } else { got.lever };
        // A change of heel turns "up" by the cosine of the trim of it.
        close(slope, lever * got.trim.cos(), 1e-6, "slope of the energy")?;
    }

    #[test]
    fn a_homogeneous_body_and_its_complement_float_upside_down_alike(
        size in [0.5..1.5, 0.5..1.5, 0.5..1.5], s in 0.1..0.9, up in up(),
    ) {
        let solid = Solid::Box { size, centre: Position::ORIGIN };
        let mesh = solid.mesh(COARSE).expect("a good solid");
        let a = settle_from(
            &homogeneous(&mesh, s), Basin::deep(WATER), Pose::new(0.0, up), &Tolerance::FINE,
        );
        let a = a.expect("good water").afloat().expect("it floats").clone();
        prop_assume!(a.stiffness.least > 1e-3);
        let down = Pose::new(-a.pose.height(), -a.pose.up());
        let b = settle_from(
            &homogeneous(&mesh, 1.0 - s), Basin::deep(WATER), down, &Tolerance::FINE,
        );
        let b = b.expect("good water").afloat().expect("it floats").clone();
        alike(-a.pose.up().into_inner(), b.pose.up().into_inner(), 1e-7, "up")?;
        close(-a.pose.height(), b.pose.height(), 1e-7, "height")?;
        close(energy(&a) * s, energy(&b) * (1.0 - s), 1e-9, "energy times density")?;
        let ratio = b.stiffness.least * (1.0 - s);
        close(ratio, a.stiffness.least * s, 1e-6, "GM times density")?;
    }

    #[test]
    fn liquid_frozen_at_its_level_changes_nothing_at_rest(
        fill in 0.05..0.95, offset in -0.02..0.02, x in -0.1..0.1, s in 0.3..0.6,
    ) {
        let hull = || keeled_box([1.0, 0.25, 0.2]);
        let centre = Position::new(0.1, 0.01, 0.05);
        let cavity = Solid::Box { size: [0.3, 0.1, 0.06], centre };
        let cavity_mesh = cavity.mesh(COARSE).expect("a good solid");
        let mass = s * 50.0;
        let tank = inner_tank(cavity, fill, WATER);
        let wet = ready(&tanked(hull(), mass, [x, offset, 0.06], tank));
        let slack = released(&wet, WATER);
        // What lies below the level becomes a weight at its own centre.
        let volume = fill * cavity_mesh.volume();
        let level = level_of_volume(&cavity_mesh, slack.pose.up(), volume);
        let frozen_at = Position::from_vector(level.cut.first_moment / volume);
        let dry = wet.with_fill(0, 0.0).expect("a tank");
        let frozen = dry.with_weight(volume * WATER, frozen_at).expect("a boat");
        let still = settle_from(&frozen, Basin::deep(WATER), slack.pose, &Tolerance::FINE);
        let still = still.expect("good water").afloat().expect("it floats").clone();
        alike(slack.pose.up().into_inner(), still.pose.up().into_inner(), 1e-8, "up")?;
        close(slack.pose.height(), still.pose.height(), 1e-9, "height")?;
        let loss = slack.stiffness.free_surface_across;
        close(slack.stiffness.across + loss, still.stiffness.across, 1e-7, "GM without loss")?;
    }

    #[test]
    fn splitting_a_part_in_two_changes_nothing(boat in any_boat(), share in 0.1..0.9) {
        let mut split = boat.clone();
        if let Some(Part { mass, solid: Some(Solid::Box { size, centre }), .. }) = boat.parts.first() {
            let [length, width, height] = *size;
            let piece = |name: &str, from: f64, to: f64| {
                let middle = centre.x() + length * (f64::midpoint(from, to) - 0.5);
                let solid = Solid::Box {
                    size: [length * (to - from), width, height],
                    centre: Position::new(middle, centre.y(), centre.z()),
                };
                let weight_at = Position::new(middle, 0.0, boat.parts[0].centre.z());
                Part::solid(name, mass * (to - from), weight_at, solid)
            };
            split.parts[0] = piece("aft", 0.0, share);
            split.parts.push(piece("fore", share, 1.0));
        }
        let (a, b) = (released(&ready(&boat), WATER), released(&ready(&split), WATER));
        prop_assert_eq!(split.parts.len(), 3, "the hull was split");
        prop_assume!(a.stiffness.least > 1e-4);
        alike(a.pose.up().into_inner(), b.pose.up().into_inner(), 1e-7, "up")?;
        close(a.pose.height(), b.pose.height(), 1e-8, "height")?;
        close(a.stiffness.across, b.stiffness.across, 1e-6, "GM")?;
    }

    #[test]
    fn a_little_weight_on_the_waterplanes_centroid_sinks_the_boat_level(boat in any_boat()) {
        let model = ready(&boat);
        let before = released(&model, WATER);
        prop_assume!(before.stiffness.least > 1e-3);
        let centroid = before.waterplane.centroid().expect("it floats on an area");
        let added = 1e-6 * before.mass;
        let heavier = model.with_weight(added, Position::from_vector(centroid)).expect("a boat");
        let after = settle_from(&heavier, Basin::deep(WATER), before.pose, &Tolerance::FINE);
        let after = after.expect("good water").afloat().expect("it floats").clone();
        let sunk = before.pose.height_of(Position::from_vector(centroid))
            - after.pose.height_of(Position::from_vector(centroid));
        let expected = added / (WATER * before.waterplane.area);
        close(sunk, expected, 1e-3 * expected, "sinkage")?;
        let (a, b) = (before.pose.up(), after.pose.up());
        alike(a.into_inner(), b.into_inner(), 1e-9, "up")?;
    }
}

proptest! {
    #![proptest_config(cases(50))]

    #[test]
    fn the_attitude_let_go_upright_is_one_of_the_stable_ones(boat in any_boat()) {
        let model = ready(&boat);
        let got = released(&model, WATER);
        prop_assume!(got.stiffness.least > 1e-4);
        let all = stable_attitudes(&model, Basin::deep(WATER), &Tolerance::FINE);
        let all = all.expect("good water");
        let nearest = all.iter().map(|a| a.pose.up().angle(&got.pose.up())).fold(9.0, f64::min);
        prop_assert!(nearest < 1e-6, "{nearest} rad from the nearest of {}", all.len());
        for state in &all {
            let arm = state.centre_of_gravity.vector() - state.centre_of_buoyancy.vector();
            let across = arm.cross(&state.pose.up()).norm();
            prop_assert!(across < 1e-8, "not at rest: {across} m");
        }
    }
}
