//! What can be done to the ledger of the boat in hand: forms, lines, undo and redo.

use super::boat_form;
use super::desk::{Bench, Desk, new_id};
use super::form::{Editing, FieldKey, Form, Refused, Texts};
use super::history::History;
use super::line::{self, Ground};
use super::part_form::OWN;
use crate::words::{self, t};
use trimwright::diary::{BoatRecord, DatumRecord};

/// A place to move a line of the ledger to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum LineMove {
    /// One line up.
    Up,
    /// One line down.
    Down,
}

impl Desk {
    /// Opens the form of a new boat's first figures.
    pub(crate) fn open_new_boat(self) {
        self.bench.set(Bench::Parts);
        self.open_form(Editing::Boat(None));
    }

    /// Opens the form of a line, or of one that is not there yet, with what was half typed in it.
    pub(crate) fn open_form(self, of: Editing) {
        self.history.update(History::pause);
        let texts = match of {
            Editing::Boat(None) => Some(Some(Texts::new(self.derived.units.get_untracked()))),
            _ => self.ground(|ground| match of.line() {
                Some(_) => line::texts_of(of, ground),
                None => Some(line::first_texts(of, ground, &self.last_part.get_untracked())),
            }),
        };
        let Some(texts) = texts.flatten() else { return };
        let form = self.with_half_typed(Form::new(of, texts));
        let is_typed = !form.touched.is_empty();
        self.show_form(form);
        if is_typed && of != Editing::Boat(None) {
            self.take_form(None);
        }
        self.put_down_form();
    }

    /// Shows a form in the place of the one that was open.
    fn show_form(self, form: Form) {
        self.form.update(|open| {
            let opened = open.as_ref().map_or(0, |f| f.opened) + 1;
            *open = Some(Form { opened, ..form });
        });
    }

    /// Types into the open form. When everything in it can be used, the boat follows at once;
    /// otherwise the boat stays as it was.
    pub(crate) fn type_in(self, key: FieldKey, text: impl Into<String>) {
        let text = text.into();
        self.form.update(|form| {
            if let Some(form) = form {
                form.texts.set(key, text);
                form.touched.insert(key.into(), ());
                form.typing = Some(key);
            }
        });
        self.take_form(Some(key));
        self.put_down_form();
    }

    /// Closes the form if everything in it could be used; otherwise shows what is wrong. What can't
    /// be used is left behind only by [`Self::leave_form`].
    pub(crate) fn finish_form(self) {
        if self.is_finished() {
            self.leave_form();
        }
    }

    /// Finishes this form and opens the next of its kind.
    pub(crate) fn finish_and_add(self) {
        let of = self.form.with_untracked(|f| f.as_ref().map(|f| f.of));
        if let Some(of) = of
            && self.is_finished()
        {
            self.put_by();
            self.forget_form();
            self.open_form(of.another());
        }
    }

    /// Closes the form; the boat stays as it last was, and what could not be used is gone.
    pub(crate) fn leave_form(self) {
        self.forget_form();
        self.close_form();
    }

    /// Closes the form; what is half typed in it is there when it is opened again.
    pub(super) fn close_form(self) {
        self.put_by();
        self.form.set(None);
        self.history.update(History::pause);
    }

    /// Takes what the form holds and shows what is wrong with it; true when nothing is.
    fn is_finished(self) -> bool {
        self.form.update(|form| {
            if let Some(form) = form {
                form.asked = true;
            }
        });
        // A line that was only looked at stays as it is, to the last digit.
        if self.form.with_untracked(|f| f.as_ref().is_some_and(Form::is_changed)) {
            self.take_form(None);
        }
        self.form.with_untracked(|f| f.as_ref().is_none_or(|f| f.problems.is_empty()))
    }

    /// What the part entered last is made of, as it is shown; none if nothing was said.
    pub(crate) fn material_before(self) -> Option<String> {
        self.last_part.with_untracked(|last| match last.get("material") {
            "" => None,
            OWN => Some(last.get("own-name").to_owned()).filter(|name| !name.is_empty()),
            name => Some(words::material::shown(name)),
        })
    }

    /// The part in the form is made of what the one before was.
    pub(crate) fn made_as_before(self) {
        let last = self.last_part.get_untracked();
        for key in ["own-name", "density", "material"].into_iter().filter(|key| last.has(key)) {
            self.type_in(key, last.get(key).to_owned());
        }
    }

    /// Keeps what the next form begins with.
    fn put_by(self) {
        let Some(form) = self.form.get_untracked() else { return };
        if let Editing::Part(_) = form.of {
            self.last_part.set(form.texts);
        }
        self.learn_materials();
    }

