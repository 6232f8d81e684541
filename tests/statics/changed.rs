//! What changed: leaks, and air that stayed, in boats that are not quite those of their lists. The same state is read
//! before and after, with noise; the second reading must not pass for the first boat, and what happened must be named.
//!
//! `TRIM_CHANGES` says how many changes are played, and twice as many boats that did not change; 200 if not said.

use crate::support::chance::{Noise, binomial_bounds};
use nalgebra::Vector3;
use std::sync::Arc;
use trimwright::answer::{
    AdviceRequest, Advised, Evidence, Hollow, KeptSession, KeptSighting, KeptWhat, ReadyBoat,
    Suspect, SuspectKind, kept_in, look_at,
};
use trimwright::ballast::Remedy;
use trimwright::boat::{Boat as Described, Part, demo_boat};
use trimwright::diary::{
    BoatRecord, Entry, NewBoatRecord, ReadingRecord, SessionRecord, TEMPLATES, state_of,
};
use trimwright::fit::{Foretold, KnownErrors, WetSighting};
use trimwright::float::{Basin, FloatModel, Tolerance, hang, release};
use trimwright::frame::Position;
use trimwright::geometry::{Fineness, Solid};
use trimwright::material::LEAD;
use trimwright::pause::at_once;
use trimwright::reading::{
    ANGLE_SPREAD, Condition, MARK_SPREAD, Observation, RESIDUAL_SPREAD, Reading, Seen,
};
use trimwright::unit::{DEGREE, GRAM, MILLIMETRE};

/// Fresh water of 20 °C, kg/m³.
const POOL: f64 = 998.2067;
/// How far a boat is from its ledger, one standard deviation: as in `evening.rs`.
const BUILT: [f64; 5] = [0.02, 0.005, 1e-3, 2e-3, 0.01];
/// How much gets in, or stays, kg.
const AMOUNTS: [f64; 2] = [0.02, 0.2];
/// Changes that are played, if not said otherwise.
const CHANGES: u32 = 200;
/// An amount is told from nothing from so many of its spreads on.
const ALLOWS: f64 = 3.0;
/// Two explanations are told apart where the wrong one leaves so much more, without noise: three spreads.
const APART: f64 = 9.0;

fn changes() -> u32 {
    std::env::var("TRIM_CHANGES").ok().and_then(|n| n.parse().ok()).unwrap_or(CHANGES)
}

/// The boats, as their ledgers have them.
fn ledgers() -> Vec<BoatRecord> {
    let demo = BoatRecord::ledger("demo", &demo_boat().expect("fixed sizes"));
    let records = TEMPLATES.iter().map(|t| t.boat_record().expect("a file of ours"));
    records.chain([demo]).collect()
}

/// A boat in the water, with its ledger.
struct Boat {
    record: BoatRecord,
    hand: ReadyBoat,
    real: FloatModel,
    /// Density with which the water acts on the real hull, kg/m³.
    acts: f64,
}

/// A state in which it is read.
#[derive(Clone, Copy)]
struct State {
    condition: Condition,
    /// How full its tanks are.
    share: f64,
}

const BLOWN: State = State { condition: Condition::Afloat, share: 0.0 };
const FULL: State = State { condition: Condition::Under, share: 1.0 };

impl Boat {
    fn suspects(&self, advised: &Advised) -> Vec<Suspect> {
        at_once(|due| Box::pin(advised.suspects(&self.hand, due)))
    }

    fn built(record: &BoatRecord, noise: &mut Noise) -> Self {
        let hand = ReadyBoat::of(record).expect("a good boat");
        let blown = hand.model.flooded(0.0, POOL).expect("a share");
        let [mass, x, y, z, volume] = BUILT.map(|spread| spread * noise.normal());
        let offset = Vector3::new(x * blown.bounds().size().x, y, z);
        let acts = POOL * (1.0 + volume.clamp(-0.02, 0.02));
        let heavier = mass * blown.mass() + (acts / POOL - 1.0) * blown.mass();
        let real = blown.with_error(heavier, offset).expect("still a boat");
        Self { record: record.clone(), hand, real, acts }
    }

