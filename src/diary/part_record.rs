//! Parts as they are written in the file.

use super::field_tables::{fields, words};
use super::fields::Extra;
use super::solid::SolidRecord;
use crate::boat::{Coat, Density, Inside, Part, PartEntry, Status, Wall};
use crate::frame::{Body, Position};
use crate::geometry::MeshError;
use crate::material::Material;

/// Whether a part is aboard.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
#[expect(missing_docs, reason = "the variants are those of `boat::Status`")]
pub enum StatusRecord {
    Planned,
    Temporary,
    #[default]
    Fixed,
    TakenOut,
}

words!(StatusRecord {
    Fixed "fixed",
    Planned "planned",
    Temporary "temporary",
    TakenOut "taken_out",
});

impl StatusRecord {
    /// The status.
    pub(super) fn status(self) -> Status {
        match self {
            Self::Planned => Status::Planned,
            Self::Temporary => Status::Temporary,
            Self::Fixed => Status::Fixed,
            Self::TakenOut => Status::TakenOut,
        }
    }
}

/// What a part is made of: a copy of the line of the table, so that the boat stands alone.
#[derive(Debug, Clone, PartialEq)]
pub struct MaterialRecord {
    /// What it is called.
    pub name: String,
    /// The usual density, kg/m³.
    pub density_kg_m3: f64,
    /// The least density; the usual one if absent.
    pub low_kg_m3: Option<f64>,
    /// The greatest density; the usual one if absent.
    pub high_kg_m3: Option<f64>,
    /// Fields of other versions.
    pub extra: Extra,
}

fields!(MaterialRecord {
    needs name,
    needs density_kg_m3,
    may low_kg_m3,
    may high_kg_m3,
    .. extra
});

impl MaterialRecord {
    /// The density with its range.
    pub fn density(&self) -> Density {
        let usual = self.density_kg_m3;
        Density {
            usual,
            low: self.low_kg_m3.unwrap_or(usual),
            high: self.high_kg_m3.unwrap_or(usual),
        }
    }
}

impl From<&Material> for MaterialRecord {
    fn from(material: &Material) -> Self {
        Self {
            name: material.name.to_owned(),
            density_kg_m3: material.density,
            low_kg_m3: Some(material.low),
            high_kg_m3: Some(material.high),
            extra: Extra::new(),
        }
    }
}

/// What is inside a hollow part.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[expect(missing_docs, reason = "the variants are those of `boat::Inside`")]
pub enum InsideRecord {
    Dry,
    Flooded,
}

words!(InsideRecord {
    Dry "dry",
    Flooded "flooded",
});

/// The wall of a hollow part.
#[derive(Debug, Clone, PartialEq)]
#[expect(missing_docs, reason = "the fields are those of `boat::Wall`")]
pub struct WallRecord {
    pub thickness_m: f64,
    pub inside: InsideRecord,
    pub extra: Extra,
}

fields!(WallRecord {
    needs thickness_m,
    needs inside,
    .. extra
});

/// Paint, filler or adhesive on the outside.
#[derive(Debug, Clone, PartialEq)]
#[expect(missing_docs, reason = "the fields are those of `boat::Coat`")]
pub struct CoatRecord {
    pub name: String,
    pub density_kg_m3: f64,
    pub thickness_m: f64,
    pub area_m2: Option<f64>,
    pub extra: Extra,
}

fields!(CoatRecord {
    needs name,
    needs density_kg_m3,
    needs thickness_m,
    may area_m2,
    .. extra
});

/// A part as its builder describes it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct PartRecord {
    /// What the builder calls it.
    pub name: String,
    /// The heading under which it stands; empty for none.
    pub group: String,
    /// Its outer shape; none for a mere weight.
    pub solid: Option<SolidRecord>,
    /// What the scales say; it wins over the material.
    pub mass_kg: Option<f64>,
    /// Its centre of mass; that of its material if absent.
    pub centre_m: Option<[f64; 3]>,
    /// What it is made of.
    pub material: Option<MaterialRecord>,
    /// Its wall, if it is hollow.
    pub wall: Option<WallRecord>,
    /// What covers it.
    pub coat: Option<CoatRecord>,
    /// Whether it is aboard.
    pub status: StatusRecord,
    /// Whether it displaces, if the builder has set it; if absent the shapes decide.
    pub displaces: Option<bool>,
    /// Fields of other versions.
    pub extra: Extra,
}

