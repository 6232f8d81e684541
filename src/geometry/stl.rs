//! Imports a solid from an STL file in steps: reads it, joins its corners, mends what is safe to
//! mend, and says what it mended or why it cannot take it.
//!
//! An STL file has no unit: lengths come out as they stand in the file.

use super::checking::Checking;
use super::mend::Mending;
use super::mesh::{Mesh, MeshError};
use super::stl_file::StlFile;
use super::weld::Weld;
use nalgebra::Vector3;
use std::fmt;

/// The most triangles that are taken: twice of what a fine hull needs; a phone can still turn it.
pub const MOST_TRIANGLES: usize = 400_000;

/// The most separate surfaces that are taken.
pub const MOST_SURFACES: usize = 200;

/// A corner as the file has it.
pub(super) type Corner = [f32; 3];

/// Why a file is not taken. Places are in the file's own unit; triangles and lines count from 1.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum StlError {
    /// There is nothing in it.
    #[error("the file is empty: export it again")]
    EmptyFile,
    /// It is something else.
    #[error("this is not an STL file: choose STL when you export the mesh")]
    NotStl,
    /// The end of a binary file is missing.
    #[error("the file is cut short: it holds {holds} of {said} triangles; copy or export it again")]
    Truncated {
        /// Whole triangles that are there.
        holds: usize,
        /// Triangles that its header says.
        said: usize,
    },
    /// The header of a binary file says a number that has nothing to do with the file.
    #[error(
        "the file's header says {said} triangles, but there is room for {holds}: the file is \
         damaged or no STL; export it again"
    )]
    HeaderCount {
        /// What the header says.
        said: usize,
        /// Triangles for which the file has the length.
        holds: usize,
    },
    /// A text file ends within a triangle.
    #[error(
        "the file is cut short: it ends at line {line}, in the middle of triangle {triangle}; \
         copy or export it again"
    )]
    CutText {
        /// The last line.
        line: usize,
        /// The triangle that is not whole.
        triangle: usize,
    },
    /// Numbers are written with a decimal comma.
    #[error("line {line} has numbers with a comma: export with decimal points, or as binary STL")]
    DecimalComma {
        /// The first such line.
        line: usize,
    },
    /// A line of a text file is not what comes there in an STL.
    #[error("line {line} cannot be read: export the mesh again, best as binary STL")]
    BadLine {
        /// The line.
        line: usize,
    },
    /// A coordinate is infinite or not a number.
    #[error("triangle {triangle} has a corner that is not a number: export the mesh again")]
    NotFinite {
        /// The triangle.
        triangle: usize,
    },
    /// It is an STL without triangles.
    #[error("the file has no triangles: select the solid when you export it")]
    NoTriangles,
    /// There are more triangles than are taken.
    #[error(
        "the mesh has {n} triangles or more, and {MOST_TRIANGLES} are taken: export it coarser"
    )]
    TooMany {
        /// How many were found.
        n: usize,
    },
    /// No triangle has an area.
    #[error("all {n} triangles have no area: check the scale of the export")]
    NoArea {
        /// How many triangles.
        n: usize,
    },
    /// The surface is closed but flat.
    #[error("the surface encloses no volume: give the solid a thickness and export it again")]
    NoVolume,
    /// The surface has holes.
    #[error(
        "the surface is not closed: open edges: {n}, the first from ({}, {}, {}) to ({}, {}, {}) \
         in the file's unit; close the holes and export it again",
        from[0], from[1], from[2], to[0], to[1], to[2]
    )]
    Open {
        /// How many edges have no triangle to go on with, or one that cannot face alike.
        n: usize,
        /// Where the first of them begins.
        from: [f32; 3],
        /// Where it ends.
        to: [f32; 3],
    },
    /// A surface inside another faces outwards like that one: hollow or solid is a guess.
    #[error(
        "a surface inside another one, at ({}, {}, {}) in the file's unit, does not face inwards: \
         turn it if it is a hollow, leave it out if it is none",
        at[0], at[1], at[2]
    )]
    InnerSurface {
        /// A corner of it.
        at: [f32; 3],
    },
    /// There are more separate surfaces than are taken.
    #[error(
        "the mesh has {n} separate surfaces, and {MOST_SURFACES} are taken: join the parts of the \
         solid before you export it"
    )]
    TooManySurfaces {
        /// How many.
        n: usize,
    },
}

