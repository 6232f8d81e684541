//! What an advice foretells: honest spreads, by Monte Carlo and through the diary; what lay aboard taken
//! off; what is kept of it.

use crate::support::assert_within;
use crate::support::bodies::{WATER, keeled_box, model};
use crate::support::chance::{Noise, WITHIN_ONE, WITHIN_TWO, binomial_bounds};
use crate::support::fit::{as_built, by_list};
use crate::support::session::{done_entry, reading_entry, session};
use nalgebra::Vector3;
use trimwright::ballast::{
    Prediction, Remedy, Target, UnderAim, Verdict, advise, by_itself, forecast, predict,
};
use trimwright::boat::{Boat, Mark, Place, demo_boat};
use trimwright::diary::{
    Closings, Diary, ForetoldRecord, ReadingRecord, Score, TEMPLATES, read, write,
};
use trimwright::fit::{Estimate, back_solve};
use trimwright::float::{Basin, BoatErrors, FloatModel};
use trimwright::frame::Position;
use trimwright::geometry::Fineness;
use trimwright::reading::{
    ANGLE_SPREAD, Aboard, Condition, MARK_SPREAD, Observation, RESIDUAL_SPREAD, Reading, Seen,
};
use trimwright::unit::DEGREE;

/// Fresh water of 20 °C, kg/m³.
const POOL: f64 = 998.2067;
/// Density of lead, kg/m³. Source: PNNL-15870 Rev. 1 (2011), 11 350; trade tables 11 340.
const LEAD: f64 = 11340.0;
const DRAWS: u32 = 1000;
/// Tests of which one goes wrong by chance, at either end.
const RARE: f64 = 1e-4;

/// A boat to be foretold, how it is read, and how far the real one is from the model.
struct Trial {
    boat: Boat,
    fill: f64,
    condition: Condition,
    seen: Vec<Seen>,
    remedy: Remedy,
    /// Standard deviations of the errors of mass, x, y and z.
    errors: [f64; 4],
}

/// How often a figure lay within one and within two of its spreads.
#[derive(Default, Clone, Copy)]
struct Hits {
    draws: u32,
    within: [u32; 2],
}

impl Hits {
    fn count(&mut self, foretold: Estimate, got: f64) {
        let off = (got - foretold.value).abs() / foretold.spread;
        self.draws += 1;
        self.within[0] += u32::from(off <= 1.0);
        self.within[1] += u32::from(off <= 2.0);
    }

    #[track_caller]
    fn assert_honest(self, what: &str) {
        // Source: closed form, a normal value is within one and two standard deviations in 68.3 % and
        // 95.4 % of all cases; the number of hits is binomial.
        for (k, share) in [WITHIN_ONE, WITHIN_TWO].into_iter().enumerate() {
            let [least, most] = binomial_bounds(self.draws, share, RARE);
            let hits = self.within[k];
            assert!(
                (least..=most).contains(&hits),
                "{what}: within {} spreads in {hits} of {}, not {least} to {most}",
                k + 1,
                self.draws,
            );
        }
    }
}

impl Trial {
    fn place(boat: &Boat, name: &str) -> Place {
        boat.places.iter().find(|p| p.name == name).expect("a place of that name").clone()
    }

    fn lead(boat: &Boat, name: &str) -> Remedy {
        Remedy::Weight { place: Self::place(boat, name), density: LEAD }
    }

    fn all_marks(boat: &Boat) -> Vec<Seen> {
        boat.marks.iter().map(|m| Seen::WaterAtMark { mark: m.clone(), above: 0.0 }).collect()
    }

    /// The boat as it lies.
    fn lies(&self, model: &FloatModel) -> trimwright::ballast::Forecast {
        forecast(model, Basin::deep(POOL), self.condition, None, &self.boat.marks)
            .expect("good water")
    }

