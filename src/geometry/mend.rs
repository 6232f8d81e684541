//! Mends the triangles of a file in steps, as far as it can be done without guessing: what is there
//! twice, what has no area, corners that nearly meet, what faces the wrong way.

use super::bounds::Bounds;
use super::corner::{Corner, is_collapsed};
use super::edge_findings::EdgeFindings;
use super::edges::Edges;
use super::repair::Repair;
use super::stl_error::{MOST_SURFACES, StlError};
use super::surface::{Surface, double, judge};
use super::view::share_of_view;
use super::weld::Weld;
use nalgebra::Vector3;
use std::ops::Range;

/// Corners of an open surface are joined if they are nearer than this share of its size: some ten
/// times the rounding of the file's numbers.
const NEARLY: f64 = 1e-6;

/// A triangle whose area is less than this share of its longest side's square has none.
const NO_AREA: f64 = 1e-6;

/// Stands for no index.
const NONE: u32 = u32::MAX;

/// Triangles that were mended; whether they are a solid is still to be proven.
#[derive(Debug)]
pub(super) struct Mended {
    pub(super) corners: Vec<Corner>,
    pub(super) faces: Vec<[u32; 3]>,
    pub(super) notes: Vec<Repair>,
}

/// Where the mending is, in this order; from the second it may go back to the first.
#[derive(Debug, Clone, Copy, PartialEq)]
enum MendStage {
    Gather,
    Sweep,
    Join,
    Survey,
    Nest,
    Turn,
}

/// A mending under way.
#[derive(Debug, Clone)]
pub(super) struct Mending {
    corners: Vec<Corner>,
    faces: Vec<[u32; 3]>,
    stage: MendStage,
    at: usize,
    edges: Edges,
    findings: EdgeFindings,
    is_thinned: bool,
    joined: Option<(Weld, Vec<u32>)>,
    bounds: Bounds,
    surfaces: Vec<Surface>,
    /// The surface of each triangle; of the first of a group, from the moment it is met.
    surface_of: Vec<u32>,
    /// The surface whose surroundings are looked at, and how much it sees of each other.
    inner: usize,
    views: Vec<Option<f64>>,
    turns: Vec<bool>,
    renumbered: (Vec<u32>, Vec<Corner>),
    n_no_area: usize,
    n_twice: usize,
    notes: Vec<Repair>,
}

impl Mending {
    /// Triangles that are still to be mended, after so many without area were left out.
    pub(super) fn new(corners: Vec<Corner>, faces: Vec<[u32; 3]>, n_no_area: usize) -> Self {
        let points = corners.iter().map(|c| Vector3::from(c.map(f64::from)));
        let nowhere = Bounds { low: Vector3::zeros(), high: Vector3::zeros() };
        let mut mending = Self {
            bounds: Bounds::around(points).unwrap_or(nowhere),
            corners,
            faces,
            stage: MendStage::Gather,
            at: 0,
            edges: Edges::new(0),
            findings: EdgeFindings::default(),
            is_thinned: false,
            joined: None,
            surfaces: Vec::new(),
            surface_of: Vec::new(),
            inner: 0,
            views: Vec::new(),
            turns: Vec::new(),
            renumbered: (Vec::new(), Vec::new()),
            n_no_area,
            n_twice: 0,
            notes: Vec::new(),
        };
        mending.start_again();
        mending
    }

    /// How much is done, 0 to 1; goes back if the edges must be looked at again.
    pub(super) fn progress(&self) -> f64 {
        let part = match self.stage {
            MendStage::Gather => self.edges.progress(self.faces.len()),
            MendStage::Nest => self.inner as f64 / self.surfaces.len().max(1) as f64,
            _ => self.at as f64 / self.length().max(1) as f64,
        };
        (f64::from(self.stage as u8) + part) / 6.0
    }

    /// Goes on by about so many triangles; gives what is mended when it is done.
    pub(super) fn step(&mut self, n: usize) -> Result<Option<Mended>, StlError> {
        let range = self.at..self.length().min(self.at.saturating_add(n));
        let is_last = range.end >= self.length();
        self.at = range.end;
        match self.stage {
            MendStage::Gather => {
                if self.edges.step(&self.faces, n) {
                    self.go_to(MendStage::Sweep);
                }
            }
            MendStage::Sweep => {
                range.for_each(|lower| self.findings.take(lower, self.edges.at(lower)));
                if is_last {
                    self.end_sweep()?;
                }
            }
            MendStage::Join => {
                if let Some((weld, renumbered)) = &mut self.joined {
                    let corners = self.corners.get(range).unwrap_or_default();
                    renumbered.extend(corners.iter().map(|corner| weld.index_of(*corner)));
                }
                if is_last {
                    self.end_join();
                }
            }
            MendStage::Survey => {
                range.for_each(|face| self.survey(face));
                if is_last {
                    self.end_survey()?;
                }
            }
            MendStage::Nest => self.nest(range, is_last)?,
            MendStage::Turn => {
                range.for_each(|face| self.turn(face));
                if is_last {
                    return Ok(Some(self.finish()));
                }
            }
        }
        Ok(None)
    }