/// What was mended in a file, or is worth knowing about it.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum Repair {
    /// Triangles without area were left out.
    NoAreaLeftOut {
        /// How many.
        n: usize,
    },
    /// Triangles that were there before were left out.
    TwiceLeftOut {
        /// How many.
        n: usize,
    },
    /// Corners that nearly met were joined to close the surface.
    Joined {
        /// How many.
        n: usize,
        /// How far apart they were at most, in the file's unit.
        within: f64,
    },
    /// Triangles that faced the other way than their neighbours were turned.
    Turned {
        /// How many.
        n: usize,
    },
    /// Surfaces were inside out and were turned.
    InsideOut {
        /// How many.
        n: usize,
        /// Of how many.
        of: usize,
    },
    /// The mesh consists of several surfaces; nothing was changed.
    Surfaces {
        /// How many.
        n: usize,
        /// How many of them bound a hollow inside another.
        n_hollows: usize,
    },
}

impl fmt::Display for Repair {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let triangles = |n: usize| if n == 1 { "triangle" } else { "triangles" };
        match *self {
            Self::NoAreaLeftOut { n } => {
                write!(f, "{n} {} without area left out", triangles(n))
            }
            Self::TwiceLeftOut { n } => {
                write!(f, "{n} {} left out that were there already", triangles(n))
            }
            Self::Joined { n, within } => {
                write!(f, "{n} corners joined to others less than {within:.1e} away")
            }
            Self::Turned { n } => {
                write!(f, "{n} {} turned to face like the rest", triangles(n))
            }
            Self::InsideOut { n: 1, of: 1 } => write!(f, "the mesh was inside out: turned"),
            Self::InsideOut { n, of } => {
                write!(f, "{n} of {of} surfaces were inside out: turned")
            }
            Self::Surfaces { n, n_hollows: 0 } => {
                write!(f, "{n} separate solids; where they overlap, the volume counts twice")
            }
            Self::Surfaces { n, n_hollows } => {
                write!(f, "{n} surfaces, {n_hollows} of them around a hollow inside")
            }
        }
    }
}

/// A solid out of a file.
#[derive(Debug, Clone, PartialEq)]
pub struct Imported {
    /// The solid, in the file's own unit of length: [`Mesh::scaled`] makes it metres.
    pub mesh: Mesh,
    /// What was mended, in the order in which it was done, and what is worth knowing.
    pub notes: Vec<Repair>,
}

/// Where an import is.
#[derive(Debug, Clone)]
enum Stage {
    Reading(StlFile, Weld),
    Mending(Box<Mending>),
    Checking(Box<Checking>),
    Over,
}

/// An import under way.
#[derive(Debug, Clone)]
pub struct StlImport {
    stage: Stage,
    faces: Vec<[u32; 3]>,
    n_no_area: usize,
    notes: Vec<Repair>,
    progress: f64,
}

impl StlImport {
    /// An import of the contents of a file.
    ///
    /// # Errors
    /// [`StlError`] when it can be seen at once that it is no STL or not a whole one.
    pub fn new(bytes: Vec<u8>) -> Result<Self, StlError> {
        let stage = Stage::Reading(StlFile::new(bytes)?, Weld::new(0.0));
        Ok(Self { stage, faces: Vec::new(), n_no_area: 0, notes: Vec::new(), progress: 0.0 })
    }

    /// How much of the work is done, 0 to 1; never less than before.
    pub fn progress(&self) -> f64 {
        self.progress
    }

    fn reached(&self) -> f64 {
        match &self.stage {
            Stage::Reading(file, _) => file.progress() * 0.4,
            Stage::Mending(mending) => 0.4 + mending.progress() * 0.35,
            Stage::Checking(checking) => 0.75 + checking.progress() * 0.25,
            Stage::Over => 1.0,
        }
    }

