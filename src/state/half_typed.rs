//! What is half typed beside the readings: it is kept with the draft, so that it outlives another place,
//! another boat in hand and a new start of the app.

use super::desk::Desk;
use super::form::{Editing, Form, Name, Texts};
use super::line::{self, names};
use super::quick_form;
use litemap::LiteMap;
use trimwright::diary::{BoatRecord, FormTexts, NEW_BOATS};

/// The forms of a new boat, part by part and of six numbers.
const NEW_BOAT: &str = NEW_BOATS[0];
const SIX_NUMBERS: &str = NEW_BOATS[1];
/// A field that no form has: it says that the form was closed and waits.
const WAITS: &str = "waits";

impl Desk {
    /// What is typed in a field that belongs to no form of the ledger: a note, say.
    pub(crate) fn half_typed(self, what: &str, field: &str) -> String {
        let text = |forms: &LiteMap<String, FormTexts>| forms.get(what)?.get(field).cloned();
        self.diary.with(|d| text(&d.draft.forms)).unwrap_or_default()
    }

    /// Types into such a field; nothing empties it.
    pub(crate) fn type_half(self, what: &str, field: &str, text: String) {
        let typed = self.diary.with_untracked(|d| d.draft.forms.get(what).cloned());
        let mut typed = typed.unwrap_or_default();
        if text.is_empty() {
            typed.remove(field);
        } else {
            typed.insert(field.to_owned(), text);
        }
        self.put_down(what, typed);
    }

    /// Forgets what was typed: it has become something, or it was left on purpose.
    pub(crate) fn forget_typed(self, what: &str) {
        self.put_down(what, FormTexts::new());
    }

    fn put_down(self, what: &str, texts: FormTexts) {
        let is = |d: &trimwright::diary::Diary| {
            d.draft.forms.get(what).map_or(texts.is_empty(), |there| *there == texts)
        };
        if !self.diary.with_untracked(is) {
            self.diary.update(|d| {
                d.draft.forms.remove(what);
                if !texts.is_empty() {
                    d.draft.forms.insert(what.to_owned(), texts);
                }
            });
        }
    }

    /// Puts down what stands in the open form and nowhere else.
    pub(super) fn put_down_form(self) {
        let Some(form) = self.form.get_untracked() else { return };
        let key = self.diary.with_untracked(|d| key_of(form.of, d.boat(&d.draft.boat)));
        if form.kept_as != key {
            self.forget_typed(&form.kept_as);
        }
        let mut typed = form.half_typed();
        if form.of.line().is_some()
            && !typed.is_empty()
            && let Some(there) = self.ground(|g| line::texts_of(form.of, g)).flatten()
        {
            // The rest is in the ledger, and may be changed there meanwhile.
            typed.retain(|field, text| there.get(field) != text);
        }
        self.put_down(&key, typed);
        // Where it is kept shows nowhere.
        self.form.update_untracked(|form| {
            if let Some(form) = form {
                form.kept_as = key;
            }
        });
    }

    /// Forgets what is typed in the open form.
    pub(super) fn forget_form(self) {
        self.put_down_form();
        let key = self.form.with_untracked(|f| f.as_ref().map(|f| f.kept_as.clone()));
        self.forget_typed(&key.unwrap_or_default());
    }

    /// A form with what was typed in it before.
    pub(super) fn with_half_typed(self, form: Form) -> Form {
        let typed = self.diary.with_untracked(|d| {
            d.draft.forms.get(&key_of(form.of, d.boat(&d.draft.boat))).cloned()
        });
        let mut typed = typed.unwrap_or_default();
        typed.remove(WAITS);
        form.with_typed(&typed)
    }

    /// Opens what was open when the app was closed, or the boat in hand put away.
    pub(super) fn take_up_forms(self) {
        let forms = self.diary.with_untracked(|d| d.draft.forms.clone());
        let is_open = |what: &str| forms.get(what).is_some_and(|f| !f.contains_key(WAITS));
        if is_open(SIX_NUMBERS) {
            self.show_quick_form();
        }
        if is_open(NEW_BOAT) {
            return self.open_form(Editing::Boat(None));
        }
        let of = self.diary.with_untracked(|d| {
            let boat = d.boat(&d.draft.boat)?;
            forms.keys().find_map(|key| line_of(key, boat))
        });
        if let Some(of) = of {
            self.open_form(of);
        }
    }

    /// Shows the form of six numbers, with what was typed in it before.
    pub(super) fn show_quick_form(self) {
        let units = self.derived.units.get_untracked();
        let typed = self.diary.with_untracked(|d| d.draft.forms.get(SIX_NUMBERS).cloned());
        self.quick_form.set(Some(quick_form::taken_up(&typed.unwrap_or_default(), units)));
        self.change_quick_form(|_| ());
    }

    /// Changes the form of six numbers.
    pub(crate) fn change_quick_form(self, change: impl FnOnce(&mut Texts)) {
        self.quick_form.update(|form| {
            if let Some(form) = form {
                change(form);
            }
        });
        let Some(form) = self.quick_form.get_untracked() else { return };
        let as_begun = form == quick_form::begun(form.units);
        self.put_down(SIX_NUMBERS, if as_begun { FormTexts::new() } else { form.kept() });
    }

    /// Forgets the six numbers: they have become a boat.
    pub(super) fn forget_quick_form(self) {
        self.quick_form.set(None);
        self.forget_typed(SIX_NUMBERS);
    }

