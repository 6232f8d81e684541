//! Quantities at the edge: how a typed number is read and how a result is written, and in which units.
//!
//! The core computes in SI; these are the only places where a gram or an inch appears.

mod number;
mod units;

pub use number::{
    Decimal, NumberError, read_number, read_number_within, write_number, write_plain,
};
pub use units::{Length, Mass, THIN, Unit, Units};

/// A temperature, degrees Celsius (ITS-90).
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Celsius(pub f64);

/// Kilograms per gram.
pub const GRAM: f64 = 1e-3;
/// Metres per millimetre.
pub const MILLIMETRE: f64 = 1e-3;
/// Metres per inch, exactly.
/// Source: international yard and pound agreement, 1959 (a yard is 0.9144 m), as in NIST SP 811
/// (2008), appendix B.
pub const INCH: f64 = 0.0254;
/// Kilograms per avoirdupois ounce, exactly: the sixteenth of a pound.
/// Source: international yard and pound agreement, 1959 (a pound is 0.453 592 37 kg), as in NIST
/// SP 811 (2008), appendix B.
pub const OUNCE: f64 = 0.028_349_523_125;
/// Radians per degree.
pub const DEGREE: f64 = std::f64::consts::PI / 180.0;
