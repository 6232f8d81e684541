//! A part's form: from its record and back.

use super::form::{CENTRE, FormProblem, FormReader, Noted, PLACE, Texts};
use super::made::Datum;
use super::shape_form::{Shape, read_shape, write_shape};
use crate::words::{Word, t, word};
use trimwright::diary::{
    CoatRecord, InsideRecord, MaterialRecord, PartRecord, SolidRecord, StatusRecord, WallRecord,
};
use trimwright::geometry::Fineness;
use trimwright::material;
use trimwright::unit::Units;

/// The name under which a material of one's own is chosen.
pub(crate) const OWN: &str = "own";
/// The heaviest single part that is taken, kilograms: a slip beyond it.
const HEAVIEST: f64 = 200.0;
/// The densest material that is taken, kg/m³: osmium has 22 590 (from memory, not seen).
const DENSEST: f64 = 23_000.0;
/// The thickest wall or coat that is taken, metres.
const THICKEST: f64 = 0.1;
/// The largest surface that is taken for a coat, square metres.
const LARGEST: f64 = 100.0;

/// Statuses with their names in the form.
const STATUSES: [(StatusRecord, &str); 4] = [
    (StatusRecord::Fixed, "fixed"),
    (StatusRecord::Temporary, "temporary"),
    (StatusRecord::Planned, "planned"),
    (StatusRecord::TakenOut, "taken-out"),
];

/// What can be told of whether it displaces, with the names in the form.
const TOLD: [(Option<bool>, &str); 2] = [(Some(true), "yes"), (Some(false), "no")];

/// The form of a part that is in the ledger.
pub(crate) fn form_of(part: &PartRecord, datum: Datum, units: Units) -> Texts {
    let mut texts = Texts::new(units).with("name", &part.name).with("group", &part.group);
    write_shape(&mut texts, part.solid.as_ref(), datum);
    if let Some(centre) = part.centre_m {
        let keys = if part.solid.is_some() { &CENTRE } else { &PLACE };
        texts.set_place(keys, centre, datum);
    }
    if let Some(mass) = part.mass_kg {
        texts.set_in("mass", units.mass_unit(), mass);
    }
    if let Some(made_of) = &part.material {
        let known = material::named(&made_of.name).is_some();
        texts.set("material", if known { &made_of.name } else { OWN });
        texts.set("own-name", &made_of.name);
        texts.set_in("density", units.density_unit(), made_of.density_kg_m3);
    }
    if let Some(wall) = &part.wall {
        texts.set_length("wall", wall.thickness_m);
        texts.set("inside", if wall.inside == InsideRecord::Dry { "dry" } else { "flooded" });
    }
    if let Some(coat) = &part.coat {
        texts.set("coat", &coat.name);
        texts.set_length("coat-thickness", coat.thickness_m);
        if let Some(area) = coat.area_m2 {
            texts.set_in("coat-area", units.area_unit(), area);
        }
    }
    if let Some((_, key)) = TOLD.iter().find(|(told, _)| *told == part.displaces) {
        texts.set("displaces", *key);
    }
    let status = STATUSES.iter().find(|(status, _)| *status == part.status);
    texts.set("status", status.map_or("fixed", |(_, key)| key));
    texts
}

/// The part that a form describes; `before` is what it was.
pub(crate) fn read_part(
    texts: &Texts,
    datum: Datum,
    before: &PartRecord,
    own: &[MaterialRecord],
) -> Result<PartRecord, Vec<FormProblem>> {
    let mut reader = FormReader::new(texts, datum);
    let part = part(&mut reader, before, own);
    reader.finish(part)
}

fn part(
    reader: &mut FormReader<'_>,
    before: &PartRecord,
    own: &[MaterialRecord],
) -> Result<PartRecord, Noted> {
    let texts = reader.texts;
    let solid = read_shape(reader, before.solid.as_ref());
    let in_mass = texts.units.mass_unit();
    let mass_kg = optional(texts.has("mass"), || reader.zero_or_more("mass", HEAVIEST, in_mass));
    let is_weight = Shape::of(texts) == Shape::Weight;
    let centre_m = if is_weight {
        reader.said_place(&PLACE).map(Some)
    } else {
        reader.optional_place(&CENTRE, solid.as_ref().ok().and_then(|s| middle(s.as_ref()?)))
    };
    let made_of = if is_weight { Ok(None) } else { read_material(reader, before, own) };
    let wall = optional(!is_weight && texts.has("wall"), || read_wall(reader, before));
    let coat = optional(!is_weight && texts.has("coat"), || read_coat(reader, before));
    if let (Ok(None), Ok(material)) = (&mass_kg, &made_of)
        && (is_weight || material.is_none())
    {
        let key = if is_weight { word!("form.give_its_mass") } else { word!("form.weigh_or_say") };
        reader.problem("mass", t!(key));
    }
    let status = STATUSES.iter().find(|(_, key)| *key == texts.get("status"));
    let told = TOLD.iter().find(|(_, key)| !is_weight && *key == texts.get("displaces"));
    Ok(PartRecord {
        name: name_of(texts, word!("form.part")),
        group: texts.get("group").trim().to_owned(),
        solid: solid?,
        mass_kg: mass_kg?,
        centre_m: centre_m?,
        material: made_of?,
        wall: wall?,
        coat: coat?,
        status: status.map_or_else(StatusRecord::default, |(status, _)| *status),
        displaces: told.and_then(|(told, _)| *told),
        extra: before.extra.clone(),
    })
}

