//! Fits against published results: inclining experiments, a waterline worked back
//! to the centre of gravity.

use crate::support::bodies::{WATER, keeled_box, model};
use crate::support::fit::{HEIGHT, by_list};
use crate::support::{assert_close, assert_within};
use trimwright::ballast::{Remedy, Target, advise, predict};
use trimwright::boat::{Boat, Mark, Part};
use trimwright::fit::{
    Estimate, Fit, JointFit, KnownErrors, Sighting, Unknown, back_solve, estimate, gm_upright,
};
use trimwright::float::{Basin, FloatModel};
use trimwright::frame::Position;
use trimwright::geometry::{Axis, Fineness, Solid};
use trimwright::reading::{ANGLE_SPREAD, Aboard, Condition, Observation, Reading, Seen};

/// Source: an examination question in ship stability (as transcribed): 8000 t, pendulum 5.5 m,
/// masses moved 12 m. Masses, t, and deflections, mm.
const SHIFTS: [(f64, f64); 5] =
    [(3.0, 64.0), (6.0, 116.0), (0.0, 3.0), (-3.0, -54.0), (-6.0, -113.0)];
const ARM: f64 = 12.0;
const DISPLACEMENT: f64 = 8000e3;
/// In millimetres, as the deflections are.
const PENDULUM: f64 = 5500.0;

/// A round log, half of it under water, that carries so much, and states of it: a moment of weight moved to starboard
/// (a mass times a distance) and the tangent of its heel, read to `spread`.
///
/// Half a log rights itself by GM sin φ at any heel, and a weight moved turns it by w d cos φ: tan φ is w d over
/// displacement and GM, exactly. Nothing is known of the height and the offset of its weight.
fn inclined(displacement: f64, states: &[(f64, f64)], spread: f64) -> (Estimate, JointFit) {
    let (length, radius) = (40.0, 4.0);
    let solid =
        Solid::Cylinder { axis: Axis::X, length, diameter: 2.0 * radius, centre: Position::ORIGIN };
    let low = Position::new(0.0, 0.0, -1.0);
    let boat =
        Boat { parts: vec![Part::solid("log", displacement, low, solid)], ..Boat::default() };
    let model = FloatModel::new(&boat, Fineness { around: 720, along: 1 }).expect("a log");
    let density = displacement / (model.total_volume() / 2.0);
    let state = |&(moment, tan): &(f64, f64)| {
        // Any mass does: what counts is mass times distance.
        let mass = 1e-3 * displacement;
        let weight = |mass: f64, y: f64| Aboard {
            name: "weight".to_owned(),
            mass,
            at: Position::new(0.0, y, 0.0),
            off: 0.0,
            solid: None,
        };
        let reading = Reading {
            condition: Condition::Afloat,
            water_density: density,
            aboard: vec![weight(-mass, 0.0), weight(mass, -moment / mass)],
            observations: vec![Observation { seen: Seen::List(tan.atan()), spread }],
            ..Reading::default()
        };
        Sighting::wet(model.clone(), reading)
    };
    let sightings: Vec<Sighting> = states.iter().map(state).collect();
    let known = KnownErrors::independent([1e-9 * displacement, 1e-6, radius, radius, 1e-9]);
    let joint = estimate(model.bare(), &known, &sightings).expect("states of this log");
    let gm = gm_upright(&model, &joint.known, Basin::deep(density), None).expect("a log");
    (gm, joint)
}

#[test]
fn an_inclining_experiment_gives_the_slope_of_all_its_points() {
    // Source: closed form, the least-squares line through the five points: 1.6 mm of pendulum per
    // tonne metre, 3.2 mm with the masses amidships, 2.394 mm about the line, and the spread of the slope by GUM
    // H.3.
    // DIFFERENCE: the printed answer is 0.427 m; the mean of the four ratios is 0.4258 m. The
    // regression of all points, zero included, is what GUM H.3 and the IS Code's plot mean.
    let states = SHIFTS.map(|(t, mm)| (t * 1e3 * ARM, mm / PENDULUM));
    let (gm, joint) = inclined(DISPLACEMENT, &states, 2.394 / PENDULUM);
    // A list of 1.2° at most: angles and tangents differ by 1.4e-4 of themselves, and the log of 720
    // corners by 1e-5 from a round one.
    assert_close(gm.value, 0.4296875, 5e-4, "GM");
    assert_within(gm.spread, 0.0056, 0.5001e-4, "spread of GM");
    // What lies off centre lists it by 3.2 mm: mass times offset over mass times GM.
    let list = -joint.error(2).value / gm.value;
    assert_close(list, 3.2 / PENDULUM, 1e-3, "list with the masses amidships");
    // The residuals of the line, in spreads as far as they are free.
    for (fit, residual) in joint.sightings.iter().zip([3.2, -2.4, -0.2, 0.4, -1.0]) {
        let free = (1.0 - fit.leverage[0]).sqrt();
        assert_within(fit.normalised[0] * free * 2.394, residual, 0.02, "residual, mm");
    }
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
        (25.0 * 15.0, 0.20 / 4.0, 8000.0, 0.9375, 1e-4),
    ] {
        let state = |share: f64| (share * moment, share * tan);
        let (got, _) = inclined(displacement, &[state(-1.0), state(0.0), state(1.0)], 1e-7);
        assert_within(got.value, gm, half, "GM");
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
    back_solve(&level, &reading, &marks, &by_list(&level)).expect("an exact reading")
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
        let fit = back_solve(&level, &reading, &marks, &by_list(&level)).expect("a reading");
        let target = Target::at_the_marks(&marks).expect("marks");
        // A hundred grams by half a millimetre: a list of 0.75 thousandths of a radian at most.
        let advice = advise(&fit, basin, target, &marks, &Remedy::Shift { mass: 0.1 });
        let advice = advice.expect("an advice");
        assert_eq!(advice.steps.len(), 1, "one shift at {degrees}°");
        let foretold = predict(&fit, &advice, basin, condition, &marks).expect("a boat");
        let list = foretold.expect("it can be followed").list.expect("the list was read");
        let (tan, cos) = (heel.tan(), heel.cos());
        let by_angle = ANGLE_SPREAD * (GM + 1.5 * BM * tan * tan) / (cos * cos) / GM;
        let by_height = HEIGHT * (tan - list.value.tan()) / GM;
        // First order at λ: what is left out is 3/2 BM tan²λ / GM, below 1e-5.
        assert_close(list.spread, by_angle.hypot(by_height), 2e-5, "± of the list foretold");
        assert_within(list.value, 0.0, 0.75e-3, "the list foretold");
    }
}
