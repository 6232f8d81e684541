//! Boats to begin with: complete, stable, of different kinds, each a file of the program's own.

use super::boat_record::BoatRecord;
use super::file::{DiaryError, read};

/// Why a template opens no boat.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum TemplateError {
    /// The file that was built in cannot be read.
    #[error("{name}, which comes with the app: {problem}")]
    File {
        /// The template.
        name: &'static str,
        /// What is wrong with its file.
        problem: DiaryError,
    },
    /// The file that was built in holds no boat.
    #[error("{name}, which comes with the app, holds no boat: install the app again")]
    NoBoat {
        /// The template.
        name: &'static str,
    },
}

/// A boat that comes with the app.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Template {
    /// Its name, that of a water bird.
    pub name: &'static str,
    /// The kind of boat, in one line.
    pub about: &'static str,
    /// Its file.
    text: &'static str,
}

/// The boats that come with the app. Each floats level at its marks in fresh water of 20 °C and
/// dives upright; `tests/data/template` has what an independent program says of them.
pub const TEMPLATES: [Template; 3] = [
    Template {
        name: "Heron",
        about: "1.4 m, long and thin: a flooded hull around one dry cylinder",
        text: include_str!("template/heron.json"),
    },
    Template {
        name: "Eider",
        about: "0.6 m, short and fat: a dry hull between two saddle tanks",
        text: include_str!("template/eider.json"),
    },
    Template {
        name: "Smew",
        about: "0.4 m, small and wet throughout: foam carries it",
        text: include_str!("template/smew.json"),
    },
];

impl Template {
    /// The boat, as the ledger has it.
    ///
    /// # Errors
    /// [`TemplateError`] when the file that was built in is damaged.
    pub fn boat_record(&self) -> Result<BoatRecord, TemplateError> {
        let name = self.name;
        let diary = read(self.text).map_err(|problem| TemplateError::File { name, problem })?;
        diary.boats.into_iter().next().ok_or(TemplateError::NoBoat { name })
    }

    /// The file, in which the boat stands alone.
    pub fn text(&self) -> &'static str {
        self.text
    }
}
