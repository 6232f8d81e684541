//! Bodies whose symmetry breaks as they float: the cube and Archimedes' paraboloid.

use crate::support::bodies::{
    WATER, direction, energy, homogeneous, released, settled, tilt_degrees, upright_body,
};
use crate::support::{assert_close, assert_within};
use nalgebra::Vector3;
use std::sync::Arc;
use trimwright::float::{Basin, Tolerance, settle_from, stable_attitudes};
use trimwright::frame::{Pose, Position};
use trimwright::geometry::{Fineness, Mesh, Solid, level_of_volume};

/// Half a unit of the fourth decimal of a degree, the last place of the reference sheet.
const FOURTH_DECIMAL: f64 = 0.5001e-4;

/// Source: closed form (the wet part is a corner, or a cube less three corners), to 1e-7:
/// relative density, GM of a cube of side 1 floating corner up. The attitude: Gilbert 1991, *How
/// things float*, Amer. Math. Monthly 98:201 (from memory, not seen).
const CORNER_UP: [(f64, f64); 6] = [
    (0.18, 0.0192797),
    (0.20, 0.0375138),
    (0.25, 0.0542677),
    (0.30, 0.0545559),
    (0.40, 0.0448699),
    (0.50, 0.0360844),
];

/// Near the diagonal, near enough for the solver to find it.
const NEAR_DIAGONAL: [f64; 3] = [1.0, 1.05, 0.95];

/// A cube of side 1 with its middle at the origin.
fn cube() -> Arc<Mesh> {
    let solid = Solid::Box { size: [1.0; 3], centre: Position::ORIGIN };
    solid.mesh(Fineness::WORK).expect("a good solid")
}

/// GM of a homogeneous body held upright, as symmetric as its waterplane.
fn upright_gm(mesh: &Mesh, relative_density: f64) -> f64 {
    let level = level_of_volume(mesh, Vector3::z_axis(), relative_density * mesh.volume());
    let kb = level.cut.first_moment.z / level.cut.volume;
    let bm = level.cut.waterplane.central_second()[(1, 1)] / level.cut.volume;
    kb + bm - mesh.centroid().z()
}

/// Angle from the body's diagonal to the vertical, radians.
fn off_diagonal(up: &Vector3<f64>) -> f64 {
    up.angle(&Vector3::new(1.0, 1.0, 1.0))
}

#[test]
fn a_cube_floats_corner_up_with_the_closed_forms_stiffness() {
    for (s, gm) in CORNER_UP {
        for density in [s, 1.0 - s] {
            let got = settled(&homogeneous(&cube(), density), WATER, NEAR_DIAGONAL);
            let off = off_diagonal(&got.pose.up());
            assert!(off < 1e-7, "{off} rad off the diagonal at density {density}");
            // A body of density 1 − s displaces more by (1 − s) / s for the same waterplane.
            let exact = gm * s / density;
            let what = format!("GM at density {density}");
            assert_within(got.stiffness.across, exact, 0.5001e-7, &what);
            assert_within(got.stiffness.least, exact, 0.5001e-7, &what);
        }
    }
}

#[test]
fn a_half_dense_cube_lies_corner_up_and_nowhere_else() {
    // Source: closed form, GM = 1 / 16√3, height of G over B = 13 / 32√3.
    let boat = homogeneous(&cube(), 0.5);
    let found = stable_attitudes(&boat, Basin::deep(WATER), &Tolerance::FINE).expect("good water");
    // Edge up the stiffness along is zero, and only the third power of the angle tells that the cube
    // does not stay so: it must not be listed.
    assert_eq!(found.len(), 8, "each corner is found, and no edge");
    for state in &found {
        let off = off_diagonal(&state.pose.up().abs());
        assert!(off < 1e-7, "up is {:?}", state.pose.up());
        assert_close(state.stiffness.least, 1.0 / (16.0 * 3.0_f64.sqrt()), 1e-7, "GM");
        assert_close(energy(state), 13.0 / (32.0 * 3.0_f64.sqrt()), 1e-9, "height of G over B");
    }
    // Source: closed form, face up s/2 − 1/2 + 1/12s = −1/12.
    assert_close(upright_gm(&cube(), 0.5), -1.0 / 12.0, 1e-9, "GM face up");
}

