//! Everything the screens can do: one handle with a method for every action of the user.

use super::derived::{Advised, Answer, Derived};
use super::dive::Dive;
use super::form::{Editing, Form, Texts};
use super::history::History;
use super::importing::Importing;
use super::input::{FieldProblem, QuickForm};
use super::save::KeptApart;
use crate::device::clock;
use crate::device::storage::StorageProblem;
use leptos::prelude::*;
use trimwright::boat::demo_boat;
use trimwright::diary::{
    AboardRecord, Angles, BoatRecord, ConditionRecord, Diary, DiaryError, Draft, MarkReading,
    Merged, ReadingRecord, TEMPLATES, read, write,
};
use trimwright::reading::{Condition, Seen};
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

/// The state of the app; a `Copy` handle.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Desk {
    /// Everything that is kept.
    pub(crate) diary: RwSignal<Diary>,
    /// Where the user is.
    pub(crate) screen: RwSignal<Screen>,
    /// The quick boat's form while it is open.
    pub(crate) quick_form: RwSignal<Option<QuickForm>>,
    /// A kept text that could not be read.
    pub(crate) kept_apart: RwSignal<Option<KeptApart>>,
    /// Why nothing is being kept, if so.
    pub(crate) storage_problem: RwSignal<Option<StorageProblem>>,
    /// What the last file or deletion came to, in words.
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
    /// What is being dragged, and where it was before.
    pub(super) drag_start: RwSignal<Option<(Editing, [f64; 3])>>,
    /// The way down and up.
    pub(crate) dive: Dive,
    /// The diary before the last deletion.
    undo: RwSignal<Option<Diary>>,
    /// What follows from the diary.
    pub(crate) derived: Derived,
}

impl Desk {
    /// A desk over what was kept.
    pub(crate) fn new(
        diary: Diary,
        kept_apart: Option<KeptApart>,
        storage_problem: Option<StorageProblem>,
    ) -> Self {
        let diary = RwSignal::new(diary);
        Self {
            diary,
            screen: RwSignal::new(Screen::Pool),
            quick_form: RwSignal::new(None),
            kept_apart: RwSignal::new(kept_apart),
            storage_problem: RwSignal::new(storage_problem),
            message: RwSignal::new(None),
            bench: RwSignal::new(Bench::Parts),
            importing: RwSignal::new(Importing::No),
            form: RwSignal::new(None),
            last_part: RwSignal::new(Texts::default()),
            history: RwSignal::new(History::default()),
            drag_start: RwSignal::new(None),
            dive: Dive::new(),
            undo: RwSignal::new(None),
            derived: Derived::new(diary),
        }
    }

    /// Changes what is being typed.
    pub(crate) fn edit(self, change: impl FnOnce(&mut Draft)) {
        self.diary.update(|d| change(&mut d.draft));
    }

    /// Loads the demonstration boat with a reading to look at.
    pub(crate) fn start_demo(self) {
        let Ok(boat) = demo_boat() else { return };
        self.diary.update(|d| {
            if d.boat(DEMO_ID).is_none() {
                d.boats.push(BoatRecord::ledger(DEMO_ID, &boat));
            }
            d.draft = example(d.draft.for_boat(DEMO_ID));
        });
        self.quick_form.set(None);
        self.form.set(None);
        self.screen.set(Screen::Pool);
    }

    /// Takes a copy of a complete boat in hand, to look at and to change.
    pub(crate) fn start_template(self, which: usize) {
        let Some(template) = TEMPLATES.get(which) else { return };
        let Ok(mut boat) = template.boat_record() else { return };
        boat.id = new_id("boat");
        self.diary.update(|d| {
            d.draft = d.draft.for_boat(boat.id.clone());
            d.boats.push(boat);
        });
        self.leave_form();
        self.bench.set(Bench::Parts);
        self.screen.set(Screen::Boat);
    }

