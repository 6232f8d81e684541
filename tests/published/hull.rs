//! Hulls given by equations: the SUBOFF submarine hull and the Wigley ship hull.

use crate::support::{assert_close, assert_within};
use nalgebra::Vector3;
use std::f64::consts::PI;
use trimwright::frame::Position;
use trimwright::geometry::{Cut, Fineness, Mesh, Solid, Station, revolve};

/// Metres per foot, exact.
const FOOT: f64 = 0.3048;
/// Ends of the nose, of the parallel body, of the stern and of its cap, feet from the nose.
const ENDS: [f64; 4] = [3.333333, 10.645833, 13.979167, 14.291667];

/// Radius of the SUBOFF bare hull, feet, at a distance from the nose, feet.
///
/// Source: Groves, Huang & Chang 1989, *Geometric characteristics of DARPA SUBOFF models*,
/// DTRC/SHD-1298-01, table 1, from transcriptions that agree.
fn suboff(x: f64) -> f64 {
    let most = 5.0 / 6.0;
    let cap = 0.1175;
    let [nose, body, stern, _] = ENDS;
    if x <= nose {
        let u = 0.3 * x - 1.0;
        let bulge = 1.126395101 * x * u.powi(4) + 0.442874707 * x * x * u.powi(3) + 1.0
            - u.powi(4) * (1.2 * x + 1.0);
        most * bulge.max(0.0).powf(1.0 / 2.1)
    } else if x <= body {
        most
    } else if x <= stern {
        let (k0, k1) = (10.0, 44.6244);
        let coefficients = [
            cap * cap,
            0.0,
            cap * k0,
            20.0 - 20.0 * cap * cap - 4.0 * cap * k0 - k1 / 3.0,
            -45.0 + 45.0 * cap * cap + 6.0 * cap * k0 + k1,
            36.0 - 36.0 * cap * cap - 4.0 * cap * k0 - k1,
            -10.0 + 10.0 * cap * cap + cap * k0 + k1 / 3.0,
        ];
        let xi = (stern - x) / 3.333333;
        most * coefficients.iter().rev().fold(0.0, |sum, c| sum * xi + c).sqrt()
    } else {
        let u = 3.2 * x - 44.733333;
        cap * most * (1.0 - u * u).max(0.0).sqrt()
    }
}

/// Stations of the hull, metres from the nose, bow at the low end, ends on the axis.
fn stations(places: impl Iterator<Item = f64>) -> Vec<Station> {
    let mut stations: Vec<Station> =
        places.map(|x| Station { x: x * FOOT, radius: suboff(x) * FOOT }).collect();
    if let Some(tail) = stations.last_mut() {
        tail.radius = 0.0;
    }
    stations
}

/// Stations that crowd where the profile is steep: at the nose and at the tip of the tail.
fn dense_stations(n: u32) -> Vec<Station> {
    let share = move |k: u32| f64::from(k) / f64::from(n);
    let [nose, body, stern, tail] = ENDS;
    let nosed = (0..n).map(move |k| nose * share(k).powi(3));
    let sterned = (0..n).map(move |k| body + (stern - body) * share(k));
    let capped = (0..=n / 4).map(move |k| stern + (tail - stern) * (PI / 2.0 * share(4 * k)).sin());
    stations(nosed.chain(sterned).chain(capped))
}

/// Depth of the centre of buoyancy below the level z = `z`, and BM across and along, metres.
fn centre_and_metacentres(cut: &Cut, z: f64) -> (f64, f64, f64) {
    let second = cut.waterplane.central_second();
    let depth = z - cut.first_moment.z / cut.volume;
    (depth, second[(1, 1)] / cut.volume, second[(0, 0)] / cut.volume)
}

