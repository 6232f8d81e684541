//! Solids as they are written in the file.

use super::field_tables::{by_serde, table, words};
use super::fields::{
    Extra, FieldValue, Fields, RecordReader, WrittenValue, Wrong, one_of, put_rest,
};
use super::mesh_record::MeshRecord;
use crate::frame::Position;
use crate::geometry::{Axis, MeshError, Solid, Station};
use serde_json::Value;
use std::sync::Arc;

/// A direction in the body.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AxisRecord {
    /// Fore and aft.
    ForeAndAft,
    /// Athwartships.
    Athwartships,
    /// Up and down.
    Upright,
}

words!(AxisRecord {
    ForeAndAft "fore_and_aft",
    Athwartships "athwartships",
    Upright "upright",
});

/// A solid; lengths in metres.
#[derive(Debug, Clone, PartialEq)]
#[expect(
    missing_docs,
    reason = "the fields are those of `geometry::Solid`, and are described there"
)]
pub enum SolidRecord {
    Box {
        size_m: [f64; 3],
        centre_m: [f64; 3],
        extra: Extra,
    },
    Cylinder {
        axis: AxisRecord,
        length_m: f64,
        diameter_m: f64,
        centre_m: [f64; 3],
        extra: Extra,
    },
    DomedCylinder {
        length_m: f64,
        diameter_m: f64,
        dome_m: f64,
        centre_m: [f64; 3],
        extra: Extra,
    },
    Sphere {
        diameter_m: f64,
        centre_m: [f64; 3],
        extra: Extra,
    },
    Ellipsoid {
        size_m: [f64; 3],
        centre_m: [f64; 3],
        extra: Extra,
    },
    Frustum {
        length_m: f64,
        diameter_aft_m: f64,
        diameter_fore_m: f64,
        centre_m: [f64; 3],
        extra: Extra,
    },
    Revolved {
        stations_m: Vec<[f64; 2]>,
        origin_m: [f64; 3],
        extra: Extra,
    },
    Mesh {
        mesh: MeshRecord,
        /// Where the mesh's origin lies.
        at_m: [f64; 3],
        extra: Extra,
    },
    /// A mesh that is kept apart, by its name: only in what the phone keeps, never in a file.
    KeptMesh {
        name: String,
        at_m: [f64; 3],
        extra: Extra,
    },
}

/// The table of solids: the word for each in the file, and its fields as in [`fields`](super::fields::fields).
macro_rules! solids {
    ($($solid:ident $word:literal { $($kind:ident $field:ident,)* })*) => {
        impl FieldValue for SolidRecord {
            fn read(value: Value) -> Result<Self, Wrong> {
                let Value::Object(all) = value else { return Err(Wrong::wanted("a solid")) };
                let mut all = all.into_iter();
                let (Some((word, value)), None) = (all.next(), all.next()) else {
                    return Err(Wrong::wanted("one solid"));
                };
                let mut reader = RecordReader::of(value);
                let solid = match word.as_str() {
                    $($word => Self::$solid {
                        $($field: solids!(@read $kind reader, stringify!($field)),)*
                        extra: reader.rest(),
                    },)*
                    _ => return Err(one_of(&[$($word,)*])),
                };
                reader.done(solid).map_err(|wrong| wrong.within(&word))
            }

            fn node(&self) -> WrittenValue<'_> {
                WrittenValue::Record(self)
            }

            fn usual() -> Self {
                Self::Sphere { diameter_m: 0.0, centre_m: [0.0; 3], extra: Extra::new() }
            }
        }

        impl Fields for SolidRecord {
            fn each(&self, put: &mut dyn FnMut(&str, WrittenValue<'_>)) {
                let word = match self {
                    $(Self::$solid { .. } => $word,)*
                };
                put(word, WrittenValue::Record(&Sizes(self)));
            }
        }

        impl Fields for Sizes<'_> {
            fn each(&self, put: &mut dyn FnMut(&str, WrittenValue<'_>)) {
                match self.0 {
                    $(SolidRecord::$solid { $($field,)* extra } => {
                        $(solids!(@put $kind *$field, stringify!($field), put);)*
                        put_rest(extra, put);
                    })*
                }
            }
        }
    };
    // The lists of a mesh stand among the fields of its solid.
    (@read lists $reader:ident, $name:expr) => { MeshRecord::taken_from(&mut $reader) };
    (@put lists $field:expr, $name:expr, $put:ident) => { $field.each($put) };
    (@read $($other:tt)*) => { table!(@read $($other)*) };
    (@put $($other:tt)*) => { table!(@put $($other)*) };
}

