//! Tanks with a piston, with a bag, and closed ones: closed forms, and what follows on the way down.

use crate::support::fit::HEIGHT;
use crate::support::{assert_close, assert_within};
use nalgebra::Vector3;
use std::f64::consts::PI;
use trimwright::boat::{
    Boat, Bulkhead, BulkheadDirection, FillLimit, Housing, Part, Piston, Tank, TankEnd, TankError,
    TankKind,
};
use trimwright::diary::{BoatRecord, compare};
use trimwright::dive::{Change, CureKind, LossCause, Plan, Way, gm_loss};
use trimwright::float::{
    Basin, BoatError, Container, FloatModel, Heading, PartProblem, Sweep, Tolerance, hang, release,
    upright_stiffness,
};
use trimwright::frame::{Body, Position, up_from_angles};
use trimwright::geometry::{Axis, Fineness, Solid};

const WATER: f64 = 1000.0;
/// A second moment of a round solid of 512 corners: three times angle²/12.
const FACETS: f64 = 3.8e-5;

fn piston(inlet: TankEnd, mass: f64) -> TankKind {
    TankKind::Piston(Piston { inlet, mass })
}

/// A cylinder fore and aft of 350 ml, 140 mm long, with its middle at a place.
fn cylinder(centre: Position<Body>) -> Solid {
    let (length, volume) = (0.14, 350e-6);
    let diameter = (4.0 * volume / (PI * length)).sqrt();
    Solid::Cylinder { axis: Axis::X, length, diameter, centre }
}

/// A box 0.6 × 0.12 × 0.12 m about the origin of 5 kg, low in weight, with one tank of 350 ml inside.
fn boat(kind: TankKind, at: Position<Body>) -> Boat {
    let hull = Solid::Box { size: [0.6, 0.12, 0.12], centre: Position::ORIGIN };
    let tank = Tank {
        kind,
        liquid_density: WATER,
        housing: Housing::InsideAPart,
        ..Tank::new("tank", cylinder(at))
    };
    Boat {
        name: "box".to_owned(),
        parts: vec![Part::solid("hull", 5.0, Position::new(0.0, 0.0, -0.03), hull)],
        tanks: vec![tank],
        ..Boat::default()
    }
}

fn model(boat: &Boat) -> FloatModel {
    FloatModel::new(boat, Fineness::WORK).expect("a good boat")
}

fn filled(boat: &Boat, fill: f64) -> FloatModel {
    model(boat).with_fill(0, fill).expect("its tank")
}

/// The moment of all weight with the body's "up" at these angles, kg·m.
fn moment(model: &FloatModel, heel_deg: f64, trim_deg: f64) -> Vector3<f64> {
    let up = up_from_angles(heel_deg.to_radians(), trim_deg.to_radians());
    model.centre_of_gravity(up).vector() * model.mass()
}

#[test]
fn water_behind_a_piston_and_the_piston_are_where_they_are_at_any_attitude() {
    // Source: closed form. 350 ml, 140 mm long about (0.05, 0.01, -0.02): half full from aft the
    // water is 175 g with its middle a quarter along, x = 0.05 - 0.07 + 0.035; the piston of 60 g
    // stands in the middle, x = 0.05. From fore the water's is 0.05 + 0.07 - 0.035.
    let at = Position::new(0.05, 0.01, -0.02);
    let hull = Vector3::new(0.0, 0.0, -0.03) * 5.0;
    for (inlet, x) in [(TankEnd::Aft, 0.015), (TankEnd::Fore, 0.085)] {
        let half = filled(&boat(piston(inlet, 0.06), at), 0.5);
        assert_close(half.mass(), 5.0 + 0.175 + 0.06, 1e-12, "hull, water and piston");
        let expected =
            hull + Vector3::new(x, 0.01, -0.02) * 0.175 + Vector3::new(0.05, 0.01, -0.02) * 0.06;
        for (heel, trim) in [(0.0, 0.0), (20.0, 0.0), (0.0, 15.0), (-35.0, 40.0), (120.0, -60.0)] {
            let got = moment(&half, heel, trim);
            let off = (got - expected).norm();
            assert!(off < 1e-12, "{inlet:?} at {heel}, {trim}: {got:?}, expected {expected:?}");
        }
    }
}

