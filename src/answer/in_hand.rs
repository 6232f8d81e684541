//! The boat in hand as other programs have it: its record, and what is typed or was read last.

use super::fitted::Refusal;
use super::newest::newest_reading;
use super::own::Own;
use super::ready_boat::{ReadyBoat, ReadyBoatError};
use super::typed::{AdviceRequest, read_water};
use super::wrong::Unreadable;
use crate::ballast::plan::PlanError;
use crate::diary::{BoatRecord, Diary};

/// Why nothing can be printed.
#[derive(Debug, thiserror::Error)]
pub enum PrintError {
    /// No boat is in hand.
    #[error("no boat is in hand: `draft.boat` names none")]
    NoBoat,
    /// The boat in hand is not in the file.
    #[error("the boat in hand, \"{0}\", is not in the file")]
    NotHere(String),
    /// The boat cannot be calculated.
    #[error(transparent)]
    Hand(#[from] ReadyBoatError),
    /// What is typed cannot be read.
    #[error("{}", .0.iter().map(ToString::to_string).collect::<Vec<_>>().join("; "))]
    Typed(Vec<Unreadable>),
    /// The reading gives no answer.
    #[error(transparent)]
    Refused(#[from] Refusal),
    /// No plan can be looked for.
    #[error(transparent)]
    Plan(#[from] PlanError),
}

/// The boat in hand, and what there is to say of it.
pub(super) struct InHand<'a> {
    pub(super) record: &'a BoatRecord,
    pub(super) hand: ReadyBoat,
    /// Density of the water that is typed, kg/m³.
    pub(super) density: f64,
    /// Its newest reading, kept or typed.
    pub(super) newest: Option<AdviceRequest>,
}

impl<'a> InHand<'a> {
    /// What a diary has in hand.
    ///
    /// # Errors
    /// [`PrintError`] when there is no such boat, or what is typed cannot be read.
    pub(super) fn of(diary: &'a Diary) -> Result<Self, PrintError> {
        let id = &diary.draft.boat;
        let missing =
            || if id.is_empty() { PrintError::NoBoat } else { PrintError::NotHere(id.clone()) };
        let record = diary.boat(id).ok_or_else(missing)?;
        let hand = ReadyBoat::of(record)?;
        let own = Own {
            phone_mass: diary.settings.phone_mass(),
            is_zeroed: diary.settings.tilt_zero_deg.is_some(),
            phone: "phone",
            inside: "inside",
            weight: "weight",
        };
        let (_, density) =
            read_water(&diary.draft.water).map_err(|wrong| PrintError::Typed(vec![wrong]))?;
        let newest = newest_reading(diary, &hand, density, own).map_err(PrintError::Typed)?;
        Ok(Self { record, hand, density, newest })
    }
}
