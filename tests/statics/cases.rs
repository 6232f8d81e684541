//! Every JSON case of a folder: boats calculated by an independent program.
//!
//! Source: the cases in `tests/data/cases/`, whose README says how they were made and checked; or
//! the folder named by the environment variable `TRIM_CASES`, in the same format. Each value is
//! held to its own case's tolerance.

use crate::support::case::{boat, list, number, place, text, triple};
use crate::support::fit::by_list;
use nalgebra::Vector3;
use serde_json::Value;
use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use trimwright::ballast::{Need, Target, forecast};
use trimwright::boat::Mark;
use trimwright::fit::back_solve;
use trimwright::float::{
    Afloat, Basin, FloatModel, NEUTRAL, Outcome, Stiffness, Submerged, SweepRow, Tolerance, hang,
    release, righting_lever, righting_lever_under, stable_attitudes, sweep,
};
use trimwright::frame::{Pose, Position, up_from_angles};
use trimwright::geometry::Fineness;
use trimwright::reading::{ANGLE_SPREAD, Condition, MARK_SPREAD, Observation, Reading, Seen};

const TOLERANCE: Tolerance = Tolerance::FINE;

#[test]
fn every_case_of_the_folder_agrees() {
    let folder = std::env::var_os("TRIM_CASES").map_or_else(
        || Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/cases"),
        PathBuf::from,
    );
    let mut files: Vec<PathBuf> = std::fs::read_dir(&folder)
        .unwrap_or_else(|e| panic!("the folder {} cannot be read: {e}", folder.display()))
        .filter_map(|entry| Some(entry.ok()?.path()))
        .filter(|path| path.extension().is_some_and(|e| e == "json"))
        .collect();
    files.sort();
    assert!(!files.is_empty(), "the folder {} holds no cases", folder.display());
    let mut wrong = String::new();
    for path in &files {
        let case = read(path);
        let problems = check(&case, &folder);
        let verdict = if problems.is_empty() { "agrees" } else { "DIFFERS" };
        println!("case {:<28} {verdict}", text(&case, "name"));
        for problem in problems {
            println!("    {problem}");
            let _ = writeln!(wrong, "{}: {problem}", text(&case, "name"));
        }
    }
    println!("{} cases", files.len());
    assert!(wrong.is_empty(), "\n{wrong}");
}

fn read(path: &Path) -> Value {
    let bytes = std::fs::read_to_string(path).expect("a readable file");
    serde_json::from_str(&bytes).unwrap_or_else(|e| panic!("{}: {e}", path.display()))
}

/// What of a case does not agree, a line each.
fn check(case: &Value, folder: &Path) -> Vec<String> {
    let mut problems = Problems::default();
    match text(case, "kind") {
        "equilibrium" => check_equilibrium(case, folder, &mut problems),
        "sweep" => check_sweep(case, folder, &mut problems),
        "backsolve" => check_back_solve(case, folder, &mut problems),
        "estimate" => return crate::estimates::check(case, folder),
        "plan" => return crate::plans::check(case, folder),
        other => problems.0.push(format!("no such kind of case: {other}")),
    }
    problems.0
}

#[derive(Default)]
struct Problems(Vec<String>);

impl Problems {
    fn within(&mut self, what: &str, got: f64, expected: f64, tolerance: f64) {
        // Written so that a result that is not a number differs too.
        let agrees = (got - expected).abs() <= tolerance;
        if !agrees {
            self.0.push(format!("{what}: got {got}, expected {expected} ± {tolerance}"));
        }
    }

    fn vector(&mut self, what: &str, got: Vector3<f64>, expected: &Value, tolerance: f64) {
        for (axis, (g, e)) in "xyz".chars().zip(got.iter().zip(triple(expected))) {
            self.within(&format!("{what} {axis}"), *g, e, tolerance);
        }
    }

