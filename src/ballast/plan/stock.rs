//! What ballast is made of: bars, sheet, shot, washers and foam, how much there is, and how it is cut.

use crate::boat::Medium;
use crate::frame::{Body, Position};
use crate::geometry::{Axis, Fineness, Mesh, Solid, SolidError};
use crate::material::{BRASS, FOAM_BOARD, LEAD, Material, STEEL};
use crate::unit::{GRAM, MILLIMETRE};
use std::f64::consts::PI;
use std::sync::Arc;

/// A cubic centimetre, m³.
const CUBIC_CENTIMETRE: f64 = 1e-6;

/// The section of a bar, metres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Section {
    /// A round of this diameter.
    Round(f64),
    /// A square of this side.
    Square(f64),
    /// A hexagon of this width across flats.
    Hexagon(f64),
    /// A flat of this width and thickness; it lies on its width.
    Flat(f64, f64),
    /// A tube of this outer diameter and wall, open at its ends.
    Tube(f64, f64),
}

impl Section {
    /// Its area, m².
    ///
    /// Source: plane geometry: π d²/4, a², (√3/2) s² for a hexagon of width s across flats, π (d − t) t for a tube.
    pub fn area(self) -> f64 {
        match self {
            Self::Round(d) => PI * d * d / 4.0,
            Self::Square(a) => a * a,
            Self::Hexagon(s) => 3.0_f64.sqrt() / 2.0 * s * s,
            Self::Flat(width, thickness) => width * thickness,
            Self::Tube(d, wall) => PI * (d - wall) * wall,
        }
    }

    /// How wide and how high it is, metres.
    fn size(self) -> [f64; 2] {
        match self {
            Self::Round(d) | Self::Tube(d, _) => [d, d],
            Self::Square(a) => [a, a],
            Self::Hexagon(s) => [2.0 / 3.0_f64.sqrt() * s, s],
            Self::Flat(width, thickness) => [width, thickness],
        }
    }
}

/// How a material is had.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Form {
    /// A bar that is cut to whole millimetres; it lies fore and aft.
    Bar(Section),
    /// Sheet of this thickness (metres), weighed out to the gram.
    Sheet(f64),
    /// Shot, weighed out to the gram.
    Shot,
    /// Washers, each of this mass (kg).
    Washers(f64),
    /// Foam, cut to whole cubic centimetres.
    Foam,
}

impl Form {
    /// Its name in files and reports.
    pub fn name(self) -> &'static str {
        match self {
            Self::Bar(Section::Round(_)) => "round_bar",
            Self::Bar(Section::Square(_)) => "square_bar",
            Self::Bar(Section::Hexagon(_)) => "hexagon_bar",
            Self::Bar(Section::Flat(..)) => "flat_bar",
            Self::Bar(Section::Tube(..)) => "tube",
            Self::Sheet(_) => "sheet",
            Self::Shot => "shot",
            Self::Washers(_) => "washers",
            Self::Foam => "foam",
        }
    }
}

/// One thing that there is to make ballast of.
#[derive(Debug, Clone, PartialEq)]
pub struct StockItem {
    /// The material's name in the trade.
    pub material: String,
    /// Its density, kg/m³.
    pub density: f64,
    /// How it is had.
    pub form: Form,
    /// How much of it there is, kg; as much as is wanted if none.
    pub amount: Option<f64>,
}

impl StockItem {
    /// As much as is wanted of a material.
    pub fn of(material: &Material, form: Form) -> Self {
        Self { material: material.name.to_owned(), density: material.density, form, amount: None }
    }

    /// What most builders have: brass and steel bar, lead sheet and shot, foam board. Common practice, no source.
    pub fn usual() -> Vec<Self> {
        vec![
            Self::of(&BRASS, Form::Bar(Section::Round(10.0 * MILLIMETRE))),
            Self::of(&STEEL, Form::Bar(Section::Flat(20.0 * MILLIMETRE, 5.0 * MILLIMETRE))),
            Self::of(&LEAD, Form::Shot),
            Self::of(&FOAM_BOARD, Form::Foam),
        ]
    }

    /// What a metre of a bar weighs, kg: its section times its density. None of what is no bar.
    pub fn mass_per_length(&self) -> Option<f64> {
        match self.form {
            Form::Bar(section) => Some(section.area() * self.density),
            Form::Sheet(_) | Form::Shot | Form::Washers(_) | Form::Foam => None,
        }
    }

    /// True for what is cut by volume because it is there to lift.
    pub fn is_foam(&self) -> bool {
        matches!(self.form, Form::Foam)
    }

    /// The least by which its mass can be cut, kg: a millimetre of bar, a gram of shot or sheet, a washer, a cubic
    /// centimetre of foam.
    pub fn cut(&self) -> f64 {
        match self.form {
            Form::Bar(section) => section.area() * self.density * MILLIMETRE,
            Form::Sheet(_) | Form::Shot => GRAM,
            Form::Washers(each) => each,
            Form::Foam => self.density * CUBIC_CENTIMETRE,
        }
    }

    /// What a piece of this mass (kg) measures along, across and up, metres, in a room of this size: a bar is as long
    /// as it must be; what can be shaped is a cube as far as the room lets it, and then longer.
    pub fn size(&self, mass: f64, room: [f64; 3]) -> [f64; 3] {
        let volume = mass / self.density;
        match self.form {
            Form::Bar(section) => {
                let [width, height] = section.size();
                [volume / section.area(), width, height]
            }
            Form::Sheet(thickness) => {
                let width = (volume / thickness).sqrt().min(room[1]);
                [volume / (thickness * width), width, thickness]
            }
            Form::Shot | Form::Washers(_) | Form::Foam => {
                let height = volume.cbrt().min(room[2]);
                let width = (volume / height).sqrt().min(room[1]);
                [volume / (height * width), width, height]
            }
        }
    }

    /// The solid of a piece of this mass (kg) with its centre at a place, in a room of this size.
    pub fn solid(&self, mass: f64, at: Position<Body>, room: [f64; 3]) -> Solid {
        let size = self.size(mass, room);
        match self.form {
            Form::Bar(Section::Round(diameter)) => {
                Solid::Cylinder { axis: Axis::X, length: size[0], diameter, centre: at }
            }
            // A box of the same section: what lies wholly on one side of the water displaces the same.
            Form::Bar(section @ (Section::Hexagon(_) | Section::Tube(..))) => {
                let size = [size[0], section.area() / size[2], size[2]];
                Solid::Box { size, centre: at }
            }
            _ => Solid::Box { size, centre: at },
        }
    }

    /// The same as a mesh; none of what lies in the dry.
    ///
    /// # Errors
    /// [`SolidError`] for a piece without a size.
    pub(super) fn mesh(
        &self,
        mass: f64,
        at: Position<Body>,
        room: [f64; 3],
        medium: Medium,
    ) -> Result<Option<Arc<Mesh>>, SolidError> {
        match medium {
            Medium::Dry => Ok(None),
            Medium::Wet => self.solid(mass, at, room).mesh(Fineness::WORK).map(Some),
        }
    }

    /// True when its figures can be calculated with.
    pub(super) fn is_sound(&self) -> bool {
        let positive = |v: f64| v > 0.0 && v.is_finite();
        let form = match self.form {
            Form::Bar(section) => {
                positive(section.area()) && section.size().map(positive) == [true; 2]
            }
            Form::Sheet(v) | Form::Washers(v) => positive(v),
            Form::Shot | Form::Foam => true,
        };
        positive(self.density) && form && self.amount.is_none_or(|amount| amount >= 0.0)
    }
}