    /// The real boat, read with noise.
    fn read(&self, real: &FloatModel, noise: &mut Noise) -> Reading {
        let lies = self.lies(real);
        let observation = |seen: &Seen| {
            let spread = match seen {
                Seen::WaterAtMark { .. } => MARK_SPREAD,
                Seen::List(_) | Seen::Trim(_) => ANGLE_SPREAD,
                Seen::Residual(_) => RESIDUAL_SPREAD,
            };
            let read = seen.in_pose(lies.pose, lies.residual) + spread * noise.normal();
            let seen = match seen {
                Seen::WaterAtMark { mark, .. } => {
                    Seen::WaterAtMark { mark: mark.clone(), above: read }
                }
                Seen::List(_) => Seen::List(read),
                Seen::Trim(_) => Seen::Trim(read),
                Seen::Residual(_) => Seen::Residual(read),
            };
            Observation { seen, spread }
        };
        let observations = self.seen.iter().map(observation).collect();
        Reading {
            condition: self.condition,
            water_density: POOL,
            observations,
            ..Reading::default()
        }
    }

    /// Reads, advises, foretells, does it to the real boat and looks: hits of list, trim, residual
    /// and each mark, and how many draws were advised.
    fn run(&self, seed: u64) -> Vec<(String, Hits)> {
        let model = FloatModel::new(&self.boat, Fineness::WORK).expect("a good boat");
        let model = model.flooded(self.fill, POOL).expect("a fill");
        let target = match self.condition {
            Condition::Afloat => Target::at_the_marks(&self.boat.marks).expect("marks"),
            Condition::Under => Target::Under(UnderAim::NEUTRAL),
        };
        let marks = &self.boat.marks;
        let basin = Basin::deep(POOL);
        let mut noise = Noise(seed);
        let mut hits: Vec<(String, Hits)> = Vec::new();
        for _ in 0..DRAWS {
            let [mass, x, y, z] = self.errors.map(|spread| spread * noise.normal());
            let errors = BoatErrors { mass, centre: Vector3::new(x, y, z), displaces: 0.0 };
            let real = model.with_errors(&errors).expect("still a boat");
            let reading = self.read(&real, &mut noise);
            let fit = back_solve(&model, &reading, marks, &as_built(&model)).expect("a fit");
            let advice = advise(&fit, basin, target, marks, &self.remedy).expect("an advice");
            let foretold = predict(&fit, &advice, basin, self.condition, marks).expect("a boat");
            let Some(foretold) = foretold else { continue };
            let done = advice.steps.iter().try_fold(real, |boat, step| step.done_to(&boat));
            let lies = self.lies(&done.expect("still a boat"));
            for (name, estimate) in named(&foretold) {
                let got = match name.as_str() {
                    "list" => lies.pose.heel(),
                    "trim" => lies.pose.trim(),
                    "residual" => lies.residual,
                    mark => lies.marks.iter().find(|m| m.name == mark).expect("a mark").above,
                };
                let at = hits.iter().position(|(n, _)| *n == name).unwrap_or_else(|| {
                    hits.push((name, Hits::default()));
                    hits.len() - 1
                });
                hits[at].1.count(estimate, got);
            }
        }
        hits
    }

    /// Runs, and asserts that just these figures are foretold, with honest spreads.
    fn assert_honest(&self, seed: u64, names: &[&str], what: &str) {
        let hits = self.run(seed);
        let got: Vec<&str> = hits.iter().map(|(n, _)| n.as_str()).collect();
        assert_eq!(got, names, "{what}: the figures that are foretold");
        for (name, hits) in &hits {
            let advised = f64::from(hits.draws) / f64::from(DRAWS);
            assert!(advised > 0.95, "{what}: {name} was foretold in {advised} of all draws only");
            hits.assert_honest(&format!("{what}, {name}"));
        }
    }
}

/// The figures of a prediction by name.
fn named(foretold: &Prediction) -> Vec<(String, Estimate)> {
    let plain = [("list", foretold.list), ("trim", foretold.trim), ("residual", foretold.residual)];
    let plain = plain.into_iter().filter_map(|(n, e)| Some((n.to_owned(), e?)));
    plain.chain(foretold.marks.iter().map(|m| (m.name.clone(), m.above))).collect()
}