/// The middle of a solid's volume.
fn middle(solid: &SolidRecord) -> Option<[f64; 3]> {
    let mesh = solid.solid().ok()?.mesh(Fineness::WORK).ok()?;
    Some(mesh.centroid().vector().into())
}

/// The name typed, or the plain word of a key, in the language of the view.
pub(crate) fn name_of(texts: &Texts, word: Word) -> String {
    let name = texts.get("name").trim();
    if name.is_empty() { t!(word) } else { name.to_owned() }
}

/// Reads what is there: nothing if it is not, and a failure if it is there and wrong.
pub(super) fn optional<T>(
    there: bool,
    read: impl FnOnce() -> Result<T, Noted>,
) -> Result<Option<T>, Noted> {
    if there { read().map(Some) } else { Ok(None) }
}

fn read_material(
    reader: &mut FormReader<'_>,
    before: &PartRecord,
    own: &[MaterialRecord],
) -> Result<Option<MaterialRecord>, Noted> {
    let chosen = reader.texts.get("material").to_owned();
    if chosen.is_empty() {
        return Ok(None);
    }
    if let Some(same) = before.material.as_ref().filter(|m| m.name == chosen) {
        return Ok(Some(same.clone()));
    }
    if let Some(of_table) = material::named(&chosen) {
        return Ok(Some(MaterialRecord::from(of_table)));
    }
    if let Some(mine) = own.iter().find(|m| m.name == chosen) {
        return Ok(Some(mine.clone()));
    }
    let density_kg_m3 =
        reader.more_than_zero("density", DENSEST, reader.texts.units.density_unit())?;
    let name = reader.texts.get("own-name").trim();
    Ok(Some(MaterialRecord {
        name: if name.is_empty() { t!("form.my_material") } else { name.to_owned() },
        density_kg_m3,
        low_kg_m3: None,
        high_kg_m3: None,
        extra: serde_json::Map::new(),
    }))
}

fn read_wall(reader: &mut FormReader<'_>, before: &PartRecord) -> Result<WallRecord, Noted> {
    let in_length = reader.texts.units.length_unit();
    let thickness_m = reader.more_than_zero("wall", THICKEST, in_length)?;
    let inside =
        if reader.texts.get("inside") == "dry" { InsideRecord::Dry } else { InsideRecord::Flooded };
    let extra = before.wall.as_ref().map(|w| w.extra.clone()).unwrap_or_default();
    Ok(WallRecord { thickness_m, inside, extra })
}