    fn same(&mut self, what: &str, got: &str, expected: &str) {
        if got != expected {
            self.0.push(format!("{what}: got {got}, expected {expected}"));
        }
    }
}

fn status(outcome: &Outcome) -> &'static str {
    match outcome {
        Outcome::Floats(_) => "floats",
        Outcome::Neutral(_) => "neutral",
        Outcome::Sinks(_) => "sinks",
    }
}

fn up_of(expected: &Value) -> nalgebra::Unit<Vector3<f64>> {
    up_from_angles(
        number(expected, "phi_deg").to_radians(),
        number(expected, "theta_deg").to_radians(),
    )
}

/// The listed attitude nearest to a pose, and how far away it is, degrees.
fn nearest(listed: &[Value], pose: Pose) -> Option<(&Value, f64)> {
    listed
        .iter()
        .map(|e| (e, up_of(e).angle(&pose.up()).to_degrees()))
        .min_by(|a, b| a.1.total_cmp(&b.1))
}

fn check_equilibrium(case: &Value, folder: &Path, problems: &mut Problems) {
    let (expected, tolerance) = (&case["expected"], &case["tolerance"]);
    let basin = Basin::deep(number(case, "water_density"));
    let model = match FloatModel::new(&boat(&case["boat"], folder), Fineness::WORK) {
        Ok(model) => model,
        Err(error) => return problems.0.push(format!("the boat was refused: {error}")),
    };
    let total = number(expected, "total_volume");
    problems.within("mass", model.mass(), number(expected, "mass"), number(tolerance, "mass"));
    let volume_tolerance = number(tolerance, "volume_rel") * total;
    problems.within("total volume", model.total_volume(), total, volume_tolerance);
    let residual_tolerance =
        number(tolerance, "residual_g_rel_total_volume") * total * basin.density * 1e3;
    let residual = model.residual_mass(basin.density) * 1e3;
    problems.within("residual_g", residual, number(expected, "residual_g"), residual_tolerance);

    let listed = list(expected, "equilibria");
    let held = text(case, "mode") == "held_submerged";
    if held {
        let under = hang(&model, basin, &TOLERANCE).expect("good water");
        problems.same("status", "submerged", text(expected, "status"));
        check_submerged(&under, listed, tolerance, problems);
    } else {
        let outcome = release(&model, basin, &TOLERANCE).expect("good water");
        problems.same("status", status(&outcome), text(expected, "status"));
        match &outcome {
            Outcome::Floats(afloat) => {
                check_primary(afloat, expected, tolerance, problems);
                check_others(&model, basin, listed, tolerance, problems);
            }
            Outcome::Neutral(under) | Outcome::Sinks(under) => {
                check_submerged(under, listed, tolerance, problems);
            }
        }
    }
    for row in list(expected, "gz") {
        let heel = number(row, "phi_deg");
        let lever = if held { righting_lever_under } else { righting_lever };
        let got = lever(&model, basin, heel.to_radians(), &TOLERANCE).expect("good water");
        let name = format!("gz at {heel}");
        problems.within(&name, got.lever, number(row, "gz"), number(tolerance, "gz"));
        let trim = got.trim.to_degrees();
        let trim_tolerance = number(tolerance, "gz_theta_deg");
        let name = format!("trim at heel {heel}");
        problems.within(&name, trim, number(row, "theta_deg"), trim_tolerance);
    }
}

/// The primary attitude itself, or, where the case lists it, its mirror image.
fn check_primary(afloat: &Afloat, expected: &Value, tolerance: &Value, problems: &mut Problems) {
    let primary = &expected["primary"];
    let mirror_listed = list(expected, "equilibria").iter().any(|e| {
        (number(e, "phi_deg") + number(primary, "phi_deg")).abs() < 1e-3
            && (number(e, "theta_deg") - number(primary, "theta_deg")).abs() < 1e-3
    });
    let heel = afloat.pose.heel().to_degrees();
    let (want_heel, want_trim) = (number(primary, "phi_deg"), number(primary, "theta_deg"));
    let got_heel = if mirror_listed { heel.abs() } else { heel };
    let want = if mirror_listed { want_heel.abs() } else { want_heel };
    problems.within("phi_deg", got_heel, want, number(tolerance, "phi_deg"));
    let trim = afloat.pose.trim().to_degrees();
    problems.within("theta_deg", trim, want_trim, number(tolerance, "theta_deg"));
    check_state(afloat, primary, mirror_listed, tolerance, problems);
}

