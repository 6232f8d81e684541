//! The forms of a tank, a mark and a place for weight: from their records and back.

use super::form::{FLOOD, FormProblem, FormReader, Noted, PLACE, Texts, VENT};
use super::made::Datum;
use super::part_form::{name_of, optional};
use super::shape_form::write_shape;
use super::tank_kind_form::{OfKind, kind_of, read_cavity, read_kind, write_kind};
use crate::words::{t, word};
use trimwright::diary::{
    BulkheadRecord, BulkheadWayRecord, MarkRecord, MediumRecord, PlaceRecord, TankKindRecord,
    TankRecord,
};
use trimwright::geometry::{Bounds, Fineness};
use trimwright::unit::{Unit, Units};

/// The most bulkheads one way that are offered.
const MOST_BULKHEADS: u32 = 6;
/// The heaviest empty tank that is taken, kilograms.
const HEAVIEST: f64 = 50.0;

/// The form of a tank.
pub(crate) fn form_of(tank: &TankRecord, datum: Datum, units: Units) -> Texts {
    let mut texts = Texts::new(units).with("name", &tank.name);
    write_shape(&mut texts, Some(&tank.cavity), datum);
    write_kind(&mut texts, tank);
    texts.set_in("mass", units.mass_unit(), tank.mass_kg);
    texts.set("housing", if tank.inside_a_part { "inside" } else { "wet" });
    for (way, key) in WAYS {
        let n = tank.bulkheads.iter().filter(|b| b.way == way).count();
        if n > 0 {
            texts.set(key, n.to_string());
        }
    }
    for (place, keys) in [(tank.vent_m, &VENT), (tank.flood_m, &FLOOD)] {
        if let Some(place) = place {
            texts.set_place(keys, place, datum);
        }
    }
    for (share, key) in [(tank.least_fill, "least"), (tank.most_fill, "most")] {
        if let Some(share) = share {
            texts.set_in(key, Unit::PERCENT, share);
        }
    }
    texts
}

const WAYS: [(BulkheadWayRecord, &str); 2] =
    [(BulkheadWayRecord::Lengthwise, "lengthwise"), (BulkheadWayRecord::Transverse, "transverse")];

/// The tank that a form describes; `before` is what it was, if it was.
pub(crate) fn read_tank(
    texts: &Texts,
    datum: Datum,
    before: Option<&TankRecord>,
) -> Result<TankRecord, Vec<FormProblem>> {
    let mut reader = FormReader::new(texts, datum);
    let tank = tank(&mut reader, before);
    reader.finish(tank)
}

