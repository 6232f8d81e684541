//! From a reading to what to do: what a fit and an advice promise, whatever the boat.
//!
//! Readings are simulated: a boat with hidden errors is put into the water and read. Nothing here
//! needs a number from outside.

use crate::support::bodies::{WATER, keeled_box, model};
use crate::support::fit::{as_built, by_list, known_to};
use crate::support::{assert_close, assert_within, random_cases};
use nalgebra::Vector3;
use proptest::prelude::*;
use trimwright::ballast::{Advice, Remedy, Step, Target, UnderAim, Verdict, Weight, advise};
use trimwright::boat::{Boat, Mark, Medium, Part, Place, QuickBoat, demo_boat};
use trimwright::fit::{
    Fit, FitError, KnownErrors, Lean, Sighting, Unknown, back_solve, estimate, fit_of,
};
use trimwright::float::{Basin, FloatModel, Tolerance, hang, release, upright_stiffness};
use trimwright::frame::{Pose, Position};
use trimwright::geometry::Fineness;
use trimwright::reading::{
    ANGLE_SPREAD, Aboard, Condition, MARK_SPREAD, Observation, PHONE_MASS, RESIDUAL_SPREAD,
    Reading, ReadingError, Seen,
};
use trimwright::unit::{GRAM, MILLIMETRE};

/// Fresh water of 20 °C, kg/m³, for which the demonstration boat is trimmed.
const POOL: f64 = 998.2067;
/// Density of lead, kg/m³. Source: PNNL-15870 Rev. 1 (2011), 11 350; trade tables 11 340.
const LEAD: f64 = 11340.0;

/// A boat to be read: its model, its marks, its places, and how far the model may be off.
struct Subject {
    boat: Boat,
    model: FloatModel,
    known: KnownErrors,
}

impl Subject {
    fn ledger(boat: Boat, fill: f64) -> Self {
        let model = FloatModel::new(&boat, Fineness::WORK).expect("a good boat");
        let model = model.flooded(fill, POOL).expect("a fill within 0 and 1");
        Self { known: by_list(&model), boat, model }
    }

    /// The demonstration boat with its tank empty.
    fn demo() -> Self {
        Self::ledger(demo_boat().expect("fixed sizes"), 0.0)
    }

    /// The same where its builder's own plans are all that is known of what is not read.
    fn demo_as_built() -> Self {
        let demo = Self::demo();
        Self { known: as_built(&demo.model), ..demo }
    }

    /// The demonstration boat with its tank full.
    fn demo_under() -> Self {
        Self::ledger(demo_boat().expect("fixed sizes"), 1.0)
    }

    /// A boat of six numbers.
    fn quick() -> Self {
        let six = QuickBoat {
            length: 1.1,
            beam: 0.13,
            depth: 0.14,
            mass: 6.2,
            waterline: 0.1,
            fullness: 0.75,
            tank: 0.0,
            bow_mark: None,
            stern_mark: None,
        };
        let boat = six.boat("six numbers", POOL).expect("good numbers");
        let Self { boat, model, .. } = Self::ledger(boat, 0.0);
        let marks = Target::at_the_marks(&boat.marks).and_then(|target| target.pose());
        let model = model.told_in(marks.expect("it has marks"));
        let mut known = known_to(&model, QuickBoat::CENTRE_HEIGHT_SPREAD * six.beam);
        known.covariance[(4, 4)] = QuickBoat::RESPONSE_SPREAD.powi(2);
        Self { boat, model, known }
    }

    fn mark(&self, name: &str) -> Mark {
        self.boat.marks.iter().find(|m| m.name == name).expect("a mark of that name").clone()
    }

    fn place(&self, name: &str) -> Place {
        self.boat.places.iter().find(|p| p.name == name).expect("a place of that name").clone()
    }

    /// The boat as it really is: so much heavier, its centre of gravity so far off.
    fn really(&self, hidden: [f64; 3]) -> FloatModel {
        let [mass, x, y] = hidden;
        self.model.with_error(mass, Vector3::new(x, y, 0.0)).expect("still a boat")
    }

    fn fit(&self, reading: &Reading) -> Fit {
        back_solve(&self.model, reading, &self.boat.marks, &self.known).expect("a good reading")
    }

    /// What two readings together tell, as seen from the second.
    fn fit_of_both(&self, readings: &[Reading; 2]) -> Fit {
        let sightings = readings.clone().map(|reading| Sighting::wet(self.model.clone(), reading));
        let joint = estimate(self.model.bare(), &self.known, &sightings).expect("good readings");
        fit_of(&joint, &sightings, &self.known, &self.boat.marks).expect("a boat")
    }

    /// All three marks, list and trim of the boat as it really is.
    fn fully_read(&self, hidden: [f64; 3]) -> Reading {
        let pose = afloat(&self.really(hidden));
        afloat_reading(pose, &self.boat.marks, &[List, Trim])
    }

    fn advice(&self, fit: &Fit, remedy: &Remedy) -> Advice {
        let target = Target::at_the_marks(&self.boat.marks).expect("it has marks");
        advise(fit, Basin::deep(POOL), target, &self.boat.marks, remedy).expect("good water")
    }

    fn lead(&self, place: &str) -> Remedy {
        Remedy::Weight { place: self.place(place), density: LEAD }
    }
}

/// Which angles are read.
#[derive(Clone, Copy, PartialEq)]
enum Angle {
    List,
    Trim,
}
use Angle::{List, Trim};

fn afloat(model: &FloatModel) -> Pose {
    let outcome = release(model, Basin::deep(POOL), &Tolerance::FINE).expect("good water");
    outcome.afloat().expect("it floats").pose
}

fn reading(condition: Condition, observations: Vec<Observation>) -> Reading {
    Reading { condition, water_density: POOL, observations, ..Reading::default() }
}

fn water_at(mark: &Mark, above: f64) -> Observation {
    let seen = Seen::WaterAtMark { mark: mark.clone(), above };
    Observation { seen, spread: MARK_SPREAD }
}

fn angle(seen: Seen) -> Observation {
    Observation { seen, spread: ANGLE_SPREAD }
}