/// A solid's own fields, without the word for it.
struct Sizes<'a>(&'a SolidRecord);

solids! {
    Box "box" { needs size_m, needs centre_m, }
    Cylinder "cylinder" { needs axis, needs length_m, needs diameter_m, needs centre_m, }
    DomedCylinder "domed_cylinder" { needs length_m, needs diameter_m, needs dome_m, needs centre_m, }
    Sphere "sphere" { needs diameter_m, needs centre_m, }
    Ellipsoid "ellipsoid" { needs size_m, needs centre_m, }
    Frustum "frustum" {
        needs length_m,
        needs diameter_aft_m,
        needs diameter_fore_m,
        needs centre_m,
    }
    Revolved "revolved" { needs stations_m, needs origin_m, }
    Mesh "mesh" { lists mesh, may at_m, }
    KeptMesh "kept_mesh" { needs name, may at_m, }
}

by_serde!(SolidRecord);

fn is_origin(at: &[f64; 3]) -> bool {
    at.iter().all(|c| *c == 0.0)
}

fn place([x, y, z]: [f64; 3]) -> Position<crate::frame::Body> {
    Position::new(x, y, z)
}

fn triple(position: Position<crate::frame::Body>) -> [f64; 3] {
    [position.x(), position.y(), position.z()]
}

impl SolidRecord {
    /// The solid itself.
    ///
    /// # Errors
    /// [`MeshError`] when a mesh is not closed.
    pub fn solid(&self) -> Result<Solid, MeshError> {
        Ok(match self {
            Self::Box { size_m, centre_m, .. } => {
                Solid::Box { size: *size_m, centre: place(*centre_m) }
            }
            &Self::Cylinder { axis, length_m, diameter_m, centre_m, .. } => Solid::Cylinder {
                axis: match axis {
                    AxisRecord::ForeAndAft => Axis::X,
                    AxisRecord::Athwartships => Axis::Y,
                    AxisRecord::Upright => Axis::Z,
                },
                length: length_m,
                diameter: diameter_m,
                centre: place(centre_m),
            },
            &Self::DomedCylinder { length_m, diameter_m, dome_m, centre_m, .. } => {
                Solid::DomedCylinder {
                    length: length_m,
                    diameter: diameter_m,
                    dome: dome_m,
                    centre: place(centre_m),
                }
            }
            &Self::Sphere { diameter_m, centre_m, .. } => {
                Solid::Sphere { diameter: diameter_m, centre: place(centre_m) }
            }
            &Self::Ellipsoid { size_m, centre_m, .. } => {
                Solid::Ellipsoid { size: size_m, centre: place(centre_m) }
            }
            &Self::Frustum { length_m, diameter_aft_m, diameter_fore_m, centre_m, .. } => {
                Solid::Frustum {
                    length: length_m,
                    diameter_aft: diameter_aft_m,
                    diameter_fore: diameter_fore_m,
                    centre: place(centre_m),
                }
            }
            Self::Revolved { stations_m, origin_m, .. } => Solid::Revolved {
                stations: stations_m.iter().map(|&[x, radius]| Station { x, radius }).collect(),
                origin: place(*origin_m),
            },
            Self::Mesh { mesh, at_m, .. } => {
                let mesh = mesh.mesh()?;
                let here = is_origin(at_m);
                Solid::Mesh(if here { mesh } else { Arc::new(mesh.shifted((*at_m).into())) })
            }
            Self::KeptMesh { .. } => return Err(MeshError::NotHere),
        })
    }

