//! What was seen of the boat as it is now, as it stands in the sessions.

use super::ready_boat::ReadyBoat;
use crate::ballast::Target;
use crate::boat::Mark;
use crate::diary::{
    AboardRecord, BenchRecord, BoatRecord, DeedKind, DeedRecord, Diary, Entry, LeanRecord,
    SessionRecord,
};
use crate::fit::{DrySighting, Estimate, FillRead, Sighting, WetSighting};
use crate::float::Heading;
use crate::frame::Position;
use crate::reading::{
    ANGLE_BY_EYE, Aboard, BALANCE_SPREAD, Condition, FILL_BY_TIME, Observation, Reading,
    SCALES_SHARE, SCALES_SPREAD, Seen, WEIGHT_PLACED,
};
use crate::unit::DEGREE;
use crate::water::POOL_DENSITY;
use nalgebra::Vector3;
use std::mem::take;

/// Something that was seen of the boat.
#[derive(Debug, Clone, PartialEq)]
pub enum KeptWhat {
    /// A reading, and how full its tanks were, 0 (blown) to 1 (full).
    Reading(Reading, f64),
    /// A lean on the way.
    Lean(LeanRecord),
    /// The boat on the bench, with what lay on it.
    Bench(BenchRecord, Vec<Aboard>),
}

/// Something that was seen of the boat as it is now.
///
/// Weights changed since are in it with the opposite sign: the boat found from it is the boat as it
/// is now.
#[derive(Debug, Clone, PartialEq)]
pub struct KeptSighting {
    /// What.
    pub what: KeptWhat,
    /// Weights were put, taken or moved after it and before the next one.
    pub was_changed: bool,
}

/// What was seen on one outing, oldest first.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct KeptSession {
    /// Its identity.
    pub session: String,
    /// In order.
    pub sightings: Vec<KeptSighting>,
}

/// Sightings of one outing that are used: the latest.
const LATEST: usize = 12;
/// Outings that are used: the latest.
pub const OUTINGS: usize = 8;

/// What a boat's sessions have of it as it is now, oldest first; `state` names it
/// ([`crate::diary::state_of`]). They end where the boat's list was changed otherwise than by what was done and noted:
/// what was read before that tells nothing sure of the boat as it is.
pub fn kept_in<'a>(
    sessions: impl IntoIterator<Item = &'a SessionRecord>,
    state: &str,
    marks: &[Mark],
) -> Vec<KeptSession> {
    let mut sessions: Vec<&SessionRecord> = sessions.into_iter().collect();
    sessions.sort_by(|a, b| a.started_at.cmp(&b.started_at));
    let mut back = WayBack::from(state, marks);
    let mut kept = Vec::new();
    for session in sessions.into_iter().rev() {
        let sightings = back.through(session);
        if !sightings.is_empty() {
            kept.push(KeptSession { session: session.id.clone(), sightings });
        }
        if back.has_ended || kept.len() == OUTINGS {
            break;
        }
    }
    kept.reverse();
    kept
}

/// Goes back through what happened, from the boat as it is.
struct WayBack<'a> {
    /// The boat's list as it was then.
    state: String,
    marks: &'a [Mark],
    /// What was done since.
    since: Vec<DeedRecord>,
    /// The list was changed otherwise.
    has_ended: bool,
}

impl<'a> WayBack<'a> {
    fn from(state: &str, marks: &'a [Mark]) -> Self {
        Self { state: state.to_owned(), marks, since: Vec::new(), has_ended: state.is_empty() }
    }

    /// What a session has of the boat, oldest first.
    fn through(&mut self, session: &SessionRecord) -> Vec<KeptSighting> {
        let mut was_changed = false;
        let mut kept = Vec::new();
        for entry in session.entries.iter().rev() {
            if self.has_ended || kept.len() == LATEST {
                break;
            }
            match &entry.what {
                Entry::Done(done) => {
                    let its_own = || session.readings().find(|(read, _)| read.id == done.after);
                    match its_own().filter(|_| done.made == self.state) {
                        Some((_, before)) => {
                            self.since.extend(done.deeds.iter().cloned());
                            was_changed |= !done.deeds.is_empty();
                            self.state.clone_from(&before.state);
                            self.has_ended = self.state.is_empty();
                        }
                        None => self.has_ended = true,
                    }
                }
                Entry::NewBoat(_) => self.has_ended = true,
                Entry::Reading(read) if read.state != self.state => self.has_ended = true,
                Entry::Reading(read) => {
                    let mut reading = read.reading();
                    for deed in &self.since {
                        let counts = counts(deed, self.marks, &reading);
                        reading.aboard.extend(undone(deed, counts));
                    }
                    let what = KeptWhat::Reading(reading, read.fill);
                    kept.push(KeptSighting { what, was_changed: take(&mut was_changed) });
                }
                Entry::Lean(lean) if lean.state == self.state && self.since.is_empty() => {
                    let what = KeptWhat::Lean(lean.clone());
                    kept.push(KeptSighting { what, was_changed: take(&mut was_changed) });
                }
                Entry::Bench(bench) if bench.state == self.state => {
                    let on_it = bench.aboard.iter().map(AboardRecord::aboard);
                    // In the air all of it counts.
                    let undone = self.since.iter().flat_map(|deed| undone(deed, 1.0));
                    let what = KeptWhat::Bench(bench.clone(), on_it.chain(undone).collect());
                    kept.push(KeptSighting { what, was_changed: take(&mut was_changed) });
                }
                _ => {}
            }
        }
        kept.reverse();
        kept
    }
}