    /// What is seen of it in a state, where it has changed so; none where it does not lie so.
    fn read(
        &self,
        state: State,
        changed: &dyn Fn(&FloatModel) -> FloatModel,
        noise: &mut dyn FnMut() -> f64,
    ) -> Option<Reading> {
        let model = changed(&self.real.flooded(state.share, POOL).expect("a share"));
        let basin = Basin::deep(self.acts);
        let (pose, mut seen) = match state.condition {
            Condition::Afloat => {
                let outcome = release(&model, basin, &Tolerance::FINE).ok()?;
                let marks = self.hand.boat.marks.iter();
                let marks = marks.map(|m| Seen::WaterAtMark { mark: m.clone(), above: 0.0 });
                (outcome.afloat()?.pose, marks.collect::<Vec<_>>())
            }
            Condition::Under => {
                let hangs = hang(&model, basin, &Tolerance::FINE).ok()?;
                (hangs.pose, vec![Seen::Residual(0.0), Seen::Trim(0.0)])
            }
        };
        seen.push(Seen::List(0.0));
        let residual = model.residual_mass(self.acts);
        let observation = |seen: Seen| {
            let exact = seen.in_pose(pose, residual);
            let (spread, step) = match seen {
                Seen::WaterAtMark { .. } => (MARK_SPREAD, 0.5 * MILLIMETRE),
                Seen::List(_) | Seen::Trim(_) => (ANGLE_SPREAD, 0.1 * DEGREE),
                Seen::Residual(_) => (RESIDUAL_SPREAD, GRAM),
            };
            let off = noise();
            // Without noise, nothing is rounded either.
            let read = exact + spread * off;
            let read = if off == 0.0 { read } else { (read / step).round() * step };
            Observation { seen: seen.with_value(read), spread }
        };
        let observations = seen.into_iter().map(observation).collect();
        let condition = state.condition;
        Some(Reading { condition, water_density: POOL, observations, ..Reading::default() })
    }

    /// What is said of a reading after an earlier one in the same state.
    fn advised(&self, before: &Reading, after: Reading, state: State) -> Option<Advised> {
        let what = KeptWhat::Reading(before.clone(), state.share);
        let kept = KeptSession {
            sightings: vec![KeptSighting { what, was_changed: false }],
            ..KeptSession::default()
        };
        let evidence = Evidence::of(&self.hand, &self.record, &[kept]);
        assert!(evidence.known().is_some(), "{}: the first reading told nothing", self.record.name);
        let place = self.hand.boat.places.first().expect("a place").clone();
        let remedy = Remedy::Weight { place, density: LEAD.density };
        let asked = AdviceRequest { reading: after, fill: state.share, remedy, part: None };
        look_at(&self.hand, asked, &evidence).ok()
    }

    fn played(
        &self,
        state: State,
        changed: &dyn Fn(&FloatModel) -> FloatModel,
        noise: &mut dyn FnMut() -> f64,
    ) -> Option<Advised> {
        let before = self.read(state, &FloatModel::clone, noise)?;
        let after = self.read(state, changed, noise)?;
        self.advised(&before, after, state)
    }
}

/// One of so many, each as likely as another; none of none.
fn one_of(n: usize, noise: &mut Noise) -> Option<usize> {
    let place = noise.even() * n as f64;
    (0..n).rev().find(|k| *k as f64 <= place)
}

/// What happens to a boat.
struct Happens {
    what: SuspectKind,
    state: State,
    changed: Box<dyn Fn(&FloatModel) -> FloatModel>,
}

