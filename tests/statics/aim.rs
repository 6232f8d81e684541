//! What is right for a boat is judged in both its conditions, at whatever fill of the tanks it was read.

use crate::support::assert_within;
use crate::support::case::number;
use crate::support::fit::by_list;
use serde_json::Value;
use std::path::Path;
use trimwright::ballast::{Advice, Aim, BothConditions, Remedy, Target, Verdict, advise};
use trimwright::boat::Boat;
use trimwright::diary::{BoatTemplate, TEMPLATES};
use trimwright::fit::{Fit, back_solve};
use trimwright::float::{Basin, FloatModel, Tolerance, hang, release};
use trimwright::geometry::Fineness;
use trimwright::material::LEAD;
use trimwright::reading::{
    ANGLE_SPREAD, Condition, MARK_SPREAD, Observation, RESIDUAL_SPREAD, Reading, Seen,
};
use trimwright::unit::GRAM;

/// Fresh water of 20 °C, kg/m³, for which these boats are trimmed.
const POOL: f64 = 998.2067;

struct Subject {
    name: &'static str,
    boat: Boat,
    model: FloatModel,
    aim: Aim,
    /// What the independent program says of its tank.
    expected: Value,
}

impl Subject {
    fn of(template: &BoatTemplate) -> Self {
        let record = template.boat_record().expect("a file of ours");
        let boat = record.boat().expect("a good boat");
        let model = FloatModel::new(&boat, Fineness::WORK).expect("a good boat");
        let file = format!("tests/data/template/{}.json", template.name.to_lowercase());
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(file);
        let results = std::fs::read_to_string(path).expect("the results of calculate.py");
        let expected: Value = serde_json::from_str(&results).expect("JSON");
        let aim = record.aim(model.bounds().size().y);
        Self { name: template.name, boat, model, aim, expected }
    }

    fn all() -> Vec<Self> {
        TEMPLATES.iter().map(Self::of).collect()
    }

    fn basin() -> Basin {
        Basin::deep(POOL)
    }

    /// The boat weighing so much more than it should, read under water with its tanks at a share.
    fn read_under(&self, heavy: f64, share: f64) -> (Fit, Advice) {
        let model = self.model.flooded(share, POOL).expect("a share");
        let gravity = model.centre_of_gravity(nalgebra::Vector3::z_axis());
        let real = model.with_weight(heavy, gravity).expect("still a boat");
        let pose = hang(&real, Self::basin(), &Tolerance::FINE).expect("good water").pose;
        let observation = |seen: Seen, spread: f64| Observation { seen, spread };
        let observations = vec![
            observation(Seen::Residual(real.residual_mass(POOL)), RESIDUAL_SPREAD),
            observation(Seen::List(pose.heel()), ANGLE_SPREAD),
            observation(Seen::Trim(pose.trim()), ANGLE_SPREAD),
        ];
        self.advised(&model, Condition::Under, observations, Target::Under(self.aim.under))
    }

    /// The same afloat with its tanks blown.
    fn read_afloat(&self, heavy: f64) -> (Fit, Advice) {
        let model = self.model.flooded(0.0, POOL).expect("a share");
        let gravity = model.centre_of_gravity(nalgebra::Vector3::z_axis());
        let real = model.with_weight(heavy, gravity).expect("still a boat");
        let outcome = release(&real, Self::basin(), &Tolerance::FINE).expect("good water");
        let pose = outcome.afloat().expect("it floats").pose;
        let marks = self.boat.marks.iter().map(|mark| {
            let above = pose.water_height_at(mark.at.x(), mark.at.y()) - mark.at.z();
            (Seen::WaterAtMark { mark: mark.clone(), above }, MARK_SPREAD)
        });
        let list = (Seen::List(pose.heel()), ANGLE_SPREAD);
        let observations =
            marks.chain([list]).map(|(seen, spread)| Observation { seen, spread }).collect();
        let target = Target::at_the_marks(&self.boat.marks).expect("it has marks");
        self.advised(&model, Condition::Afloat, observations, target)
    }

    fn advised(
        &self,
        model: &FloatModel,
        condition: Condition,
        observations: Vec<Observation>,
        target: Target,
    ) -> (Fit, Advice) {
        let reading = Reading {
            condition,
            water_density: POOL,
            aboard: Vec::new(),
            observations,
            ..Reading::default()
        };
        let marks = &self.boat.marks;
        let fit = back_solve(model, &reading, marks, &by_list(model)).expect("a good reading");
        let place = self.boat.places.first().expect("a place for weight").clone();
        let remedy = Remedy::Weight { place, density: LEAD.density };
        let advice = advise(&fit, Self::basin(), target, marks, &remedy).expect("good water");
        (fit, advice)
    }

    fn after(&self, fit: &Fit, advice: &Advice) -> BothConditions {
        let done = advice.done_to(&fit.found).expect("still a boat");
        let spread = fit.mass_error.spread;
        BothConditions::of([&done; 2], Self::basin(), self.aim, &self.boat.marks, spread, None)
            .expect("good water")
    }
}

