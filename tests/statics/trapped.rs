//! The way up with water trapped in free-flooding space, against an independent program.
//!
//! Source: `tests/data/dive/*.json`, calculated by `calculate.py` beside them; its README says how,
//! and why each tolerance is what it is.

use crate::support::assert_within;
use crate::support::case::{boat, list, number, read_solid, text};
use serde_json::Value;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use trimwright::boat::{Boat, Housing, Part, Space, Tank};
use trimwright::diary::TEMPLATES;
use trimwright::dive::{LossCause, gm_loss};
use trimwright::float::{
    Basin, Container, FloatModel, Flooding, Heading, Order, Outcome, Passage, Steps, Sweep,
    SweepRow,
};
use trimwright::frame::Position;
use trimwright::geometry::{Fineness, Solid};

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/dive")
}

/// A case with the way up that the core finds.
struct Case {
    name: String,
    value: Value,
    spaces: Arc<[Space]>,
    passage: Passage,
    sweep: Sweep,
}

impl Case {
    fn of(path: &Path) -> Self {
        let name = path.file_stem().and_then(|n| n.to_str()).expect("a name").to_owned();
        let read = std::fs::read_to_string(path).expect("the case");
        let value: Value = serde_json::from_str(&read).expect("JSON");
        let space = |s: &Value| Space {
            name: text(s, "name").to_owned(),
            cavity: read_solid(&s["solid"], &folder()).mesh(Fineness::WORK).expect("a good space"),
            permeability: number(s, "permeability"),
            drain: number(s, "drain_s"),
        };
        let spaces: Arc<[Space]> = list(&value["boat"], "spaces").iter().map(space).collect();
        let boat = boat(&value["boat"], &folder());
        let model = FloatModel::new(&boat, Fineness::WORK).expect("a good boat");
        let seconds = vec![number(&value["blow"], "seconds"); boat.tanks.len()];
        let flooding = Flooding::new(&model, Heading::Up, Order::Together, &seconds);
        let basin = Basin::deep(number(&value, "water_density"));
        let n_rows = list(&value["expected"], "rows").len();
        let steps = Steps { n_rows: u32::try_from(n_rows).expect("a few"), refined: false };
        let passage =
            Passage::new(&model, basin, flooding.expect("good times"), Arc::clone(&spaces), steps)
                .expect("good water");
        let sweep = Sweep::along(passage.clone()).expect("good tanks");
        Self { name, value, spaces, passage, sweep }
    }

    fn all() -> Vec<Self> {
        let files = std::fs::read_dir(folder()).expect("the cases");
        let mut paths: Vec<PathBuf> = files.map(|f| f.expect("a file").path()).collect();
        paths.retain(|path| path.extension().is_some_and(|e| e == "json"));
        paths.sort();
        assert_eq!(paths.len(), 5, "all cases are there");
        paths.iter().map(|path| Self::of(path)).collect()
    }

    fn named(name: &str) -> Self {
        Self::of(&folder().join(format!("{name}.json")))
    }

    fn check(&self, row: &SweepRow, expected: &Value) {
        let tolerance = |key: &str| number(&self.value["tolerance"], key);
        let fill = number(expected, "fill");
        let within = |what: &str, got: f64, wanted: f64, tolerance: f64| {
            assert_within(got, wanted, tolerance, &format!("{}: {what} at fill {fill}", self.name));
        };
        within("fill", row.fill, fill, 1e-9);
        let status = match row.outcome {
            Outcome::Floats(_) => "floats",
            Outcome::Neutral(_) => "neutral",
            Outcome::Sinks(_) => "sinks",
        };
        assert_eq!(status, text(expected, "status"), "{} at fill {fill}", self.name);
        // A boat that lolls goes to either side.
        let (heel, wanted) = (row.pose().heel().to_degrees(), number(expected, "phi_deg"));
        let (heel, wanted) =
            if row.loll.is_some() { (heel.abs(), wanted.abs()) } else { (heel, wanted) };
        within("heel", heel, wanted, tolerance("phi_deg"));
        let trim = row.pose().trim().to_degrees();
        within("trim", trim, number(expected, "theta_deg"), tolerance("theta_deg"));
        if status == "floats" {
            within("h", row.pose().height(), number(expected, "h"), tolerance("h"));
        }
        let stiffness = row.stiffness();
        within("GM", stiffness.across, number(expected, "gm_t"), tolerance("gm"));
        within("GM along", stiffness.along, number(expected, "gm_l"), tolerance("gm"));
        let upright = number(expected, "gm_t_upright");
        within("GM upright", row.upright.across, upright, tolerance("gm"));
        let upright = number(expected, "theta_upright_deg");
        within(
            "trim upright",
            row.upright_pose.trim().to_degrees(),
            upright,
            tolerance("theta_deg"),
        );
        let mut dry = 0.0;
        for ((space, got), wanted) in
            self.spaces.iter().zip(&row.trapped).zip(list(expected, "spaces"))
        {
            within(&space.name, *got, number(wanted, "volume"), tolerance("volume"));
            let room = space.cavity.volume() - number(wanted, "below_surface");
            dry += room * space.permeability * self.passage.basin().density;
        }
        // Theirs counts the dry part of a space as buoyancy still to come, ours does not.
        let residual = number(expected, "residual_g") + dry * 1e3;
        within("residual", row.residual * 1e3, residual, tolerance("residual_g"));
    }
}

