//! Import of STL files: good ones against another library's integrals, damaged ones against what is
//! said about them, and wild ones, which must not panic.
//!
//! Files and expected values: `data/mesh`, whose README says how they were made.

use nalgebra::{Matrix3, Unit, Vector3};
use proptest::test_runner::{RngAlgorithm, TestRng};
use serde_json::Value;
use std::path::{Path, PathBuf};
use trimwright::geometry::{
    Axis, Imported, MOST_TRIANGLES, Mesh, Repair, StlError, StlImport, read_stl,
};

/// Relative, for sums over thousands of triangles in double precision.
const SUMS: f64 = 1e-9;

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/mesh")
}

fn file(name: &str) -> Vec<u8> {
    std::fs::read(folder().join(format!("{name}.stl"))).expect("a file of tests/data/mesh")
}

fn expected(name: &str) -> Value {
    let text = std::fs::read_to_string(folder().join("expected.json")).expect("expected.json");
    serde_json::from_str::<Value>(&text).expect("good JSON")[name].clone()
}

fn number(value: &Value) -> f64 {
    value.as_f64().expect("a number")
}

#[track_caller]
fn import(bytes: Vec<u8>) -> Imported {
    read_stl(bytes).expect("a good file")
}

#[track_caller]
fn refusal(bytes: Vec<u8>) -> StlError {
    read_stl(bytes).expect_err("a damaged file")
}

/// The triangles of a binary file, 50 bytes each.
fn triangles(file: &[u8]) -> Vec<[u8; 50]> {
    file[84..].chunks_exact(50).map(|t| t.try_into().expect("50 bytes")).collect()
}

/// A binary file of triangles.
fn binary(triangles: &[[u8; 50]]) -> Vec<u8> {
    let mut bytes = vec![0; 80];
    bytes.extend(u32::try_from(triangles.len()).expect("few triangles").to_le_bytes());
    bytes.extend(triangles.iter().flatten());
    bytes
}

fn triangle(corners: [[f32; 3]; 3]) -> [u8; 50] {
    let mut bytes = [0; 50];
    for (k, coordinate) in corners.iter().flatten().enumerate() {
        bytes[12 + 4 * k..16 + 4 * k].copy_from_slice(&coordinate.to_le_bytes());
    }
    bytes
}

fn corners(triangle: &[u8; 50]) -> [[f32; 3]; 3] {
    let at = |k: usize| {
        let four = triangle[12 + 4 * k..16 + 4 * k].try_into().expect("four bytes");
        f32::from_le_bytes(four)
    };
    [[at(0), at(1), at(2)], [at(3), at(4), at(5)], [at(6), at(7), at(8)]]
}

fn turned(t: &[u8; 50]) -> [u8; 50] {
    let [a, b, c] = corners(t);
    triangle([a, c, b])
}

fn scaled(t: &[u8; 50], factor: f32) -> [u8; 50] {
    triangle(corners(t).map(|p| p.map(|c| c * factor)))
}

#[track_caller]
fn assert_same_volume(got: &Imported, name: &str) {
    let volume = number(&expected(name)["volume"]);
    let off = (got.mesh.volume() / volume - 1.0).abs();
    assert!(off < SUMS, "volume {} instead of {volume}: {off:e}", got.mesh.volume());
}

/// Moments of inertia of the volume about its centroid, m⁵: on the diagonal ∫ (y² + z²) dV and
/// so on, beside it -∫ xy dV.
///
/// Source: Tonon 2004, Journal of Mathematics and Statistics 1:8 (from memory, not seen): a tetrahedron from the
/// origin over a, b, c has ∫ p pᵀ dV = V/20 (a aᵀ + b bᵀ + c cᵀ + s sᵀ), where s = a + b + c.
fn inertia_of(mesh: &Mesh) -> Matrix3<f64> {
    let mut second = Matrix3::zeros();
    for corners in mesh.triangles() {
        let [a, b, c] = corners.map(|p| p - mesh.centroid().vector());
        let twentieth = a.dot(&b.cross(&c)) / 120.0;
        for p in [a, b, c, a + b + c] {
            second += p * p.transpose() * twentieth;
        }
    }
    Matrix3::from_diagonal_element(second.trace()) - second
}

