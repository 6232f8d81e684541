//! A closed surface moved along its normals, and the shell between the two.

use super::checking::{Checking, MeshError};
use super::mesh::Mesh;
use crate::pause::{Pause, Work, at_once, pause};
use nalgebra::{Matrix3, SymmetricEigen, Vector3};

/// Why a surface cannot be moved that far.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum OffsetError {
    /// The distance is not a number.
    #[error("a surface cannot be moved by {0} m: give a number")]
    NotANumber(f64),
    /// The wall is zero, negative or not a number.
    #[error("a wall of {0} m: it must be more than zero")]
    BadWall(f64),
    /// Moved inwards, the surface passes through itself.
    #[error(
        "the wall of {} mm is thicker than half the part at its thinnest: make it thinner, or the part solid",
        millimetres(*wall)
    )]
    TooThick {
        /// The wall, metres.
        wall: f64,
    },
    /// Moved outwards, the surface folds over itself in a hollow.
    #[error("moved outwards by {} mm the surface folds over itself: move it less", millimetres(*by))]
    Folded {
        /// The distance, metres.
        by: f64,
    },
    /// What comes out is not a solid.
    #[error(transparent)]
    Mesh(#[from] MeshError),
}

/// To a thousandth, so that 0.0033 m reads 3.3 mm.
fn millimetres(metres: f64) -> f64 {
    (metres * 1e6).round() / 1e3
}

/// Below this share of the whole an eigenvalue of the normals' matrix is rounding or the curvature
/// of a smooth surface (normals within about one degree), not an edge.
const FLAT: f64 = 1e-4;
/// The most that a vertex moves, in distances: a spike sharper than this is cut short.
const SPIKE: f64 = 3.0;
/// Height over longest side below which a triangle's normal is only rounding of its corners.
const SLIVER: f64 = 1e-6;
/// Share of the area that may turn over (tips and slivers) before the surface has passed itself.
const TURNED: f64 = 0.03;

/// The surface moved along its normals by `by` metres, outwards if positive.
///
/// Each vertex moves so that the planes of all its faces move by `by`: exactly so where three
/// planes meet (boxes, prisms, cylinders of flat faces), by least squares elsewhere. A thin fin on
/// a thick body can pass itself unnoticed: the check looks at the surface as a whole.
///
/// # Errors
/// [`OffsetError`] when `by` is not a number or the surface would pass through itself.
pub fn offset(mesh: &Mesh, by: f64) -> Result<Mesh, OffsetError> {
    at_once(|due| offset_with(mesh, by, due))
}

/// As [`offset`], with pauses where they are due.
///
/// # Errors
/// As [`offset`].
pub fn offset_with<'a>(
    mesh: &'a Mesh,
    by: f64,
    due: Pause<'a>,
) -> Work<'a, Result<Mesh, OffsetError>> {
    Box::pin(moved(mesh, by, due))
}

async fn moved(mesh: &Mesh, by: f64, due: Pause<'_>) -> Result<Mesh, OffsetError> {
    if !by.is_finite() {
        return Err(OffsetError::NotANumber(by));
    }
    let folded =
        || if by < 0.0 { OffsetError::TooThick { wall: -by } } else { OffsetError::Folded { by } };
    let ways = ways(mesh, due).await;
    let moved = mesh.vertices().iter().zip(&ways).map(|(v, way)| v + way * by).collect();
    pause(due).await;
    let moved = match checked(Checking::of_closing_faces(moved, mesh.faces().to_vec()), due).await {
        Err(MeshError::InsideOut { .. } | MeshError::NoVolume) => return Err(folded()),
        other => other?,
    };
    let grown = moved.volume() - mesh.volume();
    if turned_share(mesh, &moved, due).await > TURNED || grown * by < 0.0 {
        return Err(folded());
    }
    Ok(moved)
}

/// The wall of a hollow part as one closed mesh: the outer surface, and one `wall` metres inside it
/// that faces inwards. Its volume is the material's.
///
/// # Errors
/// [`OffsetError`] when the wall is not more than zero, or too thick for the part.
pub fn shell(outer: &Mesh, wall: f64) -> Result<Mesh, OffsetError> {
    at_once(|due| shell_with(outer, wall, due))
}

