//! The outcome of a file operation, and what a file lacks, in words.

use super::speech::figure;
use super::t;
use crate::device::share::ShareOutcome;
use crate::words::word;
use trimwright::diary::MissingRecord;

/// What became of a file.
pub(crate) fn outcome(outcome: ShareOutcome, name: &str) -> String {
    match outcome {
        ShareOutcome::Shared => t!("files.shared"),
        ShareOutcome::Closed => t!("files.not_shared"),
        ShareOutcome::Saved => t!("files.saved_as", name = name),
        ShareOutcome::No => t!("files.not_taken"),
    }
}

/// What is missing from a file, as a list; none if nothing is.
pub(crate) fn missing(missing: &MissingRecord) -> Option<String> {
    let lists = [
        (word!("files.missing_records"), &missing.records),
        (word!("files.missing_sessions"), &missing.sessions),
        (word!("files.missing_states"), &missing.states),
        (word!("files.missing_meshes"), &missing.meshes),
        (word!("files.missing_pictures"), &missing.pictures),
    ];
    let counted = lists.into_iter().filter(|(_, names)| !names.is_empty());
    let mut all: Vec<String> = counted.map(|(key, names)| t!(key, count = names.len())).collect();
    if missing.unknown {
        all.push(t!("files.missing_unknown"));
    }
    let nothing = all.is_empty() && missing.is_nothing();
    // A later version may miss what this one does not know.
    (!nothing).then(|| if all.is_empty() { t!("made.other") } else { all.join(", ") })
}

/// A size in bytes.
pub(crate) fn size(bytes: usize) -> String {
    match bytes {
        0..1_000 => t!("files.bytes", count = bytes),
        1_000..1_000_000 => t!("files.kilobytes", count = bytes.div_ceil(1_000)),
        _ => t!("files.megabytes", count = figure((bytes / 100_000) as f64 / 10.0)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_missing_is_counted_by_its_kind() {
        let names = |n: usize| vec!["x".to_owned(); n];
        assert_eq!(missing(&MissingRecord::default()), None, "whole");
        let some =
            MissingRecord { sessions: names(3), pictures: names(1), ..MissingRecord::default() };
        assert_eq!(missing(&some).as_deref(), Some("sessions: 3, pictures: 1"), "");
        let all = MissingRecord { unknown: true, ..MissingRecord::default() };
        assert!(missing(&all).is_some_and(|words| words.contains("was unreadable")), "");
    }

    #[test]
    fn bytes_are_said_as_people_say_them() {
        let said = [0, 999, 1_000, 1_001, 999_999, 1_000_000, 23_456_789].map(size);
        let wanted = ["0 bytes", "999 bytes", "1 kB", "2 kB", "1000 kB", "1 MB", "23.4 MB"]
            .map(str::to_owned);
        assert_eq!(said, wanted, "");
    }
}
