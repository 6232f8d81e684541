//! The shape of a part or a tank: its sizes as typed, and the solid that they make.

use super::doubt::PART;
use super::form::{FieldKey, FormReader, LONGEST, Noted, PLACE, Texts, exact};
use super::made::Datum;
use super::part_form::optional;
use crate::words::{self, Word, t, word};
use trimwright::diary::{AxisRecord, MeshRecord, SolidRecord};
use trimwright::unit::{Unit, Units, read_number};

/// A shape to choose.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Shape {
    /// No shape: a mere weight.
    Weight,
    /// A box or a plate.
    Box,
    /// A tube or a bar.
    Cylinder,
    /// A tube with domed ends.
    Domed,
    /// A cone or a truncated cone.
    Cone,
    /// A sphere.
    Sphere,
    /// An ellipsoid.
    Ellipsoid,
    /// A body of revolution from a table.
    Turned,
    /// A mesh from a file.
    Mesh,
}

impl Shape {
    /// All of them, in the order in which they are offered.
    pub(crate) const ALL: [Self; 9] = [
        Self::Weight,
        Self::Box,
        Self::Cylinder,
        Self::Domed,
        Self::Cone,
        Self::Sphere,
        Self::Ellipsoid,
        Self::Turned,
        Self::Mesh,
    ];

    /// Its name in a form, and for tests.
    pub(crate) fn key(self) -> &'static str {
        match self {
            Self::Weight => "weight",
            Self::Box => "box",
            Self::Cylinder => "cylinder",
            Self::Domed => "domed",
            Self::Cone => "cone",
            Self::Sphere => "sphere",
            Self::Ellipsoid => "ellipsoid",
            Self::Turned => "turned",
            Self::Mesh => "mesh",
        }
    }

    /// The shape of a form.
    pub(crate) fn of(texts: &Texts) -> Self {
        let chosen = texts.get("shape");
        Self::ALL.into_iter().find(|s| s.key() == chosen).unwrap_or(Self::Weight)
    }

    /// The fields of its sizes: name, and key of the label.
    pub(crate) fn sizes(self) -> &'static [(FieldKey, Word)] {
        match self {
            Self::Weight | Self::Turned | Self::Mesh => &[],
            Self::Box | Self::Ellipsoid => &[
                ("length", word!("shape.length")),
                ("width", word!("shape.width")),
                ("height", word!("shape.height")),
            ],
            Self::Cylinder => {
                &[("length", word!("shape.length")), ("diameter", word!("shape.diameter"))]
            }
            Self::Domed => &[
                ("length", word!("shape.length_overall")),
                ("diameter", word!("shape.diameter")),
                ("dome", word!("shape.dome")),
            ],
            Self::Cone => &[
                ("length", word!("shape.length")),
                ("diameter-fore", word!("shape.diameter_fore")),
                ("diameter-aft", word!("shape.diameter_aft")),
            ],
            Self::Sphere => &[("diameter", word!("shape.diameter"))],
        }
    }
}

/// Writes a solid into a form's fields; a mesh stays beside them.
pub(crate) fn write_shape(texts: &mut Texts, solid: Option<&SolidRecord>, datum: Datum) {
    let Some(solid) = solid else {
        texts.set("shape", Shape::Weight.key());
        return;
    };
    let (shape, sizes) = sizes_of(solid);
    for (key, metres) in sizes {
        match key {
            "length" => texts.set_sure_length(key, metres, PART),
            key => texts.set_length(key, metres),
        }
    }
    match solid {
        SolidRecord::Cylinder { axis, .. } => texts.set("axis", axis_key(*axis)),
        SolidRecord::Revolved { stations_m, .. } => {
            texts.set("table", table_of(stations_m, texts.units));
        }
        _ => {}
    }
    texts.set("shape", shape.key());
    texts.set_place(&PLACE, solid.at(), datum);
}

fn sizes_of(solid: &SolidRecord) -> (Shape, Vec<(FieldKey, f64)>) {
    let of_box = |[l, w, h]: [f64; 3]| vec![("length", l), ("width", w), ("height", h)];
    match *solid {
        SolidRecord::Box { size_m, .. } => (Shape::Box, of_box(size_m)),
        SolidRecord::Ellipsoid { size_m, .. } => (Shape::Ellipsoid, of_box(size_m)),
        SolidRecord::Cylinder { length_m, diameter_m, .. } => {
            (Shape::Cylinder, vec![("length", length_m), ("diameter", diameter_m)])
        }
        SolidRecord::DomedCylinder { length_m, diameter_m, dome_m, .. } => {
            (Shape::Domed, vec![("length", length_m), ("diameter", diameter_m), ("dome", dome_m)])
        }
        SolidRecord::Sphere { diameter_m, .. } => (Shape::Sphere, vec![("diameter", diameter_m)]),
        SolidRecord::Frustum { length_m, diameter_aft_m, diameter_fore_m, .. } => {
            let ends = [("diameter-aft", diameter_aft_m), ("diameter-fore", diameter_fore_m)];
            (Shape::Cone, [("length", length_m)].into_iter().chain(ends).collect())
        }
        SolidRecord::Revolved { .. } => (Shape::Turned, Vec::new()),
        SolidRecord::Mesh { .. } | SolidRecord::KeptMesh { .. } => (Shape::Mesh, Vec::new()),
    }
}

