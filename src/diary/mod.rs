//! The file in which everything is kept: records of its own, versioned, never the core's types.
//!
//! Lengths are metres, masses kilograms, densities kg/m³, angles degrees; every key says so. Only what
//! is being typed is kept as typed, with the units it is in.
//! Fields that this version does not know are kept and written back.

mod aim_record;
mod boat_record;
mod caution;
mod changing;
mod check_list;
mod check_work;
mod checks;
mod closing;
mod comparison;
mod content_name;
mod csv;
mod difference;
mod dive_plan;
mod dive_record;
mod doing;
mod draft;
mod draft_choice;
mod draft_units;
mod field_kinds;
mod field_tables;
mod fields;
mod file;
mod found_record;
mod in_parts;
mod join;
mod keeping;
mod kept;
mod last_good;
mod mass_sums;
mod merge;
mod mesh_record;
mod missing;
mod missing_record;
mod part_record;
mod picture;
mod quick_record;
mod reading_record;
mod record;
mod score;
mod session_record;
mod settings;
mod solid;
mod state;
mod tank_record;
mod template;
mod trend;
mod version_2;
mod version_3;

pub use aim_record::AimRecord;
pub use boat_record::{
    BoatRecord, BoatRecordError, DatumRecord, MarkRecord, MediumRecord, PlaceRecord,
};
pub use caution::Caution;
pub use check_list::{UsualCheck, short_words, usual_check, usual_checks};
pub use check_work::{CheckMove, CheckSummary, begun_anew};
pub use checks::{CheckRecord, CheckState, CheckTime, ChecksRecord};
pub use closing::{
    ClosedFigure, Closing, Closings, EntryPlace, Figure, Followed, NotComparable, closings,
};
pub use comparison::{Comparison, PartChanges, TankFigures, compare};
pub use csv::{TableStyle, readings_csv};
pub use difference::Difference;
pub use dive_record::DiveRecord;
pub use doing::{DeedKind, DeedRecord, Doing};
pub use draft::{Angles, Draft, FormTexts, NEW_BOATS, WaterDraft, WaterKind, WeightDraft};
pub use draft_choice::{FillUnit, WeightMaterial};
pub use draft_units::turn_form;
pub use file::{DiaryError, is_of_later_version, read, write};
pub use found_record::{EstimateRecord, ForetoldMark, ForetoldRecord, FoundRecord, UnknownRecord};
pub use in_parts::{read_with, write_with};
pub use join::join;
pub use keeping::ReadingStatus;
pub use kept::{KeptMeshes, kept_names, mesh_from_bytes, mesh_to_bytes, read_kept, write_kept};
pub use last_good::{LastGood, TakeOverError, TakenOver, last_good};
pub use mass_sums::{MassSum, MassSums, PartFigures, PlacedMass};
pub use merge::{Fate, IncomingRecord, Merged, RecordKind};
pub use mesh_record::MeshRecord;
pub use missing::strike_named;
pub use missing_record::MissingRecord;
pub use part_record::{
    CoatRecord, InsideRecord, MaterialRecord, PartRecord, StatusRecord, WallRecord,
};
pub use picture::{PictureBytes, picture_name};
pub use quick_record::QuickRecord;
pub use reading_record::{
    AboardRecord, ConditionRecord, FiguresRecord, MarkReading, ReadingRecord, figure_name,
};
pub use record::{Diary, FORMAT, VERSION};
pub use score::{ByKind, Score, Tally};
pub use session_record::{
    BenchRecord, ChecksRun, DoneRecord, Entry, EntryRecord, LeanRecord, NewBoatRecord,
    PictureRecord, RunRecord, SessionRecord,
};
pub use settings::{
    DecimalMark, Hand, LengthUnit, MassUnit, Settings, USUAL_REMINDER, UnitsRecord,
};
pub use solid::{AxisRecord, SolidRecord};
pub use state::{meshes_named, state_of};
pub use tank_record::{BulkheadRecord, BulkheadWayRecord, EndRecord, TankKindRecord, TankRecord};
pub use template::{BoatTemplate, TEMPLATES};
pub use trend::{Quantity, Trend, TrendPoint, TrendRow};
