//! The file in which everything is kept: records of its own, versioned, never the core's types.
//!
//! Lengths are metres, masses kilograms, densities kg/m³, angles degrees; every key says so.
//! Fields that this version does not know are kept and written back.

mod file;
mod merge;
mod record;
mod solid;

pub use file::{DiaryError, FORMAT, VERSION, read, write};
pub use merge::Merged;
pub use record::{
    AboardRecord, BoatRecord, BoatRecordError, ConditionRecord, DatumRecord, Diary, Draft, MarkReading,
    MarkRecord, MediumRecord, PartRecord, PlaceRecord, QuickRecord, ReadingRecord, Settings,
    StatusRecord, TankRecord, WaterDraft, WaterKind,
};
pub use solid::{AxisRecord, SolidRecord};
