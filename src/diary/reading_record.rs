//! A reading in the file: what was seen, what it told, what was advised and foretold.

use super::part_record::place;
use super::record::Extra;
use crate::ballast::{Advice, MarkPrediction, Prediction, Verdict, by_itself, predict};
use crate::boat::Mark;
use crate::fit::{Estimate, Fit, Unknown};
use crate::float::Basin;
use crate::reading::{
    ANGLE_SPREAD, Aboard, Condition, MARK_SPREAD, Observation, RESIDUAL_SPREAD, Reading, Seen,
};
use crate::unit::DEGREE;
use serde::{Deserialize, Serialize};

/// At the surface or under.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[expect(missing_docs, reason = "the variants are those of `reading::Condition`")]
pub enum ConditionRecord {
    #[default]
    Afloat,
    Under,
}

impl From<Condition> for ConditionRecord {
    fn from(condition: Condition) -> Self {
        match condition {
            Condition::Afloat => Self::Afloat,
            Condition::Under => Self::Under,
        }
    }
}

impl From<ConditionRecord> for Condition {
    fn from(condition: ConditionRecord) -> Self {
        match condition {
            ConditionRecord::Afloat => Self::Afloat,
            ConditionRecord::Under => Self::Under,
        }
    }
}

/// The water at one mark.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[expect(missing_docs, reason = "the fields are those of `reading::Seen::WaterAtMark`")]
pub struct MarkReading {
    pub name: String,
    pub at_m: [f64; 3],
    pub above_m: f64,
    #[serde(flatten)]
    pub extra: Extra,
}

/// Something that lay aboard for the reading.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[expect(missing_docs, reason = "the fields are those of `reading::Aboard`")]
pub struct AboardRecord {
    pub name: String,
    pub mass_kg: f64,
    pub at_m: [f64; 3],
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub off_m: Option<f64>,
    #[serde(flatten)]
    pub extra: Extra,
}

impl AboardRecord {
    fn aboard(&self) -> Aboard {
        Aboard {
            name: self.name.clone(),
            mass: self.mass_kg,
            at: place(self.at_m),
            off: self.off_m.unwrap_or_default(),
        }
    }
}

impl From<&Aboard> for AboardRecord {
    fn from(aboard: &Aboard) -> Self {
        Self {
            name: aboard.name.clone(),
            mass_kg: aboard.mass,
            at_m: aboard.at.vector().into(),
            off_m: Some(aboard.off).filter(|off| *off > 0.0),
            extra: Extra::new(),
        }
    }
}

/// A value and its standard uncertainty, both in the unit of the key that holds them.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct EstimateRecord {
    /// The value.
    pub value: f64,
    /// Its spread, one standard deviation.
    pub spread: f64,
    /// Fields of other versions.
    #[serde(flatten)]
    pub extra: Extra,
}

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
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[expect(missing_docs, reason = "the variants are those of `fit::Unknown`")]
pub enum UnknownRecord {
    Mass,
    Along,
    Across,
}

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
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct FoundRecord {
    /// The boat's mass as found, kg.
    pub mass_kg: EstimateRecord,
    /// Its centre of gravity forward of the model's, metres.
    pub forward_m: EstimateRecord,
    /// Its centre of gravity to port of the model's, metres.
    pub to_port_m: EstimateRecord,
    /// What the reading did not tell: the model's value, with a wide ±.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub untold: Vec<UnknownRecord>,
    /// Fields of other versions.
    #[serde(flatten)]
    pub extra: Extra,
}

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
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct ForetoldMark {
    /// The mark's name.
    pub name: String,
    /// Metres of water above it, negative below.
    pub above_m: EstimateRecord,
    /// Fields of other versions.
    #[serde(flatten)]
    pub extra: Extra,
}

/// How the boat will lie once the advice is followed, as it was said then.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct ForetoldRecord {
    /// List, degrees, positive to starboard.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub list_deg: Option<EstimateRecord>,
    /// Trim, degrees, positive bow down.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub trim_deg: Option<EstimateRecord>,
    /// Residual mass under water, kg, positive heavy.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub residual_kg: Option<EstimateRecord>,
    /// The water at the marks.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub marks: Vec<ForetoldMark>,
    /// Nothing was to be done: this is how it lies as it is.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub as_it_is: bool,
    /// Fields of other versions.
    #[serde(flatten)]
    pub extra: Extra,
}

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

/// The figures of a reading without what lay aboard for it.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[expect(missing_docs, reason = "the fields are those of `ReadingRecord`")]
pub struct FiguresRecord {
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub marks: Vec<MarkReading>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub list_deg: Option<f64>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub trim_deg: Option<f64>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub residual_kg: Option<f64>,
    #[serde(flatten)]
    pub extra: Extra,
}

impl From<&Reading> for FiguresRecord {
    fn from(reading: &Reading) -> Self {
        let mut record = Self::default();
        for observation in &reading.observations {
            match &observation.seen {
                Seen::WaterAtMark { mark, above } => record.marks.push(MarkReading {
                    name: mark.name.clone(),
                    at_m: mark.at.vector().into(),
                    above_m: *above,
                    extra: Extra::new(),
                }),
                Seen::List(angle) => record.list_deg = Some(angle / DEGREE),
                Seen::Trim(angle) => record.trim_deg = Some(angle / DEGREE),
                Seen::Residual(mass) => record.residual_kg = Some(*mass),
            }
        }
        record
    }
}

