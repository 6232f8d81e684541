//! Density of fresh and of sea water, and what a change of water asks of a boat.

use crate::support::bodies::{boat, keeled_box};
use crate::support::{assert_close, assert_within};
use trimwright::float::FloatModel;
use trimwright::geometry::Fineness;
use trimwright::unit::Celsius;
use trimwright::water::{Water, WaterError};

#[track_caller]
fn fresh(t: f64) -> f64 {
    Water::Fresh(Celsius(t)).density().expect("in range")
}

/// Sea water at a temperature on today's scale (ITS-90).
#[track_caller]
fn sea(salinity: f64, t: f64) -> f64 {
    Water::Sea { salinity, temperature: Celsius(t) }.density().expect("in range")
}

/// Degrees of the 1968 scale per degree of today's. Source: UNESCO practice for EOS-80.
const T68_PER_T90: f64 = 1.00024;

/// Source: Tanaka, Girard, Davis, Peuto, Bignell 2001, *Recommended table for the density of water
/// between 0 °C and 40 °C*, Metrologia 38:301–309, equation 1, worked out to 1e-4 kg/m³.
const TANAKA: [(f64, f64); 11] = [
    (0.0, 999.8428),
    (4.0, 999.9749),
    (5.0, 999.9668),
    (10.0, 999.7027),
    (15.0, 999.1026),
    (20.0, 998.2067),
    (25.0, 997.0470),
    (28.0, 996.2353),
    (30.0, 995.6488),
    (35.0, 994.0326),
    (40.0, 992.2152),
];

#[test]
fn fresh_water_has_the_density_of_the_recommended_table() {
    for (t, expected) in TANAKA {
        assert_within(fresh(t), expected, 0.5001e-4, &format!("fresh water at {t} C"));
    }
}

/// Source: the same equation, to 1e-5 kg/m³.
const TANAKA_LONG: [(f64, f64); 3] = [(10.0, 999.70270), (20.0, 998.20675), (25.0, 997.04702)];

#[test]
fn fresh_water_agrees_to_the_last_digit_worked_out() {
    for (t, expected) in TANAKA_LONG {
        assert_within(fresh(t), expected, 0.5001e-5, &format!("fresh water at {t} C"));
    }
}

/// Source: Tanaka et al. 2001, constants a1 and a5: the greatest density and where it is.
#[test]
fn fresh_water_is_densest_at_four_degrees() {
    let (t, greatest) = (3.983035, 999.974950);
    assert_close(fresh(t), greatest, 1e-15, "greatest density");
    for off in [-0.5, -0.01, 0.01, 0.5] {
        assert!(fresh(t + off) < greatest, "water {off} degrees away is less dense");
    }
}

/// Source: IAPWS-95 at 101 325 Pa, calculated with the library iapws 1.5.5.
const IAPWS_95: [(f64, f64); 11] = [
    (0.0, 999.8431),
    (4.0, 999.9749),
    (5.0, 999.9666),
    (10.0, 999.7025),
    (15.0, 999.1026),
    (20.0, 998.2071),
    (25.0, 997.0476),
    (28.0, 996.2360),
    (30.0, 995.6495),
    (35.0, 994.0333),
    (40.0, 992.2164),
];

#[test]
fn fresh_water_agrees_with_another_formulation_to_two_parts_in_a_million() {
    for (t, expected) in IAPWS_95 {
        assert_within(fresh(t), expected, 0.002, &format!("fresh water at {t} C"));
    }
}

/// Source: Fofonoff & Millard 1983, UNESCO Technical Papers in Marine Science 44, p. 19: check
/// values at normal pressure; salinity, degrees of the 1968 scale, kg/m³ to 1e-5.
const EOS_80: [(f64, f64, f64); 5] = [
    (0.0, 5.0, 999.96675),
    (0.0, 25.0, 997.04796),
    (35.0, 5.0, 1027.67547),
    (35.0, 25.0, 1023.34306),
    (8.0, 10.0, 1005.94660),
];

#[test]
fn sea_water_has_the_official_check_values() {
    for (salinity, t68, expected) in EOS_80 {
        let got = sea(salinity, t68 / T68_PER_T90);
        assert_within(got, expected, 1e-5, &format!("salinity {salinity} at {t68} C (1968)"));
    }
}

