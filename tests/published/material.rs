//! Materials: printed densities, what is left of a weight under water, what foam lifts.

use crate::support::{assert_close, assert_within};
use trimwright::ballast::plan::{Form, Section, StockItem};
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

/// Source: trade tables of round steel bar, 7850 kg/m³ (a steel stockist's page "standard weight of 1 m steel bars", and
/// of 10 mm another's), as printed: diameter in mm, kg per metre.
const STEEL_ROUND: [(f64, f64, f64); 6] = [
    (6.0, 0.222, 0.5e-3),
    (8.0, 0.395, 0.5e-3),
    (10.0, 0.617, 0.5e-3),
    (12.0, 0.888, 0.5e-3),
    (16.0, 1.58, 0.5e-2),
    (20.0, 2.47, 0.5e-2),
];

#[test]
fn a_metre_of_bar_weighs_what_tables_print() {
    let bar = |material: &Material, section: Section| {
        let item = StockItem::of(material, Form::Bar(section));
        item.mass_per_length().expect("a bar")
    };
    for (diameter, printed, half) in STEEL_ROUND {
        let got = bar(material("steel"), Section::Round(diameter / 1e3));
        assert_within(got, printed, half, &format!("{diameter} mm round of steel"));
    }
    // Source: ThyssenKrupp Aerospace, "Weight calculations" of aluminium bar, its example: 20 mm round of 2.80 g/cm³
    // weighs 0.880 kg a metre.
    let alloy = Material { density: 2800.0, ..*material("aluminium") };
    assert_within(bar(&alloy, Section::Round(0.02)), 0.880, 0.5e-3, "aluminium, as printed");
    // Source: closed form, section times density, by hand, kg per metre; no printed table was at hand.
    let brass = material("brass");
    assert_within(bar(brass, Section::Hexagon(0.01)), 0.73612, 0.5e-5, "10 mm hexagon of brass");
    assert_within(bar(brass, Section::Round(0.01)), 0.66759, 0.5e-5, "10 mm round of brass");
    assert_within(bar(&LEAD, Section::Square(0.012)), 1.63296, 0.5e-5, "12 mm square of lead");
    let flat = Section::Flat(0.02, 0.005);
    assert_within(bar(material("steel"), flat), 0.785, 0.5e-5, "20 x 5 mm flat of steel");
    let tube = Section::Tube(0.01, 0.001);
    assert_within(bar(brass, tube), 0.24033, 0.5e-5, "10 x 1 mm tube of brass");
    assert_eq!(StockItem::of(&LEAD, Form::Shot).mass_per_length(), None, "shot has no length");
}
