//! Checks in steps that triangles enclose a solid, so that a large mesh does not hold up the screen.

use super::bounds::Bounds;
use super::bundle::Bundle;
use super::cut::tetrahedron;
use super::edges::{Edges, MOST_FACES};
use super::mesh::{Mesh, corners_of};
use nalgebra::Vector3;
use std::ops::Range;

/// Why a list of triangles is not a solid.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
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

/// Where the check is.
#[derive(Debug, Clone, Copy, PartialEq)]
enum CheckStage {
    Vertices,
    Faces,
    Edges,
    Balance,
    Sums,
}

const N_STAGES: f64 = 5.0;

/// A check under way: whether triangles enclose a solid and face outwards.
///
/// ```
/// use nalgebra::Vector3;
/// use trimwright::geometry::Checking;
/// let corners = [[0.0; 3], [1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]];
/// let faces = vec![[0, 2, 1], [0, 1, 3], [0, 3, 2], [1, 2, 3]];
/// let mut checking = Checking::new(corners.map(Vector3::from).to_vec(), faces);
/// let mut mesh = None;
/// while mesh.is_none() {
///     mesh = checking.step(4000)?;
/// }
/// # Ok::<(), trimwright::geometry::MeshError>(())
/// ```
#[derive(Debug, Clone)]
pub struct Checking {
    vertices: Vec<Vector3<f64>>,
    faces: Vec<[u32; 3]>,
    stage: CheckStage,
    /// The triangles are known to close: only corners and sums are new.
    faces_close: bool,
    at: usize,
    bounds: Option<Bounds>,
    edges: Edges,
    bundles: Vec<Bundle>,
    volume: f64,
    moment: Vector3<f64>,
}

impl Checking {
    /// A check that is still to be made.
    pub fn new(vertices: Vec<Vector3<f64>>, faces: Vec<[u32; 3]>) -> Self {
        Self {
            edges: Edges::new(vertices.len()),
            vertices,
            faces,
            stage: CheckStage::Vertices,
            faces_close: false,
            at: 0,
            bounds: None,
            bundles: Vec::new(),
            volume: 0.0,
            moment: Vector3::zeros(),
        }
    }

    /// A check of triangles that close already, because they are those of closed meshes with as
    /// many vertices: only where the corners are now is new.
    pub(super) fn of_closing_faces(vertices: Vec<Vector3<f64>>, faces: Vec<[u32; 3]>) -> Self {
        Self { faces_close: true, ..Self::new(vertices, faces) }
    }

    /// How much of the check is done, 0 to 1.
    pub fn progress(&self) -> f64 {
        let part = match self.stage {
            CheckStage::Edges => self.edges.progress(self.faces.len()),
            _ => self.at as f64 / self.length().max(1) as f64,
        };
        (f64::from(self.stage as u8) + part) / N_STAGES
    }

    /// Goes on by about so many triangles. Gives the mesh when all is checked; it must not be
    /// called again after that, nor after an error.
    ///
    /// # Errors
    /// [`MeshError`] when a number is not finite, an index leads nowhere, an edge is open, the
    /// mesh is inside out, or it encloses nothing.
    pub fn step(&mut self, n_faces: usize) -> Result<Option<Mesh>, MeshError> {
        // Whole bundles, so that they do not depend on the steps.
        let n = n_faces.clamp(1, MOST_FACES).next_multiple_of(Bundle::SIZE);
        let range = self.at..self.length().min(self.at.saturating_add(n));
        let mut is_done = range.end >= self.length();
        match self.stage {
            CheckStage::Vertices => self.check_vertices(range.clone())?,
            CheckStage::Faces => self.check_indices(range.clone())?,
            CheckStage::Edges => is_done = self.edges.step(&self.faces, n),
            CheckStage::Balance => self.check_balance(range.clone())?,
            CheckStage::Sums => self.add_up(range.clone()),
        }
        self.at = range.end;
        if is_done {
            self.at = 0;
            self.stage = match self.stage {
                CheckStage::Vertices if self.faces_close => CheckStage::Sums,
                CheckStage::Vertices => CheckStage::Faces,
                CheckStage::Faces => CheckStage::Edges,
                CheckStage::Edges => CheckStage::Balance,
                CheckStage::Balance => CheckStage::Sums,
                CheckStage::Sums => return self.finish().map(Some),
            };
        }
        Ok(None)
    }