#[test]
fn an_empty_and_a_full_piston_tank_weigh_at_their_ends() {
    // Source: closed form. Empty: the piston at the inlet's end; full: at the other, and all water
    // about the middle of the cylinder.
    let at = Position::new(0.05, 0.0, 0.0);
    for (inlet, empty, full) in [(TankEnd::Aft, -0.02, 0.12), (TankEnd::Fore, 0.12, -0.02)] {
        let boat = boat(piston(inlet, 0.06), at);
        assert_close(boat.dry_mass(), 5.06, 1e-12, "the piston is part of the dry boat");
        let x = |fill| moment(&filled(&boat, fill), 0.0, 0.0).x;
        assert_within(x(0.0), 0.06 * empty, 1e-12, "empty");
        assert_within(x(1.0), 0.06 * full + 0.35 * 0.05, 1e-12, "full");
    }
}

#[test]
fn water_in_a_bag_acts_in_the_middle_at_any_fill_and_attitude() {
    // Source: closed form, fill × 350 g at the middle of the space.
    let at = Position::new(0.05, 0.01, -0.02);
    for fill in [0.2, 0.5, 0.9] {
        let model = filled(&boat(TankKind::Bag, at), fill);
        let expected = Vector3::new(0.0, 0.0, -0.15) + at.vector() * (0.35 * fill);
        for (heel, trim) in [(0.0, 0.0), (25.0, -10.0), (90.0, 0.0)] {
            let off = (moment(&model, heel, trim) - expected).norm();
            assert!(off < 1e-12, "{fill} at {heel}, {trim}: off by {off} kg m");
        }
    }
}

#[test]
fn a_piston_and_a_bag_have_no_free_surface() {
    // Source: closed form, GM = KB + BM - KG of a box with all weight fixed. Box 0.6 × 0.12 m, whole
    // mass m: draught T = m / (ρ L B), K at z = -0.06; the water, half of 350 g, at z = 0.
    let m = 5.175;
    let draught = m / (WATER * 0.6 * 0.12);
    let gm = draught / 2.0 + 0.12 * 0.12 / (12.0 * draught) - (0.06 + 5.0 * -0.03 / m);
    for kind in [piston(TankEnd::Aft, 0.0), TankKind::Bag] {
        // At the box's middle, so that a bag does not trim it; a piston's water does.
        let half = filled(&boat(kind, Position::ORIGIN), 0.5);
        let (got, _) =
            upright_stiffness(&half, Basin::deep(WATER), None, &Tolerance::FINE).expect("water");
        assert_within(got.free_surface_across, 0.0, 0.0, "no loss across");
        assert_within(got.free_surface_along, 0.0, 0.0, "no loss along");
        if kind == TankKind::Bag {
            assert_close(got.across, gm, 1e-9, "GM");
        }
    }
    // An open one, round and half full: i = L d³ / 12 (Derrett & Barrass, *Ship Stability for
    // Masters and Mates*, free surface chapter).
    let round = FloatModel::new(&boat(TankKind::Open, Position::ORIGIN), Fineness::FINE);
    let open = round.expect("a good boat").with_fill(0, 0.5).expect("its tank");
    let (got, _) =
        upright_stiffness(&open, Basin::deep(WATER), None, &Tolerance::FINE).expect("water");
    let diameter: f64 = (4.0 * 350e-6 / (PI * 0.14)).sqrt();
    let loss = 0.14 * diameter.powi(3) / 12.0 * WATER / m;
    assert_close(got.free_surface_across, loss, FACETS, "the same tank, open");
}

#[test]
fn the_end_where_the_water_comes_in_turns_the_boat() {
    // By hand: a box 0.6 × 0.12 m whose 350 ml tank, 140 mm long, lies amidships. Half full, 175 g
    // stand 35 mm from the middle towards the inlet's end: a moment of 6.125e-3 kg m. The piston
    // weighs nothing. m = 5.175 kg, draught T = 71.875 mm, BM_L = L²/12T = 417.391 mm,
    // KB = 35.9375 mm, KG = 60 - 150/5.175 = 31.01449 mm, GM_L = 422.314 mm.
    // A box stays wall-sided, so that tan θ (GM_L + BM_L tan²θ / 2) = 6.125e-3 / 5.175 = 1.183575 mm:
    // θ = 0.16058°, by the stern when the water comes in aft.
    for (inlet, sign) in [(TankEnd::Aft, -1.0), (TankEnd::Fore, 1.0)] {
        let half = filled(&boat(piston(inlet, 0.0), Position::ORIGIN), 0.5);
        let outcome = release(&half, Basin::deep(WATER), &Tolerance::FINE).expect("water");
        let trim = outcome.afloat().expect("it floats").pose.trim().to_degrees();
        assert_within(trim, sign * 0.16058, 0.5001e-5, "bow down is positive");
    }
}

