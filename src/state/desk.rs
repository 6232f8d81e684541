//! Everything the screens can do: one handle with a method for every action of the user.

use super::arriving::Arriving;
use super::checks::OpenChecks;
use super::derived::Derived;
use super::dive::Dive;
use super::done::JustDone;
use super::files::exported;
use super::form::{Editing, Form, FormProblem, Texts};
use super::history::History;
use super::importing::Importing;
use super::keep::{Keeper, Keeping};
use super::load::{Apart, IN_HAND, Loaded};
use super::log::Log;
use super::part_form::name_of;
use super::quick_form::read_quick;
use super::records::{boat_of_draft, draft_key, record_of, set_record};
use super::removal::Removed;
use super::settings::turn_draft;
use super::way_back::Trail;
use crate::device::clock;
use crate::device::language::in_small_letters;
use crate::device::storage::{
    Key, StorageProblem, Store, StoreWrite, save_small, save_small_of_window,
};
use crate::signal::{RwSignal, StoredValue};
use crate::words::given::name_all;
use crate::words::{t, word};
use leptos::task::spawn_local;
use litemap::LiteMap;
use std::ops::Deref;
use std::sync::Arc;
use trimwright::boat::demo_boat;
use trimwright::diary::{
    BoatRecord, Diary, Draft, MarkRecord, TEMPLATES, UnitsRecord, write, write_kept,
};
use trimwright::unit::DEGREE;

/// The places to go.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) enum Screen {
    /// Read and get advice.
    #[default]
    Pool,
    /// The boat.
    Boat,
    /// The way down and up.
    Dive,
    /// The checks before, between and after dives.
    Checks,
    /// What was kept.
    Diary,
}

/// The parts of the bench.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) enum Bench {
    /// The ledger of parts.
    #[default]
    Parts,
    /// The tanks.
    Tanks,
    /// Marks, and places for weight.
    Marks,
    /// What follows from it all.
    Results,
    /// The boat itself, and the other boats.
    Boats,
}

/// The state of the app; a `Copy` handle, of the size of one number however much there is on the desk.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Desk(&'static OnDesk);

impl Deref for Desk {
    type Target = OnDesk;

    fn deref(&self) -> &OnDesk {
        self.0
    }
}

/// What is on the desk.
#[derive(Debug)]
pub(crate) struct OnDesk {
    /// What is in memory of what is kept: all but the sessions that nobody looks at.
    pub(crate) diary: RwSignal<Diary>,
    /// The sessions.
    pub(crate) log: Log,
    /// Whether all is kept.
    pub(crate) keeping: RwSignal<Keeping>,
    /// The state of the store.
    pub(super) keeper: StoredValue<Keeper>,
    /// What is typed for boats that are not in hand.
    drafts: StoredValue<LiteMap<String, Draft>>,
    /// A file that is looked at before it is taken in.
    pub(crate) arriving: RwSignal<Option<Arriving>>,
    /// How many sessions the last export held.
    pub(super) exported: RwSignal<Option<usize>>,
    /// Why what is kept could not be read at the start, if so: then it is not in memory.
    pub(crate) unloaded: RwSignal<Option<StorageProblem>>,
    /// Whether the browser has promised to clear nothing by itself; none while that is not known.
    pub(crate) promised: RwSignal<Option<bool>>,
    /// Where the user is.
    pub(crate) screen: RwSignal<Screen>,
    /// The way back.
    pub(super) trail: StoredValue<Trail>,
    /// The quick boat's form while it is open.
    pub(crate) quick_form: RwSignal<Option<Texts>>,
    /// What could not be read.
    pub(crate) apart: RwSignal<Vec<Apart>>,
    /// The outcome of the last file or deletion, in words.
    pub(crate) message: RwSignal<Option<String>>,
    /// Where on the bench the user is.
    pub(crate) bench: RwSignal<Bench>,
    /// A mesh on its way from a file.
    pub(crate) importing: RwSignal<Importing>,
    /// The form of the ledger that is open.
    pub(crate) form: RwSignal<Option<Form>>,
    /// The part entered last: the next one begins like it.
    pub(super) last_part: RwSignal<Texts>,
    /// Changes of the boat in hand.
    pub(super) history: RwSignal<History>,
    /// The thing being dragged, and where it was before.
    pub(super) drag_start: RwSignal<Option<(Editing, [f64; 3])>>,
    /// Where among the checks the user is.
    pub(crate) checking: OpenChecks,
    /// The way down and up.
    pub(crate) dive: &'static Dive,
    /// What was done to the boat last, until it is read again or that is taken back.
    pub(crate) just_done: RwSignal<Option<JustDone>>,
    /// The last thing removed.
    pub(super) undo: RwSignal<Option<Removed>>,
    /// What follows from the diary.
    pub(crate) derived: &'static Derived,
}

