//! The phone's own way back goes through the places within the app: whoever changes where the user is
//! changes signals, this notes it in the browser's history, and takes the user where that leads.

use super::desk::{Desk, Screen};
use super::form::Editing;
use super::location::{HistoryEntry, Location, Move, OpenForm};
use super::log::DiaryPage;
use crate::device::history;
use crate::device::views::{Spot, last_tap, note_taps, to_spot};
use crate::signal::{Memo, RwSignal};
use leptos::prelude::*;
use leptos::task::spawn_local;
use litemap::LiteMap;

/// What the history is waited for with.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
enum Waiting {
    /// Nothing.
    #[default]
    No,
    /// It goes back to the entry before, where the app already is.
    ForHistory,
    /// It leads somewhere, and the app is on its way there.
    ForApp,
}

/// What is known of the way back.
#[derive(Debug, Default)]
pub(crate) struct Trail {
    entry: HistoryEntry,
    waiting: Waiting,
    /// Counts where the history led: what is on its way to an older place gives up.
    led: u32,
    /// What led away from the entries before.
    spots: LiteMap<u32, Spot>,
    /// Which form was open.
    opened: Option<u32>,
}

/// A signal that did not change makes nothing anew.
fn set<T: PartialEq + Clone + Send + Sync + 'static>(signal: RwSignal<T>, value: T) {
    if signal.with_untracked(|now| *now != value) {
        signal.set(value);
    }
}

impl Desk {
    /// Where the user is.
    pub(crate) fn place(self) -> Location {
        let quick = self.quick_form.with(|f| f.is_some().then_some(OpenForm::Quick));
        let ledger = self.form.with(|f| f.as_ref().map(|f| OpenForm::Ledger(f.of)));
        Location {
            screen: self.screen.get(),
            bench: self.bench.get(),
            form: quick.or(ledger),
            boat: self.diary.with(|d| d.draft.boat.clone()),
            time: self.checking.time.get(),
            editing: self.checking.editing.get(),
            page: self.log.page.get(),
            comparing: self.log.comparing.get(),
        }
    }

    /// Goes to a screen, as one that was not left in the middle of something.
    pub(crate) fn go(self, screen: Screen) {
        set(self.log.page, DiaryPage::Overview);
        set(self.log.comparing, None);
        set(self.checking.editing, false);
        set(self.screen, screen);
    }

    /// Keeps the history by where the user is, and follows it. A page that is loaded again stays where
    /// it was.
    pub(crate) fn keep_way_back(self) {
        note_taps();
        match history::entry().as_deref().and_then(HistoryEntry::read) {
            Some(entry) => self.follow(entry, false),
            None => history::replace(&HistoryEntry::default().text()),
        }
        let place = Memo::new(move |_| self.place());
        let opened = Memo::new(move |_| self.form.with(|f| f.as_ref().map(|f| f.opened)));
        Effect::new(move |_| {
            opened.track();
            self.note_place(&place.get());
        });
        history::on_move(move |text| {
            let entry = text.as_deref().and_then(HistoryEntry::read).unwrap_or_default();
            match self.trail.with_value(|t| t.waiting) {
                Waiting::ForHistory => self.is_back(entry),
                _ => self.follow(entry, true),
            }
        });
    }

    /// Notes where the user has gone, unless the history led there.
    fn note_place(self, now: &Location) {
        if self.trail.with_value(|t| t.waiting != Waiting::No) {
            return;
        }
        let opened = self.form.with_untracked(|f| f.as_ref().map(|f| f.opened));
        let noted = self.trail.try_update_value(|trail| {
            let step = trail.entry.step(now);
            let is_other = trail.entry.here.view() != now.view()
                || (now.seen().form.is_some() && trail.opened != opened);
            trail.opened = opened;
            trail.take(step, now);
            let spot = trail.spots.get(&trail.entry.n).filter(|_| step == Move::Back).cloned();
            (is_other, spot)
        });
        if let Some((true, spot)) = noted {
            to_spot(spot);
        }
    }

    /// The history has gone back to where the app already was; if the user has gone on meanwhile, that
    /// is noted now.
    fn is_back(self, entry: HistoryEntry) {
        self.trail.update_value(|trail| {
            trail.waiting = Waiting::No;
            trail.entry = entry;
        });
        self.note_place(&untrack(|| self.place()));
    }

    /// Goes where the history leads.
    fn follow(self, entry: HistoryEntry, seen: bool) {
        let turn = self.trail.try_update_value(|trail| {
            trail.waiting = Waiting::ForApp;
            trail.entry = entry.clone();
            trail.led += 1;
            trail.led
        });
        let before = untrack(|| self.place());
        spawn_local(async move {
            let mut place = entry.here;
            if let DiaryPage::Session(key) = &place.page
                && !self.bring(key).await
            {
                place.page = DiaryPage::Overview;
            }
            if self.trail.try_with_value(|t| t.led) != turn {
                return;
            }
            self.set_place(place, seen);
            let now = untrack(|| self.place());
            let opened = self.form.with_untracked(|f| f.as_ref().map(|f| f.opened));
            let spot = self.trail.try_update_value(|trail| {
                trail.waiting = Waiting::No;
                trail.opened = opened;
                trail.take(trail.entry.settle(&now), &now);
                trail.spots.get(&trail.entry.n).cloned()
            });
            if seen && before.view() != now.view() {
                to_spot(spot.flatten());
            }
        });
    }

    /// Puts the user in a place. A form of a line that is gone, or of another boat, stays closed; so does,
    /// when the page was loaded anew, one of something that is not there yet: it would stand empty.
    fn set_place(self, place: Location, seen: bool) {
        set(self.bench, place.bench);
        set(self.checking.time, place.time);
        set(self.checking.editing, place.editing);
        set(self.log.page, place.page);
        set(self.log.comparing, place.comparing);
        set(self.screen, place.screen);
        let now = untrack(|| self.place());
        if now.form == place.form {
            return;
        }
        if seen {
            // What is half typed in them is there when they are opened again.
            self.not_now();
            if self.form.with_untracked(Option::is_some) {
                self.close_form();
            }
        }
        match place.form.filter(|_| now.boat == place.boat) {
            // What is behind another screen is opened when the way leads there.
            _ if place.screen != Screen::Boat => {}
            Some(OpenForm::Ledger(of)) if of.line().is_some() => self.open_form(of),
            _ if !seen => {}
            Some(OpenForm::Quick) => self.open_quick_form(),
            Some(OpenForm::Ledger(Editing::Boat(None))) => self.open_new_boat(),
            Some(OpenForm::Ledger(of)) => self.open_form(of),
            None => {}
        }
    }
}

impl Trail {
    /// Does to the history what a move does.
    fn take(&mut self, step: Move, now: &Location) {
        match step {
            Move::Stay => {}
            Move::Replace => {
                self.entry.here = now.clone();
                history::replace(&self.entry.text());
            }
            Move::Push => {
                self.spots.insert(self.entry.n, last_tap());
                self.entry = self.entry.next(now.clone());
                self.spots.retain(|n, _| *n < self.entry.n);
                history::push(&self.entry.text());
            }
            Move::Back => {
                self.entry.n -= 1;
                self.entry.here = now.clone();
                self.waiting = Waiting::ForHistory;
                history::back();
            }
        }
    }
}
