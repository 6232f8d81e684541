//! What the user typed, what is derived from it, and the one effect that stores.

mod derived;
mod form;
mod history;
mod input;
mod ledger;
mod line;
mod made;
mod part_form;
mod save;
mod session;
mod shape_form;
mod tank_form;

pub(crate) use derived::{Advised, Answer, BoatInHand};
pub(crate) use form::{Editing, Form, Key};
pub(crate) use input::{Field, QuickForm};
pub(crate) use ledger::Step;
pub(crate) use made::{Datum, MadeParts};
pub(crate) use part_form::{OWN, STATUSES};
pub(crate) use save::{load, store_on_change};
pub(crate) use session::{Screen, Session};
pub(crate) use shape_form::Shape;
