//! Lists of checks in the file: a boat's own lists, and how each check stands.

use super::field_tables::{fields, words};
use super::fields::Extra;

/// When a list is gone through.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum CheckTime {
    /// Before the first dive of the day.
    #[default]
    Before,
    /// Between dives.
    Between,
    /// After the last dive.
    After,
}

words!(CheckTime {
    Before "before",
    Between "between",
    After "after",
});

impl CheckTime {
    /// All of them, in the order of the day.
    pub const ALL: [Self; 3] = [Self::Before, Self::Between, Self::After];
}

/// How a check stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum CheckState {
    /// Not looked at yet.
    #[default]
    Open,
    /// Looked at and good.
    Good,
    /// Looked at and not good.
    Failed,
    /// Left out today, for a reason.
    NotToday,
}

words!(CheckState {
    Open "open",
    Good "good",
    Failed "failed",
    NotToday "not_today",
});

/// One check.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct CheckRecord {
    /// Its identity within the boat's lists; those that come with the app have names of their own.
    pub id: String,
    /// What to check, in the builder's words; empty for one that comes with the app, as it is.
    pub words: String,
    /// How it stands.
    pub state: CheckState,
    /// What is wrong with it, or why it is left out today.
    pub because: String,
    /// When it was last looked at, ISO 8601 in UTC; empty if never.
    pub at: String,
    /// Fields of other versions.
    pub extra: Extra,
}

fields!(CheckRecord {
    needs id,
    may words,
    may state,
    may because,
    may at,
    .. extra
});

/// The lists of one boat.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct ChecksRecord {
    /// The boat's identity.
    pub id: String,
    /// Before the first dive of the day.
    pub before: Vec<CheckRecord>,
    /// Between dives.
    pub between: Vec<CheckRecord>,
    /// After the last dive.
    pub after: Vec<CheckRecord>,
    /// Fields of other versions.
    pub extra: Extra,
}

fields!(ChecksRecord {
    needs id,
    has before,
    has between,
    has after,
    .. extra
});

impl ChecksRecord {
    /// The list of a time.
    pub fn list(&self, time: CheckTime) -> &[CheckRecord] {
        match time {
            CheckTime::Before => &self.before,
            CheckTime::Between => &self.between,
            CheckTime::After => &self.after,
        }
    }

    /// The list of a time, to be changed.
    pub fn list_mut(&mut self, time: CheckTime) -> &mut Vec<CheckRecord> {
        match time {
            CheckTime::Before => &mut self.before,
            CheckTime::Between => &mut self.between,
            CheckTime::After => &mut self.after,
        }
    }
}
