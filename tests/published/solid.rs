//! Volumes, centres and waterplanes of solids whose integrals are known.

use crate::support::bodies::{assert_vector, direction, prism, upright_body};
use crate::support::{assert_close, assert_within};
use nalgebra::Vector3;
use std::f64::consts::PI;
use trimwright::frame::Position;
use trimwright::geometry::{Axis, Cut, Fineness, Solid, Station, level_of_volume, revolve};

/// What facets of 1/512 of a turn may cost: corners stand out by the share angle² / 12, and a
/// second moment takes the third power of that.
const FACETS: f64 = 3.8e-5;

/// Depth of the centre of buoyancy below the level z = `z`, and BM across and along, metres.
fn centre_and_metacentres(cut: &Cut, z: f64) -> (f64, f64, f64) {
    let second = cut.waterplane.central_second();
    let depth = z - cut.first_moment.z / cut.volume;
    (depth, second[(1, 1)] / cut.volume, second[(0, 0)] / cut.volume)
}

/// Source: closed form (circular segment and spherical cap integrals) for a capsule of
/// 0.8 m cylinder and hemispheres of R 0.1 m, to ten figures: draught, volume, depth of B below
/// the axis (= BM across), waterplane area, its second moment across, BM along.
const CAPSULE: [[f64; 6]; 3] = [
    [0.05, 0.0055679773, 0.0701491385, 0.1621260095, 3.905888e-4, 2.136681426],
    [0.10, 0.0146607657, 0.0417354156, 0.1914159265, 6.118731e-4, 1.003023194],
    [0.15, 0.0237535542, 0.0164433838, 0.1621260095, 3.905888e-4, 0.500851094],
];

#[test]
fn a_capsule_has_its_metacentre_on_its_axis_at_every_draught() {
    let capsule = Solid::DomedCylinder {
        length: 1.0,
        diameter: 0.2,
        dome: 0.1,
        centre: Position::new(0.3, 0.0, 0.1),
    };
    let mesh = capsule.mesh(Fineness::FINE).expect("a good solid");
    assert_close(mesh.volume(), 0.0293215314, 2e-9, "whole volume");
    for [draught, volume, depth, area, across, along] in CAPSULE {
        let cut = mesh.below(Vector3::z_axis(), -draught);
        let what = |name: &str| format!("{name} at a draught of {draught} m");
        let (below, bm_across, bm_along) = centre_and_metacentres(&cut, 0.1);
        assert_close(cut.volume, volume, FACETS, &what("volume"));
        assert_close(below, depth, FACETS, &what("B below the axis"));
        assert_close(bm_across, depth, FACETS, &what("BM across"));
        assert_close(cut.waterplane.area, area, FACETS, &what("waterplane"));
        assert_close(cut.waterplane.central_second()[(1, 1)], across, FACETS, &what("I across"));
        assert_close(bm_along, along, FACETS, &what("BM along"));
    }
}

/// Half axes of the ellipsoid of the reference sheet, metres.
const ELLIPSOID: [f64; 3] = [0.5, 0.06, 0.05];

/// What lies below the plane `n · p = τ h` of an ellipsoid: volume and centre.
///
/// Source: closed form: with h² = Σ (aᵢ nᵢ)² the affine image of a spherical cap,
/// V = π abc (2/3 + τ − τ³/3), B = −(1 − τ²)² / 4F · (aᵢ² nᵢ) / h.
fn below_in_ellipsoid(up: Vector3<f64>, tau: f64) -> (f64, f64, Vector3<f64>) {
    let squares = Vector3::from(ELLIPSOID).map(|a| a * a);
    let h = squares.component_mul(&up).dot(&up).sqrt();
    let f = 2.0 / 3.0 + tau - tau.powi(3) / 3.0;
    let volume = PI * ELLIPSOID.iter().product::<f64>() * f;
    let pull = (1.0 - tau * tau).powi(2) / (4.0 * f * h);
    (volume, tau * h, -squares.component_mul(&up) * pull)
}