    /// Goes on to the end.
    pub(super) fn run(mut self) -> Result<Mesh, MeshError> {
        // Each stage is done in one step, but the edges take three.
        for _step in 0..8 {
            if let Some(mesh) = self.step(MOST_FACES)? {
                return Ok(mesh);
            }
        }
        Err(MeshError::TooMany { n_faces: self.faces.len() })
    }

    /// What the stage goes through: vertices or triangles.
    fn length(&self) -> usize {
        match self.stage {
            CheckStage::Vertices | CheckStage::Balance => self.vertices.len(),
            CheckStage::Faces | CheckStage::Edges | CheckStage::Sums => self.faces.len(),
        }
    }

    fn check_vertices(&mut self, range: Range<usize>) -> Result<(), MeshError> {
        let first = range.start;
        let vertices = self.vertices.get(range).unwrap_or_default();
        if let Some(k) = vertices.iter().position(|v| !v.iter().all(|c| c.is_finite())) {
            return Err(MeshError::NotFinite { vertex: first + k });
        }
        let around = Bounds::around(vertices.iter().copied());
        self.bounds = match (self.bounds, around) {
            (Some(before), Some(more)) => Some(before.joined(more)),
            (before, more) => before.or(more),
        };
        Ok(())
    }

    fn check_indices(&self, range: Range<usize>) -> Result<(), MeshError> {
        if self.faces.is_empty() {
            return Err(MeshError::Empty);
        }
        if self.faces.len() > MOST_FACES {
            return Err(MeshError::TooMany { n_faces: self.faces.len() });
        }
        let n_vertices = self.vertices.len();
        for face in range {
            let Some(&[a, b, c]) = self.faces.get(face) else { break };
            if let Some(vertex) = [a, b, c].into_iter().find(|&i| i as usize >= n_vertices) {
                return Err(MeshError::MissingVertex { face, vertex: vertex as usize, n_vertices });
            }
            if a == b || b == c || c == a {
                return Err(MeshError::Collapsed { face });
            }
        }
        Ok(())
    }

    /// Every edge must be walked as often one way as the other. The first that is not is the
    /// least, so that the same mesh always gets the same message.
    fn check_balance(&mut self, range: Range<usize>) -> Result<(), MeshError> {
        for lower in range {
            for edge in self.edges.at(lower).chunk_by(|a, b| a.other == b.other) {
                let balance: i64 = edge.iter().map(|side| side.way()).sum();
                if let (Some(side), false) = (edge.first(), balance == 0) {
                    let place = |vertex: usize| {
                        self.vertices.get(vertex).map_or([f64::NAN; 3], |v| [v.x, v.y, v.z])
                    };
                    let (from, to) = (place(lower), place(side.other as usize));
                    return Err(MeshError::Open { from, to });
                }
            }
        }
        Ok(())
    }

    fn add_up(&mut self, range: Range<usize>) {
        let middle = self.bounds.map_or_else(Vector3::zeros, |b| b.centre());
        let faces = self.faces.get(range.clone()).unwrap_or_default();
        let triangles: Vec<_> = corners_of(&self.vertices, faces).collect();
        // Integrated from the mesh's own middle: far from the origin the sums keep their digits.
        for corners in &triangles {
            let (volume, moment) = tetrahedron(corners.map(|c| c - middle));
            self.volume += volume;
            self.moment += moment;
        }
        self.bundles.extend(Bundle::all(range.start, &triangles));
    }

    fn finish(&mut self) -> Result<Mesh, MeshError> {
        let bounds = self.bounds.ok_or(MeshError::Empty)?;
        let volume = self.volume;
        let tiny = bounds.size().norm().powi(3) * 1e-14;
        if volume < -tiny {
            return Err(MeshError::InsideOut { volume });
        }
        // Written so that an overflow to no number is refused too.
        if !(volume > tiny && volume.is_finite()) {
            return Err(MeshError::NoVolume);
        }
        let first_moment = self.moment + bounds.centre() * volume;
        let (vertices, faces) =
            (std::mem::take(&mut self.vertices), std::mem::take(&mut self.faces));
        let bundles = std::mem::take(&mut self.bundles);
        Ok(Mesh::proven(vertices, faces, bundles, bounds, volume, first_moment))
    }
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