    fn length(&self) -> usize {
        match self.stage {
            MendStage::Sweep | MendStage::Join => self.corners.len(),
            _ => self.faces.len(),
        }
    }

    fn go_to(&mut self, stage: MendStage) {
        self.stage = stage;
        self.at = 0;
    }

    /// Back to the edges, which are others now.
    fn start_again(&mut self) {
        self.edges = Edges::new(self.corners.len());
        self.findings = EdgeFindings::new(self.faces.len());
        self.go_to(MendStage::Gather);
    }

    fn corners_of(&self, face: usize) -> [Corner; 3] {
        let at = |i: u32| self.corners.get(i as usize).copied().unwrap_or_default();
        self.faces.get(face).map_or([[0.0; 3]; 3], |face| face.map(at))
    }

    /// Leaves out what is there too often; else joins corners; else the surface is open or good.
    /// Each of the two is done once, and once more after the other.
    fn end_sweep(&mut self) -> Result<(), StlError> {
        let (n, n_faces) = (self.findings.n_open, self.faces.len());
        if !self.is_thinned && (n > 0 || !self.findings.crowded.is_empty()) {
            self.is_thinned = true;
            self.thin();
            if self.faces.is_empty() {
                return Err(StlError::NoArea { n: n_faces });
            }
            if self.faces.len() < n_faces {
                self.start_again();
                return Ok(());
            }
        }
        let Some((from, to)) = self.findings.first_open else {
            self.findings.settle_shared();
            self.surface_of = vec![NONE; n_faces];
            self.go_to(MendStage::Survey);
            return Ok(());
        };
        if self.joined.is_none() {
            let weld = Weld::new(self.bounds.size().norm() * NEARLY);
            self.joined = Some((weld, Vec::new()));
            self.is_thinned = false;
            self.go_to(MendStage::Join);
            return Ok(());
        }
        let place = |corner: usize| self.corners.get(corner).copied().unwrap_or_default();
        Err(StlError::Open { n, from: place(from), to: place(to) })
    }

    /// Leaves out copies of triangles, and those without area that belong to no surface.
    fn thin(&mut self) {
        let mut is_out = vec![false; self.faces.len()];
        // Sorted, copies lie side by side; a copy that faces the other way only counts as one if
        // nothing holds it.
        let mut known: Vec<([u32; 3], usize)> = Vec::with_capacity(self.findings.crowded.len());
        known.extend(self.findings.crowded.iter().filter_map(|&face| {
            let mut key = *self.faces.get(face)?;
            key.sort_unstable();
            Some((key, face))
        }));
        known.sort_unstable();
        for copies in known.chunk_by(|a, b| a.0 == b.0) {
            let Some(way) = copies.first().map(|&(_, face)| self.faces_forward(face)) else {
                continue;
            };
            for &(_, face) in copies.iter().skip(1) {
                if self.faces_forward(face) == way || self.findings.is_loose(face) {
                    is_out[face] = true;
                    self.n_twice += 1;
                }
            }
        }
        for (face, out) in is_out.iter_mut().enumerate() {
            if !*out && self.findings.is_loose(face) && has_no_area(self.corners_of(face)) {
                *out = true;
                self.n_no_area += 1;
            }
        }
        let mut outs = is_out.into_iter();
        self.faces.retain(|_| outs.next() != Some(true));
    }

    /// Tells apart the two ways round three corners.
    fn faces_forward(&self, face: usize) -> bool {
        let [a, b, c] = self.faces.get(face).copied().unwrap_or_default();
        u8::from(a < b) + u8::from(b < c) + u8::from(c < a) == 2
    }

    fn end_join(&mut self) {
        if let Some((weld, renumbered)) = &mut self.joined {
            let renumber = |i: u32| renumbered.get(i as usize).copied().unwrap_or(i);
            for face in &mut self.faces {
                *face = face.map(renumber);
            }
            let n = self.corners.len() - weld.places().len();
            if n > 0 {
                let within = self.bounds.size().norm() * NEARLY;
                self.notes.push(Repair::Joined { n, within });
            }
            self.corners = weld.places().to_vec();
            *weld = Weld::new(0.0);
            renumbered.clear();
        }
        let n_faces = self.faces.len();
        self.faces.retain(|face| !is_collapsed(*face));
        self.n_no_area += n_faces - self.faces.len();
        self.start_again();
    }

