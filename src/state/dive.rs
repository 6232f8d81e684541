//! The way down and up of the boat in hand: followed by a task that gives the screen its turn, since
//! it takes longer than a frame; cures tried one after the other, and kept apart until accepted.

use super::derived::BoatInHand;
use super::desk::Desk;
use crate::device::clock::{Turns, next_turn, now_ms};
use crate::device::storage::Key;
use crate::signal::{RwSignal, StoredValue};
use crate::words::{self, t};
use leptos::task::spawn_local;
use litemap::LiteMap;
use std::sync::Arc;
use trimwright::answer::{Evidence, LeansTold};
use trimwright::boat::Boat;
use trimwright::diary::{BoatRecord, LeanRecord};
use trimwright::dive::{Cure, CureEffect, Plan, Way, rank};
use trimwright::float::{Basin, BoatError, BoatErrors, Heading, Passage, Sweep, UncertainWeight};
use trimwright::geometry::Fineness;

/// A boat with its way, followed to the end.
#[derive(Debug, Clone)]
pub(crate) struct Dived {
    /// The boat as it was followed.
    pub(crate) hand: Arc<BoatInHand>,
    /// Down or up.
    pub(crate) heading: Heading,
    /// How it was taken.
    pub(crate) plan: Plan,
    /// Its way.
    pub(crate) way: Way,
    /// The leans that were seen.
    pub(crate) seen: Vec<LeanRecord>,
    /// What they say of it, if any were and it fits.
    pub(crate) told: Option<LeansTold>,
}

impl Dived {
    /// How well the height of the boat's centre of gravity is known, metres.
    pub(crate) fn height_spread(&self) -> f64 {
        self.hand.height_spread(self.told.as_ref())
    }
}

impl BoatInHand {
    fn height_spread(&self, told: Option<&LeansTold>) -> f64 {
        told.map_or(self.known.spreads()[3], |told| told.height.spread)
    }
}

/// A cure and its effect.
#[derive(Debug, Clone)]
pub(crate) struct Tried {
    /// The change.
    pub(crate) cure: Cure,
    /// The changed boat's way.
    pub(crate) after: Arc<Dived>,
    /// Whether it is better.
    pub(crate) effect: CureEffect,
}

/// How far the task is.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum DiveProgress {
    /// Nothing to do.
    No,
    /// The boat is being followed: the share that is done.
    Boat(f64),
    /// Its way is there; cures are being tried.
    Cures,
    /// It cannot be followed: why.
    Failed(String),
}

/// The dive's signals.
#[derive(Debug)]
pub(crate) struct Dive {
    /// Down or up.
    pub(crate) heading: RwSignal<Heading>,
    /// The fill that is looked at, 0 to 1.
    pub(crate) fill: RwSignal<f64>,
    /// The way of the boat as it is, once it is there.
    pub(crate) dived: RwSignal<Option<Arc<Dived>>>,
    /// How far the task is.
    pub(crate) progress: RwSignal<DiveProgress>,
    /// Cures that do something, the best first.
    pub(crate) tried: RwSignal<Vec<Arc<Tried>>>,
    /// The cure that is looked at.
    pub(crate) trying: RwSignal<Option<Arc<Tried>>>,
    /// The task.
    pub(super) task: StoredValue<Task>,
}

/// What the task needs to know of earlier ones.
#[derive(Debug, Default)]
pub(super) struct Task {
    /// Its number: an older one stops.
    number: u32,
    /// What the last one was about.
    of: Option<WayInputs>,
    /// The sessions in the store that were looked through for leans.
    pub(super) looked_through: LiteMap<Key, ()>,
}

/// What a way depends on, without the boat that follows from its record: the record, the water's
/// density, down or up, the leans that were seen.
type WayInputs = (BoatRecord, f64, Heading, Vec<LeanRecord>);

impl Dive {
    pub(super) fn new() -> Self {
        Self {
            heading: RwSignal::new(Heading::Down),
            fill: RwSignal::new(0.0),
            dived: RwSignal::new(None),
            progress: RwSignal::new(DiveProgress::No),
            tried: RwSignal::new(Vec::new()),
            trying: RwSignal::new(None),
            task: StoredValue::new(Task::default()),
        }
    }

    fn number(&self) -> u32 {
        self.task.with_value(|task| task.number)
    }

    /// What is in the store may be another diary's: it is looked through again.
    pub(super) fn restart(&self) {
        self.task.update_value(|task| task.looked_through.clear());
    }

    /// The way shown: that with the cure being tried, or the boat as it is.
    pub(crate) fn shown(&self) -> Option<Arc<Dived>> {
        match self.trying.get() {
            Some(tried) => Some(Arc::clone(&tried.after)),
            None => self.dived.get(),
        }
    }
}

