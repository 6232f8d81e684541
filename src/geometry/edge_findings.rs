//! What the edges of a mesh tell: which triangles belong together, which face different ways, where
//! the surface is open.

use super::edges::TriangleSide;

/// Triangles joined by edges, with how each faces against the first of its group: a forest whose
/// links know whether they turn (union-find with parity).
#[derive(Debug, Clone, Default)]
pub(super) struct FaceGroups {
    /// Twice the triangle above, one more if it faces the other way.
    links: Vec<u32>,
}

impl FaceGroups {
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
pub(super) struct EdgeFindings {
    pub(super) groups: FaceGroups,
    /// How many edges are open or twisted, and the first of them.
    pub(super) n_open: usize,
    pub(super) first_open: Option<(usize, usize)>,
    /// How many sides of each triangle are.
    open_sides: Vec<u8>,
    /// Triangles at edges where more than two meet.
    pub(super) crowded: Vec<usize>,
    is_crowded: Vec<bool>,
    /// Sides at closed edges where more than two meet, with the number of the edge.
    shared: Vec<(usize, TriangleSide)>,
    n_shared: usize,
}

impl EdgeFindings {
    /// Nothing known yet of so many triangles.
    pub(super) fn new(n_faces: usize) -> Self {
        Self {
            groups: FaceGroups::new(n_faces),
            open_sides: vec![0; n_faces],
            is_crowded: vec![false; n_faces],
            ..Self::default()
        }
    }

    /// True if no side of a triangle fits to others.
    pub(super) fn is_loose(&self, face: usize) -> bool {
        self.open_sides.get(face).is_some_and(|&n| n >= 3)
    }

    /// Looks at the edges from one corner to higher ones.
    pub(super) fn take(&mut self, lower: usize, sides: &[TriangleSide]) {
        for edge in sides.chunk_by(|a, b| a.other == b.other) {
            let balance: i64 = edge.iter().map(|side| side.way()).sum();
            let mut is_good = balance == 0;
            if let [one, two] = edge {
                // Two that face different ways can be turned alike.
                is_good = self.groups.join(one.face(), two.face(), balance != 0);
            } else if is_good {
                self.shared.extend(edge.iter().map(|side| (self.n_shared, *side)));
                self.n_shared += 1;
            }
            if edge.len() > 2 {
                for face in edge.iter().map(|side| side.face()) {
                    if self
                        .is_crowded
                        .get_mut(face)
                        .is_some_and(|known| !std::mem::replace(known, true))
                    {
                        self.crowded.push(face);
                    }
                }
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

    /// Settles what belongs together at edges where more than two triangles meet, when all others
    /// are known: surfaces that only touch there stay apart, parts that need each other to be
    /// closed become one.
    pub(super) fn settle_shared(&mut self) {
        let shared = std::mem::take(&mut self.shared);
        for edge in shared.chunk_by(|a, b| a.0 == b.0) {
            let mut balances: Vec<(usize, i64)> = Vec::new();
            for (_, side) in edge {
                let (first, is_turned) = self.groups.first(side.face());
                let way = if is_turned { -side.way() } else { side.way() };
                match balances.iter_mut().find(|(known, _)| *known == first) {
                    Some((_, balance)) => *balance += way,
                    None => balances.push((first, way)),
                }
            }
            if balances.iter().all(|&(_, balance)| balance == 0) {
                continue;
            }
            for pair in edge.windows(2) {
                if let [(_, one), (_, two)] = pair {
                    // What contradicts itself is found open when the mesh is checked.
                    let _agrees = self.groups.join(one.face(), two.face(), false);
                }
            }
        }
    }
}
