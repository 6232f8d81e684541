//! Tanks as they are written in the file.

use super::field_tables::{fields, words};
use super::fields::Extra;
use super::part_record::place;
use super::solid::SolidRecord;
use crate::boat::{
    Bulkhead, BulkheadDirection, FillLimit, Housing, Piston, Tank, TankEnd, TankKind,
};
use crate::geometry::MeshError;

/// Direction of a bulkhead.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[expect(missing_docs, reason = "the variants are those of `boat::Way`")]
pub enum BulkheadWayRecord {
    Lengthwise,
    Transverse,
}

words!(BulkheadWayRecord {
    Lengthwise "lengthwise",
    Transverse "transverse",
});

/// A bulkhead in a tank.
#[derive(Debug, Clone, PartialEq)]
#[expect(missing_docs, reason = "the fields are those of `boat::Bulkhead`")]
pub struct BulkheadRecord {
    pub way: BulkheadWayRecord,
    pub at_m: f64,
    pub extra: Extra,
}

fields!(BulkheadRecord {
    needs way,
    needs at_m,
    .. extra
});

/// What kind of tank it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
#[expect(missing_docs, reason = "the variants are those of `boat::TankKind`")]
pub enum TankKindRecord {
    #[default]
    Open,
    Piston,
    Bag,
    Sealed,
}

words!(TankKindRecord {
    Open "open",
    Piston "piston",
    Bag "bag",
    Sealed "sealed",
});

/// An end of a tank.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
#[expect(missing_docs, reason = "the variants are those of `boat::End`")]
pub enum EndRecord {
    #[default]
    Aft,
    Fore,
}

words!(EndRecord {
    Aft "aft",
    Fore "fore",
});

/// A tank.
#[derive(Debug, Clone, PartialEq)]
#[expect(missing_docs, reason = "the fields are those of `boat::Tank`")]
pub struct TankRecord {
    pub name: String,
    pub kind: TankKindRecord,
    /// Of a piston: the inlet end; aft if absent.
    pub inlet: Option<EndRecord>,
    /// Of a piston: its mass; zero if absent.
    pub piston_mass_kg: Option<f64>,
    /// Of a closed tank: the pump's maximum gauge pressure.
    pub pump_pressure_pa: Option<f64>,
    /// Of a closed tank without a pump: the depth whose pressure fills it.
    pub stop_depth_m: Option<f64>,
    pub cavity: SolidRecord,
    pub fill: f64,
    pub liquid_density_kg_m3: f64,
    pub mass_kg: f64,
    pub centre_m: [f64; 3],
    pub inside_a_part: bool,
    pub bulkheads: Vec<BulkheadRecord>,
    pub vent_m: Option<[f64; 3]>,
    pub flood_m: Option<[f64; 3]>,
    pub least_fill: Option<f64>,
    pub most_fill: Option<f64>,
    /// Seconds in which it floods.
    pub flood_s: Option<f64>,
    /// Seconds in which it is blown.
    pub blow_s: Option<f64>,
    pub extra: Extra,
}

fields!(TankRecord {
    needs name,
    may kind,
    may inlet,
    may piston_mass_kg,
    may pump_pressure_pa,
    may stop_depth_m,
    needs cavity,
    has fill,
    needs liquid_density_kg_m3,
    has mass_kg,
    needs centre_m,
    has inside_a_part,
    may bulkheads,
    may vent_m,
    may flood_m,
    may least_fill,
    may most_fill,
    may flood_s,
    may blow_s,
    .. extra
});

impl TankRecord {
    /// The tank.
    ///
    /// # Errors
    /// [`MeshError`] when its mesh is not closed or is not here.
    pub fn tank(&self) -> Result<Tank, MeshError> {
        let range = match (self.least_fill, self.most_fill) {
            (None, None) => None,
            (least, most) => Some([least.unwrap_or(0.0), most.unwrap_or(1.0)]),
        };
        Ok(Tank {
            name: self.name.clone(),
            kind: self.tank_kind(),
            cavity: self.cavity.solid()?,
            fill: self.fill,
            liquid_density: self.liquid_density_kg_m3,
            mass: self.mass_kg,
            centre: place(self.centre_m),
            housing: if self.inside_a_part { Housing::InsideAPart } else { Housing::InTheWet },
            bulkheads: self.bulkheads.iter().map(BulkheadRecord::bulkhead).collect(),
            vent: self.vent_m.map(place),
            flood: self.flood_m.map(place),
            range,
        })
    }

