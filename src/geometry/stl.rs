//! Imports a solid from an STL file in steps: reads it, joins its corners, mends what is safe to
//! mend, and says what it mended or why it cannot take it.
//!
//! An STL file has no unit: lengths come out as they stand in the file.

use super::checking::{Checking, MeshError};
use super::corner::{Corner, is_collapsed};
use super::mend::Mending;
use super::mesh::Mesh;
use super::repair::Repair;
use super::stl_error::{MOST_TRIANGLES, StlError};
use super::stl_file::StlFile;
use super::weld::Weld;
use nalgebra::Vector3;

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
enum ImportStage {
    Reading(StlFile, Weld),
    Mending(Box<Mending>),
    Checking(Box<Checking>),
    Over,
}

/// An import under way.
#[derive(Debug, Clone)]
pub struct StlImport {
    stage: ImportStage,
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
        let stage = ImportStage::Reading(StlFile::new(bytes)?, Weld::new(0.0));
        Ok(Self { stage, faces: Vec::new(), n_no_area: 0, notes: Vec::new(), progress: 0.0 })
    }

    /// How much of the work is done, 0 to 1; never less than before.
    pub fn progress(&self) -> f64 {
        self.progress
    }

    fn reached(&self) -> f64 {
        match &self.stage {
            ImportStage::Reading(file, _) => file.progress() * 0.4,
            ImportStage::Mending(mending) => 0.4 + mending.progress() * 0.35,
            ImportStage::Checking(checking) => 0.75 + checking.progress() * 0.25,
            ImportStage::Over => 1.0,
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
            ImportStage::Reading(file, _) => match file.step(n)? {
                Some(triangles) => self.take(&triangles),
                None => self.stage = self.start_mending()?,
            },
            ImportStage::Mending(mending) => {
                if let Some(mended) = mending.step(n)? {
                    self.notes.extend(mended.notes);
                    let corner = |c: &Corner| Vector3::from(c.map(f64::from));
                    let vertices = mended.corners.iter().map(corner).collect();
                    let checking = Checking::new(vertices, mended.faces);
                    self.stage = ImportStage::Checking(Box::new(checking));
                }
            }
            ImportStage::Checking(checking) => match checking.step(n) {
                Ok(None) => {}
                Ok(Some(mesh)) => {
                    (self.stage, self.progress) = (ImportStage::Over, 1.0);
                    let notes = std::mem::take(&mut self.notes);
                    return Ok(Some(Imported { mesh, notes }));
                }
                Err(error) => return Err(in_file_units(&error)),
            },
            ImportStage::Over => return Err(StlError::NoTriangles),
        }
        // Mending may go over the edges more than once.
        self.progress = self.progress.max(self.reached());
        Ok(None)
    }
    /// Takes triangles in, except those of which two corners are one.
    fn take(&mut self, triangles: &[[Corner; 3]]) {
        let ImportStage::Reading(_, weld) = &mut self.stage else { return };
        for corners in triangles {
            let face = corners.map(|corner| weld.index_of(corner));
            if is_collapsed(face) {
                self.n_no_area += 1;
            } else {
                self.faces.push(face);
            }
        }
    }

    fn start_mending(&mut self) -> Result<ImportStage, StlError> {
        let ImportStage::Reading(_, weld) = &self.stage else { return Ok(ImportStage::Over) };
        match (self.faces.is_empty(), self.n_no_area) {
            (true, 0) => return Err(StlError::NoTriangles),
            (true, n) => return Err(StlError::NoArea { n }),
            _ => {}
        }
        let corners = weld.places().to_vec();
        let faces = std::mem::take(&mut self.faces);
        Ok(ImportStage::Mending(Box::new(Mending::new(corners, faces, self.n_no_area))))
    }
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
