//! A closed, outward-facing triangle mesh; the type is the proof that it was checked.

use super::bundle::Bundle;
use super::checking::Checking;
use super::cut::Cut;
use super::solid::Axis;
use crate::frame::{Body, Position};
use nalgebra::{Matrix3, Unit, Vector3};

/// Why a list of triangles is not a solid.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum MeshError {
    /// There are no triangles.
    #[error("the mesh has no triangles: give at least four")]
    Empty,
    /// A coordinate is infinite or not a number.
    #[error("vertex {vertex} has a coordinate that is not a number")]
    NotFinite {
        /// Index of the vertex, from 0.
        vertex: usize,
    },
    /// A triangle names a vertex that is not there.
    #[error("triangle {face} names vertex {vertex}, but there are only {n_vertices}")]
    MissingVertex {
        /// Index of the triangle, from 0.
        face: usize,
        /// The vertex it names.
        vertex: usize,
        /// How many vertices there are.
        n_vertices: usize,
    },
    /// A triangle uses the same vertex twice.
    #[error("triangle {face} uses one vertex twice: remove it")]
    Collapsed {
        /// Index of the triangle, from 0.
        face: usize,
    },
    /// An edge has a triangle on one side only, or two that face opposite ways.
    #[error(
        "the mesh is open or faces both ways at the edge from ({}, {}, {}) to ({}, {}, {}) m: \
         close the hole or turn the triangle",
        from[0], from[1], from[2], to[0], to[1], to[2]
    )]
    Open {
        /// Where the edge begins, metres.
        from: [f64; 3],
        /// Where the edge ends, metres.
        to: [f64; 3],
    },
    /// The triangles face inwards.
    #[error("the mesh is inside out (volume {volume} m3): reverse its triangles")]
    InsideOut {
        /// The signed volume, m³, negative.
        volume: f64,
    },
    /// It is kept apart, and what kept it did not give it back.
    #[error("the mesh is not on this phone: import it again")]
    NotHere,
    /// The triangles enclose nothing.
    #[error("the mesh encloses no volume")]
    NoVolume,
    /// There are more triangles than can be counted here.
    #[error("the mesh has {n_faces} triangles: make it coarser")]
    TooMany {
        /// How many triangles.
        n_faces: usize,
    },
}

/// An axis-aligned box around a mesh, in body axes, metres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bounds {
    /// The least coordinates.
    pub low: Vector3<f64>,
    /// The greatest coordinates.
    pub high: Vector3<f64>,
}

impl Bounds {
    /// The smallest box around the points, if there are any.
    pub fn around(points: impl IntoIterator<Item = Vector3<f64>>) -> Option<Self> {
        let mut points = points.into_iter();
        let first = points.next()?;
        let start = Self { low: first, high: first };
        Some(points.fold(start, |b, p| Self { low: b.low.inf(&p), high: b.high.sup(&p) }))
    }

    /// The smallest box around both.
    #[must_use]
    pub fn joined(self, other: Self) -> Self {
        Self { low: self.low.inf(&other.low), high: self.high.sup(&other.high) }
    }

    /// Length, width and height of the box, metres.
    pub fn size(&self) -> Vector3<f64> {
        self.high - self.low
    }

    /// True when a point is in the box, or on its surface.
    pub fn holds(&self, point: &Vector3<f64>) -> bool {
        (0..3).all(|k| self.low[k] <= point[k] && point[k] <= self.high[k])
    }

    /// The point of the box that is nearest to one.
    pub fn nearest(&self, point: &Vector3<f64>) -> Vector3<f64> {
        point.sup(&self.low).inf(&self.high)
    }

    /// The middle of the box.
    pub fn centre(&self) -> Vector3<f64> {
        (self.low + self.high) / 2.0
    }

    /// Least and greatest distance along `direction` that the box reaches.
    pub fn reach(&self, direction: &Vector3<f64>) -> (f64, f64) {
        let middle = direction.dot(&self.centre());
        let half = direction.abs().dot(&self.size()) / 2.0;
        (middle - half, middle + half)
    }
}

/// A closed surface of triangles that face outwards, in body axes, metres.
#[derive(Debug, Clone, PartialEq)]
pub struct Mesh {
    vertices: Vec<Vector3<f64>>,
    faces: Vec<[u32; 3]>,
    bundles: Vec<Bundle>,
    bounds: Bounds,
    volume: f64,
    first_moment: Vector3<f64>,
}

impl Mesh {
    /// Checks that the triangles enclose a solid and face outwards, and keeps them. For a large
    /// mesh, [`Checking`] does the same in steps.
    ///
    /// # Errors
    /// [`MeshError`] when a number is not finite, an index leads nowhere, an edge is open, the
    /// mesh is inside out, or it encloses nothing.
    pub fn closed(vertices: Vec<Vector3<f64>>, faces: Vec<[u32; 3]>) -> Result<Self, MeshError> {
        Checking::new(vertices, faces).run()
    }