/// Errors of a boat that is built to its plans: 60 g, 4 mm along, 0.5 mm across; the height of the
/// centre of gravity as [`HEIGHT`] has it.
const BUILT: [f64; 4] = [0.06, 4e-3, 0.5e-3, 2e-3];

#[test]
fn what_is_foretold_of_the_demonstration_boat_comes_true_as_often_as_its_spread_says() {
    let boat = demo_boat().expect("fixed sizes");
    let mut seen = Trial::all_marks(&boat);
    seen.extend([Seen::List(0.0), Seen::Trim(0.0)]);
    let remedy = Trial::lead(&boat, "inside");
    let trial =
        Trial { boat, fill: 0.0, condition: Condition::Afloat, seen, remedy, errors: BUILT };
    trial.assert_honest(1, &["list", "trim", "stern", "midship", "bow"], "all read");
    let shift = Trial { remedy: Remedy::Shift { mass: 0.3 }, ..trial };
    shift.assert_honest(2, &["list", "trim", "stern", "midship", "bow"], "with a shift");
}

#[test]
fn what_is_foretold_under_water_comes_true_as_often_as_its_spread_says() {
    let boat = demo_boat().expect("fixed sizes");
    let seen = vec![Seen::Residual(0.0), Seen::List(0.0), Seen::Trim(0.0)];
    let remedy = Trial::lead(&boat, "on the keel");
    let trial = Trial { boat, fill: 1.0, condition: Condition::Under, seen, remedy, errors: BUILT };
    trial.assert_honest(3, &["list", "trim", "residual"], "under water");
}

#[test]
fn what_is_foretold_of_a_boat_with_flooded_spaces_comes_true_as_often_as_its_spread_says() {
    let heron = TEMPLATES.iter().find(|t| t.name == "Heron").expect("a template");
    let boat = heron.boat_record().expect("a good record").boat().expect("a good boat");
    let mut seen = Trial::all_marks(&boat);
    seen.push(Seen::List(0.0));
    let remedy = Remedy::Weight { place: boat.places[0].clone(), density: LEAD };
    let trial =
        Trial { boat, fill: 0.0, condition: Condition::Afloat, seen, remedy, errors: BUILT };
    let mut names = vec!["list".to_owned(), "trim".to_owned()];
    names.extend(trial.boat.marks.iter().map(|m| m.name.clone()));
    let names: Vec<&str> = names.iter().map(String::as_str).collect();
    trial.assert_honest(4, &names, "Heron");
}

#[test]
fn what_was_not_read_is_not_foretold_and_the_rest_is_honest() {
    let boat = demo_boat().expect("fixed sizes");
    let model = FloatModel::new(&boat, Fineness::WORK).expect("a good boat");
    let length = model.bounds().size().x;
    let mark = |name: &str| {
        let mark = boat.marks.iter().find(|m| m.name == name).expect("a mark").clone();
        Seen::WaterAtMark { mark, above: 0.0 }
    };
    // The balance along as such boats are built: a fiftieth of the length. The water at the mark
    // that was read depends on it too, so far off its middle that it is left out as well.
    let [mass, _, y, z] = BUILT;
    let no_trim = Trial {
        fill: 0.0,
        condition: Condition::Afloat,
        seen: vec![mark("midship"), Seen::List(0.0)],
        remedy: Trial::lead(&boat, "inside"),
        errors: [mass, 0.02 * length, y, z],
        boat: boat.clone(),
    };
    no_trim.assert_honest(5, &["list"], "no trim");
    // The marks are on the centre line: what they show hardly depends on a list that nobody read.
    let no_list = Trial { seen: Trial::all_marks(&boat), errors: BUILT, ..no_trim };
    no_list.assert_honest(6, &["trim", "stern", "midship", "bow"], "no list");
    let alone = Trial {
        fill: 1.0,
        condition: Condition::Under,
        seen: vec![Seen::Residual(0.0)],
        remedy: Trial::lead(&boat, "on the keel"),
        ..no_list
    };
    alone.assert_honest(7, &["residual"], "only the residual mass");
}