impl Happens {
    /// One of what can happen to a boat, by chance; none where its rooms are too small for that.
    fn draw(hand: &ReadyBoat, noise: &mut Noise) -> Option<Self> {
        let [least, most] = AMOUNTS;
        let mass = least + (most - least) * noise.even();
        let hollows = hand.hollows.all(&hand.model);
        let n_tanks = hand.boat.tanks.len();
        let leaks = noise.even() < 0.5;
        let places: Vec<&Hollow> = hollows.iter().filter(|h| h.is_dry == leaks).collect();
        let n = places.len() + if leaks { 0 } else { n_tanks };
        let which = one_of(n, noise)?;
        let afloat = noise.even() < 0.5;
        if let Some(Hollow { space, .. }) = places.get(which).copied().cloned() {
            let density = POOL * space.permeability;
            let whole = space.cavity.volume();
            if mass > 0.8 * density * whole {
                return None;
            }
            let name = space.name.clone();
            return Some(if leaks {
                let state = if afloat { BLOWN } else { FULL };
                let changed = move |boat: &FloatModel| {
                    boat.with_water_in(&space.cavity, mass / density, density)
                };
                let what = SuspectKind::WaterInside(name);
                Self { what, state, changed: Box::new(changed) }
            } else {
                let spaces = Arc::from([space]);
                let changed = move |boat: &FloatModel| {
                    boat.with_trapped(&spaces, &[whole - mass / density], POOL)
                };
                let what = SuspectKind::AirInside(name);
                Self { what, state: FULL, changed: Box::new(changed) }
            });
        }
        let tank = which - places.len();
        let [low, high] = hand.model.usable_range(tank).expect("a tank");
        let share = mass / (POOL * hand.model.capacity(tank));
        if share > 0.8 * (high - low) {
            return None;
        }
        let name = hand.boat.tanks[tank].name.clone();
        let (what, state, share) = if afloat {
            (SuspectKind::TankHoldsMore(name), BLOWN, low + share)
        } else {
            (SuspectKind::TankHoldsLess(name), FULL, high - share)
        };
        let changed = move |boat: &FloatModel| boat.with_fill(tank, share).expect("a share");
        Some(Self { what, state, changed: Box::new(changed) })
    }

    fn own<'a>(&self, suspects: &'a [Suspect]) -> Option<&'a Suspect> {
        suspects.iter().find(|s| s.what == self.what)
    }

    /// Whether the figures, without noise, allow to name it: its amount is at least three of its ±, and every other
    /// thing of the list that may have happened leaves chi-squared 9 more at least, or is less probable than 1 %. What
    /// may be anywhere fits always, and is not asked.
    fn can_be_named(&self, boat: &Boat) -> bool {
        let exact = boat.played(self.state, &*self.changed, &mut || 0.0);
        let suspects = exact.map_or_else(Vec::new, |advised| boat.suspects(&advised));
        let Some(own) = self.own(&suspects) else { return false };
        let anywhere = |s: &&Suspect| {
            matches!(s.what, SuspectKind::PutOn | SuspectKind::Gone | SuspectKind::Moved)
        };
        let others = suspects.iter().filter(|s| s.what != self.what && !anywhere(s));
        own.amount.value.abs() >= ALLOWS * own.amount.spread
            && others.into_iter().all(|s| s.chi_squared >= own.chi_squared + APART)
    }
}

#[test]
fn a_leak_and_air_that_stayed_are_named() {
    let ledgers = ledgers();
    let (mut played, mut alarmed, mut allowed, mut named) = (0, 0, 0, 0);
    let mut seed = 0_u32;
    while played < changes() {
        seed += 1;
        assert!(seed < 100 * changes(), "too few can be played");
        let mut noise = Noise(u64::from(seed));
        let boat = Boat::built(&ledgers[(seed % 5) as usize], &mut noise);
        let Some(happens) = Happens::draw(&boat.hand, &mut noise) else { continue };
        let mut normal = || noise.normal();
        let Some(advised) = boat.played(happens.state, &*happens.changed, &mut normal) else {
            continue;
        };
        played += 1;
        alarmed += u32::from(advised.changed.is_some());
        if !happens.can_be_named(&boat) {
            continue;
        }
        allowed += 1;
        let suspects = boat.suspects(&advised);
        named += u32::from(suspects.first().is_some_and(|s| s.what == happens.what));
    }
    println!("{played} changes: {alarmed} alarms; {allowed} can be named, {named} are");
    assert!(allowed * 4 >= played, "{allowed} of {played} can be named");
    assert!(f64::from(named) >= 0.9 * f64::from(allowed), "{named} of {allowed}");
}