fn tank(reader: &mut FormReader<'_>, before: Option<&TankRecord>) -> Result<TankRecord, Noted> {
    let texts = reader.texts;
    let of_kind = read_kind(reader);
    let kind = kind_of(texts);
    let cavity = read_cavity(reader, before.map(|t| &t.cavity));
    let mass_kg = optional(texts.has("mass"), || {
        reader.zero_or_more("mass", HEAVIEST, texts.units.mass_unit())
    });
    // What is typed of what another kind has stays in the form, and does not count.
    let is_open = kind == TankKindRecord::Open;
    let has_surface = is_open || kind == TankKindRecord::Sealed;
    let opening = |reader: &mut FormReader<'_>, there: bool, keys| {
        if there { reader.optional_place(keys, None) } else { Ok(None) }
    };
    let vent_m = opening(reader, is_open, &VENT);
    let flood_m = opening(reader, has_surface, &FLOOD);
    let mut share = |key| optional(texts.has(key), || reader.zero_or_more(key, 1.0, Unit::PERCENT));
    let (least_fill, most_fill) = (share("least"), share("most"));
    if let (Ok(Some(least)), Ok(Some(most))) = (least_fill, most_fill)
        && least >= most
    {
        reader.problem("most", t!("form.more_than_least"));
    }
    let counts =
        WAYS.map(|(_, key)| if has_surface { reader.count(key, MOST_BULKHEADS) } else { Ok(0.0) });
    let Some(cavity) = cavity? else {
        reader.problem("shape", t!("form.choose_shape"));
        return Err(Noted);
    };
    // An empty tank's weight is in its middle: thin walls all round.
    let mesh = cavity.solid().ok().and_then(|s| s.mesh(Fineness::WORK).ok()).ok_or(Noted)?;
    let middle = mesh.centroid();
    let mut bulkheads = Vec::new();
    for ((way, _), n) in WAYS.into_iter().zip(counts) {
        bulkheads.extend(spaced(way, n?, mesh.bounds(), before));
    }
    let OfKind { inlet, piston_mass_kg, pump_pressure_pa, stop_depth_m, .. } = of_kind?;
    Ok(TankRecord {
        name: name_of(texts, word!("form.tank")),
        kind,
        inlet,
        piston_mass_kg,
        pump_pressure_pa,
        stop_depth_m,
        cavity,
        fill: before.map_or(0.0, |t| t.fill),
        liquid_density_kg_m3: before.map_or(998.2, |t| t.liquid_density_kg_m3),
        mass_kg: mass_kg?.unwrap_or(0.0),
        centre_m: middle.vector().into(),
        inside_a_part: texts.get("housing") != "wet",
        bulkheads,
        vent_m: vent_m?,
        flood_m: flood_m?,
        least_fill: least_fill?,
        most_fill: most_fill?,
        flood_s: before.and_then(|t| t.flood_s),
        blow_s: before.and_then(|t| t.blow_s),
        extra: before.map(|t| t.extra.clone()).unwrap_or_default(),
    })
}

/// That many bulkheads of one way, evenly spaced in the cavity. As many as there were before stay
/// where they are if the cavity did not change.
fn spaced(
    way: BulkheadWayRecord,
    n: f64,
    cavity: Bounds,
    before: Option<&TankRecord>,
) -> Vec<BulkheadRecord> {
    let (low, high) = match way {
        BulkheadWayRecord::Lengthwise => (cavity.low.y, cavity.high.y),
        BulkheadWayRecord::Transverse => (cavity.low.x, cavity.high.x),
    };
    let known: Vec<BulkheadRecord> = before
        .into_iter()
        .flat_map(|t| &t.bulkheads)
        .filter(|b| b.way == way && low < b.at_m && b.at_m < high)
        .cloned()
        .collect();
    if (known.len() as f64 - n).abs() < 0.5 {
        return known;
    }
    let at = |k: u32| low + (high - low) * (f64::from(k) + 1.0) / (n + 1.0);
    (0..MOST_BULKHEADS)
        .take_while(|k| f64::from(*k) < n)
        .map(|k| BulkheadRecord { way, at_m: at(k), extra: serde_json::Map::new() })
        .collect()
}

/// The form of a mark.
pub(crate) fn form_of_mark(mark: &MarkRecord, datum: Datum, units: Units) -> Texts {
    let mut texts = Texts::new(units).with("name", &mark.name);
    texts.set_place(&PLACE, mark.at_m, datum);
    texts
}

/// The mark that a form describes. Names must differ: readings are kept by them.
pub(crate) fn read_mark(
    texts: &Texts,
    datum: Datum,
    before: Option<&MarkRecord>,
    others: &[&str],
) -> Result<MarkRecord, Vec<FormProblem>> {
    let mut reader = FormReader::new(texts, datum);
    let name = name_of(texts, word!("form.mark"));
    if others.contains(&name.as_str()) {
        reader.problem("name", t!("form.mark_twice"));
    }
    let mark = reader.place(&PLACE).map(|at_m| MarkRecord {
        name,
        at_m,
        extra: before.map(|m| m.extra.clone()).unwrap_or_default(),
    });
    reader.finish(mark)
}