/// As [`shell`], with pauses where they are due.
///
/// # Errors
/// As [`shell`].
pub fn shell_with<'a>(
    outer: &'a Mesh,
    wall: f64,
    due: Pause<'a>,
) -> Work<'a, Result<Mesh, OffsetError>> {
    Box::pin(walled(outer, wall, due))
}

async fn walled(outer: &Mesh, wall: f64, due: Pause<'_>) -> Result<Mesh, OffsetError> {
    if !(wall > 0.0 && wall.is_finite()) {
        return Err(OffsetError::BadWall(wall));
    }
    let inner = offset_with(outer, -wall, due).await?;
    let mut vertices = outer.vertices().to_vec();
    #[expect(clippy::cast_possible_truncation, reason = "indices of 32 bits have room for two")]
    let first = vertices.len() as u32;
    vertices.extend(inner.vertices());
    let mut faces = outer.faces().to_vec();
    faces.extend(inner.faces().iter().map(|&[a, b, c]| [first + a, first + c, first + b]));
    pause(due).await;
    Ok(checked(Checking::of_closing_faces(vertices, faces), due).await?)
}

/// Triangles, or vertices, that are worked on between two looks whether a pause is due.
const AT_ONCE: usize = 4000;

/// Checks to the end.
async fn checked(mut checking: Checking, due: Pause<'_>) -> Result<Mesh, MeshError> {
    loop {
        if let Some(mesh) = checking.step(AT_ONCE)? {
            return Ok(mesh);
        }
        pause(due).await;
    }
}

/// What the faces around one vertex say: Σ w n nᵀ and Σ w n, the weight the angle at the vertex, so
/// that it does not matter how a flat side is divided into triangles.
#[derive(Clone, Copy)]
struct Around {
    matrix: Matrix3<f64>,
    normal: Vector3<f64>,
}

/// How each vertex moves when the surface moves outwards by one metre.
async fn ways(mesh: &Mesh, due: Pause<'_>) -> Vec<Vector3<f64>> {
    let none = Around { matrix: Matrix3::zeros(), normal: Vector3::zeros() };
    let mut around = vec![none; mesh.vertices().len()];
    for (k, (face, corners)) in mesh.faces().iter().zip(mesh.triangles()).enumerate() {
        if k % AT_ONCE == 0 {
            pause(due).await;
        }
        let Some(normal) = normal(corners) else { continue };
        let [a, b, c] = corners;
        let angles = [(b - a).angle(&(c - a)), (c - b).angle(&(a - b)), (a - c).angle(&(b - c))];
        for (&vertex, angle) in face.iter().zip(angles) {
            let Some(sums) = around.get_mut(vertex as usize) else { continue };
            sums.matrix += normal * normal.transpose() * angle;
            sums.normal += normal * angle;
        }
    }
    let mut ways = Vec::with_capacity(around.len());
    for some in around.chunks(AT_ONCE) {
        ways.extend(some.iter().map(Around::way));
        pause(due).await;
    }
    follow_neighbours(mesh, &mut ways);
    ways.into_iter().map(Option::unwrap_or_default).collect()
}

impl Around {
    /// The least d with n · d = 1 for the normals, none if there are none.
    fn way(&self) -> Option<Vector3<f64>> {
        let total = self.matrix.trace();
        if !(total > 0.0 && total.is_finite()) {
            return None;
        }
        // Nearly everywhere on a fine mesh the faces agree, and all other directions are cut off.
        let mean = self.normal.normalize();
        let along = mean.dot(&(self.matrix * mean));
        if total - along < FLAT * total {
            return Some(mean * (self.normal.norm() / along));
        }
        let eigen = SymmetricEigen::try_new(self.matrix, f64::EPSILON, 100)?;
        let mut way = Vector3::zeros();
        for (axis, &value) in eigen.eigenvectors.column_iter().zip(&eigen.eigenvalues) {
            if value > FLAT * total {
                way += axis * (axis.dot(&self.normal) / value);
            }
        }
        Some(way.cap_magnitude(SPIKE))
    }
}

