//! The way up with water trapped in free-flooding space, against an independent program.
//!
//! Source: `tests/data/dive/*.json`, calculated by `calculate.py` beside them; its README says how,
//! and why each tolerance is what it is.

use crate::support::assert_within;
use crate::support::case::{boat, list, number, read_solid, text};
use serde_json::Value;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use trimwright::boat::Space;
use trimwright::dive::{LossCause, gm_loss};
use trimwright::float::{
    Basin, FloatModel, Flooding, Heading, Holder, Order, Outcome, Passage, Steps, Sweep, SweepRow,
};
use trimwright::geometry::Fineness;

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
            Outcome::Floats(_) | Outcome::BottomsOut { .. } => "floats",
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
        within("trim upright", row.upright_trim().to_degrees(), upright, tolerance("theta_deg"));
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
    let least = case.sweep.least(|row| row.upright.across).expect("rows");
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
    assert!(matches!(first, LossCause::Weight(Holder::Space(_))), "{}: {loss:?}", case.name);
    let of_space = |cause: &LossCause| {
        matches!(
            cause,
            LossCause::FreeSurface(Holder::Space(_)) | LossCause::Weight(Holder::Space(_))
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
            // What was outside one step before: the boat rises a little in each.
            assert!(*held >= outside - 1e-12, "{held} inside, {outside} outside");
        }
    }
    let (free, last) = (at_once.sweep.rows.last(), case.sweep.rows.last());
    let gm = |row: Option<&SweepRow>| row.expect("rows").upright.across;
    assert!(gm(free) > gm(last), "no water is held back: {} and {}", gm(free), gm(last));
}