/// Everything of a state but its angles. `either_side` compares across the centre plane freely.
fn check_state(
    afloat: &Afloat,
    expected: &Value,
    either_side: bool,
    tolerance: &Value,
    problems: &mut Problems,
) {
    let side = |v: Vector3<f64>| if either_side { v.abs() } else { v };
    let listed = |key: &str| {
        let v = Vector3::from(triple(&expected[key]));
        serde_json::json!(side(v).as_slice())
    };
    let t = |key: &str| number(tolerance, key);
    let pose = afloat.pose;
    problems.within("h", pose.height(), number(expected, "h"), t("h"));
    let volume = number(expected, "volume");
    problems.within("volume", afloat.volume, volume, t("volume_rel") * volume);
    let cb = afloat.centre_of_buoyancy.vector();
    problems.vector("cb", side(cb), &listed("cb_body"), t("cb"));
    let cg = afloat.centre_of_gravity.vector();
    problems.vector("cg", side(cg), &listed("cg_body"), t("cg"));
    let above = pose.up().dot(&(cg - cb));
    problems.within("cg above cb", above, number(expected, "cg_above_cb"), t("cb") + t("cg"));
    let depth = -pose.height_of(afloat.centre_of_buoyancy);
    problems.within("cb depth", depth, number(expected, "cb_depth"), t("cb") + t("h"));
    let area = number(expected, "waterplane_area");
    let got_area = afloat.waterplane.area;
    problems.within("waterplane area", got_area, area, t("waterplane_area_rel") * area);
    let second = afloat.waterplane.central_second();
    let axes = pose.axes();
    let across = axes.port.dot(&(second * axes.port));
    let along = axes.forward.dot(&(second * axes.forward));
    let (i_t, i_l) = (number(expected, "waterplane_I_T"), number(expected, "waterplane_I_L"));
    problems.within("I_T", across, i_t, t("waterplane_I_rel") * i_t);
    problems.within("I_L", along, i_l, t("waterplane_I_rel") * i_l);
    check_stiffness(afloat.stiffness, expected, tolerance, problems);
}

fn check_stiffness(got: Stiffness, expected: &Value, tolerance: &Value, problems: &mut Problems) {
    let (across, along) = (number(tolerance, "gm_t"), number(tolerance, "gm_l"));
    problems.within("gm_t", got.across, number(expected, "gm_t"), across);
    problems.within("gm_l", got.along, number(expected, "gm_l"), along);
    problems.within("gm_min", got.least, number(expected, "gm_min"), across.max(along));
}

/// Every stable attitude that we find must be listed, and every one that is listed must be found.
fn check_others(
    model: &FloatModel,
    basin: Basin,
    listed: &[Value],
    tolerance: &Value,
    problems: &mut Problems,
) {
    let allowed = number(tolerance, "angle_deg_other_equilibria");
    let found = stable_attitudes(model, basin, &TOLERANCE).expect("good water");
    if found.is_empty() {
        problems.0.push("no stable attitude found".to_owned());
    }
    for state in &found {
        let (heel, trim) = (state.pose.heel().to_degrees(), state.pose.trim().to_degrees());
        match nearest(listed, state.pose) {
            Some((expected, off)) if off <= allowed => {
                check_state(state, expected, false, tolerance, problems);
            }
            Some((_, off)) => {
                problems.0.push(format!(
                    "an attitude that is not listed: heel {heel}, trim {trim}, off by {off}"
                ));
            }
            None => problems.0.push("the case lists no attitude".to_owned()),
        }
    }
    for expected in listed {
        let (heel, trim) = (number(expected, "phi_deg"), number(expected, "theta_deg"));
        let off = |state: &Afloat| up_of(expected).angle(&state.pose.up()).to_degrees();
        let nearest = found.iter().map(off).fold(f64::INFINITY, f64::min);
        if nearest > allowed {
            problems.0.push(format!(
                "an attitude that is not found: heel {heel}, trim {trim}, the nearest {nearest} off"
            ));
        }
    }
}