#[test]
fn the_way_up_is_that_of_an_independent_program() {
    for case in Case::all() {
        let rows = list(&case.value["expected"], "rows");
        assert_eq!(case.sweep.rows.len(), rows.len(), "{}", case.name);
        for (row, expected) in case.sweep.rows.iter().zip(rows) {
            case.check(row, expected);
        }
    }
}

/// What trapped water takes from GM where it is least, metres: by surface and by weight.
fn taken(case: &Case) -> f64 {
    let rows = &case.sweep.rows;
    let least = case.sweep.row_of_least(|row| row.upright.across).expect("rows");
    let model = |row: &SweepRow| case.passage.model_in(row).expect("its own row");
    let (before, after) = (model(&rows[0]), model(least));
    let loss = gm_loss(
        case.passage.basin(),
        (&before, rows[0].upright_pose),
        (&after, least.upright_pose),
    )
    .expect("good water");
    let sum: f64 = loss.parts.iter().map(|(_, loss)| loss).sum();
    let whole = rows[0].upright.across - least.upright.across;
    assert_within(sum, whole, 1e-9, &format!("{}: the sum", case.name));
    let first = loss.parts[0].0;
    assert!(matches!(first, LossCause::Weight(Container::Space(_))), "{}: {loss:?}", case.name);
    let of_space = |cause: &LossCause| {
        matches!(
            cause,
            LossCause::FreeSurface(Container::Space(_)) | LossCause::Weight(Container::Space(_))
        )
    };
    loss.parts.iter().filter(|(cause, _)| of_space(cause)).map(|(_, loss)| loss).sum()
}

#[test]
fn trapped_water_is_named_as_what_makes_the_boat_top_heavy() {
    let (slow, fast) =
        (taken(&Case::named("top_heavy_slow")), taken(&Case::named("top_heavy_fast")));
    assert!(slow > 0.005, "most of what the boat loses: {slow} m");
    assert!(fast < 0.6 * slow, "less when it drains quickly: {fast} m of {slow} m");
}

#[test]
fn a_space_that_drains_at_once_is_as_if_it_were_not_there() {
    let mut case = Case::named("stable_slow");
    for space in case.value["boat"]["spaces"].as_array_mut().expect("spaces") {
        space["drain_s"] = 0.0.into();
    }
    let path = std::env::temp_dir().join(format!("drains-at-once-{}.json", std::process::id()));
    std::fs::write(&path, case.value.to_string()).expect("a place for files");
    let at_once = Case::of(&path);
    std::fs::remove_file(&path).expect("it was just written");
    for row in at_once.sweep.rows.iter().skip(1) {
        for (space, held) in at_once.spaces.iter().zip(&row.trapped) {
            let pose = row.pose();
            let outside = space.cavity.below(pose.up(), pose.height()).volume;
            assert_within(*held, outside, 1e-10, &format!("{} at {}", space.name, row.fill));
        }
    }
    let (free, last) = (at_once.sweep.rows.last(), case.sweep.rows.last());
    let gm = |row: Option<&SweepRow>| row.expect("rows").upright.across;
    assert!(gm(free) > gm(last), "no water is held back: {} and {}", gm(free), gm(last));
}

/// Seconds in which the tank of the wall-sided boat is blown.
const BLOWN: f64 = 60.0;

/// Two dry floats with an open space between them, all wall-sided, whose surface stays between the
/// floor and the roof of the space on the whole way.
fn wall_sided(drain: f64, n_rows: u32) -> Sweep {
    let solid =
        |size: [f64; 3], y: f64, z: f64| Solid::Box { size, centre: Position::new(0.0, y, z) };
    let float = |y: f64| {
        Part::solid("float", 1.55, Position::new(0.0, y, 0.03), solid([0.6, 0.05, 0.2], y, 0.1))
    };
    let tank = Tank {
        fill: 1.0,
        liquid_density: 1000.0,
        housing: Housing::InsideAPart,
        ..Tank::new("tank", solid([0.5, 0.1, 0.1], 0.0, 0.05))
    };
    let boat =
        Boat { parts: vec![float(0.085), float(-0.085)], tanks: vec![tank], ..Boat::default() };
    let model = FloatModel::new(&boat, Fineness::WORK).expect("a good boat");
    let cavity = solid([0.6, 0.1, 0.1], 0.0, 0.1).mesh(Fineness::WORK).expect("a box");
    let space = Space { name: "between".to_owned(), cavity, permeability: 0.5, drain };
    let flooding = Flooding::new(&model, Heading::Up, Order::Together, &[BLOWN]);
    let steps = Steps { n_rows, refined: false };
    let passage = Passage::new(
        &model,
        Basin::deep(1000.0),
        flooding.expect("good times"),
        Arc::from([space]),
        steps,
    );
    Sweep::along(passage.expect("good water")).expect("good tanks")
}