/// Everything that a way depends on.
#[derive(Debug, Clone)]
struct Setup {
    hand: Arc<BoatInHand>,
    plan: Plan,
    basin: Basin,
    heading: Heading,
    /// The leans that were seen.
    seen: Vec<LeanRecord>,
    told: Option<LeansTold>,
    /// How the boat differs from its list, as far as that is known.
    errors: Option<BoatErrors>,
    /// The boat as it is in the list.
    listed: UncertainWeight,
}

impl Setup {
    /// The boat in hand, or why there is nothing to follow.
    fn of(desk: Desk) -> Result<Self, String> {
        let derived = desk.derived;
        let hand = match derived.boat.get_untracked() {
            Some(Ok(hand)) => hand,
            Some(Err(why)) => return Err(why),
            None => return Err(t!("way.no_boat")),
        };
        if hand.is_quick {
            return Err(t!("way.six_numbers"));
        }
        let record = derived.record.get_untracked().ok_or_else(|| t!("way.no_boat"))?;
        if record.tanks.is_empty() {
            return Err(t!("way.no_tank"));
        }
        // The tanks' shapes as they were entered: a cure may reshape them.
        let tanks = record.without_parts().map_err(|e| words::record::record(&e))?.tanks;
        let boat = Boat { tanks, ..Boat::clone(&hand.boat) };
        let heading = desk.dive.heading.get_untracked();
        let plan = record.plan(&hand.model, heading);
        let hand = Arc::new(hand.changed(|h| h.boat = Arc::new(boat)));
        let basin = Basin::deep(derived.density.get_untracked());
        let seen = desk.leans();
        let listed = hand.model.bare();
        let evidence = derived.evidence.get_untracked();
        let mut setup = Self {
            hand,
            plan,
            basin,
            heading,
            told: evidence.leans().cloned(),
            seen,
            errors: None,
            listed,
        };
        setup.take_errors(&evidence)?;
        Ok(setup)
    }

    /// The same with a cure.
    fn cured(&self, cure: &Cure) -> Result<Self, String> {
        let boat = cure.change.applied(&self.hand.boat).map_err(|e| words::way::change(&e))?;
        let model = self.hand.model.renewed(&boat, Fineness::WORK);
        let mut model = model.map_err(|e| words::model::boat(&e))?;
        if let Some(errors) = self.errors {
            let errors = errors.after_change(self.listed, model.bare());
            model = model.with_errors(&errors).map_err(|e| words::model::boat(&e))?;
        }
        let hand = self.hand.changed(|h| (h.boat, h.model) = (Arc::new(boat), model));
        let plan = self.plan.changed(&cure.change);
        Ok(Self { hand: Arc::new(hand), plan, ..self.clone() })
    }

    /// Makes it the boat that everything seen of it says it is; it stays as listed if nothing was.
    fn take_errors(&mut self, evidence: &Evidence) -> Result<(), String> {
        let Some(known) = evidence.known() else { return Ok(()) };
        let mut errors = BoatErrors::from(known.errors);
        if errors.centre.y.abs() < known.spreads()[2] {
            // A boat that lolls is shown on the side on which it was seen: it may fall to either, and a micrometre
            // decides.
            let side: f64 = self.seen.iter().map(|s| s.list_deg).sum();
            if side != 0.0 {
                errors.centre.y = -side.signum() * DECIDES;
            }
        }
        let model = self.hand.model.with_errors(&errors).map_err(|e| words::model::boat(&e))?;
        self.hand = Arc::new(self.hand.changed(|h| h.model = model));
        self.errors = Some(errors);
        Ok(())
    }
}

/// Decides to which side a boat falls, metres.
const DECIDES: f64 = 1e-6;

/// Between two words of how far it is, milliseconds: drawing them takes longer than a row.
const BETWEEN_WORDS: f64 = 250.0;

/// Follows a boat to the end, giving the screen its turn; none when `goes_on`, which is told now and then how
/// far it is, says that nobody wants it any more.
pub(super) async fn rows_of(
    mut passage: Passage,
    goes_on: &dyn Fn(Option<f64>) -> bool,
) -> Result<Option<Sweep>, BoatError> {
    let mut sweep = Sweep::default();
    let (turns, mut said_at) = (Turns::begin(), now_ms());
    while let Some(row) = passage.next() {
        sweep.rows.push(row?);
        sweep.events.extend(passage.event());
        if let Some(turn) = turns.due() {
            let says = now_ms() - said_at > BETWEEN_WORDS;
            if !goes_on(says.then(|| passage.done())) {
                return Ok(None);
            }
            turn.await;
            if says {
                said_at = now_ms();
            }
        }
    }
    Ok(Some(sweep))
}

