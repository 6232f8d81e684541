//! The stated intervals, counted: boats that are not those of their ledgers, drawn as the ledgers' own ± say, their
//! hulls displacing more or less than described, are read with noise and rounding, and what is said of them holds as
//! often as it should; and what a further reading would leave is what it leaves.
//!
//! `TRIM_COVERAGE` says how many boats of each ledger are drawn; 120 if not said.

use crate::support::chance::Noise;
use nalgebra::SMatrix;
use trimwright::answer::ReadyBoat;
use trimwright::boat::demo_boat;
use trimwright::diary::{BoatRecord, TEMPLATES};
use trimwright::fit::{DrySighting, Errors, Estimate, JointFit, KnownErrors, Sighting, estimate};
use trimwright::float::{
    Basin, FloatModel, N_ERRORS, Tolerance, hang, release, sensitivity, settle_from,
};
use trimwright::frame::{Pose, Position};
use trimwright::reading::{
    ANGLE_SPREAD, Aboard, Condition, MARK_SPREAD, Observation, RESIDUAL_SPREAD, Reading, Seen,
};
use trimwright::unit::{DEGREE, GRAM, MILLIMETRE};

/// Fresh water of 20 °C, kg/m³.
pub(super) const POOL: f64 = 998.2067;
/// Boats drawn of each ledger, if not said otherwise.
const DRAWS: u32 = 120;
/// Two-sided 95 % of the normal distribution, in standard deviations.
const NORMAL_95: f64 = 1.959_964;
/// Boats that lean farther are read and trimmed otherwise first, radians.
pub(super) const LEANS: f64 = 12.0 * DEGREE;
/// Spread of the scales, kg, and of the balance point, metres.
const SCALES: f64 = 5.0 * GRAM;
const BALANCE: f64 = 2.0 * MILLIMETRE;

fn draws() -> u32 {
    std::env::var("TRIM_COVERAGE").ok().and_then(|n| n.parse().ok()).unwrap_or(DRAWS)
}

fn ledgers() -> Vec<BoatRecord> {
    let demo = BoatRecord::ledger("demo", &demo_boat().expect("fixed sizes"));
    let records = TEMPLATES.iter().map(|t| t.boat_record().expect("a file of ours"));
    records.chain([demo]).collect()
}

/// Hits of intervals.
#[derive(Debug, Default, Clone, Copy)]
pub(super) struct Count {
    pub(super) held: u32,
    pub(super) all: u32,
}

impl Count {
    pub(super) fn add(&mut self, said: Estimate, is: f64) {
        self.all += 1;
        self.held += u32::from((said.value - is).abs() <= NORMAL_95 * said.spread);
    }

    pub(super) fn share(self) -> f64 {
        f64::from(self.held) / f64::from(self.all)
    }
}

/// A boat drawn from what is known of its ledger.
struct Drawn {
    hand: ReadyBoat,
    errors: Errors,
    real: FloatModel,
}

impl Drawn {
    fn of(hand: &ReadyBoat, noise: &mut Noise) -> Self {
        let root: SMatrix<f64, N_ERRORS, N_ERRORS> = {
            let unit = hand.known.spreads();
            let scaled = hand.known.covariance.component_div(&(unit * unit.transpose()));
            SMatrix::from_diagonal(&unit) * scaled.cholesky().expect("a covariance").l()
        };
        let errors = root * Errors::from_fn(|_, _| noise.normal());
        let real = hand.model.with_errors(&errors.into()).expect("still a boat");
        Self { hand: hand.clone(), errors, real }
    }

    fn at(&self, share: f64, aboard: &[Aboard]) -> FloatModel {
        let filled = self.real.flooded(share, POOL).expect("a share");
        aboard.iter().fold(filled, |boat, a| a.on(&boat).expect("still a boat"))
    }

    /// How it lies; none where it does not float, or leans too far.
    fn afloat(&self, aboard: &[Aboard]) -> Option<Pose> {
        let boat = self.at(0.0, aboard);
        let lies = release(&boat, Basin::deep(POOL), &Tolerance::FINE).ok()?;
        lies.afloat().map(|a| a.pose).filter(|pose| pose.heel().abs() < LEANS)
    }

    fn sighting(
        &self,
        condition: Condition,
        aboard: Vec<Aboard>,
        seen: Vec<Seen>,
        noise: &mut Noise,
    ) -> Option<Sighting> {
        let share = if condition == Condition::Under { 1.0 } else { 0.0 };
        let boat = self.at(share, &aboard);
        let pose = match condition {
            Condition::Afloat => self.afloat(&aboard)?,
            Condition::Under => hang(&boat, Basin::deep(POOL), &Tolerance::FINE).ok()?.pose,
        };
        let residual = boat.residual_mass(POOL);
        let observation = |seen: Seen| {
            let (spread, step) = spread_of(&seen);
            let exact = seen.in_pose(pose, residual);
            let read = ((exact + spread * noise.normal()) / step).round() * step;
            // The step belongs into the ±: evenly spread over it, a twelfth of its square.
            let spread = spread.hypot(step / 12.0_f64.sqrt());
            Observation { seen: seen.with_value(read), spread }
        };
        let observations = seen.into_iter().map(observation).collect();
        let reading =
            Reading { condition, water_density: POOL, aboard, observations, ..Reading::default() };
        let model = self.hand.model.flooded(share, POOL).expect("a share");
        Some(Sighting::wet(model, reading))
    }

