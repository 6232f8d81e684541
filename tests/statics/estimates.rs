//! The cases of kind "estimate": several readings of one boat, fitted together by an independent solver.

use crate::support::case::{boat, list, number, place, read_solid, text};
use crate::support::differs::Differs;
use serde_json::Value;
use std::collections::BTreeMap;
use std::path::Path;
use trimwright::boat::Mark;
use trimwright::fit::{
    DrySighting, Errors, Estimate, JointFit, KnownErrors, Sighting, estimate, gm_upright,
};
use trimwright::float::{Basin, FloatModel};
use trimwright::geometry::Fineness;
use trimwright::reading::{Aboard, Condition, Observation, Reading, Seen};

const KEYS: [&str; 5] = ["mass", "x", "y", "z", "s"];

/// The boat of a case, and what was known of it.
struct Estimated {
    model: FloatModel,
    tanks: Vec<String>,
    known: KnownErrors,
}

/// What of a case does not agree, a line each.
pub(crate) fn check(case: &Value, folder: &Path) -> Vec<String> {
    let boat = boat(&case["boat"], folder);
    let tanks = boat.tanks.iter().map(|t| t.name.clone()).collect();
    let model = match FloatModel::new(&boat, Fineness::WORK) {
        Ok(model) => model,
        Err(error) => return vec![format!("the boat was refused: {error}")],
    };
    let known = KnownErrors::independent(KEYS.map(|key| number(&case["prior"], key)));
    let case_boat = Estimated { model, tanks, known };
    let readings = list(case, "readings");
    let expected = &case["expected"];
    let mut differs = Differs::default();
    let all: Vec<Value> = readings.to_vec();
    let first = readings.iter().find(|r| text(r, "condition") == "afloat");
    case_boat.compare("", &all, expected, first, case, folder, &mut differs);
    if expected["alone"].is_object() {
        let some: Vec<Value> = list(&expected["alone"], "readings")
            .iter()
            .filter_map(|k| readings.get(usize::try_from(k.as_u64()?).ok()?).cloned())
            .collect();
        let alone = &expected["alone"];
        let fit = case_boat.compare("alone: ", &some, alone, first, case, folder, &mut differs);
        if let (Some(fit), Some(want)) = (fit, alone["correlation_yz"].as_f64()) {
            let c = fit.known.covariance;
            let got = c[(2, 3)] / (c[(2, 2)] * c[(3, 3)]).sqrt();
            differs.within("alone: correlation of y and z", got, want, 0.01);
        }
    }
    if expected["without_worst"].is_object() {
        let index = |key: &str| {
            usize::try_from(expected["worst"][key].as_u64().expect("an index")).expect("small")
        };
        let mut some = readings.to_vec();
        let seen = some[index("reading")]["observations"].as_array_mut().expect("a list");
        seen.remove(index("observation"));
        let without = &expected["without_worst"];
        case_boat.compare("without: ", &some, without, first, case, folder, &mut differs);
    }
    differs.0
}

impl Estimated {
    fn sighting(&self, reading: &Value, folder: &Path) -> Sighting {
        let aboard: Vec<Aboard> = list(reading, "aboard")
            .iter()
            .map(|a| Aboard {
                name: String::new(),
                mass: number(a, "mass"),
                at: place(&a["com"]),
                off: 0.0,
                solid: a["solid"].is_object().then(|| read_solid(&a["solid"], folder)),
            })
            .collect();
        let seen = list(reading, "observations");
        let value = |o: &Value, unit: &str, scale: f64| {
            let value = o[format!("value_{unit}")].as_f64().unwrap_or(0.0);
            Estimate::new(value * scale, number(o, &format!("spread_{unit}")) * scale)
        };
        let degree = 1f64.to_radians();
        if text(reading, "condition") == "bench" {
            let figure = |what: &str, unit: &str| {
                seen.iter().find(|o| text(o, "what") == what).map(|o| value(o, unit, 1e-3))
            };
            let (mass, balance) = (figure("scale", "g"), figure("balance_x", "mm"));
            let boat = self.model.bare();
            return Sighting::Dry(DrySighting { boat, aboard, mass, balance });
        }
        let observation = |o: &Value| {
            let (figure, of): (Estimate, fn(f64) -> Seen) = match text(o, "what") {
                "mark" => {
                    let figure = value(o, "mm", 1e-3);
                    let mark = Mark { name: String::new(), at: place(&o["at"]) };
                    let seen = Seen::WaterAtMark { mark, above: figure.value };
                    return Observation { seen, spread: figure.spread };
                }
                "list" => (value(o, "deg", degree), Seen::List),
                "trim" => (value(o, "deg", degree), Seen::Trim),
                "residual" => (value(o, "g", 1e-3), Seen::Residual),
                other => panic!("no observation of {other}"),
            };
            Observation { seen: of(figure.value), spread: figure.spread }
        };
        let mut model = self.model.clone();
        for (tank, fill) in reading["fills"].as_object().expect("fills") {
            let which = self.tanks.iter().position(|t| t == tank).expect("a tank");
            model = model.with_fill(which, fill.as_f64().expect("a fill")).expect("a share");
        }
        let condition = match text(reading, "condition") {
            "afloat" => Condition::Afloat,
            "under" => Condition::Under,
            other => panic!("no condition {other}"),
        };
        let reading = Reading {
            condition,
            water_density: number(reading, "water_density"),
            aboard,
            observations: seen.iter().map(observation).collect(),
            ..Reading::default()
        };
        Sighting::wet(model, reading)
    }