/// What a pose shows at these marks, and these angles, without any error.
fn afloat_reading(pose: Pose, marks: &[Mark], angles: &[Angle]) -> Reading {
    let above = |m: &Mark| pose.water_height_at(m.at.x(), m.at.y()) - m.at.z();
    let mut observations: Vec<Observation> = marks.iter().map(|m| water_at(m, above(m))).collect();
    observations.extend(angles.iter().map(|a| match a {
        List => angle(Seen::List(pose.heel())),
        Trim => angle(Seen::Trim(pose.trim())),
    }));
    reading(Condition::Afloat, observations)
}

/// The same figures, each read so many times as well.
fn with_spreads(mut reading: Reading, share: f64) -> Reading {
    for observation in &mut reading.observations {
        observation.spread *= share;
    }
    reading
}

/// Any number will do.
const SEED: u64 = 20_260_311;

fn cases(n: u32) -> ProptestConfig {
    random_cases(n, SEED)
}

/// Errors of a boat that floats near its marks: up to 300 g, 8 mm along, 2 mm across.
fn hidden() -> impl Strategy<Value = [f64; 3]> {
    [-0.3..0.3, -8e-3..8e-3, -2e-3..2e-3]
}

fn assert_recovered(subject: &Subject, hidden: [f64; 3]) {
    // Read to a micrometre and a third of a thousandth of a degree, the prior says nothing: what
    // was hidden comes back to a milligram and a micrometre, as far as the solver's own stop lets.
    let sharp = subject.fit(&with_spreads(subject.fully_read(hidden), 1e-3));
    // Read as a person reads, the prior pulls by the share (spread / prior)² of what was hidden,
    // far below a hundredth of the ±.
    let usual = subject.fit(&subject.fully_read(hidden));
    let estimates = |fit: &Fit| [fit.mass_error, fit.offset[0], fit.offset[1]];
    let names = ["mass", "offset along", "offset across"];
    for k in 0..names.len() {
        let got = estimates(&sharp)[k];
        // A boat of six numbers answers more or less than its model: it is as rough as it says.
        let exact = if subject.known.spreads()[4] > 1e-6 { 1e-3 * got.spread } else { 0.0 };
        assert_within(got.value, hidden[k], exact.max(1e-6), names[k]);
        let got = estimates(&usual)[k];
        assert_within(got.value, hidden[k], 0.01 * got.spread, names[k]);
    }
    assert_within(usual.offset[2].value, 0.0, 0.01 * subject.known.spreads()[3], "height");
    assert_eq!(usual.contradiction, None, "an exact reading of {hidden:?}");
    assert_eq!(usual.untold, Vec::<Unknown>::new(), "all was read");
}

proptest! {
    #![proptest_config(cases(24))]

    #[test]
    fn what_was_hidden_in_the_demonstration_boat_comes_back(hidden in hidden()) {
        assert_recovered(&Subject::demo(), hidden);
    }

    #[test]
    fn what_was_hidden_in_a_quick_boat_comes_back(hidden in hidden()) {
        assert_recovered(&Subject::quick(), hidden);
    }
}

#[test]
fn a_box_that_lies_exactly_on_its_marks_but_lists_is_not_called_level() {
    // The water at marks on the centre line tells nothing of a list, so the mass is right to the
    // last digit before the solver starts; it must go on from there all the same.
    let boat = model(keeled_box([1.0, 0.2, 0.2]), 20.0, [0.0, 0.0, 0.08]);
    let heel = 3.0_f64.to_radians();
    let mark = |name: &str, x: f64| Mark { name: name.to_owned(), at: Position::new(x, 0.0, 0.1) };
    let marks = [mark("bow", 0.45), mark("stern", -0.45)];
    let mut seen: Vec<Observation> = marks.iter().map(|m| water_at(m, 0.0)).collect();
    seen.push(angle(Seen::List(heel)));
    let reading = Reading { water_density: WATER, ..reading(Condition::Afloat, seen) };
    let fit = back_solve(&boat, &reading, &marks, &by_list(&boat)).expect("a good reading");
    // GM is 3.3 mm there; with what the beam's rise adds, 0.18 mm to starboard.
    assert_within(fit.offset[1].value, -0.177e-3, 0.5e-6, "offset across");
    assert_within(fit.pose.heel(), heel, 1e-3 * ANGLE_SPREAD, "the heel of the boat as found");
    assert_eq!(fit.contradiction, None, "the figures are those of one box");
}

#[test]
fn one_mark_and_a_list_tell_nothing_of_the_trim() {
    let subject = Subject::demo_as_built();
    let pose = afloat(&subject.really([0.08, 5e-3, 1e-3]));
    let seen = afloat_reading(pose, &[subject.mark("midship")], &[List]);
    let fit = subject.fit(&seen);
    assert_eq!(fit.untold, [Unknown::Along], "what is untold");
    // The midship mark is not quite over the centre of the waterplane: what it tells of the trim is far inside the ±.
    assert_within(fit.offset[0].value, 0.0, 0.2 * fit.offset[0].spread, "as described");
    let length = subject.model.bounds().size().x;
    assert!(fit.offset[0].spread > 0.015 * length, "± {} along", fit.offset[0].spread);
    assert_eq!(fit.contradiction, None, "nothing to contradict");
}

#[test]
fn what_a_fit_asks_for_settles_what_was_untold() {
    let subject = Subject::demo_as_built();
    let pose = afloat(&subject.really([0.08, 5e-3, 1e-3]));
    let marks = [subject.mark("midship")];
    for (angles, untold) in [(&[List][..], Unknown::Along), (&[Trim][..], Unknown::Across)] {
        let mut seen = afloat_reading(pose, &marks, angles);
        let before = subject.fit(&seen);
        assert_eq!(before.untold, [untold], "what is untold");
        let help = before.help.expect("there is more to read");
        assert!(help.left < 0.5, "it leaves {} of the variance", help.left);
        seen.observations.push(angle(help.seen));
        let after = subject.fit(&seen);
        assert_eq!(after.untold, Vec::<Unknown>::new(), "after what was asked for");
    }
}