    fn marks(&self) -> Vec<Seen> {
        let marks = self.hand.boat.marks.iter();
        marks.map(|m| Seen::WaterAtMark { mark: m.clone(), above: 0.0 }).collect()
    }

    /// Afloat; under with full tanks; afloat with 150 g to port.
    fn sightings(&self, noise: &mut Noise) -> Option<Vec<Sighting>> {
        let afloat = self.marks().into_iter().chain([Seen::List(0.0)]).collect();
        let under = vec![Seen::Residual(0.0), Seen::List(0.0), Seen::Trim(0.0)];
        Some(vec![
            self.sighting(Condition::Afloat, Vec::new(), afloat, noise)?,
            self.sighting(Condition::Under, Vec::new(), under, noise)?,
            self.sighting(Condition::Afloat, self.to_port(), vec![Seen::List(0.0)], noise)?,
        ])
    }

    /// A weight a third of the half beam to port, on the highest place.
    fn to_port(&self) -> Vec<Aboard> {
        let z = self.hand.boat.places.iter().map(|place| place.z).fold(0.0, f64::max);
        let y = self.hand.model.bounds().high.y / 3.0;
        let at = Position::new(0.0, y, z);
        vec![Aboard { name: String::new(), mass: 0.05, at, off: 0.0, solid: None }]
    }

    fn on_the_bench(&self, noise: &mut Noise) -> Sighting {
        let real = self.real.bare();
        let mass = Estimate::new(real.mass + SCALES * noise.normal(), SCALES);
        let balance = Estimate::new(real.centre.x + BALANCE * noise.normal(), BALANCE);
        let (mass, balance) = (Some(mass), Some(balance));
        Sighting::Dry(DrySighting {
            boat: self.hand.model.bare(),
            aboard: Vec::new(),
            mass,
            balance,
        })
    }
}

pub(super) fn spread_of(seen: &Seen) -> (f64, f64) {
    match seen {
        Seen::WaterAtMark { .. } => (MARK_SPREAD, 0.5 * MILLIMETRE),
        Seen::List(_) | Seen::Trim(_) => (ANGLE_SPREAD, 0.1 * DEGREE),
        Seen::Residual(_) => (RESIDUAL_SPREAD, GRAM),
    }
}

/// What a fit foretells of a figure in a state: the value in the boat found, and its spread to the first order.
fn foretold(drawn: &Drawn, joint: &JointFit, share: f64, seen: &Seen) -> Option<Estimate> {
    let under = share > 0.0;
    let basin = Basin::deep(POOL);
    let found = drawn.hand.model.flooded(share, POOL).ok()?;
    let found = found.with_errors(&joint.known.errors.into()).ok()?;
    let pose = if under {
        hang(&found, basin, &Tolerance::FINE).ok()?.pose
    } else {
        let near = joint.sightings.first()?.pose?;
        settle_from(&found, basin, near, &Tolerance::FINE).ok()?.pose()
    };
    let sensitivity = sensitivity(&found, basin, pose, under, found.bare())?;
    let slopes = Errors::from(seen.slopes(pose, &sensitivity));
    let variance = slopes.dot(&(joint.known.covariance * slopes));
    Some(Estimate::new(seen.in_pose(pose, found.residual_mass(POOL)), variance.sqrt()))
}