/// Spreads of angles that differ by less are the same, radians.
const SAME_SPREAD: f64 = 1e-6;

/// A reading that was kept, with what came of it.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct ReadingRecord {
    /// At the surface or under.
    pub condition: ConditionRecord,
    /// Density of the water, kg/m³.
    pub water_density_kg_m3: f64,
    /// The water, in words.
    #[serde(default)]
    pub water: String,
    /// The water at the marks.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub marks: Vec<MarkReading>,
    /// List, degrees, positive to starboard.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub list_deg: Option<f64>,
    /// Trim, degrees, positive bow down.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub trim_deg: Option<f64>,
    /// Residual mass under water, positive heavy.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub residual_kg: Option<f64>,
    /// The spread of list and trim, degrees; that of a phone with its zero found if absent.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub angle_spread_deg: Option<f64>,
    /// How full the tanks were, 0 to 1.
    #[serde(default)]
    pub fill: f64,
    /// What lay aboard besides the boat.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub aboard: Vec<AboardRecord>,
    /// The figures without what lay aboard, if something did.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub by_itself: Option<Box<FiguresRecord>>,
    /// The boat as it was entered then: a name in [`super::Diary::states`]; empty if it was not kept.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub state: String,
    /// What it told.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub found: Option<FoundRecord>,
    /// The advice that was shown, in words.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub advice: Vec<String>,
    /// How the boat will lie once the advice is followed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub foretold: Option<ForetoldRecord>,
    /// The boat lay as it should: the advice was to leave it.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub good: bool,
    /// Fields of other versions.
    #[serde(flatten)]
    pub extra: Extra,
}

impl ReadingRecord {
    /// What was seen of it, with the water in words and how full the tanks were, 0 to 1.
    pub fn of(reading: &Reading, water: impl Into<String>, fill: f64) -> Self {
        let FiguresRecord { marks, list_deg, trim_deg, residual_kg, .. } = reading.into();
        let mut angles = reading.observations.iter();
        let angle = angles.find(|o| matches!(o.seen, Seen::List(_) | Seen::Trim(_)));
        let unusual =
            angle.map(|o| o.spread).filter(|spread| (spread - ANGLE_SPREAD).abs() > SAME_SPREAD);
        Self {
            angle_spread_deg: unusual.map(|spread| spread / DEGREE),
            condition: reading.condition.into(),
            water_density_kg_m3: reading.water_density,
            water: water.into(),
            marks,
            list_deg,
            trim_deg,
            residual_kg,
            fill,
            aboard: reading.aboard.iter().map(AboardRecord::from).collect(),
            ..Self::default()
        }
    }

    /// What was seen, each figure with the spread of such figures.
    pub fn reading(&self) -> Reading {
        let mark = |mark: &MarkReading| {
            let at = place(mark.at_m);
            let seen = Mark { name: mark.name.clone(), at };
            (Seen::WaterAtMark { mark: seen, above: mark.above_m }, MARK_SPREAD)
        };
        let mut seen: Vec<(Seen, f64)> = self.marks.iter().map(mark).collect();
        seen.extend(self.residual_kg.map(|mass| (Seen::Residual(mass), RESIDUAL_SPREAD)));
        let spread = self.angle_spread_deg.map_or(ANGLE_SPREAD, |degrees| degrees * DEGREE);
        seen.extend(self.list_deg.map(|angle| (Seen::List(angle * DEGREE), spread)));
        seen.extend(self.trim_deg.map(|angle| (Seen::Trim(angle * DEGREE), spread)));
        Reading {
            condition: self.condition.into(),
            water_density: self.water_density_kg_m3,
            aboard: self.aboard.iter().map(AboardRecord::aboard).collect(),
            observations: seen
                .into_iter()
                .map(|(seen, spread)| Observation { seen, spread })
                .collect(),
        }
    }

    /// The same with what was found, foretold and judged; `marks` are those of the boat. The words
    /// of the advice and the boat's state are left to whoever has them.
    #[must_use]
    pub fn answered(self, reading: &Reading, fit: &Fit, advice: &Advice, marks: &[Mark]) -> Self {
        let basin = Basin::deep(reading.water_density);
        // An advice whose steps cannot be done foretells nothing; whoever made it was told so.
        let foretold = predict(fit, advice, basin, reading.condition, marks).ok().flatten();
        let laden = !reading.aboard.is_empty();
        Self {
            found: Some(fit.into()),
            by_itself: laden.then(|| Box::new((&by_itself(reading, fit, &advice.now)).into())),
            foretold: foretold.as_ref().map(ForetoldRecord::from),
            good: advice.untold.is_empty() && advice.verdict == Verdict::LeaveIt,
            ..self
        }
    }

    /// The figures of the boat by itself: as they were read, or without what lay aboard. None if
    /// something lay aboard and it is not known what it did.
    pub fn figures(&self) -> Option<FiguresRecord> {
        if !self.aboard.is_empty() {
            return self.by_itself.as_deref().cloned();
        }
        Some(self.as_read())
    }

    /// The figures as they were read.
    pub fn as_read(&self) -> FiguresRecord {
        FiguresRecord {
            marks: self.marks.clone(),
            list_deg: self.list_deg,
            trim_deg: self.trim_deg,
            residual_kg: self.residual_kg,
            extra: Extra::new(),
        }
    }
}
