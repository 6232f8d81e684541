//! Identities of elements, by which they name one another.

use std::fmt::Write as _;

/// The identity of an element with a name for tests, in which there may be a name that a builder gave.
/// A list of identities is parted by spaces, so there is none in it; other names have other identities.
pub(crate) fn id_of(testid: &str) -> String {
    let mut id = String::with_capacity(testid.len());
    for letter in testid.chars() {
        if letter.is_ascii_alphanumeric() || letter == '-' {
            id.push(letter);
        } else {
            // Writing to a text cannot fail.
            let _written = write!(id, "_{:x}_", u32::from(letter));
        }
    }
    id
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_identity_has_no_space_and_each_name_has_its_own() {
        assert_eq!(id_of("mark-bow-value"), "mark-bow-value", "a plain name stays as it is");
        let names =
            ["bow left", "bow\tleft", "bow_left", "bow_20_left", "bow\u{a0}left", "Bug \"ä\""];
        let mut ids: Vec<String> = names.iter().map(|name| id_of(name)).collect();
        assert!(ids.iter().all(|id| !id.contains(char::is_whitespace)), "{ids:?}");
        ids.sort();
        ids.dedup();
        assert_eq!(ids.len(), names.len(), "{ids:?}");
    }
}
