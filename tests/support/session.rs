//! Sessions of one boat, for the tests that look back at them.

use trimwright::diary::{DoneRecord, Entry, EntryRecord, ReadingRecord, SessionRecord};

pub fn entry(id: &str, what: Entry) -> EntryRecord {
    let at = format!("2026-01-01T10:00:00Z {id}");
    EntryRecord { id: id.to_owned(), at, what, extra: serde_json::Map::default() }
}

pub fn reading_entry(id: &str, reading: ReadingRecord) -> EntryRecord {
    entry(id, Entry::Reading(Box::new(reading)))
}

pub fn done_entry(after: &str) -> EntryRecord {
    let done = DoneRecord { after: after.to_owned(), ..DoneRecord::default() };
    entry(&format!("done after {after}"), Entry::Done(done))
}

pub fn session(id: &str, entries: Vec<EntryRecord>) -> SessionRecord {
    let (id, boat) = (id.to_owned(), "boat".to_owned());
    SessionRecord { id, boat, entries, ..SessionRecord::default() }
}
