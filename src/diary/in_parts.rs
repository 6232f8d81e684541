//! Large files read and written with pauses: the sessions, of which there may be thousands, one after the other. What
//! is read and written is the same as without.

use super::file::{DiaryError, Envelope, finished, is_ours, read, write};
use super::record::{Diary, VERSION};
use super::session_record::SessionRecord;
use crate::pause::{Pause, Work, pause};
use std::ops::Range;

/// Bytes processed between two checks whether a pause is due.
const BYTES: usize = 1 << 15;
/// Sessions that make a piece of a file.
const SESSIONS: usize = 16;
/// Nested deeper than this it is not taken apart: the parser has a limit of its own.
const DEEPEST: usize = 100;
/// How the list of sessions begins and ends in a file as [`write`] writes it.
const BEGINS: &str = "\n  \"sessions\": [";
const ENDS: &str = "\n  ]";

/// As [`read`], with pauses where they are due.
///
/// # Errors
/// As [`read`].
pub fn read_with<'a>(text: &'a str, due: Pause<'a>) -> Work<'a, Result<Diary, DiaryError>> {
    Box::pin(async move {
        match read_in_parts(text, due).await {
            Some(diary) => Ok(diary),
            // Whatever is wrong with it is told as of the whole.
            None => read(text),
        }
    })
}

async fn read_in_parts(text: &str, due: Pause<'_>) -> Option<Diary> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let SessionList { whole, items } = list_of_sessions(text, due).await?;
    let rest = [text.get(..whole.start)?, text.get(whole.end..)?].concat();
    let envelope: Envelope = serde_json::from_str(&rest).ok()?;
    if !is_ours(&rest, &envelope) || !matches!(envelope.version(), Some(3 | VERSION)) {
        return None;
    }
    let mut diary: Diary = serde_json::from_str(&rest).ok()?;
    for item in items {
        pause(due).await;
        diary.sessions.push(serde_json::from_str(text.get(item)?).ok()?);
    }
    pause(due).await;
    finished(diary, envelope.version()).ok()
}

/// Where the sessions of a file stand.
struct SessionList {
    /// All between the brackets.
    whole: Range<usize>,
    items: Vec<Range<usize>>,
}

/// Finds the sessions in a file; none where there is no list of them, or not just one. Whether what stands there is
/// JSON is seen when it is read, the list's rest with a list of none in its place.
async fn list_of_sessions(text: &str, due: Pause<'_>) -> Option<SessionList> {
    let (mut depth, mut in_text, mut is_escaped) = (0_usize, false, false);
    // The last text of the file's own record, and whether a value of that name follows.
    let (mut name, mut is_value) = (0..0, false);
    let mut list: Option<SessionList> = None;
    let mut item: Option<usize> = None;
    for (at, byte) in text.bytes().enumerate() {
        if at % BYTES == 0 {
            pause(due).await;
        }
        if in_text {
            match byte {
                _ if is_escaped => is_escaped = false,
                b'\\' => is_escaped = true,
                b'"' => {
                    in_text = false;
                    name.end = at;
                }
                _ => {}
            }
            continue;
        }
        if byte.is_ascii_whitespace() {
            continue;
        }
        let follows = std::mem::replace(&mut is_value, byte == b':' && depth == 1);
        match byte {
            b'"' => {
                in_text = true;
                if depth == 1 {
                    name.start = at + 1;
                }
            }
            b'[' | b'{' => {
                depth += 1;
                if depth > DEEPEST {
                    return None;
                }
                let is_it = text.get(name.clone()) == Some("sessions");
                if depth == 2 && byte == b'[' && follows && is_it {
                    if list.is_some() {
                        return None;
                    }
                    item = Some(at + 1);
                    list = Some(SessionList { whole: at + 1..at + 1, items: Vec::new() });
                }
            }
            b',' | b']' | b'}' => {
                if byte != b',' {
                    depth = depth.checked_sub(1)?;
                }
                let ends = byte == b']' && depth == 1;
                if let (Some(start), Some(list)) = (item, &mut list)
                    && (ends || depth == 1 || (byte == b',' && depth == 2))
                {
                    let is_there = text.get(start..at).is_some_and(|t| !t.trim().is_empty());
                    if is_there || byte == b',' || !list.items.is_empty() {
                        list.items.push(start..at);
                    }
                    item = (depth == 2).then_some(at + 1);
                    if depth == 1 {
                        if !ends {
                            return None;
                        }
                        list.whole.end = at;
                    }
                }
            }
            _ => {}
        }
    }
    list.filter(|_| item.is_none())
}

