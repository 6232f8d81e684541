//! Under what a thing is kept.

use crate::device::clock::now_iso;
use js_sys::Array;
use wasm_bindgen::{JsCast, JsValue};

/// The shelves of the database.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(crate) enum Store {
    /// Records that are in memory while the app runs.
    Record,
    /// Sessions, in the order of their keys.
    Session,
    /// Boats as they were.
    State,
    /// Large meshes, as bytes.
    Mesh,
    /// Pictures, as bytes.
    Picture,
    /// Texts that could not be read and have no other place.
    Apart,
}

impl Store {
    /// All of them.
    pub(super) const ALL: [Self; 6] =
        [Self::Record, Self::Session, Self::State, Self::Mesh, Self::Picture, Self::Apart];

    /// Its name in the database.
    pub(super) fn name(self) -> &'static str {
        match self {
            Self::Record => "record",
            Self::Session => "session",
            Self::State => "state",
            Self::Mesh => "mesh",
            Self::Picture => "picture",
            Self::Apart => "apart",
        }
    }

    fn named(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|store| store.name() == name)
    }
}

/// Under what a thing is kept: a shelf, and words that say which. Keys of one shelf are ordered
/// word by word.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(crate) struct Key {
    /// The shelf.
    pub(crate) store: Store,
    /// Which thing on it.
    pub(crate) words: Vec<String>,
}

impl Key {
    /// A key of words.
    pub(crate) fn new<const N: usize>(store: Store, words: [&str; N]) -> Self {
        Self { store, words: words.map(str::to_owned).to_vec() }
    }

    /// Where what stood under this key is put aside: under the time too, for there may be more.
    pub(super) fn apart(&self) -> Self {
        let mut words = vec![self.store.name().to_owned()];
        words.extend(self.words.iter().cloned());
        words.push(now_iso());
        Self { store: Store::Apart, words }
    }

    /// Where what this window wants to have under this key waits: each time in the place of the last.
    pub(super) fn waits(&self) -> Self {
        thread_local! {
            static SINCE: String = now_iso();
        }
        let mut key = self.apart();
        key.words.pop();
        key.words.push(SINCE.with(Clone::clone));
        key
    }

    /// As the database wants it: one word as itself, several as a list.
    pub(super) fn value(&self) -> JsValue {
        match self.words.as_slice() {
            [word] => JsValue::from(word),
            words => words.iter().map(JsValue::from).collect::<Array>().into(),
        }
    }

    /// From what the database gives; none for a key that was not made here.
    pub(super) fn of(store: Store, value: &JsValue) -> Option<Self> {
        let words = match value.as_string() {
            Some(word) => vec![word],
            None => value
                .dyn_ref::<Array>()?
                .iter()
                .map(|word| word.as_string())
                .collect::<Option<Vec<_>>>()?,
        };
        Some(Self { store, words })
    }

    /// As a message to another window.
    pub(super) fn message(&self) -> Array {
        std::iter::once(JsValue::from(self.store.name()))
            .chain(self.words.iter().map(JsValue::from))
            .collect()
    }

    /// From a message of another window.
    pub(super) fn of_message(message: &JsValue) -> Option<Self> {
        let mut words = message.dyn_ref::<Array>()?.iter().map(|word| word.as_string());
        let store = Store::named(&words.next()??)?;
        Some(Self { store, words: words.collect::<Option<Vec<_>>>()? })
    }
}