/// A figure that is misread among others that are not: `figure` reads `by` of its spreads too much.
struct Misreads {
    figure: usize,
    by: f64,
}

impl Misreads {
    fn played(&self, boat: &Boat, noise: &mut dyn FnMut() -> f64) -> Option<Advised> {
        let before = boat.read(BLOWN, &FloatModel::clone, noise)?;
        let mut after = boat.read(BLOWN, &FloatModel::clone, noise)?;
        let Observation { seen, spread } = after.observations.get_mut(self.figure)?;
        *seen = seen.clone().with_value(seen.value() + self.by * *spread);
        boat.advised(&before, after, BLOWN)
    }

    fn is(&self, suspect: &Suspect) -> bool {
        suspect.what == SuspectKind::Misread(self.figure)
    }
}

/// The figures of a boat at rest that has more than it needs: four marks and the list.
#[test]
fn a_figure_that_was_misread_is_told_from_a_change() {
    let ledgers = ledgers();
    let (mut played, mut allowed, mut named, mut seed) = (0, 0, 0, 0_u32);
    while played < changes() / 2 {
        seed += 1;
        let mut noise = Noise(u64::from(seed) + 2_000_000);
        let boat = Boat::built(&ledgers[(seed % 5) as usize], &mut noise);
        let n = boat.hand.boat.marks.len() + 1;
        if n < 5 {
            continue;
        }
        let sign = if noise.even() < 0.5 { -1.0 } else { 1.0 };
        let misread = Misreads {
            figure: one_of(n, &mut noise).expect("some figures"),
            by: sign * (5.0 + 15.0 * noise.even()),
        };
        let mut normal = || noise.normal();
        let Some(advised) = misread.played(&boat, &mut normal) else { continue };
        played += 1;
        if advised.changed.is_none() {
            continue;
        }
        let exact = misread.played(&boat, &mut || 0.0);
        let exact = exact.map_or_else(Vec::new, |exact| boat.suspects(&exact));
        let Some(own) = exact.iter().find(|s| misread.is(s)) else { continue };
        let others = exact.iter().filter(|s| !misread.is(s));
        if !others.into_iter().all(|s| s.chi_squared >= own.chi_squared + APART) {
            continue;
        }
        allowed += 1;
        named += u32::from(boat.suspects(&advised).first().is_some_and(|s| misread.is(s)));
    }
    println!("{played} figures misread: {allowed} can be named, {named} are");
    assert!(allowed * 4 >= played, "{allowed} of {played} can be named");
    assert!(f64::from(named) >= 0.9 * f64::from(allowed), "{named} of {allowed}");
}

/// Source: closed form. A box wholly under hangs with its centre of gravity below its centre of buoyancy: "up" runs
/// from the one to the other, which gives list and trim, and what it is heavy by is the sum of the masses less what
/// the water carries.
#[test]
fn fifty_grams_in_a_box_under_water_are_found_exactly() {
    let size = [0.6, 0.2, 0.15];
    let (mass, gram_50, at) = (17.5, 0.05, [0.21, -0.04]);
    let (middle, centre_z) = (0.075, 0.055);
    let solid = Solid::Box { size, centre: Position::new(0.0, 0.0, middle) };
    let part = Part::solid("box", mass, Position::new(0.0, 0.0, centre_z), solid);
    let described = Described { parts: vec![part], ..Described::default() };
    let model = FloatModel::new(&described, Fineness::WORK).expect("a box");
    // In the middle of its depth: its height is what nobody can tell.
    let whole = mass + gram_50;
    let [x, y] = at.map(|at| gram_50 * at / whole);
    let z = (mass * centre_z + gram_50 * middle) / whole;
    let up = Vector3::new(-x, -y, middle - z);
    let seen = [
        (Seen::Residual(whole - POOL * size.iter().product::<f64>()), RESIDUAL_SPREAD),
        (Seen::List(up.y.atan2(up.z)), ANGLE_SPREAD),
        (Seen::Trim(-(up.x / up.norm()).asin()), ANGLE_SPREAD),
    ];
    let observations = seen.map(|(seen, spread)| Observation { seen, spread }).to_vec();
    let reading = Reading {
        condition: Condition::Under,
        water_density: POOL,
        aboard: Vec::new(),
        observations,
        ..Reading::default()
    };
    let known = KnownErrors::independent([5.0 * GRAM, 1e-4, 1e-4, 1e-3, 1e-4]);
    let wet = WetSighting { model, reading, fill: None };
    let foretold = Foretold { known: &known, wet: &wet };
    assert!(foretold.test().expect("it lies so").alarms(), "fifty grams are seen");
    let found = foretold.change().expect("a change");
    let place = found.at.expect("a place");
    let off = [(found.mass.value, gram_50), (place[0].value, at[0]), (place[1].value, at[1])];
    for (got, expected) in off {
        assert!((got - expected).abs() < 1e-9, "{got}, expected {expected}: {found:#?}");
    }
}

