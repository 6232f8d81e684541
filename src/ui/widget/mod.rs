//! What screens share. Widgets take values and callbacks.

mod choice;
mod drawing;
mod more;
mod notices;
mod number;
mod problem;
mod scene;
mod stepper;
mod tilt;

pub(crate) use choice::{Choice, Chosen};
pub(crate) use drawing::Drawing;
pub(crate) use more::More;
pub(crate) use notices::Notices;
pub(crate) use number::NumberField;
pub(crate) use scene::{Load, Scene};
pub(crate) use stepper::MarkStepper;
pub(crate) use tilt::{TiltButton, ZeroButton, Zeroing};