#[test]
fn nothing_is_done_about_what_was_not_read() {
    let subject = Subject::demo_as_built();
    let pose = afloat(&subject.really([-0.3, 8e-3, 2e-3]));
    let seen = afloat_reading(pose, &[subject.mark("midship")], &[List]);
    let fit = subject.fit(&seen);
    let advice = subject.advice(&fit, &Remedy::Shift { mass: 0.2 });
    assert_eq!(advice.untold, [Unknown::Along], "what is untold");
    let [Step::Shift { forward, to_port, .. }] = advice.steps.as_slice() else {
        panic!("one shift, got {:?}", advice.steps);
    };
    assert_within(forward.value, 0.0, 0.0, "nothing along");
    assert!(to_port.value < -0.02, "but across: {to_port:?}");
    assert_within(advice.need.moment[0], 0.0, 0.0, "moment asked for along");
    let added = subject.advice(&fit, &subject.lead("inside"));
    let [Step::Add(Weight { x, .. })] = added.steps.as_slice() else {
        panic!("one weight, got {:?}", added.steps);
    };
    assert_within(
        x.value,
        added.need.centre[0],
        0.5001 * MILLIMETRE,
        "a weight that does not trim",
    );
}

#[test]
fn a_shift_says_what_mass_it_leaves_and_a_weight_leaves_none() {
    let subject = Subject::demo();
    for across in [0.0, 2e-3] {
        for (too_much, left) in [(-0.3, Some(0.3)), (0.3, Some(-0.3)), (0.0, None)] {
            let fit = subject.fit(&subject.fully_read([too_much, 0.0, across]));
            let shifted = subject.advice(&fit, &Remedy::Shift { mass: 0.2 }).mass_left;
            assert_eq!(shifted.is_some(), left.is_some(), "{too_much} kg too much: {shifted:?}");
            let off = shifted.zip(left).map_or(0.0, |(got, expected)| got - expected);
            assert_within(off, 0.0, GRAM, "what a shift leaves");
            let added = subject.advice(&fit, &subject.lead("inside"));
            assert_eq!(added.mass_left, None, "a weight is put on or taken off");
        }
    }
}

#[test]
fn two_marks_and_a_list_tell_all() {
    let subject = Subject::demo();
    let pose = afloat(&subject.really([0.08, 5e-3, 1e-3]));
    let ends = [subject.mark("stern"), subject.mark("bow")];
    let fit = subject.fit(&afloat_reading(pose, &ends, &[List]));
    assert_eq!(fit.untold, Vec::<Unknown>::new(), "all is told");
    assert_eq!(fit.contradiction, None, "no figure to spare");
    for (k, offset) in fit.offset.iter().take(2).enumerate() {
        assert!(offset.spread < 3e-3, "± {} of offset {k}", offset.spread);
    }
}

#[test]
fn half_the_spread_of_the_figures_is_half_the_spread_of_the_answer() {
    // To a thousandth: the prior's share of the information is (spread / prior)², below 2e-4. The
    // boat lies upright, where the height of the centre of gravity, which no reading tells, does
    // not come in.
    let subject = Subject::demo();
    let seen = subject.fully_read([0.08, 5e-3, 0.0]);
    let whole = subject.fit(&seen);
    let half = subject.fit(&with_spreads(seen, 0.5));
    let pairs = [
        ("mass", whole.mass_error, half.mass_error),
        ("along", whole.offset[0], half.offset[0]),
        ("across", whole.offset[1], half.offset[1]),
    ];
    for (what, whole, half) in pairs {
        assert_close(half.spread, 0.5 * whole.spread, 1e-3, what);
        assert_within(half.value, whole.value, 0.01 * whole.spread, what);
    }
}

#[test]
fn a_quick_boats_answer_is_rougher_by_its_share_of_what_it_finds() {
    let subject = Subject::quick();
    let rough = subject.fit(&subject.fully_read([0.3, 0.0, 0.0])).mass_error;
    let mut sure = subject.known.clone();
    sure.covariance[(4, 4)] = 1e-18;
    let seen = subject.fully_read([0.3, 0.0, 0.0]);
    let fit =
        back_solve(&subject.model, &seen, &subject.boat.marks, &sure).expect("a good reading");
    // What lies between its waterline and the water seen is so much more or less; GUM 5.1.2.
    let expected = fit.mass_error.spread.hypot(QuickBoat::RESPONSE_SPREAD * 0.3);
    assert_close(rough.spread, expected, 0.02, "± of the mass");
}

proptest! {
    #![proptest_config(cases(16))]

    #[test]
    fn a_further_figure_never_widens_the_answer(
        hidden in hidden(),
        order in Just([0_usize, 1, 2, 3, 4]).prop_shuffle(),
    ) {
        let subject = Subject::demo();
        let all = subject.fully_read(hidden).observations;
        let mut before: Option<Fit> = None;
        for n in 1..=all.len() {
            let some = order.iter().take(n).map(|&k| all[k].clone()).collect();
            let fit = subject.fit(&reading(Condition::Afloat, some));
            // A figure that was not told is held, and the slopes are those of a wrong boat; once all
            // is told they are taken within a hundredth of the ± of the same boat, which changes
            // them by less than a thousandth.
            if let Some(before) = before.filter(|b| b.untold.is_empty()) {
                for k in 0..3 {
                    let (was, is) = (before.covariance[(k, k)].sqrt(), fit.covariance[(k, k)].sqrt());
                    prop_assert!(
                        is <= 1.001 * was,
                        "± of {k} went from {was} to {is} with figure {n} of {order:?}"
                    );
                }
            }
            before = Some(fit);
        }
    }
}

#[test]
fn three_marks_out_of_line_contradict_one_another_and_the_culprit_is_named() {
    let subject = Subject::demo();
    let mut seen = subject.fully_read([0.08, 5e-3, 1e-3]);
    assert_eq!(subject.fit(&seen).contradiction, None, "as it was read");
    seen.observations.retain(|o| !matches!(o.seen, Seen::Trim(_)));
    let culprit = seen
        .observations
        .iter_mut()
        .position(|o| match &mut o.seen {
            Seen::WaterAtMark { mark, above } if mark.name == "midship" => {
                *above += 0.015;
                true
            }
            _ => false,
        })
        .expect("it was read at midship");
    let found = subject.fit(&seen).contradiction.expect("15 mm out of line");
    assert_eq!(found.worst, culprit, "the culprit among {:?}", seen.observations);
    // Source: closed form. Two thirds of 15 mm stay at midship, and as much of its variance is free.
    assert_within(found.off, 10.0 / (2.0_f64 / 3.0).sqrt(), 0.3, "off, in spreads");
}

