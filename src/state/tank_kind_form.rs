//! The kind of a tank in its form: what each kind asks for, and how much such a tank holds.

use super::form::{FormReader, Noted, PLACE, Texts, exact};
use super::made::Datum;
use super::part_form::optional;
use super::shape_form::{Shape, read_shape};
use super::tank_form::read_tank;
use std::f64::consts::PI;
use trimwright::diary::{AxisRecord, EndRecord, SolidRecord, TankKindRecord, TankRecord};
use trimwright::geometry::Fineness;
use trimwright::unit::Unit;

/// The kinds with their names in the form, in the order in which they are offered.
const KINDS: [(TankKindRecord, &str); 4] = [
    (TankKindRecord::Open, "open"),
    (TankKindRecord::Piston, "piston"),
    (TankKindRecord::Bag, "bag"),
    (TankKindRecord::Sealed, "sealed"),
];
/// The heaviest piston that is taken, kilograms: a slip beyond it.
const HEAVIEST: f64 = 20.0;
/// The strongest pump that is taken, pascals.
const STRONGEST: f64 = 20e5;
/// The greatest depth that is taken, metres.
const DEEPEST: f64 = 100.0;
/// The largest content that is typed, cubic metres.
const LARGEST: f64 = 1.0;

/// The kind's name in a form, and for tests.
pub(crate) fn kind_key(kind: TankKindRecord) -> &'static str {
    KINDS.iter().find(|(k, _)| *k == kind).map_or("open", |(_, key)| key)
}

/// The kind that a form has chosen.
pub(crate) fn kind_of(texts: &Texts) -> TankKindRecord {
    let chosen = texts.get("kind");
    KINDS.iter().find(|(_, key)| *key == chosen).map(|(kind, _)| *kind).unwrap_or_default()
}

/// Writes what a tank's kind needs into its form.
pub(super) fn write_kind(texts: &mut Texts, tank: &TankRecord) {
    let units = texts.units;
    if tank.kind != TankKindRecord::Open {
        texts.set("kind", kind_key(tank.kind));
    }
    if let Some(inlet) = tank.inlet {
        texts.set("inlet", if inlet == EndRecord::Fore { "fore" } else { "aft" });
    }
    if let Some(mass) = tank.piston_mass_kg {
        texts.set_in("piston-mass", units.mass_unit(), mass);
    }
    if let Some(pressure) = tank.pump_pressure_pa {
        texts.set_in("pump", Unit::BAR, pressure);
    }
    if let Some(depth) = tank.stop_depth_m {
        texts.set_length("stop-depth", depth);
        if tank.pump_pressure_pa.is_none() {
            texts.set("stop", "depth");
        }
    }
    if let (TankKindRecord::Piston, SolidRecord::Cylinder { length_m, diameter_m, .. }) =
        (tank.kind, &tank.cavity)
    {
        texts.set_in("takes", units.liquid_unit(), PI / 4.0 * diameter_m * diameter_m * length_m);
        // A bore that cannot be written in a field came from a content.
        let typed = Texts::new(units).with("diameter", texts.get("diameter"));
        let written = FormReader::new(&typed, Datum::MIDSHIP).size("diameter");
        if written.is_ok_and(|bore| (bore - diameter_m).abs() > 1e-8) {
            texts.set("by", "volume");
        }
    }
}

/// What a form says besides the kind itself; none of what the kind has not.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct OfKind {
    pub(super) inlet: Option<EndRecord>,
    pub(super) piston_mass_kg: Option<f64>,
    pub(super) pump_pressure_pa: Option<f64>,
    pub(super) stop_depth_m: Option<f64>,
}

