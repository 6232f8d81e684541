//! A solid parted by a plane into two closed ones.

use super::mesh::Mesh;
use nalgebra::{Unit, Vector3};
use std::collections::HashMap;

/// The two sides of a solid that a plane has parted; none where there is nothing.
#[derive(Debug, Clone, PartialEq)]
pub struct Split {
    /// Where `normal · p < distance`.
    pub below: Option<Mesh>,
    /// Where `normal · p > distance`.
    pub above: Option<Mesh>,
}

/// Vertices nearer to the plane than this share of the mesh's size lie on it.
const ON_PLANE: f64 = 1e-12;

impl Mesh {
    /// Parts the solid by the plane `normal · p = distance` (metres from the body's origin).
    ///
    /// Volumes and first moments of the two add up to the whole. Each cut is closed by one fan from
    /// a single point, also where it has several loops or a hollow: such triangles overlap, and
    /// what lies twice is taken off again by one that faces the other way. All integrals over a
    /// mesh are signed sums, so they are exact; a renderer would see the overlap.
    #[must_use]
    pub fn split(&self, normal: Unit<Vector3<f64>>, distance: f64) -> Split {
        let on_plane = ON_PLANE * self.bounds().size().norm();
        let heights: Vec<f64> = self
            .vertices()
            .iter()
            .map(|v| normal.dot(v) - distance)
            .map(|height| if height.abs() <= on_plane { 0.0 } else { height })
            .collect();
        // Asked this way round, a plane that is not a number leaves everything above.
        if !heights.iter().any(|&h| h < 0.0) {
            return Split { below: None, above: Some(self.clone()) };
        }
        if !heights.iter().any(|&h| h > 0.0) {
            return Split { below: Some(self.clone()), above: None };
        }
        let mut parting = Parting {
            vertices: self.vertices().to_vec(),
            heights,
            cuts: HashMap::new(),
            apex: None,
            below: Vec::new(),
            above: Vec::new(),
        };
        for &face in self.faces() {
            parting.take(face);
        }
        let Parting { vertices, below, above, .. } = parting;
        Split { below: closed(&vertices, &below), above: closed(&vertices, &above) }
    }
}

struct Parting {
    /// The mesh's own, then those of the cut.
    vertices: Vec<Vector3<f64>>,
    /// Height above the plane of each of the mesh's own vertices. Decided once: at zero or more a
    /// vertex is above.
    heights: Vec<f64>,
    /// The vertex where an edge (its lower and its upper end) meets the plane.
    cuts: HashMap<(u32, u32), u32>,
    /// The point from which the cut is closed.
    apex: Option<u32>,
    below: Vec<[u32; 3]>,
    above: Vec<[u32; 3]>,
}

/// A part of a triangle on one side of a plane: at most four corners, with room to spare.
#[derive(Default)]
struct Polygon {
    corners: [u32; 6],
    count: usize,
}

impl Polygon {
    fn push(&mut self, corner: u32) {
        if let Some(place) = self.corners.get_mut(self.count) {
            *place = corner;
            self.count += 1;
        }
    }

    fn fan(&self, faces: &mut Vec<[u32; 3]>) {
        let corners = self.corners.get(..self.count).unwrap_or_default();
        let Some((&first, others)) = corners.split_first() else { return };
        for pair in others.windows(2) {
            if let &[a, b] = pair {
                push_face(faces, [first, a, b]);
            }
        }
    }
}

/// Keeps a triangle unless two of its corners are one: then its edges cancel, and it is not needed.
fn push_face(faces: &mut Vec<[u32; 3]>, [a, b, c]: [u32; 3]) {
    if a != b && b != c && c != a {
        faces.push([a, b, c]);
    }
}

impl Parting {
    fn height(&self, vertex: u32) -> f64 {
        self.heights.get(vertex as usize).copied().unwrap_or_default()
    }

    fn take(&mut self, [a, b, c]: [u32; 3]) {
        let (mut below, mut above) = (Polygon::default(), Polygon::default());
        let (mut upwards, mut downwards) = (None, None);
        for (from, to) in [(a, b), (b, c), (c, a)] {
            let (is_below, goes_below) = (self.height(from) < 0.0, self.height(to) < 0.0);
            let side = if is_below { &mut below } else { &mut above };
            side.push(from);
            if is_below == goes_below {
                continue;
            }
            let cut = if is_below { self.cut(from, to) } else { self.cut(to, from) };
            below.push(cut);
            above.push(cut);
            *(if is_below { &mut upwards } else { &mut downwards }) = Some(cut);
        }
        below.fan(&mut self.below);
        above.fan(&mut self.above);
        let (Some(p), Some(q)) = (upwards, downwards) else { return };
        // The lower part is open from p to q, the upper one from q to p.
        let apex = *self.apex.get_or_insert(p);
        push_face(&mut self.below, [q, p, apex]);
        push_face(&mut self.above, [p, q, apex]);
    }