#[test]
fn a_trim_angle_against_the_marks_is_named() {
    let subject = Subject::demo();
    for (off, contradicts) in [(0.0, false), (3.0, true), (-3.0, true)] {
        let mut seen = subject.fully_read([0.08, 5e-3, 1e-3]);
        let worst = seen.observations.len() - 1;
        let Some(Observation { seen: Seen::Trim(trim), .. }) = seen.observations.get_mut(worst)
        else {
            panic!("the trim was read last");
        };
        *trim += f64::to_radians(off);
        let got = subject.fit(&seen).contradiction.map(|c| c.worst);
        assert_eq!(got, contradicts.then_some(worst), "trim read {off} degrees off");
    }
}

#[test]
fn inside_the_noise_the_boat_is_left_alone() {
    let subject = Subject::demo();
    for (hidden, verdict) in [
        ([0.0; 3], Verdict::LeaveIt),
        ([0.01, 0.0, 0.0], Verdict::LeaveIt),
        ([0.0, 5e-4, 3e-5], Verdict::LeaveIt),
        ([0.3, 0.0, 0.0], Verdict::Do),
        ([0.0, 8e-3, 0.0], Verdict::Do),
        ([0.0, 0.0, 1e-3], Verdict::Do),
    ] {
        let fit = subject.fit(&subject.fully_read(hidden));
        let advice = subject.advice(&fit, &subject.lead("inside"));
        assert_eq!(advice.verdict, verdict, "off by {hidden:?}");
        assert_eq!(advice.steps.is_empty(), verdict == Verdict::LeaveIt, "steps of {hidden:?}");
    }
}

#[test]
fn a_quick_boat_that_is_plainly_off_is_not_left_alone() {
    // How rough the model is says how well the advice is known, not whether something can be seen:
    // what is off by many times the reading's own ± is to be acted on.
    let subject = Subject::quick();
    for (hidden, seen) in [
        ([-0.4, 0.0, 0.0], "7 mm too high at every mark"),
        ([0.4, 0.0, 0.0], "7 mm too deep at every mark"),
        ([0.0, 0.02, 0.0], "down by the bow"),
        ([0.0, 0.0, 2e-3], "a list of 9 degrees"),
    ] {
        let fit = subject.fit(&subject.fully_read(hidden));
        let advice = subject.advice(&fit, &subject.lead("inside"));
        assert_eq!(advice.verdict, Verdict::Do, "{seen}");
    }
    for hidden in [[0.0; 3], [0.02, 0.0, 0.0], [0.0, 0.0, 5e-5]] {
        let fit = subject.fit(&subject.fully_read(hidden));
        let advice = subject.advice(&fit, &subject.lead("inside"));
        assert_eq!(advice.verdict, Verdict::LeaveIt, "off by {hidden:?}, inside the noise");
    }
    // Its stiffness is a guess: far over, it may as well loll, and gets no weight to one side.
    let fit = subject.fit(&subject.fully_read([0.0, 0.0, -4e-3]));
    println!("it lolls with {}", fit.lolls);
    let advice = subject.advice(&fit, &subject.lead("inside"));
    assert_eq!(advice.verdict, Verdict::LeanUntold, "a list of 17 degrees");
}

#[test]
fn where_the_phone_lay_is_known_so_well_and_the_answer_no_better() {
    // Closed form: m_phone · off is in doubt of the moment, so m_phone · off / m of the centre of gravity.
    let subject = Subject::demo();
    let mut reading =
        afloat_reading(afloat(&subject.really([0.0; 3])), &subject.boat.marks, &[List, Trim]);
    let at = Position::new(0.1, 0.0, 0.15);
    let fit = |off: f64, reading: &mut Reading| {
        reading.aboard =
            vec![Aboard { name: "phone".to_owned(), mass: PHONE_MASS, at, off, solid: None }];
        subject.fit(reading)
    };
    let (known, off) = (fit(0.0, &mut reading), 5.0 * MILLIMETRE);
    let unsure = fit(off, &mut reading);
    let doubt = PHONE_MASS * off / known.found.mass();
    for (k, expected) in [(0, 0.0), (1, doubt), (2, doubt), (3, 0.0)] {
        let more = unsure.covariance[(k, k)] - known.covariance[(k, k)];
        assert!((more - expected * expected).abs() < 1e-12, "{k}: {more}");
    }
}

#[test]
fn the_phone_that_lay_aboard_is_not_part_of_the_boat() {
    let subject = Subject::demo();
    let hidden = [0.1, 4e-3, -1e-3];
    let really = subject.really(hidden);
    let phone = Aboard {
        name: "phone".to_owned(),
        mass: PHONE_MASS,
        at: Position::new(0.1, 0.005, 0.15),
        off: 0.0,
        solid: None,
    };
    let laden = really.with_weight(phone.mass, phone.at).expect("still a boat");
    let bare = afloat_reading(afloat(&really), &subject.boat.marks, &[List, Trim]);
    let mut with_phone = afloat_reading(afloat(&laden), &subject.boat.marks, &[List, Trim]);
    with_phone.aboard.push(phone);
    let without = subject.fit(&bare);
    let with = subject.fit(&with_phone);
    for (what, a, b) in [
        ("mass", with.mass_error, without.mass_error),
        ("along", with.offset[0], without.offset[0]),
        ("across", with.offset[1], without.offset[1]),
    ] {
        assert_within(a.value, b.value, 0.02 * b.spread, what);
    }
    assert_close(with.found.mass(), really.mass(), 1e-3, "the boat's mass, without the phone");
    assert!(with.pose.height() < without.pose.height() - 1e-3, "it lay deeper with the phone on");
}

