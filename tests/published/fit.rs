//! Fits against published results: straight lines, inclining experiments, a waterline worked back
//! to the centre of gravity.

use crate::support::bodies::{WATER, keeled_box, model};
use crate::support::{assert_close, assert_within};
use trimwright::ballast::{Remedy, Target, advise, predict};
use trimwright::boat::Mark;
use trimwright::fit::{
    Fit, FittedLine, InclineError, Inclining, LineError, ModelSpread, Unknown, WeightMove,
    back_solve, fit_line, inclining,
};
use trimwright::float::Basin;
use trimwright::frame::Position;
use trimwright::reading::{ANGLE_SPREAD, Condition, Observation, Reading, Seen};

/// Source: JCGM 100:2008 (GUM), annex H.3, table H.6: readings of a thermometer, °C, and the
/// corrections that they need, °C. Data as in a transcription.
const THERMOMETER: [(f64, f64); 11] = [
    (21.521, -0.171),
    (22.012, -0.169),
    (22.512, -0.166),
    (23.003, -0.159),
    (23.507, -0.164),
    (23.999, -0.165),
    (24.513, -0.156),
    (25.002, -0.157),
    (25.503, -0.159),
    (26.010, -0.161),
    (26.511, -0.160),
];

/// The temperature from which the line is reckoned there, °C.
const REFERENCE_TEMPERATURE: f64 = 20.0;

fn thermometer() -> FittedLine {
    let points = THERMOMETER.map(|(read, correction)| (read - REFERENCE_TEMPERATURE, correction));
    fit_line(&points).expect("eleven points")
}

/// Value and spread of a line at an abscissa. Source: GUM, eq. H.15.
fn at(line: &FittedLine, x: f64) -> (f64, f64) {
    let (a, b) = (line.intercept.spread, line.slope.spread);
    let variance = a * a + x * x * b * b + 2.0 * x * a * b * line.correlation;
    (line.intercept.value + x * line.slope.value, variance.sqrt())
}

#[test]
fn the_calibration_of_a_thermometer_gives_the_printed_figures() {
    // Source: GUM, annex H.3.3 and H.3.4, as printed (the results from memory, not seen; the longer
    // digits below are calculated from the data).
    let line = thermometer();
    assert_within(line.intercept.value, -0.1712, 0.5001e-4, "intercept");
    assert_within(line.intercept.spread, 0.0029, 0.5001e-4, "its spread");
    assert_within(line.slope.value, 0.00218, 0.5001e-5, "slope");
    assert_within(line.slope.spread, 0.00067, 0.5001e-5, "its spread");
    assert_within(line.correlation, -0.930, 0.5001e-3, "correlation");
    assert_within(line.residual_spread, 0.0035, 0.5001e-4, "spread about the line");
    let (value, spread) = at(&line, 30.0 - REFERENCE_TEMPERATURE);
    assert_within(value, -0.1494, 0.5001e-4, "correction at 30 °C");
    assert_within(spread, 0.0041, 0.5001e-4, "its spread");
}

#[test]
fn the_calibration_of_a_thermometer_holds_to_eight_decimals() {
    // Source: closed form, the normal equations of the same data with high precision.
    const EIGHTH_DECIMAL: f64 = 0.5001e-8;
    let line = thermometer();
    assert_within(line.intercept.value, -0.17120379, EIGHTH_DECIMAL, "intercept");
    assert_within(line.intercept.spread, 0.00287760, EIGHTH_DECIMAL, "its spread");
    assert_within(line.slope.value, 0.00218270, EIGHTH_DECIMAL, "slope");
    assert_within(line.slope.spread, 0.00066794, EIGHTH_DECIMAL, "its spread");
    assert_within(line.correlation, -0.930430, 0.5001e-6, "correlation");
    assert_within(line.residual_spread, 0.00349756, EIGHTH_DECIMAL, "spread about the line");
    let (value, spread) = at(&line, 30.0 - REFERENCE_TEMPERATURE);
    assert_within(value, -0.14937681, EIGHTH_DECIMAL, "correction at 30 °C");
    assert_within(spread, 0.00413860, EIGHTH_DECIMAL, "its spread");
}