/// Reads the fields that the chosen kind has; those of the others do not count.
pub(super) fn read_kind(reader: &mut FormReader<'_>) -> Result<OfKind, Noted> {
    let texts = reader.texts;
    let kind = kind_of(texts);
    let is_piston = kind == TankKindRecord::Piston;
    let is_sealed = kind == TankKindRecord::Sealed;
    let by_depth = texts.get("stop") == "depth";
    let mass = optional(is_piston && texts.has("piston-mass"), || {
        reader.zero_or_more("piston-mass", HEAVIEST, texts.units.mass_unit())
    });
    let pump =
        optional(is_sealed && !by_depth, || reader.more_than_zero("pump", STRONGEST, Unit::BAR));
    let depth = optional(is_sealed && by_depth, || {
        reader.more_than_zero("stop-depth", DEEPEST, texts.units.length_unit())
    });
    let inlet = if texts.get("inlet") == "fore" { EndRecord::Fore } else { EndRecord::Aft };
    Ok(OfKind {
        inlet: is_piston.then_some(inlet),
        piston_mass_kg: mass?,
        pump_pressure_pa: pump?,
        stop_depth_m: depth?,
    })
}

/// The space of the tank. A piston's cylinder lies fore and aft, and may be told by what it holds.
pub(super) fn read_cavity(
    reader: &mut FormReader<'_>,
    before: Option<&SolidRecord>,
) -> Result<Option<SolidRecord>, Noted> {
    let texts = reader.texts;
    if kind_of(texts) != TankKindRecord::Piston || Shape::of(texts) != Shape::Cylinder {
        return read_shape(reader, before);
    }
    let solid = if texts.get("by") == "volume" {
        let holds = reader.more_than_zero("takes", LARGEST, texts.units.liquid_unit());
        let length_m = reader.size("length");
        let at = reader.said_place(&PLACE);
        let (holds, length_m) = (holds?, length_m?);
        SolidRecord::Cylinder {
            axis: AxisRecord::ForeAndAft,
            length_m,
            diameter_m: exact((4.0 * holds / (PI * length_m)).sqrt()),
            centre_m: at?,
            extra: before.map(SolidRecord::extra).cloned().unwrap_or_default(),
        }
    } else {
        let mut solid = read_shape(reader, before)?;
        if let Some(SolidRecord::Cylinder { axis, .. }) = &mut solid {
            *axis = AxisRecord::ForeAndAft;
        }
        return Ok(solid);
    };
    Ok(Some(solid))
}

/// How much a tank holds, cubic metres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct TankVolumes {
    /// In all.
    pub(crate) capacity: f64,
    /// Of a closed one: how much goes in before its air stops it, as far as that can be told.
    pub(crate) goes_in: Option<f64>,
}

/// What the tank of a form holds, as far as its sizes can be read, wherever it lies. `before` is what it
/// was, if it was.
pub(crate) fn holds(
    texts: &Texts,
    datum: Datum,
    before: Option<&TankRecord>,
) -> Option<TankVolumes> {
    let mut somewhere = texts.clone();
    for (key, ..) in PLACE.0 {
        somewhere.set(key, "0");
    }
    let mut reader = FormReader::new(&somewhere, datum);
    let cavity = read_cavity(&mut reader, before.map(|t| &t.cavity)).ok()??;
    let capacity = cavity.solid().ok()?.mesh(Fineness::WORK).ok()?.volume();
    let is_placed = PLACE.0.iter().any(|(key, ..)| texts.has(key));
    let goes_in = || {
        let tank = read_tank(if is_placed { texts } else { &somewhere }, datum, before).ok()?;
        let tank = tank.tank().ok()?;
        let mesh = tank.cavity.mesh(Fineness::WORK).ok()?;
        let [least, most] = tank.usable_range(&mesh);
        Some((most - least) * capacity)
    };
    let is_sealed = kind_of(texts) == TankKindRecord::Sealed;
    Some(TankVolumes { capacity, goes_in: if is_sealed { goes_in() } else { None } })
}

#[cfg(test)]
mod tests {
    use super::*;
    use trimwright::unit::Units;