    /// Goes on by about so many triangles. Gives the solid when it is done; it must not be called
    /// again after that, nor after an error.
    ///
    /// # Errors
    /// [`StlError`] when the file is damaged or what is in it is no solid and cannot be mended
    /// without guessing.
    pub fn step(&mut self, n_triangles: usize) -> Result<Option<Imported>, StlError> {
        let n = n_triangles.max(1);
        match &mut self.stage {
            Stage::Reading(file, _) => match file.step(n)? {
                Some(triangles) => self.take(&triangles),
                None => self.stage = self.start_mending()?,
            },
            Stage::Mending(mending) => {
                if let Some(mended) = mending.step(n)? {
                    self.notes.extend(mended.notes);
                    let corner = |c: &Corner| Vector3::from(c.map(f64::from));
                    let vertices = mended.corners.iter().map(corner).collect();
                    let checking = Checking::new(vertices, mended.faces);
                    self.stage = Stage::Checking(Box::new(checking));
                }
            }
            Stage::Checking(checking) => match checking.step(n) {
                Ok(None) => {}
                Ok(Some(mesh)) => {
                    (self.stage, self.progress) = (Stage::Over, 1.0);
                    let notes = std::mem::take(&mut self.notes);
                    return Ok(Some(Imported { mesh, notes }));
                }
                Err(error) => return Err(in_file_units(&error)),
            },
            Stage::Over => return Err(StlError::NoTriangles),
        }
        // Mending may go over the edges more than once.
        self.progress = self.progress.max(self.reached());
        Ok(None)
    }
    /// Takes triangles in, except those of which two corners are one.
    fn take(&mut self, triangles: &[[Corner; 3]]) {
        let Stage::Reading(_, weld) = &mut self.stage else { return };
        for corners in triangles {
            let face = corners.map(|corner| weld.index_of(corner));
            if is_collapsed(face) {
                self.n_no_area += 1;
            } else {
                self.faces.push(face);
            }
        }
    }

    fn start_mending(&mut self) -> Result<Stage, StlError> {
        let Stage::Reading(_, weld) = &self.stage else { return Ok(Stage::Over) };
        match (self.faces.is_empty(), self.n_no_area) {
            (true, 0) => return Err(StlError::NoTriangles),
            (true, n) => return Err(StlError::NoArea { n }),
            _ => {}
        }
        let corners = weld.places().to_vec();
        let faces = std::mem::take(&mut self.faces);
        Ok(Stage::Mending(Box::new(Mending::new(corners, faces, self.n_no_area))))
    }
}

/// True if two of the corners are one.
pub(super) fn is_collapsed([a, b, c]: [u32; 3]) -> bool {
    a == b || b == c || c == a
}

/// What the proof of the mended mesh can still find.
fn in_file_units(error: &MeshError) -> StlError {
    #[expect(clippy::cast_possible_truncation, reason = "the file's numbers had single precision")]
    let single = |place: [f64; 3]| place.map(|c| c as f32);
    match error {
        MeshError::Open { from, to } => {
            StlError::Open { n: 1, from: single(*from), to: single(*to) }
        }
        // The rest was looked at before, except for what is closed but flat.
        _ => StlError::NoVolume,
    }
}

/// Imports the contents of a file in one go.
///
/// # Errors
/// [`StlError`], as [`StlImport`].
pub fn read_stl(bytes: Vec<u8>) -> Result<Imported, StlError> {
    let mut import = StlImport::new(bytes)?;
    loop {
        // Each step reads on or goes on in one of a bounded number of passes.
        if let Some(imported) = import.step(MOST_TRIANGLES)? {
            return Ok(imported);
        }
    }
}
/// Metres in the unit in which a file of this greatest length (in its unit) is most likely drawn: an STL says none.
/// Millimetres, unless nothing of a boat is that small: then metres. Common practice, no source.
pub fn likely_unit(longest: f64) -> f64 {
    const LEAST: f64 = 5.0;
    if longest < LEAST { 1.0 } else { 1e-3 }
}