/// Source: NIST Statistical Reference Datasets, linear regression, *Norris*: 36 points (y, x).
const NORRIS: [(f64, f64); 36] = [
    (0.1, 0.2),
    (338.8, 337.4),
    (118.1, 118.2),
    (888.0, 884.6),
    (9.2, 10.1),
    (228.1, 226.5),
    (668.5, 666.3),
    (998.5, 996.3),
    (449.1, 448.6),
    (778.9, 777.0),
    (559.2, 558.2),
    (0.3, 0.4),
    (0.1, 0.6),
    (778.1, 775.5),
    (668.8, 666.9),
    (339.3, 338.0),
    (448.9, 447.5),
    (10.8, 11.6),
    (557.7, 556.0),
    (228.3, 228.1),
    (998.0, 995.8),
    (888.8, 887.6),
    (119.6, 120.2),
    (0.3, 0.3),
    (0.6, 0.3),
    (557.6, 556.8),
    (339.3, 339.1),
    (888.0, 887.2),
    (998.5, 999.0),
    (778.9, 779.0),
    (10.2, 11.1),
    (117.6, 118.3),
    (228.9, 229.2),
    (668.4, 669.1),
    (449.2, 448.9),
    (0.2, 0.5),
];

#[test]
fn the_certified_line_of_norris_is_met_to_eleven_digits() {
    // Source: NIST Statistical Reference Datasets, *Norris*, certified values.
    const ELEVEN_DIGITS: f64 = 1e-11;
    let line = fit_line(&NORRIS.map(|(y, x)| (x, y))).expect("36 points");
    assert_close(line.slope.value, 1.00211681802045, ELEVEN_DIGITS, "slope");
    assert_close(line.slope.spread, 0.429796848199937e-3, ELEVEN_DIGITS, "its spread");
    assert_close(line.intercept.value, -0.262323073774029, ELEVEN_DIGITS, "intercept");
    assert_close(line.intercept.spread, 0.232818234301152, ELEVEN_DIGITS, "its spread");
    let squares = line.residual_spread.powi(2) * 34.0;
    assert_close(squares, 26.6173985294224, ELEVEN_DIGITS, "residual sum of squares");
    let summed: f64 = line.residuals.iter().map(|r| r * r).sum();
    assert_close(summed, 26.6173985294224, ELEVEN_DIGITS, "squares of the residuals, summed");
    let mean = NORRIS.iter().map(|p| p.0).sum::<f64>() / 36.0;
    let total: f64 = NORRIS.iter().map(|p| (p.0 - mean).powi(2)).sum();
    assert_close(1.0 - squares / total, 0.999993745883712, ELEVEN_DIGITS, "R squared");
}

#[test]
fn points_that_make_no_line_are_refused() {
    assert_eq!(fit_line(&[(0.0, 0.0), (1.0, 1.0)]), Err(LineError::TooFew(2)), "two points");
    assert_eq!(fit_line(&[(2.0, 0.0), (2.0, 1.0), (2.0, 3.0)]), Err(LineError::NoSpan), "one x");
    for wrong in [f64::NAN, f64::INFINITY] {
        let points = [(0.0, 0.0), (1.0, wrong), (2.0, 2.0)];
        assert_eq!(fit_line(&points), Err(LineError::NotFinite), "a reading of {wrong}");
    }
}

/// Source: an examination question in ship stability (as transcribed): 8000 t, pendulum 5.5 m,
/// masses moved 12 m. Masses, t, and deflections, mm.
const SHIFTS: [(f64, f64); 5] =
    [(3.0, 64.0), (6.0, 116.0), (0.0, 3.0), (-3.0, -54.0), (-6.0, -113.0)];
const ARM: f64 = 12.0;
const DISPLACEMENT: f64 = 8000e3;
/// In millimetres, as the deflections are.
const PENDULUM: f64 = 5500.0;

fn ship() -> Inclining {
    let moves = SHIFTS.map(|(tonnes, millimetres)| WeightMove {
        moment: tonnes * 1e3 * ARM,
        heel: (millimetres / PENDULUM).atan(),
    });
    inclining(DISPLACEMENT, &moves).expect("five states")
}

#[test]
fn an_inclining_experiment_gives_the_slope_of_all_its_points() {
    // Source: closed form, the least-squares line through the five points.
    // DIFFERENCE: the printed answer is 0.427 m; the mean of the four ratios is 0.4258 m. The
    // regression of all points, zero included, is what GUM H.3 and the IS Code's plot mean.
    let got = ship();
    // Millimetres of pendulum per tonne metre.
    assert_close(got.line.slope.value * PENDULUM * 1e3, 1.6, 1e-9, "slope");
    assert_close(got.line.intercept.value * PENDULUM, 3.2, 1e-9, "intercept, mm");
    assert_close(got.list, (3.2 / PENDULUM).atan(), 1e-9, "list with the masses amidships");
    for (residual, expected) in got.line.residuals.iter().zip([3.2, -2.4, -0.2, 0.4, -1.0]) {
        assert_within(residual * PENDULUM, expected, 1e-9, "residual, mm");
    }
    assert_close(got.gm.value, 0.4296875, 1e-9, "GM");
    assert_within(got.line.residual_spread * PENDULUM, 2.394, 0.5001e-3, "spread of a point, mm");
    assert_within(
        got.line.slope.spread * PENDULUM * 1e3,
        0.02103,
        0.5001e-5,
        "spread of the slope",
    );
    assert_within(got.gm.spread, 0.0056, 0.5001e-4, "spread of GM");
}