    /// What a [`Checking`] has found to be a solid.
    pub(super) fn proven(
        vertices: Vec<Vector3<f64>>,
        faces: Vec<[u32; 3]>,
        bundles: Vec<Bundle>,
        bounds: Bounds,
        volume: f64,
        first_moment: Vector3<f64>,
    ) -> Self {
        Self { vertices, faces, bundles, bounds, volume, first_moment }
    }

    /// Volume enclosed, m³.
    pub fn volume(&self) -> f64 {
        self.volume
    }

    /// First moment of the volume about the body's origin, m⁴.
    pub fn first_moment(&self) -> Vector3<f64> {
        self.first_moment
    }

    /// Centroid of the volume.
    pub fn centroid(&self) -> Position<Body> {
        Position::from_vector(self.first_moment / self.volume)
    }

    /// The box around it.
    pub fn bounds(&self) -> Bounds {
        self.bounds
    }

    /// The vertices, metres.
    pub fn vertices(&self) -> &[Vector3<f64>] {
        &self.vertices
    }

    /// The triangles, as indices of vertices, counter-clockwise seen from outside.
    pub fn faces(&self) -> &[[u32; 3]] {
        &self.faces
    }

    /// The corners of each triangle, counter-clockwise seen from outside.
    pub fn triangles(&self) -> impl Iterator<Item = [Vector3<f64>; 3]> + '_ {
        corners_of(&self.vertices, &self.faces)
    }

    /// The bundles of triangles.
    pub(super) fn bundles(&self) -> &[Bundle] {
        &self.bundles
    }

    /// The corners of the triangles of one bundle.
    pub(super) fn corners(&self, bundle: &Bundle) -> impl Iterator<Item = [Vector3<f64>; 3]> + '_ {
        let faces = self.faces.get(bundle.faces.clone()).unwrap_or_default();
        corners_of(&self.vertices, faces)
    }

    /// Area of the surface, m².
    pub fn surface_area(&self) -> f64 {
        self.triangles().map(|[a, b, c]| (b - a).cross(&(c - a)).norm() / 2.0).sum()
    }

    /// What lies below the plane `up · p + height = 0`.
    pub fn below(&self, up: Unit<Vector3<f64>>, height: f64) -> Cut {
        Cut::of(self, up, height)
    }

    /// The same solid moved by `offset`, metres.
    #[must_use]
    pub fn shifted(&self, offset: Vector3<f64>) -> Self {
        let vertices: Vec<_> = self.vertices.iter().map(|v| v + offset).collect();
        Self {
            bundles: bundles_of(&vertices, &self.faces),
            vertices,
            faces: self.faces.clone(),
            bounds: Bounds { low: self.bounds.low + offset, high: self.bounds.high + offset },
            volume: self.volume,
            first_moment: self.first_moment + offset * self.volume,
        }
    }

    /// The same solid made larger or smaller about the body's origin. Nothing if the factor is not
    /// a number above zero, or if the sizes then leave what numbers can hold.
    #[must_use]
    pub fn scaled(&self, factor: f64) -> Option<Self> {
        let volume = self.volume * factor.powi(3);
        let vertices: Vec<_> = self.vertices.iter().map(|v| v * factor).collect();
        let scaled = Self {
            bundles: bundles_of(&vertices, &self.faces),
            vertices,
            faces: self.faces.clone(),
            bounds: Bounds { low: self.bounds.low * factor, high: self.bounds.high * factor },
            volume,
            first_moment: self.first_moment * factor.powi(4),
        };
        let sizes = [volume, scaled.bounds.low.sum(), scaled.bounds.high.sum()];
        let is_held = sizes.into_iter().chain(scaled.first_moment.iter().copied());
        (factor > 0.0 && volume.is_normal() && is_held.into_iter().all(f64::is_finite))
            .then_some(scaled)
    }

    /// The same solid after a quarter turn about an axis of the body, counter-clockwise for one
    /// who looks against the axis: about x, port goes up.
    #[must_use]
    pub fn turned(&self, about: Axis) -> Self {
        let turn = |v: &Vector3<f64>| match about {
            Axis::X => Vector3::new(v.x, -v.z, v.y),
            Axis::Y => Vector3::new(v.z, v.y, -v.x),
            Axis::Z => Vector3::new(-v.y, v.x, v.z),
        };
        let vertices: Vec<_> = self.vertices.iter().map(turn).collect();
        let (one, other) = (turn(&self.bounds.low), turn(&self.bounds.high));
        Self {
            bundles: bundles_of(&vertices, &self.faces),
            vertices,
            faces: self.faces.clone(),
            bounds: Bounds { low: one.inf(&other), high: one.sup(&other) },
            volume: self.volume,
            first_moment: turn(&self.first_moment),
        }
    }

    /// Moments of inertia of the volume about its centroid, m⁵: on the diagonal ∫ (y² + z²) dV and
    /// so on, beside it -∫ xy dV. A density makes kg m² of it.
    ///
    /// Source: Tonon 2004, Journal of Mathematics and Statistics 1:8 (from memory, not seen; the
    /// tests compare it with a closed form and with another program): a tetrahedron from the origin
    /// over a, b, c has ∫ p pᵀ dV = V/20 (a aᵀ + b bᵀ + c cᵀ + s sᵀ), where s = a + b + c.
    pub fn inertia(&self) -> Matrix3<f64> {
        let centroid = self.first_moment / self.volume;
        let mut second = Matrix3::zeros();
        for corners in self.triangles() {
            let [a, b, c] = corners.map(|p| p - centroid);
            let sum = a + b + c;
            let twentieth = a.dot(&b.cross(&c)) / 120.0;
            for p in [a, b, c, sum] {
                second += p * p.transpose() * twentieth;
            }
        }
        Matrix3::from_diagonal_element(second.trace()) - second
    }

    /// The mirror image across the centre plane (y to -y), still facing outwards.
    #[must_use]
    pub fn mirrored(&self) -> Self {
        let flip = |v: Vector3<f64>| Vector3::new(v.x, -v.y, v.z);
        let vertices: Vec<_> = self.vertices.iter().copied().map(flip).collect();
        let faces: Vec<_> = self.faces.iter().map(|&[a, b, c]| [a, c, b]).collect();
        Self {
            bundles: bundles_of(&vertices, &faces),
            vertices,
            faces,
            bounds: Bounds {
                low: Vector3::new(self.bounds.low.x, -self.bounds.high.y, self.bounds.low.z),
                high: Vector3::new(self.bounds.high.x, -self.bounds.low.y, self.bounds.high.z),
            },
            volume: self.volume,
            first_moment: flip(self.first_moment),
        }
    }
}