    /// Keeps the builder's own materials for the next part: when a form is closed, because while it
    /// is open their names are half typed.
    fn learn_materials(self) {
        let learned = self.diary.with_untracked(|d| {
            let mut own = d.materials.clone();
            line::learn_materials(&mut own, d.boat(&d.draft.boat)?);
            Some(own).filter(|own| *own != d.materials)
        });
        if let Some(own) = learned {
            self.diary.update(|d| d.materials = own);
        }
    }

    /// Reads the open form anew if something was wrong with it.
    pub(super) fn read_form_again(self) {
        let is_wrong = |f: &Option<Form>| f.as_ref().is_some_and(|f| !f.problems.is_empty());
        if self.form.with_untracked(is_wrong) {
            self.take_form(None);
        }
    }

    /// Puts what the form holds into the boat, if it can be used.
    fn take_form(self, key: Option<FieldKey>) {
        let Some(form) = self.form.get_untracked() else { return };
        if let Editing::Boat(None) = form.of {
            self.take_new_boat(&form, key.is_none());
            return;
        }
        // The line changes when it is first put in: the form, and the field, stay the same ones.
        let run = key.map(|key| format!("{:?} {} {key}", form.of.another(), form.opened));
        // What follows a boat's length goes from where it stood before that was typed.
        let before = match form.of {
            Editing::Boat(_) => self.history.with_untracked(|h| h.before_run(run.as_deref())),
            _ => None,
        };
        let changed = self.ground(|ground| {
            let boat = before.as_ref().filter(|b| b.id == ground.boat.id);
            let boat = boat.unwrap_or(ground.boat);
            let changed = line::changed(&form, &Ground { boat, ..*ground });
            if let (Editing::Boat(_), Ok((now, _))) = (form.of, &changed) {
                self.message.set(boat_form::followed(boat, now));
            }
            changed
        });
        let (refused, of) = match changed {
            Some(Ok((boat, at))) => {
                self.replace_boat(boat, run);
                (Refused::from(Vec::new()), form.of.at(at))
            }
            Some(Err(refused)) => {
                // On its way to what cannot be used, a field may have passed through what can: 450
                // on the way to 4500. The boat goes back to what it was before.
                if let Some(before) = self.history.with_untracked(|h| h.before_run(run.as_deref()))
                {
                    self.put_boat(before);
                }
                (refused, form.of)
            }
            None => return,
        };
        self.show_problems(of, refused);
    }

    fn show_problems(self, of: Editing, refused: Refused) {
        self.form.update(|form| {
            if let Some(form) = form {
                form.of = of;
                form.asked |= refused.as_a_whole;
                form.problems = refused.problems;
            }
        });
    }

    /// The new boat is made when its form is finished: half a boat is none.
    fn take_new_boat(self, form: &Form, finished: bool) {
        match boat_form::new_boat(&form.texts, new_id("boat")) {
            Err(problems) => self.show_problems(form.of, problems.into()),
            Ok(_) if !finished => self.show_problems(form.of, Vec::new().into()),
            Ok(boat) => {
                self.leave_form();
                let id = boat.id.clone();
                self.diary.update(|d| d.boats.push(boat));
                self.hold(&id);
                self.history.set(History::default());
            }
        }
    }

