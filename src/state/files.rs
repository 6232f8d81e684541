//! Everything as one file: written for the builder to keep, and taken in again, looked at first.

use super::arriving::{Arriving, let_go, merged_words};
use super::desk::{Desk, Screen};
use super::load::changes_of;
use super::log::Unread;
use super::records::{records, session_key, set_record};
use super::settings::turn_draft;
use super::settle::settle;
use crate::device::clock::{self, Turns, next_turn};
use crate::device::share::{ShareOutcome, save, share_or_save};
use crate::device::storage::{
    Key, ResolvedText, StorageProblem, Store, StoreWrite, forget_small, keys, load_bytes,
    load_each, load_small, save_small, tell_others, write,
};
use crate::words::speech::units_of;
use crate::words::{self, t};
use litemap::LiteMap;
use std::collections::HashSet;
use std::sync::Arc;
use trimwright::diary::{
    Diary, KeptMeshes, MeshRecord, MissingRecord, PictureBytes, SessionRecord, TableStyle,
    meshes_named, read_kept, read_with, readings_csv, write_kept, write_with,
};
use trimwright::unit::Decimal;

/// Where it is noted when the last export was, and how many sessions it held.
const EXPORTED: &str = "trimwright.exported";
/// Sessions that are brought from the store in one go.
pub(super) const AT_ONCE: usize = 100;

/// Everything on the phone that can be read; what cannot is noted in it as missing.
struct ReadableDiary {
    /// The diary.
    diary: Diary,
    /// Why the store could not be read, if so.
    problem: Option<StorageProblem>,
}

impl Desk {
    /// Everything that is kept: what is in memory as it is there, the rest from the store.
    async fn whole(self) -> ReadableDiary {
        let mut diary = self.diary.get_untracked();
        let mut problem = self.unloaded.get_untracked();
        let mut missing = MissingRecord { unknown: problem.is_some(), ..MissingRecord::default() };
        let mut in_memory: Vec<Key> = diary.sessions.iter().map(session_key).collect();
        in_memory.sort();
        let stored = keys(Store::Session).await.unwrap_or_else(|why| {
            // Which there are is known from the start, and from what happened since.
            problem = Some(why);
            self.log.keys.get_untracked().to_vec()
        });
        let is_here = |key: &Key| in_memory.binary_search(key).is_ok();
        let wanted: Vec<Key> = stored.into_iter().filter(|key| !is_here(key)).collect();
        for some in wanted.chunks(AT_ONCE) {
            for (key, found) in some.iter().zip(self.sessions(some).await) {
                match found {
                    Some(Ok(session)) => diary.sessions.push(session),
                    Some(Err(why)) => {
                        missing.sessions.push(key.words.join(" "));
                        if let Unread::Failed(why) = why {
                            problem = Some(why);
                        }
                    }
                    // Removed meanwhile, in another window.
                    None => {}
                }
            }
            next_turn().await;
        }
        diary.sessions.sort_by(|a, b| (&a.started_at, &a.id).cmp(&(&b.started_at, &b.id)));
        add_states(&mut diary).await;
        add_pictures(&mut diary).await;
        let records = self.apart.get_untracked().into_iter().map(|apart| apart.key);
        let records = records.filter(|key| key.store != Store::Session);
        missing.records = records.map(|key| key.words.join(" ")).collect();
        diary.missing = missing;
        diary.note_missing();
        ReadableDiary { diary, problem }
    }

    /// Saves everything as a file; what came of it, in words.
    pub(crate) async fn save_export(self) -> String {
        self.export(async |name: &str, text: &[String]| save(name, "application/json", text).await)
            .await
    }

    /// Offers everything as a file to another app of the phone; what came of it, in words.
    pub(crate) async fn share_export(self) -> String {
        self.export(async |name: &str, text: &[String]| share_or_save(name, text).await).await
    }

    /// It is noted as exported only once it is out of the app.
    async fn export(self, way: impl AsyncFnOnce(&str, &[String]) -> ShareOutcome) -> String {
        let whole = self.whole().await.diary;
        let name = format!("trimwright-{}.json", today());
        let (n_sessions, missing) = (whole.sessions.len(), whole.missing.clone());
        let turns = Turns::begin();
        let pieces = write_with(whole, &|| turns.due()).await;
        turns.rest().await;
        let outcome = way(&name, &pieces).await;
        if outcome.is_out() {
            self.note_exported(Some(n_sessions));
        }
        outcome_words(outcome, &name, &missing)
    }

    /// Saves all readings as a table for a spreadsheet; what came of it, in words.
    pub(crate) async fn save_table(self) -> String {
        let whole = self.whole().await.diary;
        let style = match units_of(&whole.settings).decimal {
            Decimal::Point => TableStyle::Point,
            Decimal::Comma => TableStyle::Comma,
        };
        let name = format!("trimwright-readings-{}.csv", today());
        let outcome = save(&name, "text/csv", &[readings_csv(&whole, style)]).await;
        // A table has nothing but readings: of what is not in it, only sessions have any.
        let MissingRecord { unknown, sessions, .. } = whole.missing;
        outcome_words(
            outcome,
            &name,
            &MissingRecord { unknown, sessions, ..MissingRecord::default() },
        )
    }