fn check_submerged(
    under: &Submerged,
    listed: &[Value],
    tolerance: &Value,
    problems: &mut Problems,
) {
    let Some((expected, _)) = nearest(listed, under.pose) else {
        return problems.0.push("the case lists no attitude".to_owned());
    };
    let t = |key: &str| number(tolerance, key);
    let (heel, trim) = (under.pose.heel().to_degrees(), under.pose.trim().to_degrees());
    problems.within("phi_deg", heel, number(expected, "phi_deg"), t("phi_deg"));
    problems.within("theta_deg", trim, number(expected, "theta_deg"), t("theta_deg"));
    problems.vector("cb", under.centre_of_buoyancy.vector(), &expected["cb_body"], t("cb"));
    problems.vector("cg", under.centre_of_gravity.vector(), &expected["cg_body"], t("cg"));
    problems.within("BG", under.bg, -number(expected, "cg_above_cb"), t("cb") + t("cg"));
    check_stiffness(under.stiffness, expected, tolerance, problems);
}

fn check_sweep(case: &Value, folder: &Path, problems: &mut Problems) {
    let expected = &case["expected"];
    let basin = Basin::deep(number(case, "water_density"));
    let boat = boat(&case["boat"], folder);
    let tanks: Vec<usize> = list(&case["sweep"], "tanks")
        .iter()
        .filter_map(|name| boat.tanks.iter().position(|t| Some(t.name.as_str()) == name.as_str()))
        .collect();
    let model = match FloatModel::new(&boat, Fineness::WORK) {
        Ok(model) => model,
        Err(error) => return problems.0.push(format!("the boat was refused: {error}")),
    };
    let rows = list(expected, "rows");
    let n_rows = u32::try_from(rows.len()).expect("a short list");
    let steps = number(&case["sweep"], "steps");
    problems.within("number of rows", f64::from(n_rows), steps, 0.0);
    let got = sweep(&model, basin, &tanks, n_rows, &TOLERANCE).expect("good water and tanks");
    let mirrored = rows.iter().any(|r| number(r, "phi_deg").abs() > 1.0)
        && rows.first().is_some_and(|r| number(r, "phi_deg") == 0.0);
    for (k, (row, want)) in got.rows.iter().zip(rows).enumerate() {
        let neighbours: Vec<&Value> = if want["jump"] == Value::Bool(true) {
            rows.iter().skip(k.saturating_sub(1)).take(3).collect()
        } else {
            vec![want]
        };
        // Where the boat may jump, the row agrees when it agrees with either side of the jump.
        let tries = neighbours.iter().map(|n| row_problems(row, n, want, case, mirrored));
        let best = tries.min_by_key(Vec::len).unwrap_or_default();
        problems.0.extend(best);
    }
    check_extremes(&got, expected, case, problems);
}

