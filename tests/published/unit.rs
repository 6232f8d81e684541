//! Units against published conversions, and against the definitions that they follow from.

use trimwright::unit::{Decimal, INCH, Length, Mass, OUNCE, Unit, Units};

const OF_INCHES: Units = Units { length: Length::Inch, mass: Mass::Ounce, decimal: Decimal::Point };

/// Source: NIST Special Publication 811 (2008 edition), Thompson & Taylor, appendix B.8: to convert
/// from the unit to SI, multiply by this; printed to seven digits, of which trailing noughts are
/// left out here. Read in a table of factors made from it.
const PRINTED: [(&str, f64); 5] = [
    ("in", 2.54e-2),
    ("in²", 6.4516e-4),
    ("in³", 1.638_706e-5),
    ("oz", 2.834_952e-2),
    ("oz/in³", 1.729_994e3),
];

fn units() -> [Unit; 6] {
    let u = OF_INCHES;
    [
        u.length_unit(),
        u.area_unit(),
        u.volume_unit(),
        u.liquid_unit(),
        u.mass_unit(),
        u.density_unit(),
    ]
}

#[test]
fn every_unit_is_worth_what_is_printed() {
    for unit in units() {
        let (_, printed) =
            PRINTED.iter().find(|(sign, _)| *sign == unit.sign).expect("it is in the table");
        let last_place = 10.0_f64.powf(printed.log10().floor() - 6.0);
        let off = unit.si(1.0) - printed;
        assert!(off.abs() <= 0.5001 * last_place, "{}: off by {off}", unit.sign);
    }
}

/// Source: international yard and pound agreement, 1 July 1959: a yard is 0.9144 m, a pound
/// 0.453 592 37 kg, both exactly. A yard has 36 inches, a pound 16 ounces.
#[test]
fn inch_and_ounce_are_parts_of_yard_and_pound() {
    assert!((36.0 * INCH - 0.9144).abs() < 1e-15, "a yard is {} m", 36.0 * INCH);
    assert!((16.0 * OUNCE - 0.453_592_37).abs() < 1e-15, "a pound is {} kg", 16.0 * OUNCE);
}

/// Closed form: a gram per cubic centimetre is a thousand kilograms per cubic metre; metric units
/// are powers of ten.
#[test]
fn metric_units_are_powers_of_ten() {
    let u = Units::METRIC;
    for (unit, si) in [
        (u.length_unit(), 1e-3),
        (u.mass_unit(), 1e-3),
        (u.area_unit(), 1e-4),
        (u.volume_unit(), 1e-6),
        (u.liquid_unit(), 1e-6),
        (u.density_unit(), 1.0),
    ] {
        assert!((unit.si(1.0) / si - 1.0).abs() < 1e-15, "{}", unit.sign);
    }
}

/// Closed form: 1 in³ of water of 1000 kg/m³ weighs 16.387 g, which is 0.578 oz.
#[test]
fn a_cubic_inch_of_water_weighs_what_its_density_in_ounces_says() {
    let (volume, density) = (OF_INCHES.volume_unit(), OF_INCHES.density_unit());
    let ounces = OF_INCHES.mass_unit().of(1000.0 * volume.si(1.0));
    assert!((ounces - density.of(1000.0)).abs() < 1e-12, "{ounces} oz");
    assert!((ounces - 0.578).abs() < 0.0005, "{ounces} oz");
}

#[test]
fn there_and_back_is_the_same() {
    for unit in units() {
        for value in [0.001, 1.0, 37.5, -12.34, 9999.0] {
            let again = unit.of(unit.si(value));
            assert!((again - value).abs() < 1e-12 * value.abs(), "{value} {}: {again}", unit.sign);
        }
    }
}