#[test]
fn volume_centroid_and_inertia_agree_with_another_library() {
    // Source: trimesh 5.2.0, from the files' coordinates; `data/mesh/expected.json`.
    for (name, values) in [
        ("sphere", "sphere"),
        ("torus", "torus"),
        ("hull", "hull"),
        ("ball", "ball"),
        ("ball_text", "ball"),
    ] {
        let got = import(file(name));
        let values = expected(values);
        assert_eq!(got.notes, [], "{name} needs no mending");
        let n = usize::try_from(values["n_triangles"].as_u64().expect("a count")).expect("a count");
        assert_eq!(got.mesh.faces().len(), n, "triangles of {name}");
        let volume = number(&values["volume"]);
        let off = (got.mesh.volume() / volume - 1.0).abs();
        assert!(off < SUMS, "volume of {name}: {off:e}");
        let size = got.mesh.bounds().size().norm();
        let centroid = Vector3::from_fn(|k, _| number(&values["centroid"][k]));
        let off = (got.mesh.centroid().vector() - centroid).norm() / size;
        assert!(off < SUMS, "centroid of {name}: {off:e}");
        let inertia = Matrix3::from_fn(|i, j| number(&values["inertia"][i][j]));
        let off = (inertia_of(&got.mesh) - inertia).norm() / inertia.norm();
        assert!(off < SUMS, "inertia of {name}: {off:e}");
    }
}

fn box_mesh(size: [f64; 3]) -> Mesh {
    use trimwright::frame::Position;
    use trimwright::geometry::{Fineness, Solid};
    let made = Solid::Box { size, centre: Position::ORIGIN }.mesh(Fineness::WORK);
    made.expect("a box").as_ref().clone()
}

#[test]
fn small_steps_give_the_same_as_one_and_progress_never_falls() {
    for name in ["hull", "ball_text"] {
        let whole = import(file(name));
        let mut import = StlImport::new(file(name)).expect("a good file");
        let mut before = 0.0;
        let in_steps = loop {
            if let Some(imported) = import.step(100).expect("a good file") {
                break imported;
            }
            let progress = import.progress();
            assert!((before..=1.0).contains(&progress), "{progress} after {before}");
            before = progress;
        };
        assert_eq!(whole, in_steps, "{name}");
        assert!(before > 0.9, "the last progress before the end was {before}");
    }
}

#[test]
fn a_scaled_or_turned_mesh_is_the_one_that_is_checked_anew() {
    let hull = import(file("hull")).mesh;
    let small = hull.scaled(0.001).expect("a good factor");
    let mut all = vec![(small, "scaled")];
    for (axis, name) in [(Axis::X, "about x"), (Axis::Y, "about y"), (Axis::Z, "about z")] {
        all.push((hull.turned(axis), name));
        let mut round = hull.clone();
        for _quarter in 0..4 {
            round = round.turned(axis);
        }
        assert_eq!(round.vertices(), hull.vertices(), "four quarters {name}");
    }
    for (mesh, name) in all {
        let anew = Mesh::closed(mesh.vertices().to_vec(), mesh.faces().to_vec()).expect("a solid");
        let size = anew.bounds().size().norm();
        let off = (mesh.volume() / anew.volume() - 1.0).abs();
        assert!(off < 1e-12, "volume {name}: {off:e}");
        let off = (mesh.centroid().vector() - anew.centroid().vector()).norm();
        assert!(off < 1e-12 * size, "centroid {name}: {off:e}");
        let off = (mesh.bounds().size() - anew.bounds().size()).norm();
        assert!(off < 1e-12 * size, "bounds {name}: {off:e}");
        let up = Unit::new_normalize(Vector3::new(0.1, 0.2, 1.0));
        let height = -up.dot(&anew.bounds().centre());
        let (one, other) = (mesh.below(up, height).volume, anew.below(up, height).volume);
        assert!((one / other - 1.0).abs() < 1e-12, "cut {name}: {one} or {other}");
    }
    let about_x = hull.turned(Axis::X).centroid().vector();
    let before = hull.centroid().vector();
    assert!((about_x.z - before.y).abs() < 1e-9, "about x, port goes up: {about_x}");
}