/// The corners of each triangle. Indices are checked before a [`Mesh`] exists, so none is skipped.
pub(super) fn corners_of<'a>(
    vertices: &'a [Vector3<f64>],
    faces: &'a [[u32; 3]],
) -> impl Iterator<Item = [Vector3<f64>; 3]> + 'a {
    let at = |i: u32| vertices.get(i as usize).copied();
    faces.iter().filter_map(move |&[a, b, c]| Some([at(a)?, at(b)?, at(c)?]))
}

fn bundles_of(vertices: &[Vector3<f64>], faces: &[[u32; 3]]) -> Vec<Bundle> {
    let triangles: Vec<_> = corners_of(vertices, faces).collect();
    Bundle::all(0, &triangles)
}

#[cfg(test)]
mod tests {
    use super::*;

    const CORNERS: [[f64; 3]; 4] =
        [[0.0, 0.0, 0.0], [1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]];
    const OUTWARDS: [[u32; 3]; 4] = [[0, 2, 1], [0, 1, 3], [0, 3, 2], [1, 2, 3]];

    fn mesh(corners: [[f64; 3]; 4], faces: &[[u32; 3]]) -> Result<Mesh, MeshError> {
        Mesh::closed(corners.map(Vector3::from).to_vec(), faces.to_vec())
    }

    #[test]
    fn a_closed_outward_mesh_is_taken() {
        let tetrahedron = mesh(CORNERS, &OUTWARDS).expect("a tetrahedron");
        let off = (tetrahedron.volume() - 1.0 / 6.0).abs();
        assert!(off < 1e-15, "volume {}", tetrahedron.volume());
    }

    #[test]
    fn what_is_not_a_solid_is_refused_with_the_reason() {
        assert_eq!(mesh(CORNERS, &[]), Err(MeshError::Empty), "no triangles");
        let open = mesh(CORNERS, &OUTWARDS[..3]);
        assert!(matches!(open, Err(MeshError::Open { .. })), "{open:?}");
        let inside_out = mesh(CORNERS, &OUTWARDS.map(|[a, b, c]| [a, c, b]));
        assert!(matches!(inside_out, Err(MeshError::InsideOut { .. })), "{inside_out:?}");
        let mut missing = OUTWARDS;
        missing[2] = [0, 9, 2];
        let got = mesh(CORNERS, &missing);
        let expected = MeshError::MissingVertex { face: 2, vertex: 9, n_vertices: 4 };
        assert_eq!(got, Err(expected), "a vertex that is not there");
        let mut collapsed = OUTWARDS;
        collapsed[1] = [0, 1, 1];
        assert_eq!(mesh(CORNERS, &collapsed), Err(MeshError::Collapsed { face: 1 }), "twice 1");
        let mut wild = CORNERS;
        wild[3][1] = f64::NAN;
        assert_eq!(mesh(wild, &OUTWARDS), Err(MeshError::NotFinite { vertex: 3 }), "not a number");
        let mut flat = CORNERS;
        flat[3] = [0.3, 0.3, 0.0];
        assert_eq!(mesh(flat, &OUTWARDS), Err(MeshError::NoVolume), "all in one plane");
    }
}