fields!(PartRecord {
    needs name,
    may group,
    may solid,
    may mass_kg,
    may centre_m,
    may material,
    may wall,
    may coat,
    has status,
    may displaces,
    .. extra
});

impl PartRecord {
    /// The spread of a mass (kg) that is calculated, by that of its material's density; none of one that was weighed.
    pub fn mass_spread(&self, mass: f64) -> f64 {
        let by_material = |material: &MaterialRecord| {
            let density = material.density();
            if density.usual > 0.0 { mass * density.spread() / density.usual } else { 0.0 }
        };
        if self.mass_kg.is_some() { 0.0 } else { self.material.as_ref().map_or(0.0, by_material) }
    }

    /// The part as the ledger has it.
    ///
    /// # Errors
    /// [`MeshError`] when its mesh is not closed or is not here.
    pub fn entry(&self) -> Result<PartEntry, MeshError> {
        Ok(PartEntry {
            name: self.name.clone(),
            status: self.status.status(),
            solid: self.solid.as_ref().map(SolidRecord::solid).transpose()?,
            weighed: self.mass_kg,
            centre: self.centre_m.map(place),
            material: self.material.as_ref().map(MaterialRecord::density),
            wall: self.wall.as_ref().map(|w| Wall {
                thickness: w.thickness_m,
                inside: match w.inside {
                    InsideRecord::Dry => Inside::Dry,
                    InsideRecord::Flooded => Inside::Flooded,
                },
            }),
            coat: self.coat.as_ref().map(|c| Coat {
                density: c.density_kg_m3,
                thickness: c.thickness_m,
                area: c.area_m2,
            }),
            displaces: self.displaces,
        })
    }

    /// The same part on the other side of the centre plane.
    #[must_use]
    pub fn mirrored(&self) -> Self {
        Self {
            name: other_side(&self.name),
            solid: self.solid.as_ref().map(SolidRecord::mirrored),
            centre_m: self.centre_m.map(|[x, y, z]| [x, -y, z]),
            ..self.clone()
        }
    }
}

/// The name with the sides exchanged.
pub(super) fn other_side(name: &str) -> String {
    const SIDES: [(&str, &str); 3] =
        [("port", "starboard"), ("left", "right"), ("Port", "Starboard")];
    for (one, other) in SIDES {
        // The longer word first: no side is contained in the other one's name.
        for (from, to) in [(other, one), (one, other)] {
            if name.contains(from) {
                return name.replace(from, to);
            }
        }
    }
    format!("{name}, other side")
}

impl From<&Part> for PartRecord {
    fn from(part: &Part) -> Self {
        Self {
            name: part.name.clone(),
            mass_kg: Some(part.mass),
            centre_m: Some(part.centre.vector().into()),
            solid: part.solid.as_ref().map(SolidRecord::from),
            status: match part.status {
                Status::Planned => StatusRecord::Planned,
                Status::Temporary => StatusRecord::Temporary,
                Status::Fixed => StatusRecord::Fixed,
                Status::TakenOut => StatusRecord::TakenOut,
            },
            displaces: part.displaces,
            ..Self::default()
        }
    }
}

pub(super) fn place([x, y, z]: [f64; 3]) -> Position<Body> {
    Position::new(x, y, z)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_mirrored_part_changes_its_side_and_its_name() {
        let part = PartRecord {
            name: "stern plane, port".to_owned(),
            centre_m: Some([-0.4, 0.05, 0.08]),
            ..PartRecord::default()
        };
        let other = part.mirrored();
        assert_eq!(other.name, "stern plane, starboard", "its name");
        assert_eq!(other.centre_m, Some([-0.4, -0.05, 0.08]), "its place");
        assert_eq!(other.mirrored(), part, "and back");
        let plain = PartRecord { name: "shim".to_owned(), ..PartRecord::default() };
        assert_eq!(plain.mirrored().name, "shim, other side", "a name without a side");
    }
}
