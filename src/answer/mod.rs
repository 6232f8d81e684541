//! From what is kept and typed to the answer: the one way that every screen and every other program goes.

mod advised;
mod evidence;
mod hand;
mod newest;
mod printed;
mod typed;

pub use advised::{Advised, Answer, Refusal, Shifted, answer, as_described, look_at};
pub use evidence::{Evidence, Kept, kept_readings, latest_session};
pub use hand::{Hand, HandError, Movable};
pub use newest::newest_reading;
pub use printed::{PrintError, Printed};
pub use typed::{Asked, Field, Own, Unreadable, WrongFigure, read_fill, read_typed, read_water};