/// Follows a boat to the end and looks at its way; see [`rows_of`].
async fn follow(
    setup: &Setup,
    goes_on: &dyn Fn(Option<f64>) -> bool,
) -> Result<Option<Dived>, String> {
    let said = |e: BoatError| words::model::boat(&e);
    let start = setup.plan.passage(&setup.hand.model, setup.basin, setup.heading).map_err(said)?;
    let Some(sweep) = rows_of(start.clone(), goes_on).await.map_err(said)? else {
        return Ok(None);
    };
    next_turn().await;
    let way =
        Way::of(&setup.hand.boat, start, sweep, setup.hand.height_spread(setup.told.as_ref()))
            .map_err(said)?;
    let dived = way.map(|way| Dived {
        hand: Arc::clone(&setup.hand),
        heading: setup.heading,
        plan: setup.plan.clone(),
        way,
        seen: setup.seen.clone(),
        told: setup.told.clone(),
    });
    Ok(dived.filter(|_| goes_on(None)))
}

impl Desk {
    /// Follows the boat in hand, and then tries what might cure it; not again if nothing changed.
    pub(crate) fn follow_way(self) {
        let dive = self.dive;
        let derived = self.derived;
        let (density, heading) = (derived.density.get_untracked(), dive.heading.get_untracked());
        let of = derived.record.get_untracked().map(|r| (r, density, heading, self.leans()));
        if of.is_some() && dive.task.with_value(|task| task.of == of) {
            return;
        }
        dive.task.update_value(|task| (task.of, task.number) = (of, task.number + 1));
        dive.trying.set(None);
        let task = dive.number();
        dive.progress.set(DiveProgress::Boat(0.0));
        spawn_local(async move {
            let Err(why) = self.follow_and_cure(task).await else { return };
            if dive.number() == task {
                dive.dived.set(None);
                dive.tried.set(Vec::new());
                dive.progress.set(DiveProgress::Failed(why));
            }
        });
    }

    async fn follow_and_cure(self, task: u32) -> Result<(), String> {
        let dive = self.dive;
        let is_wanted = move || dive.number() == task;
        // That something goes on is said before it does.
        next_turn().await;
        if !is_wanted() {
            return Ok(());
        }
        // Where that brings some that count, this is begun anew with them.
        self.bring_leans().await;
        if !is_wanted() {
            return Ok(());
        }
        let setup = Setup::of(self)?;
        let progress = move |done: Option<f64>| {
            let wanted = is_wanted();
            if let Some(done) = done.filter(|_| wanted) {
                dive.progress.set(DiveProgress::Boat(done));
            }
            wanted
        };
        let Some(dived) = follow(&setup, &progress).await? else { return Ok(()) };
        let dived = Arc::new(dived);
        dive.tried.set(Vec::new());
        dive.dived.set(Some(Arc::clone(&dived)));
        dive.progress.set(DiveProgress::Cures);
        // It is drawn before more is done.
        next_turn().await;
        let cures = {
            let hand = &setup.hand;
            dived.way.candidates(&hand.boat, &hand.model, hand.aim.least.gm)
        };
        for cure in cures.map_err(|e| words::model::boat(&e))? {
            // A cure that cannot be made, or followed, is none.
            let Ok(cured) = setup.cured(&cure) else { continue };
            let Ok(after) = follow(&cured, &|_| is_wanted()).await else { continue };
            let Some(after) = after else { return Ok(()) };
            let beam = setup.hand.model.bounds().size().y;
            let effect = CureEffect::of(&dived.way.summary, &after.way.summary, beam);
            dive.tried.update(|tried| {
                tried.push(Arc::new(Tried { cure, after: Arc::new(after), effect }));
                let way = |t: &Tried| t.after.way.summary;
                tried.sort_by(|a, b| rank((&a.effect, &way(a)), (&b.effect, &way(b))));
            });
            next_turn().await;
            if !is_wanted() {
                return Ok(());
            }
        }
        if is_wanted() {
            dive.progress.set(DiveProgress::No);
        }
        Ok(())
    }

    /// Shows a cure, or the boat as it is again.
    pub(crate) fn try_cure(self, cure: Option<Arc<Tried>>) {
        self.dive.trying.set(cure);
    }

    /// Makes the cure that is looked at in the boat; it can be undone on the Boat screen.
    pub(crate) fn accept_cure(self) {
        let Some(tried) = self.dive.trying.get_untracked() else { return };
        self.change_boat(|boat| match boat.changed(&tried.cure.change) {
            Ok(changed) => *boat = changed,
            Err(why) => self.say(words::way::change(&why)),
        });
        // An open form on the Boat screen would undo what the cure has changed.
        self.refresh_line();
        self.dive.trying.set(None);
    }

    /// Turns round: down or up. The fill begins at that way's start.
    pub(crate) fn head(self, heading: Heading) {
        let start = if heading == Heading::Up { 1.0 } else { 0.0 };
        self.dive.fill.set(start);
        self.dive.heading.set(heading);
    }
}
