//! Materials: printed densities, what is left of a weight under water, what foam lifts.

use crate::support::{assert_close, assert_within};
use trimwright::material::{LEAD, MATERIALS, Material, MaterialKind, named};

/// Fresh water of 20 °C, kg/m³, with the digits of the tables below.
const FRESH: f64 = 998.2;
const SEA: f64 = 1025.0;

#[track_caller]
fn material(name: &str) -> &'static Material {
    named(name).unwrap_or_else(|| panic!("{name} is in the list"))
}

/// Source: PNNL-15870 Rev. 1 (2011), *Compendium of Material Composition Data*, as printed; for
/// brass the alloy sheets of ASTM B16; for foams and balsa the sheets that the list names. kg/m³.
const PRINTED: [(&str, f64); 22] = [
    ("tungsten", 19300.0),
    ("brass", 8500.0),
    ("bronze", 8400.0),
    ("copper", 8960.0),
    ("stainless steel", 8000.0),
    ("aluminium", 2700.0),
    ("titanium", 4430.0),
    ("PETG", 1270.0),
    ("polycarbonate", 1200.0),
    ("acrylic", 1190.0),
    ("nylon", 1140.0),
    ("polypropylene", 900.0),
    ("polystyrene, solid", 1060.0),
    ("epoxy", 1170.0),
    ("PU foam, rigid", 35.0),
    ("PVC core foam, closed cells", 80.0),
    ("PE foam, cross-linked", 33.0),
    ("balsa", 160.0),
    ("pine", 640.0),
    ("silicone rubber", 1020.0),
    ("neoprene, solid", 1230.0),
    // Source: from memory, not seen: the convention of structural steelwork.
    ("steel", 7850.0),
];

#[test]
fn densities_are_as_printed() {
    for (name, density) in PRINTED {
        assert_close(material(name).density, density, 1e-12, name);
    }
}

/// Source: values of other sources for the same stuff, as the list's own texts name them, kg/m³.
const ALSO_PRINTED: [(&str, f64); 12] = [
    ("lead", 11340.0),
    ("lead", 11350.0),
    ("brass", 8530.0),
    ("steel", 7872.0),
    ("stainless steel", 7900.0),
    ("stainless steel", 8030.0),
    ("aluminium", 2699.0),
    ("PVC, rigid", 1406.0),
    ("acrylic", 1180.0),
    ("polyethylene", 930.0),
    ("wax", 812.0),
    ("XPS board", 24.0),
];

#[test]
fn what_other_sources_print_lies_within_the_range() {
    for (name, density) in ALSO_PRINTED {
        let got = material(name);
        assert!((got.low..=got.high).contains(&density), "{name}: {density} is outside {got:?}");
    }
}

#[test]
fn every_material_is_whole() {
    for m in &MATERIALS {
        assert!(0.0 < m.low && m.low <= m.density && m.density <= m.high, "the range of {m:?}");
        assert!(m.source.len() > 10, "where {m:?} is from");
        for [from, to] in [m.uptake, m.softness].into_iter().flatten() {
            assert!(0.0 <= from && from <= to && to < 1.0, "a share of {m:?}");
        }
        let same = MATERIALS.iter().filter(|n| n.name.eq_ignore_ascii_case(m.name)).count();
        assert_eq!(same, 1, "{} is in the list more than once", m.name);
        assert_eq!(material(&format!(" {} ", m.name.to_uppercase())), m, "found by its name");
    }
    assert_eq!(material("lead"), &LEAD, "lead is lead");
    assert_eq!(named("unobtainium"), None, "what is not in the list");
    let softer = |m: &&Material| m.kind != MaterialKind::Foam && m.softness.is_some();
    assert_eq!(MATERIALS.iter().find(softer), None, "only foam gives way");
}

/// Source: closed form, `100 (1 − ρ_water/ρ)`: grams under fresh water of 100 g in air, printed.
const LEFT_UNDER_WATER: [(&str, f64); 12] = [
    ("tungsten", 94.83),
    ("lead", 91.20),
    ("brass", 88.26),
    ("stainless steel", 87.52),
    ("steel", 87.28),
    ("aluminium", 63.03),
    ("PVC, rigid", 28.70),
    ("PLA", 19.50),
    ("PETG", 21.40),
    ("polycarbonate", 16.82),
    ("acrylic", 16.12),
    ("ABS", 4.93),
];

#[test]
fn weight_under_water_is_as_printed() {
    for (name, grams) in LEFT_UNDER_WATER {
        let got = 100.0 * (1.0 - FRESH / material(name).density);
        assert_within(got, grams, 0.5001e-2, &format!("100 g of {name} under water"));
    }
    let got = 100.0 * (1.0 - SEA / material("ABS").density);
    assert_within(got, 2.38, 0.5001e-2, "100 g of ABS in sea water");
    // Source: closed form, ± 10 kg/m³ of 1050 are ± 18 % of the weight in fresh and ± 39 % in sea
    // water: half of what lies between the two.
    let abs = material("ABS");
    for (water, per_cent) in [(FRESH, 18.0), (SEA, 39.0)] {
        let left = |density: f64| 1.0 - water / density;
        let got = (left(abs.high) - left(abs.low)) / 2.0 / left(abs.density);
        assert_within(100.0 * got, per_cent, 0.5001, "what a wrong density costs");
    }
}

#[test]
fn what_a_litre_of_foam_lifts_is_as_printed() {
    // Source: closed form, `ρ_water − ρ`, grams that a litre lifts in fresh water, printed.
    for (name, grams) in [("EPS", 983.2), ("XPS board", 968.2), ("PU foam, rigid", 963.2)] {
        assert_within(FRESH - material(name).density, grams, 0.5001e-1, name);
    }
}

#[test]
fn a_glass_laminate_is_as_heavy_as_its_parts() {
    // Source: closed form, 1 / (w/2570 + (1 − w)/1200): 1428 with 30 % of glass, 1636 with 50 %.
    let laid_up = material("GRP, hand lay-up");
    assert!(1428.0 < laid_up.density && laid_up.density < 1636.0, "{laid_up:?}");
}

#[test]
fn soft_foam_loses_as_much_with_depth_as_its_sheet_says() {
    // Source: closed form, 9.789 kPa a metre. Extruded board: 15 to 20 MPa (EN 13164 declaration).
    // Cross-linked foam: 25 % at 40 kPa (data sheet); no gas gives way faster than at constant
    // temperature, 1 − 0.91190 in the first metre.
    let [low, high] = material("XPS board").softness.expect("known");
    assert_within(low, 9.789e3 / 20e6, 0.5001e-5, "the stiffer board");
    assert_within(high, 9.789e3 / 15e6, 0.5001e-5, "the softer board");
    let [low, high] = material("PE foam, cross-linked").softness.expect("known");
    assert_within(low, 0.25 * 9.789 / 40.0, 0.5001e-3, "by its sheet");
    assert_within(high, 1.0 - 0.91190, 1e-3, "as gas");
}
