//! Files of version 3: a lean that was seen on the way stood with its boat. It is an entry of the session
//! during which it was noted. Whatever else version 4 has may be absent, so the same records read both.

use super::dive_record::SEEN;
use super::field_tables::table;
use super::fields::{Extra, FieldValue};
use super::record::Diary;
use super::session_record::{Entry, EntryRecord, LeanRecord, SessionRecord};
use super::state::state_of;
use super::version_2::day;

/// A lean that was seen on the way.
#[derive(PartialEq)]
struct SeenOfVersion3 {
    noted_at: String,
    fill: f64,
    list_deg: f64,
    going_up: bool,
    extra: Extra,
}

table!(SeenOfVersion3 {
    needs noted_at,
    needs fill,
    needs list_deg,
    has going_up,
    .. extra
});

/// Moves the leans of the boats into their sessions. They were of the boat whatever was changed in it since, and
/// count as seen of the boat as it is.
///
/// # Errors
/// The reason, if one cannot be read.
pub(super) fn move_leans(diary: &mut Diary) -> Result<(), String> {
    let mut moved = Vec::new();
    for boat in &mut diary.boats {
        let Some(seen) = boat.dive.extra.remove(SEEN) else { continue };
        let mut seen = Vec::<SeenOfVersion3>::read(seen)
            .map_err(|e| format!("the boat \"{}\": leans that were seen: {e}", boat.name))?;
        seen.sort_by(|a, b| a.noted_at.cmp(&b.noted_at));
        let (state, _) = state_of(boat);
        for lean in seen {
            let what = LeanRecord {
                fill: lean.fill,
                list_deg: lean.list_deg,
                going_up: lean.going_up,
                water_density_kg_m3: None,
                state: state.clone(),
                extra: lean.extra,
            };
            let entry = EntryRecord {
                id: format!("lean-{}", lean.noted_at),
                at: lean.noted_at,
                what: Entry::Lean(what),
                extra: Extra::new(),
            };
            moved.push((boat.id.clone(), entry));
        }
    }
    for (boat, entry) in moved {
        diary.put_lean(&boat, entry);
    }
    Ok(())
}

impl Diary {
    /// Puts the entries of sessions that [`super::read`] made of a boat's leans, when it read the boat alone, into
    /// those during which they were noted, as far as these are here. What is there already stays as it is.
    pub fn take_leans(&mut self, made: Vec<SessionRecord>) {
        for SessionRecord { boat, entries, .. } in made {
            for entry in entries {
                self.put_lean(&boat, entry);
            }
        }
    }

    /// Puts a lean into the session of its boat that had begun last and was not over: something happened in it
    /// later, or on the same day (in UTC). Else into one of its own.
    fn put_lean(&mut self, boat: &str, mut entry: EntryRecord) {
        let had_begun = |s: &&mut SessionRecord| s.boat == boat && s.started_at <= entry.at;
        let latest = self.sessions.iter_mut().filter(had_begun);
        let latest = latest.max_by(|a, b| a.started_at.cmp(&b.started_at));
        let goes_on = |s: &SessionRecord| {
            entry.at.as_str() <= s.last_at() || day(&entry.at) == day(s.last_at())
        };
        let Some(session) = latest.filter(|s| goes_on(s)) else {
            self.sessions.push(SessionRecord {
                id: format!("session-of-{boat}-{}", entry.at),
                boat: boat.to_owned(),
                started_at: entry.at.clone(),
                entries: vec![entry],
                ..SessionRecord::default()
            });
            return;
        };
        if session.entries.contains(&entry) {
            return;
        }
        let id = entry.id.clone();
        // It ends: each number that is passed over is one of an entry.
        for number in 2_u64.. {
            if session.entries.iter().all(|e| e.id != entry.id) {
                break;
            }
            entry.id = format!("{id}~{number}");
        }
        let before = session.entries.iter().rposition(|e| e.at <= entry.at);
        session.entries.insert(before.map_or(0, |at| at + 1), entry);
    }
}