/// What of a row differs: its state from `state`, and what depends on the fill alone from `own`.
fn row_problems(
    row: &SweepRow,
    state: &Value,
    own: &Value,
    case: &Value,
    mirrored: bool,
) -> Vec<String> {
    let tolerance = &case["tolerance"];
    let mut problems = Problems::default();
    let fill = number(own, "fill");
    let named = |what: &str| format!("{what} at fill {fill}");
    problems.within("fill", row.fill, fill, 1e-9);
    problems.same(&named("status"), status(&row.outcome), text(own, "status"));
    let gram = NEUTRAL * 1e3;
    problems.within(&named("residual_g"), row.residual * 1e3, number(own, "residual_g"), gram);
    let heel = row.pose().heel().to_degrees();
    let want_heel = number(state, "phi_deg");
    let (got, want) = if mirrored { (heel.abs(), want_heel.abs()) } else { (heel, want_heel) };
    problems.within(&named("phi_deg"), got, want, number(state, "phi_tol_deg"));
    let trim = row.pose().trim().to_degrees();
    let trim_tolerance = number(state, "theta_tol_deg");
    problems.within(&named("theta_deg"), trim, number(state, "theta_deg"), trim_tolerance);
    if let (Some(afloat), Some(h)) = (row.outcome.afloat(), state["h"].as_f64()) {
        problems.within(&named("h"), afloat.pose.height(), h, number(tolerance, "h"));
    }
    let mut gm = |what: &str, got: f64, want: f64| {
        let allowed = number(tolerance, "gm_t") + number(tolerance, "gm_rel") * want.abs();
        problems.within(&named(what), got, want, allowed);
    };
    gm("gm_t", row.stiffness().across, number(state, "gm_t"));
    gm("gm_l", row.stiffness().along, number(state, "gm_l"));
    gm("gm_t_upright", row.upright.across, number(own, "gm_t_upright"));
    let upright_trim = row.upright_pose.trim().to_degrees();
    let want = number(own, "theta_upright_deg");
    problems.within(&named("theta_upright"), upright_trim, want, trim_tolerance);
    problems.0
}

fn check_extremes(
    got: &trimwright::float::Sweep,
    expected: &Value,
    case: &Value,
    problems: &mut Problems,
) {
    let tolerance = &case["tolerance"];
    let gm_t = number(tolerance, "gm_t");
    let gm_rel = number(tolerance, "gm_rel");
    let at_fill = number(tolerance, "fill_of_extreme");
    let mut extreme = |name: &str, key: &dyn Fn(&SweepRow) -> f64, allowed: &dyn Fn(f64) -> f64| {
        let want = &expected[name];
        if want.is_null() {
            return;
        }
        let value_key = match name {
            "greatest_heel" => "phi_deg",
            "greatest_trim" => "theta_deg",
            _ => "value",
        };
        let value = number(want, value_key);
        let Some(worst) = got.row_of_least(key) else { return };
        let found = key(worst);
        let sign = if name.starts_with("greatest") { -1.0 } else { 1.0 };
        let compared = if sign < 0.0 { value.abs() } else { value };
        problems.within(name, sign * found, compared, allowed(value));
        if let Some(fill) = want["fill"].as_f64() {
            // Where rows are equal within tolerance any of their fills is right.
            let right = got.rows.iter().any(|r| {
                (r.fill - fill).abs() <= at_fill + 1e-9 && key(r) - found <= allowed(value)
            });
            if !right {
                problems.0.push(format!("{name}: at fill {} instead of {fill}", worst.fill));
            }
        }
    };
    let gm = |value: f64| gm_t + gm_rel * value.abs();
    extreme("lowest_gm_t", &|r| r.stiffness().across, &gm);
    extreme("lowest_gm_t_upright", &|r| r.upright.across, &gm);
    let rows = list(expected, "rows");
    let widest = |key: &str| rows.iter().map(|r| number(r, key)).fold(0.0, f64::max);
    let (heel, trim) = (widest("phi_tol_deg"), widest("theta_tol_deg"));
    extreme("greatest_heel", &|r| -r.pose().heel().to_degrees().abs(), &|_| heel);
    extreme("greatest_trim", &|r| -r.pose().trim().to_degrees().abs(), &|_| trim);
}