    /// The vertex where an edge meets the plane: its upper end if that lies on it.
    #[expect(
        clippy::cast_possible_truncation,
        reason = "a mesh holds at most as many edges as it has indices of 32 bits in memory"
    )]
    fn cut(&mut self, lower: u32, upper: u32) -> u32 {
        let (low, high) = (self.height(lower), self.height(upper));
        if high <= 0.0 {
            return upper;
        }
        let vertices = &mut self.vertices;
        *self.cuts.entry((lower, upper)).or_insert_with(|| {
            let at = |k: u32| vertices.get(k as usize).copied().unwrap_or_default();
            let point = at(lower) + (at(upper) - at(lower)) * (low / (low - high));
            vertices.push(point);
            vertices.len() as u32 - 1
        })
    }
}

/// The faces with the vertices that they use, none if they enclose nothing: a side that is only a
/// face lying in the plane has no volume.
#[expect(clippy::cast_possible_truncation, reason = "no more vertices than before")]
fn closed(vertices: &[Vector3<f64>], faces: &[[u32; 3]]) -> Option<Mesh> {
    let mut places = vec![u32::MAX; vertices.len()];
    let mut kept = Vec::new();
    let mut renamed = faces.to_vec();
    for corner in renamed.iter_mut().flatten() {
        let vertex = *corner as usize;
        let place = places.get_mut(vertex)?;
        if *place == u32::MAX {
            *place = kept.len() as u32;
            kept.push(*vertices.get(vertex)?);
        }
        *corner = *place;
    }
    Mesh::closed(kept, renamed).ok()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::frame::Position;
    use crate::geometry::{Axis, Fineness, Solid, Station, shell};
    use std::sync::Arc;

    fn made(solid: &Solid) -> Arc<Mesh> {
        solid.mesh(Fineness::WORK).expect("a good solid")
    }

    fn brick() -> Arc<Mesh> {
        made(&Solid::Box { size: [1.0, 0.4, 0.2], centre: Position::new(0.5, 0.2, 0.1) })
    }

    /// An L of two arms of 1 × 0.2 m in the plane of x and z, 0.3 m across.
    fn angle_iron() -> Mesh {
        let outline = [[0.0, 0.0], [1.0, 0.0], [1.0, 0.2], [0.2, 0.2], [0.2, 1.0], [0.0, 1.0_f64]];
        let side = |y: f64| outline.map(|[x, z]| Vector3::new(x, y, z));
        let mut faces = Vec::new();
        for [a, b, c] in [[0, 1, 2], [0, 2, 3], [0, 3, 4], [0, 4, 5_u32]] {
            faces.extend([[a, b, c], [6 + a, 6 + c, 6 + b]]);
        }
        for k in 0..6 {
            let next = (k + 1) % 6;
            faces.extend([[k, 6 + k, next], [next, 6 + k, 6 + next]]);
        }
        Mesh::closed([side(0.0), side(0.3)].concat(), faces).expect("an L")
    }

    /// Both parts' volumes and moments against the whole and against the cut, which finds them
    /// without building a cap.
    #[track_caller]
    fn check(mesh: &Mesh, normal: [f64; 3], distance: f64, what: &str) -> Split {
        let normal = Unit::new_normalize(Vector3::from(normal));
        let split = mesh.split(normal, distance);
        let sum = |side: &Option<Mesh>| {
            side.as_ref().map_or((0.0, Vector3::zeros()), |m| (m.volume(), m.first_moment()))
        };
        let ((v, m), (w, n)) = (sum(&split.below), sum(&split.above));
        let size = mesh.bounds().size().norm() + mesh.bounds().centre().norm();
        let off = (v + w - mesh.volume()).abs() / mesh.volume();
        assert!(off < 1e-12, "{what}: volumes are off by {off:.2e}");
        let off = (m + n - mesh.first_moment()).norm() / (mesh.volume() * size);
        assert!(off < 1e-12, "{what}: moments are off by {off:.2e}");
        let cut = mesh.below(normal, -distance);
        let off = (v - cut.volume).abs() / mesh.volume();
        assert!(off < 1e-12, "{what}: {v} below, by the cut {}", cut.volume);
        let off = (m - cut.first_moment).norm() / (mesh.volume() * size);
        assert!(off < 1e-12, "{what}: the lower moment is off by {off:.2e}");
        split
    }

    #[test]
    fn the_parts_add_up_to_the_whole() {
        let tube = Solid::Cylinder {
            axis: Axis::X,
            length: 1.0,
            diameter: 0.2,
            centre: Position::new(0.1, 0.3, -0.2),
        };
        let bottle = Solid::Revolved {
            stations: [(0.0, 0.3), (0.3, 0.3), (0.35, 0.05), (0.5, 0.05), (0.6, 0.2), (0.7, 0.0)]
                .map(|(x, radius)| Station { x, radius })
                .to_vec(),
            origin: Position::ORIGIN,
        };
        let ring = shell(&made(&tube), 0.01).expect("it fits");
        for mesh in [&*brick(), &angle_iron(), &*made(&tube), &*made(&bottle), &ring] {
            let middle = mesh.bounds().centre();
            for normal in [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0], [0.3, -0.5, 0.8]] {
                for share in [-0.9, -0.3, 0.0, 0.1, 0.7] {
                    let unit = Vector3::from(normal).normalize();
                    let half = unit.abs().dot(&mesh.bounds().size()) / 2.0;
                    let distance = unit.dot(&middle) + share * half;
                    let what = format!("{normal:?} at {share}");
                    check(mesh, normal, distance, &what);
                }
            }
        }
    }

    #[test]
    fn each_side_lies_on_its_own_side() {
        let Split { below: Some(below), above: Some(above) } =
            check(&brick(), [0.0, 1.0, 0.0], 0.1, "a box")
        else {
            panic!("two sides")
        };
        assert!((below.volume() - 0.02).abs() < 1e-15, "a quarter: {}", below.volume());
        assert!(below.bounds().high.y <= 0.1 + 1e-15, "{:?}", below.bounds());
        assert!(above.bounds().low.y >= 0.1 - 1e-15, "{:?}", above.bounds());
    }

    #[test]
    fn an_arch_is_cut_into_two_loops_at_once() {
        // Both arms of the L below a slanting plane that passes between its ends and its corner.
        let split = check(&angle_iron(), [1.0, 0.0, 1.0], 0.6, "a slanting cut");
        let above = split.above.expect("two ends");
        assert!(above.volume() > 0.0, "two ends as one mesh: {}", above.volume());
    }

    #[test]
    fn a_plane_through_vertices_edges_and_faces_is_decided_once() {
        check(&brick(), [1.0, -1.0, 0.0], 0.0, "an edge");
        check(&brick(), [0.2, 0.5, -1.0], 0.0, "three vertices");
        check(&brick(), [0.2, 0.5, 1.0], 0.2, "a diagonal through vertices");
        // The inner corner of the L: the plane holds a face of the upper part, which is a face of
        // the lower part's surface.
        for normal in [[0.0, 0.0, 1.0], [1.0, 0.0, 0.0], [0.0, 0.0, -1.0]] {
            let distance = if normal[2] < 0.0 { -0.2 } else { 0.2 };
            let split = check(&angle_iron(), normal, distance, &format!("a face at {normal:?}"));
            assert!(split.below.is_some() && split.above.is_some(), "two sides at {normal:?}");
        }
        // Nearer than rounding.
        check(&angle_iron(), [0.0, 0.0, 1.0], 0.2 + 1e-16, "almost a face");
    }

    #[test]
    fn a_plane_that_misses_leaves_one_side_empty() {
        for (distance, is_below) in [(-0.1, false), (0.0, false), (0.2, true), (9.0, true)] {
            let split = check(&brick(), [0.0, 0.0, 1.0], distance, "a miss");
            let (full, empty) =
                if is_below { (split.below, split.above) } else { (split.above, split.below) };
            assert_eq!(empty, None, "nothing on the other side of {distance}");
            assert_eq!(full.as_ref(), Some(&*brick()), "all on one side of {distance}");
        }
        let split = brick().split(Vector3::z_axis(), f64::NAN);
        assert!(split.below.is_none() && split.above.is_some(), "no plane parts nothing");
    }
}