    /// The middle of the solid, or where its own origin lies.
    pub fn at(&self) -> [f64; 3] {
        match self {
            Self::Box { centre_m, .. }
            | Self::Cylinder { centre_m, .. }
            | Self::DomedCylinder { centre_m, .. }
            | Self::Sphere { centre_m, .. }
            | Self::Ellipsoid { centre_m, .. }
            | Self::Frustum { centre_m, .. } => *centre_m,
            Self::Revolved { origin_m, .. } => *origin_m,
            Self::Mesh { at_m, .. } | Self::KeptMesh { at_m, .. } => *at_m,
        }
    }

    /// What this version does not know of it.
    pub fn extra(&self) -> &Extra {
        match self {
            Self::Box { extra, .. }
            | Self::Cylinder { extra, .. }
            | Self::DomedCylinder { extra, .. }
            | Self::Sphere { extra, .. }
            | Self::Ellipsoid { extra, .. }
            | Self::Frustum { extra, .. }
            | Self::Revolved { extra, .. }
            | Self::Mesh { extra, .. }
            | Self::KeptMesh { extra, .. } => extra,
        }
    }

    /// The same solid with its middle, or its own origin, elsewhere.
    #[must_use]
    pub fn placed(mut self, at: [f64; 3]) -> Self {
        match &mut self {
            Self::Box { centre_m, .. }
            | Self::Cylinder { centre_m, .. }
            | Self::DomedCylinder { centre_m, .. }
            | Self::Sphere { centre_m, .. }
            | Self::Ellipsoid { centre_m, .. }
            | Self::Frustum { centre_m, .. } => *centre_m = at,
            Self::Revolved { origin_m, .. } => *origin_m = at,
            Self::Mesh { at_m, .. } | Self::KeptMesh { at_m, .. } => *at_m = at,
        }
        self
    }

    /// The same solid on the other side of the centre plane.
    #[must_use]
    pub fn mirrored(&self) -> Self {
        let [x, y, z] = self.at();
        let elsewhere = self.clone().placed([x, -y, z]);
        match elsewhere {
            Self::Mesh { mesh, at_m, extra } => {
                let mesh = mesh.mirrored();
                Self::Mesh { mesh, at_m, extra }
            }
            // All other shapes are their own mirror images.
            other => other,
        }
    }
}

impl From<&Solid> for SolidRecord {
    fn from(solid: &Solid) -> Self {
        match solid {
            Solid::Box { size, centre } => {
                Self::Box { extra: Extra::new(), size_m: *size, centre_m: triple(*centre) }
            }
            &Solid::Cylinder { axis, length, diameter, centre } => Self::Cylinder {
                extra: Extra::new(),
                axis: match axis {
                    Axis::X => AxisRecord::ForeAndAft,
                    Axis::Y => AxisRecord::Athwartships,
                    Axis::Z => AxisRecord::Upright,
                },
                length_m: length,
                diameter_m: diameter,
                centre_m: triple(centre),
            },
            &Solid::DomedCylinder { length, diameter, dome, centre } => Self::DomedCylinder {
                extra: Extra::new(),
                length_m: length,
                diameter_m: diameter,
                dome_m: dome,
                centre_m: triple(centre),
            },
            &Solid::Sphere { diameter, centre } => {
                Self::Sphere { extra: Extra::new(), diameter_m: diameter, centre_m: triple(centre) }
            }
            Solid::Ellipsoid { size, centre } => {
                Self::Ellipsoid { extra: Extra::new(), size_m: *size, centre_m: triple(*centre) }
            }
            &Solid::Frustum { length, diameter_aft, diameter_fore, centre } => Self::Frustum {
                extra: Extra::new(),
                length_m: length,
                diameter_aft_m: diameter_aft,
                diameter_fore_m: diameter_fore,
                centre_m: triple(centre),
            },
            Solid::Revolved { stations, origin } => Self::Revolved {
                extra: Extra::new(),
                stations_m: stations.iter().map(|s| [s.x, s.radius]).collect(),
                origin_m: triple(*origin),
            },
            Solid::Mesh(mesh) => Self::Mesh {
                extra: Extra::new(),
                mesh: MeshRecord::new(Arc::clone(mesh)),
                at_m: [0.0; 3],
            },
        }
    }
}