/// A vertex that has slivers around it only moves as the mean of its neighbours does.
fn follow_neighbours(mesh: &Mesh, ways: &mut [Option<Vector3<f64>>]) {
    if ways.iter().all(Option::is_some) {
        return;
    }
    let mut means = vec![(Vector3::zeros(), 0.0); ways.len()];
    for &[a, b, c] in mesh.faces() {
        for (lost, others) in [(a, [b, c]), (b, [c, a]), (c, [a, b])] {
            let Some((sum, count)) = means.get_mut(lost as usize) else { continue };
            for way in others.iter().filter_map(|&k| ways.get(k as usize).copied().flatten()) {
                *sum += way;
                *count += 1.0;
            }
        }
    }
    for (way, (sum, count)) in ways.iter_mut().zip(means) {
        if way.is_none() && count > 0.0 {
            *way = Some(sum / count);
        }
    }
}

/// The unit normal, none for a sliver.
fn normal([a, b, c]: [Vector3<f64>; 3]) -> Option<Vector3<f64>> {
    let cross = (b - a).cross(&(c - a));
    let longest = (b - a).norm_squared().max((c - b).norm_squared()).max((a - c).norm_squared());
    let (doubled_area, least) = (cross.norm(), SLIVER * longest);
    (doubled_area > least && doubled_area.is_finite()).then(|| cross / doubled_area)
}