#[test]
fn a_boat_that_did_not_change_gives_no_alarm() {
    let ledgers = ledgers();
    let draws = 2 * changes();
    let (mut played, mut alarmed, mut seed) = (0, 0, 0_u32);
    while played < draws {
        seed += 1;
        let mut noise = Noise(u64::from(seed) + 1_000_000);
        let boat = Boat::built(&ledgers[(seed % 5) as usize], &mut noise);
        let state = if noise.even() < 0.5 { BLOWN } else { FULL };
        let mut normal = || noise.normal();
        let Some(advised) = boat.played(state, &FloatModel::clone, &mut normal) else { continue };
        played += 1;
        alarmed += u32::from(advised.changed.is_some());
    }
    let [_, most] = binomial_bounds(played, 0.03, 1e-3);
    println!("{alarmed} alarms in {played} unchanged pairs, at most {most}");
    assert!(alarmed <= most, "{alarmed} alarms in {played} unchanged pairs");
}

/// What was read before a new boat began does not count; what was kept of it does, from its first reading on.
#[test]
fn a_new_boat_begins_with_the_reading_that_is_kept() {
    let record = &ledgers()[4];
    let boat = Boat::built(record, &mut Noise(7));
    let state = state_of(record).0;
    let read = |deeper: f64| {
        let mut reading = boat.read(BLOWN, &FloatModel::clone, &mut || 0.0).expect("it floats");
        for Observation { seen, .. } in &mut reading.observations {
            *seen = seen.clone().with_value(seen.value() + deeper);
        }
        ReadingRecord { state: state.clone(), ..ReadingRecord::of(&reading, "", 0.0) }
    };
    let [old, new] = [read(0.0), read(0.005)];
    let counting = |session: &SessionRecord| {
        let kept = kept_in([session], &state, &boat.hand.boat.marks);
        kept.iter().map(|session| session.sightings.len()).sum::<usize>()
    };
    let at = |time: &str| (time.to_owned(), format!("2026-05-01T10:{time}:00Z"));
    for is_kept in [false, true] {
        let mut session = SessionRecord::default();
        let (id, time) = at("01");
        session.keep(old.clone(), id, time);
        assert_eq!(counting(&session), 1, "one reading");
        if is_kept {
            let (id, time) = at("02");
            session.keep(new.clone(), id, time);
            assert_eq!(counting(&session), 2, "both readings");
        }
        let (id, time) = at("03");
        session.begin_new_boat(&new, id, time, NewBoatRecord::default());
        let place = session.entries.iter().position(|e| matches!(e.what, Entry::NewBoat(_)));
        assert_eq!(place, Some(1), "before the reading that it begins with: {session:#?}");
        assert_eq!(counting(&session), usize::from(is_kept), "what was read before is not counted");
        let (id, time) = at("04");
        session.keep(new.clone(), id, time);
        assert_eq!(counting(&session), 1, "kept once");
    }
}