/// The greatest difference of what the space of the wall-sided boat holds from the closed form, m³.
///
/// Source: closed form. The floats' waterplane is 0.06 m², the space's 0.06 m² with half of it
/// water, the floats weigh 3.1 kg, the tank's water falls from 5 kg to nothing: weight is buoyancy
/// where o = c + V / 3, with c = (5.1 - 5 t / 60) / 1500 m³. With dV/dt = -(V - o) / drain what
/// stands too high, d = V - o, goes to a drain / (1 - 1/3), where a is how fast c falls, as
/// exp(-(1 - 1/3) t / drain).
fn off_the_closed_form(drain: f64, n_rows: u32) -> f64 {
    let gain = 1.0 / 3.0;
    let falls = 5.0 / 1500.0 / BLOWN;
    let steady = falls * drain / (1.0 - gain);
    let first = 6.0e-3 - 5.4e-3;
    let off = |row: &SweepRow| {
        let left = (-(1.0 - gain) * row.time / drain).exp();
        let high = steady + (first - steady) * left;
        let outside = (5.1 / 1500.0 - falls * row.time + gain * high) / (1.0 - gain);
        (row.trapped[0] - (outside + high)).abs()
    };
    wall_sided(drain, n_rows).rows.iter().map(off).fold(0.0, f64::max)
}

#[test]
fn a_wall_sided_space_drains_as_its_closed_form() {
    // 0.03 ml of 6000 ml at 101 rows, and a quarter of it at twice the rows: the level outside is
    // taken to go evenly over each step, which is wrong in the second order.
    for drain in [5.0, 20.0, 60.0] {
        let [coarse, fine] = [101, 201].map(|n_rows| off_the_closed_form(drain, n_rows));
        assert!(coarse < 3e-8, "{coarse} m³ at 101 rows, drained in {drain} s");
        let order = (coarse / fine).log2();
        assert!((1.9..2.1).contains(&order), "order {order}, drained in {drain} s");
    }
}

/// Stiffness, as GM, below which a turn tells more of how little holds the boat than of its water:
/// a boat that is just coming out, metres.
const HARDLY_HELD: f64 = 0.005;

/// How far two ways of a boat lie apart at the times both have rows at: turned (radians), risen
/// (metres), and the difference of what its spaces hold (m³).
fn apart(coarse: &Sweep, fine: &Sweep) -> [f64; 3] {
    let times = (fine.rows.len() - 1) / (coarse.rows.len() - 1);
    let pairs = coarse.rows.iter().zip(fine.rows.iter().step_by(times));
    pairs.fold([0.0; 3], |[turned, risen, held], (a, b)| {
        assert_within(a.time, b.time, 1e-9, "the times of the rows");
        let held =
            a.trapped.iter().zip(&b.trapped).fold(held, |most, (a, b)| most.max((a - b).abs()));
        let rests =
            |row: &SweepRow| row.outcome.afloat().is_some() && row.stiffness().least > HARDLY_HELD;
        if !(rests(a) && rests(b)) {
            return [turned, risen, held];
        }
        let turn = a.pose().up().angle(&b.pose().up());
        let rise = (a.pose().height() - b.pose().height()).abs();
        [turned.max(turn), risen.max(rise), held]
    })
}

#[test]
fn the_way_up_is_the_same_at_twice_the_rows() {
    let mut n_boats = 0;
    for template in TEMPLATES {
        let record = template.boat_record().expect("a file of ours");
        let model = FloatModel::new(&record.boat().expect("a good boat"), Fineness::WORK);
        let model = model.expect("a good boat");
        let plan = record.plan(&model, Heading::Up);
        if plan.spaces.is_empty() {
            continue;
        }
        n_boats += 1;
        let way = |n_rows: u32| {
            let flooding = plan.flooding(&model, Heading::Up).expect("good times");
            let steps = Steps { n_rows, refined: false };
            let spaces = Arc::clone(&plan.spaces);
            let passage = Passage::new(&model, Basin::deep(998.2), flooding, spaces, steps);
            Sweep::along(passage.expect("good water")).expect("good tanks")
        };
        let [coarse, fine, finest] = [101, 201, 401].map(way);
        // A quarter at each doubling while the level outside goes on evenly; at the row where a
        // space comes out it does not, so that the bounds leave something for that: a tenth of a
        // degree, a fiftieth of a millimetre, half a millilitre at 101 rows.
        for (a, b, share) in [(&coarse, &fine, 1.0), (&fine, &finest, 0.25)] {
            let what = |unit: &str| format!("{}, {} rows: {unit}", template.name, a.rows.len());
            let [turned, risen, held] = apart(a, b);
            assert!(turned < 2e-3 * share, "{}", what(&format!("turned by {turned} rad")));
            assert!(risen < 2e-5 * share, "{}", what(&format!("risen by {risen} m")));
            assert!(held < 5e-7 * share, "{}", what(&format!("holds {held} m³ more or less")));
        }
    }
    assert_eq!(n_boats, 4, "each of them drains");
}