#[test]
fn an_ellipsoid_cut_at_any_attitude_has_the_closed_forms_volume_and_centre() {
    let size = ELLIPSOID.map(|a| 2.0 * a);
    let solid = Solid::Ellipsoid { size, centre: Position::ORIGIN };
    let mesh = solid.mesh(Fineness::FINE).expect("a good solid");
    // Source: closed form above, printed to ten figures: direction of up, τ, volume, level, B.
    let cases = [
        (
            [0.0, 0.5, 3.0_f64.sqrt() / 2.0],
            0.2,
            0.00407150408,
            0.01053565,
            [0.0, -0.00911192, -0.01095993],
        ),
        (
            [0.05, 0.3, 0.95],
            0.35,
            0.00472358090,
            0.01986495,
            [-0.04240168, -0.00366351, -0.00805632],
        ),
    ];
    for (up, tau, volume, level, centre) in cases {
        let up = direction(up);
        let (exact_volume, exact_level, exact_centre) = below_in_ellipsoid(up.into_inner(), tau);
        assert_within(exact_volume, volume, 0.5e-11, "printed volume");
        assert_within(exact_level, level, 0.5e-8, "printed level");
        assert_vector(exact_centre, centre, 0.5e-8, "printed centre");
        let cut = mesh.below(up, -exact_level);
        assert_close(cut.volume, exact_volume, FACETS, "volume below");
        let got = cut.first_moment / cut.volume;
        let off = (got - exact_centre).component_div(&Vector3::from(ELLIPSOID));
        assert!(off.norm() < FACETS, "centre {got:?} instead of {exact_centre:?}");
        let found = level_of_volume(&mesh, up, exact_volume).height;
        assert_within(found, -exact_level, FACETS * ELLIPSOID[2], "level of that volume");
    }
}

/// Source: closed form, cap of height h: V = π h² (3R − h) / 3, centroid 3(2R − h)² / 4(3R − h)
/// below the centre; h/R at a quarter is 1 − 2 sin 10°. Archimedes, *On Floating Bodies* I.
/// Relative density, draught over R, height of B above the lowest point over R.
const SPHERE: [(f64, f64, f64); 5] = [
    (0.10, 0.3916002, 0.2561675),
    (0.25, 0.6527036, 0.4200112),
    (0.50, 1.0, 0.625),
    (0.75, 1.3472964, 0.8066704),
    (0.90, 1.6083998, 0.9173520),
];

#[test]
fn a_sphere_floats_at_archimedes_draught() {
    let solid = Solid::Sphere { diameter: 2.0, centre: Position::new(0.0, 0.0, 1.0) };
    let mesh = solid.mesh(Fineness::FINE).expect("a good solid");
    for (share, draught, centre) in SPHERE {
        let level = level_of_volume(&mesh, Vector3::z_axis(), share * mesh.volume());
        assert_within(-level.height, draught, FACETS, &format!("draught at {share}"));
        let kb = level.cut.first_moment.z / level.cut.volume;
        assert_within(kb, centre, FACETS, &format!("KB at {share}"));
        let bm = level.cut.waterplane.central_second()[(1, 1)] / level.cut.volume;
        assert_close(kb + bm, 1.0, FACETS, "the metacentre is the middle");
    }
    let quarter = level_of_volume(&mesh, Vector3::z_axis(), 0.25 * mesh.volume());
    let exact = 1.0 - 2.0 * 10.0_f64.to_radians().sin();
    assert_close(-quarter.height, exact, FACETS, "draught at a quarter");
}

/// Source: closed form, s = (α − sin α cos α) / π, B at 2R sin³α / 3(α − sin α cos α) below the
/// axis. Relative density, draught over R, depth of B below the axis over R.
const CYLINDER: [(f64, f64, f64); 5] = [
    (0.10, 0.3129512, 0.8140765),
    (0.25, 0.5960272, 0.6497646),
    (0.50, 1.0, 0.4244132),
    (0.75, 1.4039728, 0.2165882),
    (0.90, 1.6870488, 0.0904529),
];

