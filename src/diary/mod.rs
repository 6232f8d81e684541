//! The file in which everything is kept: records of its own, versioned, never the core's types.
//!
//! Lengths are metres, masses kilograms, densities kg/m³, angles degrees; every key says so.
//! Fields that this version does not know are kept and written back.

mod boat_record;
mod dive_record;
mod file;
mod kept;
mod merge;
mod mesh_record;
mod part_record;
mod record;
mod solid;
mod tank_record;
mod template;

pub use boat_record::{
    BoatRecord, BoatRecordError, DatumRecord, MarkRecord, MediumRecord, PlaceRecord, QuickRecord,
};
pub use dive_record::{DiveRecord, SeenRecord, USUAL_BLOW, USUAL_DRAIN, USUAL_FLOOD};
pub use file::{DiaryError, FORMAT, VERSION, read, write};
pub use kept::{KeptMeshes, kept_names, mesh_from_bytes, mesh_to_bytes, read_kept, write_kept};
pub use merge::Merged;
pub use mesh_record::MeshRecord;
pub use part_record::{
    CoatRecord, InsideRecord, MaterialRecord, PartRecord, StatusRecord, WallRecord,
};
pub use record::{
    AboardRecord, Angles, ConditionRecord, Diary, Draft, MarkReading, ReadingRecord, Settings,
    WaterDraft, WaterKind,
};
pub use solid::{AxisRecord, SolidRecord};
pub use tank_record::{BulkheadRecord, BulkheadWayRecord, TankRecord};
pub use template::{TEMPLATES, Template};