fn check_back_solve(case: &Value, folder: &Path, problems: &mut Problems) {
    let (expected, tolerance) = (&case["expected"], &case["tolerance"]);
    let basin = Basin::deep(number(case, "water_density"));
    let model = match FloatModel::new(&boat(&case["boat"], folder), Fineness::WORK) {
        Ok(model) => model,
        Err(error) => return problems.0.push(format!("the boat was refused: {error}")),
    };
    let marks: Vec<Mark> = list(case, "marks")
        .iter()
        .map(|m| Mark { name: text(m, "name").to_owned(), at: place(&m["at"]) })
        .collect();
    let reading = observed(&case["observed"], &marks, basin.density);
    let fit = match back_solve(&model, &reading, &marks, &by_list(&model)) {
        Ok(fit) => fit,
        Err(error) => return problems.0.push(format!("the reading was refused: {error}")),
    };
    let t = |key: &str| number(tolerance, key);
    let e = |key: &str| number(expected, key);
    problems.within("mass_error", fit.mass_error.value, e("mass_error"), t("mass_error"));
    let pair = |key: &str| {
        let numbers: Vec<f64> = list(expected, key).iter().filter_map(Value::as_f64).collect();
        [numbers[0], numbers[1]]
    };
    for (k, want) in pair("cg_offset").into_iter().enumerate() {
        problems.within(&format!("cg_offset {k}"), fit.offset[k].value, want, t("cg_offset"));
    }
    if fit.contradiction.is_some() {
        problems.0.push(format!("an exact reading contradicts itself: {:?}", fit.contradiction));
    }
    let z = number(case, "ballast_z");
    let target = Target::at_the_marks(&marks).expect("the case has marks");
    let need = Need::of(&fit, target, basin.density, z).expect("good water");
    problems.within("weight_to_add", need.mass, e("weight_to_add"), t("weight_to_add"));
    let position = triple(&expected["position"]);
    for (k, want) in pair("moment_to_add").into_iter().enumerate() {
        let moment = need.moment[k] + need.mass * need.centre[k];
        problems.within(&format!("moment_to_add {k}"), moment, want, t("moment_to_add"));
        problems.within(&format!("position {k}"), moment / need.mass, position[k], t("position"));
    }
    let at = Position::new(
        need.centre[0] + need.moment[0] / need.mass,
        need.centre[1] + need.moment[1] / need.mass,
        z,
    );
    let corrected = fit.found.with_weight(need.mass, at).expect("a boat with weight on");
    let after = forecast(&corrected, basin, Condition::Afloat, None, &marks).expect("good water");
    for (mark, want) in after.marks.iter().zip(list(expected, "after_correction_readings_mm")) {
        let got = mark.above * 1e3;
        let want = want.as_f64().expect("a number");
        let allowed = t("after_correction_readings_mm");
        problems.within(&format!("after correction at {}", mark.name), got, want, allowed);
    }
    let stable = expected["stable_after_correction"].as_bool();
    if Some(after.stiffness.least > 0.0) != stable {
        problems.0.push(format!("stable after correction: expected {stable:?}"));
    }
    let gm = e("gm_min_after_correction");
    problems.within("gm_min_after_correction", after.stiffness.least, gm, 0.0005 + 0.02 * gm.abs());
}

fn observed(seen: &Value, marks: &[Mark], water_density: f64) -> Reading {
    let heights = marks.iter().zip(list(seen, "readings_mm")).map(|(mark, mm)| Observation {
        seen: Seen::WaterAtMark {
            mark: mark.clone(),
            above: mm.as_f64().expect("a number") * 1e-3,
        },
        spread: MARK_SPREAD,
    });
    let list = Observation {
        seen: Seen::List(number(seen, "list_deg").to_radians()),
        spread: ANGLE_SPREAD,
    };
    Reading {
        condition: Condition::Afloat,
        water_density,
        aboard: Vec::new(),
        observations: heights.chain([list]).collect(),
        ..Reading::default()
    }
}