#[test]
fn a_single_shift_in_a_book_and_the_same_to_the_other_side_give_the_books_gm() {
    // Moment (a mass times a distance), tan of the heel, displacement, GM as printed and the half
    // of its last place. The formula has no units of its own: tons and feet stay tons and feet.
    let three_tons = 2.0 / (29.5 * 12.0);
    for (moment, tan, displacement, gm, half) in [
        // Source: Nicholls's *Seamanship*, p. 532, example 18: 100 tons moved 30 ft, 8 degrees.
        (100.0 * 30.0, 8.0_f64.to_radians().tan(), 9000.0, 2.37, 0.005),
        // Source: the same, example 19: 3 tons moved 40 ft, 2 inches on a line of 29 ft 6 in.
        (3.0 * 40.0, three_tons, 2600.0, 8.17, 0.005),
        // Source: Derrett, *Ship Stability for Masters and Mates* (from memory, not seen): 25 t
        // moved 15 m, 20 cm on a line of 4 m; closed form w d / (displacement · tan φ).
        (25.0 * 15.0, 0.20 / 4.0, 8000.0, 0.9375, 1e-9),
    ] {
        let state = |share: f64| WeightMove { moment: share * moment, heel: (share * tan).atan() };
        let got = inclining(displacement, &[state(-1.0), state(0.0), state(1.0)]);
        let got = got.expect("three states");
        assert_within(got.gm.value, gm, half, "GM");
        assert!(got.gm.spread < 1e-9 * gm, "points on one line: spread {}", got.gm.spread);
    }
}

#[test]
fn an_experiment_that_gives_no_metacentric_height_is_refused() {
    let state = |moment: f64, heel: f64| WeightMove { moment, heel };
    let wrong_side = [state(-1.0, 0.01), state(0.0, 0.0), state(1.0, -0.01)];
    assert_eq!(inclining(10.0, &wrong_side), Err(InclineError::NoSlope), "heeled away");
    let stiff = [state(-1.0, 0.0), state(0.0, 0.0), state(1.0, 0.0)];
    assert_eq!(inclining(10.0, &stiff), Err(InclineError::NoSlope), "did not heel");
    let one = [state(1.0, 0.01)];
    let too_few = InclineError::Line(LineError::TooFew(1));
    assert_eq!(inclining(10.0, &one), Err(too_few), "one state");
    for displacement in [0.0, -1.0, f64::INFINITY] {
        let got = inclining(displacement, &wrong_side);
        assert_eq!(got, Err(InclineError::Displacement(displacement)), "a boat of no mass");
    }
}

/// Works back the centre of gravity of the box of 1 × 0.2 × 0.2 m that draws 0.1 m, its centre of
/// gravity 0.08 m above the keel, from figures read to a micrometre and a microradian.
fn box_read_at(heel: f64, trim: f64) -> Fit {
    let mark =
        |name: &str, x: f64, y: f64| Mark { name: name.to_owned(), at: Position::new(x, y, 0.1) };
    let marks = [
        mark("bow", 0.5, 0.0),
        mark("stern", -0.5, 0.0),
        mark("port", 0.0, 0.1),
        mark("starboard", 0.0, -0.1),
    ];
    // The waterplane through the middle of the box, in the body: z = 0.1 + x tan θ − y tan φ.
    let above = |m: &Mark| m.at.x() * trim.tan() - m.at.y() * heel.tan();
    let seen = marks.iter().map(|m| Seen::WaterAtMark { mark: m.clone(), above: above(m) });
    let seen = seen.chain([Seen::List(heel), Seen::Trim(trim)]);
    let reading = Reading {
        condition: Condition::Afloat,
        water_density: WATER,
        aboard: Vec::new(),
        observations: seen.map(|seen| Observation { seen, spread: 1e-6 }).collect(),
        ..Reading::default()
    };
    let level = model(keeled_box([1.0, 0.2, 0.2]), 20.0, [0.0, 0.0, 0.08]);
    back_solve(&level, &reading, &marks, ModelSpread::LEDGER).expect("an exact reading")
}

/// Half of the eighth decimal of a metre, the last place of the reference sheet.
const EIGHTH_DECIMAL: f64 = 0.5001e-8;