#[test]
fn a_factor_that_makes_no_solid_is_refused() {
    let mesh = box_mesh([1.0, 1.0, 1.0]);
    for factor in [0.0, -1.0, f64::NAN, f64::INFINITY, 1e200, 1e-200] {
        assert_eq!(mesh.scaled(factor), None, "{factor}");
    }
}

// Ten damaged files.

#[test]
fn an_open_mesh_is_refused_with_the_hole() {
    let mut all = triangles(&file("sphere"));
    let [a, b, c] = corners(&all.remove(1234));
    match refusal(binary(&all)) {
        StlError::Open { n, from, to } => {
            assert_eq!(n, 3, "the sides of one triangle");
            let is_corner = |p: [f32; 3]| [a, b, c].contains(&p);
            assert!(is_corner(from) && is_corner(to), "{from:?} to {to:?}");
        }
        other => panic!("{other}"),
    }
}

#[test]
fn an_inverted_mesh_is_turned() {
    let all: Vec<_> = triangles(&file("hull")).iter().map(turned).collect();
    let got = import(binary(&all));
    assert_eq!(got.notes, [Repair::InsideOut { n: 1, of: 1 }], "{:?}", got.notes);
    assert_same_volume(&got, "hull");
}

#[test]
fn single_triangles_that_face_the_wrong_way_are_turned() {
    let mut all = triangles(&file("hull"));
    for k in [0, 17, 18, 19, 1000, 3527] {
        all[k] = turned(&all[k]);
    }
    let got = import(binary(&all));
    assert_eq!(got.notes, [Repair::Turned { n: 6 }], "{:?}", got.notes);
    assert_same_volume(&got, "hull");
}

#[test]
fn a_corner_that_is_no_number_is_refused_with_its_triangle() {
    for wild in [f32::NAN, f32::INFINITY, f32::NEG_INFINITY] {
        let mut all = triangles(&file("torus"));
        all[776][20..24].copy_from_slice(&wild.to_le_bytes());
        assert_eq!(refusal(binary(&all)), StlError::NotFinite { triangle: 777 }, "{wild}");
    }
    let text = String::from_utf8(file("ball_text")).expect("text");
    // One line before the first triangle, seven for each; corners are the third to the fifth.
    let mut lines: Vec<&str> = text.lines().collect();
    lines[1 + 7 * 2 + 3] = "vertex 1.0 NaN 2.0";
    let error = refusal(lines.join("\n").into_bytes());
    assert_eq!(error, StlError::NotFinite { triangle: 3 }, "in a text");
}

#[test]
fn a_truncated_file_is_refused_with_what_is_there() {
    let whole = file("hull");
    let cut = whole[..84 + 50 * 100 + 20].to_vec();
    let expected = StlError::Truncated { holds: 100, said: 3528 };
    assert_eq!(refusal(cut), expected, "binary");
    let text = file("ball_text");
    let end = text.len() / 2;
    let error = refusal(text[..end].to_vec());
    let is_cut = matches!(error, StlError::CutText { triangle: 155..=165, .. });
    assert!(is_cut, "in the middle of a line: {error}");
    let lines: Vec<&str> = std::str::from_utf8(&text).expect("text").lines().take(16).collect();
    let error = refusal(lines.join("\n").into_bytes());
    assert_eq!(error, StlError::CutText { line: 16, triangle: 3 }, "text");
}

#[test]
fn an_empty_file_is_refused() {
    assert_eq!(refusal(Vec::new()), StlError::EmptyFile, "no bytes");
    assert_eq!(refusal(binary(&[])), StlError::NoTriangles, "binary without triangles");
    let text = b"solid nothing\nendsolid nothing\n".to_vec();
    assert_eq!(refusal(text), StlError::NoTriangles, "text without triangles");
}

#[test]
fn a_header_that_says_too_much_is_refused_with_both_numbers() {
    let mut bytes = file("torus");
    bytes[80..84].copy_from_slice(&4_000_000_000_u32.to_le_bytes());
    let expected = StlError::HeaderCount { said: 4_000_000_000, holds: 3600 };
    assert_eq!(refusal(bytes.clone()), expected, "too many");
    bytes[80..84].copy_from_slice(&12_u32.to_le_bytes());
    assert_eq!(refusal(bytes), StlError::HeaderCount { said: 12, holds: 3600 }, "too few");
}

