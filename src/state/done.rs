//! Done: what was advised goes into the boat in hand, and the figures that were read of it go.

use super::derived::PoolAnswer;
use super::desk::{Bench, Desk, Screen};
use super::figures::empty_figures;
use super::form::Editing;
use crate::words::speech::speech;
use crate::words::{self, t, word};
use trimwright::ballast::{Ballasting, Step};
use trimwright::diary::{
    BoatRecord, DeedRecord, Doing, DoneRecord, Entry, EntryRecord, MaterialRecord, WeightMaterial,
    state_of,
};

/// What was done to the boat last.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct JustDone {
    /// What, in words.
    pub(crate) lines: Vec<String>,
    /// The part that came of it, by its name; none if the boat's list has none of it.
    pub(crate) part: Option<String>,
    /// Its entry in the session.
    entry: Option<String>,
}

/// Does steps to a boat in the list.
fn done_to(boat: &mut BoatRecord, steps: &[Step], shifted: Option<&str>) -> Vec<DeedRecord> {
    let mut deeds = Vec::new();
    for step in steps {
        let of = match step {
            Step::Add(w) | Step::TakeOff(w) => WeightMaterial::of_density(w.material),
            Step::Shift { .. } => None,
        };
        let of = of.unwrap_or_default();
        let material = MaterialRecord::from(of.material());
        let name = match step {
            Step::Add(w) => {
                let much = if w.floats() {
                    speech().cut_volume(w.volume())
                } else {
                    speech().whole_mass(w.mass.value)
                };
                t!("weight.piece", material = words::material::of_weight(of), much = much)
            }
            Step::TakeOff(_) | Step::Shift { .. } => String::new(),
        };
        deeds.push(boat.do_step(step, &Doing { name: &name, material: &material, shifted }));
    }
    deeds
}

/// What is to be done to the boat in hand, by an advice or by a plan.
struct ToDo<'a> {
    steps: &'a [Step],
    /// The same in words.
    lines: Vec<String>,
    /// The same in a few words, where there is too much of it to be said at the pool.
    short: Option<String>,
    /// The part that was chosen to be shifted.
    shifted: Option<&'a str>,
    /// It is not what was advised: what was foretold is not of it.
    otherwise: bool,
}

impl Desk {
    /// Does what the reading on the screen advises, or a share of it; of one place for weight or another, it is the
    /// one that is shown now.
    pub(crate) fn do_it(self, advice: Vec<String>, lines: Vec<String>, share: f64) {
        let answer = self.derived.answer.get_untracked();
        let PoolAnswer::Advised(advised) = answer.as_ref() else { return };
        let otherwise = share < 1.0;
        let whole = advised.advice.steps.iter();
        let steps: Vec<Step> =
            whole.map(|s| if otherwise { s.part(share) } else { s.clone() }).collect();
        let mut lines = lines;
        if let Some(first) = lines.first_mut().filter(|_| otherwise) {
            *first = t!("reading.half_of", what = first);
        }
        let shifted = advised.shifted.as_ref().and_then(|shifted| shifted.part.as_deref());
        self.do_to_boat(advice, ToDo { steps: &steps, lines, short: None, shifted, otherwise });
    }

    /// Does what a plan for the boat of the reading on the screen has; `lines` say it in words, `short` in few.
    pub(crate) fn do_plan(
        self,
        advice: Vec<String>,
        lines: Vec<String>,
        short: String,
        steps: &[Step],
    ) {
        let short = Some(short);
        self.do_to_boat(advice, ToDo { steps, lines, short, shifted: None, otherwise: true });
    }

    /// Does something to the boat in the list, and notes it with the reading that it follows from. The figures that
    /// were read are of the boat as it was: they are emptied. Can be undone.
    fn do_to_boat(self, advice: Vec<String>, to_do: ToDo<'_>) {
        let ToDo { steps, lines, short, shifted, otherwise } = to_do;
        self.note_reading(advice);
        let after = self.last_reading().unwrap_or_default();
        let Some(mut boat) = self.diary.with_untracked(|d| d.boat(&d.draft.boat).cloned()) else {
            return;
        };
        let deeds = done_to(&mut boat, steps, shifted);
        let part = deeds.iter().rev().find(|deed| !deed.part.is_empty());
        let part = part.map(|deed| deed.part.clone());
        let key = if part.is_some() {
            word!("reading.done_in_the_list")
        } else {
            word!("reading.done_unlisted")
        };
        self.act_by(&t!(key), || {
            self.change_boat(|listed| *listed = boat);
            let made = self.diary.with_untracked(|d| d.boat(&d.draft.boat).map(|b| state_of(b).0));
            let done = DoneRecord {
                lines: lines.clone(),
                after,
                deeds,
                otherwise,
                made: made.unwrap_or_default(),
                ..DoneRecord::default()
            };
            let entry = self.note(Entry::Done(done));
            self.diary.update(|d| {
                empty_figures(&mut d.draft);
                // What is advised is for the boat without it.
                d.draft.weight.mass.clear();
            });
            let lines = short.map_or(lines, |short| vec![short]);
            self.just_done.set(Some(JustDone { lines, part, entry }));
        });
    }

    /// Puts what makes the boat in hand right, as it is described, into its list.
    pub(crate) fn put_in_the_list(self, found: &Ballasting) {
        let shifted = self.derived.boat.with_untracked(|boat| {
            let hand = boat.as_ref()?.as_ref().ok()?;
            Some(hand.movable.get(found.shifted?)?.name.clone())
        });
        self.change_boat(|boat| {
            done_to(boat, &found.steps, shifted.as_deref());
        });
        self.message.set(Some(t!("ballast.was_put")));
    }

    /// What was done last, while the boat was not read again.
    pub(crate) fn waits_to_be_read(self) -> Option<JustDone> {
        let answer = self.derived.answer;
        let is_unread = answer.with(|a| matches!(a.as_ref(), PoolAnswer::NothingRead(_)));
        self.just_done.get().filter(|_| is_unread)
    }

    /// Opens the part that came of what was done last: it was done otherwise than advised.
    pub(crate) fn correct_done(self) {
        let Some(JustDone { part, entry, .. }) = self.just_done.get_untracked() else { return };
        let line = self.diary.with_untracked(|d| {
            let boat = d.boat(&d.draft.boat)?;
            boat.parts.iter().position(|p| Some(&p.name) == part.as_ref())
        });
        self.in_session(|session| {
            let done = session.entries.iter_mut().find(|e| Some(&e.id) == entry.as_ref());
            if let Some(EntryRecord { what: Entry::Done(done), .. }) = done {
                done.otherwise = true;
            }
        });
        self.bench.set(Bench::Parts);
        self.go(Screen::Boat);
        // All of it may have been taken off.
        if line.is_some() {
            self.open_form(Editing::Part(line));
        }
    }
}