#[test]
fn a_box_read_three_degrees_down_has_the_closed_forms_offset_across() {
    // Source: closed form, y of G = tan φ (B²/12d + zb − z), zb = d/2 + B² tan²φ / 24d.
    // Port goes down, so that the offset is to port.
    let fit = box_read_at(-3.0_f64.to_radians(), 0.0);
    assert_within(fit.offset[1].value, 0.00017709, EIGHTH_DECIMAL, "y of G as printed");
    assert_within(fit.offset[0].value, 0.0, EIGHTH_DECIMAL, "x of G");
    assert_within(fit.mass_error.value, 0.0, 1e-6, "error of mass");
    assert_eq!(fit.untold, Vec::<Unknown>::new(), "all was read");
    assert_eq!(fit.contradiction, None, "the figures are those of one box");
}

#[test]
fn a_box_read_one_degree_bow_down_has_the_closed_forms_offset_along() {
    // Source: closed form, x of G = tan θ (L²/12d + zb − z), zb = d/2 + L² tan²θ / 24d.
    let fit = box_read_at(0.0, 1.0_f64.to_radians());
    assert_within(fit.offset[0].value, 0.01402445, EIGHTH_DECIMAL, "x of G as printed");
    assert_within(fit.offset[1].value, 0.0, EIGHTH_DECIMAL, "y of G");
    assert_within(fit.mass_error.value, 0.0, 1e-6, "error of mass");
    assert_eq!(fit.untold, Vec::<Unknown>::new(), "all was read");
    assert_eq!(fit.contradiction, None, "the figures are those of one box");
}

#[test]
fn the_list_that_is_left_after_a_shift_is_as_uncertain_as_the_closed_form_says() {
    // Source: closed form. y of G = tan φ (GM + BM tan²φ / 2) of a wall-sided box, so a list read
    // to ± σ leaves y ± σ (GM + 3/2 BM tan²φ) / cos²φ, and a height ± s leaves y ± s tan φ; once the
    // box stands upright again, but for the list λ that the rounding to whole millimetres leaves, an
    // error of y is a list of y / GM, and one of the height is one of s tan λ / GM the other way. What
    // the list and the height do add as squares (GUM 5.1.2).
    const GM: f64 = 0.05 + 0.2 * 0.2 / 12.0 / 0.1 - 0.08;
    const BM: f64 = 0.2 * 0.2 / 12.0 / 0.1;
    let mark = |name: &str, x: f64| Mark { name: name.to_owned(), at: Position::new(x, 0.0, 0.1) };
    let marks = [mark("bow", 0.5), mark("stern", -0.5)];
    let level = model(keeled_box([1.0, 0.2, 0.2]), 20.0, [0.0, 0.0, 0.08]);
    let condition = Condition::Afloat;
    let basin = Basin::deep(WATER);
    // Both are more than a builder would leave, so that there is something to do.
    for degrees in [2.0_f64, -3.0] {
        let heel = degrees.to_radians();
        let seen = |m: &Mark| Seen::WaterAtMark { mark: m.clone(), above: 0.0 };
        let mut observations: Vec<Observation> =
            marks.iter().map(|m| Observation { seen: seen(m), spread: 1e-6 }).collect();
        observations.push(Observation { seen: Seen::List(heel), spread: ANGLE_SPREAD });
        let reading = Reading {
            condition,
            water_density: WATER,
            aboard: Vec::new(),
            observations,
            ..Reading::default()
        };
        let fit = back_solve(&level, &reading, &marks, ModelSpread::LEDGER).expect("a reading");
        let target = Target::at_the_marks(&marks).expect("marks");
        // A hundred grams by half a millimetre: a list of 0.75 thousandths of a radian at most.
        let advice = advise(&fit, basin, target, &marks, &Remedy::Shift { mass: 0.1 });
        let advice = advice.expect("an advice");
        assert_eq!(advice.steps.len(), 1, "one shift at {degrees}°");
        let foretold = predict(&fit, &advice, basin, condition, &marks).expect("a boat");
        let list = foretold.expect("it can be followed").list.expect("the list was read");
        let (tan, cos) = (heel.tan(), heel.cos());
        let by_list = ANGLE_SPREAD * (GM + 1.5 * BM * tan * tan) / (cos * cos) / GM;
        let by_height = ModelSpread::LEDGER.centre_height * (tan - list.value.tan()) / GM;
        // First order at λ: what is left out is 3/2 BM tan²λ / GM, below 1e-5.
        assert_close(list.spread, by_list.hypot(by_height), 2e-5, "± of the list foretold");
        assert_within(list.value, 0.0, 0.75e-3, "the list foretold");
    }
}