/// As [`write`], with pauses where they are due, in pieces that follow one another.
pub fn write_with(diary: Diary, due: Pause<'_>) -> Work<'_, Vec<String>> {
    Box::pin(written(diary, due))
}

async fn written(mut diary: Diary, due: Pause<'_>) -> Vec<String> {
    if diary.sessions.is_empty() {
        return vec![write(&diary)];
    }
    let sessions = std::mem::replace(&mut diary.sessions, vec![SessionRecord::default()]);
    let frame = write(&diary);
    pause(due).await;
    let around = frame.split_once(BEGINS).and_then(|(head, rest)| {
        let end = rest.find(ENDS)?;
        Some((head, rest.get(end..)?))
    });
    let Some((head, tail)) = around else {
        // A list that is not empty is written so; if it were not, it is written at once.
        diary.sessions = sessions;
        return vec![write(&diary)];
    };
    let mut pieces = vec![format!("{head}{BEGINS}")];
    for (k, some) in sessions.chunks(SESSIONS).enumerate() {
        let mut piece = String::new();
        for (n, session) in some.iter().enumerate() {
            piece.push_str(if k + n > 0 { ",\n    " } else { "\n    " });
            // A text in JSON has no line ends of its own.
            let alone = serde_json::to_string_pretty(session).unwrap_or_default();
            piece.push_str(&alone.replace('\n', "\n    "));
        }
        pieces.push(piece);
        pause(due).await;
    }
    pieces.push(tail.to_owned());
    pieces
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diary::{Entry, EntryRecord};
    use crate::pause::at_once;
    use serde_json::json;

    fn session(k: usize) -> SessionRecord {
        let entry = |n: usize| EntryRecord {
            id: format!("e{n}"),
            at: format!("2026-05-09T10:{n:02}:00.000Z"),
            what: Entry::Note(format!("a \"note\", with [brackets] {{and}} a \\ and\na line {n}")),
            extra: serde_json::Map::new(),
        };
        SessionRecord {
            id: format!("s{k:02}"),
            boat: "teal".to_owned(),
            started_at: format!("2026-05-09T10:{k:02}:00.000Z"),
            entries: (0..k % 3).map(entry).collect(),
            ..SessionRecord::default()
        }
    }

    fn diary(n: usize) -> Diary {
        let extra = json!({ "later": { "sessions": [1, 2] } });
        let extra = extra.as_object().cloned().expect("a record");
        Diary { sessions: (0..n).map(session).collect(), extra, ..Diary::default() }
    }

    #[test]
    fn what_is_written_in_pieces_is_what_serde_json_writes() {
        for n in [0, 1, 2, 16, 17, 40] {
            let pieces = at_once(|due| write_with(diary(n), due));
            let whole = serde_json::to_string_pretty(&diary(n)).expect("it can be written");
            assert_eq!(pieces.concat(), whole, "{n} sessions");
        }
    }

    #[test]
    fn what_is_read_in_parts_is_what_was_written() {
        for n in [0, 1, 2, 40] {
            for text in [write(&diary(n)), serde_json::to_string(&diary(n)).expect("written")] {
                let got = at_once(|due| read_with(&text, due));
                assert_eq!(got, Ok(diary(n)), "{n} sessions");
                let in_parts = at_once(|due| Box::pin(read_in_parts(&text, due)));
                assert_eq!(
                    in_parts.is_some(),
                    n > 0,
                    "{n} sessions: one by one where there are some"
                );
            }
        }
    }

    #[test]
    fn what_is_no_list_of_sessions_is_not_taken_apart() {
        let of = |list: &str| format!("{{\"format\":\"trimwright\",\"version\":4,{list}}}");
        let one = serde_json::to_string(&session(0)).expect("it can be written");
        let good = of(&format!("\"sessions\":[{one}]"));
        assert!(at_once(|due| Box::pin(read_in_parts(&good, due))).is_some(), "a good one");
        for wrong in [
            of(&format!("\"sessions\":[{one},]")),
            of(&format!("\"sessions\":[,{one}]")),
            of(&format!("\"sessions\":[{one} {one}]")),
            of(&format!("\"sessions\":[{one}}}")),
            of(&format!("\"sessions\":[{one}],\"sessions\":[]")),
            of(&format!("\"sessions\":[{one}],\"s\\u0065ssions\":[]")),
            of(&format!("\"sessions\":[{one}")),
            of(&format!("\"sessions\":[{one},{one}]")),
            of(&format!("\"sessions\":[{}]", "[".repeat(200))),
            format!("{good}]"),
            good.replace("\"version\":4", "\"version\":2"),
            good.replace("trimwright", "other"),
            good.get(..good.len() - 2).expect("cut short").to_owned(),
        ] {
            let in_parts = at_once(|due| Box::pin(read_in_parts(&wrong, due)));
            assert!(in_parts.is_none(), "{wrong}");
        }
        let damaged = of(&format!("\n\"sessions\":[{one},]"));
        let damaged = at_once(|due| read_with(&damaged, due));
        assert!(matches!(damaged, Err(DiaryError::Damaged { line: 2, .. })), "{damaged:?}");
    }
}