    /// Notes how many sessions the last export held.
    pub(super) fn note_exported(self, sessions: Option<usize>) {
        match sessions {
            // Without a small store there is no reminder; the export itself is what counts.
            Some(n) => drop(save_small(EXPORTED, &n.to_string())),
            None => forget_small(EXPORTED),
        }
        self.exported.set(sessions);
    }

    /// Sessions since the last export.
    pub(crate) fn sessions_since_export(self) -> usize {
        let all = self.log.keys.with(|k| k.len());
        all.saturating_sub(self.exported.get().unwrap_or(0))
    }

    /// Reads a file and shows what would come of it; nothing is changed yet. What was shown of another
    /// file is gone. Says why it was not opened, if so.
    pub(crate) async fn look_at_file(self, text: Option<&str>) -> Option<String> {
        self.arriving.set(None);
        let Some(text) = text else { return Some(t!("files.not_read")) };
        let turns = Turns::begin();
        let due = || turns.due();
        let diary = match read_with(text, &due).await {
            Ok(diary) => diary,
            Err(why) => return Some(t!("files.not_opened", why = words::diary::unread(&why))),
        };
        let here = self.whole().await;
        if here.problem.is_some() {
            return Some(t!("files.not_compared"));
        }
        let coming = here.diary.compare_with(&diary, &due).await;
        let mut taken = Diary {
            settings: here.diary.settings.clone(),
            draft: here.diary.draft.clone(),
            ..Diary::default()
        };
        taken.take_settings(&diary);
        let settings_differ = (&taken.settings, &taken.draft.water)
            != (&here.diary.settings, &here.diary.draft.water);
        turns.rest().await;
        self.arriving.set(Some(Arriving::of(diary, coming, settings_differ)));
        let_go(here.diary.sessions).await;
        None
    }

    /// Takes in what is arriving, all of it or nothing; what came of it, in words.
    pub(crate) async fn take_in(self) -> String {
        let Some(arriving) = self.arriving.get_untracked() else { return String::new() };
        // What the store has is what is here, or something else has come between.
        self.until_written().await;
        let here = self.whole().await;
        if here.problem.is_some() {
            return t!("files.not_compared");
        }
        let mut new = here.diary;
        new.missing = MissingRecord::default();
        let mut coming = arriving.copied().await;
        coming.leave_out(&arriving.left_out);
        let missing = words::file::missing(&coming.missing);
        // A session that is here stays as it is: what is compared is all but those.
        let sessions = std::mem::take(&mut new.sessions);
        let here = new.clone();
        new.sessions = sessions;
        let known: HashSet<Key> = new.sessions.iter().map(session_key).collect();
        if arriving.take_settings {
            new.take_settings(&coming);
        }
        let turns = Turns::begin();
        let merged = new.merge_with(coming, &|| turns.due()).await;
        let is_new = |session: &SessionRecord| !known.contains(&session_key(session));
        let (came, stayed) = new.sessions.drain(..).partition(is_new);
        new.sessions = came;
        let_go(stayed).await;
        match self.write_new(&here, &mut new).await {
            Ok(settled) => self.show_new(&here, new, &settled).await,
            Err(StorageProblem::Full) => return t!("files.no_room"),
            Err(StorageProblem::Closed) => return t!("files.store_closed"),
            Err(StorageProblem::Refused(name)) => return t!("files.store_refused", name = name),
        }
        drop(arriving);
        let last = self.arriving.try_update(Option::take).flatten();
        if let Some(Ok(sessions)) = last.map(|last| Arc::try_unwrap(last.sessions)) {
            let_go(sessions).await;
        }
        self.hold_first();
        let was_missing = missing.map(|what| t!("files.was_missing", what = what));
        std::iter::once(merged_words(merged)).chain(was_missing).collect::<Vec<_>>().join(" ")
    }

    /// Takes the first boat in hand that came to an empty phone, if that is still shown as one.
    fn hold_first(self) {
        let welcomes = self.screen.get_untracked() == Screen::Pool;
        let first = self.diary.with_untracked(|d| {
            let none = welcomes && d.boat(&d.draft.boat).is_none();
            d.boats.first().filter(|_| none).map(|boat| boat.id.clone())
        });
        if let Some(id) = first {
            self.hold(&id);
        }
    }

