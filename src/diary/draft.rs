//! What is being typed, in the file.

use super::draft_choice::{FillUnit, WeightMaterial};
use super::field_tables::{by_serde, fields, words};
use super::fields::{Extra, FieldValue, Fields, RecordReader, WrittenValue, Wrong, put_rest};
use super::reading_record::ConditionRecord;
use super::settings::UnitsRecord;
use litemap::LiteMap;
use serde_json::Value;
use std::borrow::Cow;

/// The kind of water chosen.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum WaterKind {
    /// Fresh, by its temperature.
    #[default]
    Fresh,
    /// Sea, by salinity and temperature.
    Sea,
    /// By a measured density.
    Measured,
}

words!(WaterKind {
    Fresh "fresh",
    Sea "sea",
    Measured "measured",
});

/// The water as typed.
#[derive(Debug, Clone, PartialEq)]
pub struct WaterDraft {
    /// Which kind.
    pub kind: WaterKind,
    /// Degrees Celsius.
    pub temperature: String,
    /// Grams of salt per kilogram.
    pub salinity: String,
    /// kg/m³.
    pub density: String,
    /// Fields of other versions.
    pub extra: Extra,
}

impl FieldValue for WaterDraft {
    fn read(value: Value) -> Result<Self, Wrong> {
        let (mut of, usual) = (RecordReader::of(value), Self::default());
        let or = |text: Option<String>, usual: String| text.unwrap_or(usual);
        let water = Self {
            kind: of.may("kind"),
            temperature: or(of.may("temperature"), usual.temperature),
            salinity: or(of.may("salinity"), usual.salinity),
            density: or(of.may("density"), usual.density),
            extra: of.rest(),
        };
        of.done(water)
    }

    fn node(&self) -> WrittenValue<'_> {
        WrittenValue::Record(self)
    }

    fn usual() -> Self {
        Self::default()
    }
}

impl Fields for WaterDraft {
    fn each(&self, put: &mut dyn FnMut(&str, WrittenValue<'_>)) {
        put("kind", self.kind.node());
        put("temperature", self.temperature.node());
        put("salinity", self.salinity.node());
        put("density", self.density.node());
        put_rest(&self.extra, put);
    }
}

by_serde!(WaterDraft);

impl Default for WaterDraft {
    fn default() -> Self {
        Self {
            kind: WaterKind::Fresh,
            temperature: "20".to_owned(),
            salinity: "35".to_owned(),
            density: "998".to_owned(),
            extra: Extra::new(),
        }
    }
}

/// List and trim as typed.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Angles {
    /// List, degrees.
    pub list: String,
    /// The list is to port.
    pub list_to_port: bool,
    /// Trim, degrees.
    pub trim: String,
    /// The trim is by the stern.
    pub trim_by_stern: bool,
    /// The figures of that state that are set aside.
    pub aside: Vec<String>,
    /// Fields of other versions.
    pub extra: Extra,
}

fields!(Angles {
    has list,
    has list_to_port,
    has trim,
    has trim_by_stern,
    may aside,
    .. extra
});

/// A known weight that is on the boat for the reading, as typed.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct WeightDraft {
    /// What it weighs; empty for none.
    pub mass: String,
    /// How far it lies from the boat's datum.
    pub along: String,
    /// It lies aft of that.
    pub is_aft: bool,
    /// How far off the centre line.
    pub across: String,
    /// It lies to starboard.
    pub to_starboard: bool,
    /// At which of the boat's places, by its name; empty for the first.
    pub place: String,
    /// Of what it is.
    pub material: WeightMaterial,
    /// Fields of other versions.
    pub extra: Extra,
}

fields!(WeightDraft {
    may mass,
    may along,
    may is_aft,
    may across,
    may to_starboard,
    may place,
    may material,
    .. extra
});

/// The texts of a form by the names of its fields.
pub type FormTexts = LiteMap<String, String>;

/// The forms of boats that are being made: they belong to no boat, as the water does.
pub const NEW_BOATS: [&str; 2] = ["new boat", "six numbers"];

