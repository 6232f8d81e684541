//! Bodies of revolution about the x axis, meshed so that their volume is exact.

use super::checking::MeshError;
use super::mesh::Mesh;
use nalgebra::Vector3;
use std::f64::consts::TAU;

/// One station of a profile: the radius at a place along the axis, metres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Station {
    /// Place along the axis.
    pub x: f64,
    /// Radius there.
    pub radius: f64,
}

/// Turns a profile about the x axis. Between stations the radius runs straight, so each piece is
/// a frustum; every ring is a regular polygon with the area of its circle, which makes the volume
/// exact and second moments right to the fourth order in the polygon's angle.
///
/// `stations` go forward (x never falls); only the first and the last radius may be zero.
/// `around` is the number of corners of a ring; it is rounded up to a multiple of four, so that
/// the body is symmetric across both planes.
///
/// # Errors
/// [`MeshError`] when the profile encloses nothing or folds back.
pub fn revolve(stations: &[Station], around: u32) -> Result<Mesh, MeshError> {
    let mut builder = Builder::new(around);
    for station in stations {
        builder.add(*station);
    }
    builder.finish()
}

/// A ring already laid: its first vertex, or a single point on the axis.
#[derive(Clone, Copy)]
enum Ring {
    Point(u32),
    Circle(u32),
}

struct Builder {
    around: u32,
    unit_ring: Vec<(f64, f64)>,
    vertices: Vec<Vector3<f64>>,
    faces: Vec<[u32; 3]>,
    last: Option<Ring>,
}

impl Builder {
    fn new(around: u32) -> Self {
        let around = around.clamp(8, 4096).next_multiple_of(4);
        let angle = TAU / f64::from(around);
        let scale = (angle / angle.sin()).sqrt();
        // Sines and cosines of one quadrant, mirrored, so that the ring is symmetric to the bit.
        let unit_ring = (0..around)
            .map(|k| {
                let (quadrant, step) = (k / (around / 4), f64::from(k % (around / 4)));
                let (sin, cos) = (step * angle).sin_cos();
                let (y, z) = match quadrant {
                    0 => (cos, sin),
                    1 => (-sin, cos),
                    2 => (-cos, -sin),
                    _ => (sin, -cos),
                };
                (y * scale, z * scale)
            })
            .collect();
        Self { around, unit_ring, vertices: Vec::new(), faces: Vec::new(), last: None }
    }

    fn add(&mut self, Station { x, radius }: Station) {
        let ring = if radius == 0.0 {
            Ring::Point(self.point(x))
        } else {
            if self.last.is_none() {
                self.last = Some(Ring::Point(self.point(x)));
            }
            let first = self.next_index();
            let circle =
                self.unit_ring.iter().map(|(y, z)| Vector3::new(x, y * radius, z * radius));
            self.vertices.extend(circle);
            Ring::Circle(first)
        };
        if let Some(last) = self.last {
            self.join(last, ring);
        }
        self.last = Some(ring);
    }

    fn finish(mut self) -> Result<Mesh, MeshError> {
        if let Some(Ring::Circle(_)) = self.last {
            let x = self.vertices.last().map_or(0.0, |v| v.x);
            self.add(Station { x, radius: 0.0 });
        }
        Mesh::closed(self.vertices, self.faces)
    }

    fn point(&mut self, x: f64) -> u32 {
        let index = self.next_index();
        self.vertices.push(Vector3::new(x, 0.0, 0.0));
        index
    }

    #[expect(
        clippy::cast_possible_truncation,
        reason = "a ring has at most 4096 corners and a profile far fewer than a million stations"
    )]
    fn next_index(&self) -> u32 {
        self.vertices.len() as u32
    }

    /// Lays the band of triangles between a ring and the next one forward of it.
    fn join(&mut self, aft: Ring, fore: Ring) {
        for k in 0..self.around {
            let next = (k + 1) % self.around;
            match (aft, fore) {
                (Ring::Point(_), Ring::Point(_)) => {}
                (Ring::Point(p), Ring::Circle(c)) => self.faces.push([p, c + next, c + k]),
                (Ring::Circle(c), Ring::Point(p)) => self.faces.push([p, c + k, c + next]),
                (Ring::Circle(a), Ring::Circle(f)) => {
                    self.faces.push([a + k, a + next, f + k]);
                    self.faces.push([a + next, f + next, f + k]);
                }
            }
        }
    }
}
