//! The file in which everything is kept: records of its own, versioned, never the core's types.
//!
//! Lengths are metres, masses kilograms, densities kg/m³, angles degrees; every key says so.
//! Fields that this version does not know are kept and written back.

mod boat_record;
mod file;
mod merge;
mod record;
mod solid;

pub use boat_record::{
    BoatRecord, BoatRecordError, DatumRecord, MarkRecord, MediumRecord, PartRecord, PlaceRecord,
    QuickRecord, StatusRecord, TankRecord,
};
pub use file::{DiaryError, FORMAT, VERSION, read, write};
pub use merge::Merged;
pub use record::{
    AboardRecord, Angles, ConditionRecord, Diary, Draft, MarkReading, ReadingRecord, Settings,
    WaterDraft, WaterKind,
};
pub use solid::{AxisRecord, SolidRecord};