/// Source: Millero & Poisson 1981, Deep-Sea Research 28A:625, the pure-water part (SMOW) at
/// 1.00024 times the temperature, worked out to 1e-4 kg/m³.
const SMOW: [(f64, f64); 11] = [
    (0.0, 999.8426),
    (4.0, 999.9750),
    (5.0, 999.9667),
    (10.0, 999.7019),
    (15.0, 999.1010),
    (20.0, 998.2053),
    (25.0, 997.0464),
    (28.0, 996.2352),
    (30.0, 995.6490),
    (35.0, 994.0331),
    (40.0, 992.2167),
];

#[test]
fn sea_water_without_salt_joins_fresh_water() {
    for (t, expected) in SMOW {
        assert_within(sea(0.0, t), expected, 0.5001e-4, &format!("no salt at {t} C"));
    }
    for tenths in 0..=400 {
        let t = f64::from(tenths) / 10.0;
        assert_within(sea(0.0, t), fresh(t), 0.0017, &format!("the step at {t} C"));
    }
}

const TEOS_10_DEGREES: [f64; 6] = [0.0, 10.0, 15.0, 20.0, 25.0, 30.0];
/// Source: TEOS-10, calculated with the library gsw 3.6.23, `rho_t_exact` at absolute salinity
/// 35.16504/35 times the practical one, ITS-90 degrees, no pressure.
const TEOS_10: [(f64, [f64; 6]); 6] = [
    (10.0, [1007.9557, 1007.4989, 1006.7844, 1005.7939, 1004.5551, 1003.0921]),
    (20.0, [1016.0161, 1015.2684, 1014.4452, 1013.3643, 1012.0498, 1010.5236]),
    (30.0, [1024.0749, 1023.0533, 1022.1258, 1020.9580, 1019.5709, 1017.9833]),
    (35.0, [1028.1072, 1026.9541, 1025.9760, 1024.7660, 1023.3436, 1021.7261]),
    (38.0, [1030.5277, 1029.2974, 1028.2894, 1027.0545, 1025.6113, 1023.9761]),
    (42.0, [1033.7565, 1032.4251, 1031.3777, 1030.1100, 1028.6395, 1026.9810]),
];

#[test]
fn sea_water_agrees_with_the_newer_standard_to_a_hundredth() {
    for (salinity, row) in TEOS_10 {
        for (t, expected) in TEOS_10_DEGREES.into_iter().zip(row) {
            let what = format!("salinity {salinity} at {t} C");
            assert_within(sea(salinity, t), expected, 0.010, &what);
        }
    }
}

/// A boat of 10 kg that hangs neutral in water of a density.
fn neutral_in(density: f64) -> FloatModel {
    let solid = keeled_box([1.0, 0.1, 10.0 / density / 0.1]);
    FloatModel::new(&boat(solid, 10.0, [0.0, 0.0, 0.02]), Fineness::WORK).expect("a good boat")
}

#[test]
fn a_neutral_boat_taken_from_the_pool_to_the_sea_needs_278_grams() {
    let pool = neutral_in(fresh(20.0));
    assert_within(pool.residual_mass(fresh(20.0)), 0.0, 1e-12, "neutral in the pool");
    // Source: closed form, 10 (ρ(35, 15 °C) / ρ(fresh, 20 °C) − 1), with TEOS-10: 0.2782 ± 0.0002.
    assert_within(pool.residual_mass(sea(35.0, 15.0)), -0.2782, 0.5001e-4, "mass to take aboard");
}

#[test]
fn a_neutral_boat_sinks_when_the_pool_is_heated() {
    // Source: closed form, 10 (1 − ρ(25 °C) / ρ(10 °C)) with Tanaka et al. 2001: 26.6 g.
    let cold = neutral_in(fresh(10.0));
    assert_within(cold.residual_mass(fresh(25.0)), 0.0266, 0.5001e-4, "lift lost");
}

#[test]
fn water_out_of_the_formulas_range_is_refused() {
    for t in [-0.01, 40.01, f64::NAN] {
        let got = Water::Fresh(Celsius(t)).density();
        assert!(matches!(got, Err(WaterError::Temperature(_))), "{t} C gave {got:?}");
    }
    for salinity in [-0.01, 42.01, f64::NAN] {
        let got = Water::Sea { salinity, temperature: Celsius(10.0) }.density();
        assert!(matches!(got, Err(WaterError::Salinity(_))), "salinity {salinity} gave {got:?}");
    }
    let got = Water::Measured(800.0).density();
    assert_eq!(got, Err(WaterError::Density(800.0)), "too light for water: {got:?}");
}
