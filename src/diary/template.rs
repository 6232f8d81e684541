//! Boats to begin with: complete, stable, of different kinds, each a file of the program's own.

use super::boat_record::BoatRecord;
use super::file::{DiaryError, read};

/// A boat that comes with the app.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct BoatTemplate {
    /// Its name, that of a water bird.
    pub name: &'static str,
    /// Its file.
    text: &'static str,
}

/// The boats that come with the app. Each floats level at its marks in fresh water of 20 °C and
/// hangs upright; all but the Coot, whose tank is to show why, stay so on the way.
/// `tests/data/template` has what an independent program says of them.
pub const TEMPLATES: [BoatTemplate; 4] = [
    // 1.4 m, long and thin: a flooded hull around one dry cylinder.
    BoatTemplate { name: "Heron", text: include_str!("template/heron.json") },
    // 0.6 m, short and fat: a dry hull between two saddle tanks.
    BoatTemplate { name: "Eider", text: include_str!("template/eider.json") },
    // 0.4 m, small and wet throughout: foam carries it.
    BoatTemplate { name: "Smew", text: include_str!("template/smew.json") },
    // 0.8 m, a wide flat tank: sits well afloat and under, leans on the way.
    BoatTemplate { name: "Coot", text: include_str!("template/coot.json") },
];

impl BoatTemplate {
    /// The boat, as the ledger has it.
    ///
    /// # Errors
    /// [`DiaryError`] when the file that was built in is damaged.
    pub fn boat_record(&self) -> Result<BoatRecord, DiaryError> {
        let first = read(self.text)?.boats.into_iter().next();
        first.ok_or_else(|| DiaryError::Wrong("there is no boat in it".to_owned()))
    }

    /// The file, in which the boat stands alone.
    pub fn text(&self) -> &'static str {
        self.text
    }
}