/// Source: the same report's equations, radii at 25 equal intervals worked out to 1e-6 m.
const RADII: [f64; 26] = [
    0.0, 0.169318, 0.204424, 0.226806, 0.243727, 0.252669, 0.254, 0.254, 0.254, 0.254, 0.254,
    0.254, 0.254, 0.254, 0.254, 0.254, 0.254, 0.254, 0.254, 0.253553, 0.238865, 0.199102, 0.142250,
    0.082485, 0.036990, 0.0,
];

/// Source: the same, in feet, at the nose and at the tail (worked out to 1e-6 ft).
const STEEP: [(f64, f64); 11] = [
    (0.01, 0.098042),
    (0.05, 0.207843),
    (0.1, 0.283815),
    (0.3, 0.445992),
    (0.5, 0.532727),
    (1.0, 0.648356),
    (2.0, 0.774402),
    (3.0, 0.831701),
    (13.979167, 0.097917),
    (14.1, 0.090301),
    (14.25, 0.048849),
];

#[test]
fn the_equations_of_the_suboff_hull_are_transcribed_rightly() {
    for (k, expected) in (0_u32..).zip(RADII) {
        let x = ENDS[3] * f64::from(k) / 25.0;
        assert_within(suboff(x) * FOOT, expected, 0.5001e-6, &format!("radius at station {k}"));
    }
    for (x, expected) in STEEP {
        assert_within(suboff(x), expected, 0.5001e-6, &format!("radius at {x} ft"));
    }
}

/// Source: sums of frusta over equal intervals of those equations, worked out to 1e-6 m³.
const FRUSTA: [(u32, f64); 4] = [(25, 0.693074), (50, 0.697423), (100, 0.698700), (200, 0.699067)];

#[test]
fn a_hull_from_a_table_of_radii_has_the_volume_of_its_frusta() {
    for (intervals, expected) in FRUSTA {
        let places = (0..=intervals).map(|k| ENDS[3] * f64::from(k) / f64::from(intervals));
        let solid = Solid::Revolved { stations: stations(places), origin: Position::ORIGIN };
        let mesh = solid.mesh(Fineness::WORK).expect("a good table");
        assert_within(mesh.volume(), expected, 0.5001e-6, &format!("{intervals} intervals"));
    }
}

#[test]
fn the_suboff_hull_has_the_volume_and_centre_of_its_equations() {
    // Source: quadrature of the same equations to 1e-9; the volume is printed as 0.699 m³.
    let solid = Solid::Revolved { stations: dense_stations(1200), origin: Position::ORIGIN };
    let mesh = solid.mesh(Fineness::WORK).expect("a good table");
    assert_close(mesh.volume(), 0.6992108, 1e-6, "volume");
    assert_within(mesh.volume(), 0.699, 0.5e-3, "volume as printed");
    assert_close(mesh.centroid().x(), 2.0086062, 1e-6, "LCB from the nose");
}

/// What is left of the facets of 1024 corners around: the corners stand out by angle² / 12, 3e-6,
/// and the third power of the radius by three times as much.
const FACETS: f64 = 1.2e-5;

#[test]
fn the_suboff_hull_half_immersed_has_the_waterplane_of_its_profile() {
    // Source: quadrature of the same equations: area 2∫r dx, its centroid, second moments, B at
    // (2/3)∫r³ dx / ∇ below the axis, BM along; the wetted surface is printed as 5.988 m² (Liu &
    // Huang 1998, summary).
    let mesh = revolve(&dense_stations(600), 1024).expect("a good profile");
    assert_close(mesh.surface_area(), 5.9882642, FACETS, "wetted surface");
    assert_within(mesh.surface_area(), 5.988, 0.5e-3, "wetted surface as printed");
    let cut = mesh.below(Vector3::z_axis(), 0.0);
    let second = cut.waterplane.central_second();
    assert_close(cut.volume, 0.6992108 / 2.0, 2e-6, "volume");
    assert_close(cut.waterplane.area, 1.8842715, FACETS, "waterplane");
    let centroid = cut.waterplane.centroid().expect("there is an area");
    assert_close(centroid.x, 2.0334879, 2e-6, "LCF");
    assert_close(second[(0, 0)], 2.2670516, FACETS, "second moment along");
    assert_close(second[(1, 1)], 0.03604775, FACETS, "second moment across");
    let (depth, across, along) = centre_and_metacentres(&cut, 0.0);
    assert_close(depth, 0.1031098, FACETS, "B below the axis");
    assert_close(across, 0.1031098, FACETS, "BM across");
    assert_close(along, 6.4846009, FACETS, "BM along");
}