impl Desk {
    /// A desk over the kept data.
    pub(crate) fn new(loaded: Loaded) -> Self {
        let keeper = loaded.keeper();
        let diary = RwSignal::new(loaded.diary);
        let (keeping, unloaded) = begins_with(loaded.problem);
        // For as long as the page is there: one desk for each start of the app.
        Self(Box::leak(Box::new(OnDesk {
            diary,
            log: Log::new(loaded.sessions),
            keeping: RwSignal::new(keeping),
            keeper: StoredValue::new(keeper),
            drafts: StoredValue::new(loaded.drafts),
            arriving: RwSignal::new(None),
            exported: RwSignal::new(exported()),
            unloaded: RwSignal::new(unloaded),
            promised: RwSignal::new(None),
            screen: RwSignal::new(Screen::Pool),
            trail: StoredValue::new(Trail::default()),
            quick_form: RwSignal::new(None),
            apart: RwSignal::new(loaded.apart),
            message: RwSignal::new(None),
            bench: RwSignal::new(Bench::Parts),
            importing: RwSignal::new(Importing::No),
            form: RwSignal::new(None),
            last_part: RwSignal::new(Texts::default()),
            history: RwSignal::new(History::default()),
            drag_start: RwSignal::new(None),
            checking: OpenChecks::new(),
            dive: Box::leak(Box::new(Dive::new())),
            just_done: RwSignal::new(None),
            undo: RwSignal::new(None),
            derived: Box::leak(Box::new(Derived::new(diary))),
        })))
    }

    /// Begins with what was loaded, as at a start, in the place of what is in memory.
    pub(super) fn restart(self, loaded: Loaded) {
        self.close_form();
        self.quick_form.set(None);
        self.history.set(History::default());
        self.dive.restart();
        self.keeper.set_value(loaded.keeper());
        self.drafts.set_value(loaded.drafts);
        let (keeping, unloaded) = begins_with(loaded.problem);
        self.keeping.set(keeping);
        self.unloaded.set(unloaded);
        self.apart.set(loaded.apart);
        self.log.keys.set(Arc::new(loaded.sessions));
        self.log.changes.update(|n| *n += 1);
        self.diary.set(loaded.diary);
        self.take_up_forms();
    }

    /// Loads the demonstration boat with a reading to look at.
    pub(crate) fn start_demo(self) {
        let Ok(boat) = demo_boat() else { return };
        self.diary.update(|d| {
            if d.boat(DEMO_ID).is_none() {
                let mut boat = BoatRecord::ledger(DEMO_ID, &boat);
                name_all(&mut boat);
                d.boats.push(boat);
            }
        });
        self.hold(DEMO_ID);
        let decimal = self.derived.units.get_untracked().decimal;
        self.diary.update(|d| {
            let marks = d.boat(DEMO_ID).map(|b| b.marks.clone()).unwrap_or_default();
            d.draft = example(d.draft.for_boat(DEMO_ID), &marks);
            turn_draft(d);
            d.draft.turn_to_decimal(decimal);
        });
        self.screen.set(Screen::Pool);
    }

    /// Takes a copy of a complete boat in hand, to look at and to change.
    pub(crate) fn start_template(self, which: usize) {
        let Some(template) = TEMPLATES.get(which) else { return };
        let Ok(mut boat) = template.boat_record() else { return };
        name_all(&mut boat);
        boat.id = new_id("boat");
        let id = boat.id.clone();
        self.diary.update(|d| d.boats.push(boat));
        self.hold(&id);
        self.bench.set(Bench::Parts);
        self.screen.set(Screen::Boat);
    }

    /// One boat as a file: its name and its text.
    pub(crate) fn boat_file(self, id: &str) -> Option<(String, String)> {
        let boat = self.diary.with_untracked(|d| d.boat(id).cloned())?;
        let is_plain = |c: char| c.is_ascii_alphanumeric() || !c.is_ascii();
        let plain = |c: char| if is_plain(c) { c } else { '-' };
        let name: String = in_small_letters(&boat.name).chars().map(plain).collect();
        let mut file = Diary { boats: vec![boat], ..Diary::default() };
        file.note_missing();
        Some((format!("trimwright-{name}.json"), write(&file)))
    }

    /// Opens the quick boat's form.
    pub(crate) fn open_quick_form(self) {
        self.show_quick_form();
        self.screen.set(Screen::Boat);
    }

    /// What is wrong with the form at present.
    pub(crate) fn quick_problems(self) -> Vec<FormProblem> {
        let density = self.derived.density.get_untracked();
        self.quick_form
            .with(|f| f.as_ref().and_then(|f| read_quick(f, density).err()).unwrap_or_default())
    }

    /// Makes the form's boat the boat in hand and goes to the pool; false when a field is wrong.
    pub(crate) fn use_quick_boat(self) -> bool {
        let Some(form) = self.quick_form.get_untracked() else { return false };
        let density = self.derived.density.get_untracked();
        let Ok(quick) = read_quick(&form, density) else { return false };
        let id = new_id("boat");
        let name = name_of(&form, word!("boats.my_boat"));
        self.forget_quick_form();
        self.diary.update(|d| d.boats.push(BoatRecord::quick(id.clone(), name, quick)));
        self.hold(&id);
        self.screen.set(Screen::Pool);
        true
    }