    /// Writes what makes `new` of `here`, and lets the other windows know. Of sessions there are those in `new` that
    /// came; they are taken out of it.
    async fn write_new(
        self,
        here: &Diary,
        new: &mut Diary,
    ) -> Result<Vec<(Key, Option<String>)>, StorageProblem> {
        let turns = Turns::begin();
        let mut of_sessions = Vec::with_capacity(new.sessions.len());
        for session in std::mem::take(&mut new.sessions) {
            turns.rest().await;
            let key = session_key(&session);
            let text = write_kept(&Diary { sessions: vec![session], ..Diary::default() }).0;
            of_sessions.push(StoreWrite::Text(key, Some(text)));
        }
        let before = changes_of(here);
        let was: LiteMap<&Key, &StoreWrite> = before.iter().map(|c| (c.key(), c)).collect();
        let changed = |change: &StoreWrite| match was.get(&change.key()) {
            // Bytes go by names made of their contents.
            Some(was) => matches!(was, StoreWrite::Text(..)) && *was != change,
            None => true,
        };
        let changes = changes_of(new).into_iter().filter(changed);
        let changes: Vec<StoreWrite> = changes.chain(of_sessions).collect();
        let settle = |key: &Key, now: Option<&str>, mine: Option<&str>| match now {
            // What cannot be read was not known here, and is not written over.
            Some(text) if read_kept(text, &KeptMeshes::new()).is_err() => {
                ResolvedText { text: mine.map(str::to_owned), aside: Some(text.to_owned()) }
            }
            _ => settle(was.get(&key).and_then(|c| text_of(c)), now, mine),
        };
        let settled = write(&changes, settle).await?;
        turns.rest().await;
        for some in settled.chunks(AT_ONCE) {
            let keys: Vec<Key> = some.iter().map(|(key, _)| key.clone()).collect();
            tell_others(&keys);
            turns.rest().await;
        }
        self.log.note_keys(&settled);
        turns.rest().await;
        Ok(settled)
    }

    /// Takes what was written over into memory. What was changed here meanwhile stays changed.
    async fn show_new(self, here: &Diary, new: Diary, settled: &[(Key, Option<String>)]) {
        let before = records(here);
        let after = records(&new);
        let known = settled.iter().filter(|(key, _)| key.store == Store::Record);
        self.keeper.update_value(|keeper| {
            for (key, text) in known.clone() {
                keeper.know(key, text.clone());
            }
        });
        let mut meanwhile = Vec::new();
        self.diary.update(|d| {
            let now = records(d);
            for (key, text) in known {
                let mine = after.get(key).map(|record| write_kept(record).0);
                if now.get(key) == before.get(key) && *text == mine {
                    set_record(d, key, after.get(key));
                } else {
                    meanwhile.push((key.clone(), text.clone()));
                }
            }
            if d.draft == here.draft {
                d.draft = new.draft;
                turn_draft(d);
            }
        });
        for (key, text) in meanwhile {
            let base = before.get(&key).map(|record| write_kept(record).0);
            self.adopt(&key, base, text).await;
        }
        if new.settings != here.settings {
            self.take_settings(new.settings);
        }
    }
}

/// The text that is written under a key.
fn text_of(change: &StoreWrite) -> Option<&str> {
    match change {
        StoreWrite::Text(_, text) => text.as_deref(),
        StoreWrite::Bytes(..) => None,
    }
}

/// What became of a file, and what is not in it.
fn outcome_words(outcome: ShareOutcome, name: &str, missing: &MissingRecord) -> String {
    let said = words::file::outcome(outcome, name);
    match words::file::missing(missing) {
        Some(what) if outcome.is_out() => format!("{said} {}", t!("files.missing", what = what)),
        _ => said,
    }
}

/// Today, as in the names of files.
pub(super) fn today() -> String {
    clock::now_iso().chars().take(10).collect()
}

/// What the last export held, if there was one.
pub(super) fn exported() -> Option<usize> {
    load_small(EXPORTED).ok()??.parse().ok()
}

/// Adds the boats as they were that the sessions name, and the meshes that only they name, as far as
/// they can be read.
async fn add_states(diary: &mut Diary) {
    let mut names: Vec<&str> = diary.sessions.iter().flat_map(SessionRecord::states).collect();
    // In order, so that each is put behind the last.
    names.sort_unstable();
    names.dedup();
    let keys: Vec<Key> = names.into_iter().map(|name| Key::new(Store::State, [name])).collect();
    let mut found = Diary::default();
    for some in keys.chunks(AT_ONCE) {
        for text in load_each(some).await.into_iter().filter_map(|text| text.ok()?) {
            if let Ok(one) = read_kept(&text, &KeptMeshes::new()) {
                found.states.extend(one.states);
            }
        }
    }
    let meshes: HashSet<String> = found.states.values().flat_map(meshes_named).collect();
    for name in meshes {
        if !diary.has_mesh(&name)
            && let Some(mesh) = super::load::mesh_of(&name).await
        {
            diary.meshes.insert(name, MeshRecord::new(mesh));
        }
    }
    diary.states.extend(found.states);
}

async fn add_pictures(diary: &mut Diary) {
    let names: HashSet<String> =
        diary.sessions.iter().flat_map(SessionRecord::pictures).map(str::to_owned).collect();
    for name in names {
        let key = Key::new(Store::Picture, [&name]);
        if let Ok(Some(bytes)) = load_bytes(&key).await {
            diary.pictures.insert(name, PictureBytes::new("image/jpeg", &bytes));
        }
    }
}