/// A box of 1 × 0.2 × 0.2 m that draws 0.1 m, with ballast on a mast so that its centre of gravity
/// comes to lie higher than the metacentre, at 0.0833 m.
fn top_heavy() -> Subject {
    let hull =
        Part::solid("hull", 19.0, Position::new(0.0, 0.0, 0.07), keeled_box([1.0, 0.2, 0.2]));
    let mast = Part::weight("lead on a mast", 1.0, Position::new(0.0, 0.0, 0.36));
    let mark = |name: &str, x: f64| Mark { name: name.to_owned(), at: Position::new(x, 0.0, 0.1) };
    let boat = Boat {
        name: "top-heavy".to_owned(),
        parts: vec![hull, mast],
        marks: vec![mark("stern", -0.45), mark("midship", 0.0), mark("bow", 0.45)],
        places: vec![Place { name: "inside".to_owned(), z: 0.05, medium: Medium::Dry }],
        ..Boat::default()
    };
    let subject = Subject::ledger(boat, 0.0);
    Subject { known: as_built(&subject.model), ..subject }
}

#[test]
fn a_top_heavy_boat_lolls_and_the_cure_is_lower_weight() {
    let subject = top_heavy();
    let basin = Basin::deep(POOL);
    let upright =
        upright_stiffness(&subject.model, basin, None, &Tolerance::FINE).expect("good water").0;
    assert!(upright.across < 0.0, "its GM upright is {}", upright.across);
    let pose = afloat(&subject.model);
    assert!(pose.heel().abs() > 0.05, "it lolls to {}", pose.heel().to_degrees());
    let lolled = |side: f64| {
        let pose = Pose::from_angles(pose.height(), side * pose.heel(), pose.trim());
        afloat_reading(pose, &subject.boat.marks, &[List, Trim])
    };
    let remedies = [subject.lead("inside"), Remedy::Shift { mass: 0.2 }];
    for side in [1.0, -1.0] {
        // Seen on one side only, a little weight there and a little GM would do as well.
        let fit = subject.fit(&lolled(side));
        assert_eq!(fit.lean, Lean::ListOrLoll, "seen on one side: {}", fit.lolls);
        for remedy in &remedies {
            let advice = subject.advice(&fit, remedy);
            assert_eq!(advice.steps, [], "no weight to one side while it may loll");
            assert_eq!(advice.verdict, Verdict::LeanUntold, "seen on one side");
        }
        // Pushed over to the other side it stayed there, or did not: only a loll stays. One that comes back may still
        // want a little GM, with weight off centre besides.
        let pushed = |comes_back: bool| {
            let fit = subject.fit(&Reading { comes_back: Some(comes_back), ..lolled(side) });
            (fit.lean, fit.lolls)
        };
        assert_eq!(pushed(false).0, Lean::Loll, "it stayed: {}", pushed(false).1);
        assert!(
            pushed(true).1 < 0.8 * fit.lolls,
            "it came back: {} of {}",
            pushed(true).1,
            fit.lolls
        );
        // How far it leaned there was read as well.
        let fit = subject.fit_of_both(&[lolled(-side), lolled(side)]);
        assert_eq!(fit.lean, Lean::Loll, "seen on both sides: {}", fit.lolls);
        assert_within(fit.offset[1].value, 0.0, 0.01 * fit.offset[1].spread, "weight off centre");
        for remedy in &remedies {
            let advice = subject.advice(&fit, remedy);
            let Verdict::Lower { moment } = advice.verdict else {
                panic!("weight must come lower, got {:?}", advice.verdict);
            };
            assert!(moment > 0.0, "a moment of {moment}");
            assert_eq!(advice.steps, [], "no weight to one side cures a loll");
        }
    }
}

#[test]
fn a_boat_that_lies_far_over_gets_no_weight_to_one_side() {
    let subject = Subject::demo();
    for degrees in [-75.0, -40.0, 25.0, 40.0, 75.0_f64] {
        let lies = Pose::from_angles(-0.05, degrees.to_radians(), 0.0);
        let reading = afloat_reading(lies, &subject.boat.marks, &[List, Trim]);
        let Ok(fit) = back_solve(&subject.model, &reading, &subject.boat.marks, &subject.known)
        else {
            continue;
        };
        for remedy in [subject.lead("inside"), Remedy::Shift { mass: 0.5 }] {
            let advice = subject.advice(&fit, &remedy);
            let told = matches!(advice.verdict, Verdict::LiesOver { .. } | Verdict::Lower { .. });
            assert!(told, "{degrees} degrees over: {:?}", advice.verdict);
            assert_eq!(advice.steps, [], "{degrees} degrees over");
        }
    }
}

#[test]
fn lowering_weight_by_the_moment_said_makes_a_lolling_boat_stand() {
    let subject = top_heavy();
    let pose = afloat(&subject.model);
    let other = Pose::from_angles(pose.height(), -pose.heel(), pose.trim());
    let readings = [other, pose].map(|p| afloat_reading(p, &subject.boat.marks, &[List, Trim]));
    let fit = subject.fit_of_both(&readings);
    let Verdict::Lower { moment } = subject.advice(&fit, &subject.lead("inside")).verdict else {
        panic!("weight must come lower");
    };
    let basin = Basin::deep(POOL);
    let lowered = Vector3::new(0.0, 0.0, -moment / fit.found.mass());
    let cured = fit.found.with_error(0.0, lowered).expect("still a boat");
    let after = upright_stiffness(&cured, basin, None, &Tolerance::FINE).expect("good water").0;
    assert_close(after.across, 0.1 * 0.2, 1e-6, "GM is a tenth of the beam");
    let outcome = release(&cured, basin, &Tolerance::FINE).expect("good water");
    let heel = outcome.afloat().expect("it floats").pose.heel();
    assert_within(heel, 0.0, 1e-3 * ANGLE_SPREAD, "it stands");
}

#[test]
fn a_boat_with_weight_to_one_side_lists_and_is_not_taken_for_a_loll() {
    let subject = Subject::demo();
    for (across, lean) in [(2e-3, Lean::List), (-2e-3, Lean::List), (0.0, Lean::Upright)] {
        let fit = subject.fit(&subject.fully_read([0.0, 0.0, across]));
        assert_eq!(fit.lean, lean, "weight {across} m to port");
        let advice = subject.advice(&fit, &Remedy::Shift { mass: 0.2 });
        if lean == Lean::List {
            let [Step::Shift { to_port, .. }] = advice.steps.as_slice() else {
                panic!("one shift, got {:?}", advice.steps);
            };
            assert!(to_port.value * across < 0.0, "shifted {to_port:?} for {across} m to port");
        }
    }
}