/// The form of a place for weight.
pub(crate) fn form_of_place(place: &PlaceRecord, units: Units) -> Texts {
    let mut texts = Texts::new(units).with("name", &place.name);
    texts.set_place(&PLACE, [0.0, 0.0, place.height_m], Datum::MIDSHIP);
    let wet = if place.medium == MediumRecord::Wet { "wet" } else { "dry" };
    texts.with("medium", wet)
}

/// The place for weight that a form describes.
pub(crate) fn read_place(
    texts: &Texts,
    before: Option<&PlaceRecord>,
    others: &[&str],
) -> Result<PlaceRecord, Vec<FormProblem>> {
    let mut reader = FormReader::new(texts, Datum::MIDSHIP);
    let name = name_of(texts, word!("reading.inside"));
    if others.contains(&name.as_str()) {
        reader.problem("name", t!("form.place_twice"));
    }
    let medium = if texts.get("medium") == "wet" { MediumRecord::Wet } else { MediumRecord::Dry };
    let place = reader.place(&PLACE).map(|[_, _, height_m]| PlaceRecord {
        name,
        height_m,
        medium,
        extra: before.map(|p| p.extra.clone()).unwrap_or_default(),
    });
    reader.finish(place)
}

#[cfg(test)]
mod tests {
    use super::*;
    use trimwright::boat::demo_boat;
    use trimwright::diary::BoatRecord;

    const MIDSHIP: Datum = Datum::MIDSHIP;

    fn tank() -> TankRecord {
        let boat = BoatRecord::ledger("it", &demo_boat().expect("fixed sizes"));
        boat.tanks.first().expect("it has a tank").clone()
    }

    #[test]
    fn a_tank_comes_back_from_its_form() {
        let tank = tank();
        let again =
            read_tank(&form_of(&tank, MIDSHIP, Units::METRIC), MIDSHIP, Some(&tank)).expect("good");
        let centre = again.centre_m;
        assert!((centre[0] - tank.centre_m[0]).abs() < 1e-9, "its middle: {centre:?}");
        assert_eq!(TankRecord { centre_m: tank.centre_m, ..again }, tank, "the same tank");
    }

    #[test]
    fn bulkheads_are_spaced_evenly() {
        let texts = form_of(&tank(), MIDSHIP, Units::METRIC).with("lengthwise", "2");
        let parted = read_tank(&texts, MIDSHIP, Some(&tank())).expect("good");
        let at: Vec<f64> = parted.bulkheads.iter().map(|b| b.at_m).collect();
        assert_eq!(at.len(), 2, "{at:?}");
        let third = 0.039 / 3.0;
        assert!((at[0] + third).abs() < 1e-4 && (at[1] - third).abs() < 1e-4, "{at:?}");
        let again = read_tank(&texts, MIDSHIP, Some(&parted)).expect("good");
        assert_eq!(again, parted, "they stay where they are");
    }

    #[test]
    fn a_range_the_wrong_way_round_is_named() {
        let texts = form_of(&tank(), MIDSHIP, Units::METRIC).with("least", "60").with("most", "40");
        let problems = read_tank(&texts, MIDSHIP, None).expect_err("no range");
        assert_eq!(problems.first().map(|p| p.0), Some("most"), "{problems:?}");
    }

    #[test]
    fn marks_have_names_of_their_own() {
        let bow = MarkRecord {
            name: "bow".to_owned(),
            at_m: [0.4, 0.0, 0.1],
            extra: serde_json::Map::new(),
        };
        let texts = form_of_mark(&bow, MIDSHIP, Units::METRIC);
        assert_eq!(read_mark(&texts, MIDSHIP, None, &["stern"]), Ok(bow), "through its form");
        let problems = read_mark(&texts, MIDSHIP, None, &["bow"]).expect_err("twice bow");
        assert_eq!(problems.first().map(|p| p.0), Some("name"), "{problems:?}");
    }
}