/// The Wigley hull of length 1, beam 0.1 and draught 0.0625 m, keel at z = −T and cut off at the
/// water, on a grid of 2n × n quadrangles a side.
fn wigley(n: u32) -> Mesh {
    let across = |k: u32, of: u32| f64::from(k) / f64::from(of);
    let (n_x, n_z) = (2 * n, n);
    let mut vertices = Vec::new();
    for side in [1.0, -1.0] {
        for i in 0..=n_x {
            for j in 0..=n_z {
                let (x, z) = (2.0 * across(i, n_x) - 1.0, across(j, n_z) - 1.0);
                let y = 0.05 * (1.0 - x * x) * (1.0 - z * z);
                vertices.push(Vector3::new(x / 2.0, side * y, 0.0625 * z));
            }
        }
    }
    let port = |i: u32, j: u32| i * (n_z + 1) + j;
    // Along the stems and the keel the two sides meet.
    let starboard = |i: u32, j: u32| {
        let edge = i == 0 || i == n_x || j == 0;
        port(i, j) + if edge { 0 } else { (n_x + 1) * (n_z + 1) }
    };
    let mut faces: Vec<[u32; 3]> = Vec::new();
    for i in 0..n_x {
        for j in 0..n_z {
            let p = [port(i, j), port(i + 1, j), port(i + 1, j + 1), port(i, j + 1)];
            let s = [
                starboard(i, j),
                starboard(i + 1, j),
                starboard(i + 1, j + 1),
                starboard(i, j + 1),
            ];
            faces.extend([[p[0], p[2], p[1]], [p[0], p[3], p[2]]]);
            faces.extend([[s[0], s[1], s[2]], [s[0], s[2], s[3]]]);
        }
        let deck = [port(i, n_z), port(i + 1, n_z), starboard(i + 1, n_z), starboard(i, n_z)];
        faces.extend([[deck[0], deck[2], deck[1]], [deck[0], deck[3], deck[2]]]);
    }
    // At the stems a deck quadrangle is a triangle.
    faces.retain(|&[a, b, c]| a != b && b != c && c != a);
    Mesh::closed(vertices, faces).expect("a closed hull")
}

#[test]
fn the_wigley_hull_converges_to_its_closed_form() {
    // Source: closed form of y = (B/2)(1 − (2x/L)²)(1 − (z/T)²): V = 4LBT/9, A = 2LB/3,
    // KB = 5T/8, BM across = 3B²/35T, BM along = 3L²/40T; L 1, B 0.1, T 0.0625 m.
    let exact = [1.0 / 360.0, 0.1 / 1.5, 0.0390625, 3.0 / 218.75, 1.2];
    let got = |n: u32| {
        let cut = wigley(n).below(Vector3::z_axis(), 0.0);
        let (depth, across, along) = centre_and_metacentres(&cut, 0.0);
        [cut.volume, cut.waterplane.area, 0.0625 - depth, across, along]
    };
    let (coarse, fine) = (got(40), got(80));
    let names = ["volume", "waterplane", "KB", "BM across", "BM along"];
    for (k, name) in names.into_iter().enumerate() {
        assert_close(fine[k], exact[k], 1e-3, name);
        // The chords' error falls with the square of the step; what is left after taking it off
        // falls with the fourth power.
        let limit = fine[k] + (fine[k] - coarse[k]) / 3.0;
        assert_close(limit, exact[k], 1e-6, &format!("{name} in the limit"));
    }
}