    /// One boat as a file: its name and its text.
    pub(crate) fn boat_file(self, id: &str) -> Option<(String, String)> {
        let boat = self.diary.with_untracked(|d| d.boat(id).cloned())?;
        let plain = |c: char| if c.is_alphanumeric() { c } else { '-' };
        let name: String = boat.name.to_lowercase().chars().map(plain).collect();
        let file = Diary { boats: vec![boat], ..Diary::default() };
        Some((format!("trimwright-{name}.json"), write(&file)))
    }

    /// Opens the quick boat's form.
    pub(crate) fn open_quick_form(self) {
        self.quick_form.set(Some(QuickForm::default()));
        self.screen.set(Screen::Boat);
    }

    /// What is wrong with the form as it stands.
    pub(crate) fn quick_problems(self) -> Vec<FieldProblem> {
        let density = self.derived.density.get_untracked();
        self.quick_form
            .with(|f| f.as_ref().and_then(|f| f.parse(density).err()).unwrap_or_default())
    }

    /// Makes the form's boat the boat in hand and goes to the pool; false when a field is wrong.
    pub(crate) fn use_quick_boat(self) -> bool {
        let Some(form) = self.quick_form.get_untracked() else { return false };
        let Ok(quick) = form.parse(self.derived.density.get_untracked()) else { return false };
        let id = new_id("boat");
        let name = if form.name.trim().is_empty() { "My boat" } else { form.name.trim() };
        self.diary.update(|d| {
            d.boats.push(BoatRecord::quick(id.clone(), name, quick));
            d.draft = d.draft.for_boat(id);
        });
        self.quick_form.set(None);
        self.screen.set(Screen::Pool);
        true
    }

    /// Takes a boat in hand; what was typed for another boat is put away.
    pub(crate) fn take_boat(self, id: &str) {
        let put_away = self.derived.draft.with_untracked(|d| {
            d.boat != id && !(d.marks.is_empty() && d.list.is_empty() && d.trim.is_empty())
        });
        if put_away {
            self.remember("The figures of the other boat were put away.");
        }
        self.edit(|d| {
            if d.boat != id {
                *d = d.for_boat(id);
            }
        });
        self.form.set(None);
        self.bench.set(Bench::Parts);
        // From the bench one goes on working; a boat of six numbers has no bench.
        if self.diary.with_untracked(|d| d.boat(id).is_some_and(|b| b.quick.is_some())) {
            self.screen.set(Screen::Pool);
        }
    }

    /// Removes a boat from the list; its readings stay. Can be undone.
    pub(crate) fn remove_boat(self, id: &str) {
        self.remember("Boat removed.");
        self.diary.update(|d| {
            d.boats.retain(|b| b.id != id);
            if d.draft.boat == id {
                // What was typed for the one is nothing to the next.
                let next = d.boats.last().map_or_else(String::new, |b| b.id.clone());
                d.draft = d.draft.for_boat(next);
            }
        });
    }

    /// Keeps the reading on the screen, with the advice that was given, in words.
    pub(crate) fn keep_reading(self, advice: Vec<String>) {
        let answer = self.derived.answer.get_untracked();
        let Answer::Advised(advised) = answer.as_ref() else { return };
        let water = self.derived.water.with_untracked(|w| {
            w.as_ref().map_or_else(|_| String::new(), |(_, words)| words.clone())
        });
        let boat = self.diary.with_untracked(|d| d.draft.boat.clone());
        let record = ReadingRecord { advice, ..record_of(advised, boat, water) };
        self.diary.update(|d| d.readings.push(record));
        self.message.set(Some("Reading kept.".to_owned()));
    }

    /// Empties what was read; the boat, the water and the place for weight stay. Can be undone.
    pub(crate) fn clear_figures(self) {
        self.remember("Figures cleared.");
        self.edit(|d| {
            d.marks.clear();
            d.list.clear();
            d.trim.clear();
            d.residual.clear();
            d.fill.clear();
            d.of_other_state = Angles::default();
        });
    }

    /// Removes a kept reading. Can be undone.
    pub(crate) fn remove_reading(self, id: &str) {
        self.remember("Reading removed.");
        self.diary.update(|d| d.readings.retain(|r| r.id != id));
    }