fn only_weight(advice: &Advice) -> &Weight {
    match advice.steps.as_slice() {
        [Step::Add(weight) | Step::TakeOff(weight)] => weight,
        other => panic!("one weight, got {other:?}"),
    }
}

#[test]
fn lead_in_the_wet_is_heavier_by_what_it_displaces() {
    let subject = Subject::demo();
    let fit = subject.fit(&subject.fully_read([-0.4, 0.0, 0.0]));
    let at = |medium: Medium| {
        let place = Place { name: "here".to_owned(), z: 0.03, medium };
        subject.advice(&fit, &Remedy::Weight { place, density: LEAD })
    };
    let (dry, wet) = (at(Medium::Dry), at(Medium::Wet));
    assert_eq!(dry.need, wet.need, "the boat lacks the same");
    let counts = 1.0 - POOL / LEAD;
    let half_a_gram = 0.5001 * GRAM;
    assert_within(only_weight(&dry).mass.value, dry.need.mass, half_a_gram, "inside");
    assert_within(only_weight(&wet).mass.value, wet.need.mass / counts, half_a_gram, "in the wet");
    assert_close(only_weight(&wet).counts, counts, 1e-12, "what it counts");
    let spreads = only_weight(&wet).mass.spread / only_weight(&dry).mass.spread;
    assert_close(spreads, 1.0 / counts, 1e-9, "its ± is as much wider");
    assert!(only_weight(&wet).mass.value > only_weight(&dry).mass.value + 0.03, "by tens of grams");
}

/// Every figure of a plan is one that can be cut and measured.
fn assert_whole(step: &Step) {
    let whole = |value: f64, unit: f64, what: &str| {
        let n = value / unit;
        assert!((n - n.round()).abs() < 1e-6, "{what} of {value} is not whole in {step:?}");
    };
    match step {
        Step::Add(w) | Step::TakeOff(w) => {
            whole(w.mass.value, GRAM, "mass");
            whole(w.x.value, MILLIMETRE, "place along");
            whole(w.y.value, MILLIMETRE, "place across");
            assert!(w.mass.value > 0.0, "a mass of {}", w.mass.value);
        }
        Step::Shift { mass, forward, to_port } => {
            assert!(*mass > 0.0, "a mass of {mass}");
            whole(forward.value, MILLIMETRE, "shift along");
            whole(to_port.value, MILLIMETRE, "shift across");
        }
    }
}

proptest! {
    #![proptest_config(cases(32))]

    #[test]
    fn after_the_steps_the_boat_lies_at_its_marks(
        hidden in hidden(),
        place in prop_oneof![Just("on the keel"), Just("inside"), Just("on deck")],
        quick in any::<bool>(),
    ) {
        let subject = if quick { Subject::quick() } else { Subject::demo() };
        let fit = subject.fit(&subject.fully_read(hidden));
        let advice = subject.advice(&fit, &subject.lead(place));
        if advice.verdict == Verdict::LeaveIt {
            return Ok(());
        }
        prop_assert_eq!(advice.verdict, Verdict::Do, "a boat off by {:?}", hidden);
        advice.steps.iter().for_each(assert_whole);
        let weighed = advice.steps.iter().any(|s| !matches!(s, Step::Shift { .. }));
        let all = advice.after.marks.iter().map(|m| m.above);
        // A mass within twice its ±, or that lifts the boat by less than two millimetres, is left alone;
        // the boat then lies level at another depth.
        let depth = if weighed { 0.0 } else { all.clone().sum::<f64>() / 3.0 };
        let left_alone = advice.need.mass.abs() <= 2.0 * advice.need.spread(0) || depth.abs() < 2.1e-3;
        prop_assert!(weighed || left_alone, "{} kg left, {depth} m", advice.need.mass);
        for above in all {
            let off = above - depth;
            prop_assert!(off.abs() < 1.5e-3, "{off} m at a mark after {:?}", advice.steps);
        }
        let heel = advice.after.pose.heel().to_degrees();
        prop_assert!(heel.abs() < 0.3, "heel {heel} after {:?}", advice.steps);
        prop_assert!(advice.after.stiffness.least > 0.0, "stable after {:?}", advice.steps);
    }

    #[test]
    fn a_boat_that_is_right_in_mass_is_brought_level_by_a_shift(
        along in -8e-3..8e-3,
        across in -2e-3..2e-3,
        mass in 0.05..0.5,
    ) {
        let subject = Subject::demo();
        let fit = subject.fit(&subject.fully_read([0.0, along, across]));
        let advice = subject.advice(&fit, &Remedy::Shift { mass });
        if advice.verdict == Verdict::LeaveIt {
            return Ok(());
        }
        advice.steps.iter().for_each(assert_whole);
        let worst = advice.after.worst_mark().expect("it has marks").above;
        prop_assert!(worst.abs() < 1.5e-3, "{worst} m at a mark after {:?}", advice.steps);
        let heel = advice.after.pose.heel().to_degrees();
        prop_assert!(heel.abs() < 0.3, "heel {heel} after {:?}", advice.steps);
    }
}

fn under_reading(list: f64, trim: f64, residual: f64) -> Reading {
    let observations = vec![
        angle(Seen::List(list)),
        angle(Seen::Trim(trim)),
        Observation { seen: Seen::Residual(residual), spread: RESIDUAL_SPREAD },
    ];
    reading(Condition::Under, observations)
}

fn under_advice(subject: &Subject, fit: &Fit, remedy: &Remedy) -> Advice {
    let (basin, marks) = (Basin::deep(POOL), &subject.boat.marks);
    advise(fit, basin, Target::Under(UnderAim::NEUTRAL), marks, remedy).expect("good water")
}

