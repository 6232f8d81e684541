//! What a reading told of a boat, and what was foretold of it, in the file.

use super::field_tables::{fields, words};
use super::fields::Extra;
use crate::ballast::{MarkPrediction, Prediction};
use crate::fit::{Estimate, Fit, Unknown};
use crate::unit::DEGREE;

/// A value and its standard uncertainty, both in the unit of the key that holds them.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct EstimateRecord {
    /// The value.
    pub value: f64,
    /// Its spread, one standard deviation.
    pub spread: f64,
    /// Fields of other versions.
    pub extra: Extra,
}

fields!(EstimateRecord {
    needs value,
    needs spread,
    .. extra
});

impl From<Estimate> for EstimateRecord {
    fn from(estimate: Estimate) -> Self {
        Self { value: estimate.value, spread: estimate.spread, extra: Extra::new() }
    }
}

impl From<&EstimateRecord> for Estimate {
    fn from(record: &EstimateRecord) -> Self {
        Self::new(record.value, record.spread)
    }
}

/// One thing that a reading did not tell.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[expect(missing_docs, reason = "the variants are those of `fit::Unknown`")]
pub enum UnknownRecord {
    Mass,
    Along,
    Across,
}

words!(UnknownRecord {
    Mass "mass",
    Along "along",
    Across "across",
});

impl From<Unknown> for UnknownRecord {
    fn from(unknown: Unknown) -> Self {
        match unknown {
            Unknown::Mass => Self::Mass,
            Unknown::Along => Self::Along,
            Unknown::Across => Self::Across,
        }
    }
}

/// What a reading told of the boat.
#[derive(Debug, Clone, PartialEq)]
pub struct FoundRecord {
    /// The boat's mass as found, kg.
    pub mass_kg: EstimateRecord,
    /// Its centre of gravity forward of the model's, metres.
    pub forward_m: EstimateRecord,
    /// Its centre of gravity to port of the model's, metres.
    pub to_port_m: EstimateRecord,
    /// What the reading did not tell: the model's value, with a wide ±.
    pub untold: Vec<UnknownRecord>,
    /// Fields of other versions.
    pub extra: Extra,
}

fields!(FoundRecord {
    needs mass_kg,
    needs forward_m,
    needs to_port_m,
    may untold,
    .. extra
});

impl From<&Fit> for FoundRecord {
    fn from(fit: &Fit) -> Self {
        let [forward, to_port, _] = fit.offset;
        let mass = Estimate::new(fit.found.mass(), fit.mass_error.spread);
        Self {
            mass_kg: mass.into(),
            forward_m: forward.into(),
            to_port_m: to_port.into(),
            untold: fit.untold.iter().copied().map(UnknownRecord::from).collect(),
            extra: Extra::new(),
        }
    }
}

/// The water foretold at one mark.
#[derive(Debug, Clone, PartialEq)]
pub struct ForetoldMark {
    /// The mark's name.
    pub name: String,
    /// Metres of water above it, negative below.
    pub above_m: EstimateRecord,
    /// Fields of other versions.
    pub extra: Extra,
}

fields!(ForetoldMark {
    needs name,
    needs above_m,
    .. extra
});

/// How the boat will lie once the advice is followed, as it was said then.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct ForetoldRecord {
    /// List, degrees, positive to starboard.
    pub list_deg: Option<EstimateRecord>,
    /// Trim, degrees, positive bow down.
    pub trim_deg: Option<EstimateRecord>,
    /// Residual mass under water, kg, positive heavy.
    pub residual_kg: Option<EstimateRecord>,
    /// The water at the marks.
    pub marks: Vec<ForetoldMark>,
    /// Nothing was to be done: this is how it lies as it is.
    pub as_it_is: bool,
    /// Fields of other versions.
    pub extra: Extra,
}

fields!(ForetoldRecord {
    may list_deg,
    may trim_deg,
    may residual_kg,
    may marks,
    may as_it_is,
    .. extra
});

impl From<&Prediction> for ForetoldRecord {
    fn from(prediction: &Prediction) -> Self {
        let degrees = |angle: Estimate| {
            EstimateRecord::from(Estimate::new(angle.value / DEGREE, angle.spread / DEGREE))
        };
        let mark = |mark: &MarkPrediction| ForetoldMark {
            name: mark.name.clone(),
            above_m: mark.above.into(),
            extra: Extra::new(),
        };
        Self {
            list_deg: prediction.list.map(degrees),
            trim_deg: prediction.trim.map(degrees),
            residual_kg: prediction.residual.map(EstimateRecord::from),
            marks: prediction.marks.iter().map(mark).collect(),
            as_it_is: prediction.as_it_is,
            extra: Extra::new(),
        }
    }
}
