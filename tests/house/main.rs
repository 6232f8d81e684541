//! What the sources themselves must hold: house rules, and the words of every language.

mod circles;
#[path = "../support/locale.rs"]
mod locale;
mod tidy;
mod words;
