//! What is kept of a reading, pictures and runs.

use super::derived::PoolAnswer;
use super::desk::{Desk, new_id};
use super::figures::empty_figures;
use super::records::session_key;
use crate::device::clock;
use crate::device::picture::JpegPicture;
use crate::device::storage::{Key, Store, StoreWrite};
use crate::words::t;
use leptos::prelude::*;
use std::sync::Arc;
use trimwright::answer::latest_session;
use trimwright::diary::{
    Entry, EntryRecord, NewBoatRecord, PictureRecord, ReadingRecord, ReadingStatus, RunRecord,
    SessionRecord, picture_name, state_of,
};

impl Desk {
    /// Whether the reading on the screen is kept in the session that goes on, and whether it was
    /// noted there that its advice is done.
    pub(crate) fn standing(self) -> [bool; 2] {
        let answer = self.derived.answer.get();
        let key = self.session_in_hand();
        let (PoolAnswer::Advised(advised), Some(key)) = (answer.as_ref(), key) else {
            return [false; 2];
        };
        let read = ReadingRecord::of(&advised.reading, "", advised.fill);
        let in_session = |standing: &dyn Fn(&SessionRecord) -> [bool; 2]| {
            self.diary.with(|d| {
                d.sessions.iter().find(|s| session_key(s) == key).map_or([false; 2], standing)
            })
        };
        // The name of the boat's state is made of all of it: only where the figures are the same.
        let last =
            |s: &SessionRecord| s.readings().next_back().map(|(_, r)| r.says_the_same(&read));
        if in_session(&|session| [last(session) == Some(true); 2]) == [false; 2] {
            return [false; 2];
        }
        let state = self.derived.record.with(|r| r.as_ref().map(|r| state_of(r).0));
        let read = ReadingRecord { state: state.unwrap_or_default(), ..read };
        let counts_the_same = |entry: &EntryRecord| match &entry.what {
            Entry::Reading(kept) => kept.counts_the_same(&read),
            _ => false,
        };
        in_session(&|session| match session.reading_status(&read) {
            ReadingStatus::New => [false; 2],
            ReadingStatus::Kept(entry) => [counts_the_same(entry), false],
            ReadingStatus::Done(_) => [true; 2],
        })
    }

    /// Keeps the reading on the screen, with what it told and the advice that was given, in words: once,
    /// however often it is asked for.
    pub(crate) fn keep_reading(self, advice: Vec<String>) {
        self.note_reading(advice);
        self.just_done.set(None);
        self.say_when_kept(&t!("session.reading_kept"));
    }

    /// Keeps the reading of a boat that stays on its other side when it is pushed over there, and begins the next one:
    /// of how it lies there. Can be undone.
    pub(crate) fn stays_over(self, advice: Vec<String>) {
        self.edit(|d| d.comes_back = Some(false));
        self.note_reading(advice);
        self.act(&t!("push.kept"), |d| {
            let to_port = d.draft.list_to_port;
            empty_figures(&mut d.draft);
            d.draft.list_to_port = !to_port;
        });
    }

    /// True when the boat stayed on its other side and was not read there yet.
    pub(crate) fn waits_on_the_other_side(self) -> bool {
        let unread = |a: &Arc<PoolAnswer>| matches!(a.as_ref(), PoolAnswer::NothingRead(_));
        self.derived.answer.with(unread)
            && self.diary.with(|d| {
                let last = latest_session(d).and_then(SessionRecord::unanswered);
                last.is_some_and(|reading| reading.comes_back == Some(false))
            })
    }

    pub(super) fn note_reading(self, advice: Vec<String>) {
        let answer = self.derived.answer.get_untracked();
        let PoolAnswer::Advised(advised) = answer.as_ref() else { return };
        let water = self.derived.water.with_untracked(|w| {
            w.as_ref().map_or_else(|_| String::new(), |(_, words)| words.clone())
        });
        let boat = self.diary.with_untracked(|d| d.boat(&d.draft.boat).cloned());
        let state = boat.map_or_else(String::new, |boat| self.keep_state(&boat));
        let marks = self.derived.boat.with_untracked(|hand| match hand {
            Some(Ok(hand)) => hand.boat.marks.clone(),
            _ => Vec::new(),
        });
        let record = ReadingRecord::of(&advised.reading, water, advised.fill).answered(
            &advised.reading,
            &advised.fit,
            &advised.advice,
            &marks,
        );
        let record = ReadingRecord { state, advice, ..record };
        self.in_session(|session| drop(session.keep(record, new_id("entry"), clock::now_iso())));
    }

