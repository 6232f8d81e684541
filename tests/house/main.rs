//! What the sources themselves must hold: house rules, and the words of every language.

#[path = "../support/locale.rs"]
mod locale;
mod tidy;
mod words;