#[test]
fn under_water_a_piston_that_moves_turns_the_boat_to_a_new_vertical() {
    // Source: closed form: G hangs under B. Hull as heavy as makes it 9 kg of 8.64 kg of water, at
    // z = -0.03; 175 g at x = ∓0.035 and a piston of 100 g in the middle of the tank at z = 0.01.
    let at = Position::new(0.0, 0.0, 0.01);
    let mut heavy = boat(piston(TankEnd::Aft, 0.1), at);
    heavy.parts[0].mass = 9.0;
    let pose =
        hang(&filled(&heavy, 0.5), Basin::deep(WATER), &Tolerance::FINE).expect("water").pose;
    let (x, z): (f64, f64) = (-0.035 * 0.175, 9.0 * -0.03 + 0.275 * 0.01);
    // Bow down is positive, and G hangs straight below B at the origin: tan θ = x / -z.
    assert_within(pose.trim(), (x / -z).atan(), 1e-9, "trim");
}

#[test]
fn boyle_tells_how_full_a_closed_tank_gets() {
    // Source: Boyle's law, V2 / V1 = p1 / p2 at constant temperature, from 1 bar absolute. A pump of
    // 1 bar leaves half of the air, one of 3 bar a quarter; 0.25 of the tank never blown empty
    // leaves 0.75 of air, of which 3 bar leave 0.1875. At 2 m in water of 1000 kg/m³ the pressure
    // is 1 + 0.196133 bar: 1 - 1/1.196133 = 0.163973.
    let range = |stop, range| {
        let mut boat = boat(TankKind::Sealed(stop), Position::ORIGIN);
        boat.tanks[0].range = range;
        model(&boat).usable_range(0).expect("its tank")
    };
    for (stop, typed, [low, high]) in [
        (FillLimit::Pump(1e5), None, [0.0, 0.5]),
        (FillLimit::Pump(3e5), None, [0.0, 0.75]),
        (FillLimit::Pump(3e5), Some([0.25, 1.0]), [0.25, 0.8125]),
        (FillLimit::Pump(3e5), Some([0.0, 0.4]), [0.0, 0.4]),
        (FillLimit::Depth(2.0), None, [0.0, 0.163973]),
    ] {
        let got = range(stop, typed);
        assert_within(got[0], low, 1e-12, &format!("{stop:?} least"));
        assert_within(got[1], high, 0.5001e-6, &format!("{stop:?} most"));
        let flooded = boat(TankKind::Sealed(stop), Position::ORIGIN);
        if typed.is_none() {
            let full = model(&flooded).flooded(1.0, WATER).expect("water");
            assert_close(full.mass() - 5.0, 0.35 * high, 1e-5, "what it takes to dive");
        }
    }
}

#[test]
fn a_closed_tank_has_a_free_surface_as_an_open_one() {
    let at = Position::new(0.02, 0.0, 0.0);
    let [open, closed] = [TankKind::Open, TankKind::Sealed(FillLimit::Pump(2e5))]
        .map(|kind| moment(&filled(&boat(kind, at), 0.4), 20.0, 5.0));
    let straight = moment(&filled(&boat(TankKind::Open, at), 0.4), 0.0, 0.0);
    assert!((open - closed).norm() < 1e-15, "{open:?} and {closed:?}");
    assert!((open - straight).norm() > 1e-4, "its water runs to the low side");
}

#[test]
fn what_cannot_be_is_refused_in_words() {
    let refused = |change: &dyn Fn(&mut Tank), expected: TankError| {
        let mut boat = boat(piston(TankEnd::Aft, 0.06), Position::ORIGIN);
        change(&mut boat.tanks[0]);
        match FloatModel::new(&boat, Fineness::WORK) {
            Err(BoatError::Part { problem: PartProblem::Tank(got), .. }) => {
                assert_eq!(got, expected, "the reason");
            }
            other => panic!("{expected:?}: {other:?}"),
        }
    };
    let ball = Solid::Sphere { diameter: 0.1, centre: Position::ORIGIN };
    refused(&|t| t.cavity = ball.clone(), TankError::PistonShape);
    let upright =
        Solid::Cylinder { axis: Axis::Z, length: 0.1, diameter: 0.05, centre: Position::ORIGIN };
    refused(&|t| t.cavity = upright.clone(), TankError::PistonShape);
    refused(
        &|t| {
            t.mass = 1.0;
            t.kind = piston(TankEnd::Aft, -0.5);
        },
        TankError::PistonMass(-0.5),
    );
    let wall = Bulkhead { way: BulkheadDirection::Lengthwise, at: 0.0 };
    refused(&|t| t.bulkheads = vec![wall], TankError::BulkheadInTheWay);
    for stop in [FillLimit::Pump(0.0), FillLimit::Pump(f64::NAN), FillLimit::Depth(-1.0)] {
        refused(&|t| t.kind = TankKind::Sealed(stop), TankError::NoStop);
    }
}