/// The demonstration boat, its model, and the real one, 80 g too heavy and leaning to port.
fn real_and_model() -> (Boat, FloatModel, FloatModel) {
    let boat = demo_boat().expect("fixed sizes");
    let model = FloatModel::new(&boat, Fineness::WORK).expect("a good boat");
    let model = model.flooded(0.0, POOL).expect("a fill");
    let real = model.with_error(0.08, Vector3::new(5e-3, 1e-3, 0.0)).expect("still a boat");
    (boat, model, real)
}

/// What a boat shows at all its marks, with list and trim, read so sharply that it is the truth.
fn read_sharply(model: &FloatModel, marks: &[Mark], aboard: Vec<Aboard>) -> Reading {
    let load = |boat: FloatModel, a: &Aboard| boat.with_weight(a.mass, a.at).expect("a weight");
    let laden = aboard.iter().fold(model.clone(), load);
    let lies = forecast(&laden, Basin::deep(POOL), Condition::Afloat, None, marks).expect("water");
    let mut seen: Vec<Seen> =
        marks.iter().map(|m| Seen::WaterAtMark { mark: m.clone(), above: 0.0 }).collect();
    seen.extend([Seen::List(0.0), Seen::Trim(0.0)]);
    let observation = |seen: Seen| {
        let value = seen.in_pose(lies.pose, lies.residual);
        let seen = match seen {
            Seen::WaterAtMark { mark, .. } => Seen::WaterAtMark { mark, above: value },
            Seen::List(_) => Seen::List(value),
            Seen::Trim(_) => Seen::Trim(value),
            Seen::Residual(_) => Seen::Residual(value),
        };
        Observation { seen, spread: 1e-6 }
    };
    let observations = seen.into_iter().map(observation).collect();
    Reading {
        condition: Condition::Afloat,
        water_density: POOL,
        aboard,
        observations,
        ..Reading::default()
    }
}

#[test]
fn a_reading_with_a_phone_on_deck_is_that_of_the_boat_by_itself_once_its_effect_is_taken_off() {
    let (boat, model, real) = real_and_model();
    let at = Position::new(0.1, 0.02, 0.15);
    let phone = Aboard { name: "phone".to_owned(), mass: 0.2, at, off: 0.0, solid: None };
    let laden = read_sharply(&real, &boat.marks, vec![phone]);
    let alone = read_sharply(&real, &boat.marks, Vec::new());
    let fit = back_solve(&model, &laden, &boat.marks, &by_list(&model)).expect("a fit");
    let now =
        forecast(&fit.found, Basin::deep(POOL), Condition::Afloat, Some(fit.pose), &boat.marks);
    let got = by_itself(&laden, &fit, &now.expect("good water"));
    assert!(got.aboard.is_empty(), "nothing lies aboard any more");
    let by_phone = laden.observations[0].seen.value() - alone.observations[0].seen.value();
    assert!(by_phone.abs() > 1e-3, "the phone changes the water at the stern by {by_phone} m");
    // Read to a micrometre, the real boat is found; both are at rest to a micrometre or better.
    for (got, expected) in got.observations.iter().zip(&alone.observations) {
        let what = format!("{:?}", expected.seen);
        assert_within(got.seen.value(), expected.seen.value(), 3e-6, &what);
    }
}

/// The reading of a boat, answered, as it is kept.
fn answered(boat: &Boat, model: &FloatModel, reading: &Reading) -> ReadingRecord {
    let fit = back_solve(model, reading, &boat.marks, &by_list(model)).expect("a fit");
    let target = Target::at_the_marks(&boat.marks).expect("marks");
    let remedy = Trial::lead(boat, "inside");
    let advice = advise(&fit, Basin::deep(POOL), target, &boat.marks, &remedy).expect("an advice");
    ReadingRecord::of(reading, "pool", 0.0).answered(reading, &fit, &advice, &boat.marks)
}