#[test]
fn what_is_heavy_under_water_comes_off() {
    let subject = Subject::demo_under();
    let pose = hang(&subject.model, Basin::deep(POOL), &Tolerance::FINE).expect("good water").pose;
    let fit = subject.fit(&under_reading(pose.heel(), pose.trim(), 0.035));
    let model_residual = subject.model.residual_mass(POOL);
    assert_within(model_residual + fit.mass_error.value, 0.035, 1e-5, "residual");
    for (place, counts) in [("inside", 1.0), ("on the keel", 1.0 - POOL / LEAD)] {
        let advice = under_advice(&subject, &fit, &subject.lead(place));
        assert_within(advice.need.mass, -0.035, 1e-5, "what it lacks");
        let off: f64 = advice
            .steps
            .iter()
            .filter_map(|s| if let Step::TakeOff(w) = s { Some(w.mass.value) } else { None })
            .sum();
        assert_within(off, 0.035 / counts, 0.51 * GRAM, place);
        let left = advice.after.residual;
        assert_within(left, 0.0, 0.51 * GRAM, "residual after");
        let up = advice.after.pose.up();
        let tilt = up.angle(&Vector3::z_axis()).to_degrees();
        assert!(tilt < 1.0, "it hangs {tilt} degrees off after {:?}", advice.steps);
    }
}

#[test]
fn what_is_light_under_water_goes_on() {
    let subject = Subject::demo_under();
    let fit = subject.fit(&under_reading(0.0, 0.0, -0.035));
    let advice = under_advice(&subject, &fit, &subject.lead("inside"));
    let on: f64 = advice
        .steps
        .iter()
        .filter_map(|s| if let Step::Add(w) = s { Some(w.mass.value) } else { None })
        .sum();
    assert_within(on, 0.035, 0.51 * GRAM, "put on");
    assert_within(advice.after.residual, 0.0, 0.51 * GRAM, "residual after");
}

#[test]
fn under_water_the_offset_is_bg_times_the_tangent() {
    // Source: closed form: with no waterplane G hangs straight below B, so that across
    // y of G − y of B = −tan φ · BG and along x of G − x of B = tan θ · BG, BG upright.
    let subject = Subject::demo_under();
    let gravity = subject.model.centre_of_gravity(Vector3::z_axis()).vector();
    let from_buoyancy = gravity - subject.model.total_centre().vector();
    let bg = -from_buoyancy.z;
    assert!(bg > 0.0, "BG {bg}");
    // It is read neutral, so that it is so much lighter than described. Of the moment of all of it about the centre of
    // buoyancy, its lever by its mass, the water in the tank has its share; the boat itself carries the rest.
    let lighter = subject.model.residual_mass(POOL);
    let (bare, mass) = (subject.model.bare(), subject.model.mass());
    let lever = bare.centre.x - subject.model.total_centre().x();
    let below = bare.centre.z - subject.model.total_centre().z();
    let bg = (bg * mass + lighter * below) / (mass - lighter);
    let along = |whole: f64| {
        let of_water = from_buoyancy.x * mass - bare.mass * lever;
        (whole * (mass - lighter) - of_water) / (bare.mass - lighter) - lever
    };
    for degrees in [-4.0, -1.0, 2.0, 6.0] {
        let tan = f64::to_radians(degrees).tan();
        let listed =
            subject.fit(&with_spreads(under_reading(degrees.to_radians(), 0.0, 0.0), 0.01));
        // The boat without its tank's water carries the whole moment.
        let share = (mass - lighter) / (bare.mass - lighter);
        assert_close(listed.offset[1].value, -tan * bg * share, 1e-4, "offset for a list");
        assert_within(listed.offset[0].value, along(0.0), 1e-6, "level, along");
        let trimmed =
            subject.fit(&with_spreads(under_reading(0.0, degrees.to_radians(), 0.0), 0.01));
        let (trimmed_by, near) = (along(tan * bg), 1e-4 * bg * tan.abs());
        assert_within(trimmed.offset[0].value, trimmed_by, near, "offset for a trim");
        assert_within(trimmed.offset[1].value, 0.0, 1e-9, "upright, across");
    }
}

/// A mark, a figure, a step and an estimate on the other side of the centre plane.
fn mirrored(reading: &Reading) -> Reading {
    let other_side = |o: &Observation| {
        let seen = match &o.seen {
            Seen::WaterAtMark { mark, above } => {
                let at = Position::new(mark.at.x(), -mark.at.y(), mark.at.z());
                Seen::WaterAtMark { mark: Mark { name: mark.name.clone(), at }, above: *above }
            }
            Seen::List(list) => Seen::List(-list),
            Seen::Trim(_) | Seen::Residual(_) => o.seen.clone(),
        };
        Observation { seen, spread: o.spread }
    };
    Reading {
        observations: reading.observations.iter().map(other_side).collect(),
        ..reading.clone()
    }
}

/// Mass, place or shift along and across of each step.
fn figures(advice: &Advice) -> Vec<[f64; 3]> {
    let of = |step: &Step| match step {
        Step::Add(w) => [w.mass.value, w.x.value, w.y.value],
        Step::TakeOff(w) => [-w.mass.value, w.x.value, w.y.value],
        Step::Shift { mass, forward, to_port } => [*mass, forward.value, to_port.value],
    };
    advice.steps.iter().map(of).collect()
}

#[test]
fn a_mirrored_reading_gives_the_mirrored_advice() {
    for subject in [Subject::demo(), Subject::quick()] {
        for hidden in [[-0.31, 6.1e-3, 1.3e-3], [0.247, -3.3e-3, -1.7e-3], [0.0, 0.0, 1.9e-3]] {
            let seen = subject.fully_read(hidden);
            let one = subject.fit(&seen);
            let other = subject.fit(&mirrored(&seen));
            for remedy in [subject.lead("inside"), Remedy::Shift { mass: 0.15 }] {
                let (a, b) = (subject.advice(&one, &remedy), subject.advice(&other, &remedy));
                assert_eq!(a.verdict, b.verdict, "verdict for {hidden:?}");
                let (a, b) = (figures(&a), figures(&b));
                assert_eq!(a.len(), b.len(), "steps for {hidden:?}");
                for ([mass, x, y], [mass_too, x_too, y_too]) in a.iter().zip(&b) {
                    assert_within(*mass, *mass_too, 1e-9, "mass");
                    assert_within(*x, *x_too, 1e-9, "along");
                    assert_within(*y, -y_too, 1e-9, "across");
                }
            }
        }
    }
}