/// What is being typed, valid or not, as typed.
#[derive(Debug, Clone, PartialEq, Default)]
#[expect(clippy::struct_excessive_bools, reason = "each is one switch of the screen")]
pub struct Draft {
    /// The boat in hand, by identity; empty for none.
    pub boat: String,
    /// In what the lengths and masses below are typed.
    pub units: UnitsRecord,
    /// At the surface or under.
    pub condition: ConditionRecord,
    /// Water at marks, a length above (positive) or below, by the mark's name.
    pub marks: LiteMap<String, String>,
    /// List, degrees, and whether to port.
    pub list: String,
    /// The list is to port.
    pub list_to_port: bool,
    /// Trim, degrees.
    pub trim: String,
    /// The trim is by the stern.
    pub trim_by_stern: bool,
    /// When a figure was typed last, ISO 8601 in UTC; empty if that is not known.
    pub read_at: String,
    /// List and trim of the other state (under while afloat, afloat while under).
    pub of_other_state: Angles,
    /// Mass heavy or light under water.
    pub residual: String,
    /// The residual is light.
    pub residual_light: bool,
    /// The figures that are set aside, by what they are called ([`super::figure_name`]).
    pub aside: Vec<String>,
    /// Pushed over to its other side by hand, it came back (or stayed there); none if nobody tried.
    pub comes_back: Option<bool>,
    /// How full the tanks are, in `fill_in`; empty for the usual: empty afloat, full under.
    pub fill: String,
    /// The unit in which that is typed.
    pub fill_in: FillUnit,
    /// The phone lay on deck.
    pub phone_aboard: bool,
    /// Where it lay there: forward of midship and to port, metres; in the middle if absent.
    pub phone_at_m: Option<[f64; 2]>,
    /// A known weight that is on it for the reading.
    pub weight: WeightDraft,
    /// Where weight goes, by the place's name; empty for the first.
    pub place: String,
    /// The material of the weight that is put there.
    pub material: WeightMaterial,
    /// Mass to shift, when something is to be shifted instead.
    pub shift: String,
    /// The part to shift, by name, when one is to be shifted instead.
    pub shift_part: String,
    /// What is half typed beside the reading: a note, a form that is open and cannot be used yet. By what
    /// it is for, and by field.
    pub forms: LiteMap<String, FormTexts>,
    /// The water.
    pub water: WaterDraft,
    /// Fields of other versions.
    pub extra: Extra,
}

fields!(Draft, unless is_empty {
    has boat,
    may units,
    has condition,
    has marks,
    has list,
    has list_to_port,
    has trim,
    has trim_by_stern,
    may read_at,
    has of_other_state,
    has residual,
    has residual_light,
    may aside,
    may comes_back,
    has fill,
    may fill_in,
    has phone_aboard,
    may phone_at_m,
    may weight,
    has place,
    may material,
    has shift,
    has shift_part,
    may forms,
    has water,
    .. extra
});

impl Draft {
    /// True when nothing is being typed.
    pub fn is_empty(&self) -> bool {
        *self == Self { units: self.units, ..Self::default() }
    }

    /// True when a figure read on the boat is in it, for either state.
    pub fn has_figures(&self) -> bool {
        let Angles { list, trim, .. } = &self.of_other_state;
        let typed = [&self.list, &self.trim, &self.residual, &self.fill, list, trim];
        typed.into_iter().chain(self.marks.values()).any(|text| !text.trim().is_empty())
    }

    /// True when the same figures stand in both, on the same sides. Which state is looked at is no figure.
    pub fn reads_as(&self, other: &Self) -> bool {
        fn typed(of: &Draft) -> impl Iterator<Item = (&String, &String)> {
            of.marks.iter().filter(|(_, text)| !text.trim().is_empty())
        }
        fn figures(of: &Draft) -> ([&str; 3], [bool; 3], &Angles) {
            let sides = [of.list_to_port, of.trim_by_stern, of.residual_light];
            ([&of.list, &of.trim, &of.residual], sides, &of.of_other_state)
        }
        let mut alike = Cow::Borrowed(other);
        if alike.condition != self.condition {
            alike.to_mut().turn_to(self.condition);
        }
        // The same fill in another unit is the same figure.
        let same_fill = self.fill_in != alike.fill_in || self.fill == alike.fill;
        let same_push = self.comes_back == alike.comes_back;
        same_fill && same_push && figures(self) == figures(&alike) && typed(self).eq(typed(&alike))
    }

