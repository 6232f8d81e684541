//! Why a file or a kept record cannot be read, in words.

use super::t;
use trimwright::diary::DiaryError;

/// Why it cannot be read, to stand within a sentence.
pub(crate) fn unread(problem: &DiaryError) -> String {
    match problem {
        DiaryError::Damaged { line, column } => t!("unread.damaged", line = line, column = column),
        DiaryError::Foreign => t!("unread.foreign"),
        DiaryError::Newer { found, known } => t!("unread.newer", found = found, known = known),
        // What is wrong, by the names of the format's fields, is in English in every language.
        DiaryError::Wrong(what) => t!("unread.wrong", what = what),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::words::says_as_the_core;

    #[test]
    fn english_is_as_the_core_says_it() {
        says_as_the_core(
            unread,
            [
                DiaryError::Damaged { line: 3, column: 14 },
                DiaryError::Foreign,
                DiaryError::Newer { found: 9, known: 3 },
                DiaryError::Wrong("a boat has no id".to_owned()),
            ],
        );
    }
}