/// What must have lain on a boat besides, for it to be as it was before something was done; of a weight `counts` (kg
/// per kg).
fn undone(deed: &DeedRecord, counts: f64) -> Vec<Aboard> {
    let at = deed.at_m.map_or(Vector3::zeros(), Vector3::from);
    let mass = deed.mass_kg * counts;
    let aboard = |mass: f64, at: Vector3<f64>, off: f64| {
        let at = Position::from_vector(at);
        Aboard { name: deed.part.clone(), mass, at, off, solid: None }
    };
    match deed.kind {
        DeedKind::Add => vec![aboard(-mass, at, WEIGHT_PLACED)],
        DeedKind::TakeOff => vec![aboard(mass, at, WEIGHT_PLACED)],
        DeedKind::Shift => {
            let by = deed.by_m.map_or(Vector3::zeros(), Vector3::from);
            vec![aboard(mass, at, WEIGHT_PLACED), aboard(-mass, at + by, 0.0)]
        }
    }
}

/// What a weight counts in the water of a reading, kg per kg: less than one if it displaces and was under.
fn counts(deed: &DeedRecord, marks: &[Mark], reading: &Reading) -> f64 {
    let Some(density) = deed.density_kg_m3 else { return 1.0 };
    let at = deed.at_m.map_or(Vector3::zeros(), Vector3::from);
    let at_the_marks = || Target::at_the_marks(marks).and_then(|target| target.pose());
    let is_under = reading.condition == Condition::Under
        || at_the_marks().is_some_and(|pose| pose.water_height_at(at.x, at.y) > at.z);
    if is_under { 1.0 - reading.water_density / density } else { 1.0 }
}

impl KeptSighting {
    /// The boat in that state with what was seen; none where it cannot be.
    pub(super) fn sighting(&self, hand: &ReadyBoat, record: &BoatRecord) -> Option<Sighting> {
        match &self.what {
            KeptWhat::Reading(reading, fill) => hand.sighting(reading.clone(), *fill).ok(),
            KeptWhat::Lean(lean) => lean_seen(lean, hand, record),
            KeptWhat::Bench(bench, on_it) => Some(Sighting::Dry(on_the_bench(bench, on_it, hand))),
        }
    }
}

/// The boat on the bench, dry, its tanks empty.
fn on_the_bench(bench: &BenchRecord, on_it: &[Aboard], hand: &ReadyBoat) -> DrySighting {
    let weighed = |kg: f64| Estimate::new(kg, SCALES_SPREAD.max(SCALES_SHARE * kg));
    DrySighting {
        boat: hand.model.bare(),
        aboard: on_it.to_vec(),
        mass: bench.scale_kg.map(weighed),
        balance: bench.balance_m.map(|x| Estimate::new(x, BALANCE_SPREAD)),
    }
}

/// A lean on the way, judged by eye at a fill judged by time.
fn lean_seen(lean: &LeanRecord, hand: &ReadyBoat, record: &BoatRecord) -> Option<Sighting> {
    let density = lean.water_density_kg_m3.unwrap_or(POOL_DENSITY);
    let plan = record.plan(&hand.model, Heading::Down);
    let model = plan.filled(&hand.model, lean.fill, density).ok()?;
    let floats = model.residual_mass(density) < 0.0;
    let condition = if floats { Condition::Afloat } else { Condition::Under };
    let seen = Seen::List(lean.list_deg * DEGREE);
    let observations = vec![Observation { seen, spread: ANGLE_BY_EYE }];
    let water_density = density;
    let reading = Reading { condition, water_density, observations, ..Reading::default() };
    let is_between = lean.fill > 0.0 && lean.fill < 1.0;
    let spread = if is_between { FILL_BY_TIME } else { 0.0 };
    let fill = Some(FillRead { share: lean.fill, spread });
    Some(Sighting::Wet(Box::new(WetSighting { model, reading, fill })))
}

/// The sessions of the boat in hand.
pub fn sessions_in_hand(diary: &Diary) -> impl Iterator<Item = &SessionRecord> {
    diary.sessions.iter().filter(|session| session.boat == diary.draft.boat)
}

/// The latest session of the boat in hand.
pub fn latest_session(diary: &Diary) -> Option<&SessionRecord> {
    sessions_in_hand(diary).max_by(|a, b| a.started_at.cmp(&b.started_at))
}