    /// Takes away the figures that are still as they were `before`, in both states.
    pub fn drop_unchanged(&mut self, before: &Self) {
        self.marks.retain(|name, text| before.marks.get(name) != Some(text));
        let (now, then) = (&mut self.of_other_state, &before.of_other_state);
        for (text, before) in [
            (&mut self.list, &before.list),
            (&mut self.trim, &before.trim),
            (&mut self.residual, &before.residual),
            (&mut self.fill, &before.fill),
            (&mut now.list, &then.list),
            (&mut now.trim, &then.trim),
        ] {
            if text == before {
                text.clear();
            }
        }
    }

    /// A figure counts again once it is typed anew: those that are not as they were `before` are no longer aside.
    pub fn count_anew(&mut self, before: &Self) {
        if self.condition != before.condition || self.aside.is_empty() {
            return;
        }
        let mut aside = std::mem::take(&mut self.aside);
        aside.retain(|name| self.typed_as(name) == before.typed_as(name));
        self.aside = aside;
    }

    /// What is typed of a figure, by what it is called ([`super::figure_name`]), and its side.
    fn typed_as(&self, name: &str) -> Option<(&str, bool)> {
        match name {
            "list" => Some((self.list.as_str(), self.list_to_port)),
            "trim" => Some((self.trim.as_str(), self.trim_by_stern)),
            "residual" => Some((self.residual.as_str(), self.residual_light)),
            _ => Some((self.marks.get(name.strip_prefix("mark ")?)?.as_str(), false)),
        }
    }

    /// Sets a figure aside, by what it is called ([`super::figure_name`]), or lets it count again.
    pub fn turn_aside(&mut self, name: &str) {
        let n = self.aside.len();
        self.aside.retain(|other| other != name);
        if self.aside.len() == n {
            self.aside.push(name.to_owned());
        }
    }

    /// An empty draft for another boat in the same water, with the boats that are being made.
    #[must_use]
    pub fn for_boat(&self, boat: impl Into<String>) -> Self {
        let (boat, units, water) = (boat.into(), self.units, self.water.clone());
        let mut forms = self.forms.clone();
        forms.retain(|what, _| NEW_BOATS.contains(&what.as_str()));
        Self { boat, units, forms, water, ..Self::default() }
    }

    /// The same without the boats that are being made: what stays with this boat.
    #[must_use]
    pub fn put_away(&self) -> Self {
        let mut away = self.clone();
        away.forms.retain(|what, _| !NEW_BOATS.contains(&what.as_str()));
        away
    }

    /// What was typed before for the boat that is taken in hand now: the water and the boats that are
    /// being made come with it. Its units are its own.
    #[must_use]
    pub fn and_then(&self, typed: Self) -> Self {
        let Self { water, mut forms, .. } = self.for_boat("");
        forms.extend(typed.put_away().forms);
        Self { forms, water, ..typed }
    }

    /// Goes over to the boat afloat or under; each state keeps the list and trim typed for it.
    pub fn turn_to(&mut self, condition: ConditionRecord) {
        if self.condition == condition {
            return;
        }
        self.condition = condition;
        std::mem::swap(&mut self.list, &mut self.of_other_state.list);
        std::mem::swap(&mut self.list_to_port, &mut self.of_other_state.list_to_port);
        std::mem::swap(&mut self.trim, &mut self.of_other_state.trim);
        std::mem::swap(&mut self.trim_by_stern, &mut self.of_other_state.trim_by_stern);
        std::mem::swap(&mut self.aside, &mut self.of_other_state.aside);
    }
}
