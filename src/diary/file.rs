//! Reads and writes the file; refuses, with the reason, what it cannot read whole.

use super::record::{Diary, FORMAT, VERSION};
use super::version_2::read_version_2;
use super::version_3::move_leans;
use serde::Deserialize;
use serde_json::Value;
use serde_json::error::Category;

/// Why a file was refused. Kept data is then left untouched.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum DiaryError {
    /// It is not JSON: cut short or not a text file.
    #[error(
        "the file is damaged or cut short at line {line}, column {column}: open another copy of it"
    )]
    Damaged {
        /// Line, from 1.
        line: usize,
        /// Column.
        column: usize,
    },
    /// It is JSON, but not one of ours.
    #[error("this is not a Trimwright file: open one that was exported here")]
    Foreign,
    /// It was written by a later version.
    #[error(
        "the file has version {found}, this app reads up to {known}: update the app, then open it again"
    )]
    Newer {
        /// The file's version.
        found: u64,
        /// The newest version known here.
        known: u64,
    },
    /// It is one of ours, but something in it is not valid.
    #[error("the file is damaged: {0}")]
    Wrong(String),
}

/// What every version has.
#[derive(Deserialize)]
pub(super) struct Envelope {
    #[serde(default)]
    format: Value,
    #[serde(default)]
    version: Value,
}

impl Envelope {
    fn format(&self) -> Option<&str> {
        self.format.as_str()
    }

    pub(super) fn version(&self) -> Option<u64> {
        self.version.as_u64()
    }
}

/// True for a file of ours. A bare list could pass for the fields in their order.
pub(super) fn is_ours(text: &str, envelope: &Envelope) -> bool {
    text.trim_start().starts_with('{') && envelope.format() == Some(FORMAT)
}

/// Reads a file of this or any older version.
///
/// # Errors
/// [`DiaryError`], saying what is wrong and what to do.
pub fn read(text: &str) -> Result<Diary, DiaryError> {
    // Some editors put a mark of the order of bytes before the text (RFC 8259, 8.1).
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let envelope: Envelope = serde_json::from_str(text).map_err(|e| match e.classify() {
        Category::Data => DiaryError::Foreign,
        _ => DiaryError::Damaged { line: e.line(), column: e.column() },
    })?;
    if !is_ours(text, &envelope) {
        return Err(DiaryError::Foreign);
    }
    let wrong = |e: serde_json::Error| DiaryError::Wrong(e.to_string());
    let diary = match envelope.version() {
        Some(1 | 2) => {
            let old = read_version_2(text).map_err(DiaryError::Wrong)?;
            // What is taken is what this version reads again: fields that it knows and the old one
            // did not are read as such, or the file is refused, never written so that it is lost.
            serde_json::from_str::<Diary>(&write(&old)).map_err(wrong)?
        }
        Some(3 | VERSION) => serde_json::from_str::<Diary>(text).map_err(wrong)?,
        Some(found) if found > VERSION => {
            return Err(DiaryError::Newer { found, known: VERSION });
        }
        _ => return Err(DiaryError::Wrong("it does not say which version it has".to_owned())),
    };
    finished(diary, envelope.version())
}

/// What was read of a file of a version, in this one's form, once it is checked.
pub(super) fn finished(mut diary: Diary, version: Option<u64>) -> Result<Diary, DiaryError> {
    if version < Some(VERSION) {
        move_leans(&mut diary).map_err(DiaryError::Wrong)?;
    }
    diary.version = VERSION;
    diary.sort_sessions();
    diary.check().map_err(DiaryError::Wrong)?;
    Ok(diary)
}

/// True for what a later version has written: it is not read here, and must not be written over.
pub fn is_of_later_version(text: &str) -> bool {
    let envelope: Result<Envelope, _> = serde_json::from_str(text);
    envelope.is_ok_and(|e| e.format() == Some(FORMAT) && e.version() > Some(VERSION))
}

/// Writes the file, indented, so that a person can read it too.
pub fn write(diary: &Diary) -> String {
    serde_json::to_string_pretty(diary).unwrap_or_else(|_never| {
        // Records hold only texts, numbers and lists of them: there is nothing that cannot be
        // written. An empty text is refused by `read`, so even then nothing is lost by silence.
        String::new()
    })
}
