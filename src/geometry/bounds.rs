//! The box around a mesh.

use nalgebra::Vector3;

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
        let mut around = Self { low: first, high: first };
        // By components: this is asked of every corner of every mesh that is made.
        points.for_each(|p| {
            let Self { low, high } = around;
            around.low = Vector3::new(low.x.min(p.x), low.y.min(p.y), low.z.min(p.z));
            around.high = Vector3::new(high.x.max(p.x), high.y.max(p.y), high.z.max(p.z));
        });
        Some(around)
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