#[test]
fn a_light_cube_stays_as_it_is_put_face_up_or_corner_up() {
    // Source: closed form: face up is stable below (3 − √3) / 6 = 0.2113, corner up above 1/6.
    let boat = homogeneous(&cube(), 0.19);
    let face = settled(&boat, WATER, [0.05, -0.03, 1.0]);
    assert_within(tilt_degrees(&face), 0.0, 1e-6, "face up");
    assert!(face.stiffness.least > 0.0, "face up is stable");
    let corner = settled(&boat, WATER, NEAR_DIAGONAL);
    assert!(off_diagonal(&corner.pose.up()) < 1e-7, "corner up: {:?}", corner.pose.up());
    assert!(corner.stiffness.least > 0.0, "corner up is stable");
    let found = stable_attitudes(&boat, Basin::deep(WATER), &Tolerance::FINE).expect("good water");
    let is_face = |up: Vector3<f64>| up.abs().max() > 1.0 - 1e-9;
    let faces = found.iter().filter(|f| is_face(f.pose.up().into_inner())).count();
    assert_eq!(faces, 6, "each face is found");
    let corners = found.iter().filter(|f| off_diagonal(&f.pose.up().abs()) < 1e-6).count();
    // Their basins are narrow: the fixed set of starts does not promise all eight.
    assert!(corners > 0, "a corner is found");
    assert_eq!(found.len(), faces + corners, "and nothing else");
}

#[test]
fn a_cube_below_a_sixth_does_not_rest_on_its_corner() {
    // Source: closed form: corner up is stable for 1/6 < s < 5/6.
    for s in [0.16, 0.84] {
        let got = settled(&homogeneous(&cube(), s), WATER, NEAR_DIAGONAL);
        assert!(off_diagonal(&got.pose.up()) > 0.1, "left the corner: {:?}", got.pose.up());
    }
}

#[test]
fn a_cube_in_the_ring_tilts_alike_in_every_direction() {
    // Source: closed form, tan²φ = 12 s(1 − s) − 2 at s = 0.22, the direction arbitrary; height of
    // G over B 0.3898388 all round.
    let boat = homogeneous(&cube(), 0.22);
    let exact = (12.0_f64 * 0.22 * 0.78 - 2.0).sqrt().atan();
    let mut heights = Vec::new();
    for k in 0..24 {
        let azimuth = f64::from(k) * 15.0_f64.to_radians();
        // Let go on the ring, it stays where it is; let go off the ring, it comes to it somewhere.
        let (x, y) = (exact.tan() * azimuth.cos(), exact.tan() * azimuth.sin());
        let up = direction([x, y, 1.0]);
        let start = Pose::new(level_of_volume(&cube(), up, 0.22).height, up);
        let here = settle_from(&boat, Basin::deep(WATER), start, &Tolerance::FINE);
        let here = here.expect("good water").afloat().expect("it floats").clone();
        let near = settled(&boat, WATER, [0.8 * x, 0.8 * y, 1.0]);
        for got in [&here, &near] {
            let tilt = tilt_degrees(got).to_radians();
            assert_within(tilt, exact, 1e-7, &format!("tilt from azimuth {azimuth}"));
            assert_within(got.stiffness.least, 0.0, 1e-6, "neutral along the ring");
            heights.push(energy(got));
        }
        let turned = (here.pose.up().y.atan2(here.pose.up().x) - azimuth).sin().abs();
        assert!(turned < 1e-4, "left its azimuth {azimuth} by {turned}");
    }
    assert_within(exact.to_degrees(), 13.6749, FOURTH_DECIMAL, "tilt as printed");
    for height in &heights {
        assert_within(*height, 0.3898388, 0.5001e-7, "height of G over B as printed");
        assert_within(*height, heights[0], 1e-9, "the ring is flat");
    }
    let released = released(&boat, WATER);
    assert_within(tilt_degrees(&released), 13.6749, FOURTH_DECIMAL, "tilt when let go upright");
}

/// What facets of 1/512 of a turn may cost, as a share: see `solid.rs`.
const FACETS: f64 = 3.8e-5;