fn table_of(stations: &[[f64; 2]], units: Units) -> String {
    let line = |[x, radius]: &[f64; 2]| {
        let [x, diameter] = [*x, 2.0 * radius].map(|m| units.typed(units.length_unit(), m));
        format!("{x} {diameter}")
    };
    stations.iter().map(line).collect::<Vec<_>>().join("\n")
}

/// The solid that a form describes; none for a mere weight. What the solid was before keeps the
/// fields that this version does not know, and its mesh.
pub(crate) fn read_shape(
    reader: &mut FormReader<'_>,
    before: Option<&SolidRecord>,
) -> Result<Option<SolidRecord>, Noted> {
    let shape = Shape::of(reader.texts);
    if shape == Shape::Weight {
        return Ok(None);
    }
    let sizes: Vec<Result<f64, Noted>> = shape
        .sizes()
        .iter()
        .map(|(key, _)| match *key {
            // A cone may come to a point.
            "diameter-fore" | "diameter-aft" => {
                reader.zero_or_more(key, LONGEST, reader.texts.units.length_unit())
            }
            "length" => reader.usual_size("length", PART),
            key => reader.size(key),
        })
        .collect();
    let table = optional(shape == Shape::Turned, || read_table(reader));
    let at = reader.said_place(&PLACE);
    let sizes: Vec<f64> = sizes.into_iter().collect::<Result<_, _>>()?;
    let at = at?;
    let solid = match (shape, sizes.as_slice()) {
        (Shape::Box, &[l, w, h]) => {
            SolidRecord::Box { size_m: [l, w, h], centre_m: at, extra: extra_of(before) }
        }
        (Shape::Ellipsoid, &[l, w, h]) => {
            SolidRecord::Ellipsoid { size_m: [l, w, h], centre_m: at, extra: extra_of(before) }
        }
        (Shape::Cylinder, &[length_m, diameter_m]) => SolidRecord::Cylinder {
            axis: axis_of(reader.texts.get("axis")),
            length_m,
            diameter_m,
            centre_m: at,
            extra: extra_of(before),
        },
        (Shape::Domed, &[length_m, diameter_m, dome_m]) => {
            if 2.0 * dome_m > length_m {
                reader.problem("dome", t!("shape.domes_too_long"));
                return Err(Noted);
            }
            let extra = extra_of(before);
            SolidRecord::DomedCylinder { length_m, diameter_m, dome_m, centre_m: at, extra }
        }
        (Shape::Cone, &[length_m, diameter_fore_m, diameter_aft_m]) => {
            if diameter_fore_m.max(diameter_aft_m) <= 0.0 {
                reader.problem("diameter-aft", t!("shape.cone_of_nothing"));
                return Err(Noted);
            }
            let (centre_m, extra) = (at, extra_of(before));
            SolidRecord::Frustum { length_m, diameter_aft_m, diameter_fore_m, centre_m, extra }
        }
        (Shape::Sphere, &[diameter_m]) => {
            SolidRecord::Sphere { diameter_m, centre_m: at, extra: extra_of(before) }
        }
        (Shape::Turned, _) => SolidRecord::Revolved {
            stations_m: table?.ok_or(Noted)?,
            origin_m: at,
            extra: extra_of(before),
        },
        (Shape::Mesh, _) => {
            let Some(mesh @ (SolidRecord::Mesh { .. } | SolidRecord::KeptMesh { .. })) = before
            else {
                reader.problem("shape", t!("shape.choose_mesh"));
                return Err(Noted);
            };
            mesh.clone().placed(at)
        }
        _ => return Err(Noted),
    };
    Ok(Some(solid))
}

/// What this version does not know of a solid: kept only while the shape stays the same kind.
fn extra_of(before: Option<&SolidRecord>) -> serde_json::Map<String, serde_json::Value> {
    before.map(SolidRecord::extra).cloned().unwrap_or_default()
}

/// A table of a turned body: a line for each station, place and diameter.
fn read_table(reader: &mut FormReader<'_>) -> Result<Vec<[f64; 2]>, Noted> {
    let unit = reader.texts.units.length_unit();
    let mut stations: Vec<[f64; 2]> = Vec::new();
    for (k, line) in reader.texts.get("table").lines().enumerate() {
        if line.trim().is_empty() {
            continue;
        }
        match read_station(line, unit) {
            Ok(station) => stations.push(station),
            Err(why) => {
                reader.problem("table", t!("shape.table_line", line = k + 1, why = why));
                return Err(Noted);
            }
        }
    }
    let last = stations.len().saturating_sub(1);
    let falls = stations.windows(2).position(|pair| matches!(pair, [a, b] if b[0] < a[0]));
    let closed = stations.iter().enumerate().position(|(k, s)| k != 0 && k != last && s[1] <= 0.0);
    let wrong = match (stations.len(), falls, closed) {
        (0 | 1, ..) => t!("shape.table_too_short"),
        (_, Some(k), _) => t!("shape.table_folds", line = k + 2),
        (_, _, Some(k)) => t!("shape.table_closes", line = k + 1),
        _ => return Ok(stations),
    };
    reader.problem("table", wrong);
    Err(Noted)
}