/// A tender boat with a tank of 0.3 × 0.1 × 0.06 m amidships: 10.8 kg of water, 9.2 kg dry.
fn tender(kind: TankKind) -> Boat {
    let hull = Solid::Box { size: [0.6, 0.15, 0.12], centre: Position::ORIGIN };
    let cavity = Solid::Box { size: [0.3, 0.1, 0.06], centre: Position::ORIGIN };
    let tank = Tank {
        kind,
        liquid_density: WATER,
        housing: Housing::InsideAPart,
        ..Tank::new("tank", cavity)
    };
    Boat {
        parts: vec![Part::solid("hull", 9.2, Position::new(0.0, 0.001, -0.004), hull)],
        tanks: vec![tank],
        ..Boat::default()
    }
}

fn way_down(boat: &Boat) -> Way {
    let plan = Plan { flood: vec![20.0; boat.tanks.len()], ..Plan::default() };
    let basin = Basin::deep(WATER);
    let passage = plan.passage(&model(boat), basin, Heading::Down).expect("good times");
    let sweep = Sweep::along(passage.clone()).expect("good tanks");
    Way::of(boat, passage, sweep, HEIGHT).expect("its own passage").expect("rows")
}

#[test]
fn free_surface_is_no_cause_and_bulkheads_no_cure_for_a_piston_or_a_bag() {
    let asks = |kind| {
        let boat = tender(kind);
        let way = way_down(&boat);
        let kinds: Vec<CureKind> = way
            .candidates(&boat, &model(&boat), 0.02)
            .expect("its own boat")
            .into_iter()
            .map(|cure| cure.kind)
            .collect();
        let basin = Basin::deep(WATER);
        let [before, after] = [0.0, 0.5].map(|fill| {
            let model = filled(&boat, fill);
            let (_, pose) =
                upright_stiffness(&model, basin, None, &Tolerance::FINE).expect("water");
            (model, pose)
        });
        let loss = gm_loss(basin, (&before.0, before.1), (&after.0, after.1)).expect("water");
        let own = LossCause::FreeSurface(Container::Tank(0));
        let parts: f64 = loss.parts.iter().map(|(_, part)| part).sum();
        assert_within(parts, loss.total(), 1e-12, "the causes add up");
        let surface = loss.parts.iter().find(|(cause, _)| *cause == own).map(|(_, loss)| *loss);
        (kinds, surface)
    };
    let (kinds, surface) = asks(TankKind::Open);
    assert!(kinds.contains(&CureKind::PartTank), "the open one is parted: {kinds:?}");
    assert!(surface.is_some_and(|loss| loss > 1e-3), "its surface counts: {surface:?}");
    for kind in [piston(TankEnd::Aft, 0.05), TankKind::Bag] {
        let (kinds, surface) = asks(kind);
        assert!(!kinds.is_empty(), "{kind:?}: something is proposed");
        let none = [CureKind::PartTank, CureKind::NarrowTank];
        assert!(!kinds.iter().any(|k| none.contains(k)), "{kind:?}: {kinds:?}");
        assert_within(
            surface.unwrap_or(0.0),
            0.0,
            0.0,
            &format!("{kind:?}: nothing by its surface"),
        );
    }
}

#[test]
fn a_piston_moved_with_its_tank_runs_in_its_new_place() {
    let boat = boat(piston(TankEnd::Fore, 0.06), Position::ORIGIN);
    let by = [0.03, 0.0, -0.01];
    let moved = Change::MoveTank { tank: 0, by }.applied(&boat).expect("its tank");
    let off = moment(&filled(&moved, 0.5), 10.0, 5.0) - moment(&filled(&boat, 0.5), 10.0, 5.0);
    // 175 g of water and the 60 g piston.
    let expected = Vector3::from(by) * 0.235;
    assert!((off - expected).norm() < 1e-12, "{off:?}, expected {expected:?}");
}

#[test]
fn the_record_weighs_what_the_boat_weighs() {
    // A piston of 60 g at the after end, x = -0.07, and a tank of 140 g in the middle: 200 g at
    // -0.021.
    let mut boat = boat(piston(TankEnd::Aft, 0.06), Position::ORIGIN);
    boat.tanks[0].mass = 0.14;
    let record = BoatRecord::ledger("it", &boat);
    let [sums, _] = compare(&record, &record).sums;
    assert_close(sums.tanks.mass_kg, 0.2, 1e-12, "tanks");
    assert_within(sums.tanks.centre_m().expect("it weighs")[0], -0.021, 1e-12, "their middle");
    assert_close(sums.aboard_kg(), boat.dry_mass(), 1e-12, "in all");
}
