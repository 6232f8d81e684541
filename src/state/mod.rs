//! What the user typed, what is derived from it, and the one effect that stores.

mod derived;
mod input;
mod save;
mod session;

pub(crate) use derived::{Advised, Answer, BoatInHand, Datum};
pub(crate) use input::{Field, QuickForm};
pub(crate) use save::{load, store_on_change};
pub(crate) use session::{Screen, Session};