    /// Takes a boat in hand, with what was typed for it before.
    pub(crate) fn take_boat(self, id: &str) {
        self.hold(id);
        self.bench.set(Bench::Parts);
        // From the bench one goes on working; a boat of six numbers has no bench.
        if self.diary.with_untracked(|d| d.boat(id).is_some_and(|b| b.quick.is_some())) {
            self.screen.set(Screen::Pool);
        }
    }

    /// Puts what is typed for the boat in hand away, and takes another boat in hand with what was typed
    /// for that; the water stays, and what is typed of boats that are being made.
    pub(super) fn hold(self, id: &str) {
        if self.diary.with_untracked(|d| d.draft.boat == id) {
            return;
        }
        self.not_now();
        self.close_form();
        self.just_done.set(None);
        let now = self.diary.with_untracked(|d| d.draft.clone());
        let away = now.put_away();
        let typed = self.drafts.try_update_value(|drafts| {
            let typed = drafts.get(id).cloned();
            drafts.insert(now.boat.clone(), away.clone());
            typed
        });
        let typed = typed.flatten().map(|typed| now.and_then(typed));
        self.diary.update(|d| {
            d.draft = typed.unwrap_or_else(|| now.for_boat(id));
            turn_draft(d);
        });
        // It is no longer in memory: what was typed last may not be written yet.
        let text = write_kept(&Diary { draft: away, ..Diary::default() }).0;
        self.keep_too(vec![StoreWrite::Text(draft_key(&now.boat), Some(text))]);
        save_small_of_window(IN_HAND, id);
        // Only where the next window begins hangs on it.
        let _noted = save_small(IN_HAND, id);
        spawn_local(self.open_latest());
        self.take_up_forms();
    }

    /// The record that is in memory under a key.
    pub(super) fn record(self, key: &Key) -> Option<Diary> {
        let put_away = || {
            let draft = self.drafts.with_value(|all| all.get(boat_of_draft(key)?).cloned())?;
            Some(Diary { draft, ..Diary::default() })
        };
        self.diary.with_untracked(|d| record_of(d, key)).or_else(put_away)
    }

    /// Puts a record, or its absence, into memory.
    pub(super) fn put_record(self, key: &Key, record: Option<&Diary>) {
        let put = || self.diary.update(|d| set_record(d, key, record));
        match boat_of_draft(key) {
            Some(boat) if self.diary.with_untracked(|d| d.draft.boat != boat) => {
                self.drafts.update_value(|all| {
                    match record {
                        Some(record) => all.insert(boat.to_owned(), record.draft.clone()),
                        None => all.remove(boat),
                    };
                });
            }
            None if key.store == Store::Record => self.change_under_form(put),
            _ => put(),
        }
    }

    /// Removes a boat from the list; its sessions stay. Can be undone.
    pub(crate) fn remove_boat(self, id: &str) {
        let next = self.diary.with_untracked(|d| {
            let next = d.boats.iter().rev().find(|b| b.id != id);
            (d.draft.boat == id).then(|| next.map_or_else(String::new, |b| b.id.clone()))
        });
        self.act(&t!("boats.removed"), |d| {
            d.boats.retain(|b| b.id != id);
            d.checks.retain(|c| c.id != id);
        });
        if let Some(next) = next {
            // Text typed for one boat means nothing to the next.
            self.hold(&next);
        }
    }

    /// Shows a message in the diary.
    pub(crate) fn say(self, message: String) {
        self.message.set(Some(message));
    }

    /// What this phone reads lying level: list and trim, radians.
    pub(crate) fn tilt_zero(self) -> Option<[f64; 2]> {
        self.diary.with(|d| d.settings.tilt_zero_deg).map(|zero| zero.map(|d| d * DEGREE))
    }

    /// Keeps what this phone reads lying level, radians.
    pub(crate) fn set_tilt_zero(self, zero: [f64; 2]) {
        self.diary.update(|d| d.settings.tilt_zero_deg = Some(zero.map(|r| r / DEGREE)));
    }
}

/// Whether all is kept when the app starts, and why it could not be read, if so. A browser that keeps
/// nothing has nothing to read either.
fn begins_with(problem: Option<StorageProblem>) -> (Keeping, Option<StorageProblem>) {
    match problem {
        Some(StorageProblem::Closed) => (Keeping::Failed(StorageProblem::Closed), None),
        unread => (Keeping::Kept, unread),
    }
}

/// The demonstration boat's identity.
const DEMO_ID: &str = "demo-dipper";

/// A reading of the demonstration boat, with these marks, to look at: at the stern and at the bow.
fn example(draft: Draft, marks: &[MarkRecord]) -> Draft {
    let read = marks.iter().step_by(2).map(|mark| mark.name.clone()).zip(["-1", "-6"]);
    Draft {
        units: UnitsRecord::default(),
        marks: read.map(|(name, mm)| (name, mm.to_owned())).collect(),
        list: "1.8".to_owned(),
        ..draft
    }
}

/// An identity that no other record has: the time to the millisecond, and chance, since two windows
/// may make one at the same time.
pub(super) fn new_id(kind: &str) -> String {
    format!("{kind}-{:.0}-{:04x}", clock::now_ms(), clock::chance(0x1_0000))
}