fn read_station(line: &str, unit: Unit) -> Result<[f64; 2], String> {
    let mut columns = line.split([' ', '\t', ';']).filter(|c| !c.is_empty());
    let (Some(x), Some(diameter), None) = (columns.next(), columns.next(), columns.next()) else {
        return Err(t!("shape.two_numbers"));
    };
    let [x, diameter] =
        [x, diameter].map(|text| read_number(text).map_err(|e| words::number::number(&e)));
    let (x, diameter) = (x?, diameter?);
    if diameter < 0.0 {
        return Err(t!("shape.diameter_negative"));
    }
    Ok([unit.si(x), unit.si(diameter / 2.0)].map(exact))
}

fn axis_key(axis: AxisRecord) -> &'static str {
    match axis {
        AxisRecord::ForeAndAft => "fore-and-aft",
        AxisRecord::Athwartships => "athwartships",
        AxisRecord::Upright => "upright",
    }
}

fn axis_of(key: &str) -> AxisRecord {
    match key {
        "athwartships" => AxisRecord::Athwartships,
        "upright" => AxisRecord::Upright,
        _ => AxisRecord::ForeAndAft,
    }
}

/// The solid of a mesh just imported.
pub(crate) fn solid_of_mesh(mesh: MeshRecord, at: [f64; 3]) -> SolidRecord {
    SolidRecord::Mesh { mesh, at_m: at, extra: serde_json::Map::new() }
}

#[cfg(test)]
mod tests {
    use super::super::form::FormProblem;
    use super::*;
    use trimwright::diary::DatumRecord;

    const STERN: Datum = Datum { from: DatumRecord::Stern, x: -0.5 };

    fn read(texts: &Texts) -> Result<Option<SolidRecord>, Vec<FormProblem>> {
        let mut reader = FormReader::new(texts, STERN);
        let solid = read_shape(&mut reader, None);
        reader.finish(solid)
    }

    #[test]
    fn every_shape_comes_back_from_its_form() {
        let json = [
            r#"{"box":{"size_m":[0.1,0.02,0.03],"centre_m":[0.1,-0.02,0.05]}}"#,
            r#"{"cylinder":{"axis":"upright","length_m":0.2,"diameter_m":0.09,"centre_m":[0,0,0.1]}}"#,
            r#"{"domed_cylinder":{"length_m":0.2,"diameter_m":0.09,"dome_m":0.03,"centre_m":[0,0,0]}}"#,
            r#"{"sphere":{"diameter_m":0.09,"centre_m":[0.2,0,-0.01]}}"#,
            r#"{"ellipsoid":{"size_m":[0.1,0.02,0.03],"centre_m":[0.1,0,0.05]}}"#,
            r#"{"frustum":{"length_m":0.1,"diameter_aft_m":0.05,"diameter_fore_m":0,"centre_m":[0.4,0,0.05]}}"#,
            r#"{"revolved":{"stations_m":[[-0.2,0],[0,0.05],[0.3,0.01]],"origin_m":[0,0,0.07]}}"#,
        ];
        for text in json {
            let solid: SolidRecord = serde_json::from_str(text).expect("a solid");
            let mut texts = Texts::default();
            write_shape(&mut texts, Some(&solid), STERN);
            let again = read(&texts).expect("a good form").expect("a shape");
            assert_eq!(again, solid, "through its form {texts:?}");
        }
    }

    #[test]
    fn wrong_sizes_are_named() {
        let cylinder =
            Texts::default().with("shape", "cylinder").with("length", "1,5").with("x", "0");
        let problems = read(&cylinder.clone().with("diameter", "-3")).expect_err("a bad diameter");
        assert_eq!(problems, [("diameter", "it must be more than zero".to_owned())], "negative");
        let solid = read(&cylinder.with("diameter", "3")).expect("good").expect("a shape");
        assert!(
            matches!(solid, SolidRecord::Cylinder { length_m, .. } if (length_m - 0.0015).abs() < 1e-12),
            "a comma divides decimals: {solid:?}"
        );
        let folded = Texts::default()
            .with("shape", "turned")
            .with("table", "0 10\n50 20\n40 0")
            .with("x", "0");
        let problems = read(&folded).expect_err("a folded table");
        assert_eq!(problems, [("table", "line 3: is not further forward".to_owned())], "folded");
        let domes = Texts::default().with("shape", "domed").with("length", "50").with("x", "0");
        let domes = domes.with("diameter", "40").with("dome", "30");
        let problems = read(&domes).expect_err("domes too long");
        assert_eq!(problems.first().map(|p| p.0), Some("dome"), "{problems:?}");
    }
}