#[test]
fn a_lying_cylinder_has_its_metacentre_on_its_axis() {
    for axis in [Axis::X, Axis::Y] {
        let centre = Position::new(0.0, 0.0, 1.0);
        let solid = Solid::Cylinder { axis, length: 5.0, diameter: 2.0, centre };
        let mesh = solid.mesh(Fineness { around: 4096, along: 4 }).expect("a good solid");
        for (share, draught, depth) in CYLINDER {
            let level = level_of_volume(&mesh, Vector3::z_axis(), share * mesh.volume());
            assert_within(-level.height, draught, 1e-6, &format!("draught at {share}"));
            let (below, across, along) = centre_and_metacentres(&level.cut, 1.0);
            assert_within(below, depth, 1e-6, &format!("B below the axis at {share}"));
            let bm = if axis == Axis::X { across } else { along };
            assert_within(bm, depth, 2e-6, &format!("BM at {share}"));
        }
    }
}

#[test]
fn a_heeled_upright_cylinder_is_cut_as_the_closed_form_says() {
    // Source: closed form while only the side is cut, R 1, d 0.8:
    // x_B = R² tan φ / 4d, z_B = d/2 + R² tan²φ / 8d.
    let mesh = upright_body([0.0, 2.0].into_iter(), |_| 1.0);
    for (degrees, x, z) in [(20.0_f64, 0.1137407, 0.4206991), (30.0, 0.1804220, 0.4520833)] {
        let heel = degrees.to_radians();
        let up = direction([-heel.tan(), 0.0, 1.0]);
        let cut = mesh.below(up, -0.8 * up.z);
        assert_close(cut.volume, 0.8 * PI, 1e-12, "volume");
        assert_vector(cut.first_moment / cut.volume, [x, 0.0, z], 1e-7, "centre");
    }
}

/// Source: closed form: an n-gon inscribed in a circle has (n / 2π) sin(2π / n) of its area.
const INSCRIBED: [(u32, f64); 4] =
    [(32, 0.993587), (64, 0.998394), (128, 0.999598), (256, 0.999900)];

#[test]
fn a_round_solid_keeps_its_volume_at_any_number_of_corners() {
    for (corners, share) in INSCRIBED {
        let half = Station { x: 1.0, radius: 0.3 };
        let tube = revolve(&[Station { x: -1.0, ..half }, half], corners).expect("a good profile");
        assert_close(tube.volume(), 2.0 * PI * 0.09, 1e-13, &format!("{corners} corners"));
        // The corners must stand out by as much as the chords cut in.
        let reach = tube.bounds().high.z / 0.3;
        assert_within(1.0 / (reach * reach), share, 0.5001e-6, &format!("{corners} corners"));
    }
}

#[test]
fn a_triangular_prism_has_a_third_of_its_draught_above_its_centre() {
    // Source: Derrett, *Ship Stability for Masters and Mates* (from memory, not seen); closed form
    // KB = 2d/3, breadth 8 d / 5, BM = b² / 6d: 32 × 8 × 5 m, draught 4 m.
    let mesh = prism(&[[0.0, 0.0], [4.0, 5.0], [-4.0, 5.0]], 32.0);
    let cut = mesh.below(Vector3::z_axis(), -4.0);
    assert_close(cut.volume, 32.0 * 6.4 * 4.0 / 2.0, 1e-13, "volume");
    assert_close(cut.waterplane.area, 32.0 * 6.4, 1e-13, "waterplane");
    let (below, across, _) = centre_and_metacentres(&cut, 4.0);
    assert_close(below, 4.0 / 3.0, 1e-12, "B below the water");
    assert_within(4.0 - below, 2.6667, 0.5e-4, "KB as printed");
    assert_close(across, 6.4 * 6.4 / 24.0, 1e-12, "BM");
    assert_within(across, 1.70667, 0.5e-5, "BM as printed");
}