#[test]
fn a_text_with_decimal_commas_is_refused_with_the_line() {
    let text = String::from_utf8(file("ball_text")).expect("text").replace('.', ",");
    assert_eq!(refusal(text.into_bytes()), StlError::DecimalComma { line: 4 }, "all commas");
}

#[test]
fn triangles_without_area_are_left_out() {
    let mut all = triangles(&file("hull"));
    let [a, b, _] = corners(&all[55]);
    let middle = [0, 1, 2].map(|k| f32::midpoint(a[k], b[k]));
    all.insert(0, triangle([[9e6, 0.0, 0.0]; 3]));
    all.insert(70, triangle([a, b, b]));
    all.push(triangle([a, b, middle]));
    let got = import(binary(&all));
    assert_eq!(got.notes, [Repair::NoAreaLeftOut { n: 3 }], "{:?}", got.notes);
    assert_same_volume(&got, "hull");
    let far = got.mesh.bounds().high.x;
    assert!(far < 400.0, "a corner that is left out counts no more: {far}");
    let none: Vec<_> = all.iter().map(|t| triangle([corners(t)[0]; 3])).collect();
    assert_eq!(refusal(binary(&none)), StlError::NoArea { n: none.len() }, "all of them");
    let flat = |t: &[u8; 50]| triangle(corners(t).map(|[x, y, _]| [x, y, 0.0]));
    let all: Vec<_> = triangles(&file("torus")).iter().map(flat).collect();
    assert_eq!(refusal(binary(&all)), StlError::NoVolume, "all in one plane");
}

#[test]
fn triangles_that_are_there_twice_are_left_out() {
    let good = triangles(&file("torus"));
    let mut some = good.clone();
    some.insert(5, good[900]);
    some.push(good[901]);
    some.push(turned(&good[33]));
    let got = import(binary(&some));
    assert_eq!(got.notes, [Repair::TwiceLeftOut { n: 3 }], "{:?}", got.notes);
    assert_same_volume(&got, "torus");
    let all = [good.clone(), good].concat();
    let got = import(binary(&all));
    assert_eq!(got.notes, [Repair::TwiceLeftOut { n: 3600 }], "{:?}", got.notes);
    assert_same_volume(&got, "torus");
}

#[test]
fn two_shells_are_told_and_a_hollow_counts_off() {
    let ball = triangles(&file("ball"));
    let volume = number(&expected("ball")["volume"]);
    let hollow: Vec<_> = ball.iter().map(|t| turned(&scaled(t, 0.5))).collect();
    let far = |t: &[u8; 50]| triangle(corners(t).map(|[x, y, z]| [x + 100.0, y, z]));
    let beside: Vec<_> = ball.iter().map(far).collect();
    let check = |all: &[[u8; 50]], notes: &[Repair], share: f64| {
        let got = import(binary(all));
        assert_eq!(got.notes, notes, "{notes:?}");
        let off = (got.mesh.volume() / (volume * share) - 1.0).abs();
        // Shifted by 100 the corners are rounded to single precision again.
        assert!(off < 1e-6, "{} of {volume}", got.mesh.volume());
    };
    let printed = [ball.clone(), hollow.clone()].concat();
    check(&printed, &[Repair::Surfaces { n: 2, n_hollows: 1 }], 0.875);
    let apart = [ball.clone(), beside.clone()].concat();
    check(&apart, &[Repair::Surfaces { n: 2, n_hollows: 0 }], 2.0);
    let three = [beside.clone(), hollow.clone(), ball.clone()].concat();
    check(&three, &[Repair::Surfaces { n: 3, n_hollows: 1 }], 1.875);
    let inverted: Vec<_> = printed.iter().map(turned).collect();
    let notes = [Repair::InsideOut { n: 2, of: 2 }, Repair::Surfaces { n: 2, n_hollows: 1 }];
    check(&inverted, &notes, 0.875);
    let one_inverted = [beside.iter().map(turned).collect(), printed].concat();
    let notes = [Repair::InsideOut { n: 1, of: 3 }, Repair::Surfaces { n: 3, n_hollows: 1 }];
    check(&one_inverted, &notes, 1.875);
    let filled: Vec<_> = hollow.iter().map(turned).collect();
    let doubtful = [ball, filled].concat();
    let error = refusal(binary(&doubtful));
    assert!(matches!(error, StlError::InnerSurface { .. }), "{error}");
}

