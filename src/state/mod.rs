//! What the user typed, what is derived from it, and the one effect that stores.

mod check;
mod checks;
mod compared;
mod derived;
mod desk;
mod dive;
mod files;
mod form;
mod form_units;
mod history;
mod importing;
mod input;
mod keep;
mod ledger;
mod line;
mod load;
mod log;
mod made;
mod part_form;
mod past;
mod reading;
mod records;
mod settings;
mod settle;
mod shape_form;
mod tank_form;

#[cfg(test)]
pub(crate) use crate::words::speech::while_speaking;
pub(crate) use crate::words::speech::{speak, speech};
pub(crate) use compared::TwoSessions;
pub(crate) use derived::{Advised, Answer, BoatInHand, Derived};
pub(crate) use desk::{Bench, Desk, Screen};
pub(crate) use dive::{Dived, Following, Tried};
pub(crate) use files::{Arriving, Exported, count};
pub(crate) use form::{CENTRE, Editing, FLOOD, Form, Key, PLACE, PlaceKeys, VENT};
pub(crate) use importing::{Importing, MeshRead, MeshUse};
pub(crate) use input::{Field, QuickForm};
pub(crate) use keep::Keeping;
pub(crate) use ledger::Step;
pub(crate) use load::{Apart, Loaded, load_kept};
pub(crate) use log::{Page, SessionRead};
pub(crate) use made::{Datum, MadeParts};
pub(crate) use part_form::OWN;
pub(crate) use past::{Past, PastRead};
pub(crate) use records::session_of_key;
pub(crate) use shape_form::Shape;