#[test]
fn what_is_foretold_is_kept_in_the_units_of_its_keys_and_survives_the_file() {
    let (boat, model, real) = real_and_model();
    let at = Position::new(0.1, 0.02, 0.15);
    let phone = Aboard { name: "phone".to_owned(), mass: 0.2, at, off: 0.0, solid: None };
    let mut reading = read_sharply(&real, &boat.marks, vec![phone]);
    for observation in &mut reading.observations {
        observation.spread = match observation.seen {
            Seen::WaterAtMark { .. } => MARK_SPREAD,
            _ => ANGLE_SPREAD,
        };
    }
    let record = answered(&boat, &model, &reading);
    let fit = back_solve(&model, &reading, &boat.marks, &by_list(&model)).expect("a fit");
    let target = Target::at_the_marks(&boat.marks).expect("marks");
    let remedy = Trial::lead(&boat, "inside");
    let basin = Basin::deep(POOL);
    let advice = advise(&fit, basin, target, &boat.marks, &remedy).expect("an advice");
    let foretold = predict(&fit, &advice, basin, Condition::Afloat, &boat.marks);
    let foretold = foretold.expect("a boat").expect("it can be followed");
    assert_eq!(record.foretold, Some(ForetoldRecord::from(&foretold)), "what is kept");
    let (list, kept) = (foretold.list.expect("a list"), record.foretold.as_ref().expect("kept"));
    let kept_list = kept.list_deg.as_ref().expect("a list");
    assert_within(kept_list.value * DEGREE, list.value, 1e-15, "degrees");
    assert_within(kept_list.spread * DEGREE, list.spread, 1e-15, "degrees of the spread");
    assert!(!kept.as_it_is, "80 g are to be taken off");
    assert_eq!(kept.marks.len(), boat.marks.len(), "the water at every mark is told");
    let alone = record.figures().expect("what the phone did is known");
    assert_eq!(Some(&alone), record.by_itself.as_deref(), "the figures without the phone");
    assert_ne!(alone.marks, record.marks, "the phone presses it down");
    let mut diary = Diary::default();
    diary.sessions.push(session("s", vec![reading_entry("e", record)]));
    let text = write(&diary);
    assert_eq!(read(&text).expect("it can be read").sessions, diary.sessions, "through the file");
}

#[test]
fn a_boat_that_lies_well_is_foretold_as_it_is() {
    let (boat, model, _) = real_and_model();
    let mut reading = read_sharply(&model, &boat.marks, Vec::new());
    for observation in &mut reading.observations {
        observation.spread = 1e-3;
    }
    let record = answered(&boat, &model, &reading);
    assert!(record.good, "it is left as it is");
    let foretold = record.foretold.expect("as it is");
    assert!(foretold.as_it_is, "nothing is to be done");
    let list = foretold.list_deg.expect("a list");
    assert_within(list.value, 0.0, 0.01, "it lies upright, degrees");
}

#[test]
fn nothing_is_foretold_of_a_top_heavy_boat() {
    // A box 1 × 0.2 m of 20 kg that draws 0.1 m, BM 33 mm, its centre of gravity 10 mm over the
    // metacentre: it lolls, and no weight beside it can be told to cure that.
    let bm = 0.2 * 0.2 / 12.0 / 0.1;
    let boat = model(keeled_box([1.0, 0.2, 0.2]), 20.0, [0.0, 0.0, 0.05 + bm + 0.01]);
    let mark = |name: &str, x: f64| Mark { name: name.to_owned(), at: Position::new(x, 0.0, 0.1) };
    let marks = [mark("bow", 0.45), mark("stern", -0.45)];
    let basin = Basin::deep(WATER);
    let lies = forecast(&boat, basin, Condition::Afloat, None, &marks).expect("water");
    let heel = lies.pose.heel();
    let observations = vec![Observation { seen: Seen::List(heel), spread: ANGLE_SPREAD }];
    let condition = Condition::Afloat;
    let reading = Reading { condition, water_density: WATER, observations, ..Reading::default() };
    let fit = back_solve(&boat, &reading, &marks, &by_list(&boat)).expect("a fit");
    let target = Target::at_the_marks(&marks).expect("marks");
    let place = Trial::place(&demo_boat().expect("fixed sizes"), "inside");
    let remedy = Remedy::Weight { place, density: LEAD };
    let advice = advise(&fit, basin, target, &marks, &remedy).expect("an advice");
    assert!(matches!(advice.verdict, Verdict::Lower { .. }), "got {:?}", advice.verdict);
    let foretold = predict(&fit, &advice, basin, condition, &marks).expect("a boat");
    assert_eq!(foretold, None, "there is no step to be followed");
}