/// Share of the area whose faces look the other way after the move.
async fn turned_share(before: &Mesh, after: &Mesh, due: Pause<'_>) -> f64 {
    let (mut turned, mut whole) = (0.0, 0.0);
    let both = before.triangles().zip(after.triangles());
    for (k, ([a, b, c], [d, e, f])) in both.enumerate() {
        if k % AT_ONCE == 0 {
            pause(due).await;
        }
        let old = (b - a).cross(&(c - a));
        let area = old.norm();
        whole += area;
        if old.dot(&(e - d).cross(&(f - d))) < 0.0 {
            turned += area;
        }
    }
    turned / whole
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::frame::Position;
    use crate::geometry::{Axis, Fineness, Solid};
    use std::f64::consts::PI;
    use std::sync::Arc;

    const HERE: Position<crate::frame::Body> = Position::new(0.3, -0.2, 0.1);

    fn made(solid: &Solid, fineness: Fineness) -> Arc<Mesh> {
        solid.mesh(fineness).expect("a good solid")
    }

    fn brick() -> Arc<Mesh> {
        made(&Solid::Box { size: [0.3, 0.2, 0.1], centre: HERE }, Fineness::WORK)
    }

    #[track_caller]
    fn close(got: f64, expected: f64, relative: f64, what: &str) {
        let off = (got / expected - 1.0).abs();
        assert!(off < relative, "{what}: got {got}, expected {expected}, off by {off:.2e} of it");
    }

    #[test]
    fn a_box_grows_and_shrinks_by_its_walls() {
        for by in [-0.049, -0.003, 0.0, 0.02, 1.0] {
            let got = offset(&brick(), by).expect("it fits");
            let size = [0.3 + 2.0 * by, 0.2 + 2.0 * by, 0.1 + 2.0 * by];
            let off = (got.bounds().size() - Vector3::from(size)).norm();
            assert!(off < 1e-12, "moved by {by}: {:?}", got.bounds().size());
            close(got.volume(), size.iter().product(), 1e-12, "its volume");
        }
        let wall = shell(&brick(), 0.01).expect("it fits");
        close(wall.volume(), 0.006 - 0.28 * 0.18 * 0.08, 1e-12, "the wall");
        let off = (wall.centroid().vector() - HERE.vector()).norm();
        assert!(off < 1e-12, "the wall's centre is off by {off}");
    }

    #[test]
    fn a_tube_with_flat_ends_keeps_its_polygon() {
        // Closed form: n apothem² tan(π/n) × length, the ring having the area of its circle.
        for (around, wall) in [(8, 0.01), (48, 0.003), (512, 0.02)] {
            let solid = Solid::Cylinder { axis: Axis::Y, length: 0.4, diameter: 0.1, centre: HERE };
            let tube = made(&solid, Fineness { around, along: 4 });
            let n = f64::from(around);
            let apothem = (PI * 0.0025 / (n * (PI / n).tan())).sqrt() - wall;
            let inside = n * apothem * apothem * (PI / n).tan() * (0.4 - 2.0 * wall);
            let got = shell(&tube, wall).expect("it fits").volume();
            close(got, PI * 0.0025 * 0.4 - inside, 1e-11, &format!("{around} corners"));
        }
    }

    #[test]
    fn a_hollow_ball_has_the_volume_between_two_spheres() {
        // Closed form: 4/3 π (R³ − r³). Corners stand out by angle²/12.
        for (around, along) in [(48, 24), (512, 256)] {
            let facets = (2.0 * PI / f64::from(around)).powi(2) / 12.0;
            let ball = Solid::Sphere { diameter: 0.2, centre: HERE };
            let ball = made(&ball, Fineness { around, along });
            for wall in [0.002_f64, 0.05] {
                let exact = 4.0 / 3.0 * PI * (0.001 - (0.1 - wall).powi(3));
                let got = shell(&ball, wall).expect("it fits").volume();
                close(got, exact, facets, &format!("{around} corners, wall {wall}"));
            }
        }
    }

    #[test]
    fn a_part_too_thin_for_its_wall_is_refused_in_words() {
        let got = shell(&brick(), 0.0502);
        let expected = "the wall of 50.2 mm is thicker than half the part at its thinnest: \
                        make it thinner, or the part solid";
        assert_eq!(got.expect_err("too thick").to_string(), expected, "the words");
        // Turned over in two directions, its volume is larger than before.
        let bar = made(&Solid::Box { size: [1.0, 0.02, 0.02], centre: HERE }, Fineness::WORK);
        let got = shell(&bar, 0.03);
        assert_eq!(got, Err(OffsetError::TooThick { wall: 0.03 }), "a bar turned over twice");
        let ball = made(&Solid::Sphere { diameter: 0.1, centre: HERE }, Fineness::WORK);
        for wall in [0.051, 0.2] {
            assert_eq!(shell(&ball, wall), Err(OffsetError::TooThick { wall }), "a ball");
        }
    }

    #[test]
    fn a_wall_that_is_none_is_refused() {
        for wall in [0.0, -0.01, f64::NAN, f64::INFINITY] {
            let got = shell(&brick(), wall);
            assert!(matches!(got, Err(OffsetError::BadWall(_))), "a wall of {wall}: {got:?}");
        }
        let got = offset(&brick(), f64::NAN);
        assert!(matches!(got, Err(OffsetError::NotANumber(_))), "moved by no number: {got:?}");
    }

    #[test]
    fn a_mirrored_part_has_a_mirrored_wall() {
        let cone =
            Solid::Frustum { length: 0.3, diameter_aft: 0.0, diameter_fore: 0.2, centre: HERE };
        let cone = made(&cone, Fineness::WORK);
        let (one, other) = (shell(&cone, 0.005), shell(&cone.mirrored(), 0.005));
        let (one, other) = (one.expect("it fits").mirrored(), other.expect("it fits"));
        close(one.volume(), other.volume(), 1e-12, "volume");
        for (a, b) in one.vertices().iter().zip(other.vertices()) {
            assert!((a - b).norm() < 1e-12, "a vertex lies at {a} and at {b}");
        }
    }

    #[test]
    fn a_point_on_an_edge_with_slivers_moves_with_the_edge() {
        // A box whose upper fore edge has a third point on it, joined by a triangle of no height.
        let mut vertices = brick().vertices().to_vec();
        let mut faces: Vec<_> = brick().faces().to_vec();
        let at = faces.iter().position(|f| f.contains(&5) && f.contains(&7)).expect("an edge");
        vertices.push((vertices[5] + vertices[7]) / 2.0);
        let (turn, [a, b, c]) = (|[a, b, c]: [u32; 3]| [b, c, a], faces[at]);
        let mut edge = [a, b, c];
        while !(edge[0] != 5 && edge[0] != 7) {
            edge = turn(edge);
        }
        let [apex, from, to] = edge;
        faces[at] = [apex, from, 8];
        faces.extend([[apex, 8, to], [8, from, to]]);
        let box_with_point = Mesh::closed(vertices, faces).expect("still closed");
        let got = offset(&box_with_point, -0.01).expect("it fits");
        close(got.volume(), 0.28 * 0.18 * 0.08, 1e-12, "its volume");
    }
}