#[test]
fn a_reading_that_cannot_be_is_refused_with_the_reason() {
    let subject = Subject::demo();
    let fit = |reading: &Reading| {
        back_solve(&subject.model, reading, &subject.boat.marks, &subject.known).err()
    };
    let bow = subject.mark("bow");
    let afloat = |o: Observation| reading(Condition::Afloat, vec![o]);
    let nothing = reading(Condition::Afloat, Vec::new());
    assert_eq!(fit(&nothing), Some(ReadingError::Nothing.into()), "nothing read");
    for spread in [0.0, -1e-3, f64::INFINITY] {
        let got = fit(&afloat(Observation { spread, ..water_at(&bow, 0.0) }));
        assert_eq!(got, Some(ReadingError::Spread(spread).into()), "a spread of {spread}");
    }
    let got = fit(&afloat(Observation { spread: f64::NAN, ..water_at(&bow, 0.0) }));
    let refused = matches!(got, Some(FitError::Reading(ReadingError::Spread(s))) if s.is_nan());
    assert!(refused, "a spread that is not a number gave {got:?}");
    for (seen, what) in [
        (water_at(&bow, f64::NAN), "water"),
        (angle(Seen::List(f64::NAN)), "list"),
        (angle(Seen::Trim(f64::INFINITY)), "trim"),
        (angle(Seen::List(2.0)), "a list of more than a right angle"),
        (water_at(&bow, 11.0), "water 11 m above a mark"),
    ] {
        let got = fit(&afloat(seen));
        let refused = matches!(got, Some(FitError::Reading(ReadingError::Value(_))));
        assert!(refused, "{what} gave {got:?}");
    }
    let mark_under = reading(Condition::Under, vec![water_at(&bow, 0.0)]);
    let wrong = ReadingError::WrongCondition(Condition::Under);
    assert_eq!(fit(&mark_under), Some(wrong.into()), "a mark under water");
    let residual = Observation { seen: Seen::Residual(0.01), spread: RESIDUAL_SPREAD };
    let wrong = ReadingError::WrongCondition(Condition::Afloat);
    assert_eq!(fit(&afloat(residual)), Some(wrong.into()), "a residual weight at the surface");
}

#[test]
fn heights_that_no_such_boat_has_are_refused_or_contradicted() {
    let subject = Subject::demo_as_built();
    for above in [-0.4, 0.3, 2.0, -9.0] {
        let seen = subject.boat.marks.iter().map(|m| water_at(m, above)).collect();
        let got = back_solve(
            &subject.model,
            &reading(Condition::Afloat, seen),
            &subject.boat.marks,
            &subject.known,
        );
        match got {
            Ok(fit) => assert!(fit.contradiction.is_some(), "{above} m: {:?}", fit.mass_error),
            Err(FitError::NoFit | FitError::Boat(_)) => {}
            Err(other) => panic!("{above} m above every mark: {other}"),
        }
    }
}

/// Coarse enough for hundreds of wild readings.
fn coarse() -> Subject {
    let boat = demo_boat().expect("fixed sizes");
    let model = FloatModel::new(&boat, Fineness { around: 8, along: 4 }).expect("a good boat");
    Subject { known: by_list(&model), boat, model }
}

fn wild() -> impl Strategy<Value = f64> {
    prop_oneof![
        4 => -0.2..0.2,
        2 => -3.0..3.0,
        1 => prop::num::f64::ANY,
        1 => prop_oneof![Just(0.0), Just(-0.0), Just(f64::MIN_POSITIVE), Just(1e300)],
    ]
}

fn wild_observation() -> impl Strategy<Value = Observation> {
    let spread = prop_oneof![3 => 1e-6..1e-2, 1 => wild()];
    (0..4_u32, wild(), [wild(), wild(), wild()], spread).prop_map(|(kind, value, at, spread)| {
        let [x, y, z] = at;
        let mark = Mark { name: "somewhere".to_owned(), at: Position::new(x, y, z) };
        let seen = match kind {
            0 => Seen::WaterAtMark { mark, above: value },
            1 => Seen::List(value),
            2 => Seen::Trim(value),
            _ => Seen::Residual(value),
        };
        Observation { seen, spread }
    })
}

proptest! {
    #![proptest_config(cases(150))]

    #[test]
    fn no_reading_makes_the_fit_or_the_advice_panic(
        observations in prop::collection::vec(wild_observation(), 0..6),
        under in any::<bool>(),
        water_density in prop_oneof![3 => Just(POOL), 1 => wild()],
        aboard in prop::collection::vec((wild(), [wild(), wild(), wild()]), 0..2),
        shift in any::<bool>(),
    ) {
        let subject = coarse();
        let aboard = aboard.into_iter().map(|(mass, [x, y, z])| Aboard {
            name: "something".to_owned(),
            mass,
            at: Position::new(x, y, z),
            off: z,
            solid: None,
        });
        let condition = if under { Condition::Under } else { Condition::Afloat };
        let reading = Reading { condition, water_density, aboard: aboard.collect(), observations, ..Reading::default() };
        let marks = &subject.boat.marks;
        let fit = match back_solve(&subject.model, &reading, marks, &subject.known) {
            Ok(fit) => fit,
            Err(error) => {
                prop_assert!(!error.to_string().is_empty(), "{error:?} says nothing");
                return Ok(());
            }
        };
        for estimate in fit.offset.iter().chain([&fit.mass_error]) {
            prop_assert!(
                estimate.value.is_finite() && estimate.spread >= 0.0,
                "{estimate:?} from {reading:?}"
            );
        }
        let target = if under {
            Target::Under(UnderAim::NEUTRAL)
        } else {
            Target::at_the_marks(marks).expect("it has marks")
        };
        let remedy = if shift { Remedy::Shift { mass: 0.2 } } else { subject.lead("on the keel") };
        let advised = advise(&fit, Basin::deep(water_density), target, marks, &remedy);
        if let Ok(advice) = advised {
            for figure in figures(&advice).into_iter().flatten() {
                prop_assert!(figure.is_finite(), "{:?} from {reading:?}", advice.steps);
            }
        }
    }
}
