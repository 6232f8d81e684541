//! Where a grid of parallel rays goes in and out of a mesh.
//!
//! A row of rays crosses a triangle from one of its edges to another. Both triangles at an edge
//! calculate that crossing from the same two corners in the same order, and a ray on it belongs to
//! one of them: no ray slips through between triangles, and none meets a surface twice.

use super::bounds::Bounds;
use super::bundle::Bundle;
use super::mesh::Mesh;
use nalgebra::Vector3;

/// Rays in a grid, about.
const RAYS: f64 = 4096.0;
/// The fewest and the most rays to a side of a grid.
const FEWEST: f64 = 16.0;
const MOST: f64 = 256.0;
/// Each row is shifted by this share of a ray's width more than the one before: no column of rays
/// lies along an edge of a box. The golden section, which fills the width most evenly.
const SHIFT: f64 = 0.618_033_988_749_895;

/// Far more than boxes round, metres.
const ROUNDING: f64 = 1e-9;

/// A place seen along the rays: to the right, up, and along them, metres.
type RayPosition = [f64; 3];

/// Rays along an axis of the body through a box, each in the middle of its strip.
#[derive(Debug, Clone, Copy)]
pub(super) struct Rays {
    /// The axes of the body to the right, up, and along the rays.
    axes: [usize; 3],
    low: [f64; 2],
    step: [f64; 2],
    counts: [usize; 2],
}

/// Where a ray goes into a body, and where out of it again.
pub(super) type Stretch = [f64; 2];

/// A crossing of a ray with a surface: where, and +1 where it goes in, -1 where it comes out.
type Crossing = (f64, i32);

impl Rays {
    /// Rays along the longest side of a box.
    pub(super) fn through(around: Bounds) -> Self {
        let size = around.size();
        let along = (0..3).fold(0, |best, k| if size[k] > size[best] { k } else { best });
        let axes = [(along + 1) % 3, (along + 2) % 3, along];
        let sides = [size[axes[0]], size[axes[1]]];
        let width = (sides[0] * sides[1] / RAYS).sqrt();
        // A side of no length makes this not a number, which clamps to no count: one ray is left.
        let counts = sides.map(|side| index((side / width).ceil().clamp(FEWEST, MOST)).max(1));
        let step = [sides[0] / counts[0] as f64, sides[1] / counts[1] as f64];
        Self { axes, low: [around.low[axes[0]], around.low[axes[1]]], step, counts }
    }

    /// How many there are.
    pub(super) fn count(&self) -> usize {
        self.counts[0] * self.counts[1]
    }

    /// The cross-section that a ray stands for, m².
    pub(super) fn width(&self) -> f64 {
        self.step[0] * self.step[1]
    }

    /// A place on a ray, in the body.
    pub(super) fn place(&self, ray: usize, along: f64) -> Vector3<f64> {
        let (row, column) = (ray / self.counts[0], ray % self.counts[0]);
        let mut place = Vector3::zeros();
        place[self.axes[0]] = self.low[0] + (column as f64 + shift_of(row)) * self.step[0];
        place[self.axes[1]] = self.low[1] + (row as f64 + 0.5) * self.step[1];
        place[self.axes[2]] = along;
        place
    }

    /// The stretches of each ray inside a mesh.
    pub(super) fn inside(&self, mesh: &Mesh) -> Stretches {
        let mut met = Vec::new();
        for bundle in mesh.bundles() {
            if self.may_meet(bundle) {
                mesh.each_of(bundle, |a, b, c| {
                    self.cross(&[self.seen(a), self.seen(b), self.seen(c)], &mut met);
                });
            }
        }
        Stretches::of(self.count(), &met)
    }