fn read_coat(reader: &mut FormReader<'_>, before: &PartRecord) -> Result<CoatRecord, Noted> {
    let name = reader.texts.get("coat").to_owned();
    let same = before.coat.as_ref().filter(|c| c.name == name);
    let density = same.map(|c| c.density_kg_m3).or(material::named(&name).map(|m| m.density));
    let units = reader.texts.units;
    let thickness_m = reader.more_than_zero("coat-thickness", THICKEST, units.length_unit());
    let given = reader.texts.has("coat-area");
    let area_m2 =
        optional(given, || reader.more_than_zero("coat-area", LARGEST, units.area_unit()));
    Ok(CoatRecord {
        density_kg_m3: density.ok_or(Noted)?,
        thickness_m: thickness_m?,
        area_m2: area_m2?,
        extra: same.map(|c| c.extra.clone()).unwrap_or_default(),
        name,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use trimwright::boat::demo_boat;
    use trimwright::diary::BoatRecord;
    use trimwright::unit::{Decimal, Length, Mass};

    const MIDSHIP: Datum = Datum::MIDSHIP;

    fn read(texts: &Texts) -> Result<PartRecord, Vec<FormProblem>> {
        read_part(texts, MIDSHIP, &PartRecord::default(), &[])
    }

    fn bar() -> Texts {
        let texts = Texts::default().with("name", "keel bar").with("shape", "box").with("x", "0");
        texts.with("length", "400").with("width", "16").with("height", "10")
    }

    #[test]
    fn every_part_of_the_demonstration_boat_comes_back_from_its_form() {
        let boat = BoatRecord::ledger("it", &demo_boat().expect("fixed sizes"));
        for part in &boat.parts {
            let again = read_part(&form_of(part, MIDSHIP, Units::METRIC), MIDSHIP, part, &[])
                .expect("good");
            assert_eq!(again.name, part.name, "its name");
            let (got, mass) = (again.mass_kg.expect("weighed"), part.mass_kg.expect("weighed"));
            assert!((got - mass).abs() < 1e-5 + 1e-12, "{}: {got} kg, not {mass}", part.name);
            assert_eq!(again.solid, part.solid, "{}: its shape", part.name);
        }
    }

    #[test]
    fn a_weighed_mass_takes_a_comma_and_refuses_what_can_be_read_twice() {
        let part = read(&bar().with("mass", "1,5")).expect("1.5 g");
        assert!((part.mass_kg.expect("weighed") - 0.0015).abs() < 1e-12, "1,5 is 1.5, never 15");
        let problems = read(&bar().with("mass", "1.234,5")).expect_err("two marks");
        assert_eq!(problems.first().map(|p| p.0), Some("mass"), "{problems:?}");
    }

    #[test]
    fn a_part_needs_a_mass_or_a_material() {
        let problems = read(&bar()).expect_err("of nothing");
        assert_eq!(problems, [("mass", "give a mass or a material".to_owned())], "bar");
        let part = read(&bar().with("material", "lead")).expect("of lead");
        assert_eq!(part.mass_kg, None, "not weighed");
        let density = part.material.expect("it is of lead").density_kg_m3;
        assert!((11_000.0..11_500.0).contains(&density), "{density}");
        let own = bar().with("material", OWN).with("own-name", "slate").with("density", "2750");
        let slate = read(&own).expect("of slate").material.expect("it is of slate");
        assert_eq!((slate.name.as_str(), slate.density_kg_m3), ("slate", 2750.0), "{slate:?}");
    }

    #[test]
    fn a_wall_of_no_or_negative_thickness_is_named() {
        for wrong in ["0", "-2", "abc"] {
            let texts = bar().with("material", "lead").with("wall", wrong);
            let problems = read(&texts).expect_err("a bad wall");
            assert_eq!(problems.first().map(|p| p.0), Some("wall"), "{wrong}: {problems:?}");
        }
    }

    #[test]
    fn a_part_must_be_somewhere_and_its_centre_is_its_middle_where_nothing_is_said() {
        let nowhere = bar().with("material", "lead").with("x", "");
        let problems = read(&nowhere).expect_err("it is nowhere");
        assert_eq!(problems, [("x", "give its place".to_owned())], "no place");
        let low = bar().with("material", "lead").with("x", "120").with("centre-z", "3");
        let centre = read(&low).expect("good").centre_m.expect("a centre of its own");
        for (got, expected) in centre.into_iter().zip([0.12, 0.0, 0.003]) {
            assert!((got - expected).abs() < 1e-9, "{centre:?}");
        }
    }

    #[test]
    fn sides_give_signs() {
        let texts = bar().with("material", "lead").with("x", "120").with("x-side", "aft");
        let texts = texts.with("y", "15").with("y-side", "starboard").with("z", "30");
        let solid = read(&texts).expect("good").solid.expect("a bar");
        for (got, expected) in solid.at().into_iter().zip([-0.12, -0.015, 0.03]) {
            assert!((got - expected).abs() < 1e-12, "aft and to starboard: {:?}", solid.at());
        }
    }

    const OF_INCHES: Units =
        Units { length: Length::Inch, mass: Mass::Ounce, decimal: Decimal::Comma };

    #[test]
    fn what_is_typed_in_inches_and_ounces_is_read_so() {
        let typed =
            Texts::new(OF_INCHES).with("name", "bar").with("shape", "box").with("x", "-1.5");
        let typed = typed.with("length", "1.5").with("width", "1,5").with("height", "2");
        let part = read(&typed.clone().with("mass", "10")).expect("a bar");
        let expected = r#"{"box":{"size_m":[0.0381,0.0381,0.0508],"centre_m":[-0.0381,0,0]}}"#;
        let expected: SolidRecord = serde_json::from_str(expected).expect("a solid");
        assert_eq!(part.solid, Some(expected), "to the last digit");
        let mass = part.mass_kg.expect("weighed");
        assert!((mass - 0.283_495).abs() < 1e-6, "ten ounces are {mass} kg");
        let heavy = read(&typed.with("mass", "8000")).expect_err("more than is taken");
        assert!(heavy[0].1.contains("7054"), "the limit is in ounces: {heavy:?}");
    }

    #[test]
    fn every_part_of_the_demonstration_boat_comes_back_from_its_form_in_inches() {
        let boat = BoatRecord::ledger("it", &demo_boat().expect("fixed sizes"));
        for part in &boat.parts {
            let form = form_of(part, MIDSHIP, OF_INCHES);
            let again = read_part(&form, MIDSHIP, part, &[]).expect("good");
            assert_eq!(form_of(&again, MIDSHIP, OF_INCHES), form, "{}: as it was typed", part.name);
            let metric = |part| form_of(part, MIDSHIP, Units::METRIC);
            assert_eq!(metric(&again), metric(part), "{}: to a hundredth of a mm", part.name);
        }
    }
}