    /// What forms are read against; none without a boat of parts in hand.
    pub(super) fn ground<T>(self, use_it: impl FnOnce(&Ground<'_>) -> T) -> Option<T> {
        let (parts, datum) =
            (self.derived.parts.get_untracked(), self.derived.datum.get_untracked());
        let units = self.derived.units.get_untracked();
        self.diary.with_untracked(|diary| {
            let boat = diary.boat(&diary.draft.boat).filter(|b| b.quick.is_none())?;
            Some(use_it(&Ground { boat, parts: &parts, datum, units, own: &diary.materials }))
        })
    }

    /// Puts a changed boat in the place of the one in hand, and remembers that one.
    pub(super) fn replace_boat(self, boat: BoatRecord, run: Option<String>) {
        let before = self.diary.with_untracked(|d| d.boat(&boat.id).cloned());
        let Some(before) = before.filter(|before| *before != boat) else { return };
        self.history.update(|history| {
            if !history.is_of(&boat.id) {
                *history = History::default();
            }
            history.remember(&before, run);
        });
        self.put_boat(boat);
    }

    /// Puts a boat in the place of the one of its identity.
    fn put_boat(self, boat: BoatRecord) {
        self.diary.update(|d| {
            if let Some(kept) = d.boats.iter_mut().find(|b| b.id == boat.id) {
                *kept = boat;
            }
        });
    }

    /// Changes the boat in hand as one step that can be undone.
    pub(crate) fn change_boat(self, change: impl FnOnce(&mut BoatRecord)) {
        let boat = self.diary.with_untracked(|d| d.boat(&d.draft.boat).cloned());
        let Some(mut boat) = boat else { return };
        change(&mut boat);
        self.replace_boat(boat, None);
    }

    /// Puts a copy of a line under it; mirrored to the other side if wanted.
    pub(crate) fn copy_line(self, of: Editing, mirrored: bool) {
        self.change_boat(|boat| line::copy(boat, of, mirrored));
        let next = of.line().map_or(of, |k| of.at(k + 1));
        self.open_form(next);
    }

    /// Takes a line out of the ledger.
    pub(crate) fn remove_line(self, of: Editing) {
        self.forget_form();
        self.form.set(None);
        self.change_boat(|boat| line::remove(boat, of));
        self.message.set(Some(t!("form.removed")));
    }

    /// Moves a line up or down.
    pub(crate) fn move_line(self, of: Editing, step: LineMove) {
        self.change_boat(|boat| line::shift(boat, of, step));
    }

    /// Moves what stands in a line by so many metres from where it was when the drag began.
    pub(crate) fn drag(self, of: Editing, by: [f64; 3], done: bool) {
        let start = self.drag_start.get_untracked().filter(|(line, _)| *line == of);
        let from =
            start.map(|(_, at)| at).or_else(|| self.ground(|g| line::place_of(g, of)).flatten());
        let Some(from) = from else { return };
        self.drag_start.set((!done).then_some((of, from)));
        let to = std::array::from_fn(|k| from.get(k).zip(by.get(k)).map_or(0.0, |(a, b)| a + b));
        let was = self.ground(|ground| line::texts_of(of, ground)).flatten();
        let moved = self.ground(|ground| line::placed(ground, of, to));
        if let Some(Ok(boat)) = moved {
            self.replace_boat(boat, Some(format!("{of:?} dragged")));
        }
        if done {
            self.history.update(History::pause);
        }
        let now = self.ground(|ground| line::texts_of(of, ground)).flatten();
        self.form.update(|form| {
            // What is half typed in other fields stays.
            if let (Some(form), Some((was, now))) = (form, was.zip(now))
                && form.of == of
            {
                form.follow(&was, &now, true);
            }
        });
    }

    /// The open form shows what stands in the ledger now.
    fn refresh_form(self) {
        let Some(of) = self.form.with_untracked(|f| f.as_ref().map(|f| f.of)) else { return };
        match self.ground(|ground| line::texts_of(of, ground)).flatten() {
            Some(texts) => self.form.update(|form| {
                // Still the same form: only what it says is new.
                let opened = form.as_ref().map_or(0, |f| f.opened);
                *form = Some(Form { opened, ..Form::new(of, texts) });
            }),
            None => self.form.set(None),
        }
    }

    /// As [`Self::refresh_form`], if the form is of a line: one that is not in the boat yet stands on
    /// nothing that was changed.
    pub(super) fn refresh_line(self) {
        if self.form.with_untracked(|f| f.as_ref().is_some_and(|f| f.of.line().is_some())) {
            self.refresh_form();
        }
    }

    /// Takes back the last change of the boat in hand.
    pub(crate) fn undo_change(self) {
        self.step_history(History::undo);
    }

    /// Does again what was taken back last.
    pub(crate) fn redo_change(self) {
        self.step_history(History::redo);
    }

    fn step_history(self, step: impl FnOnce(&mut History, &BoatRecord) -> Option<BoatRecord>) {
        let now = self.diary.with_untracked(|d| d.boat(&d.draft.boat).cloned());
        let Some(now) = now.filter(|b| self.history.with_untracked(|h| h.is_of(&b.id))) else {
            return;
        };
        let mut other = None;
        self.history.update(|history| other = step(history, &now));
        let Some(other) = other else { return };
        self.message.set(None);
        self.put_boat(other);
        self.refresh_form();
    }

    /// Whether a change of the boat in hand can be taken back, and done again.
    pub(crate) fn can_step(self) -> [bool; 2] {
        let id = self.diary.with(|d| d.draft.boat.clone());
        self.history.with(|h| if h.is_of(&id) { h.can() } else { [false; 2] })
    }

    /// Chooses where lengths along the boat are measured from; the open form follows.
    pub(crate) fn measure_from(self, datum: DatumRecord) {
        self.change_boat(|boat| boat.datum = datum);
        self.refresh_form();
    }
}