/// The mean of so many squares of normal values is within four of its own standard deviations, √(2/n),
/// of one. Source: closed form, the variance of chi-squared.
#[track_caller]
fn assert_mean_square(root_mean_square: Option<f64>, draws: u32, what: &str) {
    let square = root_mean_square.expect("something was foretold").powi(2);
    assert_within(square, 1.0, 4.0 * (2.0 / f64::from(draws)).sqrt(), what);
}

#[test]
fn an_honest_tool_scores_about_one() {
    let (boat, model, _) = real_and_model();
    let mut seen = Trial::all_marks(&boat);
    seen.extend([Seen::List(0.0), Seen::Trim(0.0)]);
    let remedy = Trial::lead(&boat, "inside");
    let trial =
        Trial { boat, fill: 0.0, condition: Condition::Afloat, seen, remedy, errors: BUILT };
    let marks = &trial.boat.marks;
    let target = Target::at_the_marks(marks).expect("marks");
    let mut noise = Noise(8);
    let mut all = Closings::default();
    let mut score = Score::default();
    for draw in 0..DRAWS {
        let [mass, x, y, z] = trial.errors.map(|spread| spread * noise.normal());
        let real = model.with_error(mass, Vector3::new(x, y, z)).expect("still a boat");
        let reading = trial.read(&real, &mut noise);
        let fit = back_solve(&model, &reading, marks, &by_list(&model)).expect("a fit");
        let advice = advise(&fit, Basin::deep(POOL), target, marks, &trial.remedy);
        let advice = advice.expect("an advice");
        let record = ReadingRecord::of(&reading, "pool", 0.0);
        let record = record.answered(&reading, &fit, &advice, marks);
        let done = advice.steps.iter().try_fold(real, |boat, step| step.done_to(&boat));
        let next = trial.read(&done.expect("still a boat"), &mut noise);
        let mut entries = vec![reading_entry("advice", record)];
        if !advice.steps.is_empty() {
            entries.push(done_entry("advice"));
        }
        let next = ReadingRecord::of(&next, "pool", 0.0);
        entries.push(reading_entry("next", next));
        let session = session(&format!("s{draw}"), entries);
        all.add(&session).iter().for_each(|closing| score.add(closing));
    }
    assert_eq!(score.not_known, Score::default().not_known, "all that was to be done was done");
    assert_eq!(score.unlike, 0, "all can be judged");
    let kinds = score.followed;
    for (tally, what) in [(kinds.list, "list"), (kinds.trim, "trim")] {
        assert_eq!(tally.foretold, DRAWS, "{what} foretold each time");
        assert_mean_square(tally.root_mean_square(), DRAWS, what);
        let [least, most] = binomial_bounds(DRAWS, WITHIN_TWO, RARE);
        let hits = tally.came_true;
        assert!((least..=most).contains(&hits), "{what} came true {hits} times of {DRAWS}");
    }
    // Those of one boat hang together: no more is known of them than of one.
    assert_eq!(kinds.marks.foretold, 3 * DRAWS, "three marks");
    assert_mean_square(kinds.marks.root_mean_square(), DRAWS, "marks");
    assert_eq!(kinds.all().foretold, 5 * DRAWS, "all kinds together");
}
