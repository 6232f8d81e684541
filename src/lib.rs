//! The core of Trimwright: the statics of small free-flooding submarines.
//!
//! Pure and native: it knows no browser, does no input or output, and never panics on any input.
//! Everything is `f64` and SI (m, kg, kg/m³, radians); [`frame`] holds the axes and signs.
//!
//! In reading order: a [`boat`] is a list of parts and tanks whose solids come from [`geometry`]
//! and whose stuff is in [`material`]; [`float`] finds how it floats in some [`water`]; a [`reading`] is what was seen at the pool;
//! [`fit`] works back from readings to how far the boat is off; [`ballast`] says what to do about
//! it; [`dive`] follows it on the way down and up; [`diary`] is the file format in which everything is kept; an
//! [`answer`] is what follows from it for the boat in hand.

pub mod answer;
pub mod ballast;
pub mod boat;
pub mod diary;
pub mod dive;
pub mod fit;
pub mod float;
pub mod frame;
pub mod geometry;
pub mod material;
pub mod pause;
pub mod reading;
pub mod unit;
pub mod water;
