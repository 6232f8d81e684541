//! What screens share. Widgets take values and callbacks.

mod chart;
mod choice;
mod drawing;
mod fill_slider;
mod fingers;
mod frame;
mod more;
mod notices;
mod number;
mod page;
mod passage;
mod plot;
mod problem;
mod scale;
mod scene;
mod shape;
mod signs;
mod stepper;
mod tank;
mod tilt;
mod touch;
mod zoom;

pub(crate) use chart::{Band, Chart, ChartMark, ChartSign, ChartView, Line, LineClass};
pub(crate) use choice::{Choice, Chosen};
pub(crate) use drawing::Drawing;
pub(crate) use fill_slider::{FillPlayer, FillSlider, Motion};
pub(crate) use more::More;
pub(crate) use notices::Notices;
pub(crate) use number::NumberField;
pub(crate) use passage::{Stop, between, stops};
pub(crate) use problem::Problem;
pub(crate) use scene::{Drag, Drawn, Load, Look, Picked, Scene, drawn_of};
pub(crate) use shape::mesh_view;
pub(crate) use stepper::{Sided, StepTo, Stepper};
pub(crate) use tilt::{TiltButton, ZeroButton, Zeroing};
