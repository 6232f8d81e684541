//! The edges of a list of triangles, gathered by their lower vertex in steps.
//!
//! A counting sort: three passes over plain lists, no hashing. The few sides that meet at a vertex
//! are then put in order, so that the sides of one edge lie next to each other.

use std::ops::Range;

/// One side of a triangle, kept at the lower of its two vertices.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub(super) struct TriangleSide {
    /// The higher of its two vertices.
    pub(super) other: u32,
    /// Twice the triangle's index; one more if the side is walked from the lower vertex up.
    code: u32,
}

impl TriangleSide {
    /// Index of the triangle.
    pub(super) fn face(self) -> usize {
        (self.code / 2) as usize
    }

    /// +1 if the triangle walks the edge from the lower to the higher vertex, else -1.
    pub(super) fn way(self) -> i64 {
        i64::from(self.code % 2) * 2 - 1
    }
}

/// Where the gathering is.
#[derive(Debug, Clone, Copy, PartialEq)]
enum GatherStage {
    Count,
    LayOut,
    Gather,
    Done,
}

/// The sides of triangles by their lower vertex.
#[derive(Debug, Clone)]
pub(super) struct Edges {
    pass: GatherStage,
    at: usize,
    /// How many sides, then where they begin, then where they end, for each lower vertex.
    ends: Vec<u32>,
    laid: u32,
    sides: Vec<TriangleSide>,
}

/// The most triangles whose sides can be told apart here.
pub(super) const MOST_FACES: usize = 1 << 30;

impl Edges {
    /// Nothing gathered yet of triangles on so many vertices.
    pub(super) fn new(n_vertices: usize) -> Self {
        Self {
            pass: GatherStage::Count,
            at: 0,
            ends: vec![0; n_vertices],
            laid: 0,
            sides: Vec::new(),
        }
    }

    /// Gathers a little more, always of the same triangles; true when it is done.
    pub(super) fn step(&mut self, faces: &[[u32; 3]], n: usize) -> bool {
        let length = if self.pass == GatherStage::LayOut { self.ends.len() } else { faces.len() };
        let range = self.at..length.min(self.at.saturating_add(n));
        match self.pass {
            GatherStage::Count => self.count(faces.get(range.clone()).unwrap_or_default()),
            GatherStage::LayOut => self.lay_out(range.clone()),
            GatherStage::Gather => self.gather(faces, range.clone()),
            GatherStage::Done => return true,
        }
        self.at = range.end;
        if self.at >= length {
            self.at = 0;
            self.pass = match self.pass {
                GatherStage::Count => GatherStage::LayOut,
                GatherStage::LayOut => {
                    self.sides = vec![TriangleSide::default(); faces.len() * 3];
                    GatherStage::Gather
                }
                GatherStage::Gather | GatherStage::Done => GatherStage::Done,
            };
        }
        self.pass == GatherStage::Done
    }

    /// How much of it is done, 0 to 1, for so many triangles.
    pub(super) fn progress(&self, n_faces: usize) -> f64 {
        let (before, length) = match self.pass {
            GatherStage::Count => (0.0, n_faces),
            GatherStage::LayOut => (1.0, self.ends.len()),
            GatherStage::Gather => (2.0, n_faces),
            GatherStage::Done => return 1.0,
        };
        (before + self.at as f64 / length.max(1) as f64) / 3.0
    }

    fn count(&mut self, faces: &[[u32; 3]]) {
        for &[a, b, c] in faces {
            for lower in [a.min(b), b.min(c), c.min(a)] {
                if let Some(count) = self.ends.get_mut(lower as usize) {
                    *count += 1;
                }
            }
        }
    }

    fn lay_out(&mut self, vertices: Range<usize>) {
        for end in self.ends.get_mut(vertices).unwrap_or_default() {
            let count = std::mem::replace(end, self.laid);
            self.laid += count;
        }
    }

    fn gather(&mut self, faces: &[[u32; 3]], range: Range<usize>) {
        let first = range.start;
        for (k, &[a, b, c]) in faces.get(range).unwrap_or_default().iter().enumerate() {
            // No more than MOST_FACES come here, so twice the index fits.
            let Ok(twice) = u32::try_from((first + k) * 2) else { return };
            for (from, to) in [(a, b), (b, c), (c, a)] {
                let side = TriangleSide { other: from.max(to), code: twice + u32::from(from < to) };
                let Some(end) = self.ends.get_mut(from.min(to) as usize) else { continue };
                if let Some(place) = self.sides.get_mut(*end as usize) {
                    *place = side;
                }
                *end += 1;
            }
        }
    }

    /// The sides at a lower vertex once all are gathered, in the order of their higher vertex.
    pub(super) fn at(&mut self, lower: usize) -> &[TriangleSide] {
        let end_of = |vertex: usize| self.ends.get(vertex).map_or(0, |end| *end as usize);
        let start = lower.checked_sub(1).map_or(0, end_of);
        let sides = self.sides.get_mut(start..end_of(lower)).unwrap_or_default();
        sides.sort_unstable();
        sides
    }
}
