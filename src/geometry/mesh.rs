//! A closed, outward-facing triangle mesh; the type is the proof that it was checked.

use super::axis::Axis;
use super::bounds::Bounds;
use super::bundle::Bundle;
use crate::frame::{Body, Position};
use nalgebra::Vector3;

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
    /// What a [`Checking`](super::checking::Checking) has found to be a solid.
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
        corners_of(&self.vertices, self.faces_of(bundle))
    }

    /// Does something with the corners of each triangle of one bundle.
    pub(super) fn each_of<'a>(
        &'a self,
        bundle: &Bundle,
        mut with: impl FnMut(&'a Vector3<f64>, &'a Vector3<f64>, &'a Vector3<f64>),
    ) {
        for &[a, b, c] in self.faces_of(bundle) {
            let [a, b, c] = [a as usize, b as usize, c as usize];
            let corners = (self.vertices.get(a), self.vertices.get(b), self.vertices.get(c));
            // Indices are checked before a mesh exists.
            if let (Some(a), Some(b), Some(c)) = corners {
                with(a, b, c);
            }
        }
    }

    /// The triangles of one bundle.
    fn faces_of(&self, bundle: &Bundle) -> &[[u32; 3]] {
        self.faces.get(bundle.faces.clone()).unwrap_or_default()
    }

    /// Area of the surface, m².
    pub fn surface_area(&self) -> f64 {
        self.triangles().map(|[a, b, c]| (b - a).cross(&(c - a)).norm() / 2.0).sum()
    }

    /// The same solid moved by `offset`, metres.
    #[must_use]
    pub fn shifted(&self, offset: Vector3<f64>) -> Self {
        Self {
            bundles: self.bundles.iter().map(|bundle| bundle.shifted(&offset)).collect(),
            vertices: self.vertices.iter().map(|v| v + offset).collect(),
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
        let scaled = Self {
            bundles: self.bundles.iter().map(|bundle| bundle.scaled(factor)).collect(),
            vertices: self.vertices.iter().map(|v| v * factor).collect(),
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
        let (one, other) = (turn(&self.bounds.low), turn(&self.bounds.high));
        Self {
            bundles: self.bundles.iter().map(|bundle| bundle.turned(turn)).collect(),
            vertices: self.vertices.iter().map(turn).collect(),
            faces: self.faces.clone(),
            bounds: Bounds { low: one.inf(&other), high: one.sup(&other) },
            volume: self.volume,
            first_moment: turn(&self.first_moment),
        }
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