    /// Notes that the boat on the screen is a new one from its reading on: what was read before that tells nothing of
    /// it. `lines` say what was seen. Can be undone.
    pub(crate) fn begin_new_boat(self, lines: Vec<String>) {
        let Some(read) = self.read_now() else { return };
        let new = NewBoatRecord { lines, ..NewBoatRecord::default() };
        self.act_by(&t!("changed.is_new"), || {
            self.in_session(|session| {
                session.begin_new_boat(&read, new_id("entry"), clock::now_iso(), new);
            });
        });
    }

    /// Takes the reading on the screen, which was misread, out of its session if it is kept there. Can be undone.
    pub(crate) fn forget_misread(self) {
        let (Some(read), Some(key)) = (self.read_now(), untrack(|| self.session_in_hand())) else {
            return;
        };
        let kept = untrack(|| self.session(&key)).and_then(|session| {
            match session.reading_status(&read) {
                ReadingStatus::Kept(entry) => Some(entry.id.clone()),
                ReadingStatus::New | ReadingStatus::Done(_) => None,
            }
        });
        if let Some(entry) = kept {
            self.remove_entry(&key, &entry);
        }
    }

    /// The reading on the screen, with the boat's list as it is.
    fn read_now(self) -> Option<ReadingRecord> {
        let answer = self.derived.answer.get_untracked();
        let PoolAnswer::Advised(advised) = answer.as_ref() else { return None };
        let state = self.derived.record.with_untracked(|r| r.as_ref().map(|r| state_of(r).0));
        let read = ReadingRecord::of(&advised.reading, "", advised.fill);
        Some(ReadingRecord { state: state.unwrap_or_default(), ..read })
    }

    /// Goes back to putting weight on, or taking it off, where something was to be shifted.
    pub(crate) fn put_weight(self) {
        self.edit(|d| {
            d.shift.clear();
            d.shift_part.clear();
        });
    }

    /// The entry of the last reading of the session that goes on.
    pub(super) fn last_reading(self) -> Option<String> {
        let key = untrack(|| self.session_in_hand())?;
        let session = untrack(|| self.session(&key))?;
        session.readings().next_back().map(|(entry, _)| entry.id.clone())
    }

    /// Notes a picture, its bytes with it.
    pub(crate) fn note_picture(self, taken: JpegPicture) {
        let JpegPicture { bytes, width, height } = taken;
        let name = picture_name(&bytes);
        self.keep_too(vec![StoreWrite::Bytes(Key::new(Store::Picture, [&name]), bytes)]);
        self.note(Entry::Picture(PictureRecord {
            name,
            width_px: width,
            height_px: height,
            ..PictureRecord::default()
        }));
        self.say_when_kept(&t!("session.picture_kept"));
    }

    /// Starts timing a run.
    pub(crate) fn start_run(self) {
        self.note(Entry::Run(RunRecord::default()));
    }

    /// The run that goes on: its entry's identity and when it began.
    pub(crate) fn run_in_hand(self) -> Option<(String, String)> {
        let session = self.session(&self.session_in_hand()?)?;
        let goes_on =
            |entry: &&EntryRecord| matches!(&entry.what, Entry::Run(run) if run.ended_at.is_none());
        session.entries.iter().rev().find(goes_on).map(|e| (e.id.clone(), e.at.clone()))
    }

    /// Ends the run that goes on.
    pub(crate) fn end_run(self) {
        let Some((id, _)) = untrack(|| self.run_in_hand()) else { return };
        self.in_session(|session| {
            let run = session.entries.iter_mut().find(|e| e.id == id);
            if let Some(EntryRecord { what: Entry::Run(run), .. }) = run {
                run.ended_at = Some(clock::now_iso());
            }
        });
    }
}