    /// Empties the diary. Can be undone.
    pub(crate) fn clear(self) {
        self.remember("Everything on this phone was removed.");
        let settings = self.diary.with_untracked(|d| d.settings.clone());
        self.diary.set(Diary { settings, ..Diary::default() });
    }

    /// True when something can be undone.
    pub(crate) fn can_undo(self) -> bool {
        self.undo.with(Option::is_some)
    }

    /// Takes back the last deletion.
    pub(crate) fn undo(self) {
        if let Some(before) = self.undo.get_untracked() {
            self.diary.set(before);
            self.undo.set(None);
            self.message.set(Some("Put back.".to_owned()));
        }
    }

    fn remember(self, message: &str) {
        self.undo.set(Some(self.diary.get_untracked()));
        self.message.set(Some(message.to_owned()));
    }

    /// The whole diary as a file: its name and its text.
    pub(crate) fn export(self) -> (String, String) {
        let day: String = clock::now_iso().chars().take(10).collect();
        (format!("trimwright-{day}.json"), self.diary.with_untracked(write))
    }

    /// Takes a file's records in.
    ///
    /// # Errors
    /// [`DiaryError`] when it cannot be read; then nothing changes.
    pub(crate) fn import(self, text: &str) -> Result<Merged, DiaryError> {
        let other = read(text)?;
        let mut merged = Merged::default();
        self.diary.update(|d| merged = d.merge(other));
        Ok(merged)
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

    /// Chooses a theme by name; empty follows the phone.
    pub(crate) fn set_theme(self, name: &str) {
        self.diary.update(|d| name.clone_into(&mut d.settings.theme));
    }

    /// Says that storing failed, or works again.
    pub(crate) fn report_storage(self, problem: Option<StorageProblem>) {
        if self.storage_problem.with_untracked(|p| *p != problem) {
            self.storage_problem.set(problem);
        }
    }
}

/// The demonstration boat's identity.
const DEMO_ID: &str = "demo-dipper";

/// A reading of the demonstration boat to look at.
fn example(draft: Draft) -> Draft {
    let figure = |name: &str, mm: &str| (name.to_owned(), mm.to_owned());
    Draft {
        marks: [figure("stern", "-1"), figure("bow", "-6")].into(),
        list: "1.8".to_owned(),
        ..draft
    }
}

/// An identity that no other record on this phone has: time to the millisecond.
pub(super) fn new_id(kind: &str) -> String {
    format!("{kind}-{:.0}", clock::now_ms())
}

fn record_of(advised: &Advised, boat: String, water: String) -> ReadingRecord {
    let reading = &advised.reading;
    let mut record = ReadingRecord {
        id: new_id("reading"),
        boat,
        kept_at: clock::now_iso(),
        condition: match reading.condition {
            Condition::Afloat => ConditionRecord::Afloat,
            Condition::Under => ConditionRecord::Under,
        },
        water_density_kg_m3: reading.water_density,
        water,
        marks: Vec::new(),
        fill: advised.fill,
        list_deg: None,
        trim_deg: None,
        residual_kg: None,
        aboard: Vec::new(),
        advice: Vec::new(),
        extra: serde_json::Map::default(),
    };
    for observation in &reading.observations {
        match &observation.seen {
            Seen::WaterAtMark { mark, above } => record.marks.push(MarkReading {
                name: mark.name.clone(),
                at_m: mark.at.vector().into(),
                above_m: *above,
                extra: serde_json::Map::new(),
            }),
            Seen::List(angle) => record.list_deg = Some(angle / DEGREE),
            Seen::Trim(angle) => record.trim_deg = Some(angle / DEGREE),
            Seen::Residual(mass) => record.residual_kg = Some(*mass),
        }
    }
    record.aboard = reading
        .aboard
        .iter()
        .map(|a| AboardRecord {
            name: a.name.clone(),
            mass_kg: a.mass,
            at_m: a.at.vector().into(),
            extra: serde_json::Map::new(),
        })
        .collect();
    record
}
