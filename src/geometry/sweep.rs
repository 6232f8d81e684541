//! What the edges of a mesh tell: which triangles belong together, which face different ways, where
//! the surface is open.

use super::edges::Side;

/// Triangles joined by edges, with how each faces against the first of its group: a forest whose
/// links know whether they turn (union-find with parity).
#[derive(Debug, Clone, Default)]
pub(super) struct Kin {
    /// Twice the triangle above, one more if it faces the other way.
    links: Vec<u32>,
}

impl Kin {
    /// Each of so many triangles for itself.
    pub(super) fn new(n_faces: usize) -> Self {
        Self { links: (0..n_faces).filter_map(|face| u32::try_from(face * 2).ok()).collect() }
    }

    fn link(&self, face: usize) -> (usize, bool) {
        let link = self.links.get(face).copied().unwrap_or(0);
        ((link / 2) as usize, link % 2 == 1)
    }

    /// The first triangle of the group, and whether this one faces the other way.
    pub(super) fn first(&mut self, face: usize) -> (usize, bool) {
        let (mut at, mut is_turned) = (face, false);
        // Each round halves the way up; it ends at the first, which is its own.
        for _step in 0..=self.links.len() {
            let (above, turns) = self.link(at);
            if above == at {
                break;
            }
            let (further, turns_again) = self.link(above);
            let turns = turns != turns_again;
            if let (Some(link), Ok(twice)) = (self.links.get_mut(at), u32::try_from(further * 2)) {
                *link = twice + u32::from(turns);
            }
            at = further;
            is_turned ^= turns;
        }
        (at, is_turned)
    }

    /// Puts two triangles into one group; `is_turned` says whether they face different ways.
    /// False if that contradicts what was said before.
    pub(super) fn join(&mut self, one: usize, other: usize, is_turned: bool) -> bool {
        let ((a, a_turned), (b, b_turned)) = (self.first(one), self.first(other));
        let turns = a_turned ^ b_turned ^ is_turned;
        if a == b {
            return !turns;
        }
        let (first, later) = (a.min(b), a.max(b));
        if let (Some(link), Ok(twice)) = (self.links.get_mut(later), u32::try_from(first * 2)) {
            *link = twice + u32::from(turns);
        }
        true
    }
}

/// What a pass along the edges finds.
#[derive(Debug, Clone, Default)]
pub(super) struct Sweep {
    pub(super) kin: Kin,
    /// How many edges are open or twisted, and the first of them.
    pub(super) n_open: usize,
    pub(super) first_open: Option<(usize, usize)>,
    /// How many sides of each triangle are.
    open_sides: Vec<u8>,
    /// Triangles at edges where more than two meet.
    pub(super) crowded: Vec<usize>,
}

impl Sweep {
    /// Nothing known yet of so many triangles.
    pub(super) fn new(n_faces: usize) -> Self {
        Self { kin: Kin::new(n_faces), open_sides: vec![0; n_faces], ..Self::default() }
    }

    /// True if no side of a triangle fits to others.
    pub(super) fn is_loose(&self, face: usize) -> bool {
        self.open_sides.get(face).is_some_and(|&n| n >= 3)
    }

    /// Looks at the edges from one corner to higher ones.
    pub(super) fn take(&mut self, lower: usize, sides: &[Side]) {
        for edge in sides.chunk_by(|a, b| a.other == b.other) {
            let balance: i64 = edge.iter().map(|side| side.way()).sum();
            let mut is_good = balance == 0;
            if let [one, two] = edge {
                // Two that face different ways can be turned alike.
                is_good = self.kin.join(one.face(), two.face(), balance != 0);
            } else if is_good {
                // Surfaces that touch along an edge count as one.
                for pair in edge.windows(2) {
                    if let [one, two] = pair {
                        is_good &= self.kin.join(one.face(), two.face(), false);
                    }
                }
            }
            if edge.len() > 2 {
                self.crowded.extend(edge.iter().map(|side| side.face()));
            }
            if is_good {
                continue;
            }
            self.n_open += 1;
            if let (None, Some(side)) = (self.first_open, edge.first()) {
                self.first_open = Some((lower, side.other as usize));
            }
            for side in edge {
                if let Some(n) = self.open_sides.get_mut(side.face()) {
                    *n = n.saturating_add(1);
                }
            }
        }
    }
}