/// A cube of side 1 from a corner, as twelve triangles.
fn cube([x, y, z]: [f32; 3]) -> Vec<[u8; 50]> {
    let mesh = box_mesh([1.0; 3]);
    let place = |c: &u32| {
        let v = mesh.vertices()[*c as usize];
        let side = |c: f64, from: f32| if c > 0.0 { from + 1.0 } else { from };
        [side(v.x, x), side(v.y, y), side(v.z, z)]
    };
    mesh.faces().iter().map(|face| triangle([0, 1, 2].map(|k| place(&face[k])))).collect()
}

#[test]
fn solids_that_touch_along_an_edge_stay_two() {
    let (first, other) = (cube([0.0; 3]), cube([1.0, 1.0, 0.0]));
    let two = Repair::Surfaces { n: 2, n_hollows: 0 };
    let got = import(binary(&[first.clone(), other.clone()].concat()));
    assert_eq!(got.notes, [two], "{:?}", got.notes);
    assert!((got.mesh.volume() - 2.0).abs() < SUMS, "volume {}", got.mesh.volume());
    let inverted = other.iter().map(turned).collect();
    let got = import(binary(&[first, inverted].concat()));
    assert_eq!(got.notes, [Repair::InsideOut { n: 1, of: 2 }, two], "{:?}", got.notes);
    assert!((got.mesh.volume() - 2.0).abs() < SUMS, "volume {}", got.mesh.volume());
}

#[test]
fn solids_that_share_a_side_are_one_and_both_must_face_outwards() {
    let (first, other) = (cube([0.0; 3]), cube([1.0, 0.0, 0.0]));
    let got = import(binary(&[first.clone(), other.clone()].concat()));
    assert_eq!(got.notes, [], "they are one");
    assert!((got.mesh.volume() - 2.0).abs() < SUMS, "volume {}", got.mesh.volume());
    // The common side is there twice then, the same way round: it is a guess what was meant.
    let inverted = other.iter().map(turned).collect();
    let error = refusal(binary(&[first, inverted].concat()));
    assert!(matches!(error, StlError::Open { .. }), "{error}");
}

#[test]
fn a_cloud_of_small_solids_is_refused() {
    let all: Vec<_> = (0..201_u16).flat_map(|k| cube([f32::from(k) * 2.0, 0.0, 0.0])).collect();
    assert_eq!(refusal(binary(&all)), StlError::TooManySurfaces { n: 201 }, "201 cubes");
}

#[test]
fn corners_that_nearly_meet_are_joined() {
    let mut all = triangles(&file("hull"));
    for (k, t) in all.iter_mut().enumerate() {
        // The file's numbers are of some hundred units: this is a few times their rounding.
        let off = if k % 3 == 0 { 1e-4 } else { 0.0 };
        *t = triangle(corners(t).map(|[x, y, z]| [x, y, z + off]));
    }
    let got = import(binary(&all));
    assert!(matches!(got.notes.as_slice(), [Repair::Joined { .. }]), "{:?}", got.notes);
    let volume = number(&expected("hull")["volume"]);
    let off = (got.mesh.volume() / volume - 1.0).abs();
    assert!(off < 1e-5, "{off:e}");
}

#[test]
fn what_is_no_stl_or_too_large_is_refused() {
    assert_eq!(refusal(b"Dear reader".to_vec()), StlError::NotStl, "a letter");
    let long = "Dear reader, this is not a mesh. ".repeat(100);
    assert_eq!(refusal(long.into_bytes()), StlError::NotStl, "a long letter");
    let mut packed = b"PK\x03\x04".to_vec();
    packed.extend((0..3000_u32).flat_map(|k| (k.wrapping_mul(2_654_435_761)).to_le_bytes()));
    assert_eq!(refusal(packed), StlError::NotStl, "a packed file");
    let many = vec![triangle([[0.0; 3], [1.0, 0.0, 0.0], [0.0, 1.0, 0.0]]); MOST_TRIANGLES + 1];
    let error = refusal(binary(&many));
    assert_eq!(error, StlError::TooMany { n: MOST_TRIANGLES + 1 }, "{error}");
}