    fn survey(&mut self, face: usize) {
        let (first, is_turned) = self.findings.groups.first(face);
        let corners = self.corners_of(face);
        // The first of a group comes before all others of it.
        let known = self.surface_of.get(first).copied().unwrap_or(NONE);
        let surface = if known == NONE { self.surfaces.len() } else { known as usize };
        if known == NONE {
            self.surfaces.push(Surface::new(corners));
        }
        if let Some(place) = self.surface_of.get_mut(face) {
            *place = u32::try_from(surface).unwrap_or(NONE);
        }
        let middle = self.bounds.centre();
        if let Some(surface) = self.surfaces.get_mut(surface) {
            surface.add(corners, is_turned, middle);
        }
    }

    fn end_survey(&mut self) -> Result<(), StlError> {
        let n = self.surfaces.len();
        if n > MOST_SURFACES {
            return Err(StlError::TooManySurfaces { n });
        }
        self.inner = 0;
        self.look_around();
        self.go_to(MendStage::Nest);
        Ok(())
    }

    /// Goes on to the next surface that may lie inside another one, from `inner` on.
    fn look_around(&mut self) {
        while let Some(inner) = self.surfaces.get(self.inner) {
            let others = self.surfaces.iter().enumerate();
            let may = |(k, other)| (k != self.inner && inner.may_lie_in(other)).then_some(0.0);
            self.views = others.map(may).collect();
            if self.views.iter().any(Option::is_some) {
                return;
            }
            self.inner += 1;
        }
    }

    fn nest(&mut self, faces: Range<usize>, is_last: bool) -> Result<(), StlError> {
        if let Some(from) = self.surfaces.get(self.inner).map(Surface::probe) {
            for face in faces {
                let surface = self.surface_of.get(face).copied().unwrap_or(NONE);
                let corners = self.corners_of(face);
                if let Some(Some(view)) = self.views.get_mut(surface as usize) {
                    let share = share_of_view(double(corners), &from);
                    *view += if self.findings.groups.first(face).1 { -share } else { share };
                }
            }
            if !is_last {
                return Ok(());
            }
            let seen = self.views.iter().enumerate();
            let outside: Vec<usize> = seen
                .filter(|(_, view)| view.is_some_and(|share| share.abs() > 0.5))
                .map(|(k, _)| k)
                .collect();
            if let Some(surface) = self.surfaces.get_mut(self.inner) {
                for other in outside {
                    surface.put_inside(other);
                }
            }
            self.inner += 1;
            self.look_around();
            self.at = 0;
        }
        if self.inner >= self.surfaces.len() {
            let tiny = self.bounds.size().norm().powi(3) * 1e-14;
            let (turns, notes) = judge(&self.surfaces, tiny)?;
            self.turns = turns;
            self.put_in_order(notes);
            self.renumbered = (vec![NONE; self.corners.len()], Vec::new());
            self.go_to(MendStage::Turn);
        }
        Ok(())
    }

    /// All notes in the order of the work.
    fn put_in_order(&mut self, turned: Vec<Repair>) {
        let joined = std::mem::take(&mut self.notes);
        if self.n_no_area > 0 {
            self.notes.push(Repair::NoAreaLeftOut { n: self.n_no_area });
        }
        if self.n_twice > 0 {
            self.notes.push(Repair::TwiceLeftOut { n: self.n_twice });
        }
        self.notes.extend(joined);
        self.notes.extend(turned);
    }

    /// Turns one triangle if it must be, and numbers its corners in the order of their first use,
    /// so that those of no triangle are gone.
    fn turn(&mut self, face: usize) {
        let surface = self.surface_of.get(face).copied().unwrap_or(NONE);
        let turns = self.turns.get(surface as usize).copied().unwrap_or(false);
        let is_turned = turns != self.findings.groups.first(face).1;
        let (numbers, used) = &mut self.renumbered;
        let Some(corners) = self.faces.get_mut(face) else { return };
        for corner in corners.iter_mut() {
            let Some(number) = numbers.get_mut(*corner as usize) else { continue };
            if *number == NONE {
                *number = u32::try_from(used.len()).unwrap_or(NONE);
                used.push(self.corners.get(*corner as usize).copied().unwrap_or_default());
            }
            *corner = *number;
        }
        if is_turned {
            corners.swap(1, 2);
        }
    }

    fn finish(&mut self) -> Mended {
        Mended {
            corners: std::mem::take(&mut self.renumbered.1),
            faces: std::mem::take(&mut self.faces),
            notes: std::mem::take(&mut self.notes),
        }
    }
}

fn has_no_area(corners: [Corner; 3]) -> bool {
    let [a, b, c] = double(corners);
    let longest = (b - a).norm_squared().max((c - b).norm_squared()).max((a - c).norm_squared());
    (b - a).cross(&(c - a)).norm() <= longest * NO_AREA
}