#[test]
fn what_is_said_of_a_boat_holds_as_often_as_it_should() {
    let mut unknowns = [Count::default(); N_ERRORS];
    let (mut forecasts, mut after_the_bench) = (Count::default(), Count::default());
    for (which, ledger) in ledgers().iter().enumerate() {
        let hand = ReadyBoat::of(ledger).expect("a good boat");
        let mut noise = Noise(which as u64 * 1000 + 15);
        for _ in 0..draws() {
            let drawn = Drawn::of(&hand, &mut noise);
            let Some(sightings) = drawn.sightings(&mut noise) else { continue };
            let bare = hand.model.bare();
            let joint = estimate(bare, &hand.known, &sightings).expect("readings of this boat");
            for (k, count) in unknowns.iter_mut().enumerate() {
                count.add(joint.error(k), drawn.errors[k]);
            }
            let pose = drawn.afloat(&[]).expect("it was read");
            let mut figures: Vec<(f64, Seen)> =
                drawn.marks().into_iter().map(|m| (0.0, m)).collect();
            figures.extend([(0.0, Seen::List(0.0)), (0.0, Seen::Trim(0.0))]);
            figures.extend([0.9, 1.0].map(|share| (share, Seen::Residual(0.0))));
            for (share, seen) in figures {
                let Some(said) = foretold(&drawn, &joint, share, &seen) else { continue };
                let is = seen.in_pose(pose, drawn.at(share, &[]).residual_mass(POOL));
                forecasts.add(said, is);
            }
            let more: Vec<Sighting> =
                sightings.into_iter().chain([drawn.on_the_bench(&mut noise)]).collect();
            let joint = estimate(bare, &hand.known, &more).expect("readings of this boat");
            for k in 0..N_ERRORS {
                after_the_bench.add(joint.error(k), drawn.errors[k]);
            }
        }
    }
    println!("unknowns {unknowns:?}\nforecasts {forecasts:?}, with the bench {after_the_bench:?}");
    let together = unknowns.iter().fold(Count::default(), |sum, count| Count {
        held: sum.held + count.held,
        all: sum.all + count.all,
    });
    for (what, count) in [
        ("the unknowns", together),
        ("the forecasts", forecasts),
        ("the unknowns after the bench", after_the_bench),
    ] {
        let share = count.share();
        assert!((0.93..=0.97).contains(&share), "{what}: 95 % intervals hold in {share}");
    }
    for (name, count) in ["mass", "x", "y", "z", "displacement"].iter().zip(unknowns) {
        let share = count.share();
        // One by one they are too few for a per cent: three standard errors about 0.93 to 0.97.
        let error = 3.0 * (0.95 * 0.05 / f64::from(count.all)).sqrt();
        let range = 0.93 - error..=0.97 + error;
        assert!(range.contains(&share), "{name}: 95 % intervals hold in {share}");
    }
}

#[test]
fn a_further_reading_leaves_what_was_said_it_would() {
    // Said before it is read, at the errors found then; found after it, at those found then. What one reading leaves
    // depends on what it shows, so that the shares are compared in the mean of all boats, by unknown.
    let mut sums = [[[0.0; 2]; N_ERRORS]; 2];
    let mut near = Count::default();
    for (which, ledger) in ledgers().iter().enumerate() {
        let hand = ReadyBoat::of(ledger).expect("a good boat");
        let mut noise = Noise(which as u64 * 1000 + 16);
        for _ in 0..draws() / 2 {
            let drawn = Drawn::of(&hand, &mut noise);
            let Some(sightings) = drawn.sightings(&mut noise) else { continue };
            let (first, others) = sightings.split_first().expect("three");
            let bare = hand.model.bare();
            let before = estimate(bare, &hand.known, std::slice::from_ref(first)).expect("a boat");
            let bench = [drawn.on_the_bench(&mut noise)];
            for (sums, more) in sums.iter_mut().zip([others.get(..1).expect("under"), &bench]) {
                let said = before.known.after(more).expect("it can be read");
                let both: Vec<Sighting> = [first].into_iter().chain(more).cloned().collect();
                let found = estimate(bare, &hand.known, &both).expect("a boat");
                for (k, sum) in sums.iter_mut().enumerate() {
                    let was = before.known.covariance[(k, k)];
                    let [said, found] =
                        [said, found.known.covariance].map(|after| after[(k, k)] / was);
                    sum[0] += said;
                    sum[1] += found;
                    near.all += 1;
                    near.held += u32::from((said - found).abs() < 0.1);
                }
            }
        }
    }
    let n = f64::from(near.all) / (2.0 * N_ERRORS as f64);
    for (kind, sums) in ["under", "on the bench"].iter().zip(sums) {
        for (name, [said, found]) in ["mass", "x", "y", "z", "displacement"].iter().zip(sums) {
            let (said, found) = (said / n, found / n);
            println!("{kind}: of {name} {said:.3} was said to be left, {found:.3} was");
            assert!((said - found).abs() < 0.1, "{kind}, {name}: {said} said, {found} left");
        }
    }
    println!("single ones within a tenth: {:.3} of {}", near.share(), near.all);
    assert!(near.share() > 0.8, "single ones within a tenth: {}", near.share());
}

#[test]
fn nothing_read_leaves_what_was_known() {
    // Closed form: with no figure the least squares are the prior's own.
    let record = ledgers().remove(0);
    let hand = ReadyBoat::of(&record).expect("a good boat");
    let known = KnownErrors { errors: Errors::from([0.1, 1e-3, -1e-3, 2e-3, 5e-3]), ..hand.known };
    let joint = estimate(hand.model.bare(), &known, &[]).expect("a boat");
    let off = (joint.known.errors - known.errors).component_div(&known.spreads()).norm();
    assert!(off < 1e-6, "{off} spreads from what was known");
    let covariance = joint.known.covariance - known.covariance;
    let unit = known.spreads();
    let off = covariance.component_div(&(unit * unit.transpose())).amax();
    assert!(off < 1e-9, "its covariance differs by {off}");
}