#[test]
fn a_broken_text_is_refused_with_the_line() {
    let text = String::from_utf8(file("ball_text")).expect("text");
    for (from, to) in [("endloop", "endlop"), ("outer loop", "inner loop"), ("vertex", "vertx")] {
        let broken = text.replacen(from, to, 1);
        let line = text.lines().position(|l| l.contains(from)).expect("it is there") + 1;
        assert_eq!(refusal(broken.into_bytes()), StlError::BadLine { line }, "{to}");
    }
    let long = format!("solid\n{}", "x".repeat(5000));
    assert_eq!(refusal(long.into_bytes()), StlError::BadLine { line: 2 }, "a very long line");
}

#[test]
fn texts_are_taken_as_people_and_programs_write_them() {
    let text = String::from_utf8(file("ball_text")).expect("text");
    let normal = text.lines().nth(1).expect("a facet");
    for (way, changed) in [
        ("with carriage returns", text.replace('\n', "\r\n")),
        ("in capitals", text.to_ascii_uppercase()),
        ("without a last new line", text.trim_end().to_owned()),
        ("with a byte order mark", format!("\u{feff}{text}")),
        ("indented", text.replace('\n', "\n\t  ")),
        ("with normals that are none", text.replacen(normal, "facet normal -nan(ind) nan nan", 1)),
    ] {
        let got = read_stl(changed.into_bytes());
        let got = got.unwrap_or_else(|error| panic!("{way}: {error}"));
        assert_same_volume(&got, "ball");
    }
    let mut binary = file("hull");
    binary[..11].copy_from_slice(b"solid hull ");
    assert_same_volume(&import(binary), "hull");
}

#[test]
fn each_message_tells_what_where_and_what_to_do() {
    let open = StlError::Open { n: 3, from: [1.5, 0.0, 2.0], to: [1.5, 1.0, 2.0] };
    let words = open.to_string();
    assert!(words.contains("open edges: 3") && words.contains("(1.5, 0, 2)"), "{words}");
    let words = StlError::Truncated { holds: 10, said: 20 }.to_string();
    assert!(words.contains("10 of 20"), "{words}");
    let words = StlError::TooMany { n: 500_000 }.to_string();
    assert!(words.contains("500000") && words.contains("400000"), "{words}");
    assert_eq!(Repair::Turned { n: 1 }.to_string(), "1 triangle flipped to match the rest");
}

#[test]
fn wild_bytes_never_panic() {
    let mut rng = TestRng::deterministic_rng(RngAlgorithm::ChaCha);
    let mut next = move |below: usize| {
        use proptest::prelude::Rng;
        usize::try_from(rng.next_u32()).expect("32 bits") % below
    };
    let byte = |n: usize| u8::try_from(n % 256).expect("a byte");
    let good = [file("ball"), file("ball_text")[..20_000].to_vec()];
    let mut n_taken = 0;
    for case in 0..2000 {
        let mut bytes = if case % 4 == 0 {
            (0..next(600)).map(|_| byte(next(256))).collect()
        } else {
            good[case % 2].clone()
        };
        for _change in 0..=next(6) {
            let at = next(bytes.len().max(1));
            match next(5) {
                0 => bytes.truncate(at),
                1 if !bytes.is_empty() => bytes[at] = byte(next(256)),
                2 if !bytes.is_empty() => bytes[at] ^= 1 << next(8),
                3 => {
                    let (from, to) = (at.min(bytes.len()), (at + 50).min(bytes.len()));
                    let copy = bytes[from..to].to_vec();
                    bytes.splice(from..from, copy);
                }
                _ => {
                    let to = (at + next(60)).min(bytes.len());
                    bytes.drain(at.min(to)..to);
                }
            }
        }
        // The count often fits, so that the triangles are looked at.
        if bytes.len() >= 84 && next(2) == 0 {
            let n = u32::try_from((bytes.len() - 84) / 50).expect("few triangles");
            bytes[80..84].copy_from_slice(&n.to_le_bytes());
        }
        match read_stl(bytes) {
            Ok(imported) => {
                n_taken += 1;
                let volume = imported.mesh.volume();
                assert!(volume > 0.0 && volume.is_finite(), "case {case}: volume {volume}");
            }
            Err(error) => assert!(!error.to_string().is_empty(), "case {case}"),
        }
    }
    assert!(n_taken > 20, "only {n_taken} of 2000 were taken: the changes are too wild");
}
