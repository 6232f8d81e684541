//! A reading in the file: what was seen, what it told, what was advised and foretold.

use super::field_tables::{fields, words};
use super::fields::Extra;
use super::found_record::{ForetoldRecord, FoundRecord};
use super::part_record::place;
use crate::ballast::{Advice, Verdict, by_itself, predict};
use crate::boat::Mark;
use crate::fit::Fit;
use crate::float::Basin;
use crate::reading::{
    ANGLE_SPREAD, Aboard, Condition, MARK_SPREAD, Observation, RESIDUAL_SPREAD, Reading, Seen,
};
use crate::unit::DEGREE;

/// At the surface or under.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
#[expect(missing_docs, reason = "the variants are those of `reading::Condition`")]
pub enum ConditionRecord {
    #[default]
    Afloat,
    Under,
}

words!(ConditionRecord {
    Afloat "afloat",
    Under "under",
});

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
#[derive(Debug, Clone, PartialEq)]
#[expect(missing_docs, reason = "the fields are those of `reading::Seen::WaterAtMark`")]
pub struct MarkReading {
    pub name: String,
    pub at_m: [f64; 3],
    pub above_m: f64,
    pub extra: Extra,
}

fields!(MarkReading {
    needs name,
    needs at_m,
    needs above_m,
    .. extra
});

/// Something that lay aboard for the reading.
#[derive(Debug, Clone, PartialEq)]
#[expect(missing_docs, reason = "the fields are those of `reading::Aboard`")]
pub struct AboardRecord {
    pub name: String,
    pub mass_kg: f64,
    pub at_m: [f64; 3],
    pub off_m: Option<f64>,
    pub density_kg_m3: Option<f64>,
    pub extra: Extra,
}

fields!(AboardRecord {
    needs name,
    needs mass_kg,
    needs at_m,
    may off_m,
    may density_kg_m3,
    .. extra
});

impl AboardRecord {
    /// What lay aboard; a cube of its material where that is told.
    pub fn aboard(&self) -> Aboard {
        let at = place(self.at_m);
        Aboard {
            name: self.name.clone(),
            mass: self.mass_kg,
            at,
            off: self.off_m.unwrap_or_default(),
            solid: self.density_kg_m3.and_then(|density| Aboard::cube(self.mass_kg, density, at)),
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
            density_kg_m3: aboard.density(),
            extra: Extra::new(),
        }
    }
}

/// The figures of a reading without what lay aboard for it.
#[derive(Debug, Clone, PartialEq, Default)]
#[expect(missing_docs, reason = "the fields are those of `ReadingRecord`")]
pub struct FiguresRecord {
    pub marks: Vec<MarkReading>,
    pub list_deg: Option<f64>,
    pub trim_deg: Option<f64>,
    pub residual_kg: Option<f64>,
    pub extra: Extra,
}

fields!(FiguresRecord {
    may marks,
    may list_deg,
    may trim_deg,
    may residual_kg,
    .. extra
});

impl FiguresRecord {
    /// Takes figures away, by what they are called ([`figure_name`]).
    fn leave_out(&mut self, names: &[String]) {
        for name in names {
            match name.as_str() {
                "list" => self.list_deg = None,
                "trim" => self.trim_deg = None,
                "residual" => self.residual_kg = None,
                _ => {
                    self.marks
                        .retain(|mark| Some(mark.name.as_str()) != name.strip_prefix("mark "));
                }
            }
        }
    }
}

impl From<&Reading> for FiguresRecord {
    /// All that was read, set aside or not.
    fn from(reading: &Reading) -> Self {
        let mut record = Self::default();
        for observation in reading.as_read() {
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

/// What a figure of a reading is called where it is set aside: list, trim, residual, or mark and its name.
pub fn figure_name(seen: &Seen) -> String {
    match seen {
        Seen::WaterAtMark { mark, .. } => format!("mark {}", mark.name),
        Seen::List(_) => "list".to_owned(),
        Seen::Trim(_) => "trim".to_owned(),
        Seen::Residual(_) => "residual".to_owned(),
    }
}

/// Spreads of angles that differ by less are the same, radians.
const SAME_SPREAD: f64 = 1e-6;

/// A reading that was kept, with what came of it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct ReadingRecord {
    /// At the surface or under.
    pub condition: ConditionRecord,
    /// Density of the water, kg/m³.
    pub water_density_kg_m3: f64,
    /// The water, in words.
    pub water: String,
    /// The water at the marks.
    pub marks: Vec<MarkReading>,
    /// List, degrees, positive to starboard.
    pub list_deg: Option<f64>,
    /// Trim, degrees, positive bow down.
    pub trim_deg: Option<f64>,
    /// Residual mass under water, positive heavy.
    pub residual_kg: Option<f64>,
    /// The spread of list and trim, degrees; that of a phone with its zero found if absent.
    pub angle_spread_deg: Option<f64>,
    /// How full the tanks were, 0 to 1.
    pub fill: f64,
    /// What lay aboard besides the boat.
    pub aboard: Vec<AboardRecord>,
    /// The figures without what lay aboard, if something did.
    pub by_itself: Option<Box<FiguresRecord>>,
    /// The figures that do not count, by what they are called ([`figure_name`]).
    pub aside: Vec<String>,
    /// Pushed over to its other side by hand, it came back (or stayed there); absent if nobody tried.
    pub comes_back: Option<bool>,
    /// The boat as it was entered then: a name in [`super::Diary::states`]; empty if it was not kept.
    pub state: String,
    /// What it told.
    pub found: Option<FoundRecord>,
    /// The advice that was shown, in words.
    pub advice: Vec<String>,
    /// How the boat will lie once the advice is followed.
    pub foretold: Option<ForetoldRecord>,
    /// The boat lay as it should: the advice was to leave it.
    pub good: bool,
    /// Fields of other versions.
    pub extra: Extra,
}

fields!(ReadingRecord {
    needs condition,
    needs water_density_kg_m3,
    has water,
    may marks,
    may list_deg,
    may trim_deg,
    may residual_kg,
    may angle_spread_deg,
    has fill,
    may aboard,
    may by_itself,
    may aside,
    may comes_back,
    may state,
    may found,
    may advice,
    may foretold,
    may good,
    .. extra
});

impl ReadingRecord {
    /// What was seen of it, with the water in words and how full the tanks were, 0 to 1.
    pub fn of(reading: &Reading, water: impl Into<String>, fill: f64) -> Self {
        let FiguresRecord { marks, list_deg, trim_deg, residual_kg, .. } = reading.into();
        let mut angles = reading.as_read();
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
            aside: reading.aside.iter().map(|o| figure_name(&o.seen)).collect(),
            comes_back: reading.comes_back,
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
        let seen = seen.into_iter().map(|(seen, spread)| Observation { seen, spread });
        let (aside, observations) = seen.partition(|o| self.aside.contains(&figure_name(&o.seen)));
        Reading {
            condition: self.condition.into(),
            water_density: self.water_density_kg_m3,
            aboard: self.aboard.iter().map(AboardRecord::aboard).collect(),
            observations,
            aside,
            comes_back: self.comes_back,
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

    /// The figures that count of the boat by itself: as they were read, or without what lay aboard. None if
    /// something lay aboard and it is not known what it did.
    pub fn figures(&self) -> Option<FiguresRecord> {
        let mut figures = if self.aboard.is_empty() {
            self.as_read()
        } else {
            self.by_itself.as_deref().cloned()?
        };
        figures.leave_out(&self.aside);
        Some(figures)
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