/// Source: `tests/data/template/*.json`, by an independent program: the share of the tank with which
/// each boat is neutral is what it needs over what it can use.
#[test]
fn a_boat_that_lies_as_modelled_is_right_at_every_fill_at_which_it_was_read() {
    for subject in Subject::all() {
        let tank = &subject.expected["tank"];
        let usable = number(tank, "usable_m3");
        let expected = number(tank, "need_m3") / usable;
        // Facets: a quarter of their share of the radius, of the whole volume, as `template.rs` has it.
        let facets = (std::f64::consts::TAU / f64::from(Fineness::WORK.around)).powi(2) / 12.0;
        let volume = number(&subject.expected, "total_volume_m3");
        let tolerance = 0.25 * (facets + 2.6e-5) * volume / usable;
        for share in [0.7, 0.8, 0.9, 1.0] {
            let (fit, advice) = subject.read_under(0.0, share);
            let what = format!("{}, read with its tanks at {share}", subject.name);
            assert_eq!(advice.verdict, Verdict::LeaveIt, "{what}: {:?}", advice.steps);
            let after = subject.after(&fit, &advice);
            assert_within(after.fill.share.value, expected, tolerance, &what);
            assert!(after.is_right_under() && after.is_right_afloat(), "{what}: {after:?}");
        }
    }
}

#[test]
fn heron_seventy_grams_heavy_with_its_tank_full_is_right() {
    let heron = Subject::all().into_iter().find(|s| s.name == "Heron").expect("it is there");
    let full = heron.model.flooded(1.0, POOL).expect("a share").residual_mass(POOL);
    let (fit, advice) = heron.read_under(0.07 - full, 1.0);
    assert_eq!(advice.verdict, Verdict::LeaveIt, "{:?}", advice.steps);
    let share = heron.after(&fit, &advice).fill.share;
    // Closed form: what is too much, over what the tank takes; and the ± likewise.
    let takes = number(&heron.expected["tank"], "usable_m3") * POOL;
    assert_within(share.value, 1.0 - 0.07 / takes, 1e-4, "the share");
    assert_within(share.spread, RESIDUAL_SPREAD / takes, 1e-4, "its spread");
}

#[test]
fn beyond_its_tanks_range_a_boat_is_brought_inside_and_stays_there() {
    for subject in Subject::all() {
        let takes = number(&subject.expected["tank"], "usable_m3") * POOL;
        for heavy in [0.6 * takes, -0.3 * takes] {
            let (fit, advice) = subject.read_under(heavy, 1.0);
            let what = format!("{}, {heavy} kg heavy", subject.name);
            assert_eq!(advice.verdict, Verdict::Do, "{what}");
            assert!(advice.need.mass * heavy < 0.0, "{what}: {}", advice.need.mass);
            let after = subject.after(&fit, &advice);
            assert_within(after.fill.lacking, 0.0, GRAM, &format!("{what}: still lacking"));
            let share = after.fill.share.value;
            assert!((0.6..=0.95).contains(&share), "{what}: neutral at {share}");
        }
    }
}

/// What the marks ask for and what the tanks can do agree in these boats: an advice that was read afloat
/// is right under as well.
#[test]
fn what_brings_a_boat_to_its_marks_leaves_it_right_under_water() {
    for subject in Subject::all() {
        for heavy in [-0.04, 0.05] {
            let heavy = heavy * subject.model.mass();
            let (fit, advice) = subject.read_afloat(heavy);
            let what = format!("{}, {heavy} kg heavy", subject.name);
            assert_eq!(advice.verdict, Verdict::Do, "{what}");
            let after = subject.after(&fit, &advice);
            assert!(after.is_right_afloat(), "{what}, afloat: {after:?}");
            assert!(after.is_right_under(), "{what}, under: {after:?}");
        }
    }
}

/// Foam on deck, half as large as the tank: the tank can no longer take the boat under, whatever the
/// weight. Read afloat, the boat is brought to its marks, and the forecast under water says what is short.
#[test]
fn where_weight_alone_cannot_be_right_both_ways_the_other_condition_says_so() {
    for subject in Subject::all() {
        let mut subject = subject;
        // A block of foam on deck: dry afloat, and it lifts under water.
        let takes = number(&subject.expected["tank"], "usable_m3");
        let top = subject.model.bounds().high.z;
        let side = (0.5 * takes).cbrt();
        let at = trimwright::frame::Position::new(0.0, 0.0, top + side);
        let cube = trimwright::geometry::Solid::Box { size: [side; 3], centre: at };
        subject.boat.parts.push(trimwright::boat::Part::solid("foam", 1e-3, at, cube));
        subject.model = FloatModel::new(&subject.boat, Fineness::WORK).expect("a good boat");
        let (fit, advice) = subject.read_afloat(0.06 * subject.model.mass());
        let after = subject.after(&fit, &advice);
        assert!(after.is_right_afloat(), "{}, afloat: {after:?}", subject.name);
        assert!(!after.is_right_under(), "{}, under: {after:?}", subject.name);
        let lacks = after.fill.lacking;
        // It was neutral at the share f, and now needs half a tank more than that, of which 95 % are there.
        let share = number(&subject.expected["tank"], "need_m3") / takes;
        let short = (share + 0.5 - 0.95) * takes * POOL;
        assert!(lacks > 0.8 * short, "{}: lacks {lacks} kg of {short}", subject.name);
    }
}