/// A paraboloid r² = z, apex down, cut off at `height`.
fn paraboloid(height: f64) -> Mesh {
    let steps = 256_u32;
    // Even in the radius: each chord then misses the parabola alike.
    let share = move |k: u32| f64::from(k) / f64::from(steps);
    upright_body((0..=steps).map(move |k| height * share(k).powi(2)), f64::sqrt)
}

#[test]
fn archimedes_paraboloid_tilts_below_his_limit_and_stands_above_it() {
    // Source: Archimedes, *On Floating Bodies* II, propositions 2, 4 and 10, as given in Heath,
    // *History of Greek Mathematics* II: upright when s ≥ ((H − 3p/4) / H)². Tilted with a dry
    // base: tan²θ = (4/p)((2/3)H(1 − √s) − p/2). Height, relative density, degrees; p = 1.
    for (height, s, degrees) in
        [(1.2_f64, 0.10, 23.4450), (1.2, 0.15, 0.0), (2.0, 0.30, 32.6999), (2.0, 0.40, 0.0)]
    {
        let limit = ((height - 0.75) / height).powi(2);
        assert_eq!(s < limit, degrees > 0.0, "the limit is {limit}");
        let got = released(&homogeneous(&paraboloid(height), s), WATER);
        let what = format!("tilt of height {height} at density {s}");
        assert_within(tilt_degrees(&got), degrees, 0.01, &what);
    }
}

#[test]
fn archimedes_paraboloid_has_half_its_parameter_as_metacentric_radius() {
    // Source: closed form, BM = p/2 at every draught, GM = p/2 − (2/3)H(1 − √s).
    let mesh = paraboloid(1.2);
    for s in [0.1, 0.3, 0.6] {
        let level = level_of_volume(&mesh, Vector3::z_axis(), s * mesh.volume());
        let bm = level.cut.waterplane.central_second()[(1, 1)] / level.cut.volume;
        assert_close(bm, 0.5, FACETS, &format!("BM at density {s}"));
    }
    assert_within(upright_gm(&mesh, 0.10), -0.0470178, 2.0 * FACETS, "GM upright");
}

#[test]
fn an_upright_cylinder_needs_its_breadth() {
    // Source: closed form, GM = R²/4sH − (1 − s)H/2; the examples as in textbooks on the mechanics
    // of fluids: D 3, H 2, s 0.7 (printed 0.1017) and D 0.8, H 1, s 0.65 (printed −0.114).
    for (diameter, height, s, gm) in [(3.0, 2.0, 0.7, 0.101786), (0.8, 1.0, 0.65, -0.113462)] {
        let mesh = upright_body([0.0, height].into_iter(), |_| diameter / 2.0);
        assert_within(upright_gm(&mesh, s), gm, 0.5001e-6, &format!("GM of D {diameter}"));
        let got = released(&homogeneous(&mesh, s), WATER);
        assert_eq!(tilt_degrees(&got) < 1e-3, gm > 0.0, "stands when it is stable");
    }
}

/// A cone of height 1 with its apex down, of a half apex angle.
fn cone(half_angle_degrees: f64) -> Mesh {
    let slope = half_angle_degrees.to_radians().tan();
    upright_body([0.0, 1.0].into_iter(), move |z| slope * z)
}

#[test]
fn a_cone_stands_on_its_apex_when_it_is_blunt_enough() {
    // Source: closed form, apex down: stable when cos²α < s^(1/3); α > 27.0136° at 1/2 and
    // > 15.5296° at 0.8.
    for (s, limit) in [(0.5, 27.0136), (0.8, 15.5296)] {
        for (degrees, stable) in [(limit - 0.01, false), (limit + 0.01, true)] {
            let gm = upright_gm(&cone(degrees), s);
            assert_eq!(gm > 0.0, stable, "GM {gm} at half angle {degrees}, density {s}");
        }
    }
}

#[test]
fn a_cone_apex_up_has_the_closed_forms_metacentre() {
    // Source: closed form, R = H = 1, s = 1/2: GM = KB + BM − 1/4 with KB 0.0952754, BM 0.5952754.
    let mesh = upright_body([0.0, 1.0].into_iter(), |z| 1.0 - z);
    let got = released(&homogeneous(&mesh, 0.5), WATER);
    assert_within(got.centre_of_buoyancy.z(), 0.0952754, 0.5001e-7, "KB");
    assert_within(got.stiffness.across, 0.4405508, 1e-6, "GM");
}