    #[expect(clippy::too_many_arguments, reason = "a case has all of these")]
    fn compare(
        &self,
        named: &str,
        readings: &[Value],
        expected: &Value,
        first_afloat: Option<&Value>,
        case: &Value,
        folder: &Path,
        differs: &mut Differs,
    ) -> Option<JointFit> {
        let sightings: Vec<Sighting> = readings.iter().map(|r| self.sighting(r, folder)).collect();
        let fit = match estimate(self.model.bare(), &self.known, &sightings) {
            Ok(fit) => fit,
            Err(why) => {
                differs.0.push(format!("{named}no estimate: {why}"));
                return None;
            }
        };
        let std: Errors = Errors::from(KEYS.map(|key| number(&expected["std"], key)));
        for (k, key) in KEYS.iter().enumerate() {
            let got = fit.error(k);
            let want = number(&expected["e"], key);
            differs.within(&format!("{named}{key}"), got.value, want, 0.02 * std[k]);
            let what = format!("{named}std of {key}");
            differs.within(&what, got.spread, std[k], 0.02 * std[k]);
        }
        for (i, row) in expected["covariance"].as_array().into_iter().flatten().enumerate() {
            for (j, want) in row.as_array().into_iter().flatten().enumerate() {
                let (got, want) = (fit.known.covariance[(i, j)], want.as_f64().expect("a number"));
                let what = format!("{named}covariance {i} {j}");
                differs.within(&what, got, want, 0.04 * std[i] * std[j]);
            }
        }
        for (what, got) in [("chi2", fit.chi_squared), ("objective", fit.objective)] {
            let want = number(expected, what);
            differs.within(&format!("{named}{what}"), got, want, 0.1 + 0.005 * want);
        }
        Self::compare_figures(named, &fit, expected, differs);
        if let Some(first) = first_afloat {
            self.compare_gm(named, &fit, expected, first, folder, differs);
        }
        if named.is_empty() {
            self.compare_next(&fit, case, folder, differs);
        }
        Some(fit)
    }

    fn compare_figures(named: &str, fit: &JointFit, expected: &Value, differs: &mut Differs) {
        let table = |key: &str| {
            let rows = list(expected, key).iter();
            let numbers = |row: &Value| -> Vec<f64> {
                row.as_array().into_iter().flatten().filter_map(Value::as_f64).collect()
            };
            rows.map(numbers).collect::<Vec<_>>()
        };
        for (r, (normalised, leverage)) in
            table("normalised").iter().zip(table("leverage")).enumerate()
        {
            let got = &fit.sightings[r];
            assert_eq!(got.normalised.len(), normalised.len(), "figures of reading {r}");
            for (o, (want, lever)) in normalised.iter().zip(leverage).enumerate() {
                let what = format!("{named}leverage {r} {o}");
                differs.within(&what, got.leverage[o], lever, 0.01);
                if lever < 0.99 {
                    let what = format!("{named}normalised {r} {o}");
                    differs.within(&what, got.normalised[o], *want, 0.05);
                }
            }
        }
        let (reading, observation, off) = fit.worst().expect("a worst figure");
        let worst = &expected["worst"];
        let want = number(worst, "value");
        // Where two are nearly alike either is right.
        differs.within(&format!("{named}the worst"), off.abs(), want.abs(), 0.05);
        if want.abs() > 3.0 {
            let got = (Some(reading as u64), Some(observation as u64));
            let want = (worst["reading"].as_u64(), worst["observation"].as_u64());
            if got != want {
                differs.0.push(format!("{named}the worst: got {got:?}, expected {want:?}"));
            }
        }
    }

    fn compare_gm(
        &self,
        named: &str,
        fit: &JointFit,
        expected: &Value,
        first: &Value,
        folder: &Path,
        differs: &mut Differs,
    ) {
        let Sighting::Wet(wet) = self.sighting(first, folder) else { return };
        let basin = Basin::deep(wet.reading.water_density);
        let got = gm_upright(&wet.model, &fit.known, basin, None).expect("a boat");
        let want = &expected["gm_upright"];
        let std = number(want, "std");
        differs.within(&format!("{named}GM"), got.value, number(want, "value"), 0.02 * std);
        differs.within(&format!("{named}std of GM"), got.spread, std, 0.02 * std);
        let lean = if got.value > 2.0 * got.spread {
            "list"
        } else if got.value < -2.0 * got.spread {
            "loll"
        } else {
            "undecided"
        };
        if lean != text(want, "lean") {
            differs.0.push(format!("{named}lean: got {lean}, expected {}", text(want, "lean")));
        }
    }

    fn compare_next(&self, fit: &JointFit, case: &Value, folder: &Path, differs: &mut Differs) {
        let expected = &case["expected"];
        let mut shares: BTreeMap<&str, Vec<(String, f64)>> = BTreeMap::new();
        for (candidate, want) in list(case, "candidates").iter().zip(list(expected, "next")) {
            let name = text(candidate, "name");
            let more: Vec<Sighting> =
                list(candidate, "readings").iter().map(|r| self.sighting(r, folder)).collect();
            let Some(left) = fit.known.after(&more) else {
                differs.0.push(format!("{name}: no covariance"));
                continue;
            };
            for (k, key) in KEYS.iter().enumerate() {
                let got = left[(k, k)] / fit.known.covariance[(k, k)];
                let share = number(&want["share"], key);
                differs.within(&format!("{name}: left of {key}"), got, share, 0.01);
                shares.entry(key).or_default().push((name.to_owned(), got));
            }
        }
        for (key, best) in expected["best_next"].as_object().into_iter().flatten() {
            let all = &shares[key.as_str()];
            let least = all.iter().map(|(_, s)| *s).fold(f64::INFINITY, f64::min);
            let named = all.iter().find(|(name, _)| Some(name.as_str()) == best.as_str());
            let (_, own) = named.expect("a candidate");
            differs.within(&format!("best for {key}"), *own, least, 0.02);
        }
    }
}