    fn piston() -> Texts {
        Texts::new(Units::METRIC)
            .with("shape", "cylinder")
            .with("kind", "piston")
            .with("axis", "upright")
            .with("length", "140")
            .with("x", "20")
    }

    #[test]
    fn a_piston_is_told_by_its_bore_or_by_what_it_holds() {
        // 56.42 mm bore: pi / 4 × 5.642² × 14 = 350.01 ml.
        let by_bore =
            piston().with("diameter", "56.42").with("inlet", "fore").with("piston-mass", "60");
        let held = holds(&by_bore, Datum::MIDSHIP, None).expect("its sizes can be read");
        assert!((held.capacity - 350.01e-6).abs() < 0.005e-6, "{held:?}");
        let tank = read_tank(&by_bore, Datum::MIDSHIP, None).expect("good");
        assert_eq!(
            (tank.inlet, tank.piston_mass_kg),
            (Some(EndRecord::Fore), Some(0.06)),
            "{tank:?}"
        );
        assert!(
            matches!(tank.cavity, SolidRecord::Cylinder { axis: AxisRecord::ForeAndAft, .. }),
            "a piston lies fore and aft: {tank:?}"
        );
        let by_content = piston().with("by", "volume").with("takes", "350");
        let held = holds(&by_content, Datum::MIDSHIP, None).expect("its sizes can be read");
        assert!((held.capacity - 350e-6).abs() < 1e-10, "{held:?}");
        let tank = read_tank(&by_content, Datum::MIDSHIP, None).expect("good");
        let mut again = super::super::tank_form::form_of(&tank, Datum::MIDSHIP, Units::METRIC);
        assert_eq!((again.get("by"), again.get("takes")), ("volume", "350"), "as it was typed");
        again.set("name", &tank.name);
        assert_eq!(read_tank(&again, Datum::MIDSHIP, Some(&tank)), Ok(tank), "through its form");
    }

    #[test]
    fn what_a_kind_does_not_have_does_not_count() {
        let texts = piston()
            .with("diameter", "50")
            .with("lengthwise", "2")
            .with("vent-z", "abc")
            .with("pump", "abc");
        let tank =
            read_tank(&texts, Datum::MIDSHIP, None).expect("none of that is asked of a piston");
        assert!(tank.bulkheads.is_empty() && tank.vent_m.is_none(), "{tank:?}");
        assert_eq!(tank.pump_pressure_pa, None, "nor a pump");
        let open =
            read_tank(&texts.with("kind", "open"), Datum::MIDSHIP, None).expect_err("a bad vent");
        assert_eq!(open.first().map(|p| p.0), Some("vent-z"), "{open:?}");
    }

    #[test]
    fn a_closed_tank_says_how_much_goes_in() {
        // Boyle's law: a pump of 1 bar leaves half of the air. 100 × 50 × 40 mm are 200 ml.
        let sealed = Texts::new(Units::METRIC)
            .with("shape", "box")
            .with("kind", "sealed")
            .with("length", "100")
            .with("width", "50")
            .with("height", "40");
        let told =
            |texts: &Texts| holds(texts, Datum::MIDSHIP, None).expect("its sizes can be read");
        let in_ml = |texts: &Texts| told(texts).goes_in.map(|volume| (volume * 1e9).round() / 1e3);
        assert_eq!(in_ml(&sealed), None, "no pump yet");
        assert_eq!(in_ml(&sealed.clone().with("pump", "1")), Some(100.0), "half of it");
        let used = sealed.clone().with("pump", "1").with("least", "20").with("x", "30");
        // A fifth stays in: of 160 ml of air half is left, 80 ml of water come in.
        assert_eq!(in_ml(&used), Some(80.0), "never blown empty");
        let problems =
            read_tank(&sealed.with("x", "0"), Datum::MIDSHIP, None).expect_err("no pump");
        assert_eq!(problems.first().map(|p| p.0), Some("pump"), "{problems:?}");
    }
}