    /// Whether a mesh holds a place; on its surface it may be either.
    pub(super) fn holds(&self, mesh: &Mesh, place: &Vector3<f64>) -> bool {
        let [right, up, along] = self.seen(place);
        let mut winding = 0;
        // Sums of boxes round: a little farther than that a bundle cannot be met.
        let covers = |bundle: &&Bundle| {
            [right, up].iter().zip(self.axes).all(|(at, axis)| {
                let [low, high] = bundle.reach(axis);
                low - ROUNDING <= *at && *at <= high + ROUNDING
            })
        };
        let near = mesh.bundles().iter().filter(covers);
        for bundle in near {
            mesh.each_of(bundle, |a, b, c| {
                let corners = [self.seen(a), self.seen(b), self.seen(c)];
                if let Some(row) = RowCrossing::across(&corners, up)
                    && row.covers(right)
                    && row.along(right) > along
                {
                    winding += row.sign;
                }
            });
        }
        // Of a place inside one crossing more comes out of the body than goes in.
        winding < 0
    }

    fn may_meet(&self, bundle: &Bundle) -> bool {
        (0..2).all(|k| {
            let [low, high] = bundle.reach(self.axes[k]);
            let end = self.low[k] + self.step[k] * self.counts[k] as f64;
            low <= end && high >= self.low[k]
        })
    }

    fn seen(&self, p: &Vector3<f64>) -> RayPosition {
        let [right, up, along] = self.axes;
        [p[right], p[up], p[along]]
    }

    fn cross(&self, corners: &[RayPosition; 3], met: &mut Vec<(usize, Crossing)>) {
        let [a, b, c] = corners;
        let (low, high) = (a[1].min(b[1]).min(c[1]), a[1].max(b[1]).max(c[1]));
        let last = self.counts[1];
        let first = index((low - self.low[1]) / self.step[1] - 1.0).min(last);
        let end = index((high - self.low[1]) / self.step[1] + 1.0).min(last);
        for row in first..end {
            let up = self.low[1] + (row as f64 + 0.5) * self.step[1];
            let Some(across) = RowCrossing::across(corners, up) else { continue };
            let column = |right: f64| {
                index(((right - self.low[0]) / self.step[0] - shift_of(row)).ceil())
                    .min(self.counts[0])
            };
            for k in column(across.left[0])..column(across.right[0]) {
                let right = self.low[0] + (k as f64 + shift_of(row)) * self.step[0];
                met.push((row * self.counts[0] + k, (across.along(right), across.sign)));
            }
        }
    }
}

/// How far into the strip of its column a row has its rays, as a share.
fn shift_of(row: usize) -> f64 {
    (0.5 + row as f64 * SHIFT).fract()
}

/// A whole number that is not below zero.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "what is not below zero and beyond all counts becomes the largest one"
)]
fn index(value: f64) -> usize {
    value.max(0.0) as usize
}

/// Where a row of rays crosses a triangle.
#[derive(Debug, Clone, Copy)]
struct RowCrossing {
    /// To the right, and along the rays.
    left: [f64; 2],
    right: [f64; 2],
    sign: i32,
}

impl RowCrossing {
    fn across([a, b, c]: &[RayPosition; 3], up: f64) -> Option<Self> {
        let (mut falling, mut rising) = (None, None);
        let mut edge = |from: &RayPosition, to: &RayPosition| match (from[1] > up, to[1] > up) {
            (true, false) => falling = Some(on_edge(to, from, up)),
            (false, true) => rising = Some(on_edge(from, to, up)),
            _ => {}
        };
        edge(a, b);
        edge(b, c);
        edge(c, a);
        let (falling, rising) = (falling?, rising?);
        // Seen from where the rays go, the edge on the left falls: there they come out.
        Some(if falling[0] < rising[0] {
            Self { left: falling, right: rising, sign: -1 }
        } else {
            Self { left: rising, right: falling, sign: 1 }
        })
    }

    fn covers(&self, right: f64) -> bool {
        self.left[0] <= right && right < self.right[0]
    }

    fn along(&self, right: f64) -> f64 {
        let share = (right - self.left[0]) / (self.right[0] - self.left[0]);
        self.left[1] + share * (self.right[1] - self.left[1])
    }
}

/// Where an edge is at a height, from its lower corner to its upper one.
fn on_edge(lower: &RayPosition, upper: &RayPosition, up: f64) -> [f64; 2] {
    let share = (up - lower[1]) / (upper[1] - lower[1]);
    [lower[0] + share * (upper[0] - lower[0]), lower[2] + share * (upper[2] - lower[2])]
}