    /// Closes the forms of new boats; what is typed in them waits.
    pub(crate) fn not_now(self) {
        for what in NEW_BOATS {
            if self.diary.with_untracked(|d| d.draft.forms.contains_key(what)) {
                self.type_half(what, WAITS, "yes".to_owned());
            }
        }
        self.quick_form.set(None);
        if self.form.with_untracked(|f| f.as_ref().is_some_and(|f| f.of == Editing::Boat(None))) {
            self.form.set(None);
        }
    }

    /// Takes over a boat that was changed in another window, under the form that is open: it stays on its
    /// line, and where nobody typed it says what the line says now.
    pub(super) fn change_under_form(self, change: impl FnOnce()) {
        let of = self.form.with_untracked(|f| f.as_ref().map(|f| f.of));
        let Some(of) = of.filter(|of| of.line().is_some()) else { return change() };
        let ground = |of: Editing| {
            self.ground(|g| {
                let names: Vec<String> = names(g.boat, of).map(str::to_owned).collect();
                (names, line::texts_of(of, g))
            })
        };
        let before = ground(of);
        change();
        let (Some((were, was)), Some((are, _))) = (before, ground(of)) else {
            return self.form.set(None);
        };
        let name = of.line().and_then(|k| were.get(k));
        let there = name.and_then(|name| are.iter().position(|n| n == name));
        let of = match there {
            Some(k) => of.at(k),
            None if were.len() == are.len() => of,
            // It was removed there: what is typed here becomes another one.
            None => of.another(),
        };
        let now = ground(of).and_then(|(_, texts)| texts);
        self.form.update(|form| {
            if let Some(form) = form {
                form.of = of;
                if let Some((was, now)) = was.zip(now) {
                    form.follow(&was, &now, false);
                }
            }
        });
        self.put_down_form();
    }
}

impl Texts {
    /// The same as the draft keeps them.
    fn kept(&self) -> FormTexts {
        self.fields.iter().map(|(key, text)| (key.to_string(), text.clone())).collect()
    }
}

impl Form {
    /// The same with texts that were typed before.
    fn with_typed(mut self, typed: &FormTexts) -> Self {
        for (key, text) in typed {
            if self.texts.get(key) != text {
                self.texts.fields.insert(Name::Owned(key.clone()), text.clone());
                self.touched.insert(Name::Owned(key.clone()), ());
            }
        }
        self
    }

    /// What stands in it and nowhere else: all of it while it cannot be used, or is of something that is
    /// not in the ledger yet. A shape that was chosen, and nothing else, is nothing.
    fn half_typed(&self) -> FormTexts {
        let waits = !self.problems.is_empty() || self.of.line().is_none();
        let typed = waits && self.touched.keys().any(|key| key != "shape");
        if typed { self.texts.kept() } else { FormTexts::new() }
    }

    /// Follows the ledger from what it said to what it says now: where nobody typed, or `all` that has
    /// changed there.
    pub(super) fn follow(&mut self, was: &Texts, now: &Texts, all: bool) {
        for (key, text) in &now.fields {
            let changed = text != was.get(key);
            if changed && (all || self.texts.get(key) == was.get(key)) {
                self.texts.fields.insert(key.clone(), text.clone());
            }
        }
    }
}

/// Under what the texts of a form are kept: its kind, and the name of its line.
fn key_of(of: Editing, boat: Option<&BoatRecord>) -> String {
    let kind = match of {
        Editing::Part(_) => "part",
        Editing::Tank(_) => "tank",
        Editing::Mark(_) => "mark",
        Editing::Place(_) => "place",
        Editing::Boat(None) => return NEW_BOAT.to_owned(),
        Editing::Boat(Some(_)) => "boat",
        Editing::Aim => "aim",
    };
    match of.line().zip(boat).and_then(|(line, boat)| names(boat, of).nth(line)) {
        Some(name) => format!("{kind} {name}"),
        None => kind.to_owned(),
    }
}

/// The form whose texts are kept under a key, if its line is there.
fn line_of(key: &str, boat: &BoatRecord) -> Option<Editing> {
    let (kind, name) = key.split_once(' ').map_or((key, None), |(kind, name)| (kind, Some(name)));
    let of = match (kind, name) {
        ("part", _) => Editing::Part(None),
        ("tank", _) => Editing::Tank(None),
        ("mark", _) => Editing::Mark(None),
        ("place", _) => Editing::Place(None),
        ("boat", Some(_)) => Editing::Boat(None),
        ("aim", Some(_)) => Editing::Aim,
        _ => return None,
    };
    let Some(name) = name else { return Some(of) };
    names(boat, of).position(|n| n == name).map(|k| of.at(k))
}

#[cfg(test)]
mod tests {
    use super::*;
    use trimwright::diary::TEMPLATES;

    #[test]
    fn each_line_has_a_key_by_its_name_and_is_found_by_it() {
        let boat = TEMPLATES[0].boat_record().expect("a good file");
        let all = [
            Editing::Part(Some(1)),
            Editing::Tank(Some(0)),
            Editing::Mark(Some(1)),
            Editing::Place(Some(0)),
            Editing::Boat(Some(0)),
            Editing::Aim,
        ];
        for of in all {
            let key = key_of(of, Some(&boat));
            assert_eq!(line_of(&key, &boat), Some(of), "{key}");
            assert_eq!(line_of(&format!("{key} gone"), &boat), None, "{key} of another name");
        }
        for of in
            [Editing::Part(None), Editing::Tank(None), Editing::Mark(None), Editing::Place(None)]
        {
            assert_eq!(line_of(&key_of(of, Some(&boat)), &boat), Some(of), "not there yet");
        }
        for other in ["note", "lean", NEW_BOAT, SIX_NUMBERS] {
            assert_eq!(line_of(other, &boat), None, "{other} is no line");
        }
    }
}