    fn tank_kind(&self) -> TankKind {
        match self.kind {
            TankKindRecord::Open => TankKind::Open,
            TankKindRecord::Piston => TankKind::Piston(Piston {
                inlet: match self.inlet.unwrap_or_default() {
                    EndRecord::Aft => TankEnd::Aft,
                    EndRecord::Fore => TankEnd::Fore,
                },
                mass: self.piston_mass_kg.unwrap_or(0.0),
            }),
            TankKindRecord::Bag => TankKind::Bag,
            TankKindRecord::Sealed => {
                TankKind::Sealed(match (self.pump_pressure_pa, self.stop_depth_m) {
                    (None, Some(depth)) => FillLimit::Depth(depth),
                    (pump, _) => FillLimit::Pump(pump.unwrap_or(0.0)),
                })
            }
        }
    }

    /// The mass (kg) and its centre (metres) of the empty tank with its piston.
    pub(super) fn empty(&self) -> (f64, [f64; 3]) {
        // A piston's space is no mesh, so its shape is always here.
        match self.tank() {
            Ok(tank) if self.kind == TankKindRecord::Piston => {
                (tank.empty_mass(), tank.empty_centre().vector().into())
            }
            _ => (self.mass_kg, self.centre_m),
        }
    }

    /// The same tank on the other side of the centre plane.
    #[must_use]
    pub fn mirrored(&self) -> Self {
        let flip = |[x, y, z]: [f64; 3]| [x, -y, z];
        Self {
            name: super::part_record::other_side(&self.name),
            cavity: self.cavity.mirrored(),
            centre_m: flip(self.centre_m),
            bulkheads: self.bulkheads.iter().map(BulkheadRecord::mirrored).collect(),
            vent_m: self.vent_m.map(flip),
            flood_m: self.flood_m.map(flip),
            ..self.clone()
        }
    }
}

impl BulkheadRecord {
    fn bulkhead(&self) -> Bulkhead {
        Bulkhead {
            way: match self.way {
                BulkheadWayRecord::Lengthwise => BulkheadDirection::Lengthwise,
                BulkheadWayRecord::Transverse => BulkheadDirection::Transverse,
            },
            at: self.at_m,
        }
    }

    fn mirrored(&self) -> Self {
        match self.way {
            BulkheadWayRecord::Lengthwise => Self { at_m: -self.at_m, ..self.clone() },
            BulkheadWayRecord::Transverse => self.clone(),
        }
    }
}

impl From<&Tank> for TankRecord {
    fn from(tank: &Tank) -> Self {
        let (mut inlet, mut piston_mass_kg, mut pump_pressure_pa, mut stop_depth_m) =
            (None, None, None, None);
        let kind = match tank.kind {
            TankKind::Open => TankKindRecord::Open,
            TankKind::Piston(piston) => {
                inlet = Some(match piston.inlet {
                    TankEnd::Aft => EndRecord::Aft,
                    TankEnd::Fore => EndRecord::Fore,
                });
                piston_mass_kg = Some(piston.mass);
                TankKindRecord::Piston
            }
            TankKind::Bag => TankKindRecord::Bag,
            TankKind::Sealed(stop) => {
                match stop {
                    FillLimit::Pump(pressure) => pump_pressure_pa = Some(pressure),
                    FillLimit::Depth(depth) => stop_depth_m = Some(depth),
                }
                TankKindRecord::Sealed
            }
        };
        Self {
            name: tank.name.clone(),
            kind,
            inlet,
            piston_mass_kg,
            pump_pressure_pa,
            stop_depth_m,
            cavity: SolidRecord::from(&tank.cavity),
            fill: tank.fill,
            liquid_density_kg_m3: tank.liquid_density,
            mass_kg: tank.mass,
            centre_m: tank.centre.vector().into(),
            inside_a_part: tank.housing == Housing::InsideAPart,
            bulkheads: tank.bulkheads.iter().map(BulkheadRecord::from).collect(),
            vent_m: tank.vent.map(|p| p.vector().into()),
            flood_m: tank.flood.map(|p| p.vector().into()),
            least_fill: tank.range.map(|[least, _]| least),
            most_fill: tank.range.map(|[_, most]| most),
            flood_s: None,
            blow_s: None,
            extra: Extra::new(),
        }
    }
}

impl From<&Bulkhead> for BulkheadRecord {
    fn from(bulkhead: &Bulkhead) -> Self {
        Self {
            way: match bulkhead.way {
                BulkheadDirection::Lengthwise => BulkheadWayRecord::Lengthwise,
                BulkheadDirection::Transverse => BulkheadWayRecord::Transverse,
            },
            at_m: bulkhead.at,
            extra: Extra::new(),
        }
    }
}