/// The stretches of rays inside a mesh, in order along each.
#[derive(Debug)]
pub(super) struct Stretches {
    all: Vec<Stretch>,
    /// Where those of each ray end in the list.
    ends: Vec<usize>,
}

impl Stretches {
    /// Of so many rays, from what they met, in any order.
    fn of(n_rays: usize, met: &[(usize, Crossing)]) -> Self {
        // Laid out ray by ray, in one list: a list for each ray costs more than what is in it.
        let mut starts = vec![0; n_rays + 1];
        for (ray, _) in met {
            if let Some(next) = starts.get_mut(ray + 1) {
                *next += 1;
            }
        }
        for ray in 1..starts.len() {
            starts[ray] += starts[ray - 1];
        }
        let mut next = starts.clone();
        let mut by_ray: Vec<Crossing> = vec![(0.0, 0); met.len()];
        for (ray, crossing) in met {
            if let Some(place) = next.get_mut(*ray) {
                by_ray[*place] = *crossing;
                *place += 1;
            }
        }
        let mut found = Self { all: Vec::new(), ends: Vec::with_capacity(n_rays) };
        for ray in starts.windows(2) {
            found.take(by_ray.get_mut(ray[0]..ray[1]).unwrap_or_default());
            found.ends.push(found.all.len());
        }
        found
    }

    /// Those of one ray.
    pub(super) fn of_ray(&self, ray: usize) -> &[Stretch] {
        let start = ray.checked_sub(1).and_then(|before| self.ends.get(before)).copied();
        let end = self.ends.get(ray).copied().unwrap_or_default();
        self.all.get(start.unwrap_or_default()..end).unwrap_or_default()
    }

    /// Takes in what the next ray met.
    fn take(&mut self, crossings: &mut [Crossing]) {
        crossings.sort_unstable_by(|a, b| a.0.total_cmp(&b.0).then(b.1.cmp(&a.1)));
        let (mut winding, mut from) = (0, 0.0);
        for (at, sign) in crossings {
            if winding == 0 {
                from = *at;
            }
            winding += *sign;
            if winding == 0 && *at > from {
                self.all.push([from, *at]);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::frame::Position;
    use crate::geometry::{Axis, Fineness, Solid};

    fn sampled(solid: &Solid) -> (f64, f64) {
        let mesh = solid.mesh(Fineness::WORK).expect("fixed sizes");
        let rays = Rays::through(mesh.bounds());
        let along: f64 = rays.inside(&mesh).all.iter().map(|[a, b]| b - a).sum();
        (along * rays.width(), mesh.volume())
    }

    #[test]
    fn rays_measure_a_body() {
        let centre = Position::new(0.013, -0.02, 0.3);
        let cube = Solid::Box { size: [0.2, 0.1, 0.05], centre };
        let (got, volume) = sampled(&cube);
        assert!((got / volume - 1.0).abs() < 1e-12, "a box: {got} of {volume}");
        for axis in [Axis::X, Axis::Y, Axis::Z] {
            let tube = Solid::Cylinder { axis, length: 0.3, diameter: 0.09, centre };
            let (got, volume) = sampled(&tube);
            assert!((got / volume - 1.0).abs() < 3e-3, "along {axis:?}: {got} of {volume}");
        }
        let (got, volume) = sampled(&Solid::Sphere { diameter: 0.1, centre });
        assert!((got / volume - 1.0).abs() < 3e-3, "a sphere: {got} of {volume}");
    }

    #[test]
    fn a_place_is_inside_or_outside_a_ball() {
        let ball = Solid::Sphere { diameter: 0.2, centre: Position::ORIGIN };
        let ball = ball.mesh(Fineness::WORK).expect("a ball");
        let rays = Rays::through(ball.bounds());
        for (at, is_in) in [([0.0, 0.0, 0.0], true), ([0.05, 0.05, 0.05], true)]
            .into_iter()
            .chain([([0.07, 0.07, 0.07], false), ([0.0, 0.0, -0.11], false)])
        {
            assert_eq!(rays.holds(&ball, &Vector3::from(at)), is_in, "{at:?}");
        }
    }
}
